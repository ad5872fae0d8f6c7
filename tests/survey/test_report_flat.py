"""A fitted outline as it is printed: rounding by hand, in sixteenths of an inch (1.5875 mm) or whole mm.

The walls are known exactly, so that every number follows from the few given here.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from dictated import ALCOVE, survey_of
from hypothesis import given
from hypothesis import strategies as st

from fitting.edge import MeetingSide, StraightSide
from fitting.joint import Joint
from fitting.notch import Obstacle
from fitting.outline import fit_outline
from fitting.site import know_room
from survey.observe import observe
from survey.quantity import read_length, read_step
from survey.report.context import Context, NotReady
from survey.report.flat import FlatReport, Words, flat_report, width_at
from survey.report.printing import Printer

SIDES = {side: side for side in ("left", "right", "front", "back")}
FROM_LEFT = Words(SIDES, {"right": "wall right"}, "from the left end", "from the front", "width", "depth")
FROM_RIGHT = Words(
    SIDES, {"left": "wall left"}, "from the right end", "from the front", "width", "depth", leftward=True
)
AT = np.array([0.0, 560.0])


def context(step: str) -> Context:
    survey = survey_of(room=ALCOVE[:7])
    observed = observe(survey)
    assert observed.plan is not None
    room = know_room(observed.plan, ())
    return Context(survey, observed, room, room, Printer(read_step(step)), 0.99)


def wall(*reach: float, finish="scribed", gap=0.0, saw=2.0) -> MeetingSide:
    at = np.linspace(0.0, 560.0, len(reach))
    return MeetingSide(at, Joint(np.array(reach), np.zeros((len(reach), len(reach)))), finish, gap, saw)


def told(step="1/16", obstacles=(), right=None, left=None, words=FROM_LEFT, about=None) -> FlatReport:
    """A piece 560 deep; its datum end at 0, the other at 900 unless it meets a wall."""
    leftward = words.leftward
    fitted = fit_outline(
        left or StraightSide(-900.0 if leftward else 0.0),
        right or StraightSide(0.0 if leftward else 900.0),
        StraightSide(0.0),
        StraightSide(560.0),
        obstacles,
    )
    here = about or context(step)
    return flat_report(here, survey_of("top t thickness 30").records[-1], fitted, words, 30.0)


def text(named, name: str) -> str:
    return next(one.size.text for one in named if one.name == name)


def mm(size) -> float:
    unit = "in" if size.text.endswith("in") else "mm"
    return float(read_length(size.text, unit).mm)


# --- Directions of rounding


def test_a_scribed_edge_rounds_up_and_its_parts_add_up():
    """Nearest 900 = 566.9/16, up 567/16. Range 6 and saw 2: 8 = 5.04/16, up 6/16; of it 3/16 for the wall
    (6 = 3.78/16), 1/16 for the saw (2 = 1.26/16), 2/16 that rounding and the unknown take. Blank 573/16."""
    flat = told(right=wall(900, 906))
    assert text(flat.finished, "width") == "35 7/16 in"
    assert text(flat.blank, "width") == "35 13/16 in"
    (edge,) = flat.edges
    left_on = edge.allowance
    assert [one.text for one in (left_on.range, left_on.unknown, left_on.saw, left_on.total)] == [
        "3/16 in",
        "1/8 in",
        "1/16 in",
        "3/8 in",
    ]
    assert (left_on.range.mm, left_on.unknown.mm, left_on.total.mm) == pytest.approx((6.0, 0.0, 8.0))


def test_depths_are_the_printed_blank_less_the_wall():
    """Blank 573/16 = 909.6375: 9.6375 at the front, 3.6375 at the back; 6.07/16 and 2.29/16."""
    (edge,) = told(right=wall(900, 906)).edges
    assert (edge.deepest.text, edge.shallowest.text) == ("3/8 in", "1/8 in")
    assert edge.deepest.mm == pytest.approx(9.6375)
    assert [one.depth.mm for one in edge.scribe][:: len(edge.scribe) - 1] == pytest.approx([9.6375, 3.6375])


@pytest.mark.parametrize(
    ("finish", "width"),
    [
        ("net", "898 mm"),  # nearest 900.7 less 2 = 898.7, must pass
        ("covered", "898 mm"),
        ("let in", "907 mm"),  # farthest 906.2, must cover
        ("scribed", "901 mm"),  # nearest 900.7, must cover
    ],
)
def test_wood_that_passes_rounds_down_and_wood_that_covers_up(finish, width):
    gap = 2.0 if finish in ("net", "covered") else 0.0
    assert text(told("1 mm", right=wall(900.7, 906.2, finish=finish, gap=gap)).finished, "width") == width


def test_a_size_on_a_graduation_stays_on_it():
    assert text(told("1 mm", right=wall(900, 900)).finished, "width") == "900 mm"
    assert text(told("1/16", right=wall(36 * 25.4, 36 * 25.4)).finished, "width") == "36 in"


CASING = np.array([[880.0, -10.0], [910.0, -10.0], [910.0, 60.0], [880.0, 60.0]])


@pytest.mark.parametrize("words", [FROM_LEFT, FROM_RIGHT], ids=["from the left", "from the right"])
def test_a_notch_rounds_larger_and_is_measured_from_the_datum(words):
    """3 kept clear: 877 along = 552.4/16, down 552/16 = 34 1/2; 63 deep = 39.7/16, up 40/16 = 2 1/2."""
    ring = CASING * [-1.0, 1.0] if words.leftward else CASING
    end = wall(900, 900)
    flat = told(
        obstacles=[Obstacle("casing", ring, 3.0)],
        left=end if words.leftward else None,
        right=None if words.leftward else end,
        words=words,
    )
    (notch,) = flat.notches
    assert (notch.around, notch.clearance.mm) == ("casing", 3.0)
    assert (notch.across_from, notch.deep_from) == (words.across_from, "from the front")
    corners = {(one.across.text, one.deep.text) for one in notch.corners}
    assert {("34 1/2 in", "0 in"), ("34 1/2 in", "2 1/2 in")} <= corners
    assert all(one.across.cut_mm >= 0.0 for one in notch.corners)


def test_a_notch_on_both_sides_of_an_obstacle_goes_away_from_it():
    """A pipe from 300 to 340 at the back, 5 clear: 295 = 185.8/16 down 185/16, 345 = 217.3/16 up 218/16."""
    pipe = np.array([[300.0, 500.0], [340.0, 500.0], [340.0, 600.0], [300.0, 600.0]])
    (notch,) = told(obstacles=[Obstacle("pipe", pipe, 5.0)]).notches
    across = {one.across.cut_mm for one in notch.corners}
    assert across == {185 * 1.5875, 218 * 1.5875}
    assert min(one.deep.cut_mm for one in notch.corners) == pytest.approx(
        311 * 1.5875
    )  # 495 = 311.8/16, down


# --- The blank


@pytest.mark.parametrize("words", [FROM_LEFT, FROM_RIGHT], ids=["from the left", "from the right"])
def test_the_blanks_outline_has_the_printed_size(words):
    end = wall(900, 906)
    flat = told(left=end if words.leftward else None, right=None if words.leftward else end, words=words)
    xs = [x for x, _ in flat.blank_outline]
    assert max(xs) - min(xs) == pytest.approx(mm(flat.blank[0].size), abs=1e-3)
    assert 0.0 in (max(xs), min(xs))
    finished, blank = shapely.Polygon(flat.outline), shapely.Polygon(flat.blank_outline)
    assert finished.difference(blank).area == pytest.approx(0.0, abs=1e-6)


@given(
    reach=st.lists(st.floats(600.0, 1200.0), min_size=2, max_size=6),
    saw=st.floats(0.0, 6.0),
    step=st.sampled_from(["1/16", "1/32", "1/64", "0.5 mm", "1 mm"]),
)
def test_what_is_printed_adds_up(reach, saw, step):
    """Whatever the wall: finished + allowance = blank, range + unknown + saw = allowance, and it covers."""
    flat = told(step, right=wall(*reach, saw=saw), about=HERE[step])
    (edge,) = flat.edges
    left_on = edge.allowance
    assert mm(flat.finished[0].size) + mm(left_on.total) == pytest.approx(mm(flat.blank[0].size), abs=1e-9)
    parts = [mm(one) for one in (left_on.range, left_on.unknown, left_on.saw)]
    assert min(parts) >= 0.0
    assert sum(parts) == pytest.approx(mm(left_on.total), abs=1e-9)
    assert mm(flat.blank[0].size) >= max(reach) + saw - 1e-5
    assert edge.shallowest.mm >= saw - 1e-3


HERE = {step: context(step) for step in ("1/16", "1/32", "1/64", "0.5 mm", "1 mm")}


# --- Stations


@pytest.mark.parametrize("words", [FROM_LEFT, FROM_RIGHT], ids=["from the left", "from the right"])
def test_stations_along_the_back_are_counted_from_the_datum(words):
    """The back wall runs off by 9 over 900; the deepest is where it is nearest, at the left of the piece."""
    at = np.linspace(-900.0, 0.0, 31) if words.leftward else np.linspace(0.0, 900.0, 31)
    reach = np.linspace(560.0, 569.0, 31)
    back = MeetingSide(at, Joint(reach, np.zeros((31, 31))), "scribed", saw=2.0)
    ends = (StraightSide(at[0]), StraightSide(at[-1]))
    fitted = fit_outline(*ends, StraightSide(0.0), back)
    flat = flat_report(HERE["1 mm"], survey_of("top t thickness 30").records[-1], fitted, words, 30.0)
    (edge,) = flat.edges
    assert edge.stations_from == words.across_from
    assert [one.at.text for one in edge.scribe] == [f"{place} mm" for place in range(0, 901, 150)]
    depths = [one.depth.mm for one in edge.scribe]
    assert depths == sorted(depths, reverse=not words.leftward)
    assert depths[0 if not words.leftward else -1] == pytest.approx(11.0)  # 9 of range and 2 for the saw


def test_the_deepest_place_is_always_among_the_stations():
    flat = told("1 mm", right=wall(910, 910, 903, 910, 910, 910))
    (edge,) = flat.edges
    assert (224.0, edge.deepest.text) in {(one.at.mm, one.depth.text) for one in edge.scribe}


# --- What stops a piece, and what is only said


def test_a_piece_of_which_nothing_is_left_is_refused():
    big = np.array([[-100.0, -100.0], [1000.0, -100.0], [1000.0, 700.0], [-100.0, 700.0]])
    with pytest.raises(NotReady) as refused:
        told(obstacles=[Obstacle("tub", big, 0.0)])
    assert [one.number for one in refused.value.findings] == [502]


def test_a_piece_that_trim_divides_is_refused():
    bar = np.array([[400.0, -100.0], [450.0, -100.0], [450.0, 700.0], [400.0, 700.0]])
    with pytest.raises(NotReady) as refused:
        told(obstacles=[Obstacle("post", bar, 0.0)])
    assert 508 in [one.number for one in refused.value.findings]
    assert "`post` divides `t` in two" in refused.value.findings[0].says


def box(left: float, front: float, right: float, back: float) -> Obstacle:
    ring = [(left, front), (right, front), (right, back), (left, back)]
    return Obstacle(f"at {left:g}", np.array(ring), 0.0)


@pytest.mark.parametrize(
    ("obstacles", "numbers"),
    [
        ([box(300, 200, 340, 240)], [506]),  # a hole
        ([box(898, -10, 910, 60)], []),  # a notch, though of 2 only
        ([box(300, 500, 340, 600), box(342, 500, 380, 600)], [509]),  # 2 mm of wood between two notches
    ],
    ids=["hole", "notch", "thin"],
)
def test_what_a_person_should_know_is_noted(obstacles, numbers):
    here = context("1 mm")
    told(obstacles=obstacles, about=here)
    assert [one.number for one in here.findings] == numbers


def test_a_piece_that_goes_past_its_wall_says_so():
    """The wall was looked at over 560; the piece is 600 deep."""
    here = context("1 mm")
    straight = [StraightSide(at) for at in (0.0, 0.0, 600.0)]
    fitted = fit_outline(straight[0], wall(900, 906), *straight[1:])
    flat_report(here, survey_of("top t thickness 30").records[-1], fitted, FROM_LEFT, 30.0)
    assert [(one.number, one.pieces) for one in here.findings] == [(602, ("t",))]
    assert "the right of `t` goes 40 mm past its wall" in here.findings[0].says


def test_a_gap_that_had_to_be_larger_is_noted():
    """2 mm, as the piece's edges needed all together, where none was asked for."""
    here = context("1 mm")
    wider = MeetingSide(AT, Joint([900.0, 900.0], np.ones((2, 2))), "net", 2.0)
    flat = told(right=wider, about=here)
    (finding,) = here.findings
    assert finding.number == 504
    assert "is 2 mm, not 0 mm" in finding.says  # the piece dictated here asks for none
    assert flat.edges[0].gap.text == "2 mm"
    assert text(flat.finished, "width") == "898 mm"


@pytest.mark.parametrize(("y", "width"), [(0.0, 900.0), (280.0, 903.0), (560.0, 906.0)])
def test_width_at(y, width):
    assert width_at([(0.0, 0.0), (900.0, 0.0), (906.0, 560.0), (0.0, 560.0)], y) == pytest.approx(width)

"""Toe-kicks under floors that fall, rise and hump, worked out by hand."""

import math
from dataclasses import replace

import numpy as np
import piece_rooms as rooms
import pytest

from fitting.allowance import SAW
from fitting.errors import BadInput
from fitting.site import Level, know_room
from fitting.toe_kick import KickRun, ToeKickPlan, fit_toe_kick, kick_runs

SURE = 1e-2
STANDS = ((0.0, -550.0), (1000.0, -550.0), (0.0, -10.0), (1000.0, -10.0))
KICK = ToeKickPlan((0.0, -475.0), (1000.0, -475.0), 100.0, STANDS, 18.0)


def room(right=0.0, back=0.0, height=0.0, sd=1e-4):
    """A floor that rises `right` mm over each mm to the right, `back` over each to the back wall."""
    true = rooms.corner(90)
    levels = [
        Level(f"{x} {out}", height + right * x - back * out, sd, "floor", "back", x, "left-back", out)
        for x in (0.0, 500.0, 1000.0)
        for out in (10.0, 300.0, 600.0)
    ]
    asked = [true.exact(one) for one in rooms.every_reading(true)]
    return know_room(true.plan(), [*asked, *levels], rooms.NO_WAVES)


@pytest.mark.parametrize("height", [0.0, -730.0])
def test_on_a_level_floor_it_is_as_high_as_asked(height):
    kick = fit_toe_kick(room(height=height), KICK)
    assert (kick.least, kick.greatest) == pytest.approx((100.0, 100.0), abs=SURE)
    expected = [(0, -100), (1000, -100), (1000, 0), (0, 0)]
    assert kick.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    assert kick.outline.blank[:, 1].min() == pytest.approx(-100.0 - SAW, abs=SURE)


def test_a_floor_that_falls_to_the_right():
    # 6 mm over 1000; it stands on the left: 100 there, 106 at the right.
    kick = fit_toe_kick(room(right=-0.006), KICK)
    assert (kick.heights[0], kick.heights[-1]) == pytest.approx((100.0, 106.0), abs=SURE)
    edge = kick.outline.edges["front"]
    assert edge.final == pytest.approx(100.0, abs=SURE)
    assert edge.allowance.range == pytest.approx(6.0, abs=SURE)
    assert edge.blank == pytest.approx(106.0 + SAW, abs=SURE)
    assert kick.outline.outline.tolist() == [
        pytest.approx(corner, abs=SURE) for corner in ([1000, -106], [1000, 0], [0, 0], [0, -100])
    ]


def test_a_floor_that_rises_to_the_back_is_lower_under_the_kick():
    # The box stands on its back edge, 10 out; the kick is 475 out: 0.01 * 465 = 4.65 lower.
    kick = fit_toe_kick(room(back=0.01), KICK)
    assert (kick.least, kick.greatest) == pytest.approx((104.65, 104.65), abs=SURE)


def test_left_open_it_keeps_its_gap_over_the_highest_place():
    kick = fit_toe_kick(room(right=-0.006), replace(KICK, finish="covered", gap=5.0))
    assert kick.outline.outline[:, 1].min() == pytest.approx(-95.0, abs=SURE)
    assert kick.outline.edges["front"].allowance is None
    assert kick.covers.value == 1.0


def test_mirrored_floors_give_mirrored_kicks():
    here, there = fit_toe_kick(room(right=-0.006), KICK), fit_toe_kick(room(right=0.006), KICK)
    assert here.heights == pytest.approx(there.heights[::-1], abs=SURE)


def test_what_the_whole_floor_is_off_lifts_the_kick_along():
    # All levels alike uncertain by 3 mm would leave 3 mm unknown of the floor; of the kick far less.
    kick = fit_toe_kick(room(sd=3.0), KICK)
    edge = kick.outline.edges["front"]
    assert edge.allowance.unknown > 0.0
    assert kick.covers.value >= 0.98
    sure = fit_toe_kick(room(sd=0.01), KICK).outline.edges["front"]
    assert sure.allowance.unknown < edge.allowance.unknown / 10


def test_a_board_that_covers_is_as_likely_as_asked():
    assert fit_toe_kick(room(sd=1.0), KICK).covers.value == pytest.approx(0.99, abs=0.01)


def test_runs_of_a_free_standing_cabinet():
    # 900 wide, 550 deep; recess 75, kick 18, returns 20 in from the sides. The front covers their ends:
    # they begin 75 + 18 = 93 behind the face.
    runs = kick_runs(900.0, 550.0, 75.0, 18.0, (20.0, 20.0))
    assert runs == (
        KickRun("front", (20.0, 75.0), (880.0, 75.0)),
        KickRun("left return", (20.0, 550.0), (20.0, 93.0)),
        KickRun("right return", (880.0, 93.0), (880.0, 550.0)),
    )


def test_mirrored_runs():
    def image(run):
        name = {"left return": "right return", "right return": "left return"}.get(run.name, run.name)
        (x1, y1), (x2, y2) = run.start, run.end
        return KickRun(name, (900.0 - x2, y2), (900.0 - x1, y1))

    here, there = (
        kick_runs(900.0, 550.0, 75.0, 18.0, (20.0, None)),
        kick_runs(900.0, 550.0, 75.0, 18.0, (None, 20.0)),
    )
    assert {image(run) for run in here} == set(there)


def test_a_return_is_as_high_as_the_floor_falls_away_to_it():
    # The floor rises to the back by 0.01: at the back, 10 out, 100; at the front, 457 out, 4.47 more.
    start, end = (0.0, -10.0), (0.0, -457.0)
    kick = fit_toe_kick(room(back=0.01), replace(KICK, start=start, end=end))
    assert kick.heights[[0, -1]] == pytest.approx([100.0, 104.47], abs=SURE)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"up": 0.0}, "height: expected a size above 0"),
        ({"end": (0.0, -475.0)}, "length: expected a size above 0"),
        ({"thickness": math.nan}, "thickness: expected a size above 0"),
        ({"stands": ()}, "expected a place or more where the cabinet stands"),
        ({"gap": -1.0}, "gap: expected 0 mm or more"),
    ],
)
def test_bad_input(changes, says):
    with pytest.raises(BadInput, match=says):
        fit_toe_kick(room(), replace(KICK, **changes))


def test_a_floor_over_the_upper_edge_is_refused():
    # The floor rises 0.5 to the right past where the box stands: 400 * 0.5 = 200 over it, the kick only 100.
    stands = ((0.0, -550.0), (100.0, -550.0))
    with pytest.raises(BadInput, match=r"the floor rises 350\.0 mm over the kick's upper edge"):
        fit_toe_kick(room(right=0.5), replace(KICK, stands=stands))


def test_a_floor_that_nobody_read_is_refused():
    with pytest.raises(BadInput, match="nothing says where the floor is"):
        fit_toe_kick(rooms.known(rooms.corner(90)), KICK)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((900.0, 550.0, 540.0, 18.0), "recess: expected 0 to less than 532 mm"),
        ((900.0, 550.0, -1.0, 18.0), "recess: expected 0"),
        ((900.0, 550.0, 75.0, 18.0, (450.0, None)), "recess at a side: expected 0 to less than 450 mm"),
        ((0.0, 550.0, 75.0, 18.0), "width: expected a size above 0"),
    ],
)
def test_runs_that_cannot_be(arguments, says):
    with pytest.raises(BadInput, match=says):
        kick_runs(*arguments)

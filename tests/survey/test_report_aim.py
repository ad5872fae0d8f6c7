"""Runs, aims and pins of dictated cabinets and tops, and what is found where they cannot be kept.

The room is `dictated.ALCOVE`: 1500 mm between square corners, floor at 0, all flat; results by hand.
"""

from __future__ import annotations

import pytest
from dictated import ALCOVE, edge, found, numbers, piece, report_of, sizes, survey_of, without
from mirrored import SWAP, mirrored

from survey.findings import fit

BOX = "height 700 depth 500 bottom 100"
FIRST = f"cabinet a width 400 {BOX}, left meets left filler gap 20"
SECOND = f"cabinet b width 500 {BOX}, left meets a net gap 3"
THIRD = f"cabinet c width 500 {BOX}, left meets b net, right meets right filler"
BETWEEN = f"cabinet box width 1400 {BOX}, left meets left filler, right meets right filler"
DRAIN = ("drain tap on back", "position tap along 700 from left-back up 500")


def gaps(told) -> dict[str, float]:
    return {one.edge: one.gap.mm for one in told.edges if one.gap is not None}


# --- Runs


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 0, 2)])
def test_a_run_leaves_its_last_filler_what_is_over(order):
    """20 + 400 + 3 + 500 + 500 = 1423 of 1500, in whatever order they are put down."""
    lines = (FIRST, SECOND, THIRD)
    report = report_of(*(lines[k] for k in order))
    assert numbers(report) == []
    assert gaps(piece(report, "c")) == pytest.approx({"right": 77.0, "left": 0.0}, abs=0.01)
    assert gaps(piece(report, "b")) == pytest.approx({"left": 3.0}, abs=0.01)
    assert edge(piece(report, "b"), "left").meets == "cabinet a"
    assert "3 mm from cabinet `a`" in piece(report, "b").rule


def test_of_two_gaps_that_neighbours_ask_for_the_larger_is_kept():
    """20 + 400 + 8 + 500 + 500 = 1428: `a` holds `b` and wants 8 there, more than the 3 that `b` asks for."""
    report = report_of(f"{FIRST}, right meets b net gap 8", SECOND, THIRD)
    (one,) = found(report, 510)
    assert one.pieces == ("b",)
    assert "comes out at 8 mm, not at the 3 mm asked for" in one.says
    assert gaps(piece(report, "c"))["right"] == pytest.approx(72.0, abs=0.01)
    assert gaps(piece(report, "b"))["left"] == pytest.approx(8.0, abs=0.01)
    assert "8 mm from cabinet `a`" in piece(report, "b").rule


def test_a_run_wider_than_its_place_names_the_total_and_the_least_change():
    """600 instead of 500: 1523 in 1500."""
    report = report_of(FIRST, SECOND, THIRD.replace("width 500", "width 600"))
    (one,) = found(report, 517)
    assert one.pieces == ("c",)
    assert "1523 mm" in one.says
    assert "1500 mm" in one.says
    assert "23 mm" in one.do
    assert {told.name: told.status for told in report.pieces} == {
        "a": "ready",
        "b": "ready",
        "c": "not ready",
    }


def test_cabinets_that_only_hold_one_another_are_refused():
    one = f"cabinet a width 400 {BOX}, right meets b net"
    other = f"cabinet b width 400 {BOX}, left meets a net"
    report = report_of(one, other)
    assert {one.number for one in report.findings} == {518}
    assert {name for one in report.findings for name in one.pieces} == {"a", "b"}


def test_cabinets_that_overlap_are_doubted_once():
    """`a` from 100 to 500, `b` from 450 on: 50 too many. At other heights they do not meet."""
    lines = [
        f"cabinet {name} width 400 {BOX}, along {at} from left-back" for name, at in (("a", 100), ("b", 450))
    ]
    report = report_of(*lines)
    (one,) = found(report, 519)
    assert one.severity == "doubt"
    assert "50 mm" in one.says
    assert found(report_of(lines[0], lines[1].replace("bottom 100", "bottom 900")), 519) == []


# --- Aims and pins


@pytest.mark.parametrize(
    ("more", "left", "right"),
    [
        ("pins left at least 60", 60.0, 40.0),
        ("pins right at most 25", 75.0, 25.0),
        ("aim even ends", 50.0, 50.0),
        ("aim balanced, pins right exactly 70", 30.0, 70.0),
    ],
)
def test_a_cabinet_shares_100_as_it_is_told(more, left, right):
    report = report_of(f"{BETWEEN}, {more}")
    told = piece(report, "box")
    assert numbers(report) == []
    assert gaps(told) == pytest.approx({"left": left, "right": right}, abs=0.02)
    assert ("pins" in told.rule) == ("pins" in more)


def test_pins_that_clash_are_named_with_the_least_change():
    """60 + 50 of 100: 10 too many; the one behind has no part in it."""
    report = report_of(f"{BETWEEN}, pins left at least 60, right at least 50, back at least 3")
    (one,) = found(report, 516)
    assert one.severity == "stops"
    assert "left at least 60 mm" in one.says
    assert "right at least 50 mm" in one.says
    assert "back" not in one.says
    assert "10 mm" in one.do
    assert piece(report, "box").status == "not ready"


@pytest.mark.parametrize(
    ("edge_", "off", "left"),
    [("left", "", 700.0), ("centre", "", 400.0), ("right", "", 100.0), ("centre", " off 10", 410.0)],
)
def test_a_cabinet_in_line_with_a_drain(edge_, off, left):
    """The drain is 700 from the corner, the cabinet 600 wide."""
    line = f"cabinet box width 600 {BOX}, left meets left filler, aim in line {edge_} with tap{off}"
    report = report_of(*DRAIN, line)
    assert gaps(piece(report, "box")) == pytest.approx({"left": left}, abs=0.5)
    assert "in line with `tap`" in piece(report, "box").rule


def test_a_line_that_puts_a_cabinet_into_a_wall_says_by_how_much():
    """1450 wide over 700: it begins at -25."""
    line = f"{BETWEEN.replace('1400', '1450')}, aim in line centre with tap"
    (one,) = found(report_of(*DRAIN, line), 521)
    assert "25 mm" in one.says or "26 mm" in one.says
    assert "right" in one.do


def test_a_line_nobody_read_is_asked_for():
    line = f"cabinet box width 600 {BOX}, left meets left filler, aim in line centre with tap"
    assert 304 in numbers(report_of(DRAIN[0], line))


def test_a_deeper_cabinet_cannot_come_even_with_its_neighbour():
    deeper = "cabinet b width 500 height 700 depth 540 bottom 100, left meets a net gap 3, aim even front"
    (one,) = found(report_of(FIRST, deeper), 522)
    assert "40 mm" in one.says
    shallow = deeper.replace("540", "450")
    told = piece(report_of(FIRST, shallow), "b")
    assert told.status == "ready"
    assert sizes(told.measures)["largest gap behind"] == "50 mm"


@pytest.mark.parametrize(
    "line",
    [
        f"cabinet x width 400 {BOX}, along 100 from left-back, aim balanced",
        f"cabinet x width 400 {BOX}, left meets left filler, aim even ends",
        f"cabinet x width 400 {BOX}, left meets left filler, aim even front",
        f"cabinet x width 400 {BOX}, left meets left filler, pins right at least 3",
        "top x up 850 thickness 30 depth 500 width 700, left meets left scribed, aim even front",
    ],
)
def test_an_aim_with_nothing_to_go_by_is_refused(line):
    report = report_of(line)
    assert numbers(report) == [502]
    assert piece(report, "x").status == "not ready"


def test_a_symmetric_survey_in_a_mirror_tells_the_mirrored_gaps():
    lines = (FIRST, SECOND, f"{THIRD}, pins right at least 30")
    one, image = (fit(survey) for survey in (survey_of(*lines), mirrored(survey_of(*lines))))
    for name in "abc":
        there = {SWAP[side]: gap for side, gap in gaps(piece(image, name)).items()}
        assert there == pytest.approx(gaps(piece(one, name)), abs=0.01)


# --- Tops


TOP = "top t up 850 thickness 30 depth 500 width 700, left meets left scribed, back meets back scribed"


RIGHT = (
    "three sides back-right",
    "length",
    "wall right",
    "corner back-right",
    "straightedge right",
    "lean right",
)


def askew(diagonal: float) -> list[str]:
    """Without the right wall; the left corner opens as far as its diagonal says."""
    square = "right diagonal 1000"
    assert any(square in line for line in ALCOVE)
    return [line.replace(square, f"right diagonal {diagonal:g}") for line in without(ALCOVE, *RIGHT)]


def test_a_top_that_is_balanced_is_scribed_alike_at_both_edges():
    """A corner of about 91 degrees: unturned all is at the left; balanced both edges share it."""
    room = askew(1008.3)
    stays, turned = (piece(report_of(f"{TOP}{aim}", room=room), "t") for aim in ("", ", aim balanced"))
    ranges = [[edge(told, side).allowance.range.mm for side in ("left", "back")] for told in (stays, turned)]
    assert max(ranges[1]) < max(ranges[0]) - 2.0
    assert ranges[1][0] == pytest.approx(ranges[1][1], abs=1.0)
    assert "widest gap of its edges is least" in turned.rule


def test_two_tops_on_one_cabinet_are_doubted_once():
    on = "thickness 30 overhang 20"
    report = report_of(FIRST, f"top t on a {on}", f"top u on a {on}")
    assert len(found(report, 520)) == 1


# --- What a cabinet stands on


STANDS = "cabinet x width 1000 height 700 depth 500, left meets left filler gap 30, stands on {}"


def test_legs_and_a_loose_base_are_told_from_the_high_point():
    """The floor falls 13 over 1300: 1000 further right it is 10 lower."""
    drops = [line.replace("reads 1000", "reads 1013") if "along 1400" in line else line for line in ALCOVE]
    room = [new if old.startswith("drop floor") else old for old, new in zip(ALCOVE, drops, strict=True)]
    legs, loose = (
        {one.name: one.size.mm for one in piece(report_of(line, room=room), "x").measures}
        for line in (STANDS.format(f"{base} toe height 100 toe depth 50") for base in ("legs", "loose base"))
    )
    assert legs["leg at the left front"] == pytest.approx(100.0, abs=0.3)
    assert legs["leg at the right back"] == pytest.approx(110.0, abs=0.4)
    assert loose["height of the loose base"] == 100.0
    assert loose["shim under the loose base at the right front"] == pytest.approx(10.0, abs=0.4)


def test_legs_without_a_height_are_asked_for():
    assert numbers(report_of(STANDS.format("legs"))) == [306]

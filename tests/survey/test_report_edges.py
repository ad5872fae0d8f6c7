"""Ends of tops and shelves that meet trim, a cabinet's side or a panel's, worked out by hand."""

from __future__ import annotations

import pytest
from dictated import ALCOVE, COUNTER, LINEN, edge, found, numbers, piece, report_of, sizes, survey_of
from mirrored import mirrored
from shapely import Polygon

from survey.findings import fit

TOP = "top counter against back up 850 thickness 30 depth 500 {}, back meets back scribed"
DOOR = "casing door on back toward right width 60 projection 15"
AT_1100 = "position door along 1100 from left-back up 850"
PANEL = (
    "panel gable on back along 400 from left-back shows right depth 450 thickness 18 height 1200, "
    "back meets back scribed"
)


def width(report, name="counter"):
    return sizes(piece(report, name).finished)["width"]


@pytest.mark.parametrize(
    ("lines", "ends", "by_hand"),
    [
        # The tall cabinet stands from 30 to 630, the right wall at 1500.
        ((LINEN,), "left meets linen net gap 2, right meets right net gap 3", 1500 - 630 - 5),
        # The near edge at 1100.
        ((DOOR, AT_1100), "left meets left net gap 3, right meets door net gap 2", 1100 - 5),
        # The panel's show face looks right, at 400; its other one is at 382.
        ((PANEL,), "left meets gable net gap 2, right meets right net gap 3", 1500 - 400 - 5),
        ((PANEL,), "left meets left net gap 3, right meets gable net gap 2", 382 - 5),
        ((LINEN, DOOR, AT_1100), "left meets linen net gap 2, right meets door net gap 2", 1100 - 630 - 4),
    ],
)
def test_between_two_things_a_top_is_as_wide_as_they_are_apart(lines, ends, by_hand):
    assert width(report_of(*lines, TOP.format(ends))) == f"{by_hand} mm"


@pytest.mark.parametrize(
    ("lines", "end"),
    [((LINEN,), "left meets linen"), ((DOOR, AT_1100), "right meets door"), ((PANEL,), "left meets gable")],
)
def test_a_top_with_an_open_end_is_as_wide_as_it_was_typed_and_stands_its_gap_off(lines, end):
    report = report_of(*lines, TOP.format(f"width 700, {end} net gap 2"))
    told = piece(report, "counter")
    assert width(report) == "700 mm"
    side, name = end.split()[0], end.split()[-1]
    assert edge(told, side).meets == f"`{name}`"
    assert edge(told, side).gap.text == "2 mm"


def test_an_end_set_flush_to_a_cabinet_leaves_no_gap():
    told = piece(report_of(LINEN, TOP.format("width 700, left meets linen net gap 0")), "counter")
    assert edge(told, "left").gap.mm == 0
    assert told.chance.by_edge["left"].chance > 0.98


def test_a_scribed_end_at_a_cabinet_is_left_over_and_covers():
    told = piece(report_of(LINEN, TOP.format("width 700, left meets linen scribed")), "counter")
    left = edge(told, "left")
    # 1/16 in for the saw, and little else: the side is straight, and the top is pushed against it.
    assert 1.5 < left.allowance.total.mm < 5
    assert left.allowance.range.mm == pytest.approx(0, abs=1e-6)
    assert told.chance.covers.chance > 0.98


def test_the_same_cabinet_that_holds_both_leaves_nothing_unknown_between_them():
    """The top is pushed against the cabinet, wherever the left wall is: only the turn of the backs counts."""
    report = report_of(LINEN, TOP.format("width 700, left meets linen net gap 2"))
    assert numbers(report) == []
    assert piece(report, "counter").chance.by_edge["left"].chance > 0.99


def test_an_end_that_meets_trim_is_not_notched_around_it():
    told = piece(
        report_of(DOOR, AT_1100, TOP.format("left meets left net gap 3, right meets door net gap 2")),
        "counter",
    )
    assert told.notches == ()
    over = piece(
        report_of(DOOR, AT_1100, TOP.format("left meets left net gap 3, right meets right net gap 3")),
        "counter",
    )
    assert over.notches


def test_trim_bars_the_way_in_only_as_far_as_it_stands_out():
    """The casing stands 15 out: in front of that a top can pass it, but not along the wall."""
    told = piece(report_of(DOOR, AT_1100, TOP.format("width 700, right meets door net gap 2")), "counter")
    (casing,) = [ring for ring in told.entry.barriers if min(y for _, y in ring) > 400 and len(ring) < 10]
    assert min(y for _, y in casing) == pytest.approx(500 - 15, abs=1)
    assert "from the right `door` bars it" in told.entry.only
    cabinet = piece(report_of(LINEN, TOP.format("width 700, left meets linen net gap 2")), "counter")
    rings = [Polygon(ring) for ring in cabinet.entry.barriers]
    assert all(ring.distance(Polygon(cabinet.outline)) < 2.01 for ring in rings)


def test_a_shelf_between_a_panel_and_a_wall():
    line = (
        "shelf board width 600 height 300 thickness 25 up 900, left meets gable net gap 1, "
        "right meets right net gap 2, back meets back net gap 1"
    )
    report = report_of(PANEL, line)
    assert width(report, "board") == f"{1500 - 400 - 3} mm"


ON_LEFT = "casing door on left toward left width 60 projection 15"
BOARD = "baseboard board on back width 100 projection 12"
LOW = "cabinet short width 600 height 700 depth 500, left meets left net"
HOOK = "cleat hook width 500 height 90 thickness 18"


@pytest.mark.parametrize(
    ("lines", "end", "says"),
    [
        ((DOOR,), "right meets door net", None),  # 304: nobody read where it is
        ((DOOR + " comes off", AT_1100), "right meets door net", "which comes off"),
        ((DOOR, AT_1100), "left meets door net", "runs to the right from its near edge"),
        ((DOOR + " top 700", AT_1100), "right meets door net", "reaches from"),
        ((ON_LEFT,), "left meets door net", "which is on wall `left`"),
        ((BOARD,), "left meets board net", "along the whole wall"),
        ((LOW,), "left meets short net", "reaches from"),
        ((), "left meets counter net", "rest on itself"),
        ((HOOK,), "left meets hook net", "only sides of cabinets and panels"),
    ],
)
def test_what_cannot_be_met_is_refused_with_what_to_do(lines, end, says):
    report = report_of(*lines, TOP.format(f"width 700, {end}"))
    told = piece(report, "counter")
    assert told.status == "not ready"
    assert told.finished == ()
    (said,) = (
        found(report, 304) if says is None else [one for one in found(report, 502) if "counter" in one.pieces]
    )
    assert says is None or says in said.says
    assert said.do


def test_a_top_does_not_meet_the_cabinet_that_it_lies_on():
    base = "cabinet base width 600 height 800 depth 480, left meets left filler gap 20"
    on = "top counter on base thickness 30 overhang 20, right meets base net, back meets back scribed"
    (said,) = [one for one in found(report_of(base, on), 502) if "counter" in one.pieces]
    assert "it lies on that cabinet" in said.says


def test_a_top_on_a_cabinet_that_stands_beside_a_tall_one_runs_up_to_it():
    """The tall one from 30 to 630, the base beside it: the top begins 2 off, and ends 10 past the base."""
    base = "cabinet base width 600 height 800 depth 480, left meets linen net gap 4"
    on = (
        "top counter on base thickness 30 overhang 20 end overhang 10, "
        "left meets linen net gap 2, back meets back scribed"
    )
    report = report_of(LINEN, base, on)
    assert width(report) == f"{600 + 4 + 10 - 2} mm"
    assert piece(report, "counter").chance.by_edge["left"].chance > 0.99


def test_trim_that_comes_later_is_said():
    report = report_of(DOOR + " comes later", AT_1100, TOP.format("width 700, right meets door net gap 2"))
    (said,) = found(report, 546)
    assert said.severity == "hint"
    assert width(report) == "700 mm"


def test_a_back_at_trim_is_told_to_meet_its_wall():
    sill = "sill stool on back toward right width 600 projection 40 bottom 800 top 860"
    line = COUNTER.replace("back meets back scribed", "back meets stool net")
    (said,) = [one for one in found(report_of(sill, line), 502) if "counter" in one.pieces]
    assert "only an end can meet trim" in said.says


@pytest.mark.parametrize(
    ("lines", "ends"),
    [
        ((LINEN,), "left meets linen net gap 2, right meets right net gap 3"),
        ((LINEN,), "width 700, left meets linen scribed"),
        ((PANEL,), "width 700, left meets gable net gap 2"),
        ((DOOR, AT_1100), "width 700, right meets door scribed"),
    ],
)
def test_the_mirror_image_of_a_place_gives_the_mirror_image_of_a_top(lines, ends):
    survey = survey_of(*lines, TOP.format(ends))
    there, here = piece(fit(survey), "counter"), piece(fit(mirrored(survey)), "counter")
    assert sizes(there.finished) == sizes(here.finished)
    swap = {"left": "right", "right": "left"}
    for one in there.edges:
        other = edge(here, swap.get(one.edge, one.edge))
        assert (one.finish, one.gap) == (other.finish, other.gap)
        if one.allowance is not None:
            assert one.allowance.total.mm == pytest.approx(other.allowance.total.mm, abs=0.05)
    assert Polygon(there.outline).area == pytest.approx(Polygon(here.outline).area, rel=1e-6)


def test_without_the_rooms_readings_nothing_is_said():
    report = report_of(LINEN, TOP.format("width 700, left meets linen net gap 2"), room=ALCOVE[:5])
    assert piece(report, "counter").status == "not ready"


@pytest.mark.parametrize(
    ("ends", "by_hand"),
    [
        ("width 700, left meets linen net gap 2", 700),
        # From 632, where the top begins, to the right wall, less 1/16 in.
        ("left meets linen net gap 2, right meets right net gap 3", 866),
    ],
)
def test_a_splash_ends_where_its_top_ends_at_another_piece(ends, by_hand):
    splash = "splash tiled width 700 height 100 thickness 18 of counter stands at back"
    report = report_of(LINEN, TOP.format(ends), splash)
    assert width(report, "tiled") == f"{by_hand} mm"


def test_no_splash_stands_at_an_end_that_meets_another_piece():
    splash = "splash tiled width 500 height 100 thickness 18 of counter stands at left"
    report = report_of(LINEN, TOP.format("width 700, left meets linen net gap 2"), splash)
    (said,) = [one for one in found(report, 502) if "tiled" in one.pieces]
    assert "meets no wall for it to stand at" in said.says

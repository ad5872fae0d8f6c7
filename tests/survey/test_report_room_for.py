"""What does not go in, and the trim that is in the way: results worked out by hand in the comments.

The room is `dictated.ALCOVE`: 1500 mm between square corners, floor at 0, ceiling at 2400, all flat.
"""

from __future__ import annotations

import math

import pytest
from dictated import (
    ALCOVE,
    CASING,
    COUNTER,
    END,
    LINEN,
    STRIP,
    edge,
    found,
    numbers,
    piece,
    report_of,
    without,
)

from survey.quantity import read_length

# --- What does not go in


BOX = "cabinet box width {width} height {height} depth 500 bottom 100, {sides}"


def stopped(number: int, *lines: str) -> str:
    report = report_of(*lines)
    name = lines[-1].split()[1] if lines[-1].split()[0] != "tall" else lines[-1].split()[2]
    (finding,) = found(report, number)
    assert piece(report, name).status == "not ready"
    assert name in finding.pieces
    return finding.says


def test_taller_than_the_room():
    """The floor is at 0, the ceiling at 2400."""
    said = stopped(500, LINEN.replace("height 2000", "height 2401"))
    assert "2401 mm high; the room there is 2400 mm" in said
    # Lower by 1 it stands there, but cannot be stood up: sqrt(2399^2 + 500^2) = 2450.6.
    assert numbers(report_of(LINEN.replace("height 2000", "height 2399"))) == [570]


def test_a_panel_taller_than_the_room():
    assert "2450 mm high; the room there is 2400 mm" in stopped(
        500, END.replace("height 2000", "height 2450")
    )


def test_wider_than_the_alcove():
    sides = "left meets left filler, right meets right filler"
    said = stopped(501, BOX.format(width=1503, height=700, sides=sides))
    assert "1503 mm wide; there are 1500 mm" in said
    # Half a millimetre at either side: it may bind, and that is said as a chance.
    report = report_of(BOX.format(width=1499, height=700, sides=sides))
    (doubt,) = report.findings
    assert doubt.number == 514
    # A reading is spoken of where one is advised, and nowhere else.
    assert bool(report.room.next_readings) == ("what to read next" in doubt.do)
    assert "more at" in doubt.do
    assert numbers(report_of(BOX.format(width=1490, height=700, sides=sides))) == []


def test_a_gap_asked_for_that_leaves_no_room():
    """1500 - 1480 = 20 in all; 30 asked for at the left."""
    sides = "left meets left filler gap 30, right meets right filler"
    assert "runs into wall `right`" in stopped(502, BOX.format(width=1480, height=700, sides=sides))


@pytest.mark.parametrize(
    "line",
    [
        BOX.format(width=1490, height=700, sides="left meets left filler gap 30"),  # 30 + 1490 - 1500 = 20
        COUNTER.replace("width 700", "width 1520"),
    ],
    ids=["box", "top"],
)
def test_an_open_end_that_runs_into_the_other_wall(line):
    assert "its open right end runs 2" in stopped(502, line)


def test_what_goes_with_a_piece_that_is_not_ready_is_not_ready_either():
    wide = (
        "cabinet wide width 1503 height 700 depth 500 bottom 100, "
        "left meets left filler, right meets right filler"
    )
    report = report_of(
        wide,
        "filler f left of wide thickness 18",
        "top t on wide thickness 30, left meets left net gap 2, back meets back net gap 2",
    )
    assert [one.status for one in report.pieces] == ["not ready"] * 3
    assert found(report, 501)[0].pieces == ("wide", "f", "t")


def test_both_ends_scribed_between_walls_cannot_go_in():
    both = COUNTER.replace("width 700, ", "").replace("back meets", "right meets right scribed, back meets")
    report = report_of(both)
    assert numbers(report) == [503]
    assert piece(report, "counter").findings == (503,)


def test_an_alcove_that_is_narrower_in_front():
    """Corners of 89 degrees: at 500 the walls are 2 x 8.73 nearer to one another."""
    diagonal = math.sqrt(600**2 + 800**2 - 2 * 600 * 800 * math.cos(math.radians(89)))
    room = without(ALCOVE, "three sides", "length")
    room += [
        f"three sides left-back 600 left 800 right diagonal {diagonal:.3f} up 850 sd 0.05",
        f"three sides back-right 800 left 600 right diagonal {diagonal:.3f} up 850 sd 0.05",
        "length left-back to back-right up 850 reads 1500",
    ]
    top = (
        "top t against back up 850 thickness 30 depth 500, left "
        "meets left net gap 2, right meets right net gap 2, back meets back net gap 2"
    )
    (finding,) = found(report_of(top, room=room), 505)
    less = float(read_length(finding.says.split(" is ")[1].split(" narrower")[0], "mm").mm)
    assert 2 * 8.73 * 0.6 < less <= 2 * 8.73 + 1


def test_a_gap_is_made_larger_where_the_top_would_not_go_in():
    top = "top t against back up 850 thickness 30 depth 500, "
    top += "left meets left net gap 0.2 mm, right meets right net gap 0.2 mm, back meets back net gap 60"
    report = report_of(top)
    told = edge(piece(report, "t"), "left")
    assert 0.2 < told.gap.mm <= 1.5875  # half of what may stay
    assert {one.says.split(": ")[0] for one in found(report, 504)} == {
        f"the gap at the {side} of `t` is {told.gap.text}, not 1 mm" for side in ("left", "right")
    }
    assert edge(piece(report, "t"), "back").gap.mm == pytest.approx(60.0, abs=2.0)


def test_a_top_with_an_open_end_is_pushed_over_and_needs_no_wider_gap():
    top = "top t against back up 850 thickness 30 depth 500 width 700, "
    report = report_of(top + "left meets left net gap 1, back meets back net gap 60")
    assert not found(report, 504)
    assert edge(piece(report, "t"), "left").gap.mm == 1.0


# --- Trim


BASEBOARD = "baseboard base on {wall} width 100 projection 16 {more}"


@pytest.mark.parametrize(
    ("wall", "more", "runs_into"),
    [
        ("back", "", True),
        ("back", "bottom 0", True),
        ("back", "comes off", False),
        ("back", "comes later", False),
        ("left", "", False),  # 30 is left at that side
        ("right", "", False),
    ],
)
def test_a_box_runs_into_a_baseboard(wall, more, runs_into):
    report = report_of(BASEBOARD.format(wall=wall, more=more), LINEN)
    assert bool(found(report, 506)) == runs_into
    assert piece(report, "linen").status == "ready"


def test_a_thick_baseboard_fills_the_gap_at_a_side():
    report = report_of(BASEBOARD.format(wall="left", more="").replace("16", "35"), LINEN)
    assert found(report, 506)[0].pieces == ("linen",)


def test_a_box_above_a_baseboard_is_clear_of_it():
    """The board's top edge is 100 above the floor."""
    line = BASEBOARD.format(wall="back", more="")
    clear, low = (
        f"cabinet box width 600 height 400 depth 300 bottom {up}, left meets left filler gap 30"
        for up in (101, 99)
    )
    assert not found(report_of(line, clear), 506)
    assert found(report_of(line, low), 506)


def test_a_panel_and_a_filler_are_notched_over_a_baseboard():
    """16 out and 100 up, 1/16 in kept clear, and what two sizes "
    "typed once leave open; the notch rounds larger."""
    boards = [
        BASEBOARD.format(wall="back", more="").replace("base ", "base-back "),
        BASEBOARD.format(wall="left", more=""),
    ]
    report = report_of(*boards, LINEN, STRIP, END)
    (notch,) = piece(report, "end").notches
    assert (notch.around, notch.across_from, notch.deep_from) == (
        "base-back",
        "from the front",
        "from the bottom",
    )
    high = max(corner.deep.cut_mm for corner in notch.corners)
    inner = min(corner.across.cut_mm for corner in notch.corners)
    assert 101.5875 <= high <= 104.0
    assert 420 - 16 - 1.5875 - 3.0 <= inner <= 420 - 16 - 1.5875
    assert piece(report, "strip").notches[0].around == "base"


def test_a_casing_is_notched_and_its_place_must_be_read():
    """Near edge 450 from the corner, so 50 from the front of a top 500 deep; 15 out of the wall."""
    report = report_of(CASING, COUNTER)
    assert [(one.number, one.pieces) for one in report.findings] == [(304, ("counter",))]
    report = report_of(CASING, "position trim along 450 from left-back up 850", COUNTER)
    (notch,) = piece(report, "counter").notches
    assert (notch.across_from, notch.deep_from) == ("from the right end", "from the front")
    deepest = max(corner.deep.cut_mm for corner in notch.corners)
    nearest = min(corner.across.cut_mm for corner in notch.corners)
    assert 50 + 1.5875 <= deepest <= 50 + 1.5875 + 4.0
    assert 700 - 15 - 1.5875 - 4.0 <= nearest <= 700 - 15 - 1.5875
    assert all(corner.across.cut_mm >= 0 for corner in notch.corners)


def test_a_casing_above_the_top_is_not_asked_for():
    assert numbers(report_of(CASING + " bottom 900", COUNTER)) == []


def test_a_casing_without_a_projection_is_named():
    report = report_of(
        CASING.replace(" projection 15", ""), "position trim along 450 from left-back up 850", COUNTER
    )
    assert [(one.number, one.pieces) for one in report.findings] == [(305, ("counter",))]
    assert "projection" in report.findings[0].says


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(
    ("along", "toward_front", "meets"),
    [
        (450, True, True),  # from 450 out of the corner on, and its opening: the face, at 500, is there
        (530, True, False),
        (450, False, False),  # from 450 to the corner: the strip, from 482 to 500, passes it
        (490, False, True),
    ],
)
def test_a_strip_that_meets_a_casing_instead_of_the_wall(side, along, toward_front, meets):
    """Facing the left wall, the front of the room is at the left; facing the right wall, at the right."""
    corner = {"left": "left-back", "right": "back-right"}[side]
    other = {"left": "right", "right": "left"}[side]
    report = report_of(
        f"casing trim on {side} toward {side if toward_front else other} width 60 projection 15",
        f"position trim along {along} from {corner} up 850",
        LINEN.replace("left meets left", f"{side} meets {side}"),
        STRIP.replace("left of", f"{side} of"),
    )
    assert [one.pieces for one in found(report, 506)] == ([("strip",)] if meets else [])


def test_a_casing_behind_a_box_and_one_beside_it():
    """The box stands from 30 to 630: a window from 600 on is behind it, one from 640 on is not."""
    for along, behind in ((600, True), (640, False)):
        report = report_of(
            "casing window on back toward right width 60 projection 15",
            f"position window along {along} from left-back up 1200",
            LINEN,
        )
        assert bool(found(report, 506)) == behind
    beside = (
        "casing trim on left toward left width 60 projection 40",
        "position trim along 450 from left-back up 850",
    )
    assert found(report_of(*beside, LINEN), 506)[0].pieces == ("linen",)


@pytest.mark.parametrize(("along", "meets"), [(790, True), (830, False)])
def test_a_panel_that_meets_a_casing(along, meets):
    """The panel stands from 800, its show face, to 818; the casing begins there or beyond."""
    report = report_of(
        "casing window on back toward right width 60 projection 15",
        f"position window along {along} from left-back up 1200",
        END,
    )
    assert [one.pieces for one in found(report, 506)] == ([("end",)] if meets else [])

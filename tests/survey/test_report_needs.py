"""What must be read or said before a piece is worked out, and what may be assumed.

The room is `dictated.ALCOVE`: 1500 mm between square corners, floor at 0, ceiling at 2400, all flat.
"""

from __future__ import annotations

import pytest
from dictated import (
    ALCOVE,
    CASING,
    COUNTER,
    END,
    HUNG,
    LINEN,
    PIECES,
    edge,
    found,
    numbers,
    piece,
    report_of,
    without,
)

# --- What must be read: taking readings away


NEEDED = {
    # What is taken away, and the finding that must name the gap and the pieces that then are not ready.
    "three sides left-back": (301, {"counter", "linen", "strip"}),
    "three sides back-right": (301, {"hung"}),
    "straightedge back": (302, {"counter"}),
    "straightedge left": (302, {"counter"}),
    "lean back": (302, {"end"}),
    "lean right": (302, {"hung"}),
    "drop floor": (303, {"linen", "strip", "end"}),
}
NOT_NEEDED = ("straightedge right", "drop ceiling", "length left-back to back-right up 100")


@pytest.mark.parametrize("away", NEEDED)
def test_a_reading_that_is_missing_is_named(away):
    number, pieces = NEEDED[away]
    report = report_of(*PIECES, room=without(ALCOVE, away))
    assert {name for one in found(report, number) for name in one.pieces} == pieces
    assert {one.name for one in report.pieces if one.status == "not ready"} == pieces
    assert set(numbers(report)) == {number}


@pytest.mark.parametrize("away", NOT_NEEDED)
def test_a_reading_that_no_piece_needs_is_not_asked_for(away):
    assert numbers(report_of(*PIECES, room=without(ALCOVE, away))) == []


@pytest.mark.parametrize("drop", [line for line in ALCOVE if line.startswith("drop floor")])
def test_one_drop_says_nothing_of_how_the_floor_runs(drop):
    room = [*without(ALCOVE, "drop floor"), drop]
    report = report_of(LINEN, room=room)
    assert numbers(report) == [306]
    assert "how the floor runs" in report.findings[0].says


def test_a_wall_that_nothing_ties_is_named():
    """Both corners known, but no length between the side walls: where the right wall is, nobody said."""
    room = without(ALCOVE, "length")
    report = report_of(HUNG, LINEN, room=room)
    assert [(one.number, one.pieces) for one in report.findings] == [(300, ("hung",))]
    assert "right" in report.findings[0].says


@pytest.mark.parametrize(
    "line",
    [line for line in ALCOVE if line.split()[0] in {"length", "three", "straightedge", "lean", "drop"}],
)
def test_taking_one_reading_away_is_never_a_silent_guess(line):
    """Either all stays ready, its numbers hardly moved, or a finding names what is missing."""
    report = report_of(*PIECES, room=[one for one in ALCOVE if one != line])
    complete = report_of(*PIECES)
    for told, before in zip(report.pieces, complete.pieces, strict=True):
        if told.status == "ready":
            for size, other in zip(told.finished, before.finished, strict=True):
                assert size.size.mm == pytest.approx(other.size.mm, abs=0.5)
        else:
            assert told.findings
            assert any(told.name in one.pieces and one.severity == "stops" for one in report.findings)


def test_a_piece_that_is_not_ready_carries_no_numbers():
    report = report_of(*PIECES, room=without(ALCOVE, "three sides", "drop floor"))
    blank = [one for one in report.pieces if one.status == "not ready"]
    assert len(blank) == 5
    for told in blank:
        assert not any(
            (
                told.finished,
                told.blank,
                told.outline,
                told.blank_outline,
                told.edges,
                told.notches,
                told.measures,
            )
        )
        assert told.confidence is None
        assert told.findings


# --- Assumptions


@pytest.mark.parametrize(
    ("away", "assumed", "pieces"),
    [
        ("three sides left-back", "assume corner angle left-back", ("counter", "linen", "strip")),
        ("straightedge back", "assume flat wall back", ("counter",)),
        ("lean right", "assume plumb wall right", ("hung",)),
    ],
)
def test_an_assumption_replaces_a_reading_and_is_said(away, assumed, pieces):
    report = report_of(assumed, *PIECES, room=without(ALCOVE, away))
    assert {one.status for one in report.pieces} == {"ready"}
    assert [(one.number, one.pieces) for one in report.findings] == [(600, pieces)]
    for told in report.pieces:
        assert (600 in told.findings) == (told.name in pieces)


def test_an_assumption_is_wide():
    """A corner taken for square leaves more on than one that was read."""
    room = without(ALCOVE, "three sides left-back")
    assumed = edge(piece(report_of("assume corner angle left-back", COUNTER, room=room), "counter"), "left")
    read = edge(piece(report_of(COUNTER), "counter"), "left")
    assert assumed.allowance.unknown.mm > 2 * read.allowance.unknown.mm


def test_a_level_floor_may_be_assumed_from_one_drop():
    room = [*without(ALCOVE, "drop floor"), "drop floor back along 100 from left-back out 50 reads 1000"]
    report = report_of("assume level floor", LINEN, room=room)
    assert [(one.number, one.pieces) for one in report.findings] == [(600, ("linen",))]
    assert piece(report, "linen").status == "ready"


def test_without_any_drop_a_level_floor_is_nowhere():
    report = report_of("assume level floor", LINEN, room=without(ALCOVE, "drop floor"))
    assert 303 in numbers(report)
    assert piece(report, "linen").status == "not ready"


def test_tile_to_come_moves_the_wall_and_is_said():
    """Tile of 10 on the left wall: the alcove is 1490 wide; a box "
    "with 30 at the left has 860 at the right."""
    line = (
        "cabinet box width 600 height 700 depth 500 bottom 100, left "
        "meets left filler gap 30, right meets right filler"
    )
    report = report_of("area wet on left layers tile 10 to come", line)
    assert edge(piece(report, "box"), "right").gap.mm == pytest.approx(860.0, abs=0.1)
    (tile,) = found(report, 601)
    assert "10 mm thick" in tile.says
    assert tile.pieces == ("box",)
    assert 601 in piece(report, "box").findings


# --- The floor


def test_shims_are_what_the_floor_lacks():
    """The floor falls 13 mm over 1300 to the right, 1 in 100: a box 600 wide stands on its left, 6 mm short.

    A slope of 1 in 100 is twice what is expected of floors, so it comes out a little less.
    """
    drops = [
        line.replace("reads 1000", "reads 1013") if "along 1400" in line and "floor" in line else line
        for line in ALCOVE
    ]
    told = {one.name: one.size.mm for one in piece(report_of(LINEN, room=drops), "linen").measures}
    assert told["shim at the left front"] == pytest.approx(0.0, abs=0.1)
    assert told["shim at the right front"] == pytest.approx(6.0, abs=0.2)
    assert told["shim at the right back"] == pytest.approx(6.0, abs=0.2)


# --- What is named and is not there


@pytest.mark.parametrize(
    ("line", "number", "says"),
    [
        (COUNTER.replace("meets left", "meets north"), 103, "names `north`, which does not exist"),
        ("cabinet box on north width 600 height 700 depth 500, left meets left filler", 103, "`north`"),
        ("filler f left of nothing thickness 18", 103, "`nothing`"),
        ("top t on nothing thickness 30, left meets left scribed", 103, "`nothing`"),
        (
            END.replace("left-back", "nowhere"),
            103,
            "`nowhere`",
        ),
    ],
)
def test_what_does_not_exist_is_named_once(line, number, says):
    report = report_of(line)
    (finding,) = report.findings
    assert finding.number == number
    assert says in finding.says
    assert report.pieces[0].status == "not ready"
    assert report.pieces[0].findings == (number,)


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ((HUNG, END.replace("back meets back", "back meets hung")), "`hung`"),
        ((CASING, COUNTER.replace("left meets left", "left meets trim")), "meets `trim`"),
        ((COUNTER.replace("left scribed", "left filler"),), "asks for a filler"),
        (("cabinet box width 600 height 700 depth 500 bottom 100, left meets left scribed",), "a box's side"),
        (
            ("shelf s width 500 height 300 thickness 18", "top t on s thickness 30, left meets left scribed"),
            "`s`, which does not exist",
        ),
    ],
    ids=["another piece", "trim", "filler on a top", "scribed box", "on a shelf"],
)
def test_what_is_not_worked_out_is_refused(lines, says):
    report = report_of(*lines)
    told = report.pieces[-1]
    (finding,) = [one for one in report.findings if told.name in one.pieces]
    assert told.status == "not ready"
    assert finding.severity == "stops"
    assert says in finding.says


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("cabinet box width 600 height 700 depth 500 bottom 100", "where `box` stands along wall `back`"),
        ("cabinet box width 600 height 700 depth 500 bottom 100, from left-back", "where `box` stands"),
        ("top t against back up 850 thickness 30 width 700, left meets left scribed", "the depth of `t`"),
        ("top t against back thickness 30 depth 500 width 700, left meets left scribed", "the height of `t`"),
        ("top t against back up 850 thickness 30 depth 500, left meets left scribed", "the width of `t`"),
        (
            "top t against back up 850 thickness 30 depth 500 width 700, back meets back scribed",
            "the place along the wall of `t`",
        ),
        (
            "panel p along 800 from left-back shows left depth 420 thickness 18 height 700",
            "how the back edge",
        ),
    ],
)
def test_what_is_not_said_is_asked_for(line, says):
    report = report_of(line)
    (finding,) = report.findings
    assert (finding.number, finding.pieces) == (306, (report.pieces[0].name,))
    assert says in finding.says


def test_a_filler_at_an_open_side_is_asked_for_its_wall():
    report = report_of(LINEN, "filler f right of linen thickness 18")
    assert [(one.number, one.pieces) for one in report.findings] == [(306, ("f",))]


def test_a_mark_that_was_never_read_is_named():
    lines = ("mark m1 on back", "cabinet box width 600 height 700 depth 500 bottom 100, along 10 from m1")
    assert [(one.number, one.pieces) for one in report_of(*lines).findings] == [(304, ("box",))]
    read = report_of(lines[0], "position m1 along 400 from left-back up 800", lines[1])
    assert piece(read, "box").status == "ready"


def test_a_name_used_twice_stops_what_rests_on_it():
    report = report_of("wall left masonry", LINEN, HUNG)
    assert found(report, 102)
    assert {one.name: one.status for one in report.pieces} == {"linen": "not ready", "hung": "ready"}


def test_an_empty_survey_has_a_report():
    report = report_of(room=[])
    assert numbers(report) == [100, 101, 107]
    assert report.pieces == ()


def test_pieces_of_a_room_that_is_none_are_not_ready():
    report = report_of("job x in mm to 1 mm", COUNTER, room=[])
    assert [one.status for one in report.pieces] == ["not ready"]
    assert 101 in numbers(report)


@pytest.mark.parametrize(
    ("stations", "ready"),
    [("700 0, 850 0, 1000 0, 1150 0", False), ("50 0, 300 0, 550 0, 800 0, 1050 0", True)],
)
def test_a_wall_is_checked_over_the_whole_top_not_only_over_its_cabinet(stations, ready):
    """The cabinet stands from 700 to 1100; its top runs on to the corner, 700 mm further."""
    box = "cabinet box width 400 height 500 depth 480 bottom 320 along 700 from left-back"
    top = "top long on box thickness 30, left meets left scribed, back meets back scribed"
    room = [*without(ALCOVE, "straightedge back"), f"straightedge back up 850 from left-back: {stations}"]
    report = report_of(box, top, room=room)
    assert numbers(report) == ([] if ready else [302])
    assert (piece(report, "long").status == "ready") is ready

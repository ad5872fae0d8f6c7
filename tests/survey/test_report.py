"""Whole reports of dictated rooms, against results worked out by hand in the comments.

The room is `dictated.ALCOVE`: 1500 mm between square corners, floor at 0, ceiling at 2400, all flat.
"""

from __future__ import annotations

import json
import math
from itertools import pairwise
from pathlib import Path

import jsonschema
import msgspec
import pytest
from dictated import ALCOVE, edge, found, numbers, piece, report_of, sizes, survey_of, without

from survey.findings import fit
from survey.quantity import read_length
from survey.report.schema import report_schema
from survey.report.structs import FitReport

SCHEMA = Path(__file__).parents[2] / "assets" / "schemas" / "fit-report.schema.json"

COUNTER = (
    "top counter against back up 850 thickness 30 depth 500 width 700, "
    "left meets left scribed, back meets back scribed"
)
LINEN = "tall cabinet linen width 600 height 2000 depth 500, left meets left filler gap 30"
STRIP = "filler strip left of linen thickness 18"
END = (
    "panel end on back along 800 from left-back shows left depth 420 thickness 18 height 2000, "
    "back meets back scribed"
)
HUNG = "cabinet hung width 600 height 400 depth 300 bottom 1500, right meets right net gap 3"
PIECES = (COUNTER, LINEN, STRIP, END, HUNG)


# --- The struct and its schema


def test_the_published_schema_is_fresh():
    published = SCHEMA.read_text("utf-8")
    assert published == json.dumps(report_schema(), indent=1, ensure_ascii=False) + "\n"


@pytest.mark.parametrize("lines", [(), PIECES, ("top t thickness 30",)], ids=["no piece", "all", "not ready"])
def test_reports_are_as_the_schema_says(lines):
    report = report_of(*lines)
    told = json.loads(msgspec.json.encode(report))
    jsonschema.Draft202012Validator(report_schema()).validate(told)
    assert msgspec.json.decode(json.dumps(told), type=FitReport) == report


def test_the_schema_refuses_what_is_no_report():
    told = json.loads(msgspec.json.encode(report_of())) | {"version": 2}
    with pytest.raises(jsonschema.ValidationError, match="2 is not one of"):
        jsonschema.validate(told, report_schema())


# --- Every kind of piece, in a square room


def test_a_complete_survey_has_no_findings_and_all_is_ready():
    report = report_of(*PIECES)
    assert numbers(report) == []
    assert {one.status for one in report.pieces} == {"ready"}


def test_a_top_in_a_square_corner_has_the_size_asked_for():
    """Nothing of the wall lies beyond the line: range 0, so the "
    "total is the unknown and 1/16 in for the saw."""
    top = piece(report_of(COUNTER), "counter")
    assert sizes(top.finished) == {"width": "700 mm", "depth": "500 mm", "thickness": "30 mm"}
    assert top.datum == "front edge and right end"
    left = edge(top, "left")
    assert left.allowance.range.mm == pytest.approx(0.0, abs=0.01)
    assert left.allowance.saw.mm == 1.5875
    assert left.stations_from == "from the front"
    assert edge(top, "back").stations_from == "from the right end"


@pytest.mark.parametrize(
    ("along", "left", "right"),
    [
        # The gap asked for, and what is left of 1500 - 600 = 900 at the other side.
        ("left meets left filler gap 30, right meets right filler", 30.0, 870.0),
        ("right meets right filler gap 40, left meets left filler", 860.0, 40.0),
        ("left meets left filler, right meets right filler", 450.0, 450.0),
        ("along 100 from left-back", None, None),
    ],
)
def test_a_cabinets_gaps(along, left, right):
    box = piece(report_of(f"cabinet box width 600 height 700 depth 500 bottom 100, {along}"), "box")
    assert box.status == "ready"
    assert box.finished == box.blank
    gaps = {one.edge: one.gap.mm for one in box.edges}
    assert gaps == pytest.approx({"left": left, "right": right} if left else {}, abs=0.01)


def test_filler_options_add_up_to_the_gap():
    """1500 - 1400 = 100 in all: one strip of 100, or two of 50."""
    line = (
        "cabinet box width 1400 height 700 depth 500 bottom 100, "
        "left meets left filler, right meets right filler"
    )
    told = sizes(piece(report_of(line), "box").measures)
    options = {name: text for name, text in told.items() if name.startswith("filler option")}
    assert list(options.values()) == ["100 mm", "100 mm", "50 mm", "50 mm"]


def test_a_filler_is_as_wide_as_the_gap_and_as_long_as_the_box():
    strip = piece(report_of(LINEN, STRIP), "strip")
    assert sizes(strip.finished) == {"width": "30 mm", "length": "2000 mm", "thickness": "18 mm"}
    assert sizes(strip.measures)["taper, bottom to top"] == "0 mm"


def test_a_leaning_wall_tapers_the_filler():
    """The wall leans in 9 mm over 1800: over a box 2000 high 10 "
    "mm, less at the top; the gap asked is the least."""
    room = [
        line.replace("high 1900 in 0", "high 1900 in 9") if line.startswith("lean left") else line
        for line in ALCOVE
    ]
    room = without(room, "length left-back to back-right up 100")
    strip = piece(report_of(LINEN, STRIP, room=room), "strip")
    told = {one.name: one.size.mm for one in strip.measures}
    assert told["gap at the face, top"] == pytest.approx(30.0, abs=0.3)
    assert told["taper, bottom to top"] == pytest.approx(-10.0, abs=0.5)
    assert edge(strip, "left").allowance.range.mm == pytest.approx(10.0, abs=0.5)


def test_a_panel_stands_where_it_is_asked_and_is_as_deep_as_asked():
    panel = piece(report_of(END), "end")
    assert sizes(panel.finished) == {"depth": "420 mm", "height": "2000 mm", "thickness": "18 mm"}
    assert [one.edge for one in panel.edges] == ["back"]
    assert min(x for x, _ in panel.outline) == pytest.approx(
        -420.0, abs=0.01
    )  # shows left: the back is there


@pytest.mark.parametrize("kind", ["splash", "shelf", "face frame", "drawer", "toe kick", "cleat", "mirror"])
def test_other_parts_are_listed_as_typed(kind):
    report = report_of(f"{kind} part width 465 height 90 thickness 18")
    told = piece(report, "part")
    assert (told.kind, told.status, told.findings) == (kind, "as typed", (507,))
    assert (
        sizes(told.finished)
        == sizes(told.blank)
        == {"width": "465 mm", "height": "90 mm", "thickness": "18 mm"}
    )


def test_cautions_go_with_what_hangs_on_the_wall():
    report = report_of(HUNG, LINEN)
    assert any("proved framing" in one for one in piece(report, "hung").cautions)
    assert piece(report, "linen").cautions == ()


# --- A corner that is out of square


def out_of_square() -> list[str]:
    """The left corner 91 degrees: diagonal^2 = 600^2 + 800^2 - 2 "
    "600 800 cos 91 = 1008.342^2 (law of cosines)."""
    room = without(ALCOVE, "three sides left-back", "length")
    return [*room, "three sides left-back 600 left 800 right diagonal 1008.342 up 850 sd 0.05"]


def test_out_of_square_is_left_on_and_planed_off():
    """91 degrees over 500 mm of depth: 500 tan 1 = 8.73 mm farther at the front than at the back."""
    report = report_of(COUNTER, room=out_of_square())
    corner = next(one for one in report.room.corners if one.name == "left-back")
    assert corner.angle_deg == pytest.approx(91.0, abs=0.05)
    top = piece(report, "counter")
    assert top.finished[0].size.mm == pytest.approx(700.0, abs=0.2)
    left = edge(top, "left")
    assert left.allowance.range.mm == pytest.approx(500 * math.tan(math.radians(1)), abs=0.4)
    depths = [one.depth.mm for one in left.scribe]
    assert depths[-1] - depths[0] == pytest.approx(
        8.73, abs=0.4
    )  # least at the front, where the wall is away


def test_depth_of_scribe_is_the_blank_less_the_wall():
    """At the back the wall is where the finished line is: there all of the allowance is planed off."""
    left = edge(piece(report_of(COUNTER, room=out_of_square()), "counter"), "left")
    total, finished = (
        left.allowance.total.cut_mm,
        piece(report_of(COUNTER, room=out_of_square()), "counter").finished[0].size,
    )
    assert left.deepest.mm == pytest.approx(total + finished.cut_mm - finished.mm, abs=0.01)


def test_stations_stand_in_order_from_the_end_named():
    top = piece(report_of(COUNTER), "counter")
    for one in top.edges:
        places = [station.at.mm for station in one.scribe]
        assert places == sorted(places)
        assert places[0] == 0.0
        assert min(b - a for a, b in pairwise(places[:-1])) >= 140.0  # every 150 mm
    assert edge(top, "back").scribe[-1].at.mm == pytest.approx(700.0, abs=6.0)


def test_metric_and_inch_jobs_print_stations_in_their_own_steps():
    inches = [line.replace("in mm to 1 mm", "in inches to 1/16") for line in ALCOVE]
    inches = [line if line.startswith("job") else to_inches(line) for line in inches]
    top = piece(report_of(*map(to_inches, [COUNTER]), room=inches), "counter")
    assert [one.at.text for one in edge(top, "left").scribe][1:3] == ["6 in", "12 in"]
    metric = piece(report_of(COUNTER), "counter")
    assert [one.at.text for one in edge(metric, "left").scribe][1:3] == ["150 mm", "300 mm"]


def to_inches(line: str) -> str:
    """Say the same lengths with their unit."""
    words = [
        f"{word.rstrip(':,')} mm{word[len(word.rstrip(':,')) :]}" if word.rstrip(":,").isdigit() else word
        for word in line.split(" ")
    ]
    return " ".join(words)


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
    assert numbers(report_of(LINEN.replace("height 2000", "height 2399"))) == []


def test_a_panel_taller_than_the_room():
    assert "2450 mm high; the room there is 2400 mm" in stopped(
        500, END.replace("height 2000", "height 2450")
    )


def test_wider_than_the_alcove():
    sides = "left meets left filler, right meets right filler"
    said = stopped(501, BOX.format(width=1503, height=700, sides=sides))
    assert "1503 mm wide; there are 1500 mm" in said
    assert numbers(report_of(BOX.format(width=1499, height=700, sides=sides))) == []


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


def test_a_gap_is_made_larger_where_the_wall_is_not_known():
    top = (
        "top t against back up 850 thickness 30 depth 500 width 700, "
        "left meets left net gap 1, back meets back net gap 60"
    )
    (finding,) = found(report_of(top), 504)
    told = edge(piece(report_of(top), "t"), "left")
    assert told.gap.cut_mm >= told.gap.mm > 1.0
    assert f"at the left of `t` is {told.gap.text}, not 1 mm" in finding.says
    assert edge(piece(report_of(top), "t"), "back").gap.mm == 60.0


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


CASING = "casing trim on left toward left width 60 projection 15"


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


@pytest.mark.parametrize(("along", "meets"), [(450, True), (530, False)])
def test_a_strip_that_meets_a_casing_instead_of_the_wall(along, meets):
    """The face is 500 from the corner; a casing from 450 on, and its opening, are there; from 530 not."""
    report = report_of(CASING, f"position trim along {along} from left-back up 850", LINEN, STRIP)
    assert [one.pieces for one in found(report, 506)] == ([("strip",)] if meets else [])


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
        (
            (
                LINEN,
                COUNTER.replace("left meets left scribed", "left meets linen net gap 2"),
            ),
            "meets `linen`",
        ),
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


# --- What a piece rests on


def test_a_piece_names_the_readings_that_it_rests_on():
    survey = survey_of(*PIECES)
    report = report_of(*PIECES)
    kinds = {
        told.name: {type(survey.by_id[one]).__name__ for one in told.readings} for told in fit(survey).pieces
    }
    assert kinds["counter"] >= {"ThreeSides", "StraightedgeCheck", "LengthReading"}
    assert all(told.readings for told in report.pieces)


def test_readings_of_a_wall_that_a_piece_does_not_meet_are_not_its():
    survey = survey_of(COUNTER)
    (right,) = [
        one.id
        for one in survey.records
        if getattr(one, "wall", "") == "right" and type(one).__name__ == "Lean"
    ]
    told = fit(survey).pieces[0]
    assert right not in told.readings

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
from dictated import (
    ALCOVE,
    COUNTER,
    END,
    HUNG,
    LINEN,
    PIECES,
    STRIP,
    edge,
    numbers,
    piece,
    report_of,
    sizes,
    survey_of,
    without,
)

from survey.dictation import dictate
from survey.findings import fit
from survey.records import Survey
from survey.report.schema import report_schema
from survey.report.structs import FitReport

SCHEMA = Path(__file__).parents[2] / "assets" / "schemas" / "fit-report.schema.json"


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
    told = json.loads(msgspec.json.encode(report_of())) | {"version": 4}
    with pytest.raises(jsonschema.ValidationError, match="4 is not one of"):
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


def test_a_piece_that_names_no_wall_is_at_its_cabinets_or_at_the_rooms_back_wall():
    lines = [
        'job "Walls" in mm to 1 mm',
        "room bath back north",
        "wall north",
        "wall west",
        "corner west and north",
        "three sides west-north 900 left 1200 right diagonal 1500 up 850",
        "straightedge north up 850 from west-north: 0 0, 150 0, 300 0, 450 0, 600 0, 750 0, 900 0, 1050 0",
        "straightedge west up 850 from west-north: 0 0, 150 0, 300 0, 450 0, 600 0",
        "lean west along 400 from west-north low 100 high 900 in 0",
    ]
    box = "width 900 height 500 depth 540 bottom 330, left meets west filler gap 20"
    top = "thickness 30, left meets west scribed, back meets north scribed"
    said = [*lines, f"cabinet c on north {box}", f"top t on c against north {top}"]
    unsaid = [*lines, f"cabinet c {box}", f"top t on c {top}"]
    reports = [fit(Survey(dictate(one, Survey([])))) for one in (said, unsaid)]
    assert [[piece.status for piece in report.pieces] for report in reports] == [["ready", "ready"]] * 2
    assert reports[0].pieces[1].outline == reports[1].pieces[1].outline

"""A reading taken by touches and keys: few taps, nothing lost, what is refused stays, corrections replace."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from faults import faults
from pilot import Pilot, said
from thorough import many

from survey.app.main import ScribefitApp
from survey.app.walk_list import Row, walk_rows
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.quantity import read_length
from survey.records import Drop, Lean, LengthReading, Position, StraightedgeCheck, Survey, ThreeSides

PLACE = (
    'job "Alcove vanity" in inches to 1/16 level line 40',
    "room bath", "wall left", "wall back", "wall right", "corner left and back", "corner back and right",
)  # fmt: skip
PIECES = (
    "drain drain on back diameter 1 1/2",
    (
        "cabinet vanity on back width 46 height 31 depth 21 bottom 3 1/2, left meets left filler gap 3/4, "
        "right meets right filler"
    ),
)
METRIC = (
    'job "Corner" in mm to 0.5 mm level line 1000', "room r", "wall left", "wall back",
    "corner left and back",
)  # fmt: skip
BACK = "width at the back, counter height"


def app_with(home: Path, lines: tuple[str, ...] = PLACE, **settings: Any) -> ScribefitApp:
    """Return an app with a job of these lines; on a home that has one already, with that one."""
    path = home / "jobs" / "vanity.survey"
    if not path.exists():
        path.parent.mkdir(parents=True)
        SurveyFile.create(path, list(dictate(lines, Survey([])))).close()
        app = ScribefitApp(home=home, file=path)
    else:
        app = ScribefitApp(home=home)
    for name, value in settings.items():
        setattr(app.desk.settings, name, value)
    return app


def rows(app: ScribefitApp) -> tuple[Row, ...]:
    assert app.visit is not None
    return walk_rows(app.visit.survey, app.desk.settings.tools)


def first(app: ScribefitApp, words: str) -> str:
    """Return the name of the walk's first line that has these words."""
    return next(row.line.name for row in rows(app) if words in row.line.name)


def of(app: ScribefitApp, kind: type) -> tuple[Any, ...]:
    assert app.visit is not None
    return app.visit.survey.of(kind)


def enter(pilot: Pilot, **given: str) -> None:
    pilot.app.go("entry", **given)
    pilot.settle()


def tap_key(pilot: Pilot, words: str) -> None:
    """Tap a key of the pad, which is never scrolled away."""
    key = pilot.find(words)
    pilot.touch(*key.to_window(*key.center))


def tap_value(pilot: Pilot, text: str) -> int:
    """Type a value by the pad and return its digits, a fraction counted as one.

    A fraction without a key of its own is the next below it and one more.
    """
    whole, _, fraction = text.rpartition(" ") if "/" in text else (text, "", "")
    for digit in whole:
        tap_key(pilot, digit)
    if fraction:
        over, under = map(int, fraction.split("/"))
        if under <= 8:
            tap_key(pilot, fraction.replace("/", "⁄"))
        else:
            if over > 1:
                tap_key(pilot, str(Fraction(over - 1, under)).replace("/", "⁄"))
            tap_key(pilot, "+1⁄16")
    return len(whole) + bool(fraction)


def test_a_whole_alcove_takes_two_taps_and_the_digits_for_each_number(tmp_path: Path) -> None:
    values = {
        LengthReading: "60 5/16", Lean: "1/8", Drop: "40 3/16", Position: "27 1/4", StraightedgeCheck: "1/16",
    }  # fmt: skip
    with Pilot(app_with(tmp_path, (*PLACE, *PIECES)), (320, 568)) as pilot:
        enter(pilot, line=rows(pilot.app)[0].line.name)
        before, numbers, allowed = pilot.taps, 0, 0
        while "done" not in pilot.app.desk.kept.trail[-1].given:
            taking = pilot.app.shell.page.taking
            is_gap = isinstance(taking.reading, StraightedgeCheck)
            if is_gap and not taking.is_last() and numbers % 3:
                tap_key(pilot, "Touches")
                allowed += 1
            else:
                allowed += 2 + tap_value(pilot, values[type(taking.reading)])
                tap_key(pilot, pilot.app.shell.page.ids.pad.main)
            numbers += 1
        pilot.settle()
        assert numbers > 40
        assert all(row.taken for row in rows(pilot.app))
        assert pilot.has("All is read")
        assert pilot.taps - before <= allowed
        assert (pilot.taps - before) / numbers < 2.2


def test_saving_brings_up_the_next_and_undo_brings_it_back_with_its_value(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        tap_value(pilot, "60 1/4")
        pilot.tap("Save")
        assert pilot.has("Saved 60 1⁄4″")
        assert pilot.has("Width in the middle")
        assert [one.reads.text for one in of(pilot.app, LengthReading)] == ["60 1/4"]
        pilot.tap("Undo")
        pilot.settle()
        assert of(pilot.app, LengthReading) == ()
        assert pilot.has("Width at the back")
        assert pilot.app.shell.page.ids.pad.text == "60 1/4"


def test_a_run_of_gaps_goes_from_gap_to_gap_and_back_to_one(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        name = first(pilot.app, "24 in edge")
        enter(pilot, line=name)
        count = len(pilot.app.shell.page.taking.blanks)
        for _ in range(count - 1):
            pilot.tap("Touches")
        pilot.tap("1⁄8")
        cell = next(cell for cell in pilot.app.shell.page._cells if cell.field == "gap 1")
        pilot.tap(cell)
        pilot.tap("1⁄4")
        pilot.tap("Save")
        (check,) = of(pilot.app, StraightedgeCheck)
        gaps = [station.gap.text for station in check.stations]
        assert gaps == ["0", "1/4", *["0"] * (count - 3), "1/8"]


def test_a_station_is_moved_and_another_left_out(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=first(pilot.app, "24 in edge"))
        page = pilot.app.shell.page
        count = len(page.taking.blanks)
        pilot.tap("1⁄8")
        pilot.tap(page._cells[0])
        pilot.tap("Its place")
        sheet = next(one for one in pilot.all() if type(one).__name__ == "NumberSheet")
        assert faults(sheet) == []
        for _ in range(8):
            pilot.key(8)
        pilot.type("37\n")
        assert page.taking.reading.stations[0].at.text == "37"
        assert page.taking.text == "1/8"
        pilot.tap("Next gap")
        pilot.tap(next(cell for cell in page._cells if cell.is_open))
        pilot.tap("Nothing can be read here")
        assert len(page.taking.blanks) == count - 1


@pytest.mark.parametrize(
    ("typed", "reason"),
    [("345/16", "fraction of less than 1"), ("", "Type what you read"), ("34..", "Expected")],
)
def test_what_is_refused_stays_with_a_reason(tmp_path: Path, typed: str, reason: str) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        for letter in typed:
            pilot.key(ord(letter), letter)
            pilot.wait(0.08)  # as a hand types
        pilot.tap("Save")
        assert pilot.has(reason)
        assert pilot.app.shell.page.ids.pad.text == typed
        assert of(pilot.app, LengthReading) == ()
        assert pilot.app.desk.kept.trail[-1].given["line"] == BACK


def test_a_file_that_is_gone_is_said_and_what_was_typed_stays(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        tap_value(pilot, "60 1/4")
        (tmp_path / "jobs" / "vanity.survey").unlink()
        pilot.tap("Save")
        page = pilot.app.shell.page
        assert page.is_refused
        assert page.remark
        assert page.ids.pad.text == "60 1/4"


def test_an_inch_more_than_expected_is_asked_about_and_not_blocked(tmp_path: Path) -> None:
    read = "length left at 1 from left-back to right at 1 from back-right up 34 reads 60 1/4"
    with Pilot(app_with(tmp_path, (*PLACE, read))) as pilot:
        enter(pilot, line=first(pilot.app, "width at the front"))
        tap_value(pilot, "61 1/4")
        pilot.until(lambda: pilot.has("an inch burned"))
        assert not pilot.app.shell.page.is_refused
        pilot.tap("Save")
        assert len(of(pilot.app, LengthReading)) == 2


def test_a_kill_loses_nothing_that_was_typed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=first(pilot.app, "24 in edge"))
        pilot.tap("Touches")
        pilot.tap("1⁄8")
        kept = json.loads((tmp_path / "desk.json").read_text(encoding="utf-8"))
        assert kept["draft"]["fields"]["typed gap 1"] == "1/8"
    with Pilot(app_with(tmp_path)) as pilot:
        taking = pilot.app.shell.page.taking
        assert taking.values == {"gap 0": "0", "gap 1": "1/8"}
        assert taking.open.field == "gap 1"
        assert pilot.app.shell.page.ids.pad.text == "1/8"


def test_a_second_reading_is_kept_and_a_correction_replaces(tmp_path: Path) -> None:
    read = "length left at 1 from left-back to right at 1 from back-right up 34 reads 60 1/4"
    with Pilot(app_with(tmp_path, (*PLACE, read))) as pilot:
        (old,) = of(pilot.app, LengthReading)
        enter(pilot, line=BACK)
        assert pilot.has("Read: 60 1⁄4″")
        tap_value(pilot, "60 3/8")
        pilot.tap("Save")
        assert [one.reads.text for one in of(pilot.app, LengthReading)] == ["60 1/4", "60 3/8"]
        enter(pilot, record=old.id, how="correct")
        assert pilot.app.shell.page.ids.pad.text == "60 1/4"
        pilot.tap("Erase")
        pilot.tap("1⁄8")
        pilot.tap("Save")
        assert sorted(one.reads.text for one in of(pilot.app, LengthReading)) == ["60 1/8", "60 3/8"]
        assert old.id in pilot.app.visit.survey.by_id


def test_how_it_is_taken_is_one_tap_away_and_remembered(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        pilot.tap("tape")
        pilot.tap("steel rule")
        pilot.tap("face now")
        pilot.tap("to the finished face")
        pilot.tap("note")
        next(one for one in pilot.all() if type(one).__name__ == "Field").text = "sticks bowed"
        pilot.tap("Keep")
        tap_value(pilot, "60 1/4")
        pilot.tap("Save")
        (read,) = of(pilot.app, LengthReading)
        assert (read.instrument, read.face, read.note) == ("steel rule", "finished", "sticks bowed")
        following = pilot.app.shell.page.taking.reading
        assert (following.instrument, following.face, following.note) == ("steel rule", "finished", "")


def test_several_numbers_and_a_tap_on_a_cell(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, METRIC)) as pilot:
        enter(pilot, line=first(pilot.app, "three sides"))
        for text, key in (("600", "Next"), ("450", "Next"), ("751", "Save")):
            tap_value(pilot, text)
            pilot.tap(key)
        (read,) = of(pilot.app, ThreeSides)
        assert (read.left_leg.text, read.right_leg.text, read.diagonal.text) == ("600", "450", "751")


@pytest.mark.parametrize(
    ("line", "unit", "mm"),
    [("1.532 m", "as the job", 1532.0), ("1,532", "m", 1532.0), ("60.3125", "in", 1531.9375)],
)
def test_a_laser_saves_its_line_without_a_touch(tmp_path: Path, line: str, unit: str, mm: float) -> None:
    with Pilot(app_with(tmp_path, laser_unit=unit)) as pilot:
        enter(pilot, line=BACK)
        pilot.app.shell.page._wedge._clock = iter(range(10**6)).__next__  # one tick a letter
        pilot.app.shell.page._wedge._clock = lambda: 0.0
        pilot.type(f"{line}\n")
        (read,) = of(pilot.app, LengthReading)
        assert float(read.reads.mm) == pytest.approx(mm)
        assert pilot.has("Width in the middle")


def test_a_laser_s_garbage_is_said_and_leaves_what_was_typed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        pilot.tap("6")
        pilot.app.shell.page._wedge._clock = lambda: 0.0
        pilot.type("Err 204\n")
        assert pilot.has("Err 204")
        assert pilot.app.shell.page.ids.pad.text == "6"
        assert of(pilot.app, LengthReading) == ()


@pytest.mark.parametrize(
    ("given", "kind"),
    [
        ({"kind": "length", "wall": "back"}, "LengthReading"),
        ({"kind": "drop", "wall": "back"}, "Drop"),
        ({"kind": "lean", "wall": "left"}, "Lean"),
        ({"kind": "corner-square", "wall": "back"}, "CornerSquare"),
        ({"kind": "corner-angle", "wall": "back"}, "CornerAngle"),
        ({"kind": "story-stick", "wall": "back"}, "StoryStick"),
        ({"kind": "template", "wall": "back"}, "Template"),
        ({"kind": "tool"}, "Tool"),
        (
            {"kind": "position", "wall": "back", "of": "drain", "along": "28", "from_": "left-back"},
            "Position",
        ),
        ({"line_said": "length left-back to back-right up 34 reads 60"}, "LengthReading"),
    ],
)
def test_free_readings_are_taken_and_lead_back(tmp_path: Path, given: dict[str, str], kind: str) -> None:
    with Pilot(app_with(tmp_path, (*PLACE, *PIECES))) as pilot:
        count = len(pilot.app.visit.survey.current)
        enter(pilot, **given)
        page = pilot.app.shell.page
        pilot.rest()
        assert faults(pilot.app.shell) == []
        for blank in page.taking.blanks:
            page.ids.pad.text = blank.usual
            page.go_on()
        assert type(pilot.app.visit.survey.current[-1]).__name__ == kind
        assert len(pilot.app.visit.survey.current) == count + 1
        assert pilot.app.desk.kept.trail[-1].page == "measure"


@pytest.mark.parametrize("given", [{"line": "no such line"}, {"record": "nobody"}, {"kind": "nothing"}])
def test_what_is_not_there_is_said(tmp_path: Path, given: dict[str, str]) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, **given)
        assert faults(pilot.app.shell) == []
        pilot.tap("Back")
        assert pilot.app.desk.kept.trail[-1].page == "measure"


def test_the_height_and_the_place_are_changed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        pilot.tap("34″ up")
        for _ in range(4):
            pilot.key(8)
        pilot.type("36 1/2\n")
        assert pilot.app.shell.page.taking.reading.up.text == "36 1/2"
        pilot.tap("Width at the back")
        pilot.tap("From: ")
        pilot.tap("left-back")
        tap_value(pilot, "60 1/4")
        pilot.tap("Save")
        (read,) = of(pilot.app, LengthReading)
        assert read.between[0] == "left-back"
        assert read.up is not None
        assert read.up.mm == read_length("36 1/2", "in").mm


@pytest.mark.parametrize(
    ("size", "density", "scale"),
    [
        ((320, 568), 2.0, 2.0), ((640, 360), 1.0, 1.0), ((800, 1280), 1.0, 1.3), ((320, 568), 1.0, 1.0),
        ((360, 640), 2.75, 1.3), ((412, 915), 1.0, 1.0),
    ][: many(4, 6)],
)  # fmt: skip
@pytest.mark.parametrize("hand", ["right", "left"])
def test_it_has_no_faults(
    tmp_path: Path, size: tuple[int, int], density: float, scale: float, hand: str
) -> None:
    with Pilot(app_with(tmp_path, (*PLACE, *PIECES), hand=hand), size, density, scale) as pilot:
        for words in ("width", "24 in edge", "lean"):
            enter(pilot, line=first(pilot.app, words))
            pilot.app.shell.page.ids.pad.text = "1/8"
            pilot.rest()
            assert faults(pilot.app.shell) == []
        save = pilot.app.shell.page.ids.pad._grid[-1][0] if hand == "right" else pilot.find("Save")
        assert said(save) in ("Save", "Next gap")


def test_a_page_that_has_room_does_not_swing_when_something_in_it_is_ringed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path)) as pilot:
        enter(pilot, line=BACK)
        scroll = pilot.app.shell.page.ids.scroll
        assert scroll.children[0].height < scroll.height
        key = pilot.find("34″ up")
        before = key.to_window(*key.pos)
        pilot.scroll_to(key)
        for _ in range(20):
            pilot.key(9)
            pilot.settle()
        assert key.to_window(*key.pos) == pytest.approx(before)

"""Every sort of answer by touches: where a piece sits, pins, corners, angles, and the bench's records."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from fit_jobs import app_with, settled
from pilot import Pilot

from survey.app.record_form import questions, shown_of, text_of, value_of
from survey.errors import RecordError
from survey.records import Aim, CabinetDoor, CornerShape, FaceFrame, Piece, Pin, Top, Trim, TypedLength, Way

ROOM = (
    'job "V" in inches to 1/16',
    "room bath",
    "wall back",
    "wall left",
    "corner left-back joins left and back",
    "drain drain on back diameter 1 1/2",
    "cabinet vanity width 36 height 31 depth 21 left meets left filler gap 3/4",
    "top counter on vanity thickness 1 1/4, left meets left scribed, back meets back scribed",
    "hinged door flap width 17 height 28 thickness 3/4 of vanity hinge left",
)


def opened(tmp_path: Path, size: tuple[int, int] = (360, 640)) -> Pilot:
    return Pilot(app_with(tmp_path, *ROOM), size)


def at(pilot: Pilot, name: str) -> None:
    (record,) = pilot.app.visit.survey.named[name]
    pilot.app.go("piece", record=record.id)
    settled(pilot)


def piece(pilot: Pilot, name: str) -> Piece:
    (found,) = pilot.app.visit.survey.named[name]
    return found


def test_a_cabinet_is_put_in_line_with_the_drain_and_keeps_a_gap(tmp_path: Path) -> None:
    with opened(tmp_path) as pilot:
        at(pilot, "vanity")
        page = pilot.app.shell.page
        page.change("aim")
        for words in ("In line with something", "Its centre", "drain", "Right in line with it"):
            pilot.tap(words)
        assert piece(pilot, "vanity").aim == Aim("in line", "centre", "drain")
        page.change("pins")
        pilot.tap("Left")
        pilot.tap("At least")
        pilot.type("1/2\r")
        assert piece(pilot, "vanity").pins == (Pin("left", "at least", TypedLength("1/2", "in")),)
        assert "in line centre with drain" in pilot.text()
        page.change("pins")
        pilot.tap("Left: at least 1/2")
        pilot.tap("Whatever it comes to")
        page.change("aim")
        pilot.tap("Pushed home, as usual")
        assert (piece(pilot, "vanity").aim, piece(pilot, "vanity").pins) == (None, ())


def test_a_corner_is_rounded_and_made_square_again(tmp_path: Path) -> None:
    with opened(tmp_path) as pilot:
        at(pilot, "counter")
        page = pilot.app.shell.page
        page.change("front_right")
        pilot.tap("Rounded, by a radius")
        pilot.type("2\r")
        assert piece(pilot, "counter").front_right == CornerShape("radius", TypedLength("2", "in"))
        page.change("front_right")
        pilot.tap("Square")
        assert piece(pilot, "counter").front_right is None


def test_a_door_says_how_far_it_opens(tmp_path: Path) -> None:
    with opened(tmp_path) as pilot:
        at(pilot, "flap")
        pilot.app.shell.page.change("opens")
        pilot.type("110\r")
        assert piece(pilot, "flap").opens.text == "110"
        assert "110°" in pilot.text()


def test_a_door_on_the_way_is_put_down_in_order(tmp_path: Path) -> None:
    with opened(tmp_path) as pilot:
        pilot.app.go_to_place("pieces")
        settled(pilot)
        pilot.tap("Cut-outs, stock and the way in")
        for number, width in ((1, "32"), (2, "30")):
            pilot.tap("Add something")
            pilot.tap("Doorway on the way in")
            pilot.settle()
            pilot.app.shell.page._ask(next(one for one in questions(Way) if one.field == "width"))
            pilot.type(f"{width}\r")
            assert [one.step for one in pilot.app.visit.survey.of(Way)] == list(range(1, number + 1))
            pilot.back()
        assert [one.width.text for one in pilot.app.visit.survey.of(Way)] == ["32", "30"]
        assert pilot.app.shell.page.place == "pieces"


@pytest.mark.parametrize("size", [(320, 568), (640, 360), (800, 1280)])
def test_the_forms_hold_on_any_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    with opened(tmp_path, size) as pilot:
        for name in ("vanity", "counter", "flap"):
            at(pilot, name)
            assert faults(pilot.app.shell) == []


@pytest.mark.parametrize(
    ("kind", "field", "text", "shown"),
    [
        (Top, "aim", "balanced", "balanced"),
        (Top, "pins", "left at least 1/2, right exactly 2 1/4", "left at least 1⁄2″, right exactly 2 1⁄4″"),
        (Top, "front_left", "clip 1 1/2", "clip 1 1⁄2″"),
        (FaceFrame, "openings", "5, 18 1/4", "5″, 18 1⁄4″"),
        (Trim, "points", "0 out 1/4, 2 1/2 out 3/4", "0″ out 1⁄4″, 2 1⁄2″ out 3⁄4″"),
        (CabinetDoor, "opens", "95", "95°"),
        (Top, "kilograms", "21.5", "21.5"),
    ],
)
def test_an_answer_is_read_shown_and_typed_again(kind: type, field: str, text: str, shown: str) -> None:
    question = next(one for one in questions(kind) if one.field == field)
    value = value_of(question, text, "in")
    assert shown_of(question, value, "in") == shown
    assert value_of(question, text_of(question, value, "in"), "in") == value
    assert value_of(question, "", "in") == question.usual


def test_what_cannot_be_read_says_what_was_expected() -> None:
    pins = next(one for one in questions(Top) if one.field == "pins")
    with pytest.raises(RecordError, match=r"gaps it must keep: expected `at least`.*, got `about`"):
        value_of(pins, "left about 1/2", "in")
    weight = next(one for one in questions(Top) if one.field == "kilograms")
    with pytest.raises(RecordError, match="expected a number, got 'heavy'"):
        value_of(weight, "heavy", "in")

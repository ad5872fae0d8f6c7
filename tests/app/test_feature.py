"""The page of a thing: what is asked, how answers are kept, what is refused, and what is said near pipes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from faults import faults
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.app.new_feature import SORTS, asked, cautions, lacking, name_for, names_it
from survey.app.plain import Field
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Area, BoughtItem, Position, Survey, TypedLength

PLACE = (
    "job V in in to 1/16 level line 36", "room bath back back old", "wall back", "wall left",
    "corner left-back joins left and back inside",
)  # fmt: skip
DRAIN = ("drain drain on back diameter 1 1/2", "position drain along 22 from left-back up 18 1/4")


def app_with(folder: Path, *lines: str) -> ScribefitApp:
    path = folder / "home" / "jobs" / "v.survey"
    path.parent.mkdir(parents=True)
    SurveyFile.create(path, dictate(lines, Survey([]))).close()
    return ScribefitApp(home=folder / "home", file=path)


def go(pilot: Pilot, page: str, **given: str) -> None:
    pilot.app.go(page, **given)
    pilot.settle()


def named(pilot: Pilot, name: str) -> Any:
    found = pilot.app.visit.survey.named.get(name, (None,))
    return found[0]


def last(pilot: Pilot) -> tuple[str, dict[str, str]]:
    stop = pilot.app.desk.kept.trail[-1]
    return stop.page, stop.given


@pytest.mark.parametrize(
    ("line", "begins"),
    [
        ("gas g on back", "Gas"),
        ("drain d on back", "The pipe"),
        ("outlet o on back", "Cables"),
        ("floor heat h on floor", "Do not drill"),
        ("stud s on back proved assumed spacing", "Spacing is no proof"),
        ("stud s on back proved nail", None),
        ("window w on back", None),
    ],
)
def test_what_to_mind(line: str, begins: str | None) -> None:
    told = cautions(dictate([line], Survey([]))[0])
    assert [one.startswith(begins or "") for one in told] == ([True] if begins else [])


def test_names_are_free_and_those_that_others_use_are_known() -> None:
    survey = Survey(dictate([*PLACE, *DRAIN, 'note "leaks" about drain'], Survey([])))
    assert name_for(SORTS["rough-in/drain"], survey) == "drain-2"
    assert name_for(SORTS["bought-item"], survey, "a drain") == "drain-2"
    (drain,) = survey.named["drain"]
    assert {type(one).__name__ for one in names_it(survey, drain)} == {"Position", "Note"}
    assert names_it(survey, survey.named["left"][0])  # a corner joins it


@pytest.mark.parametrize("key", SORTS)
def test_every_sort_can_be_put_down(tmp_path: Path, key: str) -> None:
    with Pilot(app_with(tmp_path, *PLACE), (320, 568)) as pilot:
        before = len(pilot.app.visit.survey.current)
        go(pilot, "feature", kind=key, wall="back")
        page = pilot.app.shell.page
        assert faults(pilot.app.shell) == []
        if page.is_new:
            kind = SORTS[key].kind
            assert lacking(kind, page._answers)
            for question, text in (
                ("what", "flat wall" if kind == "assumption" else "round basin"), ("of", "back"),
                ("material", "hard maple"), ("length", "96"), ("width", "8"), ("thickness", "13/16"),
                    ("purpose", "veneer"), ("amount", "1/2"),
            ):  # fmt: skip
                found = next((one for one in asked(kind) if one.field == question), None)
                if found is not None:
                    page._answer(found, text)
            pilot.tap("Keep")
        assert len(pilot.app.visit.survey.current) == before + 1
        assert last(pilot)[1].keys() == {"record"}


def test_an_answer_corrects_the_record_as_it_was_typed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN)) as pilot:
        first = named(pilot, "drain")
        go(pilot, "feature", record=first.id)
        pilot.tap("Diameter")
        pilot.type("\b" * 8)
        pilot.type("1 5/8\n")
        assert named(pilot, "drain").diameter == TypedLength("1 5/8", "in")
        assert named(pilot, "drain").replaces == (first.id,)
        assert pilot.has("1 5⁄8″")
        pilot.tap("What it is")
        pilot.tap("Vent")
        assert named(pilot, "drain").type == "vent"
        pilot.tap("Undo")
        assert named(pilot, "drain").type == "drain"


def test_trim_says_what_becomes_of_it(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, "baseboard base on back")) as pilot:
        go(pilot, "feature", record=named(pilot, "base").id)
        for words in ("Comes off", "Comes later", "Stays"):
            pilot.tap("What becomes of it")
            pilot.tap(words)
            assert named(pilot, "base").fate == words.lower()


@pytest.mark.parametrize(
    ("lines", "name", "told"),
    [
        (("stud s on back",), "left", "nothing has yet"),
        (("stud s on back", "position s along 9 from left-back up 30"), "t", "1 readings or pieces"),
        (("stud s on back",), "a:b", "name"),
    ],
)
def test_a_name_that_would_mislead_is_refused(tmp_path: Path, lines: Any, name: str, told: str) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *lines)) as pilot:
        go(pilot, "feature", record=named(pilot, "s").id)
        pilot.tap("Name")
        pilot.all(Field)[0].text = name
        pilot.tap("Keep")
        assert told in pilot.app.shell.message
        assert named(pilot, "s") is not None


def test_taking_it_back_takes_its_places_too_as_one_act(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN)) as pilot:
        go(pilot, "feature", record=named(pilot, "drain").id)
        pilot.tap("Take it back")
        assert named(pilot, "drain") is None
        assert not pilot.app.visit.survey.of(Position)
        pilot.tap("Undo")
        assert named(pilot, "drain") is not None
        assert pilot.app.visit.survey.of(Position)


def test_its_place_is_read_from_here_and_readings_can_be_mended(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN)) as pilot:
        go(pilot, "feature", record=named(pilot, "drain").id)
        gone: list[tuple[str, dict[str, str]]] = []
        pilot.app.go = lambda page, **given: gone.append((page, given))
        pilot.tap("Measure its place again")
        assert gone == [("entry", {"kind": "position", "wall": "back", "of": "drain"})]
        pilot.tap("Its place, as read")
        pilot.tap("Correct it")
        (place,) = pilot.app.visit.survey.of(Position)
        assert gone[-1] == ("entry", {"record": place.id, "how": "correct"})
        pilot.tap("Its place, as read")
        pilot.tap("Take it back")
        assert not pilot.app.visit.survey.of(Position)
        assert pilot.has("Measure its place")


def test_layers_are_added_changed_and_taken_out(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE)) as pilot:
        go(pilot, "feature", kind="area", wall="back")
        pilot.tap("Add a layer")
        pilot.all(Field)[0].text = "tile"
        pilot.tap("Keep")
        pilot.type("3/8\n")
        pilot.tap("Still to come")
        (area,) = pilot.app.visit.survey.of(Area)
        assert [(one.name, one.thickness.text, one.state) for one in area.layers] == [
            ("tile", "3/8", "to come")
        ]
        pilot.tap("Layer 1")
        pilot.tap("In place")
        assert pilot.app.visit.survey.of(Area)[0].layers[0].state == "in place"
        pilot.tap("Layer 1")
        pilot.tap("Take it out")
        assert pilot.app.visit.survey.of(Area)[0].layers == ()


def test_what_is_half_said_is_there_after_a_new_start(tmp_path: Path) -> None:
    app = app_with(tmp_path, *PLACE)
    with Pilot(app) as pilot:
        go(pilot, "feature", kind="bought-item")
        pilot.tap("Width")
        pilot.type("15 1/2\n")
        pilot.tap("Keep")
        assert "Still needed: what it is" in pilot.app.shell.message
    with Pilot(ScribefitApp(home=app.desk.home)) as pilot:
        assert pilot.has("15 1⁄2″")
        pilot.tap("What it is")
        pilot.all(Field)[0].text = "round vessel basin"
        pilot.tap("Keep")
        pilot.tap("Keep")
        (basin,) = pilot.app.visit.survey.of(BoughtItem)
        assert (basin.name, basin.width) == ("basin", TypedLength("15 1/2", "in"))
        assert pilot.app.desk.kept.draft is None


def test_the_list_says_what_is_there_and_where(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN, "stud s on left")) as pilot:
        go(pilot, "feature", wall="left")
        words = pilot.text()
        assert words.index("On wall left") < words.index("On wall back")
        assert "Drain · 22″ along from left-back, 18 1⁄4″ up" in words
        assert "Stud · not measured yet" in words
        pilot.tap("drain")
        assert last(pilot) == ("feature", {"record": named(pilot, "drain").id})


def test_an_empty_list_says_what_goes_there(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, PLACE[0])) as pilot:
        go(pilot, "feature")
        assert pilot.has("Nothing yet")
        pilot.tap("Add something")
        assert pilot.has("Bought item")
        assert not pilot.has("Drain")  # there is no wall for it


def test_a_thing_that_was_taken_back_is_said_to_be(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN)) as pilot:
        drain = named(pilot, "drain")
        go(pilot, "feature", record=drain.id)
        pilot.app.visit.withdraw(drain)
        pilot.settle()
        assert pilot.has("This was taken back.")


@pytest.mark.parametrize(
    ("size", "density", "fontscale"), [((320, 568), 1, 1.3), ((640, 360), 1, 1), ((360, 640), 1, 2)]
)
def test_it_holds_on_every_screen(tmp_path: Path, size: Any, density: float, fontscale: float) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *DRAIN), size, density, fontscale) as pilot:
        for given in ({}, {"record": named(pilot, "drain").id}, {"kind": "stock"}):
            go(pilot, "feature", **given)
            assert faults(pilot.app.shell.page) == []

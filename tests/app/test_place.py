"""The place: chosen by picture, put down as one act, changed later, never losing what was read."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from kivy.core.window import Window
from pilot import Pilot
from thorough import many

from survey.app.main import ScribefitApp
from survey.app.place_setup import PlaceSetup, Shape, changes, new_place, place_setup
from survey.app.visit import Visit
from survey.dictation import dictate
from survey.errors import RecordError
from survey.records import Corner, Job, Mark, Room, Survey, Wall, Withdrawal
from survey.walk import place_of, walk


@pytest.fixture
def visit(tmp_path: Path) -> Visit:
    path = tmp_path / "home" / "jobs" / "vanity.survey"
    path.parent.mkdir(parents=True)
    return Visit.begin(path, "Corner vanity", "in", "1/16")


def put(visit: Visit, setup: PlaceSetup) -> None:
    visit.put(*changes(visit.survey, setup, visit.stamp))


@pytest.mark.parametrize(
    ("shape", "walls", "kind", "corners"),
    [
        ("wall", ("back",), "wall", ()),
        ("left corner", ("left", "back"), "corner", ("left-back",)),
        ("right corner", ("back", "right"), "corner", ("back-right",)),
        ("alcove", ("left", "back", "right"), "alcove", ("left-back", "back-right")),
        (
            "room", ("back", "right", "front", "left"), "room",
            ("back-right", "right-front", "front-left", "left-back"),
        ),
    ],
)  # fmt: skip
def test_each_kind_gives_its_walls_in_order_and_a_walk(
    visit: Visit, shape: Shape, walls: tuple[str, ...], kind: str, corners: tuple[str, ...]
) -> None:
    setup = new_place(shape, "36")
    put(visit, setup)
    place = place_of(visit.survey)
    assert (place.kind, place.walls, place.back) == (kind, walls, "back")
    assert tuple(corner.name for corner in place.corners) == corners
    assert place_setup(visit.survey) == setup
    assert walk(place, visit.survey)
    assert changes(visit.survey, setup, visit.stamp) == ()
    assert visit.undo()
    assert place_setup(visit.survey) is None


@pytest.mark.parametrize("old", ["wall", "left corner", "right corner", "alcove", "room"])
@pytest.mark.parametrize("new", ["wall", "left corner", "right corner", "alcove", "room"])
def test_any_kind_can_become_any_other(visit: Visit, old: Shape, new: Shape) -> None:
    put(visit, new_place(old))
    put(visit, new_place(old).shaped(new))
    assert place_setup(visit.survey) == new_place(new)


def test_only_what_changed_is_put_down(visit: Visit) -> None:
    put(visit, new_place("alcove"))
    setup = new_place("alcove").with_wall("left", framing="masonry").with_wall("left", spacing="16")
    kinds = [type(record) for record in changes(visit.survey, setup, visit.stamp)]
    assert kinds == [Wall, Wall, Wall]
    assert [type(one) for one in changes(visit.survey, new_place("wall"), visit.stamp)] == [
        Room, Mark, Withdrawal,
    ]  # fmt: skip
    assert [type(one) for one in changes(visit.survey, new_place("alcove", "36"), visit.stamp)] == [Job]


@pytest.mark.parametrize(
    ("setup", "words"),
    [
        (new_place("left corner"), "right is still spoken of"),
        (new_place("alcove").with_wall("right", name="shower"), "right is still spoken of"),
        (new_place("alcove").with_wall("right", name="my wall"), "one word"),
        (new_place("alcove").with_wall("right", name="left"), "two walls"),
        (new_place("alcove").with_wall("right", name="drain"), "name of a rough-in"),
    ],
)
def test_what_would_lose_readings_or_break_names_is_refused(
    visit: Visit, setup: PlaceSetup, words: str
) -> None:
    put(visit, new_place("alcove"))
    said = ["straightedge right up 34 from back-right: 1 0, 20 0", "drain drain on back diameter 2 stub 2"]
    visit.put(*dictate(said, visit.survey))
    with pytest.raises(RecordError, match=words):
        changes(visit.survey, setup, visit.stamp)


def test_a_place_with_an_outside_corner_keeps_its_walls() -> None:
    lines = [
        "job C in mm to 1 mm",
        "room r",
        "wall back",
        "wall side",
        "corner back-side joins back and side",
    ]
    lines += ["wall face", "corner side-face joins side and face outside"]
    survey = Survey(dictate(lines, Survey([])))
    setup = place_setup(survey)
    assert setup is not None
    assert setup.shape is None
    stamp = iter(range(9))
    changed = setup.with_wall("face", framing="masonry")
    records = changes(survey, changed, lambda: {"id": f"new-{next(stamp)}", "taken": survey.records[0].taken})
    assert {type(one) for one in records} == {Wall}


def test_by_touch_from_a_blank_job_to_the_walk(visit: Visit) -> None:
    visit.close()
    home = visit.path.parents[1]
    with Pilot(ScribefitApp(home=home, file=visit.path)) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.tap("Set up the place")
        pilot.tap("Alcove")
        pilot.tap("Wall back")
        pilot.tap("Wood stud")
        assert pilot.text().count("Wood stud") == 3
        pilot.tap("Wall right")
        pilot.tap("Call it something else")
        field = next(one for one in Window.children[0].walk() if type(one).__name__ == "Field")
        field.text = "shower side"
        pilot.tap("Keep")
        pilot.tap("Level line")
        pilot.type("36\n")
    with Pilot(ScribefitApp(home=home)) as pilot:
        pilot.until(lambda: pilot.app.shell.title == "The place")
        assert pilot.has("Wall shower-side")
        pilot.tap("Keep and go on")
        survey = pilot.app.visit.survey
        assert [corner.name for corner in survey.of(Corner)] == ["left-back", "back-shower-side"]
        assert survey.job.level_line.text == "36"
        assert pilot.app.shell.title == "Measure"
        assert pilot.app.desk.drafted("place") == {}


def test_a_refusal_is_said_in_place_and_nothing_changes(visit: Visit) -> None:
    put(visit, new_place("alcove"))
    visit.put(*dictate(["straightedge right up 34 from back-right: 1 0, 20 0"], visit.survey))
    count = len(visit.survey.records)
    visit.close()
    with Pilot(ScribefitApp(home=visit.path.parents[1], file=visit.path)) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go("place")
        pilot.settle()
        pilot.tap("Left corner")
        pilot.tap("Keep")
        assert pilot.has("still spoken of")
        assert len(pilot.app.visit.survey.records) == count


@pytest.mark.parametrize(
    ("size", "scale"),
    [((320, 568), 1.0), ((320, 568), 2.0), ((360, 640), 1.3), ((640, 360), 1.0), ((800, 1280), 1.0)][
        :: many(2, 1)
    ],
)
def test_nothing_is_cut_or_too_small(visit: Visit, size: tuple[int, int], scale: float) -> None:
    put(visit, new_place("room", "36"))
    visit.close()
    app = ScribefitApp(home=visit.path.parents[1], file=visit.path)
    with Pilot(app, size=size, fontscale=scale) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go("place")
        pilot.settle()
        assert faults(pilot.app.shell) == []

"""The wall view, by touches: it shows a wall, leads to what is tapped, and puts things down by a tap."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from faults import faults
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.app.widgets.sheet import Sheet
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.quantity import read_length
from survey.records import Drop, RoughIn, Survey, Trim

PLACE = (
    "job V in in to 1/16 level line 36", "room bath back back old", "wall back", "wall left",
    "corner left-back joins left and back inside",
)  # fmt: skip
THINGS = (
    "drain drain on back diameter 1 1/2", "position drain along 22 from left-back up 18",
    "drop floor back along 4 from left-back out 4 reads 36", "stud s1 on back",
    "cabinet vanity on back width 42 height 24 depth 18 bottom 10, left meets left scribed, right open",
)  # fmt: skip


def app_with(folder: Path, *lines: str) -> ScribefitApp:
    path = folder / "home" / "jobs" / "v.survey"
    path.parent.mkdir(parents=True)
    SurveyFile.create(path, dictate(lines, Survey([]))).close()
    return ScribefitApp(home=folder / "home", file=path)


def stops(pilot: Pilot) -> list[tuple[str, dict[str, str]]]:
    return [(stop.page, stop.given) for stop in pilot.app.desk.kept.trail]


def open_wall(pilot: Pilot, wall: str = "back") -> Any:
    pilot.app.go("wall_view", wall=wall)
    page = pilot.app.shell.page
    pilot.until(lambda: page.ids.picture.laid_out is not None)
    pilot.answered()  # with the report it is drawn once more, and places move
    pilot.rest()
    return page


def window_place(page: Any, x: float, y: float) -> tuple[float, float]:
    """Return the pixels of a place of the wall's elevation (mm)."""
    picture = page.ids.picture
    paper = picture.laid_out.place((x, y))
    left, bottom = picture._corner()
    return left + paper[0] * picture.per_mm, bottom + paper[1] * picture.per_mm


def inches(text: str) -> float:
    return float(read_length(text, "in").mm) / 25.4


def test_a_tap_puts_a_thing_down_and_opens_its_measuring_near_there(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *THINGS)) as pilot:
        page = open_wall(pilot)
        pilot.tap("Add something")
        assert pilot.has("Tap the place where it is.")
        pilot.touch(*window_place(page, 30 * 25.4, 21.6 * 25.4))
        pilot.tap("Hot water")
        (hot,) = (one for one in pilot.app.visit.survey.of(RoughIn) if one.type == "hot")
        assert (hot.name, hot.wall) == ("hot", "back")
        assert stops(pilot)[-2] == ("feature", {"record": hot.id})
        name, given = stops(pilot)[-1]
        assert (name, given["kind"], given["of"], given["from_"]) == ("entry", "position", "hot", "left-back")
        # A thumb's tap is a place to about half an inch of this picture.
        assert inches(given["along"]) == pytest.approx(30, abs=0.5)
        assert inches(given["up"]) == pytest.approx(21.6, abs=0.5)


@pytest.mark.parametrize(("wall", "toward"), [("back", "right"), ("left", "left")])
def test_a_casing_runs_away_from_the_corner_that_it_is_measured_from(
    tmp_path: Path, wall: str, toward: str
) -> None:
    with Pilot(app_with(tmp_path, *PLACE)) as pilot:
        open_wall(pilot, wall)._put("trim/casing", 500.0, 800.0)
        (casing,) = pilot.app.visit.survey.of(Trim)
        assert (casing.wall, casing.toward) == (wall, toward)


def test_what_runs_along_a_wall_is_not_measured_along_it(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE)) as pilot:
        page = open_wall(pilot)
        pilot.tap("Add something")
        pilot.touch(*page.ids.picture.center)
        pilot.tap("Baseboard")
        (base,) = pilot.app.visit.survey.of(Trim)
        assert stops(pilot)[-1] == ("feature", {"record": base.id})


def test_a_tap_on_a_thing_a_piece_or_a_reading_leads_there(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *THINGS)) as pilot:
        page = open_wall(pilot)
        drain = pilot.app.visit.survey.named["drain"][0]
        pilot.touch(*window_place(page, 22 * 25.4, 18 * 25.4))
        assert stops(pilot)[-1] == ("feature", {"record": drain.id})
        pilot.app.back()
        page = open_wall(pilot)
        vanity = pilot.app.visit.survey.named["vanity"][0]
        gone: list[tuple[str, dict[str, str]]] = []
        pilot.app.go = lambda name, **given: gone.append((name, given))
        pilot.touch(*window_place(page, 42 * 25.4, 12 * 25.4))
        assert gone == [("piece", {"record": vanity.id})]
        page.pick(pilot.app.visit.survey.of(Drop)[0].id)
        pilot.tap("Correct it")
        assert gone[-1] == ("entry", {"record": pilot.app.visit.survey.of(Drop)[0].id, "how": "correct"})


def test_the_way_back_leaves_off_placing_first(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE)) as pilot:
        page = open_wall(pilot)
        pilot.tap("Add something")
        pilot.back()
        assert not page.is_placing
        assert pilot.app.shell.page is page
        pilot.touch(*page.ids.picture.center)
        assert not pilot.all(Sheet)


def test_what_has_no_place_yet_is_offered_until_it_has_one(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE, *THINGS)) as pilot:
        page = open_wall(pilot)
        pilot.tap("Not measured: 1")
        pilot.tap("s1")
        assert stops(pilot)[-1][1]["of"] == "s1"
        pilot.app.back()
        page = open_wall(pilot)
        visit = pilot.app.visit
        visit.put(*dictate(["position s1 along 30 from left-back up 30"], visit.survey))
        pilot.until(lambda: page.open_count == 0)
        assert not pilot.has("Not measured")


def test_one_turns_from_wall_to_wall(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *PLACE)) as pilot:
        page = open_wall(pilot)
        pilot.tap(page.ids.left)
        assert pilot.app.shell.title == "Wall left"
        pilot.tap(pilot.app.shell.page.ids.right)
        assert pilot.app.shell.title == "Wall back"
        assert not pilot.app.shell.page.ids.right.words


@pytest.mark.parametrize("lines", [PLACE[:1], PLACE[:2], (*PLACE[:2], "wall north")])
def test_a_place_that_is_not_set_up_is_said(tmp_path: Path, lines: tuple[str, ...]) -> None:
    with Pilot(app_with(tmp_path, *lines)) as pilot:
        pilot.app.go("wall_view")
        pilot.until(lambda: "what kind of place it is first" in pilot.text())


@pytest.mark.parametrize(
    ("size", "density", "fontscale", "hand"),
    [
        ((320, 568), 1, 1, "right"),
        ((360, 640), 2, 1.3, "left"),
        ((640, 360), 1, 1, "left"),
        ((640, 360), 1, 1, "right"),
        ((800, 1280), 1, 2, "right"),
    ],
)
def test_it_holds_on_every_screen(
    tmp_path: Path, size: Any, density: float, fontscale: float, hand: Any
) -> None:
    app = app_with(tmp_path, *PLACE, *THINGS)
    app.desk.settings.hand = hand
    with Pilot(app, size, density, fontscale) as pilot:
        page = open_wall(pilot)
        assert faults(page) == []
        assert page.ids.picture.height >= 0.4 * page.height
        keys, picture = (one.to_window(*one.center)[0] for one in (page.ids.offered, page.ids.picture))
        assert page.is_wide == (size == (640, 360))
        if page.is_wide:
            assert (keys < picture) == (hand == "left")

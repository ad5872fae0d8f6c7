"""Every page at every size of phone, of letters, and for both hands: legible, touchable, reachable."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import gallery
import pytest
from faults import contrast, faults
from kivy.core.window import Window
from pilot import TAB, Pilot, said, shown
from thorough import many

from survey.app.desk import Hand, Theme
from survey.app.look import DAY, NIGHT, colour
from survey.app.plain import Pressable

LEAST_CONTRAST = 7.0
SCROLLED = 20.0
"""Seconds until a page has scrolled to what is ringed, at most; long, for a machine that is busy."""

# Not the whole product: each size, density, size of letters and hand meets each of the others somewhere.
SCREENS: tuple[tuple[tuple[int, int], float, float, Hand, Theme], ...] = (
    ((320, 568), 2.0, 2.0, "left", "night"),
    ((640, 360), 2.75, 1.3, "left", "day"),
    ((800, 1280), 2.0, 1.0, "right", "day"),
    ((360, 640), 1.0, 1.0, "right", "night"),
    ((360, 640), 2.75, 1.0, "left", "day"),
    ((412, 915), 1.0, 2.0, "right", "day"),
)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("home")
    gallery.furnish(folder)
    return folder


@pytest.mark.parametrize(
    "screen", SCREENS[: many(3, 6)], ids=lambda screen: "-".join(str(one) for one in screen)
)
def test_nothing_is_cut_off_too_small_or_over_something_else(
    screen: tuple[tuple[int, int], float, float, Hand, Theme], home: Path
) -> None:
    size, density, fontscale, hand, theme = screen
    found = []
    with gallery.at(home, size, density, fontscale, theme, hand) as pilot:
        for place in gallery.PLACES:
            gallery.visit(pilot, place, home)
            found += [f"{place.name}: {fault}" for fault in (*faults(pilot.app.shell), *_restless(pilot))]
    assert found == []


def _restless(pilot: Pilot) -> Iterator[str]:
    """Tell what moves or changes its size although nobody touches anything."""
    before = {one: (*one.pos, *one.size) for one in pilot.all()}
    pilot.settle()
    for one, was in before.items():
        if shown(one) and (*one.pos, *one.size) != was:
            yield f"{type(one).__name__} {said(one)[:30]!r} does not stay where it is"


def test_everything_that_can_be_pressed_is_reached_by_tab_and_can_be_seen_then(home: Path) -> None:
    found = []
    with gallery.at(home, (360, 640)) as pilot:
        for place in gallery.PLACES:
            gallery.visit(pilot, place, home)
            found += [f"{place.name}: {fault}" for fault in _unreached(pilot)]
    assert found == []


def _unreached(pilot: Pilot) -> Iterator[str]:
    there = [one for one in pilot.all(Pressable) if not _is_off(one)]
    ringed: list[Pressable] = []
    for _ in range(len(there) + 40):
        pilot.key(TAB)
        here = next((one for one in pilot.all(Pressable) if one.is_ringed), None)
        if here is None or (ringed and here is ringed[0]):
            break
        ringed.append(here)
        end = time.monotonic() + SCROLLED
        while not _is_seen(here) and time.monotonic() < end:
            pilot.frames(1)
        if not _is_seen(here):
            yield f"{said(here)!r} is ringed where nobody sees it"
    yield from (f"{said(one)!r} is not reached" for one in there if one not in ringed and shown(one))


def _is_seen(widget: Pressable) -> bool:
    """Whether a widget is on the screen; of a higher one than that, a part."""
    _, bottom = widget.to_window(widget.x, widget.y)
    top = bottom + min(widget.height, Window.height / 2)
    return bool(bottom > -1 and top < Window.height + 1)


def _is_off(widget: Pressable) -> bool:
    parent = widget
    while parent is not None and parent is not parent.parent:
        if parent.disabled:
            return True
        parent = parent.parent
    return False


@pytest.mark.parametrize(
    ("theme", "letters", "ground"),
    [
        *product(("day", "night"), ("ink", "pencil", "chalk", "alert"), ("paper", "card", "wash")),
        *product(("day", "night"), ("over_chalk",), ("chalk",)),
        *product(("day", "night"), ("paper",), ("ink",)),
    ],
)
def test_letters_stand_out_from_their_ground(theme: Theme, letters: str, ground: str) -> None:
    roles = NIGHT if theme == "night" else DAY
    assert contrast(colour(roles[letters]), colour(roles[ground])) >= LEAST_CONTRAST

"""Lines for what is on the walls: trim, pipes, outlets, studs, doors, and marks that pieces start from."""

from __future__ import annotations

from collections.abc import Iterator

from survey.records import (
    AccessPanel,
    Electrical,
    Feature,
    Fixture,
    Mark,
    Obstacle,
    Opening,
    Register,
    RoughIn,
    Stud,
    Survey,
    Trim,
)
from survey.walk.asked import clear_opening, position
from survey.walk.line import Line
from survey.walk.place import Place
from survey.walk.stand import Stand, standing

PIPE_UP = 500.0
OUTLET_UP = 1100.0
"""mm above the floor, about: nominal, until they are read."""

COVERED = 100.0
"""mm below a counter, where a nail's hole will not be seen."""

Words = tuple[str, str, str]
"""What is read, the usual mistake, and what it is for."""


def on_walls(place: Place, survey: Survey, stand: Stand) -> Iterator[Line]:
    """Give where things are on a stand's wall, and what stands out of the walls at its ends."""
    things: tuple[Feature | Mark, ...] = (*survey.of(Feature), *survey.of(Mark))
    everything = [thing for thing in things if thing.wall in (stand.wall, *stand.sides)]
    for number, thing in enumerate(everything):
        along = place.handy(place.length(thing.wall) * (number + 1) / (len(everything) + 1))
        if isinstance(thing, Mark):
            if _is_started_from(thing.name, survey):
                yield from _at(place, stand, thing, along, thing.name, [stand.main.up], False, _MARK)
        elif thing.wall == stand.wall or not isinstance(thing, (RoughIn, Electrical, Stud)):
            yield from _feature(place, stand, thing, along)


def doors(place: Place, survey: Survey, needs: tuple[str, ...]) -> Iterator[Line]:
    """Give the clear openings that pieces go through, where they are not known."""
    for door in survey.of(Opening):
        if door.type == "door" and door.clear_width is None and door.wall in place.walls and needs:
            yield clear_opening(place, door.name, door.wall, needs)


_MARK: Words = ("mark {0}", "Read to the middle of the scratch.", "pieces are measured from it")
_CASING: Words = ("near edge of casing {0}", "Read to the casing's edge, not to the jamb.", "notch")
_STUD: Words = ("middle of stud {0}", "Prove it with a nail; do not trust the spacing.", "screws")
_WINDOW: Words = ("{1} edge of {2}", "Read to the frame's edge.", "clearance")
_PIPE: Words = ("{0}, middle and height", "Read to the middle, not to the pipe's edge.", "cut-out")
_VALVE: Words = ("{0}, middle and height", "Read to the middle; do not forget the handle.", "cut-out")
_BOX: Words = ("{0}, middle and height", "Read to the box, not to its plate.", "cut-out")
_OTHER: Words = ("{0}, middle and height", "Read to the middle, and note how far it stands out.", "clearance")


def _feature(place: Place, stand: Stand, thing: Feature, along: float) -> Iterator[Line]:
    """Give the positions that a feature has; a casing leans, so it has two."""
    low, high = place.low, stand.main.up
    match thing:
        case Trim(type="casing", fate="stays"):
            yield from _at(place, stand, thing, along, thing.name, [high, low], False, _CASING)
        case Trim(type="sill", fate="stays"):
            yield from _at(place, stand, thing, along, thing.name, [high], True, _OTHER)
        case Stud():
            covered = place.handy(high - COVERED)
            yield from _at(place, stand, thing, along, thing.name, [covered], False, _STUD)
        case Opening(type="window"):
            for end, share in (("left", 0.75), ("right", 1.0)):
                of = f"{thing.name}:{end}"
                yield from _at(place, stand, thing, along * share, of, [high], False, _WINDOW)
        case RoughIn():
            words = _VALVE if thing.type == "stop valve" else _PIPE
            up = place.floor + PIPE_UP
            yield from _at(place, stand, thing, along, thing.name, [up], True, words)
        case Electrical():
            up = place.floor + OUTLET_UP
            yield from _at(place, stand, thing, along, thing.name, [up], True, _BOX)
        case Register() | AccessPanel() | Fixture() | Obstacle():
            up = place.floor + PIPE_UP
            yield from _at(place, stand, thing, along, thing.name, [up], True, _OTHER)
        case _:
            return


def _at(
    place: Place,
    stand: Stand,
    thing: Feature | Mark,
    along: float,
    of: str,
    ups: list[float],
    read_up: bool,
    words: Words,
) -> Iterator[Line]:
    name, mistake, why = words
    said = name.format(of, of.partition(":")[2], thing.name)
    for up in ups:
        at = said if read_up else f"{said}, at {place.say(up)}"
        line = position(place, of, thing.wall, at, along, up, read_up, mistake, stand.pieces, why)
        if line is not None:
            yield line


def _is_started_from(name: str, survey: Survey) -> bool:
    return any(piece.from_ == name for piece in standing(survey))

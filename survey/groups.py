"""A survey's records in the order of a walk: the room, tools, corners, wall by wall, pieces, the rest."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.records import (
    Assumption,
    Corner,
    Feature,
    Job,
    LengthReading,
    Piece,
    Position,
    Reading,
    Record,
    Room,
    Spot,
    Survey,
    Tool,
    Wall,
)

_THE_ROOM: Final = "The room"
_TOOLS: Final = "Tools"
_ACROSS: Final = "From wall to wall"
_CORNERS: Final = "Corners"
_PIECES: Final = "Pieces"
_OTHER: Final = "Notes and the rest"
_GONE: Final = "Corrected or withdrawn"


def grouped(survey: Survey, everything: bool = False) -> list[tuple[str, list[Record]]]:
    """The current records by the wall that they are about; the groups without a wall around them."""
    walls = [f"Wall {wall.name}" for wall in survey.of(Wall)]
    groups: dict[str, list[Record]] = {title: [] for title in (_THE_ROOM, _TOOLS, _CORNERS, *walls, _ACROSS)}
    for record in survey.current:
        groups.setdefault(_group(record, survey), []).append(record)
    if everything:
        current = {record.id for record in survey.current}
        groups[_GONE] = [record for record in survey.records if record.id not in current]
    last = (_PIECES, _OTHER, _GONE)
    titles = [*(title for title in groups if title not in last), *last]
    return [(title, groups[title]) for title in titles if groups.get(title)]


def _group(record: Record, survey: Survey) -> str:
    if isinstance(record, Piece):
        return _PIECES
    if isinstance(record, (Job, Room)):
        return _THE_ROOM
    if isinstance(record, Tool):
        return _TOOLS
    if isinstance(record, Corner) or hasattr(record, "corner"):
        return _CORNERS
    if not (
        isinstance(record, (Reading, Feature, Assumption))
        or hasattr(record, "wall")
        or isinstance(record, Wall)
    ):
        return _OTHER
    walls = set(_walls_of(record, survey))
    return f"Wall {walls.pop()}" if len(walls) == 1 else _ACROSS


def _walls_of(record: Record, survey: Survey) -> Iterator[str]:
    """The walls that a record is about; for a length the wall that both its ends are on, if there is one."""
    if isinstance(record, Wall):
        yield record.name
    elif isinstance(record, LengthReading):
        first, second = (set(_walls_at(end, survey)) for end in record.between)
        yield from first & second or first | second
    elif isinstance(record, (Position, Assumption)):
        yield from _walls_at(record.of, survey)
    elif wall := getattr(record, "wall", None):
        yield wall


def _walls_at(place: Spot | str, survey: Survey) -> Iterator[str]:
    if isinstance(place, Spot):
        yield place.wall
        return
    for thing in survey.named.get(place.split(":")[0], ()):
        if isinstance(thing, Corner):
            yield from (thing.left_wall, thing.right_wall)
        else:
            yield from _walls_of(thing, survey)

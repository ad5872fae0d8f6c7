"""The kind of place: which walls there are, what they are made of, and the records that say so."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import Any, Final, Literal, get_args

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from survey.errors import RecordError
from survey.records import Corner, Job, Mark, Record, Room, Survey, TypedLength, Wall, Withdrawal, kind_of
from survey.walk import place_of

Shape = Literal["wall", "left corner", "right corner", "alcove", "room"]
Framing = Literal["wood stud", "steel stud", "masonry", "lath", "unknown"]
Age = Literal["new", "old"]

SHAPES: Final[dict[Shape, str]] = {
    "alcove": "Alcove",
    "left corner": "Left corner",
    "right corner": "Right corner",
    "wall": "One wall",
    "room": "Whole room",
}
"""Kinds of place and their words, the usual first."""
FRAMINGS: Final[tuple[Framing, ...]] = get_args(Framing)
ROWS: Final[dict[Shape, tuple[str, ...]]] = {
    "alcove": ("left", "back", "right"),
    "left corner": ("left", "back"),
    "right corner": ("back", "right"),
    "wall": ("back",),
    "room": ("back", "right", "front", "left"),
}
"""The walls' usual names, clockwise seen from above."""


class WallAsked(Struct, frozen=True):
    """A wall to set up: what it is usually called, its name, framing and stud spacing (as typed)."""

    usual: str
    name: str
    framing: Framing = "unknown"
    spacing: str = ""


class PlaceSetup(Struct, frozen=True):
    """A place as a person sets it up; `shape` is nothing for one that was put down in other ways.

    `level_line` is the marked line's height above z = 0, as typed; empty: z = 0 is the line.
    """

    shape: Shape | None
    walls: tuple[WallAsked, ...]
    age: Age = "old"
    level_line: str = ""

    def shaped(self, shape: Shape) -> PlaceSetup:
        """Return it as another kind of place; walls that both have keep what was said of them.

        >>> corner = new_place("left corner").shaped("alcove")
        >>> [wall.name for wall in corner.walls]
        ['left', 'back', 'right']
        """
        said = {wall.usual: wall for wall in self.walls}
        walls = tuple(said.get(usual) or WallAsked(usual, usual) for usual in ROWS[shape])
        return replace(self, shape=shape, walls=walls)

    def with_wall(self, usual: str, **said: Any) -> PlaceSetup:
        """Return it with something said of one wall; a framing is taken for all that have none yet.

        >>> framed = new_place("left corner").with_wall("back", framing="lath")
        >>> [wall.framing for wall in framed.walls]
        ['lath', 'lath']
        """
        walls = [replace(wall, **said) if wall.usual == usual else wall for wall in self.walls]
        if "framing" in said and all(wall.framing == "unknown" for wall in self.walls):
            walls = [replace(wall, framing=said["framing"]) for wall in walls]
        return replace(self, walls=tuple(walls))


def new_place(shape: Shape, level_line: str = "") -> PlaceSetup:
    """Return a place of a kind, its walls called as usual."""
    return PlaceSetup(shape, tuple(WallAsked(usual, usual) for usual in ROWS[shape]), "old", level_line)


def place_setup(survey: Survey) -> PlaceSetup | None:
    """Return the place as it was put down; nothing where there is none yet."""
    try:
        place = place_of(survey)
    except RecordError:
        return None
    walls = {wall.name: wall for wall in survey.of(Wall)}
    shape = _shape(place.kind, place.walls, place.back, any(one.turn == "outside" for one in place.corners))
    usual = ROWS[shape] if shape is not None else place.walls
    job = survey.job
    line = job.level_line.text if job is not None and job.level_line is not None else ""
    return PlaceSetup(
        shape,
        tuple(
            WallAsked(
                called, name, walls[name].framing, spacing.text if (spacing := walls[name].spacing) else ""
            )
            for called, name in zip(usual, place.walls, strict=True)
        ),
        survey.of(Room)[-1].age,
        line,
    )


def _shape(kind: str, walls: tuple[str, ...], back: str, has_outside: bool) -> Shape | None:
    """Return which of our kinds a row of walls is, by how many there are and where the back is."""
    for shape, row in ROWS.items():
        same_kind = kind == ("corner" if shape.endswith("corner") else shape)
        if (
            same_kind
            and not has_outside
            and len(row) == len(walls)
            and walls.index(back) == row.index("back")
        ):
            return shape
    return None


def changes(survey: Survey, setup: PlaceSetup, stamp: Callable[[], dict[str, Any]]) -> tuple[Record, ...]:
    """Return what to put down, as one act, so that the survey has this place.

    Walls and corners that stay are left alone; those that go are taken back.

    Parameters
    ----------
    stamp
        Gives the id, moment, person and device of a new record (`Visit.stamp`).

    Raises
    ------
    RecordError
        A name that cannot be or is taken, or a wall that goes and that other records speak of.
    QuantityError
        A spacing or a height that cannot be read.
    """
    _refuse_names(survey, setup)
    old = {_key(record): record for record in survey.of(Job, Room, Wall, Corner, Mark)}
    wanted = list(_wanted(survey, setup, stamp, old))
    keys = {_key(record) for record in wanted}
    gone = [one for key, one in old.items() if key[0] in ("wall", "corner") and key not in keys]
    if setup.shape is None:
        gone = []
    _refuse_used(survey, gone, [old[key] for key in keys & old.keys()])
    put = [record for record in wanted if _said(record) != _said(old.get(_key(record)))]
    put = [replace(one, replaces=(old[_key(one)].id,)) if _key(one) in old else one for one in put]
    taken_back = [Withdrawal(**stamp(), replaces=tuple(one.id for one in gone))] if gone else []
    return (*put, *taken_back)


def _wanted(
    survey: Survey, setup: PlaceSetup, stamp: Callable[[], dict[str, Any]], old: dict[tuple[str, ...], Any]
) -> Iterator[Record]:
    unit = survey.job.unit if survey.job is not None else "in"
    if survey.job is not None:
        line = TypedLength(setup.level_line, unit) if setup.level_line else None
        yield replace(survey.job, **stamp(), level_line=line)
    names = {wall.usual: wall.name for wall in setup.walls}
    rooms = survey.of(Room)
    back = names["back"] if setup.shape is not None else rooms[-1].back
    marks = [mark.name for mark in survey.of(Mark) if mark.wall == back]
    origin = (marks or ["start"])[0] if setup.shape == "wall" else None
    if rooms:
        yield replace(rooms[-1], **stamp(), back=back, age=setup.age, origin=origin or rooms[-1].origin)
    else:
        yield Room(**stamp(), name="room", back=back, age=setup.age, origin=origin)
    for wall in setup.walls:
        spacing = TypedLength(wall.spacing, unit) if wall.spacing else None
        yield Wall(**stamp(), name=wall.name, framing=wall.framing, spacing=spacing)
    if setup.shape is not None:
        for left, right in _meeting(tuple(wall.name for wall in setup.walls), setup.shape == "room"):
            there = old.get(("corner", left, right))
            yield there or Corner(**stamp(), name=f"{left}-{right}", left_wall=left, right_wall=right)
    if origin is not None and not marks:
        yield Mark(**stamp(), name=origin, wall=back, described="upright pencil line, all is read from it")


def _meeting(walls: tuple[str, ...], is_closed: bool) -> Iterator[tuple[str, str]]:
    yield from pairwise(walls)
    if is_closed:
        yield walls[-1], walls[0]


def _key(record: Record) -> tuple[str, ...]:
    """Return what makes two records say something of the same thing."""
    match record:
        case Wall():
            return "wall", record.name
        case Corner():
            return "corner", record.left_wall, record.right_wall
        case Mark():
            return "mark", record.name
        case _:
            return (kind_of(record),)


def _said(record: Record | None) -> dict[str, Any]:
    """Return what a record says, without who said it when."""
    if record is None:
        return {}
    said: dict[str, Any] = msgspec.to_builtins(record)
    return {
        key: value
        for key, value in said.items()
        if key not in ("id", "taken", "device", "person", "replaces")
    }


def _refuse_names(survey: Survey, setup: PlaceSetup) -> None:
    names = [wall.name for wall in setup.walls]
    for name in names:
        if not name or any(letter.isspace() or letter in ":,'\"" for letter in name) or len(name) > 40:
            raise RecordError(
                f"a wall's name is one word of at most 40 letters: got {name!r}; choose another"
            )
        if names.count(name) > 1:
            raise RecordError(f"two walls are called {name}: give each a name of its own")
        others = [one for one in survey.named.get(name, ()) if not isinstance(one, Wall)]
        if others:
            raise RecordError(
                f"{name} is the name of a {kind_of(others[0])} already: call the wall otherwise"
            )


def _refuse_used(survey: Survey, gone: Iterable[Record], kept: Iterable[Record]) -> None:
    names = {str(getattr(one, "name", "")) for one in gone} - {str(getattr(one, "name", "")) for one in kept}
    besides = {one.id for one in (*gone, *kept)}
    for record in survey.current:
        used = names & set(_words(msgspec.to_builtins(record))) if record.id not in besides else set()
        if used:
            name = min(used)
            kind = kind_of(record).replace("-", " ")
            raise RecordError(
                f"{name} is still spoken of, by a {kind}: take back what was read there first, or keep {name}"
            )


def _words(said: object) -> Iterator[str]:
    """Give every word in what a record says; of `casing:near`, the name."""
    if isinstance(said, str):
        yield said.partition(":")[0]
    elif isinstance(said, dict):
        for value in said.values():
            yield from _words(value)
    elif isinstance(said, (list, tuple)):
        for value in said:
            yield from _words(value)

"""A reading that the walk does not ask for: where it lies at first, to be changed before it is taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from survey.dictation import dictate
from survey.errors import RecordError
from survey.records import (
    Corner,
    Drop,
    Feature,
    LengthReading,
    Position,
    Reading,
    Spot,
    StickMark,
    StoryStick,
    Survey,
    Tool,
    TypedLength,
)
from survey.walk import Line, Place, place_of, what_is_read
from survey.walk import asked as ask
from survey.walk.asked import NOT_TAKEN, Run
from survey.walk.stand import Height, Upright

KINDS: Final = {
    "length": "length",
    "straightedge": "straightedge check",
    "lean": "lean of a wall",
    "drop": "drop from the level line",
    "three-sides": "corner by three sides",
    "corner-angle": "corner by a gauge",
    "corner-square": "corner with a framing square",
    "position": "place of a thing",
    "story-stick": "story stick",
    "template": "small template in a corner",
    "tool": "a tool over a known length",
}
"""Kinds of readings by their tags, in the trade's words."""


def free_line(kind: str, survey: Survey, given: Mapping[str, str]) -> Line:
    """Return a line for a reading of a kind, at a place that can be read.

    Parameters
    ----------
    given
        `wall` on which it is taken (the back one where it says none); for a position `of`, and `along`,
        `from_` and `up` as far as they are known.

    Raises
    ------
    RecordError
        The kind is none, or there is nothing on the wall to count from.
    QuantityError
        A given place is no length.
    """
    place = place_of(survey)
    wall = given.get("wall") or place.back
    if kind not in KINDS:
        raise RecordError(f"expected a kind of reading ({', '.join(KINDS)}), got {kind!r}")
    if wall not in place.walls:
        raise RecordError(f"expected one of the walls {', '.join(place.walls)}, got {wall!r}")
    if kind in ("position", "tool"):
        reading = _position(place, survey, wall, given) if kind == "position" else _tool(place)
        return Line(_name(kind, reading), wall, reading, "", "", 0.5, 1)
    line = _BUILD[kind](place, wall)
    return Line(_name(kind, line.reading), wall, line.reading, "", line.mistake, line.minutes, line.numbers)


def said_line(said: str, survey: Survey) -> Line:
    """Return a line for an advised reading, by its dictation; its values are nominal.

    Raises
    ------
    DictationError, RecordError
        It is no reading of this survey.
    """
    (record,) = dictate([said], survey)
    if not isinstance(record, Reading):
        raise RecordError(f"expected a reading, got {said!r}: take one from the walk")
    return Line(_name(type(record).__struct_config__.tag, record), "", record, "", "", 1.0, 1)


def again_line(reading: Reading) -> Line:
    """Return a line for taking a reading of a survey once more."""
    return Line(_name(type(reading).__struct_config__.tag, reading), "", reading, "", "", 1.0, 1)


def _name(kind: object, reading: Reading) -> str:
    words = KINDS.get(str(kind), str(kind))
    where = reading.of if isinstance(reading, Position) else getattr(reading, "wall", "")
    corner = getattr(reading, "corner", "")
    if isinstance(reading, Position):
        return f"where {where} is"
    if corner:
        return words.replace("corner", f"corner {corner}", 1)
    if where:
        return f"{words.removesuffix(' of a wall')}{' of' if kind == 'lean' else ', '} wall {where}".replace(
            ",  ", ", "
        )
    return words if isinstance(reading, Tool) else f"{words}, {what_is_read(reading)}"


def _start(place: Place, wall: str) -> str:
    start = place.start(wall)
    if start is None:
        raise RecordError(f"wall {wall} has nothing to count from: put a corner or a mark on it first")
    return start


def _corner(place: Place, wall: str) -> Corner:
    corner = place.corner_at(wall, "left") or place.corner_at(wall, "right")
    if corner is None:
        raise RecordError(f"wall {wall} has no corner: add one first")
    return corner


def _height(place: Place, wall: str) -> Height:
    return Height(place.height, "counter height", (0.0, place.length(wall)), place.depth, (wall,))


def _length(place: Place, wall: str) -> Line:
    start, out = _start(place, wall), place.typed(place.handy(place.length(wall) / 2))
    left, right = place.corner_at(wall, "left"), place.corner_at(wall, "right")
    ends = (left.name, right.name) if left and right else (start, Spot(wall=wall, along=out, from_=start))
    reading = LengthReading(
        id="walk", taken=NOT_TAKEN, between=ends,
        reads=place.typed(place.length(wall)) if left and right else out, up=place.typed(place.height),
    )  # fmt: skip
    return Line("", wall, reading, "", "Do not bend a tape into a corner.", ask.WIDTH, 1)


def _edge(place: Place, wall: str) -> Line:
    run = Run(wall, _start(place, wall), 0.0, place.length(wall))
    return next(ask.edge_checks(place, run, _height(place, wall)))


def _lean(place: Place, wall: str) -> Line:
    along = place.handy(place.length(wall) / 2)
    return ask.lean(place, Upright(wall, _start(place, wall), along, place.low, place.height, "", ()))


def _drop(place: Place, wall: str) -> Line:
    reading = Drop(
        id="walk", taken=NOT_TAKEN, start="butted", wall=wall,
        along=place.typed(place.handy(place.length(wall) / 2)), from_=_start(place, wall),
        out=place.typed(place.handy(place.depth / 2)), reads=place.typed(place.level_line - place.floor),
    )  # fmt: skip
    return Line("", wall, reading, "", "Say so if tile is still to come.", ask.DROP, 1)


def _stick(place: Place, wall: str) -> Line:
    start, length = _start(place, wall), place.length(wall)
    at = [place.typed(place.handy(share * length)) for share in (1 / 3, 2 / 3)]
    marks = tuple(StickMark(Spot(wall=wall, along=along, from_=start), along) for along in at)
    reading = StoryStick(
        id="walk", taken=NOT_TAKEN, wall=wall, zero=start, marks=marks, up=place.typed(place.height)
    )
    return Line("", wall, reading, "", "Strike the marks before it is moved.", ask.TEMPLATE, len(marks))


def _three_sides(place: Place, wall: str) -> Line:
    return ask.three_sides(place, _corner(place, wall), wall, _height(place, wall), place.depth)


def _gauge(place: Place, wall: str) -> Line:
    return ask.by_gauge(place, _corner(place, wall), wall, _height(place, wall))


def _square(place: Place, wall: str) -> Line:
    return ask.by_square(place, _corner(place, wall), wall, _height(place, wall))


def _template(place: Place, wall: str) -> Line:
    return ask.corner_template(place, _corner(place, wall), wall, _height(place, wall))


_BUILD: Final[dict[str, Callable[[Place, str], Line]]] = {
    "length": _length,
    "straightedge": _edge,
    "lean": _lean,
    "drop": _drop,
    "story-stick": _stick,
    "three-sides": _three_sides,
    "corner-angle": _gauge,
    "corner-square": _square,
    "template": _template,
}


def _position(place: Place, survey: Survey, wall: str, given: Mapping[str, str]) -> Position:
    of = given.get("of", "")
    if not of:
        things = [thing.name for thing in survey.of(Feature) if thing.wall == wall]
        if not things:
            raise RecordError(f"nothing is on wall {wall} yet: put it on the wall view first")
        of = things[-1]
    unit = place.step.unit
    along, up = given.get("along"), given.get("up")
    return Position(
        id="walk", taken=NOT_TAKEN, start="hook", of=of,
        along=TypedLength(along, unit) if along else place.typed(place.handy(place.length(wall) / 2)),
        from_=given.get("from_") or _start(place, wall), up=TypedLength(up, unit) if up else None,
    )  # fmt: skip


def _tool(place: Place) -> Tool:
    known = place.typed(place.handy(40 * 25.4 if place.step.unit == "in" else 1000.0))
    return Tool(id="walk", taken=NOT_TAKEN, start="hook", name="tape", known=known, reads=known)

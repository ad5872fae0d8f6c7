"""Whether one reading was taken where another is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    End,
    Lean,
    LengthReading,
    Position,
    Reading,
    Spot,
    StraightedgeCheck,
    Survey,
    Template,
    ThreeSides,
    Trim,
    TypedLength,
)
from survey.walk.place import Place

NEAR: Final = 60.0
"""mm along, out and up, within which a place counts as the same: nothing else of a wall shows nearer by."""

Where = tuple[str, str, float]
"""A wall, the corner or mark that is counted from, and mm from there."""


def satisfies(read: Reading, asked: Reading, place: Place, survey: Survey) -> bool:
    """Whether a reading tells what another one asks for; it may tell more.

    Values do not matter, and instruments only where walls must be tied to one another by one laser cross.
    """
    match asked, read:
        case LengthReading(), LengthReading():
            return _same_ends(read, asked, place)
        case ThreeSides() | CornerAngle() | CornerSquare(), ThreeSides() | CornerAngle() | CornerSquare():
            alike = type(read) is type(asked) and read.corner == asked.corner
            return alike and _near(read.up, asked.up)
        case StraightedgeCheck(), StraightedgeCheck():
            return _checks(read, asked, place)
        case Lean(), Lean():
            spans = read.low.mm <= asked.low.mm + NEAR and read.high.mm >= asked.high.mm - NEAR
            return spans and _together(_foot(read), _foot(asked), place)
        case Drop(), Drop():
            same = read.to == asked.to and _near(read.out, asked.out)
            return same and _together(_foot(read), _foot(asked), place)
        case Position(), Position():
            return _positions(read, asked, survey)
        case Template(), Template():
            walls = {point.wall for point in asked.points}
            return walls <= {point.wall for point in read.points} and _near(read.up, asked.up)
        case _:
            return False


def _near(one: TypedLength | None, other: TypedLength | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one.mm - other.mm) <= NEAR


def _together(one: Where, other: Where, place: Place) -> bool:
    """Whether two places on one wall are the same, whichever end of it they are counted from."""
    if one[0] != other[0]:
        return False
    if one[1] == other[1]:
        return abs(one[2] - other[2]) <= NEAR
    if not {one[1], other[1]} <= {corner.name for corner in place.corners} or one[0] not in place.walls:
        return False
    return abs(place.from_left(*one) - place.from_left(*other)) <= NEAR


def _foot(reading: Lean | Drop) -> Where:
    return reading.wall, reading.from_, float(reading.along.mm)


def _same_ends(read: LengthReading, asked: LengthReading, place: Place) -> bool:
    return any(
        all(_same_end(one, read, other, asked, place) for one, other in zip(ends, asked.between, strict=True))
        for ends in (read.between, read.between[::-1])
    )


def _same_end(one: End, read: LengthReading, other: End, asked: LengthReading, place: Place) -> bool:
    heights = [
        end.up if isinstance(end, Spot) and end.up else reading.up
        for end, reading in ((one, read), (other, asked))
    ]
    if one == other and isinstance(one, str):
        return _near(*heights)
    return _near(*heights) and any(
        _together(here, there, place) for here in _wheres(one, place) for there in _wheres(other, place)
    )


def _wheres(end: End, place: Place) -> Iterator[Where]:
    """Give where an end is on its walls: a corner is at the ends of two."""
    if isinstance(end, Spot):
        yield end.wall, end.from_, float(end.along.mm)
        return
    for corner in place.corners:
        if corner.name == end:
            yield corner.left_wall, end, 0.0
            yield corner.right_wall, end, 0.0


def _checks(read: StraightedgeCheck, asked: StraightedgeCheck, place: Place) -> bool:
    """Whether one check has a station at each station of the other."""
    if (read.wall, read.run) != (asked.wall, asked.run) or (asked.cross and not read.cross):
        return False
    if asked.run == "plumb":
        feet = [(each.wall, each.from_, float(each.along.mm if each.along else 0)) for each in (read, asked)]
        there = [float(station.at.mm) for station in read.stations]
        every = all(any(abs(up - float(at.at.mm)) <= NEAR for up in there) for at in asked.stations)
        return every and _together(feet[0], feet[1], place)
    if not _near(read.up, asked.up):
        return False
    at = [(read.wall, read.from_, float(station.at.mm)) for station in read.stations]
    wanted = [(asked.wall, asked.from_, float(station.at.mm)) for station in asked.stations]
    return all(any(_together(one, other, place) for one in at) for other in wanted)


def _positions(read: Position, asked: Position, survey: Survey) -> bool:
    """Whether a position says what another asks; a casing leans, so it counts at the height asked for."""
    if read.of != asked.of or (asked.along is not None and read.along is None):
        return False
    things = survey.named.get(asked.of.partition(":")[0], ())
    if any(isinstance(thing, Trim) and thing.type == "casing" for thing in things):
        return _near(read.up, asked.up)
    return asked.up is None or read.up is not None or read.below is not None

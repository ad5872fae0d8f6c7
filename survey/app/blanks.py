"""The numbers that a reading asks for: what each is called, what is usual, and the record once filled in.

A walk's line brings its reading with nominal values; the blanks are those values that an instrument gives.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeVar

from msgspec.structs import replace

from survey.quantity import Angle, Length, read_angle, read_length
from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Position,
    Reading,
    Station,
    StickMark,
    StoryStick,
    StraightedgeCheck,
    Template,
    TemplatePoint,
    ThreeSides,
    Tool,
    TypedAngle,
    TypedLength,
)
from survey.records.base import LengthUnit

Sort = Literal["length", "angle"]
Taken = TypeVar("Taken", bound=Reading)


@dataclass(frozen=True)
class Blank:
    """One number to be typed.

    `field` names it in `filled`; `label` says it to a person; `usual` is what it comes near to, as typed.
    """

    field: str
    label: str
    usual: str
    sort: Sort = "length"


def blanks(reading: Reading) -> tuple[Blank, ...]:
    """Return the numbers that are read off the instrument, in the order in which they are.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.records import Survey
    >>> place = ["job V in in to 1/16", "wall back", "wall left", "corner left and back"]
    >>> *_, drop = dictate([*place, "drop floor back along 4 from left-back out 4 reads 36"], Survey([]))
    >>> blanks(drop)
    (Blank(field='reads', label='Down to the floor', usual='36', sort='length'),)
    """
    match reading:
        case LengthReading():
            found = [Blank("reads", "Length", reading.reads.text)]
        case ThreeSides():
            found = [
                Blank("left_leg", "Leg on the left wall", reading.left_leg.text),
                Blank("right_leg", "Leg on the right wall", reading.right_leg.text),
                Blank("diagonal", "From mark to mark", reading.diagonal.text),
            ]
        case CornerAngle():
            found = [Blank("reads", "Angle", reading.reads.text, "angle")]
        case CornerSquare():
            found = [Blank("gap", f"Gap at the {reading.gap_at}", reading.gap.text)]
        case StraightedgeCheck():
            found = [
                Blank(f"gap {number}", f"Gap at {station.at.text}", station.gap.text)
                for number, station in enumerate(reading.stations)
            ]
        case Lean(offset=None, angle=TypedAngle(text=text)):
            found = [Blank("angle", "Lean of the top, into the room +", text, "angle")]
        case Lean(offset=TypedLength(text=text)):
            found = [Blank("offset", "Top against bottom, into the room +", text)]
        case Drop():
            way = "Down to the floor" if reading.to == "floor" else "Up to the ceiling"
            found = [Blank("reads", way, reading.reads.text)]
        case Position():
            named = (
                ("along", f"Along from {reading.from_}", reading.along),
                ("up", "Height", reading.up),
                ("below", "Down from the level line", reading.below),
                ("out", "Out of the wall", reading.out),
            )
            found = [Blank(field, label, value.text) for field, label, value in named if value is not None]
        case StoryStick():
            found = [
                Blank(f"mark {number}", f"Mark {number + 1}", mark.reads.text)
                for number, mark in enumerate(reading.marks)
            ]
        case Template():
            found = [
                Blank(f"{axis} {number}", f"Point {number + 1}, {words}", getattr(point, axis).text)
                for number, point in enumerate(reading.points)
                for axis, words in (("right", "to the right"), ("back", "to the back"))
            ]
        case Tool(known=TypedLength(text=known), reads=TypedLength(text=reads)):
            found = [Blank("known", "Known length", known), Blank("reads", "The tool reads", reads)]
        case _:
            found = []
    return tuple(found)


def read_blank(blank: Blank, text: str, unit: LengthUnit) -> Length | Angle:
    """Read what was typed into a blank.

    Raises
    ------
    QuantityError
        It is no length, or no angle; the message points at the place.
    """
    return read_angle(text) if blank.sort == "angle" else read_length(text, unit)


def filled(reading: Taken, typed: Mapping[str, str], unit: LengthUnit) -> Taken:
    """Return the reading with what was typed in its blanks; those that are not named stay as they are.

    Raises
    ------
    QuantityError
        A value cannot be read.
    RecordError
        The values break the rules of the reading's kind.
    """
    length = {
        field: TypedLength(text, unit) for field, text in typed.items() if not _is_angle(reading, field)
    }
    match reading:
        case StraightedgeCheck():
            stations = tuple(
                Station(station.at, length.get(f"gap {number}", station.gap))
                for number, station in enumerate(reading.stations)
            )
            return replace(reading, stations=stations)
        case StoryStick():
            marks = tuple(
                StickMark(mark.to, length.get(f"mark {number}", mark.reads))
                for number, mark in enumerate(reading.marks)
            )
            return replace(reading, marks=marks)
        case Template():
            points = tuple(
                TemplatePoint(
                    point.wall,
                    length.get(f"right {number}", point.right),
                    length.get(f"back {number}", point.back),
                )
                for number, point in enumerate(reading.points)
            )
            return replace(reading, points=points)
        case _:
            angles = {field: TypedAngle(text) for field, text in typed.items() if _is_angle(reading, field)}
            return replace(reading, **length, **angles)


def _is_angle(reading: Reading, field: str) -> bool:
    return any(blank.field == field and blank.sort == "angle" for blank in blanks(reading))

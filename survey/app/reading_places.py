"""Where a reading is taken, field by field, so that a person can say that it is somewhere else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from msgspec.structs import replace

from survey.app.blanks import blanks
from survey.app.record_form import questions
from survey.records import (
    Corner,
    End,
    Feature,
    LengthReading,
    Mark,
    Reading,
    Spot,
    Survey,
    TypedLength,
    Wall,
)
from survey.records.base import LengthUnit

NO_PLACE: Final = frozenset({"note", "instrument", "start", "face", "sd"})
"""Fields that say how a thing is read, and have keys of their own."""
ENDS: Final = ("end 0", "end 1")


@dataclass(frozen=True)
class PlaceField:
    """One thing that says where: its field, words for it, what it says now, and what it may say instead."""

    field: str
    words: str
    value: str
    sort: Literal["length", "choice"]
    choices: tuple[tuple[str, str], ...] = ()


def place_fields(reading: Reading, survey: Survey) -> tuple[PlaceField, ...]:
    """Return what says where a reading is taken; the numbers that are read are no part of it.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> place = ["job V in in to 1/16", "wall back", "wall left", "corner left and back"]
    >>> records = dictate([*place, "drop floor back along 4 from left-back out 4 reads 36"], Survey([]))
    >>> [(one.words, one.value) for one in place_fields(records[-1], Survey(records))]
    [('to', 'floor'), ('wall', 'back'), ('how far along', '4'), ('measured from', 'left-back'), ('out', '4')]
    """
    read = {blank.field for blank in blanks(reading)}
    found = []
    if isinstance(reading, LengthReading):
        for field, end in zip(ENDS, reading.between, strict=True):
            words = "from" if field == "end 0" else "to"
            found.append(PlaceField(field, words, end_words(end), "choice", _ends(survey)))
    for one in questions(type(reading)):
        value = getattr(reading, one.field)
        if one.field in NO_PLACE or one.field in read:
            continue
        if one.sort == "length":
            found.append(PlaceField(one.field, one.words, value.text if value else "", "length"))
        elif one.sort in ("choice", "words") and value is not None:
            choices = tuple((each, each) for each in one.choices) or _names(one.field, reading, survey)
            if choices:
                found.append(PlaceField(one.field, one.words, str(value), "choice", choices))
    return tuple(found)


def moved(reading: Reading, field: str, value: str, unit: LengthUnit) -> Reading:
    """Return the reading with another place; a cleared length is left out.

    Raises
    ------
    QuantityError, RecordError
        The value is no length, or the reading's kind refuses it.
    """
    if isinstance(reading, LengthReading) and field in ENDS:
        ends = list(reading.between)
        ends[ENDS.index(field)] = _end(value, unit)
        return replace(reading, between=(ends[0], ends[1]))
    if isinstance(getattr(reading, field), TypedLength) or field in ("up", "edge_length", "along"):
        return replace(reading, **{field: TypedLength(value, unit) if value else None})
    return replace(reading, **{field: value})


def end_words(end: End) -> str:
    """Say an end of a length as it is chosen."""
    if isinstance(end, Spot):
        return f"wall {end.wall}, {end.along.text} from {end.from_}"
    name, _, edge = end.partition(":")
    return f"{edge} edge of {name}" if edge else name


def spot_value(wall: str, start: str, along: str) -> str:
    """Return the value of a place on a wall, for `moved`."""
    return f"{wall} {start} {along}"


def _end(value: str, unit: LengthUnit) -> End:
    parts = value.split(" ", 2)
    if len(parts) < 3:
        return value
    return Spot(wall=parts[0], from_=parts[1], along=TypedLength(parts[2], unit))


def _ends(survey: Survey) -> tuple[tuple[str, str], ...]:
    """Return what a length can end at by name; a wall, said as `on`, then asks how far along."""
    things = [feature.name for feature in survey.of(Feature)]
    edges = [(f"{name}:{edge}", f"{edge} edge of {name}") for name in things for edge in ("left", "right")]
    points = [corner.name for corner in survey.of(Corner)] + [mark.name for mark in survey.of(Mark)]
    walls = [(f"on {wall.name}", f"a place on wall {wall.name}") for wall in survey.of(Wall)]
    return (*((name, name) for name in points), *walls, *edges)


def _names(field: str, reading: Reading, survey: Survey) -> tuple[tuple[str, str], ...]:
    corners = survey.of(Corner)
    wall = getattr(reading, "wall", None)
    match field:
        case "wall":
            names = [one.name for one in survey.of(Wall)]
        case "corner":
            names = [one.name for one in corners]
        case "lies_on":
            named = getattr(reading, "corner", "")
            names = [wall for one in corners if one.name == named for wall in (one.left_wall, one.right_wall)]
        case "from_":
            names = [one.name for one in corners if wall in (None, one.left_wall, one.right_wall)]
            names += [one.name for one in survey.of(Mark) if wall in (None, one.wall)]
        case "of":
            names = [one.name for one in survey.of(Feature)]
        case _:
            names = []
    return tuple((name, name) for name in names)

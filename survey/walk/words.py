"""What is read, and where, in plain words."""

from __future__ import annotations

from collections.abc import Sequence

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
    Template,
    ThreeSides,
    TypedLength,
)

_MOST_SAID = 3
"""Stations are named up to this many; of more, the first, the spacing and the last."""


def what_is_read(reading: Reading) -> str:
    """Say where a reading is taken, as a person would be told; its values are not said.

    Lengths are in the unit that they were typed in, which is not said.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.records import Survey
    >>> alcove = ["job V in inches to 1/16", "wall back", "wall left", "corner left and back"]
    >>> *_, lean = dictate([*alcove, "lean back along 6 from left-back low 4 high 34 in 0"], Survey([]))
    >>> what_is_read(lean)
    '6 along from left-back, between 4 and 34 up'
    """
    match reading:
        case LengthReading(between=(first, second)):
            words = f"{_end(first)} to {_end(second)}{_up(reading.up)}"
        case ThreeSides():
            legs = f"{reading.left_leg.text} to the left of it, {reading.right_leg.text} to the right"
            words = f"marks {legs}, and between them{_up(reading.up)}"
        case CornerAngle():
            words = f"the gauge's legs {reading.reach.text} long{_up(reading.up)}"
        case CornerSquare():
            legs = f"{reading.lying_leg.text} leg on wall {reading.lies_on}"
            words = f"{legs}, the gap at an end of the {reading.other_leg.text} leg{_up(reading.up)}"
        case StraightedgeCheck():
            heights = " up," if reading.run == "plumb" else " from"
            words = f"{_stations(reading)}{heights} {_from(reading)}"
        case Lean():
            heights = f"between {reading.low.text} and {reading.high.text} up"
            words = f"{reading.along.text} along from {reading.from_}, {heights}"
        case Drop():
            words = f"{reading.along.text} along from {reading.from_}, {reading.out.text} out"
        case Position():
            words = f"along from {reading.from_}"
        case Template():
            words = f"{len(reading.points)} places along its edge{_up(reading.up)}"
        case _:
            return ""
    return words


def _up(up: TypedLength | None) -> str:
    return f", {up.text} up" if up is not None else ""


def _end(end: End) -> str:
    if isinstance(end, Spot):
        return f"wall {end.wall} at {end.along.text} from {end.from_}"
    name, _, edge = end.partition(":")
    return f"{edge} edge of {name}" if edge else name


def _from(reading: StraightedgeCheck) -> str:
    if reading.run == "plumb":
        along = reading.along.text if reading.along else "0"
        return f"{along} along from {reading.from_}"
    return f"{reading.from_}{_up(reading.up)}"


def _stations(reading: StraightedgeCheck) -> str:
    at = [station.at.text for station in reading.stations]
    if len(at) <= _MOST_SAID:
        return f"gaps at {' and '.join(at)}"
    return f"{len(at)} gaps at {_listed(at)}"


def _listed(at: Sequence[str]) -> str:
    return f"{at[0]}, {at[1]}, {at[2]} ... {at[-1]}"

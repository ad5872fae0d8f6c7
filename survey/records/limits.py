"""What no record can say: values that are impossible whatever the room, refused before they are written.

Everything that is only unlikely is a finding, not a refusal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from survey.errors import RecordError
from survey.records.base import Record, TypedAngle, TypedLength

LONGEST_MM: Final = 60_000
"""60 m: the longest tape a fitter carries; a longer value has slipped a digit or its unit."""

STEEPEST_LEAN_DEG: Final = 45
"""A wall that leans more is a ceiling."""

SIGNED: Final = frozenset(
    {
        "along",
        "up",
        "out",
        "from",
        "to",
        "at",
        "low",
        "high",
        "bottom",
        "top",
        "offset",
        "below",
        "level_line",
    }
    | {"right", "back", "overhang", "end_overhang", "setback", "value", "planed_off", "shim", "off"}
)
"""Places, heights and offsets, which can lie on either side; every other length is a size."""

ABOVE_ZERO: Final = frozenset(
    {
        "left_leg",
        "right_leg",
        "diagonal",
        "reach",
        "lying_leg",
        "other_leg",
        "spacing",
        "edge_length",
        "known",
    }
    | {"width", "height", "depth", "length", "thickness", "diameter", "clear_width", "sd"}
    | {"next_width", "size", "stile", "rail", "stuff", "front_thickness", "side_thickness", "cover"}
)
"""Sizes of which nothing is not a size."""


def refuse_impossible(record: Record) -> None:
    """Refuse a length over 60 m, a size below zero, an angle that no corner has.

    Raises
    ------
    RecordError
        Names the field, what was expected, what came and what to do.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from survey.records import Wall
    >>> day, spacing = datetime(2024, 5, 1, tzinfo=UTC), TypedLength("-16", "in")
    >>> refuse_impossible(Wall(id="w1", taken=day, name="back", spacing=spacing))
    Traceback (most recent call last):
    survey.errors.RecordError: spacing: expected more than zero, got -16: read it again
    """
    for path, value in _values(record, ""):
        name = path.rsplit(".", 1)[-1]
        if isinstance(value, TypedLength):
            _refuse_length(path, name, value)
        elif isinstance(value, TypedAngle):
            _refuse_angle(path, name, value)
        elif isinstance(value, float) and not math.isfinite(value):
            raise RecordError(f"{path}: expected a number, got {value}: leave it out or give one")


def _values(value: object, path: str) -> Iterator[tuple[str, object]]:
    """Walk all that a record holds, with the way to it."""
    if isinstance(value, Struct) and not isinstance(value, (TypedLength, TypedAngle)):
        for name, spelled in zip(value.__struct_fields__, value.__struct_encode_fields__, strict=True):
            yield from _values(getattr(value, name), f"{path}.{spelled}" if path else spelled)
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from _values(item, f"{path}[{index}]")
    else:
        yield path, value


def _refuse_length(path: str, name: str, length: TypedLength) -> None:
    mm = length.mm
    if abs(mm) > LONGEST_MM:
        raise RecordError(
            f"{path}: expected at most {LONGEST_MM // 1000} m, got {length.text} ({float(mm) / 1000:.1f} m): "
            "check the digits and the unit"
        )
    if name in ABOVE_ZERO and mm <= 0:
        raise RecordError(f"{path}: expected more than zero, got {length.text}: read it again")
    if name not in SIGNED and mm < 0:
        raise RecordError(f"{path}: expected zero or more, got {length.text}: read it again")


def _refuse_angle(path: str, name: str, typed: TypedAngle) -> None:
    degrees = math.degrees(typed.angle.radians)
    if name == "angle" and abs(degrees) > STEEPEST_LEAN_DEG:
        raise RecordError(
            f"{path}: expected a lean of at most {STEEPEST_LEAN_DEG}°, got {typed.text}: "
            "give the angle from plumb"
        )
    if name != "angle" and not 0 < degrees < 360:
        raise RecordError(f"{path}: expected an angle between 0° and 360°, got {typed.text}: read it again")

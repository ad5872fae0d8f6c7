"""A slip of a given size in one number of a reading, for studies of what is found out."""

from __future__ import annotations

import math
from functools import singledispatch
from typing import TypeVar

import numpy as np
from msgspec.structs import replace

from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Reading,
    StraightedgeCheck,
    Template,
    ThreeSides,
    TypedAngle,
    TypedLength,
)

R = TypeVar("R", bound=Reading)


def slip(record: R, rng: np.random.Generator, size_mm: float) -> tuple[R, str]:
    """Put a slip of a size, up or down, into one of the numbers that were read; say which.

    No number gets below nothing: there the slip goes up. An angle slips by that size at the end of its reach.
    """
    wrong, which = _slipped(record, rng, size_mm)
    return wrong, which  # type: ignore[return-value]


@singledispatch
def _slipped(record: Reading, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    raise ValueError(f"expected a reading with lengths or an angle, got {type(record).__name__}")


def _moved(typed: TypedLength, rng: np.random.Generator, size_mm: float, signed: bool = False) -> TypedLength:
    mm = float(typed.mm)
    up = rng.random() < 0.5 or (not signed and mm < size_mm)
    return TypedLength(f"{mm + (size_mm if up else -size_mm):z.4f}", "mm")


@_slipped.register(LengthReading)
@_slipped.register(Drop)
def _(record: LengthReading | Drop, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    return replace(record, reads=_moved(record.reads, rng, size_mm)), "reads"


@_slipped.register
def _(record: ThreeSides, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    which = str(rng.choice(["left_leg", "right_leg", "diagonal"]))
    return replace(record, **{which: _moved(getattr(record, which), rng, size_mm)}), which


@_slipped.register
def _(record: CornerSquare, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    return replace(record, gap=_moved(record.gap, rng, size_mm)), "gap"


@_slipped.register
def _(record: CornerAngle, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    turn = rng.choice([-1.0, 1.0]) * math.degrees(math.atan2(size_mm, float(record.reach.mm)))
    degrees = math.degrees(record.reads.angle.radians) + turn
    return replace(record, reads=TypedAngle(f"{degrees:.6f}")), "reads"


@_slipped.register
def _(record: StraightedgeCheck, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    k = int(rng.integers(len(record.stations)))
    wrong = replace(record.stations[k], gap=_moved(record.stations[k].gap, rng, size_mm))
    stations = (*record.stations[:k], wrong, *record.stations[k + 1 :])
    return replace(record, stations=stations), f"gap {k}"


@_slipped.register
def _(record: Lean, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    if record.offset is not None:
        return replace(record, offset=_moved(record.offset, rng, size_mm, signed=True)), "offset"
    assert record.angle is not None  # a lean without both is refused as a record
    turn = rng.choice([-1.0, 1.0]) * math.degrees(size_mm / float(record.high.mm - record.low.mm))
    return replace(
        record, angle=TypedAngle(f"{math.degrees(record.angle.angle.radians) + turn:.6f}")
    ), "angle"


@_slipped.register
def _(record: Template, rng: np.random.Generator, size_mm: float) -> tuple[Reading, str]:
    k, which = int(rng.integers(len(record.points))), str(rng.choice(["right", "back"]))
    wrong = replace(
        record.points[k], **{which: _moved(getattr(record.points[k], which), rng, size_mm, signed=True)}
    )
    return replace(record, points=(*record.points[:k], wrong, *record.points[k + 1 :])), f"{which} {k}"

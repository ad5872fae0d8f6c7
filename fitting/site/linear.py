"""Quantities that know how they change with the state: forward derivatives, kept sparse."""

from __future__ import annotations

import math
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Linear:
    """A value and its derivatives.

    A term's key is the index of an unknown of the state, or, below zero, of a place where a wall's
    deviation is seen: place k has the key -1 - k.

    >>> x, y = Linear(3.0, {0: 1.0}), Linear(4.0, {1: 1.0})
    >>> hypotenuse(x, y)
    Linear(value=5.0, terms={0: 0.6, 1: 0.8})
    """

    value: float
    terms: dict[int, float] = field(default_factory=dict)

    def __add__(self, other: Linear | float) -> Linear:
        """Add."""
        return combine((1.0, self), (1.0, other))

    def __sub__(self, other: Linear | float) -> Linear:
        """Subtract."""
        return combine((1.0, self), (-1.0, other))

    def __mul__(self, factor: float) -> Linear:
        """Scale by a plain number."""
        return Linear(self.value * factor, {key: term * factor for key, term in self.terms.items()})

    def __neg__(self) -> Linear:
        """Turn the sign."""
        return self * -1.0


def combine(*parts: tuple[float, Linear | float]) -> Linear:
    """Add quantities, each times its factor."""
    value = 0.0
    terms: dict[int, float] = {}
    for factor, part in parts:
        if isinstance(part, Linear):
            value += factor * part.value
            for key, term in part.terms.items():
                terms[key] = terms[key] + factor * term if key in terms else factor * term
        else:
            value += factor * part
    return Linear(value, terms)


def hypotenuse(*sides: Linear) -> Linear:
    """Return the length of a vector; its direction must not be lost (length above zero)."""
    length = math.hypot(*(side.value for side in sides))
    if length == 0.0:
        return Linear(math.nan)
    slopes = combine(*((side.value / length, side) for side in sides))
    return Linear(length, slopes.terms)

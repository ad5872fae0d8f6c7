"""Quantities that know how they change with the state: forward derivatives, kept sparse."""

from __future__ import annotations

import math
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Linear:
    """A value and its derivatives.

    A term's key is the index of an unknown of the state, or, below zero, of a place where a wall's
    deviation is seen: place k has the key -1 - k. Terms are shared, so they must not be changed.

    >>> Linear(3.0, {0: 1.0}) - Linear(4.0, {0: 0.5, 1: 1.0})
    Linear(value=-1.0, terms={0: 0.5, 1: -1.0})
    """

    value: float
    terms: dict[int, float] = field(default_factory=dict)

    def __add__(self, other: Linear | float) -> Linear:
        """Add."""
        if isinstance(other, Linear):
            return combine((1.0, self), (1.0, other))
        return Linear(self.value + other, self.terms)

    def __sub__(self, other: Linear | float) -> Linear:
        """Subtract."""
        if isinstance(other, Linear):
            return combine((1.0, self), (-1.0, other))
        return Linear(self.value - other, self.terms)

    def __mul__(self, factor: float) -> Linear:
        """Scale by a plain number."""
        return Linear(self.value * factor, {key: term * factor for key, term in self.terms.items()})

    def __neg__(self) -> Linear:
        """Turn the sign."""
        return self * -1.0


Point = tuple[Linear, Linear, float]
"""Of the room: x and y with their derivatives, and the height."""


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


def distance(a: Point, b: Point) -> Linear:
    """Return how far two points are apart; the direction must not be lost (NaN where they coincide).

    >>> distance((Linear(0.0), Linear(1.0), 7.0), (Linear(3.0, {0: 1.0}), Linear(5.0, {1: 1.0}), 7.0))
    Linear(value=5.0, terms={0: 0.6, 1: 0.8})
    """
    x, y, z = b[0].value - a[0].value, b[1].value - a[1].value, b[2] - a[2]
    length = math.hypot(x, y, z)
    if length == 0.0:
        return Linear(math.nan)
    along, across = x / length, y / length
    slopes = combine((along, b[0]), (across, b[1]), (-along, a[0]), (-across, a[1]))
    return Linear(length, slopes.terms)

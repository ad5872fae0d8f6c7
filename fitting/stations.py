"""Where a wall is looked at: along a piece, and over its height."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

STATION_SPACING = 25.0  # mm; the fine waves of a wall are 120 mm long
CORNER_SPACING = 10.0  # mm, near the ends, where compound builds up
CORNER_REACH = 60.0  # mm
HEIGHT_SPACING = 200.0  # mm; walls are smoother upward: studs and boards run that way


def stations(start: float, end: float) -> FloatArray:
    """Return places from start to end, dense near both ends.

    >>> stations(0.0, 100.0)
    array([  0.,  10.,  20.,  30.,  40.,  50.,  60.,  70.,  80.,  90., 100.])
    """
    near = min(CORNER_REACH, (end - start) / 2)
    edge = np.linspace(0.0, near, max(2, round(near / CORNER_SPACING) + 1))
    inner = end - start - 2 * near
    steps = math.ceil(inner / STATION_SPACING)
    # An odd number: with a station right in the middle, a back pushed there could rock to either side of
    # it, and a mirrored piece would not touch at the mirrored places.
    middle = np.linspace(0.0, inner, steps + 1 + (steps + 1) % 2)
    parts = start + edge, start + near + middle[1:-1], end - edge[::-1]
    return np.unique(np.concatenate(parts).round(6))


def heights(bottom: float, top: float) -> FloatArray:
    """Return heights from bottom to top at which a wall is looked at.

    >>> heights(0.0, 30.0)
    array([ 0., 30.])
    """
    return np.linspace(bottom, top, max(2, math.ceil((top - bottom) / HEIGHT_SPACING) + 1))

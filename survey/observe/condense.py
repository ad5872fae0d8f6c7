"""Long checks made short: neighbouring stations of one check taken together, with their error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

MOST_STATIONS: Final = 60
"""A check with more is condensed: along three metres then every 50 mm, finer than a wall's short waves."""
LEAST_BIN_MM: Final = 10.0
"""Stations nearer to one another than this see the same wall."""


@dataclass(frozen=True)
class Condensed:
    """One place for several stations: where, the mean gap, its standard deviation, and how many they were."""

    at: float
    gap: float
    sd: float
    count: int


def condensed(
    at: tuple[float, ...], gaps: tuple[float, ...], common_sd: float, own_sd: float
) -> list[Condensed]:
    """Take neighbouring stations together where there are more than `MOST_STATIONS`.

    Parameters
    ----------
    at, gaps
        mm along the check, in any order, and the gaps there.
    common_sd, own_sd
        Standard deviations in mm: of what neighbours share (the edge, the line), which no number of stations
        makes less, and of each reading by itself.

    Examples
    --------
    >>> few = condensed((0.0, 100.0), (1.0, 2.0), 0.3, 0.4)
    >>> [(one.at, one.gap, one.count) for one in few], round(few[0].sd, 3)
    ([(0.0, 1.0, 1), (100.0, 2.0, 1)], 0.5)
    >>> many = condensed(tuple(range(10_000)), (1.0,) * 10_000, 0.3, 0.4)
    >>> len(many), many[0].count, round(many[0].sd, 3)
    (60, 167, 0.302)
    """
    if len(at) <= MOST_STATIONS:
        each = math.hypot(common_sd, own_sd)
        return [Condensed(place, gap, each, 1) for place, gap in zip(at, gaps, strict=True)]
    places, read = np.array(at), np.array(gaps)
    low, span = float(places.min()), float(np.ptp(places))
    width = max(LEAST_BIN_MM, span * (1 + 1e-9) / MOST_STATIONS)
    of = np.floor((places - low) / width).astype(int)
    counts = np.bincount(of)
    kept = np.flatnonzero(counts)
    where, mean = (np.bincount(of, weights=one)[kept] / counts[kept] for one in (places, read))
    sds = np.hypot(common_sd, own_sd / np.sqrt(counts[kept]))
    return [
        Condensed(float(a), float(g), float(s), int(n))
        for a, g, s, n in zip(where, mean, sds, counts[kept], strict=True)
    ]

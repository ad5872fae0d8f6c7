"""The walls' deviations from their planes: how those seen by readings and by answers vary together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitting.site.linear import Linear
from fitting.site.prior import Prior
from fitting.site.scene import Places

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Unevenness:
    """A Gaussian process on every wall of a room; walls have nothing to do with one another.

    `spacings` are how far the studs of a wall are apart, in mm, where that is known.
    """

    prior: Prior
    spacings: Mapping[str, float]

    def covariance(self, places: Places, others: Places) -> FloatArray:
        """Return the covariance (n, k) in mm² of deviations at two lists of places."""
        covariance = np.zeros((len(places.walls), len(others.walls)))
        for wall, (rows, spread) in places.spreads.items():
            if wall in others.spreads:
                columns, spread_too = others.spreads[wall]
                part = self.prior.deviation(spread, spread_too, self.spacings.get(wall))
                covariance[np.ix_(rows, columns)] = part
        return covariance


def matrices(quantities: Sequence[Linear], n: int, places: int) -> tuple[FloatArray, FloatArray]:
    """Split derivatives into those by unknowns (k, n) and those by deviations (k, places)."""
    # By lists: numpy takes one number at a time ten times more slowly.
    by: tuple[list[int], list[int], list[float]] = [], [], []
    of: tuple[list[int], list[int], list[float]] = [], [], []
    for row, quantity in enumerate(quantities):
        for key, slope in quantity.terms.items():
            rows, columns, slopes = by if key >= 0 else of
            rows.append(row)
            columns.append(key if key >= 0 else -1 - key)
            slopes.append(slope)
    design, sensing = np.zeros((len(quantities), n)), np.zeros((len(quantities), places))
    if n:
        design[by[0], by[1]] = by[2]
    if places:
        sensing[of[0], of[1]] = of[2]
    return design, sensing

"""The walls' deviations from their planes: how those seen by readings and by answers vary together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitting.site.linear import Linear
from fitting.site.prior import Prior
from fitting.site.scene import IndexArray, Places

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
        for rows, columns, part in self._by_wall(places, others):
            covariance[np.ix_(rows, columns)] = part
        return covariance

    def sensed(
        self, sensing: FloatArray, places: Places, sensing_too: FloatArray, others: Places
    ) -> FloatArray:
        """Return the covariance (n, k) of what quantities have of deviations: B K B'^T.

        `sensing` is B (n, places), of the first quantities at the first places.
        """
        covariance = np.zeros((len(sensing), len(sensing_too)))
        # A wall is sensed by a part of the quantities only: far less to multiply than all of B and K.
        for columns, columns_too, part in self._by_wall(places, others):
            rows, of_wall = _sensing_any(sensing, columns)
            rows_too, of_wall_too = _sensing_any(sensing_too, columns_too)
            covariance[np.ix_(rows, rows_too)] += of_wall @ part @ of_wall_too.T
        return covariance

    def _by_wall(self, places: Places, others: Places) -> Iterator[tuple[IndexArray, IndexArray, FloatArray]]:
        """For each wall in both lists: the numbers of its places in either, and their covariance."""
        for wall, (rows, spread) in places.spreads.items():
            if wall in others.spreads:
                columns, spread_too = others.spreads[wall]
                yield rows, columns, self.prior.deviation(spread, spread_too, self.spacings.get(wall))


def _sensing_any(sensing: FloatArray, columns: IndexArray) -> tuple[IndexArray, FloatArray]:
    """Return which quantities sense any of these places, and their part of the sensing."""
    part = sensing[:, columns]
    rows = np.flatnonzero(part.any(axis=1))
    return rows, part[rows]


def matrices(quantities: Sequence[Linear], n: int, places: int) -> tuple[FloatArray, FloatArray]:
    """Split derivatives into those by unknowns (k, n) and those by deviations (k, places)."""
    counts = np.array([len(quantity.terms) for quantity in quantities], dtype=np.intp)
    rows = np.repeat(np.arange(len(quantities)), counts)
    keys = np.array([key for quantity in quantities for key in quantity.terms], dtype=np.intp)
    slopes = np.array([slope for quantity in quantities for slope in quantity.terms.values()])
    design, sensing = np.zeros((len(quantities), n)), np.zeros((len(quantities), places))
    by, of = keys >= 0, keys < 0
    if n:
        design[rows[by], keys[by]] = slopes[by]
    if places:
        sensing[rows[of], -1 - keys[of]] = slopes[of]
    return design, sensing

"""What is expected of walls before anything is read.

The figures are assumptions of ours. For plumb a tolerance (1/4 in in 8 ft, trade guidelines, from memory)
is taken as two standard deviations, and doubled for old houses. For square it is twice that: the tolerance
(DIN 18202 Table 2: 6 mm over 1 m, 0.34 degrees, from memory) is one standard deviation of a new house's. How
uneven a wall is does not depend on the house's age. Between stations it is a Gaussian process: the sum of
`waves`, of the ripple of its studs where their spacing is known, and of what was built up in its inside
corners.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Spread:
    """Places on one wall: `along` and `up` in mm, and how far each is from the inside corner at either end.

    `corners` has a row for the wall's left end and one for its right, infinite where there is no inside
    corner.
    """

    along: FloatArray
    up: FloatArray
    corners: FloatArray


@dataclass(frozen=True)
class Wave:
    """One scale of a surface's unevenness.

    `sd` in mm; `along` and `up` are the lengths in mm over which it stays alike. `smooth` is a squared
    exponential, `rough` a Matern-3/2 (once differentiable: a trowel's surface).
    """

    sd: float
    along: float
    up: float
    shape: Literal["smooth", "rough"] = "rough"

    def covariance(self, along: FloatArray, up: FloatArray) -> FloatArray:
        """Return the covariance in mm² of places so far apart."""
        apart2 = (along / self.along) ** 2 + (up / self.up) ** 2
        correlation = np.exp(-0.5 * apart2) if self.shape == "smooth" else _rough(np.sqrt(apart2))
        covariance: FloatArray = self.sd**2 * correlation
        return covariance


@dataclass(frozen=True)
class Ripple:
    """Boards drawn in where they are screwed: a wave as long as the studs are apart, wherever it starts.

    `sd` in mm; `lasts` is over how many mm along the spacing is kept.
    """

    sd: float
    lasts: float

    def covariance(self, along: FloatArray, spacing: float) -> FloatArray:
        """Return the covariance in mm² of places so far apart along a wall."""
        waves = np.cos(2 * np.pi * along / spacing) * np.exp(-0.5 * (along / self.lasts) ** 2)
        covariance: FloatArray = self.sd**2 * waves
        return covariance


@dataclass(frozen=True)
class BuildUp:
    """Compound and mortar in inside corners, most in the corner, fading along the wall.

    `sd` in mm, in the corner; `fades` in mm are the lengths after which a third of it is left, each with an
    equal part of the variance; `up` is the height over which it stays alike. It is expected to be 0 and not
    some millimetres toward the room: what nobody read is unknown, and no number is made up for it.
    """

    sd: float
    fades: tuple[float, ...]
    up: float

    def covariance(self, places: Spread, others: Spread) -> FloatArray:
        """Return the covariance (n, k) in mm²; the two ends of a wall have nothing to do with one another."""
        upward = _rough(np.abs(places.up[:, None] - others.up[None, :]) / self.up)
        alike: FloatArray = self._left(places) @ self._left(others).T * upward
        return alike * (self.sd**2 / len(self.fades))

    def _left(self, places: Spread) -> FloatArray:
        """Return (n, ends and fades) what is left at each place of what is in either corner; far off, 0."""
        return np.exp(-places.corners.T[:, :, None] / self.fades).reshape(places.along.size, -1)


@dataclass(frozen=True)
class Prior:
    """What is expected: corners out of square, walls out of plumb, surfaces out of plane."""

    square_sd: float = math.radians(0.7)
    tilt_sd: float = 0.0026
    waves: tuple[Wave, ...] = (
        Wave(1.5, 1500.0, 1500.0, "smooth"),
        Wave(1.0, 300.0, 700.0),
        Wave(0.4, 120.0, 120.0),
    )
    ripple: Ripple | None = Ripple(0.4, 1200.0)
    build_up: BuildUp | None = BuildUp(1.2, (60.0, 200.0), 400.0)

    def deviation(self, places: Spread, others: Spread, spacing: float | None = None) -> FloatArray:
        """Return the covariance (n, k) in mm² between two sets of places on one wall.

        `spacing` is how far its studs are apart, in mm, where that is known.
        """
        along = places.along[:, None] - others.along[None, :]
        up = places.up[:, None] - others.up[None, :]
        covariance = np.zeros(along.shape)
        for wave in self.waves:
            covariance += wave.covariance(along, up)
        if self.ripple is not None and spacing is not None:
            covariance += self.ripple.covariance(along, spacing)
        if self.build_up is not None:
            covariance += self.build_up.covariance(places, others)
        return covariance

    @property
    def deviation_sd(self) -> float:
        """Standard deviation in mm of a wall from its plane away from corners, nothing being read."""
        return math.sqrt(sum(wave.sd**2 for wave in self.waves))

    def times(self, factor: float) -> Prior:
        """Return the same with all unevenness so many times as high.

        >>> OLD_HOUSE.times(0.5).waves[0].sd
        0.75
        """
        return replace(
            self,
            waves=tuple(replace(wave, sd=wave.sd * factor) for wave in self.waves),
            ripple=self.ripple and replace(self.ripple, sd=self.ripple.sd * factor),
            build_up=self.build_up and replace(self.build_up, sd=self.build_up.sd * factor),
        )


def _rough(apart: FloatArray) -> FloatArray:
    """Return Matern's correlation of order 3/2 at distances in units of its length."""
    scaled = math.sqrt(3.0) * apart
    correlation: FloatArray = (1.0 + scaled) * np.exp(-scaled)
    return correlation


OLD_HOUSE = Prior()
NEW_HOUSE = replace(OLD_HOUSE, square_sd=OLD_HOUSE.square_sd / 2, tilt_sd=OLD_HOUSE.tilt_sd / 2)
"""Squarer and more plumb, but no flatter: seams, compound and bowed studs are of every age."""

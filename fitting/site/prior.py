"""What is expected of walls before anything is read.

The figures are assumptions of ours: published tolerances taken as two standard deviations and doubled
for old houses (DIN 18202 Table 2: 0.34 degrees for a corner over 1 m, from memory; 1/4 in in 8 ft for
plumb, trade guidelines). Between stations a wall is a Gaussian process: the sum of `waves`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


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
        apart = np.hypot(along / self.along, up / self.up)
        if self.shape == "smooth":
            correlation = np.exp(-0.5 * apart**2)
        else:
            scaled = math.sqrt(3.0) * apart
            correlation = (1.0 + scaled) * np.exp(-scaled)
        covariance: FloatArray = self.sd**2 * correlation
        return covariance


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

    def deviation(
        self, along: FloatArray, up: FloatArray, along_too: FloatArray, up_too: FloatArray
    ) -> FloatArray:
        """Return the covariance (n, k) in mm² between two sets of places on one wall."""
        apart = along[:, None] - along_too[None, :], up[:, None] - up_too[None, :]
        covariance = np.zeros((along.size, along_too.size))
        for wave in self.waves:
            covariance += wave.covariance(*apart)
        return covariance

    @property
    def deviation_sd(self) -> float:
        """Standard deviation in mm of a wall from its plane, nothing being read."""
        return math.sqrt(sum(wave.sd**2 for wave in self.waves))


OLD_HOUSE = Prior()
NEW_HOUSE = replace(
    OLD_HOUSE,
    square_sd=OLD_HOUSE.square_sd / 2,
    tilt_sd=OLD_HOUSE.tilt_sd / 2,
    waves=tuple(replace(wave, sd=wave.sd / 2) for wave in OLD_HOUSE.waves),
)

"""Several uncertain quantities together: their means and how they vary with one another."""

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput

FloatArray = NDArray[np.float64]

ROUNDING: Final = 1e-9
"""Asymmetry and negative variance up to this part of the largest variance are rounding."""


@dataclass(frozen=True, eq=False)
class Joint:
    """Hold a joint normal distribution of k quantities.

    Parameters
    ----------
    mean : (k,) array
        Any unit; each quantity may have its own.
    covariance : (k, k) array
        Symmetric, in products of those units. A quantity known exactly has a row of zeros.

    Raises
    ------
    BadInput
        Where the shapes disagree, a number is not finite, the matrix is not symmetric or a variance
        is negative. That every combination has a variance >= 0 is not checked.

    Examples
    --------
    >>> gaps = Joint([2.0, 3.0], [[0.25, 0.1], [0.1, 0.04]])
    >>> gaps.sd
    array([0.5, 0.2])
    """

    mean: FloatArray
    covariance: FloatArray

    def __post_init__(self) -> None:
        """Refuse numbers that are no mean and covariance."""
        mean = np.asarray(self.mean, dtype=np.float64)
        covariance = np.asarray(self.covariance, dtype=np.float64)
        if mean.ndim != 1 or covariance.shape != (mean.size, mean.size):
            raise BadInput(
                f"expected k means and a k by k covariance, got shapes {mean.shape} and {covariance.shape}"
            )
        _refuse_bad_numbers(mean, covariance)
        object.__setattr__(self, "mean", mean)
        object.__setattr__(self, "covariance", covariance)

    @cached_property
    def sd(self) -> FloatArray:
        """Standard deviations (k,); a variance that rounding made negative counts as 0."""
        return np.sqrt(np.maximum(np.diagonal(self.covariance), 0.0))


def _refuse_bad_numbers(mean: FloatArray, covariance: FloatArray) -> None:
    if not np.isfinite(mean).all():
        at = int(np.argmin(np.isfinite(mean)))
        raise BadInput(f"expected finite means, got {mean[at]} at {at}")
    if not np.isfinite(covariance).all():
        row, column = np.argwhere(~np.isfinite(covariance))[0]
        raise BadInput(f"expected a finite covariance, got {covariance[row, column]} at ({row}, {column})")
    slack = ROUNDING * np.abs(covariance).max(initial=0.0)
    skew = np.abs(covariance - covariance.T)
    if skew.max(initial=0.0) > slack:
        row, column = np.argwhere(skew > slack)[0]
        raise BadInput(
            f"expected a symmetric covariance, got {covariance[row, column]} at ({row}, {column}) "
            f"and {covariance[column, row]} at ({column}, {row})"
        )
    variances = np.diagonal(covariance)
    if variances.min(initial=0.0) < -slack:
        at = int(np.argmin(variances))
        raise BadInput(f"expected variances of 0 or more, got {variances[at]} at {at}")

"""Turn correlated readings of unequal accuracy into independent ones of variance 1."""

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.errors import BadInput

FloatArray = NDArray[np.float64]

SYMMETRY: Final = 1e-9
"""Asymmetry up to this part of the largest variance is rounding."""

OWN_SHARE: Final = 1e-13
"""Least share of a reading's variance that is not foretold by the readings before it.

Below this the Cholesky factor holds nothing but rounding (some hundred times 2.2e-16)."""

INVERTED_WHOLE: Final = 32
"""Up to this size halving costs more than it saves."""


@dataclass(frozen=True, eq=False)
class Whitening:
    """Hold W with Wᵀ W = P = Σ⁻¹: a vector of 1/sd, or the inverse of Σ's Cholesky factor.

    numpy has no triangular solve, so the factor is inverted once, as accurately as the square root
    of Σ's condition allows.

    Examples
    --------
    >>> Whitening.of([4.0, 0.25])(np.array([1.0, 1.0]))
    array([0.5, 2. ])
    """

    variance: FloatArray
    root: FloatArray

    @classmethod
    def of(cls, covariance: ArrayLike) -> "Whitening":
        """Read (m,) variances or an (m, m) covariance; refuse what is not positive definite."""
        sigma = np.asarray(covariance, dtype=np.float64)
        if sigma.ndim not in (1, 2) or sigma.shape[0] != sigma.shape[-1]:
            raise BadInput(f"expected (m,) variances or an (m, m) covariance, got shape {sigma.shape}")
        variance = sigma if sigma.ndim == 1 else np.diagonal(sigma)
        _refuse_bad_variance(variance)
        if sigma.ndim == 1:
            return cls(variance, 1.0 / np.sqrt(variance))
        _refuse_asymmetry(sigma)
        return cls(variance, _inverse_of_lower(_cholesky(sigma)))

    def __call__(self, rows: FloatArray) -> FloatArray:
        """Return W times `rows`, (m,) or (m, k)."""
        return self.root @ rows if self.root.ndim == 2 else (self.root * rows.T).T

    def transposed(self, rows: FloatArray) -> FloatArray:
        """Return Wᵀ times `rows`, (m,) or (m, k)."""
        return self.root.T @ rows if self.root.ndim == 2 else (self.root * rows.T).T

    @cached_property
    def weight(self) -> FloatArray:
        """The diagonal (m,) of P."""
        squares = self.root**2
        return squares if squares.ndim == 1 else squares.sum(axis=0)

    def weights(self) -> FloatArray:
        """Return P (m, m)."""
        return self.root.T @ self.root if self.root.ndim == 2 else np.diag(self.weight)


def _refuse_bad_variance(variance: FloatArray) -> None:
    good = np.isfinite(variance) & (variance > 0)
    if not good.all():
        row = int(np.argmin(good))
        raise BadInput(
            f"expected a positive, finite variance, got {variance[row]} in row {row}: "
            "every reading needs an accuracy of its own"
        )


def _refuse_asymmetry(sigma: FloatArray) -> None:
    skew = np.abs(sigma - sigma.T)
    # Written so that NaN is refused too.
    if not skew.max(initial=0.0) <= SYMMETRY * np.diagonal(sigma).max(initial=0.0):
        row, column = np.unravel_index(int(np.argmax(skew)), skew.shape)
        raise BadInput(
            f"expected a symmetric, finite covariance, got {sigma[row, column]} in row {row}, "
            f"column {column} and {sigma[column, row]} in row {column}, column {row}"
        )


def _cholesky(sigma: FloatArray) -> FloatArray:
    try:
        factor = np.asarray(np.linalg.cholesky(sigma), dtype=np.float64)
    except np.linalg.LinAlgError:
        raise _not_positive(_first_bad_row(sigma)) from None
    own = np.diagonal(factor) ** 2 <= OWN_SHARE * np.diagonal(sigma)
    if own.any():
        raise _not_positive(int(np.argmax(own)))
    return factor


def _inverse_of_lower(lower: FloatArray) -> FloatArray:
    """Invert a lower triangular matrix by halves: `np.linalg.inv` sees no triangle and takes far longer.

    >>> _inverse_of_lower(np.array([[2.0, 0.0], [4.0, 1.0]])).tolist()
    [[0.5, 0.0], [-2.0, 1.0]]
    """
    if len(lower) <= INVERTED_WHOLE:
        return np.asarray(np.linalg.inv(lower), dtype=np.float64)
    half = len(lower) // 2
    first, last = _inverse_of_lower(lower[:half, :half]), _inverse_of_lower(lower[half:, half:])
    inverse = np.zeros_like(lower)
    inverse[:half, :half], inverse[half:, half:] = first, last
    inverse[half:, :half] = -last @ (lower[half:, :half] @ first)
    return inverse


def _first_bad_row(sigma: FloatArray) -> int:
    """Find by bisection the first row whose leading block is not positive definite."""
    good, bad = 0, len(sigma)
    while bad - good > 1:
        middle = (good + bad) // 2
        try:
            np.linalg.cholesky(sigma[:middle, :middle])
            good = middle
        except np.linalg.LinAlgError:
            bad = middle
    return bad - 1


def _not_positive(row: int) -> BadInput:
    return BadInput(
        f"expected a positive definite covariance, got one that fails at row {row}: its reading is "
        "foretold exactly by those before it; give it an error of its own, or leave it out"
    )

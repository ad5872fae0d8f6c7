"""What a least-squares adjustment found: state, residuals, control of each reading, predictions."""

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.adjust.whitening import Whitening
from fitting.errors import BadInput
from fitting.joint import Joint

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

LEAST_CONTROL: Final = 1e-10
"""A reading is uncontrolled where Mᵢᵢ is no more than this part of Pᵢᵢ (rounding leaves 1e-15)."""

CANCELLED: Final = 1e-10
"""What is left of a deviation's variance below this part of it is rounding of two equal numbers."""

LEAST_FREEDOM: Final = 1e-9
"""Below this many degrees of freedom sigma0 would be rounding divided by rounding."""


@dataclass(frozen=True, eq=False, repr=False)
class Adjustment:
    """Hold the result of `fitting.adjust.adjust`; what is costly is computed when asked for.

    P = Σ⁻¹, Q is the covariance of the state, A the design at the solution, Q_vv = Σ − A Q Aᵀ the
    covariance of the residuals, M = P Q_vv P. Formulas: Baarda 1968 and Pope 1976 in the form that
    holds for a full Σ (standard, from memory; checked in the tests on published networks).

    A reading that nothing controls (its residual is 0 whatever is read) has control 0,
    standardized 0, slip 0 and a smallest slip of infinity: no test can say anything about it.

    Attributes
    ----------
    state : (n,) array
        The solution, in the units of `start`.
    rank : int
        Of the design with its priors: n, or less for a free datum.
    prior_count : int
        How many unknowns have a finite prior.
    iterations : int
        Linear solutions that it took.
    misfit : float
        vᵀ P v plus the squared prior residuals: χ² with `misfit_freedom` degrees of freedom if
        all standard deviations are right.
    """

    state: FloatArray
    rank: int
    prior_count: int
    iterations: int
    misfit: float
    _whitening: Whitening
    _misclosure: FloatArray
    _design: FloatArray  # whitened (m, n)
    _basis: FloatArray  # (m, rank): _design = _basis · pseudo-inverse of _inverse
    _inverse: FloatArray  # (n, rank): Q = _inverse · _inverseᵀ

    def __repr__(self) -> str:
        """Say how large it is and how well it fits."""
        return (
            f"<Adjustment of {self.residuals.size} readings, {self.state.size} unknowns: "
            f"degrees of freedom {self.degrees_of_freedom:g}, sigma0 {self.sigma0}>"
        )

    @cached_property
    def covariance(self) -> FloatArray:
        """Q, covariance (n, n) of the state, a priori: with the standard deviations as given."""
        covariance: FloatArray = self._inverse @ self._inverse.T
        return covariance

    @cached_property
    def sd(self) -> FloatArray:
        """Standard deviations (n,) of the state, a priori."""
        lengths: FloatArray = np.sqrt(np.sum(self._inverse**2, axis=1))
        return lengths

    @cached_property
    def residuals(self) -> FloatArray:
        """v (m,) = adjusted − observed, in the readings' units."""
        return -self._misclosure

    @cached_property
    def degrees_of_freedom(self) -> float:
        """Trace of Q_vv P, so that E(vᵀ P v) equals it: m − rank where there are no priors.

        With priors it lies between m − n and m and need not be whole.
        """
        used = float(np.sum(self._basis**2)) if self.prior_count else self.rank
        return self.residuals.size - used

    @property
    def misfit_freedom(self) -> int:
        """m + finite priors − rank, the degrees of freedom of `misfit`."""
        return self.residuals.size + self.prior_count - self.rank

    @cached_property
    def sigma0(self) -> float | None:
        """s0 = √(vᵀ P v / degrees of freedom), about 1 if accuracies are right; or None."""
        if self.degrees_of_freedom < LEAST_FREEDOM:
            return None
        white = self._whitening(self.residuals)
        return float(np.sqrt(white @ white / self.degrees_of_freedom))

    @cached_property
    def controlled(self) -> BoolArray:
        """Which readings (m,) any other reading or prior controls."""
        return self._precision > 0

    @cached_property
    def control(self) -> FloatArray:
        """σᵢ² Mᵢᵢ (m,): 0 uncontrolled; the redundancy number, up to 1, where Σ is diagonal.

        With a full Σ it may exceed 1: what correlated readings have in common cancels out.
        """
        return self._whitening.variance * self._precision

    @cached_property
    def standardized(self) -> FloatArray:
        """w (m,) = (P v)ᵢ / √Mᵢᵢ: standard normal where the reading is good; τ is w / sigma0."""
        return self._divided(self.weighted_residuals, np.sqrt(self._precision), 0.0)

    @cached_property
    def slip(self) -> FloatArray:
        """−(P v)ᵢ / Mᵢᵢ (m,): how much too long reading i was read, were it the only wrong one."""
        return self._divided(-self.weighted_residuals, self._precision, 0.0)

    def smallest_slip(self, delta0: float) -> FloatArray:
        """Return δ0/√Mᵢᵢ (m,): the slip that the test of w finds with the power δ0 stands for.

        δ0 is 4.13 for 0.1 % false alarms and 80 % power (Baarda's usual choice). Infinity where
        a reading is uncontrolled.
        """
        if not (np.isfinite(delta0) and delta0 > 0):
            raise BadInput(f"expected a positive delta0 (usually 4.13), got {delta0}")
        return self._divided(np.full_like(self._precision, delta0), np.sqrt(self._precision), np.inf)

    @cached_property
    def control_matrix(self) -> FloatArray:
        """M = P Q_vv P (m, m)."""
        return self._whitening.weights() - self._tied @ self._tied.T

    @cached_property
    def alikeness(self) -> FloatArray:
        """Mᵢⱼ/√(Mᵢᵢ Mⱼⱼ) (m, m), −1 to 1: near ±1 the tests cannot tell reading i from j.

        Rows and columns of uncontrolled readings are 0.
        """
        scale = self._divided(np.ones_like(self._precision), np.sqrt(self._precision), 0.0)
        return scale[:, None] * self.control_matrix * scale

    def predict(
        self, design: ArrayLike, cross: ArrayLike | None = None, own: ArrayLike | None = None
    ) -> Joint:
        """Predict quantities q = g(x) + d* that the readings tell something about.

        Parameters
        ----------
        design : (k, n) array
            A* = ∂g/∂x at `state`.
        cross : (k, m) array, optional
            Covariance of d* with the readings' deviations, B* K Bᵀ; zero if left out.
        own : (k, k) array, optional
            Covariance of d* itself, B* K B*ᵀ; zero if left out.

        Returns
        -------
        Joint
            The mean is only what the deviations add, cross P (observed − computed): **the caller
            adds g(state)**. The covariance is own − cross P crossᵀ + G Q Gᵀ with
            G = A* − cross P A: of the surface itself, without the error of a reading there.

        Raises
        ------
        BadInput
            For shapes that do not fit, or `cross` without `own`.

        Examples
        --------
        A level read twice, 9 and 11, and the surface at two places, the first near reading 0.

        >>> from fitting.adjust import adjust
        >>> read = np.array([9.0, 11.0])
        >>> level = adjust(lambda x: (read - x[0], np.ones((2, 1))), [0.0], [2.0, 2.0])
        >>> there = level.predict([[1.0], [1.0]], [[1.0, 0.0], [0.0, 0.0]], np.eye(2))
        >>> (level.state + there.mean).round(6)
        array([ 9.5, 10. ])
        """
        star = self._matrix(design, "design", None, self.state.size)
        k = len(star)
        if cross is not None and own is None:
            raise BadInput("expected `own` beside `cross`: the deviations' covariance with themselves")
        deviation = np.zeros((k, k)) if own is None else self._matrix(own, "own", k, k)
        if cross is None:
            spread = star @ self._inverse
            return Joint(np.zeros(k), deviation + spread @ spread.T)
        # Rows of `gain` are W crossᵀ, so that products with whitened quantities contain P.
        gain = self._whitening(self._matrix(cross, "cross", k, self.residuals.size).T).T
        spread = (star - gain @ self._design) @ self._inverse
        mean = gain @ self._whitening(self._misclosure)
        rest = deviation - gain @ gain.T
        # Where readings say all, the difference of two large numbers is rounding, and may be below 0.
        at = np.flatnonzero(np.abs(np.diagonal(rest)) < CANCELLED * np.diagonal(deviation))
        rest[at, at] = np.maximum(rest[at, at], 0.0)
        return Joint(mean, rest + spread @ spread.T)

    def influence(self, design: ArrayLike, cross: ArrayLike | None = None) -> FloatArray:
        """Return what a change of each reading does to predicted quantities, (k, m): derivatives.

        Parameters as those of `predict`. In the example there both surfaces follow each reading by half,
        and the first, next to reading 0, by a quarter more and less:

        >>> from fitting.adjust import adjust
        >>> read = np.array([9.0, 11.0])
        >>> level = adjust(lambda x: (read - x[0], np.ones((2, 1))), [0.0], [2.0, 2.0])
        >>> level.influence([[1.0], [1.0]], [[1.0, 0.0], [0.0, 0.0]]).round(6)
        array([[0.75, 0.25],
               [0.5 , 0.5 ]])
        """
        star = self._matrix(design, "design", None, self.state.size)
        if cross is None:
            return self._whitening.transposed(self._basis @ (star @ self._inverse).T).T
        gain = self._whitening(self._matrix(cross, "cross", len(star), self.residuals.size).T).T
        spread = (star - gain @ self._design) @ self._inverse
        return self._whitening.transposed((gain + spread @ self._basis.T).T).T

    @cached_property
    def _tied(self) -> FloatArray:
        """Wᵀ times the basis: P A Q Aᵀ P is this times its transpose."""
        return self._whitening.transposed(self._basis)

    @cached_property
    def _precision(self) -> FloatArray:
        """The diagonal (m,) of M, exactly 0 where the reading is uncontrolled."""
        weight = self._whitening.weight
        precision = weight - np.sum(self._tied**2, axis=1)
        return np.where(precision > LEAST_CONTROL * weight, precision, 0.0)

    @cached_property
    def weighted_residuals(self) -> FloatArray:
        """P v (m,)."""
        return self._whitening.transposed(self._whitening(self.residuals))

    def _divided(self, over: FloatArray, under: FloatArray, otherwise: float) -> FloatArray:
        return np.divide(over, under, out=np.full_like(under, otherwise), where=self.controlled)

    @staticmethod
    def _matrix(given: ArrayLike, name: str, rows: int | None, columns: int) -> FloatArray:
        matrix = np.asarray(given, dtype=np.float64)
        wanted = ("k" if rows is None else rows, columns)
        if matrix.ndim != 2 or matrix.shape[1] != columns or rows not in (None, len(matrix)):
            raise BadInput(f"expected `{name}` of shape {wanted}, got {matrix.shape}")
        if not np.isfinite(matrix).all():
            row, column = np.argwhere(~np.isfinite(matrix))[0]
            raise BadInput(
                f"expected finite numbers in `{name}`, got {matrix[row, column]} at ({row}, {column})"
            )
        return matrix

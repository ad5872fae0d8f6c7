"""Gauss-Newton on whitened readings by orthogonal factors, never by normal equations.

Normal equations square the condition: of NIST's Longley data they keep 6 digits where QR keeps 11
(tests/fitting/test_longley.py).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.adjust.adjustment import Adjustment
from fitting.adjust.whitening import Whitening
from fitting.errors import BadInput, Unsolvable

FloatArray = NDArray[np.float64]
Datum: TypeAlias = Literal["fixed", "free"]

Linearise: TypeAlias = Callable[[FloatArray], tuple[FloatArray, FloatArray]]
"""state (n,) -> observed minus computed (m,), design A = ∂ computed / ∂ state (m, n)."""

TOLERANCE: Final = 1e-7
"""What the last step may leave, in standard deviations: 0.1 nm where readings are good to 1 mm."""

SMALL_STEP: Final = 1e-3
"""Only a step under this part of a standard deviation is the last.

It is taken without linearising again, and if it is no smaller than the one before, the rest is
rounding: coordinates of millions of metres leave no digits for `TOLERANCE`."""

GROWTH: Final = 1e-6
"""Growth of the squares by a full step (relative, and absolute, whitened) that may be rounding."""

HALVINGS: Final = 30
"""A step that still makes it worse at 1e-9 of its length points nowhere."""

RANK_TOLERANCE: Final = 1e-10
"""Singular value of the design, columns of length 1, below which a combination is free.

Such a combination would be 1e10 times less sure than one unknown when all others are known:
with readings good to a millimetre, ten thousand kilometres."""

TINY: Final = float(np.finfo(np.float64).tiny)

NAMED: Final = 12
"""So many free unknowns are named; a message with all of a room's would not be read."""


def adjust(
    linearise: Linearise,
    start: ArrayLike,
    covariance: ArrayLike,
    *,
    prior_sd: ArrayLike | None = None,
    prior_mean: ArrayLike | None = None,
    datum: Datum = "fixed",
    names: Sequence[str] | None = None,
    tolerance: float = TOLERANCE,
    max_iterations: int = 25,
) -> Adjustment:
    """Find the state that fits all readings best, each by its accuracy.

    Parameters
    ----------
    linearise : Linearise
        Given a state (n,), returns observed − computed (m,) and A = ∂ computed/∂ state (m, n).
        Wrap angles into (−π, π] there. A state where it gives NaN is stepped back from.
    start : (n,) array
        Approximate state; bad starts are damped, but must be on the right side of mirror images.
    covariance : (m,) or (m, m) array
        Variances of independent readings, or the full Σ = B K Bᵀ + R of readings that share errors
        or see one Gaussian process. Positive definite.
    prior_sd : (n,) array, optional
        Standard deviation of what is known of each unknown beforehand; infinity for nothing.
        Priors are not readings: they have no residual here and are not tested.
    prior_mean : (n,) array, optional
        What the priors expect; zeros if left out.
    datum : "fixed" or "free"
        "fixed" refuses unknowns that nothing determines. "free" takes the smallest correction to
        `start` of all that fit equally (inner constraints; meaningful where unknowns share a unit).
    names : sequence of str, optional
        Of the unknowns, for messages.
    tolerance : float
        What is left after the last step, in standard deviations (a priori) of any combination
        of unknowns, if steps go on shrinking as the last one did.
    max_iterations : int
        Linear solutions to try.

    Raises
    ------
    BadInput
        Shapes that do not fit, numbers that are not finite, accuracies that are not positive.
    Unsolvable
        With datum "fixed", unknowns that are free, by name; or no convergence, with what to check.

    Examples
    --------
    A wall of 1000 mm read twice, by a tape good to 1 mm and one good to 2 mm:

    >>> read = np.array([1000.0, 1005.0])
    >>> wall = adjust(lambda x: (read - x[0], np.ones((2, 1))), [990.0], [1.0, 4.0])
    >>> wall.state.round(6), wall.sd.round(6), wall.residuals.round(6)
    (array([1001.]), array([0.894427]), array([ 1., -4.]))

    The same beside a wall that was not read:

    >>> adjust(
    ...     lambda x: (read - x[0], np.array([[1.0, 0.0], [1.0, 0.0]])),
    ...     [990.0, 500.0], [1.0, 4.0], names=["back wall", "left wall"],
    ... )
    Traceback (most recent call last):
    ...
    fitting.errors.Unsolvable: the readings and priors leave 1 direction of the state free, seen in:
    left wall; add a reading that ties it, or a prior
    """
    problem = _Problem.of(linearise, start, covariance, prior_sd, prior_mean, names)
    _refuse_bad_settings(datum, tolerance, max_iterations)
    here = problem.at(np.array(start, dtype=np.float64))
    problem.refuse_bad_start(here)
    before: float | None = None
    for iteration in range(1, max_iterations + 1):
        factor = _Factor.fixed(here.design, problem.names) if datum == "fixed" else _Factor.free(here.design)
        white = factor.basis.T @ here.misclosure
        step = factor.inverse @ white
        # √(Δxᵀ N Δx), which is at least |Δxᵢ|/sdᵢ of every unknown and combination of unknowns.
        size = float(np.sqrt(white @ white))
        if _is_last(size, before, tolerance):
            return problem.result(here, step, factor, iteration)
        there, damped = problem.downhill(here, step)
        if there is None:
            break
        here, before = there, None if damped else size
    moved = np.abs(step) / np.maximum(np.sqrt(np.sum(factor.inverse**2, axis=1)), TINY)
    raise Unsolvable(
        f"no convergence in {iteration} of {max_iterations} steps: "
        f"{problem.names[int(moved.argmax())]} would still move by {moved.max():.3g} of its "
        "standard deviations; look for a slipped digit, two points that swapped, start values "
        "far off"
    )


def _is_last(size: float, before: float | None, tolerance: float) -> bool:
    """Whether what this step leaves, foretold from how it shrank, may stay."""
    if before is None:
        return size <= tolerance
    return size <= SMALL_STEP and (size**2 / before <= tolerance or size >= before)


@dataclass(frozen=True, eq=False)
class _Factor:
    """A = basis · (pseudo-inverse of inverse): the step is inverse · basisᵀ · misclosure."""

    basis: FloatArray  # (m + p, rank), orthonormal columns
    inverse: FloatArray  # (n, rank)

    @classmethod
    def fixed(cls, design: FloatArray, names: Sequence[str]) -> "_Factor":
        """QR with columns of length 1, so that units of the unknowns do not matter."""
        length = np.sqrt(np.einsum("ij,ij->j", design, design))
        if not length.all():
            length[length == 0] = 1.0
        scaled = design / length
        if len(scaled) < scaled.shape[1]:
            raise _free_unknowns(scaled, names)
        basis, triangle = np.linalg.qr(scaled)
        try:
            inverse = np.linalg.inv(triangle)
        except np.linalg.LinAlgError:
            raise _free_unknowns(triangle, names) from None
        # The largest singular value of the inverse is no more than the root of this sum.
        if not np.vdot(inverse, inverse) * RANK_TOLERANCE**2 < 1:
            raise _free_unknowns(triangle, names)
        return cls(basis, inverse / length[:, None])

    @classmethod
    def free(cls, design: FloatArray) -> "_Factor":
        """Singular values; columns are not scaled, which would change what "smallest" means."""
        basis, singular, turned = np.linalg.svd(design, full_matrices=False)
        rank = int(np.sum(singular > RANK_TOLERANCE * singular.max(initial=0.0)))
        return cls(basis[:, :rank], turned[:rank].T / singular[:rank])


@dataclass(frozen=True, eq=False)
class _Point:
    """The problem linearised at a state: whitened, prior rows below the readings'."""

    state: FloatArray
    raw_misclosure: FloatArray  # (m,), as the caller gave it
    raw_design: FloatArray  # (m, n)
    misclosure: FloatArray  # (m + p,)
    design: FloatArray  # (m + p, n)
    squares: float  # infinite or NaN where the state is no place to be


@dataclass(frozen=True, eq=False)
class _Problem:
    """What stays the same through the iterations."""

    linearise: Linearise
    whitening: Whitening
    prior_mean: FloatArray  # (n,)
    prior_rows: FloatArray  # whitened (p, n), of the unknowns that have a prior
    names: Sequence[str]

    @classmethod
    def of(
        cls,
        linearise: Linearise,
        start: ArrayLike,
        covariance: ArrayLike,
        prior_sd: ArrayLike | None,
        prior_mean: ArrayLike | None,
        names: Sequence[str] | None,
    ) -> "_Problem":
        first = np.asarray(start, dtype=np.float64)
        if first.ndim != 1 or first.size == 0 or not np.isfinite(first).all():
            raise BadInput(f"expected a start of one or more finite numbers, got {start!r}")
        n = first.size
        if names is not None and len(names) != n:
            raise BadInput(f"expected {n} names, one for each unknown, got {len(names)}")
        named = [f"unknown {i}" for i in range(n)] if names is None else names
        mean = np.zeros(n) if prior_mean is None else _vector(prior_mean, "prior_mean", named)
        _refuse(~np.isfinite(mean), mean, "finite prior_mean", named)
        rows = np.zeros((0, n)) if prior_sd is None else _prior_rows(prior_sd, named)
        return cls(linearise, Whitening.of(covariance), mean, rows, named)

    @property
    def readings(self) -> int:
        return self.whitening.variance.size

    def at(self, state: FloatArray) -> _Point:
        m, n = self.readings, state.size
        given_misclosure, given_design = self.linearise(state)
        raw_misclosure = np.asarray(given_misclosure, dtype=np.float64)
        raw_design = np.asarray(given_design, dtype=np.float64)
        if raw_misclosure.shape != (m,) or raw_design.shape != (m, n):
            raise BadInput(
                f"expected {m} differences and a design of shape ({m}, {n}) "
                f"for a covariance of {m} readings and a start of {n} unknowns, "
                f"got shapes {raw_misclosure.shape} and {raw_design.shape}"
            )
        misclosure, design = self.whitening(raw_misclosure), self.whitening(raw_design)
        if len(self.prior_rows):
            prior_misclosure = self.prior_rows @ (self.prior_mean - state)
            misclosure = np.concatenate([misclosure, prior_misclosure])
            design = np.concatenate([design, self.prior_rows])
        squares = float(misclosure @ misclosure) if np.isfinite(design).all() else np.inf
        return _Point(state, raw_misclosure, raw_design, misclosure, design, squares)

    @staticmethod
    def refuse_bad_start(first: _Point) -> None:
        if not np.isfinite(first.squares):
            good = np.isfinite(first.raw_misclosure) & np.isfinite(first.raw_design).all(axis=1)
            row = int(np.argmin(good))
            raise BadInput(
                f"expected finite differences and slopes at the start, got others in row {row}: "
                "do two points coincide?"
            )

    def downhill(self, here: _Point, step: FloatArray) -> tuple[_Point | None, bool]:
        """Go the step, or a half, quarter ... of it to where the squares are smaller; say which."""
        there = self.at(here.state + step)
        if there.squares <= here.squares + GROWTH * (1.0 + here.squares):
            return there, False
        for halving in range(1, HALVINGS):
            there = self.at(here.state + step * 0.5**halving)
            if there.squares < here.squares:
                return there, True
        return None, True

    def result(self, here: _Point, step: FloatArray, factor: _Factor, iterations: int) -> Adjustment:
        """Take the last step, so small that the design and the factor still hold."""
        m = self.readings
        white = here.misclosure - here.design @ step
        return Adjustment(
            state=here.state + step,
            rank=factor.inverse.shape[1],
            prior_count=len(self.prior_rows),
            iterations=iterations,
            misfit=float(white @ white),
            _whitening=self.whitening,
            _misclosure=here.raw_misclosure - here.raw_design @ step,
            _design=here.design[:m],
            _basis=factor.basis[:m],
            _inverse=factor.inverse,
        )


def _free_unknowns(scaled: FloatArray, names: Sequence[str]) -> Unsolvable:
    """Name the unknowns that move in the null space of a design with columns of length 1."""
    missing = max(0, scaled.shape[1] - len(scaled))
    _, singular, turned = np.linalg.svd(np.pad(scaled, ((0, missing), (0, 0))))
    null = turned[singular <= max(RANK_TOLERANCE * np.sqrt(singular.size), singular.min())]
    # Noise of a null vector is rounding over the gap to the next singular value: far below 1e-6.
    moves = np.abs(null).max(axis=0) > 1e-6
    free = [name for name, moving in zip(names, moves, strict=True) if moving]
    more = f" and {len(free) - NAMED} more" if len(free) > NAMED else ""
    one = len(null) == 1
    return Unsolvable(
        f"the readings and priors leave {len(null)} direction{'' if one else 's'} of the state "
        f"free, seen in: {', '.join(free[:NAMED])}{more}; add "
        + ("a reading that ties it, or a prior" if one else "readings that tie them, or priors")
    )


def _vector(given: ArrayLike, name: str, names: Sequence[str]) -> FloatArray:
    vector = np.asarray(given, dtype=np.float64)
    if vector.shape != (len(names),):
        raise BadInput(f"expected `{name}` of shape ({len(names)},), got {vector.shape}")
    return vector


def _prior_rows(prior_sd: ArrayLike, names: Sequence[str]) -> FloatArray:
    """Whitened rows (p, n) that observe each unknown with a finite prior."""
    sd = _vector(prior_sd, "prior_sd", names)
    _refuse(~(sd > 0), sd, "prior_sd above 0, infinity for none", names)
    known = np.flatnonzero(np.isfinite(sd))
    rows = np.zeros((known.size, sd.size))
    rows[np.arange(known.size), known] = 1.0 / sd[known]
    return rows


def _refuse(bad: NDArray[np.bool_], vector: FloatArray, wanted: str, names: Sequence[str]) -> None:
    if bad.any():
        row = int(np.argmax(bad))
        raise BadInput(f"expected {wanted}, got {vector[row]} for {names[row]}")


def _refuse_bad_settings(datum: str, tolerance: float, max_iterations: int) -> None:
    if datum not in ("fixed", "free"):
        raise BadInput(f"expected datum 'fixed' or 'free', got {datum!r}")
    if not tolerance > 0 or max_iterations < 1:
        raise BadInput(
            f"expected a tolerance above 0 and one iteration or more, got {tolerance} and {max_iterations}"
        )

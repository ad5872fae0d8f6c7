"""Which readings are in doubt: what the others say against them, and what nobody would notice.

The tests are data snooping (Baarda 1968) with a known accuracy, or Pope's τ (1976) where accuracies are
known only up to a common factor; standard, from memory, held in the tests to published networks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.adjust import Adjustment
from fitting.errors import BadInput

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

LEAST_CONTROL: Final = 1e-3
"""A reading that the others control less than this is not tested: its slip would be noise blown up."""

MISFIT_CHANCE: Final = 1e-3
"""Of good readings, the share whose misfit as a whole is called too large (one-sided)."""

NO_INFLUENCE: Final = 1e-9
"""An influence below this part of a clearance's largest is rounding."""

_NORMAL: Final = NormalDist()


def doubtful(tested: int, false_alarm: float) -> float:
    """Return the |w| that none of so many good readings exceeds, but for a chance of `false_alarm`.

    Two-sided, shared out evenly (Bonferroni), so it holds however the tests depend on one another.

    Raises
    ------
    BadInput
        For fewer than one test, or a chance not between 0 and 1.

    Examples
    --------
    >>> round(doubtful(1, 0.05), 4), round(doubtful(50, 0.05), 4)
    (1.96, 3.2905)
    """
    return _NORMAL.inv_cdf(1.0 - _shared(tested, false_alarm) / 2.0)


def delta0(false_alarm: float, power: float) -> float:
    """Return the slip, in standard deviations of its estimate, that one test finds with a power.

    `false_alarm` is that of the one test: share it out yourself where many are made.

    Raises
    ------
    BadInput
        For chances not between 0 and 1, and a power of no more than half, for which the other tail counts.

    Examples
    --------
    >>> round(delta0(0.001, 0.8), 2)
    4.13
    """
    _refuse_no_chance("a false alarm", false_alarm)
    _refuse_no_chance("a power", power)
    if power <= 0.5:
        raise BadInput(f"expected a power above 0.5, got {power}: ask for 0.8 or more")
    return doubtful(1, false_alarm) + _NORMAL.inv_cdf(power)


def misfit_limit(freedom: int, chance: float) -> float:
    """Return the χ² that so many degrees of freedom exceed with a chance.

    The finite sums for whole degrees of freedom, solved by Newton's method within a bracket.

    Raises
    ------
    BadInput
        For less than one degree of freedom or not a whole one, or a chance not between 0 and 1.

    Examples
    --------
    >>> round(misfit_limit(1, 0.05), 4), round(misfit_limit(10, 0.025), 3)
    (3.8415, 20.483)
    """
    if freedom < 1 or freedom != int(freedom):
        raise BadInput(f"expected a whole number of degrees of freedom, 1 or more, got {freedom}")
    _refuse_no_chance("a chance", chance)
    low, high = 0.0, math.inf
    # Wilson and Hilferty's approximation to start from; below 0 it is of no use.
    spread = 2.0 / (9.0 * freedom)
    at = freedom * max(0.1, 1.0 - spread + _NORMAL.inv_cdf(1.0 - chance) * math.sqrt(spread)) ** 3
    for _ in range(200):
        above, density = _chi_square(at, freedom)
        low, high = (at, high) if above > chance else (low, at)
        step = (above - chance) / density if density > 0.0 else math.inf
        after = at + step
        if not low < after < high:
            after = (low + high) / 2.0 if high < math.inf else 2.0 * low
        if abs(after - at) <= 1e-13 * at:
            return after
        at = after
    return at


def tau_limit(tested: int, freedom: int, false_alarm: float) -> float:
    """Return the |τ| that none of so many good readings exceeds, but for a chance of `false_alarm`.

    τ = w / sigma0 (Pope 1976), for accuracies known only up to a common factor; |τ| ≤ √freedom. With one
    degree of freedom every |τ| is 1 and says nothing: the limit is infinity.

    Raises
    ------
    BadInput
        For less than one test or degree of freedom or a part of one, or a chance not between 0 and 1.

    Examples
    --------
    >>> round(tau_limit(1, 10, 0.05), 4)
    1.9039
    """
    if freedom < 1 or freedom != int(freedom):
        raise BadInput(f"expected a whole number of degrees of freedom, 1 or more, got {freedom}")
    chance = _shared(tested, false_alarm)
    if freedom == 1:
        return math.inf
    low, high = 0.0, math.pi / 2.0
    while high - low > 1e-15 * high:
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        low, high = (middle, high) if 1.0 - _student(middle, freedom - 1) > chance else (low, middle)
    return math.sqrt(freedom) * math.sin(low)


@dataclass(frozen=True)
class Misfit:
    """How badly all readings fit together.

    Attributes
    ----------
    value : float
        χ² of readings and priors.
    freedom : int
        Its degrees of freedom; about what `value` should be.
    limit : float
        What good readings exceed with a chance of `MISFIT_CHANCE`; infinity without freedom.
    """

    value: float
    freedom: int
    limit: float

    @property
    def fails(self) -> bool:
        """Whether the readings cannot all be as good as they claim to be."""
        return self.value > self.limit


@dataclass(frozen=True)
class Suspicion:
    """One slip, and the readings that it may be in.

    Attributes
    ----------
    rows : tuple of int
        Readings one of which is wrong, the likeliest first; several where the others cannot tell which.
    slips : tuple of float
        For each of them, how much too large it was read if it, and the first row of every other suspicion,
        is wrong and no more; in the reading's unit.
    slip_sds : tuple of float
        Standard deviation of each of those slips, 1/√M_ii.
    standardized : float
        w of the first row, with what was found before it left out.
    """

    rows: tuple[int, ...]
    slips: tuple[float, ...]
    slip_sds: tuple[float, ...]
    standardized: float

    @property
    def slip(self) -> float:
        """How much too large the first row was read if it is the wrong one of them."""
        return self.slips[0]

    @property
    def slip_sd(self) -> float:
        """Standard deviation of `slip`."""
        return self.slip_sds[0]


@dataclass(frozen=True)
class Doubts:
    """What the readings say against one another.

    Attributes
    ----------
    misfit : Misfit
        Of all readings.
    suspects : tuple of Suspicion
        In the order found, each with those before it left out.
    rest : Misfit
        Of the readings without the first row of each suspicion: where this fails too, more is wrong than
        slips in those readings.
    """

    misfit: Misfit
    suspects: tuple[Suspicion, ...]
    rest: Misfit


def doubts(
    made: Adjustment,
    false_alarm: float = 0.01,
    most: int = 3,
    alike: float = 0.9,
    apart: float = 0.01,
    relative: bool = False,
) -> Doubts:
    """Return which readings the others contradict, one slip after the other.

    The reading with the largest |w| beyond the limit is found, left out, and the rest tested anew. Leaving
    out is exact for linear readings: M' = M − M eᵢ eᵢᵀ M / Mᵢᵢ and (P v)' = P v − M eᵢ (P v)ᵢ / Mᵢᵢ.

    With it are named the readings that the data cannot tell from it. If reading j is the wrong one, by
    whatever amount, then with j left out the test of every other is standard normal. So j is cleared only
    where, with j left out, the reading found is still doubtful at the level `apart`, shared out over all
    tested: where one reading is wrong and is found, it is among those named but for a chance of at most
    `apart`. (As wᵢ² − wⱼ² = wᵢ'² − wⱼ'², each with the other left out, what is cleared would lower the misfit
    by clearly less.) With one degree of freedom nothing is ever cleared. Tests that are very `alike` are
    named together in any case, since a small error of the model would do to mistake them.

    Priors are not tested. Readings controlled less than `LEAST_CONTROL` are not tested: no test can say
    anything about them, so they are never cleared either.

    Parameters
    ----------
    made : Adjustment
        Of a room or a network.
    false_alarm : float
        Chance that good readings are doubted at all.
    most : int
        How many slips are looked for at most; 0 for none.
    alike : float
        Readings whose tests have |ρ| above this are named together.
    apart : float
        Chance that a wrong reading is cleared for another.
    relative : bool
        Whether standard deviations are right only up to a common factor; then τ is tested, not w. For
        networks without priors.

    Raises
    ------
    BadInput
        For chances not between 0 and 1, `alike` not above 0, and `most` below 0.

    Examples
    --------
    A level read four times, 3 too much in the third; and one read twice, which cannot tell.

    >>> import numpy as np
    >>> from fitting.adjust import adjust
    >>> def level(*read):
    ...     observed = np.array(read)
    ...     return adjust(lambda x: (observed - x[0], np.ones((len(read), 1))), [0.0], [0.01] * len(read))
    >>> four = doubts(level(10.0, 10.1, 13.05, 10.05))
    >>> [(one.rows, round(one.slip, 3)) for one in four.suspects], four.rest.fails
    ([((2,), 3.0)], False)
    >>> [one.rows for one in doubts(level(10.0, 13.0)).suspects]
    [(0, 1)]
    """
    _refuse_no_chance("a chance `apart`", apart)
    _refuse_no_chance("a false alarm", false_alarm)
    if most < 0:
        raise BadInput(f"expected 0 or more slips to look for, got {most}")
    if not alike > 0.0:
        raise BadInput(f"expected `alike` above 0, got {alike}: usually 0.9, and 1 for never")
    start = now = _Tests.of(made, relative)
    found: list[Suspicion] = []
    while len(found) < most and now.tested.any():
        worst = int(np.argmax(np.abs(now.standardized)))
        if abs(now.standardized[worst]) <= now.limit(false_alarm, now.misfit, now.freedom):
            break
        found.append(now.suspicion(now.not_cleared(worst, alike, apart)))
        now = now.without(worst)
    # One slip, while it was not known, distorted what the others seemed to be.
    suspects = tuple(
        start.without(*(two.rows[0] for two in found if two is not one)).anew(one) for one in found
    )
    everything = _misfit(made.misfit, made.misfit_freedom)
    return Doubts(everything, suspects, _misfit(now.misfit, now.freedom))


@dataclass(frozen=True)
class Unfound:
    """What a slip that the tests would not find may do to one clearance.

    Attributes
    ----------
    effect : float
        The largest, in the clearance's unit; infinity where a reading that it rests on is not tested.
    row : int or None
        The reading that makes it; None where the clearance rests on no reading.
    unchecked : tuple of int
        Readings that the clearance rests on and no test says anything about, the most influential first.
    """

    effect: float
    row: int | None
    unchecked: tuple[int, ...]


def unfound(made: Adjustment, influence: ArrayLike, delta: float) -> tuple[Unfound, ...]:
    """Return, for each clearance, the worst that a slip too small to be found does to it.

    Baarda's external reliability: the smallest slip that is found in each reading, times what the reading
    does to the clearance.

    Parameters
    ----------
    made : Adjustment
        Of a room or a network.
    influence : (k, m) array
        Change of each clearance per change of each reading, as `Adjustment.influence` gives it.
    delta : float
        From `delta0`; with as many tests as readings, of `false_alarm` / readings.

    Raises
    ------
    BadInput
        For an influence of another shape or not finite, and a delta that is not positive.

    Examples
    --------
    Two levels, the first read three times, the second once:

    >>> import numpy as np
    >>> from fitting.adjust import adjust
    >>> design = np.array([[1.0, 0.0], [1.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    >>> made = adjust(lambda x: (5.0 - design @ x, design), [0.0, 0.0], [1.0] * 4)
    >>> first, second = unfound(made, made.influence(np.eye(2)), 4.13)
    >>> round(first.effect, 3), first.unchecked
    (1.686, ())
    >>> second
    Unfound(effect=inf, row=3, unchecked=(3,))
    """
    moved = np.abs(np.asarray(influence, dtype=np.float64))
    readings = made.residuals.size
    if moved.ndim != 2 or moved.shape[1] != readings:
        raise BadInput(f"expected `influence` of shape (k, {readings}), got {moved.shape}")
    if not np.isfinite(moved).all():
        row, column = np.argwhere(~np.isfinite(moved))[0]
        raise BadInput(f"expected a finite influence, got {moved[row, column]} at ({row}, {column})")
    tested = made.control > LEAST_CONTROL
    smallest = np.where(tested, made.smallest_slip(delta), 0.0)
    return tuple(_unfound(row, smallest, tested) for row in moved)


def _unfound(moved: FloatArray, smallest: FloatArray, tested: BoolArray) -> Unfound:
    rests_on = moved > NO_INFLUENCE * moved.max(initial=0.0)
    order = np.argsort(-moved, kind="stable")
    unchecked = tuple(int(row) for row in order if rests_on[row] and not tested[row])
    if unchecked:
        return Unfound(math.inf, unchecked[0], unchecked)
    if not rests_on.any():
        return Unfound(0.0, None, ())
    worst = int(np.argmax(moved * smallest))
    return Unfound(float(moved[worst] * smallest[worst]), worst, ())


@dataclass(frozen=True, eq=False)
class _Tests:
    """The tests of all readings, with those found so far left out.

    What is left out takes a column times itself off M; both are kept apart, since few columns of M are used.
    """

    weighted: FloatArray  # P v (m,)
    matrix: FloatArray  # M (m, m) of all
    taken: FloatArray  # (m, left out): M without these is M - taken takenᵀ
    variance: FloatArray  # (m,) of the readings; 0 where uncontrolled
    misfit: float
    freedom: int
    relative: bool

    @classmethod
    def of(cls, made: Adjustment, relative: bool) -> _Tests:
        precision = np.diagonal(made.control_matrix)
        variance = np.divide(made.control, precision, out=np.zeros_like(precision), where=made.controlled)
        return cls(
            made.weighted_residuals,
            made.control_matrix,
            np.zeros((precision.size, 0)),
            variance,
            made.misfit,
            made.misfit_freedom,
            relative,
        )

    @cached_property
    def precision(self) -> FloatArray:
        """The diagonal (m,) of M."""
        precision: FloatArray = np.diagonal(self.matrix) - np.sum(self.taken**2, axis=1)
        return precision

    @cached_property
    def tested(self) -> BoolArray:
        return self.variance * self.precision > LEAST_CONTROL

    @cached_property
    def standardized(self) -> FloatArray:
        """w (m,), 0 where not tested."""
        tested = self.tested
        root = np.sqrt(np.where(tested, self.precision, 1.0))
        return np.where(tested, self.weighted / root, 0.0)

    def column(self, row: int) -> FloatArray:
        """Return the column (m,) of M that is a reading's."""
        column: FloatArray = self.matrix[:, row] - self.taken @ self.taken[row]
        return column

    def limit(self, chance: float, misfit: ArrayLike, freedom: int) -> FloatArray:
        """Return the |w| beyond which one is doubtful, where the readings have this misfit."""
        tested, misfit = int(np.sum(self.tested)), np.asarray(misfit, dtype=np.float64)
        if not self.relative:
            return np.full_like(misfit, doubtful(tested, chance))
        if freedom < 2:
            return np.full_like(misfit, np.inf)
        sigma0: FloatArray = np.sqrt(np.maximum(misfit, 0.0) / freedom)
        return tau_limit(tested, freedom, chance) * sigma0

    def not_cleared(self, found: int, alike: float, apart: float) -> tuple[int, ...]:
        """Return the reading found and those that cannot be told from it, the likeliest first."""
        w, tested = self.standardized, self.tested
        root = np.sqrt(np.where(tested, self.precision, 1.0))
        rho = np.where(tested, self.column(found) / (root * root[found]), 0.0)
        # What of the reading found stays controlled with j left out; of nothing, no test is left.
        own = 1.0 - rho**2
        limit = self.limit(apart, self.misfit - w**2, self.freedom - 1)
        still = (self.variance[found] * self.precision[found] * own > LEAST_CONTROL) & (
            np.abs(w[found] - rho * w) > limit * np.sqrt(np.maximum(own, 0.0))
        )
        group = tested & (~still | (np.abs(rho) > alike))
        group[found] = True
        order = np.argsort(-np.abs(w), kind="stable")
        return (found, *(int(row) for row in order if group[row] and row != found))

    def suspicion(self, rows: tuple[int, ...]) -> Suspicion:
        chosen = list(rows)
        precision = self.precision[chosen]
        return Suspicion(
            rows,
            tuple((-self.weighted[chosen] / precision).tolist()),
            tuple((precision**-0.5).tolist()),
            float(self.standardized[rows[0]]),
        )

    def anew(self, one: Suspicion) -> Suspicion:
        """Return a suspicion with the slips that these tests give, where they still test all its rows."""
        if not self.tested[list(one.rows)].all():
            return one
        return replace(self.suspicion(one.rows), standardized=one.standardized)

    def without(self, *rows: int) -> _Tests:
        """Leave readings out, one after the other."""
        left = self
        for row in rows:
            root = math.sqrt(left.precision[row])
            w, column = float(left.weighted[row]) / root, left.column(row) / root
            left = replace(
                left,
                weighted=left.weighted - column * w,
                taken=np.column_stack([left.taken, column]),
                misfit=left.misfit - w**2,
                freedom=left.freedom - 1,
            )
        return left


def _misfit(value: float, freedom: int) -> Misfit:
    return Misfit(value, freedom, misfit_limit(freedom, MISFIT_CHANCE) if freedom > 0 else math.inf)


def _chi_square(at: float, freedom: int) -> tuple[float, float]:
    """Return χ²'s chance of more than `at`, and its density there (Abramowitz and Stegun 26.4.4, 26.4.5)."""
    half = at / 2.0
    power = freedom / 2.0 - 1.0
    density = math.exp(power * math.log(half) - half - math.lgamma(power + 1.0)) / 2.0
    term, above = 2.0 * density, 0.0
    while power >= 0.0:
        above += term
        term *= power / half
        power -= 1.0
    return above + (math.erfc(math.sqrt(half)) if freedom % 2 else 0.0), density


def _student(angle: float, freedom: int) -> float:
    """Return Student's chance of |t| < √freedom · tan(angle) (Abramowitz and Stegun 26.7.3, 26.7.4)."""
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = freedom % 2
    term, total = (cosine if odd else 1.0), 0.0
    for n in range(1 + odd, freedom, 2):
        total += term
        term *= cosine**2 * n / (n + 1)
    return 2.0 / math.pi * (angle + sine * total) if odd else sine * total


def _shared(tested: int, false_alarm: float) -> float:
    if tested < 1:
        raise BadInput(f"expected 1 or more tests, got {tested}")
    _refuse_no_chance("a false alarm", false_alarm)
    return false_alarm / tested


def _refuse_no_chance(name: str, chance: float) -> None:
    if not 0.0 < chance < 1.0:
        raise BadInput(f"expected {name} between 0 and 1, got {chance}")

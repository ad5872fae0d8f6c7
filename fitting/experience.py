"""What a shop's own jobs say of how sure its readings are: one factor on the usual standard deviations.

Each place where something was planed off gives what came out less what was foretold. Its variance is f^2 s^2
+ m^2: s is how sure it was foretold, m how well it was marked and read on the day, f the factor sought. Were
the usual figures right for this shop, f would be 1. It solves: the mean over jobs of off^2 / (f^2 s^2 + m^2)
is 1 (in an adjustment, the a-posteriori standard deviation of unit weight).

Places of one job share its walls and its hands, so a job counts as one: so many are the degrees of freedom.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist, median
from typing import Final, Literal

from fitting.errors import BadInput

LEAST_JOBS: Final = 12
"""Jobs that it takes: a standard deviation from n squares is known to 1 / sqrt(2 n), here to 20 %."""
SURE: Final = 0.90
"""Chance of the interval; the usual figure stays as long as it lies in there."""
GROSS: Final = 4.5
"""A difference of more standard deviations is a slip, not a spread (1 in 150,000 by chance): it is named."""


LEAST_FACTOR, MOST_FACTOR = 1e-3, 64.0
"""Where the factor is looked for."""
MEDIAN_OF_NORMAL: Final = 0.6745
"""Median of a standard normal's absolute value."""
MOST_ROUNDS: Final = 20
"""Of judging slips anew by the factor that the rest comes to; a few do."""


@dataclass(frozen=True)
class Difference:
    """One place on one job, mm: what came out less what was foretold, and two standard deviations of that.

    `sd` is of what was foretold, `mark_sd` of marking and reading it on the day, which no factor scales.
    """

    job: str
    off: float
    sd: float
    mark_sd: float = 0.0

    def in_sds(self, factor: float = 1.0) -> float:
        """Return the difference in standard deviations, were what was foretold so many times as unsure."""
        return self.off / math.hypot(factor * self.sd, self.mark_sd)


@dataclass(frozen=True)
class Learned:
    """What the jobs say.

    Attributes
    ----------
    factor : float
        How many times as far off as foretold; 1 where there is nothing to go by.
    low, high : float
        Interval that holds it with the chance `SURE`.
    jobs, places : int
        What it rests on, slips left out.
    slips : tuple of Difference
        Gross ones, left out.
    verdict : str
        "too few" jobs, "as usual" (the interval holds 1), or "learned": then the factor may be used.
    """

    factor: float
    low: float
    high: float
    jobs: int
    places: int
    slips: tuple[Difference, ...]
    verdict: Literal["too few", "as usual", "learned"]

    @property
    def lacking(self) -> int:
        """How many more jobs it takes."""
        return max(0, LEAST_JOBS - self.jobs)


def learn_from(differences: Iterable[Difference]) -> Learned:
    """Say what differences of many jobs come to.

    Raises
    ------
    BadInput
        A difference or standard deviation that is no number, or one that is not above 0.

    Examples
    --------
    Twenty jobs of which each was off by one and a half of what was foretold:

    >>> found = learn_from(Difference(f"job {i}", 1.5 * (-1) ** i, 1.0) for i in range(20))
    >>> found.factor, found.verdict, round(found.low, 2), round(found.high, 2)
    (1.5, 'learned', 1.2, 2.04)
    >>> learn_from([Difference("a", 0.7, 1.0)]).verdict
    'too few'
    """
    all_of = list(differences)
    for one in all_of:
        numbers = (one.off, one.sd, one.mark_sd)
        if not (all(map(math.isfinite, numbers)) and one.sd > 0.0 and one.mark_sd >= 0.0):
            raise BadInput(
                f"job {one.job}: expected an sd above 0 mm, got {one.off}, {one.sd}, {one.mark_sd}"
            )
    kept, slips = _without_slips(all_of)
    jobs = _by_job(kept)
    if not jobs:
        return Learned(1.0, 0.0, math.inf, 0, 0, slips, "too few")
    count = len(jobs)
    factor, low, high = (
        _factor(jobs, wanted)
        for wanted in (
            1.0,
            chi_square_quantile((1.0 + SURE) / 2.0, count) / count,
            chi_square_quantile((1.0 - SURE) / 2.0, count) / count,
        )
    )
    verdict: Literal["too few", "as usual", "learned"] = "learned"
    if count < LEAST_JOBS:
        verdict = "too few"
    elif low <= 1.0 <= high:
        verdict = "as usual"
    return Learned(round(factor, 3), low, high, count, len(kept), slips, verdict)


def _without_slips(all_of: Sequence[Difference]) -> tuple[list[Difference], tuple[Difference, ...]]:
    """Part what counts from slips, judged by the factor that the rest comes to; begun from the median."""
    if not all_of:
        return [], ()
    factor = max(1.0, median(abs(one.in_sds()) for one in all_of) / MEDIAN_OF_NORMAL)
    kept = list(all_of)
    for _ in range(MOST_ROUNDS):
        before, kept = kept, [one for one in all_of if abs(one.in_sds(factor)) <= GROSS]
        factor = max(1.0, _factor(_by_job(kept), 1.0))
        if kept == before:
            break
    there = {id(one) for one in kept}
    return kept, tuple(one for one in all_of if id(one) not in there)


def _by_job(differences: Iterable[Difference]) -> list[list[Difference]]:
    jobs: dict[str, list[Difference]] = {}
    for one in differences:
        jobs.setdefault(one.job, []).append(one)
    return list(jobs.values())


def _factor(jobs: Sequence[Sequence[Difference]], wanted: float) -> float:
    """Return the factor at which the mean square over jobs is as wanted; it falls as the factor grows."""

    def mean(factor: float) -> float:
        return sum(sum(one.in_sds(factor) ** 2 for one in job) / len(job) for job in jobs) / len(jobs)

    low, high = LEAST_FACTOR, MOST_FACTOR
    if not jobs or mean(low) <= wanted:
        return low
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if mean(middle) > wanted else (low, middle)
    return high


def chi_square_quantile(share: float, freedom: int) -> float:
    """Return the quantile of the chi-square distribution, by Wilson and Hilferty's cube (1931, from memory).

    Good to 2 % from 5 degrees of freedom on between 5 and 95 %.

    >>> round(chi_square_quantile(0.95, 12), 2)
    21.01
    """
    if not (0.0 < share < 1.0 and freedom >= 1):
        raise BadInput(f"expected a share within 0 to 1 and a freedom from 1, got {share} and {freedom}")
    ninth = 2.0 / (9.0 * freedom)
    cube = 1.0 - ninth + NormalDist().inv_cdf(share) * math.sqrt(ninth)
    return freedom * max(cube, 1e-6) ** 3

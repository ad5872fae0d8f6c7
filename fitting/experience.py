"""What a shop's own jobs say of how sure its readings are: one factor on the usual standard deviations.

Each place where something was planed off gives a difference in standard deviations: what came out less what
was foretold, over how sure that was. Were the usual figures right for this shop, the mean square would be 1;
its root over many jobs is the factor (in an adjustment, the a-posteriori standard deviation of unit weight).

Places of one job share its walls and its hands, so a job counts as one: so many are the degrees of freedom.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final, Literal

from fitting.errors import BadInput

LEAST_JOBS: Final = 12
"""Jobs that it takes: a standard deviation from n squares is known to 1 / sqrt(2 n), here to 20 %."""
SURE: Final = 0.90
"""Chance of the interval; the usual figure stays as long as it lies in there."""
GROSS: Final = 4.5
"""A difference of more standard deviations is a slip, not a spread (1 in 150,000 by chance): it is named."""


@dataclass(frozen=True)
class Difference:
    """One place on one job: what came out less what was foretold (mm), and one standard deviation of that."""

    job: str
    off: float
    sd: float

    @property
    def in_sds(self) -> float:
        """The difference in standard deviations."""
        return self.off / self.sd


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
        if not (math.isfinite(one.off) and math.isfinite(one.sd) and one.sd > 0.0):
            raise BadInput(
                f"job {one.job}: expected numbers and an sd above 0, got {one.off} and {one.sd} mm"
            )
    slips = tuple(one for one in all_of if abs(one.in_sds) > GROSS)
    by_job = _by_job(one for one in all_of if abs(one.in_sds) <= GROSS)
    places = sum(len(squares) for squares in by_job.values())
    if not by_job:
        return Learned(1.0, 0.0, math.inf, 0, 0, slips, "too few")
    jobs = len(by_job)
    square = sum(sum(squares) / len(squares) for squares in by_job.values()) / jobs
    low, high = (
        math.sqrt(jobs * square / chi_square_quantile(share, jobs))
        for share in ((1.0 + SURE) / 2.0, (1.0 - SURE) / 2.0)
    )
    verdict: Literal["too few", "as usual", "learned"] = "learned"
    if jobs < LEAST_JOBS:
        verdict = "too few"
    elif low <= 1.0 <= high:
        verdict = "as usual"
    return Learned(round(math.sqrt(square), 3), low, high, jobs, places, slips, verdict)


def _by_job(differences: Iterable[Difference]) -> Mapping[str, list[float]]:
    squares: dict[str, list[float]] = {}
    for one in differences:
        squares.setdefault(one.job, []).append(one.in_sds**2)
    return squares


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

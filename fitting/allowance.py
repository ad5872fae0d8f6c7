"""How much to leave on an edge that is scribed to a wall.

Three parts: the range of the wall against the line that the finished piece must have (known), what
the unknown may add to it (the chance that is accepted decides), and a little for the saw.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from fitting.chance import paired_blocks
from fitting.errors import BadInput
from fitting.joint import Joint

FloatArray: TypeAlias = NDArray[np.float64]

SAW = 25.4 / 16
"""mm for the saw, 1/16 in; 1/16 to 1/8 in is common practice (no source)."""
DRAWS = 20_000
"""Draws of the wall: the chance is then met within 0.0007 (one standard error) at 99 %."""
FEWEST_BEYOND = 20
"""With fewer draws beyond it than this, an answer gives way to the bound on the safe side."""


@dataclass(frozen=True)
class Allowance:
    """Hold what is left on an edge, in mm, each part 0 or more.

    Attributes
    ----------
    range : float
        How far the wall is expected to lie beyond the required final line, at the worst station.
    unknown : float
        What to add so that at the confidence asked for no station lies beyond.
    saw : float
        What the saw and the plane need.
    """

    range: float
    unknown: float
    saw: float

    @property
    def total(self) -> float:
        """What to leave on (mm), not yet rounded; wood that must cover is rounded up."""
        return self.range + self.unknown + self.saw


def allowance(over: Joint, confidence: float, saw: float = SAW, seed: int = 0) -> Allowance:
    """Say how much to leave on an edge so that the blank covers the wall.

    Parameters
    ----------
    over : Joint
        How far the wall lies beyond the required final line at k stations (mm, positive = wood is
        needed there), in the direction of the push.
    confidence : float
        Chance, between 0 and 1, that no station of this edge lies beyond. For several edges of one
        piece see `share`.
    saw : float
        mm for the saw.
    seed : int
        Of the draws; the same seed gives the same answer.

    Returns
    -------
    Allowance

    Raises
    ------
    BadInput
        No station, a covariance that is none, a confidence or saw that can't be.

    Notes
    -----
    One station is exact; for more, `farthest` tells the method and its error. Of the wall between
    the stations nothing is said: let them stand closer together than it can change.

    Examples
    --------
    One station, 6 mm out give or take 1, at 99 %:

    >>> left = allowance(Joint([6.0], [[1.0]]), 0.99)
    >>> round(left.range, 3), round(left.unknown, 3), round(left.total, 3)
    (6.0, 2.326, 9.914)

    The wall comes in over the line everywhere and is known well; only the saw needs wood:

    >>> allowance(Joint([-9.0, -8.0], [[0.25, 0.0], [0.0, 0.25]]), 0.99).total == SAW
    True
    """
    if not (isfinite(saw) and saw >= 0):
        raise BadInput(f"saw: expected 0 mm or more, got {saw}; 1/16 to 1/8 in is usual")
    needed = farthest(over, confidence, seed)
    known = max(float(over.mean.max()), 0.0)
    return Allowance(range=known, unknown=max(needed - known, 0.0), saw=float(saw))


def farthest(over: Joint, confidence: float, seed: int = 0, draws: int = DRAWS) -> float:
    """Find the distance beyond which no station lies, at that confidence for all of them together.

    Parameters
    ----------
    over : Joint
        k quantities (mm).
    confidence : float
        Between 0 and 1.
    seed, draws : int
        Of the draws; taken through Cholesky's factor of the covariance.

    Returns
    -------
    float
        mm; grows with the confidence.

    Raises
    ------
    BadInput
        As `allowance`.

    Notes
    -----
    The sampled quantile of the greatest of k is kept between two exact bounds: no less than the
    worst station needs alone, no more than where each gets an equal share of the risk (Bonferroni).
    With one station they coincide. Sampling error: the chance that is really met has a standard
    error of sqrt(p (1 - p) / draws): 0.0007 at 99 %, worth about 0.026 of a station's standard
    deviation. With fewer than 20 draws beyond the answer (above 99.9 %) the upper bound is taken.

    Examples
    --------
    Four independent stations need more than one (2.326); exactly, the quantile of 0.99 ** (1/4):

    >>> alike = Joint([0.0] * 4, np.eye(4))
    >>> abs(farthest(alike, 0.99) - NormalDist().inv_cdf(0.99 ** (1 / 4))) < 0.05
    True
    """
    _refuse(over, confidence)
    k = over.mean.size
    at_least = float((over.mean + _quantile(confidence) * over.sd).max())
    at_most = float((over.mean - _quantile((1 - confidence) / k) * over.sd).max())
    if k == 1:
        return at_least
    if not over.sd.any() or draws * (1 - confidence) < FEWEST_BEYOND:
        return at_most
    worst = np.concatenate(list(_greatest(over, seed, draws)))
    sampled = float(np.quantile(worst, confidence, method="inverted_cdf"))
    return min(max(sampled, at_least), at_most)


def share(confidence: float, edges: int) -> float:
    """Give the confidence that each edge needs for all of them together to have the one asked.

    Parameters
    ----------
    confidence : float
        Wanted for the whole piece, between 0 and 1.
    edges : int
        Edges that must cover, 1 or more.

    Returns
    -------
    float
        1 - (1 - confidence) / edges (Bonferroni): safe however the edges depend on one another, and
        nearly exact where they don't.

    Examples
    --------
    >>> round(share(0.99, 3), 5)
    0.99667
    """
    _refuse_confidence(confidence)
    if edges < 1:
        raise BadInput(f"edges: expected 1 or more, got {edges}")
    return 1 - (1 - confidence) / edges


def _quantile(chance: float) -> float:
    return NormalDist().inv_cdf(chance)


def _refuse(over: Joint, confidence: float) -> None:
    _refuse_confidence(confidence)
    if over.mean.size == 0:
        raise BadInput("expected one station or more along the edge, got none")


def _refuse_confidence(confidence: float) -> None:
    if not 0 < confidence < 1:
        raise BadInput(f"confidence: expected a chance between 0 and 1 (0.99 for 99 %), got {confidence}")


def _greatest(over: Joint, seed: int, draws: int) -> Iterator[FloatArray]:
    """Draw the wall many times; yield the greatest of the k, a block at a time to bound memory."""
    for pair in paired_blocks(over, draws, seed):
        yield from (walls.max(axis=0) for walls in pair)

"""Where a piece meets studs: which it catches, how far off a screw may be and still meet wood, which screw.

One dimension, along the wall: mm from the piece's left end, to the right as one faces the wall. Nothing here
says what a fastening carries: that is for the fastener's own table and the local code.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

from fitting.errors import BadInput

STUD_WIDTH: Final = 38.1
"""1 1/2 in, of a nominal 2 x 4 or 2 x 6 (PS 20; sizes.com lists it)."""
EDGE_DISTANCE: Final = 9.5
"""mm, 3/8 in, from a screw's centre to the stud's edge (judgement: 1.5 diameters of a No. 10 are 7.2 mm)."""
END_DISTANCE: Final = 25.4
"""mm that a screw stays from the end of what it goes through, so that it does not split (judgement)."""
LEAST_IN_WOOD: Final = 25.4
"""mm of thread in the stud, 1 in at the least (common practice of cabinet installers, no source)."""
MOST_IN_WOOD: Final = 31.75
"""mm: pipes and cables without a plate may begin 1 1/4 in behind a stud's face (IRC and NEC 300.4, from
memory), so a point goes no deeper unless the stud is known to be clear."""
LENGTHS: Final = tuple(
    25.4 * eighths / 8 for eighths in (8, 10, 12, 13, 14, 16, 18, 20, 22, 24, 28, 32, 36, 40, 48)
)
"""Lengths that wood screws are commonly sold in, mm: 1 in to 6 in (common practice, no source)."""


@dataclass(frozen=True)
class StudAt:
    """A stud: its centre from the piece's left end, one standard deviation of that, its width; mm."""

    name: str
    at: float
    sd: float
    width: float = STUD_WIDTH


@dataclass(frozen=True)
class Catch:
    """A stud that a piece catches.

    Attributes
    ----------
    stud : StudAt
    within : float
        A screw so far off the centre still meets wood with its edge distance, at the confidence asked; mm.
        Below 0 nothing is sure, even at the centre.
    """

    stud: StudAt
    within: float


@dataclass(frozen=True)
class Fixing:
    """How a piece meets the studs behind it; mm from its left end.

    Attributes
    ----------
    catches : tuple of Catch
        From left to right.
    free_left, free_right : float
        From each end to the nearest stud that is caught; the whole width where there is none.
    shift : float or None
        The least shift (right positive) after which it catches one stud more; nothing where none helps.
    """

    catches: tuple[Catch, ...]
    free_left: float
    free_right: float
    shift: float | None

    @property
    def sure(self) -> int:
        """How many studs are caught for sure."""
        return sum(1 for one in self.catches if one.within > 0.0)


def meet_studs(width: float, studs: Sequence[StudAt], confidence: float = 0.99) -> Fixing:
    """Say which studs a piece of a width catches.

    Parameters
    ----------
    width : float
        From the piece's left end to its right one, mm.
    studs : sequence of StudAt
        Those of its wall, in any order.
    confidence : float
        That a screw within `within` meets wood.

    Raises
    ------
    BadInput
        A width that is none, or a confidence outside 0.5 to 1.

    Examples
    --------
    Studs 16 in apart, the first 4 in from the end of a 24 in box, known to 2 mm:

    >>> found = meet_studs(609.6, [StudAt("s1", 101.6, 2.0), StudAt("s2", 508.0, 2.0)])
    >>> [one.stud.name for one in found.catches], round(found.catches[0].within, 2)
    (['s1', 's2'], 4.4)

    A cleat of 13 1/2 in that catches one only; 1 in to the right it would catch the other too:

    >>> round(meet_studs(342.9, [StudAt("s1", 99.0, 1.0), StudAt("s2", 343.0, 1.0)]).shift, 1)
    25.5
    """
    if not (math.isfinite(width) and width > 0.0):
        raise BadInput(f"expected a width above 0 mm, got {width}")
    if not 0.5 <= confidence < 1.0:
        raise BadInput(f"expected a confidence from 0.5 to below 1, got {confidence}")
    sure = NormalDist().inv_cdf((1.0 + confidence) / 2.0)
    inside = [one for one in studs if END_DISTANCE <= one.at <= width - END_DISTANCE]
    catches = tuple(
        Catch(one, one.width / 2 - EDGE_DISTANCE - sure * one.sd)
        for one in sorted(inside, key=lambda one: one.at)
    )
    left = catches[0].stud.at if catches else width
    right = width - catches[-1].stud.at if catches else width
    return Fixing(catches, left, right, _shift(width, studs, len(catches)))


def _shift(width: float, studs: Sequence[StudAt], now: int) -> float | None:
    """Return the least shift after which more studs are caught than now: one then just lies at an end."""
    tried = sorted(
        (by for one in studs for by in (one.at - END_DISTANCE, one.at - (width - END_DISTANCE))), key=abs
    )
    for by in tried:
        caught = sum(1 for one in studs if END_DISTANCE - 1e-9 <= one.at - by <= width - END_DISTANCE + 1e-9)
        if caught > now:
            return by
    return None


@dataclass(frozen=True)
class ScrewChoice:
    """A screw's length, mm, and how deep its point is in the stud; the length is 0 where none does."""

    length: float
    in_wood: float

    @property
    def too_deep(self) -> bool:
        """Whether the point goes deeper than where pipes and cables may begin."""
        return self.in_wood > MOST_IN_WOOD + 1e-9


def choose_screw(through: float) -> ScrewChoice:
    """Choose the shortest screw that is long enough.

    Parameters
    ----------
    through : float
        What it goes through before the stud's face: the piece's side or rail, shims, tile, board; mm.

    Returns
    -------
    ScrewChoice
        `too_deep` where even the shortest that holds goes further than is safe in a stud that may hold a
        pipe: then the stud must be known to be clear, or another way of fastening is needed.

    Raises
    ------
    BadInput
        A build-up that is negative or no number.

    Examples
    --------
    A 3/4 in rail through 1/2 in board: 2 1/4 in gives 1 in of wood.

    >>> choice = choose_screw(19.05 + 12.7)
    >>> choice.length / 25.4, choice.in_wood / 25.4, choice.too_deep
    (2.25, 1.0, False)
    """
    if not (math.isfinite(through) and through >= 0.0):
        raise BadInput(f"expected a build-up of 0 mm or more, got {through}")
    for length in LENGTHS:
        if length - through >= LEAST_IN_WOOD - 1e-9:
            return ScrewChoice(length, length - through)
    return ScrewChoice(0.0, 0.0)

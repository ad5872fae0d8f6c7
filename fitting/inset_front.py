r"""Fronts that sit in their opening, flush with the face: cut over, and trimmed when the case is built.

Seen from the front; g is the gap, set by a spacer or by cards::

      +--------------- width at the top ---------------+
      | g +------------------------------------------+ | h
      |   |                                          | | e
      |   |                  front                   | | i
      | g +------------------------------------------+ | ght
      +-------------- width at the bottom -------------+

A case is never quite square: the opening is measured at both ends of each edge, and the front is trimmed
to what is there. All sizes in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fitting.errors import BadInput
from fitting.front import REVEAL
from fitting.oversize import USUAL
from fitting.piece import refuse_size

OUT_OF_TRUE: Final = 25.4 / 4
"""mm by which an opening may differ from end to end; more is a misreading or a case to be put right."""


@dataclass(frozen=True)
class OpeningSizes:
    """An opening as it was built: two widths and two heights."""

    top: float
    bottom: float
    left: float
    right: float


@dataclass(frozen=True)
class InsetFront:
    """A front in its opening.

    `finished` is what is trimmed to at each edge, `blank_width` and `blank_height` what is cut before;
    `taper_width` (top less bottom) and `taper_height` (left less right) what makes it out of square.
    """

    finished: OpeningSizes
    blank_width: float
    blank_height: float

    @property
    def taper_width(self) -> float:
        """How much wider it is at the top than at the bottom."""
        return self.finished.top - self.finished.bottom

    @property
    def taper_height(self) -> float:
        """How much higher it is at the left than at the right."""
        return self.finished.left - self.finished.right


def fit_inset_front(
    opening: OpeningSizes, gap: float = REVEAL, over: float = USUAL["fitting fronts"].each
) -> InsetFront:
    """Size a front for its opening.

    Parameters
    ----------
    opening : OpeningSizes
    gap : float
        Left all around it.
    over : float
        What is left at each edge of the blank, to be trimmed off when the case is built.

    Raises
    ------
    BadInput
        An opening of no size, one that is out of true by more than a case may be, gaps that leave nothing.

    Examples
    --------
    >>> front = fit_inset_front(OpeningSizes(400.0, 401.0, 150.0, 150.0), gap=3.0, over=1.5)
    >>> front.finished.top, front.finished.bottom, front.taper_width, front.blank_width, front.blank_height
    (394.0, 395.0, -1.0, 398.0, 147.0)
    """
    for what in ("top", "bottom", "left", "right"):
        refuse_size(what, getattr(opening, what))
    for what, length in (("gap", gap), ("over", over)):
        if not (math.isfinite(length) and length >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {length}")
    for first, other in (("top", "bottom"), ("left", "right")):
        off = abs(getattr(opening, first) - getattr(opening, other))
        if off > OUT_OF_TRUE:
            raise BadInput(
                f"expected an opening alike at its {first} and {other} within {OUT_OF_TRUE:g} mm, "
                f"got {off:g} between them: measure again, or put the case right"
            )
    sizes = (opening.top, opening.bottom, opening.left, opening.right)
    if min(sizes) <= 2 * gap:
        raise BadInput(
            f"expected an opening wider and higher than its two gaps ({2 * gap:g} mm), got {min(sizes):g}"
        )
    finished = OpeningSizes(*(size - 2 * gap for size in sizes))
    return InsetFront(
        finished,
        max(finished.top, finished.bottom) + 2 * over,
        max(finished.left, finished.right) + 2 * over,
    )


def cards(gap: float, card: float) -> int:
    """Return how many cards of a thickness set a gap, the nearest number; at least one.

    >>> cards(25.4 / 8, 0.30), cards(25.4 / 8, 25.4 / 8)
    (11, 1)
    """
    refuse_size("gap", gap)
    refuse_size("card", card)
    return max(1, round(gap / card))

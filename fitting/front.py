"""Doors and drawer fronts side by side on a cabinet's face: their sizes, and the gaps (reveals) between them.

All along one direction of the face, from its left edge or its upper one, mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fitting.errors import BadInput
from fitting.piece import refuse_size

REVEAL = 25.4 / 8
"""mm between fronts, and between an inset front and its frame, 1/8 in by a card of that thickness (common
practice, no source)."""


@dataclass(frozen=True)
class Front:
    """A front on a face: from which to which place it reaches (mm)."""

    start: float
    end: float

    @property
    def size(self) -> float:
        """How wide (or high) it is, mm."""
        return self.end - self.start


def even_fronts(
    span: float, count: int, reveal: float = REVEAL, ends: float | None = None
) -> tuple[Front, ...]:
    """Divide a face, or an opening, among fronts of one size with even reveals.

    Parameters
    ----------
    span : float
        Of the face for overlay fronts, of the opening for inset ones, mm.
    count : int
    reveal : float
        Between neighbours, mm.
    ends : float, optional
        At both ends; where nothing is said as wide as between neighbours.

    Raises
    ------
    BadInput
        Reveals that leave no front.

    Examples
    --------
    Two doors on a face of 909: three reveals of 3 leave 900.

    >>> [(one.start, one.end) for one in even_fronts(909.0, 2, 3.0)]
    [(3.0, 453.0), (456.0, 906.0)]
    """
    refuse_size("face", span)
    outer = reveal if ends is None else ends
    if count < 1:
        raise BadInput(f"fronts: expected 1 or more, got {count}")
    for what, gap in (("reveal", reveal), ("reveal at the ends", outer)):
        if not (math.isfinite(gap) and gap >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {gap}")
    size = (span - 2 * outer - (count - 1) * reveal) / count
    if not size > 0:
        raise BadInput(f"{count} fronts: their reveals leave nothing of {span:g} mm: expected smaller ones")
    starts = [outer + k * (size + reveal) for k in range(count)]
    return tuple(Front(start, start + size) for start in starts)


def reveals(front: Front, others: Sequence[Front], span: float) -> tuple[float, float]:
    """Return the gaps before and after a front: to the nearest other one, or else to the face's edge.

    Below 0 they overlap.

    >>> reveals(Front(3.0, 453.0), [Front(455.0, 906.0)], 909.0)
    (3.0, 2.0)
    """
    middle = (front.start + front.end) / 2
    before = [one.end for one in others if (one.start + one.end) / 2 <= middle]
    after = [one.start for one in others if (one.start + one.end) / 2 > middle]
    return front.start - max(before, default=0.0), min(after, default=span) - front.end

"""Where a seam, a joint between two boards, or a knot may fall in a flat piece with cut-outs.

Along one axis of the piece: a seam across it and a knot by their x, a joint between boards by its y (mm).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from fitting.errors import BadInput

Kind = Literal["seam", "board joint", "knot"]
Span = tuple[float, float]

FROM_SEAM: Final = 76.2
"""mm from a cut-out within which no seam or knot should fall, 3 in (common practice, no source)."""
FROM_JOINT: Final = 25.4
"""mm from a cut-out's front or back within which a joint between boards leaves a strip that breaks, 1 in
(common practice, no source). Through its middle a joint may run: both boards go on at its ends."""


@dataclass(frozen=True)
class Barred:
    """A span where a seam, joint or knot should not fall, and the cut-out that bars it."""

    by: str
    span: Span


def barred(kind: Kind, cut_outs: Sequence[tuple[str, Span]]) -> tuple[Barred, ...]:
    """Return the spans that cut-outs bar; each is given by its name and its extent along the axis.

    >>> barred("seam", [("bowl", (300.0, 700.0))])
    (Barred(by='bowl', span=(223.8, 776.2)),)
    >>> [one.span for one in barred("board joint", [("bowl", (100.0, 400.0))])]
    [(74.6, 125.4), (374.6, 425.4)]
    """
    spans = []
    for name, (low, high) in cut_outs:
        if kind == "board joint":
            spans += [Barred(name, (edge - FROM_JOINT, edge + FROM_JOINT)) for edge in (low, high)]
        else:
            spans.append(Barred(name, (low - FROM_SEAM, high + FROM_SEAM)))
    return tuple(spans)


def moves(place: float, spans: Sequence[Barred]) -> tuple[Barred, float, float] | None:
    """Return what bars a place, and the least motions down and up the axis to where nothing does; or nothing.

    >>> spans = barred("seam", [("bowl", (300.0, 700.0)), ("tap", (780.0, 815.0))])
    >>> found = moves(750.0, spans)
    >>> found[0].by, round(found[1], 1), round(found[2], 1)
    ('bowl', -526.2, 141.2)
    """
    hit = next((one for one in spans if one.span[0] < place < one.span[1]), None)
    if hit is None:
        return None
    down, up = place, place
    while any(one.span[0] < down < one.span[1] for one in spans):
        down = min(one.span[0] for one in spans if one.span[0] < down < one.span[1])
    while any(one.span[0] < up < one.span[1] for one in spans):
        up = max(one.span[1] for one in spans if one.span[0] < up < one.span[1])
    return hit, down - place, up - place


def best_seam(start: float, end: float, longest: float, spans: Sequence[Barred]) -> float | None:
    """Return the place nearest the middle where one seam parts a piece so that both lengths come from stock.

    Parameters
    ----------
    start, end
        The piece's ends along the axis.
    longest
        The longest piece of stock.
    spans
        Where it may not fall.

    Raises
    ------
    BadInput
        A piece of no length, or stock of none.

    Examples
    --------
    >>> best_seam(0.0, 3000.0, 2440.0, barred("seam", [("bowl", (1300.0, 1800.0))]))
    1223.8
    >>> best_seam(0.0, 3000.0, 1400.0, ()) is None
    True
    """
    if not (end > start and longest > 0):
        raise BadInput(f"expected a length above 0 and stock of one, got {end - start} and {longest} mm")
    low, high = end - longest, start + longest
    middle = (start + end) / 2
    places = [middle, low, high, *(edge for one in spans for edge in one.span)]
    free = [
        place
        for place in places
        if max(low, start) <= place <= min(high, end)
        and not any(one.span[0] < place < one.span[1] for one in spans)
    ]
    return min(free, key=lambda place: (abs(place - middle), place), default=None)

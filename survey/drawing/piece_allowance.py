"""What is left over along a piece's scribed edges: its width at stations, and which line is which."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from survey.drawing.geometry import Box, Point
from survey.drawing.piece_words import typeset
from survey.drawing.primitives import Anchor, Drawable, Layer, Polyline, Role, Text
from survey.report.structs import EdgeReport, ScribeStation

Where = Literal["left", "right", "bottom", "top"]

MOST_STATIONS: Final = 5
"""Of an edge in the picture; the table below it has more."""
HEIGHT: Final = 1.8
"""Capital height of the widths, paper mm: the smallest that is lettered."""
BLANK_WORDS: Final = "blank line, long dashes:\ncut here first"
FINISHED_WORDS: Final = "finished line:\nplane to here on site"

_ANCHORS: Final = {
    "top": (Anchor.BOTTOM, (0.0, 0.8)),
    "bottom": (Anchor.TOP, (0.0, -0.8)),
    "left": (Anchor.RIGHT, (-0.8, 0.0)),
    "right": (Anchor.LEFT, (0.8, 0.0)),
}


def widths(
    edge: EdgeReport, where: Where, finished: Sequence[Point], blank: Sequence[Point]
) -> Iterator[Drawable]:
    """Draw across the allowance, at a few stations of an edge, how much is planed off there.

    Parameters
    ----------
    edge
        A scribed edge of the report; places and depths are written as it printed them.
    where
        On which side of the piece it lies.
    finished, blank
        The closed rings, model mm.
    """
    box = Box.around(finished)
    for station in _kept(edge.scribe):
        at = _place(edge.stations_from, station.at.mm, box)
        if at is None:
            continue
        inner, outer = (_crossing(ring, where, at) for ring in (finished, blank))
        if inner is None or outer is None:
            continue
        yield Polyline((inner, outer), role=Role.DIMENSION, layer=Layer.NOTE)
        anchor, shift = _ANCHORS[where]
        yield Text(outer, typeset(station.depth.text), HEIGHT, anchor, shift=shift, role=Role.DIMENSION)


def line_names(where: Where, finished: Sequence[Point], blank: Sequence[Point]) -> Iterator[Drawable]:
    """Say of the two lines along a scribed edge which is which; an arrow points at each."""
    box = Box.around(finished)
    low, size = (box.left, box.width) if where in ("top", "bottom") else (box.bottom, box.height)
    for ring, share, said, sign in ((blank, 0.12, BLANK_WORDS, 1.0), (finished, 0.3, FINISHED_WORDS, -1.0)):
        at = _crossing(ring, where, low + share * size)
        if at is None:
            continue
        x, y = {"top": (0.0, 1.0), "bottom": (0.0, -1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}[where]
        shift = (9.0 * sign * x + 4.0 * abs(y), 9.0 * sign * y + 4.0 * abs(x))
        yield Text(at, said, HEIGHT, Anchor.MIDDLE, shift=shift, leader=True)


def _kept(stations: Sequence[ScribeStation]) -> list[ScribeStation]:
    """Return the first, the last, and some between."""
    if len(stations) <= MOST_STATIONS:
        return list(stations)
    step = (len(stations) - 1) / (MOST_STATIONS - 1)
    return [stations[round(i * step)] for i in range(MOST_STATIONS)]


def _place(start: str, along: float, box: Box) -> float | None:
    """Return x or y of a station that is counted from an end of the piece."""
    if "right" in start:
        return box.right - along
    if "left" in start:
        return box.left + along
    if "top" in start or "back" in start:
        return box.top - along
    if "front" in start or "bottom" in start:
        return box.bottom + along
    return None


def _crossing(ring: Sequence[Point], where: Where, at: float) -> Point | None:
    """Return where a line across the piece leaves a ring on one side."""
    along, out = (0, 1) if where in ("top", "bottom") else (1, 0)
    found: list[float] = []
    for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
        low, high = sorted((start[along], end[along]))
        if low <= at <= high:
            share = 0.0 if high == low else (at - start[along]) / (end[along] - start[along])
            found.append(start[out] + share * (end[out] - start[out]))
    if not found:
        return None
    reached = max(found) if where in ("top", "right") else min(found)
    return (at, reached) if along == 0 else (reached, at)

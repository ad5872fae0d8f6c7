"""The pictures of Fit: pieces as on paper, pieces in small, and a cabinet between its walls with its strips.

Laying out takes a part of a second, so it is done beside the screen.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from survey.decisions import strips_of
from survey.drawing import (
    Anchor,
    Drawable,
    Drawing,
    DrawingError,
    LaidOut,
    Layer,
    Point,
    Polyline,
    Role,
    Text,
    layout,
)
from survey.drawing.geometry import hatch
from survey.drawing.metrics import bundled
from survey.drawing.piece_words import typeset
from survey.drawing.pieces import has_picture, piece_drawing
from survey.records import Survey
from survey.report.structs import Dimension, FitReport, PieceReport

ANY_AREA: Final = (10_000.0, 10_000.0)
"""Paper mm; room without end, as the picture is cut down to what is drawn."""
LARGE: Final = (62.0, 62.0)
"""Paper mm that a piece may take; words and dimensions stand around it."""
SMALL: Final = (24.0, 20.0)
MARGIN: Final = 1.5


def large_picture(piece: PieceReport) -> LaidOut | None:
    """Lay a piece out with all its words and numbers; nothing where it cannot be drawn."""
    return _laid_out(piece_drawing(piece), LARGE) if has_picture(piece) else None


def small_picture(piece: PieceReport) -> LaidOut | None:
    """Lay out a piece's finished outline alone; nothing where it cannot be drawn."""
    if not has_picture(piece):
        return None
    whole = piece_drawing(piece, with_ordinates=False)
    outline = tuple(item for item in whole.shapes() if item.role is Role.FINISHED)
    return _laid_out(Drawing(outline, piece.name), SMALL)


def _laid_out(drawing: Drawing, area: tuple[float, float]) -> LaidOut | None:
    box = drawing.extents()
    one_to = max(box.width / area[0], box.height / area[1], 0.1)
    try:
        return layout(drawing, ANY_AREA, one_to).trimmed(MARGIN)
    except DrawingError:
        return None


# A cabinet from the front


SIDES: Final = ("left", "right")
WIDE, HIGH = 66.0, 26.0
"""Of the picture's place between the walls and of the cabinet, paper mm."""
WIDEST_GAP = 15.0
"""Paper mm of the widest gap in the pictures that are compared."""
AROUND_SIZE = 4.0
"""Between the cabinet's size and where its middle is left out, paper mm."""
WALL_THICK = 2.4
WALL_OVER = 3.0
"""How far a wall runs past the cabinet above and below, paper mm."""
ZIGZAG = 1.6
BESIDE_WALL = 1.2
LETTERS = 3.2
"""Height of capitals, paper mm."""


@dataclass(frozen=True)
class Beside:
    """What is between a cabinet and the wall at one side, at its front: the gap, and whether a strip is."""

    top: Dimension
    bottom: Dimension
    has_strip: bool


def widest(sides: Iterable[Beside | None]) -> float:
    """Return the widest gap (mm) of several pictures, which sets their common scale."""
    return max((max(side.top.mm, side.bottom.mm, 0.0) for side in sides if side is not None), default=0.0)


def front_picture(
    width: Dimension, left: Beside | None, right: Beside | None, most: float, letters: float = LETTERS
) -> LaidOut | None:
    """Draw a cabinet between its walls from the front, the gaps larger than the cabinet.

    Parameters
    ----------
    width
        The cabinet's.
    left, right
        What is beside it; nothing for a side that meets no wall.
    most
        The widest gap (mm) among the pictures that are compared.
    letters
        Height of the sizes (paper mm): larger where the picture is shown small.
    """
    per_mm = WIDEST_GAP / most if most > 0 else 0.0
    items = [*_side(left, per_mm, -WIDE / 2, 1.0, letters), *_side(right, per_mm, WIDE / 2, -1.0, letters)]
    low = -WIDE / 2 + (_least(left) * per_mm if left else 0.0)
    high = WIDE / 2 - (_least(right) * per_mm if right else 0.0)
    size = typeset(width.text)
    left_out = bundled().width(size, letters) / 2 + AROUND_SIZE
    items += [*_half(low, -left_out), *_half(high, left_out)]
    items.append(Text((0.0, HIGH / 2), size, letters, movable=False))
    try:
        return layout(Drawing(tuple(items), "front"), ANY_AREA, 1.0).trimmed(MARGIN)
    except DrawingError:
        return None


def _least(side: Beside) -> float:
    return max(min(side.top.mm, side.bottom.mm), 0.0)


def _side(
    side: Beside | None, per_mm: float, wall: float, inward: float, letters: float
) -> Iterator[Drawable]:
    """Give a wall and what is between it and the box; `inward` is the sign of the way to the box.

    The box's side stands at the narrower end, so that the wall runs off it as it does in the room.
    """
    if side is None:
        return
    box = wall + inward * _least(side) * per_mm
    top, bottom = (box - inward * max(size.mm, 0.0) * per_mm for size in (side.top, side.bottom))
    lean = (top - bottom) / HIGH
    foot, head = (bottom - lean * WALL_OVER, -WALL_OVER), (top + lean * WALL_OVER, HIGH + WALL_OVER)
    behind = tuple((x - inward * WALL_THICK, y) for x, y in (head, foot))
    yield Polyline((foot, head), role=Role.REFERENCE, layer=Layer.NOTE)
    yield from _hatched((foot, head, *behind))
    if side.has_strip:
        strip = ((bottom, 0.0), (box, 0.0), (box, HIGH), (top, HIGH))
        ring = strip if inward > 0 else strip[::-1]
        if abs(bottom - box) > 0.3 or abs(top - box) > 0.3:
            yield Polyline(ring, closed=True, role=Role.FINISHED, layer=Layer.NOTE)
    end = "left" if inward > 0 else "right"
    for at, size, row, up, out in (
        (top, side.top, "bottom", HIGH, 1.8),
        (bottom, side.bottom, "top", 0.0, -1.8),
    ):
        shift = (inward * BESIDE_WALL, out)
        yield Text((at, up), typeset(size.text), letters, Anchor(f"{row} {end}"), shift=shift, movable=False)


def _hatched(corners: tuple[Point, ...]) -> Iterator[Polyline]:
    for chord in hatch([corners], 1.1, math.pi / 4):
        yield Polyline(chord, role=Role.HATCH, layer=Layer.NOTE)


def _half(outer: float, inner: float) -> Iterator[Polyline]:
    """Give one half of the box, broken off where its middle is left out."""
    half = ((inner, HIGH), (outer, HIGH), (outer, 0.0), (inner, 0.0))
    yield Polyline(half, role=Role.FINISHED, layer=Layer.NOTE)
    middle = HIGH / 2
    zigzag = ((0.0, 2.0), (-ZIGZAG, 1.0), (ZIGZAG, -1.0), (0.0, -2.0))
    torn = [(inner + x, middle + y * ZIGZAG) for x, y in zigzag]
    ends = (inner, HIGH + ZIGZAG), (inner, -ZIGZAG)
    yield Polyline((ends[0], *torn, ends[1]), role=Role.REFERENCE, layer=Layer.NOTE)


def beside(piece: PieceReport, side: str, has_strip: bool) -> Beside | None:
    """Return what a cabinet's report says of one of its sides; nothing where no wall is there."""
    gaps = {one.name: one.size for one in piece.measures}
    top, bottom = (gaps.get(f"gap at the {side}, {level} front") for level in ("top", "bottom"))
    return None if top is None or bottom is None else Beside(top, bottom, has_strip)


class Album:
    """Keeps the pictures of the latest report, so that a page that comes back need not draw them again."""

    def __init__(self) -> None:
        """Begin empty."""
        self._report: FitReport | None = None
        self._kept: dict[tuple[str, str], LaidOut | None] = {}

    def card(self, survey: Survey, report: FitReport, name: str) -> tuple[LaidOut | None, bool]:
        """Return a piece's small picture, and whether it needs the whole width."""
        piece = next(one for one in report.pieces if one.name == name)
        front = self._front(survey, report, piece)
        if front is not None:
            return front, True
        return self._picture(report, "small", piece, small_picture), False

    def large(self, survey: Survey, report: FitReport, name: str) -> LaidOut | None:
        """Return a piece's picture with all its words; a cabinet beside walls is shown between them."""
        piece = next(one for one in report.pieces if one.name == name)
        front = self._front(survey, report, piece)
        return front if front is not None else self._picture(report, "large", piece, large_picture)

    def _front(self, survey: Survey, report: FitReport, piece: PieceReport) -> LaidOut | None:
        stripped = {strip.side for strip in strips_of(survey, piece.name)}
        left, right = (beside(piece, side, side in stripped) for side in SIDES)
        if left is None and right is None:
            return None
        width = next(one.size for one in piece.finished if one.name == "width")
        most = widest((left, right))
        return self._picture(report, "front", piece, lambda _: front_picture(width, left, right, most))

    def _picture(
        self, report: FitReport, sort: str, piece: PieceReport, draw: Callable[[PieceReport], LaidOut | None]
    ) -> LaidOut | None:
        if report is not self._report:
            self._report, self._kept = report, {}
        if (sort, piece.name) not in self._kept:
            drawn = draw(piece)
            self._kept[sort, piece.name] = drawn
        return self._kept[sort, piece.name]


album = Album()
"""The one that all pages share."""

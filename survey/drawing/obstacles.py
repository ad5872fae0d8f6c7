"""What is already on the paper, found quickly by place: lines and the rectangles of texts."""

import itertools
import math
from collections.abc import Sequence
from typing import TypeVar

from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import Quad

_CELL = 8.0
"""Side of a cell of the search grid, paper mm: a little more than a text's height."""

Line = tuple[Point, Point]
T = TypeVar("T")


class Obstacles:
    """Lines and texts on the paper.

    >>> paper = Obstacles()
    >>> paper.add_path([(0, 0), (100, 0)])
    >>> paper.is_free(Quad((40, -1), (1, 0), 10, 3)), paper.is_free(Quad((40, 1), (1, 0), 10, 3))
    (False, True)
    """

    def __init__(self) -> None:
        """Start with an empty paper."""
        self._lines: dict[tuple[int, int], list[Line]] = {}
        self._quads: dict[tuple[int, int], list[tuple[Quad, Box]]] = {}

    def add_path(self, points: Sequence[Point]) -> None:
        """Add the lines between consecutive points, cut to a cell's length."""
        for a, b in itertools.pairwise(points):
            count = max(1, math.ceil(math.dist(a, b) / _CELL))
            for i in range(count):
                (x0, y0), (x1, y1) = piece = (_between(a, b, i / count), _between(a, b, (i + 1) / count))
                for cell in _cells(Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))):
                    self._lines.setdefault(cell, []).append(piece)

    def add_quad(self, quad: Quad) -> None:
        """Add a text's rectangle, with the clearance it wants."""
        box = quad.box()
        for cell in _cells(box):
            self._quads.setdefault(cell, []).append((quad, box))

    def is_free(self, quad: Quad) -> bool:
        """Say whether neither a line nor a text reaches into the rectangle."""
        box = quad.box()
        left, bottom, right, top = box
        cells = _cells(box)
        for cell in cells:
            for a, b in self._lines.get(cell, ()):
                (ax, ay), (bx, by) = a, b
                # Most lines of a cell lie beside the rectangle: seen without turning into its frame.
                if ax < left > bx or ax > right < bx or ay < bottom > by or ay > top < by:
                    continue
                if quad.span(a, b):
                    return False
        for cell in cells:
            for other, around in self._quads.get(cell, ()):
                if (
                    around.left >= right
                    or around.right <= left
                    or around.bottom >= top
                    or around.top <= bottom
                ):
                    continue
                if quad.overlaps(other):
                    return False
        return True

    def covered(self, a: Point, b: Point) -> list[tuple[float, float]]:
        """Return which shares of the way from a to b lie under texts, in order."""
        near = (quad for cell in _cells(Box.around((a, b))) for quad, _ in self._quads.get(cell, ()))
        quads = dict.fromkeys(near)
        return sorted(span for quad in quads if (span := quad.span(a, b)))


def _between(a: Point, b: Point, share: float) -> Point:
    if share == 1.0:
        return b
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _cells(box: Box) -> list[tuple[int, int]]:
    left, bottom, right, top = box
    rows = range(math.floor(bottom / _CELL), math.floor(top / _CELL) + 1)
    return [(i, j) for i in range(math.floor(left / _CELL), math.floor(right / _CELL) + 1) for j in rows]


def open_parts(a: Point, b: Point, covered: Sequence[tuple[float, float]]) -> list[Line]:
    """Return what is left of the way from a to b when the covered shares are cut out.

    >>> open_parts((0, 0), (10, 0), [(0.2, 0.4), (0.3, 0.5)])
    [((0.0, 0.0), (2.0, 0.0)), ((5.0, 0.0), (10, 0))]
    """
    parts: list[Line] = []
    done = 0.0
    for first, last in covered:
        if first > done:
            parts.append((_between(a, b, done), _between(a, b, first)))
        done = max(done, last)
    if done < 1.0:
        parts.append((_between(a, b, done), b))
    return parts

"""Boxes, arcs given as bulges, flattening, hatching. Plain floats, no numpy.

A *bulge* belongs to the segment that starts at its vertex: it is the tangent of a quarter of the
arc's included angle, positive when the arc runs counter-clockwise, 0 for a straight segment (the
convention of the DXF reference for LWPOLYLINE, group code 42).
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

Point = tuple[float, float]


class Box(NamedTuple):
    """An upright rectangle; y up."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Right minus left."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Top minus bottom."""
        return self.top - self.bottom

    @property
    def middle(self) -> Point:
        """The centre."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    @classmethod
    def around(cls, points: Iterable[Point]) -> "Box":
        """Enclose points; at least one is needed.

        >>> Box.around([(1, 5), (-2, 3)])
        Box(left=-2, bottom=3, right=1, top=5)
        """
        xs, ys = zip(*points, strict=True)
        return cls(min(xs), min(ys), max(xs), max(ys))

    def grown(self, by: float) -> "Box":
        """Move every side out by `by`."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Counter-clockwise from the lower left."""
        return (
            (self.left, self.bottom),
            (self.right, self.bottom),
            (self.right, self.top),
            (self.left, self.top),
        )


class Arc(NamedTuple):
    """Part of a circle; angles in radians, sweep positive counter-clockwise."""

    centre: Point
    radius: float
    start: float
    sweep: float

    def at(self, share: float) -> Point:
        """Return the point after this share (0 to 1) of the sweep."""
        angle = self.start + share * self.sweep
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )


def arc_of(start: Point, end: Point, bulge: float) -> Arc:
    """Return the arc from `start` to `end`; `bulge` is not 0 and the points differ.

    >>> arc = arc_of((0, 0), (10, 0), 1.0)  # half a circle, counter-clockwise, so below
    >>> arc.centre, arc.radius, round(arc.at(0.5)[1], 9)
    ((5.0, 0.0), 5.0, -5.0)
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    rise = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = ((start[0] + end[0]) / 2 - rise * dy, (start[1] + end[1]) / 2 + rise * dx)
    angle = math.atan2(start[1] - centre[1], start[0] - centre[0])
    return Arc(centre, math.dist(centre, start), angle, 4.0 * math.atan(bulge))


def segments(
    points: Sequence[Point], bulges: Sequence[float], closed: bool
) -> Iterator[tuple[Point, Point, float]]:
    """Yield (start, end, bulge) of every segment; an empty `bulges` means all straight."""
    count = len(points) if closed else len(points) - 1
    for i in range(count):
        yield points[i], points[(i + 1) % len(points)], bulges[i] if bulges else 0.0


def _flat_arc(arc: Arc, tolerance: float) -> Iterator[Point]:
    # The sagitta of a chord over the angle a is r (1 - cos(a / 2)).
    share = min(1.0, tolerance / arc.radius)
    step = min(2.0 * math.acos(1.0 - share), math.pi / 4)
    count = max(1, math.ceil(abs(arc.sweep) / step))
    return (arc.at(i / count) for i in range(count))


def flatten(points: Sequence[Point], bulges: Sequence[float], closed: bool, tolerance: float) -> list[Point]:
    """Replace arcs by chords that stay within `tolerance`; a closed ring repeats no point.

    >>> flatten([(0, 0), (4, 0), (4, 3)], (), True, 0.1)
    [(0, 0), (4, 0), (4, 3)]
    """
    flat: list[Point] = []
    for start, end, bulge in segments(points, bulges, closed):
        if bulge and start != end:
            flat.append(start)
            flat.extend(list(_flat_arc(arc_of(start, end, bulge), tolerance))[1:])
        else:
            flat.append(start)
    return flat if closed else [*flat, points[-1]]


def extents(points: Sequence[Point], bulges: Sequence[float], closed: bool) -> Box:
    """Enclose a path exactly, arcs by their own extreme points.

    >>> extents([(0, 0), (10, 0)], (1.0, 0.0), False)
    Box(left=0, bottom=-5.0, right=10, top=0)
    """
    reached = list(points)
    for start, end, bulge in segments(points, bulges, closed):
        if bulge and start != end:
            reached.extend(_extremes(arc_of(start, end, bulge)))
    return Box.around(reached)


def _extremes(arc: Arc) -> Iterator[Point]:
    (x, y), r = arc.centre, arc.radius
    for quarter, point in enumerate([(x + r, y), (x, y + r), (x - r, y), (x, y - r)]):
        turn = quarter * math.pi / 2 - arc.start
        turn = turn % math.tau if arc.sweep > 0 else -(-turn % math.tau)
        if abs(turn) < abs(arc.sweep):
            yield point


def hatch(
    outlines: Sequence[Sequence[Point]], spacing: float, angle: float = math.pi / 4
) -> list[tuple[Point, Point]]:
    """Fill what an odd number of the flat closed outlines enclose with parallel lines.

    The lines are `spacing` apart and lie on one grid through (0, 0), so neighbouring fills match.

    >>> hatch([[(0, 0), (2, 0), (2, 2), (0, 2)]], 1.0, 0.0)
    [((0.0, 0.0), (2.0, 0.0)), ((0.0, 1.0), (2.0, 1.0))]
    """
    cos, sin = math.cos(angle), math.sin(angle)
    rings = [[(x * cos + y * sin, y * cos - x * sin) for x, y in ring] for ring in outlines]
    low = min(y for ring in rings for _, y in ring)
    high = max(y for ring in rings for _, y in ring)
    lines: list[tuple[Point, Point]] = []
    for row in range(math.ceil(low / spacing), math.floor(high / spacing) + 1):
        y = row * spacing
        hits = sorted(_hits(rings, y))
        for a, b in zip(hits[::2], hits[1::2], strict=True):
            if b > a:
                lines.append(((a * cos - y * sin, a * sin + y * cos), (b * cos - y * sin, b * sin + y * cos)))
    return lines


def _hits(rings: Sequence[Sequence[Point]], y: float) -> Iterator[float]:
    # Half-open in y, so a line through a vertex counts it once.
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
            if (y0 <= y) != (y1 <= y):
                yield x0 + (y - y0) / (y1 - y0) * (x1 - x0)

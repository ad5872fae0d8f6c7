"""What a backend draws: plain strokes, rounds and lettering in paper millimetres.

The origin is the lower left of the area, y up. Nothing here is placed any more; a backend turns
roles into pens by `style.PENS` and flips y if its medium wants that.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

from survey.drawing.geometry import Box, Point, extents
from survey.drawing.metrics import Run
from survey.drawing.primitives import Role


class Quad(NamedTuple):
    """A turned rectangle: its first corner, the unit vector along its width, its two sizes."""

    corner: Point
    along: Point
    width: float
    height: float

    def point(self, across: float, up: float) -> Point:
        """Return the point at this distance along the width and up the height."""
        (x, y), (ux, uy) = self.corner, self.along
        return x + ux * across - uy * up, y + uy * across + ux * up

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Counter-clockwise."""
        w, h = self.width, self.height
        return self.point(0, 0), self.point(w, 0), self.point(w, h), self.point(0, h)

    def box(self) -> Box:
        """Return the upright rectangle around it."""
        (x, y), (ux, uy), w, h = self
        ax, ay, bx, by = ux * w, uy * w, -uy * h, ux * h
        left, bottom = x + min(ax, 0.0) + min(bx, 0.0), y + min(ay, 0.0) + min(by, 0.0)
        return Box(left, bottom, left + abs(ax) + abs(bx), bottom + abs(ay) + abs(by))

    def grown(self, by: float) -> "Quad":
        """Move every side out by `by`."""
        corner = self.point(-by, -by)
        return Quad(corner, self.along, self.width + 2 * by, self.height + 2 * by)

    def moved(self, by: Point) -> "Quad":
        """Shift by a vector."""
        (x, y), along, width, height = self
        return Quad((x + by[0], y + by[1]), along, width, height)

    def span(self, a: Point, b: Point) -> tuple[float, float] | None:
        """Return which share of the way from a to b lies inside, or None.

        >>> Quad((1, -1), (1, 0), 2, 2).span((0, 0), (4, 0))
        (0.25, 0.75)
        """
        first, last = 0.0, 1.0
        (ax, ay), (bx, by) = self.local(a), self.local(b)
        for p, q, size in ((ax, bx, self.width), (ay, by, self.height)):
            if p == q:
                if not 0.0 < p < size:
                    return None
                continue
            near, far = -p / (q - p), (size - p) / (q - p)
            if near > far:
                near, far = far, near
            first, last = max(first, near), min(last, far)
        return (first, last) if first < last else None

    def overlaps(self, other: "Quad") -> bool:
        """Say whether the two share more than an edge (separating axes)."""
        return not (self._parted(other) or other._parted(self))

    def local(self, p: Point) -> Point:
        """Return a point as (along the width, up the height)."""
        dx, dy = p[0] - self.corner[0], p[1] - self.corner[1]
        ux, uy = self.along
        return dx * ux + dy * uy, dy * ux - dx * uy

    def _parted(self, other: "Quad") -> bool:
        seen = Box.around(self.local(corner) for corner in other.corners())
        is_beside = seen.right <= 0.0 or seen.left >= self.width
        return is_beside or seen.top <= 0.0 or seen.bottom >= self.height


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line along points with bulges; a filled one is an arrow head and has no outline."""

    points: tuple[Point, ...]
    role: Role
    bulges: tuple[float, ...] = ()
    closed: bool = False
    filled: bool = False
    record: str = ""

    def extents(self) -> Box:
        """Enclose the path (paper mm)."""
        return extents(self.points, self.bulges, self.closed)

    def moved(self, by: Point) -> "Stroke":
        """Shift by a vector."""
        points = tuple((x + by[0], y + by[1]) for x, y in self.points)
        return Stroke(points, self.role, self.bulges, self.closed, self.filled, self.record)


@dataclass(frozen=True, slots=True)
class Round:
    """A circle."""

    centre: Point
    radius: float
    role: Role
    record: str = ""

    def extents(self) -> Box:
        """Enclose the circle (paper mm)."""
        return Box(*self.centre, *self.centre).grown(self.radius)

    def moved(self, by: Point) -> "Round":
        """Shift by a vector."""
        centre = (self.centre[0] + by[0], self.centre[1] + by[1])
        return Round(centre, self.radius, self.role, self.record)


@dataclass(frozen=True, slots=True)
class Lettering:
    """One line of text: baseline start, angle, and the runs of letters along it.

    `reach` is the lowest and highest ink above the baseline, so `quad()` is what the text covers.
    """

    at: Point
    text: str
    height: float
    angle: float
    runs: tuple[Run, ...]
    reach: tuple[float, float]
    role: Role
    record: str = ""

    @property
    def width(self) -> float:
        """Length along the baseline (paper mm)."""
        return self.runs[-1].across + self.runs[-1].width

    def quad(self) -> Quad:
        """Return the rectangle that the text covers."""
        along = (math.cos(self.angle), math.sin(self.angle))
        low, high = self.reach
        start = Quad(self.at, along, self.width, 0.0).point(0.0, low)
        return Quad(start, along, self.width, high - low)

    def extents(self) -> Box:
        """Enclose the text (paper mm)."""
        return self.quad().box()

    def moved(self, by: Point) -> "Lettering":
        """Shift by a vector."""
        at = (self.at[0] + by[0], self.at[1] + by[1])
        return Lettering(
            at, self.text, self.height, self.angle, self.runs, self.reach, self.role, self.record
        )


Mark = Stroke | Round | Lettering


@dataclass(frozen=True, slots=True)
class LaidOut:
    """A picture on its area of paper: what is drawn, in order, and at which scale.

    `one_to` is the scale's denominator (10 for 1:10); `origin` is where the model's (0, 0) lies,
    so a model point p is drawn at origin + p / one_to.
    """

    marks: tuple[Mark, ...]
    width: float
    height: float
    one_to: float
    origin: Point
    title: str = ""

    @property
    def scale_text(self) -> str:
        """The scale as it is written on a drawing.

        >>> LaidOut((), 190, 120, 10, (0, 0)).scale_text
        '1:10'
        """
        return f"1:{self.one_to:g}"

    def place(self, p: Point) -> Point:
        """Return where a model point (mm) lies on the paper (mm)."""
        return self.origin[0] + p[0] / self.one_to, self.origin[1] + p[1] / self.one_to

    def trimmed(self, margin: float) -> "LaidOut":
        """Cut the area down to what is drawn and a margin around it (paper mm)."""
        box = self.extents().grown(margin)
        by = (-box.left, -box.bottom)
        return LaidOut(
            tuple(mark.moved(by) for mark in self.marks),
            box.width,
            box.height,
            self.one_to,
            (self.origin[0] + by[0], self.origin[1] + by[1]),
            self.title,
        )

    def extents(self) -> Box:
        """Enclose everything drawn (paper mm)."""
        return Box.around([c for mark in self.marks for c in mark.extents().corners()])

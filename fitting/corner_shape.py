"""Free front corners of a flat piece: rounded by a radius, or clipped. The blank stays square there.

Frame of the piece: x right, y to the back, mm; the outline runs counter-clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.cut_out import OFF
from fitting.errors import BadInput

FloatArray = NDArray[np.float64]
End = Literal["left", "right"]

SAME = 1e-6
"""mm; a corner this near to the front's line lies on it."""


@dataclass(frozen=True)
class ShapedCorner:
    """A corner's shape: the `radius` of an arc, or `clip`, cut off as much along both edges; mm."""

    shape: Literal["radius", "clip"]
    size: float


def shape_corners(
    outline: FloatArray, corners: Mapping[End, ShapedCorner]
) -> tuple[FloatArray, tuple[float, ...]]:
    """Shape the front corners of an outline.

    Parameters
    ----------
    outline : array (n, 2)
        Counter-clockwise; its frontmost edge is straight along x.
    corners
        The shape at its left and right end.

    Returns
    -------
    array (m, 2)
        The outline with each shaped corner's two ends in the corner's place.
    tuple of float
        A bulge for the edge that starts at each corner: tan of a quarter of the arc, 0 for a straight one.

    Raises
    ------
    BadInput
        A size that is none, or larger than its edges have room for; it names the largest.

    Examples
    --------
    >>> square = np.array([(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)])
    >>> ring, bulges = shape_corners(square, {"right": ShapedCorner("radius", 50.0)})
    >>> ring.round(6).tolist()[1:3], [round(one, 4) for one in bulges]
    ([[550.0, 0.0], [600.0, 50.0]], [0.0, 0.4142, 0.0, 0.0, 0.0])
    """
    count = len(outline)
    front = np.flatnonzero(outline[:, 1] <= outline[:, 1].min() + SAME)
    at = {
        "left": int(front[np.argmin(outline[front, 0])]),
        "right": int(front[np.argmax(outline[front, 0])]),
    }
    cut = {at[end]: _tangent(outline, at[end], end, corner) for end, corner in corners.items()}
    for vertex, length in cut.items():
        for other in ((vertex - 1) % count, (vertex + 1) % count):
            room = float(np.hypot(*(outline[other] - outline[vertex]))) - cut.get(other, 0.0)
            if length > room + SAME:
                end = next(end for end in corners if at[end] == vertex)
                most = corners[end].size * room / length
                shape, size = corners[end].shape, corners[end].size
                raise BadInput(
                    f"the {end} front corner: expected a {shape} of at most {most:.1f} mm, for which its "
                    f"edges have room, got {size:g}"
                )
    points: list[FloatArray] = []
    bulges: list[float] = []
    for vertex in range(count):
        if vertex not in cut:
            points.append(outline[vertex])
            bulges.append(0.0)
            continue
        corner = next(corners[end] for end in corners if at[end] == vertex)
        before, after = _along(outline, vertex, -1), _along(outline, vertex, 1)
        points += [outline[vertex] + cut[vertex] * before, outline[vertex] + cut[vertex] * after]
        arc = math.pi - _angle(before, after)
        bulges += [math.tan(arc / 4) if corner.shape == "radius" else 0.0, 0.0]
    return np.array(points), tuple(bulges)


def drawn_out(ring: FloatArray, bulges: Sequence[float]) -> FloatArray:
    """Return a ring (m, 2) with its arcs in chords no more than 0.02 mm off them.

    >>> ring = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (50.0, 100.0), (0.0, 100.0)])
    >>> drawn = drawn_out(ring, (0.0, 0.0, math.tan(math.pi / 8), 0.0, 0.0))
    >>> len(drawn) > 20, bool(np.abs(np.hypot(*(drawn[2:-1] - 50.0).T) - 50.0).max() < 1e-9)
    (True, True)
    """
    points: list[FloatArray] = []
    for start, end, bulge in zip(ring, np.roll(ring, -1, axis=0), bulges, strict=True):
        points.append(start)
        if not bulge:
            continue
        arc, chord = 4 * math.atan(bulge), end - start
        radius = float(np.hypot(*chord)) / 2 / math.sin(arc / 2)
        left = np.array([-chord[1], chord[0]]) / np.hypot(*chord)
        centre = (start + end) / 2 + left * radius * math.cos(arc / 2)
        first = math.atan2(start[1] - centre[1], start[0] - centre[0])
        steps = max(2, math.ceil(abs(arc) / (2 * math.acos(1 - min(OFF / abs(radius), 1.0)))))
        turns = first + arc * np.arange(1, steps) / steps
        points += list(centre + abs(radius) * np.column_stack([np.cos(turns), np.sin(turns)]))
    return np.array(points)


def _tangent(outline: FloatArray, vertex: int, end: End, corner: ShapedCorner) -> float:
    """Return how far from a corner its shape begins along both edges (mm)."""
    if not 0 < corner.size < 20_000:
        raise BadInput(
            f"the {end} front corner: expected a size above 0 and under 20 m, got {corner.size} mm"
        )
    if corner.shape == "clip":
        return corner.size
    return corner.size / math.tan(_angle(_along(outline, vertex, -1), _along(outline, vertex, 1)) / 2)


def _along(outline: FloatArray, vertex: int, step: int) -> FloatArray:
    """Return the unit vector from a corner to the one before or after it."""
    run = outline[(vertex + step) % len(outline)] - outline[vertex]
    return np.asarray(run / np.hypot(*run))


def _angle(before: FloatArray, after: FloatArray) -> float:
    return math.acos(min(max(float(before @ after), -1.0), 1.0))

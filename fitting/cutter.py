"""The path of the cutter in a notch: round inside corners, and on past the edge.

A router bit leaves its own radius in an inside corner. Up to the clearance that is kept this takes nothing
from it: at a right corner of an obstacle the notch is 1.41 times its clearance away. With a larger bit the
notch is opened, or each corner is relieved with one more bite of the bit (a dog-bone).

Frame of the piece and sides: see `fitting.notch`; mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np
import shapely  # type: ignore[import-untyped]
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry  # type: ignore[import-untyped]

from fitting.errors import BadInput
from fitting.notch import GRID, Notch, checked_place, edges_of, polygons_of, ring_of
from fitting.outline import FittedOutline

FloatArray = NDArray[np.float64]
Corners = Literal["opened", "relieved"]

BIT: Final = 25.4 / 4
"""mm; radius of a straight bit of 1/2 in (common practice, no source). A saw leaves none: 0."""
PAST: Final = 25.4 / 4
"""mm by which a cut runs on past the blank's edge: no burr or skin stays (common practice, no source)."""
KINK: Final = 0.974
"""Sine of half the angle (154 degrees) up to which a corner of a notch is taken to go round an obstacle's."""
CHORDS: Final = 32
"""Chords in a quarter of an arc: for a bit of 1 in they leave 0.004 mm, below any saw."""


@dataclass(frozen=True, eq=False)
class CutPath:
    """The cut of one notch.

    Attributes
    ----------
    around : str
        What the notch is for.
    path : array (n, 2)
        The line that the cut leaves, wood on its left: from `past` outside the blank to `past` outside of it.
    removed : array (m, 2)
        Ring of all that the cutter takes, as far as `past` outside the blank; counter-clockwise.
    opened : float
        mm by which the notch was moved into the wood, so that the bit's radius stays clear.
    bite : float
        mm by which the deepest relief goes into the wood past the notch's line.
    """

    around: str
    path: FloatArray
    removed: FloatArray
    opened: float = 0.0
    bite: float = 0.0


def cut_paths(
    fitted: FittedOutline, radius: float = BIT, past: float = PAST, corners: Corners = "opened"
) -> tuple[CutPath, ...]:
    """Give the path of the cutter in each notch of a piece, in the order of its notches.

    Parameters
    ----------
    fitted : FittedOutline
    radius : float
        Of the cutter (mm); 0 for a saw that cuts into the corner.
    past : float
        How far the cut runs on outside the blank (mm, above 0).
    corners : {"opened", "relieved"}
        What is done where the radius is greater than the clearance.

    Returns
    -------
    tuple[CutPath, ...]

    Raises
    ------
    BadInput
        A radius or `past` that none is, or a notch too narrow for the cutter.

    Notes
    -----
    An obstacle's corner of the angle 2 a has the notch's corner c / sin(a) away, c the clearance. The arc of
    a radius r there stays r - (r - c - e) / sin(a) clear of it, where the notch is opened by e: that is c
    again for e = (r - c) (1 - sin(a)), 0.29 (r - c) at a right corner. Where a notch turns square to the
    edge, beside a face of the obstacle, the arc has no such corner to go round: e = r (1 - sin(a)).

    Examples
    --------
    A notch 120 x 60 in the back of a top, 3 mm clear all around; 6.35 mm of radius open it by 0.98 mm:

    >>> from fitting.edge import StraightSide
    >>> from fitting.notch import Obstacle
    >>> from fitting.outline import fit_outline
    >>> pipe_box = Obstacle("pipe box", np.array([[400, -57], [514, -57], [514, 30], [400, 30]]), 3)
    >>> sides = StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0)
    >>> (cut,) = cut_paths(fit_outline(*sides, [pipe_box]), past=5)
    >>> round(cut.opened, 2), cut.path[[0, -1]].round(2).tolist()
    (0.98, [[517.98, 5.0], [396.02, 5.0]])
    """
    checked_place("radius, past", [radius, past])
    if radius < 0 or past <= 0:
        raise BadInput(f"expected a radius of 0 mm or more and `past` above 0, got {radius} and {past} mm")
    if corners not in get_args(Corners):
        raise BadInput(f"corners: expected opened or relieved, got {corners!r}")
    taken = list(_taken(fitted, past + 6 * radius))
    sheet = _sheet(fitted, past)
    return tuple(
        _cut_path(notch, _of_notch(notch, taken), sheet, radius, corners) for notch in fitted.notches
    )


def _sheet(fitted: FittedOutline, past: float) -> Polygon:
    x0, y0, x1, y1 = Polygon(fitted.blank).bounds
    return box(x0 - past, y0 - past, x1 + past, y1 + past)


def _taken(fitted: FittedOutline, beyond: float) -> Iterator[Polygon]:
    """Yield what the notches take out of the blank, carried on square to its sides as far as `beyond`."""
    blank, whole = Polygon(fitted.blank), box(*Polygon(fitted.blank).bounds)
    x0, y0, x1, y1 = whole.bounds
    wood: list[BaseGeometry] = [blank]
    for a, b in zip(*edges_of(ring_of(blank)), strict=True):
        for axis, at, sign in ((0, x0, -1), (0, x1, 1), (1, y0, -1), (1, y1, 1)):
            if abs(a[axis] - at) <= GRID and abs(b[axis] - at) <= GRID:
                out = np.zeros(2)
                out[axis] = sign * (beyond + 1.0)
                wood.append(Polygon([a, b, b + out, a + out]))
    left = shapely.difference(_sheet(fitted, beyond), shapely.union_all(wood), grid_size=GRID)
    # At corners without a notch the square outside both sides is left too: it takes no wood.
    yield from (part for part in polygons_of(left) if part.intersection(whole).area > GRID)


def _of_notch(notch: Notch, taken: list[Polygon]) -> Polygon:
    line = LineString(notch.corners)
    return min(taken, key=lambda part: float(part.distance(line.interpolate(0.5, normalized=True))))


def _cut_path(notch: Notch, zone: Polygon, sheet: Polygon, radius: float, corners: Corners) -> CutPath:
    sharp = list(_inside_corners(zone, sheet)) if radius > 0 else []
    opened, bite = 0.0, 0.0
    lacks = [(radius - (notch.clearance if sine < KINK else 0.0)) * (1 - sine) for _, _, sine in sharp]
    sharp = [corner for corner, lack in zip(sharp, lacks, strict=True) if lack > 0]
    if sharp and corners == "opened":
        opened = max(lacks)
        zone = zone.buffer(opened, join_style="mitre")
    elif sharp:
        bite = max(radius * (1 - sine) for _, _, sine in sharp)
    removed: BaseGeometry = zone
    if radius > 0:
        inner = zone.buffer(-radius, join_style="mitre")
        if len(polygons_of(inner)) != 1:
            raise BadInput(
                f"notch around {notch.around}: a cutter of {2 * radius:g} mm does not get through it: "
                "take one that is narrower than the notch, or a saw (radius 0)"
            )
        removed = inner.buffer(radius, quad_segs=CHORDS)
        if bite > 0:
            # The deepest place of the bite is at the notch's own corner.
            discs = [Point(corner + radius * inward).buffer(radius, CHORDS) for corner, inward, _ in sharp]
            removed = shapely.union_all([removed, *discs])
    whole = polygons_of(shapely.intersection(removed, sheet))[0]
    return CutPath(notch.around, _within(whole, sheet), ring_of(whole), opened, bite)


def _inside_corners(zone: Polygon, sheet: Polygon) -> Iterator[tuple[FloatArray, FloatArray, float]]:
    """Yield corners that a bit cannot reach into: their place, the way inward, sine of half their angle."""
    ring = ring_of(zone)
    for before, here, after in zip(np.roll(ring, 1, axis=0), ring, np.roll(ring, -1, axis=0), strict=True):
        a, b = before - here, after - here
        a, b = a / np.hypot(*a), b / np.hypot(*b)
        half = float(np.hypot(*(a + b))) / 2  # the cosine of half the angle
        sine = float(np.sqrt(max(1 - half**2, 0.0)))
        turns_left = b[0] * a[1] - b[1] * a[0] > 0
        if turns_left and sine < 1 - GRID and sheet.contains(Point(here)):
            yield here, (a + b) / np.hypot(*(a + b)), sine


def _within(whole: Polygon, sheet: Polygon) -> FloatArray:
    """Return the part of a ring that is not on the rim of the sheet, wood on its left."""
    inside = shapely.line_merge(shapely.difference(whole.exterior, sheet.exterior.buffer(2 * GRID)))
    longest = max(shapely.get_parts(inside), key=lambda line: float(line.length))
    path = np.asarray(longest.simplify(GRID).coords, dtype=np.float64)
    # What is taken lies on the left of its counter-clockwise ring, so the wood on its right.
    return path[::-1] if whole.exterior.is_ccw else path

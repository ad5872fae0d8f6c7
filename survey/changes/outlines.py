"""Whether what was cut to an old outline can be cut to the new one, and how far the line moved.

Wood can be taken off and not put on: the old piece must cover the new one. It may be shifted for that, never
turned or mirrored, for its show face and its grain stay. Where the datum changed, the frames of the two
reports are not the same, so the old outline is set against the new one by its sides.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

import numpy as np
import shapely  # type: ignore[import-untyped]
from shapely import Polygon
from shapely.affinity import translate  # type: ignore[import-untyped]

from fitting.corner_shape import drawn_out
from survey.report.structs import PieceReport, Point

STATION: Final = 10.0
"""At most so far apart are the places at which the distance of two outlines is taken, mm."""
NEARLY: Final = 0.8
"""Share of the farthest distance that counts as farthest, where one place of many is pointed at."""
ROUND: Final = 1e-6
"""What arithmetic may be off, mm."""


def moved_by(was: PieceReport, now: PieceReport) -> float:
    """Return by how much the finished line moved at most, mm; 0 where one of the two has no outline.

    Both ways: what a notch took away counts as what an ear added. Cut-outs are not in it.

    Examples
    --------
    >>> square = PieceReport("a", "top", "ready", outline=((0, 0), (600, 0), (600, 300), (0, 300)))
    >>> deeper = PieceReport("a", "top", "ready", outline=((0, 0), (600, 0), (600, 303), (0, 300)))
    >>> moved_by(square, square), round(moved_by(square, deeper), 3)
    (0.0, 3.0)
    """
    old, new = (ring_of(piece) for piece in (was, now))
    if old is None or new is None:
        return 0.0
    old = translate(old, *shift(was, now))
    return _apart(old, new)


def shift(was: PieceReport, now: PieceReport) -> Point:
    """Return by how much the old outline is moved to lie in the new one's frame (mm).

    By nothing where both are measured from the same datum; else their lower left corners meet.
    """
    old, new = ring_of(was), ring_of(now)
    if was.datum == now.datum or old is None or new is None:
        return 0.0, 0.0
    return float(new.bounds[0] - old.bounds[0]), float(new.bounds[1] - old.bounds[1])


def rings_apart(was: tuple[Point, ...], now: tuple[Point, ...]) -> float:
    """Return how far two rings are apart at most, mm; infinite where only one of them is one."""
    if len(was) < 3 or len(now) < 3:
        return 0.0 if was == now else float("inf")
    return _apart(Polygon(was), Polygon(now))


def _apart(old: Polygon, new: Polygon) -> float:
    a, b = (shapely.segmentize(one.exterior, STATION) for one in (old, new))
    return float(shapely.hausdorff_distance(a, b))


def ring_of(piece: PieceReport, blank: bool = False) -> Polygon | None:
    """Return the finished outline, or the blank's, with arcs drawn out; nothing where there is none."""
    points = piece.blank_outline if blank else piece.outline
    if len(points) < 3:
        return None
    if not blank and any(piece.bulges) and len(piece.bulges) == len(points):
        return _sound(drawn_out(np.array(points), piece.bulges))
    return _sound(points)


def _sound(points: Any) -> Polygon | None:
    """Return a ring's area; of one that crosses itself, as a hair of a notch may, its largest part."""
    ring = Polygon(points)
    if ring.is_valid:
        return ring
    parts = [one for one in shapely.get_parts(shapely.make_valid(ring)) if one.geom_type == "Polygon"]
    return max(parts, key=lambda one: one.area, default=None)


def wood(piece: PieceReport, blank: bool = False) -> Any | None:
    """Return what is left when a piece is cut: its outline, or its blank's, less its cut-outs."""
    ring = ring_of(piece, blank)
    if ring is None:
        return None
    rings = [_sound(one.ring) for one in piece.cut_outs if len(one.ring) > 2]
    holes = [one for one in rings if one is not None]
    return shapely.difference(ring, shapely.union_all(holes)) if holes else ring


def covers(old: Any, new: Any, start: Point, slack: float) -> bool:
    """Say whether new wood can be cut out of old wood, shifted where that helps.

    Parameters
    ----------
    old, new
        As `wood` gives them.
    start
        As `shift` gives it: where the old one lies in the new one's frame.
    slack
        mm by which the old one may be short: half the job's smallest fraction, which nobody sees.

    Examples
    --------
    >>> from shapely import box
    >>> covers(box(0, 0, 600, 300), box(-590, 0, 0, 300), (0, 0), 0.5)
    True
    >>> covers(box(0, 0, 600, 300), box(0, 0, 590, 302), (0, 0), 0.5)
    False
    """
    grown = shapely.buffer(old, slack + ROUND, join_style="mitre")
    return any(translate(grown, *by).covers(new) for by in _shifts(old, new, start))


def _shifts(old: Any, new: Any, start: Point) -> Iterator[Point]:
    """Give where the old one may be put: as it lies, or with one of its sides on the new one's, each way."""
    yield start
    a, b = old.bounds, new.bounds
    across = {start[0], b[0] - a[0], b[2] - a[2]}
    along = {start[1], b[1] - a[1], b[3] - a[3]}
    yield from ((x, y) for x in sorted(across) for y in sorted(along) if (x, y) != start)


def short_by(old: Any, new: Any, start: Point) -> float:
    """Return by how much old wood falls short of new at its worst place, lying as it is said (mm).

    Examples
    --------
    >>> from shapely import box
    >>> short_by(box(0, 0, 600, 300), box(0, 0, 610, 300), (0, 0))
    10.0
    """
    there = translate(old, *start)
    lacking = shapely.segmentize(shapely.difference(new, there), STATION)
    points = shapely.points(shapely.get_coordinates(lacking))
    return float(shapely.distance(points, there).max()) if len(points) else 0.0


def farthest(lines: Iterable[Iterable[Point]], others: Iterable[Iterable[Point]]) -> Point:
    """Return a place of some closed lines that is about as far from others as any, outside where one is.

    Examples
    --------
    >>> farthest([[(0, 0), (600, 0), (600, 310), (0, 310)]], [[(0, 0), (600, 0), (600, 300), (0, 300)]])[1]
    310.0
    """
    near = shapely.multilinestrings([Polygon(ring).exterior for ring in others])
    rings = [shapely.segmentize(Polygon(ring).exterior, STATION) for ring in lines]
    points = np.concatenate([shapely.get_coordinates(ring) for ring in rings])
    far = shapely.distance(shapely.points(points), near)
    best = points[far >= NEARLY * far.max()]
    hull = shapely.convex_hull(shapely.multipoints(np.vstack([points, shapely.get_coordinates(near)])))
    outside = best[shapely.distance(shapely.points(best), hull.exterior) < STATION / 2]
    # Of a whole side that moved, its middle, not whichever end comes first.
    best = outside if len(outside) else best
    x, y = best[len(best) // 2]
    return float(x), float(y)

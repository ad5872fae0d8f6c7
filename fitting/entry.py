"""From where a flat piece can be moved into its place, when it is notched around what stands there.

Frame of the piece, as `fitting.notch`. A direction is where the piece comes *from*, as an angle counter-
clockwise from x: 0 from the right, pi/2 from the back (a panel: from above it), -pi/2 from the front.

A piece P that is moved off by t meets a barrier Q just where t lies within C = {q - p}, the Minkowski sum
of Q and the mirrored P. While P stands clear of Q, whatever leaves the origin can enter C only through its
rim, and the rim lies on the parallelograms {q - p} of an edge of Q and an edge of P. So each of them bars
an open arc of directions, and what none bars is open: no steps, no search. (Lozano-Perez, "Spatial
Planning: A Configuration Space Approach", IEEE Transactions on Computers 32, 1983, from memory.)
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import shapely  # type: ignore[import-untyped]
from numpy.typing import ArrayLike, NDArray
from shapely import Polygon

from fitting.errors import BadInput
from fitting.notch import REACHES_IN, Obstacle, edges_of, polygons_of, ring_of

FloatArray = NDArray[np.float64]
Point = tuple[float, float]

FULL: Final = 2 * math.pi
THIN: Final = 1e-7
"""Radians; an arc narrower than this is the seam between two that are barred, and not open."""
AXES: Final = (-math.pi / 2, 0.0, math.pi, math.pi / 2)
"""From the front, the right, the left and the back: what is tried first, and in this order."""
NEAR_AXIS: Final = math.radians(10.0)
"""A direction nearer than this to an axis is still called by it."""
CORNER: Final = math.radians(10.0)
"""Turn of an outline from which on it has a corner that may have to pass something."""
SAMPLED: Final = 17
"""Of the parallelograms, each so many-th is looked at first where two motions are sought."""
TRIED: Final = 24
"""Lengths of a first motion that are tried in each direction, the shortest first."""


@dataclass(frozen=True)
class Arc:
    """Directions from `start` counter-clockwise over `width` (radians), both ends included.

    >>> Arc(-0.1, 0.2).holds(0.0), Arc(-0.1, 0.2).holds(math.pi), round(Arc(-0.1, 0.2).nearest(1.0), 3)
    (True, False, 0.1)
    """

    start: float
    width: float

    def holds(self, angle: float) -> bool:
        """Whether a direction is one of them."""
        return self.width >= FULL or (angle - self.start) % FULL <= self.width

    def nearest(self, angle: float) -> float:
        """Return the direction in it that is nearest to one."""
        if self.holds(angle):
            return angle
        ends = self.start, self.start + self.width
        return min(ends, key=lambda end: abs(math.remainder(end - angle, FULL)))


@dataclass(frozen=True, eq=False)
class Entry:
    """How a piece comes into its place.

    Attributes
    ----------
    open : tuple[Arc, ...]
        Directions it may come from in one straight motion, from any distance.
    barred : mapping of str to tuple[Arc, ...]
        Directions that each barrier bars.
    overlaps : tuple[str, ...]
        Barriers that take up the very place of the piece.
    over : tuple[str, ...]
        What it would strike if let down (a panel: slid) square to its face.
    moves : tuple[Point, ...]
        Motions (mm), one after the other, the last one ending at its place; none where none was found.
    room : mapping of str to float
        Of each barrier the least distance (mm) that the piece keeps from it on these motions.
    """

    open: tuple[Arc, ...]
    barred: Mapping[str, tuple[Arc, ...]]
    overlaps: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    moves: tuple[Point, ...] = ()
    room: Mapping[str, float] = field(default_factory=dict)

    @property
    def square_to_face(self) -> bool:
        """Whether it can come in square to its face: a top down from above, a panel from its side."""
        return not self.over

    def comes_from(self, angle: float) -> bool:
        """Whether it can come straight from a direction."""
        return any(arc.holds(angle) for arc in self.open)

    def bars(self, angle: float) -> tuple[str, ...]:
        """Name what bars a direction."""
        return tuple(name for name, arcs in self.barred.items() if any(_within(arc, angle) for arc in arcs))


def way_in(piece: ArrayLike, barriers: Sequence[Obstacle], over: Sequence[Obstacle] = ()) -> Entry:
    """Find from where a piece can be moved into its place without being turned.

    Parameters
    ----------
    piece : array (n, 2)
        Its outline as it is when it goes in, notches taken out of it (mm).
    barriers : sequence of Obstacle
        Walls, trim, pipes at the height of the piece; the clearance asked of them plays no part here.
    over : sequence of Obstacle
        What stands over the piece (before a panel's face), and would bar a motion square to its face.

    Returns
    -------
    Entry

    Raises
    ------
    BadInput
        An outline that is none.

    Notes
    -----
    What reaches no deeper than 0.01 mm bars nothing, so that a piece may slide along what it touches. One
    motion is decided. Of two, the last one is sought along the axes and along what bars them, by the
    lengths at which a corner of the piece passes a corner of a barrier, and the one before it from a
    direction that is open there: two motions that are found go, but that none is found does not show that
    there are none.

    Examples
    --------
    A top 900 x 560 before a wall at its back, with a notch that hooks around a post at its left end:

    >>> top = [(0, -560), (900, -560), (900, 0), (0, 0), (0, -300), (60, -300), (60, -350), (0, -350)]
    >>> wall = Obstacle("wall", np.array([[-2e3, 0], [2e3, 0], [2e3, 100], [-2e3, 100]]), 0)
    >>> post = Obstacle("post", np.array([[-100, -345], [55, -345], [55, -305], [-100, -305]]), 0)
    >>> entry = way_in(top, [wall, post])
    >>> entry.comes_from(0.0), entry.comes_from(-math.pi / 2), entry.bars(-math.pi / 2)
    (True, False, ('post',))
    >>> [(round(x) + 0, round(y) + 0) for x, y in entry.moves]
    [(-900, 0)]
    """
    ring = np.asarray(piece, dtype=np.float64)
    whole = Polygon(Obstacle("piece", ring, 0.0).ring)
    moved = [ring_of(part) for part in polygons_of(whole.buffer(-REACHES_IN, join_style="mitre"))]
    if not moved:
        raise BadInput(f"piece: expected one wider than {2 * REACHES_IN} mm, got {whole.area:g} mm2")
    sums = {one.name: _sums(moved, [one.ring]) for one in barriers}
    barred = {name: _merged(_arcs(points)) for name, points in sums.items()}
    overlaps = tuple(one.name for one in barriers if _overlap(moved, one.ring))
    struck = tuple(one.name for one in over if _overlap(moved, one.ring))
    if overlaps:
        return Entry((), barred, overlaps, struck)
    free = _open(barred.values())
    out = _one_motion(free, ring) or _two_motions(ring, barriers, sums, barred)
    moves = tuple((-x, -y) for x, y in reversed(out))
    return Entry(free, barred, (), struck, moves, _room(out, sums))


def name_of(angle: float) -> int | None:
    """Return which of `AXES` a direction is called by, if any is near.

    >>> name_of(-1.5), name_of(0.7)
    (0, None)
    """
    for number, axis in enumerate(AXES):
        if abs(math.remainder(angle - axis, FULL)) <= NEAR_AXIS:
            return number
    return None


def _sums(moved: Iterable[FloatArray], barriers: Iterable[FloatArray]) -> FloatArray:
    """Return the parallelograms (k, 4, 2) of every edge of a barrier less every edge of the piece."""
    found = [np.zeros((0, 4, 2))]
    for mine in moved:
        p = np.stack(edges_of(mine), axis=1)
        for theirs in barriers:
            q = np.stack(edges_of(theirs), axis=1)
            found.append((q[:, None, :, None] - p[None, :, None, :]).reshape(-1, 4, 2))
    return np.concatenate(found)


def _arcs(points: FloatArray) -> FloatArray:
    """Return the open arcs (k, 2), start and width, in which the origin sees convex shapes (k, m, 2).

    The widest gap between the directions of the corners is not covered; where none is half a turn, the origin
    lies within, and the arc is the whole turn.
    """
    if not points.size:
        return np.zeros((0, 2))
    angles = np.sort(np.arctan2(points[..., 1], points[..., 0]), axis=1)
    gaps = np.diff(np.concatenate([angles, angles[:, :1] + FULL], axis=1), axis=1)
    last = gaps.argmax(axis=1)
    rows = np.arange(len(points))
    widest = gaps[rows, last]
    start = angles[rows, (last + 1) % angles.shape[1]]
    width = np.where(widest < math.pi, FULL, FULL - widest)
    return np.column_stack([start, width])


def _merged(arcs: FloatArray) -> tuple[Arc, ...]:
    """Join arcs that overlap; seams thinner than `THIN` are closed."""
    if arcs.size and arcs[:, 1].max() >= FULL - THIN:
        return (Arc(-math.pi, FULL),)
    found: list[list[float]] = []
    for start, width in arcs[np.argsort(arcs[:, 0])]:
        if width <= THIN:
            continue
        if found and start <= found[-1][1] + THIN:
            found[-1][1] = max(found[-1][1], start + width)
        else:
            found.append([start, start + width])
    # The last ones may go on past half a turn, over the first.
    while len(found) > 1 and found[-1][1] >= found[0][0] + FULL - THIN:
        _, end = found.pop(0)
        found[-1][1] = max(found[-1][1], end + FULL)
    if len(found) == 1 and found[0][1] - found[0][0] >= FULL - THIN:
        return (Arc(-math.pi, FULL),)
    return tuple(Arc(float(start), float(end - start)) for start, end in found)


def _open(barred: Iterable[tuple[Arc, ...]]) -> tuple[Arc, ...]:
    """Return what is left of the whole turn."""
    arcs = _merged(np.array([(arc.start, arc.width) for each in barred for arc in each]).reshape(-1, 2))
    if not arcs:
        return (Arc(-math.pi, FULL),)
    if arcs[0].width >= FULL:
        return ()
    starts = [arc.start + arc.width for arc in arcs]
    ends = [*(arc.start for arc in arcs[1:]), arcs[0].start + FULL]
    return tuple(
        Arc(math.remainder(start, FULL), end - start) for start, end in zip(starts, ends, strict=True)
    )


def _within(arc: Arc, angle: float) -> bool:
    """Whether a direction is in the open arc."""
    return arc.width >= FULL or THIN < (angle - arc.start) % FULL < arc.width - THIN


def _overlap(moved: Sequence[FloatArray], barrier: FloatArray) -> bool:
    """Whether a piece and a barrier take up the same place: edges cross, or one holds the other."""
    whole = _arcs(_sums(moved, [barrier]))[:, 1] >= FULL
    return bool(whole.any() or any(_holds(barrier, mine[0]) or _holds(mine, barrier[0]) for mine in moved))


def _holds(ring: FloatArray, point: FloatArray) -> bool:
    """Whether a point lies within a ring: a ray from it crosses the ring an odd number of times."""
    (x0, y0), (x1, y1) = (np.transpose(ends) for ends in edges_of(ring - point))
    crosses = (y0 > 0) != (y1 > 0)
    at = x0[crosses] - y0[crosses] * (x1[crosses] - x0[crosses]) / (y1[crosses] - y0[crosses])
    return bool(np.count_nonzero(at > 0) % 2)


def _away(angle: float, length: float) -> Point:
    return length * math.cos(angle), length * math.sin(angle)


def _preferred(free: Sequence[Arc]) -> float | None:
    """Return an open direction: an axis, else what is nearest to one, else the middle of the widest arc."""
    for axis in AXES:
        if any(arc.holds(axis) for arc in free):
            return axis
    near = [(arc.nearest(axis), axis) for axis in AXES for arc in free]
    off = [(abs(math.remainder(angle - axis, FULL)), angle) for angle, axis in near]
    if off and min(off)[0] <= NEAR_AXIS:
        return min(off)[1]
    widest = max(free, key=lambda arc: arc.width, default=None)
    return None if widest is None else widest.start + widest.width / 2


def _one_motion(free: Sequence[Arc], ring: FloatArray) -> tuple[Point, ...]:
    """Return the motion out of its place, as long as the piece is in its direction."""
    angle = _preferred(free)
    return () if angle is None else (_away(angle, _extent(ring, angle)),)


def _extent(ring: FloatArray, angle: float) -> float:
    return float(np.ptp(ring @ np.array(_away(angle, 1.0))))


def _two_motions(
    ring: FloatArray,
    barriers: Sequence[Obstacle],
    sums: Mapping[str, FloatArray],
    barred: Mapping[str, tuple[Arc, ...]],
) -> tuple[Point, ...]:
    """Return two motions out of its place, the shortest first one of those that are tried."""
    points = np.concatenate(list(sums.values()))
    found: list[tuple[float, float, float]] = []
    for axis in AXES:
        for angle in _along_what_bars(axis, barred):
            for length in _lengths(ring, barriers, angle):
                if found and length >= min(found)[0]:
                    break
                off = np.array(_away(angle, length))
                # A few of the sums mostly bar all; only where they do not, all are looked at.
                if not _open([_merged(_arcs(points[::SAMPLED] - off))]):
                    continue
                then = _preferred(_open([_merged(_arcs(points - off))]))
                if then is not None and not _strikes(points, off):
                    found.append((length, angle, then))
                    break
    if not found:
        return ()
    length, angle, then = min(found)
    return _away(angle, length), _away(then, _extent(ring, then))


def _along_what_bars(axis: float, barred: Mapping[str, tuple[Arc, ...]]) -> Iterator[float]:
    """Yield an axis, and the directions near it that touch a barrier which bars the axis itself."""
    yield axis
    for arcs in barred.values():
        for arc in arcs:
            if _within(arc, axis) and arc.width < FULL:
                yield from (
                    end
                    for end in (arc.start, arc.start + arc.width)
                    if abs(math.remainder(end - axis, FULL)) <= NEAR_AXIS
                )


def _lengths(ring: FloatArray, barriers: Sequence[Obstacle], angle: float) -> FloatArray:
    """Return how far a piece goes until a corner of it is level with one of a barrier, the shortest first."""
    along = np.array(_away(angle, 1.0))
    mine = _corners(ring) @ along
    theirs = np.concatenate([_corners(one.ring) @ along for one in barriers])
    lengths = (theirs[:, None] - mine[None, :]).ravel()
    lengths = lengths[(lengths > REACHES_IN) & (lengths <= _extent(ring, angle))]
    # Rounded up, so that the corner has passed.
    return np.asarray(np.unique(np.ceil(10 * lengths) / 10)[:TRIED] + REACHES_IN, dtype=np.float64)


def _corners(ring: FloatArray) -> FloatArray:
    """Return the corners of a ring where it really turns."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(ring[np.abs(np.arctan2(cross, (before * after).sum(axis=1))) > CORNER])


def _strikes(points: FloatArray, off: FloatArray) -> bool:
    """Whether a motion from the place to `off` meets anything: a sum, swept back, holds the origin."""
    swept = np.concatenate([points, points - off], axis=1)
    return bool((_arcs(swept)[:, 1] >= FULL).any())


def _room(out: Sequence[Point], sums: Mapping[str, FloatArray]) -> dict[str, float]:
    """Return the least distance kept from each barrier on the motions."""
    if not out:
        return {}
    path = shapely.LineString(np.cumsum([(0.0, 0.0), *out], axis=0))
    rooms = {}
    for name, points in sums.items():
        hulls = shapely.convex_hull(shapely.multipoints(points))
        rooms[name] = max(float(shapely.distance(hulls, path).min()) - REACHES_IN, 0.0)
    return rooms

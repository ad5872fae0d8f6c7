"""Find a way for a piece among barriers in a plane, or show that there is none.

The turns are cut into ranges. For each, `fitting.getting_in.slices` gives the places that are surely free,
and those that may be. Ranges side by side are joined where their parts share a place. A way through surely
free parts is a way (a sound yes); where not even the parts that may be free join up there is none (a sound
no). Otherwise the ranges that matter are halved, until it is decided or they are as fine as asked: then it is
too tight to call.

At the very turns of the start and of the goal the piece also slides without turning, and may touch: so it can
stand on a floor and against a wall in the end.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

import numpy as np
from shapely import LineString, Point, Polygon  # type: ignore[import-untyped]
from shapely.ops import nearest_points  # type: ignore[import-untyped]

from fitting.errors import BadInput
from fitting.getting_in.passing import FloatArray, Passing, Pose, Verdict, View, checked_ring, turned
from fitting.getting_in.slices import SEAM, Moving, convex_pieces

FINEST: Final = math.radians(0.05)
"""Ranges are not halved below this: 1 mm at 1200 mm."""
COARSEST: Final = math.radians(8.0)
SAME_TURN: Final = 1e-9
"""Radians; turns nearer to a whole turn apart are the same."""
CHORD: Final = 1e-4
"""mm; how far an arc may be off the straight line from pose to pose: far below `slices.TOUCH`."""
MOST: Final = 3000
"""Ranges looked at before it is given up as too tight to call."""
INSETS: Final = (20.0, 5.0, 1.0, 0.0)
"""mm by which a place to turn keeps off the border of the free part, if it can."""
SHARED: Final = 1e-9
"""mm2; parts that share less do not join."""
DOOR: Final = 1e-10
"""mm2; what strips share, grown by `SEAM`, is more than this where they meet in an edge, not a corner."""
Node = tuple[int, int]


@dataclass(eq=False)
class _Range:
    """A range of turns, and its free parts; two sets, `surely` or not, worked out when first asked for."""

    turn: float
    half: float
    parts: dict[bool, list[Polygon]] = field(default_factory=dict)

    def free(self, moving: Moving, surely: bool) -> list[Polygon]:
        if surely not in self.parts:
            self.parts[surely] = moving.free(self.turn, self.half, surely)
        return self.parts[surely]


def find_way(
    shape: FloatArray,
    barriers: Sequence[FloatArray],
    start: Pose,
    goal: Pose,
    *,
    within: tuple[float, float, float, float] | None = None,
    turns: tuple[float, float] | None = None,
    view: View = "plan",
    clearance: float = 0.0,
    finest: float = FINEST,
) -> Passing:
    """Find a way for a piece from one pose to another among barriers.

    Parameters
    ----------
    shape : array (n, 2)
        The piece, mm, a simple ring about its own origin; notches are allowed.
    barriers : sequence of arrays (k, 2)
        Simple rings, solid.
    start, goal : Pose
    within : tuple of float or None
        Left, bottom, right, top of what the piece never leaves. None: what encloses barriers and both poses.
    turns : tuple of float or None
        The least and the greatest turn allowed (radians), both poses' in between. None: any.
    view : View
        What the picture is, for the answer.
    clearance : float
        Kept from the barriers (mm); below 0: so much the piece may reach into each of them.
    finest : float
        How fine ranges of turn get before it is too tight to call (radians).

    Returns
    -------
    Passing
        The margin of a way found is the least distance to a barrier on it, 0 where it touches one; another
        way may have more. None where there is no way, or no verdict.

    Raises
    ------
    BadInput
        Rings that cross themselves, or turns out of order.

    Examples
    --------
    A ladder of 1.9 m goes askew through a door 0.8 m wide:

    >>> from fitting.getting_in.passing import rectangle
    >>> bar = rectangle(-950, -20, 1900, 40)
    >>> jambs = (rectangle(-2000, 0, 1600, 100), rectangle(400, 0, 1600, 100))
    >>> way = find_way(bar, jambs, Pose(0, -1500, 0), Pose(0, 1500, 0), within=(-2000, -2500, 2000, 2500))
    >>> way.verdict, max(abs(pose.turn) for pose in way.poses) > 0.1
    ('goes', True)
    """
    shape = checked_ring("piece", shape)
    rings = tuple(checked_ring("barrier", ring) for ring in barriers)
    if not all(map(math.isfinite, (start.x, start.y, start.turn, goal.x, goal.y, goal.turn, clearance))):
        raise BadInput(f"way: expected finite poses and clearance, got {start}, {goal}, {clearance}")
    if within is None:
        everything = np.concatenate([start.of(shape), goal.of(shape), *rings])
        (left, bottom), (right, top) = everything.min(axis=0), everything.max(axis=0)
        within = (float(left), float(bottom), float(right), float(top))
    search = _Search(Moving.of(shape, rings, within, clearance), start, goal, turns)
    verdict, nodes = search.decide(finest)
    if verdict != "goes":
        return Passing(verdict, None, view, shape, (start,), 0, rings)
    poses = tuple(search.poses(nodes))
    gaps = [_gap(shape, rings, pose) for pose in poses]
    at = int(np.argmin(gaps))
    return Passing(verdict, _least_gap(shape, rings, poses), view, shape, poses, at, rings)


class _Search:
    """The ranges of one search, and how their parts join."""

    def __init__(self, moving: Moving, start: Pose, goal: Pose, turns: tuple[float, float] | None) -> None:
        self.moving = moving
        self.ends = (start, goal)
        self.round = turns is None
        low, high = turns if turns is not None else (start.turn, start.turn + 2 * math.pi)
        there = (
            goal.turn if turns is not None else start.turn + math.fmod(goal.turn - start.turn, 2 * math.pi)
        )
        there += 2 * math.pi if self.round and there < start.turn else 0.0
        # All the way round is where it began, rounding or not.
        there = start.turn if self.round and high - there < SAME_TURN else there
        if not (low <= start.turn <= high and low <= there <= high):
            raise BadInput(
                f"turns: expected a range that holds both poses', {start.turn:g} and {goal.turn:g}, "
                f"got {low:g} to {high:g} radians"
            )
        self.ranges: list[_Range] = []
        marks = sorted({low, start.turn, there, high})
        for a, b in pairwise(marks):
            if a in (start.turn, there):
                self.ranges.append(_Range(a, 0.0))
            count = max(1, math.ceil((b - a) / COARSEST))
            width = (b - a) / count
            self.ranges += [_Range(a + (i + 0.5) * width, width / 2) for i in range(count)]
        if not self.round and high in (start.turn, there):
            self.ranges.append(_Range(high, 0.0))
        if len(marks) == 1:
            self.ranges.append(_Range(low, 0.0))
        self.turn_of = (start.turn, there)
        self.links: dict[tuple[int, int, bool], list[tuple[int, int]]] = {}

    def decide(self, finest: float) -> tuple[Verdict, list[Node]]:
        """Halve ranges until there is a way, or none, or they are as fine as asked."""
        while True:
            possible, _ = self._path(False, self._node(0, False))
            if not possible:
                return "does not go", []
            sure, reached = self._path(True, self._node(0, True))
            if sure:
                return "goes", sure
            _, back = self._path(True, self._node(1, True), from_goal=True)
            covered = {node[0] for node in reached | back}
            on_way = {node[0] for node in possible}
            wide = {i for i in on_way if self.ranges[i].half > finest / 2}
            halved = (wide - covered) or {
                j for i in wide for j in (i - 1, i, i + 1) if 0 <= j < len(self.ranges)
            }
            halved = {i for i in halved if self.ranges[i].half > finest / 2}
            if not halved or len(self.ranges) > MOST:
                return "too tight to call", []
            self._halve(halved)

    def poses(self, nodes: list[Node]) -> Iterator[Pose]:
        """Give the poses of a way through surely free parts: it turns on the spot, and slides in between."""
        start, goal = self.ends
        place = _moved(start, self.moving.middle)
        yield start
        before = start.turn
        for (i, part), after in zip(nodes, [*nodes[1:], None], strict=True):
            turn = _nearest(self.ranges[i].turn, before)
            shape = self.ranges[i].free(self.moving, True)[part]
            # Its origin goes round on an arc while it turns on the spot: enough poses that a chord will do.
            arc = float(np.hypot(*self.moving.middle)) * (turn - before) ** 2 / 8
            count = 1 + int(math.sqrt(arc / CHORD))
            for share in range(1, count + 1):
                yield self._pose(place, before + (turn - before) * share / count)
            before = turn
            if after is None:
                last = _moved(goal, self.moving.middle)
            else:
                last = _place_to_turn(shape, self.ranges[after[0]].free(self.moving, True)[after[1]], place)
            for stop in _slide(shape, place, last):
                yield self._pose(stop, turn)
            place = last
        yield replace(goal, turn=_nearest(goal.turn, before))

    def _pose(self, place: Point, turn: float) -> Pose:
        x, y = np.array([place.x, place.y]) - turned(self.moving.middle[None], turn)[0]
        return Pose(float(x), float(y), turn)

    def _node(self, end: int, surely: bool) -> Node | None:
        """Find the part that the start (0) or the goal (1) lies in, at its very turn."""
        pose = self.ends[end]
        turn = self.turn_of[end]
        (i,) = (i for i, there in enumerate(self.ranges) if there.half == 0 and there.turn == turn)
        place = _moved(pose, self.moving.middle)
        parts = self.ranges[i].free(self.moving, surely)
        for part, shape in enumerate(parts):
            # A pose on the border of what it stays in is within.
            if shape.distance(place) <= 1e-6:
                return i, part
        return None

    def _path(
        self, surely: bool, start: Node | None, from_goal: bool = False
    ) -> tuple[list[Node], set[Node]]:
        """Search breadth first; give the way to the other end (empty: none), and what is reached."""
        goal = self._node(0 if from_goal else 1, surely)
        if start is None:
            return [], set()
        before: dict[Node, Node | None] = {start: None}
        line = deque([start])
        while line:
            node = line.popleft()
            if node == goal:
                way: list[Node] = []
                step: Node | None = node
                while step is not None:
                    way.append(step)
                    step = before[step]
                return way[::-1], set(before)
            for near in self._near(node, surely):
                if near not in before:
                    before[near] = node
                    line.append(near)
        return [], set(before)

    def _near(self, node: Node, surely: bool) -> Iterator[Node]:
        i, part = node
        last = len(self.ranges) - 1
        before = i - 1 if i > 0 else (last if self.round and last > 0 else None)
        after = i + 1 if i < last else (0 if self.round and last > 0 else None)
        if before is not None:
            yield from ((before, a) for a, b in self._joined(before, i, surely) if b == part)
        if after is not None:
            yield from ((after, b) for a, b in self._joined(i, after, surely) if a == part)

    def _joined(self, i: int, j: int, surely: bool) -> list[tuple[int, int]]:
        """List which parts of two ranges side by side share a place."""
        first, second = self.ranges[i], self.ranges[j]
        key = (id(first), id(second), surely)
        if key not in self.links:
            ours, theirs = first.free(self.moving, surely), second.free(self.moving, surely)
            pairs = [(a, b) for a in range(len(ours)) for b in range(len(theirs))]
            if surely:
                shared = [p for p in pairs if ours[p[0]].intersection(theirs[p[1]]).area > SHARED]
            else:
                shared = [p for p in pairs if ours[p[0]].distance(theirs[p[1]]) <= 1e-9]
            self.links[key] = shared
        return self.links[key]

    def _halve(self, which: set[int]) -> None:
        finer: list[_Range] = []
        for i, there in enumerate(self.ranges):
            if i in which:
                half = there.half / 2
                finer += [_Range(there.turn - half, half), _Range(there.turn + half, half)]
            else:
                finer.append(there)
        self.ranges = finer
        kept = {id(there) for there in finer}
        self.links = {key: found for key, found in self.links.items() if key[0] in kept and key[1] in kept}


def _nearest(turn: float, to: float) -> float:
    """Give a turn, whole turns more or less, nearest to another one."""
    return turn + 2 * math.pi * round((to - turn) / (2 * math.pi))


def _moved(pose: Pose, middle: FloatArray) -> Point:
    """Give where the middle of a piece is in a pose."""
    return Point(pose.of(middle[None])[0])


def _place_to_turn(ours: Polygon, theirs: Polygon, place: Point) -> Point:
    """Give a place in both parts, near to where the piece is, and off their borders if it can be."""
    shared = ours.intersection(theirs)
    for inset in INSETS:
        inner = shared.buffer(-inset) if inset else shared
        if not inner.is_empty:
            return place if inner.contains(place) else nearest_points(inner, place)[0]
    raise AssertionError("parts that join share a place")


def _slide(shape: Polygon, start: Point, end: Point) -> list[Point]:
    """Give places from one to another within a part: straight if it can be, else from strip to strip."""
    # 1e-6 mm: a place on the border of a part may come out as outside of it.
    if start.distance(end) == 0 or shape.buffer(1e-6).covers(LineString([start, end])):
        return [end]
    pieces = convex_pieces(shape)
    first, last = (int(np.argmin([piece.distance(at) for piece in pieces])) for at in (start, end))
    before: dict[int, int | None] = {first: None}
    doors: dict[tuple[int, int], Point] = {}
    line = deque([first])
    while line and last not in before:
        i = line.popleft()
        for j, piece in enumerate(pieces):
            if j not in before and pieces[i].distance(piece) <= 2 * SEAM:
                door = pieces[i].buffer(SEAM).intersection(piece.buffer(SEAM))
                # Strips that share a corner only would be left and entered through a point.
                if door.area > DOOR:
                    before[j] = i
                    doors[i, j] = door.centroid
                    line.append(j)
    chain = [last]
    while (previous := before[chain[-1]]) is not None:
        chain.append(previous)
    chain.reverse()
    return [*(doors[i, j] for i, j in pairwise(chain)), end]


def _gap(shape: FloatArray, rings: tuple[FloatArray, ...], pose: Pose) -> float:
    there = Polygon(pose.of(shape))
    return float(min((there.distance(Polygon(ring)) for ring in rings), default=math.inf))


def _least_gap(shape: FloatArray, rings: tuple[FloatArray, ...], poses: tuple[Pose, ...]) -> float | None:
    """Give the least distance to a barrier on a way (mm), at its poses and half way between them."""
    if not rings:
        return None
    halves = [Pose((a.x + b.x) / 2, (a.y + b.y) / 2, (a.turn + b.turn) / 2) for a, b in pairwise(poses)]
    return min(_gap(shape, rings, pose) for pose in (*poses, *halves))

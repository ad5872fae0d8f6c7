"""Put a cut outline, or a blank to be scribed, into the place as it really is.

A piece's frame has x right and y back, its datum anywhere. A clearance is from a point of its edge to the
true surface, square to the wall, positive when there is room.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from simulated.fitter import rest
from simulated.laws import FloatArray
from simulated.program import most
from simulated.site import Site, Wall

SHAVING_MM = -0.05
"""What a pass of sandpaper takes: so much too tight still goes in."""
EDGE_STEP_MM = 5.0
GRID_MM = 2.0
BEYOND_MM = 60.0
"""How far beyond its ends a wall is looked up, for points that stick through its neighbour."""
CORNER_MM = 30.0
LOOSE_MM = 50.0
"""A clearance of more is not looked for: the piece can be taken away from its walls."""
ROUNDS = 8
SETTLED_MM = 2e-4
MOST_TURN = math.radians(3.0)


@dataclass(frozen=True)
class Pose:
    """Where a piece lies: turned about its datum, then its datum moved to (x, y)."""

    x: float
    y: float
    turn: float

    def place(self, points: ArrayLike) -> FloatArray:
        """Return points (n, 2) of the piece in the room's plan."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        return np.asarray(points, float) @ np.array([[c, s], [-s, c]]) + np.array([self.x, self.y])


@dataclass(frozen=True)
class Installed:
    """How a cut piece went in.

    Attributes
    ----------
    goes_in
        Whether it can lie with no clearance below `SHAVING_MM`.
    clearance
        The least clearance where it lies loosest, in mm; at most `LOOSE_MM`.
    loosest
        The pose that makes the least clearance greatest.
    greatest_gap
        The greatest gap along its edges where it lies best: the least that any pose has that is nowhere
        tighter than a shaving (or than `clearance`, if it does not go in). So it fits within a limit exactly
        if it goes in and this is no more than the limit.
    best
        That pose.
    greatest_gap_away
        The same outside the last `CORNER_MM` of corners, in the pose that is best for that.
    gap_of
        By wall, the greatest gap in the pose `best`.
    """

    goes_in: bool
    clearance: float
    loosest: Pose
    greatest_gap: float
    best: Pose
    greatest_gap_away: float
    gap_of: dict[str, float]

    def within(self, limit: float) -> bool:
        """Whether it goes in with all gaps no more than this."""
        return self.goes_in and self.greatest_gap <= limit


def install(
    outline: ArrayLike, site: Site, up: float, walls: Mapping[str, ArrayLike] | None = None
) -> Installed:
    """Find where a cut piece lies best, free to shift and turn.

    Parameters
    ----------
    outline
        Corners (n, 2) of the cut polygon, either way round, not closed.
    up
        Height of its edge.
    walls
        By wall, the line (k, 2) of the outline along it; if not given, each side of the outline counts to
        the wall that it faces within 45 degrees, and fronts to none.
    """
    edges = _edges(outline, site, up, walls)
    loosest = _settle(edges, _start(edges, site), _loosest)
    clearance = min(float(edges.gaps(loosest).min()), LOOSE_MM)
    floor = min(SHAVING_MM, clearance - 1e-3)
    best = _settle(edges, loosest, _closest, floor)
    away = _settle(edges, best, _closest, floor, edges.away)
    gaps = edges.gaps(best)
    gap_of = {name: float(gaps[edges.wall == k].max()) for k, name in enumerate(edges.names)}
    gap_away = float(edges.gaps(away)[edges.away].max())
    goes_in = clearance >= SHAVING_MM
    return Installed(goes_in, clearance, loosest, float(gaps.max()), best, gap_away, gap_of)


# The edges of a piece against the walls


@dataclass(frozen=True, eq=False)
class Lookup:
    """A wall's line at a height, every `GRID_MM`."""

    wall: Wall
    extent: tuple[float, float]
    start: float
    depth: FloatArray

    @classmethod
    def of(cls, site: Site, name: str, up: float) -> Lookup:
        wall = site.walls[name]
        start, end = -BEYOND_MM, wall.length + BEYOND_MM
        count = math.ceil((end - start) / GRID_MM) + 1
        return cls(wall, site.extent(name, up), start, wall.depths((start, up), (GRID_MM, 0.0), count))

    def at(self, along: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return how deep the surface stands at places along it, and its slope there."""
        where = np.clip((along - self.start) / GRID_MM, 0.0, self.depth.size - 1.000001)
        left = where.astype(int)
        rise = self.depth[left + 1] - self.depth[left]
        return self.depth[left] + (where - left) * rise, rise / GRID_MM


@dataclass(frozen=True, eq=False)
class Edges:
    """Points (n, 2) of a piece's edges; `wall` is the number of each one's wall, `away` from corners."""

    names: tuple[str, ...]
    lookups: tuple[Lookup, ...]
    points: FloatArray
    wall: NDArray[np.intp]
    away: NDArray[np.bool_]

    def gaps(self, pose: Pose) -> FloatArray:
        return self.gaps_and_rows(pose)[0]

    def gaps_and_rows(self, pose: Pose) -> tuple[FloatArray, FloatArray]:
        """Return clearances (n,) and what they change by (n, 3) per mm right, mm back, radian."""
        placed = pose.place(self.points)
        turned = (placed - np.array([pose.x, pose.y])) @ np.array([[0.0, 1.0], [-1.0, 0.0]])
        gaps, rows = np.empty(len(placed)), np.empty((len(placed), 3))
        for k, lookup in enumerate(self.lookups):
            of = self.wall == k
            along, out = lookup.wall.flat_place(placed[of])
            depth, slope = lookup.at(along)
            gaps[of] = out - depth
            rows[of, :2] = lookup.wall.inward - slope[:, None] * lookup.wall.along
            rows[of, 2] = (rows[of, :2] * turned[of]).sum(axis=1)
        return gaps, rows


def _edges(outline: ArrayLike, site: Site, up: float, walls: Mapping[str, ArrayLike] | None) -> Edges:
    lines = _sides(outline, site) if walls is None else {k: [np.asarray(v, float)] for k, v in walls.items()}
    names = tuple(name for name in site.walls if name in lines)
    if not names:
        raise ValueError(
            "expected an outline with a side along a wall, got none: turn it with its back to +y"
        )
    lookups = tuple(Lookup.of(site, name, up) for name in names)
    points, numbers, away = [], [], []
    for k, (name, lookup) in enumerate(zip(names, lookups, strict=True)):
        edge = np.concatenate([_every(line) for line in lines[name]])
        along = edge @ lookup.wall.along
        keep = np.ones(along.size, bool)
        for end, inner in zip(lookup.wall.ends, (along - along.min(), along.max() - along), strict=True):
            keep &= (inner >= CORNER_MM) | (end is None)
        points.append(edge)
        numbers.append(np.full(len(edge), k))
        away.append(keep)
    return Edges(names, lookups, np.concatenate(points), np.concatenate(numbers), np.concatenate(away))


def _sides(outline: ArrayLike, site: Site) -> dict[str, list[FloatArray]]:
    ring = np.asarray(outline, float)
    if ring.ndim != 2 or ring.shape[1] != 2 or len(ring) < 3 or not np.isfinite(ring).all():
        raise ValueError(f"expected an outline of 3 or more corners (x, y), got an array of {ring.shape}")
    following = np.roll(ring, -1, axis=0)
    area = float((ring[:, 0] * following[:, 1] - following[:, 0] * ring[:, 1]).sum())
    sides: dict[str, list[FloatArray]] = {}
    for a, b in zip(ring, following, strict=True):
        x, y = (b - a) * math.copysign(1.0, area)
        length = math.hypot(x, y)
        if length < 1e-9:
            continue
        outward = np.array([y, -x]) / length
        faces = {name: -float(outward @ wall.inward) for name, wall in site.walls.items()}
        name = max(faces, key=faces.__getitem__)
        if faces[name] > math.cos(math.pi / 4):
            sides.setdefault(name, []).append(np.array([a, b]))
    return sides


def _every(line: FloatArray) -> FloatArray:
    """Return a line's vertices and points between them, at most `EDGE_STEP_MM` apart."""
    pieces = [line[:1]]
    for a, b in zip(line[:-1], line[1:], strict=True):
        count = max(1, math.ceil(float(np.hypot(*(b - a))) / EDGE_STEP_MM))
        pieces.append(a + np.linspace(0.0, 1.0, count + 1)[1:, None] * (b - a))
    return np.concatenate(pieces)


# Poses


def _start(edges: Edges, site: Site) -> Pose:
    """Put the piece's back edge to the back wall's plane, and its sides alike far from theirs."""
    x = y = 0.0
    for k, name in enumerate(edges.names):
        if name == "back":
            y = float(-edges.points[edges.wall == k, 1].max())
    sides = [
        float(np.median(edges.lookups[k].wall.flat_place(edges.points[edges.wall == k] + [0.0, y])[1]))
        for k, name in enumerate(edges.names)
        if name != "back"
    ]
    if len(sides) == 2:
        x = (sides[1] - sides[0]) / 2
    elif sides:
        x = -sides[0] if "left" in edges.names else sides[0]
    return Pose(x, y, 0.0)


Step = Callable[[FloatArray, FloatArray, FloatArray, float, NDArray[np.bool_]], FloatArray]
"""From gaps, their rows, the box, the floor and which gaps count: a change of (x, y, turn)."""

UP = np.array([0.0, 0.0, 0.0, 1.0])


def _loosest(
    gaps: FloatArray, rows: FloatArray, box: FloatArray, floor: float, which: NDArray[np.bool_]
) -> FloatArray:
    """Make the least clearance greatest."""
    A = np.column_stack([-rows, np.ones(gaps.size)])
    limits = np.append(gaps, LOOSE_MM)
    A = np.vstack([A, UP])
    x = most(UP, A, limits, np.append(box, 500.0))
    return x[:3]


def _closest(
    gaps: FloatArray, rows: FloatArray, box: FloatArray, floor: float, which: NDArray[np.bool_]
) -> FloatArray:
    """Make the greatest gap of some least, with none of all below the floor."""
    A = np.vstack([
        np.column_stack([-rows, np.zeros(gaps.size)]),
        np.column_stack([rows[which], np.ones(int(which.sum()))]),
    ])  # fmt: skip
    limits = np.concatenate([gaps - floor, -gaps[which]])
    x = most(UP, A, limits, np.append(box, 500.0))
    return x[:3]


def _worth(step: object, gaps: FloatArray, floor: float, which: NDArray[np.bool_]) -> float:
    """What a step makes greatest; what is short of the floor costs a hundred times as much."""
    if step is _loosest:
        return min(float(gaps.min()), LOOSE_MM)
    return -float(gaps[which].max()) - 100.0 * max(floor - 1e-4 - float(gaps.min()), 0.0)


REACH_MM = 500.0
"""A turn counts as what it moves at this reach, so that all unknowns are of like size."""


def _settle(
    edges: Edges, pose: Pose, step: Step, floor: float = 0.0, which: NDArray[np.bool_] | None = None
) -> Pose:
    """Make linear programs of the pose's small changes, till none makes it better; keep only what does."""
    which = np.ones(len(edges.points), bool) if which is None else which
    gaps, rows = edges.gaps_and_rows(pose)
    worth, trust = _worth(step, gaps, floor, which), 1.0
    for _ in range(ROUNDS):
        box = trust * np.array([300.0, 300.0, MOST_TURN * REACH_MM])
        try:
            move = step(gaps, rows / [1.0, 1.0, REACH_MM], box, floor, which)
        except ValueError:
            break  # from here no small move keeps the floor: stay
        x, y, turn = move
        nearby = Pose(pose.x + x, pose.y + y, pose.turn + turn / REACH_MM)
        there = edges.gaps_and_rows(nearby)
        if (better := _worth(step, there[0], floor, which)) > worth:
            gained, worth, pose, (gaps, rows) = better - worth, better, nearby, there
            if gained < SETTLED_MM:
                break
        else:
            trust = min(trust / 4.0, float(np.abs(move / box).max()) * trust / 2.0)
            if trust * 300.0 < SETTLED_MM:
                break
    return pose


# A blank that is scribed


@dataclass(frozen=True)
class Scribed:
    """One scribed edge of a blank, in mm.

    `left_over` is the least depth that is planed anywhere on the edge, negative where the wood falls short;
    `most_planed` the greatest; `needed` the allowance that would just have been enough.
    """

    covers: bool
    needed: float
    left_over: float
    most_planed: float


def scribe(
    blank: ArrayLike,
    site: Site,
    up: float,
    allowances: Mapping[str, float],
    walls: Mapping[str, ArrayLike] | None = None,
) -> dict[str, Scribed]:
    """Scribe a blank as it is done by rule: pushed back, then to the side, then its allowances planed off.

    The back edge is pushed till it rests on the back wall; the piece is slid along it to the left wall (to
    the right one where there is no left edge) till it touches. Then it goes on by its allowances, as if the
    walls were not there: what sticks into them is planed off.

    Parameters
    ----------
    blank
        Corners (n, 2) of the blank, with wood left over on the edges in `allowances`.
    allowances
        By wall, how many mm were left over; a wall that is not named got none.
    walls
        As for `install`.

    Returns
    -------
    dict
        By wall. Only the part of an edge that meets its wall, from corner to corner, counts.
    """
    edges = _edges(blank, site, up, walls)
    if "back" not in edges.names:
        raise ValueError(f"expected a blank with a back edge, got edges on {', '.join(edges.names)}")
    side = next((name for name in ("left", "right") if name in edges.names), None)
    pose = _start(edges, site)
    for _ in range(PUSHES):
        if side is not None:
            pose = _slid(edges, pose, edges.names.index(side), -1.0 if side == "left" else 1.0)
        pose = _leaned_back(edges, pose)
    if side is not None:
        pose = _slid(edges, pose, edges.names.index(side), -1.0 if side == "left" else 1.0)
    right = 0.0 if side is None else allowances.get(side, 0.0) * (-1.0 if side == "left" else 1.0)
    x, y = Pose(0.0, 0.0, pose.turn).place([[right, allowances.get("back", 0.0)]])[0]
    return _planed(edges, Pose(pose.x + x, pose.y + y, pose.turn), allowances)


PUSHES = 4
"""Back and aside in turn, so often: where it rests depends on how far aside it is."""


def _met(edges: Edges, pose: Pose, k: int) -> tuple[FloatArray, FloatArray]:
    """Return places along wall k, and clearances there, of the points that meet it between its ends."""
    lookup, of = edges.lookups[k], edges.wall == k
    along, _ = lookup.wall.flat_place(pose.place(edges.points[of]))
    on = (along >= lookup.extent[0]) & (along <= lookup.extent[1])
    if not on.any():
        raise ValueError(f"expected a blank that meets wall {lookup.wall.name}, got one that lies beside it")
    return along[on], edges.gaps(pose)[of][on]


def _leaned_back(edges: Edges, pose: Pose) -> Pose:
    k = edges.names.index("back")
    along, gaps = _met(edges, pose, k)
    middle = float(along.min() + along.max()) / 2
    a, b = rest(along, -gaps, middle)
    wall = edges.lookups[k].wall
    pivot = np.array(wall.foot)
    turned = Pose(0.0, 0.0, -b).place([np.array([pose.x, pose.y]) - pivot])[0]
    x, y = pivot + turned + a * wall.inward
    return Pose(float(x), float(y), pose.turn - b)


def _slid(edges: Edges, pose: Pose, k: int, sign: float) -> Pose:
    """Slide the piece along its own x till wall k is touched."""
    for _ in range(3):
        gap = float(_met(edges, pose, k)[1].min())
        toward = Pose(0.0, 0.0, pose.turn).place([[sign, 0.0]])[0]
        far = gap / -float(toward @ edges.lookups[k].wall.inward)
        pose = Pose(float(pose.x + far * toward[0]), float(pose.y + far * toward[1]), pose.turn)
    return pose


def _planed(edges: Edges, pose: Pose, allowances: Mapping[str, float]) -> dict[str, Scribed]:
    scribed = {}
    for k, name in enumerate(edges.names):
        planed = -_met(edges, pose, k)[1]
        least, most_planed = float(planed.min()), float(planed.max())
        scribed[name] = Scribed(least >= SHAVING_MM, allowances.get(name, 0.0) - least, least, most_planed)
    return scribed

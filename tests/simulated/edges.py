"""A piece's outline, cut into points of its edges, and their clearances from the true surfaces."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from simulated.laws import FloatArray
from simulated.site import Site, Wall

EDGE_STEP_MM = 5.0
GRID_MM = 2.0
BEYOND_MM = 60.0
"""How far beyond its ends a wall is looked up, for points that stick through its neighbour."""
CORNER_MM = 30.0


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


@dataclass(frozen=True, eq=False)
class Edges:
    """Points (n, 2) of a piece's edges, against the lines of their walls at a height.

    `wall` is the number of each point's wall, `away` whether it is away from corners. A wall's line is kept
    every `GRID_MM`; all lines stand one behind the other in `depth`, those of wall k from `first[k]` on.
    """

    walls: tuple[Wall, ...]
    extents: tuple[tuple[float, float], ...]
    points: FloatArray
    wall: NDArray[np.intp]
    away: NDArray[np.bool_]
    depth: FloatArray
    first: NDArray[np.intp]

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(wall.name for wall in self.walls)

    @cached_property
    def _of_points(self) -> tuple[FloatArray, ...]:
        """For each point: its wall's direction, normal, foot along both, and its line's first and last."""
        along, inward, foot = (
            np.array([getattr(wall, name) for wall in self.walls])[self.wall]
            for name in ("along", "inward", "foot")
        )
        last = np.append(self.first[1:], self.depth.size) - self.first - 1.000001
        feet = ((foot * along).sum(axis=1), (foot * inward).sum(axis=1))
        return along, inward, *feet, self.first[self.wall], last[self.wall]

    def gaps(self, pose: Pose) -> FloatArray:
        return self.gaps_and_rows(pose)[0]

    def gaps_and_rows(self, pose: Pose) -> tuple[FloatArray, FloatArray]:
        """Return clearances (n,) and what they change by (n, 3) per mm right, mm back, radian."""
        along, inward, foot_along, foot_out, first, last = self._of_points
        placed = pose.place(self.points)
        place = ((placed * along).sum(axis=1) - foot_along + BEYOND_MM) / GRID_MM
        place = np.minimum(np.maximum(place, 0.0), last)
        whole = place.astype(int)
        left = first + whole
        here = self.depth[left]
        rise = self.depth[left + 1] - here
        rows = np.empty((len(placed), 3))
        rows[:, :2] = inward - (rise / GRID_MM)[:, None] * along
        rows[:, 2] = rows[:, 1] * (placed[:, 0] - pose.x) - rows[:, 0] * (placed[:, 1] - pose.y)
        return (placed * inward).sum(axis=1) - foot_out - here - (place - whole) * rise, rows


def edges_of(outline: ArrayLike, site: Site, up: float, walls: Mapping[str, ArrayLike] | None) -> Edges:
    """Lay out the points of an outline's edges; `walls` as for `install`."""
    lines = _sides(outline, site) if walls is None else {k: [np.asarray(v, float)] for k, v in walls.items()}
    names = tuple(name for name in site.walls if name in lines)
    if not names:
        raise ValueError("expected an outline with a side along a wall, got none: turn its back to +y")
    points, numbers, away, depths = [], [], [], []
    for k, name in enumerate(names):
        wall = site.walls[name]
        edge = np.concatenate([_every(line) for line in lines[name]])
        along = edge @ wall.along
        keep = np.ones(along.size, bool)
        for end, inner in zip(wall.ends, (along - along.min(), along.max() - along), strict=True):
            keep &= (inner >= CORNER_MM) | (end is None)
        count = math.ceil((wall.length + 2 * BEYOND_MM) / GRID_MM) + 1
        points.append(edge)
        numbers.append(np.full(len(edge), k))
        away.append(keep)
        depths.append(wall.depths((-BEYOND_MM, up), (GRID_MM, 0.0), count))
    return Edges(
        tuple(site.walls[name] for name in names),
        tuple(site.extent(name, up) for name in names),
        np.concatenate(points),
        np.concatenate(numbers),
        np.concatenate(away),
        np.concatenate(depths),
        np.cumsum([0, *(line.size for line in depths[:-1])]),
    )


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
    for a, b in pairwise(line):
        count = max(1, math.ceil(float(np.hypot(*(b - a))) / EDGE_STEP_MM))
        pieces.append(a + np.linspace(0.0, 1.0, count + 1)[1:, None] * (b - a))
    return np.concatenate(pieces)

"""An alcove or a corner that is known exactly: real surfaces, and where they meet."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from simulated.laws import FLAT, FloatArray, Surface, draw

Age = Literal["old", "new"]

SETTLED_MM = 1e-6
"""A step of tangents so small leaves an error of its square over the surface's radius."""
NEXT = 1e-3
"""mm to the point that gives a surface's slope."""


@dataclass(frozen=True, eq=False)
class Wall:
    """The surface foot + along u + (tilt up + surface(along, up)) n, from the wall's left end.

    `foot` (x, y) is the left end of its plane at z = 0. `heading` is u's angle from x; n = (u_y, -u_x) points
    into the room. `ends` are its inside corners at the left and the right.
    """

    name: str
    heading: float
    foot: tuple[float, float]
    length: float
    tilt: float = 0.0
    surface: Surface = FLAT
    ends: tuple[str | None, str | None] = (None, None)

    @cached_property
    def along(self) -> FloatArray:
        return np.array([math.cos(self.heading), math.sin(self.heading)])

    @cached_property
    def inward(self) -> FloatArray:
        return np.array([math.sin(self.heading), -math.cos(self.heading)])

    def depth(self, along: ArrayLike, up: ArrayLike) -> FloatArray:
        """How far the surface stands into the room from the wall's plane at z = 0."""
        return self.tilt * np.asarray(up, float) + self.surface(along, up)

    def depths(self, start: tuple[float, float], step: tuple[float, float], count: int) -> FloatArray:
        """Return `depth` at places in even steps, quickly; (along, up) each."""
        ups = start[1] + step[1] * np.arange(count)
        return self.tilt * ups + self.surface.line(start, step, count)

    def flat_place(self, points: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Return how far along the wall, and how far out of its plane at z = 0, points (..., 2) are."""
        away = np.asarray(points, float) - np.array(self.foot)
        return away @ self.along, away @ self.inward


@dataclass(frozen=True, eq=False)
class Ground:
    """Floor or ceiling: height + right x + back y + waves."""

    height: float
    right: float = 0.0
    back: float = 0.0
    surface: Surface = FLAT

    def at(self, x: float, y: float) -> float:
        return float(self.height + self.right * x + self.back * y + self.surface(x, y))


@dataclass(frozen=True, eq=False)
class Site:
    """Walls by name, from left to right, and their inside corners: names of (left wall, right wall)."""

    seed: int
    walls: dict[str, Wall]
    corners: dict[str, tuple[str, str]]
    floor: Ground = Ground(0.0)
    ceiling: Ground = Ground(2400.0)
    level_line: float = 1000.0
    law: str = "flat"
    age: Age = "new"
    _met: dict[tuple[str, float], tuple[float, float]] = field(default_factory=dict, repr=False)

    def point(self, wall: str, along: ArrayLike, up: ArrayLike) -> FloatArray:
        """Return points (..., 3) of a wall's surface, `along` from the wall's left end."""
        it = self.walls[wall]
        s, z = np.broadcast_arrays(np.asarray(along, float), np.asarray(up, float))
        plan = np.array(it.foot) + s[..., None] * it.along + it.depth(s, z)[..., None] * it.inward
        return np.concatenate([plan, z[..., None]], axis=-1)

    def corner(self, name: str, up: float) -> FloatArray:
        """Return the point (3,) in which the two real surfaces meet at a height."""
        left, _ = self.corners[name]
        return self.point(left, self._meeting(name, up)[0], up)

    def corner_along(self, wall: str, name: str, up: float) -> float:
        """Return how far along a wall, from its left end, an inside corner of it really is."""
        left, right = self.corners[name]
        if wall not in (left, right):
            raise ValueError(f"expected a wall of corner {name}: {left} or {right}, got {wall}")
        return self._meeting(name, up)[0 if wall == left else 1]

    def _meeting(self, name: str, up: float) -> tuple[float, float]:
        """Let the two surfaces' tangents meet again and again, till nothing moves: both are nearly flat."""
        key = (name, up)
        if key not in self._met:
            left, right = (self.walls[wall] for wall in self.corners[name])
            at = np.array([left.length, 0.0])
            for _ in range(60):
                tangents = [_tangent(wall, float(s), up) for wall, s in zip((left, right), at, strict=True)]
                normals = np.array([normal for normal, _ in tangents])
                meet = np.linalg.solve(normals, [normal @ point for normal, point in tangents])
                before, at = at, np.array([float(wall.flat_place(meet)[0]) for wall in (left, right)])
                if np.abs(at - before).max() < SETTLED_MM:
                    break
            else:
                raise ValueError(f"corner {name} at {up} mm: expected surfaces that meet: draw another site")
            self._met[key] = (float(at[0]), float(at[1]))
        return self._met[key]

    def extent(self, wall: str, up: float) -> tuple[float, float]:
        """Return where a wall's surface really begins and ends along it: at corners, or its open end."""
        it = self.walls[wall]
        left, right = it.ends
        return (
            0.0 if left is None else self.corner_along(wall, left, up),
            it.length if right is None else self.corner_along(wall, right, up),
        )

    def between(self, first: FloatArray, second: FloatArray) -> float:
        """Return how far two points are apart."""
        return float(np.linalg.norm(np.asarray(first) - np.asarray(second)))

    def boundary(self, up: float, step: float = 2.0) -> dict[str, FloatArray]:
        """Return each wall's true line (n, 2) at a height, from end to end, every `step` mm."""
        lines = {}
        for name, wall in self.walls.items():
            start, end = self.extent(name, up)
            count = max(2, math.ceil((end - start) / step) + 1)
            places = np.linspace(start, end, count)
            depth = wall.depths((start, up), ((end - start) / (count - 1), 0.0), count)
            lines[name] = np.array(wall.foot) + np.outer(places, wall.along) + np.outer(depth, wall.inward)
        return lines

    def width(self, out: float, up: float) -> float:
        """Return the distance from side wall to side wall so far out from the real corners, along them."""
        left = self.corner_along("left", "left-back", up) - out
        right = self.corner_along("right", "back-right", up) + out
        return self.between(self.point("left", left, up), self.point("right", right, up))


def _tangent(wall: Wall, along: float, up: float) -> tuple[FloatArray, FloatArray]:
    """Return the normal (2,) of a wall's line at a height, and the point (2,) of it that it is taken in."""
    here, there = wall.depth([along, along + NEXT], up)
    point = np.array(wall.foot) + along * wall.along + here * wall.inward
    return wall.inward - (there - here) / NEXT * wall.along, point


def alcove_site(seed: int, law: str, age: Age | None = None) -> Site:
    """Draw an alcove of three walls: 900 to 2000 wide, sides 620 to 900 deep.

    Half the houses are old, unless `age` says which. Out of square with sd 0.35 degrees in a new house and
    0.35 to 0.7 in an old one; out of plumb with sd 1.3 and 2.6 mm/m. Corners `left-back`, `back-right`.
    """
    return _drawn(seed, law, age, alcove=True)


def corner_site(seed: int, law: str, age: Age | None = None) -> Site:
    """Draw a corner of two walls, `left` and `back`, the back wall open at its right end."""
    return _drawn(seed, law, age, alcove=False)


def plain_site(
    width: float = 1500.0,
    left: float = 800.0,
    right: float | None = 800.0,
    turns: tuple[float, float] = (0.0, 0.0),
    tilts: tuple[float, float, float] = (0.0, 0.0, 0.0),
    surfaces: tuple[Surface, Surface, Surface] = (FLAT, FLAT, FLAT),
    seed: int = 0,
) -> Site:
    """Put up walls as told; with no right wall (None) it is a corner.

    `turns` are how many radians the left and right corner open wider than square; `tilts` (positive: the top
    leans into the room) and `surfaces` are in the order left, back, right.
    """
    alcove = right is not None
    up, down = math.pi / 2 - turns[0], -math.pi / 2 + turns[1]
    foot = (-left * math.cos(up), -left * math.sin(up))
    walls = {
        "left": Wall("left", up, foot, left, tilts[0], surfaces[0], (None, "left-back")),
        "back": Wall(
            "back", 0.0, (0.0, 0.0), width, tilts[1], surfaces[1],
            ("left-back", "back-right" if alcove else None),
        ),
    }  # fmt: skip
    corners = {"left-back": ("left", "back")}
    if right is not None:
        ends = ("back-right", None)
        walls["right"] = Wall("right", down, (width, 0.0), right, tilts[2], surfaces[2], ends)
        corners["back-right"] = ("back", "right")
    return Site(seed, walls, corners)


def _drawn(seed: int, law: str, age: Age | None, alcove: bool) -> Site:
    rng = np.random.default_rng([seed, 1])
    age = age or ("old" if rng.random() < 0.5 else "new")
    square = math.radians(rng.uniform(0.35, 0.7) if age == "old" else 0.35)
    plumb = 0.0026 if age == "old" else 0.0013
    turn_left, turn_right = rng.normal(0.0, square, 2)
    tilts = tuple(rng.normal(0.0, plumb, 3))
    width, left, right = rng.uniform(900.0, 2000.0), *rng.uniform(620.0, 900.0, 2)
    surfaces = (
        draw(law, left, (False, True), rng),
        draw(law, width, (True, alcove), rng),
        draw(law, right, (True, False), rng),
    )
    turns = (float(turn_left), float(turn_right))
    plain = plain_site(width, left, right if alcove else None, turns, tilts, surfaces, seed)  # type: ignore[arg-type]
    floor, ceiling = (
        Ground(height + rng.normal(0.0, 5.0), *rng.normal(0.0, 0.003, 2)) for height in (0.0, 2400.0)
    )
    return Site(seed, plain.walls, plain.corners, floor, ceiling, 1000.0, law, age)

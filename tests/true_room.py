"""A room that is known exactly, and what a perfect tape would read in it.

Nothing here calls `fitting.site`'s geometry: a wall is a real surface in space, corners and rays are found
by root finding on those surfaces, angles by `atan2` of points. Only the plain records (`Corner`, `Plan`,
readings) are shared. Frame: x right, y to the back wall, z up; walls clockwise seen from above; a wall's
normal points into the room; all mm and radians.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from fitting.site import (
    Along,
    Corner,
    CornerTurn,
    Covering,
    Distance,
    Feature,
    Gaps,
    Height,
    Known,
    Leaning,
    Level,
    Plan,
    Spot,
    Touch,
)
from fitting.site.scene import (
    height_of,
    lean_of,
    offset_of,
    place_of,
    plane_of,
    thickness_of,
    tilt_of,
    turn_of,
)

FloatArray = NDArray[np.float64]
Bump = Callable[[float, float], float]
Reading = Distance | CornerTurn | Gaps | Leaning | Level | Along | Height | Touch | Known
R = TypeVar("R", Distance, CornerTurn, Gaps, Leaning, Level, Along, Height, Touch, Known)


SCRATCH = 1.3
"""mm by which a spot that is not sure was put too far from where it was measured from."""


def flat(_along: float, _up: float) -> float:
    return 0.0


@dataclass(frozen=True)
class TrueWall:
    """The surface s u + (offset + tilt z + bump(s, z)) n, s counted from the foot of the origin."""

    name: str
    heading: float
    offset: float
    tilt: float = 0.0
    bump: Bump = flat

    @property
    def along(self) -> FloatArray:
        return np.array([math.cos(self.heading), math.sin(self.heading)])

    @property
    def inward(self) -> FloatArray:
        return np.array([math.sin(self.heading), -math.cos(self.heading)])

    @classmethod
    def between(cls, name: str, start: Sequence[float], end: Sequence[float]) -> TrueWall:
        heading = math.atan2(end[1] - start[1], end[0] - start[0])
        return cls(name, heading, math.sin(heading) * start[0] - math.cos(heading) * start[1])


@dataclass(frozen=True)
class Mark:
    """`along` its wall at z = 0, from the foot of the origin; `lean` mm along per mm up."""

    wall: str
    along: float
    lean: float = 0.0
    height: float = 0.0


@dataclass(frozen=True)
class Ground:
    """Floor or ceiling: height + right x + back y + bump(x, y)."""

    height: float
    right: float = 0.0
    back: float = 0.0
    bump: Bump = flat

    def at(self, x: float, y: float) -> float:
        return self.height + self.right * x + self.back * y + self.bump(x, y)


@dataclass(frozen=True)
class TrueRoom:
    """A room as it is; `corners` carry the angles that were meant."""

    back: str
    walls: tuple[TrueWall, ...]
    corners: tuple[Corner, ...] = ()
    coverings: tuple[Covering, ...] = ()
    marks: dict[str, Mark] = field(default_factory=dict)
    grounds: dict[str, Ground] = field(default_factory=dict)
    origin: str | None = None
    line: tuple[float, float] = (14.0, 0.004)  # of every straightedge: offset at its middle, turn
    pose: tuple[float, float, float] = (310.0, -420.0, 0.03)  # of every template: x, y, turn
    cross: tuple[float, float, float, float] = (640.0, -380.0, 0.012, 0.0007)  # x, y, turn, out of square
    tool: tuple[float, float] = (0.6, 0.0008)  # every tool's zero and scale
    scratch: float = SCRATCH  # how far too far spots were put that are not in `scratches`
    scratches: dict[str, float] = field(default_factory=dict)

    def plan(self) -> Plan:
        names = tuple(wall.name for wall in self.walls)
        features = tuple(Feature(name, mark.wall, mark.lean != 0.0) for name, mark in self.marks.items())
        return Plan(
            self.back, names, self.corners, self.coverings, features, self.origin, self._paced_lengths()
        )

    def _paced_lengths(self) -> dict[str, float]:
        """Lengths of walls to the next 250 mm, as by pacing: a start, or a corner may come out reversed."""
        lengths = {}
        for wall in self.walls:
            ends = [c.name for c in self.corners if wall.name in (c.left, c.right)]
            if len(ends) == 2:
                a, b = (self.corner(name, 0.0, False) for name in ends)
                lengths[wall.name] = 250.0 * max(1, round(float(np.linalg.norm(b - a)) / 250.0))
        return lengths

    def wall(self, name: str) -> TrueWall:
        return next(wall for wall in self.walls if wall.name == name)

    def corner_named(self, name: str) -> Corner | None:
        return next((corner for corner in self.corners if corner.name == name), None)

    def changed(self, wall: str, **changes: object) -> TrueRoom:
        walls = (replace(one, **changes) if one.name == wall else one for one in self.walls)  # type: ignore[arg-type]
        return replace(self, walls=tuple(walls))

    def planes(self) -> TrueRoom:
        """The same room without unevenness."""
        walls = tuple(replace(wall, bump=flat) for wall in self.walls)
        grounds = {name: replace(ground, bump=flat) for name, ground in self.grounds.items()}
        return replace(self, walls=walls, grounds=grounds)

    # Surfaces

    def depth(self, wall: str, along: float, up: float, finished: bool = True) -> float:
        """How far the surface stands along the wall's normal from the origin."""
        it = self.wall(wall)
        return it.offset + it.tilt * up + it.bump(along, up) + finished * self.covered(wall, along, up)

    def covered(self, wall: str, along: float, up: float) -> float:
        thickness = 0.0
        for covering in self.coverings:
            if covering.wall == wall and covering.bottom <= up <= covering.top:
                left = self._left_end(wall) if math.isfinite(covering.start + covering.end) else 0.0
                if covering.start <= along - left <= covering.end:
                    thickness += covering.thickness
        return thickness

    def _left_end(self, wall: str) -> float:
        """By planes at z = 0, as `Covering` counts."""
        other = next(corner.left for corner in self.corners if corner.right == wall)
        a, b = self.wall(other), self.wall(wall)
        meet = np.linalg.solve(np.array([a.inward, b.inward]), [a.offset, b.offset])
        return float(b.along @ meet)

    def point(self, wall: str, along: float, up: float, finished: bool = True) -> FloatArray:
        it = self.wall(wall)
        x, y = along * it.along + self.depth(wall, along, up, finished) * it.inward
        return np.array([x, y, up])

    def corner(self, name: str, up: float, finished: bool = True) -> FloatArray:
        """Walk along the left wall's surface to where it pierces the right one's."""
        corner = self.corner_named(name)
        assert corner is not None
        left, right = self.wall(corner.left), self.wall(corner.right)
        meet = np.linalg.solve(np.array([left.inward, right.inward]), [left.offset, right.offset])

        def outside(along: float) -> float:
            p = self.point(left.name, along, up, finished)[:2]
            return float(right.inward @ p) - self.depth(right.name, float(right.along @ p), up, finished)

        guess = float(left.along @ meet)
        along = brentq(outside, guess - 200.0, guess + 200.0, xtol=1e-11, rtol=1e-15)
        return self.point(left.name, along, up, finished)

    def ray(self, wall: str, x: float, y: float, dx: float, dy: float, up: float) -> float:
        """How far it is from (x, y) along (dx, dy) to the finished surface."""
        it, start, step = self.wall(wall), np.array([x, y]), np.array([dx, dy])

        def outside(reach: float) -> float:
            p = start + reach * step
            return float(it.inward @ p) - self.depth(wall, float(it.along @ p), up)

        guess = (it.offset - float(it.inward @ start)) / float(it.inward @ step)
        return float(brentq(outside, guess - 300.0, guess + 300.0, xtol=1e-11, rtol=1e-15))

    def place(self, name: str, up: float, finished: bool = True) -> FloatArray:
        """Where a corner or mark is in space."""
        if name in self.marks:
            mark = self.marks[name]
            return self.point(mark.wall, mark.along + mark.lean * up, up, finished)
        return self.corner(name, up, finished)

    def place_along(self, wall: str, name: str, up: float, finished: bool = True) -> float:
        """How far along a wall a corner or mark of it is."""
        mark = self.marks.get(name)
        if mark is not None and mark.wall == wall:
            return mark.along + mark.lean * up
        return float(self.wall(wall).along @ self.corner(name, up, finished)[:2])

    def rightward(self, wall: str, start: str) -> float:
        """+1 where one measures to the right from `start`, -1 from the corner at the right end."""
        corner = self.corner_named(start)
        return -1.0 if corner is not None and corner.left == wall else 1.0

    def end(self, end: Spot | str, up: float, finished: bool) -> FloatArray:
        if isinstance(end, str):
            return self.place(end, up, finished)
        start = self.place_along(end.wall, end.start, up, finished)
        out = end.out + (end.sd > 0) * self.scratches.get(end.scratch(up), self.scratch)
        return self.point(end.wall, start + self.rightward(end.wall, end.start) * out, up, finished)

    # Readings

    def exact(self, reading: R) -> R:
        """Return the reading as a perfect hand would have read it here."""
        numbers = self.numbers(reading)
        if isinstance(reading, Gaps):
            return replace(reading, read=numbers)
        if isinstance(reading, Touch):
            return replace(reading, points=self.template(reading))
        return replace(reading, value=numbers[0])

    def numbers(self, reading: Reading) -> tuple[float, ...]:
        match reading:
            case Distance():
                a = self.end(reading.first, reading.first_up, reading.finished)
                b = self.end(reading.second, reading.second_up, reading.finished)
                return (self.taped(reading, float(np.linalg.norm(b - a))),)
            case Known():
                return (self.taped(reading, reading.length),)
            case CornerTurn():
                return (self.turn(reading.corner, reading.left_reach, reading.right_reach, reading.up),)
            case Gaps():
                return self.gaps(reading)
            case Leaning():
                middle = (reading.low + reading.high) / 2
                start = self.place_along(reading.wall, reading.start, middle)
                at = start + self.rightward(reading.wall, reading.start) * reading.along
                high, low = (self.depth(reading.wall, at, up, False) for up in (reading.high, reading.low))
                return (high - low,)
            case Level():
                start = self.place_along(reading.wall, reading.start, 0.0)
                at = start + self.rightward(reading.wall, reading.start) * reading.along
                foot = self.point(reading.wall, at, 0.0)[:2] + reading.out * self.wall(reading.wall).inward
                return (self.grounds[reading.surface].at(*foot),)
            case Along():
                mark = self.marks[reading.feature]
                start = self.place_along(mark.wall, reading.start, reading.up, reading.finished)
                there = mark.along + mark.lean * reading.up
                return (self.taped(reading, self.rightward(mark.wall, reading.start) * (there - start)),)
            case Height():
                return (self.taped(reading, self.marks[reading.feature].height),)
            case Touch():
                return self.standing_out(reading)

    def turn(self, name: str, left_reach: float, right_reach: float, up: float) -> float:
        """The room-side angle between the two chords of the bare walls, less the one meant."""
        corner = self.corner_named(name)
        assert corner is not None
        tip = self.corner(name, up, False)[:2]
        angles = []
        for wall, reach in ((corner.left, -left_reach), (corner.right, right_reach)):
            at = float(self.wall(wall).along @ tip)
            ray = self.point(wall, at + reach, up, False)[:2] - tip
            angles.append(math.atan2(ray[1], ray[0]))
        return (angles[1] - angles[0]) % (2 * math.pi) - corner.angle

    def taped(self, reading: Distance | Along | Height | Known, length: float) -> float:
        if reading.tool is None:
            return length
        zero, scale = self.tool
        return (reading.tool.zero_sd > 0) * zero + (1 + (reading.tool.scale_sd > 0) * scale) * length

    def laser(self, reading: Gaps) -> tuple[float, ...]:
        """Walk from each place of the wall's surface along its normal to the line of the cross."""
        it, (x, y, turn, skew) = self.wall(reading.wall), self.cross
        quarters = round(self.plan().headings[reading.wall] / (math.pi / 2))
        angle = quarters * math.pi / 2 + turn + (skew if quarters % 2 else 0.0)
        line = np.array([math.cos(angle), math.sin(angle)])
        start = self.place_along(reading.wall, reading.start, sum(reading.up) / len(reading.up))
        sign = self.rightward(reading.wall, reading.start)
        found = []
        for along, up in zip(reading.along, reading.up, strict=True):
            surface = self.point(reading.wall, start + sign * along, up, False)[:2]
            reach, _ = np.linalg.solve(np.column_stack([it.inward, -line]), np.array([x, y]) - surface)
            found.append(float(reach))
        return tuple(found)

    def gaps(self, reading: Gaps) -> tuple[float, ...]:
        """Line less surface, along the normal, the line held off the plane as `self.line` says."""
        if reading.cross is not None:
            return self.laser(reading)
        it = self.wall(reading.wall)
        start = self.place_along(reading.wall, reading.start, sum(reading.up) / len(reading.up))
        sign = self.rightward(reading.wall, reading.start)
        plumb = np.ptp(reading.up) > np.ptp(reading.along)
        places = np.array(reading.up if plumb else reading.along)
        offset, turn = self.line
        line = it.offset + it.tilt * np.array(reading.up) + offset + turn * (places - places.mean())
        surface = [
            self.depth(reading.wall, start + sign * a, z, False)
            for a, z in zip(reading.along, reading.up, strict=True)
        ]
        return tuple(float(gap) for gap in line - np.array(surface))

    def template(self, reading: Touch) -> tuple[tuple[float, float], ...]:
        """Move each point toward its wall till it touches, in the template's frame."""
        x0, y0, turn = self.pose
        spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        points = []
        for wall, point in zip(reading.walls, reading.points, strict=True):
            p = np.array([x0, y0]) + spin @ np.array(point)
            out = -self.wall(wall).inward
            touch = p + self.ray(wall, *p, *out, reading.up) * out
            x, y = spin.T @ (touch - np.array([x0, y0]))
            points.append((float(x), float(y)))
        return tuple(points)

    def standing_out(self, reading: Touch) -> tuple[float, ...]:
        """How far each point of the template is off its wall."""
        x0, y0, turn = self.pose
        found = []
        for wall, (px, py) in zip(reading.walls, reading.points, strict=True):
            p = np.array([x0 + math.cos(turn) * px - math.sin(turn) * py,
                          y0 + math.sin(turn) * px + math.cos(turn) * py])  # fmt: skip
            it = self.wall(wall)
            found.append(
                float(it.inward @ p) - self.depth(wall, float(it.along @ p), reading.up, reading.finished)
            )
        return tuple(found)

    # What the unknowns should come to

    def truth(self, names: Sequence[str]) -> FloatArray:
        """Return the state by the names of its unknowns."""
        known = self._true_unknowns()
        offset, turn = self.line
        right, back, swing = self.pose
        for name in names:
            for start, value in (
                ("offset of line", offset), ("turn of line", turn), ("turn of template", swing),
            ):  # fmt: skip
                if name.startswith(start):
                    known[name] = value
            if name.startswith("template"):
                known[name] = right if name.endswith("right") else back
            for start, value in zip(CROSS, self.cross, strict=True):
                if name.startswith(start[0]) and name.endswith(start[1]):
                    known[name] = value
            if name.startswith("scratch"):
                known[name] = self.scratches.get(name, self.scratch)
            for start, value in zip(("zero of", "scale of"), self.tool, strict=True):
                if name.startswith(start):
                    known[name] = value
        return np.array([known[name] for name in names])

    def _true_unknowns(self) -> dict[str, float]:
        plan = self.plan()
        headings, turns = plan.headings, {}
        known = {}
        for wall in self.walls:
            turns[wall.name] = wall.heading - headings[wall.name]
            known[offset_of(wall.name)] = wall.offset
            known[tilt_of(wall.name)] = wall.tilt
        for corner in plan.corners:
            turn = turns[corner.right] - turns[corner.left]
            known[turn_of(corner.name)] = (turn + math.pi) % (2 * math.pi) - math.pi
        for number, covering in enumerate(self.coverings):
            known[thickness_of(number)] = covering.thickness
        for name, mark in self.marks.items():
            known |= {place_of(name): mark.along, lean_of(name): mark.lean, height_of(name): mark.height}
        for name, ground in self.grounds.items():
            known |= dict(zip(plane_of(name), (ground.height, ground.right, ground.back), strict=True))
        return known

    # The same room seen otherwise

    def mirrored(self, about: float) -> TrueRoom:
        """Put x to about - x; walls keep their names, so `left` is now on the right."""
        walls = []
        for wall in reversed(self.walls):
            shift = math.cos(wall.heading) * about
            bump = _reflected(wall.bump, shift)
            # A direction (ux, uy) is mirrored to (-ux, uy) and turned round to run clockwise again.
            offset = wall.offset + math.sin(-wall.heading) * about
            walls.append(replace(wall, heading=-wall.heading, offset=offset, bump=bump))
        corners = tuple(replace(one, left=one.right, right=one.left) for one in reversed(self.corners))
        marks = {
            name: replace(
                mark, along=math.cos(self.wall(mark.wall).heading) * about - mark.along, lean=-mark.lean
            )
            for name, mark in self.marks.items()
        }
        return replace(self, walls=tuple(walls), corners=corners, marks=marks)

    def seen_from(self, back: str, origin: Sequence[float]) -> TrueRoom:
        """Turn and move the frame: `back` is the back wall, and (x, y) of now becomes the origin."""
        turn = self.wall(back).heading
        walls, shifts = [], {}
        for wall in self.walls:
            shift = float(wall.along @ np.array(origin))
            offset = wall.offset - float(wall.inward @ np.array(origin))
            bump = _moved(wall.bump, shift)
            shifts[wall.name] = shift
            walls.append(replace(wall, heading=wall.heading - turn, offset=offset, bump=bump))
        marks = {
            name: replace(mark, along=mark.along - shifts[mark.wall]) for name, mark in self.marks.items()
        }
        return replace(self, back=back, walls=tuple(walls), marks=marks)


CROSS = (
    ("cross", "to the right"),
    ("cross", "to the back"),
    ("turn of cross", ""),
    ("squareness of cross", ""),
)
"""How the names of a cross's unknowns start and end."""


def _reflected(bump: Bump, shift: float) -> Bump:
    return lambda along, up: bump(shift - along, up)


def _moved(bump: Bump, shift: float) -> Bump:
    return lambda along, up: bump(along + shift, up)

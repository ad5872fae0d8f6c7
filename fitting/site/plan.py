"""The room as it is meant: which walls meet at which corners, and what is still to come on them.

The plan frame is right-handed, seen from above: x right along the back wall, y toward it, z up. Walls run
clockwise seen from above, left end to right end facing them; a wall's inward normal is (u_y, -u_x) for
its direction u.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from fitting.errors import BadInput

LEAST_CORNER = math.sin(math.radians(5.0))
"""Walls that meet more flatly have no corner that could be measured."""
LENGTH_IF_UNKNOWN = 1500.0  # mm; only a start for the iteration, which moves it by metres if it must


@dataclass(frozen=True)
class Corner:
    """Where `left` ends and `right` begins; `angle` is the room-side angle meant, in radians."""

    name: str
    left: str
    right: str
    angle: float = math.pi / 2


@dataclass(frozen=True)
class Covering:
    """Layers still to come on a part of a wall: the finished face is `thickness` mm nearer the room.

    Bounds are along the wall from its left end and up from z = 0, in mm; infinite where it does not end.
    """

    wall: str
    thickness: float
    sd: float
    start: float = -math.inf
    end: float = math.inf
    bottom: float = -math.inf
    top: float = math.inf


@dataclass(frozen=True)
class Feature:
    """A point on a wall that readings refer to: a mark, a stud's edge, a casing's near edge.

    `first_guess` only starts the iteration, but two features that start at one place cannot be told
    apart: mm along from the wall's left-hand corner; where it has none, from its right-hand corner
    (negative); without corners, from the foot of the frame's origin.
    """

    name: str
    wall: str
    leans: bool = False
    first_guess: float | None = None


@dataclass(frozen=True)
class Plan:
    """What is in the room, before any reading.

    Raises
    ------
    BadInput
        Walls that do not hang together, corners that contradict one another, names that do not exist.
    """

    back: str
    walls: tuple[str, ...]
    corners: tuple[Corner, ...] = ()
    coverings: tuple[Covering, ...] = ()
    features: tuple[Feature, ...] = ()
    origin: str | None = None
    lengths: dict[str, float] = field(default_factory=dict)
    spacings: dict[str, float] = field(default_factory=dict)  # of studs, by wall, mm, where it is known
    # Set by walking from the back wall: each wall's direction, and the corners (with the sign that a larger
    # room-side angle turns it by) on the way to it.
    headings: dict[str, float] = field(init=False)
    bends: dict[str, tuple[tuple[str, float], ...]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Walk the walls from the back wall, both ways, and give each its direction."""
        self._refuse_names_twice()
        if self.back not in self.walls:
            raise BadInput(f"the back wall `{self.back}` is not among the walls {list(self.walls)}")
        for corner in self.corners:
            for wall in (corner.left, corner.right):
                if wall not in self.walls:
                    raise BadInput(f"corner `{corner.name}` joins wall `{wall}`, which does not exist")
        placed = [(feature.name, feature.wall) for feature in self.features]
        placed += [("a covering", covering.wall) for covering in self.coverings]
        for name, wall in placed:
            if wall not in self.walls:
                raise BadInput(f"`{name}` is on wall `{wall}`, which does not exist")
        self._refuse_numbers_that_are_none()
        self._refuse_two_at_one_end()
        self._refuse_a_second_zero()
        object.__setattr__(self, "headings", self._walk())

    def corner_at(self, wall: str, end: str) -> Corner | None:
        """Return the corner at the `left` or `right` end of a wall, facing it."""
        for corner in self.corners:
            if (corner.right if end == "left" else corner.left) == wall:
                return corner
        return None

    def corner(self, name: str) -> Corner | None:
        """Return the corner of that name, if it is one."""
        return next((corner for corner in self.corners if corner.name == name), None)

    def feature(self, name: str) -> Feature | None:
        """Return the feature of that name, if it is one."""
        return next((feature for feature in self.features if feature.name == name), None)

    @property
    def zero(self) -> str | None:
        """The wall that gives x = 0: at the back wall's left end; else, with no origin, its right end."""
        left = self.corner_at(self.back, "left")
        if left is not None:
            return left.left
        right = self.corner_at(self.back, "right")
        return right.right if right is not None and self.origin is None else None

    def start_offsets(self) -> dict[str, float]:
        """Return a first guess of n · p for each wall, from lengths known or supposed."""
        offsets = {self.back: 0.0}
        for ahead in ("right", "left"):
            wall, x, y = self.back, 0.0, 0.0
            if ahead == "right" and self._next(wall, ahead) != self.zero:
                x = self._length(wall)  # x = 0 is at the left end, or wherever the origin is
            while (following := self._next(wall, ahead)) is not None and following not in offsets:
                heading = self.headings[following]
                offsets[following] = math.sin(heading) * x - math.cos(heading) * y
                step = self._length(following) * (1.0 if ahead == "right" else -1.0)
                x, y = x + math.cos(heading) * step, y + math.sin(heading) * step
                wall = following
        return offsets

    def _length(self, wall: str) -> float:
        return self.lengths.get(wall, LENGTH_IF_UNKNOWN)

    def _next(self, wall: str, ahead: str) -> str | None:
        corner = self.corner_at(wall, ahead)
        if corner is None:
            return None
        return corner.right if ahead == "right" else corner.left

    def _walk(self) -> dict[str, float]:
        headings = {self.back: 0.0}
        self.bends[self.back] = ()
        for ahead, sign in (("right", 1.0), ("left", -1.0)):
            wall = self.back
            while (corner := self.corner_at(wall, ahead)) is not None:
                following = corner.right if ahead == "right" else corner.left
                heading = headings[wall] + sign * (corner.angle - math.pi)
                if following in headings:
                    self._refuse_open_loop(corner, heading, following, headings[following])
                    break
                headings[following] = heading
                self.bends[following] = (*self.bends[wall], (corner.name, sign))
                wall = following
        loose = [wall for wall in self.walls if wall not in headings]
        if loose:
            raise BadInput(
                f"walls {loose} hang on nothing: expected each joined to the back wall "
                f"`{self.back}` through corners; add the corners between"
            )
        return headings

    def _refuse_open_loop(self, corner: Corner, heading: float, wall: str, known: float) -> None:
        turned = heading - known
        if abs(abs(turned) - 2 * math.pi) > math.radians(1.0):
            raise BadInput(
                f"the corners do not close: going round to wall `{wall}` at corner `{corner.name}` "
                f"turns by {math.degrees(abs(turned)):.0f} degrees, expected 360. "
                "Look for an inside corner entered as outside"
            )

    def _refuse_names_twice(self) -> None:
        seen: set[str] = set()
        corners, features = [one.name for one in self.corners], [one.name for one in self.features]
        for name in (*self.walls, *corners, *features):
            if name in seen:
                raise BadInput(f"`{name}` names two things of the room: expected a name of its own for each")
            seen.add(name)

    def _refuse_numbers_that_are_none(self) -> None:
        for corner in self.corners:
            if not (0 < corner.angle < 2 * math.pi and abs(math.sin(corner.angle)) > LEAST_CORNER):
                raise BadInput(
                    f"corner `{corner.name}`: expected an angle between 0 and 360 degrees, no straight "
                    f"line, got {math.degrees(corner.angle):g}"
                )
        for covering in self.coverings:
            if not (math.isfinite(covering.thickness) and 0 < covering.sd < math.inf):
                raise BadInput(
                    f"a covering of wall `{covering.wall}`: expected a finite thickness and an sd above "
                    f"zero, got {covering.thickness} and {covering.sd}"
                )
        for wall, spacing in self.spacings.items():
            if not 100.0 < spacing < math.inf:
                raise BadInput(f"the studs of wall `{wall}`: expected a spacing above 100 mm, got {spacing}")

    def _refuse_a_second_zero(self) -> None:
        if self.origin is None:
            return
        feature = self.feature(self.origin)
        if feature is None or feature.wall != self.back:
            raise BadInput(
                f"the origin `{self.origin}` is no feature of the back wall: expected a mark on `{self.back}`"
            )
        if self.zero is not None:
            raise BadInput(
                f"the origin `{self.origin}` is not wanted: the left wall `{self.zero}` says where x = 0 is"
            )

    def _refuse_two_at_one_end(self) -> None:
        for end in ("left", "right"):
            seen: dict[str, str] = {}
            for corner in self.corners:
                wall = corner.right if end == "left" else corner.left
                if wall in seen:
                    raise BadInput(
                        f"corners `{seen[wall]}` and `{corner.name}` are both at the {end} end of wall "
                        f"`{wall}`, facing it: expected one. Have two walls of a corner swapped?"
                    )
                seen[wall] = corner.name

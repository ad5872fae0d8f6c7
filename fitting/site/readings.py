"""What each kind of reading observes of the room.

Every reading has a `key` (the caller's, returned with its residual), what was read and its standard
deviation `sd`. `observe` returns the quantities that were read, at a scene's state. `finished` says that
the reading was taken to the finished face; otherwise to the face as it stood, coverings still to come.
"""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass, field, fields, replace
from typing import Any, Protocol, TypeVar

from fitting.errors import BadInput
from fitting.site.linear import Linear, Point, combine, distance
from fitting.site.scene import (
    Scene,
    height_of,
    plane_of,
)
from fitting.site.unknowns import OPEN_LENGTH_SD, OPEN_TURN_SD, Unknowns


@dataclass(frozen=True)
class Spot:
    """A place on a wall, `out` mm along it from a corner or mark `start`.

    It was put there by hand: `sd` is how well, in mm along the wall. All tapes to one spot, at one height,
    meet the same scratch.
    """

    wall: str
    out: float
    start: str
    sd: float = 0.0

    def __post_init__(self) -> None:
        """Refuse numbers that are none."""
        if not (math.isfinite(self.out) and 0 <= self.sd < math.inf):
            raise BadInput(
                f"a spot on wall `{self.wall}`: expected a finite distance and an sd of 0 or more, "
                f"got {self.out} and {self.sd}"
            )

    def scratch(self, up: float) -> str:
        """Name the unknown: how far further from `start` than meant it was put."""
        return f"scratch on wall `{self.wall}`, {self.out:g} mm from `{self.start}`, {up:g} mm up"


End = Spot | str
"""Where a tape ends: a spot on a wall, or a corner or feature by its name."""


AnyReading = TypeVar("AnyReading", bound="Observed")


def scaled(reading: AnyReading, factor: float) -> AnyReading:
    """Return a reading that is so many times as unsure: its own deviation, its tool's and its spots'.

    >>> scaled(Distance("r1", 1500.0, 0.5, "a", "b", 800.0, 800.0), 2.0).deviation
    1.0
    """
    changed: dict[str, Any] = {}
    for one in fields(reading):  # type: ignore[arg-type]  # every reading is a dataclass
        name, value = one.name, getattr(reading, one.name)
        if name == "deviation":
            changed[name] = value * factor
        elif name == "sd":
            changed[name] = tuple(one * factor for one in value)
        elif isinstance(value, Tool):
            changed[name] = Tool(value.name, value.zero_sd * factor, value.scale_sd * factor)
        elif isinstance(value, Spot):
            changed[name] = replace(value, sd=value.sd * factor)
    return replace(reading, **changed)  # type: ignore[type-var]


class Observed(Protocol):
    """What the room asks of a reading."""

    @property
    def key(self) -> Hashable:
        """The caller's name for it."""

    @property
    def read(self) -> tuple[float, ...]:
        """What was read."""

    @property
    def sd(self) -> tuple[float, ...]:
        """Standard deviation of each."""

    @property
    def straight(self) -> bool:
        """Whether its derivatives are the same at every state; then it need not be observed at each."""

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add the unknowns that only this reading has."""

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the quantities that were read."""


@dataclass(frozen=True)
class _One:
    """A reading of one number."""

    key: Hashable
    value: float
    deviation: float

    def __post_init__(self) -> None:
        """Refuse numbers that are none."""
        if not (math.isfinite(self.value) and 0 < self.deviation < math.inf):
            raise BadInput(
                f"reading {self.key}: expected a finite value and an sd above zero, "
                f"got {self.value} and {self.deviation}"
            )
        for name, number in vars(self).items():
            if isinstance(number, float) and not math.isfinite(number):
                raise BadInput(f"reading {self.key}: expected a finite `{name}`, got {number}")

    @property
    def read(self) -> tuple[float, ...]:
        return (self.value,)

    @property
    def sd(self) -> tuple[float, ...]:
        return (self.deviation,)

    @property
    def straight(self) -> bool:
        return False

    def unknowns(self, unknowns: Unknowns) -> None:
        return None


@dataclass(frozen=True)
class Tool:
    """What all lengths taken alike have in common: one hook, one printed scale.

    `zero_sd` in mm, `scale_sd` in mm per mm; 0 for none. A tool reads `length (1 + scale) + zero`. Readings
    with tools of one name share both, so a width and a diagonal are long together, and a reading of a known
    length (`Known`) tells what to take off.
    """

    name: str
    zero_sd: float
    scale_sd: float

    def __post_init__(self) -> None:
        """Refuse numbers that are none."""
        for what, number in (("zero_sd", self.zero_sd), ("scale_sd", self.scale_sd)):
            if not 0 <= number < math.inf:
                raise BadInput(f"tool {self.name}: expected a {what} of 0 or more, got {number}")

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add what it is off."""
        for what, sd in (("zero", self.zero_sd), ("scale", self.scale_sd)):
            if sd > 0:
                unknowns.add(f"{what} of {self.name}", 0.0, sd)

    def reads(self, scene: Scene, length: Linear) -> Linear:
        """Return what it reads over a length."""
        zero, scale = (scene.unknown(f"{what} of {self.name}") for what in ("zero", "scale"))
        return combine((1.0 + scale.value, length), (length.value, scale - scale.value), (1.0, zero))


@dataclass(frozen=True)
class _Taped(_One):
    """A length that was read with a tool, which may be off."""

    tool: Tool | None = field(default=None, kw_only=True)

    def unknowns(self, unknowns: Unknowns) -> None:
        if self.tool is not None:
            self.tool.unknowns(unknowns)

    def _reads(self, scene: Scene, length: Linear) -> list[Linear]:
        return [length if self.tool is None else self.tool.reads(scene, length)]


@dataclass(frozen=True)
class Known(_Taped):
    """A calibration: the tool read `value` over a length that is known, in mm."""

    length: float

    def observe(self, scene: Scene) -> list[Linear]:
        """Return what the tool reads there."""
        return self._reads(scene, Linear(self.length))


@dataclass(frozen=True)
class Distance(_Taped):
    """A tape from one place to another, in mm; level where both heights are the same."""

    first: End
    second: End
    first_up: float
    second_up: float
    finished: bool = False

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add where the spots at its ends really are."""
        super().unknowns(unknowns)
        for end, up in ((self.first, self.first_up), (self.second, self.second_up)):
            if isinstance(end, Spot) and end.sd > 0:
                unknowns.add(end.scratch(up), 0.0, end.sd)

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the distance, surface to surface."""
        a = end_point(scene, self.first, self.first_up, self.finished)
        b = end_point(scene, self.second, self.second_up, self.finished)
        return self._reads(scene, distance(a, b))


@dataclass(frozen=True)
class CornerTurn(_One):
    """A corner's angle against the one meant, in radians, positive for more room.

    Taken by a gauge or square that lies on both walls over `left_reach` and `right_reach` mm.
    """

    corner: str
    left_reach: float
    right_reach: float
    up: float

    @property
    def straight(self) -> bool:
        """It changes as the two walls turn, and by nothing else."""
        return True

    def __post_init__(self) -> None:
        """Refuse numbers that are none, and a tool of no length."""
        super().__post_init__()
        if not min(self.left_reach, self.right_reach) > 0:
            raise BadInput(
                f"reading {self.key}: expected each reach above zero, "
                f"got {self.left_reach} and {self.right_reach}"
            )

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the turn between the chords that the tool lies on."""
        return [corner_turn(scene, self.corner, self.left_reach, self.right_reach, self.up)]


@dataclass(frozen=True)
class Gaps:
    """Gaps between a wall and a straightedge, a string or a laser line, in mm.

    The line has an offset and a turn of its own, unless it is one of the two laser lines of a `cross`, which
    are square to one another and shared by all checks of that cross: then the gap is how far the line stands
    out of the wall, square to it. `along` are mm from the corner or mark `start`; a plumb line has them all
    alike, a level one has all `up` alike.
    """

    key: Hashable
    wall: str
    start: str
    along: tuple[float, ...]
    up: tuple[float, ...]
    read: tuple[float, ...]
    sd: tuple[float, ...]
    cross: str | None = None

    def __post_init__(self) -> None:
        """Refuse stations without a gap, and numbers that are none."""
        sizes = {len(self.along), len(self.up), len(self.read), len(self.sd)}
        if len(sizes) != 1 or len(self.read) < (2 if self.cross is None else 1):
            raise BadInput(f"check {self.key}: expected a gap for each of two stations or more, got {sizes}")
        if not all(map(math.isfinite, (*self.along, *self.up, *self.read, *self.sd))):
            raise BadInput(f"check {self.key}: expected finite numbers")
        if not min(self.sd) > 0:
            raise BadInput(f"check {self.key}: expected every sd above zero, got {min(self.sd)}")

    @property
    def straight(self) -> bool:
        """A line of its own follows the wall, whatever it does; that of a cross does not."""
        return self.cross is None

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add the line's offset and turn, or the cross's place, turn and squareness."""
        if self.cross is None:
            unknowns.add(f"offset of line {self.key}", 0.0, OPEN_LENGTH_SD)
            unknowns.add(f"turn of line {self.key}", 0.0, OPEN_TURN_SD)
            return
        unknowns.add(f"cross {self.cross} to the right", 0.0, OPEN_LENGTH_SD)
        unknowns.add(f"cross {self.cross} to the back", 0.0, OPEN_LENGTH_SD)
        unknowns.add(f"turn of cross {self.cross}", 0.0, OPEN_TURN_SD)
        unknowns.add(f"squareness of cross {self.cross}", 0.0, CROSS_SQUARE_SD)

    def observe(self, scene: Scene) -> list[Linear]:
        """Return line minus surface at each station."""
        middle = sum(self.up) / len(self.up)
        corner = scene.plan.corner(self.start)
        sign = -1.0 if corner is not None and corner.left == self.wall else 1.0
        scene.seen.add(self.wall)
        if self.cross is None:
            start = scene.spot_at(self.wall, self.start, 0.0, middle)
            return self._from_line(scene, [start + sign * along for along in self.along])
        slides = scene.spot(self.wall, self.start, 0.0, middle)
        stations = [slides.value + sign * along for along in self.along]
        return self._from_cross(scene, slides - slides.value, stations)

    def _from_line(self, scene: Scene, stations: list[float]) -> list[Linear]:
        offset = scene.unknown(f"offset of line {self.key}")
        turn = scene.unknown(f"turn of line {self.key}")
        plumb = max(self.up) - min(self.up) > max(self.along) - min(self.along)
        places = self.up if plumb else self.along
        centre = sum(places) / len(places)
        return [
            combine((1.0, offset), (place - centre, turn), (-1.0, scene.deviation(self.wall, station, up)))
            for place, station, up in zip(places, stations, self.up, strict=True)
        ]

    def _from_cross(self, scene: Scene, slides: Linear, stations: list[float]) -> list[Linear]:
        """Follow the wall's normal n at angle h from the surface point s u + d n to the line through C.

        The line's own normal m is at angle g; with e = g - h the gap is C m / cos e - s tan e - d.
        """
        right, back = (scene.unknown(f"cross {self.cross} to the {way}") for way in ("right", "back"))
        quarters = round(scene.plan.headings[self.wall] / (math.pi / 2))
        turn = scene.unknown(f"turn of cross {self.cross}")
        if quarters % 2:
            turn = turn + scene.unknown(f"squareness of cross {self.cross}")
        angle = quarters * math.pi / 2 + turn.value
        skew = angle - scene.heading(self.wall)
        mx, my = math.sin(angle), -math.cos(angle)
        out = mx * right.value + my * back.value
        sideways = right.value * math.cos(angle) + back.value * math.sin(angle)  # C dm/dg
        cos, tan = math.cos(skew), math.tan(skew)
        line = combine(
            (mx / cos, right), (my / cos, back), (sideways / cos, turn - turn.value), (-tan, slides)
        )
        swings = turn - turn.value - scene.swing(self.wall)  # how e changes
        return [
            combine(
                (1.0, line),
                (out * tan / cos - station / cos**2, swings),
                (1.0, -station * tan),
                (-1.0, scene.depth(self.wall, station, up, False)),
            )
            for station, up in zip(stations, self.up, strict=True)
        ]


CROSS_SQUARE_SD = 0.0002
"""Radians: two lines of a cross-line laser are sold as square to 0.2 to 0.4 mm/m (from memory); this is 0.4
at two standard deviations."""


@dataclass(frozen=True)
class Leaning(_One):
    """How far a wall's top leans into the room against its bottom, in mm."""

    wall: str
    along: float
    start: str
    low: float
    high: float

    @property
    def straight(self) -> bool:
        """A depth changes evenly as its wall moves and tilts."""
        return True

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the difference of the surface at the two heights."""
        at = scene.spot_at(self.wall, self.start, self.along, (self.low + self.high) / 2)
        return [scene.depth(self.wall, at, self.high, False) - scene.depth(self.wall, at, self.low, False)]


@dataclass(frozen=True)
class Level(_One):
    """The height of the floor or ceiling at a point of the plan, above z = 0, in mm."""

    surface: str
    wall: str
    along: float
    start: str
    out: float

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add the surface's plane."""
        height, right, back = plane_of(self.surface)
        unknowns.add(height, self.value, OPEN_LENGTH_SD)
        unknowns.add(right, 0.0, LEVEL_SD)
        unknowns.add(back, 0.0, LEVEL_SD)

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the surface's height there."""
        along = scene.spot_at(self.wall, self.start, self.along, 0.0)
        heading = scene.heading(self.wall)
        x, y, _ = scene.surface(self.wall, Linear(along), 0.0)
        nx, ny = math.sin(heading), -math.cos(heading)
        return [surface_height(scene, self.surface, x.value + nx * self.out, y.value + ny * self.out)]


LEVEL_SD = 0.005
"""How far floors and ceilings are expected out of level, mm per mm: 1/2 in in 8 ft, an assumption."""


@dataclass(frozen=True)
class Along(_Taped):
    """How far a feature is along its wall from a corner or mark, in mm."""

    feature: str
    start: str
    up: float
    finished: bool = False

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the distance along the wall; from the right-hand corner it counts leftward."""
        feature = scene.plan.feature(self.feature)
        if feature is None:
            raise BadInput(f"`{self.feature}` is no feature of this room")
        start = scene.wall_place(feature.wall, self.start, self.up, self.finished)
        place = scene.feature_along(self.feature, self.up)
        scene.seen.add(self.start)
        corner = scene.plan.corner(self.start)
        leftward = corner is not None and corner.left == feature.wall
        return self._reads(scene, start - place if leftward else place - start)


@dataclass(frozen=True)
class Height(_Taped):
    """How high a feature is above z = 0, in mm."""

    feature: str

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add the feature's height."""
        super().unknowns(unknowns)
        unknowns.add(height_of(self.feature), self.value, OPEN_LENGTH_SD)

    def observe(self, scene: Scene) -> list[Linear]:
        """Return the height."""
        if scene.plan.feature(self.feature) is None:
            raise BadInput(f"`{self.feature}` is no feature of this room")
        scene.seen.add(self.feature)
        return self._reads(scene, scene.unknown(height_of(self.feature)))


@dataclass(frozen=True)
class Touch:
    """Points of a level template's edge that touch walls, in the template's own frame (right, back)."""

    key: Hashable
    walls: tuple[str, ...]
    points: tuple[tuple[float, float], ...]
    up: float
    sd: tuple[float, ...]
    finished: bool = False
    read: tuple[float, ...] = field(init=False)

    def __post_init__(self) -> None:
        """A point that touches has no gap."""
        if not len(self.walls) == len(self.points) == len(self.sd) > 0:
            raise BadInput(
                f"template {self.key}: expected one wall and one sd for each point, "
                f"got {len(self.walls)} and {len(self.sd)} for {len(self.points)}"
            )
        if not all(map(math.isfinite, (self.up, *self.sd, *(n for point in self.points for n in point)))):
            raise BadInput(f"template {self.key}: expected finite numbers")
        if not min(self.sd) > 0:
            raise BadInput(f"template {self.key}: expected every sd above zero, got {min(self.sd)}")
        object.__setattr__(self, "read", (0.0,) * len(self.points))

    @property
    def straight(self) -> bool:
        """A template turns."""
        return False

    def unknowns(self, unknowns: Unknowns) -> None:
        """Add where the template lies."""
        unknowns.add(f"template {self.key} to the right", 0.0, OPEN_LENGTH_SD)
        unknowns.add(f"template {self.key} to the back", 0.0, OPEN_LENGTH_SD)
        unknowns.add(f"turn of template {self.key}", 0.0, OPEN_TURN_SD)

    def observe(self, scene: Scene) -> list[Linear]:
        """Return each point's distance from its wall."""
        right = scene.unknown(f"template {self.key} to the right")
        back = scene.unknown(f"template {self.key} to the back")
        turn = scene.unknown(f"turn of template {self.key}")
        cos, sin = math.cos(turn.value), math.sin(turn.value)
        swing = turn - turn.value
        gaps = []
        for wall, (px, py) in zip(self.walls, self.points, strict=True):
            x = combine((1.0, right), (1.0, cos * px - sin * py), (-sin * px - cos * py, swing))
            y = combine((1.0, back), (1.0, sin * px + cos * py), (cos * px - sin * py, swing))
            gaps.append(distance_out(scene, wall, x, y, self.up, self.finished))
        return gaps


def end_point(scene: Scene, end: End, up: float, finished: bool) -> Point:
    """Return the point where a tape ends."""
    if isinstance(end, str):
        return scene.place(end, up, finished)
    along = scene.spot(end.wall, end.start, end.out, up, finished)
    corner = scene.plan.corner(end.start)
    leftward = corner is not None and corner.left == end.wall
    along = combine((1.0, along), (-1.0 if leftward else 1.0, scene.unknown(end.scratch(up))))
    return scene.surface(end.wall, along, up, finished)


def corner_turn(scene: Scene, name: str, left_reach: float, right_reach: float, up: float) -> Linear:
    """Return a corner's room-side angle minus the one meant, over chords of the two walls."""
    corner = scene.plan.corner(name)
    if corner is None:
        raise BadInput(f"`{name}` is no corner of this room")
    scene.seen.update((name, corner.left, corner.right))
    point = scene.corner_point(corner, up, finished=False)
    left = scene.along(corner.left, point).value
    right = scene.along(corner.right, point).value
    return combine(
        (1.0, scene.turn(corner.right)),
        (-1.0, scene.turn(corner.left)),
        (-1.0 / right_reach, scene.deviation(corner.right, right + right_reach, up)),
        (1.0 / right_reach, scene.deviation(corner.right, right, up)),
        (1.0 / left_reach, scene.deviation(corner.left, left, up)),
        (-1.0 / left_reach, scene.deviation(corner.left, left - left_reach, up)),
    )


def surface_height(scene: Scene, surface: str, x: float, y: float) -> Linear:
    """Return the height of the floor or ceiling at a point of the plan."""
    height, right, back = (scene.unknown(name) for name in plane_of(surface))
    scene.seen.add(surface)
    return combine((1.0, height), (x, right), (y, back), (1.0, scene.deviation(surface, x, y)))


def distance_out(scene: Scene, wall: str, x: Linear, y: Linear, up: float, finished: bool) -> Linear:
    """Return how far a point of the plan stands out of a wall's surface at a height."""
    heading = scene.heading(wall)
    ux, uy = math.cos(heading), math.sin(heading)
    nx, ny = uy, -ux
    along = ux * x.value + uy * y.value
    depth = scene.depth(wall, along, up, finished)
    return combine((nx, x), (ny, y), (along, scene.swing(wall)), (-1.0, depth))

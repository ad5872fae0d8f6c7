"""The room as the readings make it: answers to where a surface is, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fitting.adjust import Adjustment
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.site.linear import Linear, combine
from fitting.site.plan import Plan
from fitting.site.readings import Observed, corner_turn, surface_height
from fitting.site.scene import Places, Scene, direction, height_of, normal, offset_of
from fitting.site.unevenness import Unevenness, matrices
from fitting.site.unknowns import Unknowns

FloatArray = NDArray[np.float64]

KNOWN_SHARE = 0.5
"""An angle counts as read when readings left at most this share of what was expected beforehand."""
KNOWN_LENGTH_SD = 30.0
"""A length whose standard deviation is above this many mm was not read; priors on lengths are metres."""


@dataclass(frozen=True)
class Ray:
    """From a point of the plan (mm), in a unit direction, at a height, to a wall."""

    wall: str
    x: float
    y: float
    dx: float
    dy: float
    up: float


@dataclass(frozen=True)
class Residual:
    """What the adjustment did to one number that was read, its wall's unevenness included.

    `adjusted_minus_read` is what is taken for error of the reading, in mm or radians (R P v of a covariance
    B K B^T + R); `sd` is what such an error was expected to be.
    """

    key: Hashable
    number: int  # which of the reading's numbers
    adjusted_minus_read: float
    sd: float
    control: float
    standardized: float


@dataclass(frozen=True, eq=False)
class _Look:
    """Quantities at a room's state: their values, and how they depend on unknowns and deviations.

    `still_open` is by unknowns that the room has not, each in units of its prior standard deviation.
    """

    values: FloatArray
    places: Places
    design: FloatArray
    sensing: FloatArray
    still_open: FloatArray


@dataclass(frozen=True, eq=False)
class KnownRoom:
    """A room, adjusted to its readings.

    All answers are of the finished faces, coverings to come included, unless said otherwise.
    """

    plan: Plan
    adjustment: Adjustment
    unevenness: Unevenness
    readings: tuple[Observed, ...]
    seen: dict[Hashable, frozenset[str]]  # by reading: the walls, corners and features it saw
    unknowns: Unknowns
    places: Places
    sensing: FloatArray = field(repr=False)  # B (m, places)
    unsure: float = 0.0
    """How unsure it is how uneven the walls are: sd of the logarithm of the factor (see `learn`)."""

    def query(self, build: Callable[[Scene], Sequence[Linear]]) -> Joint:
        """Return the joint distribution of quantities built from a scene of the room."""
        return self.foresee(build, ())

    def foresee(self, build: Callable[[Scene], Sequence[Linear]], readings: Sequence[Observed]) -> Joint:
        """Return quantities, and behind them what further readings would read, jointly.

        A reading's own error, its `sd`, is not in it; that of a line or template of its own is.
        """
        look = self._look(build, readings)
        own = self.unevenness.sensed(look.sensing, look.places, look.sensing, look.places)
        change = self.adjustment.predict(look.design, self._cross(look), own)
        return Joint(look.values + change.mean, change.covariance + look.still_open @ look.still_open.T)

    def influence(
        self, build: Callable[[Scene], Sequence[Linear]], readings: Sequence[Observed] = ()
    ) -> FloatArray:
        """Return what a change of each number read does to quantities (k, m): their derivatives.

        Behind the quantities come, as in `foresee`, what further readings would read.
        """
        look = self._look(build, readings)
        return self.adjustment.influence(look.design, self._cross(look))

    def slopes(self, build: Callable[[Scene], Sequence[Linear]]) -> FloatArray:
        """Return what a change of each unknown does to quantities (k, n), in the order of `unknowns`."""
        return self._look(build, ()).design

    def _look(self, build: Callable[[Scene], Sequence[Linear]], readings: Sequence[Observed]) -> _Look:
        unknowns = self.unknowns.copy()
        for reading in readings:
            reading.unknowns(unknowns)
        start, prior_sd = unknowns.vectors()
        known = len(self.unknowns)
        places = Places()
        scene = Scene(self.plan, unknowns, np.concatenate([self.adjustment.state, start[known:]]), places)
        wanted = [*build(scene), *(one for reading in readings for one in reading.observe(scene))]
        design, sensing = matrices(wanted, len(unknowns), len(places.walls))
        values = np.array([quantity.value for quantity in wanted])
        return _Look(values, places, design[:, :known], sensing, design[:, known:] * prior_sd[known:])

    def _cross(self, look: _Look) -> FloatArray:
        return self.unevenness.sensed(look.sensing, look.places, self.sensing, self.places)

    def linearised(self) -> tuple[FloatArray, FloatArray]:
        """Return observed minus computed (m,) and the design (m, n) at the state."""
        scene = Scene(self.plan, self.unknowns, self.adjustment.state, self.places)
        observed = [one for reading in self.readings for one in reading.observe(scene)]
        design, _ = matrices(observed, len(self.unknowns), 0)
        read = np.array([value for reading in self.readings for value in reading.read])
        return read - np.array([quantity.value for quantity in observed]), design

    def expect(self, build: Callable[[Scene], Sequence[Linear]]) -> FloatArray:
        """Return only what quantities are expected to be: the mean of `query`, at a part of its cost."""
        places = Places()
        wanted = build(Scene(self.plan, self.unknowns, self.adjustment.state, places))
        _, sensing = matrices(wanted, 0, len(places.walls))
        pull = self.sensing.T @ self.adjustment.weighted_residuals
        pulled = self.unevenness.covariance(places, self.places) @ pull
        return np.array([quantity.value for quantity in wanted]) - sensing @ pulled

    def rays(self, rays: Sequence[Ray]) -> Joint:
        """Return how far it is along each ray to its wall's surface, in mm, jointly."""
        return self.query(lambda scene: [ray_quantity(scene, ray) for ray in rays])

    def corner_turn(self, corner: str, reach: float, up: float) -> Joint:
        """Return a corner's angle minus the one meant (radians, positive for more room)."""
        return self.query(lambda scene: [corner_turn(scene, corner, reach, reach, up)])

    def point(self, name: str, up: float) -> Joint:
        """Return where a corner or feature is in the plan: x and y in mm."""
        return self.query(lambda scene: scene.place(name, up)[:2])

    def along(self, wall: str, name: str, up: float) -> Joint:
        """Return how far along a wall a corner or feature of it is, from the foot of the origin."""
        return self.query(lambda scene: [scene.wall_place(wall, name, up)])

    def feature_height(self, name: str) -> Joint | None:
        """Return how high a feature is above z = 0, or nothing where that was not read."""
        if height_of(name) not in self.unknowns.index:
            return None
        return self.query(lambda scene: [scene.unknown(height_of(name))])

    def level(self, surface: str, points: Sequence[tuple[float, float]]) -> Joint | None:
        """Return the height of floor or ceiling at points of the plan, or nothing where it was not read."""
        if f"height of {surface}" not in self.unknowns.index:
            return None
        return self.query(lambda scene: [surface_height(scene, surface, x, y) for x, y in points])

    def heading(self, wall: str) -> float:
        """Return the direction of a wall's plane, in radians from the back wall's."""
        return Scene(self.plan, self.unknowns, self.adjustment.state, Places()).heading(wall)

    def foot(self, wall: str) -> tuple[float, float]:
        """Return the point of a wall's plane, at z = 0, nearest the frame's origin: along it is 0 there."""
        index = self.unknowns.index.get(offset_of(wall))
        offset = 0.0 if index is None else float(self.adjustment.state[index])
        nx, ny = normal(self.heading(wall))
        return nx * offset, ny * offset

    def axes(self, wall: str) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return a wall's direction, left to right facing it, and its inward normal."""
        heading = self.heading(wall)
        return direction(heading), normal(heading)

    def wall_placed(self, wall: str) -> bool:
        """Whether any reading ties a wall's place to the frame."""
        index = self.unknowns.index.get(offset_of(wall))
        return index is None or bool(self.adjustment.sd[index] < KNOWN_LENGTH_SD)

    def feature_placed(self, name: str) -> bool:
        """Whether any reading says where a feature is along its wall."""
        along = self.query(lambda scene: [scene.feature_along(name, 0.0)])
        return bool(along.sd[0] < KNOWN_LENGTH_SD) or name == self.plan.origin

    def corner_read(self, corner: str, reach: float, up: float) -> bool:
        """Whether readings, not only what is expected of rooms, say a corner's angle."""
        expected = _expected(self, lambda scene: [corner_turn(scene, corner, reach, reach, up)])
        return bool(self.corner_turn(corner, reach, up).sd[0] < KNOWN_SHARE * expected.sd[0])

    def shape_read(self, rays: Sequence[Ray], lean_too: bool = False) -> float:
        """Return which share of a surface's unevenness along rays is still unknown, 1 for all of it.

        Unevenness is what a straight line through the places leaves over; without a check nothing is
        known of it, whatever is known of the wall's place. With `lean_too` a lean is unevenness as well:
        only a constant is taken out.
        """
        expected = _expected(self, lambda scene: [ray_quantity(scene, ray) for ray in rays])
        places = np.array([(ray.x, ray.y, ray.up) for ray in rays])
        even = np.ones((len(rays), 1))
        if not lean_too:
            even = np.column_stack([even, places - places.mean(axis=0)])
        basis, sizes, _ = np.linalg.svd(even, full_matrices=True)
        rest = basis[:, int(np.sum(sizes > 1e-9 * sizes[0])) :]
        before = float(np.trace(rest.T @ expected.covariance @ rest))
        after = float(np.trace(rest.T @ self.rays(rays).covariance @ rest))
        return after / before if before > 0 else 1.0

    def residuals(self) -> list[Residual]:
        """Return what the adjustment did to every number that was read, in order."""
        found = []
        row = 0
        made = self.adjustment
        for reading in self.readings:
            for number, sd in enumerate(reading.sd):
                found.append(
                    Residual(
                        reading.key,
                        number,
                        float(sd**2 * made.weighted_residuals[row]),
                        sd,
                        float(np.clip(made.control[row], 0.0, 1.0)),
                        float(made.standardized[row]),
                    )
                )
                row += 1
        return found

    def readings_of(self, *names: str) -> tuple[Hashable, ...]:
        """Return the keys of the readings that saw any of these walls, corners or features."""
        wanted = set(names)
        return tuple(key for key, seen in self.seen.items() if seen & wanted)


def ray_quantity(scene: Scene, ray: Ray) -> Linear:
    """Return how far it is along a ray to its wall, with derivatives."""
    heading = scene.heading(ray.wall)
    nx, ny = normal(heading)
    facing = nx * ray.dx + ny * ray.dy
    if abs(facing) < math.sin(math.radians(5.0)):
        raise BadInput(f"a ray runs along wall `{ray.wall}`: expected one that meets it")
    ux, uy = -ny, nx
    depth_here = nx * ray.x + ny * ray.y

    def along_at(depth: float) -> float:
        reach = (depth - depth_here) / facing
        return ux * (ray.x + reach * ray.dx) + uy * (ray.y + reach * ray.dy)

    depth = scene.depth(ray.wall, along_at(scene.plane(ray.wall, ray.up).value), ray.up, True)
    along = along_at(depth.value)
    swing = scene.swing(ray.wall)
    return combine((1.0 / facing, depth), (-along / facing, swing), (-1.0 / facing, depth_here))


def _expected(room: KnownRoom, build: Callable[[Scene], Sequence[Linear]]) -> Joint:
    """Return what priors alone would say of quantities, lengths between walls taken as known."""
    places = Places()
    wanted = build(Scene(room.plan, room.unknowns, room.adjustment.state, places))
    design, sensing = matrices(wanted, len(room.unknowns), len(places.walls))
    _, prior_sd = room.unknowns.vectors()
    own = room.unevenness.sensed(sensing, places, sensing, places)
    own += (design * prior_sd) @ (design * prior_sd).T
    return Joint(np.array([quantity.value for quantity in wanted]), own)

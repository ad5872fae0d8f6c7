"""The room at one state: points of its walls, corners and features, each with its derivatives."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.site.linear import Linear, Point, combine
from fitting.site.plan import Corner, Covering, Feature, Plan
from fitting.site.prior import Spread
from fitting.site.unknowns import OPEN_LENGTH_SD, Unknowns

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]

FLOOR, CEILING = "floor", "ceiling"

NOTHING = Linear(0.0)


@dataclass
class Places:
    """Where on the walls deviations are seen, in the order in which they were asked for.

    The first pass lays the list down; later passes at other states leave it as it is, so that the process
    keeps its covariance while the state moves by less than it can notice.
    """

    walls: list[str] = field(default_factory=list)
    along: list[float] = field(default_factory=list)
    up: list[float] = field(default_factory=list)
    ends: dict[str, tuple[float, float]] = field(default_factory=dict)
    """Of each wall seen: how far along its inside corners are at its left and right end, or infinity."""
    laid: bool = False

    def at(self, wall: str, along: float, up: float) -> int:
        """Lay down the next place and return its number."""
        self.walls.append(wall)
        self.along.append(along)
        self.up.append(up)
        return len(self.walls) - 1

    def slid(self, by: Mapping[str, float]) -> Places:
        """Return the same places, all of a wall so many mm further along it."""
        along = [here + by.get(wall, 0.0) for wall, here in zip(self.walls, self.along, strict=True)]
        ends = {
            wall: (left + by.get(wall, 0.0), right + by.get(wall, 0.0))
            for wall, (left, right) in self.ends.items()
        }
        return Places(self.walls, along, self.up, ends, self.laid)

    @cached_property
    def spreads(self) -> dict[str, tuple[IndexArray, Spread]]:
        """By wall: the numbers of its places, and where they are. Only once all places are laid."""
        walls = np.array(self.walls, dtype=object)
        along, up = np.array(self.along), np.array(self.up)
        found = {}
        for wall in dict.fromkeys(self.walls):
            rows = np.flatnonzero(walls == wall)
            left, right = self.ends.get(wall, (-math.inf, math.inf))
            corners = np.abs(np.stack([along[rows] - left, right - along[rows]]))
            found[wall] = rows, Spread(along[rows], up[rows], corners)
        return found


class Scene:
    """Points of a room at a state.

    Parameters
    ----------
    plan, unknowns
        What the room consists of, and where its unknowns stand in the state.
    state : (n,) array
    places
        Collects where deviations are seen.
    """

    def __init__(self, plan: Plan, unknowns: Unknowns, state: FloatArray, places: Places) -> None:
        """Look at the room at this state."""
        self.plan = plan
        self.unknowns = unknowns
        self.state = state
        self.places = places
        self.seen: set[str] = set()  # names of walls, corners and features used so far
        # What many readings share.
        self._headings: dict[str, float] = {}
        self._swings: dict[str, Linear] = {}
        self._unknowns: dict[str, Linear] = {}
        self._planes: dict[tuple[str, float], Linear] = {}
        self._corners: dict[tuple[str, float, bool], Point] = {}
        self._corners_along: dict[tuple[str, str, float, bool], Linear] = {}

    def unknown(self, name: str) -> Linear:
        """Return an unknown of the state; 0 with no derivative where it is fixed by the frame."""
        if name not in self._unknowns:
            index = self.unknowns.index.get(name)
            known = NOTHING if index is None else Linear(float(self.state[index]), {index: 1.0})
            self._unknowns[name] = known
        return self._unknowns[name]

    def heading(self, wall: str) -> float:
        """Return the direction of a wall at this state, in radians."""
        if wall not in self._headings:
            self._headings[wall] = self.plan.headings[wall] + self.turn(wall).value
        return self._headings[wall]

    def turn(self, wall: str) -> Linear:
        """Return how far a wall is turned from the plan: what the corners on the way to it are out."""
        return combine(*((sign, self.unknown(turn_of(corner))) for corner, sign in self.plan.bends[wall]))

    def swing(self, wall: str) -> Linear:
        """Return how far a wall is turned from this state: 0, with its derivative."""
        if wall not in self._swings:
            turn = self.turn(wall)
            self._swings[wall] = turn - turn.value
        return self._swings[wall]

    def deviation(self, wall: str, along: float, up: float) -> Linear:
        """Return the wall's deviation from its plane, toward the room; its mean here is 0."""
        if self.places.laid:
            return NOTHING
        if wall not in self.places.ends:
            self.places.ends[wall] = self._inside_ends(wall)
        return Linear(0.0, {-1 - self.places.at(wall, along, up): 1.0})

    def depth(self, wall: str, along: float, up: float, finished: bool) -> Linear:
        """Return how far a wall's surface lies along its inward normal from the frame's origin."""
        self.seen.add(wall)
        surface = self.plane(wall, up) + self.deviation(wall, along, up)
        if finished:
            for number in self.coverings_at(wall, along, up):
                surface += self.unknown(thickness_of(number))
        return surface

    def coverings_at(self, wall: str, along: float, up: float) -> list[int]:
        """Return the numbers of the coverings to come at a place."""
        found = []
        for number, covering in enumerate(self.plan.coverings):
            if covering.wall == wall and covering.bottom <= up <= covering.top:
                bounded = math.isfinite(covering.start) or math.isfinite(covering.end)
                if not bounded or self._spans(covering, wall, along):
                    found.append(number)
        return found

    def _spans(self, covering: Covering, wall: str, along: float) -> bool:
        left = self._plane_end(wall)
        return covering.start <= along - left <= covering.end

    def _plane_end(self, wall: str) -> float:
        """Where the wall's left end is along it, by planes at z = 0; its origin where it has no end."""
        corner = self.plan.corner_at(wall, "left")
        if corner is None:
            return 0.0
        x, y = self._plane_corner(corner, 0.0, False)
        heading = self.heading(wall)
        return math.cos(heading) * x + math.sin(heading) * y

    def anchors(self) -> dict[str, FloatArray]:
        """Return how far along each wall its corners and features are: what places are measured from."""
        found: dict[str, list[float]] = {wall: [] for wall in self.plan.walls}
        for corner in self.plan.corners:
            x, y = self._plane_corner(corner, 0.0, False)
            for wall in (corner.left, corner.right):
                ux, uy = direction(self.heading(wall))
                found[wall].append(ux * x + uy * y)
        for feature in self.plan.features:
            found[feature.wall].append(self.unknown(place_of(feature.name)).value)
        return {wall: np.array(along) for wall, along in found.items() if along}

    def _inside_ends(self, wall: str) -> tuple[float, float]:
        """Where along a wall its inside corners are, by planes at z = 0; infinitely far where it has none."""
        heading = self.heading(wall) if wall in self.plan.headings else 0.0
        ends = [-math.inf, math.inf]
        for k, end in enumerate(("left", "right")):
            corner = self.plan.corner_at(wall, end)
            if corner is not None and corner.angle < math.pi:
                x, y = self._plane_corner(corner, 0.0, False)
                ends[k] = math.cos(heading) * x + math.sin(heading) * y
        return ends[0], ends[1]

    def _plane_corner(self, corner: Corner, up: float, finished: bool) -> tuple[float, float]:
        """Where the two planes meet at a height, each as thick as it is there."""
        headings = [self.heading(wall) for wall in (corner.left, corner.right)]
        depths = [self.plane(wall, up).value for wall in (corner.left, corner.right)]
        x, y = _meeting(headings, depths)
        if finished and self.plan.coverings:
            for k, (wall, heading) in enumerate(zip((corner.left, corner.right), headings, strict=True)):
                along = math.cos(heading) * x + math.sin(heading) * y
                covered = self.coverings_at(wall, along, up)
                depths[k] += sum(self.unknown(thickness_of(number)).value for number in covered)
            x, y = _meeting(headings, depths)
        return x, y

    def plane(self, wall: str, up: float) -> Linear:
        """Return how far a wall's bare plane lies along its inward normal at a height."""
        key = wall, up
        if key not in self._planes:
            self._planes[key] = self.unknown(offset_of(wall)) + self.unknown(tilt_of(wall)) * up
        return self._planes[key]

    def surface(self, wall: str, along: Linear, up: float, finished: bool = True) -> Point:
        """Return the point of a wall's surface so far along it at a height."""
        heading = self.heading(wall)
        (ux, uy), (nx, ny) = direction(heading), normal(heading)
        depth = self.depth(wall, along.value, up, finished)
        turn = self.swing(wall)
        s, q = along.value, depth.value
        x = combine((ux, along), (nx, depth), (-s * nx + q * ux, turn))
        y = combine((uy, along), (ny, depth), (-s * ny + q * uy, turn))
        return x, y, up

    def corner_point(self, corner: Corner, up: float, finished: bool = True) -> Point:
        """Return where the two surfaces of a corner meet at a height."""
        self.seen.update((corner.name, corner.left, corner.right))
        key = corner.name, up, finished
        if key not in self._corners:
            self._corners[key] = self._corner_point(corner, up, finished)
        return self._corners[key]

    def _corner_point(self, corner: Corner, up: float, finished: bool) -> Point:
        x0, y0 = self._plane_corner(corner, up, finished)
        (ax, ay), (bx, by) = normal(self.heading(corner.left)), normal(self.heading(corner.right))
        area = ax * by - ay * bx
        x: list[tuple[float, Linear]] = []
        y: list[tuple[float, Linear]] = []
        sides = (corner.left, by / area, -bx / area), (corner.right, -ay / area, ax / area)
        for wall, to_x, to_y in sides:
            ux, uy = direction(self.heading(wall))
            along = ux * x0 + uy * y0
            depth, turn = self.depth(wall, along, up, finished), self.swing(wall)
            x += (to_x, depth), (-to_x * along, turn)
            y += (to_y, depth), (-to_y * along, turn)
        return combine(*x), combine(*y), up

    def along(self, wall: str, point: Point) -> Linear:
        """Return how far along a wall a point is, from the foot of the frame's origin."""
        heading = self.heading(wall)
        (ux, uy), (nx, ny) = direction(heading), normal(heading)
        x, y, _ = point
        turn = self.swing(wall)
        return combine((ux, x), (uy, y), (-(nx * x.value + ny * y.value), turn))

    def feature_along(self, name: str, up: float) -> Linear:
        """Return how far along its wall a feature is at a height."""
        self.seen.add(name)
        return combine((1.0, self.unknown(place_of(name))), (up, self.unknown(lean_of(name))))

    def place(self, name: str, up: float, finished: bool = True) -> Point:
        """Return the point of a corner or feature at a height."""
        corner = self.plan.corner(name)
        if corner is not None:
            return self.corner_point(corner, up, finished)
        feature = self.plan.feature(name)
        if feature is None:
            raise BadInput(f"`{name}` is no corner and no feature of this room")
        return self.surface(feature.wall, self.feature_along(name, up), up, finished)

    def wall_place(self, wall: str, name: str, up: float, finished: bool = True) -> Linear:
        """Return how far along a wall a corner or feature of it is."""
        feature = self.plan.feature(name)
        if feature is not None and feature.wall == wall:
            return self.feature_along(name, up)
        corner = self.plan.corner(name)
        if corner is None or wall not in (corner.left, corner.right):
            raise BadInput(
                f"`{name}` is not on wall `{wall}`: expected a corner at one of its ends or a mark on it"
            )
        point = self.corner_point(corner, up, finished)
        key = wall, name, up, finished
        if key not in self._corners_along:
            self._corners_along[key] = self.along(wall, point)
        return self._corners_along[key]

    def spot_at(self, wall: str, start: str, out: float, up: float) -> float:
        """Return where `spot` is, without what would move it: for places whose own motion says nothing."""
        corner = self.plan.corner(start)
        if corner is None or wall not in (corner.left, corner.right):
            return self.spot(wall, start, out, up).value
        self.seen.update((corner.name, corner.left, corner.right))
        heading = self.heading(wall)
        x, y = self._plane_corner(corner, up, True)
        return math.cos(heading) * x + math.sin(heading) * y + (-out if corner.left == wall else out)

    def spot(self, wall: str, start: str, out: float, up: float, finished: bool = True) -> Linear:
        """Return how far along a wall a spot is that was measured `out` mm from a corner or mark.

        From the corner at the wall's right end it counts leftward; from anything else, rightward.
        """
        corner = self.plan.corner(start)
        leftward = corner is not None and corner.left == wall
        return self.wall_place(wall, start, up, finished) + (-out if leftward else out)


def _meeting(headings: Sequence[float], depths: Sequence[float]) -> tuple[float, float]:
    """Where two lines of the plan meet, each by its wall's heading and distance from the origin."""
    (ax, ay), (bx, by) = normal(headings[0]), normal(headings[1])
    area = ax * by - ay * bx
    return (by * depths[0] - ay * depths[1]) / area, (ax * depths[1] - bx * depths[0]) / area


def direction(heading: float) -> tuple[float, float]:
    """Return the unit vector along a wall, left end to right end."""
    return math.cos(heading), math.sin(heading)


def normal(heading: float) -> tuple[float, float]:
    """Return a wall's inward unit normal: (u_y, -u_x)."""
    return math.sin(heading), -math.cos(heading)


def offset_of(wall: str) -> str:
    """Name the unknown: how far a wall's plane at z = 0 lies along its inward normal, in mm."""
    return f"place of wall `{wall}`"


def turn_of(corner: str) -> str:
    """Name the unknown: a corner's room-side angle between planes minus the one meant, in radians."""
    return f"turn of corner `{corner}`"


def tilt_of(wall: str) -> str:
    """Name the unknown: a wall's tilt, mm toward the room per mm up."""
    return f"tilt of wall `{wall}`"


def thickness_of(covering: int) -> str:
    """Name the unknown: the thickness of a covering to come."""
    return f"thickness of covering {covering + 1}"


def place_of(feature: str) -> str:
    """Name the unknown: how far along its wall a feature is at z = 0."""
    return f"place of `{feature}`"


def lean_of(feature: str) -> str:
    """Name the unknown: how a feature leans along its wall, mm per mm up."""
    return f"lean of `{feature}`"


def height_of(feature: str) -> str:
    """Name the unknown: how high a feature is."""
    return f"height of `{feature}`"


def plane_of(surface: str) -> tuple[str, str, str]:
    """Name the three unknowns of the floor or ceiling: height at the origin, rise in x, rise in y."""
    return (
        f"height of {surface}",
        f"rise of {surface} to the right",
        f"rise of {surface} to the back",
    )


def room_unknowns(plan: Plan, square_sd: float, tilt_sd: float) -> Unknowns:
    """Return the unknowns of the walls and features, before any reading adds its own."""
    unknowns = Unknowns()
    starts = plan.start_offsets()
    for wall in plan.walls:
        if wall not in (plan.back, plan.zero):
            unknowns.add(offset_of(wall), starts[wall], OPEN_LENGTH_SD)
        for corner, _ in plan.bends[wall]:
            unknowns.add(turn_of(corner), 0.0, square_sd)
        unknowns.add(tilt_of(wall), 0.0, tilt_sd)
    for number, covering in enumerate(plan.coverings):
        unknowns.add(thickness_of(number), covering.thickness, covering.sd)
    for feature in plan.features:
        if feature.name != plan.origin:
            unknowns.add(place_of(feature.name), _first_guess(plan, starts, feature), OPEN_LENGTH_SD)
        if feature.leans:
            unknowns.add(lean_of(feature.name), 0.0, tilt_sd)
    return unknowns


def _first_guess(plan: Plan, starts: dict[str, float], feature: Feature) -> float:
    """Start a feature on its wall: from one end, where a corner says where that is."""
    heading = plan.headings[feature.wall]
    for end, inward in (("left", 300.0), ("right", -300.0)):
        corner = plan.corner_at(feature.wall, end)
        if corner is not None:
            other = corner.left if end == "left" else corner.right
            normals = np.array([normal(heading), normal(plan.headings[other])])
            x, y = np.linalg.solve(normals, [starts[feature.wall], starts[other]])
            out = inward if feature.first_guess is None else feature.first_guess
            return float(math.cos(heading) * x + math.sin(heading) * y) + out
    return 300.0 if feature.first_guess is None else feature.first_guess

"""What stands in the way of a flat piece, and the notches that let the piece past it.

Frame of the piece, seen from above (a panel or filler: on its show face): x right, y to the back (up),
mm. A side's *outward* coordinate is its distance from the origin away from the piece: left -x,
right +x, front -y, back +y; its *along* coordinate is the other one (left, right: y; front, back: x).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal, TypeAlias

import numpy as np
import shapely  # type: ignore[import-untyped]
from numpy.typing import ArrayLike, NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry  # type: ignore[import-untyped]

from fitting.contact import checked
from fitting.errors import BadInput

FloatArray: TypeAlias = NDArray[np.float64]
Side: TypeAlias = Literal["left", "right", "front", "back"]
SIDES: Final[tuple[Side, ...]] = ("left", "right", "front", "back")

GRID: Final = 1e-6
"""mm; every corner is rounded to this, so that edges which should coincide do: below any saw."""
ON_LINE: Final = 1e-5
"""mm; a corner this near to a line lies on it: ten times the rounding."""
REACHES_IN: Final = 0.01
"""mm; what reaches no deeper into the piece needs no notch: below any saw."""
SKIN: Final = 3.2
"""mm; wood thinner than this between an obstacle and an edge is cut away: a saw kerf, 1/8 in."""
FACES_OUT: Final = 0.9
"""Cosine of the turn (26 degrees) up to which a face of something that goes on through a side faces it."""
FACES_OUT_AT_THE_EDGE: Final = 0.17
"""The same (80 degrees) where it ends at the side: then any face but one across the edge."""
FAR: Final = 1e5
"""mm; farther out than anything in a room."""
LARGEST: Final = 6e4
"""mm; 60 m, the greatest coordinate that is taken for real."""

OUTWARD: Final[dict[Side, tuple[int, float]]] = {
    "left": (0, -1.0),
    "right": (0, 1.0),
    "front": (1, -1.0),
    "back": (1, 1.0),
}
"""Of each side, the axis that it is outward along, and the sign."""


@dataclass(frozen=True, eq=False)
class SideLine:
    """Hold the line where the wood ends on one side: straight from point to point, level beyond.

    Attributes
    ----------
    side : Side
    along, outward : array (k,)
        mm, see the module; `along` increasing.

    Examples
    --------
    >>> left = SideLine("left", np.array([-500.0, 0.0]), np.array([0.0, 10.0]))
    >>> left.points().tolist()
    [[0.0, -500.0], [-10.0, 0.0]]
    >>> left.beyond(np.array([[-12.0, -250.0], [0.0, -250.0]])).tolist()
    [7.0, -5.0]
    """

    side: Side
    along: FloatArray
    outward: FloatArray

    @property
    def direction(self) -> FloatArray:
        """Unit vector (2,) away from the piece."""
        axis, sign = OUTWARD[self.side]
        unit = np.zeros(2)
        unit[axis] = sign
        return unit

    def points(self) -> FloatArray:
        """Give the line's points (k, 2) in the piece's frame."""
        return points_at(self.side, self.along, self.outward)

    def beyond(self, points: FloatArray) -> FloatArray:
        """Say how far points (n, 2) lie outward of the line (mm; negative = on the piece's side)."""
        along, outward = split_at(self.side, points)
        return outward - np.interp(along, self.along, self.outward)

    def solid(self, inset: float = 0.0) -> Polygon:
        """Give all that lies outward of the line moved `inset` mm toward the piece."""
        end = 2 * FAR
        along = np.concatenate([[-end], self.along, [end, end, -end]])
        outward = np.concatenate([self.outward[:1], self.outward, self.outward[-1:]]) - inset
        return Polygon(points_at(self.side, along, np.concatenate([outward, [end, end]])))

    def holds(self, starts: FloatArray, ends: FloatArray) -> NDArray[np.bool_]:
        """Say which edges, given by their starts and ends (n, 2), lie on the line."""
        places = np.stack([starts, ends, (starts + ends) / 2])
        off = np.abs(self.beyond(places.reshape(-1, 2))).reshape(3, -1)
        on: NDArray[np.bool_] = off.max(axis=0) <= ON_LINE
        return on


@dataclass(frozen=True, eq=False)
class Obstacle:
    """Hold what the piece must pass at a distance: trim, a pipe, a plinth.

    Attributes
    ----------
    name : str
    ring : array (n, 2)
        Its shape (mm, frame of the piece): a simple polygon, either way round, not closed.
    clearance : float
        Asked for all around (mm, >= 0).
    unknown : float
        Added because its place is not known better (mm, >= 0).

    Raises
    ------
    BadInput
        A ring that is no simple polygon, a number that is not finite, negative or over 60 m.
    """

    name: str
    ring: FloatArray
    clearance: float
    unknown: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a shape that cannot be kept clear of."""
        ring = np.asarray(self.ring, dtype=np.float64)
        if ring.ndim != 2 or ring.shape[0] < 3 or ring.shape[1] != 2:
            raise BadInput(f"{self.name}: expected 3 corners (x, y) or more, got shape {ring.shape}")
        checked_place(f"{self.name}: ring", ring.ravel())
        for what in ("clearance", "unknown"):
            asked = getattr(self, what)
            if not (isfinite(asked) and 0 <= asked <= LARGEST):
                raise BadInput(f"{self.name}: {what}: expected 0 mm or more, got {asked}")
        shape = Polygon(ring)
        if not shape.is_valid or shape.area <= GRID:
            raise BadInput(
                f"{self.name}: expected a ring that encloses something and does not cross itself, "
                f"got {shapely.is_valid_reason(shape)}, {shape.area:g} mm2: give its corners in order"
            )
        object.__setattr__(self, "ring", ring)

    @property
    def kept_clear(self) -> float:
        """Distance (mm) that the finished piece keeps: asked and unknown together."""
        return self.clearance + self.unknown

    def shape(self) -> Polygon:
        """Give the obstacle and its clearance; corners stay sharp (bevelled where under 23 degrees).

        A 100 mm square with 10 mm all around is a 120 mm square:

        >>> square = np.array([[0, 0], [100, 0], [100, 100], [0, 100]])
        >>> Obstacle("plinth", square, 10).shape().area
        14400.0
        """
        return Polygon(self.ring).buffer(self.kept_clear, join_style="mitre")


@dataclass(frozen=True, eq=False)
class Notch:
    """Hold a notch of the finished outline.

    Attributes
    ----------
    obstacles : tuple[str, ...]
        What it clears: one, or several where their clearances run into one another.
    clearance : float
        Asked and unknown together (mm); of several the least.
    opens : tuple[Side, ...]
        Sides whose edge it takes wood from: one, two at a corner, three right across.
    corners : array (k, 2)
        mm, counter-clockwise along the outline, from where it leaves an edge to where it comes back.
    """

    obstacles: tuple[str, ...]
    clearance: float
    opens: tuple[Side, ...]
    corners: FloatArray

    @property
    def around(self) -> str:
        """Name what it clears, in words."""
        return " and ".join(self.obstacles)


@dataclass(frozen=True, eq=False)
class Hole:
    """Hold a cut-out that reaches no edge; attributes as `Notch`, the ring counter-clockwise."""

    obstacles: tuple[str, ...]
    clearance: float
    corners: FloatArray

    @property
    def around(self) -> str:
        """Name what it clears, in words."""
        return " and ".join(self.obstacles)


@dataclass(frozen=True, eq=False)
class Pocket:
    """Hold one connected part that obstacles take out of a piece; `opens` is empty for a hole."""

    obstacles: tuple[str, ...]
    clearance: float
    opens: tuple[Side, ...]
    shape: Polygon


def cutter(obstacle: Obstacle, lines: Iterable[SideLine]) -> BaseGeometry:
    """Give the shape to cut away for an obstacle, carried on outward through the edges it stands at.

    Parameters
    ----------
    obstacle : Obstacle
    lines : iterable of SideLine
        Where the finished piece ends.

    Returns
    -------
    geometry
        Within the piece it is the obstacle and its clearance, and what would stay as a `SKIN` between
        one of its faces and an edge. Outward of a line it goes on square to the side, so that it also
        cuts a blank that is left larger there.

    Notes
    -----
    A cutter that ends 1e-9 mm short of an edge would leave a closed hole behind a skin of 1e-9 mm.
    A face that stands across an edge is not carried on: it would make a kink just before the edge.

    Examples
    --------
    A casing that stands 1 mm off the left wall, which is at x = 0:

    >>> wall = SideLine("left", np.array([-600.0, 0.0]), np.array([0.0, 0.0]))
    >>> casing = Obstacle("casing", np.array([[1, -600], [18, -600], [18, -543], [1, -543]]), 0)
    >>> left, front, right, back = cutter(casing, [wall]).bounds
    >>> left < -90_000, (front, right, back)
    (True, (-600.0, 18.0, -543.0))
    """
    shape: BaseGeometry = obstacle.shape()
    for line in lines:
        goes_through = float(line.beyond(shapely.get_coordinates(shape)).max()) > SKIN
        facing = FACES_OUT if goes_through else FACES_OUT_AT_THE_EDGE
        swept = _swept(shape, line, 0.0, GRID) + _swept(shape, line, SKIN, facing)
        shape = shapely.union_all([shape, *swept], grid_size=GRID)
    return shape


def pockets(
    piece: Polygon, obstacles: Sequence[Obstacle], cutters: Sequence[BaseGeometry], lines: Iterable[SideLine]
) -> tuple[Pocket, ...]:
    """Find the connected parts that the obstacles take out of a piece, and the sides they open.

    Parameters
    ----------
    piece : Polygon
        The piece without notches.
    obstacles, cutters
        In the same order.
    lines : iterable of SideLine
        The sides of the piece.

    Returns
    -------
    tuple[Pocket, ...]
    """
    lines = tuple(lines)
    taken = shapely.intersection(piece, shapely.union_all(cutters), grid_size=GRID)
    found = []
    for shape in polygons_of(taken):
        by = [
            obstacle
            for obstacle, cut in zip(obstacles, cutters, strict=True)
            if shape.intersection(cut).area > GRID
        ]
        starts, ends = edges_of(ring_of(shape))
        opens = tuple(line.side for line in lines if line.holds(starts, ends).any())
        names = tuple(obstacle.name for obstacle in by)
        kept = min((obstacle.kept_clear for obstacle in by), default=0.0)
        found.append(Pocket(names, kept, opens, shape))
    return tuple(found)


def points_at(side: Side, along: FloatArray, outward: FloatArray) -> FloatArray:
    """Give points (n, 2) in the piece's frame from a side's own coordinates."""
    axis, sign = OUTWARD[side]
    # + 0.0 turns -0.0 into 0.0
    across = sign * outward + 0.0
    return np.column_stack([across, along] if axis == 0 else [along, across])


def split_at(side: Side, points: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Give a side's own coordinates, along and outward (n,), of points (n, 2); see `points_at`."""
    axis, sign = OUTWARD[side]
    return points[:, 1 - axis], sign * points[:, axis] + 0.0


def polygons_of(shape: BaseGeometry) -> list[Polygon]:
    """Give the polygons of a geometry, the largest first; lines and points are left out."""
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return sorted((part for part in parts if part.area > GRID), key=lambda part: -part.area)


def ring_of(shape: Polygon) -> FloatArray:
    """Give a polygon's outer ring (n, 2), counter-clockwise, the first corner not repeated."""
    ring = np.asarray(shape.exterior.coords, dtype=np.float64)[:-1, :2] + 0.0
    return ring if shape.exterior.is_ccw else ring[::-1]


def edges_of(ring: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Give the starts and the ends (n, 2) of a ring's edges; edge i goes from corner i."""
    return ring, np.roll(ring, -1, axis=0)


def checked_place(name: str, numbers: ArrayLike) -> FloatArray:
    """Refuse (BadInput) what `fitting.contact.checked` refuses, and anything over 60 m."""
    places = checked(name, numbers)
    worst = float(np.abs(places).max())
    if worst > LARGEST:
        raise BadInput(
            f"{name}: expected coordinates within 60 m of the datum, got {worst:g} mm: check its unit"
        )
    return places


def _swept(shape: BaseGeometry, line: SideLine, inset: float, facing: float) -> list[Polygon]:
    """Carry on outward the faces that lie beyond the line less `inset` and face the side."""
    solid, direction = line.solid(inset), line.direction
    swept = []
    for part in polygons_of(shape):
        starts, ends = edges_of(ring_of(part))
        run = ends - starts
        normal = np.column_stack([run[:, 1], -run[:, 0]]) / np.hypot(run[:, 0], run[:, 1])[:, None]
        faces = normal @ direction > facing
        reached = shapely.linestrings(np.stack([starts[faces], ends[faces]], axis=1))
        for piece in shapely.get_parts(shapely.intersection(reached, solid)):
            if piece.length > GRID:
                a, b = np.asarray(piece.coords)[[0, -1]]
                out = FAR * direction
                swept.append(Polygon([a, b, b + out, a + out]))
    return swept

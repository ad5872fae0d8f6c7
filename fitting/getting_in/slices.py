"""Where the middle of a piece may be, for a small range of its turn: the free parts of a slice.

In one turn, a convex piece P meets a convex barrier O where its origin lies in O + (-P), whose corners are
among the sums of a corner of each: a hull of pairwise sums. While the piece turns by h to either side, none
of its points moves farther than ``reach * h`` (the chord is shorter than the arc). So what is free with
barriers grown by that is free for the whole range, and what is blocked with each pairwise sum shrunk by that
is blocked for the whole range: a support function changes by no more than its points move.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely  # type: ignore[import-untyped]
from numpy.typing import NDArray
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry  # type: ignore[import-untyped]

from fitting.errors import BadInput
from fitting.getting_in.passing import FloatArray, checked_ring, turned
from fitting.notch import polygons_of, ring_of

TOUCH: Final = 1e-3
"""mm; touching is allowed, and so is this much into a barrier: a thousandth of what anybody can read."""
ROUND: Final = 16
"""Corners of the polygon about a circle that barriers grow by: 2 % more than the circle at its corners."""
SEAM: Final = 1e-6
"""mm; how exactly the strips of a cut shape meet."""
CONVEX: Final = 1e-9
"""Share of its area that a hull may have more than a convex ring: rounding."""


def convex_parts(ring: FloatArray) -> list[FloatArray]:
    """Cut a ring into convex rings, by plumb lines through its corners where it is not convex.

    Examples
    --------
    An L of three squares, cut at its inner corner:

    >>> corners = np.array([[0, 0], [2, 0], [2, 1], [1, 1], [1, 2], [0, 2]], dtype=float)
    >>> sorted(Polygon(part).area for part in convex_parts(corners))
    [1.0, 2.0]
    """
    return [ring_of(part) for part in convex_pieces(Polygon(ring))]


def convex_pieces(shape: Polygon) -> list[Polygon]:
    """Cut a polygon, which may have holes, into convex ones; see `convex_parts`."""
    hull = shape.convex_hull
    if hull.area - shape.area <= CONVEX * hull.area:
        return [hull]
    corners = np.unique(shapely.get_coordinates(shape)[:, 0])
    # Corners as good as plumb above one another would leave strips too narrow to be found again.
    corners = corners[np.concatenate([[True], np.diff(corners) > SEAM])]
    low, high = shape.bounds[1] - 1.0, shape.bounds[3] + 1.0
    strips = shapely.box(corners[:-1], low, corners[1:], high)
    cut = shapely.get_parts(shapely.intersection(shape, strips))
    return [part.convex_hull for part in cut if isinstance(part, Polygon) and part.area > 0]


@dataclass(frozen=True, eq=False)
class Moving:
    """Hold a piece that moves among barriers, all cut into convex parts.

    Attributes
    ----------
    parts : array (a, n, 2)
        Of the piece, about the middle of the least circle round it; shorter rings repeat a corner.
    middle : array (2,)
        That middle in the piece's own frame.
    reach : float
        Radius of the circle (mm).
    barriers : array (b, m, 2)
        Convex parts, likewise.
    within : tuple of float
        Left, bottom, right, top: what the whole piece stays in.
    clearance : float
        Kept from the barriers (mm); below 0: so much it may reach into each of them.
    """

    parts: FloatArray
    middle: FloatArray
    reach: float
    barriers: FloatArray
    within: tuple[float, float, float, float]
    clearance: float

    @classmethod
    def of(
        cls,
        shape: FloatArray,
        barriers: tuple[FloatArray, ...],
        within: tuple[float, float, float, float],
        clearance: float,
    ) -> Moving:
        """Make it from rings; refuse rings that cross themselves."""
        for name, ring in (
            ("piece", shape),
            *((f"barrier {i + 1}", ring) for i, ring in enumerate(barriers)),
        ):
            polygon = Polygon(checked_ring(name, ring))
            if not polygon.is_valid or polygon.area <= 0:
                raise BadInput(
                    f"{name}: expected a ring that encloses something and does not cross itself, "
                    f"got {shapely.is_valid_reason(polygon)}, {polygon.area:g} mm2: give its corners in order"
                )
        circle = shapely.minimum_bounding_circle(Polygon(shape)).centroid
        middle = np.array([circle.x, circle.y])
        parts = _stacked([part - middle for part in convex_parts(shape)])
        solid = _stacked([part for ring in barriers for part in convex_parts(ring)])
        reach = float(np.hypot(*(shape - middle).T).max())
        return cls(parts, middle, reach, solid, within, clearance)

    def free(self, turn: float, half: float, surely: bool) -> list[Polygon]:
        """Give the parts of the plane where the piece's middle may be, for turns from -half to +half.

        `surely`: it is free in all of these turns. Else: outside, it is free in none of them.
        """
        moved = self.reach * half
        by = self.clearance + (moved if surely else -moved) - TOUCH
        parts = turned(self.parts.reshape(-1, 2), turn).reshape(self.parts.shape)
        left, bottom, right, top = self.within
        (xmin, ymin), (xmax, ymax) = parts.reshape(-1, 2).min(axis=0), parts.reshape(-1, 2).max(axis=0)
        slack = -moved if surely else moved
        left, right = left - xmin - slack, right - xmax + slack
        bottom, top = bottom - ymin - slack, top - ymax + slack
        if not (right > left and top > bottom):
            return []
        room = box(left, bottom, right, top)
        if not len(self.barriers):
            return [room]
        solid = self._sums(parts, by, surely)
        solid = solid[shapely.intersects(solid, room)]
        rest: BaseGeometry = shapely.difference(room, shapely.union_all(solid))
        return polygons_of(rest)

    def _sums(self, parts: FloatArray, by: float, surely: bool) -> NDArray[np.object_]:
        """Give the pairwise sums, grown by `by` (shrunk where it is below 0), never the unsafe way."""
        sums = self.barriers[:, None, :, None, :] - parts[None, :, None, :, :]
        sums = sums.reshape(len(self.barriers) * len(parts), -1, 2)
        if by > 0:
            # Round the circle for what must be free, inside it for what must be blocked.
            radius = by / math.cos(math.pi / ROUND) if surely else by
            angles = (np.arange(ROUND) + 0.5) * 2 * math.pi / ROUND
            circle = radius * np.column_stack([np.cos(angles), np.sin(angles)])
            sums = (_hulls(sums)[:, :, None, :] + circle).reshape(len(sums), -1, 2)
        hulls = shapely.convex_hull(shapely.linestrings(sums))
        solid: NDArray[np.object_] = hulls if by >= 0 else shapely.buffer(hulls, by, join_style="mitre")
        return solid


def _hulls(sums: FloatArray) -> FloatArray:
    """Return the corners of the hulls of point sets (k, n, 2), filled up by repeating one."""
    hulls = shapely.convex_hull(shapely.linestrings(sums))
    return _stacked([shapely.get_coordinates(hull)[:-1] for hull in hulls])


def _stacked(rings: list[FloatArray]) -> FloatArray:
    """Stack rings of different lengths by repeating their last corner."""
    if not rings:
        return np.zeros((0, 3, 2))
    longest = max(map(len, rings))
    return np.stack(
        [np.concatenate([ring, np.repeat(ring[-1:], longest - len(ring), axis=0)]) for ring in rings]
    )

"""What the pieces have in common: edges asked for, trim in the way, and their questions to the room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW, share
from fitting.edge import Finish, MeetingSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import Obstacle
from fitting.placement import Placed, Reach, Spotted, Toward
from fitting.site import KnownRoom
from fitting.site.scene import direction, normal

FloatArray = NDArray[np.float64]

GREATEST = 25.4 / 8
"""mm; the widest gap that caulk closes and the eye forgives, 1/8 in (common practice, no source). Where a
wide one is asked for it may be half as much again."""
NET_GAP = 25.4 / 16
"""mm left at each end of wood that is cut net, 1/16 in (common practice, no source)."""
CLEARANCE = 25.4 / 16
"""mm kept clear of trim in a notch, 1/16 in (common practice, no source)."""
TYPED_SIZE_SD = 0.5
"""Standard deviation in mm of a size that was typed once, such as a casing's projection (assumption)."""
ACROSS_OPENING = 3000.0
"""mm from a casing's near edge over which no piece goes nearer to the wall than the casing's face."""
INTO_WALL = 100.0
"""mm by which an obstacle is drawn into its wall, so that no skin is left between them."""


@dataclass(frozen=True)
class EdgePlan:
    """What is asked of an edge that meets a wall; `gap` and `saw` in mm, as `MeetingSide`."""

    wall: str
    finish: Finish
    gap: float = 0.0
    saw: float = SAW

    @property
    def greatest(self) -> float:
        """The widest gap (mm) that may stay at an edge that is not scribed; infinite where it is covered."""
        return math.inf if self.finish == "covered" else max(GREATEST, 1.5 * self.gap)


@dataclass(frozen=True)
class TrimPlan:
    """Trim that stands out of a wall: from the feature of its name, `width` mm `toward` one side.

    A casing has an opening behind it: nothing can go on there, so a piece passes it on `to_opening`.
    """

    name: str
    wall: str
    width: float
    projection: float
    toward: Literal["left", "right"]
    bottom: float
    top: float
    to_opening: bool = False

    def between(self, bottom: float, top: float) -> bool:
        """Whether it stands in the way at any of these heights."""
        return self.bottom < top and self.top > bottom


def meeting(plan: EdgePlan, along: Sequence[float] | FloatArray, reach: Joint) -> MeetingSide:
    """Return an edge's side for the outline, its stations put in increasing order."""
    order = np.argsort(along)
    part = Joint(reach.mean[order], reach.covariance[np.ix_(order, order)])
    return MeetingSide(np.asarray(along)[order], part, plan.finish, plan.gap, plan.saw)


def part_of(joint: Joint, start: int, count: int) -> Joint:
    """Return some neighbouring quantities of a joint distribution."""
    chosen = slice(start, start + count)
    return Joint(joint.mean[chosen], joint.covariance[chosen, chosen])


def reaches(toward: Toward, wall: str, places: Sequence[tuple[float, float, float]]) -> list[Reach]:
    """Return the questions for a side, from (x, y, up) of the piece."""
    return [Reach(toward, wall, float(x), float(y), float(up)) for x, y, up in places]


def trim_obstacle(
    placed: Placed,
    trim: TrimPlan,
    up: float,
    clearance: float,
    confidence: float,
    datum: tuple[float, float],
) -> Obstacle:
    """Return the plan of a casing in the frame of a piece whose datum is at `datum` of the placed frame.

    Its place is as sure as its near edge and its projection were read: what that leaves open, at the
    confidence asked for, is added to the clearance.
    """
    room = placed.room
    heading = room.heading(trim.wall)
    (ux, uy), (nx, ny) = direction(heading), normal(heading)
    sign = 1.0 if trim.toward == "right" else -1.0
    x, y = room.point(trim.name, up).mean
    width = ACROSS_OPENING if trim.to_opening else trim.width
    ring = []
    for along, out in (
        (0.0, -INTO_WALL),
        (0.0, trim.projection),
        (width, trim.projection),
        (width, -INTO_WALL),
    ):
        at = x + sign * along * ux + out * nx, y + sign * along * uy + out * ny
        px, py = placed.frame.to_piece(*at)
        ring.append((px - datum[0], py - datum[1]))
    across = abs(np.cos(heading - placed.frame.heading)) > 0.5
    edge = placed.measure([Spotted(trim.name, up, "x" if across else "y")])
    unknown = NormalDist().inv_cdf(confidence) * float(np.hypot(edge.sd[0], TYPED_SIZE_SD))
    return Obstacle(trim.name, np.array(ring), clearance, max(unknown, 0.0))


def of_edges(confidence: float, edges: int, others: int) -> float:
    """Return the chance for the edges together, where `others` take a like share of the risk.

    >>> round(of_edges(0.99, 2, 1), 5)
    0.99333
    """
    return 1 - edges * (1 - share(confidence, edges + others)) if edges else confidence


def refuse_size(what: str, size: float) -> None:
    """Refuse a size that no piece has."""
    if not 0 < size < 20_000:
        raise BadInput(f"{what}: expected a size above 0 and under 20 m, got {size} mm")


def refuse_wall(room: KnownRoom, wall: str) -> None:
    """Refuse a wall that the room has not."""
    if wall not in room.plan.walls:
        raise BadInput(f"wall `{wall}` does not exist: expected one of {list(room.plan.walls)}")


def refuse_trims(room: KnownRoom, trims: Sequence[TrimPlan], wall: str | None = None) -> None:
    """Refuse trim of no size, or on a wall that the room has not, or on another than the one that counts."""
    for trim in trims:
        refuse_wall(room, trim.wall)
        if wall not in (None, trim.wall):
            raise BadInput(
                f"{trim.name}: it is on wall `{trim.wall}`, expected wall `{wall}`, which the edge meets"
            )
        sizes = ("width", trim.width), ("projection", trim.projection), ("height", trim.top - trim.bottom)
        for what, size in sizes:
            refuse_size(f"{trim.name}: {what}", size)


def baseboard_obstacle(
    trim: TrimPlan,
    side: Literal["left", "right"],
    along: FloatArray,
    reach: Joint,
    bottom: float,
    clearance: float,
    confidence: float,
) -> Obstacle:
    """Return the section of a baseboard or sill in the frame of an upright piece: x right, y up.

    `reach` is the wall's at heights `along` above the piece's bottom, which is at `bottom`; the board
    stands out of the wall as it is there.
    """
    low, high = trim.bottom - bottom, trim.top - bottom
    wall = float(np.interp(np.clip((low + high) / 2, along[0], along[-1]), along, reach.mean))
    inner, outer = wall - trim.projection, float(reach.mean.max()) + INTO_WALL
    sign = -1.0 if side == "left" else 1.0
    low = low if low > 0 else -INTO_WALL
    ring = [(sign * inner, low), (sign * outer, low), (sign * outer, high), (sign * inner, high)]
    unknown = NormalDist().inv_cdf(confidence) * TYPED_SIZE_SD
    return Obstacle(trim.name, np.array(ring), clearance, max(unknown, 0.0))

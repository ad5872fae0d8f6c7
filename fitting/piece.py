"""What the pieces have in common: edges asked for, trim in the way, and their questions to the room."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final, Literal

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
from fitting.standing import Met

FloatArray = NDArray[np.float64]

GREATEST = 25.4 / 8
"""mm; the widest gap that caulk closes and the eye forgives, 1/8 in (common practice, no source). Where a
wide one is asked for it may be half as much again."""
NET_GAP = 25.4 / 16
"""mm left at each end of wood that is cut net, 1/16 in (common practice, no source)."""
CLEARANCES: Final[Mapping[str, float]] = {
    "wood": 25.4 / 16,
    "sheet": 25.4 / 16,
    "solid surface": 25.4 / 8,
    "stone": 25.4 / 8,
}
"""mm kept clear of trim in a notch: 1/16 in of what is eased by hand on site, 1/8 in of what is cut in a shop
to a template and chips when it is forced (common practice, no source)."""
CLEARANCE = CLEARANCES["wood"]
TYPED_SIZE_SD = 0.5
"""Standard deviation in mm of a size that was typed once, such as a casing's projection (assumption)."""
ACROSS_OPENING = 3000.0
"""mm from a casing's near edge over which no piece goes nearer to the wall than the casing's face."""
PROFILE_OFF = 1.0
"""mm by which the last point of a profile may be past the width that was typed (assumption)."""
INTO_WALL = 100.0
"""mm by which an obstacle is drawn into its wall, so that no skin is left between them."""


@dataclass(frozen=True)
class EdgePlan:
    """What is asked of an edge that meets a wall; `gap` and `saw` in mm, as `MeetingSide`.

    `at` is what stands at that wall and is met instead: trim, or another piece.
    """

    wall: str
    finish: Finish
    gap: float = 0.0
    saw: float = SAW
    at: Met | None = None

    @property
    def greatest(self) -> float:
        """The widest gap (mm) that may stay at an edge that is not scribed; infinite where it is covered."""
        return math.inf if self.finish == "covered" else max(GREATEST, 1.5 * self.gap)


@dataclass(frozen=True)
class TrimPlan:
    """Trim that stands out of a wall: from the feature of its name, `width` mm `toward` one side.

    A casing has an opening behind it: nothing can go on there, so a piece passes it on `to_opening`. What is
    named by its centre `start`s half its width before it. A moulded face has its `profile`, points along from
    the near edge and out of the wall; a notch boxes it, or follows it where it is `coped`.
    """

    name: str
    wall: str
    width: float
    projection: float
    toward: Literal["left", "right"]
    bottom: float
    top: float
    to_opening: bool = False
    start: float = 0.0
    profile: tuple[tuple[float, float], ...] = ()
    coped: bool = False

    def between(self, bottom: float, top: float) -> bool:
        """Whether it stands in the way at any of these heights."""
        return self.bottom < top and self.top > bottom

    def section(self) -> list[tuple[float, float]]:
        """Give its plan: corners along the wall from its point, `toward` its side, and out of the wall (mm).

        Boxed as deep as its deepest place, and coped:

        >>> face = ((0.0, 6.0), (20.0, 17.0), (57.0, 9.0))
        >>> casing = TrimPlan("casing", "left", 57.0, 17.0, "right", 0, 2000, profile=face)
        >>> casing.section()
        [(0.0, -100.0), (0.0, 17.0), (57.0, 17.0), (57.0, -100.0)]
        >>> from dataclasses import replace
        >>> replace(casing, coped=True).section()
        [(0.0, -100.0), (0.0, 6.0), (20.0, 17.0), (57.0, 9.0), (57.0, -100.0)]
        """
        end = self.start + (ACROSS_OPENING if self.to_opening else self.width)
        out = max(self.projection, *(deep for _, deep in self.profile), 0.0)
        face = [(self.start, out), (end, out)]
        if self.profile and self.coped:
            face = [(self.start + along, deep) for along, deep in self.profile]
            # Past what was read it is taken to be as deep as it gets.
            face += [(face[-1][0], out), (end, out)] if face[-1][0] < end else []
        return [(self.start, -INTO_WALL), *face, (end, -INTO_WALL)]


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
    ring = []
    for along, out in trim.section():
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
        _refuse_profile(trim)


def _refuse_profile(trim: TrimPlan) -> None:
    """Refuse a profile that runs back, leaves its trim's width, or goes into the wall."""
    alongs = [along for along, _ in trim.profile]
    outs = [out for _, out in trim.profile]
    if not trim.profile:
        return
    if alongs != sorted(alongs) or not (alongs[0] >= 0 and alongs[-1] <= trim.width + PROFILE_OFF):
        raise BadInput(
            f"{trim.name}: profile: expected points from its near edge on, over its {trim.width:g} mm, "
            f"got them at {alongs}"
        )
    if len(alongs) < 2 or not all(0 <= out < 20_000 for out in outs) or max(outs) <= 0:
        raise BadInput(
            f"{trim.name}: profile: expected two points or more that stand out of the wall, got {outs} mm out"
        )


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

"""A cabinet box in its place: the gaps around it, and what its back leaves for shims."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST, Side
from fitting.piece import reaches, refuse_size, refuse_wall
from fitting.placement import Against, At, Between, Lateral, Placed, place
from fitting.site import KnownRoom
from fitting.stake import Line, Stake
from fitting.stations import heights

FloatArray = NDArray[np.float64]
SideName = Literal["left", "right"]

BACK_SPACING = 100.0
"""mm between the places where the gap behind a back is looked at, for its shims; both ends are among them."""


@dataclass(frozen=True)
class CabinetPlan:
    """A box: sizes in mm, heights above z = 0, and what holds it sideways.

    `left_wall` and `right_wall` are the walls that its sides meet, or nothing. `gap` is the least gap
    that is left at the side that holds it; between two walls with no gap asked it stands in the middle.
    """

    wall: str
    width: float
    depth: float
    bottom: float
    top: float
    left_wall: str | None = None
    right_wall: str | None = None
    left_gap: float | None = None
    right_gap: float | None = None
    mark: str | None = None
    out: float = 0.0

    def lateral(self) -> tuple[Lateral, float]:
        """Return what holds it, and the x of its left side in that frame."""
        if self.left_wall and (self.left_gap is not None or not self.right_wall):
            return Against("left", self.left_wall, self.left_gap or 0.0), 0.0
        if self.right_wall and (self.right_gap is not None or not self.left_wall):
            return Against("right", self.right_wall, self.right_gap or 0.0), -self.width
        if self.left_wall and self.right_wall:
            return Between(self.left_wall, self.right_wall), -self.width / 2
        return At(self.mark or "", self.out), 0.0


@dataclass(frozen=True, eq=False)
class SideGap:
    """The gap between a box's side and the wall there, over height and depth.

    `up` and `deep` (k,) say where: height above z = 0, and mm from the front; `gap` is joint over them.
    """

    wall: str
    up: FloatArray
    deep: FloatArray
    gap: Joint

    @property
    def least(self) -> float:
        """The least expected gap in mm; below 0 the box does not go in there."""
        return float(self.gap.mean.min())

    def at(self, up: float, deep: float) -> tuple[float, float]:
        """Return the expected gap and its standard deviation at the nearest place looked at."""
        nearest = int(np.argmin(np.hypot(self.up - up, self.deep - deep)))
        return float(self.gap.mean[nearest]), float(self.gap.sd[nearest])


@dataclass(frozen=True, eq=False)
class FittedCabinet:
    """A box in its place; `left` is the x of its left side in the placed frame."""

    plan: CabinetPlan
    placed: Placed
    left: float
    sides: Mapping[SideName, SideGap]
    stake: Stake | None  # nothing where no side meets a wall
    back_gap: FloatArray  # (k,) expected gap behind the back at `back_at`, over its height the greatest
    back_at: FloatArray  # (k,) from its left side

    @property
    def right(self) -> float:
        """The x of its right side in the placed frame."""
        return self.left + self.plan.width


def fit_cabinet(room: KnownRoom, plan: CabinetPlan) -> FittedCabinet:
    """Set a box plumb and level against its wall and look at the gaps around it.

    Examples
    --------
    A box 900 wide in the left corner of a square room, 20 mm off the wall:

    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 400.0)],
    ... )
    >>> box = fit_cabinet(room, CabinetPlan("back", 900, 550, 0, 800, left_wall="left", left_gap=20))
    >>> box.left, round(box.sides["left"].least, 3)
    (0.0, 20.0)
    """
    _refuse(room, plan)
    lateral, left = plan.lateral()
    placed = place(room, plan.wall, lateral, (left, left + plan.width), plan.depth, plan.bottom, plan.top)
    sides: dict[SideName, SideGap] = {}
    if plan.left_wall:
        sides["left"] = _side_gap(placed, plan, "left", plan.left_wall, left)
    if plan.right_wall:
        sides["right"] = _side_gap(placed, plan, "right", plan.right_wall, left + plan.width)
    back_at, back_gap = _behind(placed, plan, left)
    return FittedCabinet(plan, placed, left, sides, _stake(placed, left, plan, sides), back_gap, back_at)


def _refuse(room: KnownRoom, plan: CabinetPlan) -> None:
    for what, size in (("width", plan.width), ("depth", plan.depth), ("height", plan.top - plan.bottom)):
        refuse_size(what, size)
    for wall in (plan.wall, plan.left_wall, plan.right_wall):
        if wall is not None:
            refuse_wall(room, wall)
    for what, gap in (("left gap", plan.left_gap), ("right gap", plan.right_gap)):
        if gap is not None and not 0 <= gap <= LARGEST:
            raise BadInput(f"{what}: expected 0 mm or more, got {gap}")
    if not abs(plan.out) <= LARGEST:
        raise BadInput(f"out: expected a length within 60 m, got {plan.out} mm")
    if plan.left_wall is None and plan.right_wall is None and plan.mark is None:
        raise BadInput(
            "a box that meets no wall at its sides needs a corner or mark that it is measured from"
        )


def _stake(placed: Placed, left: float, plan: CabinetPlan, sides: Mapping[SideName, SideGap]) -> Stake | None:
    """Return what hangs on the walls: that it goes in between them; a filler hides any gap."""
    lines: dict[Side, Line] = {}
    for side, gap in sides.items():
        x = left if side == "left" else left + plan.width
        places = [(x, deep, up) for deep, up in zip(gap.deep, gap.up, strict=True)]
        lines[side] = Line(tuple(reaches(side, gap.wall, places)), np.zeros(len(places)), scribed=False)
    return Stake(placed, lines) if lines else None


def _side_gap(placed: Placed, plan: CabinetPlan, side: SideName, wall: str, x: float) -> SideGap:
    deep, up = np.meshgrid(np.linspace(0.0, plan.depth, 5), heights(plan.bottom, plan.top))
    places = [(x, d, u) for d, u in zip(deep.ravel(), up.ravel(), strict=True)]
    gap = placed.measure(reaches(side, wall, places))
    return SideGap(wall, up.ravel(), deep.ravel(), gap)


def _behind(placed: Placed, plan: CabinetPlan, left: float) -> tuple[FloatArray, FloatArray]:
    count = max(2, math.ceil(plan.width / BACK_SPACING) + 1)
    across, up = np.meshgrid(np.linspace(left, left + plan.width, count), heights(plan.bottom, plan.top))
    places = [(x, plan.depth, u) for x, u in zip(across.ravel(), up.ravel(), strict=True)]
    gap = placed.expect(reaches("back", plan.wall, places))
    greatest = gap.reshape(across.shape).max(axis=0)
    return across[0] - left, greatest

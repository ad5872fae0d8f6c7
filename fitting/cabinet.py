"""A cabinet box in its place: the gaps around it, and what its back leaves for shims."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.aim import LIMITS, AimedSide, Clash, SidePin, What, best_place
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST, Side
from fitting.piece import reaches, refuse_size, refuse_wall
from fitting.placement import Against, At, Between, Lateral, Placed, Reach, place
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
    `in_line`: the mark says where it stands, whatever its sides meet. `aim` and `pins` move it along its
    wall, never turned: its back stays where it is seated, unless a pin brings it forward. `even_front` sets
    its face in one plane with that of the cabinet it stands beside.
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
    in_line: bool = False
    aim: What = "stay"
    pins: tuple[SidePin, ...] = ()
    even_front: bool = False

    def lateral(self) -> tuple[Lateral, float]:
        """Return what holds it, and the x of its left side in that frame."""
        if self.in_line:
            return At(self.mark or "", self.out), 0.0
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
    clash: Clash | None = None  # pins that cannot be kept; then it stands where it is seated
    beside: Neighbour | None = field(default=None, repr=False)

    @property
    def right(self) -> float:
        """The x of its right side in the placed frame."""
        return self.left + self.plan.width


@dataclass(frozen=True, eq=False)
class Neighbour:
    """The box that another stands beside, its `side` towards it, the least gap between them (mm)."""

    side: SideName
    box: FittedCabinet
    gap: float = 0.0


def fit_cabinet(room: KnownRoom, plan: CabinetPlan, beside: Neighbour | None = None) -> FittedCabinet:
    """Set a box plumb and level against its wall and look at the gaps around it.

    A box beside another is held by what holds that one; its side comes as near to the other's as the gap
    says, wherever the two sides, each square to its own back line, come nearest.

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
    _refuse(room, plan, beside)
    lateral, left = plan.lateral() if beside is None else _shared(plan, beside)
    placed = place(room, plan.wall, lateral, (left, left + plan.width), plan.depth, plan.bottom, plan.top)
    if beside is not None:
        placed = _joined(placed, plan, left, beside)
    found = _aimed(placed, plan, left, held=plan.in_line or beside is not None or isinstance(lateral, At))
    clash = found if isinstance(found, Clash) else None
    placed = placed if isinstance(found, Clash) else found
    sides: dict[SideName, SideGap] = {}
    if plan.left_wall:
        sides["left"] = _side_gap(placed, plan, "left", plan.left_wall, left)
    if plan.right_wall:
        sides["right"] = _side_gap(placed, plan, "right", plan.right_wall, left + plan.width)
    back_at, back_gap = _behind(placed, plan, left)
    stake = _stake(placed, left, plan, sides)
    return FittedCabinet(plan, placed, left, sides, stake, back_gap, back_at, clash, beside)


def side_gap(box: FittedCabinet, side: SideName, other: FittedCabinet) -> float:
    """Return the least gap (mm) between a side of a box and the other's that faces it; minus an overlap."""
    x = box.left if side == "left" else box.right
    return _facing(box.placed, box.plan.depth, x, side, other)


def _facing(placed: Placed, depth: float, x: float, side: SideName, other: FittedCabinet) -> float:
    """Both sides are straight, so they come nearest at an end of the depth that they share."""
    facing = other.right if side == "left" else other.left
    ends = [other.placed.frame.to_room(facing, y) for y in (0.0, other.plan.depth)]
    (x0, y0), (x1, y1) = (placed.frame.to_piece(*end) for end in ends)
    shared = [min(max(y, y0), y1) for y in (0.0, depth)]
    gaps = [x0 + (y - y0) / (y1 - y0) * (x1 - x0) - x for y in shared]
    return min(-one if side == "left" else one for one in gaps)


def _shared(plan: CabinetPlan, beside: Neighbour) -> tuple[Lateral, float]:
    """Return what holds the other box, and the x of the left side that stands beside it."""
    other, (_, moved, _) = beside.box, beside.box.placed.off_seat
    if beside.side == "left":
        return other.placed.lateral, other.right + moved + beside.gap
    return other.placed.lateral, other.left + moved - beside.gap - plan.width


def _joined(placed: Placed, plan: CabinetPlan, left: float, beside: Neighbour) -> Placed:
    """Bring a box up to its neighbour, and its face into the neighbour's plane where that is asked."""
    other = beside.box.placed.frame
    if plan.even_front:
        placed = placed.moved(other.heading - placed.frame.heading, 0.0, 0.0)
        _, off = other.to_piece(placed.frame.x, placed.frame.y)
        placed = _slid(placed, 0.0, -off)
    x, sign = (left, 1.0) if beside.side == "left" else (left + plan.width, -1.0)
    off = beside.gap - _facing(placed, plan.depth, x, beside.side, beside.box)
    return _slid(placed, sign * off, 0.0)


def _slid(placed: Placed, right: float, back: float) -> Placed:
    """Move a piece along its own axes, which its turn off its seat has turned."""
    turn = placed.off_seat[0]
    cos, sin = math.cos(turn), math.sin(turn)
    return placed.moved(0.0, cos * right - sin * back, sin * right + cos * back)


def _aimed(placed: Placed, plan: CabinetPlan, left: float, held: bool) -> Placed | Clash:
    """Move a box to where its aim and its pins want it; a gap asked for at a side is the least there."""
    if plan.aim == "stay" and not plan.pins:
        return placed
    walls: tuple[tuple[SideName, str | None, float | None, float], ...] = (
        ("left", plan.left_wall, plan.left_gap, left),
        ("right", plan.right_wall, plan.right_gap, left + plan.width),
    )
    sides, pins = [], list(plan.pins)
    for side, wall, gap, x in walls:
        if wall is not None:
            sides.append(AimedSide(side, tuple(reaches(side, wall, _side_places(plan, x)))))
            if gap is not None:
                pins.append(SidePin(side, "at least", gap))
    sideways = 0.0 if held else LIMITS[2]
    if any(pin.side == "back" for pin in pins) or not sides:
        back = [Reach("back", plan.wall, one.x, plan.depth, one.up) for one in placed.back]
        sides.append(AimedSide("back", tuple(back), 0.0))
        found = best_place(placed, sides, plan.aim, pins, limits=(0.0, LIMITS[1], sideways))
        return found if isinstance(found, Clash) else found.placed
    # Its wall is not asked: pushed back, it would catch on every wave there. It is seated anew where it goes.
    found = best_place(placed, sides, plan.aim, pins, limits=(0.0, 0.0, sideways))
    if isinstance(found, Clash):
        return found
    return found.placed if held else _pushed_back(found.placed, plan)


def _pushed_back(placed: Placed, plan: CabinetPlan) -> Placed:
    """Bring a box that was moved along its wall up to it again, turned as it was."""
    back = [Reach("back", plan.wall, one.x, plan.depth, one.up) for one in placed.back]
    return _slid(placed, 0.0, float(placed.expect(back).min()))


def _refuse(room: KnownRoom, plan: CabinetPlan, beside: Neighbour | None) -> None:
    if beside is not None and beside.box.plan.wall != plan.wall:
        raise BadInput(
            f"a box at wall `{plan.wall}` cannot stand beside one at wall `{beside.box.plan.wall}`: "
            "expected one wall for both"
        )
    if beside is None and plan.even_front:
        raise BadInput("a front is even with that of the box it stands beside: expected one, got none")
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
    if plan.left_wall is None and plan.right_wall is None and plan.mark is None and beside is None:
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
    places = _side_places(plan, x)
    gap = placed.measure(reaches(side, wall, places))
    _, deep, up = np.array(places).T
    return SideGap(wall, up, deep, gap)


def _side_places(plan: CabinetPlan, x: float) -> list[tuple[float, float, float]]:
    """Return where a side is looked at: x, y and height."""
    deep, up = np.meshgrid(np.linspace(0.0, plan.depth, 5), heights(plan.bottom, plan.top))
    return [(x, float(d), float(u)) for d, u in zip(deep.ravel(), up.ravel(), strict=True)]


def _behind(placed: Placed, plan: CabinetPlan, left: float) -> tuple[FloatArray, FloatArray]:
    count = max(2, math.ceil(plan.width / BACK_SPACING) + 1)
    across, up = np.meshgrid(np.linspace(left, left + plan.width, count), heights(plan.bottom, plan.top))
    places = [(x, plan.depth, u) for x, u in zip(across.ravel(), up.ravel(), strict=True)]
    gap = placed.expect(reaches("back", plan.wall, places))
    greatest = gap.reshape(across.shape).max(axis=0)
    return across[0] - left, greatest

"""A filler strip: what closes the gap between a cabinet's face and a wall, or the ceiling over it.

Seen from the room, on its show face: x right, y up from its bottom. At a side, its datum is the long edge
that lies on the cabinet, straight, and its bottom end; the other long edge is scribed to the wall at the
face. On top its datum is its lower edge, straight, on the cabinet, and its left end: x = 0 is the cabinet's
left side. Its upper edge is scribed to the ceiling (or a soffit that was read as one), its ends are cut
square, or scribed to the wall where it runs on over a strip at that side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW, share
from fitting.cabinet import FittedCabinet, SideName
from fitting.chance import Chance, all_above
from fitting.edge import FittedEdge, MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import Side
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import (
    CLEARANCE,
    EdgePlan,
    TrimPlan,
    baseboard_obstacle,
    meeting,
    reaches,
    refuse_size,
    refuse_trims,
)
from fitting.stake import Line, Stake, line_of
from fitting.stations import stations

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class FillerPlan:
    """A filler at one side of a cabinet, or on top; `setback` is how far its face lies behind the cabinet's.

    One on top runs on to the walls `over` the strips at these sides. `height_sd` says how well the height of
    the cabinet's own top is known, mm: what the floor leaves open where it stands on one.
    """

    side: SideName | Literal["top"]
    setback: float = 0.0
    saw: float = SAW
    trims: tuple[TrimPlan, ...] = ()
    clearance: float = CLEARANCE
    confidence: float = 0.99
    over: tuple[SideName, ...] = ()
    height_sd: float = 0.0


@dataclass(frozen=True, eq=False)
class FittedFiller:
    """A filler; widths across at its face, in mm.

    Attributes
    ----------
    along, widths : arrays (k,)
        How wide the gap is that it closes, by the place along it: up from its bottom, on top from its left
        end.
    covers : Chance or None
        That its blank reaches everywhere, where no `stake` says: of one on top, whose ceiling moves nothing.
    """

    plan: FillerPlan
    outline: FittedOutline
    length: float
    along: FloatArray
    widths: FloatArray
    stake: Stake | None
    covers: Chance | None = None

    @property
    def at_bottom(self) -> float:
        """Its width at its bottom, of one on top at its left end (mm)."""
        return float(self.widths[0])

    @property
    def at_top(self) -> float:
        """Its width at its top, of one on top at its right end (mm)."""
        return float(self.widths[-1])

    @property
    def taper(self) -> float:
        """How much wider it is at the top than at the bottom, on top: at the right than at the left (mm)."""
        return self.at_top - self.at_bottom

    @property
    def narrowest(self) -> float:
        """Its least width anywhere (mm)."""
        return float(self.widths.min())

    @property
    def widest(self) -> float:
        """Its greatest width anywhere (mm)."""
        return float(self.widths.max())


def fit_filler(cabinet: FittedCabinet, plan: FillerPlan) -> FittedFiller:
    """Give the strip that closes the gap at one side of a cabinet, over its whole height, or on top of it.

    Raises
    ------
    BadInput
        No wall at that side, or no ceiling that was read; a setback deeper than the cabinet.

    Examples
    --------
    A box 20 mm off the left wall of a square room:

    >>> from fitting.cabinet import CabinetPlan, fit_cabinet
    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 400.0)],
    ... )
    >>> box = fit_cabinet(room, CabinetPlan("back", 900, 550, 0, 800, left_wall="left", left_gap=20))
    >>> strip = fit_filler(box, FillerPlan("left"))
    >>> round(strip.at_bottom, 1), round(strip.at_top, 1), round(strip.outline.edges["left"].final, 1)
    (20.0, 20.0, 20.0)
    """
    placed, box = cabinet.placed, cabinet.plan
    if not 0 <= plan.setback <= box.depth:
        raise BadInput(f"setback: expected 0 to the cabinet's depth, {box.depth:g} mm, got {plan.setback}")
    if plan.side == "top":
        return _on_top(cabinet, plan)
    gap = cabinet.sides.get(plan.side)
    if gap is None:
        raise BadInput(f"the cabinet meets no wall at its {plan.side}: expected one for a filler to close")
    refuse_trims(placed.room, plan.trims, gap.wall)
    x = cabinet.left if plan.side == "left" else cabinet.right
    ups = stations(box.bottom, box.top)
    joint = placed.measure(reaches(plan.side, gap.wall, [(x, plan.setback, up) for up in ups]))
    side = meeting(EdgePlan(gap.wall, "scribed", 0.0, plan.saw), ups - box.bottom, joint)
    in_the_way = [trim for trim in plan.trims if trim.between(box.bottom, box.top)]
    each = share(plan.confidence, 1 + len(in_the_way))
    obstacles = [
        baseboard_obstacle(trim, plan.side, ups - box.bottom, joint, box.bottom, plan.clearance, each)
        for trim in in_the_way
    ]
    length = box.top - box.bottom
    straight = StraightSide(0.0)
    outline = fit_outline(
        side if plan.side == "left" else straight,
        side if plan.side == "right" else straight,
        straight,
        StraightSide(length),
        obstacles,
        confidence=each,
    )
    edge = outline.edges[plan.side]
    places = [(x, plan.setback, box.bottom + along) for along in edge.stations]
    lines: dict[Side, Line] = {plan.side: line_of(edge, reaches(plan.side, gap.wall, places), math.inf)}
    return FittedFiller(plan, outline, length, ups - box.bottom, joint.mean, Stake(placed, lines))


def _on_top(cabinet: FittedCabinet, plan: FillerPlan) -> FittedFiller:
    box = cabinet.plan
    if not (math.isfinite(plan.height_sd) and plan.height_sd >= 0):
        raise BadInput(f"height_sd: expected 0 mm or more, got {plan.height_sd}")
    corners = _gap_over(cabinet, plan, np.array([0.0, box.width]))
    room = float(corners.mean.max())
    if not corners.mean.min() > 0:
        raise BadInput(f"expected the ceiling over the cabinet's top, got {corners.mean.min():g} mm of room")
    ends = {side: _end(cabinet, plan, side, room) for side in plan.over}
    reach = {side: float(end.reach.mean.max()) for side, end in ends.items()}
    left, right = -reach.get("left", 0.0), reach.get("right", box.width)
    along = stations(left, right)
    gap = _gap_over(cabinet, plan, along)
    outline = fit_outline(
        ends.get("left", StraightSide(0.0)),
        ends.get("right", StraightSide(box.width)),
        StraightSide(0.0),
        meeting(EdgePlan("ceiling", "scribed", 0.0, plan.saw), along, gap),
        confidence=plan.confidence,
    )
    meets: dict[Side, Joint] = {"back": gap, **{side: end.reach for side, end in ends.items()}}
    covers = all_above(_apart([_spare(outline.edges[side], joint) for side, joint in meets.items()]))
    return FittedFiller(plan, outline, right - left, along - left, gap.mean, None, covers)


def _gap_over(cabinet: FittedCabinet, plan: FillerPlan, along: FloatArray) -> Joint:
    """Return the room between a cabinet's top and the ceiling, by the place from the cabinet's left side."""
    points = [cabinet.placed.frame.to_room(cabinet.left + x, plan.setback) for x in along]
    over = cabinet.placed.room.level("ceiling", points)
    if over is None:
        raise BadInput("nothing says where the ceiling is: expected that its height was read")
    return Joint(over.mean - cabinet.plan.top, over.covariance + plan.height_sd**2)


def _end(cabinet: FittedCabinet, plan: FillerPlan, side: SideName, room: float) -> MeetingSide:
    """Return an end that runs on to the wall at a side, scribed there."""
    gap = cabinet.sides.get(side)
    if gap is None:
        raise BadInput(f"the cabinet meets no wall at its {side}: expected one for a strip to run on to")
    x, start = (cabinet.left, 0.0) if side == "left" else (cabinet.right, cabinet.plan.width)
    ups = stations(0.0, room)
    joint = cabinet.placed.measure(
        reaches(side, gap.wall, [(x, plan.setback, cabinet.plan.top + up) for up in ups])
    )
    return meeting(
        EdgePlan(gap.wall, "scribed", 0.0, plan.saw), ups, Joint(joint.mean + start, joint.covariance)
    )


def _spare(edge: FittedEdge, reach: Joint) -> Joint:
    """Return by how much a blank reaches past what its edge meets."""
    return Joint(edge.blank - reach.mean, reach.covariance)


def _apart(joints: Sequence[Joint]) -> Joint:
    """Put quantities that hang on different surfaces beside one another, as if nothing tied them."""
    sizes = np.cumsum([0, *(joint.mean.size for joint in joints)])
    covariance = np.zeros((sizes[-1], sizes[-1]))
    for joint, at in zip(joints, sizes[:-1], strict=True):
        there = slice(at, at + joint.mean.size)
        covariance[there, there] = joint.covariance
    return Joint(np.concatenate([joint.mean for joint in joints]), covariance)


@dataclass(frozen=True)
class FillerOption:
    """One way to close the gaps at both sides: the least width of each strip, in mm."""

    words: str
    left: float
    right: float


def filler_options(total_least: float, narrowest: float) -> Sequence[FillerOption]:
    """Return the ways to share the least gap between a filler at the left, at the right, or both.

    Parameters
    ----------
    total_least
        The narrowest place between the walls less the cabinet's width, mm.
    narrowest
        The narrowest strip worth cutting, mm (3/4 to 1 in, common practice, no source).

    Examples
    --------
    >>> [option.words for option in filler_options(50.0, 19.0)]
    ['left only', 'right only', 'both alike']
    >>> [option.words for option in filler_options(30.0, 19.0)]
    ['left only', 'right only']
    """
    refuse_size("narrowest strip", narrowest)
    if not math.isfinite(total_least):
        raise BadInput(f"total: expected a length in mm, got {total_least}")
    options = []
    if total_least >= narrowest:
        options += [FillerOption("left only", total_least, 0.0), FillerOption("right only", 0.0, total_least)]
    if total_least >= 2 * narrowest:
        options.append(FillerOption("both alike", total_least / 2, total_least / 2))
    return options

"""A filler strip: what closes the gap between a cabinet's face and a wall.

Seen from the room, on its show face: x right, y up from its bottom. Its datum is the long edge that lies
on the cabinet, straight, and its bottom end; the other long edge is scribed to the wall at the face.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW, share
from fitting.cabinet import FittedCabinet, SideName
from fitting.edge import StraightSide
from fitting.errors import BadInput
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
    """A filler at one side of a cabinet; `setback` is how far its face lies behind the cabinet's."""

    side: SideName
    setback: float = 0.0
    saw: float = SAW
    trims: tuple[TrimPlan, ...] = ()
    clearance: float = CLEARANCE
    confidence: float = 0.99


@dataclass(frozen=True, eq=False)
class FittedFiller:
    """A filler; widths across at its face, in mm."""

    plan: FillerPlan
    outline: FittedOutline
    length: float
    at_bottom: float
    at_top: float
    stake: Stake

    @property
    def taper(self) -> float:
        """How much wider it is at the top than at the bottom (mm)."""
        return self.at_top - self.at_bottom


def fit_filler(cabinet: FittedCabinet, plan: FillerPlan) -> FittedFiller:
    """Give the strip that closes the gap at one side of a cabinet, over its whole height.

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
    gap = cabinet.sides.get(plan.side)
    if gap is None:
        raise BadInput(f"the cabinet meets no wall at its {plan.side}: expected one for a filler to close")
    placed, box = cabinet.placed, cabinet.plan
    if not 0 <= plan.setback <= box.depth:
        raise BadInput(f"setback: expected 0 to the cabinet's depth, {box.depth:g} mm, got {plan.setback}")
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
    ends = float(joint.mean[0]), float(joint.mean[-1])
    return FittedFiller(plan, outline, length, *ends, Stake(placed, lines))


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

r"""A face frame: stiles from end to end, rails between them, and openings in between.

Seen from the front; a stile that meets a wall is left wide by what the wall needs there::

      wall                            frame's own width W
        ~|  wide  | stile |------ W - two stiles ------| stile |
        ~|        |       |            rail            |       |
        ~|        |       +----------------------------+       |
        ~|        |       |          opening           |       |
        ~|        |       +----------------------------+       |
        ~|        |       |            rail            |       |
                  x = 0                                        x = W

Frame of its outline: on its show face, x right, y up from its bottom, origin at the left end of its own
width. All sizes in mm. Ends of rails are butted to the stiles (screwed, or with loose dowels); what a tenon
needs is not in a rail's length.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from fitting.allowance import share
from fitting.cabinet import FittedCabinet, SideName
from fitting.edge import MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import Obstacle, Side
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import (
    CLEARANCE,
    EdgePlan,
    TrimPlan,
    baseboard_obstacle,
    meeting,
    of_edges,
    reaches,
    refuse_size,
    refuse_trims,
)
from fitting.stake import Line, Stake, line_of
from fitting.stations import stations

ADDS_UP: Final = 25.4 / 64
"""mm by which openings and rails may miss the frame's height; what is shared out without being seen."""


@dataclass(frozen=True)
class FaceFramePlan:
    """What is asked of a frame.

    Attributes
    ----------
    width, height, thickness : float
        The frame's own, without what a stile is left wide by.
    stile, rail : float
        Their widths.
    openings : tuple of float
        Heights of the openings from the top; empty: one between an upper and a lower rail.
    scribed : mapping
        The sides whose stile is scribed to the wall there, and what is left for the saw.
    trims : tuple of TrimPlan
        Baseboards that such a stile is notched over.
    clearance, confidence : float
        As `fitting.panel.PanelPlan`.
    """

    width: float
    height: float
    thickness: float
    stile: float
    rail: float
    openings: tuple[float, ...] = ()
    scribed: Mapping[SideName, float] = field(default_factory=dict)
    trims: tuple[TrimPlan, ...] = ()
    clearance: float = CLEARANCE
    confidence: float = 0.99


@dataclass(frozen=True)
class Member:
    """A stile, or the rails that are alike: `width` finished, `blank_width` before it is scribed."""

    name: str
    quantity: int
    length: float
    width: float
    blank_width: float


@dataclass(frozen=True)
class Opening:
    """An opening; `from_top` is how far its upper edge lies under the frame's."""

    width: float
    height: float
    from_top: float


@dataclass(frozen=True, eq=False)
class FaceFrame:
    """A frame: its members, the openings that it leaves, its outline, and what of it hangs on the walls."""

    members: tuple[Member, ...]
    openings: tuple[Opening, ...]
    outline: FittedOutline
    stake: Stake | None


def fit_face_frame(plan: FaceFramePlan, cabinet: FittedCabinet | None = None) -> FaceFrame:
    """Divide a frame into its members; leave stiles wide where they meet a wall.

    The frame is set before its cabinet, its upper edge even with the cabinet's, and in the cabinet's middle
    where it is not as wide. A stile is left wide by the gap there between the cabinet's side and the wall.

    Raises
    ------
    BadInput
        Stiles or rails that leave no opening; openings and rails that do not add up to the height: by how
        much is said. A stile scribed to a wall that its cabinet does not meet.

    Examples
    --------
    >>> frame = fit_face_frame(FaceFramePlan(900.0, 700.0, 20.0, 50.0, 40.0, (180.0, 400.0)))
    >>> [(one.name, one.quantity, one.length, one.width) for one in frame.members]
    [('left stile', 1, 700.0, 50.0), ('right stile', 1, 700.0, 50.0), ('rail', 3, 800.0, 40.0)]
    >>> [(one.width, one.height, one.from_top) for one in frame.openings]
    [(800.0, 180.0, 40.0), (800.0, 400.0, 260.0)]
    """
    openings = _openings(plan)
    outline, stake = _outline(plan, cabinet)
    rail = Member("rail", len(openings) + 1, openings[0].width, plan.rail, plan.rail)
    members = (_stile("left", plan, outline), _stile("right", plan, outline), rail)
    return FaceFrame(members, openings, outline, stake)


def _openings(plan: FaceFramePlan) -> tuple[Opening, ...]:
    for what in ("width", "height", "thickness", "stile", "rail"):
        refuse_size(what, getattr(plan, what))
    for height in plan.openings:
        refuse_size("opening", height)
    between = plan.width - 2 * plan.stile
    if between <= 0:
        raise BadInput(
            f"expected stiles that leave an opening in a frame {plan.width:g} wide, got {plan.stile:g} each"
        )
    openings, from_top = [], plan.rail
    for height in _heights(plan):
        openings.append(Opening(between, height, from_top))
        from_top += height + plan.rail
    return tuple(openings)


def _heights(plan: FaceFramePlan) -> tuple[float, ...]:
    left = plan.height - (max(len(plan.openings), 1) + 1) * plan.rail
    if left <= 0:
        raise BadInput(
            f"expected rails that leave an opening in a frame {plan.height:g} high, got {plan.rail:g} each"
        )
    if not plan.openings:
        return (left,)
    off = math.fsum(plan.openings) - left
    if abs(off) > ADDS_UP:
        raise BadInput(
            f"expected openings that add up to {left:g} mm with {len(plan.openings) + 1} rails in a frame "
            f"{plan.height:g} high, got {math.fsum(plan.openings):g}: make them {abs(off):g} "
            f"{'less' if off > 0 else 'more'}, or the frame {abs(off):g} {'higher' if off > 0 else 'lower'}"
        )
    return plan.openings


def _stile(side: SideName, plan: FaceFramePlan, outline: FittedOutline) -> Member:
    edge, own = outline.edges[side], 0.0 if side == "left" else plan.width
    width, blank = plan.stile + (edge.final - own), plan.stile + (edge.blank - own)
    if width <= 0:
        raise BadInput(f"{side} stile: expected something of it left in front of the wall, got {width:g} mm")
    return Member(f"{side} stile", 1, plan.height, width, blank)


def _outline(plan: FaceFramePlan, cabinet: FittedCabinet | None) -> tuple[FittedOutline, Stake | None]:
    ends: dict[SideName, StraightSide | MeetingSide] = {
        "left": StraightSide(0.0),
        "right": StraightSide(plan.width),
    }
    upper = StraightSide(plan.height)
    if not plan.scribed:
        return fit_outline(ends["left"], ends["right"], StraightSide(0.0), upper), None
    if cabinet is None:
        raise BadInput("expected the cabinet that the frame belongs to, for its scribed stile, got none")
    left = cabinet.left + (cabinet.plan.width - plan.width) / 2
    bottom = cabinet.plan.top - plan.height
    ups = stations(bottom, cabinet.plan.top)
    asked: dict[SideName, tuple[str, Joint]] = {}
    for side in plan.scribed:
        gap = cabinet.sides.get(side)
        if gap is None:
            raise BadInput(f"the cabinet meets no wall at its {side}: expected one for its stile")
        places = [(left, -plan.thickness, up) for up in ups]
        asked[side] = gap.wall, cabinet.placed.measure(reaches(side, gap.wall, places))
    refuse_trims(cabinet.placed.room, plan.trims)
    in_the_way = [
        (trim, side)
        for trim in plan.trims
        for side, (wall, _) in asked.items()
        if trim.wall == wall and trim.between(bottom, cabinet.plan.top)
    ]
    each = share(plan.confidence, len(asked) + len(in_the_way))
    obstacles: list[Obstacle] = [
        baseboard_obstacle(trim, side, ups - bottom, asked[side][1], bottom, plan.clearance, each)
        for trim, side in in_the_way
    ]
    for side, (wall, joint) in asked.items():
        ends[side] = meeting(EdgePlan(wall, "scribed", 0.0, plan.scribed[side]), ups - bottom, joint)
    together = of_edges(plan.confidence, len(asked), len(in_the_way))
    outline = fit_outline(
        ends["left"], ends["right"], StraightSide(0.0), upper, obstacles, confidence=together
    )
    lines: dict[Side, Line] = {}
    for side, (wall, _) in asked.items():
        edge = outline.edges[side]
        places = [(left, -plan.thickness, bottom + along) for along in edge.stations]
        lines[side] = line_of(edge, reaches(side, wall, places), math.inf)
    return outline, Stake(cabinet.placed, lines)

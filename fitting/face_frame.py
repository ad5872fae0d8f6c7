r"""A face frame: stiles from end to end, rails between them, and openings in between.

Seen from the front; a stile that meets a wall is left wide by what the wall needs there::

      wall                                 frame's own width W
        ~|  wide  | stile |------ W - two stiles ------| stile |
        ~|        |       |            rail            |       |
        ~|        |       +----------------------------+       |
        ~|        |       |          opening           |       |
        ~|        |       +----------------------------+       |
        ~|        |       |            rail            |       |

All sizes in mm. Ends of rails are butted to the stiles (screwed, or with loose dowels); what a tenon
needs is not in a rail's length.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fitting.edge import FittedEdge
from fitting.errors import BadInput
from fitting.piece import refuse_size

ADDS_UP: Final = 25.4 / 64
"""mm by which openings and rails may miss the frame's height; what is shared out without being seen."""


@dataclass(frozen=True, eq=False)
class FaceFramePlan:
    """What is asked of a frame.

    Attributes
    ----------
    width, height : float
        The frame's own, without what a stile is left wide by.
    stile, rail : float
        Their widths.
    openings : tuple of float
        Heights of the openings from the top; empty: one between an upper and a lower rail.
    left, right : FittedEdge or None
        Where the wall ends a stile: how far out from the frame's own edge the finished stile and its
        blank reach. Nothing: the stile is cut straight.
    """

    width: float
    height: float
    stile: float
    rail: float
    openings: tuple[float, ...] = ()
    left: FittedEdge | None = None
    right: FittedEdge | None = None


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


@dataclass(frozen=True)
class FaceFrame:
    """A frame's members, and the openings that it leaves."""

    members: tuple[Member, ...]
    openings: tuple[Opening, ...]


def fit_face_frame(plan: FaceFramePlan) -> FaceFrame:
    """Divide a frame into its members.

    Raises
    ------
    BadInput
        Stiles or rails that leave no opening; openings and rails that do not add up to the height: by how
        much is said.

    Examples
    --------
    >>> frame = fit_face_frame(FaceFramePlan(900.0, 700.0, 50.0, 40.0, (180.0, 400.0)))
    >>> [(one.name, one.quantity, one.length, one.width) for one in frame.members]
    [('left stile', 1, 700.0, 50.0), ('right stile', 1, 700.0, 50.0), ('rail', 3, 800.0, 40.0)]
    >>> [(one.width, one.height, one.from_top) for one in frame.openings]
    [(800.0, 180.0, 40.0), (800.0, 400.0, 260.0)]
    """
    for what, size in (
        ("width", plan.width),
        ("height", plan.height),
        ("stile", plan.stile),
        ("rail", plan.rail),
        *(("opening", one) for one in plan.openings),
    ):
        refuse_size(what, size)
    between = plan.width - 2 * plan.stile
    if between <= 0:
        raise BadInput(
            f"expected stiles that leave an opening in a frame {plan.width:g} wide, got {plan.stile:g} each"
        )
    heights = _heights(plan)
    openings, from_top = [], plan.rail
    for height in heights:
        openings.append(Opening(between, height, from_top))
        from_top += height + plan.rail
    members = (
        _stile("left stile", plan, plan.left),
        _stile("right stile", plan, plan.right),
        Member("rail", len(heights) + 1, between, plan.rail, plan.rail),
    )
    return FaceFrame(members, tuple(openings))


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


def _stile(name: str, plan: FaceFramePlan, edge: FittedEdge | None) -> Member:
    final, blank = (0.0, 0.0) if edge is None else (edge.final, edge.blank)
    width = plan.stile + final
    if width <= 0:
        raise BadInput(f"{name}: expected something of it left in front of the wall, got {width:g} mm")
    return Member(name, 1, plan.height, width, plan.stile + blank)

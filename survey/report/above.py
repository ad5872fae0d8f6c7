"""What stands over a top: whether it can be let down into its place from above, and what room there is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from shapely import Polygon  # type: ignore[import-untyped]

from fitting.outline import FittedOutline
from fitting.placement import Placed
from fitting.top import FittedTop
from survey.finding import Finding, finding
from survey.records import BoxPiece, Top, Trim
from survey.report.boxes import fitted_box, footprint
from survey.report.context import Context, NotReady
from survey.report.trim import HIGHEST, heights_of, plan_of

Ring = list[tuple[float, float]]

CEILING = "the ceiling"
OVERLAPS = 100.0
"""mm2 of a top that must lie under something before that counts as over it: less is a touch."""


@dataclass(frozen=True)
class Above:
    """How a top can be let down.

    Attributes
    ----------
    room
        mm from its upper face to the lowest thing over it; nothing where none is known.
    under
        What that is.
    raised
        mm by which its underside must come up to pass over all that it is notched around.
    over
        The highest of that.
    """

    room: float | None
    under: str
    raised: float
    over: str

    @property
    def barred(self) -> bool:
        """Whether it cannot be let down, as far as what stands over it is known."""
        return math.isinf(self.raised) or (self.room is not None and self.room < self.raised)


def above(context: Context, piece: Top, top: FittedTop) -> Above:
    """Look at what stands over a top, and how high what it is notched around reaches."""
    plan, raised, over = top.plan, 0.0, ""
    notched = {name for one in top.outline.notches for name in one.obstacles}
    notched |= {name for one in top.outline.holes for name in one.obstacles}
    for trim in plan.trims:
        need = math.inf if trim.top >= HIGHEST else trim.top - (plan.upper - plan.thickness)
        if trim.name in notched and need > raised:
            raised, over = need, trim.name
    things = list(_things(context, piece, top))
    lowest = min(things, default=None)
    if lowest is None:
        return Above(None, "", raised, over)
    return Above(max(lowest[0] - plan.upper, 0.0), lowest[1], raised, over)


def let_down(context: Context, found: Above) -> str:
    """Say whether and with how much room a top is let down."""
    near = context.printer
    if math.isinf(found.raised):
        return f"not down from above: `{found.over}` goes all the way up"
    under = _under(found)
    if found.room is None:
        return "down from above, if nothing bars that"
    room = near.down(found.room).text
    if found.barred:
        need = near.up(found.raised).text
        return f"not down from above: {room} of room under {under}, and {need} to pass over `{found.over}`"
    return f"down from above, with {room} of room under {under}"


def no_way_down(context: Context, piece: Top, found: Above) -> Finding:
    """Return the finding that a top only goes in from above, and that something bars that."""
    if math.isinf(found.raised):
        why = f"`{found.over}` goes all the way up"
        do = "open its notch to the edge it comes from, or make it in two"
    else:
        room, need = context.printer.down(found.room or 0.0).text, context.printer.up(found.raised).text
        why = f"there are {room} under {_under(found)}, and it needs {need} to pass over `{found.over}`"
        do = f"fit `{piece.name}` before what hangs there, or make it in two"
    return finding(547, [piece.id], [piece.name], piece=piece.name, why=why, do=do)


def _under(found: Above) -> str:
    return found.under if found.under == CEILING else f"`{found.under}`"


def _things(context: Context, piece: Top, top: FittedTop) -> Iterator[tuple[float, str]]:
    """Give the height of the underside of each thing over a top, and its name."""
    shape = Polygon(_in_room(top.placed, top.outline, top.datum))
    for box in context.survey.of(BoxPiece):
        if box.bottom is None or box.name == piece.on:
            continue
        known = _known(context, box)
        if known is None:
            continue
        bottom, corners = known
        left_front, left_back, right_front, right_back = corners
        ring = Polygon([left_front, right_front, right_back, left_back])
        if bottom >= top.plan.upper and shape.intersection(ring).area > OVERLAPS:
            yield bottom, box.name
    for trim in context.survey.of(Trim):
        low, _ = heights_of(context, trim)
        walls = {edge.wall for edge in top.plan.edges.values()}
        if trim.wall not in walls or trim.fate == "comes off" or low is None or low < top.plan.upper:
            continue
        if trim.type == "crown" or (trim.type == "sill" and _is_over(context, shape, trim, low)):
            yield low, trim.name
    ceiling = context.room.level("ceiling", [(float(x), float(y)) for x, y in shape.exterior.coords])
    if ceiling is not None:
        yield float(ceiling.mean.min()), CEILING


def _is_over(context: Context, shape: Polygon, trim: Trim, low: float) -> bool:
    """Whether a sill stands over a shape in the plan, where its place and its size were read."""
    if trim.width is None or trim.projection is None or not context.room.feature_placed(trim.name):
        return False
    sign = 1.0 if trim.toward == "right" else -1.0
    (ux, uy), (nx, ny) = context.room.axes(trim.wall)
    x, y = context.room.point(trim.name, 0.0).mean
    ring = [
        (x + sign * a * ux + o * nx, y + sign * a * uy + o * ny)
        for a, o in plan_of(trim, low, low + 1.0).section()
    ]
    return bool(Polygon(ring).intersection(shape).area > OVERLAPS)


def _known(context: Context, box: BoxPiece) -> tuple[float, Ring] | None:
    """Return the underside of a hung cabinet and its corners, if it has a place; what is found is its own."""
    before = len(context.findings)
    try:
        fitted = fitted_box(context, box)
    except NotReady:
        return None
    finally:
        del context.findings[before:]
    return fitted.plan.bottom, footprint(fitted)


def _in_room(placed: Placed, outline: FittedOutline, datum: tuple[float, float]) -> np.ndarray:
    return np.array([placed.frame.to_room(datum[0] + x, datum[1] + y) for x, y in outline.outline])

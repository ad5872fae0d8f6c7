"""Heights that planning guides and accessibility standards name: said as something to check if asked.

A house is seldom bound by them; nothing here stops a piece or doubts it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from fitting.mirror import REFLECTING_EDGE
from fitting.top import FittedTop
from survey.finding import Finding, finding
from survey.records import CutOut, Piece
from survey.report.context import Context

INCH: Final = 25.4
VANITY: Final = (32 * INCH, 43 * INCH)
"""mm above the floor, 32 to 43 in, recommended for a vanity (trade planning guidelines)."""
VANITY_RULE: Final = (
    "32 to 43 in is recommended for a vanity (trade planning guidelines); where the 2010 ADA Standards are "
    "asked for, 606.3 has rim or counter at 34 in at the most"
)
MIRROR_RULE: Final = "40 in at the most over a lavatory or counter (2010 ADA Standards 603.3, from memory)"


def basin_height(context: Context, piece: Piece, top: FittedTop) -> Iterator[Finding]:
    """Say of a top with something cut out of it for a basin that it is higher or lower than is usual."""
    for_item = [one for one in context.survey.of(CutOut) if one.of == piece.name and one.item is not None]
    floor = context.room.level("floor", [top.placed.frame.to_room(*top.datum)])
    if not for_item or floor is None:
        return
    height = top.plan.upper - float(floor.mean[0])
    if not VANITY[0] <= height <= VANITY[1]:
        yield _said(context, piece, f"the upper face of `{piece.name}`", height, VANITY_RULE)


def reflecting_edge(
    context: Context, piece: Piece, bottom: float, point: tuple[float, float]
) -> Iterator[Finding]:
    """Say of a mirror that its lower edge, at `bottom`, is higher than the standards have it."""
    floor = context.room.level("floor", [point])
    if floor is not None and bottom - float(floor.mean[0]) > REFLECTING_EDGE:
        height = bottom - float(floor.mean[0])
        yield _said(context, piece, f"the lower edge of `{piece.name}`", height, MIRROR_RULE)


def _said(context: Context, piece: Piece, what: str, height: float, rule: str) -> Finding:
    told = context.printer.near(height).text
    return finding(553, [piece.id], [piece.name], what=what, height=told, rule=rule)

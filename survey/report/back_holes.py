"""Holes in a cabinet's back for what comes out of the wall there, from its left side and its underside."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from fitting.cabinet import FittedCabinet
from fitting.placement import Spotted
from survey.records import BoxPiece, Piece, RoughIn
from survey.report.context import Context, mm
from survey.report.printing import Printer
from survey.report.structs import HoleReport, PieceReport

AROUND = 25.4 / 4
"""mm kept clear all round a pipe in a back, 1/4 in: an escutcheon hides it (common practice, no source)."""
PIPES_BEHIND = (
    "Its back is bored for pipes: shut water, gas and power off first; all work on pipes and gas is for a "
    "licensed trade, and the local code says what must stay reachable."
)
NOT_CHECKED = (
    "Only the holes in its back are given: whether a pipe meets a side, a shelf or a drawer is not checked."
)


def with_back_holes(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell of a cabinet where its back is bored, and how large, for every stub behind it."""
    if not isinstance(piece, BoxPiece) or piece.name not in context.cabinets:
        return told
    box, _ = context.cabinets[piece.name]
    behind = tuple(_behind(context, box))
    if not behind:
        return told
    holes = tuple(_hole(context.printer, one, across, up) for one, across, up in behind)
    unread = " and ".join(f"`{one.name}`" for one, _, _ in behind if one.diameter is None)
    centre_only = (f"Of {unread} the centre is given alone: no diameter was read.",) if unread else ()
    cautions = (*told.cautions, PIPES_BEHIND, NOT_CHECKED, *centre_only)
    return replace(told, holes=holes, cautions=cautions)


def _behind(context: Context, box: FittedCabinet) -> Iterator[tuple[RoughIn, float, float]]:
    """Give the pipes that meet a box's back, and how far from its left side and its underside (mm)."""
    plan = box.plan
    for one in context.survey.of(RoughIn):
        height = context.room.feature_height(one.name) if one.wall == plan.wall else None
        if height is None or not context.room.feature_placed(one.name):
            continue
        up = float(height.mean[0])
        (x,) = box.placed.expect([Spotted(one.name, up, "x")])
        across, half = float(x) - box.left, mm(one.diameter) / 2
        if -half < across < plan.width + half and plan.bottom - half < up < plan.top + half:
            yield one, across, up - plan.bottom


def _hole(printer: Printer, one: RoughIn, across: float, up: float) -> HoleReport:
    size = None if one.diameter is None else printer.up(mm(one.diameter) + 2 * AROUND)
    return HoleReport(
        one.name, printer.near(across), "from the left side", printer.near(up), "from the underside", size
    )

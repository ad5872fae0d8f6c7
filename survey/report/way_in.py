"""All of a piece's way in: what is on the way, its place, and what is lifted."""

from __future__ import annotations

from msgspec.structs import replace

from fitting.getting_in.weight import CAUTION
from survey.records import Piece
from survey.report.carried import carried_states
from survey.report.context import Context
from survey.report.lifts import lift_report
from survey.report.structs import PieceReport
from survey.report.way import on_the_way
from survey.report.way_place import at_the_place


def with_way(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Return a piece with its way in and who lifts it; what is small, or not ready, has none."""
    states = () if told.status == "not ready" else carried_states(context, piece, told)
    if not states:
        return told
    way = (*on_the_way(context, piece, states), *at_the_place(context, piece, told, states))
    lift = lift_report(context, piece, told, states[0])
    cautions = told.cautions if lift is None else (*told.cautions, CAUTION)
    return replace(told, way=way, lift=lift, cautions=cautions)

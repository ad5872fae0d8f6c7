"""Parts of which only a size was said: listed so, because nothing ties them to the room or to a piece."""

from __future__ import annotations

from survey.finding import finding
from survey.records import SizedPiece, kind_of
from survey.report.context import Context, mm
from survey.report.structs import NamedDimension, PieceReport


def as_typed(context: Context, piece: SizedPiece) -> PieceReport:
    """List a part at the size typed, and say that nothing of it was computed."""
    context.note(finding(507, [piece.id], [piece.name], piece=piece.name))
    sizes = typed_sizes(context, piece)
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "as typed",
        piece.material,
        piece.grain,
        piece.quantity,
        finished=sizes,
        blank=sizes,
    )


def typed_sizes(context: Context, piece: SizedPiece) -> tuple[NamedDimension, ...]:
    """Return a part's sizes as they were typed."""
    return tuple(
        NamedDimension(name, context.printer.near(mm(getattr(piece, name))))
        for name in ("width", "height", "thickness")
    )

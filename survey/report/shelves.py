"""Shelves in the report: level boards between walls, in a corner, or between two panels."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from msgspec.structs import replace

from fitting.shelf import tilted, turning
from survey.finding import Finding, finding
from survey.records import Edge, Panel, Shelf, Top, TypedLength
from survey.records.pieces import OPEN
from survey.report.as_typed import as_typed
from survey.report.boxes import HANGING
from survey.report.context import Context, NotReady, gap_of, mm, not_made, not_said
from survey.report.met import panel_face
from survey.report.needs import need_mark
from survey.report.structs import EdgeReport, NamedDimension, PieceReport
from survey.report.tops import top_report

SHELF_LOAD: Final = "What the shelf carries, and how much it sags, is not worked out."


def shelf_report(context: Context, piece: Shelf) -> PieceReport:
    """Tell a shelf: a level board like a top; one that nothing ties to the room is listed as typed."""
    if all(edge.meets is None for edge in (piece.left, piece.right, piece.back)):
        return as_typed(context, piece)
    if piece.up is None:
        what = f"how high the upper face of shelf `{piece.name}` is"
        raise NotReady(not_said(piece, what, "say `up`"))
    if piece.left.meets is None and piece.right.meets is None:
        what = f"where along wall `{piece.wall}` shelf `{piece.name}` is"
        raise NotReady(not_said(piece, what, "let an end meet a wall"))
    panels = [None if edge.meets is None else context.record(edge.meets, Panel) for edge in _ends(piece)]
    left, right = panels
    room: float | None
    if left is not None and right is not None:
        told, room = _between_panels(context, piece, left, right)
    else:
        told = top_report(context, _as_top(piece))
        room = turning(context.tops.pop(piece.name)).tilt_room
    measures = told.measures
    if room is not None:
        context.note(*_jams(context, piece, room))
        if room >= 0:
            size = context.printer.down(room)
            measures = (*measures, NamedDimension("room to turn it level between its ends", size))
    return replace(told, kind="shelf", measures=measures, cautions=(*HANGING, SHELF_LOAD))


def _ends(piece: Shelf) -> tuple[Edge, Edge]:
    return piece.left, piece.right


def _as_top(piece: Shelf) -> Top:
    """Return the top that lies as the shelf does: where walls are at both its ends, they say its width."""
    between = piece.left.meets is not None and piece.right.meets is not None
    return Top(
        id=piece.id,
        taken=piece.taken,
        name=piece.name,
        material=piece.material,
        grain=piece.grain,
        quantity=piece.quantity,
        wall=piece.wall,
        up=piece.up,
        thickness=piece.thickness,
        depth=piece.height,
        width=None if between else piece.width,
        left=piece.left,
        right=piece.right,
        back=piece.back,
    )


def _between_panels(context: Context, piece: Shelf, left: Panel, right: Panel) -> tuple[PieceReport, float]:
    """Tell a shelf between the faces of two panels, which stand plumb and square to one wall."""
    for panel, edge in ((left, piece.left), (right, piece.right)):
        if panel.wall != piece.wall:
            why = f"it is at wall `{piece.wall}`, and `{panel.name}` stands at wall `{panel.wall}`"
            raise NotReady(not_made(piece, why, "say the wall of both panels", panel.id))
        if edge.finish not in ("net", "covered"):
            why = f"its end at `{panel.name}` is to be {edge.finish}, and only a net one is worked out"
            raise NotReady(not_made(piece, why, "say net, with the gap", panel.id))
    start = _face(context, piece, left, "right")
    end = _face(context, piece, right, "left")
    width = end - start - gap_of(piece.left) - gap_of(piece.right)
    if width <= 0:
        room = context.printer.near(max(end - start, 0.0)).text
        why = f"between `{left.name}` and `{right.name}` are {room}"
        raise NotReady(not_made(piece, why, "look at where the panels stand, facing their wall"))
    mark, along = _measured_from(context, piece, left, start + gap_of(piece.left), width)
    alone = replace(
        _as_top(piece),
        left=OPEN,
        right=OPEN,
        width=_typed(width),
        from_=mark,
        along=_typed(along),
    )
    told = top_report(context, alone)
    del context.tops[piece.name]
    ends = tuple(
        EdgeReport(side, f"`{panel.name}`", edge.finish, context.printer.up(gap_of(edge)))
        for side, panel, edge in (("left", left, piece.left), ("right", right, piece.right))
    )
    width_cut = context.printer.down(width)
    finished, blank = (
        tuple(replace(one, size=width_cut) if one.name == "width" else one for one in sizes)
        for sizes in (told.finished, told.blank)
    )
    told = replace(told, finished=finished, blank=blank, edges=(*ends, *told.edges))
    return told, end - start - tilted(width, mm(piece.thickness))


def _face(context: Context, piece: Shelf, panel: Panel, toward: str) -> float:
    """Return where along the wall a panel's face is that looks to one side."""
    context.note(*need_mark(context, piece, panel.wall, panel.from_, mm(panel.along)))
    return context.along(panel.wall, panel.from_, mm(piece.up)) + panel_face(context, panel, toward)


def _measured_from(
    context: Context, piece: Shelf, panel: Panel, start: float, width: float
) -> tuple[str, float]:
    """Return a corner of the wall, or else what the panel is measured from, and how far it is from there."""
    plan, up = context.room.plan, mm(piece.up)
    left, right = (plan.corner_at(piece.wall, end) for end in ("left", "right"))
    if left is not None:
        return left.name, start - context.along(piece.wall, left.name, up)
    if right is not None:
        return right.name, context.along(piece.wall, right.name, up) - start - width
    return panel.from_, start - context.along(piece.wall, panel.from_, up)


def _typed(length: float) -> TypedLength:
    return TypedLength(f"{length:.4f}", "mm")


def _jams(context: Context, piece: Shelf, room: float) -> Iterator[Finding]:
    if room < 0:
        lacking = context.printer.up(-room).text
        yield finding(552, [piece.id], [piece.name], piece=piece.name, lacking=lacking, gap=lacking)

"""Fillers and panels in the report: upright flat pieces, drawn on their show face."""

from __future__ import annotations

from fitting.allowance import SAW
from fitting.filler import FillerPlan, fit_filler
from fitting.panel import PanelPlan, fit_panel
from fitting.piece import CLEARANCE
from survey.finding import Finding, finding
from survey.records import BoxPiece, Filler, Panel
from survey.report.boxes import HANGING, fitted_box
from survey.report.context import Context, NotReady, mm
from survey.report.flat import Words, flat_report
from survey.report.needs import need_place, need_upright_check
from survey.report.structs import NamedDimension, PieceReport

LIMITS = (
    "joint over its edges at walls: the blank covers the wall over its whole height; "
    "not whether it can be brought in"
)


def filler_report(context: Context, piece: Filler) -> PieceReport:
    """Tell a filler strip."""
    record = context.record(piece.beside, BoxPiece)
    if not isinstance(record, BoxPiece):
        raise NotReady(_no_cabinet(piece))
    box = fitted_box(context, record)
    gap = box.sides.get(piece.side)
    if gap is None:
        raise NotReady(
            finding(
                306,
                [piece.id, record.id],
                [piece.name],
                what=f"which wall the {piece.side} side of `{record.name}` meets",
                do=f"say what its {piece.side} edge meets",
            )
        )
    missing = need_upright_check(
        context, piece, gap.wall, _face(context, gap.wall, box.plan.depth), box.plan.bottom, box.plan.top
    )
    if missing:
        raise NotReady(*missing)
    trims = context.trims(piece, {gap.wall}, ("baseboard", "sill"))
    plan = FillerPlan(piece.side, mm(piece.setback), mm(piece.saw, SAW), trims, CLEARANCE, context.confidence)
    strip = fit_filler(box, plan)
    words = Words(
        {"left": "left", "right": "right", "front": "bottom", "back": "top"},
        {piece.side: f"wall {gap.wall}"},
        "from the long edge at the cabinet",
        "from the bottom",
        "width",
        "length",
        piece.side == "left",
    )
    flat = flat_report(context, piece, strip.outline, words)
    context.note(*flat.findings)
    printer = context.printer
    thickness = NamedDimension("thickness", printer.near(mm(piece.thickness)))
    measures = (
        printer.named("gap at the face, bottom", strip.at_bottom),
        printer.named("gap at the face, top", strip.at_top),
        printer.named("taper, bottom to top", strip.taper),
    )
    return PieceReport(
        piece.name,
        "filler",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "long edge at the cabinet and bottom end",
        f"its long edge on the {piece.side} side of `{record.name}`, at the face; the other is scribed",
        (*flat.finished, thickness),
        (*flat.blank, thickness),
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        measures,
        (),
        tuple(dict.fromkeys(one.number for one in flat.findings)),
        context.confidence,
        LIMITS,
        context.readings_of({gap.wall, *box.placed.walls()}),
    )


def panel_report(context: Context, piece: Panel) -> PieceReport:
    """Tell an upright panel."""
    back = context.edge(piece, "back", piece.back)
    wall = context.wall(piece.wall, piece)
    if back is None or back.wall != wall:
        raise NotReady(
            finding(
                306,
                [piece.id],
                [piece.name],
                what=f"how the back edge of `{piece.name}` meets wall `{wall}`",
                do="say `back meets` that wall, scribed or net",
            )
        )
    bottom, height = mm(piece.bottom), mm(piece.height)
    missing = need_place(context, piece, [wall])
    known = context.room.plan
    if known.corner(piece.from_) is None and known.feature(piece.from_) is None:
        missing.append(finding(304, [piece.id], [piece.name], name=piece.from_))
    if missing:
        raise NotReady(*missing)
    out = context.signed_out(wall, piece.from_, mm(piece.along))
    along = float(context.room.along(wall, piece.from_, bottom).mean[0]) + out
    if piece.bottom is None:
        bottom = _floor(context, piece, wall, along)
    missing = need_upright_check(context, piece, wall, along, bottom, bottom + height)
    if missing:
        raise NotReady(*missing)
    trims = context.trims(piece, {wall}, ("baseboard", "sill"))
    plan = PanelPlan(
        back,
        piece.from_,
        out,
        piece.show,
        mm(piece.depth),
        mm(piece.thickness),
        bottom,
        height,
        mm(piece.clearance, CLEARANCE),
        trims,
        context.confidence,
    )
    panel = fit_panel(context.room, plan)
    words = Words(
        {
            "left": "back" if piece.show == "left" else "front",
            "right": "front" if piece.show == "left" else "back",
            "front": "bottom",
            "back": "top",
        },
        {piece.show: f"wall {wall}"},
        "from the front",
        "from the bottom",
        "depth",
        "height",
        piece.show == "left",
    )
    flat = flat_report(context, piece, panel.outline, words)
    context.note(*flat.findings)
    thickness = NamedDimension("thickness", context.printer.near(plan.thickness))
    return PieceReport(
        piece.name,
        "panel",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "front edge and bottom",
        f"plumb and square to wall `{wall}`, pushed back until it touches; drawn on its show face, "
        f"which looks to the {piece.show} of someone facing the wall",
        (*flat.finished, thickness),
        (*flat.blank, thickness),
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        (),
        HANGING if piece.bottom is not None else (),
        tuple(dict.fromkeys(one.number for one in flat.findings)),
        context.confidence,
        LIMITS,
        context.readings_of({wall, piece.from_}),
    )


def _face(context: Context, wall: str, depth: float) -> float:
    """Return where along a side wall a cabinet's face meets it."""
    room = context.room
    for end, sign in (("right", -1.0), ("left", 1.0)):
        corner = room.plan.corner_at(wall, end)
        if corner is not None and room.plan.back in (corner.left, corner.right):
            return float(room.along(wall, corner.name, 0.0).mean[0]) + sign * depth
    corner = room.plan.corner_at(wall, "right") or room.plan.corner_at(wall, "left")
    return 0.0 if corner is None else float(room.along(wall, corner.name, 0.0).mean[0])


def _floor(context: Context, piece: Panel, wall: str, along: float) -> float:
    """Return the height of the floor where a panel stands, the higher of its front and back."""
    room = context.room
    foot_x, foot_y = room.foot(wall)
    (ux, uy), (nx, ny) = room.axes(wall)
    points = [
        (foot_x + along * ux + out * nx, foot_y + along * uy + out * ny) for out in (0.0, mm(piece.depth))
    ]
    floor = room.level("floor", points)
    if floor is None:
        raise NotReady(finding(303, [piece.id], [piece.name]))
    return float(floor.mean.max())


def _no_cabinet(piece: Filler) -> Finding:
    return finding(
        103,
        [piece.id],
        [piece.name],
        what=f"filler `{piece.name}`",
        name=piece.beside,
        known="it must be a cabinet of this survey",
    )

"""Face frames in the report: stiles, rails and openings; stiles left wide where they meet a wall."""

from __future__ import annotations

from fitting.allowance import SAW
from fitting.cabinet import FittedCabinet, SideName
from fitting.face_frame import FaceFrame, FaceFramePlan, Member, fit_face_frame
from fitting.notch import Side
from fitting.piece import TrimPlan
from survey.finding import Finding
from survey.records import Edge, kind_of
from survey.records import FaceFrame as FaceFrameRecord
from survey.report.as_typed import as_typed
from survey.report.boxes import cabinet_named, face_along, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.flat import Words, flat_report
from survey.report.needs import need_upright_check
from survey.report.printing import Printer
from survey.report.structs import NamedDimension, PartReport, PieceReport
from survey.report.trim import runs_into, span_in, trims_on

LIMITS = "joint over its stiles at walls: their blanks cover the wall over their whole height"
AT_FACE = ("casing", "sill")
"""Trim with an end, which a stile at a cabinet's face meets or does not."""


def face_frame_report(context: Context, piece: FaceFrameRecord) -> PieceReport:
    """Tell a face frame."""
    scribed = _scribed(context, piece)
    if piece.stile is None and piece.rail is None and not scribed:
        return as_typed(context, piece)
    _refuse_unsaid(piece)
    cabinet, box = (None, None) if piece.of is None else cabinet_named(context, piece, piece.of)
    plan = _plan(context, piece, box, scribed)
    frame = fit_face_frame(plan, box)
    context.at_stake(piece, frame.stake)
    sides: dict[Side, str] = {"left": "left", "right": "right", "front": "bottom", "back": "top"}
    meets: dict[Side, str] = {side: f"wall {wall}" for side, wall in scribed.items()}
    words = Words(sides, meets, "from the left end of its own width", "from the bottom", "width", "height")
    flat = flat_report(context, piece, frame.outline, words, plan.thickness)
    resting = context.readings_of(walls_of(box), rests_on(cabinet)) if box and cabinet and scribed else ()
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "bottom, and the left end of its own width",
        _rule(piece, scribed),
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        tuple(_openings(context.printer, frame)),
        confidence=context.confidence if scribed else None,
        limits=LIMITS if scribed else "",
        readings=resting,
        parts=tuple(_part(context.printer, plan, one) for one in frame.members),
    )


def _scribed(context: Context, piece: FaceFrameRecord) -> dict[SideName, str]:
    """Return the walls that its stiles are scribed to."""
    sides: tuple[tuple[SideName, Edge], ...] = (("left", piece.left), ("right", piece.right))
    walls: dict[SideName, str] = {}
    for side, edge in sides:
        asked = context.edge(piece, side, edge)
        if asked is None:
            continue
        if asked.finish != "scribed":
            why = f"its {side} stile is to be {asked.finish}, and a stile at a wall is scribed to it"
            raise NotReady(
                not_made(piece, why, "say scribed, or leave it open and close the gap by a filler")
            )
        walls[side] = asked.wall
    return walls


def _refuse_unsaid(piece: FaceFrameRecord) -> None:
    missing = [
        not_said(piece, f"how wide the {name}s of `{piece.name}` are", f"say `{name}` and its width")
        for name, width in (("stile", piece.stile), ("rail", piece.rail))
        if width is None
    ]
    if missing:
        raise NotReady(*missing)


def _plan(
    context: Context, piece: FaceFrameRecord, box: FittedCabinet | None, scribed: dict[SideName, str]
) -> FaceFramePlan:
    height, thickness = mm(piece.height), mm(piece.thickness)
    trims: tuple[TrimPlan, ...] = ()
    if scribed:
        if box is None:
            raise NotReady(
                not_said(piece, f"which cabinet `{piece.name}` belongs to", "say `of` and its name")
            )
        top = box.plan.top
        for side, wall in scribed.items():
            _refuse_other_wall(piece, box, side, wall)
            face = face_along(context, box, side)
            context.note(*need_upright_check(context, piece, wall, face, top - height, top))
        trims = trims_on(context, piece, set(scribed.values()), ("baseboard",), top - height, top)
        context.note(*_at_the_face(context, piece, box, set(scribed.values())))
    saws = {"left": piece.left.saw, "right": piece.right.saw}
    return FaceFramePlan(
        mm(piece.width),
        height,
        thickness,
        mm(piece.stile),
        mm(piece.rail),
        tuple(mm(one) for one in piece.openings),
        {side: mm(saws[side], SAW) for side in scribed},
        trims,
        confidence=context.confidence,
    )


def _refuse_other_wall(piece: FaceFrameRecord, box: FittedCabinet, side: SideName, wall: str) -> None:
    gap = box.sides.get(side)
    if gap is None or gap.wall != wall:
        what = f"that the {side} side of `{piece.of}` meets wall `{wall}`, as its frame does,"
        raise NotReady(not_said(piece, what, f"say `{side} meets {wall}` of `{piece.of}` too"))


def _at_the_face(
    context: Context, piece: FaceFrameRecord, box: FittedCabinet, walls: set[str]
) -> list[Finding]:
    """Trim that a stile meets instead of the wall."""
    found, thickness = [], mm(piece.thickness)
    bottom = box.plan.top - mm(piece.height)
    for trim in trims_on(context, piece, walls, AT_FACE, bottom, box.plan.top):
        near, far = span_in(context, box.placed, trim)
        if near < 0.0 and far > -thickness:
            do = f"scribe its stile to `{trim.name}` on site, or make the cabinet shallower"
            found.append(runs_into(context, piece, trim, do))
    return found


def _rule(piece: FaceFrameRecord, scribed: dict[SideName, str]) -> str:
    before = f"before `{piece.of}`, upper edges even; " if piece.of else ""
    wide = "".join(f"; {side} stile left wide and scribed to wall `{wall}`" for side, wall in scribed.items())
    return f"{before}stiles from end to end, rails butted between them: add what a tenon needs{wide}"


def _openings(printer: Printer, frame: FaceFrame) -> list[NamedDimension]:
    told = []
    for number, one in enumerate(frame.openings, 1):
        which = f"opening {number}" if len(frame.openings) > 1 else "opening"
        told += [
            printer.named(f"{which}, width", one.width),
            printer.named(f"{which}, height", one.height),
            printer.named(f"{which}, from the top", one.from_top),
        ]
    return told


def _part(printer: Printer, plan: FaceFramePlan, one: Member) -> PartReport:
    """Tell a member; what a wall takes of a stile rounds up, as its edge does."""
    thick = NamedDimension("thickness", printer.near(plan.thickness))
    length = NamedDimension("length", printer.near(one.length))
    cut_straight = one.width == one.blank_width
    finished = printer.near(one.width) if cut_straight else printer.up(one.width)
    rough = finished if cut_straight else printer.up(finished.cut_mm + one.blank_width - one.width)
    return PartReport(
        one.name,
        one.quantity,
        (length, NamedDimension("width", finished), thick),
        (length, NamedDimension("width", rough), thick),
        grain="along length",
        note="" if cut_straight else "width where the wall is nearest; scribed to it",
    )

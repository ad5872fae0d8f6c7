"""The fit report of a survey: the readings are adjusted once, then each piece is answered in turn."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from fitting.errors import FittingError
from fitting.site import KnownRoom, know_room, learn
from survey.finding import Finding, about, finding, merged
from survey.observe import Observed, observe
from survey.quantity import read_step
from survey.records import (
    BoxPiece,
    Cabinet,
    CabinetDoor,
    CaseBack,
    Cleat,
    Drawer,
    Edge,
    FaceFrame,
    FalseFront,
    Filler,
    LightStrip,
    Mirror,
    Panel,
    Piece,
    Record,
    Room,
    Shelf,
    Splash,
    Stretcher,
    Survey,
    TallCabinet,
    ToeKick,
    Top,
    kind_of,
)
from survey.records.canonical import survey_hash
from survey.report.as_typed import as_typed
from survey.report.back_holes import with_back_holes
from survey.report.bench import cleat_report, drawer_report, false_front_report, stretcher_report
from survey.report.boxes import box_report
from survey.report.context import Context, NotReady, not_made
from survey.report.cut_outs import with_cut_outs
from survey.report.entry import with_entry
from survey.report.face_frames import face_frame_report
from survey.report.fillers import filler_report
from survey.report.fixed_parts import case_back_report, light_strip_report, toe_kick_report
from survey.report.fixings import with_fixings
from survey.report.fronts import door_report, with_way_out
from survey.report.likely import with_chance
from survey.report.on_the_wall import mirror_report
from survey.report.order import day_order
from survey.report.printing import Printer
from survey.report.room import room_report
from survey.report.rough import with_rough
from survey.report.shelves import shelf_report
from survey.report.splashes import splash_report
from survey.report.spoilt import makes_no_room
from survey.report.stock import with_stock
from survey.report.structs import FitReport, OrderStep, PieceReport, RoomReport
from survey.report.top_rules import with_corners, with_top_rules
from survey.report.tops import top_report
from survey.report.uprights import panel_report
from survey.report.way_in import with_way

ANSWERS: dict[type[Piece], Callable[[Context, Any], PieceReport]] = {
    Cabinet: box_report,
    TallCabinet: box_report,
    Top: top_report,
    Filler: filler_report,
    Panel: panel_report,
    Splash: splash_report,
    Shelf: shelf_report,
    Mirror: mirror_report,
    ToeKick: toe_kick_report,
    LightStrip: light_strip_report,
    CaseBack: case_back_report,
    CabinetDoor: door_report,
    FaceFrame: face_frame_report,
    Drawer: drawer_report,
    FalseFront: false_front_report,
    Stretcher: stretcher_report,
    Cleat: cleat_report,
}
"""Which function tells which kind of piece; a kind that is not here is listed at the size typed."""

FAULTS = (ArithmeticError, LookupError, ValueError, TypeError, AttributeError, AssertionError)
"""What a fault in the program shows as; it must not take the other pieces' numbers with it."""

DOUBLED = 102
"""The finding of a name that is used twice: what rests on that name is not known."""


def answer(survey: Survey) -> tuple[FitReport, Context | None]:
    """Return the fit report together with what it was worked out from, the adjusted room among it.

    Never refuses: what cannot be answered is a finding, and a piece that rests on it is not ready. The
    numbers of the findings are not yet with the pieces: the readings have not been judged.
    """
    observed = observe(survey)
    walled = _with_walls(survey)
    findings = list(observed.findings)
    room = _adjusted(observed, findings)
    job = survey.job
    step = read_step(job.step if job else "1/16")
    confidence = job.confidence if job else 0.99
    told, context = RoomReport(), None
    order: tuple[OrderStep, ...] = ()
    if room is None:
        pieces = [_not_ready(piece) for piece in survey.of(Piece)]
    else:
        context = Context(walled, observed, _learned(room), room, Printer(step), confidence)
        pieces = [
            _brought_in(context, piece, _weighed(context, _answered(context, piece)))
            for piece in walled.of(Piece)
        ]
        pieces = with_stock(context, pieces)
        findings += context.findings
        told = room_report(context)
        order, knots = day_order(context, pieces)
        findings += knots
    report = FitReport(
        "scribefit fit report",
        3,
        job.title if job else "",
        job.unit if job else "in",
        str(step),
        confidence,
        survey_hash(survey),
        told,
        tuple(pieces),
        merged(findings),
        order,
        len(survey.records),
    )
    return report, context


def _with_walls(survey: Survey) -> Survey:
    """Give every piece the wall that it has without saying so: its cabinet's, or the room's back wall."""
    rooms = survey.of(Room)
    back = rooms[-1].back if rooms else "back"
    boxes = {box.name: box.wall or back for box in survey.of(BoxPiece)}

    def walled(record: Record) -> Record:
        if not isinstance(record, BoxPiece | Top | Panel | Shelf | Mirror) or record.wall:
            return record
        with_it = record.on if isinstance(record, Top) else None
        with_it = record.centred or record.of if isinstance(record, Mirror) else with_it
        wall = boxes.get(with_it or "", back)
        return msgspec.structs.replace(record, wall=wall)

    return Survey(walled(record) for record in survey.records)


def _adjusted(observed: Observed, findings: list[Finding]) -> KnownRoom | None:
    """Return the room, or nothing and the finding that says why."""
    if observed.plan is None:
        return None
    try:
        return know_room(observed.plan, observed.readings, observed.prior)
    except FittingError as problem:
        findings.append(makes_no_room(observed, problem))
        return None


def _learned(room: KnownRoom) -> KnownRoom:
    """Return the room with its walls as uneven as its readings say; as it is where nothing comes of that."""
    try:
        return learn(room)
    except FittingError:
        return room


def _answered(context: Context, piece: Piece) -> PieceReport:
    """Tell a piece; note what was found about it, and tell no number of one that something stops."""
    before = len(context.findings)
    try:
        _refuse_wrong_names(context, piece)
        told: PieceReport = with_rough(context, piece, ANSWERS.get(type(piece), as_typed)(context, piece))
        told = with_way_out(context, piece, told)
        told = with_fixings(context, piece, with_back_holes(context, piece, told))
        told = with_corners(context, piece, with_entry(context, piece, told))
        told = with_cut_outs(context, piece, told)
        told = with_top_rules(context, piece, told)
    except NotReady as refusal:
        stops = refusal.findings
    except FittingError as problem:
        stops = (not_made(piece, str(problem), "look at its size and place"),)
    except FAULTS as fault:
        stops = (not_made(piece, _told_fault(fault), "work it out by hand, and report the fault"),)
    else:
        stops = ()
    found = stops or context.findings[before:]
    context.findings[before:] = [about(piece.name, one) for one in found]
    return _not_ready(piece) if stops else told


def _weighed(context: Context, told: PieceReport) -> PieceReport:
    """Tell how likely a piece comes out well; where that cannot be worked out, it is told without."""
    if told.status == "not ready":
        context.stakes.pop(told.name, None)
        return told
    try:
        return with_chance(context, told)
    except FittingError as problem:
        why = str(problem)
    except FAULTS as fault:
        why = _told_fault(fault)
    context.stakes.pop(told.name, None)
    context.findings.append(finding(515, (), [told.name], piece=told.name, why=why))
    return told


def _brought_in(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell a piece's way in; where that cannot be worked out, it is told without."""
    try:
        return with_way(context, piece, told)
    except FittingError as problem:
        why = str(problem)
    except FAULTS as fault:
        why = _told_fault(fault)
    context.findings.append(finding(573, [piece.id], [piece.name], piece=piece.name, why=why))
    return told


def _told_fault(fault: Exception) -> str:
    """Say what failed in the program, so that it can be found; never in words that blame the piece."""
    return f"the program failed on it ({type(fault).__name__}: {fault})"


def _refuse_wrong_names(context: Context, piece: Piece) -> None:
    """Refuse a piece that names what does not exist, or what there are two of."""
    doubled = {one.id for name in _named_by(piece) for one in context.survey.named.get(name, ())}
    stops = [
        one
        for one in context.observed.findings
        if one.severity == "stops"
        and (piece.name in one.pieces or (one.number == DOUBLED and doubled & set(one.records)))
    ]
    if stops:
        raise NotReady(*stops)


def _named_by(piece: Piece) -> set[str]:
    """Return what a piece names: its wall, what its edges meet, what it is measured from or goes with."""
    names = {getattr(piece, field, None) for field in ("name", "wall", "from_", "on", "beside", "of")}
    names |= {
        edge.meets for field in piece.__struct_fields__ if isinstance(edge := getattr(piece, field), Edge)
    }
    return {name for name in names if name}


def _not_ready(piece: Piece) -> PieceReport:
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "not ready",
        piece.material,
        piece.grain,
        piece.quantity,
    )

"""The fit report of a survey: the readings are adjusted once, then each piece is answered in turn."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fitting.errors import FittingError
from fitting.site import KnownRoom, know_room
from survey.finding import Finding, finding
from survey.observe import Observed, observe
from survey.quantity import read_step
from survey.records import (
    Cabinet,
    Filler,
    Panel,
    Piece,
    SizedPiece,
    Survey,
    TallCabinet,
    Top,
    kind_of,
)
from survey.records.canonical import survey_hash
from survey.report.boxes import box_report
from survey.report.context import Context, NotReady, mm
from survey.report.printing import Printer
from survey.report.room import room_report
from survey.report.structs import FitReport, NamedDimension, PieceReport, RoomReport
from survey.report.tops import top_report
from survey.report.uprights import filler_report, panel_report

ANSWERS: dict[type[Piece], Callable[[Context, Any], PieceReport]] = {
    Cabinet: box_report,
    TallCabinet: box_report,
    Top: top_report,
    Filler: filler_report,
    Panel: panel_report,
}
"""Which function tells which kind of piece; a kind that is not here is listed at the size typed."""


def fit_report(survey: Survey) -> FitReport:
    """Answer a survey: the room, every piece, and what was found on the way.

    Never refuses: what cannot be answered is a finding, and a piece that rests on it is not ready.
    """
    report, _ = answer(survey)
    return report


def answer(survey: Survey) -> tuple[FitReport, KnownRoom | None]:
    """Return the fit report together with the adjusted room that it came from."""
    observed = observe(survey)
    findings = list(observed.findings)
    room = _adjusted(observed, findings)
    job = survey.job
    step = read_step(job.step if job else "1/16")
    context = None
    pieces: list[PieceReport] = []
    if room is not None:
        confidence = job.confidence if job else 0.99
        context = Context(survey, observed, room, Printer(step), confidence)
        pieces = [_answered(context, piece, findings) for piece in survey.of(Piece)]
        findings += context.findings
    else:
        pieces = [_not_ready(piece, ()) for piece in survey.of(Piece)]
    report = FitReport(
        "scribefit fit report",
        1,
        job.title if job else "",
        job.unit if job else "in",
        str(step),
        job.confidence if job else 0.99,
        survey_hash(survey),
        room_report(context) if context else RoomReport(),
        tuple(pieces),
        tuple(dict.fromkeys(findings)),
    )
    return report, room


def _adjusted(observed: Observed, findings: list[Finding]) -> KnownRoom | None:
    """Return the room, or nothing and the finding that says why."""
    if observed.plan is None:
        return None
    try:
        return know_room(observed.plan, observed.readings, observed.prior)
    except FittingError as problem:
        findings.append(finding(206, why=str(problem)))
        return None


def _answered(context: Context, piece: Piece, findings: list[Finding]) -> PieceReport:
    if isinstance(piece, SizedPiece):
        findings.append(finding(507, [piece.id], [piece.name], piece=piece.name))
        return _as_typed(context, piece)
    try:
        return ANSWERS[type(piece)](context, piece)
    except NotReady as refusal:
        findings += refusal.findings
        return _not_ready(piece, refusal.findings)
    except FittingError as problem:
        why = finding(
            502, [piece.id], [piece.name], piece=piece.name, why=str(problem), do="look at its size and place"
        )
        findings.append(why)
        return _not_ready(piece, (why,))


def _as_typed(context: Context, piece: SizedPiece) -> PieceReport:
    sizes = tuple(
        NamedDimension(name, context.printer.near(mm(getattr(piece, name))))
        for name in ("width", "height", "thickness")
    )
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "as typed",
        piece.material,
        piece.grain,
        piece.quantity,
        finished=sizes,
        blank=sizes,
        findings=(507,),
    )


def _not_ready(piece: Piece, findings: tuple[Finding, ...]) -> PieceReport:
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "not ready",
        piece.material,
        piece.grain,
        piece.quantity,
        findings=tuple(dict.fromkeys(one.number for one in findings)),
    )

"""Is anything missing, wrong or in doubt? The report with every finding, doubts and the next reading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from survey.advice import next_readings
from survey.doubts import findings_of, judge
from survey.finding import Finding, about, finding, merged
from survey.installed import with_installed
from survey.records import Survey
from survey.report.chance_words import percent
from survey.report.context import Context
from survey.report.make import answer
from survey.report.structs import FitReport, PieceReport

ORDER = {"stops": 0, "doubt": 1, "hint": 2}


def fit(survey: Survey) -> FitReport:
    """Return the fit report with every finding, the gravest first.

    A piece that rests on a reading in doubt stays ready; the doubt names the piece, and the piece lists it.

    Examples
    --------
    >>> [one.number for one in fit(Survey([])).findings]
    [100, 101, 107]
    """
    report, context = answer(survey)
    doubts: list[Finding] = []
    unsure: list[Finding] = []
    if context is not None:
        judged = judge(survey, context)
        told, enough = next_readings(survey, context, judged)
        room = replace(report.room, suspects=judged.suspects, next_readings=told, enough=enough)
        report = replace(report, room=room)
        doubts, unsure = list(findings_of(judged, context, told)), list(_unsure(report, context))
    # What is unsure names its piece by what moves it; other pieces that stand at the same wall are not meant.
    found = merged([*(_with_pieces(one, report.pieces) for one in (*report.findings, *doubts)), *unsure])
    report = with_installed(survey, replace(report, findings=tuple(found)))
    findings = sorted(report.findings, key=lambda one: (ORDER[one.severity], one.number))
    return replace(
        report,
        pieces=tuple(replace(piece, findings=_about(piece, findings)) for piece in report.pieces),
        findings=tuple(findings),
    )


def check(survey: Survey) -> tuple[Finding, ...]:
    """Return what is missing, wrong or in doubt, the gravest first."""
    return fit(survey).findings


def _unsure(report: FitReport, context: Context) -> Iterator[Finding]:
    """Say of pieces that they may not go in, and of readings that nothing checks."""
    for piece in report.pieces:
        chance = piece.chance
        if chance is None:
            continue
        if (
            chance.goes_in is not None
            and chance.goes_in.chance < context.confidence - 2 * chance.goes_in.error
        ):
            goes_in = percent(chance.goes_in.chance)
            do = " or ".join(_to_let_in(report, piece))
            yield finding(514, (), [piece.name], piece=piece.name, chance=goes_in, do=do)
        unfound = chance.unfound
        if unfound is not None and unfound.effect is None:
            yield finding(403, [unfound.record], [piece.name], what=unfound.what)


def _to_let_in(report: FitReport, piece: PieceReport) -> Iterator[str]:
    """Give what would let a piece in more surely; a reading only where one is advised for it."""
    if any(gain.piece == piece.name for one in report.room.next_readings for gain in one.gains):
        yield "see what to read next"
    assert piece.chance is not None  # it may not go in
    if piece.chance.lacking is not None:
        yield f"leave {piece.chance.lacking.text} more at each of its edges at walls"
    else:
        yield "leave more at its edges at walls"


def _with_pieces(found: Finding, pieces: Iterable[PieceReport]) -> Finding:
    """Name the pieces that rest on the readings of a finding which stops nothing."""
    if found.severity == "stops":
        return found
    for piece in pieces:
        if set(found.records) & set(piece.readings):
            found = about(piece.name, found)
    return found


def _about(piece: PieceReport, findings: Iterable[Finding]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(one.number for one in findings if piece.name in one.pieces))

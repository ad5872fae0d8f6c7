"""Is anything missing, wrong or in doubt? The report's own findings, and the readings against one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from msgspec.structs import replace

from fitting.site import KnownRoom
from survey.finding import Finding, about, finding, merged
from survey.quantity import read_step, write_length
from survey.records import Survey
from survey.report.make import answer
from survey.report.structs import FitReport, PieceReport, ResidualReport

FALSE_ALARM = 0.01
"""Chance that a survey of good readings is doubted for one of them (Bonferroni over all that are tested)."""
ALIKE = 0.9
"""Readings whose tests are this alike cannot be told apart: the group is named, not one of it."""
LEAST_CONTROL = 1e-3
"""A reading that the others control less than this cannot be tested: its slip would be noise blown up."""
MISFIT_Z = 3.09
"""The whole is in doubt when its misfit would come once in a thousand good rooms (one-sided)."""

ORDER = {"stops": 0, "doubt": 1, "hint": 2}


def fit(survey: Survey) -> FitReport:
    """Return the fit report with every finding, the gravest first.

    A piece that rests on a reading in doubt stays ready; the doubt names the piece, and the piece lists it.

    Examples
    --------
    >>> [one.number for one in fit(Survey([])).findings]
    [100, 101, 107]
    """
    report, room = answer(survey)
    doubts = [] if room is None else _doubts(room, report)
    found = merged(_with_pieces(one, report.pieces) for one in (*report.findings, *doubts))
    findings = sorted(found, key=lambda one: (ORDER[one.severity], one.number))
    suspects = tuple(dict.fromkeys(record for doubt in doubts for record in doubt.records))
    return replace(
        report,
        room=replace(report.room, suspects=suspects),
        pieces=tuple(replace(piece, findings=_about(piece, findings)) for piece in report.pieces),
        findings=tuple(findings),
    )


def check(survey: Survey) -> tuple[Finding, ...]:
    """Return what is missing, wrong or in doubt, the gravest first."""
    return fit(survey).findings


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


def _doubts(room: KnownRoom, report: FitReport) -> list[Finding]:
    """Test the readings against one another; priors are not tested as if they were readings."""
    residuals = report.room.residuals
    suspicion = _most_suspect(room) if residuals else None
    if suspicion is None:
        return list(_misfit(room, report))
    records = dict.fromkeys(residuals[row].record for row in suspicion.rows)
    first = residuals[suspicion.rows[0]]
    if len(records) > 1:
        names = dict.fromkeys(residuals[row].what for row in suspicion.rows)
        return [finding(402, records, what="; ".join(names))]
    return [
        finding(
            401,
            records,
            what=first.what,
            slip=_amount(suspicion.slip, first, report),
            direction="too large" if suspicion.slip > 0 else "too small",
        )
    ]


@dataclass(frozen=True)
class _Suspicion:
    """Readings of which one may be wrong, and by how much the first of them looks off (mm or radians)."""

    rows: tuple[int, ...]
    slip: float


def _most_suspect(room: KnownRoom) -> _Suspicion | None:
    made = room.adjustment
    tested = made.control > LEAST_CONTROL
    size = np.where(tested, np.abs(made.standardized), 0.0)
    worst = int(np.argmax(size))
    if size[worst] <= _doubtful(int(np.sum(tested))):
        return None
    alike = tested & (np.abs(made.alikeness[worst]) > ALIKE)
    rows = [worst, *(int(row) for row in np.flatnonzero(alike) if row != worst)]
    return _Suspicion(tuple(rows), float(made.slip[worst]))


def _doubtful(tested: int) -> float:
    """Return the standardized residual beyond which the worst of so many good readings seldom lies."""
    return NormalDist().inv_cdf(1 - FALSE_ALARM / (2 * max(tested, 1)))


def _misfit(room: KnownRoom, report: FitReport) -> Iterator[Finding]:
    """Say that the whole fits badly where no single reading does (chi-square by Wilson and Hilferty)."""
    made = room.adjustment
    freedom = made.misfit_freedom
    if freedom < 1:
        return
    limit = freedom * (1 - 2 / (9 * freedom) + MISFIT_Z * np.sqrt(2 / (9 * freedom))) ** 3
    if made.misfit > limit:
        ratio = np.sqrt(made.misfit / freedom)
        yield finding(
            400,
            pieces=(piece.name for piece in report.pieces if piece.readings),
            why=f"together they are off {ratio:.1f} times as much as they should be",
            do="repeat the lengths between walls first",
        )


def _amount(slip: float, residual: ResidualReport, report: FitReport) -> str:
    if residual.unit == "deg":
        return f"{abs(np.degrees(slip)):.1f} degrees"
    return write_length(abs(slip), read_step(report.step))

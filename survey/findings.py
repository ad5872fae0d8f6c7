"""Is anything missing, wrong or in doubt? The report's own findings, and the readings against one another."""

from __future__ import annotations

from dataclasses import dataclass

import msgspec
import numpy as np

from fitting.site import KnownRoom
from survey.finding import Finding, finding
from survey.quantity import read_step, write_length
from survey.records import Survey
from survey.report.make import answer
from survey.report.structs import FitReport, ResidualReport

DOUBTFUL = 3.29
"""A standardized residual beyond this comes once in a thousand good readings (standard normal, two-sided)."""
ALIKE = 0.9
"""Readings whose tests are this alike cannot be told apart: the group is named, not one of it."""
MISFIT_Z = 3.09
"""The whole is in doubt when its misfit would come once in a thousand good rooms (one-sided)."""

ORDER = {"stops": 0, "doubt": 1, "hint": 2}


def fit(survey: Survey) -> FitReport:
    """Return the fit report with every finding, the gravest first.

    Examples
    --------
    >>> [one.number for one in fit(Survey([])).findings]
    [100, 101, 107]
    """
    report, room = answer(survey)
    doubts = _doubts(room, report) if room is not None and report.room.residuals else []
    findings = sorted([*report.findings, *doubts], key=lambda one: (ORDER[one.severity], one.number))
    suspects = tuple(dict.fromkeys(record for doubt in doubts for record in doubt.records))
    told = msgspec.structs.replace(report.room, suspects=suspects)
    return msgspec.structs.replace(report, room=told, findings=tuple(findings))


def check(survey: Survey) -> tuple[Finding, ...]:
    """Return what is missing, wrong or in doubt, the gravest first."""
    return fit(survey).findings


@dataclass(frozen=True)
class _Suspicion:
    """Readings of which one may be wrong, and by how much the first of them looks off."""

    rows: tuple[int, ...]
    slip: float


def _doubts(room: KnownRoom, report: FitReport) -> list[Finding]:
    """Test the readings against one another; priors are not tested as if they were readings."""
    residuals = report.room.residuals
    suspicion = _most_suspect(room)
    if suspicion is None:
        return _misfit(room)
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
            direction="too long" if suspicion.slip > 0 else "too short",
        )
    ]


def _most_suspect(room: KnownRoom) -> _Suspicion | None:
    made = room.adjustment
    size = np.abs(made.standardized)
    worst = int(np.argmax(size))
    if size[worst] <= DOUBTFUL:
        return None
    alike = np.abs(made.alikeness[worst]) > ALIKE
    alike[worst] = True
    rows = [worst, *(int(row) for row in np.flatnonzero(alike) if row != worst)]
    return _Suspicion(tuple(rows), float(made.slip[worst]))


def _misfit(room: KnownRoom) -> list[Finding]:
    """Say that the whole fits badly where no single reading does (chi-square by Wilson and Hilferty)."""
    made = room.adjustment
    freedom = made.misfit_freedom
    if freedom < 1:
        return []
    limit = freedom * (1 - 2 / (9 * freedom) + MISFIT_Z * np.sqrt(2 / (9 * freedom))) ** 3
    if made.misfit <= limit:
        return []
    ratio = np.sqrt(made.misfit / freedom)
    return [
        finding(
            400,
            why=f"together they are off {ratio:.1f} times as much as they should be",
            do="repeat the lengths between walls first",
        )
    ]


def _amount(slip: float, residual: ResidualReport, report: FitReport) -> str:

    if residual.unit == "deg":
        return f"{abs(np.degrees(slip)):.1f} degrees"
    return write_length(abs(slip), read_step(report.step))

"""What to read next and again, in the words that screen and paper share."""

from __future__ import annotations

from typing import Final

from survey.report.structs import FitReport, NextReading

READ_NEXT: Final = "Read next"
READ_AGAIN: Final = "Read again before cutting, once what is still to come is there"
ONE_WIDTH: Final = "Before cutting, repeat one width if any trade has been in the room."
_DISAGREE: Final = range(400, 403)
"""Findings of readings that do not agree: while there are any, nothing is called enough."""


def reading_words(reading: NextReading) -> str:
    """Name a reading, and say how long it takes.

    >>> reading_words(NextReading("width at the front", "", 1.6))
    'width at the front (about 2 minutes)'
    """
    minutes = max(1, round(reading.minutes))
    return f"{reading.name} (about {minutes} minute{'s' if minutes > 1 else ''})"


def enough_words(report: FitReport) -> str:
    """Say that no further reading is worth while; empty where one is, or anything is in question."""
    in_question = any(one.severity == "stops" or one.number in _DISAGREE for one in report.findings)
    if report.room.next_readings or in_question or not report.room.enough:
        return ""
    return f"Nothing: {report.room.enough}."


def one_width_words(report: FitReport) -> str:
    """Ask for one width once more where a piece is ready, nothing stops the work and nothing is to come."""
    is_stopped = any(one.severity == "stops" for one in report.findings)
    is_ready = any(piece.status == "ready" for piece in report.pieces)
    return ONE_WIDTH if is_ready and not is_stopped and not report.room.repeat else ""

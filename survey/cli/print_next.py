"""What to read next, and what to read again before cutting, as lines of text."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from survey.cli.print_findings import WIDTH, record_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

    from survey.records import Survey
    from survey.report.structs import FitReport, NextReading

_DISAGREE: Final = range(400, 403)
"""Findings of readings that do not agree: while there are any, nothing is called enough."""
_INDENT: Final = " " * 5


def next_lines(report: FitReport, survey: Survey | None = None) -> list[str]:
    """The readings advised next, or that it is enough; then what to read again before cutting.

    With the survey, the readings to repeat are shown as they were dictated, else by their ids.
    """
    advised = [line for at, one in enumerate(report.room.next_readings, 1) for line in _advised(at, one)]
    if not advised and _is_enough(report):
        advised = _wrapped("  ", f"Nothing: {report.room.enough}.")
    return [*(["", "Read next", *advised] if advised else []), *_before_cutting(report, survey)]


def _advised(at: int, reading: NextReading) -> Iterator[str]:
    minutes = max(1, round(reading.minutes))
    taking = f"about {minutes} minute{'s' if minutes > 1 else ''}"
    yield from _wrapped(f"  {at}. ", f"{reading.name} ({taking})")
    yield from _wrapped(_INDENT, reading.says)
    if reading.dictation:
        yield f"{_INDENT}to put it down, with the values that you read in place of these:"
        yield from _wrapped(f"{_INDENT}  ", reading.dictation)


def _is_enough(report: FitReport) -> bool:
    """Say whether no further reading is worth while, and nothing that was read is in question."""
    in_question = any(one.number in _DISAGREE for one in report.findings)
    return bool(report.room.enough) and not in_question and not _is_stopped(report)


def _is_stopped(report: FitReport) -> bool:
    return any(one.severity == "stops" for one in report.findings)


def _before_cutting(report: FitReport, survey: Survey | None) -> list[str]:
    if report.room.repeat:
        lines = ["", "Read again before cutting, once what is still to come is there"]
        for record_id in report.room.repeat:
            lines += record_lines(record_id, survey, "  ")
        return lines
    if any(piece.status == "ready" for piece in report.pieces) and not _is_stopped(report):
        return ["", *_wrapped("", "Before cutting, repeat one width if any trade has been in the room.")]
    return []


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first), break_on_hyphens=False
    )

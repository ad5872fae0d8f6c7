"""What to read next, and what to read again before cutting, as lines of text."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from survey.cli.print_findings import WIDTH, record_lines
from survey.report.next_words import READ_AGAIN, READ_NEXT, enough_words, one_width_words, reading_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from survey.records import Survey
    from survey.report.structs import FitReport, NextReading

_INDENT: Final = " " * 5


def next_lines(report: FitReport, survey: Survey | None = None) -> list[str]:
    """The readings advised next, or that it is enough; then what to read again before cutting.

    With the survey, the readings to repeat are shown as they were dictated, else by their ids.
    """
    advised = [line for at, one in enumerate(report.room.next_readings, 1) for line in _advised(at, one)]
    advised = advised or _wrapped("  ", enough_words(report))
    return [*(["", READ_NEXT, *advised] if advised else []), *_before_cutting(report, survey)]


def _advised(at: int, reading: NextReading) -> Iterator[str]:
    yield from _wrapped(f"  {at}. ", reading_words(reading))
    yield from _wrapped(_INDENT, reading.says)
    if reading.dictation:
        yield f"{_INDENT}to put it down, with the values that you read in place of these:"
        yield from _wrapped(f"{_INDENT}  ", reading.dictation)


def _before_cutting(report: FitReport, survey: Survey | None) -> list[str]:
    again = [line for one in report.room.repeat for line in record_lines(one, survey, "  ")]
    if again:
        return ["", READ_AGAIN, *again]
    one_width = one_width_words(report)
    return ["", one_width] if one_width else []


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first), break_on_hyphens=False
    )

"""Findings as lines of text: the worst first, each with what to do and which records it is about."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from survey.finding import Finding
    from survey.records import Survey

WIDTH: Final = 94
_WORST_FIRST: Final = {"stops": 0, "doubt": 1, "hint": 2}
_MOST_RECORDS: Final = 4


def findings_lines(findings: Iterable[Finding], survey: Survey | None = None) -> list[str]:
    """One paragraph for each finding; with the survey, the lines of the records that it is about."""
    lines: list[str] = []
    for finding in sorted(findings, key=lambda each: (_WORST_FIRST[each.severity], each.number)):
        lines += _wrapped(f"{finding.severity:<6} {finding.number}  ", finding.says)
        lines += _wrapped(" " * 12, f"do: {finding.do}")
        lines += _about(finding, survey)
    return lines


def _about(finding: Finding, survey: Survey | None) -> list[str]:
    from survey.cli.echo import short

    shown = finding.records[:_MOST_RECORDS]
    more = f"and {len(finding.records) - len(shown)} more" if len(finding.records) > len(shown) else ""
    if survey is None:
        ids = ", ".join([*map(short, shown), *([more] if more else [])])
        return [f"{'':12}records: {ids}"] if shown else []
    lines = [line for record_id in shown for line in record_lines(record_id, survey, " " * 12)]
    return [*lines, *([f"{'':12}{more}"] if more else [])]


def record_lines(record_id: str, survey: Survey | None, indent: str) -> list[str]:
    """A record by its short id and, with the survey, as it was dictated."""
    from survey.cli.echo import short
    from survey.cli.print_survey import line_of

    if survey is None:
        return [f"{indent}{short(record_id)}"]
    record = survey.by_id.get(record_id)
    unit = survey.job.unit if survey.job else "mm"
    said = line_of(record, unit) if record else "(not in this survey)"
    return _wrapped(f"{indent}{short(record_id)}  ", said)


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=" " * len(first), break_on_hyphens=False
    )

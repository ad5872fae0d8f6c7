"""A survey as lines of text, wall by wall, with what to do first where something is missing."""

from __future__ import annotations

import textwrap
from typing import Literal

import msgspec

from survey.cli.echo import SHORT, said, short
from survey.cli.print_findings import WIDTH
from survey.errors import RecordError
from survey.groups import grouped
from survey.records import (
    Corner,
    Job,
    Piece,
    Reading,
    Record,
    Room,
    Survey,
    Tool,
    Wall,
    kind_of,
)

JobUnit = Literal["in", "mm"]


def unit_of(survey: Survey) -> JobUnit:
    """The job's unit; looked up once, because finding the job walks all records."""
    return survey.job.unit if survey.job else "mm"


def survey_lines(survey: Survey, everything: bool = False) -> list[str]:
    """The job, then each group of records, then what to do next."""
    lines, unit = [_title(survey)], unit_of(survey)
    for title, records in grouped(survey, everything):
        lines += ["", title, *(line for record in records for line in _lines_of(record, unit))]
    gone = len(survey.records) - len(survey.current)
    if gone and not everything:
        lines += ["", f"{gone} more records correct or withdraw others, or were corrected: --all shows them"]
    steps = first_steps(survey)
    return [*lines, "", "To do first:", *(f"  {step}" for step in steps)] if steps else lines


def _title(survey: Survey) -> str:
    job = survey.job
    if job is None:
        return "A survey without a job"
    line = f", level line {job.level_line.text} above z = 0" if job.level_line else ""
    return f"{job.title}: {'inches' if job.unit == 'in' else 'millimetres'}, to {job.step}{line}"


def _lines_of(record: Record, unit: JobUnit) -> list[str]:
    return textwrap.wrap(
        line_of(record, unit),
        WIDTH,
        initial_indent=f"  {short(record.id):<{SHORT}}  ",
        subsequent_indent=" " * (SHORT + 6),
        break_on_hyphens=False,
        break_long_words=False,
    )


def line_of(record: Record, unit: JobUnit) -> str:
    """The record as it would be dictated; its kind alone where the language has no words for it."""
    alone = msgspec.structs.replace(record, replaces=()) if kind_of(record) != "withdrawal" else record
    try:
        return said(alone, unit)
    except RecordError:
        return f"({kind_of(record)} that has no words)"


def first_steps(survey: Survey) -> list[str]:
    """What a survey needs before anything can be fitted, in the order in which it is done."""
    needs: tuple[tuple[type[Record], str], ...] = (
        (Job, 'say the job: job "Corner vanity" in inches to 1/16'),
        (Room, "say which wall the pieces are fixed to: room bath back back"),
        (Wall, "add the walls: wall back wood stud"),
        (Corner, "say where walls meet: corner left and back"),
        (Reading, "read something: length left-back to back-right up 34 reads 60 3/8"),
        (Piece, "plan a piece: cabinet vanity on back width 48 height 31 depth 21 bottom 3"),
    )
    there = [record for record in survey.current if not isinstance(record, Tool)]
    return [step for kind, step in needs if not any(isinstance(record, kind) for record in there)]

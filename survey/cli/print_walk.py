"""A walk as lines of text: wall by wall, each line done or blank, with the mistake to mind."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from survey.records import Reading, Survey
    from survey.walk import Line

WIDTH: Final = 80


def walk_lines(
    survey: Survey, lines: Sequence[Line], taken: Sequence[Sequence[Reading]], unmarked: Sequence[str]
) -> list[str]:
    """The sums, then each wall's lines; `unmarked` walls have nothing that places are counted from."""
    pairs = list(zip(lines, taken, strict=True))
    said = [_sums(survey, [line for line, done in pairs if not done], lines)] if lines else []
    for wall, of_wall in groupby(pairs, key=lambda pair: pair[0].wall):
        said += ["", f"Wall {wall}"]
        for line, done in of_wall:
            said += _line(line, done)
    for wall in unmarked:
        text = (
            f"Wall {wall} has neither a corner nor a mark to measure from: scratch one, and add it: "
            f"mark m1 on {wall}"
        )
        said += ["", *textwrap.wrap(text, WIDTH)]
    return said


def _sums(survey: Survey, blank: Sequence[Line], lines: Sequence[Line]) -> str:
    title = survey.job.title if survey.job else "A survey without a job"
    if not blank:
        return f"{title}: all {len(lines)} readings are done"
    of = (
        f"{_counted(len(blank), 'reading')} of {len(lines)} to take"
        if len(blank) < len(lines)
        else (f"{_counted(len(lines), 'reading')} to take")
    )
    numbers = _counted(sum(line.numbers for line in blank), "number")
    minutes = _counted(max(1, round(sum(line.minutes for line in blank))), "minute")
    return textwrap.fill(f"{title}: {of}, {numbers}, about {minutes}", WIDTH)


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _line(line: Line, done: Sequence[Reading]) -> list[str]:
    """A done line alone; a blank one with its places, what to mind, and how many numbers it takes."""
    from survey.walk import what_is_read

    box, indent = ("[x] " if done else "[ ] "), " " * 6
    repeated = f" (read {len(done)} times)" if len(done) > 1 else ""
    said = textwrap.wrap(f"{line.name}{repeated}", WIDTH, initial_indent=f"  {box}", subsequent_indent=indent)
    if done:
        return said
    numbers = f"; {line.numbers} numbers" if line.numbers > 1 else ""
    for text in (f"{what_is_read(line.reading)}{numbers}", line.mistake):
        said += textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
    return said

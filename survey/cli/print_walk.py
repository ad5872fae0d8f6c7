"""A walk as lines of text: wall by wall, each line done or blank, with the mistake to mind."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from survey.records import Reading, Survey
    from survey.walk import Line

WIDTH: Final = 80
_INDENT: Final = " " * 6


def walk_lines(
    survey: Survey, lines: Sequence[Line], taken: Sequence[Sequence[Reading]], unmarked: Sequence[str]
) -> list[str]:
    """The sums, then each wall's lines; `unmarked` walls have nothing that places are counted from.

    What to mind is said once for lines that follow one another.
    """
    pairs = list(zip(lines, taken, strict=True))
    said = _sums(survey, [line for line, done in pairs if not done], lines) if lines else []
    for title, group in groupby(pairs, key=lambda pair: _title(pair[0])):
        said += ["", title]
        mind = ""
        for line, done in group:
            said += _line(line, done, line.mistake if line.mistake != mind else "")
            mind = mind if done else line.mistake
    for wall in unmarked:
        text = f"Wall {wall} has neither a corner nor a mark to measure from: scratch one and add it:"
        said += ["", *_wrapped(f"{text} mark m1 on {wall}", "")]
    return said if said[:1] != [""] else said[1:]


def _title(line: Line) -> str:
    return "At the end" if line.times > 1 else f"Wall {line.wall}"


def _sums(survey: Survey, blank: Sequence[Line], lines: Sequence[Line]) -> list[str]:
    title = survey.job.title if survey.job else "A survey without a job"
    if not blank:
        all_of = "the 1 reading is" if len(lines) == 1 else f"all {len(lines)} readings are"
        return _wrapped(f"{title}: {all_of} done", "")
    of = f" of {len(lines)}" if len(blank) < len(lines) else ""
    numbers = _counted(sum(line.numbers for line in blank), "number")
    minutes = _counted(max(1, round(sum(line.minutes for line in blank))), "minute")
    unit = "mm" if survey.job is not None and survey.job.unit == "mm" else "inches"
    text = f"{title}: {_counted(len(blank), 'reading')}{of} to take, {numbers}, about {minutes}; in {unit}"
    return _wrapped(text, "")


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _line(line: Line, done: Sequence[Reading], mistake: str) -> list[str]:
    """A done line alone; a blank one with its places, how many numbers it takes, and what to mind."""
    from survey.walk import what_is_read

    repeated = f" (read {len(done)} times)" if len(done) > 1 else ""
    said = _wrapped(f"{'[x]' if done else '[ ]'} {line.name}{repeated}", "  ", _INDENT)
    if done:
        return said
    places = what_is_read(line.reading)
    if line.numbers > 1 and not places.startswith(f"{line.numbers} "):
        places = f"{places}; {line.numbers} numbers"
    for text in (places, mistake):
        said += _wrapped(text, _INDENT)
    return said


def _wrapped(text: str, indent: str, further: str | None = None) -> list[str]:
    """Wrap between words, neither at hyphens of names nor between an inch and its fraction."""
    joined = re.sub(r"(?<=\d) (?=\d+/\d)", "\N{NO-BREAK SPACE}", text)
    lines = textwrap.wrap(
        joined,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if further is None else further,
        break_on_hyphens=False,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]

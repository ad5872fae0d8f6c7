"""The walk as it stands: each reading to take, what was read, and whether that is fine or in doubt."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from survey.app.blanks import blanks
from survey.errors import RecordError
from survey.records import Reading, StraightedgeCheck, Survey
from survey.walk import Line, Tools, done, place_of, walk

State = Literal["missing", "fine", "in doubt"]


@dataclass(frozen=True)
class Row:
    """A line of the walk: its state, the readings that were taken for it, and their values in short."""

    line: Line
    state: State
    taken: tuple[Reading, ...]
    value: str


def walk_rows(survey: Survey, tools: Tools, doubted: Collection[str] = ()) -> tuple[Row, ...]:
    """Return the walk with what is done; `doubted` are ids of readings that others contradict.

    A place that cannot be walked yet (no room, no back wall) has no rows.
    """
    try:
        lines = walk(place_of(survey), survey, tools)
    except RecordError:
        return ()
    return tuple(_row(line, survey, doubted) for line in lines)


def _row(line: Line, survey: Survey, doubted: Collection[str]) -> Row:
    taken = done(line, survey)
    state: State = "missing"
    if taken:
        state = "in doubt" if any(one.id in doubted for one in taken) else "fine"
    return Row(line, state, taken, "; ".join(value_of(one) for one in taken))


def value_of(reading: Reading) -> str:
    """Say in short what a reading reads: its number, or how many gaps and the greatest.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> place = ["job V in mm to 1 mm", "wall back", "wall left", "corner left and back"]
    >>> place += ["straightedge back up 850 from left-back: 0 0, 300 4, 600 2"]
    >>> *_, check = dictate(place, Survey([]))
    >>> value_of(check)
    '3 gaps, up to 4'
    """
    if isinstance(reading, StraightedgeCheck):
        greatest = max((station.gap for station in reading.stations), key=lambda gap: gap.mm)
        return f"{len(reading.stations)} gaps, up to {greatest.text}"
    return " · ".join(blank.usual for blank in blanks(reading))


def next_missing(rows: tuple[Row, ...], after: str = "") -> Row | None:
    """Return the next row to be read after the one of this name, going round; nothing when all are read."""
    names = [row.line.name for row in rows]
    start = names.index(after) + 1 if after in names else 0
    turned = (*rows[start:], *rows[:start])
    return next((row for row in turned if row.state == "missing"), None)

"""What the Measure page lists: the walk by walls with what was read, and readings that no walk asks for."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Literal

from survey.app.blanks import blanks
from survey.app.free_reading import KINDS
from survey.app.typed import typeset
from survey.app.walk_list import Row, State, next_missing, walk_rows
from survey.drawing.piece_words import typeset as set_words
from survey.records import Reading, StraightedgeCheck, Survey, kind_of
from survey.walk import Tools, what_is_read

STATES: dict[State, str] = {"fine": "fine", "in doubt": "in doubt", "missing": "not read yet"}
AT_THE_END = "At the end of the visit"
BESIDES = "Read besides"


@dataclass(frozen=True)
class Item:
    """One line of the list: a heading, or a reading with its state in words and its value as shown.

    `line` is the name of the walk's line, empty for readings besides; `taken` are ids of readings.
    """

    sort: Literal["heading", "reading"]
    words: str
    wall: str = ""
    state: State = "missing"
    quiet: str = ""
    value: str = ""
    line: str = ""
    taken: tuple[str, ...] = ()


@dataclass(frozen=True)
class MeasureList:
    """The list, how far it has come, and the name of the line to read next (empty when all is read)."""

    items: tuple[Item, ...] = ()
    read: int = 0
    asked: int = 0
    minutes: float = 0.0
    following: str = ""
    doubted: frozenset[str] = field(default=frozenset())

    @property
    def progress(self) -> str:
        """How far it has come, in words.

        >>> MeasureList((), 12, 25, 5.6).progress
        '12 of 25 read, about 6 minutes left'
        >>> MeasureList((), 25, 25).progress
        'All 25 read'
        """
        if self.asked == 0:
            return "Nothing to read yet"
        if self.read == self.asked:
            return f"All {self.asked} read"
        minutes = max(1, round(self.minutes))
        return f"{self.read} of {self.asked} read, about {minutes} minute{'s' if minutes > 1 else ''} left"


def measure_list(survey: Survey, tools: Tools, doubted: Collection[str] = ()) -> MeasureList:
    """Return the list of a survey; `doubted` are ids of readings that others contradict."""
    rows = walk_rows(survey, tools, doubted)
    unit = survey.job.unit if survey.job is not None else "in"
    following = next_missing(rows)
    return MeasureList(
        (*_walked(rows, unit), *_besides(survey, rows, doubted, unit)),
        sum(row.state != "missing" for row in rows),
        len(rows),
        sum(row.line.minutes for row in rows if row.state == "missing"),
        following.line.name if following else "",
        frozenset(doubted),
    )


def _walked(rows: tuple[Row, ...], unit: str) -> Iterator[Item]:
    heading = ""
    for row in rows:
        line = row.line
        words = AT_THE_END if line.times > 1 else f"Wall {line.wall}"
        if words != heading:
            heading = words
            yield Item("heading", words, line.wall)
        value = "\n".join(shown_value(one, unit) for one in row.taken)
        quiet, taken = _state_words(row.state, len(row.taken)), tuple(one.id for one in row.taken)
        yield Item("reading", set_words(line.name), line.wall, row.state, quiet, value, line.name, taken)


def _besides(survey: Survey, rows: tuple[Row, ...], doubted: Collection[str], unit: str) -> Iterator[Item]:
    walked = {one.id for row in rows for one in row.taken}
    others = [one for one in survey.of(Reading) if one.id not in walked]
    if others:
        yield Item("heading", BESIDES)
    for one in others:
        state: State = "in doubt" if one.id in doubted else "fine"
        words = ": ".join(part for part in (KINDS.get(kind_of(one), kind_of(one)), what_is_read(one)) if part)
        wall = getattr(one, "wall", "")
        yield Item("reading", words, wall, state, STATES[state], shown_value(one, unit), "", (one.id,))


def _state_words(state: State, times: int) -> str:
    return STATES[state] if times < 2 else f"{STATES[state]}, read {times} times"


def shown_value(reading: Reading, unit: str) -> str:
    """Return what a reading reads, as it is shown: its numbers, or how many gaps and the greatest.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> place = ["job V in in to 1/16", "wall back", "wall left", "corner left and back"]
    >>> place += ["straightedge back up 34 from left-back: 0 0, 12 1/8, 24 1/16"]
    >>> *_, check = dictate(place, Survey([]))
    >>> shown_value(check, "in")
    '3 gaps, up to 1⁄8″'
    """
    if isinstance(reading, StraightedgeCheck):
        gap = max((station.gap for station in reading.stations), key=lambda gap: gap.mm)
        count = f"{len(reading.stations)} gaps"
        return f"{count}, up to {typeset(gap.text, gap.unit)}" if gap.mm > 0 else f"{count}, all touch"
    return " · ".join(
        typeset(blank.usual, getattr(getattr(reading, blank.field, None), "unit", unit), blank.sort)
        for blank in blanks(reading)
    )


def names_of_readings(survey: Survey, tools: Tools) -> dict[str, tuple[str, str]]:
    """Return for each reading's id its name, as the walk calls it, and its value as shown."""
    unit = survey.job.unit if survey.job is not None else "in"
    return {
        record: (item.words, shown_value(reading, unit))
        for item in measure_list(survey, tools).items
        for record in item.taken
        if isinstance(reading := survey.by_id.get(record), Reading)
    }

"""What the readings say against one another: which is suspect, by how much, and what slip it may be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from fitting.doubt import Doubts, Suspicion, doubts
from survey.finding import Finding, finding
from survey.observe.condense import MOST_STATIONS
from survey.quantity import Step, read_length, write_length
from survey.records import (
    Area,
    Drop,
    Lean,
    LengthReading,
    Position,
    Reading,
    Record,
    StoryStick,
    StraightedgeCheck,
    Survey,
    ThreeSides,
    TypedLength,
)
from survey.report.context import Context
from survey.report.structs import NextReading, SuspectReport
from survey.slips import likely_slips

MOST_SAID: Final = 4
"""Of a group of which one is wrong, how many are said, the likeliest first; all are in the report."""
FALSE_ALARM: Final = 0.01
"""Chance that a survey of good readings is doubted for one of them (shared out over all that are tested)."""


@dataclass(frozen=True)
class Judged:
    """The readings, judged by one another."""

    suspects: tuple[SuspectReport, ...]
    slips: tuple[Mapping[int, float], ...]
    """For each suspect, by number of the room: how much too large it would be, in the room's sense (a drop
    to the floor is a height there) and units."""
    doubts: Doubts


def judge(survey: Survey, context: Context) -> Judged:
    """Test the readings of a room; what is only expected of walls is not tested as if it were read."""
    found = doubts(context.room.adjustment, FALSE_ALARM)
    suspects = tuple(_suspect(survey, context, one) for one in found.suspects)
    return Judged(suspects, tuple(_first_of_each(context, one) for one in found.suspects), found)


def _first_of_each(context: Context, suspicion: Suspicion) -> dict[int, float]:
    """Return the most suspect number of each record: a suspect is told once, however many numbers it has."""
    seen: set[str] = set()
    first: dict[int, float] = {}
    for row, slip in zip(suspicion.rows, suspicion.slips, strict=True):
        if context.numbers[row].record not in seen:
            seen.add(context.numbers[row].record)
            first[row] = slip
    return first


def findings_of(judged: Judged, context: Context, told: tuple[NextReading, ...]) -> Iterator[Finding]:
    """Give a finding for each suspect, and one where the whole fits badly and no reading can be named.

    `told` are the readings advised next, among them those that tell which of several is wrong.
    """
    step = context.printer.step
    for suspect in judged.suspects:
        looks = [
            f"{what} (looks {_amount(slip, suspect.unit, step)})"
            for what, slip in zip(suspect.what, suspect.too_large_by, strict=True)
        ]
        asks = f": {' or '.join(suspect.asks)}" if suspect.asks else ""
        if len(suspect.records) == 1:
            slip = _amount(suspect.too_large_by[0], suspect.unit, step)
            yield finding(401, suspect.records, what=suspect.what[0], slip=slip, asks=asks)
            continue
        telling = next((one for one in told if set(one.tells) == set(suspect.records)), None)
        do = f"one more reading tells which: {telling.name}" if telling else "read them again, one by one"
        more = [f"and {len(looks) - MOST_SAID} more"] if len(looks) > MOST_SAID + 1 else []
        said = looks[:MOST_SAID] if more else looks
        yield finding(402, suspect.records, what="; ".join([*said, *more]), do=do)
    if not judged.suspects and judged.doubts.misfit.fails:
        value, freedom = judged.doubts.misfit.value, judged.doubts.misfit.freedom
        yield finding(
            400,
            pieces=sorted(context.stakes),
            why=f"together they are off {math.sqrt(value / freedom):.1f} times as much as they should be",
            do="repeat the lengths between walls first",
        )


def _suspect(survey: Survey, context: Context, suspicion: Suspicion) -> SuspectReport:
    """Name the records of a suspicion once each, with the words of the number most suspect in each."""
    slips = _first_of_each(context, suspicion)
    numbers = [context.numbers[row] for row in slips]
    unit = numbers[0].unit
    scale = math.degrees(1.0) if unit == "deg" else 1.0
    return SuspectReport(
        tuple(one.record for one in numbers),
        tuple(one.words for one in numbers),
        tuple(round(slip * _sense(survey, context, row) * scale, 3) + 0.0 for row, slip in slips.items()),
        unit,
        _asks(survey, context, suspicion) if len(numbers) == 1 else (),
    )


def _asks(survey: Survey, context: Context, suspicion: Suspicion) -> tuple[str, ...]:
    """Return what slip the first number of a suspicion may have been."""
    row = suspicion.rows[0]
    record = _record(survey, context, row)
    typed = None if record is None else _typed(record, context, row)
    if context.numbers[row].unit == "deg" or typed is None:
        return ()
    job = context.survey.job
    length = read_length(typed.text, job.unit if job else "in")
    return likely_slips(
        length,
        suspicion.slip * _sense(survey, context, row),
        suspicion.slip_sd,
        context.printer.step,
        _layers(survey, context, row),
        signed=isinstance(record, Lean),
    )


def _record(survey: Survey, context: Context, row: int) -> Reading | None:
    wanted = context.numbers[row].record
    return next((one for one in survey.of(Reading) if one.id == wanted), None)


def _sense(survey: Survey, context: Context, row: int) -> float:
    """Return -1 where the fitting's number falls when what was typed grows: what is counted down."""
    record, (key, _) = _record(survey, context, row), context.keys[row]
    down = isinstance(record, Drop) and record.to == "floor"
    down |= isinstance(record, Position) and record.below is not None and key == (record.id, "height")
    return -1.0 if down else 1.0


def _typed(record: Record, context: Context, row: int) -> TypedLength | None:
    """Return what was typed for a number of the room."""
    key, at = context.keys[row]
    part = key[1] if isinstance(key, tuple) else ""
    match record:
        case LengthReading() | Drop():
            return record.reads
        case StraightedgeCheck() if len(record.stations) <= MOST_STATIONS:
            return record.stations[at].gap
        case Lean():
            return record.offset
        case Position():
            return (record.up or record.below) if part == "height" else record.along
        case ThreeSides():
            sides = {"left leg": record.left_leg, "right leg": record.right_leg, "diagonal": record.diagonal}
            return sides.get(str(part))
        case StoryStick():
            return record.marks[int(str(part).removeprefix("mark ")) - 1].reads
        case _:
            return None


def _layers(survey: Survey, context: Context, row: int) -> list[float]:
    """Return thicknesses of the layers of the walls that a reading saw."""
    seen = context.room.seen[context.keys[row][0]]
    return [
        float(layer.thickness.mm) for area in survey.of(Area) if area.wall in seen for layer in area.layers
    ]


def _amount(slip: float, unit: str, step: Step) -> str:
    direction = "too large" if slip > 0 else "too small"
    if unit == "deg":
        return f"{abs(slip):.1f} degrees {direction}"
    return f"{write_length(abs(slip), step)} {direction}"

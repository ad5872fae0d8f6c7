"""Lengths, positions, story sticks and what a tool reads: how far it is from one thing to another."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass
from typing import Final

from fitting.site import Along, Distance, Height, Known
from fitting.site import Spot as SiteSpot
from fitting.site import Tool as SiteTool
from fitting.tables import tape_error
from survey.observe.accuracy import (
    LEVEL_LINE_SD,
    SPOT_SD,
    LengthAccuracy,
    graduation,
    length_accuracy,
)
from survey.observe.ground import Ground, LeftOut
from survey.observe.observed import Seen, SiteReading
from survey.observe.register import observes, seen
from survey.records import End, LengthReading, Position, Reading, Spot, StoryStick, Tool, TypedLength

TIMES_THE_WORST: Final = 3.0
"""A tool that is off by more, against the limit of the worst tape, was read wrong (assumption of ours)."""


@dataclass(frozen=True)
class Taken:
    """How sure one length is, beside what it shares with all lengths that were taken alike."""

    sd: float
    tool: SiteTool | None


def accuracy_of(record: Reading, typed: TypedLength, ground: Ground) -> LengthAccuracy:
    """Return how good a length of a record is."""
    step = graduation(typed, ground.step_mm)
    tape_class = ground.tape_classes.get(record.instrument)
    return length_accuracy(record.instrument, record.start, step, tape_class)


def taken(record: Reading, typed: TypedLength, ground: Ground) -> Taken:
    """Return how sure a length of a record is; what its own `sd` says holds alone.

    A tape that shows too much shows less in what counts backward, so a length below zero shares no zero.
    """
    if record.sd is not None:
        return Taken(ground.sd(record.sd, 0.0), None)
    accuracy = accuracy_of(record, typed, ground)
    if typed.mm < 0 and accuracy.zero:
        return Taken(accuracy.total(float(typed.mm)), None)
    return Taken(accuracy.own, accuracy.tool)


@dataclass(frozen=True)
class _End:
    """One end of a length: a corner or feature point, or a spot so far along a wall from one."""

    point: str
    wall: str | None  # of a spot
    out: float
    up: float
    words: str

    @property
    def site(self) -> SiteSpot | str:
        if self.wall is None:
            return self.point
        return SiteSpot(self.wall, self.out, self.point, SPOT_SD if self.out else 0.0)


@observes(LengthReading)
def observe_length(record: LengthReading, ground: Ground) -> list[Seen]:
    """Return a distance; along a wall where both ends are on one, so that it knows which way it runs."""
    what = "a length"
    heights = [end.up if isinstance(end, Spot) and end.up else record.up for end in record.between]
    first, second = (
        _end(end, own or other, ground, what)
        for end, own, other in zip(record.between, heights, reversed(heights), strict=True)
    )
    reads = ground.size(record.reads, what)
    sure = taken(record, record.reads, ground)
    words = f"length {first.words} to {second.words} at {ground.say(first.up)}"
    return [seen(_between(record, record.id, reads, sure, (first, second), ground), words)]


@observes(Position)
def observe_position(record: Position, ground: Ground) -> list[Seen]:
    """Return where a feature is along its wall, and how high; `out` is a size and not observed.

    What runs up its wall (a casing, a stud, a door) has no height: there the height only says where the
    place along was read.
    """
    what = f"the position of `{record.of}`"
    point = ground.point(record.of, what)
    if point in ground.corners:
        why = "a corner is where its walls meet"
        raise LeftOut(207, what=what, why=why, do="read a length to it instead")
    found = []
    if record.along is not None and record.from_ is not None:
        found.append(_along(record, point, record.along, record.from_, ground))
    if (record.up is not None or record.below is not None) and not ground.runs_up(point):
        up, sure = _height(record, ground, what), _height_taken(record, ground)
        height = Height((record.id, "height"), up, sure.sd, point, tool=sure.tool)
        found.append(seen(height, f"height of {point}"))
    return found


@observes(StoryStick)
def observe_story_stick(record: StoryStick, ground: Ground) -> list[Seen]:
    """Return each mark's distance from the stick's zero, along the wall.

    The stick runs rightward, but leftward from the corner at the wall's right end.
    """
    what = f"a story stick on `{record.wall}`"
    ground.wall(record.wall, what)
    zero = _end(record.zero, record.up, ground, what)
    found = []
    for number, mark in enumerate(record.marks, 1):
        end = _end(mark.to, record.up, ground, what)
        reads = ground.size(mark.reads, f"mark {number} of {what}")
        sure = taken(record, mark.reads, ground)
        reading = _on_stick(record, (record.id, f"mark {number}"), reads, sure, (zero, end), ground)
        found.append(seen(reading, f"stick mark at {end.words}, from {zero.words}"))
    return found


@observes(Tool)
def observe_tool(record: Tool, ground: Ground) -> list[Seen]:
    """Return what a tool reads over a known length, where that was tried."""
    if record.known is None or record.reads is None:
        return []
    what = f"the calibration of `{record.name}`"
    known, reads = ground.size(record.known, what), ground.size(record.reads, what)
    accuracy = accuracy_of(record, record.reads, ground)
    if accuracy.tool is None:
        why = f"readings with a {record.instrument} have no error in common that it could tell"
        raise LeftOut(207, what=what, why=why, do="leave `known` and `reads` out")
    most = TIMES_THE_WORST * tape_error(known, "III", from_hook=True)
    if abs(reads - known) > most:
        expected = f"{record.known.text}, and no more than {ground.say(most)} off"
        raise LeftOut(200, what=what, value=record.reads.text, expected=expected)
    reading = Known(record.id, reads, ground.sd(record.sd, accuracy.own), known, tool=accuracy.tool)
    shows = "too much" if reads > known else "too little" if reads < known else "what is there"
    said = f"{record.reads.text} over {record.known.text}: {accuracy.name}, it shows {shows}"
    return [seen(reading, f"calibration of {record.name}, {said}")]


def _end(end: End, up: TypedLength | None, ground: Ground, what: str) -> _End:
    if isinstance(end, Spot):
        wall = ground.wall(end.wall, what)
        start = ground.on_wall(end.from_, wall, what)
        height = ground.height(end.up or up, what)
        out = ground.mm(end.along, what)
        return _End(start, wall, out, height, f"{wall} at {ground.say(out)} from {start}")
    point = ground.point(end, what)
    return _End(point, None, 0.0, ground.height(up, what), point)


def _between(
    record: Reading, key: Hashable, reads: float, sure: Taken, ends: tuple[_End, _End], ground: Ground
) -> SiteReading:
    """Return a signed distance along a wall from its corner to a feature on it, else a distance."""
    first, second = ends
    if first.site == second.site and first.up == second.up:
        why = f"both ends are `{first.words}`"
        raise LeftOut(207, what="a length", why=why, do="name two places")
    if abs(first.up - second.up) > reads:
        why = f"its ends are {ground.say(abs(first.up - second.up))} apart in height alone"
        raise LeftOut(207, what="a length", why=why, do="correct the heights or the length")
    finished = record.face == "finished"
    if first.up == second.up:
        for start, end in (ends, ends[::-1]):
            if _from_corner(start, end, ground):
                return Along(key, reads, sure.sd, end.point, start.point, first.up, finished, tool=sure.tool)
    places = first.site, second.site, first.up, second.up
    return Distance(key, reads, sure.sd, *places, finished, tool=sure.tool)


def _from_corner(start: _End, end: _End, ground: Ground) -> bool:
    """Whether a length runs from a corner along a wall to a feature on that wall."""
    return (
        start.wall is None
        and end.wall is None
        and start.point in ground.corners
        and end.point not in ground.corners
        and ground.walls_of(end.point)[0] in ground.walls_of(start.point)
    )


def _on_stick(
    record: StoryStick, key: Hashable, reads: float, sure: Taken, ends: tuple[_End, _End], ground: Ground
) -> SiteReading:
    """Return a mark's place along the stick's wall, with its sign where the far end is a feature."""
    zero, end = ends
    on_wall = end.wall is None and record.wall in ground.walls_of(end.point)
    zero_on_wall = record.wall in (zero.wall, *(ground.walls_of(zero.point) if zero.wall is None else ()))
    if on_wall and zero_on_wall and end.point not in ground.corners and end.point != zero.point:
        finished = record.face == "finished"
        return Along(key, zero.out + reads, sure.sd, end.point, zero.point, zero.up, finished, tool=sure.tool)
    return _between(record, key, reads, sure, ends, ground)


def _along(record: Position, point: str, typed: TypedLength, from_: str, ground: Ground) -> Seen:
    what = f"the position of `{record.of}`"
    start = ground.on_wall(from_, ground.walls_of(point)[0], what)
    if start == point:
        why = f"it is measured from `{from_}` itself"
        raise LeftOut(207, what=what, why=why, do="name another mark or corner")
    along = ground.mm(typed, what)
    up = _height(record, ground, what)
    sure, finished = taken(record, typed, ground), record.face == "finished"
    reading = Along((record.id, "along"), along, sure.sd, point, start, up, finished, tool=sure.tool)
    return seen(reading, f"{point} along from {start} at {ground.say(up)}")


def _height_taken(record: Position, ground: Ground) -> Taken:
    """Return how sure a height is, its level line included.

    A tape that shows too much makes what is below the line too low: `below` stands alone.
    """
    if record.sd is not None:
        return Taken(ground.sd(record.sd, 0.0), None)
    typed = record.up or record.below
    assert typed is not None  # one of the two is there
    if record.up is None:
        own = accuracy_of(record, typed, ground).total(float(typed.mm))
        return Taken(math.hypot(own, LEVEL_LINE_SD), None)
    sure = taken(record, typed, ground)
    return Taken(math.hypot(sure.sd, LEVEL_LINE_SD), sure.tool)


def _height(record: Position, ground: Ground, what: str) -> float:
    """Return a position's height above z = 0; `below` counts down from the level line."""
    if record.below is not None:
        return ground.level_line - ground.mm(record.below, f"the height of {what}")
    return ground.height(record.up, what)

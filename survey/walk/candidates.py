"""What a person could read now, for the advice on the next reading to choose from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import pi
from typing import Final

from survey.records import Survey
from survey.walk import asked
from survey.walk.line import Line, done
from survey.walk.place import Place, room_side
from survey.walk.same import satisfies
from survey.walk.stand import Height, Stand, Upright, stands
from survey.walk.walks import numbered, own_corners, runs, walk, widths

MOST: Final = 60
"""More are not worth the time that weighing them takes."""
SQUARE_WITHIN: Final = 0.1
"""Radians from square within which a framing square says something."""
INSET: Final = 100.0
"""mm from the ends of a wall at which its lean is read: clear of build-up, where the wall is long enough."""
GAPS_OF_SHORT: Final = 4
"""Gaps, less one, that are read along a short edge."""


def candidates(place: Place, survey: Survey) -> tuple[Line, ...]:
    """Return readings that could be taken now, at most 60: those of both walks first, then others.

    Lines of the walks that are done are left out; others stay, because reading a thing again, or a little
    elsewhere, may help most. The same survey always gives the same lines.

    Raises
    ------
    RecordError
        Where the survey has no room or no back wall.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.walk import place_of
    >>> survey = Survey(dictate(["job V in mm to 1 mm", "room r", "wall back", "mark m on back"], Survey([])))
    >>> candidates(place_of(survey), survey)[0].name
    'offsets from the laser line to wall back, counter height'
    """
    found: list[Line] = []
    for tools in ("laser", "straightedge"):
        found += [line for line in walk(place, survey, tools) if line.times == 1 and not done(line, survey)]
    needed = stands(place, survey)
    for others in (_across, _corners, _into_corners, _leans, _between):
        found += [
            replace(line, priority=max(line.priority, 2)) for one in needed for line in others(place, one)
        ]
    return numbered(_apart(found, place, survey)[:MOST], "candidate")


def _apart(lines: list[Line], place: Place, survey: Survey) -> list[Line]:
    """Leave out lines that are the same reading as an earlier one; one that only says more stays."""
    kept: list[Line] = []
    for line in lines:
        twice = any(
            type(line.reading) is type(other.reading)
            and satisfies(line.reading, other.reading, place, survey)
            and satisfies(other.reading, line.reading, place, survey)
            for other in kept
        )
        if not twice:
            kept.append(line)
    return kept


def _across(place: Place, stand: Stand) -> Iterator[Line]:
    """Give widths at all depths and heights, and diagonals: between marks, and out of the corners."""
    across = stand.across()
    if not across:
        return
    low = replace(across[0], up=place.low, words=f"at {place.say(place.low)}", counter=False)
    for height in (*across, low):
        yield from widths(place, stand, height, middle=True)
    yield from asked.diagonals(place, stand, across[0])
    yield from asked.wall_to_wall(place, stand, across[0])


def _corners(place: Place, stand: Stand) -> Iterator[Line]:
    """Give each corner by three sides, with a square, and by a small template."""
    for corner, side in own_corners(place, stand):
        height = stand.first_at(side)
        yield asked.three_sides(place, corner, stand.wall, height, height.depth, priority=2)
        if abs(room_side(corner) - pi / 2) < SQUARE_WITHIN:
            yield asked.by_square(place, corner, stand.wall, height)
        yield asked.corner_template(place, corner, stand.wall, height)


def _into_corners(place: Place, stand: Stand) -> Iterator[Line]:
    """Give checks with a very short edge right in the corners, on both walls."""
    fig = asked.figures(place)
    for corner, side in own_corners(place, stand):
        for wall in (stand.wall, side):
            if place.length(wall) < fig.close + fig.tiny:
                continue
            words = f"out of corner {corner.name}"
            yield _short(place, stand.first_at(side), wall, corner.name, fig.close, fig.tiny, words)


def _between(place: Place, stand: Stand) -> Iterator[Line]:
    """Give short checks whose gaps lie half way between the stations of the walk."""
    fig = asked.figures(place)
    for run, height in runs(place, stand):
        at = run.low + fig.every / 2
        edge = fig.short if at + fig.short <= run.high else fig.tiny
        while at + edge <= run.high:
            yield _short(
                place, height, run.wall, run.start, at, edge, f"half way between, from {place.say(at)}"
            )
            at += edge / 2


def _short(
    place: Place, height: Height, wall: str, start: str, first: float, edge: float, words: str
) -> Line:
    at = [place.rounded(first + edge * share / GAPS_OF_SHORT) for share in range(GAPS_OF_SHORT + 1)]
    return asked.edge_check(place, wall, start, edge, at, height, words=words)


def _leans(place: Place, stand: Stand) -> Iterator[Line]:
    """Give leans of each wall at its ends and in the middle, from the floor to what is planned."""
    low, high = place.low, max((height.up for height in stand.heights), default=stand.main.up)
    if high - low < 2 * INSET:
        return
    stretches = {run.wall: run for run, _ in reversed([*runs(place, stand)])}
    for run in reversed(stretches.values()):
        inset = INSET if run.high - run.low > 3 * INSET else (run.high - run.low) / 4
        for along, words in (
            (run.low + inset, "near one end"),
            ((run.low + run.high) / 2, "in the middle"),
            (run.high - inset, "near the other end"),
        ):
            upright = Upright(run.wall, run.start, place.handy(along), low, high, words, stand.pieces)
            yield asked.lean(place, upright, side=run.wall != stand.wall, priority=2)

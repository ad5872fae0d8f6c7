"""Which reading to take next, in words: what it brings to the pieces, or which of several it shows wrong.

Candidates are what the walk could ask for now (`survey.walk.candidates`) and the doubted readings once more;
what each would bring is worked out by `fitting.next_reading`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from fitting.errors import FittingError
from fitting.next_reading import Advice, Candidate, advise, telling
from fitting.site import CornerTurn, Distance, Gaps, Leaning, Touch
from fitting.site.linear import Linear
from fitting.site.readings import Observed as SiteReading
from fitting.site.readings import end_point
from fitting.site.scene import Scene
from survey.dictation import say
from survey.doubts import Judged
from survey.errors import SurveyError
from survey.observe import OBSERVERS
from survey.observe.ground import Ground, LeftOut
from survey.observe.lengths import taken
from survey.records import Reading, Survey, ThreeSides
from survey.report.chance_words import percent
from survey.report.context import Context
from survey.report.structs import GainReport, NextReading, Point
from survey.walk import candidates, place_of

REPEAT_MINUTES: Final = 0.8
"""To take one reading again (common practice, no source)."""


@dataclass(frozen=True)
class Could:
    """A reading that could be taken: its name, the record to put down, and what the fitting makes of it."""

    name: str
    record: Reading
    wall: str
    candidate: Candidate


def next_readings(survey: Survey, context: Context, judged: Judged) -> tuple[tuple[NextReading, ...], str]:
    """Return the readings to take next, and, where none is, why it is enough.

    Parameters
    ----------
    survey, context
        What is known.
    judged
        Readings of which one is wrong.
    """
    could = list(choices(survey, context))
    told = [one for one in _telling(survey, context, judged, could) if one is not None]
    try:
        found = advise(context.room, context.stakes, [one.candidate for one in could])
    except FittingError:
        found = ()  # a stake that cannot be judged is told of with its piece
    told += [_worth(context, advice, _of(could, advice)) for advice in found]
    if told or not context.stakes:
        return tuple(told), ""
    return (), "no further reading of those that could be taken now makes any piece surer to fit"


def _of(could: Iterable[Could], advice: Advice) -> Could:
    return next(one for one in could if one.candidate is advice.candidate)


def choices(survey: Survey, context: Context) -> Iterator[Could]:
    """Go through the readings that could be taken now and that the fitting can weigh beforehand."""
    try:
        lines = candidates(place_of(survey), survey)
    except SurveyError:
        return
    ground = Ground(survey)
    known = {*ground.corners, *(one.name for one in context.room.plan.features)}
    for line in lines:
        reading = _site_reading(line.reading, ground, known)
        if isinstance(reading, Touch):
            reading = _in_its_corner(context, reading)
        if reading is not None:
            yield Could(line.name, line.reading, line.wall, Candidate(reading, line.minutes))


def _site_reading(record: Reading, ground: Ground, known: set[str]) -> SiteReading | None:
    """Return what a reading would tell, or nothing where it cannot be weighed before it is taken."""
    ground.asked = set()
    try:
        if isinstance(record, ThreeSides):
            # A wall too short for legs leaves them at nothing: no corner can be read there.
            legs = record.left_leg, record.right_leg
            return _by_three_sides(record, ground) if all(leg.mm > 0 for leg in legs) else None
        seen = OBSERVERS[type(record)](record, ground)
    except (LeftOut, FittingError):
        return None
    if len(seen) != 1 or not ground.asked <= known:
        return None
    reading = seen[0].reading
    return replace(reading, key=("candidate", record.id))


def _in_its_corner(context: Context, template: Touch) -> Touch | None:
    """Lay a small template, drawn from its corner, where that corner is: a pose to weigh it at."""
    for corner in context.room.plan.corners:
        if {corner.left, corner.right} == set(template.walls):
            x, y = context.room.point(corner.name, template.up).mean
            points = tuple((float(x) + right, float(y) + back) for right, back in template.points)
            return replace(template, points=points)
    return None


def _by_three_sides(record: ThreeSides, ground: Ground) -> SiteReading:
    """Weigh a corner by three sides as the angle that comes of them: its marks are not struck yet."""
    corner = ground.corner(record.corner, "a corner by three sides")
    sides = record.left_leg, record.right_leg, record.diagonal
    a, b, c = (float(side.mm) for side in sides)
    sd = [taken(record, side, ground).sd for side in sides]
    # Law of cosines at a right angle: a leg counts by 1 over the other, the diagonal by c / (a b).
    angle = math.hypot(sd[0] / b, sd[1] / a, sd[2] * c / (a * b))
    up = ground.height(record.up, "a corner by three sides")
    return CornerTurn(("candidate", record.id), 0.0, angle, corner.name, a, b, up)


def _telling(
    survey: Survey,
    context: Context,
    judged: Judged,
    could: Sequence[Could],
) -> Iterator[NextReading | None]:
    """For each group of readings of which one is wrong, find the reading that tells which."""
    for suspect, slips in zip(judged.suspects, judged.slips, strict=True):
        if len(suspect.records) < 2:
            continue
        again = [one for record in suspect.records if (one := _again(survey, context, record)) is not None]
        choice = [*again, *could]
        best = telling(context.room, list(slips), list(slips.values()), [one.candidate for one in choice])
        if best is None:
            continue
        one = next(each for each in choice if each.candidate is best)
        says = f"it tells which of these is wrong: {'; '.join(suspect.what)}"
        yield _told(context, one, says, (), suspect.records)


def _again(survey: Survey, context: Context, record: str) -> Could | None:
    """Return a reading that was taken, to be taken once more."""
    read = next((one for one in survey.of(Reading) if one.id == record), None)
    own = [one for one in context.room.readings if context.observed.what[one.key].record == record]
    if read is None or len(own) != 1:
        return None
    words = context.observed.what[own[0].key].words
    reading = replace(own[0], key=("again", record))  # type: ignore[type-var]
    return Could(f"{words}, once more", read, "", Candidate(reading, REPEAT_MINUTES))


def _worth(context: Context, advice: Advice, one: Could) -> NextReading:
    gains = tuple(
        GainReport(each.piece, round(each.before, 4), round(each.after, 4)) for each in advice.gains
    )
    said = [(each.piece, percent(each.before), percent(each.after)) for each in gains]
    seen = [one for one in said if one[1] != one[2]] or said  # what rounds to the same is no reason to read
    rises = [f"`{name}` from {before} to {after}" for name, before, after in seen]
    says = f"the chance that all is well rises: {', '.join(rises)}"
    return _told(context, one, says, gains, ())


def _told(
    context: Context, one: Could, says: str, gains: tuple[GainReport, ...], tells: tuple[str, ...]
) -> NextReading:
    unit = context.survey.job.unit if context.survey.job else "in"
    return NextReading(
        one.name,
        says,
        one.candidate.minutes,
        gains,
        tells,
        say(one.record, unit),
        _line(context, one.candidate.reading),
        _up(one.candidate.reading),
        one.wall,
    )


def _up(reading: SiteReading) -> float | None:
    match reading:
        case Distance():
            return (reading.first_up + reading.second_up) / 2
        case Gaps():
            return sum(reading.up) / len(reading.up)
        case CornerTurn():
            return reading.up
        case _:
            return None


def _line(context: Context, reading: SiteReading) -> tuple[Point, ...]:
    """Return where a reading lies in the plan: a tape's ends, an edge's, or a gauge's legs and corner."""

    def build(scene: Scene) -> Sequence[Linear]:
        match reading:
            case Distance():
                ends = (reading.first, reading.first_up), (reading.second, reading.second_up)
                points = [end_point(scene, end, up, reading.finished) for end, up in ends]
            case Gaps():
                at = [
                    scene.spot(reading.wall, reading.start, along, reading.up[0]) for along in _ends(reading)
                ]
                points = [scene.surface(reading.wall, along, reading.up[0]) for along in at]
            case CornerTurn():
                corner = context.room.plan.corner(reading.corner)
                assert corner is not None  # it was observed
                legs = (corner.left, reading.left_reach), (corner.right, reading.right_reach)
                left, right = (
                    scene.surface(wall, scene.spot(wall, reading.corner, reach, reading.up), reading.up)
                    for wall, reach in legs
                )
                points = [left, scene.place(reading.corner, reading.up), right]
            case Leaning():
                at = [scene.spot(reading.wall, reading.start, reading.along, reading.low)]
                points = [scene.surface(reading.wall, along, reading.low) for along in at]
            case _:
                points = []
        return [coordinate for x, y, _ in points for coordinate in (x, y)]

    flat = context.room.expect(build).reshape(-1, 2)
    return tuple((round(float(x), 1), round(float(y), 1)) for x, y in np.asarray(flat))


def _ends(reading: Gaps) -> tuple[float, float]:
    return min(reading.along), max(reading.along)

"""From records to the inputs of the fitting; what cannot be used is left out and becomes a finding."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from typing import Final

from fitting.errors import BadInput
from fitting.site import NEW_HOUSE, OLD_HOUSE, Prior
from fitting.site.know import MOST_NUMBERS
from fitting.site.readings import scaled
from survey.finding import Finding, finding
from survey.observe.coming import assumptions, coverings, trim_to_come
from survey.observe.condense import MOST_STATIONS
from survey.observe.ground import Ground, LeftOut
from survey.observe.observed import Observed, Seen, SiteReading, What
from survey.observe.plan import choose_origin, lay_plan
from survey.observe.register import OBSERVERS, observes, record_of
from survey.observe.sizes import ties
from survey.observe.structure import structure
from survey.observe.whereabouts import off_the_wall, whereabouts
from survey.records import (
    Experience,
    Position,
    Reading,
    Room,
    StoryStick,
    StraightedgeCheck,
    Survey,
    Template,
    ThreeSides,
    kind_of,
)

# Imported for what they register.
for _module in ("corners", "lengths", "surfaces"):
    import_module(f"survey.observe.{_module}")

__all__ = [
    "OBSERVERS",
    "Observed",
    "SiteReading",
    "What",
    "experience_factor",
    "observe",
    "observes",
    "record_of",
]

_MOST_RECORDS_NAMED: Final = 5


def observe(survey: Survey) -> Observed:
    """Turn a survey's records into what the fitting takes. Never raises.

    Parameters
    ----------
    survey
        Any survey of valid records; corrected and withdrawn ones are not looked at.

    Returns
    -------
    Observed
        Plan, readings, prior and words for each reading; findings numbered 100 to 108 (names and
        structure), 200 to 208 (single readings) and 600 to 602 (assumed, still to come).

    Examples
    --------
    >>> observed = observe(Survey([]))
    >>> observed.plan is None, [finding.number for finding in observed.findings]
    (True, [100, 101, 107])
    """
    ground = Ground(survey)
    findings = list(structure(survey, ground))
    seen, points = _read(survey, ground, findings)
    origin, refused = choose_origin(survey, ground)
    tied, own, oversized = ties(points, seen, ground)
    seen += tied
    where = whereabouts(seen, ground, origin)
    seen, off = off_the_wall(seen, where, ground)
    seen = _as_experienced(survey, seen)
    seen = _as_many_as_one_room_takes(seen, findings)
    to_come, coming = coverings(survey, ground)
    points = points | own | ({origin} if origin else set())
    plan, apart = lay_plan(survey, ground, points, seen, where, to_come, origin)
    findings += [*refused, *oversized, *off, *apart, *assumptions(survey), *coming]
    findings += trim_to_come(survey, ground)
    kept = seen if plan is not None else []
    return Observed(
        plan,
        tuple(one.reading for one in kept),
        _prior(survey),
        tuple(findings),
        {one.reading.key: one.what for one in kept},
    )


def _read(survey: Survey, ground: Ground, findings: list[Finding]) -> tuple[list[Seen], set[str]]:
    """Observe every reading; return what they say and the points they refer to."""
    readings = survey.of(Reading)
    numbers = {record.id: _numbers(record) for record in readings}
    count = sum(numbers.values())
    if count > MOST_NUMBERS:
        largest = sorted(numbers, key=numbers.__getitem__, reverse=True)[:_MOST_RECORDS_NAMED]
        findings.append(finding(205, largest, count=count, most=MOST_NUMBERS))
        return [], set()
    seen: list[Seen] = []
    points: set[str] = set()
    for record in readings:
        ground.asked = set()
        try:
            seen += OBSERVERS[type(record)](record, ground)
        except LeftOut as left_out:
            findings.append(left_out.finding(record.id))
        except BadInput as refused:
            what = f"a reading ({kind_of(record)})"
            findings.append(finding(207, (record.id,), what=what, why=str(refused), do="read it again"))
        else:
            points |= ground.asked
    return seen, points


def _as_many_as_one_room_takes(seen: list[Seen], findings: list[Finding]) -> list[Seen]:
    """Return all readings, or none where what ties edges to features made them too many."""
    count = sum(len(one.reading.read) for one in seen)
    if count <= MOST_NUMBERS:
        return seen
    findings.append(finding(205, count=count, most=MOST_NUMBERS))
    return []


def _as_experienced(survey: Survey, seen: list[Seen]) -> list[Seen]:
    """Take readings as unsure as the shop's own jobs say, where somebody put that down.

    A standard deviation that a person typed with a reading is that person's word, and stays.
    """
    factor = experience_factor(survey)
    if factor == 1.0:
        return seen
    own = {one.id for one in survey.of(Reading) if one.sd is not None}
    return [
        one if one.what.record in own else replace(one, reading=scaled(one.reading, factor)) for one in seen
    ]


def experience_factor(survey: Survey) -> float:
    """Return how many times as unsure as usual readings are taken: 1 where nothing was put down of that."""
    said = survey.of(Experience)
    return said[-1].factor if said else 1.0


def _numbers(record: Reading) -> int:
    """Return how many numbers of the fitting a reading gives at the most."""
    match record:
        case StraightedgeCheck():
            return min(len(record.stations), MOST_STATIONS)
        case Template():
            return len(record.points)
        case StoryStick():
            return len(record.marks)
        case ThreeSides():
            return 3
        case Position():
            return 2
        case _:
            return 1


def _prior(survey: Survey) -> Prior:
    rooms = survey.of(Room)
    usual = NEW_HOUSE if rooms and rooms[-1].age == "new" else OLD_HOUSE
    # What lies between the readings counts in what came out, so it is scaled with them.
    factor = experience_factor(survey)
    return usual if factor == 1.0 else usual.times(factor)

"""Send virtual fitters to many sites and put what was cut on their numbers into the true rooms.

Run with `python tests/simulated/study.py SITES [--first SEED] [--jobs N]`. It prints, for each walk and law
of wall, in percent: how many tops cut net for an alcove go in with no gap over 1/8 in, beside what rules of
thumb give; how likely that was foretold; how many slips are found and how many false alarms there are; how
often a scribed blank covers. Then whether the chances that were foretold came true, over good and poor walks.
`tests/simulated/test_study.py` holds a smaller run to what DEVELOPERS.md states of a large one.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np

from fitting.doubt import doubts
from fitting.piece import NET_GAP, EdgePlan
from fitting.site import KnownRoom, know_room, learn
from fitting.top import FittedTop, TopPlan, fit_top
from simulated import trade
from simulated.fitter import read, slip
from simulated.installer import Scribed, install, scribe
from simulated.laws import FloatArray
from simulated.site import Site, alcove_site
from survey.dictation import dictate
from survey.doubts import FALSE_ALARM
from survey.observe import observe
from survey.records import Reading, StraightedgeCheck, Survey
from survey.walk import place_of, walk
from survey.walk.walks import Tools

FIRST = 1_000_000
"""Seeds from here on were looked at by nobody while anything was tuned."""
LAWS = ("as-assumed", "framed", "plastered", "masonry", "wavy")
UP, DEPTH, OPEN_END = 860.0, 560.0, 150.0
EIGHTH, QUARTER = 25.4 / 8, 25.4 / 4
LIMIT = EIGHTH
BINS = (0.0, 0.5, 0.8, 0.95, 1.0)

PLAN = (
    'job "Study" in in to 1/16',
    "room alcove back back {age}",
    "wall left",
    "wall back",
    "wall right",
    "corner left-back joins left and back inside",
    "corner back-right joins back and right inside",
    f"top counter against back up {UP} mm thickness 30 mm depth {DEPTH} mm"
    + "".join(f", {side} meets {side} net" for side in ("left", "right", "back")),
)


@dataclass
class Tried:
    """What became of one visit to one site."""

    law: str
    walk: str
    numbers: int
    fits: bool
    fits_away: bool
    goes_in: bool
    foretold: float
    foretold_in: float
    rectangle: bool
    trapezoid: bool
    alarm: bool
    quarter: bool
    quarter_named: bool
    eighth: bool
    covers: bool
    left_over: tuple[float, float]  # mm planed off at the least place of the left and of the back edge
    rule_covers: bool
    rule_left_over: tuple[float, float]
    poorly: tuple[float, bool] = field(default=(0.0, False))  # foretold, came true


def planned(site: Site) -> Survey:
    """The survey before anything is read: the place, how old the house is, and a top to cut."""
    return Survey(dictate([line.replace("{age}", site.age) for line in PLAN], Survey([])))


def visited(site: Site, tools: Tools, rng: np.random.Generator, skill: str = "careful") -> Survey:
    """Walk the default walk; its first width says how long the back wall is, and where to read along it."""
    survey = planned(site)
    first = walk(place_of(survey), survey, tools)[0]
    survey = survey.plus(read(first.reading, site, rng, skill))
    for line in walk(place_of(survey), survey, tools)[1:]:
        survey = survey.plus(read(line.reading, site, rng, skill))
    return survey


def numbers_of(survey: Survey) -> int:
    return sum(_numbers(one) for one in survey.of(Reading))


def _numbers(reading: Reading) -> int:
    return len(reading.stations) if isinstance(reading, StraightedgeCheck) else 1


def known(survey: Survey) -> tuple[KnownRoom, list[str]]:
    """What the room is taken to be, and the record of each number."""
    observed = observe(survey)
    stops = [one for one in observed.findings if one.severity == "stops"]
    if observed.plan is None or stops:
        raise ValueError(f"expected a survey that can be used, got {stops}")
    room = learn(know_room(observed.plan, observed.readings, observed.prior))
    return room, [observed.what[one.key].record for one in room.readings for _ in one.read]


def net_top(room: KnownRoom) -> FittedTop:
    edges = {side: EdgePlan(side, "net", NET_GAP) for side in ("left", "right", "back")}
    return fit_top(room, TopPlan("back", UP, 30.0, depth=DEPTH, **edges))


def try_site(seed: int, law: str, tools: Tools) -> Tried:
    site = alcove_site(seed, law)
    rng = np.random.default_rng([seed, 7])
    survey = visited(site, tools, rng)
    room, _ = known(survey)
    top = net_top(room)
    assert top.stake is not None
    outcome = top.stake.outcome(top.stake.known)
    assert outcome.goes_in is not None
    assert outcome.close is not None
    found = install(top.outline.outline, site, UP)
    sizes = trade.measure(site, UP, DEPTH, rng)
    covers, left_over = _scribed(room, site)
    blank, left = trade.scribed_blank(trade.open_ended(sizes, _length(site)), DEPTH, ("left", "back"))
    rule_covers, rule_left_over = _covered(scribe(blank, site, UP, left))
    return Tried(
        law,
        tools,
        numbers_of(survey),
        found.within(LIMIT),
        found.goes_in and found.greatest_gap_away <= LIMIT,
        found.goes_in,
        outcome.close.value,
        outcome.goes_in.value,
        install(trade.plain_rectangle(sizes, DEPTH), site, UP).within(LIMIT),
        install(trade.trapezoid(sizes, DEPTH), site, UP).within(LIMIT),
        bool(doubts(room.adjustment, FALSE_ALARM).suspects),
        *_slipped(survey, rng, QUARTER),
        _slipped(survey, rng, EIGHTH)[0],
        covers,
        left_over,
        rule_covers,
        rule_left_over,
        _poorly(survey, site, rng),
    )


def _length(site: Site) -> float:
    return site.walls["back"].length - OPEN_END


def _scribed(room: KnownRoom, site: Site) -> tuple[bool, tuple[float, float]]:
    """Scribe a top into the left corner: does its blank cover, and how much wood was left over?"""
    left, back = (EdgePlan(wall, "scribed") for wall in ("left", "back"))
    top = fit_top(room, TopPlan("back", UP, 30.0, left, None, back, depth=DEPTH, width=_length(site)))
    allowances = {}
    for side in ("left", "back"):
        allowance = top.outline.edges[side].allowance
        assert allowance is not None
        allowances[side] = allowance.total
    return _covered(scribe(top.outline.blank, site, UP, allowances))


def _covered(done: Mapping[str, Scribed]) -> tuple[bool, tuple[float, float]]:
    """Whether both edges that were scribed cover, and what was left over on each; the right end is open."""
    left, back = done["left"], done["back"]
    return left.covers and back.covers, (left.left_over, back.left_over)


def _slipped(survey: Survey, rng: np.random.Generator, size: float) -> tuple[bool, bool]:
    """Put a slip into any one number: is something found, and is it, or a group that holds it, named?"""
    readings = survey.of(Reading)
    weights = np.array([_numbers(one) for one in readings], dtype=float)
    wrong = readings[int(rng.choice(len(readings), p=weights / weights.sum()))]
    slipped, _ = slip(wrong, rng, size)
    room, records = known(Survey(slipped if one.id == wrong.id else one for one in survey.records))
    suspects = doubts(room.adjustment, FALSE_ALARM).suspects
    named = any(records[row] == wrong.id for one in suspects for row in one.rows)
    return bool(suspects), named


def _poorly(survey: Survey, site: Site, rng: np.random.Generator) -> tuple[float, bool]:
    """Forget some of the readings: what is foretold then, and did it come true?"""
    readings = survey.of(Reading)
    kept = {readings[0].id, *(one.id for one in readings if rng.random() < 0.6)}
    room, _ = known(Survey(one for one in survey.records if not isinstance(one, Reading) or one.id in kept))
    top = net_top(room)
    assert top.stake is not None
    outcome = top.stake.outcome(top.stake.known)
    assert outcome.close is not None
    return outcome.close.value, install(top.outline.outline, site, UP).within(LIMIT)


def run(seeds: Iterable[int], jobs: int = 1) -> list[Tried]:
    """Visit each site once: five laws of wall in turn, half of the sites of each with a laser."""
    walks: tuple[Tools, ...] = ("laser", "straightedge")
    tasks = [(seed, LAWS[seed % len(LAWS)], walks[seed // len(LAWS) % 2]) for seed in seeds]
    if jobs == 1:
        return [try_site(*task) for task in tasks]
    with ProcessPoolExecutor(jobs) as pool:
        return list(pool.map(try_site, *zip(*tasks, strict=True), chunksize=10))


SHARES = (
    "fits", "fits_away", "goes_in", "foretold", "foretold_in", "rectangle", "trapezoid", "quarter",
    "quarter_named", "eighth", "alarm", "covers", "rule_covers",
)  # fmt: skip


def told(tried: Sequence[Tried]) -> Iterable[str]:
    """One line for each walk and law: shares in percent, medians of wood left over in mm."""
    yield f"{'walk':12} {'law':10} {'n':>4} {'numbers':>7} " + " ".join(f"{one[:10]:>10}" for one in SHARES)
    for tools in dict.fromkeys(one.walk for one in tried):
        for law in ("all laws", *LAWS):
            part = [one for one in tried if one.walk == tools and law in ("all laws", one.law)]
            if part:
                shares = [100 * float(np.mean([getattr(one, name) for one in part])) for name in SHARES]
                numbers = float(np.mean([one.numbers for one in part]))
                row = " ".join(f"{share:10.2f}" for share in shares)
                yield f"{tools:12} {law:10} {len(part):4} {numbers:7.1f} {row}"
        over = [[getattr(one, name) for one in tried if one.walk == tools] for name in LEFT_OVER]
        ours, rule = (float(np.median(one)) for one in over)
        yield f"{tools}: wood left over, median {ours:.1f} mm; by rule {rule:.1f} mm"
    yield from (
        f"foretold {low:.2f} to {high:.2f}: {n} visits, {100 * foretold:.1f} %, came true {100 * true:.1f} %"
        for low, high, n, foretold, true in reliability(tried)
    )


LEFT_OVER = ("left_over", "rule_left_over")


def reliability(tried: Sequence[Tried]) -> Iterable[tuple[float, float, int, float, float]]:
    """By bins of what was foretold, over good and poor walks: how many, foretold and true on average."""
    pairs = [(one.foretold, one.fits) for one in tried] + [one.poorly for one in tried]
    told, true = (np.array(column, dtype=float) for column in zip(*pairs, strict=True))
    for low, high in pairwise(BINS):
        inside: FloatArray = (told >= low) & ((told < high) | (high == 1.0))  # type: ignore[assignment]
        if inside.any():
            yield low, high, int(inside.sum()), float(told[inside].mean()), float(true[inside].mean())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("sites", type=int)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--jobs", type=int, default=1)
    asked = parser.parse_args()
    tried = run(range(asked.first, asked.first + asked.sites), asked.jobs)
    print("\n".join(told(tried)))


if __name__ == "__main__":
    main()

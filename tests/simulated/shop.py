"""A shop with hands of its own: what it learns from its jobs as installed, and what that does to its blanks.

Run with `python tests/simulated/shop.py [--jobs N] [--tried N]`. For hands 1, 2 and 3 times as unsure as
usual it visits sites, puts down what was planed off on the day at every other place, and learns its figure;
then it cuts blanks for other sites by the usual figures and by its own. Printed are, in percent, how often a
blank covers, and in mm the median of the wood that is planed off at the least place.

On the day a blank is pushed to the walls till it rests, and planed until it is as deep and as long as its
finished size says where it touched: so much less elsewhere as it stood off there.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np

from fitting.experience import Learned
from simulated.edges import edges_of
from simulated.fitter import read
from simulated.hand import Skill
from simulated.installer import rested, scribe
from simulated.laws import FloatArray
from simulated.site import Site, alcove_site
from simulated.study import OPEN_END, UP
from survey.dictation import dictate
from survey.findings import fit
from survey.installed import learned, outcome, with_installed
from survey.records import Survey
from survey.report.structs import FitReport, PieceReport
from survey.shop import JobOutcome
from survey.walk import place_of, walk

FIRST = 2_000_000
"""Seeds from here on were looked at by nobody while anything was tuned."""
STEP, SEAT = 25.4 / 16, 0.3
"""How finely a depth is read on the day, and how surely the pencil line is set; mm."""
TOP = (
    f"top counter against back up {UP} mm thickness 30 mm depth 560 mm width {{width}} mm, "
    "left meets left scribed, back meets back scribed"
)
PLAN = (
    'job "Shop" in in to 1/16',
    "room alcove back back {age}",
    "wall left",
    "wall back",
    "wall right",
    "corner left-back joins left and back inside",
    "corner back-right joins back and right inside",
    TOP,
)


def visited(site: Site, rng: np.random.Generator, skill: Skill) -> Survey:
    """Read what the walk asks for at a site."""
    width = f"{site.walls['back'].length - OPEN_END:.0f}"
    lines = [line.replace("{age}", site.age).replace("{width}", width) for line in PLAN]
    survey = Survey(dictate(lines, Survey([])))
    for line in walk(place_of(survey), survey, "laser"):
        survey = survey.plus(read(line.reading, site, rng, skill))
    return survey


def top_of(report: FitReport) -> PieceReport:
    (top,) = report.pieces
    if top.status != "ready" or not top.blank_outline:
        raise ValueError(f"expected a top that is ready, got {top.status}: {report.findings}")
    return top


def planed(top: PieceReport, site: Site) -> dict[str, list[tuple[str, float]]]:
    """Return by edge what is planed off on the day: the place as printed, and the depth in mm."""
    blank = np.array(top.blank_outline)
    edges = edges_of(blank, site, UP, None)
    gaps = edges.gaps(rested(edges))
    found = {}
    for edge in top.edges:
        if not edge.scribe:
            continue
        here = edges.wall == edges.names.index(edge.edge)
        along = _along(edge.edge, edges.points[here])
        most = max(one.depth.mm for one in edge.scribe)
        order = np.argsort(along)
        depths = np.interp([one.at.mm for one in edge.scribe], along[order], most - gaps[here][order])
        found[edge.edge] = [
            (one.at.text, float(depth)) for one, depth in zip(edge.scribe, depths, strict=True)
        ]
    return found


def _along(edge: str, points: FloatArray) -> FloatArray:
    """Return where points of an edge are, as its stations count: the back from the right end."""
    return -points[:, 0] if edge == "back" else points[:, 1]


def job_of(seed: int, skill: Skill) -> JobOutcome:
    """Do a job, and put down on the day what came out at every other place."""
    site, rng = alcove_site(seed, "as-assumed"), np.random.default_rng([seed, 11])
    survey = visited(site, rng, skill)
    report = fit(survey)
    lines = []
    for edge, depths in planed(top_of(report), site).items():
        for at, depth in depths[::2]:
            marked = max(round((depth + rng.normal(0.0, SEAT)) / STEP), 0)
            lines.append(f"installed counter {edge} at {at.removesuffix(' in')} planed off {marked}/16")
    survey = survey.plus(*dictate([_proper(line) for line in lines], survey))
    done = outcome(survey, with_installed(survey, report))
    assert done is not None
    return done


def _proper(line: str) -> str:
    """Write sixteenths as a mixed number: 19/16 is 1 3/16."""
    start, _, fraction = line.rpartition(" ")
    whole, part = divmod(int(fraction.removesuffix("/16")), 16)
    return f"{start} {' '.join([str(whole)] * bool(whole) + [f'{part}/16'] * bool(part)) or '0'}"


@dataclass(frozen=True)
class Tried:
    """A blank that was cut: whether it covers, and the least that is planed off each edge, mm."""

    covers: bool
    left_over: tuple[float, ...]


def cut(survey: Survey, site: Site) -> Tried:
    """Cut a blank on a survey's numbers and scribe it in."""
    top = top_of(fit(survey))
    allowances = {
        one.edge: one.allowance.total.cut_mm for one in top.edges if one.scribe and one.allowance is not None
    }
    scribed = scribe(np.array(top.blank_outline), site, UP, allowances)
    done = [scribed[edge] for edge in allowances]  # its open end faces a wall too, from afar
    return Tried(all(one.covers for one in done), tuple(one.left_over for one in done))


def tries(seeds: range, skill: Skill, told: Learned) -> Iterator[tuple[Tried, Tried]]:
    """Cut for other sites, by the usual figures and by the shop's own."""
    own = f"experience factor {told.factor:.2f} jobs {told.jobs} edges {told.places}"
    for seed in seeds:
        site = alcove_site(seed, "as-assumed")
        survey = visited(site, np.random.default_rng([seed, 11]), skill)
        yield cut(survey, site), cut(survey.plus(*dictate([own], survey)), site)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--jobs", type=int, default=40, help="as installed, to learn from")
    parser.add_argument("--tried", type=int, default=100, help="blanks cut afterwards")
    asked = parser.parse_args()
    print("hands | factor (between) | covers: usual, own | wood left over, median mm: usual, own")
    for times in (1.0, 2.0, 3.0):
        skill = Skill(times)
        told = learned([job_of(FIRST + number, skill) for number in range(asked.jobs)])
        seeds = range(FIRST + asked.jobs, FIRST + asked.jobs + asked.tried)
        usual, own = zip(*tries(seeds, skill, told), strict=True)
        covers = ", ".join(f"{np.mean([one.covers for one in each]):.1%}" for each in (usual, own))
        left = ", ".join(f"{np.median([one.left_over for one in each]):.1f}" for each in (usual, own))
        between = f"{told.factor:.2f} ({told.low:.2f} to {told.high:.2f})"
        print(f"{times:g} | {between} | {covers} | {left}", flush=True)


if __name__ == "__main__":
    main()

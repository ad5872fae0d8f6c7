"""As installed: what came out on the day against what was foretold, and what the shop's jobs come to.

What was foretold comes from the readings alone; what was put down on the day never changes it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from msgspec.structs import replace

from fitting.experience import GROSS, Difference, Learned, learn_from
from survey.finding import Finding, finding
from survey.quantity import read_step, round_length, write_length
from survey.records import AsInstalled, Experience, InstalledWhat, Record, Survey
from survey.report.structs import (
    Dimension,
    EdgeReport,
    FitReport,
    InstalledReport,
    PieceReport,
)
from survey.shop import EdgeOutcome, JobOutcome, Shop

LEAST_VARIANCE: Final = 1e-4
"""mm²: nothing is foretold more surely than to a hundredth of a millimetre."""
SEAT: Final = 0.3
"""mm: one standard deviation of where the pencil line of a scribe is read from (assumption)."""


def with_installed(survey: Survey, report: FitReport) -> FitReport:
    """Return the report with what came out of each piece, and the findings of what cannot be.

    Doubts name what was put down of a piece or edge that is not there, or past an edge's end.
    """
    records = survey.of(AsInstalled)
    used = survey.of(Experience)
    if not records and not used:
        return report
    pieces = {one.name: one for one in report.pieces}
    told: dict[str, list[InstalledReport]] = {}
    found: list[Finding] = []
    for record in records:
        piece = pieces.get(record.piece)
        if piece is None:
            known = f"the pieces are {', '.join(pieces) or 'none'}"
            found.append(finding(610, [record.id], what=f"piece `{record.piece}`", known=known))
            continue
        told.setdefault(piece.name, []).extend(_came_out(report, piece, record, found))
    if used:
        last = used[-1]
        how = "as sure as usual" if last.factor == 1 else f"{last.factor:g} times as unsure as usual"
        found.append(finding(613, [last.id], how=how, jobs=last.jobs))
    return replace(
        report,
        pieces=tuple(replace(one, installed=tuple(told.get(one.name, ()))) for one in report.pieces),
        findings=(*report.findings, *found),
    )


def _came_out(
    report: FitReport, piece: PieceReport, record: AsInstalled, found: list[Finding]
) -> Iterator[InstalledReport]:
    """Hold one record against the edge that it names."""
    edge = next((one for one in piece.edges if one.edge == record.edge), None)
    shim = _shims(piece).get(record.edge)
    if record.shim is not None and shim is not None:
        out = float(record.shim.mm)
        yield InstalledReport(record.edge, "shim", None, shim, size(report, out), 0.0, record.id)
    if record.shim is not None and shim is None and edge is None:
        known = 'name the side or corner that a shim was foretold for, such as "left front" (in quotes)'
        what = f"a shim or edge {record.edge} of `{piece.name}`"
        found.append(finding(610, [record.id], [piece.name], what=what, known=known))
        return
    if record.planed_off is None and record.gap is None and record.recut is None:
        return
    if edge is None:
        known = f"its edges are {', '.join(one.edge for one in piece.edges) or 'none'}"
        what = f"the {record.edge} edge of `{piece.name}`"
        found.append(finding(610, [record.id], [piece.name], what=what, known=known))
        return
    if record.planed_off is not None:
        yield from _planed_off(report, piece, edge, record, found)
    if record.gap is not None and edge.gap is not None:
        out = float(record.gap.mm)
        yield InstalledReport(edge.edge, "gap", None, edge.gap, size(report, out), 0.0, record.id)
    if record.recut is not None:
        at = None if record.at is None else size(report, float(record.at.mm))
        cut, none = size(report, float(record.recut.mm)), size(report, 0.0)
        yield InstalledReport(edge.edge, "cut off again", at, none, cut, 0.0, record.id)


@dataclass(frozen=True)
class Place:
    """Where something can be put down as installed: an edge or corner, what of it, and what was foretold.

    Nothing is foretold (`foretold` is None) of what is cut off again: a piece is to go in as it was cut.
    """

    edge: str
    what: InstalledWhat
    at: Dimension | None = None
    foretold: Dimension | None = None


FIELDS: Final[dict[InstalledWhat, str]] = {
    "planed off": "planed_off",
    "gap": "gap",
    "shim": "shim",
    "cut off again": "recut",
}
"""In which field of the record each is put down."""


def places(piece: PieceReport) -> Iterator[Place]:
    """Give the places of a piece, edge by edge and then its shims."""
    for edge in piece.edges:
        if edge.finish not in ("scribed", "net"):
            continue
        for one in edge.scribe:
            yield Place(edge.edge, "planed off", one.at, one.depth)
        if edge.finish == "net" and edge.gap is not None:
            yield Place(edge.edge, "gap", None, edge.gap)
        yield Place(edge.edge, "cut off again")
    for corner, foretold in _shims(piece).items():
        yield Place(corner, "shim", None, foretold)


def _shims(piece: PieceReport) -> dict[str, Dimension]:
    """Return the shims foretold by their corner, under a box or under its loose base."""
    named = [(one.name.rpartition(" at the "), one.size) for one in piece.measures]
    return {corner: foretold for (what, _, corner), foretold in named if what.startswith("shim")}


def _planed_off(
    report: FitReport, piece: PieceReport, edge: EdgeReport, record: AsInstalled, found: list[Finding]
) -> Iterator[InstalledReport]:
    assert record.planed_off is not None
    if not edge.scribe:
        known = f"its {edge.edge} edge is {edge.finish or 'open'}, nothing is planed off it"
        what = f"a scribed {edge.edge} edge of `{piece.name}`"
        found.append(finding(610, [record.id], [piece.name], what=what, known=known))
        return
    at = None if record.at is None else float(record.at.mm)
    places = [one.at.mm for one in edge.scribe]
    slack = float(read_step(report.step).mm)
    if at is not None and not min(places) - slack <= at <= max(places) + slack:
        long = size(report, max(places)).text
        named = {"piece": piece.name, "at": size(report, at).text, "edge": edge.edge, "long": long}
        found.append(finding(611, [record.id], [piece.name], **named))
        return
    foretold, sd = _foretold(edge, at)
    came_out = float(record.planed_off.mm)
    unsure = math.hypot(sd, mark_sd(report))
    times = abs(came_out - foretold) / unsure
    if times > GROSS:
        off = size(report, abs(came_out - foretold)).text
        named = {"piece": piece.name, "off": off, "edge": edge.edge, "times": f"{times:.0f}"}
        found.append(finding(612, [record.id], [piece.name], **named))
    place = None if at is None else size(report, at)
    yield InstalledReport(
        edge.edge,
        "planed off",
        place,
        size(report, foretold),
        size(report, came_out),
        round(unsure, 4),
        record.id,
    )


def _foretold(edge: EdgeReport, at: float | None) -> tuple[float, float]:
    """Return how deep it was to be planed at a place, or at its deepest, and how sure that is; mm."""
    stations = sorted(edge.scribe, key=lambda one: one.at.mm)
    if at is None:
        deepest = max(stations, key=lambda one: one.depth.mm)
        return deepest.depth.mm, deepest.sd_mm
    after = next((i for i, one in enumerate(stations) if one.at.mm >= at), len(stations) - 1)
    first, last = stations[max(after - 1, 0)], stations[after]
    span = last.at.mm - first.at.mm
    share = 0.0 if span <= 0 else min(max((at - first.at.mm) / span, 0.0), 1.0)
    return (
        first.depth.mm + share * (last.depth.mm - first.depth.mm),
        first.sd_mm + share * (last.sd_mm - first.sd_mm),
    )


def size(report: FitReport, mm: float) -> Dimension:
    """Say a length to the report's smallest fraction."""
    step = read_step(report.step)
    cut = round_length(mm, step, "nearest")
    return Dimension(round(mm, 4), float(cut), write_length(cut, step))


def by_usual_figures(survey: Survey) -> Survey:
    """Return the survey without a factor of the shop's own, so that none is learned on top of another."""
    return Survey([one for one in survey.records if not isinstance(one, Experience)])


def outcome(survey: Survey, report: FitReport) -> JobOutcome | None:
    """Return how a job came out, for the shop's file; nothing where nothing was put down that says so.

    Parameters
    ----------
    survey
        As `by_usual_figures` gives it.
    report
        Its fit report.
    """
    mark = mark_sd(report)
    edges = tuple(
        EdgeOutcome(
            piece.name,
            one.edge,
            one.what,
            one.foretold.mm,
            math.sqrt(max(one.sd_mm**2 - mark**2, LEAST_VARIANCE)),
            one.came_out.mm,
            round(mark, 4),
        )
        for piece in report.pieces
        for one in piece.installed
        if one.sd_mm > 0.0
    )
    job = survey.job
    return JobOutcome(_first_id(survey, job), job.title, edges) if job is not None and edges else None


def mark_sd(report: FitReport) -> float:
    """Return how well a depth is marked and read on the day: one standard deviation, mm."""
    return math.hypot(SEAT, float(read_step(report.step).mm) / math.sqrt(12))


def _first_id(survey: Survey, record: Record) -> str:
    """Return the id that a record had before it was ever corrected: a job stays the same job."""
    while record.replaces and record.replaces[0] in survey.by_id:
        record = survey.by_id[record.replaces[0]]
    return record.id


def kept(shop: Shop, job: JobOutcome) -> Shop:
    """Return the shop with a job in it; it takes the place of what was kept of the same job before."""
    others = tuple(one for one in shop.jobs if one.job != job.job)
    return replace(shop, jobs=(*others, job))


def learned(jobs: Iterable[JobOutcome]) -> Learned:
    """Say what a shop's jobs come to."""
    return learn_from(
        Difference(job.job, one.came_out_mm - one.foretold_mm, one.sd_mm, one.mark_sd_mm)
        for job in jobs
        for one in job.edges
    )


def learned_words(found: Learned) -> str:
    """Say it for people.

    >>> learned_words(learn_from([Difference("a", 0.7, 1.0)]))
    'One job so far, 1 place: 11 more jobs are needed before anything is learned from them.'
    """
    jobs = "One job" if found.jobs == 1 else f"{found.jobs} jobs"
    places = "1 place" if found.places == 1 else f"{found.places} places"
    if found.verdict == "too few":
        more = "1 more job is" if found.lacking == 1 else f"{found.lacking} more jobs are"
        return f"{jobs} so far, {places}: {more} needed before anything is learned from them."
    between = f"{found.low:.2f} to {found.high:.2f}"
    if found.verdict == "as usual":
        return f"{jobs}, {places}: edges came out as foretold ({found.factor:g} times as far off; {between})."
    return f"{jobs}, {places}: edges came out {found.factor:g} times as far off as foretold ({between})."

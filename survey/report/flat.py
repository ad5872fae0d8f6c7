"""A flat piece's outline as the report tells it: edges, allowances, scribe by station, notches, sizes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from fitting.edge import FittedEdge
from fitting.notch import OUTWARD, SKIN, Notch, Side
from fitting.outline import FittedOutline
from fitting.piece import NET_GAP
from fitting.scribe import Scribe
from survey.finding import Finding, finding
from survey.records import Edge, Piece
from survey.records.base import LengthUnit
from survey.report.context import Context, gap_of, not_made
from survey.report.printing import Printer
from survey.report.structs import (
    AllowanceReport,
    Dimension,
    EdgeReport,
    NamedDimension,
    NotchCorner,
    NotchReport,
    Point,
    ScribeStation,
)

FloatArray = NDArray[np.float64]

PRINTED_EVERY: Mapping[LengthUnit, float] = {"in": 152.4, "mm": 150.0}
"""mm between the stations that are printed, 6 in: as far apart as a fitter reads gaps."""
SAME_LINE = 1e-6
"""mm; vertices of a blank nearer than this to a side's line are on it."""


@dataclass(frozen=True)
class Words:
    """How one kind of flat piece is talked about.

    `sides` names the four sides of the outline, `across_from` and `deep_from` where its two coordinates
    are measured from, `meets` what each meeting side meets. With a datum at the right all distances across
    are `leftward`, and printed without their sign. What a side meets besides a wall `stands` only so far
    out of the wall behind (mm).
    """

    sides: Mapping[Side, str]
    meets: Mapping[Side, str]
    across_from: str
    deep_from: str
    across: str
    deep: str
    leftward: bool = False
    stands: Mapping[Side, float] = field(default_factory=dict)


@dataclass(frozen=True)
class FlatReport:
    """The parts of a piece's report that come from its outline."""

    finished: tuple[NamedDimension, ...]
    blank: tuple[NamedDimension, ...]
    outline: tuple[Point, ...]
    blank_outline: tuple[Point, ...]
    edges: tuple[EdgeReport, ...]
    notches: tuple[NotchReport, ...]


def flat_report(
    context: Context, piece: Piece, fitted: FittedOutline, words: Words, thickness: float
) -> FlatReport:
    """Tell a fitted outline; refuse a piece of which nothing is left, or that is divided in two."""
    printer = context.printer
    context.outlines[piece.name] = fitted, words
    context.note(*_remarks(printer, piece, fitted, words), *_wider_gaps(printer, piece, fitted, words))
    lines = {side: _rounded(printer, edge) for side, edge in fitted.edges.items()}
    edges = [
        _edge_report(printer, side, fitted.edges[side], lines[side], words)
        for side in OUTWARD
        if fitted.edges[side].finish != "straight"
    ]
    thick = NamedDimension("thickness", printer.near(thickness))
    return FlatReport(
        (*_sizes(printer, {side: line.finished for side, line in lines.items()}, words), thick),
        (*_sizes(printer, {side: line.blank for side, line in lines.items()}, words), thick),
        _ring(fitted.outline),
        _ring(_snapped(fitted, lines)),
        tuple(edges),
        tuple(_notch_report(printer, notch, words) for notch in fitted.notches),
    )


@dataclass(frozen=True)
class _Line:
    """A side's lines as they are cut: signed outward coordinates on the job's graduations."""

    finished: Dimension
    blank: Dimension
    total: Dimension | None


def _rounded(printer: Printer, edge: FittedEdge) -> _Line:
    """Round a side once: finished + allowance = blank holds afterwards."""
    if edge.allowance is not None:
        finished, total = printer.up(edge.final), printer.up(edge.allowance.total)
        blank = printer.near(finished.cut_mm + total.cut_mm)
        return _Line(finished, replace(blank, mm=round(edge.blank, 4)), total)
    to_cut = {"straight": printer.near, "let in": printer.up}.get(edge.finish, printer.down)
    return _Line(to_cut(edge.final), to_cut(edge.blank), None)


def _sizes(printer: Printer, ends: Mapping[Side, Dimension], words: Words) -> tuple[NamedDimension, ...]:
    def size(first: Side, second: Side) -> Dimension:
        exact = ends[first].mm + ends[second].mm
        return replace(printer.near(ends[first].cut_mm + ends[second].cut_mm), mm=round(exact, 4))

    return (
        NamedDimension(words.across, size("left", "right")),
        NamedDimension(words.deep, size("front", "back")),
    )


def _edge_report(printer: Printer, side: Side, edge: FittedEdge, line: _Line, words: Words) -> EdgeReport:
    deepest, shallowest = None, None
    if edge.scribe is not None:
        spare = line.blank.cut_mm - edge.blank
        deepest = printer.near(edge.scribe.deepest + spare)
        shallowest = printer.near(edge.scribe.shallowest + spare)
    across = side in ("front", "back")
    return EdgeReport(
        words.sides[side],
        words.meets.get(side, ""),
        edge.finish,
        printer.up(edge.gap) if edge.finish in ("net", "covered") else None,
        _allowance_report(printer, edge, line),
        words.across_from if across else words.deep_from,
        _printed_stations(printer, edge, line, words.leftward and across),
        deepest,
        shallowest,
    )


def _allowance_report(printer: Printer, edge: FittedEdge, line: _Line) -> AllowanceReport | None:
    """Tell an allowance whose parts add up on paper: what is lost or won by rounding is in the unknown."""
    if edge.allowance is None or line.total is None:
        return None
    known, saw = printer.down(edge.allowance.range), printer.near(edge.allowance.saw)
    unknown = printer.near(line.total.cut_mm - known.cut_mm - saw.cut_mm)
    return AllowanceReport(known, replace(unknown, mm=round(edge.allowance.unknown, 4)), saw, line.total)


def _printed_stations(
    printer: Printer, edge: FittedEdge, line: _Line, leftward: bool
) -> tuple[ScribeStation, ...]:
    """Thin the stations out to what a person marks: both ends, every 6 in, the deepest and shallowest."""
    scribe = edge.scribe
    if scribe is None:
        return ()
    kept = _marked(scribe, PRINTED_EVERY[printer.step.unit])
    depths = np.interp(kept, scribe.stations, scribe.depth) + line.blank.cut_mm - edge.blank
    sds = np.zeros(len(kept)) if edge.sd is None else np.interp(kept, scribe.stations, edge.sd)
    told = [
        ScribeStation(
            printer.near(-place if leftward else place), printer.near(float(depth)), round(float(sd), 4)
        )
        for place, depth, sd in zip(kept, depths, sds, strict=True)
    ]
    return tuple(reversed(told) if leftward else told)


def _marked(scribe: Scribe, every: float) -> list[float]:
    places = scribe.stations
    must = {float(places[0]), float(places[-1]), scribe.deepest_at, scribe.shallowest_at}
    first = float(np.ceil(places[0] / every) * every)
    may = [float(place) for place in np.arange(first, places[-1], every)]
    return sorted(must | {place for place in may if min(abs(place - one) for one in must) > every / 6})


def _notch_report(printer: Printer, notch: Notch, words: Words) -> NotchReport:
    """Round every corner of a notch away from what it clears: the notch gets larger, never smaller."""
    middle = (notch.corners.min(axis=0) + notch.corners.max(axis=0)) / 2
    corners = []
    for x, y in notch.corners:
        across = printer.up(x) if x > middle[0] else printer.down(x)
        deep = printer.up(y) if y > middle[1] else printer.down(y)
        corners.append(NotchCorner(_unsigned(printer, across, words), deep))
    return NotchReport(
        notch.around, printer.near(notch.clearance), words.across_from, words.deep_from, tuple(corners)
    )


def _unsigned(printer: Printer, across: Dimension, words: Words) -> Dimension:
    """Print a distance from the right end as a length to the left of it."""
    if not words.leftward:
        return across
    return Dimension(abs(across.mm), abs(across.cut_mm), printer.near(abs(across.cut_mm)).text)


def _snapped(fitted: FittedOutline, lines: Mapping[Side, _Line]) -> FloatArray:
    """Put the blank's straight sides on the graduations that are printed."""
    ring = np.array(fitted.blank)
    for side, (axis, sign) in OUTWARD.items():
        on_line = np.abs(ring[:, axis] - sign * fitted.edges[side].blank) < SAME_LINE
        ring[on_line, axis] = sign * lines[side].blank.cut_mm
    return ring


def _ring(points: FloatArray) -> tuple[Point, ...]:
    return tuple((round(float(x), 4), round(float(y), 4)) for x, y in points)


def _wider_gaps(printer: Printer, piece: Piece, fitted: FittedOutline, words: Words) -> Iterable[Finding]:
    """Say where a gap had to be larger than asked because the wall is not known better."""
    for side, edge in fitted.edges.items():
        if edge.finish in ("net", "covered"):
            asked = _gap_asked(piece, words.sides[side])
            if printer.up(edge.gap).cut_mm > printer.up(asked).cut_mm:
                yield finding(
                    504,
                    [piece.id],
                    [piece.name],
                    edge=f"the {words.sides[side]}",
                    piece=piece.name,
                    gap=printer.up(edge.gap).text,
                    asked=printer.up(asked).text,
                    do="check the wall there more closely, or cover the gap",
                )


def _gap_asked(piece: Piece, side: str) -> float:
    edge = getattr(piece, side, None)
    return gap_of(edge) if isinstance(edge, Edge) else NET_GAP


HOLE = "it is a hole, not a notch: see how the piece gets over it"


def _remarks(printer: Printer, piece: Piece, fitted: FittedOutline, words: Words) -> Iterable[Finding]:
    records, pieces = [piece.id], [piece.name]
    side_names = {str(side): name for side, name in words.sides.items()}
    fell_off = iter(fitted.cut_off)
    for remark in fitted.remarks:
        what, name = remark.about, piece.name
        if remark.kind in ("nothing left", "no edge"):
            lost = "it" if remark.kind == "nothing left" else f"its {side_names[what]} edge"
            yield not_made(piece, f"nothing of {lost} is left", "look at its size and place")
        elif remark.kind == "cut off":
            across, deep = np.ptp(next(fell_off), axis=0)
            share = remark.amount / (remark.amount + _area(fitted.outline))
            size = f"{printer.near(float(across)).text} by {printer.near(float(deep)).text}"
            least = _least_bridge(printer, fitted, words, what)
            yield finding(
                508, records, pieces, obstacle=what, piece=name, off=f"{share:.0%}", size=size, least=least
            )
        elif remark.kind == "thin":
            yield finding(509, records, pieces, piece=name, obstacle=what)
        elif remark.kind == "hole":
            yield finding(506, records, pieces, piece=name, obstacle=what, do=HOLE)
        elif remark.kind == "past the stations":
            past = f"the {side_names[what]} of `{name}` goes {printer.up(remark.amount).text} past its wall"
            yield finding(
                602, records, pieces, what=past, do="look there: the wall is taken to go on straight"
            )


def _area(ring: FloatArray) -> float:
    """Return the area of a ring (mm2), by the shoelace sum."""
    x, y = ring.T
    return abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2


def _least_bridge(printer: Printer, fitted: FittedOutline, words: Words, what: str) -> str:
    """Say how much farther it must reach on one side, the least, so that a saw kerf of wood holds it."""
    shapes = [one.shape() for one in fitted.obstacles if one.name in what.split(" and ")]
    past = []
    for side, (axis, sign) in OUTWARD.items():
        reach = max(
            (float((sign * np.array(one.exterior.coords)[:, axis]).max()) for one in shapes), default=0.0
        )
        over = reach - fitted.edges[side].final
        if over > 0:
            past.append((over + SKIN, words.sides[side]))
    if not past:
        return "move it clear of that"
    least, where = min(past)
    return f"let it reach {printer.up(least).text} farther at the {where}"


def width_at(ring: Iterable[Point], y: float) -> float:
    """Return how wide a ring is along the line at y, from its first to its last crossing."""
    first, last = ends_at(ring, y)
    return last - first


def ends_at(ring: Iterable[Point], y: float) -> tuple[float, float]:
    """Return the x of a ring's first and last crossing of the line at y."""
    points = list(ring)
    found = []
    for (x1, y1), (x2, y2) in pairwise([*points, points[0]]):
        if min(y1, y2) <= y <= max(y1, y2):
            found += [x1, x2] if y1 == y2 else [x1 + (x2 - x1) * (y - y1) / (y2 - y1)]
    return min(found), max(found)

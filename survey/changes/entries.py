"""Everything that a piece's paper says, as named entries: two reports are compared by them.

Entries of one name and group are the same thing; what stands more than once under a name is counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from survey.changes.structs import Group
from survey.report.chance_words import percent
from survey.report.structs import (
    ChanceReport,
    CutOutReport,
    Dimension,
    EdgeReport,
    HoleReport,
    Likelihood,
    NamedDimension,
    NotchReport,
    PartReport,
    PieceReport,
)

ELSEWHERE: Final = frozenset({"name", "status", "findings", "readings", "outline", "blank_outline", "bulges"})
"""Fields of a piece that are compared elsewhere: as findings, records and outlines, and by its status."""


class Entry(NamedTuple):
    """What is said under a name: its text, and what is behind it where it is a length or a chance."""

    group: Group
    what: str
    text: str
    size: Dimension | None = None
    likely: Likelihood | None = None


def entries(piece: PieceReport) -> dict[tuple[str, str], Entry]:
    """Return what a piece's paper says, by group and name.

    Examples
    --------
    >>> shelf = PieceReport("shelf", "top", "ready", material="oak")
    >>> [entry.text for entry in entries(shelf).values()]
    ['top', 'oak', '1']
    """
    met: Counter[tuple[str, str]] = Counter()
    found: dict[tuple[str, str], Entry] = {}
    for entry in _all(piece):
        if not entry.text:
            continue
        key = (entry.group, entry.what)
        met[key] += 1
        if met[key] > 1:
            key = (entry.group, f"{entry.what} ({met[key]})")
            entry = entry._replace(what=key[1])
        found[key] = entry
    return found


def _all(piece: PieceReport) -> Iterator[Entry]:
    yield Entry("cut", "kind", piece.kind)
    yield Entry("cut", "material", piece.material)
    yield Entry("cut", "grain", piece.grain)
    yield Entry("cut", "quantity", str(piece.quantity))
    for state, sizes in (("finished", piece.finished), ("blank", piece.blank), ("rough", piece.rough)):
        yield from _named("cut", sizes, f"{state} ")
    for left in piece.oversize:
        yield _length("cut", f"{left.size} left over for {left.purpose} ({left.by})", left.amount)
    yield from _named("cut", piece.seams, "seam ")
    yield Entry("cut", "waits for", ", ".join(piece.waits_for))
    yield Entry("cut", "measured from", piece.datum)
    for part in piece.parts:
        yield from _part(part)
    for edge in piece.edges:
        yield from _edge(edge)
    for notch in piece.notches:
        yield from _notch(notch)
    for cut_out in piece.cut_outs:
        yield from _cut_out(cut_out)
    for hole in piece.holes:
        yield from _hole(hole)
    if piece.cut_path:
        yield Entry("outline", "inside corners run past the edge", str(len(piece.cut_path)))
    yield from _on_site(piece)
    if piece.chance is not None:
        yield from _chance(piece.chance)
    yield from _words(piece)


def _length(group: Group, what: str, size: Dimension) -> Entry:
    return Entry(group, what, size.text, size)


def _named(group: Group, sizes: Iterable[NamedDimension], before: str = "") -> Iterator[Entry]:
    for one in sizes:
        yield _length(group, f"{before}{one.name}", one.size)


def _part(part: PartReport) -> Iterator[Entry]:
    yield Entry("part", f"{part.name}, quantity", str(part.quantity))
    yield from _named("part", part.finished, f"{part.name}, finished ")
    yield from _named("part", part.rough, f"{part.name}, rough ")
    for what, text in (("material", part.material), ("grain", part.grain), ("note", part.note)):
        yield Entry("part", f"{part.name}, {what}", text)


def _edge(edge: EdgeReport) -> Iterator[Entry]:
    name = f"{edge.edge} edge"
    yield Entry("edge", f"{name} meets", edge.meets)
    yield Entry("edge", f"{name} is", edge.finish)
    if edge.gap is not None:
        yield _length("edge", f"gap at the {name}", edge.gap)
    if edge.allowance is not None:
        yield _length("edge", f"left on at the {name}", edge.allowance.total)
    for what, depth in (("deepest", edge.deepest), ("shallowest", edge.shallowest)):
        if depth is not None:
            yield _length("edge", f"{what} scribe at the {name}", depth)
    yield Entry("edge", f"depths at the {name} count", edge.stations_from)
    yield Entry("words", f"most unknown at the {name}", edge.driver)


def _notch(notch: NotchReport) -> Iterator[Entry]:
    name = f"notch around {notch.around}"
    yield _length("notch", f"{name}, clearance", notch.clearance)
    for number, corner in enumerate(notch.corners, 1):
        yield _length("notch", f"{name}, corner {number}, {_start(notch.across_from)}", corner.across)
        yield _length("notch", f"{name}, corner {number}, {notch.deep_from}", corner.deep)


def _start(words: str) -> str:
    """Say where something counts from, what a minus means in brackets.

    >>> _start("from the centre line, left is minus")
    'from the centre line (left is minus)'
    """
    start, _, sign = words.partition(", ")
    return f"{start} ({sign})" if sign else start


def _cut_out(one: CutOutReport) -> Iterator[Entry]:
    name = f"cut-out {one.name}"
    yield Entry("cut-out", f"{name}, shape", one.shape)
    yield Entry("cut-out", f"{name}, for", one.item)
    yield _length("cut-out", f"{name}, width", one.width)
    yield _length("cut-out", f"{name}, depth", one.depth)
    if one.radius is not None:
        yield _length("cut-out", f"{name}, radius of its corners", one.radius)
    yield _length("cut-out", f"{name}, centre {_start(one.across_from)}", one.centre.across)
    yield _length("cut-out", f"{name}, centre {one.deep_from}", one.centre.deep)
    yield from _named("words", one.left_over, f"left around {one.name}, ")
    yield Entry("on site", f"{name} is carried by", " and ".join(one.support))


def _hole(one: HoleReport) -> Iterator[Entry]:
    name = f"hole for {one.around}"
    yield _length("cut-out", f"{name}, centre {one.across_from}", one.across)
    yield _length("cut-out", f"{name}, centre {one.up_from}", one.up)
    if one.diameter is not None:
        yield _length("cut-out", f"{name}, diameter", one.diameter)


def _on_site(piece: PieceReport) -> Iterator[Entry]:
    yield from _named("on site", piece.measures)
    for caution in piece.cautions:
        yield Entry("on site", f"caution: {caution}", "to be heeded")
    for step in piece.way:
        yield Entry("on site", f"the way past {step.name}", step.verdict)
        yield Entry("words", f"carried past {step.name}", step.how)
        if step.margin is not None:
            yield _length("words", f"room past {step.name}", step.margin)
    for said in piece.screws:
        yield Entry("words", "screws", said)
    for one in piece.fixings:
        yield _length("fixing", f"{one.stud}, {one.across_from}", one.across)
        yield _length("fixing", f"{one.stud}, from {one.mark}", one.off)
        yield _length("fixing", f"{one.stud}, a screw may be off by", one.within)
        yield Entry("fixing", f"{one.stud} was found by", one.how)


def _chance(chance: ChanceReport) -> Iterator[Entry]:
    asked = (
        ("that all is well", chance.all_well),
        ("that it goes in", chance.goes_in),
        ("that no gap is too wide", chance.close),
        ("that its blank covers", chance.covers),
        ("marked out by numbers", chance.by_numbers),
        *((f"at the {edge} edge", one) for edge, one in chance.by_edge.items()),
    )
    for what, likely in asked:
        if likely is not None:
            yield Entry("chance", f"chance {what}", percent(likely.chance), likely=likely)
    if chance.greatest_gap is not None:
        yield _length("chance", "widest gap that may stay", chance.greatest_gap)
    if chance.lacking is not None:
        yield _length("chance", "lacking at each edge", chance.lacking)
    if chance.unfound is not None:
        yield Entry("chance", "a slip that nothing else would show", chance.unfound.what)


def _words(piece: PieceReport) -> Iterator[Entry]:
    yield Entry("words", "how it sits", piece.rule)
    if piece.confidence is not None:
        yield Entry("words", "worked out for", f"{100 * piece.confidence:.4g} %")
    yield Entry("words", "that covers", piece.limits)
    if piece.stock is not None:
        yield Entry("words", "stock", piece.stock.says)
    if piece.entry is not None:
        yield Entry("words", "into its place", piece.entry.says)
    if piece.lift is not None:
        yield Entry("words", "lift", piece.lift.says)
    for one in piece.installed:
        at = f" at {one.at.text}" if one.at is not None else ""
        yield _length("words", f"as installed, {one.what} at the {one.edge} edge{at}", one.came_out)

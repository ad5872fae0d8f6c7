"""Cut-outs in the report: size, centre from the piece's datum, what is left around them, what carries."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from msgspec.structs import replace

from fitting.corner_shape import FloatArray, drawn_out
from fitting.cut_out import CutOutPlan, FittedCutOut, cut_out_arcs, fit_cut_outs
from fitting.notch import Side
from fitting.placement import Spotted
from survey.finding import Finding, finding
from survey.records import BoughtItem, CutOut, Piece, Top
from survey.report.context import Context, NotReady, mm, not_said
from survey.report.flat import Words
from survey.report.structs import CutOutReport, NamedDimension, NotchCorner, PieceReport

SURE = 2.0
"""Standard deviations that a place is said to be good to."""
AWAY: dict[Side, str] = {
    "left": "to the right",
    "right": "to the left",
    "front": "to the back",
    "back": "to the front",
}
PLUMBING = (
    "Cut for a basin or pipes only with the very item at hand; water, drains and gas are for a licensed "
    "trade, and the local code says where they may be."
)


@dataclass(frozen=True)
class _Cut:
    """A cut-out as it was said, its plan in the piece's frame, and how sure its place is (mm)."""

    record: CutOut
    plan: CutOutPlan
    unsure: float = 0.0


def with_cut_outs(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell the cut-outs of a piece with an outline; refuse the piece where one breaks through its edge."""
    records = [one for one in context.survey.of(CutOut) if one.of == piece.name]
    if not records:
        return told
    if piece.name not in context.outlines or not context.outlines[piece.name][0].outline.size:
        context.note(*(_not_cut(piece, one) for one in records))
        return told
    fitted, words = context.outlines[piece.name]
    wood = np.array(told.outline, dtype=np.float64) if told.outline else fitted.outline
    if told.bulges:
        wood = drawn_out(wood, told.bulges)
    cuts = [_cut(context, piece, one, wood) for one in records]
    found = fit_cut_outs(wood, [one.plan for one in cuts])
    context.note(*_remarks(context, piece, cuts, found, words))
    reports = tuple(_report(context, piece, *one, words) for one in zip(cuts, found, strict=True))
    known = {one.record.over: one.unsure for one in cuts if one.unsure}
    unsure = tuple(
        context.printer.named(f"place of {over} under it, good to", SURE * sd) for over, sd in known.items()
    )
    return replace(
        told,
        cut_outs=reports,
        measures=(*told.measures, *unsure),
        cautions=(*told.cautions, PLUMBING),
    )


def _not_cut(piece: Piece, one: CutOut) -> Finding:
    why = "only what is cut flat, such as a top, a panel or a shelf at a wall, is worked out with cut-outs"
    return finding(535, [piece.id, one.id], [piece.name], cut_out=one.name, piece=piece.name, why=why)


def _cut(context: Context, piece: Piece, one: CutOut, wood: FloatArray) -> _Cut:
    """Return a cut-out's plan; refuse the piece where its size or place is not said."""
    width, depth, radius = _size(context, piece, one)
    left, right = float(wood[:, 0].min()), float(wood[:, 0].max())
    front, back = float(wood[:, 1].min()), float(wood[:, 1].max())
    unsure = 0.0
    if one.over is not None:
        x, unsure = _over(context, piece, one, one.over)
    elif one.along is None:
        x = (left + right) / 2
    elif one.end is None:
        what = f"from which end `{one.name}` is"
        raise NotReady(not_said(piece, what, "say `from left end` or `from right end`", one.id))
    else:
        x = left + mm(one.along) if one.end == "left" else right - mm(one.along)
    y = (front + back) / 2 if one.from_front is None else front + mm(one.from_front)
    least = None if one.least is None else mm(one.least)
    return _Cut(one, CutOutPlan(one.name, one.shape, width, depth, x, y, radius, least), unsure)


def _size(context: Context, piece: Piece, one: CutOut) -> tuple[float, float, float]:
    """Return width, depth and corner radius: as said, or those of the bought item."""
    item = None if one.item is None else context.record(one.item, BoughtItem)
    sizes = []
    for name, said in (("width", one.width), ("depth", one.depth)):
        size = said if said is not None else getattr(item, name, None)
        if size is None:
            raise NotReady(finding(305, [piece.id, one.id], [piece.name], name=one.name, size=name))
        sizes.append(mm(size))
    radius = one.radius if one.radius is not None else (item.radius if item is not None else None)
    return sizes[0], sizes[1], mm(radius)


def _over(context: Context, piece: Piece, one: CutOut, over: str) -> tuple[float, float]:
    """Return where along the piece something of the room is, and its standard deviation."""
    top = context.tops.get(piece.name)
    if top is None or not isinstance(piece, Top):
        what = f"where `{one.name}` is in `{piece.name}`"
        raise NotReady(not_said(piece, what, "say it from an end: only tops know what they lie over", one.id))
    plan = context.room.plan
    is_placed = plan.feature(over) is not None and context.room.feature_placed(over)
    if plan.corner(over) is None and not is_placed:
        raise NotReady(finding(304, [*context.ids(over), one.id], [piece.name], name=over))
    spot = top.placed.measure([Spotted(over, top.plan.upper, "x")])
    return float(spot.mean[0]) - top.datum[0], float(spot.sd[0])


def _remarks(
    context: Context, piece: Piece, cuts: list[_Cut], found: tuple[FittedCutOut, ...], words: Words
) -> Iterator[Finding]:
    """What breaks through, what leaves too little, and what is too near to another."""
    printer = context.printer
    for cut, one in zip(cuts, found, strict=True):
        ids = [piece.id, cut.record.id]
        for side in one.breaks or one.thin:
            number = 533 if one.breaks else 532
            move, smaller = one.mend(side)
            do = f"move it {printer.up(move).text} {AWAY[side]}"
            if smaller:
                size = "width" if side in ("left", "right") else "depth"
                less = printer.up(smaller).text
                do = f"make its {size} {less} less and put it midway, or make `{piece.name}` larger"
            yield finding(
                number,
                ids,
                [piece.name],
                cut_out=cut.record.name,
                piece=piece.name,
                side=words.sides[side],
                left=printer.down(max(one.left_over[side], 0.0)).text,
                by=printer.up(max(-one.left_over[side], 0.0)).text,
                least=printer.near(one.plan.kept).text,
                do=do,
            )
        if not one.thin and one.nearest < one.plan.kept:
            yield finding(
                532,
                ids,
                [piece.name],
                cut_out=cut.record.name,
                piece=piece.name,
                side="nearest corner",
                left=printer.down(one.nearest).text,
                least=printer.near(one.plan.kept).text,
                do=f"move it {printer.up(one.plan.kept - one.nearest).text} away from there",
            )
    for (cut, one), (other, next_to) in combinations(zip(cuts, found, strict=True), 2):
        between, least = one.between[other.plan.name], min(cut.plan.kept, other.plan.kept)
        if between < least:
            yield finding(
                534,
                [piece.id, cut.record.id, other.record.id],
                [piece.name],
                cut_out=cut.record.name,
                other=other.record.name,
                piece=piece.name,
                left=printer.down(between).text,
                least=printer.near(least).text,
                by=printer.up(least - between + _overlap(one, next_to)).text,
            )


def _overlap(one: FittedCutOut, other: FittedCutOut) -> float:
    """Return by how much one must move along its width or depth until two overlap no more; 0 where apart.

    The lesser of the two ways, for the rectangles around both: exact for rectangles, enough for ovals.
    """
    if one.between[other.plan.name] > 0:
        return 0.0
    near = np.minimum(one.ring.max(axis=0), other.ring.max(axis=0))
    far = np.maximum(one.ring.min(axis=0), other.ring.min(axis=0))
    return float((near - far).min())


def _report(context: Context, piece: Piece, cut: _Cut, one: FittedCutOut, words: Words) -> CutOutReport:
    printer, plan = context.printer, one.plan
    sign = -1.0 if words.leftward else 1.0
    profiled = _profiled(piece)
    left_over = [
        NamedDimension(words.sides[side], printer.down(left - profiled.get(side, 0.0)))
        for side, left in one.left_over.items()
    ]
    left_over += [NamedDimension(f"to {name}", printer.down(left)) for name, left in one.between.items()]
    support: tuple[str, ...] = ()
    if one.bearers:
        first, second = (printer.near(sign * x).text for x in sorted(one.bearers, key=lambda x: sign * x))
        support = (f"a bearer front to back at each side of it, {first} and {second} {words.across_from}",)
    return CutOutReport(
        cut.record.name,
        plan.shape,
        printer.up(plan.width),
        printer.up(plan.depth),
        NotchCorner(printer.near(sign * plan.x), printer.near(plan.y)),
        words.across_from,
        words.deep_from,
        printer.near(plan.radius) if plan.shape == "rectangle" else None,
        tuple((round(float(x), 3), round(float(y), 3)) for x, y in one.ring),
        cut.record.item or "",
        tuple(left_over),
        support,
        tuple((round(float(x), 6), round(float(y), 6), float(bulge)) for x, y, bulge in cut_out_arcs(plan)),
    )


def _profiled(piece: Piece) -> dict[str, float]:
    """Return how far the profile of a top goes in from its free edges (mm): its front and its open ends."""
    if not isinstance(piece, Top):
        return {}
    ends = {"left": piece.left, "right": piece.right}
    free = ["front", *(side for side, edge in ends.items() if edge.meets is None)]
    return dict.fromkeys(free, mm(piece.profile_depth))

"""What else a top must keep to: shaped corners, seams clear of cut-outs, covers, rules of its material."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from msgspec.structs import replace

from fitting.corner_shape import End, FloatArray, ShapedCorner, shape_corners
from fitting.errors import BadInput
from fitting.seam import Barred, barred, best_seam, moves
from survey.finding import Finding, finding
from survey.records import Piece, Seam, Shelf, Top
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.flat import Words
from survey.report.rough import stock_for
from survey.report.structs import NamedDimension, PieceReport

CAULK: Final = 3.175
"""mm of a cover's thickness that the caulk takes, 1/8 in (common practice, no source)."""
NEARLY: Final = 0.5
"""mm by which a seam may be too near to a cut-out before it is said."""
AWS: Final = "Architectural Woodwork Standards, 1st edition, as quoted; not seen itself"
SOLID_GAP: Final = 3.175
"""mm, 1/8 in: the least gap of solid surface at a wall (the same)."""
CANTILEVER: Final = ((19.0, 304.8), (0.0, 152.4))
"""Solid surface: from which thickness (mm; 3/4 in, else as at 1/2) how far it may go free (12, 6 in)."""


def with_top_rules(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell the seams of what is cut flat, its cut-outs told before, and what a top must keep to."""
    if not isinstance(piece, Top | Shelf) or piece.name not in context.outlines or not told.outline:
        return told
    words = context.outlines[piece.name][1]
    told = replace(told, seams=tuple(_seams(context, piece, told, words)))
    context.note(*_longer_than_stock(context, piece, told, words))
    if isinstance(piece, Top):
        context.note(*_covers(context, piece), *_material(context, piece, told))
    return told


# Corners


def with_corners(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Shape a top's front corners that are asked for at open ends; the blank stays square."""
    if not isinstance(piece, Top) or not told.outline:
        return told
    asked: dict[End, ShapedCorner] = {}
    ends: tuple[End, ...] = ("left", "right")
    for end in ends:
        corner = piece.front_left if end == "left" else piece.front_right
        edge = piece.left if end == "left" else piece.right
        if corner is None:
            continue
        if edge.meets is not None:
            meets = f"`{edge.meets}`"
            context.note(finding(536, [piece.id], [piece.name], piece=piece.name, end=end, meets=meets))
        else:
            asked[end] = ShapedCorner(corner.shape, mm(corner.size))
    if not asked:
        return told
    outline = np.array(told.outline, dtype=np.float64)
    try:
        ring, bulges = shape_corners(outline, asked)
    except BadInput:
        raise NotReady(*_too_large(context, piece, outline, asked)) from None
    return replace(told, outline=tuple((float(x), float(y)) for x, y in ring), bulges=bulges)


def _too_large(
    context: Context,
    piece: Top,
    outline: FloatArray,
    asked: dict[End, ShapedCorner],
) -> Iterator[Finding]:
    """Say of each corner that does not fit how large it may be, the others as asked where they fit alone."""
    for end, corner in asked.items():
        others = {one: other for one, other in asked.items() if one != end}
        most = _most(outline, end, corner, others)
        if most < corner.size:
            yield finding(
                537,
                [piece.id],
                [piece.name],
                piece=piece.name,
                end=end,
                shape=corner.shape,
                size=context.printer.near(corner.size).text,
                most=context.printer.down(most).text,
            )


def _most(
    outline: FloatArray,
    end: End,
    corner: ShapedCorner,
    others: dict[End, ShapedCorner],
) -> float:
    """Return the largest size of a corner that fits, by halving (mm), beside others that fit."""

    def fits(size: float, beside: dict[End, ShapedCorner]) -> bool:
        try:
            shape_corners(outline, {**beside, end: ShapedCorner(corner.shape, size)})
        except BadInput:
            return False
        return True

    beside = others if fits(1e-3, others) else {}
    low, high = 0.0, corner.size
    if fits(high, beside):
        return high
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle, beside) else (low, middle)
    return low


# Seams


def _seams(context: Context, piece: Piece, told: PieceReport, words: Words) -> Iterator[NamedDimension]:
    """Tell where seams, joints and knots fall; note what is too near to a cut-out."""
    sign = -1.0 if words.leftward else 1.0
    left, right = (float(f([x for x, _ in told.outline])) for f in (min, max))
    for one in context.survey.of(Seam):
        if one.of != piece.name:
            continue
        across = _across(piece, one, left, right)
        deep = None if one.from_front is None else mm(one.from_front)
        if one.type == "board joint":
            if deep is None:
                what = f"how far from the front the joint `{one.name}` is"
                raise NotReady(not_said(piece, what, "say `from front`", one.id))
            _refuse_off(context, piece, one, deep, *_span(told.outline, 1))
            yield context.printer.named(f"{one.type} {one.name}, {words.deep_from}", deep)
            context.note(*_too_near(context, piece, one, told, deep, 1, ("to the front", "to the back")))
        else:
            if across is None:
                what = f"from which end, and how far, the {one.type} `{one.name}` is"
                raise NotReady(not_said(piece, what, "say `along ... from left end`", one.id))
            _refuse_off(context, piece, one, across, left, right)
            yield context.printer.named(f"{one.type} {one.name}, {words.across_from}", sign * across)
            if one.type == "seam" or deep is None or _reaches(told, deep, mm(one.size) / 2):
                context.note(
                    *_too_near(context, piece, one, told, across, 0, ("to the left", "to the right"))
                )


def _refuse_off(context: Context, piece: Piece, one: Seam, at: float, low: float, high: float) -> None:
    """Refuse a seam that does not lie on its piece."""
    if not low < at < high:
        off = context.printer.up(max(low - at, at - high)).text
        why = f"the {one.type} `{one.name}` lies {off} off it"
        raise NotReady(
            not_made(piece, why, f"count it anew: it is {context.printer.near(high - low).text} there")
        )


def _across(piece: Piece, one: Seam, left: float, right: float) -> float | None:
    if one.along is None or one.end is None:
        return None
    return left + mm(one.along) if one.end == "left" else right - mm(one.along)


def _reaches(told: PieceReport, deep: float, radius: float) -> bool:
    """Whether a knot lies beside a cut-out, from front to back."""
    spans = [_span(ring, 1) for ring in (one.ring for one in told.cut_outs)]
    return any(low - radius <= deep <= high + radius for low, high in spans)


def _span(ring: tuple[tuple[float, float], ...], axis: int) -> tuple[float, float]:
    places = [point[axis] for point in ring]
    return min(places), max(places)


def _too_near(
    context: Context, piece: Piece, one: Seam, told: PieceReport, at: float, axis: int, ways: tuple[str, str]
) -> Iterator[Finding]:
    cut_outs = [(other.name, _span(other.ring, axis)) for other in told.cut_outs]
    size = mm(one.size) / 2
    spans = tuple(Barred(b.by, (b.span[0] - size, b.span[1] + size)) for b in barred(one.type, cut_outs))
    found = moves(at, spans)
    if found is None:
        return
    hit, back, on = found
    if min(-back, on) < NEARLY:
        return  # as near as anybody sets out a joint
    low, high = dict(cut_outs)[hit.by]
    up = context.printer.up
    first, last = _span(told.outline, axis)
    ways_out = [
        f"{up(abs(by)).text} {way}"
        for by, way in zip((back, on), ways, strict=True)
        if first < at + by < last
    ]
    is_in = low < at < high and one.type != "board joint"
    yield finding(
        538,
        [piece.id, one.id],
        [piece.name],
        piece=piece.name,
        seam=one.name,
        type=one.type,
        cut_out=hit.by,
        where="in" if is_in else f"{up(min(abs(at - low), abs(at - high))).text} from the edge of",
        moves=" or ".join(ways_out) or f"out of `{piece.name}`: there is no place for it",
    )


def _longer_than_stock(context: Context, piece: Piece, told: PieceReport, words: Words) -> Iterator[Finding]:
    """Say where a seam would have to fall in what is longer than its stock and has none."""
    stock = stock_for(context, told.material)
    if not stock or any(one.of == piece.name and one.type == "seam" for one in context.survey.of(Seam)):
        return
    longest = max(mm(one.length) for one in stock)
    left, right = _span(told.blank_outline or told.outline, 0)
    if right - left <= longest:
        return
    spans = barred("seam", [(one.name, _span(one.ring, 0)) for one in told.cut_outs])
    place = best_seam(left, right, longest, spans)
    sign = -1.0 if words.leftward else 1.0
    where = None if place is None else f"{context.printer.near(sign * place).text} {words.across_from}"
    do = "make it in three, or find longer stock" if where is None else f"a seam would best fall {where}"
    what = f"`{piece.name}` is {context.printer.up(right - left - longest).text} longer than its stock"
    yield finding(602, [piece.id], [piece.name], what=what, do=do)


# Covers and materials


def _covers(context: Context, piece: Top) -> Iterator[Finding]:
    """Say where the gap at a covered edge opens wider than its splash or trim hides."""
    fitted = context.outlines[piece.name][0]
    for side, edge in (("left", piece.left), ("right", piece.right), ("back", piece.back)):
        made = fitted.edges.get(side)  # type: ignore[call-overload]
        if edge.finish != "covered" or edge.cover is None or made is None or not made.reach.size:
            continue
        gap, hides = float(made.reach.max()) - made.final, mm(edge.cover) - CAULK
        if gap > hides:
            yield finding(
                539,
                [piece.id],
                [piece.name],
                piece=piece.name,
                edge=side,
                gap=context.printer.up(gap).text,
                hides=context.printer.down(max(hides, 0.0)).text,
                more=context.printer.up(gap - hides).text,
            )


def _material(context: Context, piece: Top, told: PieceReport) -> Iterator[Finding]:
    printer = context.printer
    if piece.rule in ("stone", "solid surface"):
        what = f"`{piece.name}` is of {piece.rule}: what is cut is not planed on site"
        do = "have a template taken from these numbers, or on the spot, before it is cut"
        yield finding(602, [piece.id], [piece.name], what=what, do=do)
    if piece.rule != "solid surface":
        return
    for edge in told.edges:
        gap = edge.gap.mm if edge.gap is not None and edge.finish in ("net", "covered") else 0.0
        if edge.finish != "open" and gap < SOLID_GAP - 1e-6:
            least, more = printer.near(SOLID_GAP).text, printer.up(SOLID_GAP - gap).text
            yield finding(
                540,
                [piece.id],
                [piece.name],
                piece=piece.name,
                edge=edge.edge,
                gap=f"{printer.down(gap).text} of room",
                least=least,
                more=more,
                source=AWS,
            )
    thickness = mm(piece.thickness)
    most = next((limit for from_, limit in CANTILEVER if thickness >= from_ - 0.5), None)
    if piece.on is None or most is None:
        return
    outs = [("front", mm(piece.overhang))]
    outs += [(end, mm(piece.end_overhang)) for end in ("left", "right") if getattr(piece, end).meets is None]
    for side, out in outs:
        if out > most:
            yield finding(
                541,
                [piece.id],
                [piece.name],
                piece=piece.name,
                edge=side,
                out=printer.near(out).text,
                most=printer.near(most).text,
                thickness=printer.near(thickness).text,
                less=printer.up(out - most).text,
                source=AWS,
            )

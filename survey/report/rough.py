"""The rough size of every piece and part: its blank, and what wood is left over for besides.

A blank already has on it what its edges need at walls: that was computed. What is left over for other
purposes is common practice, the shop's own rule, or the piece's, and is told with whose rule it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from fitting.oversize import USUAL, Places, Purpose, RoughSize, amount_for, rough_size
from survey.finding import Finding, finding
from survey.records import (
    BoughtItem,
    CutOut,
    Drawer,
    FaceFrame,
    FrontPiece,
    Oversize,
    Piece,
    Stock,
)
from survey.report.context import Context, mm
from survey.report.structs import EdgeReport, NamedDimension, OversizeReport, PartReport, PieceReport

OF_A_BOARD: tuple[Purpose, ...] = ("jointing", "planing", "end trimming")
"""What is left for on wood that comes out of a board; sheets are cut to size."""
VENEER = "veneer"
"""The part of a veneered piece that is a leaf of it."""
OUT_OF_ONE = ("cleat",)
"""Kinds whose parts are cut out of the piece's own blank."""
ACROSS = {
    "left": ("width",),
    "right": ("width",),
    "front": ("depth",),
    "back": ("depth",),
    "bottom": ("height", "length"),
    "top": ("height", "length"),
}
"""Which named size an edge ends."""
ALSO_CALLED = {"height": ("length", "depth"), "width": ("depth",), "depth": ("width",)}
"""Under which names a size that the grain runs along may be listed, by kind of piece."""


@dataclass(frozen=True)
class _Rules:
    """What is left over on one piece: the purposes and where; the shop's and its own amounts (mm)."""

    left_for: Mapping[Purpose, Places]
    shop: Mapping[Purpose, float]
    own: Mapping[Purpose, float]


def with_rough(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Return what is told of a piece with its rough size, and the bought items that it waits for."""
    rules = _rules(context, piece, told)
    items = tuple(_suits(context, piece))
    waits = [item for item in items if item.size == "promised"]
    context.note(*(_waiting(piece, item) for item in waits))
    context.note(*(one for item in items for one in _not_as_promised(context, piece, item)))
    names = tuple(item.name for item in waits)
    if told.parts:
        parts, left = _rough_parts(context, piece, told, rules)
        axes = axes_of(told) if told.kind in OUT_OF_ONE else {}
        own, also = _rough_sizes(context, told.blank, axes, rules, "")
        return replace(told, rough=own, parts=parts, oversize=(*also, *left), waits_for=names)
    if "veneer" in rules.own and axes_of(told):
        told = replace(told, parts=_veneered(told))
        parts, left = _rough_parts(context, piece, told, rules)
        return replace(told, rough=told.blank, parts=parts, oversize=left, waits_for=names)
    blank, scribing = _scribing(context, told, rules)
    rough, left = _rough_sizes(context, blank, axes_of(told), rules, "")
    return replace(told, rough=rough, oversize=(*scribing, *left), waits_for=names)


def axes_of(told: PieceReport) -> Mapping[str, str]:
    """Say which of a flat piece's named sizes is its length, its width and its thickness; none of a box.

    Length lies along the grain, or is the longer one where there is none.
    """
    grain = told.grain.removeprefix("along ")
    return axes_among(told.blank, (grain, *ALSO_CALLED.get(grain, ())))


def axes_among(sizes: Sequence[NamedDimension], along: Iterable[str]) -> Mapping[str, str]:
    """Say which of some named sizes is which; the first of `along` that is among them is the length."""
    flat = [one for one in sizes if one.name != "thickness"]
    if len(flat) != 2:
        return {}
    names = [one.name for one in flat]
    longer = max(flat, key=lambda one: one.size.cut_mm).name
    first = next((name for name in along if name in names), longer)
    second = names[1 - names.index(first)]
    return {first: "length", second: "width", "thickness": "thickness"}


def plain(material: str) -> str:
    """Return a material's name without what typing varies: capitals and blanks.

    >>> plain("  Birch  ply ")
    'birch ply'
    """
    return " ".join(material.casefold().split())


def stock_for(context: Context, material: str) -> tuple[Stock, ...]:
    """Return the stock of a material, whatever its capitals."""
    wanted = plain(material)
    stock = context.survey.of(Stock) if wanted else ()
    return tuple(one for one in stock if plain(one.material) == wanted)


def _rules(context: Context, piece: Piece, told: PieceReport) -> _Rules:
    """Return what is left over on a piece.

    Wood of a board is worked on all sides, and an inset front is fitted last; what else is left for, only the
    piece itself says, by an amount of its own. The shop's rule alone is an amount, and no reason to leave it.
    """
    shop: dict[Purpose, float] = {}
    own: dict[Purpose, float] = {}
    for one in context.survey.of(Oversize):
        if one.of is None:
            shop[one.purpose] = mm(one.amount)
        elif one.of == piece.name:
            own[one.purpose] = mm(one.amount)
    purposes: dict[Purpose, Places] = {name: USUAL[name].places for name in own if name != "scribing"}
    if any(one.form == "board" for one in stock_for(context, told.material)):
        purposes |= {name: USUAL[name].places for name in OF_A_BOARD}
    if isinstance(piece, FrontPiece) and not isinstance(piece, Drawer) and piece.sits == "inset":
        purposes["fitting fronts"] = USUAL["fitting fronts"].places
    return _Rules(purposes, shop, own)


def _rough_sizes(
    context: Context,
    blank: tuple[NamedDimension, ...],
    axes: Mapping[str, str],
    rules: _Rules,
    part: str,
) -> tuple[tuple[NamedDimension, ...], tuple[OversizeReport, ...]]:
    """Return rough sizes, and what makes them larger than the blank; a box is no board, and has its own."""
    sizes = {axes[one.name]: one.size.cut_mm for one in blank if one.name in axes}
    if len(sizes) < 2 or not rules.left_for:
        return blank, ()
    names = {axis: name for name, axis in axes.items()}
    thickness = sizes.get("thickness", 1.0)  # a leaf of veneer has none listed; nothing is added to it
    rough = rough_size(sizes["length"], sizes["width"], thickness, rules.left_for, rules.shop, rules.own)
    told = tuple(_told(context, rough, names, part, "thickness" in sizes))
    grown = tuple(_grown(context, blank, told, part))
    return grown, told


def _told(
    context: Context, rough: RoughSize, names: Mapping[str, str], part: str, is_thick: bool
) -> Iterator[OversizeReport]:
    for one in rough.added:
        if one.axis != "thickness" or is_thick:
            size = f"{part}: {names[one.axis]}" if part else names[one.axis]
            yield OversizeReport(size, one.purpose, context.printer.up(one.amount), one.by)


def _grown(
    context: Context, blank: Iterable[NamedDimension], told: Sequence[OversizeReport], part: str
) -> Iterator[NamedDimension]:
    """Add up what is printed, so that it adds up on paper."""
    for one in blank:
        size = f"{part}: {one.name}" if part else one.name
        more = sum(each.amount.cut_mm for each in told if each.size == size)
        exact = sum(each.amount.mm for each in told if each.size == size)
        grown = context.printer.near(one.size.cut_mm + more)
        yield NamedDimension(one.name, replace(grown, mm=round(one.size.mm + exact, 4)))


def _scribing(
    context: Context, told: PieceReport, rules: _Rules
) -> tuple[tuple[NamedDimension, ...], tuple[OversizeReport, ...]]:
    """Let a blank have at its scribed edges what the shop or the piece wants there, if less was computed."""
    if "scribing" not in rules.own and "scribing" not in rules.shop:
        return told.blank, ()
    each, by = amount_for("scribing", rules.shop, rules.own)
    left = []
    for edge in told.edges:
        name = _size_of(edge, told.blank)
        if edge.allowance is None or name is None or each <= edge.allowance.total.cut_mm:
            continue
        more = context.printer.up(each - edge.allowance.total.cut_mm)
        left.append(OversizeReport(name, "scribing", more, by))
    return tuple(_grown(context, told.blank, left, "")), tuple(left)


def _size_of(edge: EdgeReport, sizes: Iterable[NamedDimension]) -> str | None:
    names = [one.name for one in sizes]
    return next((name for name in ACROSS.get(edge.edge, ()) if name in names), None)


def _rough_parts(
    context: Context, piece: Piece, told: PieceReport, rules: _Rules
) -> tuple[tuple[PartReport, ...], tuple[OversizeReport, ...]]:
    if told.kind in OUT_OF_ONE:
        return told.parts, ()
    parts: list[PartReport] = []
    left: list[OversizeReport] = []
    for part in told.parts:
        base = part.rough or part.finished
        axes = axes_among(base, (part.grain.removeprefix("along "),))
        rough, added = _rough_sizes(context, base, axes, _rules_of(context, piece, part, rules), part.name)
        parts.append(replace(part, rough=rough))
        left += added
    return tuple(parts), tuple(left)


def _rules_of(context: Context, piece: Piece, part: PartReport, rules: _Rules) -> _Rules:
    """Return what is left over on one part: its own material and place decide."""
    left_for = dict(rules.left_for)
    if part.name == VENEER:
        left_for = {"veneer": USUAL["veneer"].places}
    else:
        left_for.pop("veneer", None)
    if part.material and not any(one.form == "board" for one in stock_for(context, part.material)):
        left_for = {name: places for name, places in left_for.items() if name not in OF_A_BOARD}
    if isinstance(piece, FaceFrame) and part.name in ("left stile", "right stile"):
        edge = piece.left if part.name == "left stile" else piece.right
        if edge.meets is None:
            left_for["trimming"] = Places(width=1)  # planed flush with the case's side
    if part.name == "inset front":
        left_for["fitting fronts"] = USUAL["fitting fronts"].places
    return _Rules(left_for, rules.shop, rules.own)


def _veneered(told: PieceReport) -> tuple[PartReport, ...]:
    """Return a core and the leaf for each of its faces."""
    leaf = tuple(one for one in told.blank if one.name != "thickness")
    core = PartReport("core", 1, told.finished, told.blank, told.material, told.grain)
    return core, PartReport(VENEER, 2, leaf, grain=told.grain, note="a leaf for each face, trimmed when dry")


def _suits(context: Context, piece: Piece) -> Iterator[BoughtItem]:
    """Give the bought items that a piece is made to suit."""
    named = {piece.slide} if isinstance(piece, Drawer) else set()
    named |= {one.item for one in context.survey.of(CutOut) if one.of == piece.name}
    for item in context.survey.of(BoughtItem):
        if item.of == piece.name or item.name in named:
            yield item


def _waiting(piece: Piece, item: BoughtItem) -> Finding:
    when = "it is in hand: measure it" if item.in_hand else "measure it when it is in hand"
    return finding(560, [piece.id, item.id], [piece.name], piece=piece.name, item=item.name, do=when)


def _not_as_promised(context: Context, piece: Piece, item: BoughtItem) -> Iterator[Finding]:
    """Say where an item measures other than what it was promised at, by the record that it corrects."""
    before = [context.survey.by_id.get(one) for one in item.replaces]
    promises = [one for one in before if isinstance(one, BoughtItem) and one.size == "promised"]
    for promise in promises if item.size == "measured" else ():
        for size in ("width", "height", "depth"):
            promised, measured = getattr(promise, size), getattr(item, size)
            if promised is None or measured is None or promised.mm == measured.mm:
                continue
            off = mm(measured) - mm(promised)
            near = context.printer.near
            yield finding(
                565,
                [piece.id, item.id, promise.id],
                [piece.name],
                item=item.name,
                size=size,
                measured=near(mm(measured)).text,
                promised=near(mm(promised)).text,
                by=context.printer.up(abs(off)).text,
                more="more" if off > 0 else "less",
                piece=piece.name,
            )

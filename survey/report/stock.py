"""What the blanks come out of: the stock on hand, all pieces together, and the machines' beds."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from fitting.oversize import Purpose, amount_for
from fitting.stock import MOST_BLANKS, SAME_THICKNESS, Blank, CutPlan, Sheet, cut_plan, excess_on_bed
from fitting.strip import KERF
from fitting.tables import plywood_thickness
from survey.finding import Finding, finding
from survey.records import Machine, Oversize, Stock
from survey.report.context import Context, mm
from survey.report.rough import OUT_OF_ONE, axes_among, axes_of, plain, stock_for
from survey.report.structs import NamedDimension, PieceReport, StockReport

LONGEST = 20_000.0
"""mm; what is longer is no blank, and not looked for."""
THICKER = 25.4 / 64
"""mm by which a sheet's real thickness must differ from the one asked for before it is said, 1/64 in."""
EXACT = 1e-6
"""mm; thicknesses nearer than this are the same."""


@dataclass(frozen=True)
class _Need:
    """A blank that a piece needs: rough sizes along and across its grain, and its thickness after planing."""

    name: str
    length: float
    width: float
    thickness: float
    finished: float
    material: str
    is_free: bool
    count: int


def with_stock(context: Context, pieces: Sequence[PieceReport]) -> list[PieceReport]:
    """Return what is told of the pieces with what each is cut from; note what does not come out."""
    stock = context.survey.of(Stock)
    needs = {told.name: list(_needs(told)) for told in pieces if told.status != "not ready"}
    for told in pieces:
        _say(context, told, _off_the_beds(context, told, needs.get(told.name, ())))
    if not stock:
        return list(pieces)
    answers: dict[str, list[StockReport]] = {}
    for material in dict.fromkeys(plain(need.material) for each in needs.values() for need in each):
        wanted = {
            name: [one for one in each if plain(one.material) == material] for name, each in needs.items()
        }
        by_name = {told.name: told for told in pieces if wanted.get(told.name)}
        on_hand = stock_for(context, material)
        if not on_hand:
            for told in by_name.values():
                _say(context, told, _unlisted(context, told, material, stock))
            continue
        for name, answer in _answers(context, by_name, wanted, on_hand).items():
            answers.setdefault(name, []).append(answer)
    return [replace(told, stock=_together(answers.get(told.name, []))) for told in pieces]


def _together(answers: Sequence[StockReport]) -> StockReport | None:
    """Return one answer for a piece of several materials: the worst verdict, and what is said of all."""
    if not answers:
        return None
    order = ("does not", "not found", "comes out")
    worst = min(answers, key=lambda one: order.index(one.verdict))
    names = dict.fromkeys(one.stock for one in answers if one.stock)
    return StockReport(worst.verdict, "; ".join(one.says for one in answers), ", ".join(names))


# --- What each piece needs


def _needs(told: PieceReport) -> Iterator[_Need]:
    """Give the blanks of a piece: its parts', or its own where they come out of one."""
    if told.parts and told.kind not in OUT_OF_ONE:
        for part in told.parts:
            axes = axes_among(part.rough, (part.grain.removeprefix("along "),))
            material, grain = part.material or told.material, part.grain
            count = part.quantity * told.quantity
            yield from _need(part.name, part.rough, part.finished, axes, material, grain, count)
        return
    yield from _need(
        "the blank", told.rough, told.finished, axes_of(told), told.material, told.grain, told.quantity
    )


def _need(
    name: str,
    rough: Sequence[NamedDimension],
    finished: Sequence[NamedDimension],
    axes: Mapping[str, str],
    material: str,
    grain: str,
    count: int,
) -> Iterator[_Need]:
    # A board's thickness is not cut on the saw: what it must have is not rounded.
    sizes = {
        axes[one.name]: one.size.mm if one.name == "thickness" else one.size.cut_mm
        for one in rough
        if one.name in axes
    }
    thick = next((one.size.mm for one in finished if one.name == "thickness"), 0.0)
    if {"length", "width", "thickness"} <= sizes.keys() and all(0 < one < LONGEST for one in sizes.values()):
        is_free = grain in ("", "none")
        yield _Need(
            name, sizes["length"], sizes["width"], sizes["thickness"], thick, material, is_free, count
        )


# --- Machines


def _off_the_beds(context: Context, told: PieceReport, needs: Iterable[_Need]) -> Iterator[Finding]:
    """Say of a blank that goes onto no machine's bed by how much; the machine that comes nearest is named."""
    machines = context.survey.of(Machine)
    for need in needs if machines else ():
        excess = {one.name: _excess(one, need) for one in machines}
        name = min(excess, key=lambda one: sum(excess[one].values()))
        if not excess[name]:
            continue
        over = " and ".join(f"{what} by {context.printer.up(by).text}" for what, by in excess[name].items())
        ids = [*context.ids(told.name), *context.ids(name)]
        yield finding(558, ids, [told.name], what=need.name, piece=told.name, machine=name, over=over)


def _excess(machine: Machine, need: _Need) -> dict[str, float]:
    thickness = None if machine.thickness is None else mm(machine.thickness)
    bed = mm(machine.length), mm(machine.width), thickness
    return excess_on_bed(need.length, need.width, need.thickness, bed)


# --- Stock


def _answers(
    context: Context,
    pieces: Mapping[str, PieceReport],
    wanted: Mapping[str, Sequence[_Need]],
    stock: Sequence[Stock],
) -> dict[str, StockReport]:
    """Answer for all pieces of one material: each alone, then all together, in the order put down."""
    sheets = [
        Sheet(one.name, min(mm(one.length), LONGEST - 1), min(mm(one.width), LONGEST - 1), one.quantity)
        for one in stock
    ]
    answers: dict[str, StockReport] = {}
    blanks: dict[str, list[Blank]] = {}
    glued: dict[str, int] = {}
    for name, told in pieces.items():
        will_do = {need: _will_do(need, stock) for need in wanted[name]}
        lacking = next((need for need, found in will_do.items() if not found), None)
        if lacking is not None:
            found = _wrong_thickness(context, told, lacking, stock)
            _say(context, told, [found])
            answers[name] = StockReport("does not", found.says)
            continue
        _say(context, told, _real_thickness(context, told, will_do))
        blanks[name], glued[name] = _blanks(context, name, will_do)
        alone = _planned(blanks[name], sheets)
        if alone.verdict != "comes out":
            answers[name] = _no(context, told, alone, "")
            del blanks[name]
    answers |= _shared(context, pieces, blanks, glued, sheets)
    return answers


def _shared(
    context: Context,
    pieces: Mapping[str, PieceReport],
    blanks: Mapping[str, Sequence[Blank]],
    glued: Mapping[str, int],
    sheets: Sequence[Sheet],
) -> dict[str, StockReport]:
    """Answer for pieces that come out alone: whether they do together; else the first ones have the stock."""
    kept = dict(blanks)
    plan = _planned([one for each in kept.values() for one in each], sheets) if kept else None
    answers: dict[str, StockReport] = {}
    if plan is not None and plan.verdict != "comes out":
        kept = {}
        for name, own in blanks.items():
            tried = _planned([*(one for each in kept.values() for one in each), *own], sheets)
            if tried.verdict == "comes out":
                kept[name], plan = list(own), tried
            else:
                beside = " beside " + ", ".join(f"`{other}`" for other in kept)
                answers[name] = _no(context, pieces[name], tried, beside)
    for name in kept:
        assert plan is not None  # something was kept
        answers[name] = _yes(plan, name, glued[name])
    return answers


def _planned(blanks: Sequence[Blank], sheets: Sequence[Sheet]) -> CutPlan:
    if len(blanks) > MOST_BLANKS:
        return CutPlan("not found", (), f"there are more than {MOST_BLANKS} blanks")
    return cut_plan(blanks, sheets, KERF)


def _yes(plan: CutPlan, name: str, glued: int) -> StockReport:
    mine = [one for one in plan.laid if one.blank.startswith(f"{name}, ")]
    count = Counter(one.sheet for one in mine)
    says = " and ".join(f"{many} out of `{sheet}`" for sheet, many in count.items())
    blanks = "1 blank" if len(mine) == 1 else f"{len(mine)} blanks"
    askew = ", laid askew" if any(one.blank in plan.slanted for one in mine) else ""
    boards = f", {glued} of them glued up edge to edge" if glued else ""
    return StockReport("comes out", f"{blanks}: {says}{askew}{boards}", ", ".join(count))


def _no(context: Context, told: PieceReport, plan: CutPlan, beside: str) -> StockReport:
    why = plan.why + (f", by {context.printer.up(plan.short).text}" if plan.short else "") + beside
    ids = context.ids(told.name)
    if plan.verdict == "does not":
        do = "get larger stock, or make it in two" if plan.short else "get more of it"
        found = finding(556, ids, [told.name], piece=told.name, why=why, do=do)
    else:
        found = finding(557, ids, [told.name], piece=told.name, why=why)
    _say(context, told, [found])
    return StockReport(plan.verdict, why)


def _will_do(need: _Need, stock: Iterable[Stock]) -> tuple[Stock, ...]:
    """Return the stock that is thick enough: a board is planed down, a sheet must be what is meant."""
    return tuple(
        one
        for one in stock
        if (
            mm(one.thickness) >= need.thickness - EXACT
            if one.form == "board"
            else abs(mm(one.thickness) - need.finished) <= SAME_THICKNESS + EXACT
        )
    )


def _blanks(
    context: Context, piece: str, will_do: Mapping[_Need, Sequence[Stock]]
) -> tuple[list[Blank], int]:
    """Return the blanks to lay out, and of how many boards those are glued up that are too wide for one."""
    shop: dict[Purpose, float] = {
        one.purpose: mm(one.amount) for one in context.survey.of(Oversize) if one.of is None
    }
    jointed = 2 * amount_for("jointing", shop)[0]
    blanks: list[Blank] = []
    boards = 0
    for need, stock in will_do.items():
        names = frozenset(one.name for one in stock)
        only_boards = all(one.form == "board" for one in stock)
        # Only a board's grain runs along its length for certain; what has none said may be turned otherwise.
        is_free = need.is_free and not any(one.form == "board" for one in stock)
        widest = max(mm(one.width) for one in stock)
        strips, width = 1, need.width
        if only_boards and need.width > widest > jointed:
            strips = math.ceil(need.width / (widest - jointed) - EXACT)
            width = need.width / strips + jointed
            boards += strips * need.count
        blanks += [Blank(f"{piece}, {need.name}", need.length, width, is_free, names)] * (strips * need.count)
    return blanks, boards


def _wrong_thickness(context: Context, told: PieceReport, need: _Need, stock: Sequence[Stock]) -> Finding:
    near, up = context.printer.near, context.printer.up
    nearest = min(stock, key=lambda one: abs(mm(one.thickness) - need.thickness))
    short = need.thickness - mm(nearest.thickness)
    do = f"get it {up(short).text} thicker" if short > 0 else f"get it {up(-short).text} thinner"
    return finding(
        555,
        [*context.ids(told.name), *(one.id for one in stock)],
        [told.name],
        material=need.material,
        piece=told.name,
        needs=near(need.thickness).text,
        has=_typed(nearest),
        do=f"{do}, or change the thickness of `{told.name}`",
    )


def _real_thickness(
    context: Context, told: PieceReport, will_do: Mapping[_Need, Sequence[Stock]]
) -> Iterator[Finding]:
    """Say where a sheet is not as thick as the piece has it: grooves and gaps change by that."""
    said = {(one, need.finished) for need, stock in will_do.items() for one in stock if one.form != "board"}
    for one, nominal in sorted(said, key=lambda each: (each[0].name, each[1])):
        off = mm(one.thickness) - nominal
        if abs(off) > THICKER:
            row = plywood_thickness(nominal)
            source = ""
            if row is not None:
                source = f" (PS 1 lets structural plywood of that size be {row.least:g} to {row.most:g} in)"
            yield finding(
                559,
                [*context.ids(told.name), one.id],
                [told.name],
                stock=one.name,
                real=_typed(one),
                nominal=context.printer.near(nominal).text,
                piece=told.name,
                by=f"{_fine(context, abs(off))} too {'wide' if off < 0 else 'tight'}",
                source=source,
            )


def _typed(stock: Stock) -> str:
    """Return a measured thickness as it was typed: it is read finer than anything is cut."""
    return f"{stock.thickness.text} {stock.thickness.unit}"


def _fine(context: Context, length: float) -> str:
    return f"{length:.1f} mm" if context.printer.step.unit == "mm" else f"{length / 25.4:.3f} in"


def _unlisted(
    context: Context, told: PieceReport, material: str, stock: Iterable[Stock]
) -> Iterator[Finding]:
    if material and material == plain(told.material):
        known = ", ".join(dict.fromkeys(one.material for one in stock))
        yield finding(
            561,
            context.ids(told.name),
            [told.name],
            material=told.material,
            piece=told.name,
            known=f"there is {known}",
        )


def _say(context: Context, told: PieceReport, found: Iterable[Finding]) -> None:
    context.findings += found

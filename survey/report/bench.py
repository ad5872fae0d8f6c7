"""Parts that are made at the bench, in the report: drawers, false fronts, stretchers and cleats."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from msgspec.structs import replace

from fitting.cleat import CleatPair, between_sides, cleat_pair
from fitting.drawer_box import ABOVE, BELOW, SLIDE_LENGTHS, BoxPart, DrawerPlan, fit_drawer_box, longest_slide
from fitting.front import REVEAL
from fitting.inset_front import OpeningSizes, fit_inset_front
from survey.finding import Finding, finding
from survey.records import BoughtItem, BoxPiece, Cleat, Drawer, FalseFront, Stretcher, kind_of
from survey.report.as_typed import as_typed, typed_sizes
from survey.report.boxes import HANGING, cabinet_named, footprint, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_said
from survey.report.printing import Printer
from survey.report.structs import NamedDimension, PartReport, PieceReport

TRIM_LAST = (
    "cut over, and trimmed when the case is built: measure its opening at both ends of each edge, "
    "and leave {gap} all around, set with a card or spacer"
)


def drawer_report(context: Context, piece: Drawer) -> PieceReport:
    """Tell a drawer: its box out of its opening, the parts of it, and an inset front."""
    if piece.slide_clearance is None and piece.stuff is None:
        return as_typed(context, piece)
    _refuse_unsaid(piece)
    plan = DrawerPlan(
        mm(piece.width), mm(piece.height), mm(piece.thickness), mm(piece.slide_clearance), mm(piece.stuff)
    )
    box, printer = fit_drawer_box(plan), context.printer
    context.note(*_depth(context, piece, plan))
    parts = [_box_part(printer, one) for one in box.parts]
    rule = (
        f"in its opening with {printer.near(plan.clearance).text} at each side for the slides, "
        f"{printer.near(ABOVE).text} clear above and {printer.near(BELOW).text} below (common practice); "
        "front and back between the sides; plough the grooves to the bottom's real thickness"
    )
    if piece.sits == "inset" and piece.front_thickness is not None:
        opening = OpeningSizes(plan.width, plan.width, plan.height, plan.height)
        front = fit_inset_front(opening, over=0.0)
        told = _part_sizes(printer, front.blank_width, front.blank_height, mm(piece.front_thickness))
        gap = TRIM_LAST.format(gap=printer.near(REVEAL).text)
        parts.append(PartReport("inset front", 1, told, material=piece.material, grain="none", note=gap))
    elif piece.sits == "overlay":
        rule += "; the size of its overlay front is not said: put it down as a false front"
    sizes = (("width", box.width), ("height", box.height), ("depth", box.depth))
    told = tuple(NamedDimension(name, printer.down(size)) for name, size in sizes)
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own box: cut square",
        rule=rule,
        finished=told,
        blank=told,
        measures=(
            printer.named("width of its opening", plan.width),
            printer.named("its height", plan.height),
        ),
        parts=tuple(parts),
    )


def _box_part(printer: Printer, one: BoxPart) -> PartReport:
    """Tell a part of a box; its bottom is of another stuff than its sides."""
    sizes = _part_sizes(printer, one.length, one.width, one.thickness)
    if one.name == "bottom":
        sheet = f"{printer.near(one.thickness).text} sheet"
        return PartReport(one.name, one.quantity, sizes, material=sheet, note="measure its real thickness")
    return PartReport(one.name, one.quantity, sizes, grain="along length")


def _refuse_unsaid(piece: Drawer) -> None:
    missing = []
    if piece.slide_clearance is None:
        what = f"how much the slides of `{piece.name}` take at each side"
        missing.append(
            not_said(piece, what, "say `slide clearance` by their sheet; 1/2 in is usual at the side")
        )
    if piece.stuff is None:
        what = f"how thick the sides of `{piece.name}` are"
        missing.append(not_said(piece, what, "say `sides` and their thickness"))
    if missing:
        raise NotReady(*missing)


def _depth(context: Context, piece: Drawer, plan: DrawerPlan) -> Iterator[Finding]:
    """Whether the box is as deep as its slides are long, and goes into its cabinet."""
    printer = context.printer
    slide = None if piece.slide is None else context.record(piece.slide, BoughtItem)
    if (
        slide is not None
        and slide.depth is not None
        and mm(slide.depth) > plan.depth + context.printer.step.mm
    ):
        over = printer.up(mm(slide.depth) - plan.depth).text
        why = f"its box is {over} less deep than slide `{slide.name}` is long"
        do = f"make the box {over} deeper, or take a shorter slide"
        yield finding(562, [piece.id, slide.id], [piece.name], piece=piece.name, why=why, do=do)
    box = None if piece.of is None else context.record(piece.of, BoxPiece)
    if box is None:
        return
    clear = mm(box.depth) - (mm(piece.front_thickness) if piece.sits == "inset" else 0.0)
    if plan.depth <= clear:
        return
    over = printer.up(plan.depth - clear).text
    why = f"its box is {over} deeper than there is room in `{box.name}`"
    yield finding(
        562,
        [piece.id, box.id],
        [piece.name],
        piece=piece.name,
        why=why,
        do=f"make it {over} less deep{_longest(printer, clear)}",
    )


def _longest(printer: Printer, clear: float) -> str:
    if clear < SLIDE_LENGTHS[0]:
        return ""
    return f"; the longest slide that goes in is {printer.near(longest_slide(clear)).text}"


def false_front_report(context: Context, piece: FalseFront) -> PieceReport:
    """Tell a false front: its own size, as typed, and the opening that an inset one suits."""
    sizes, printer = typed_sizes(context, piece), context.printer
    gap = printer.near(REVEAL)
    is_inset = piece.sits == "inset"
    measures = tuple(
        printer.named(f"{name} of the opening that it suits", mm(size) + 2 * gap.cut_mm)
        for name, size in (("width", piece.width), ("height", piece.height))
    )
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own: cut square",
        rule=TRIM_LAST.format(gap=gap.text) if is_inset else "before the face, at the size typed",
        finished=sizes,
        blank=sizes,
        measures=measures if is_inset else (),
    )


def stretcher_report(context: Context, piece: Stretcher) -> PieceReport:
    """Tell a stretcher or hanging rail: as long as its box is wide inside."""
    if piece.of is None or piece.side_thickness is None:
        return as_typed(context, piece)
    cabinet, box = cabinet_named(context, piece, piece.of)
    thick, printer = mm(piece.side_thickness), context.printer
    length = printer.near(between_sides(mm(cabinet.width), thick))
    typed = printer.near(mm(piece.width))
    if typed.cut_mm != length.cut_mm:
        context.note(
            finding(
                563,
                [piece.id, cabinet.id],
                [piece.name],
                piece=piece.name,
                typed=typed.text,
                box=cabinet.name,
                inside=length.text,
            )
        )
    sizes = (NamedDimension("width", length), *typed_sizes(context, piece)[1:])
    under = box.plan.top - thick
    hung = cabinet.bottom is not None
    measures = (
        printer.named("its upper edge, close under a top as thick as the sides", under),
        printer.named("its middle there, for screws into framing", under - mm(piece.height) / 2),
    )
    return PieceReport(
        piece.name,
        kind_of(piece).replace("-", " "),
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own: cut square",
        rule=f"between the sides of `{cabinet.name}`",
        finished=sizes,
        blank=sizes,
        measures=measures if hung else (),
        cautions=HANGING if hung else (),
        readings=context.readings_of(walls_of(box), rests_on(cabinet)),
    )


@dataclass(frozen=True)
class _Hung:
    """A pair of cleats, and the box that hangs on it."""

    piece: Cleat
    pair: CleatPair
    cabinet: BoxPiece
    top: float  # of the box, mm
    footprint: list[tuple[float, float]]


def cleat_report(context: Context, piece: Cleat) -> PieceReport:
    """Tell a cleat; of a hooked pair both halves, where it bears and how it hooks on."""
    printer = context.printer
    if piece.angle is None:
        up = () if piece.up is None else (printer.named("height of its upper edge", mm(piece.up)),)
        return replace(as_typed(context, piece), cautions=HANGING, measures=up)
    pair = cleat_pair(mm(piece.height), mm(piece.thickness), piece.angle.angle.radians)
    readings: tuple[str, ...] = ()
    if piece.of is not None:
        cabinet, box = cabinet_named(context, piece, piece.of)
        readings = context.readings_of(walls_of(box), rests_on(cabinet))
        context.note(*_hooks_on(context, _Hung(piece, pair, cabinet, box.plan.top, footprint(box))))
    sizes = typed_sizes(context, piece)
    return PieceReport(
        piece.name,
        kind_of(piece),
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own: cut square",
        rule="ripped in two with the saw tilted: the wall half with its point up and out, the box half "
        "with its point down and to the wall; a strip as thick goes behind the box's lower edge",
        finished=sizes,
        blank=sizes,
        measures=tuple(_pair_measures(printer, piece, pair)),
        cautions=HANGING,
        parts=tuple(_halves(printer, piece, pair)),
        readings=readings,
    )


def _halves(printer: Printer, piece: Cleat, pair: CleatPair) -> Iterator[PartReport]:
    length, thick = mm(piece.width), mm(piece.thickness)
    note = f"over its long face; one edge bevelled, its other face {printer.near(pair.bevel).text} less"
    for name, width in (("wall half", pair.wall_half), ("box half", pair.box_half)):
        yield PartReport(name, 1, _part_sizes(printer, length, width, thick), note=note)


def _pair_measures(printer: Printer, piece: Cleat, pair: CleatPair) -> Iterator[NamedDimension]:
    yield printer.named("gap behind the box", pair.behind)
    yield printer.named("bears in height", pair.bevel)
    yield NamedDimension("lift to hook it on, and room to keep above", printer.up(pair.bevel))
    yield printer.named("height of the pair, hooked on", pair.stack)
    if piece.up is not None:
        yield printer.named("height of the wall half's point", mm(piece.up))
        yield printer.named("height of the box half's upper edge", pair.box_half_top(mm(piece.up)))


def _hooks_on(context: Context, hung: _Hung) -> Iterator[Finding]:
    """Whether the box can be lifted over its cleat, and hides its half."""
    piece, printer = hung.piece, context.printer
    records, pieces = [piece.id, hung.cabinet.id], [piece.name, hung.cabinet.name]
    ceiling = context.room.level("ceiling", hung.footprint)
    if ceiling is not None:
        room = float(ceiling.mean.min()) - hung.top
        if room < hung.pair.bevel:
            short = printer.up(hung.pair.bevel - room).text
            why = (
                f"`{hung.cabinet.name}` is lifted {printer.up(hung.pair.bevel).text} to hook it on, and "
                f"there are {printer.down(max(room, 0.0)).text} above it"
            )
            do = f"hang it {short} lower, or screw it on through its rail"
            yield finding(564, records, pieces, why=why, do=do)
    if piece.up is None:
        return
    over = hung.pair.box_half_top(mm(piece.up)) - hung.top
    if over > 0:
        short = printer.up(over).text
        why = f"the box half of `{piece.name}` ends {short} above the top of `{hung.cabinet.name}`"
        yield finding(564, records, pieces, why=why, do=f"set the wall half {short} lower")


def _part_sizes(
    printer: Printer, length: float, width: float, thickness: float
) -> tuple[NamedDimension, ...]:
    """Return the sizes of a part that must go in, rounded down; its thickness is what it is."""
    sizes = NamedDimension("length", printer.down(length)), NamedDimension("width", printer.down(width))
    return (*sizes, NamedDimension("thickness", printer.near(thickness)))

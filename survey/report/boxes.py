"""Cabinets in the report: where the box stands, the gaps around it, what it stands on."""

from __future__ import annotations

import numpy as np

from fitting.cabinet import CabinetPlan, FittedCabinet, SideGap, fit_cabinet
from fitting.filler import filler_options
from survey.finding import Finding, finding
from survey.records import BoxPiece, Edge, TallCabinet, Trim
from survey.report.context import Context, NotReady, mm
from survey.report.needs import need_corner, need_place
from survey.report.structs import EdgeReport, NamedDimension, PieceReport

NARROWEST_FILLER = 19.05
"""mm; 3/4 in, the narrowest strip worth cutting (common practice, no source)."""
HANGING = (
    "It hangs on the wall: fasten only into proved framing, by the local code and the fastener's own table.",
    "Figures for wood screws do not hold for steel studs, masonry or lath.",
    "Before drilling: find pipes and cables; leave gas, electricity and plumbing to licensed trades.",
)


def box_report(context: Context, piece: BoxPiece) -> PieceReport:
    """Tell a cabinet: sizes as typed, place and gaps as computed."""
    box = fitted_box(context, piece)
    printer = context.printer
    findings = [
        *_too_wide(context, piece, box),
        *_too_high(context, piece, box),
        *_baseboards(context, piece, box),
    ]
    sizes = (
        NamedDimension("width", printer.near(mm(piece.width))),
        NamedDimension("height", printer.near(mm(piece.height))),
        NamedDimension("depth", printer.near(mm(piece.depth))),
    )
    context.note(*findings)
    return PieceReport(
        piece.name,
        kind_words(piece),
        "not ready" if any(one.severity == "stops" for one in findings) else "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own box: cut square",
        rule=_rule(piece, box),
        finished=sizes,
        blank=sizes,
        edges=tuple(_side_edge(context, piece, side, box) for side in box.sides),
        measures=tuple(_measures(context, piece, box)),
        cautions=HANGING if piece.bottom is not None else (),
        findings=tuple(dict.fromkeys(one.number for one in findings)),
        readings=context.readings_of(box.placed.walls() | _corners(context, piece)),
    )


def fitted_box(context: Context, piece: BoxPiece) -> FittedCabinet:
    """Return a cabinet in its place; worked out once for itself and all that goes with it."""
    known = context.cabinets.get(piece.name)
    if known is not None:
        return known
    missing = _missing(context, piece)
    if missing:
        raise NotReady(*missing)
    box = fit_cabinet(context.room, _plan(context, piece, _bottom(context, piece)))
    context.cabinets[piece.name] = box
    return box


def kind_words(piece: BoxPiece) -> str:
    """Return the kind's name in words."""
    return "tall cabinet" if isinstance(piece, TallCabinet) else "cabinet"


def _missing(context: Context, piece: BoxPiece) -> list[Finding]:
    wall = context.wall(piece.wall, piece)
    low = mm(piece.bottom)
    middle = low + mm(piece.height) / 2
    missing: list[Finding] = []
    sides = _side_walls(context, piece)
    missing += need_place(context, piece, [wall, *sides.values()])
    for other in sides.values():
        missing += need_corner(context, piece, wall, other, middle)
    if not sides and piece.from_ is None:
        missing.append(
            finding(
                306,
                [piece.id],
                [piece.name],
                what=f"where `{piece.name}` stands along wall `{wall}`",
                do="let a side meet a wall, or say `along` and `from`",
            )
        )
    if piece.bottom is None and context.room.level("floor", [(0.0, 0.0)]) is None:
        missing.append(finding(303, [piece.id], [piece.name]))
    return missing


def _side_walls(context: Context, piece: BoxPiece) -> dict[str, str]:
    walls = {}
    for side, edge in (("left", piece.left), ("right", piece.right)):
        if edge.meets is not None:
            context.refuse_trim(piece, side, edge)
            walls[side] = context.wall(edge.meets, piece)
    return walls


def _plan(context: Context, piece: BoxPiece, bottom: float) -> CabinetPlan:
    sides = _side_walls(context, piece)
    return CabinetPlan(
        piece.wall,
        mm(piece.width),
        mm(piece.depth),
        bottom,
        bottom + mm(piece.height),
        sides.get("left"),
        sides.get("right"),
        _gap(piece.left),
        _gap(piece.right),
        piece.from_,
        context.signed_out(piece.wall, piece.from_, mm(piece.along), mm(piece.width)),
    )


def _gap(edge: Edge) -> float | None:
    return None if edge.gap is None else float(edge.gap.mm)


def _bottom(context: Context, piece: BoxPiece) -> float:
    """Return where its underside is: as typed, or on the floor's highest point under it."""
    if piece.bottom is not None:
        return mm(piece.bottom)
    trial = fit_cabinet(context.room, _plan(context, piece, 0.0))
    floor = context.room.level("floor", _footprint(trial))
    return 0.0 if floor is None else float(floor.mean.max())


def _footprint(box: FittedCabinet) -> list[tuple[float, float]]:
    return [box.placed.frame.to_room(x, y) for x in (box.left, box.right) for y in (0.0, box.plan.depth)]


def _rule(piece: BoxPiece, box: FittedCabinet) -> str:
    back = "its sides and rails touch" if piece.back == "set in" else "its back touches"
    low = "it stands on the floor's highest point" if piece.bottom is None else "it hangs at the height given"
    return f"plumb and level; {back} where wall `{piece.wall}` stands out most over its height; {low}"


def _measures(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[NamedDimension]:
    printer, plan = context.printer, box.plan
    told = []
    for side, gap in box.sides.items():
        told.append(printer.named(f"least gap at the {side}", gap.least))
        for up, level in ((plan.top, "top"), (plan.bottom, "bottom")):
            for deep, place in ((0.0, "front"), (plan.depth, "back")):
                told.append(printer.named(f"gap at the {side}, {level} {place}", gap.at(up, deep)[0]))
    told.append(printer.named("largest gap behind", float(box.back_gap.max())))
    if piece.bottom is None:
        floor = context.room.level("floor", _footprint(box))
        if floor is not None:
            names = ("left front", "left back", "right front", "right back")
            told += [
                printer.named(f"shim at the {name}", plan.bottom - float(height))
                for name, height in zip(names, floor.mean, strict=True)
            ]
    if len(box.sides) == 2:
        told += _options(context, box)
    return told


def _options(context: Context, box: FittedCabinet) -> list[NamedDimension]:
    """Filler options side by side: the least width of each strip."""
    total = sum(gap.least for gap in box.sides.values())
    told = []
    for option in filler_options(total, NARROWEST_FILLER):
        for side, width in (("left", option.left), ("right", option.right)):
            if width:
                told.append(
                    context.printer.named(f"filler option {option.words}: {side} strip, least", width)
                )
    return told


def _side_edge(context: Context, piece: BoxPiece, side: str, box: FittedCabinet) -> EdgeReport:
    edge: Edge = getattr(piece, side)
    gap: SideGap = box.sides[side]  # type: ignore[index]  # sides are named left and right
    return EdgeReport(side, f"wall {gap.wall}", edge.finish, context.printer.near(gap.least))


def _too_wide(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    tight = min((gap.least for gap in box.sides.values()), default=0.0)
    if tight >= -0.5 or len(box.sides) < 2:
        return []
    room = box.plan.width + sum(gap.least for gap in box.sides.values())
    return [
        finding(
            501,
            [piece.id],
            [piece.name],
            piece=piece.name,
            size=context.printer.near(box.plan.width).text,
            room=context.printer.near(room).text,
        )
    ]


def _too_high(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    ceiling = context.room.level("ceiling", _footprint(box))
    if ceiling is None or float(ceiling.mean.min()) >= box.plan.top:
        return []
    room = float(ceiling.mean.min()) - box.plan.bottom
    return [
        finding(
            500,
            [piece.id],
            [piece.name],
            piece=piece.name,
            size=context.printer.near(box.plan.top - box.plan.bottom).text,
            room=context.printer.near(room).text,
        )
    ]


def _baseboards(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    """A box that stands where a baseboard stays cannot touch the wall."""
    walls = {piece.wall, *(gap.wall for gap in box.sides.values() if gap.least < NARROWEST_FILLER)}
    found = []
    for trim in context.survey.of(Trim):
        low = mm(trim.bottom, -np.inf)
        if trim.type == "baseboard" and trim.wall in walls and trim.fate != "comes off":
            high = mm(trim.top, low + mm(trim.width)) if trim.top or trim.width else np.inf
            if high > box.plan.bottom and low < box.plan.top:
                found.append(
                    finding(
                        506,
                        [piece.id, trim.id],
                        [piece.name],
                        piece=piece.name,
                        obstacle=trim.name,
                        do="cut the baseboard back, or notch the sides of the box over it",
                    )
                )
    return found


def _corners(context: Context, piece: BoxPiece) -> set[str]:
    walls = {piece.wall, piece.left.meets, piece.right.meets}
    return {one.name for one in context.room.plan.corners if {one.left, one.right} <= walls}

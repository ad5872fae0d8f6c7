"""Cabinets in the report: where the box stands, the gaps around it, what it stands on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fitting.cabinet import CabinetPlan, FittedCabinet, Neighbour, SideName, fit_cabinet, side_gap
from fitting.filler import filler_options
from fitting.placement import At, Reach
from fitting.strip import NARROWEST
from survey.finding import Finding, finding
from survey.records import BoxPiece, Piece, TallCabinet
from survey.report.base import base_measures, need_base
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.needs import (
    LOOKED_AT,
    is_checked,
    need_corner,
    need_floor,
    need_mark,
    need_place,
    need_upright_check,
)
from survey.report.room_for import beyond_open_end, too_high
from survey.report.run import (
    SIDES,
    asked_gap,
    edge_at,
    gap_between,
    held_by,
    neighbours,
    overlaps,
    run_too_wide,
    stand_together,
)
from survey.report.said_twice import box_said_twice, gaps_not_kept, joints_not_kept, wrong_end
from survey.report.sits import (
    aim_words,
    out_of_line,
    pins_of,
    refuse_box_aim,
    refuse_clash,
    refuse_pins,
    what_of,
)
from survey.report.structs import EdgeReport, NamedDimension, PieceReport
from survey.report.trim import runs_into, span_in, trims_on

IN_THE_WAY = ("baseboard", "casing", "sill", "obstacle")
"""Kinds of trim that a box runs into, and all that is put down as an obstacle."""
BINDS = 0.5
"""mm by which a box may be expected to bind between walls before it is said: what paint gives way."""
HANGING = (
    "It hangs on the wall: fasten only into proved framing, by the local code and the fastener's own table.",
    "Figures for wood screws do not hold for steel studs, masonry or lath.",
    "Before drilling: find pipes and cables; leave gas, electricity and plumbing to licensed trades.",
)


def box_report(context: Context, piece: BoxPiece) -> PieceReport:
    """Tell a cabinet: sizes as typed, place and gaps as computed."""
    box = fitted_box(context, piece)
    context.at_stake(piece, box.stake)
    context.note(*_in_the_way(context, piece, box), *overlaps(context, piece, box, _known(context)))
    near = context.printer.near
    context.note(*joints_not_kept(context, piece, _beside(context, piece, box)))
    sizes = tuple(
        NamedDimension(name, near(mm(getattr(piece, name)))) for name in ("width", "height", "depth")
    )
    edges = [
        EdgeReport(side, f"wall {gap.wall}", edge_at(piece, side).finish, near(gap.least))
        for side, gap in box.sides.items()
    ]
    edges += [
        EdgeReport(side, f"cabinet {other.name}", edge_at(piece, side).finish, near(gap))
        for side, other, gap in _beside(context, piece, box)
    ]
    return PieceReport(
        piece.name,
        "tall cabinet" if isinstance(piece, TallCabinet) else "cabinet",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own box: cut square",
        rule=_rule(context, piece, box),
        finished=sizes,
        blank=sizes,
        edges=tuple(edges),
        measures=tuple(_measures(context, piece, box)),
        cautions=HANGING if piece.bottom is not None else (),
        readings=context.readings_of(walls_of(box) | box.placed.walls(), rests_on(piece) | _held_from(box)),
    )


def cabinet_named(context: Context, piece: Piece, name: str) -> tuple[BoxPiece, FittedCabinet]:
    """Return the cabinet that a piece goes with, in its place; refuse what is no cabinet."""
    record = context.record(name, BoxPiece)
    if record is None:
        known = "it must be a cabinet of this survey"
        raise NotReady(
            finding(103, [piece.id], [piece.name], what=f"piece `{piece.name}`", name=name, known=known)
        )
    return record, fitted_box(context, record)


def fitted_box(context: Context, piece: BoxPiece) -> FittedCabinet:
    """Return a cabinet in its place; worked out once for itself and all that goes with it.

    What was found on the way is noted again for each piece that asks.
    """
    known = context.cabinets.get(piece.name)
    if known is None:
        before = len(context.findings)
        box = _fitted(context, piece)
        context.cabinets[piece.name] = box, tuple(context.findings[before:])
        return box
    box, findings = known
    context.note(*findings)
    return box


def walls_of(box: FittedCabinet) -> set[str]:
    """Return the walls that a cabinet meets."""
    return {box.plan.wall, *(gap.wall for gap in box.sides.values())}


def face_along(context: Context, box: FittedCabinet, side: SideName) -> float:
    """Return where along a side wall a cabinet's face meets it (mm)."""
    wall = box.sides[side].wall
    end, sign = ("right", -1.0) if side == "left" else ("left", 1.0)
    corner = context.room.plan.corner_at(wall, end)
    start = 0.0 if corner is None else context.along(wall, corner.name, box.plan.bottom)
    return start + sign * box.plan.depth


def _fitted(context: Context, piece: BoxPiece) -> FittedCabinet:
    sides = _side_walls(context, piece)
    held = held_by(context, piece)
    if isinstance(held, Finding):
        raise NotReady(held)
    refuse_pins(piece, {"back", *sides})
    refuse_box_aim(piece, sides, None if held is None else held[1].name)
    _refuse([*_missing(context, piece, sides, held is not None), *need_base(piece)])
    beside = None
    if held is not None:
        side, other = held
        beside = Neighbour(side, fitted_box(context, other), gap_between(piece, side, other))
    box = fit_cabinet(context.room, _plan(context, piece, sides, mm(piece.bottom)), beside)
    if piece.bottom is None:
        _refuse(need_floor(context, piece, footprint(box)))
        box = fit_cabinet(context.room, _plan(context, piece, sides, _line(context, piece, box)), beside)
    for side, wall in sides.items():
        face = face_along(context, box, side)
        _refuse(need_upright_check(context, piece, wall, face, box.plan.bottom, box.plan.top))
    _refuse(refuse_clash(context, piece, box.clash))
    _refuse([*_too_wide(context, piece, box), *too_high(context, piece, footprint(box), *_height(box))])
    _refuse(_too_deep(context, piece, box))
    context.note(*(() if piece.aim or piece.pins else gaps_not_kept(context, piece, box)))
    return box


def _line(context: Context, piece: BoxPiece, box: FittedCabinet) -> float:
    """Return the height of a cabinet's bottom line (mm): that of the one it stands beside, or the floor's
    highest place under the run that begins with it."""
    held = held_by(context, piece)
    if isinstance(held, tuple) and held[1].bottom is None:
        return fitted_box(context, held[1]).plan.bottom
    floor = context.room.level("floor", stand_together(context, piece, box))
    return 0.0 if floor is None else float(floor.mean.max())


def _known(context: Context) -> dict[str, FittedCabinet]:
    return {name: box for name, (box, _) in context.cabinets.items()}


def _beside(
    context: Context, piece: BoxPiece, box: FittedCabinet
) -> Iterator[tuple[SideName, BoxPiece, float]]:
    """Give the cabinets that its sides meet, as far as they have a place, and the least gap to each."""
    known = _known(context)
    for side, other in neighbours(context, piece).items():
        if other.name in known and known[other.name].plan.wall == box.plan.wall:
            yield side, other, side_gap(box, side, known[other.name])


def _held_from(box: FittedCabinet) -> set[str]:
    """Return the mark that its place is measured from, or that of the cabinet it stands beside."""
    return {box.placed.lateral.name} if isinstance(box.placed.lateral, At) else set()


def _refuse(findings: list[Finding]) -> None:
    if findings:
        raise NotReady(*findings)


def _height(box: FittedCabinet) -> tuple[float, float]:
    return box.plan.bottom, box.plan.top


def _side_walls(context: Context, piece: BoxPiece) -> dict[SideName, str]:
    walls: dict[SideName, str] = {}
    beside = neighbours(context, piece)
    for side in SIDES:
        edge = edge_at(piece, side)
        if edge.meets is None:
            continue
        if edge.finish not in ("filler", "net"):
            why = f"its {side} side is to be {edge.finish}, and a box's side is only set off a wall"
            raise NotReady(not_made(piece, why, "say filler or net, and make what is scribed a panel"))
        if side not in beside:
            walls[side] = context.met_wall(piece, side, edge)
    return walls


def _missing(context: Context, piece: BoxPiece, sides: dict[SideName, str], beside: bool) -> list[Finding]:
    middle = mm(piece.bottom) + mm(piece.height) / 2
    missing = [*box_said_twice(piece, bool(sides))]
    missing += need_place(context, piece, [piece.wall, *sides.values()])
    for side, other in sides.items():
        missing += wrong_end(context, piece, side, piece.wall, other)
        missing += need_corner(context, piece, piece.wall, other, middle)
    if piece.aim is not None and piece.aim.line is not None:
        missing += box_said_twice(piece, True)
        return missing + need_mark(context, piece, piece.wall, piece.aim.line, 0.0)
    if sides or beside:
        return missing
    if piece.from_ is None or piece.along is None:
        what = f"where `{piece.name}` stands along wall `{piece.wall}`"
        return [*missing, not_said(piece, what, "let a side meet a wall, or say `along` and `from`")]
    return missing + need_mark(context, piece, piece.wall, piece.from_, mm(piece.along))


def _plan(context: Context, piece: BoxPiece, sides: dict[SideName, str], bottom: float) -> CabinetPlan:
    line = None if piece.aim is None else piece.aim.line
    width = mm(piece.width)
    out = context.signed_out(piece.wall, piece.from_, mm(piece.along), width)
    return CabinetPlan(
        piece.wall,
        mm(piece.width),
        mm(piece.depth),
        bottom,
        bottom + mm(piece.height),
        sides.get("left"),
        sides.get("right"),
        None if piece.left.gap is None else mm(piece.left.gap),
        None if piece.right.gap is None else mm(piece.right.gap),
        line or piece.from_,
        out_of_line(piece, width) if line else out,
        line is not None,
        what_of(piece),
        pins_of(piece),
        piece.aim is not None and piece.aim.what == "even front",
    )


def footprint(box: FittedCabinet, recess: float = 0.0) -> list[tuple[float, float]]:
    """Return its corners in the plan: left front, left back, right front, right back; its front ones so far
    behind the face (mm)."""
    return [box.placed.frame.to_room(x, y) for x in (box.left, box.right) for y in (recess, box.plan.depth)]


def rests_on(piece: BoxPiece) -> set[str]:
    """Return what else than walls says where a cabinet is."""
    floor = {"floor"} if piece.bottom is None else set()
    line = piece.aim.line if piece.aim is not None else None
    return floor | ({piece.from_} if piece.from_ else set()) | ({line} if line else set())


def _rule(context: Context, piece: BoxPiece, box: FittedCabinet) -> str:
    back = "its sides and rails touch" if piece.back == "set in" else "its back touches"
    low = "it stands on the floor's highest point" if piece.bottom is None else "it hangs at the height given"
    if piece.bottom is None and neighbours(context, piece):
        low = "it stands level with its neighbours, from the floor's highest point under all of them"
    if piece.bottom is None and piece.base == "legs":
        low = "its legs stand on the floor, their height counted from its highest point"
    if piece.bottom is None and piece.base == "loose base":
        low = "its loose base is levelled on the floor's highest point"
    held = None if box.beside is None else held_by(context, piece)
    other = held[1].name if isinstance(held, tuple) else None
    if box.beside is not None:
        gap = context.printer.near(box.beside.gap).text
        low += f"; its {box.beside.side} side {gap} from cabinet `{other}`, where they come nearest"
    sits = f"plumb and level; {back} where wall `{piece.wall}` stands out most over its height; {low}"
    return sits + aim_words(context, piece, other)


def _measures(context: Context, piece: BoxPiece, box: FittedCabinet) -> Iterator[NamedDimension]:
    named, plan = context.printer.named, box.plan
    for side, gap in box.sides.items():
        yield named(f"least gap at the {side}", gap.least)
        for up, level in ((plan.top, "top"), (plan.bottom, "bottom")):
            for deep, place in ((0.0, "front"), (plan.depth, "back")):
                yield named(f"gap at the {side}, {level} {place}", gap.at(up, deep)[0])
    if behind_checked(context, box):
        yield named("largest gap behind", float(box.back_gap.max()))
    if piece.bottom is None and context.room.level("floor", footprint(box)) is not None:
        under = stand_together(context, piece, box)
        yield from base_measures(context, piece, box, under, footprint(box, mm(piece.kick_depth)))
    for side, other, between in _beside(context, piece, box):
        yield named(f"least gap to `{other.name}` at the {side}", between)
    if len(box.sides) == 2:
        yield from _options(context, box)


def _options(context: Context, box: FittedCabinet) -> Iterator[NamedDimension]:
    """Filler options side by side: the least width of each strip."""
    total = sum(gap.least for gap in box.sides.values())
    for option in filler_options(total, NARROWEST):
        for side, width in (("left", option.left), ("right", option.right)):
            if width:
                yield context.printer.named(f"filler option {option.words}: {side} strip, least", width)


def behind_checked(context: Context, box: FittedCabinet) -> bool:
    """Whether anything is known of the wall's shape behind a box, along its width and up its height."""
    plan, wall = box.plan, box.plan.wall
    x = [box.left, (box.left + box.right) / 2, box.right]
    (ux, uy), (foot_x, foot_y) = context.room.axes(wall)[0], context.room.foot(wall)
    backs = [box.placed.frame.to_room(one, plan.depth) for one in x]
    left, middle, right = ((a - foot_x) * ux + (b - foot_y) * uy for a, b in backs)
    level = [(float(one), plan.top) for one in np.linspace(left, right, LOOKED_AT)]
    upright = [(middle, float(one)) for one in np.linspace(plan.bottom, plan.top, LOOKED_AT)]
    return is_checked(context, wall, level, lean=False) and is_checked(context, wall, upright, lean=True)


def _too_wide(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    """Refuse a box that is wider than its alcove, whose gap leaves it none, or that runs into a wall."""
    printer = context.printer
    refused = run_too_wide(context, piece, box, BINDS) or _line_in_wall(context, piece, box)
    if refused:
        return refused
    if len(box.sides) < 2:
        ends: dict[SideName, float] = {"left": box.left, "right": box.right}
        met = {*box.sides, *neighbours(context, piece)}
        open_ends = {side: x for side, x in ends.items() if side not in met}
        places = [(y, up) for y in (0.0, box.plan.depth) for up in _height(box)]
        return beyond_open_end(context, piece, box.placed, open_ends, places)
    total = sum(gap.least for gap in box.sides.values())
    tight = min(box.sides.values(), key=lambda gap: gap.least)
    if tight.least >= -BINDS:
        return []
    if total < -BINDS:
        size, room = printer.near(box.plan.width).text, printer.near(box.plan.width + total).text
        less = printer.up(-total + sum(asked_gap(piece, side) for side in box.sides)).text
        return [finding(501, [piece.id], [piece.name], piece=piece.name, size=size, room=room, less=less)]
    why = f"with the gap asked for, it runs into wall `{tight.wall}`"
    return [not_made(piece, why, f"leave it out, or ask for {printer.down(total).text} at the most")]


def _line_in_wall(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    """Refuse a box that the line it keeps puts into a wall."""
    if piece.aim is None or piece.aim.line is None:
        return []
    for side, gap in box.sides.items():
        if gap.least < -BINDS:
            way = "right" if side == "left" else "left"
            by = context.printer.up(-gap.least).text
            words = {"line": piece.aim.line, "what": f"wall `{gap.wall}`", "by": by, "way": way}
            return [finding(521, [piece.id], [piece.name], piece=piece.name, **words)]
    return []


def _too_deep(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[Finding]:
    """Refuse a box that comes even with its neighbour's front only if its back stood in the wall."""
    plan, held = box.plan, held_by(context, piece)
    if not plan.even_front or not isinstance(held, tuple):
        return []
    back = [Reach("back", plan.wall, one.x, plan.depth, one.up) for one in box.placed.back]
    least = float(box.placed.expect(back).min())
    if least >= -BINDS:
        return []
    by = context.printer.up(-least).text
    return [finding(522, [piece.id], [piece.name], piece=piece.name, other=held[1].name, by=by)]


def _in_the_way(context: Context, piece: BoxPiece, box: FittedCabinet) -> Iterator[Finding]:
    """Trim that a box cannot stand in front of: behind its back, or thicker than the gap at a side."""
    plan = box.plan
    for trim in trims_on(context, piece, walls_of(box), IN_THE_WAY, plan.bottom, plan.top):
        start, end = (box.left, box.right) if trim.wall == plan.wall else (0.0, plan.depth)
        near, far = span_in(context, box.placed, trim)
        gaps = [gap.least for gap in box.sides.values() if gap.wall == trim.wall]
        if near < end and far > start and min(gaps, default=0.0) < trim.projection:
            yield runs_into(context, piece, trim, f"cut `{trim.name}` back, or notch the box over it")

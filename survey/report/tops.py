"""Tops in the report."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

from msgspec.structs import replace

from fitting.cabinet import FittedCabinet, SideName
from fitting.notch import Side
from fitting.piece import CLEARANCES, EdgePlan
from fitting.top import FittedTop, TopPlan, end_along, fit_top
from survey.finding import Finding, finding
from survey.records import Piece, Top
from survey.report.boxes import cabinet_named, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.flat import Words, ends_at, flat_report, width_at
from survey.report.met import met_by_ends, standing_at
from survey.report.needs import need_corner, need_level_check, need_mark, need_place
from survey.report.planning import basin_height
from survey.report.room_for import beyond_open_end
from survey.report.said_twice import top_said_twice, wrong_end
from survey.report.sits import (
    aim_words,
    out_of_line,
    pins_of,
    refuse_clash,
    refuse_pins,
    refuse_top_aim,
    what_of,
)
from survey.report.structs import Dimension, NamedDimension, PieceReport
from survey.report.trim import trims_on

LIMITS = (
    "joint over all its edges at walls: the blank covers the wall where it is scribed, nothing binds "
    "where it is cut net; not whether it can be brought in"
)
WIDTHS_AT = ((0.0, "at the front"), (0.5, "halfway back"), (1.0, "at the back"))
"""Where along its depth a top's width is told."""
BESIDE_BACK = (0.96, 0.98)
"""Where its ends are looked at to tell them at the back, whose own line is uneven."""
SHORT_OF_CORNER = 0.999
"""Where an end is looked at just before its corner, of its own depth."""
NARROWER = 1.5
"""mm by which an alcove may be narrower in front before it is said; what a caulked gap takes up."""


def top_report(context: Context, piece: Top) -> PieceReport:
    """Tell a top."""
    cabinet, box = (None, None) if piece.on is None else cabinet_named(context, piece, piece.on)
    top = context.tops[piece.name] = _fitted(context, piece, box)
    plan = top.plan
    context.at_stake(piece, top.stake)
    flat = flat_report(context, piece, top.outline, _words(piece, plan), plan.thickness)
    context.note(
        *_beyond_open_ends(context, piece, top),
        *_both_ends(piece, plan),
        *_narrower_in_front(context, piece, plan, top),
        *basin_height(context, piece, top),
        *_two_on_one(context, piece),
    )
    walls = {plan.wall, *(edge.wall for edge in (plan.left, plan.right, plan.back) if edge)}
    walls |= walls_of(box) if box else set()
    others = {trim.name for trim in plan.trims} | ({plan.mark} if plan.mark else set())
    others |= met_by_ends(context, plan)
    others |= rests_on(cabinet) if cabinet else set()
    return PieceReport(
        piece.name,
        "top",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        f"front edge and {plan.datum}" + _centre_of(piece, plan),
        _rule(context, piece, plan),
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        tuple(_measures(context, top, flat.finished[0].size)),
        confidence=context.confidence,
        limits=LIMITS,
        readings=context.readings_of(walls, others),
    )


def top_named(context: Context, piece: Piece, name: str) -> tuple[Top, FittedTop]:
    """Return the top that a piece stands on, in its place; refuse what is no top."""
    record = context.record(name, Top)
    if record is None:
        known = "it must be a top of this survey"
        raise NotReady(
            finding(103, [piece.id], [piece.name], what=f"piece `{piece.name}`", name=name, known=known)
        )
    known_top = context.tops.get(name)
    if known_top is None:
        box = None if record.on is None else cabinet_named(context, record, record.on)[1]
        known_top = context.tops[name] = _fitted(context, record, box)
    if not known_top.outline.outline.size:
        raise NotReady(not_made(record, "nothing of it is left", "look at its size and place"))
    return record, known_top


def _fitted(context: Context, piece: Top, box: FittedCabinet | None) -> FittedTop:
    """Work out a top where its pushes, aim and pins put it; refuse what was not read or said."""
    refuse_top_aim(piece)
    plan = _plan(context, piece, box)
    one_end = box is None and (plan.left is None) != (plan.right is None)
    lines = {side for side, edge in plan.edges.items() if side == "back" or (one_end and edge.at is None)}
    refuse_pins(piece, lines)
    _refuse_unread(context, piece, plan, box)
    top = fit_top(context.room, plan, box)
    clash = refuse_clash(context, piece, top.clash)
    if clash:
        raise NotReady(*clash)
    return top


def _two_on_one(context: Context, piece: Top) -> Iterable[Finding]:
    """Say which other top lies on the same cabinet; each pair is said once."""
    for other in context.survey.of(Top):
        if piece.on is not None and other.on == piece.on and other.name != piece.name:
            first, second = sorted((piece, other), key=lambda one: one.name)
            ids, names = [first.id, second.id], [first.name, second.name]
            yield finding(520, ids, names, piece=first.name, other=second.name, cabinet=piece.on)


def _plan(context: Context, piece: Top, box: FittedCabinet | None) -> TopPlan:
    thickness = mm(piece.thickness)
    upper = mm(piece.up) if piece.up is not None else (box.plan.top if box else 0.0) + thickness
    left, right, back = (
        context.edge(
            piece, side, edge, partial(standing_at, context, piece, side, edge, (upper - thickness, upper))
        )
        for side, edge in (("left", piece.left), ("right", piece.right), ("back", piece.back))
    )
    missing = [*_not_said(piece, box, left, right), *top_said_twice(piece, box)]
    if missing:
        raise NotReady(*missing)
    walls = {edge.wall for edge in (left, right, back) if edge}
    trims = trims_on(context, piece, walls, ("casing", "sill", "obstacle", "pipe"), upper - thickness, upper)
    met = {edge.meets for edge in (piece.left, piece.right)}  # an end that is cut to trim is not notched too
    trims = tuple(one for one in trims if one.name not in met)
    width = None if piece.width is None else mm(piece.width)
    past, aim = mm(piece.end_overhang), piece.aim
    if aim is not None and aim.what == "even ends" and box is not None and width is not None:
        past = (width - box.plan.width) / 2
    line = None if aim is None else aim.line
    out = context.signed_out(piece.wall, piece.from_, mm(piece.along), width or 0.0)
    return TopPlan(
        piece.wall,
        upper,
        thickness,
        left,
        right,
        back,
        None if piece.depth is None else mm(piece.depth),
        width,
        mm(piece.overhang),
        past,
        line or piece.from_,
        out_of_line(piece, width or 0.0) if line else out,
        mm(piece.clearance, CLEARANCES[piece.rule]),
        trims,
        context.confidence,
        what_of(piece) if what_of(piece) != "even ends" else "stay",
        pins_of(piece),
    )


def _not_said(
    piece: Top, box: FittedCabinet | None, left: EdgePlan | None, right: EdgePlan | None
) -> list[Finding]:
    """Give the sizes and the place that a top needs and that nobody said."""
    open_ends = (left, right).count(None)
    alone = box is None
    wanted = [
        (alone and piece.depth is None, "depth", "say it, or the cabinet that it lies on"),
        (alone and piece.up is None, "height", "say `up`, or the cabinet that it lies on"),
        (alone and open_ends > 0 and piece.width is None, "width", "say it: an end of it is open"),
        (
            alone
            and open_ends == 2
            and (piece.from_ is None or piece.along is None)
            and (piece.aim is None or piece.aim.line is None),
            "place along the wall",
            "say `along` and `from`",
        ),
    ]
    return [not_said(piece, f"the {what} of `{piece.name}`", do) for lacks, what, do in wanted if lacks]


def _refuse_unread(context: Context, piece: Top, plan: TopPlan, box: FittedCabinet | None) -> None:
    """Refuse a top whose walls were not read where it meets them."""
    sides = [edge.wall for edge in (plan.left, plan.right) if edge and edge.at is None]
    missing = need_place(context, piece, [plan.wall, *sides])
    for other in sides:
        missing += need_corner(context, piece, plan.wall, other, plan.upper)
    missing += _at_wrong_walls(context, piece, plan)
    if box is None and plan.left is None and plan.right is None and plan.mark:
        missing += need_mark(context, piece, plan.wall, plan.mark, mm(piece.along))
    if missing:
        raise NotReady(*missing)
    depth = plan.depth if plan.depth is not None else (box.plan.depth if box else 0.0)
    for edge, end, sign in ((plan.left, "right", -1.0), (plan.right, "left", 1.0)):
        corner = context.room.plan.corner_at(edge.wall, end) if edge and edge.at is None else None
        if edge and corner:
            at = context.along(edge.wall, corner.name, plan.upper)
            missing += need_level_check(context, piece, edge.wall, at, at + sign * depth, plan.upper)
    if plan.back is not None:
        missing += need_level_check(context, piece, plan.wall, *_back_span(context, plan, box), plan.upper)
    if missing:
        raise NotReady(*missing)


def _at_wrong_walls(context: Context, piece: Top, plan: TopPlan) -> Iterable[Finding]:
    """Refuse an end that meets the wall at the other end, and a back that meets another wall than its own."""
    if plan.left and plan.left.at is None:
        yield from wrong_end(context, piece, "left", plan.wall, plan.left.wall)
    if plan.right and plan.right.at is None:
        yield from wrong_end(context, piece, "right", plan.wall, plan.right.wall)
    if plan.back and plan.back.wall != plan.wall:
        why = f"it stands against wall `{plan.wall}`, and its back is to meet wall `{plan.back.wall}`"
        yield not_made(piece, why, f"say `against {plan.back.wall}`, or `back meets {plan.wall}`")


def _back_span(context: Context, plan: TopPlan, box: FittedCabinet | None) -> tuple[float, float]:
    """Return from where to where along the back wall a top reaches."""
    left, right = (
        end_along(context.room, plan, side) if side in plan.edges else None for side in ("left", "right")
    )
    if box is not None:
        start, stop = _box_span(context, plan.wall, box)
        return start if left is None else left, stop if right is None else right
    width = plan.width or 0.0
    if left is not None:
        return left, left + width if right is None else right
    if right is not None:
        return right - width, right
    start = context.along(plan.wall, plan.mark or "", plan.upper) + plan.out
    return start, start + width


def _box_span(context: Context, wall: str, box: FittedCabinet) -> tuple[float, float]:
    """Return from where to where along the wall behind it a cabinet stands."""
    foot, (ux, uy) = context.room.foot(wall), context.room.axes(wall)[0]
    ends = (box.placed.frame.to_room(x, box.plan.depth) for x in (box.left, box.right))
    start, stop = ((x - foot[0]) * ux + (y - foot[1]) * uy for x, y in ends)
    return start, stop


def _words(piece: Top, plan: TopPlan) -> Words:
    across = {
        "right end": "from the right end",
        "left end": "from the left end",
        "centre line": "from the centre line, left is minus",
    }[plan.datum]
    meets: dict[Side, str] = {
        side: f"wall {edge.wall}" if edge.at is None else f"`{getattr(piece, side).meets}`"
        for side, edge in plan.edges.items()
    }
    return Words(
        {"left": "left", "right": "right", "front": "front", "back": "back"},
        meets,
        across,
        "from the front",
        "width",
        "depth",
        plan.datum == "right end",
        {side: edge.at.deep for side, edge in plan.edges.items() if edge.at is not None},
    )


def _centre_of(piece: Top, plan: TopPlan) -> str:
    """Say whose centre line it is: a top that lies on two cabinets has its own elsewhere."""
    return f" of `{piece.on}`" if piece.on is not None and plan.datum == "centre line" else ""


def _rule(context: Context, piece: Top, plan: TopPlan) -> str:
    if plan.aim != "stay":
        front = "its front runs as its aim turns it"
    elif piece.on is not None:
        front = f"its front runs with cabinet `{piece.on}`"
    else:
        front = f"its front runs parallel to the line that touches wall `{plan.wall}`"
    scribed = [
        side
        for side in ("back", "left", "right")
        if (edge := getattr(plan, side)) and edge.finish == "scribed"
    ]
    order = f"; scribe the {', then the '.join(scribed)}" if scribed else ""
    return f"level; {front}{aim_words(context, piece, piece.on)}; seen from above on its show face{order}"


def _measures(context: Context, top: FittedTop, width: Dimension) -> Iterable[NamedDimension]:
    """Tell how wide it is at three places, rounded with its width: wood that covers up, that passes down."""
    ring = [(float(x), float(y)) for x, y in top.outline.outline]
    deepest = max(y for _, y in ring)
    for share, words in WIDTHS_AT:
        left, right = _ends(top, ring, deepest, share)
        told = context.printer.near(right - left + width.cut_mm - width.mm)
        yield NamedDimension(f"finished width {words}", replace(told, mm=round(right - left, 4)))
    if top.plan.datum == "centre line":
        yield from _from_centre_line(context, top, ring, deepest)


def _from_centre_line(
    context: Context, top: FittedTop, ring: Sequence[tuple[float, float]], deepest: float
) -> Iterable[NamedDimension]:
    """Tell where both ends lie: widths alone do not say how a top between two walls runs askew."""
    for share, words in WIDTHS_AT:
        left, right = _ends(top, ring, deepest, share)
        for side, off in (("left", -left), ("right", right)):
            yield NamedDimension(f"centre line to the {side} end, {words}", context.printer.down(off))


def _ends(
    top: FittedTop, ring: Sequence[tuple[float, float]], deepest: float, share: float
) -> tuple[float, float]:
    """Return the x of both ends at a share of the depth; at the back as they run on beside it.

    Where the back is out of square with the front, one end is shallower than the other: with no notch, each
    is looked at where it comes to its own corner.
    """
    if share < 1.0:
        return ends_at(ring, deepest * share)
    if not top.outline.notches:
        last = {side: top.outline.edges[side].stations for side in ("left", "right")}
        deep = [min(float(at.max()), deepest) if at.size else deepest for at in last.values()]
        left, right = (ends_at(ring, SHORT_OF_CORNER * one)[end] for end, one in enumerate(deep))
        return left, right
    inner, outer = (ends_at(ring, deepest * one) for one in BESIDE_BACK)
    left, right = (
        after + (after - before if abs(after - before) < deepest * (1 - BESIDE_BACK[0]) else 0.0)
        for before, after in zip(inner, outer, strict=True)
    )
    return left, right


def _beyond_open_ends(context: Context, piece: Top, top: FittedTop) -> list[Finding]:
    """Refuse a top whose open end runs into the wall there."""
    edges, (datum_x, front) = top.outline.edges, top.datum
    ends: dict[SideName, float] = {}
    if top.plan.left is None:
        ends["left"] = datum_x - edges["left"].final
    if top.plan.right is None:
        ends["right"] = datum_x + edges["right"].final
    depth = float(top.outline.outline[:, 1].max())
    places = [(front + share * depth, top.plan.upper) for share in (0.0, 0.5, 1.0)]
    return beyond_open_end(context, piece, top.placed, ends, places)


def _both_ends(piece: Top, plan: TopPlan) -> Iterable[Finding]:
    """Between two walls nothing goes in oversize."""
    if plan.left and plan.right and "scribed" in (plan.left.finish, plan.right.finish):
        yield finding(
            503,
            [piece.id],
            [piece.name],
            piece=piece.name,
            which="one end at the least: say net for the ends",
        )


def _narrower_in_front(context: Context, piece: Top, plan: TopPlan, top: FittedTop) -> Iterable[Finding]:
    if not (plan.left and plan.right):
        return
    ring = [(float(x), float(y)) for x, y in top.outline.outline]
    depth = max(y for _, y in ring)
    front = min(width_at(ring, depth * share) for share in (0.0, 0.1, 0.2))
    behind = max(width_at(ring, depth * share) for share in (0.3, 0.5, 0.7, 0.9, 0.97))
    if behind - front > NARROWER:
        less = context.printer.near(behind - front).text
        yield finding(505, [piece.id], [piece.name], piece=piece.name, less=less)

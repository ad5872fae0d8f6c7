"""Tops in the report."""

from __future__ import annotations

from collections.abc import Iterable

from fitting.cabinet import FittedCabinet
from fitting.piece import CLEARANCE, EdgePlan
from fitting.top import FittedTop, TopPlan, fit_top
from survey.finding import Finding, finding
from survey.records import BoxPiece, Top
from survey.report.boxes import fitted_box
from survey.report.context import Context, NotReady, mm
from survey.report.flat import Words, flat_report, width_at
from survey.report.needs import need_corner, need_level_check, need_place
from survey.report.structs import NamedDimension, PieceReport

LIMITS = (
    "joint over all its edges at walls: the blank covers the wall where it is scribed, nothing binds "
    "where it is cut net; not whether it can be brought in"
)
NARROWER = 1.5
"""mm by which an alcove may be narrower in front before it is said; what a caulked gap takes up."""


def top_report(context: Context, piece: Top) -> PieceReport:
    """Tell a top."""
    box = _box(context, piece)
    plan = _plan(context, piece, box)
    _refuse_unread(context, piece, plan, box)
    top = fit_top(context.room, plan, box)
    words = _words(plan)
    flat = flat_report(context, piece, top.outline, words)
    findings = [*flat.findings, *_both_ends(piece, plan), *_narrower_in_front(context, piece, plan, top)]
    context.note(*findings)
    thickness = NamedDimension("thickness", context.printer.near(plan.thickness))
    seen = {plan.wall, *(edge.wall for edge in (plan.left, plan.right, plan.back) if edge)}
    seen |= {trim.name for trim in plan.trims}
    seen |= {one.name for one in context.room.plan.corners if {one.left, one.right} <= seen}
    return PieceReport(
        piece.name,
        "top",
        "not ready" if any(one.severity == "stops" for one in findings) else "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        f"front edge and {plan.datum}",
        _rule(piece, plan, box),
        (*flat.finished, thickness),
        (*flat.blank, thickness),
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        tuple(_measures(context, top)),
        (),
        tuple(dict.fromkeys(one.number for one in findings)),
        context.confidence,
        LIMITS,
        context.readings_of(seen),
    )


def _box(context: Context, piece: Top) -> FittedCabinet | None:
    if piece.on is None:
        return None
    record = context.record(piece.on, BoxPiece)
    if not isinstance(record, BoxPiece):
        raise NotReady(
            finding(
                103,
                [piece.id],
                [piece.name],
                what=f"piece `{piece.name}`",
                name=piece.on,
                known="it must be a cabinet of this survey",
            )
        )
    return fitted_box(context, record)


def _plan(context: Context, piece: Top, box: FittedCabinet | None) -> TopPlan:
    left, right, back = (
        context.edge(piece, side, getattr(piece, side)) for side in ("left", "right", "back")
    )
    missing = _sizes_missing(piece, box, left, right)
    if missing:
        raise NotReady(*missing)
    thickness = mm(piece.thickness)
    upper = mm(piece.up) if piece.up is not None else (box.plan.top if box else 0.0) + thickness
    walls = {edge.wall for edge in (left, right, back) if edge}
    trims = context.trims(piece, walls, ("casing", "sill"))
    width = None if piece.width is None else mm(piece.width)
    out = context.signed_out(piece.wall, piece.from_, mm(piece.along), width or 0.0)
    return TopPlan(
        context.wall(piece.wall, piece),
        upper,
        thickness,
        left,
        right,
        back,
        None if piece.depth is None else mm(piece.depth),
        width,
        mm(piece.overhang),
        mm(piece.end_overhang),
        piece.from_,
        out,
        mm(piece.clearance, CLEARANCE),
        trims,
        context.confidence,
    )


def _sizes_missing(
    piece: Top, box: FittedCabinet | None, left: EdgePlan | None, right: EdgePlan | None
) -> Iterable[Finding]:
    def missing(what: str, do: str) -> Finding:
        return finding(306, [piece.id], [piece.name], what=f"{what} of `{piece.name}`", do=do)

    found = []
    alone = box is None
    if alone and piece.depth is None:
        found.append(missing("the depth", "say it, or the cabinet that it lies on"))
    if alone and piece.up is None:
        found.append(missing("the height", "say `up`, or the cabinet that it lies on"))
    open_ends = (left, right).count(None)
    if piece.width is None and (open_ends == 2 or (alone and open_ends == 1)):
        found.append(missing("the width", "say it: an end of it is open"))
    if alone and open_ends == 2 and piece.from_ is None:
        found.append(missing("the place along the wall", "say `along` and `from`"))
    return found


def _refuse_unread(context: Context, piece: Top, plan: TopPlan, box: FittedCabinet | None) -> None:
    """Refuse a top whose walls were not read where it meets them."""
    sides = [edge.wall for edge in (plan.left, plan.right) if edge]
    missing = list(need_place(context, piece, [plan.wall, *sides]))
    for other in sides:
        missing += need_corner(context, piece, plan.wall, other, plan.upper)
    if missing:
        raise NotReady(*missing)
    depth = plan.depth if plan.depth is not None else (box.plan.depth if box else 0.0)
    for edge, end in ((plan.left, "right"), (plan.right, "left")):
        if edge is not None:
            corner = context.room.plan.corner_at(edge.wall, end)
            if corner is not None:
                at = float(context.room.along(edge.wall, corner.name, plan.upper).mean[0])
                toward = -depth if end == "right" else depth
                missing += need_level_check(context, piece, edge.wall, at, at + toward, plan.upper)
    if plan.back is not None:
        missing += need_level_check(context, piece, plan.wall, *_back_span(context, plan, box), plan.upper)
    if missing:
        raise NotReady(*missing)


def _back_span(context: Context, plan: TopPlan, box: FittedCabinet | None) -> tuple[float, float]:
    """Return from where to where along the back wall a top reaches."""
    room = context.room
    ends = []
    for edge, end in ((plan.left, "left"), (plan.right, "right")):
        corner = room.plan.corner_at(plan.wall, end) if edge is not None else None
        ends.append(None if corner is None else float(room.along(plan.wall, corner.name, plan.upper).mean[0]))
    width = plan.width if plan.width is not None else (box.plan.width if box else 0.0)
    start, stop = ends
    if start is None and stop is None:
        mark = plan.mark or (box.plan.mark if box else None)
        start = float(room.along(plan.wall, mark, plan.upper).mean[0]) + plan.out if mark else 0.0
    if start is None:
        start = (stop or 0.0) - width
    return start, start + width if stop is None else stop


def _words(plan: TopPlan) -> Words:
    across = {
        "right end": "from the right end",
        "left end": "from the left end",
        "centre line": "from the centre line, left is minus",
    }[plan.datum]
    edges = {"left": plan.left, "right": plan.right, "back": plan.back}
    return Words(
        {"left": "left", "right": "right", "front": "front", "back": "back"},
        {side: f"wall {edge.wall}" for side, edge in edges.items() if edge},  # type: ignore[misc]
        across,
        "from the front",
        "width",
        "depth",
        plan.datum == "right end",
    )


def _rule(piece: Top, plan: TopPlan, box: FittedCabinet | None) -> str:
    if box is not None:
        front = f"its front runs with cabinet `{piece.on}`"
    else:
        front = f"its front runs parallel to the line that touches wall `{plan.wall}`"
    scribed = [
        side
        for side in ("back", "left", "right")
        if (edge := getattr(plan, side)) and edge.finish == "scribed"
    ]
    order = f"; scribe the {', then the '.join(scribed)}" if scribed else ""
    return f"level; {front}; seen from above on its show face{order}"


def _measures(context: Context, top: FittedTop) -> Iterable[NamedDimension]:
    ring = [(float(x), float(y)) for x, y in top.outline.outline]
    deepest = max(y for _, y in ring)
    yield NamedDimension("finished width at the front", context.printer.down(width_at(ring, 0.0)))
    for share, words in ((0.5, "halfway back"), (0.98, "at the back")):
        yield NamedDimension(f"finished width {words}", context.printer.down(width_at(ring, deepest * share)))


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

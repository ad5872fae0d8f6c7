"""Splashes in the report: how long each is, what it hides, and what is cut out of it for outlets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import hypot
from typing import Final, Literal

from fitting.notch import points_at
from fitting.outline import FittedOutline
from fitting.piece import NET_GAP, EdgePlan
from fitting.site import Ray
from fitting.site.known import ray_quantity
from fitting.splash import CAULK, UNDER_PLATE, End, FittedSplash, Outlet, SplashPlan, fit_splash
from fitting.top import FittedTop
from survey.finding import Finding, finding
from survey.records import Electrical, Splash, Top
from survey.report.as_typed import as_typed
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.flat import Words, flat_report
from survey.report.needs import need_level_check
from survey.report.structs import CutOutReport, NamedDimension, NotchCorner, PieceReport
from survey.report.tops import top_named

SplashSide = Literal["back", "left", "right"]

LIMITS: Final = "its ends at walls, together; not whether it can be brought in"
AT_OUTLETS: Final = (
    "Outlets and switches: have the current off before a plate comes off or a cut-out is made; wiring, and "
    "boxes brought out flush with the splash, are for a licensed electrician, by the local code."
)
ACROSS: Final = {
    "right end": "from the right end",
    "left end": "from the left end",
    "centre line": "from the centre line, left is minus",
}


def splash_report(context: Context, piece: Splash) -> PieceReport:
    """Tell a splash; one that stands on no top is listed as typed."""
    if piece.of is None or (piece.side is None and context.record(piece.of, Top) is None):
        return as_typed(context, piece)
    record, top = top_named(context, piece, piece.of)
    side = _side(piece)
    splash, through = fitted_splash(context, piece)
    plan = splash.plan
    if splash.outcome is not None:
        context.outcomes[piece.name] = splash.outcome
    context.note(*_unread(context, piece, splash))
    words = Words(
        {"left": "left", "right": "right", "front": "bottom", "back": "top"},
        {end: through.get(end, f"wall {edge.wall}") for end, edge in plan.ends.items()},
        ACROSS[plan.datum],
        "from the bottom",
        "width",
        "height",
        plan.datum == "right end",
    )
    flat = flat_report(context, piece, _without_holes(splash.outline), words, plan.thickness)
    bearing = splash.bearing(top, side)
    context.note(*_remarks(context, piece, record, splash, bearing))
    named = context.printer.named
    walls = {plan.wall, top.plan.wall, *(edge.wall for edge in plan.ends.values())}
    return PieceReport(
        piece.name,
        "splash",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        f"lower edge and {plan.datum}",
        _rule(record, side, plan, through),
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        (
            named("greatest gap behind its upper edge", splash.gap_behind),
            named(f"`{record.name}` reaches under it, least", bearing),
        ),
        (AT_OUTLETS,) if plan.outlets else (),
        confidence=context.confidence,
        limits=LIMITS,
        readings=context.readings_of(walls, {one.name for one in plan.outlets}),
        cut_outs=tuple(_cut_outs(context, splash)),
    )


def fitted_splash(context: Context, piece: Splash) -> tuple[FittedSplash, dict[End, str]]:
    """Return a splash in its place, and by end what else than the wall it butts against.

    The one at the back runs through (common practice, no source).
    """
    top = top_named(context, piece, piece.of or "")[1]
    side = _side(piece)
    if side == "back":
        return fit_splash(context.room, _at_back(context, piece, top)), {}
    end: End = "right" if side == "left" else "left"
    behind = next(
        (one for one in context.survey.of(Splash) if one.of == piece.of and one.side == "back"), None
    )
    plan = _at_side(context, piece, top, side, end, 0.0 if behind else NET_GAP)
    if behind is None:
        return fit_splash(context.room, plan), {}
    through = fitted_splash(context, behind)[0]
    fitted = fit_splash(context.room, plan, **{end: through})
    return fitted, {end: f"`{behind.name}`"}


def _side(piece: Splash) -> SplashSide:
    if piece.side is None:
        what = f"along which edge of `{piece.of}` splash `{piece.name}` stands"
        raise NotReady(not_said(piece, what, "say `stands at` back, left or right"))
    return piece.side


def _at_back(context: Context, piece: Splash, top: FittedTop) -> SplashPlan:
    ends = [None if edge is None else EdgePlan(edge.wall, "net", NET_GAP) for edge in _ends(top)]
    left, right = ends
    wall, room = top.plan.wall, context.room
    corners = [_corner(top, end, at_back=True) for end in ("left", "right")]
    length: float | None = hypot(corners[1][0] - corners[0][0], corners[1][1] - corners[0][1])
    mark, out = None, 0.0
    ux, uy = room.axes(wall)[0]
    if left is not None and right is not None:
        length = None
    elif left is not None:
        length = _along_to(context, piece, top, left.wall, corners[1], (-ux, -uy), wall)
    elif right is not None:
        length = _along_to(context, piece, top, right.wall, corners[0], (ux, uy), wall)
    else:
        mark, out = _from_mark(context, piece, top, corners[0])
    return _plan(context, piece, top, wall, left, right, length, mark, out)


def _at_side(context: Context, piece: Splash, top: FittedTop, side: End, end: End, gap: float) -> SplashPlan:
    edge = top.plan.edges.get(side)
    if edge is None or edge.at is not None:
        why = f"the {side} end of `{piece.of}` meets no wall for it to stand at"
        raise NotReady(not_made(piece, why, f"say what that end meets, or leave `{piece.name}` out"))
    ux, uy = context.room.axes(edge.wall)[0]
    toward = (ux, uy) if end == "right" else (-ux, -uy)
    behind, front = top.plan.wall, _corner(top, side, at_back=False)
    length = _along_to(context, piece, top, behind, front, toward, edge.wall)
    at_wall = EdgePlan(behind, "net", gap)
    left, right = (at_wall, None) if end == "left" else (None, at_wall)
    return _plan(context, piece, top, edge.wall, left, right, length, None, 0.0)


def _plan(
    context: Context,
    piece: Splash,
    top: FittedTop,
    wall: str,
    left: EdgePlan | None,
    right: EdgePlan | None,
    length: float | None,
    mark: str | None,
    out: float,
) -> SplashPlan:
    bottom, height = top.plan.upper, mm(piece.height)
    outlets = tuple(_outlets(context, piece, wall, bottom, bottom + height))
    thickness, confidence = mm(piece.thickness), context.confidence
    return SplashPlan(wall, bottom, height, thickness, left, right, length, mark, out, outlets, confidence)


def _ends(top: FittedTop) -> tuple[EdgePlan | None, EdgePlan | None]:
    """Return the ends of a top that meet walls; at what else they meet, a splash ends with the top."""
    left, right = (None if edge is None or edge.at else edge for edge in (top.plan.left, top.plan.right))
    return left, right


def _corner(top: FittedTop, side: Literal["left", "right"], *, at_back: bool) -> tuple[float, float]:
    """Return in the plan where an end of a top ends, at its back or at its front."""
    edge = top.outline.edges[side]
    at = -1 if at_back else 0
    ((x, y),) = points_at(side, edge.stations[[at]], edge.wood[[at]])
    return top.placed.frame.to_room(top.datum[0] + x, top.datum[1] + y)


def _along_to(
    context: Context,
    piece: Splash,
    top: FittedTop,
    wall: str,
    start: tuple[float, float],
    toward: tuple[float, float],
    lies_on: str,
) -> float:
    """Return how far it is along one wall to the foremost place of the wall at its end, over the splash."""
    nx, ny = context.room.axes(lies_on)[1]
    thick, bottom = mm(piece.thickness), top.plan.upper
    rays = [
        Ray(wall, start[0] + deep * nx, start[1] + deep * ny, *toward, bottom + up)
        for deep in (0.0, thick)
        for up in (0.0, mm(piece.height))
    ]
    reach = context.room.expect(lambda scene: [ray_quantity(scene, ray) for ray in rays])
    return float(reach.min())


def _from_mark(
    context: Context, piece: Splash, top: FittedTop, start: tuple[float, float]
) -> tuple[str, float]:
    """Return something on the wall, and how far right of it a splash with two free ends begins."""
    wall, room = top.plan.wall, context.room
    corners = [one.name for end in ("left", "right") if (one := room.plan.corner_at(wall, end))]
    marks = [name for name in (top.plan.mark, *corners) if name]
    if not marks:
        raise NotReady(not_said(piece, f"where `{piece.name}` begins along wall `{wall}`", "add a corner"))
    (ux, uy), (fx, fy) = room.axes(wall)[0], room.foot(wall)
    along = (start[0] - fx) * ux + (start[1] - fy) * uy
    return marks[0], along - context.along(wall, marks[0], top.plan.upper)


def _outlets(context: Context, piece: Splash, wall: str, low: float, high: float) -> Iterator[Outlet]:
    """Give the outlets between two heights of a wall; refuse the splash where a size or place is missing."""
    for one in context.survey.of(Electrical):
        if one.wall != wall:
            continue
        up = context.room.feature_height(one.name)
        if up is None:
            context.note(finding(513, [one.id], [piece.name], obstacle=one.name, wall=wall))
            continue
        height, middle = mm(one.plate_height), float(up.mean[0])
        if middle - height / 2 >= high or middle + height / 2 <= low:
            continue
        for what, size in (("plate width", one.plate_width), ("plate height", one.plate_height)):
            if size is None:
                raise NotReady(finding(305, [one.id], [piece.name], name=one.name, size=what))
        if not context.room.feature_placed(one.name):
            raise NotReady(finding(304, [one.id], [piece.name], name=one.name))
        yield Outlet(one.name, mm(one.plate_width), height, middle, float(up.sd[0]))


def _unread(context: Context, piece: Splash, splash: FittedSplash) -> list[Finding]:
    """Refuse a splash whose wall was not checked where it stands."""
    plan, room = splash.plan, context.room
    (ux, uy), (fx, fy) = room.axes(plan.wall)[0], room.foot(plan.wall)
    ends = [splash.placed.frame.to_room(splash.datum_x + float(x), plan.thickness) for x in _feet(splash)]
    start, end = ((x - fx) * ux + (y - fy) * uy for x, y in ends)
    return need_level_check(context, piece, plan.wall, start, end, plan.bottom + plan.height / 2)


def _feet(splash: FittedSplash) -> tuple[float, float]:
    across = splash.outline.outline[:, 0]
    return float(across.min()), float(across.max())


def _without_holes(outline: FittedOutline) -> FittedOutline:
    """Return an outline that does not remark its cut-outs: here they are meant."""
    return replace(outline, remarks=tuple(one for one in outline.remarks if one.kind != "hole"))


def _remarks(
    context: Context, piece: Splash, top: Top, splash: FittedSplash, bearing: float
) -> Iterable[Finding]:
    printer, records, names = context.printer, [piece.id, top.id], [piece.name]
    if splash.gap_behind > CAULK:
        gap, more = printer.near(splash.gap_behind).text, printer.up(splash.gap_behind).text
        yield finding(550, records, names, piece=piece.name, gap=gap, more=more)
    if bearing < CAULK - printer.step.mm / 2:
        yield finding(
            551,
            records,
            names,
            piece=piece.name,
            top=top.name,
            bearing=printer.down(max(bearing, 0.0)).text,
            least=printer.near(CAULK).text,
            more=printer.up(CAULK - bearing).text,
        )
    for name, unsure in splash.unsure.items():
        if unsure > UNDER_PLATE:
            told = printer.up(unsure).text
            covers = printer.near(UNDER_PLATE).text
            yield finding(554, context.ids(name), names, name=name, unsure=told, covers=covers)


def _rule(top: Top, side: str, plan: SplashPlan, through: dict[End, str]) -> str:
    butts = f"; it butts against {', '.join(through.values())}, which runs through" if through else ""
    free = "; its front end is flush with the top's front edge" if side != "back" else ""
    if side == "back" and plan.length is not None:
        free = "; its free end is flush with the top's"
    return (
        f"on the {side} edge of `{top.name}`, its lower edge level, pushed back until it touches wall "
        f"`{plan.wall}`{butts}{free}; drawn on its show face"
    )


def _cut_outs(context: Context, splash: FittedSplash) -> Iterator[CutOutReport]:
    printer, signed = context.printer, splash.plan.datum == "centre line"
    for hole in splash.outline.holes:
        low, high = hole.corners.min(axis=0), hole.corners.max(axis=0)
        x, y = (float(one) for one in (low + high) / 2)
        left, right = _feet(splash)
        left_over: Sequence[tuple[str, float]] = (
            ("left", float(low[0]) - left),
            ("right", right - float(high[0])),
            ("below", float(low[1])),
            ("above", splash.plan.height - float(high[1])),
        )
        yield CutOutReport(
            hole.around,
            "rectangle",
            printer.near(float(high[0] - low[0])),
            printer.near(float(high[1] - low[1])),
            NotchCorner(printer.near(x if signed else abs(x)), printer.near(y)),
            ACROSS[splash.plan.datum],
            "from the bottom",
            ring=tuple((round(float(a), 4), round(float(b), 4)) for a, b in hole.corners),
            left_over=tuple(NamedDimension(name, printer.down(size)) for name, size in left_over),
        )

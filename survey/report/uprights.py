"""Panels in the report: upright flat pieces, drawn on their show face."""

from __future__ import annotations

from collections.abc import Iterator

from fitting.allowance import SAW
from fitting.panel import PanelPlan, fit_panel
from fitting.piece import CLEARANCE, EdgePlan, TrimPlan
from fitting.stake import Outcome
from survey.finding import Finding, finding
from survey.records import Panel, Trim
from survey.report.boxes import HANGING
from survey.report.context import Context, NotReady, gap_of, mm, not_made, not_said
from survey.report.flat import Words, flat_report
from survey.report.needs import need_ceiling, need_floor, need_mark, need_place, need_upright_check
from survey.report.room_for import too_high
from survey.report.structs import PieceReport
from survey.report.trim import runs_into, trims_on, width_of

OFF_TYPED = 25.4 / 2
"""mm by which the ceiling may be off a typed height before it is said (assumption)."""
TALLER_THAN_ROOM = (
    "Its blank is taller than the room there: plane its upper edge to the heights given, then stand it up."
)
LIMITS = (
    "joint over its edges at walls: the blank covers the wall over its whole height; "
    "not whether it can be brought in"
)
NOTCHED = ("baseboard", "crown", "obstacle", "pipe")
"""What the back of a panel is notched around."""
AT_FACE = ("casing", "sill")
"""Trim with an end, which a strip at a cabinet's face meets or does not."""


def panel_report(context: Context, piece: Panel) -> PieceReport:
    """Tell an upright panel."""
    plan = _panel_plan(context, piece)
    panel = fit_panel(context.room, plan)
    context.outcomes[piece.name] = Outcome(None, None, panel.covers, panel.covers)
    wall, show = piece.wall, piece.show
    words = Words(
        {
            "left": "back" if show == "left" else "front",
            "right": "front" if show == "left" else "back",
            "front": "bottom",
            "back": "top",
        },
        {show: f"wall {wall}", **({"back": "the ceiling"} if plan.upper else {})},
        "from the front",
        "from the bottom",
        "depth",
        "height",
        show == "left",
    )
    flat = flat_report(context, piece, panel.outline, words, plan.thickness)
    points = _footprint(context, piece, plan.mark, plan.out)
    context.note(
        *(() if plan.upper else too_high(context, piece, points, plan.bottom, plan.bottom + plan.height)),
        *_over_trim(context, piece, plan),
    )
    return PieceReport(
        piece.name,
        "panel",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "front edge and bottom",
        f"plumb and square to wall `{wall}`, pushed back until it touches; drawn on its show face, "
        f"which looks to the {show} of someone facing the wall",
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        cautions=(
            *(HANGING if piece.bottom is not None else ()),
            *((TALLER_THAN_ROOM,) if plan.upper and plan.upper.finish == "scribed" else ()),
        ),
        confidence=context.confidence,
        limits=LIMITS,
        readings=context.readings_of(
            {wall},
            {piece.from_, *(one.name for one in plan.trims), *(() if piece.bottom else ("floor",))},
        ),
    )


def _panel_plan(context: Context, piece: Panel) -> PanelPlan:
    back = _back(context, piece)
    missing = need_place(context, piece, [piece.wall])
    missing += need_mark(context, piece, piece.wall, piece.from_, mm(piece.along))
    if missing:
        raise NotReady(*missing)
    out = context.signed_out(piece.wall, piece.from_, mm(piece.along))
    bottom = _bottom(context, piece, out)
    upper = _upper(context, piece)
    height = mm(piece.height) if upper is None else _up_to_ceiling(context, piece, out, bottom)
    top = bottom + height
    along = context.along(piece.wall, piece.from_, bottom) + out
    context.note(*need_upright_check(context, piece, piece.wall, along, bottom, top))
    return PanelPlan(
        back,
        piece.from_,
        out,
        piece.show,
        mm(piece.depth),
        mm(piece.thickness),
        bottom,
        height,
        mm(piece.clearance, CLEARANCE),
        _crossed(context, piece, along, (bottom, top)),
        context.confidence,
        upper,
        piece.bottom is None,
    )


def _crossed(
    context: Context, piece: Panel, along: float, heights: tuple[float, float]
) -> tuple[TrimPlan, ...]:
    """Return what its back is notched around: what runs along the wall, or stands where the panel does."""
    bottom, top = heights
    clear, thick = mm(piece.clearance, CLEARANCE), mm(piece.thickness)
    first, last = (along, along + thick) if piece.show == "left" else (along - thick, along)
    crossed = []
    for trim in trims_on(context, piece, {piece.wall}, NOTCHED, bottom, top):
        record = context.record(trim.name, Trim)
        if record is None:
            near, sign = context.along(piece.wall, trim.name, bottom), 1.0 if trim.toward == "right" else -1.0
            ends = near + sign * trim.start, near + sign * (trim.start + trim.width)
            if min(ends) - clear >= last or max(ends) + clear <= first:
                continue
            if trim.bottom <= bottom and trim.top >= top:
                out = context.printer.up(trim.projection + clear).text
                why = f"`{trim.name}` stands behind it over its whole height"
                raise NotReady(not_made(piece, why, f"make it {out} less deep, or set it beside that"))
        crossed.append(trim)
    return tuple(crossed)


def _back(context: Context, piece: Panel) -> EdgePlan:
    back = context.edge(piece, "back", piece.back)
    if back is None or back.wall != piece.wall:
        what = f"how the back edge of `{piece.name}` meets wall `{piece.wall}`"
        raise NotReady(not_said(piece, what, "say `back meets` that wall, scribed or net"))
    return back


def _upper(context: Context, piece: Panel) -> EdgePlan | None:
    """Return what is asked of an upper edge that meets the ceiling, or nothing for an open one."""
    edge = piece.upper
    if edge.meets is None or edge.finish == "open":
        return None
    if edge.meets != "ceiling" or edge.finish == "filler":
        why = f"its upper edge is to meet `{edge.meets}`, {edge.finish}, and only the ceiling is worked out"
        raise NotReady(
            not_made(piece, why, "say `upper meets ceiling` scribed, net or covered, or leave it out")
        )
    return EdgePlan("ceiling", edge.finish, gap_of(edge), mm(edge.saw, SAW))


def _up_to_ceiling(context: Context, piece: Panel, out: float, bottom: float) -> float:
    """Return how high the ceiling is over its bottom, and say where that is not about the height typed."""
    points = _footprint(context, piece, piece.from_, out)
    context.note(*need_ceiling(context, piece, points))
    ceiling = context.room.level("ceiling", points)
    height = mm(piece.height) if ceiling is None else float(ceiling.mean.max()) - bottom
    near = context.printer.near
    if height <= 0:
        size, room = near(mm(piece.height)).text, near(height).text
        raise NotReady(finding(500, [piece.id], [piece.name], piece=piece.name, size=size, room=room))
    if abs(height - mm(piece.height)) > OFF_TYPED:
        there, typed = near(height).text, near(mm(piece.height)).text
        what = f"`{piece.name}` meets the ceiling at {there}, and {typed} was typed"
        do = "look which is right: where an edge meets the ceiling, the ceiling counts"
        context.note(finding(602, [piece.id], [piece.name], what=what, do=do))
    return height


def _footprint(context: Context, piece: Panel, mark: str, out: float) -> list[tuple[float, float]]:
    """Return where its show face meets the floor, at the back and at the front, in the plan."""
    wall, room = piece.wall, context.room
    along = context.along(wall, mark, 0.0) + out
    (ux, uy), (nx, ny) = room.axes(wall)
    x, y = room.foot(wall)
    return [(x + along * ux + deep * nx, y + along * uy + deep * ny) for deep in (0.0, mm(piece.depth))]


def _bottom(context: Context, piece: Panel, out: float) -> float:
    """Return where its bottom is: as typed, or on the floor, the higher of its front and back."""
    if piece.bottom is not None:
        return mm(piece.bottom)
    points = _footprint(context, piece, piece.from_, out)
    context.note(*need_floor(context, piece, points))
    floor = context.room.level("floor", points)
    return 0.0 if floor is None else float(floor.mean.max())


def _over_trim(context: Context, piece: Panel, plan: PanelPlan) -> Iterator[Finding]:
    """Trim with an end that a panel's back meets instead of the wall."""
    wall = piece.wall
    for trim in trims_on(
        context, piece, {wall}, (*AT_FACE, "crown", "obstacle"), plan.bottom, plan.bottom + plan.height
    ):
        if context.record(trim.name, Trim) is None or trim in plan.trims:
            continue  # notched over, or clear of it
        show = context.along(wall, plan.mark, plan.bottom) + plan.out
        near = context.along(wall, trim.name, plan.bottom)
        reach = width_of(trim) if trim.toward == "right" else -width_of(trim)
        low, high = min(near, near + reach), max(near, near + reach)
        other = show + (plan.thickness if plan.show == "left" else -plan.thickness)
        if min(show, other) < high and max(show, other) > low:
            yield runs_into(context, piece, trim, f"move it clear of `{trim.name}`, or scribe it on site")

"""What is fixed to a cabinet and still meets the room, or is sized by the box: toe-kicks, lights, backs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from fitting.back import PLAY, BackPlan, fit_back
from fitting.cabinet import FittedCabinet
from fitting.light_strip import EXACT, LaidOut, LightPlan, lay_out, least_dark
from fitting.piece import NET_GAP, reaches
from fitting.stake import Outcome
from fitting.stations import heights
from fitting.toe_kick import FittedToeKick, KickRun, ToeKickPlan, fit_toe_kick, kick_runs
from survey.finding import Finding, finding
from survey.records import BoughtItem, BoxPiece, CaseBack, LightStrip, ToeKick
from survey.report.as_typed import as_typed, typed_sizes
from survey.report.boxes import behind_checked, cabinet_named, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_made, not_said
from survey.report.flat import Words, flat_report
from survey.report.run import stand_together
from survey.report.structs import NamedDimension, PartReport, PieceReport

KICK_LIMITS: Final = "that the blank covers the floor all along; not whether it can be brought in"
AT_LIGHTS: Final = (
    "Drive no screw or nail where the cables of the lights run. What is wired to the house is for a licensed "
    "electrician, by the local code; keep clear around drivers and transformers what their maker asks for."
)
FITS: Final = 0.5
"""mm by which a kick may be longer than its cabinet and its gaps before it is said: what paint gives way."""


# --- Toe-kicks


def toe_kick_report(context: Context, piece: ToeKick) -> PieceReport:
    """Tell a toe-kick: from its cabinet's bottom line down to the floor; of no cabinet, as typed."""
    if piece.of is None:
        return as_typed(context, piece)
    cabinet, box = cabinet_named(context, piece, piece.of)
    if cabinet.bottom is not None:
        why = f"`{cabinet.name}` hangs on the wall, with no floor that a kick could close"
        raise NotReady(not_made(piece, why, "leave it out, or leave the cabinet's `bottom` out", cabinet.id))
    if cabinet.kick_depth is None:
        what = f"how far behind the face of `{cabinet.name}` its toe-kick stands"
        raise NotReady(not_said(piece, what, "say the cabinet's `toe depth`", cabinet.id))
    context.note(*_too_long(context, piece, box, mm(cabinet.kick_depth)))
    front, *returns = (_fitted_run(context, piece, cabinet, box, run) for run in _runs(piece, cabinet, box))
    kick = front[1]
    if kick.plan.finish == "scribed":
        context.outcomes[piece.name] = Outcome(None, None, kick.covers, kick.covers)
    words = Words(
        {"left": "left", "right": "right", "front": "bottom", "back": "top"},
        {"front": "the floor"},
        "from the left end",
        "from the top",
        "width",
        "height",
    )
    flat = flat_report(context, piece, kick.outline, words, mm(piece.thickness))
    named = context.printer.named
    return PieceReport(
        piece.name,
        "toe kick",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "upper edge and left end",
        _kick_rule(piece, cabinet),
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        measures=(
            named("height at the left end", float(kick.heights[0])),
            named("height at the right end", float(kick.heights[-1])),
            named("least height", kick.least),
            named("greatest height", kick.greatest),
            named("behind the face", mm(cabinet.kick_depth)),
        ),
        confidence=context.confidence,
        limits=KICK_LIMITS,
        readings=context.readings_of(walls_of(box), rests_on(cabinet)),
        parts=tuple(_return(context, piece, run, fitted) for run, fitted in returns),
    )


def _too_long(context: Context, piece: ToeKick, box: FittedCabinet, recess: float) -> Iterator[Finding]:
    """Refuse a kick that midway under its cabinet runs into a wall beside it, at the floor."""
    over = (mm(piece.width) - box.plan.width) / 2
    gap = min((gap.at(box.plan.bottom, recess)[0] for gap in box.sides.values()), default=over)
    if over > gap + FITS:
        near = context.printer.near
        size, room = near(mm(piece.width)).text, near(box.plan.width + 2 * gap).text
        less = context.printer.up(2 * (over - gap)).text
        yield finding(501, [piece.id], [piece.name], piece=piece.name, size=size, room=room, less=less)


def _runs(piece: ToeKick, cabinet: BoxPiece, box: FittedCabinet) -> tuple[KickRun, ...]:
    """Return its boards; the front one as long as typed, midway under its cabinet.

    On legs or a loose base a free side has a return; where the box's own sides go down to the floor, none.
    """
    open_under = cabinet.base != "box"
    left, right = (0.0 if open_under and side not in box.sides else None for side in ("left", "right"))
    recess, thickness = mm(cabinet.kick_depth), mm(piece.thickness)
    front, *returns = kick_runs(box.plan.width, box.plan.depth, recess, thickness, (left, right))
    over = (mm(piece.width) - box.plan.width) / 2
    (x1, y1), (x2, y2) = front.start, front.end
    return KickRun(front.name, (x1 - over, y1), (x2 + over, y2)), *returns


def _fitted_run(
    context: Context, piece: ToeKick, cabinet: BoxPiece, box: FittedCabinet, run: KickRun
) -> tuple[KickRun, FittedToeKick]:
    def in_room(x: float, y: float) -> tuple[float, float]:
        return box.placed.frame.to_room(box.left + x, y)

    stands = tuple(stand_together(context, cabinet, box))
    plan = ToeKickPlan(
        in_room(*run.start),
        in_room(*run.end),
        mm(cabinet.kick_height, mm(piece.height)),
        stands,
        mm(piece.thickness),
        "scribed" if piece.floor == "scribed" else "covered",
        0.0 if piece.floor == "scribed" else NET_GAP,
        confidence=context.confidence,
    )
    return run, fit_toe_kick(context.room, plan)


def _kick_rule(piece: ToeKick, cabinet: BoxPiece) -> str:
    lower = "scribed to the floor" if piece.floor == "scribed" else "straight, left open over the floor"
    return (
        f"its upper edge at the bottom line of `{cabinet.name}`, which stands level on the floor's highest "
        f"point; its lower edge {lower}; drawn on its face, midway under the cabinet"
    )


def _return(context: Context, piece: ToeKick, run: KickRun, kick: FittedToeKick) -> PartReport:
    near, up = context.printer.near, context.printer.up
    thick = NamedDimension("thickness", near(mm(piece.thickness)))
    long = NamedDimension("length", near(kick.plan.length))
    edge = kick.outline.edges["front"]
    ends = (float(kick.heights[0]), float(kick.heights[-1]))
    at_back, at_front = ends if run.name == "left return" else ends[::-1]
    note = f"{near(at_front).text} high at its front end, {near(at_back).text} at the back"
    return PartReport(
        run.name,
        1,
        (long, NamedDimension("height", near(kick.greatest)), thick),
        (long, NamedDimension("height", up(edge.blank)), thick),
        piece.material,
        "along its length",
        f"{note}; its front end butts against the front board from behind",
    )


# --- Light strips


def light_strip_report(context: Context, piece: LightStrip) -> PieceReport:
    """Tell where light strips go under their cabinet; of none, as typed."""
    if piece.of is None:
        return as_typed(context, piece)
    cabinet, box = cabinet_named(context, piece, piece.of)
    row = [one for one in context.survey.of(LightStrip) if one.of == piece.of]
    sizes = typed_sizes(context, piece)
    laid, cut = _laid_out(context, piece, row, box.plan.width)
    if cut is not None:
        sizes = (NamedDimension("width", context.printer.down(cut)), *sizes[1:])
    first = sum(one.quantity for one in row[: row.index(piece)])
    mine = laid.strips[first : first + piece.quantity]
    named = context.printer.named
    rule = f"in a row, joined, midway under `{cabinet.name}`, from the outside of its left side"
    return PieceReport(
        piece.name,
        "light strip",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "its left end",
        rule if cut is None else f"{rule}; cut where its maker lets it be cut",
        finished=sizes,
        blank=sizes,
        measures=(
            *(named("left end from the cabinet's left side", start) for start, _ in mine),
            named("dark at the left", laid.left),
            named("dark at the right", laid.right),
            *_spread_evenly(context, box.plan.width, laid),
            *_other_lengths(context, piece, box.plan.width, laid),
        ),
        cautions=(AT_LIGHTS,),
        readings=context.readings_of(walls_of(box), rests_on(cabinet)),
    )


def _laid_out(
    context: Context, piece: LightStrip, row: list[LightStrip], space: float
) -> tuple[LaidOut, float | None]:
    """Lay out all strips of a cabinet; one that may be cut alone gives way: then its length is told too."""
    lengths = [mm(one.width) for one in row for _ in range(one.quantity)]
    over = sum(lengths) - space
    if over <= EXACT:
        return lay_out(LightPlan(space), lengths), None
    if piece.may_be_cut and piece.quantity == len(lengths):
        each = space / piece.quantity
        return lay_out(LightPlan(space), [each] * piece.quantity), each
    printer = context.printer
    together = "it is" if len(lengths) == 1 else f"the {len(lengths)} strips of `{piece.of}` are together"
    why = (
        f"{together} {printer.near(sum(lengths)).text} long, and the cabinet {printer.near(space).text} wide"
    )
    do = f"take strips {printer.up(over).text} shorter in all, or some that may be cut"
    raise NotReady(not_made(piece, why, do, *(one.id for one in row if one is not piece)))


def _spread_evenly(context: Context, space: float, laid: LaidOut) -> Iterator[NamedDimension]:
    """Tell the dark spaces that there would be if they were all alike, where there are several strips."""
    lengths = [end - start for start, end in laid.strips]
    if len(lengths) > 1:
        even = lay_out(LightPlan(space, spread="even"), lengths)
        yield context.printer.named("or spread evenly: each dark space", even.left)
        for number, (start, _) in enumerate(even.strips, 1):
            yield context.printer.named(f"or spread evenly: left end of strip {number}", start)


def _other_lengths(
    context: Context, piece: LightStrip, space: float, laid: LaidOut
) -> Iterator[NamedDimension]:
    """Tell which of the lengths that are bought for it would leave less dark."""
    items = [one for one in context.survey.of(BoughtItem) if one.of == piece.name and one.width is not None]
    if not items:
        return
    best = least_dark(LightPlan(space), [mm(one.width) for one in items])
    if sum(best) > laid.lit + EXACT:
        says = " + ".join(context.printer.near(one).text for one in best)
        yield context.printer.named(f"dark with {says} instead", space - sum(best))


# --- Backs


def case_back_report(context: Context, piece: CaseBack) -> PieceReport:
    """Tell a cabinet's back by what it sits in; of no cabinet, as typed."""
    if piece.of is None:
        return as_typed(context, piece)
    cabinet, box = cabinet_named(context, piece, piece.of)
    wanted = [
        (piece.side_thickness is None, f"how thick the sides of `{cabinet.name}` are", "say `sides`"),
        (
            piece.groove is None and piece.sits != "on the back",
            f"how deep the {piece.sits.split()[-1]} for `{piece.name}` is",
            "say `groove`",
        ),
    ]
    missing = [not_said(piece, what, do) for lacks, what, do in wanted if lacks]
    if missing:
        raise NotReady(*missing)
    groove = 0.0 if piece.sits == "on the back" else mm(piece.groove)
    under = mm(cabinet.kick_height) if cabinet.base != "box" else 0.0
    back = fit_back(
        BackPlan(
            box.plan.width,
            mm(cabinet.height) - under,
            mm(piece.side_thickness),
            mm(piece.thickness),
            piece.sits,
            groove,
        )
    )
    near, down = context.printer.near, context.printer.down
    sizes = (
        NamedDimension("width", down(back.width)),
        NamedDimension("height", down(back.height)),
        NamedDimension("thickness", near(mm(piece.thickness))),
    )
    high = "its whole height" if not under else "its height over its legs or base"
    play = "" if piece.sits == "on the back" else f", {near(PLAY).text} of play at each edge"
    return PieceReport(
        piece.name,
        "case back",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "its own edges: cut square",
        f"{piece.sits} of `{cabinet.name}` over {high}{play}; all around as thick as its sides",
        finished=sizes,
        blank=sizes,
        measures=tuple(_behind(context, cabinet, box, back.inside)),
        readings=context.readings_of(walls_of(box), rests_on(cabinet)),
    )


def _behind(
    context: Context, cabinet: BoxPiece, box: FittedCabinet, inside: tuple[float, float]
) -> Iterator[NamedDimension]:
    named = context.printer.named
    yield named("inside width of the box", inside[0])
    yield named("inside height of the box", inside[1])
    if cabinet.back == "set in" and behind_checked(context, box):
        yield named("set in at the least, so that it clears the wall", _hump(box))


def _hump(box: FittedCabinet) -> float:
    """Return how far the wall stands out before the line through where the box's two sides touch it (mm)."""
    plan, across = box.plan, box.left + box.back_at
    ups = heights(plan.bottom, plan.top)
    places = [(float(x), plan.depth, float(up)) for x in across for up in ups]
    gaps = box.placed.expect(reaches("back", plan.wall, places)).reshape(across.size, ups.size).min(axis=1)
    line = np.interp(across, across[[0, -1]], gaps[[0, -1]])
    return float((line - gaps).max())

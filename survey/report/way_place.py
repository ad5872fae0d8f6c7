"""The last step of the way in: does a piece stand up at its place, and go in between the walls there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from fitting.cabinet import FittedCabinet
from fitting.getting_in.passing import FloatArray, Passing, best, rectangle
from fitting.getting_in.place_in import straight_in
from fitting.getting_in.tilt import cabinet_profile, drop_in, longest_drop_in, tilt_up
from survey.finding import finding
from survey.records import BoxPiece, Piece, TallCabinet, Top, Wall
from survey.report.carried import Carried
from survey.report.context import Context
from survey.report.place_room import Mouth, mouth, overhead
from survey.report.structs import PieceReport, WayStepReport
from survey.report.way import SIZE_SD, Judged, first_that_goes, helps_of, step_report, with_doubt

BEHIND: Final = 1000.0
"""mm; how thick side walls are drawn."""


def at_the_place(
    context: Context, piece: Piece, told: PieceReport, states: Sequence[Carried]
) -> Iterator[WayStepReport]:
    """Tell how a piece gets into its place: stood up under the ceiling, in between the walls."""
    if isinstance(piece, BoxPiece):
        known = context.cabinets.get(piece.name)
        if known is not None:
            if piece.bottom is None:
                yield from _stood_up(context, piece, states, known[0])
            yield from _box_between(context, piece, known[0])
    elif isinstance(piece, Top):
        yield from _top_between(context, piece, told, states[0])


# --- Under the ceiling


def _stood_up(
    context: Context, piece: BoxPiece, states: Sequence[Carried], box: FittedCabinet
) -> Iterator[WayStepReport]:
    """A cabinet that lies on its back or front is stood up before its place, where the floor is as there."""
    corners = [box.placed.frame.to_room(x, y) for x in (box.left, box.right) for y in (0.0, box.plan.depth)]
    room = overhead(context, corners)
    if room is None:
        if isinstance(piece, TallCabinet):
            context.note(finding(577, [piece.id], [piece.name], piece=piece.name))
        return
    height, sd = room

    def judge(state: Carried) -> Judged:
        profile = cabinet_profile(state.height, state.depth, (state.kick_height, state.kick_depth))
        over = best([tilt_up(profile, height, "back"), tilt_up(profile, height, "front")])
        return with_doubt(context, over, math.hypot(sd, SIZE_SD))

    state, answer = first_that_goes(states, judge)
    helps = () if answer.verdict == "goes" else tuple(helps_of(context, state, judge))
    yield step_report(context, piece, "its place", "up at", state, answer, helps, [])


# --- Between walls


def _box_between(context: Context, piece: BoxPiece, box: FittedCabinet) -> Iterator[WayStepReport]:
    if len(box.sides) < 2:
        return
    plan, sides = box.plan, (box.sides["left"].wall, box.sides["right"].wall)
    middle = (box.left + box.right) / 2
    between = mouth(context, piece, box.placed, sides, middle, (plan.bottom, plan.top))
    width, depth = plan.width, plan.depth

    def judge(state: Carried) -> Judged:
        ring = rectangle(middle - state.width / 2, 0.0, state.width, depth)
        return with_doubt(context, _straight(ring, between), _sd(between))

    bare = Carried(width, depth, plan.top - plan.bottom)
    state, answer = first_that_goes([bare], judge)
    helps = () if answer.verdict == "goes" else (*_casings(between, width), *_narrower(context, answer))
    trims = _trims(context, between)
    yield step_report(context, piece, "its place", "straight into", state, answer, helps, trims)


def _top_between(context: Context, piece: Top, told: PieceReport, state: Carried) -> Iterator[WayStepReport]:
    """A top between two walls slides in from the front; where it does not, it is let down from above."""
    stake = context.stakes.get(piece.name)
    ends = (piece.left.meets, piece.right.meets)
    sides = tuple(name for name in ends if name is not None and context.record(name, Wall) is not None)
    if stake is None or len(sides) < 2 or not told.outline:
        return
    placed, ring = stake.placed, np.array(told.outline)
    upper = max(one.up for line in stake.lines.values() for one in line.questions)
    middle = float(np.mean([one.x for one in placed.back]))
    between = mouth(context, piece, placed, (sides[0], sides[1]), middle, (upper, upper))
    # Its back lies where the back line is; sideways it may go over, so only its shape counts.
    over = middle - (ring[:, 0].min() + ring[:, 0].max()) / 2
    ring = ring + np.array([over, placed.depth - ring[:, 1].max()])
    slid = with_doubt(context, _straight(ring, between), _sd(between))
    answer, past = slid, "straight into"
    helps: tuple[str, ...] = ()
    if slid.verdict != "goes":
        inside = np.flatnonzero(between.deep >= float(ring[:, 1].min()))
        least = int(inside[np.argmin(between.width.mean[inside])])
        gap, sd = float(between.width.mean[least]), float(between.width.sd[least])
        length = float(np.ptp(ring[:, 0]))
        down = with_doubt(context, drop_in(length, state.height, gap), math.hypot(sd, SIZE_SD))
        answer, past = down, "down into"
        if down.verdict != "goes":
            helps = (*_casings(between, length), *_let_down(context, state.height, gap, down))
    yield step_report(context, piece, "its place", past, state, answer, helps, _trims(context, between))


def _let_down(context: Context, thickness: float, gap: float, down: Judged) -> Iterator[str]:
    """Say what would help a top that does not go down between its walls."""
    lacking = down.reach - (down.margin or 0.0)
    longest = longest_drop_in(gap - down.reach, thickness)
    yield f"let one end into the board, {context.printer.up(lacking).text} deep, and slide it back"
    yield f"make it in two parts, neither longer than {context.printer.down(longest).text}"


def _narrower(context: Context, answer: Judged) -> Iterator[str]:
    if answer.margin is not None:
        yield f"take {context.printer.up(answer.reach - answer.margin).text} off its width"


def _straight(ring: FloatArray, between: Mouth) -> Passing:
    """Slide a ring straight in from the front, between both walls as they stand along its way."""
    sides = []
    for edge, out in ((between.left, -BEHIND), (between.right, BEHIND)):
        face = np.column_stack([edge, between.deep])
        behind = np.column_stack([edge + out, between.deep])[::-1]
        sides.append(np.vstack([face, behind]))
    travel = float(ring[:, 1].max() - between.deep[0])
    return straight_in(ring, tuple(sides), travel)


def _sd(between: Mouth) -> float:
    """Return the sd of the room at the narrowest place, the piece's own width with it."""
    return math.hypot(float(between.width.sd[between.narrowest]), SIZE_SD)


def _casings(between: Mouth, width: float) -> Iterator[str]:
    """Name trim that narrows the way where the walls alone would not."""
    for name in dict.fromkeys(one for one in between.narrowed_by if one):
        beside = [at for at, one in enumerate(between.narrowed_by) if one == name]
        if float(between.width.mean[beside].min()) <= width:
            yield f"take `{name}` off"


def _trims(context: Context, between: Mouth) -> list[str]:
    names = dict.fromkeys(one for one in between.narrowed_by if one)
    return [record for name in names for record in context.ids(name)]

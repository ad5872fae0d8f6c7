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
from survey.records import BoxPiece, Piece, TallCabinet, Top, Wall
from survey.report.carried import Carried
from survey.report.context import Context
from survey.report.flat import ends_at
from survey.report.place_room import Mouth, mouth, overhead
from survey.report.structs import PieceReport, WayStepReport
from survey.report.way import SIZE_SD, Judged, first_that_goes, helps_of, step_report, with_doubt

BEHIND: Final = 1000.0
"""mm; how thick side walls are drawn."""
ASKEW: Final = "try with a strip of its width whether it swings in askew: that is not worked out"
HARDLY: Final = 0.5
"""mm that a way in may be tighter than the place itself and not be worth a word: what paint gives way."""
BACK_LEFT_OUT: Final = 10.0
"""mm at the very back, where an outline ends in the back's own line."""


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
        return
    height, sd = room

    def judge(state: Carried) -> Judged:
        profile = cabinet_profile(state.height, state.depth, (state.kick_height, state.kick_depth))
        over = best([tilt_up(profile, height, "back"), tilt_up(profile, height, "front")])
        return with_doubt(context, over, math.hypot(sd, SIZE_SD))

    state, answer = first_that_goes(states, judge)
    if answer.verdict == "goes" and not isinstance(piece, TallCabinet):
        return  # what is low is carried as it stands
    helps = () if answer.verdict == "goes" else tuple(helps_of(context, state, judge))
    yield step_report(context, piece, "its place", "up at", state, answer, helps, [])


# --- Between walls


def _box_between(context: Context, piece: BoxPiece, box: FittedCabinet) -> Iterator[WayStepReport]:
    if len(box.sides) < 2:
        return
    plan, sides = box.plan, (box.sides["left"].wall, box.sides["right"].wall)
    middle = (box.left + box.right) / 2
    between = mouth(context, piece, box.placed, sides, middle, (plan.bottom, plan.top))
    ring = rectangle(box.left, 0.0, plan.width, plan.depth)
    answer = _slid(context, ring, between)
    if answer is None:
        return
    helps: tuple[str, ...] = ()
    if answer.verdict != "goes":
        helps = (*_casings(between, plan.width), *_narrower(context, answer), ASKEW)
    state = Carried(plan.width, plan.depth, plan.top - plan.bottom)
    records = _trims(context, between)
    yield step_report(context, piece, "its place", "straight into", state, answer, helps, records)


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
    answer, past = _slid(context, ring, between), "straight into"
    helps: tuple[str, ...] = ()
    if answer is None or answer.verdict != "goes":
        length, gap, answer = _let_down(context, ring, state.height, between)
        past = "down into"
        if answer is not None and answer.verdict != "goes":
            helps = (*_casings(between, length), *_down_helps(context, state.height, gap, answer))
    if answer is not None:
        yield step_report(context, piece, "its place", past, state, answer, helps, _trims(context, between))


def _slid(context: Context, ring: FloatArray, between: Mouth) -> Judged | None:
    """Slide a piece straight in from the front, between both walls as they stand along its way."""
    travel = max(1.0, float(ring[:, 1].max() - between.deep[0]))
    way = straight_in(ring, _sides(between), travel)
    return _beyond_fit(context, way, _room_there(ring, between), float(between.width.sd[between.narrowest]))


def _room_there(ring: FloatArray, between: Mouth) -> float:
    """Return the room that a piece has across where it lies, both sides together (mm)."""
    low, high = float(ring[:, 1].min()), float(ring[:, 1].max())
    points = [(x, y) for x, y in ring.tolist()]
    inside = np.flatnonzero((between.deep > low) & (between.deep < high - BACK_LEFT_OUT))
    ends = np.array([ends_at(points, float(between.deep[at])) for at in inside])
    at_left, at_right = ends[:, 0] - between.left[inside], between.right[inside] - ends[:, 1]
    return float(at_left.min() + at_right.min())


def _let_down(
    context: Context, ring: FloatArray, thickness: float, between: Mouth
) -> tuple[float, float, Judged | None]:
    """Let a top down: it is judged where it is tightest over its depth; its length and the gap there."""
    low, high = float(ring[:, 1].min()), float(ring[:, 1].max())
    least: tuple[float, float, int] = (math.inf, 0.0, 0)
    for at in np.flatnonzero((between.deep > low) & (between.deep < high - BACK_LEFT_OUT)):
        left, right = ends_at([(x, y) for x, y in ring.tolist()], float(between.deep[at]))
        gap = float(between.width.mean[at])
        least = min(least, (gap - math.hypot(right - left, thickness), right - left, int(at)))
    _, length, there = least
    gap, sd = float(between.width.mean[there]), float(between.width.sd[there])
    return length, gap, _beyond_fit(context, drop_in(length, thickness, gap), gap - length, sd)


def _beyond_fit(context: Context, way: Passing, there: float, sd: float) -> Judged | None:
    """Judge what the way in asks beyond lying in place, `there` being the room (mm) that is left then.

    How likely a piece fits its place is told as its chance, free to shift and turn; what is hardly tighter on
    its way goes in as it fits, and where it does not fit, that is said elsewhere.
    """
    if way.margin is None or there - way.margin > HARDLY:
        return with_doubt(context, way, math.hypot(sd, SIZE_SD))
    return Judged("goes", way, 0.0) if way.margin > 0.0 else None


def _down_helps(context: Context, thickness: float, gap: float, down: Judged) -> Iterator[str]:
    """Say what would help a top that does not go down between its walls."""
    lacking = down.reach - (down.margin or 0.0)
    longest = longest_drop_in(gap - down.reach, thickness)
    yield f"let one end into the board, {context.printer.up(lacking).text} deep, and slide it back"
    yield f"make it in two parts, neither longer than {context.printer.down(longest).text}"


def _narrower(context: Context, answer: Judged) -> Iterator[str]:
    if answer.margin is not None:
        yield f"take {context.printer.up(answer.reach - answer.margin).text} off its width"


def _sides(between: Mouth) -> tuple[FloatArray, FloatArray]:
    """Return rings of what stands at the left and at the right along the way, to the back."""

    def ring(edge: FloatArray, out: float) -> FloatArray:
        face = np.column_stack([edge, between.deep])
        behind = np.array([(edge.min() + out, between.deep[-1]), (edge.min() + out, between.deep[0])])
        return np.vstack([face, behind])

    return ring(between.left, -BEHIND), ring(between.right, 2 * BEHIND)


def _casings(between: Mouth, width: float) -> Iterator[str]:
    """Name trim that narrows the way where the walls alone would not."""
    for name in dict.fromkeys(one for one in between.narrowed_by if one):
        beside = [at for at, one in enumerate(between.narrowed_by) if one == name]
        if float(between.width.mean[beside].min()) <= width:
            yield f"take `{name}` off"


def _trims(context: Context, between: Mouth) -> list[str]:
    names = dict.fromkeys(one for one in between.narrowed_by if one)
    return [record for name in names for record in context.ids(name)]

"""The way from the van to the place: does each piece get past each thing, and into its place."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Final

from fitting.getting_in.passage import Box, round_corner, through_doorway, up_stairs
from fitting.getting_in.passing import Axis, FloatArray, Passing, Verdict
from fitting.getting_in.spare import spare
from survey.finding import finding
from survey.records import Piece, Way
from survey.report.carried import Carried
from survey.report.context import Context, mm
from survey.report.structs import WayPose, WayStepReport

SIZE_SD: Final = 0.5
"""mm; of a size that was typed once, of a piece or on its way (assumption)."""
SLOPE_SD: Final = math.radians(0.5)
"""Of a stairs' slope (assumption)."""
SLOPE_MAY_BE_OFF: Final = 3.0
"""Standard deviations."""
WIDE: Final = 20_000.0
"""mm across a room whose ceiling alone is in the way: more than any piece is long."""
QUARTER_DEG: Final = 90
WORTH_SAYING: Final = 0.25
"""Of a size: taking off more than this makes another piece of it (assumption)."""
IN_PARTS: Final = 0.5
"""Of a length: two parts take off no more from the longer one."""

Sizes = tuple[float, ...]
Past = Callable[[Sizes], Passing]
"""Whether a box gets past, from its width, height and depth and then the numbers of what is on the way."""


@dataclass(frozen=True)
class Thing:
    """A kind of thing on the way: its preposition, the numbers that it needs, and how it is passed.

    `unknown` gives the sd of the margin (mm), at the most: what its sizes do to it, each known for itself. An
    opening's margin has two of them in it, a corner's four; the squares of their slopes add up to 2, and to
    no more than 2.25. What a slope does to it is looked up on both sides of it.
    """

    past: str
    needs: tuple[str, ...]
    passes: Past
    unknown: Callable[[Sizes], float]


def _box(sizes: Sizes) -> Box:
    return Box(*sizes[:3])


def _opening(sizes: Sizes) -> float:
    return math.sqrt(2.0) * SIZE_SD


def _corner(sizes: Sizes) -> float:
    return 1.5 * SIZE_SD


def _stairs(sizes: Sizes) -> float:
    width, headroom, slope = sizes[3:6]

    def room(more: float) -> float:
        return up_stairs(_box(sizes), width, headroom, max(0.0, slope + more)).margin or 0.0

    # As far off as a slope may well be: nearer by, another size may be what binds.
    felt = max(abs(room(way * SLOPE_MAY_BE_OFF * SLOPE_SD) - room(0.0)) for way in (-1.0, 1.0))
    return math.hypot(_opening(sizes), felt / SLOPE_MAY_BE_OFF)


THINGS: Final[dict[str, Thing]] = {
    "doorway": Thing(
        "through", ("width", "height"), lambda s: through_doorway(_box(s), s[3], s[4]), _opening
    ),
    "passage": Thing("along", ("width", "height"), lambda s: through_doorway(_box(s), s[3], s[4]), _opening),
    "corner": Thing(
        "round", ("width", "next_width", "height"), lambda s: round_corner(_box(s), s[3], s[4], s[5]), _corner
    ),
    "stairs": Thing(
        "on", ("width", "height", "slope"), lambda s: up_stairs(_box(s), s[3], s[4], s[5]), _stairs
    ),
    "ceiling": Thing("under", ("height",), lambda s: through_doorway(_box(s), WIDE, s[3]), _opening),
}
LANDING: Final = Thing("on", ("width", "length"), lambda s: round_corner(_box(s), s[3], s[4]), _corner)
"""A landing is a square corner, from the flight into its length; overhead nothing is known of it."""


@dataclass(frozen=True, eq=False)
class Judged:
    """An answer in view of what is unknown: `reach` is by how much its margin may be off, mm."""

    verdict: Verdict
    passing: Passing
    reach: float

    @property
    def margin(self) -> float | None:
        """Room left at the tightest place, mm; nothing where no number is known."""
        return self.passing.margin


def ways_of(context: Context) -> list[Way]:
    """Return what is on the way, in its order."""
    return sorted(context.survey.of(Way), key=lambda one: (one.step, one.name))


def on_the_way(context: Context, piece: Piece, states: Sequence[Carried]) -> Iterator[WayStepReport]:
    """Tell how a piece gets past each thing on the way; what lacks a number is a finding."""
    for way in ways_of(context):
        things = [(way.name, THINGS[way.type])]
        if way.type == "stairs" and way.length is not None:
            things.append((f"the landing of {way.name}", LANDING))
        for name, thing in things:
            missing = [one for one in thing.needs if getattr(way, one) is None]
            if missing:
                what = " and ".join(one.replace("next_width", "next width") for one in missing)
                context.note(finding(572, [way.id], [piece.name], name=way.name, what=what))
            else:
                yield _told(context, piece, way, name, thing, states)


def _told(
    context: Context, piece: Piece, way: Way, name: str, thing: Thing, states: Sequence[Carried]
) -> WayStepReport:
    numbers = tuple(_number(way, one) for one in thing.needs)

    def judge(state: Carried) -> Judged:
        sizes = (state.width, state.height, state.depth, *numbers)
        return with_doubt(context, thing.passes(sizes), thing.unknown(sizes))

    state, answer = first_that_goes(states, judge)
    helps = () if answer.verdict == "goes" else tuple(helps_of(context, state, judge))
    return step_report(context, piece, name, thing.past, state, answer, helps, [way.id])


def _number(way: Way, name: str) -> float:
    if name == "slope":
        return math.radians(float(way.slope.angle.degrees or 0)) if way.slope is not None else 0.0
    return mm(getattr(way, name))


# --- In view of what is unknown


def with_doubt(context: Context, passing: Passing, sd: float) -> Judged:
    """Return an answer that is only given where its margin is beyond what is unknown (job's confidence)."""
    reach = NormalDist().inv_cdf(context.confidence) * sd
    verdict = passing.verdict
    if passing.margin is not None and abs(passing.margin) <= reach:
        verdict = "too tight to call"
    return Judged(verdict, passing, reach)


def first_that_goes(states: Sequence[Carried], judge: Callable[[Carried], Judged]) -> tuple[Carried, Judged]:
    """Return the first state in which a piece goes; where none does, the one with most room."""
    answers = []
    for state in states:
        answer = judge(state)
        if answer.verdict == "goes":
            return state, answer
        answers.append((state, answer))
    return max(answers, key=lambda one: -math.inf if one[1].margin is None else one[1].margin)


# --- In words


def step_report(
    context: Context,
    piece: Piece,
    name: str,
    past: str,
    state: Carried,
    answer: Judged,
    helps: tuple[str, ...],
    records: Sequence[str],
) -> WayStepReport:
    """Tell one thing to get past; where it does not go, or nobody can say, that is a finding too."""
    passing = answer.passing
    how = ", ".join(part for part in (how_carried(state, passing), state.without) if part)
    where = f"{past} {name if ' ' in name else f'`{name}`'}"
    room, carried = _room(context, answer), f", {how}" if how else ""
    known = context.printer.up(answer.reach).text
    says = {
        "goes": f"goes {where}{carried}: {room}",
        "does not go": f"does not go {where}{carried}: {room}",
        "too tight to call": f"too tight to call {where}{carried}: {room}, and that is known to {known}",
    }[answer.verdict]
    if answer.verdict != "goes":
        number = 570 if answer.verdict == "does not go" else 571
        do = " or ".join(helps) or "find another way in, or make it in parts"
        words = {"piece": piece.name, "where": where, "room": room, "known": known, "do": do}
        context.note(finding(number, [piece.id, *records], [piece.name], **words))
    return WayStepReport(
        name,
        answer.verdict,
        says,
        None if answer.margin is None else context.printer.down(answer.margin),
        how,
        passing.view,
        _ring(passing.shape),
        tuple(
            WayPose(round(one.x, 3), round(one.y, 3), round(math.degrees(one.turn), 4))
            for one in passing.poses
        ),
        tuple(_ring(one) for one in passing.barriers),
        helps,
    )


def _room(context: Context, answer: Judged) -> str:
    """Say how much room is left at the tightest place, never more, or how much is lacking, never less."""
    if answer.margin is None:
        return "how much room is left is not known"
    if answer.margin >= 0.0:
        return f"{context.printer.down(answer.margin).text} to spare"
    return f"{context.printer.up(-answer.margin).text} lacking"


def how_carried(state: Carried, passing: Passing) -> str:
    """Say how a piece is carried: which of its sizes is plumb, and by how much it leans."""
    carry = passing.carry
    if carry is None:
        return ""
    up, lean = carry.up, abs(round(math.degrees(carry.lean)))
    sizes: dict[Axis, float] = {"width": state.width, "height": state.height, "depth": state.depth}
    if lean == QUARTER_DEG:
        (up,), lean = sizes.keys() - {carry.up, carry.ahead}, 0
    if state.is_flat:
        order = sorted(sizes, key=lambda one: sizes[one])
        words = dict(zip(order, ("flat", "on edge", "on end"), strict=True))[up]
    else:
        words = {"height": "upright", "depth": "on its back", "width": "on its side"}[up]
    if carry.raised:
        words = f"{words}, its leading end raised by {round(math.degrees(carry.raised))}°"
    return f"{words}, leaned over by {lean}°" if lean else words


def helps_of(context: Context, state: Carried, judge: Callable[[Carried], Judged]) -> Iterator[str]:
    """Say what would help: a loose base, then of each size the least to take off, least first."""
    if state.kick_height > 0.0:
        loose = replace(state, height=state.height - state.kick_height, kick_height=0.0, kick_depth=0.0)
        if judge(loose).verdict == "goes":
            yield f"make its base loose, {context.printer.near(state.kick_height).text} high"
    sizes: dict[Axis, float] = {"width": state.width, "height": state.height, "depth": state.depth}
    longest, thinnest = max(sizes, key=sizes.__getitem__), min(sizes, key=sizes.__getitem__)
    found = []
    for size, whole in sizes.items():
        in_two = state.is_flat and size == longest
        off = _least_off(state, size, whole, whole * (IN_PARTS if in_two else WORTH_SAYING), judge)
        if off is None:
            continue
        if in_two:
            words = f"make it in two parts, neither longer than {context.printer.down(whole - off).text}"
        else:
            name = "thickness" if state.is_flat and size == thinnest else size
            words = f"take {context.printer.up(off).text} off its {name}"
        found.append((off, words))
    yield from (words for _, words in sorted(found))


def _least_off(
    state: Carried, size: Axis, whole: float, most: float, judge: Callable[[Carried], Judged]
) -> float | None:
    """Return how much less of a size lets it go (mm, to 1/2 mm); nothing where that is more than `most`."""

    def goes(more: float) -> Passing:
        answer = judge(_sized(state, size, whole + more))
        return replace(answer.passing, verdict=answer.verdict)

    off = spare(goes, most)
    return None if off is None else -off


def _sized(state: Carried, size: str, length: float) -> Carried:
    """Return a state with one of its sizes changed (mm)."""
    sizes = {"width": state.width, "height": state.height, "depth": state.depth, size: length}
    return replace(state, width=sizes["width"], height=sizes["height"], depth=sizes["depth"])


def _ring(points: FloatArray) -> tuple[tuple[float, float], ...]:
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in points)

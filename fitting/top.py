"""A top: level, its ends and back to the walls, notched around what stands in its way.

It is looked at on its upper face, where its edges are seen. Its front runs with the cabinet it lies on,
or with its own back line; its datum is the front edge and an open end, or, between two walls, the front
edge and a centre line scratched midway. A corner that exists only after scribing is never a datum.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.aim import LIMITS, AimedSide, Clash, SidePin, What, best_place
from fitting.allowance import share
from fitting.cabinet import FittedCabinet
from fitting.edge import MeetingSide, StraightSide, refuse_gap
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST, Side
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import (
    CLEARANCE,
    EdgePlan,
    TrimPlan,
    meeting,
    of_edges,
    part_of,
    reaches,
    refuse_size,
    refuse_trims,
    refuse_wall,
    trim_obstacle,
)
from fitting.placement import Against, At, Beside, Between, Clear, Placed, Question, Reach, place
from fitting.site import KnownRoom
from fitting.stake import Line, Stake, line_of
from fitting.stations import CORNER_SPACING, stations

FloatArray = NDArray[np.float64]
Datum = Literal["left end", "right end", "centre line"]

PAST_CORNER = 40.0
"""mm by which a wall is looked at past the corner, where the other wall still has to be met."""


@dataclass(frozen=True)
class TopPlan:
    """A top; sizes in mm. An edge that is nothing is open, cut straight.

    `depth` is from the front edge to the back line; `width` from end to end, where one of them is open.
    On a cabinet `overhang` is what its front stands out past the cabinet's, `end_overhang` past an open
    end, and depth and width may be left out. `aim` turns and moves it so that little is scribed, `pins` say
    what its gaps are at their narrowest; an end at a wall has its own line only where no cabinet is under it.
    """

    wall: str
    upper: float
    thickness: float
    left: EdgePlan | None = None
    right: EdgePlan | None = None
    back: EdgePlan | None = None
    depth: float | None = None
    width: float | None = None
    overhang: float = 0.0
    end_overhang: float = 0.0
    mark: str | None = None
    out: float = 0.0
    clearance: float = CLEARANCE
    trims: tuple[TrimPlan, ...] = ()
    confidence: float = 0.99
    aim: What = "stay"
    pins: tuple[SidePin, ...] = ()

    @property
    def edges(self) -> dict[Side, EdgePlan]:
        """The edges that meet a wall."""
        named: dict[Side, EdgePlan | None] = {"left": self.left, "right": self.right, "back": self.back}
        return {name: edge for name, edge in named.items() if edge is not None}

    @property
    def datum(self) -> Datum:
        """Where widths are measured from."""
        if self.right is None:
            return "right end" if self.left is not None else "left end"
        return "left end" if self.left is None else "centre line"


@dataclass(frozen=True, eq=False)
class FittedTop:
    """A top in its place; `outline` is in its own frame: x right, y to the back, from its datum."""

    plan: TopPlan
    placed: Placed
    outline: FittedOutline
    datum: tuple[float, float]  # of the outline's origin, in the placed frame
    stake: Stake | None  # nothing where no edge meets a wall
    clash: Clash | None = None  # pins that cannot be kept; then it lies where it is seated


def fit_top(room: KnownRoom, plan: TopPlan, on: FittedCabinet | None = None) -> FittedTop:
    """Give a top its outline, blank, allowances and notches.

    Raises
    ------
    BadInput
        A top without the size that its open ends need.

    Examples
    --------
    In the left corner of a square room, 900 x 560, scribed to both walls:

    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 850.0)],
    ... )
    >>> plan = TopPlan("back", 860, 30, EdgePlan("left", "scribed"), None, EdgePlan("back", "scribed"),
    ...                depth=560, width=900)
    >>> top = fit_top(room, plan)
    >>> plan.datum, top.outline.edges["left"].final, round(top.outline.edges["back"].final, 3)
    ('right end', 900.0, 560.0)
    """
    _refuse(room, plan, on)
    placed, datum_x, front = _placed(room, plan, on)
    if plan.width is None and on is not None:
        plan = replace(plan, width=on.plan.width + 2 * plan.end_overhang)
    sides, extent = _questions(plan, placed, datum_x, front)
    clash = None
    if plan.aim != "stay" or plan.pins:
        found = _aimed(plan, placed, (datum_x, front), extent, on)
        clash = found if isinstance(found, Clash) else None
        placed = placed if isinstance(found, Clash) else found
        sides, extent = _questions(plan, placed, datum_x, front)
    asked: list[Question] = [one for _, _, questions in sides for one in questions]
    joint = placed.measure(asked) if asked else Joint(np.zeros(0), np.zeros((0, 0)))
    in_the_way = [trim for trim in plan.trims if trim.between(plan.upper - plan.thickness, plan.upper)]
    each = share(plan.confidence, max(1, len(sides) + len(in_the_way)))
    wider = _wider(plan, placed, sides, joint, extent, each)
    made: dict[Side, MeetingSide] = {}
    start = 0
    for name, along, questions in sides:
        edge = plan.edges[name]
        if edge.finish in ("net", "covered"):
            edge = replace(edge, gap=max(edge.gap, min(edge.gap + wider, edge.greatest / 2)))
        made[name] = meeting(edge, along, part_of(joint, start, len(questions)))
        start += len(questions)
    obstacles = [
        trim_obstacle(placed, trim, plan.upper, plan.clearance, each, (datum_x, front)) for trim in in_the_way
    ]
    left, right, back = extent
    outline = fit_outline(
        made.get("left", StraightSide(left)),
        made.get("right", StraightSide(right)),
        StraightSide(0.0),
        made.get("back", StraightSide(back)),
        obstacles,
        confidence=of_edges(plan.confidence, len(made), len(in_the_way)),
    )
    lines: dict[Side, Line] = {
        name: line_of(
            edge, _asked(plan, placed, name, edge.stations, (datum_x, front)), plan.edges[name].greatest
        )
        for name, edge in outline.edges.items()
        if edge.finish not in ("straight", "let in")
    }
    stake = Stake(placed, lines) if lines else None
    return FittedTop(plan, placed, outline, (datum_x, front), stake, clash)


def _aimed(
    plan: TopPlan,
    placed: Placed,
    datum: tuple[float, float],
    extent: tuple[float, float, float],
    on: FittedCabinet | None,
) -> Placed | Clash:
    """Turn and move a top to where its aim and its pins want it.

    Of an end that goes to its wall whatever its length, only the turn against that wall counts. An open back
    must only not be hit.
    """
    left, right, depth = extent
    if plan.left is not None and plan.right is None and on is None and plan.width is not None:
        left = -plan.width
    if plan.right is not None and plan.left is None and on is None and plan.width is not None:
        right = plan.width
    behind = [(datum[0] + float(x), datum[1] + depth, plan.upper) for x in stations(left, right)]
    weight = 0.0 if plan.back is None else 1.0
    sides = [AimedSide("back", tuple(reaches("back", plan.wall, behind)), weight)]
    ends: tuple[tuple[Literal["left", "right"], EdgePlan | None, float], ...] = (
        ("left", plan.left, left),
        ("right", plan.right, right),
    )
    one_end = (plan.left is None) != (plan.right is None)
    for name, edge, x in ends:
        if edge is not None and edge.at is None and one_end:
            places = [(datum[0] + x, datum[1] + float(y), plan.upper) for y in stations(0.0, depth)]
            sides.append(AimedSide(name, tuple(reaches(name, edge.wall, places))))
    limits = (*LIMITS[:2], LIMITS[2] if one_end else 0.0)
    found = best_place(placed, sides, plan.aim, plan.pins, limits=limits)
    if isinstance(found, Clash) or on is None:
        return found if isinstance(found, Clash) else found.placed
    # Its open end stays over its cabinet's: the end at the wall is as long as that makes it.
    return found.placed.moved(0.0, placed.off_seat[1] - found.placed.off_seat[1], 0.0)


def _placed(room: KnownRoom, plan: TopPlan, on: FittedCabinet | None) -> tuple[Placed, float, float]:
    """Return the frame that its front runs with, and its datum and front in it."""
    if on is None:
        return _alone(room, plan)
    front = -plan.overhang
    if plan.datum == "right end":
        return on.placed, on.right + plan.end_overhang, front
    if plan.datum == "left end":
        return on.placed, on.left - plan.end_overhang, front
    return on.placed, (on.left + on.right) / 2, front


def _alone(room: KnownRoom, plan: TopPlan) -> tuple[Placed, float, float]:
    if plan.depth is None:
        raise BadInput("a top on no cabinet needs its depth")
    bottom = plan.upper - plan.thickness
    if any(edge.at is not None for edge in plan.edges.values()):
        return _beside_what_stands(room, plan, plan.depth)
    if plan.left is not None and plan.right is not None:
        between = Between(plan.left.wall, plan.right.wall)
        return place(room, plan.wall, between, None, plan.depth, bottom, plan.upper), 0.0, 0.0
    if plan.width is None:
        raise BadInput("a top with an open end needs its width")
    width = plan.width
    if plan.left is not None:
        held, extent = Against("left", plan.left.wall, plan.left.gap), (0.0, width)
        return place(room, plan.wall, held, extent, plan.depth, bottom, plan.upper), width, 0.0
    if plan.right is not None:
        held, extent = Against("right", plan.right.wall, plan.right.gap), (-width, 0.0)
        return place(room, plan.wall, held, extent, plan.depth, bottom, plan.upper), -width, 0.0
    if plan.mark is None:
        raise BadInput("a top whose ends are both open needs a corner or mark that it is measured from")
    at = At(plan.mark, plan.out)
    return place(room, plan.wall, at, (0.0, width), plan.depth, bottom, plan.upper), 0.0, 0.0


def _beside_what_stands(room: KnownRoom, plan: TopPlan, depth: float) -> tuple[Placed, float, float]:
    """Place a top by what an end of it meets besides a wall: beside that, however else it is held.

    Between two things its width comes of where they are; one open end is as far off as it is wide.
    """
    met = {name: edge for name, edge in plan.edges.items() if edge.at is not None}
    held: Literal["left", "right"] = "left" if "left" in met else "right"
    edge, sign = met[held], 1.0 if held == "left" else -1.0
    assert edge.at is not None
    width = plan.width
    both = plan.left is not None and plan.right is not None
    if both:
        left, right = end_along(room, plan, "left"), end_along(room, plan, "right")
        width = right - left
        if not width > 0:
            raise BadInput(f"expected room between its ends, got {width:g} mm: does each meet its own side?")
    if width is None:
        raise BadInput("a top with an open end needs its width")
    lateral = Beside(held, edge.at, edge.at.along(room, plan.wall, plan.upper), edge.gap)
    extent = min(0.0, sign * width), max(0.0, sign * width)
    placed = place(room, plan.wall, lateral, extent, depth, plan.upper - plan.thickness, plan.upper)
    return placed, sign * (width / 2 if both else width), 0.0


def end_along(room: KnownRoom, plan: TopPlan, side: Literal["left", "right"]) -> float:
    """Return how far along its wall what an end meets is expected (mm): a corner, or what stands there.

    Raises
    ------
    BadInput
        An open end, or one at a wall that has no corner with the wall behind.
    """
    edge = plan.edges.get(side)
    if edge is not None and edge.at is not None:
        return edge.at.along(room, plan.wall, plan.upper)
    corner = room.plan.corner_at(plan.wall, side)
    if edge is None or corner is None:
        raise BadInput(f"its {side} end: expected something that it meets, or a corner there, got none")
    return float(room.along(plan.wall, corner.name, plan.upper).mean[0])


Asked = tuple[Side, FloatArray, list[Reach] | list[Clear]]


def _asked(
    plan: TopPlan, placed: Placed, name: Side, along: FloatArray, datum: tuple[float, float]
) -> list[Reach] | list[Clear]:
    """Return the questions to what an edge meets at places along it, in the top's own frame."""
    (datum_x, front), edge = datum, plan.edges[name]
    if name == "back":
        return reaches("back", edge.wall, [(datum_x + x, front, plan.upper) for x in along])
    toward: Literal["left", "right"] = "left" if name == "left" else "right"
    places = [(datum_x, front + float(y), plan.upper) for y in along]
    if edge.at is not None:
        return edge.at.questions(placed, toward, places)
    return reaches(toward, edge.wall, places)


def _wider(
    plan: TopPlan,
    placed: Placed,
    sides: list[Asked],
    joint: Joint,
    extent: tuple[float, float, float],
    each: float,
) -> float:
    """Return by how much the gaps asked for must be wider so that the top goes in, shifted and turned.

    They are made so much wider only as far as half of what may stay: wider ones would not be hidden, and what
    is still lacking then is not wood but readings.
    """
    left, right, back = extent
    lines: dict[Side, Line] = {}
    start = 0
    for name, along, questions in sides:
        edge, reach = plan.edges[name], joint.mean[start : start + len(questions)]
        start += len(questions)
        if edge.finish not in ("net", "covered"):
            continue
        first, last = (left, right) if name == "back" else (0.0, back)
        runs = np.flatnonzero((along >= first) & (along <= last))
        cut = reach[runs] - edge.gap
        if edge.finish == "covered":
            cut = np.full(runs.size, cut.min())
        lines[name] = Line(tuple(questions[k] for k in runs), cut, scribed=False)
    if not lines:
        return 0.0
    stake = Stake(placed, lines)
    return stake.wider(stake.known, 1 - len(lines) * (1 - each))


def _questions(
    plan: TopPlan, placed: Placed, datum_x: float, front: float
) -> tuple[list[Asked], tuple[float, float, float]]:
    """Return where each wall is asked for, and the straight sides, in the top's own frame."""
    depth = plan.depth if plan.depth is not None else placed.depth - front
    ys = _past(stations(0.0, depth), after=plan.back is not None)
    sides: list[Asked] = []
    ends = [0.0, 0.0]
    ways: tuple[tuple[Side, float], ...] = ("left", -1.0), ("right", 1.0)
    for number, (name, sign) in enumerate(ways):
        if name not in plan.edges:
            ends[number] = _open_end(plan, placed, datum_x, sign)
            continue
        # What stands there is straight: both ends of the edge tell all of it.
        at = ys if plan.edges[name].at is None else ys[[0, -1]]
        questions = _asked(plan, placed, name, at, (datum_x, front))
        sides.append((name, at, questions))
        (corner,) = placed.expect([questions[-1]])
        ends[number] = sign * float(corner)
    if plan.back is not None:
        xs = _past(stations(ends[0], ends[1]), before=plan.left is not None, after=plan.right is not None)
        sides.append(("back", xs, _asked(plan, placed, "back", xs, (datum_x, front))))
    return sides, (ends[0], ends[1], depth)


def _past(places: FloatArray, before: bool = False, after: bool = False) -> FloatArray:
    """Add places past a corner at the start, at the end, or both, as dense as near it."""
    past = np.arange(CORNER_SPACING, PAST_CORNER + CORNER_SPACING / 2, CORNER_SPACING)
    parts = [places[0] - past[::-1]] * before + [places] + [places[-1] + past] * after
    return np.concatenate(parts)


def _refuse(room: KnownRoom, plan: TopPlan, on: FittedCabinet | None) -> None:
    refuse_size("thickness", plan.thickness)
    for what, size in (("width", plan.width), ("depth", plan.depth)):
        if size is not None:
            refuse_size(what, size)
    for what, past in (("overhang", plan.overhang), ("end overhang", plan.end_overhang), ("out", plan.out)):
        if not abs(past) < LARGEST:
            raise BadInput(f"{what}: expected a length within 60 m, got {past} mm")
    if on is not None and on.plan.wall != plan.wall:
        raise BadInput(
            f"the top is to lie on wall `{plan.wall}`, its cabinet stands at wall `{on.plan.wall}`: "
            "expected one wall for both"
        )
    if plan.back is not None and plan.back.at is not None:
        raise BadInput("back: expected its wall, got something that stands there: only ends meet that")
    for edge in plan.edges.values():
        refuse_gap("gap", edge.gap)
    for wall in (plan.wall, *(edge.wall for edge in plan.edges.values())):
        refuse_wall(room, wall)
    refuse_trims(room, plan.trims)


def _open_end(plan: TopPlan, placed: Placed, datum_x: float, sign: float) -> float:
    """Return the x of an open end in the top's frame: 0 where it is the datum."""
    if (sign > 0) == (plan.datum == "right end"):
        return 0.0
    if plan.width is not None:
        return plan.width
    raise BadInput("a top with two open ends needs its width")

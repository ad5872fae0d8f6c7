"""An upright panel that stands out from a wall, its back edge scribed to it, notched over the baseboard.

Drawn looking at its show face: x right, y up, origin at its front bottom corner, which is its datum. A
panel whose show face looks to the left (facing the wall) has its back edge at the left of the drawing:
someone who looks at it from the left has the wall on the left hand. One that shows to the right has it
at the right. Nothing is mirrored on the way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from fitting.allowance import share
from fitting.chance import Chance, all_above
from fitting.edge import MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST, Side
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import (
    CLEARANCE,
    EdgePlan,
    TrimPlan,
    baseboard_obstacle,
    meeting,
    of_edges,
    refuse_size,
    refuse_trims,
    refuse_wall,
)
from fitting.site import KnownRoom, Ray
from fitting.site.readings import surface_height
from fitting.site.scene import direction, normal
from fitting.stations import stations

Show = Literal["left", "right"]
Point = tuple[float, float]

PAST_WALL = 40.0
"""mm by which the ceiling is looked at past a panel's back line, where the wall still has to be met."""
COVER_DRAWS = 2_000
"""For the chance that the blank covers: 99 % then has a standard error of 0.002."""


@dataclass(frozen=True)
class PanelPlan:
    """A panel; sizes in mm, `mark` and `out` say where its show face stands along the wall.

    `out` counts rightward (negative: leftward). `depth` is from the front edge to the wall's foremost
    point over the panel's height. `upper` is an upper edge that meets the ceiling, at about `height`. A panel
    that `stands` has its bottom on the floor's higher place under its front and back, at `bottom`.
    """

    back: EdgePlan
    mark: str
    out: float
    show: Show
    depth: float
    thickness: float
    bottom: float
    height: float
    clearance: float = CLEARANCE
    trims: tuple[TrimPlan, ...] = ()
    confidence: float = 0.99
    upper: EdgePlan | None = None
    stands: bool = False


@dataclass(frozen=True, eq=False)
class FittedPanel:
    """A panel; `outline` in its own frame, `along` where its show face stands along the wall (mm)."""

    plan: PanelPlan
    outline: FittedOutline
    along: float
    covers: Chance  # that its blank reaches the wall, where it is scribed


def fit_panel(room: KnownRoom, plan: PanelPlan) -> FittedPanel:
    """Give a panel its outline, blank, allowance and notches; it is set plumb and square to its wall.

    Examples
    --------
    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 400.0)],
    ... )
    >>> panel = fit_panel(
    ...     room, PanelPlan(EdgePlan("back", "scribed"), "c", 900, "left", 580, 18, 0, 800)
    ... )
    >>> sorted(panel.outline.edges), round(panel.outline.edges["left"].final, 3)
    (['back', 'front', 'left', 'right'], 580.0)
    """
    for what, size in (("depth", plan.depth), ("height", plan.height), ("thickness", plan.thickness)):
        refuse_size(what, size)
    for what, place in (("out", plan.out), ("bottom", plan.bottom)):
        if not abs(place) <= LARGEST:
            raise BadInput(f"{what}: expected a length within 60 m, got {place} mm")
    if plan.show not in get_args(Show):
        raise BadInput(f"show: expected left or right, got {plan.show!r}")
    refuse_wall(room, plan.back.wall)
    refuse_trims(room, plan.trims, plan.back.wall)
    wall = plan.back.wall
    heading = room.heading(wall)
    (ux, uy), (nx, ny) = direction(heading), normal(heading)
    middle = plan.bottom + plan.height / 2
    x, y = room.point(plan.mark, middle).mean
    stand = x + plan.out * ux + plan.depth * nx, y + plan.out * uy + plan.depth * ny
    ups = stations(plan.bottom, plan.bottom + plan.height)
    reach = room.rays([Ray(wall, *stand, -nx, -ny, float(up)) for up in ups])
    joint = _against_foremost(reach, plan.depth)
    side = meeting(plan.back, ups - plan.bottom, joint)
    in_the_way = [trim for trim in plan.trims if trim.between(plan.bottom, plan.bottom + plan.height)]
    each = share(plan.confidence, (2 if plan.upper else 1) + len(in_the_way))
    obstacles = [
        baseboard_obstacle(trim, plan.show, ups - plan.bottom, joint, plan.bottom, plan.clearance, each)
        for trim in in_the_way
    ]
    straight = StraightSide(0.0)
    meets: dict[Side, Joint] = {plan.show: joint}
    upper: StraightSide | MeetingSide = StraightSide(plan.height)
    if plan.upper is not None:
        upper, meets["back"] = _at_ceiling(room, plan, plan.upper, stand, (nx, ny))
    outline = fit_outline(
        side if plan.show == "left" else straight,
        side if plan.show == "right" else straight,
        straight,
        upper,
        obstacles,
        confidence=of_edges(plan.confidence, 2, len(in_the_way)) if plan.upper else each,
    )
    covers = _covers(outline, meets)
    return FittedPanel(plan, outline, float(room.along(wall, plan.mark, middle).mean[0]) + plan.out, covers)


def _at_ceiling(
    room: KnownRoom,
    plan: PanelPlan,
    edge: EdgePlan,
    stand: tuple[float, float],
    out: tuple[float, float],
) -> tuple[MeetingSide, Joint]:
    """Return the ceiling over a panel, from its front to past its back: its height over the bottom."""
    deep = np.append(stations(0.0, plan.depth), plan.depth + PAST_WALL)
    points = [(stand[0] - one * out[0], stand[1] - one * out[1]) for one in (*deep, 0.0, plan.depth)]
    over = room.level("ceiling", points[: deep.size])
    if over is None:
        raise BadInput("nothing says where the ceiling is: expected that its height was read")
    reach = Joint(over.mean - plan.bottom, over.covariance)
    if plan.stands and room.level("floor", points[deep.size :]) is not None:
        reach = _over_floor(room, points, deep.size)
    if reach.mean.min() <= 0:
        raise BadInput(
            f"height: expected the ceiling over its bottom, got {reach.mean.min():g} mm of room there"
        )
    across = -deep if plan.show == "left" else deep
    return meeting(edge, across, reach), reach


def _over_floor(room: KnownRoom, points: Sequence[Point], over: int) -> Joint:
    """Return the ceiling at the first `over` points above the higher of the floor at the others."""
    both = room.query(
        lambda scene: [
            surface_height(scene, "ceiling" if k < over else "floor", *point)
            for k, point in enumerate(points)
        ]
    )
    highest = over + int(np.argmax(both.mean[over:]))
    carry = np.eye(over, both.mean.size)
    carry[:, highest] -= 1.0
    return Joint(carry @ both.mean, carry @ both.covariance @ carry.T)


def _covers(outline: FittedOutline, meets: Mapping[Side, Joint]) -> Chance:
    """Say how likely the blank reaches wall and ceiling where it is scribed to them; nothing ties the two."""
    scribed = {side: joint for side, joint in meets.items() if outline.edges[side].finish == "scribed"}
    if not scribed:
        return Chance(1.0, 0.0)
    spare = np.concatenate([outline.edges[side].blank - joint.mean for side, joint in scribed.items()])
    covariance, start = np.zeros((spare.size, spare.size)), 0
    for joint in scribed.values():
        here = slice(start, start + joint.mean.size)
        covariance[here, here] = joint.covariance
        start += joint.mean.size
    return all_above(Joint(spare, covariance), draws=COVER_DRAWS)


def _against_foremost(reach: Joint, depth: float) -> Joint:
    """Push a plumb panel back until its foremost place is `depth` away, and what that leaves unknown."""
    foremost = int(np.argmin(reach.mean))
    carry = np.eye(reach.mean.size)
    carry[:, foremost] -= 1.0
    return Joint(reach.mean - reach.mean[foremost] + depth, carry @ reach.covariance @ carry.T)

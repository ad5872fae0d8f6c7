"""A toe-kick under an uneven floor: from the cabinet's bottom line down to the floor, and its returns.

Seen on its face from the room: x right from its left end, y up from its upper edge, which is its datum,
straight and level; the floor is at y < 0. The lower edge is scribed to the floor, or cut straight and left
open over it.

Seen from above, a cabinet with free ends; r the recess, t the kick's thickness::

    +-----------------------------+  back
    |  |                       |  |
    |  | return         return |  |
    |  |                       |  |
    |  +=======================+  |   the front covers the ends of the returns
    |            r                |
    +-----------------------------+  face
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW
from fitting.chance import Chance, all_above
from fitting.edge import MeetingSide, StraightSide, refuse_gap
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import refuse_size
from fitting.site import KnownRoom
from fitting.stations import stations

FloatArray = NDArray[np.float64]
Point = tuple[float, float]

COVER_DRAWS: Final = 2_000
"""For the chance that the blank covers: 99 % then has a standard error of 0.002."""


@dataclass(frozen=True)
class ToeKickPlan:
    """One run of a toe-kick, in the plan; mm.

    `start` and `end` are its left and right end, seen on its face. `up` is the height of its upper edge over
    the floor's highest expected place among `stands`, where the cabinet stands. Its lower edge is scribed,
    or left `gap` over the floor's highest place under it.
    """

    start: Point
    end: Point
    up: float
    stands: tuple[Point, ...]
    thickness: float
    finish: Literal["scribed", "covered"] = "scribed"
    gap: float = 0.0
    saw: float = SAW
    confidence: float = 0.99

    @property
    def length(self) -> float:
        """From end to end."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, eq=False)
class FittedToeKick:
    """A run of a toe-kick; heights in mm, from its upper edge down to the floor at `at` (k,), from its left
    end."""

    plan: ToeKickPlan
    outline: FittedOutline
    at: FloatArray
    heights: FloatArray
    covers: Chance

    @property
    def least(self) -> float:
        """The least height."""
        return float(self.heights.min())

    @property
    def greatest(self) -> float:
        """The greatest height."""
        return float(self.heights.max())


@dataclass(frozen=True)
class KickRun:
    """One board of a toe-kick: which it is, and from where to where it runs in the box's frame (mm).

    x right from the box's left side, y to the back from its face.
    """

    name: Literal["front", "left return", "right return"]
    start: Point
    end: Point


def kick_runs(
    width: float,
    depth: float,
    recess: float,
    thickness: float,
    side_recess: tuple[float | None, float | None] = (None, None),
) -> tuple[KickRun, ...]:
    """Return the boards of a toe-kick, each from its left to its right end as one looks at its face.

    Parameters
    ----------
    width, depth : float
        Of the cabinet, mm.
    recess : float
        From its face to the kick's.
    thickness : float
        The kick's.
    side_recess : (left, right)
        From the cabinet's side to the face of a return there; nothing where none is needed, as at a wall or
        where a side runs to the floor.

    Raises
    ------
    BadInput
        A recess that leaves no room for the kick.

    Examples
    --------
    >>> for run in kick_runs(900, 550, 75, 18, (0, None)):
    ...     print(run.name, run.start, run.end)
    front (0.0, 75.0) (900.0, 75.0)
    left return (0.0, 550.0) (0.0, 93.0)
    """
    for what, size in (("width", width), ("depth", depth), ("thickness", thickness)):
        refuse_size(what, size)
    if not 0 <= recess < depth - thickness:
        raise BadInput(f"recess: expected 0 to less than {depth - thickness:g} mm, got {recess}")
    left, right = side_recess
    for side in (left, right):
        if side is not None and not 0 <= side < width / 2:
            raise BadInput(f"recess at a side: expected 0 to less than {width / 2:g} mm, got {side}")
    first, last = float(left or 0.0), float(width - (right or 0.0))
    runs = [KickRun("front", (first, float(recess)), (last, float(recess)))]
    near, far = float(recess + thickness), float(depth)
    if left is not None:
        runs.append(KickRun("left return", (first, far), (first, near)))
    if right is not None:
        runs.append(KickRun("right return", (last, near), (last, far)))
    return tuple(runs)


def fit_toe_kick(room: KnownRoom, plan: ToeKickPlan) -> FittedToeKick:
    """Give a run of a toe-kick its outline and its allowance.

    Raises
    ------
    BadInput
        A floor that nobody read, a run of no length, a floor that rises over the upper edge.

    Examples
    --------
    A floor that falls 6 mm over 1000, and a cabinet that stands on its high end, 100 over it:

    >>> from fitting.site import Corner, Plan, Level, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [Level(f"{x}{y}", -0.006 * x, 1e-4, "floor", "back", x, "c", y)
    ...      for x in (0.0, 500.0, 1000.0) for y in (50.0, 600.0)],
    ... )
    >>> stands = (0.0, -550.0), (1000.0, -550.0), (0.0, -50.0), (1000.0, -50.0)
    >>> kick = fit_toe_kick(room, ToeKickPlan((0.0, -475.0), (1000.0, -475.0), 100.0, stands, 18.0))
    >>> round(float(kick.heights[0]), 1), round(float(kick.heights[-1]), 1)
    (100.0, 106.0)
    """
    _refuse(plan)
    at = stations(0.0, plan.length)
    joint = _down_to_floor(room, plan, at)
    if joint.mean.min() <= 0:
        raise BadInput(
            f"the floor rises {-float(joint.mean.min()):.1f} mm over the kick's upper edge: expected it below"
        )
    lower = MeetingSide(at, joint, plan.finish, plan.gap, plan.saw)
    outline = fit_outline(
        StraightSide(0.0), StraightSide(plan.length), lower, StraightSide(0.0), confidence=plan.confidence
    )
    covers = Chance(1.0, 0.0)
    if plan.finish == "scribed":
        edge = outline.edges["front"]
        covers = all_above(Joint(edge.blank - joint.mean, joint.covariance), draws=COVER_DRAWS)
    return FittedToeKick(plan, outline, at, joint.mean, covers)


def _down_to_floor(room: KnownRoom, plan: ToeKickPlan, at: FloatArray) -> Joint:
    """Return how far it is from the upper edge down to the floor.

    The cabinet stands on the floor's highest place, so what that is off lifts the kick along with it.
    """
    share = at / plan.length
    (x1, y1), (x2, y2) = plan.start, plan.end
    under = [(x1 + one * (x2 - x1), y1 + one * (y2 - y1)) for one in share]
    floor = room.level("floor", [*plan.stands, *under])
    if floor is None:
        raise BadInput("nothing says where the floor is: expected drops from the level line to it")
    highest = int(np.argmax(floor.mean[: len(plan.stands)]))
    carry = -np.eye(floor.mean.size)[len(plan.stands) :]
    carry[:, highest] += 1.0
    return Joint(carry @ floor.mean + plan.up, carry @ floor.covariance @ carry.T)


def _refuse(plan: ToeKickPlan) -> None:
    sizes: Sequence[tuple[str, float]] = (
        ("length", plan.length),
        ("height", plan.up),
        ("thickness", plan.thickness),
    )
    for what, size in sizes:
        refuse_size(what, size)
    if not plan.stands:
        raise BadInput("expected a place or more where the cabinet stands, got none")
    refuse_gap("gap", plan.gap)

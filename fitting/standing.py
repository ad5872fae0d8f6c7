"""What an end of a piece can meet besides a wall: trim's near edge, the side of a panel or of a box.

All of them stand upright and are straight, so that two places tell the whole of them; how sure they are of
their place is a matter of the walls and marks that hold them, as seen from the piece:

    wall behind ----------------+----+------------
                                |    |<- casing; its near edge is the line to the left of it
            piece's back  ======|    |
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fitting.placement import Clear, Placed, Reach, Spotted
from fitting.site import KnownRoom
from fitting.site.scene import direction

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Upright:
    """A plane square to the wall behind, `out` mm right of a corner or feature of that wall; `deep` mm of it
    stand out of the wall.

    How square a fitter sets a panel is not asked: it is taken to be square.

    Examples
    --------
    A top 600 wide that begins 2 mm right of a panel whose face is 400 mm from the corner:

    >>> from fitting import EdgePlan, TopPlan, fit_top
    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 850.0)],
    ... )
    >>> end = EdgePlan("back", "covered", 2.0, at=Upright("c", 400.0, 450.0))
    >>> top = fit_top(room, TopPlan("back", 860, 30, left=end, depth=560, width=600))
    >>> round(top.outline.edges["left"].final, 3), round(top.placed.frame.x, 3)
    (600.0, 402.0)
    """

    name: str
    out: float
    deep: float

    def along(self, room: KnownRoom, wall: str, up: float) -> float:
        """Return how far along its wall it is expected (mm)."""
        return float(room.along(wall, self.name, up).mean[0]) + self.out

    def questions(
        self, placed: Placed, toward: Literal["left", "right"], places: Sequence[Place]
    ) -> list[Clear]:
        """Return how far it is from places (x, y, up) of a piece to the plane."""
        room, sign = placed.room, 1.0 if toward == "right" else -1.0
        heading = room.heading(placed.wall)
        turn = heading - placed.frame.heading
        slope = math.tan(turn)
        out = self.out / math.cos(turn)
        return [
            Clear(
                toward,
                x,
                y,
                up,
                ((sign, Spotted(self.name, up, "x")), (sign * slope, Spotted(self.name, up, "y"))),
                sign * (out - slope * y - x),
                direction(heading),
            )
            for x, y, up in places
        ]


@dataclass(frozen=True, eq=False)
class SideOf:
    """The side of a box in its place, at `x` of its frame; the box is as `deep` as it is (mm)."""

    placed: Placed
    x: float
    deep: float

    def along(self, room: KnownRoom, wall: str, _up: float) -> float:
        """Return how far along a wall its back is expected (mm)."""
        (ux, uy), foot = room.axes(wall)[0], room.foot(wall)
        x, y = self.placed.frame.to_room(self.x, self.deep)
        return (x - foot[0]) * ux + (y - foot[1]) * uy

    def questions(
        self, placed: Placed, toward: Literal["left", "right"], places: Sequence[Place]
    ) -> list[Clear]:
        """Return how far it is from places (x, y, up) of a piece to the side.

        The box is tied to the room where it is held, and turned with the wall behind it: an error of either
        counts as far as the piece does not share it.
        """
        other, sign = self.placed, 1.0 if toward == "right" else -1.0
        ends = (other.frame.to_room(self.x, y) for y in (0.0, self.deep))
        (x0, y0), (x1, y1) = (placed.frame.to_piece(*end) for end in ends)
        held = [(factor, _asked_from(placed, other, one)) for factor, one in _held(other)]
        first, second = (_asked_from(placed, other, one) for one in other.turned_by)
        assert isinstance(first, Reach)
        assert isinstance(second, Reach)
        pivots = [one.y for _, one in held if isinstance(one, Reach)]
        pivot = sum(pivots) / len(pivots) if pivots else y1
        asked = [*(one for _, one in held), second, first]
        answers = placed.expect(asked)
        along = (x1 - x0) / (y1 - y0)
        told = []
        for x, y, up in places:
            turned = (pivot - y) / (second.x - first.x)
            factors = [sign * one for one in (*(factor for factor, _ in held), turned, -turned)]
            expected = sign * (x0 + (y - y0) * along - x)
            constant = expected - sum(one * float(by) for one, by in zip(factors, answers, strict=True))
            terms = tuple(zip(factors, asked, strict=True))
            facing = math.cos(other.frame.heading), math.sin(other.frame.heading)
            told.append(Clear(toward, x, y, up, terms, constant, facing))
        return told


Met = Upright | SideOf
"""What an edge can meet besides a wall."""


def _held(other: Placed) -> list[tuple[float, Reach | Spotted]]:
    """Return the places that hold a piece, and how far it moves right where each answer grows by one."""
    found: list[tuple[float, Reach | Spotted]] = []
    for one in other.held:
        assert not isinstance(one, Clear)
        left = isinstance(one, Reach) and one.toward == "left"
        found.append((-1.0 if left else 1.0, one))
    return [(factor / len(found), one) for factor, one in found]


def _asked_from(placed: Placed, other: Placed, question: Reach | Spotted) -> Reach | Spotted:
    """Return a question of another piece as this one asks it: from the same place of the room."""
    if isinstance(question, Spotted):
        return Spotted(question.name, question.up, question.axis)
    ray = other.ray(question)
    x, y = placed.frame.to_piece(ray.x, ray.y)
    return Reach(question.toward, question.wall, x, y, question.up)

"""Whether there is room at all: under the ceiling, and up to the wall beyond an open end."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitting.cabinet import SideName
from fitting.placement import Placed, Reach
from survey.finding import Finding, finding
from survey.records import Piece
from survey.report.context import Context, not_made

RUNS_IN = 0.5
"""mm by which an open end may be expected to run into a wall before it is said."""


def too_high(
    context: Context, piece: Piece, points: Sequence[tuple[float, float]], bottom: float, top: float
) -> list[Finding]:
    """Refuse a piece that stands higher than the ceiling over it; nothing is said where it was not read."""
    ceiling = context.room.level("ceiling", points)
    if ceiling is None or float(ceiling.mean.min()) >= top:
        return []
    near = context.printer.near
    room = float(ceiling.mean.min()) - bottom
    size = near(top - bottom).text
    return [finding(500, [piece.id], [piece.name], piece=piece.name, size=size, room=near(room).text)]


def beyond_open_end(
    context: Context,
    piece: Piece,
    placed: Placed,
    ends: Mapping[SideName, float],
    places: Sequence[tuple[float, float]],
) -> list[Finding]:
    """Refuse a piece whose open end runs into the wall at that end of the wall behind it.

    `ends` gives the x of each open end, `places` (y, up) where it is looked at, in the placed frame.
    """
    for end, x in ends.items():
        corner = context.room.plan.corner_at(placed.wall, end)
        if corner is None or corner.angle > math.pi:
            continue
        wall = corner.left if end == "left" else corner.right
        if not context.room.wall_placed(wall):
            continue
        room = min(placed.expect([Reach(end, wall, x, y, up) for y, up in places]))
        if room < -RUNS_IN:
            over = context.printer.up(-float(room)).text
            why = f"its open {end} end runs {over} into wall `{wall}`"
            return [not_made(piece, why, "make it narrower, or let that end meet the wall")]
    return []

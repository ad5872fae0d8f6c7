"""Which readings to take again before cutting: the room they were taken in is not yet the room to come."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from survey.records import Reading, Trim
from survey.report.context import Context

MOST: Final = 5
"""More nobody repeats."""
TOO_LITTLE: Final = 0.02
"""mm by which a reading must move a piece's edge for each mm that it is off, to be worth a second look."""
AS_A_MM: Final = 0.001
"""Radians that count like a millimetre: one in a metre."""


def to_repeat(context: Context) -> tuple[str, ...]:
    """Return ids of the readings to repeat once what is still to come is there, at most five.

    They are those taken to the face as it stood, on walls where a layer or trim is still to come; the one
    that moves a planned piece most comes first. None where nothing is to come, or no piece hangs on walls.
    """
    walls = _still_to_change(context)
    if not walls or not context.stakes:
        return ()
    # A check of another wall that starts in a corner with such a wall is no reading of that wall.
    to_the_face = {
        one.id
        for one in context.survey.of(Reading)
        if one.face == "now" and getattr(one, "wall", None) in (None, *walls)
    }
    moves: dict[str, float] = {}
    for (key, _), number, effect in zip(context.keys, context.numbers, _effects(context), strict=True):
        if number.record in to_the_face and context.room.seen[key] & walls:
            moves[number.record] = max(moves.get(number.record, 0.0), float(effect))
    worth = [record for record, move in moves.items() if move > TOO_LITTLE]
    return tuple(sorted(worth, key=lambda record: -moves[record])[:MOST])


def _still_to_change(context: Context) -> set[str]:
    """Return the walls where a layer or trim is still to come."""
    layers = {covering.wall for covering in context.room.plan.coverings}
    return layers | {trim.wall for trim in context.survey.of(Trim) if trim.fate == "comes later"}


def _effects(context: Context) -> NDArray[np.float64]:
    """Return how far (mm) each number read moves the edge that it moves most, for each mm that it is off."""
    scale = np.array([AS_A_MM if number.unit == "deg" else 1.0 for number in context.numbers])
    moved: NDArray[np.float64] = np.max(
        [
            np.abs(stake.felt() @ context.room.influence(stake.quantities)).max(axis=0)
            for stake in context.stakes.values()
        ],
        axis=0,
    )
    return scale * moved

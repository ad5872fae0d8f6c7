"""What stands beside a cabinet's front, in plan: walls, trim, and what hangs on the cabinets next to it.

Lines as `fitting.swing` takes them, in the cabinet's frame: x right, y to the back, y = 0 its face. Each
carries what it is in words. What is unknown of its place, at the confidence asked for, is already counted in:
a door that opens past these lines opens past the things themselves at that confidence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fitting.cabinet import FittedCabinet, SideName
from fitting.notch import ring_of
from fitting.piece import TYPED_SIZE_SD, TrimPlan, reaches, trim_obstacle
from survey.records import BoxPiece, FrontPiece, Piece
from survey.report.boxes import fitted_box
from survey.report.context import Context, NotReady
from survey.report.leaves import heights_of, rings_of
from survey.report.trim import trims_on

FloatArray = NDArray[np.float64]

TRIM = ("casing", "sill", "baseboard")
"""Kinds of trim that a front may strike."""
CLEAR: Final = 25.4 / 8
"""mm kept clear of what a front opens past, 1/8 in (common practice, no source); a neighbour's front hangs a
reveal away, and must only not be touched."""
LEVELS, PLACES = 3, 9
"""Heights, and places along the way out, at which a wall beside a front is looked at."""


@dataclass(frozen=True, eq=False)
class Beside:
    """Something beside a front: in words, its line in plan (k, 2), and how much of it (mm, at the most) is
    there because its place is not known; `kept_clear` mm from it."""

    words: str
    line: FloatArray
    unknown: float = 0.0
    kept_clear: float = CLEAR


def beside(
    context: Context,
    piece: Piece,
    cabinet: BoxPiece,
    box: FittedCabinet,
    side: SideName,
    span: tuple[float, float],
    far: float,
) -> tuple[Beside, ...]:
    """Return what stands at one side of a cabinet between two heights, out to `far` mm before its face.

    Trim without a size refuses the piece: `survey.report.trim`.
    """
    found: list[Beside] = []
    gap = box.sides.get(side)
    if gap is not None:
        wall, unknown = _wall(context, box, side, gap.wall, span, far)
        found.append(Beside(f"wall `{gap.wall}`", wall, unknown))
        for trim in trims_on(context, piece, {gap.wall}, TRIM, *span):
            found.append(Beside(f"`{trim.name}`", _trim(context, box, side, trim, wall), unknown))
    return (*found, *_neighbours(context, cabinet, box, side, span))


def _wall(
    context: Context,
    box: FittedCabinet,
    side: SideName,
    wall: str,
    span: tuple[float, float],
    far: float,
) -> tuple[FloatArray, float]:
    """Return a wall where it stands nearest between two heights, from behind the face to `far` before it, and
    how much of that is for what is unknown of it. Doors and drawers of one height ask for the same.
    """
    key = box.plan, side, span, far
    if key not in context.walls_beside:
        context.walls_beside[key] = _looked_at(context, box, side, wall, span, far)
    return context.walls_beside[key]


def _looked_at(
    context: Context,
    box: FittedCabinet,
    side: SideName,
    wall: str,
    span: tuple[float, float],
    far: float,
) -> tuple[FloatArray, float]:
    x = box.left if side == "left" else box.right
    ys, ups = (
        np.linspace(-_end(box, wall, side, far), min(box.plan.depth, 50.0), PLACES),
        np.linspace(*span, LEVELS),
    )
    asked = [(x, float(y), float(up)) for y in ys for up in ups]
    reach = box.placed.measure(reaches(side, wall, asked))
    unknown = NormalDist().inv_cdf(context.confidence) * reach.sd
    nearest = (reach.mean - unknown).reshape(PLACES, LEVELS).min(axis=1)
    line = np.column_stack([x - nearest if side == "left" else x + nearest, ys])
    return line, float(unknown.max())


def _end(box: FittedCabinet, wall: str, side: SideName, far: float) -> float:
    """Return how far before the face a wall goes on: it may end at a corner, as at an opening's return."""
    room = box.placed.room
    corner = room.plan.corner_at(wall, "left" if side == "left" else "right")
    if corner is None:
        return far
    x, y = room.point(corner.name, box.plan.bottom).mean
    return min(far, max(-box.placed.frame.to_piece(float(x), float(y))[1], 1.0))


def _trim(
    context: Context, box: FittedCabinet, side: SideName, trim: TrimPlan, wall: FloatArray
) -> FloatArray:
    """Return a trim's line: its outline where it has ends, or the wall moved out by as much as it stands
    out."""
    record = replace(trim, to_opening=False)
    if context.room.plan.feature(trim.name) is None or not context.room.feature_placed(trim.name):
        out = trim.projection + NormalDist().inv_cdf(context.confidence) * TYPED_SIZE_SD
        moved: FloatArray = wall + np.array([out if side == "left" else -out, 0.0])
        return moved
    up = min(max(box.plan.bottom, trim.bottom), trim.top)
    ring = ring_of(trim_obstacle(box.placed, record, up, 0.0, context.confidence, (0.0, 0.0)).shape())
    return np.vstack([ring, ring[:1]])


def _neighbours(
    context: Context, cabinet: BoxPiece, box: FittedCabinet, side: SideName, span: tuple[float, float]
) -> Iterator[Beside]:
    """Give the fronts and pulls of other cabinets at that side, as they hang when closed."""
    edge = box.left if side == "left" else box.right
    for other in context.survey.of(BoxPiece):
        if other.name == cabinet.name:
            continue
        try:
            near = fitted_box(context, other)
        except NotReady:
            continue  # its own findings say why
        for front in context.survey.of(FrontPiece):
            low, high = heights_of(near, front)
            if front.of != other.name or low >= span[1] or high <= span[0]:
                continue
            for what, ring in rings_of(near, front):
                moved = np.array(
                    [box.placed.frame.to_piece(*near.placed.frame.to_room(x, y)) for x, y in ring]
                )
                middle = float(moved[:, 0].mean())
                if (middle < edge) if side == "left" else (middle > edge):
                    is_pull = what != f"`{front.name}`"
                    line = np.vstack([moved, moved[:1]])
                    yield Beside(what, line, kept_clear=CLEAR if is_pull else 0.0)

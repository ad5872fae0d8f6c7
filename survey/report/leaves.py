"""Where a door or drawer front hangs on its cabinet, and what of it stands before the face."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from fitting.cabinet import FittedCabinet, SideName
from fitting.front import REVEAL
from fitting.pull_out import Sliding
from fitting.swing import SQUARE, Pull, Swing, pin_of
from survey.records import CabinetDoor, Drawer, FalseFront, FrontPiece
from survey.report.context import mm

FloatArray = NDArray[np.float64]

FRONT = 19.05
"""mm; how thick a drawer's front is taken where nobody said it, 3/4 in (common practice, no source)."""
OVERLAY = 38.1
"""mm; how far a drawer's front may reach past its opening, 1 1/2 in: a frame's stile (common practice, no
source)."""
LONG_PULL = 128.0
"""mm; how wide a drawer's pull is taken, in its middle (common practice, no source)."""


def heights_of(box: FittedCabinet, front: FrontPiece) -> tuple[float, float]:
    """Return from which to which height a front reaches."""
    top = box.plan.top - mm(front.from_top)
    return top - mm(front.height), top


def across(box: FittedCabinet, front: FrontPiece) -> tuple[float, float]:
    """Return from which to which x of its cabinet's frame a front reaches; of a drawer its opening."""
    width = mm(front.width)
    free = (box.plan.width - width) / 2
    start = box.left + mm(front.from_left, free)
    return start, start + width


def reach_of(box: FittedCabinet, front: FrontPiece) -> tuple[float, float]:
    """Return from which to which x the front itself reaches.

    A drawer's opening is typed, not its front: one that lies before the face is taken to reach past its
    opening by `OVERLAY`, but not over its cabinet's edge, less half a reveal.
    """
    start, end = across(box, front)
    if not isinstance(front, Drawer) or front.sits == "inset":
        return start, end
    left, right = box.left + REVEAL / 2, box.right - REVEAL / 2
    return min(start, max(start - OVERLAY, left)), max(end, min(end + OVERLAY, right))


def thick(front: FrontPiece) -> float:
    """Return how thick a front is (mm)."""
    return mm(front.front_thickness, FRONT) if isinstance(front, Drawer) else mm(front.thickness)


def face_of(front: FrontPiece) -> float:
    """Return the y of a front's face."""
    return -thick(front) if front.sits == "overlay" else 0.0


def opens_to(door: CabinetDoor) -> float:
    """Return how far a door must open, in radians."""
    return SQUARE if door.opens is None else door.opens.angle.radians


def swing_of(box: FittedCabinet, door: CabinetDoor) -> Swing:
    """Return a door's swing in its cabinet's frame."""
    start, end = across(box, door)
    width, out = end - start, mm(door.pull)
    pull = None
    if out > 0:
        usual = Pull(out)
        # On a narrow door the pull sits in its middle.
        fits = usual.in_from_edge + usual.width / 2 <= width
        pull = usual if fits else Pull(out, width / 2, min(usual.width, width))
    return Swing(
        door.hinge,
        start if door.hinge == "left" else end,
        face_of(door),
        width,
        mm(door.thickness),
        pin_of(door.hinges, door.sits, mm(door.thickness)),
        pull,
    )


def sliding_of(
    box: FittedCabinet, drawer: Drawer, side: SideName, front: FalseFront | None = None
) -> tuple[Sliding, ...]:
    """Return what of a drawer comes out at one side: its front, its box, its pull.

    Where its front was put down for itself, as a false front, that says how wide and thick it is.
    """
    shown = drawer if front is None else front
    (start, end), (left, right) = across(box, drawer), reach_of(box, shown)
    travel, face, inset = mm(drawer.thickness), face_of(shown), mm(drawer.slide_clearance)
    behind, out = face + thick(shown), max(mm(shown.pull), mm(drawer.pull))
    is_left = side == "left"
    parts = [
        Sliding(left if is_left else right, face, behind, travel),
        Sliding(start + inset if is_left else end - inset, behind, behind + travel, travel),
    ]
    if out > 0:
        middle, half = (left + right) / 2, min(LONG_PULL, right - left) / 2
        parts.append(Sliding(middle - half if is_left else middle + half, face - out, face, travel))
    return tuple(parts)


def rings_of(box: FittedCabinet, front: FrontPiece) -> Iterator[tuple[str, FloatArray]]:
    """Give the rings in plan of a closed front, and of its pull, with what they are in words."""
    if isinstance(front, CabinetDoor):
        body, *pulls = swing_of(box, front).at(0.0)
        yield f"`{front.name}`", body
        yield from ((f"the pull of `{front.name}`", pull) for pull in pulls)
        return
    (left, right), face = reach_of(box, front), face_of(front)
    yield f"`{front.name}`", _ring(left, right, face, face + thick(front))
    if mm(front.pull) > 0:
        middle, half = (left + right) / 2, min(LONG_PULL, right - left) / 2
        yield f"the pull of `{front.name}`", _ring(middle - half, middle + half, face - mm(front.pull), face)


def _ring(left: float, right: float, front: float, back: float) -> FloatArray:
    return np.array([(left, front), (right, front), (right, back), (left, back)])

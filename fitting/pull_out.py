"""What slides straight out of a cabinet: a drawer's front, pull and box, past a wall, trim or an open door.

Plan, seen from above, in the cabinet's frame, as `fitting.swing`: x right, y to the back, mm, the box's face
at y = 0. A part keeps its x on its whole way, so what it must pass is the foremost of what stands beside the
way: exact, a maximum over straight stretches.

        |_                 .-----------.   box
        | | casing         |           |
        |_|            [=================]   front: comes out to y = -travel
        |                      (pull)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.notch import checked_place
from fitting.swing import Swing

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Sliding:
    """A part that slides straight out: the x of its side, from which y to which it reaches, closed, and how
    far it comes (mm)."""

    x: float
    front: float
    back: float
    travel: float

    def __post_init__(self) -> None:
        """Refuse a part of no depth, and one that goes nowhere."""
        checked_place("sliding part", [self.x, self.front, self.back, self.travel])
        if not (self.back > self.front and self.travel > 0):
            raise BadInput(f"sliding part: expected a back behind its front and a travel above 0, got {self}")


def lacking(
    part: Sliding, side: Literal["left", "right"], lines: Sequence[FloatArray], clearance: float = 0.0
) -> float | None:
    """Say how much further off a part must stand at one side to slide past lines there.

    Parameters
    ----------
    part : Sliding
    side : {"left", "right"}
        Of the part, facing the cabinet.
    lines : sequence of arrays (k, 2)
        Each solid from there on away from the part, as for `fitting.swing.strike`.
    clearance : float
        Kept from them in x and in y, mm.

    Returns
    -------
    float or None
        mm; below 0: so much is to spare. Nothing where the part passes none of them, wherever it stands.

    Examples
    --------
    A front 10 mm off a wall whose casing stands out 18, with 2 mm to slide by:

    >>> casing = np.array([[0.0, -100.0], [18.0, -100.0], [18.0, -160.0], [0.0, -160.0]])
    >>> lacking(Sliding(10.0, -20.0, 0.0, 450.0), "left", [casing], 2.0)
    10.0
    """
    if not (math.isfinite(clearance) and clearance >= 0):
        raise BadInput(f"clearance: expected 0 mm or more, got {clearance}")
    sign = 1.0 if side == "left" else -1.0
    low, high = part.front - part.travel - clearance, part.back + clearance
    found = [foremost for line in lines if (foremost := _foremost(line, sign, low, high)) is not None]
    return None if not found else max(found) - sign * part.x + clearance


def pack_for_roll_out(door: Swing, angle: float, inner: float, clearance: float = 0.0) -> float:
    """Say how far in from a box's side what rolls out behind an open door must stand (mm, 0 or more).

    `inner` is the x of the side's inner face; the door, opened to an angle (radians), stands into the opening
    by `Swing.widest`. The hinge itself may stand in further: its own sheet says.

    Examples
    --------
    An overlay door flush with a side 18 thick, opened square on a cup hinge, 20 thick: 20 - 18 stand in.

    >>> from fitting.swing import SQUARE, Pin
    >>> door = Swing("left", 0.0, -20.0, 400.0, 20.0, Pin())
    >>> round(pack_for_roll_out(door, SQUARE, 18.0, 3.0), 9)
    5.0
    """
    if not 0 <= angle <= math.pi:
        raise BadInput(f"angle: expected 0 to pi radians, got {angle}")
    checked_place("inner face", [inner, clearance])
    sign = 1.0 if door.side == "left" else -1.0
    return max(0.0, door.widest(angle) + sign * (door.edge - inner) + clearance)


def _foremost(line: FloatArray, sign: float, low: float, high: float) -> float | None:
    """Return how far out a line comes between two y; nothing where it is not there."""
    points = np.asarray(line, dtype=np.float64)
    if points.ndim != 2 or points.shape[0] < 2 or points.shape[1] != 2:
        raise BadInput(f"line: expected 2 points (x, y) or more, got shape {points.shape}")
    checked_place("line", points.ravel())
    (ax, ay), (bx, by) = points[:-1].T, points[1:].T
    start, end = np.maximum(np.minimum(ay, by), low), np.minimum(np.maximum(ay, by), high)
    there = start <= end
    if not there.any():
        return None
    run = np.where(ay == by, 1.0, by - ay)
    ends = np.stack([ax + (bx - ax) * (y - ay) / run for y in (start, end)])
    level = np.stack([ax, bx])
    reach = sign * np.where(ay == by, level, ends)
    return float(reach[:, there].max())

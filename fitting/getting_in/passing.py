"""What is answered for one thing to get past: does it go, by how much, and how it moves there.

A picture is a plan (x right, y to the back) or an elevation (x across, y up), mm. The piece as carried is a
ring about its own origin; a pose turns it counter-clockwise about that origin, then shifts it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.notch import checked_place

FloatArray: TypeAlias = NDArray[np.float64]
Verdict: TypeAlias = Literal["goes", "does not go", "too tight to call"]
View: TypeAlias = Literal["plan", "elevation"]
Axis: TypeAlias = Literal["width", "height", "depth"]

QUARTER: Final = math.pi / 2
STEPS: Final = 24
"""Poses of a turn in a picture: every 3.75 degrees of a quarter."""
THICK: Final = 100.0
"""mm; how thick walls are drawn."""


@dataclass(frozen=True)
class Pose:
    """Where a piece is at one moment: its origin (mm) and its turn (radians, counter-clockwise).

    Examples
    --------
    >>> Pose(100.0, 0.0, np.pi / 2).of(np.array([[50.0, 0.0]])).round(9).tolist()
    [[100.0, 50.0]]
    """

    x: float
    y: float
    turn: float

    def of(self, ring: FloatArray) -> FloatArray:
        """Give points (n, 2) of the piece where they are in this pose."""
        there: FloatArray = turned(ring, self.turn) + np.array([self.x, self.y])
        return there


@dataclass(frozen=True)
class Carry:
    """How a box is carried: which of its dimensions is plumb (on stairs: square to the slope), which one goes
    ahead, by how much it leans about the way, and by how much its leading end is raised (radians)."""

    up: Axis
    ahead: Axis
    lean: float = 0.0
    raised: float = 0.0


@dataclass(frozen=True, eq=False)
class Passing:
    """Hold the answer for one thing to get past.

    Attributes
    ----------
    verdict : Verdict
        "too tight to call" comes from the planner alone: closed forms are exact for the numbers given.
    margin : float or None
        mm left at the tightest place; below 0: so much is lacking. What exactly is measured, the function
        that answers says. None where only the verdict is known.
    view : View
    shape : array (n, 2)
        The piece as carried, about its own origin, not closed.
    poses : tuple[Pose, ...]
        From the first moment to the last; straight and even in between. Where it does not go: up to and
        with the tightest, where it goes by a planner: the motion found.
    tightest : int
        Which pose is the tightest.
    barriers : tuple of arrays (k, 2)
        What it must pass, as rings.
    carry : Carry or None
        For boxes.
    """

    verdict: Verdict
    margin: float | None
    view: View
    shape: FloatArray
    poses: tuple[Pose, ...]
    tightest: int
    barriers: tuple[FloatArray, ...]
    carry: Carry | None = None


def turned(points: FloatArray, turn: float) -> FloatArray:
    """Turn points (n, 2) counter-clockwise about the origin, by radians."""
    c, s = np.cos(turn), np.sin(turn)
    ring: FloatArray = points @ np.array([[c, s], [-s, c]])
    return ring


def rectangle(x: float, y: float, width: float, height: float) -> FloatArray:
    """Give the ring of a rectangle from its lower left corner, counter-clockwise."""
    return np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]], dtype=float)


def best(answers: Sequence[Passing]) -> Passing:
    """Give the answer with the greatest margin, the first of equals."""
    return max(answers, key=lambda answer: -math.inf if answer.margin is None else answer.margin)


def answered(
    margin: float,
    view: View,
    shape: FloatArray,
    poses: tuple[Pose, ...],
    tightest: int,
    walls: tuple[FloatArray, ...],
    carry: Carry | None = None,
) -> Passing:
    """Give a closed form's answer; where it does not go, the motion ends at its tightest moment."""
    if margin >= 0:
        return Passing("goes", margin, view, shape, poses, tightest, walls, carry)
    return Passing("does not go", margin, view, shape, poses[: tightest + 1], tightest, walls, carry)


def checked_length(name: str, number: float) -> float:
    """Refuse (BadInput) what is no length above 0 mm and within 60 m."""
    checked_place(name, [number])
    if not number > 0:
        raise BadInput(f"{name}: expected more than 0 mm, got {number:g}")
    return number


def checked_ring(name: str, ring: FloatArray) -> FloatArray:
    """Refuse (BadInput) what is no ring of three corners or more within 60 m."""
    points = np.asarray(ring, dtype=np.float64)
    if points.ndim != 2 or points.shape[0] < 3 or points.shape[1] != 2:
        raise BadInput(f"{name}: expected 3 corners (x, y) or more, got shape {points.shape}")
    checked_place(name, points.ravel())
    return points

"""A cabinet's door swinging open: what it sweeps in plan, what it strikes, and how far off that must stand.

Plan, seen from above, in the frame of the cabinet that it hangs on: x right, y to the back, mm, the box's
face at y = 0 and the room before it at y < 0. What a door may strike is given as lines, each solid from there
on away from the door: a wall beside the cabinet, the outline of a casing, a neighbour's pull. Then the
question "how much further off must the hinge side stand" has an exact answer: every corner of the door moves
on an arc, so along every straight stretch the worst angle is an end of it or a root in closed form; nothing
is sampled.

        y                          hinge pin o=================. free edge       closed
        |      wall ||                        |                  (pull: p out of the face)
        +-- x       ||_                       |\\   a corner's arc: its distance from the pin, for the
                    |__| casing               | \\  corner across the door sqrt(w^2 + t^2)
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
from fitting.piece import refuse_size

FloatArray = NDArray[np.float64]
Hinges = Literal["butt", "knife", "cup"]
Sits = Literal["overlay", "inset"]

SQUARE = math.pi / 2
CUP_PAST = 1.5
"""mm by which a door on cup hinges swings past its own hinge edge (from memory, no source: the hinge's own
sheet prevails)."""
PULL_IN, PULL_WIDTH = 31.75, 31.75
"""mm from a door's free edge to the middle of its pull, and how wide a knob is: 1 1/4 in (common practice, no
source)."""
TOUCH = 1e-7
"""mm; a corner that comes as near as this to the end of a line meets it."""
FINEST = 1e-7
"""Radians to which the angle that a door reaches is found."""


@dataclass(frozen=True)
class Pin:
    """Where a door turns, seen closed: mm in from its hinge edge, and mm behind its front face.

    `past` is how far a door whose hinge is a linkage comes out over its hinge edge while it turns.
    """

    inward: float = 0.0
    deep: float = 0.0
    past: float = 0.0


@dataclass(frozen=True)
class Pull:
    """What sticks out of a door's face: mm out, from the free edge to its middle, and its width."""

    out: float
    in_from_edge: float = PULL_IN
    width: float = PULL_WIDTH


@dataclass(frozen=True)
class Swing:
    """A door that turns.

    Attributes
    ----------
    side : {"left", "right"}
        Where its hinge is, facing the cabinet.
    edge : float
        x of its hinge edge, closed.
    face : float
        y of its front face, closed: minus its thickness for an overlay door, 0 for an inset one.
    width, thickness : float
    pin : Pin
    pull : Pull or None

    Examples
    --------
    A door 400 by 20: the corner across from a pin at its front corner is sqrt(400^2 + 20^2) from it.

    >>> door = Swing("left", 0.0, -20.0, 400.0, 20.0, pin_of("butt", "inset", 20.0))
    >>> round(door.corner_radius, 3)
    400.5
    """

    side: Literal["left", "right"]
    edge: float
    face: float
    width: float
    thickness: float
    pin: Pin = Pin()
    pull: Pull | None = None

    def __post_init__(self) -> None:
        """Refuse a door of no size, and a pin or pull that is not on it."""
        refuse_size("door's width", self.width)
        refuse_size("door's thickness", self.thickness)
        checked_place("door's place", [self.edge, self.face])
        pin, pull = self.pin, self.pull
        checked_place("pin", [pin.inward, pin.deep, pin.past])
        if not (0 <= pin.inward < self.width and pin.past >= 0):
            raise BadInput(f"pin: expected it 0 mm or more in from the hinge edge and on the door, got {pin}")
        if pull is not None:
            checked_place("pull", [pull.out, pull.in_from_edge, pull.width])
            half = pull.width / 2
            if not (pull.out > 0 and pull.width > 0 and half <= pull.in_from_edge <= self.width - half):
                raise BadInput(f"pull: expected it to stand out of the door's face and within it, got {pull}")

    @property
    def corner_radius(self) -> float:
        """How far from its pin the farthest corner of the door itself swings (mm)."""
        return max(math.hypot(s, d) for s, d in self._rings()[0])

    @property
    def radius(self) -> float:
        """How far from its pin anything of it swings, its pull too (mm)."""
        return max(math.hypot(s, d) for ring in self._rings() for s, d in ring)

    @property
    def least_reveal(self) -> float:
        """The least gap (mm) beside the free edge, square to it, that lets the edge out."""
        pin = self.pin
        across, behind = self.width - pin.inward, self.thickness - pin.deep
        return max(0.0, math.hypot(across, behind) - across) if behind > 0 else 0.0

    def at(self, angle: float) -> tuple[FloatArray, ...]:
        """Give the door's ring (4, 2), and its pull's where it has one, opened to an angle (radians)."""
        return tuple(self._placed(_turned(np.array(ring), angle)) for ring in self._rings())

    def widest(self, angle: float) -> float:
        """Say how far (mm) the door, opened to an angle, stands into the opening from its closed hinge
        edge."""
        body = _turned(np.array(self._rings()[0]), angle)
        return float(body[:, 0].max()) + self.pin.inward

    def _rings(self) -> list[list[tuple[float, float]]]:
        """Give body and pull as a hinge at the left has them: right of its pin, and behind it."""
        pin = self.pin
        left, right = -pin.inward, self.width - pin.inward
        front, back = -pin.deep, self.thickness - pin.deep
        rings = [[(left, front), (right, front), (right, back), (left, back)]]
        if self.pull is not None:
            middle = right - self.pull.in_from_edge
            low, high = middle - self.pull.width / 2, middle + self.pull.width / 2
            rings.append(
                [(low, front), (low, front - self.pull.out), (high, front - self.pull.out), (high, front)]
            )
        return rings

    def _placed(self, turned: FloatArray) -> FloatArray:
        sign = 1.0 if self.side == "left" else -1.0
        x = self.edge + sign * (self.pin.inward + turned[:, 0])
        return np.column_stack([x, self.face + self.pin.deep + turned[:, 1]])

    def _from_pin(self, line: FloatArray) -> FloatArray:
        """Give a line as a hinge at the left has it, from the pin."""
        sign = 1.0 if self.side == "left" else -1.0
        across = sign * (line[:, 0] - self.edge) - self.pin.inward
        return np.column_stack([across, line[:, 1] - self.face - self.pin.deep])


@dataclass(frozen=True)
class Strike:
    """How much further off its hinge side must stand (mm; below 0: so much is to spare), and at which angle
    (radians) it comes nearest."""

    lacking: float
    angle: float


def pin_of(hinges: Hinges, sits: Sits, thickness: float) -> Pin:
    """Say where a door turns by how it is hung.

    A butt hinge has its pin at a corner of the hinge edge: at the front one where the door is inset, at the
    back one where it lies on the box's face. A knife hinge has it in the middle of the edge (from memory). A
    cup hinge is a linkage, which keeps the door nearly within its edge: taken as a turn about its front
    corner, `CUP_PAST` further out.

    >>> pin_of("butt", "overlay", 19.0), pin_of("cup", "overlay", 19.0).past
    (Pin(inward=0.0, deep=19.0, past=0.0), 1.5)
    """
    refuse_size("door's thickness", thickness)
    if hinges == "cup":
        return Pin(past=CUP_PAST)
    if hinges == "knife":
        return Pin(deep=thickness / 2)
    return Pin(deep=thickness if sits == "overlay" else 0.0)


def strike(
    swing: Swing, lines: Sequence[FloatArray], angle: float = SQUARE, clearance: float = 0.0
) -> Strike | None:
    """Say how much further off a door's hinge side must stand so that it opens to an angle.

    Parameters
    ----------
    swing : Swing
    lines : sequence of arrays (k, 2)
        See the module; k is 2 or more. The outline of a thing is its ring with the first corner repeated.
    angle : float
        Radians, above 0 and up to pi.
    clearance : float
        Kept from them in x and in y, mm.

    Returns
    -------
    Strike or None
        Nothing where the door passes none of them, wherever its hinge side stands.

    Examples
    --------
    A cup hinge 20 mm off a straight wall, a pull that stands out 35 mm; opened square it needs 35 + 1.5:

    >>> door = Swing("left", 20.0, -19.0, 400.0, 19.0, pin_of("cup", "overlay", 19.0), Pull(35.0))
    >>> wall = np.array([[0.0, -1000.0], [0.0, 0.0]])
    >>> found = strike(door, [wall])
    >>> round(found.lacking, 6), round(math.degrees(found.angle), 3)
    (16.5, 90.0)
    """
    if not 0 < angle <= math.pi:
        raise BadInput(f"angle: expected above 0 and up to pi radians, got {angle}")
    if not (math.isfinite(clearance) and clearance >= 0):
        raise BadInput(f"clearance: expected 0 mm or more, got {clearance}")
    return _strike(swing, _stretches(swing, lines, clearance), angle)


def reached(
    swing: Swing, lines: Sequence[FloatArray], angle: float = SQUARE, clearance: float = 0.0
) -> float:
    """Return the angle (radians) up to which a door opens where it stands, `angle` at the most.

    What must be lacking up to an angle only grows with it and is known exactly, so the angle is found by
    halving: the door opens to what is returned, and not to 1e-7 more.

    Examples
    --------
    The door of `strike`; the end of its pull nearer to the pin, 352.375 out, is at the wall, 20 - 1.5 off,
    where 352.375 cos a - 35 sin a = -18.5:

    >>> door = Swing("left", 20.0, -19.0, 400.0, 19.0, pin_of("cup", "overlay", 19.0), Pull(35.0))
    >>> round(math.degrees(reached(door, [np.array([[0.0, -1000.0], [0.0, 0.0]])])), 2)
    87.32
    """
    worst = strike(swing, lines, angle, clearance)
    if worst is None or worst.lacking <= 0:
        return angle
    stretches = _stretches(swing, lines, clearance)
    low, high = 0.0, angle
    while high - low > FINEST:
        middle = (low + high) / 2
        found = _strike(swing, stretches, middle)
        low, high = (middle, high) if found is None or found.lacking <= 0 else (low, middle)
    return low


def _turned(points: FloatArray, angle: float) -> FloatArray:
    """Turn points about the pin of a hinge at the left: what is right of it comes to the front."""
    cos, sin = math.cos(angle), math.sin(angle)
    turned: FloatArray = points @ np.array([[cos, -sin], [sin, cos]])
    return turned


def _stretches(swing: Swing, lines: Sequence[FloatArray], clearance: float) -> FloatArray:
    """Give the straight stretches (n, 2, 2) of lines from the pin, grown by the clearance.

    What is solid to the left of a stretch, grown by a square, is solid to the left of the stretch moved up
    and down, and of a wall as long as the square at each of its ends.
    """
    found = []
    for line in lines:
        points = np.asarray(line, dtype=np.float64)
        if points.ndim != 2 or points.shape[0] < 2 or points.shape[1] != 2:
            raise BadInput(f"line: expected 2 points (x, y) or more, got shape {points.shape}")
        checked_place("line", points.ravel())
        points = swing._from_pin(points) + np.array([clearance + swing.pin.past, 0.0])
        pieces = np.stack([points[:-1], points[1:]], axis=1)
        if clearance > 0:
            up = np.array([0.0, clearance])
            ends = np.stack([points - up, points + up], axis=1)
            pieces = np.concatenate([pieces - up, pieces + up, ends])
        found.append(pieces)
    return np.concatenate(found) if found else np.empty((0, 2, 2))


def _strike(swing: Swing, stretches: FloatArray, angle: float) -> Strike | None:
    """The worst over corners against stretches, and edges against the stretches' ends."""
    if not len(stretches):
        return None
    rings = [np.array(ring) for ring in swing._rings()]
    found = [_corners(np.concatenate(rings), stretches, angle)]
    ends = np.unique(stretches.reshape(-1, 2), axis=0)
    for ring in rings:
        found += [_edge(a, b, ends, angle) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    worst = max(found, key=lambda one: one[0])
    return None if worst[0] == -math.inf else Strike(*worst)


def _corners(corners: FloatArray, stretches: FloatArray, angle: float) -> tuple[float, float]:
    """The most by which a corner on its arc comes past a stretch, and at which angle.

    A corner (s, d) is at x = s cos + d sin, y = d cos - s sin. Past a stretch x = c + m y it comes by
    c + m y - x, greatest at an end of the time that it is beside it, or where that is stationary.
    """
    s, d = (corners[:, k][:, None] for k in (0, 1))
    (ax, ay), (bx, by) = stretches[:, 0].T, stretches[:, 1].T
    flat = np.abs(by - ay) <= TOUCH
    slope = np.where(flat, 0.0, (bx - ax) / np.where(flat, 1.0, by - ay))
    at_zero = np.where(flat, np.maximum(ax, bx), ax - slope * ay)
    radius, lag = np.hypot(s, d), np.arctan2(s, d)
    asked = [np.zeros_like(s * ax), np.full_like(s * ax, angle)]
    asked.append(np.arctan2(-slope * s - d, slope * d - s))
    for end in (ay, by):
        with np.errstate(divide="ignore", invalid="ignore"):
            turn = np.arccos(np.clip(end / radius, -1.0, 1.0))
        asked += [turn - lag, -turn - lag]
    turned = _within(np.stack(asked), angle)
    x = s * np.cos(turned) + d * np.sin(turned)
    y = d * np.cos(turned) - s * np.sin(turned)
    beside = (y >= np.minimum(ay, by) - TOUCH) & (y <= np.maximum(ay, by) + TOUCH)
    on = np.clip(y, np.minimum(ay, by), np.maximum(ay, by))
    return _worst(np.where(beside, at_zero + slope * on - x, -np.inf), turned)


def _edge(a: FloatArray, b: FloatArray, points: FloatArray, angle: float) -> tuple[float, float]:
    """The most by which points (the ends of stretches) come past one edge of the door, and at which angle.

    An edge along the face (at depth d) is at the height y of a point where s = (d cos - y) / sin; an edge
    across (at s) where d = (y + s sin) / cos; there x = s cos + d sin. While a point is beside an edge, x is
    least where cos = y / d or sin = -y / s, where d or s are above 0; else at an end of that time, where a
    corner of the door meets the end of the stretch.
    """
    px, py = points.T
    is_along = a[1] == b[1]
    held = a[1] if is_along else a[0]
    low, high = sorted((a[0], b[0]) if is_along else (a[1], b[1]))
    asked = [np.zeros_like(py), np.full_like(py, angle)]
    if held > 0:
        ratio = np.clip(py / held, -1.0, 1.0)
        asked.append(np.arccos(ratio) if is_along else np.arcsin(-ratio))
    turned = _within(np.stack(asked), angle)
    cos, sin = np.cos(turned), np.sin(turned)
    with np.errstate(divide="ignore", invalid="ignore"):
        free = (held * cos - py) / sin if is_along else (py + held * sin) / cos
        s, d = (free, held) if is_along else (held, free)
        x = s * cos + d * sin
    beside = np.isfinite(x) & (free >= low) & (free <= high)
    return _worst(np.where(beside, px - x, -np.inf), turned)


def _within(angles: FloatArray, most: float) -> FloatArray:
    """Keep the angles that the door passes; the others become 0, which is among those looked at."""
    once = np.mod(angles, 2 * np.pi)
    return np.where(once <= most, once, 0.0)


def _worst(past: FloatArray, angles: FloatArray) -> tuple[float, float]:
    at = int(np.argmax(past))
    return float(past.flat[at]), float(angles.flat[at])

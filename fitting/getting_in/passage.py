"""Doorways, passages, square corners and stairs: what has a closed form.

All are exact for the numbers given. A box is carried with one of its dimensions plumb (on stairs: square to
the slope) and one ahead; every such carry is tried and the best one is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import permutations
from typing import Final

import numpy as np

from fitting.errors import BadInput
from fitting.getting_in.passing import (
    QUARTER,
    STEPS,
    THICK,
    Axis,
    Carry,
    FloatArray,
    Passing,
    Pose,
    answered,
    best,
    checked_length,
    rectangle,
    turned,
)

SCAN: Final = 720
"""Angles at which a least value is looked for before it is closed in on: every 1/8 degree of a quarter."""
GOLDEN: Final = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True)
class Box:
    """A box to be carried: its width, height and depth as it will stand (mm, above 0)."""

    width: float
    height: float
    depth: float

    def __post_init__(self) -> None:
        """Refuse a box without a size."""
        for name in ("width", "height", "depth"):
            checked_length(f"box: {name}", getattr(self, name))

    def carries(self) -> Iterator[tuple[Carry, float, float, float]]:
        """Give every way to carry it, and then its size across, up and ahead (mm)."""
        names: tuple[Axis, ...] = ("width", "height", "depth")
        # The box as it stands comes first, so that of equal answers it is taken.
        order: tuple[Axis, ...] = ("height", "depth", "width")
        for up, ahead in permutations(order, 2):
            (across,) = set(names) - {up, ahead}
            yield Carry(up, ahead), getattr(self, across), getattr(self, up), getattr(self, ahead)


def through_doorway(box: Box, width: float, height: float | None = None) -> Passing:
    """Say whether a box goes straight through an opening, or along a passage.

    Parameters
    ----------
    box : Box
    width : float
        Clear, with the door open (mm).
    height : float or None
        Clear (mm). None where it is not known: then it is taken to be enough, the box is never leaned, and
        whoever asks must say so.

    Returns
    -------
    Passing
        The elevation as one walks through it, the opening from x = 0 and y = 0. The margin is the whole room
        across or up, whichever is less: to be shared by both sides.

    Notes
    -----
    A box that goes ahead straight passes where its cross-section has room in the opening, upright or leaned
    (Carver 1957, Wetzel 2000).

    Examples
    --------
    A cabinet 2134 high goes through a doorway of 2032 on its back only:

    >>> door = through_doorway(Box(900, 2134, 610), 762, 2032)
    >>> door.verdict, door.margin, door.carry.ahead
    ('goes', 152.0, 'height')
    """
    checked_length("doorway: width", width)
    if height is not None:
        checked_length("doorway: height", height)
    return best([_through(width, height, across, up, carry) for carry, across, up, _ in box.carries()])


def up_stairs(box: Box, width: float, headroom: float, slope: float) -> Passing:
    """Say whether a box goes up straight stairs, carried along their slope.

    Parameters
    ----------
    box : Box
    width : float
        Clear, between the walls or the rails (mm).
    headroom : float
        Plumb above the line of the nosings (mm).
    slope : float
        From level, radians, 0 or more and less than a quarter turn.

    Returns
    -------
    Passing
        As for `through_doorway`, seen along the slope: there the headroom is `headroom * cos(slope)`. What
        goes ahead is not limited here; a landing is a corner, see `round_corner`.

    Examples
    --------
    >>> stairs = up_stairs(Box(800, 2100, 600), 900, 2000, math.radians(36.87))
    >>> round(stairs.margin), stairs.carry.ahead
    (300, 'height')
    """
    checked_length("stairs: headroom", headroom)
    if not 0 <= slope < QUARTER:
        raise BadInput(f"stairs: slope: expected 0 up to a quarter turn, got {math.degrees(slope):g} degrees")
    return through_doorway(box, width, headroom * math.cos(slope))


def round_corner(box: Box, first: float, second: float, height: float | None = None) -> Passing:
    """Say whether a box goes round a square corner from one passage into another.

    Parameters
    ----------
    box : Box
    first, second : float
        Widths of the passages (mm); both go on for longer than the box.
    height : float or None
        Of the lower of the two (mm); None: not known, taken to be enough.

    Returns
    -------
    Passing
        The plan: outer walls along x = 0 and y = 0, inner corner at (first, second); it comes down the first
        passage. The margin is the room at the inner corner while the box keeps to both outer walls, or above
        the box where that is less.

    Notes
    -----
    A rectangle L x t at an angle a to y = 0, both ends on the outer walls, is
    ``first sin a + second cos a - L sin a cos a - t`` off the inner corner, and no place in the corner is
    farther off. It need not turn where it is carried sideways in one of the passages. Where it does not go
    level and the height is known, it is tried with one end raised: a box L long and h high, raised by b,
    takes ``L cos b + h sin b`` of the plan and ``L sin b + h cos b`` of the height. Every degree is tried,
    so at its very limit it may go although the answer is no.

    Examples
    --------
    >>> corner = round_corner(Box(1345.5, 800, 600), 900, 900, 1000)
    >>> corner.verdict, round(corner.margin, 2)
    ('goes', 0.04)
    """
    for name, number in (("first", first), ("second", second)):
        checked_length(f"corner: {name} width", number)
    if height is not None:
        checked_length("corner: height", height)
    answers = []
    for carry, across, up, ahead in box.carries():
        if ahead < across:
            continue
        spare = math.inf if height is None else height - up
        answers += [
            _turning(ahead, across, first, second, spare, carry),
            *(_sideways(ahead, across, first, second, turn, spare, carry) for turn in (0.0, QUARTER)),
            *(
                _sideways(ahead, across, first, second, turn, spare, carry)
                for turn in _even(first, second, across, ahead)
            ),
        ]
    level = best(answers)
    if height is None or level.verdict == "goes":
        return level
    return best([level, *_raised(box, first, second, height)])


def _raised(box: Box, first: float, second: float, height: float) -> Iterator[Passing]:
    """Give for each carry the way round a corner with its leading end raised that leaves most room."""
    raised = np.radians(np.arange(1, 90))
    turn = np.radians(np.arange(91))
    s, c = np.sin(turn), np.cos(turn)
    for carry, across, up, ahead in box.carries():
        tall = ahead * np.sin(raised) + up * np.cos(raised)
        long = (ahead * np.cos(raised) + up * np.sin(raised))[:, None]
        outside = first * s + second * c - long * s * c - across
        room = np.maximum(
            outside, np.maximum(first - (long * c + across * s), second - (long * s + across * c))
        ).min(axis=1)
        room = np.where(long[:, 0] >= across, np.minimum(room, height - tall), -np.inf)
        at = int(room.argmax())
        if np.isfinite(room[at]):
            lifted = replace(carry, raised=float(raised[at]))
            yield _turning(float(long[at, 0]), across, first, second, height - float(tall[at]), lifted)


def longest_round_corner(first: float, second: float, thickness: float = 0.0) -> float:
    """Give the longest rectangle of a thickness that turns round a square corner (mm).

    Examples
    --------
    Without thickness it is the ladder, ``(a^(2/3) + b^(2/3))^(3/2)``:

    >>> round(longest_round_corner(27, 64), 9)
    125.0
    """
    checked_length("corner: first width", first)
    checked_length("corner: second width", second)
    if not 0 <= thickness < min(first, second):
        raise BadInput(
            f"corner: expected a thickness of 0 up to the narrower passage's {min(first, second):g} mm, "
            f"got {thickness:g}"
        )

    def length(angle: float) -> float:
        s, c = math.sin(angle), math.cos(angle)
        return (first * s + second * c - thickness) / (s * c)

    return length(_least(length, 1e-6, QUARTER - 1e-6))


def goes_inside(long: float, short: float, width: float, height: float) -> bool:
    """Say whether a rectangle has room in another one, at whatever angle (Carver 1957, Wetzel 2000).

    Examples
    --------
    >>> goes_inside(12, 1, 10, 8.271), goes_inside(12, 1, 10, 8.270)
    (True, False)
    """
    return max(_room(long, short, width, height, turn) for turn in _leans(long, short, width, height)) >= 0


def _through(width: float, height: float | None, across: float, up: float, carry: Carry) -> Passing:
    """Hold a cross-section to an opening, at the lean that leaves most room."""
    if height is None:
        lean, margin, tall = 0.0, width - across, up
    else:
        leans = _leans(across, up, width, height)
        lean = max(leans, key=lambda turn: _room(across, up, width, height, turn))
        margin, tall = _room(across, up, width, height, lean), height
    shape = rectangle(-across / 2, -up / 2, across, up)
    high = float(np.ptp(turned(shape, lean)[:, 1]))
    pose = Pose(width / 2, tall / 2 if height is not None else high / 2, lean)
    sides = (rectangle(-THICK, 0, THICK, tall), rectangle(width, 0, THICK, tall))
    head = () if height is None else (rectangle(-THICK, height, width + 2 * THICK, THICK),)
    leaned = Carry(carry.up, carry.ahead, lean)
    return answered(margin, "elevation", shape, (pose,), 0, (*sides, *head), leaned)


def _room(across: float, up: float, width: float, height: float, lean: float) -> float:
    """Return the room across, or up, whichever is less, of a rectangle in an opening."""
    # Exact for the square carries, where the cosine of a quarter turn is not quite 0.
    c, s = (abs(round(part, 15)) for part in (math.cos(lean), math.sin(lean)))
    return min(width - (across * c + up * s), height - (across * s + up * c))


def _leans(across: float, up: float, width: float, height: float) -> list[float]:
    """Return the leans one of which leaves most room: upright, on its side, or equal room across and up.

    Both rooms are convex in the lean between 0 and a quarter turn, so the lesser of them is greatest at an
    end or where they are equal: ``(across - up)(cos - sin) = width - height``.
    """
    return [0.0, QUARTER, *_even(width, height, across, up)]


def _even(width: float, height: float, across: float, up: float) -> list[float]:
    if across == up:
        return []
    ratio = (width - height) / (across - up) / math.sqrt(2)
    if abs(ratio) > 1:
        return []
    turns = (sign * math.acos(ratio) - QUARTER / 2 for sign in (1, -1))
    return [turn for turn in turns if 0 < turn < QUARTER]


def _turning(long: float, thick: float, first: float, second: float, spare: float, carry: Carry) -> Passing:
    """Turn a rectangle round a corner, with its long side ahead: it must also come in, and go on."""

    def room(angle: float) -> float:
        s, c = math.sin(angle), math.cos(angle)
        return max(
            first * s + second * c - long * s * c - thick,
            first - (long * c + thick * s),
            second - (long * s + thick * c),
        )

    at = _least(room, 0.0, QUARTER)
    turns = sorted({*np.linspace(QUARTER, 0.0, STEPS + 1).tolist(), at}, reverse=True)
    poses = tuple(_against_outer(long, thick, turn) for turn in turns)
    above = Pose(poses[0].x, second + long, poses[0].turn)
    beyond = Pose(first + long, poses[-1].y, 0.0)
    return answered(
        min(room(at), first - thick, second - thick, spare),
        "plan",
        rectangle(-long / 2, -thick / 2, long, thick),
        (above, *poses, beyond),
        1 + turns.index(at),
        _corner_walls(first, second, long),
        carry,
    )


def _sideways(
    long: float, thick: float, first: float, second: float, turn: float, spare: float, carry: Carry
) -> Passing:
    """Take a rectangle round a corner without turning it."""
    s, c = math.sin(turn), math.cos(turn)
    margin = min(first - (long * c + thick * s), second - (long * s + thick * c))
    there = _against_outer(long, thick, turn)
    poses = (Pose(there.x, second + long, there.turn), there, Pose(first + long, there.y, there.turn))
    shape = rectangle(-long / 2, -thick / 2, long, thick)
    return answered(min(margin, spare), "plan", shape, poses, 1, _corner_walls(first, second, long), carry)


def _against_outer(long: float, thick: float, angle: float) -> Pose:
    """Give the pose of a rectangle about its middle, at `angle` to the second passage, on both outer walls.

    Its long side goes from (long cos, 0) to (0, long sin): turned clockwise from x by the angle.
    """
    s, c = math.sin(angle), math.cos(angle)
    return Pose((long * c + thick * s) / 2, (long * s + thick * c) / 2, -angle)


def _corner_walls(first: float, second: float, long: float) -> tuple[FloatArray, ...]:
    reach = 2 * long
    return (
        rectangle(-THICK, -THICK, THICK, second + reach + THICK),
        rectangle(0, -THICK, first + reach, THICK),
        rectangle(first, second, reach, reach),
    )


def _least(of: Callable[[float], float], low: float, high: float) -> float:
    """Find where a function of an angle is least: looked for all over, then narrowed by golden section."""
    angles = np.linspace(low, high, SCAN + 1)
    at = int(np.argmin([of(float(angle)) for angle in angles]))
    a, b = float(angles[max(at - 1, 0)]), float(angles[min(at + 1, SCAN)])
    while b - a > 1e-12:
        left, right = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
        if of(left) <= of(right):
            b = right
        else:
            a = left
    return min((a, b, float(angles[at]), (a + b) / 2), key=of)

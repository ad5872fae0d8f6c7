"""Standing a cabinet up under a ceiling, and letting a bar down between walls: turns in an elevation.

While something turns on a floor, or between walls, only its extent in one direction counts, and the greatest
extent of a turn is exact for any shape: see `greatest_extent`.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from fitting.errors import BadInput
from fitting.getting_in.passing import (
    QUARTER,
    STEPS,
    THICK,
    FloatArray,
    Passing,
    Pose,
    answered,
    checked_length,
    checked_ring,
    rectangle,
    turned,
)


def cabinet_profile(height: float, depth: float, kick: tuple[float, float] = (0.0, 0.0)) -> FloatArray:
    """Give a cabinet's side elevation (n, 2): front at x = 0, back at x = depth, floor at y = 0.

    `kick` is the toe-kick's height and depth; (0, 0) for none, or where the base is loose and `height` is
    that of the case alone.
    """
    checked_length("cabinet: height", height)
    checked_length("cabinet: depth", depth)
    tall, deep = kick
    if not (0 <= tall < height and 0 <= deep < depth):
        raise BadInput(
            f"toe-kick: expected less than {height:g} high and {depth:g} deep, got {tall:g}, {deep:g}"
        )
    if tall == 0 or deep == 0:
        return rectangle(0, 0, depth, height)
    return np.array(
        [[deep, 0], [depth, 0], [depth, height], [0, height], [0, tall], [deep, tall]], dtype=float
    )


def tilt_up(profile: FloatArray, ceiling: float, over: Literal["back", "front"] = "back") -> Passing:
    """Say whether a cabinet that lies on a level floor can be stood up under a level ceiling.

    Parameters
    ----------
    profile : array (n, 2)
        Its side elevation as it stands, see `cabinet_profile`.
    ceiling : float
        Above the floor, at the lowest point over the cabinet's way (mm).
    over : {"back", "front"}
        What it lies on before, and so over which of its lower edges it comes up.

    Returns
    -------
    Passing
        The side elevation, floor at y = 0. The margin is the room under the ceiling at the highest moment.

    Examples
    --------
    >>> tilt_up(cabinet_profile(2400, 700), 2500).margin
    0.0
    """
    checked_length("ceiling", ceiling)
    shape = checked_ring("profile", profile)
    lying = -QUARTER if over == "back" else QUARTER
    low, high = min(lying, 0.0), max(lying, 0.0)
    tall, at = greatest_extent(shape, low, high)
    turns = sorted({*np.linspace(lying, 0.0, STEPS + 1).tolist(), at}, reverse=lying > 0)
    poses = tuple(_standing(shape, turn) for turn in turns)
    left, right = float(shape[:, 0].min()) - 2 * tall, float(shape[:, 0].max()) + 2 * tall
    walls = (
        rectangle(left, -THICK, right - left, THICK),
        rectangle(left, ceiling, right - left, THICK),
    )
    return answered(ceiling - tall, "elevation", shape, poses, turns.index(at), walls)


def tallest_tilt_up(ceiling: float, depth: float) -> float:
    """Give the tallest plain cabinet of a depth that can be stood up under a ceiling (mm).

    Examples
    --------
    >>> tallest_tilt_up(2500, 700)
    2400.0
    """
    checked_length("ceiling", ceiling)
    checked_length("cabinet: depth", depth)
    if depth >= ceiling:
        raise BadInput(f"cabinet: expected less depth than the ceiling's {ceiling:g} mm, got {depth:g}")
    return math.sqrt((ceiling - depth) * (ceiling + depth))


def drop_in(length: float, thickness: float, gap: float) -> Passing:
    """Say whether a bar, or a top, goes down between two walls with one end first, until it lies level.

    Parameters
    ----------
    length, thickness : float
        Seen from the front; an apron counts as thickness (mm).
    gap : float
        Least width between the walls over the height that it sweeps (mm).

    Returns
    -------
    Passing
        The front elevation: walls at x = 0 and x = gap, the seat at y = 0. The margin is the room across at
        the widest moment, when a diagonal of the bar is level.

    Examples
    --------
    >>> round(drop_in(1500, 38, 1500).margin, 4)
    -0.4813
    """
    for name, number in (("length", length), ("thickness", thickness), ("gap", gap)):
        checked_length(f"drop in: {name}", number)
    shape = rectangle(0, 0, length, thickness)
    steepest = 2 * math.atan2(thickness, length) + math.radians(10)
    turns = sorted(
        {*np.linspace(steepest, 0.0, STEPS + 1).tolist(), math.atan2(thickness, length)}, reverse=True
    )
    poses = []
    for turn in turns:
        ring = turned(shape, turn)
        middle = gap / 2 - (ring[:, 0].min() + ring[:, 0].max()) / 2
        poses.append(Pose(float(middle), float(-ring[:, 1].min()), turn))
    walls = (
        rectangle(-THICK, -THICK, THICK, length),
        rectangle(gap, -THICK, THICK, length),
        rectangle(0, -THICK, gap, THICK),
    )
    at = turns.index(math.atan2(thickness, length))
    return answered(gap - math.hypot(length, thickness), "elevation", shape, tuple(poses), at, walls)


def longest_drop_in(gap: float, thickness: float) -> float:
    """Give the longest bar of a thickness that goes down between walls (mm).

    Examples
    --------
    >>> round(longest_drop_in(math.hypot(1500, 38), 38), 9)
    1500.0
    """
    return tallest_tilt_up(gap, thickness)


def greatest_extent(
    shape: FloatArray, low: float, high: float, along: float = QUARTER
) -> tuple[float, float]:
    """Give a shape's greatest extent in a direction while it turns, and the turn of that moment.

    Parameters
    ----------
    shape : array (n, 2)
    low, high : float
        From which turn to which (radians, counter-clockwise).
    along : float
        The direction, radians from x; upward unless said otherwise.

    Notes
    -----
    The extent is the greatest component of any vector from corner to corner; that of one vector is greatest
    where it points in the direction, or at an end of the turn. So it is exact for any shape.
    """
    if not low <= high:
        raise BadInput(f"turn: expected from low to high, got {low:g} to {high:g}")
    first, second = np.triu_indices(len(shape), 1)
    # Both ways round: a vector and its opposite.
    across = np.concatenate([shape[second] - shape[first], shape[first] - shape[second]])
    long, points_to = np.hypot(*across.T), np.arctan2(across[:, 1], across[:, 0])
    wanted = along - points_to
    wanted = low + np.mod(wanted - low, 2 * math.pi)
    turns = np.stack(
        [np.where(wanted <= high + 1e-12, wanted, low), np.full_like(long, low), np.full_like(long, high)]
    )
    extents = np.where(
        np.abs(np.mod(turns - wanted + math.pi, 2 * math.pi) - math.pi) < 1e-12,
        long,
        long * np.cos(points_to + turns - along),
    )
    which = np.unravel_index(int(np.argmax(extents)), extents.shape)
    return float(extents[which]), float(min(turns[which], high))


def _standing(shape: FloatArray, turn: float) -> Pose:
    """Give the pose in which a turned shape rests on the floor, its lowest corner kept where it is."""
    ring = turned(shape, turn)
    lowest = int(np.argmin(ring[:, 1]))
    return Pose(float(shape[lowest, 0] - ring[lowest, 0]), float(-ring[lowest, 1]), turn)

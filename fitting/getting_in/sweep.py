"""How far over something must stand to slide past what is beside its way, without turning: exact, at once."""

from __future__ import annotations

import math

import numpy as np

from fitting.getting_in.passing import FloatArray

MIRRORED = np.array([-1.0, 1.0])


def shift_past(
    shape: FloatArray, barrier: FloatArray, low: float, high: float, on_left: bool
) -> float | None:
    """Give the shift along x that just takes a shape past a barrier, wherever it is on its way along y.

    Parameters
    ----------
    shape, barrier : array (n, 2), (m, 2)
        Rings; notches and steps are allowed. The barrier is taken to be solid to its own side.
    low, high : float
        From where to where along y the shape moves, relative to where it is given (mm).
    on_left : bool
        The barrier is at the shape's left; else at its right.

    Returns
    -------
    float or None
        The least shift (mm) with which it passes one at its left, the greatest for one at its right. None
        where they are never at one level.

    Notes
    -----
    A point b of the barrier and p of the shape meet at one level while ``low <= y_b - y_p <= high``; sought
    is the greatest ``x_b - x_p`` of all such pairs. That is linear in both, so it is greatest between two
    corners, or at an end of the way between a corner of one and an edge of the other.

    Examples
    --------
    A casing 12 thick on the left wall, at x = 0, and a top that lies 5 off the wall:

    >>> casing = np.array([(0.0, -60.0), (12.0, -60.0), (12.0, 0.0), (0.0, 0.0)])
    >>> shift_past(casing * (70, 8) + (5, 500), casing, -700.0, 0.0, True)
    7.0
    """
    if not on_left:
        other = shift_past(shape * MIRRORED, barrier * MIRRORED, low, high, True)
        return None if other is None else -other
    rise = barrier[:, None, 1] - shape[None, :, 1]
    over = barrier[:, None, 0] - shape[None, :, 0]
    best = float(np.where((low <= rise) & (rise <= high), over, -math.inf).max())
    for end in (low, high):
        at_barrier = barrier[:, 0] - _leftmost(shape, barrier[:, 1] - end)
        at_shape = -_leftmost(barrier * MIRRORED, shape[:, 1] + end) - shape[:, 0]
        best = max(best, float(at_barrier.max()), float(at_shape.max()))
    return None if best == -math.inf else best


def _leftmost(ring: FloatArray, levels: FloatArray) -> FloatArray:
    """Give the least x of a ring at each level; infinite where it does not reach there."""
    first, second = ring, np.roll(ring, -1, axis=0)
    lower, upper = np.minimum(first[:, 1], second[:, 1]), np.maximum(first[:, 1], second[:, 1])
    tall = second[:, 1] - first[:, 1]
    level = levels[:, None]
    # The ends of a level edge are corners of its neighbours too.
    share = np.divide(level - first[:, 1], tall, out=np.zeros((len(levels), len(ring))), where=tall != 0.0)
    across = first[:, 0] + share * (second[:, 0] - first[:, 0])
    found: FloatArray = np.where((lower <= level) & (level <= upper) & (tall != 0.0), across, math.inf).min(
        axis=1
    )
    return found

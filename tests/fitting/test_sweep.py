"""Sliding past what is beside the way, against polygons set down at many places along it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import Polygon
from shapely.affinity import translate

from fitting.getting_in.sweep import shift_past

CASING = np.array([(0.0, -60.0), (12.0, -60.0), (12.0, 0.0), (0.0, 0.0)])


def mirrored(ring):
    return ring[::-1] * np.array([-1.0, 1.0])


def blob(luck, left, corners=9):
    """A star-shaped ring with notches, about (left, 0)."""
    turns = np.sort(luck.uniform(0, 2 * math.pi, corners))
    out = luck.uniform(30, 120, corners)
    return np.column_stack([left + out * np.cos(turns), out * np.sin(turns)])


def overlap(shape, barrier, low, high, shift):
    places = np.linspace(low, high, 241)
    moved = [translate(Polygon(shape), shift, float(at)) for at in places]
    return max(one.intersection(Polygon(barrier)).area for one in moved)


@pytest.mark.parametrize("seed", range(25))
def test_at_the_shift_told_it_passes_and_a_little_less_it_does_not(seed):
    """Brute force: 241 places along the way. Both have notches and points."""
    luck = np.random.default_rng(seed)
    shape, barrier = blob(luck, 150.0), blob(luck, 0.0)
    low, high = -200.0, float(luck.uniform(-150, 50))
    shift = shift_past(shape, barrier, low, high, True)
    if shift is None:
        return
    assert overlap(shape, barrier, low, high, shift + 1e-6) < 1e-6
    assert overlap(shape, barrier, low, high, shift - 1.0) > 0.0


def test_a_notch_of_the_shape_passes_at_its_own_level_only():
    """Notched 20 at its front left: in place the casing, 12 thick, is in the notch; on its way it is not."""
    board = np.array([(20.0, 0.0), (900.0, 0.0), (900.0, 500.0), (0.0, 500.0), (0.0, 80.0), (20.0, 80.0)])
    beside = CASING + np.array([0.0, 70.0])
    assert shift_past(board, beside, 0.0, 0.0, True) == pytest.approx(-8.0)
    assert shift_past(board, beside, -600.0, 0.0, True) == pytest.approx(12.0)


def test_one_at_the_right_is_its_mirror_image():
    luck = np.random.default_rng(3)
    shape, barrier = blob(luck, 150.0), blob(luck, 0.0)
    left = shift_past(shape, barrier, -100.0, 20.0, True)
    assert shift_past(mirrored(shape), mirrored(barrier), -100.0, 20.0, False) == pytest.approx(-left)


def test_what_is_never_at_one_level_bars_nothing():
    assert shift_past(CASING + np.array([5.0, 500.0]), CASING, -100.0, 0.0, True) is None


def test_a_sloping_edge_counts_where_the_way_ends():
    """A wall that leans in by 10 over 100 is met where the shape stops, 40 up it: 4, not 10."""
    wall = np.array([(-50.0, 0.0), (0.0, 0.0), (10.0, 100.0), (-50.0, 100.0)])
    stick = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 1.0), (0.0, 1.0)])
    assert shift_past(stick, wall, -200.0, 39.0, True) == pytest.approx(4.0)

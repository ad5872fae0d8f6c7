r"""Hooked cleats worked out by hand; 3/4 in pine or plywood at 45 degrees is common practice, no source.

The board on the saw, w wide and t thick, the blade tilted by a::

      face to the room:   |---- long, wall half ----|k/cos a|-- short, box half --|
                                                    /       /
      face to the wall:   |-- short, wall half --|k/cos a|---- long, box half ----|
                                                 |<->|  t tan a

so long + k / cos a + (long' - t tan a) = w on either face.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.affinity import translate
from shapely.geometry import Polygon

from fitting.cleat import NARROWEST, USUAL_TILT, between_sides, cleat_pair
from fitting.errors import BadInput
from fitting.strip import KERF

INCH = 25.4


def test_three_quarters_at_45_degrees_of_a_5_1_2_board():
    # 5 1/2 in (a dressed 1x6), t 3/4, kerf 1/8: long + long = 5.5 - 0.125 * 1.41421 + 0.75 = 6.07322 in.
    pair = cleat_pair(5.5 * INCH, 0.75 * INCH)
    assert pytest.approx(6.07322 / 2 * INCH, abs=1e-3) == pair.wall_half == pair.box_half
    assert pair.bevel == pytest.approx(0.75 * INCH)
    assert pair.slope == pytest.approx(1.06066 * INCH, abs=1e-3)
    assert pair.behind == pytest.approx(0.75 * INCH)
    # Hooked on, the pair is as high as the board less what the saw took of its face.
    assert pair.stack == pytest.approx((5.5 - 0.1767767) * INCH, abs=1e-3)
    assert pair.off_cut == 0.0


def test_thirty_degrees_and_no_kerf():
    # t 20, tan 30 = 0.57735: bevel 11.547; slope 20 / cos 30 = 23.094; long + long = 100 + 11.547.
    pair = cleat_pair(100.0, 20.0, math.radians(30.0), 0.0)
    assert (pair.bevel, pair.slope) == pytest.approx((11.5470, 23.0940), abs=1e-4)
    assert (pair.wall_half, pair.stack) == pytest.approx((55.7735, 100.0), abs=1e-4)


def test_one_half_given_leaves_the_rest_to_the_other():
    # 150 + 20 - 3 * 1.41421 = 165.757; 60 to the wall leaves 105.757.
    pair = cleat_pair(150.0, 20.0, kerf=3.0, wall_half=60.0)
    assert pair.box_half == pytest.approx(105.7574, abs=1e-4)
    turned = cleat_pair(150.0, 20.0, kerf=3.0, box_half=60.0)
    assert (turned.wall_half, turned.box_half) == pytest.approx((105.7574, 60.0), abs=1e-4)


def test_both_halves_given_leave_an_off_cut_less_another_kerf():
    # 165.757 - 60 - 70 = 35.757, less one square kerf of 3.
    pair = cleat_pair(150.0, 20.0, kerf=3.0, wall_half=60.0, box_half=70.0)
    assert pair.off_cut == pytest.approx(32.7574, abs=1e-4)


def test_where_the_box_half_ends_and_how_far_it_is_lifted():
    # The point of the wall half at 800; its root 20 lower; the box half stands there, 82.879 high.
    pair = cleat_pair(150.0, 20.0, kerf=3.0)
    assert pair.box_half_top(800.0) == pytest.approx(800 - 20 + 82.8787, abs=1e-4)


def halves(pair):
    """Sections of both halves hooked on: x from the wall, y from the wall half's point."""
    t, bevel = pair.behind, pair.bevel
    wall = Polygon([(0, -pair.wall_half), (t, -pair.wall_half), (t, 0), (0, -bevel)])
    box = Polygon([(0, -bevel), (t, 0), (t, pair.box_half - bevel), (0, pair.box_half - bevel)])
    return wall, box


@pytest.mark.parametrize(("tilt", "kerf"), [(45, 3.2), (30, 0.0), (22.5, 2.4), (60, 3.0)])
def test_the_sections_make_up_the_board_and_bear_along_the_slope(tilt, kerf):
    """Independently: areas of the sections and the cut add up to the board's, and the bevels meet."""
    pair = cleat_pair(180.0, 19.0, math.radians(tilt), kerf)
    wall, box = halves(pair)
    cut = 19.0 * kerf / math.cos(math.radians(tilt))
    assert wall.area + box.area + cut == pytest.approx(180 * 19)
    assert wall.intersection(box).area == pytest.approx(0, abs=1e-9)
    assert wall.intersection(box).length == pytest.approx(pair.slope)


@pytest.mark.parametrize("tilt", [45, 30, 60])
def test_it_comes_in_straight_just_when_lifted_by_the_bevel(tilt):
    """Push the box half in level, a little too low and just high enough: it must clear the wall half."""
    pair = cleat_pair(180.0, 19.0, math.radians(tilt), 3.0)
    wall, box = halves(pair)

    def bumps(lift):
        swept = [translate(box, out, lift).intersection(wall).area for out in np.linspace(0, 40, 161)]
        return max(swept) > 1e-9

    assert bumps(pair.bevel - 0.5)
    assert not bumps(pair.bevel + 1e-6)


@pytest.mark.parametrize("degrees", [0, 14.9, 60.1, 90, float("nan")])
def test_an_angle_that_hooks_nothing_is_refused(degrees):
    with pytest.raises(BadInput, match="15 to 60 degrees"):
        cleat_pair(150.0, 20.0, math.radians(degrees))


def test_a_board_too_narrow_says_how_wide_will_do():
    # Each long face 1 in + 20 = 45.4; for two 45.4 * 2 - 20 + 3 * 1.41421 = 75.04 wide.
    with pytest.raises(BadInput, match=r"45\.4 mm or more.*a board 75\.0 wide"):
        cleat_pair(60.0, 20.0, kerf=3.0)
    assert cleat_pair(75.1, 20.0, kerf=3.0).wall_half >= NARROWEST + 20


def test_halves_that_need_a_wider_board_say_how_wide():
    with pytest.raises(BadInput, match=r"expected 184\.2 mm or more for these halves, got 150"):
        cleat_pair(150.0, 20.0, kerf=3.0, wall_half=100.0, box_half=100.0)


def test_common_practice():
    assert math.degrees(USUAL_TILT) == pytest.approx(45)
    assert pytest.approx(INCH / 8) == KERF


def test_what_goes_between_the_sides():
    # 36 in box, 3/4 in sides: 34 1/2 between them.
    assert between_sides(36 * INCH, 0.75 * INCH) == pytest.approx(34.5 * INCH)
    with pytest.raises(BadInput, match="leave something between them"):
        between_sides(36.0, 18.0)

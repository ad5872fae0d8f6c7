"""Boxes in rooms that can be worked out by hand."""

import math

import numpy as np
import piece_rooms as rooms
import pytest

from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.errors import BadInput

SURE = 1e-3  # mm


def box(**changes):
    plan = {"width": 900.0, "depth": 550.0, "bottom": 0.0, "top": 800.0} | changes
    return CabinetPlan("back", **plan)


def test_a_gap_opens_toward_the_front_of_a_wide_corner():
    # 20 asked for; the wall is nearest at the back, and at the front 550 tan 1 deg = 9.60 farther.
    room = rooms.known(rooms.corner(91))
    side = fit_cabinet(room, box(left_wall="left", left_gap=20)).sides["left"]
    assert side.least == pytest.approx(20, abs=SURE)
    assert side.at(0, 550)[0] == pytest.approx(20, abs=SURE)
    assert side.at(0, 0)[0] == pytest.approx(20 + 550 * math.tan(math.radians(1)), abs=SURE)


def test_a_gap_pinches_at_the_front_of_a_tight_corner():
    room = rooms.known(rooms.corner(89))
    side = fit_cabinet(room, box(left_wall="left", left_gap=20)).sides["left"]
    assert side.at(0, 0)[0] == pytest.approx(20, abs=SURE)
    assert side.at(0, 550)[0] == pytest.approx(20 + 550 * math.tan(math.radians(1)), abs=SURE)


def test_a_leaning_side_wall_is_nearest_at_the_top():
    # 5 mm in 1000 over 800: 4 mm.
    room = rooms.known(rooms.corner(90).changed("left", tilt=0.005))
    side = fit_cabinet(room, box(left_wall="left", left_gap=20)).sides["left"]
    assert side.at(800, 0)[0] == pytest.approx(20, abs=SURE)
    assert side.at(0, 0)[0] == pytest.approx(24, abs=SURE)


def test_a_leaning_back_wall_leaves_room_behind_for_shims():
    # The back touches at the top (800); at the bottom the wall is 0.003 * 800 = 2.4 farther.
    room = rooms.known(rooms.corner(90).changed("back", tilt=0.003))
    fitted = fit_cabinet(room, box(left_wall="left", left_gap=0))
    assert fitted.back_gap == pytest.approx(np.full(fitted.back_at.size, 2.4), abs=SURE)
    assert (fitted.back_at[0], fitted.back_at[-1]) == pytest.approx((0, 900))


def test_a_wall_leaning_away_touches_at_the_bottom():
    room = rooms.known(rooms.corner(90).changed("back", tilt=-0.003))
    fitted = fit_cabinet(room, box(left_wall="left", left_gap=0))
    assert fitted.placed.frame.y == pytest.approx(-550, abs=SURE)


def test_between_two_walls_it_stands_in_the_middle():
    # 1500 - 1400 = 100, shared.
    fitted = fit_cabinet(rooms.known(rooms.alcove()), box(width=1400, left_wall="left", right_wall="right"))
    assert [fitted.sides[side].least for side in ("left", "right")] == pytest.approx([50, 50], abs=SURE)
    assert (fitted.left, fitted.right) == (-700, 700)


def test_between_two_walls_a_gap_asked_at_one_side_leaves_the_rest_at_the_other():
    room = rooms.known(rooms.alcove())
    for asked, other in (("left", "right"), ("right", "left")):
        plan = box(width=1400, left_wall="left", right_wall="right", **{f"{asked}_gap": 12.0})
        sides = fit_cabinet(room, plan).sides
        assert (sides[asked].least, sides[other].least) == pytest.approx((12, 88), abs=SURE)


def test_a_box_wider_than_its_place_has_a_gap_below_zero():
    sides = fit_cabinet(
        rooms.known(rooms.alcove()), box(width=1506, left_wall="left", right_wall="right")
    ).sides
    assert sides["left"].least == pytest.approx(-3, abs=SURE)


@pytest.mark.parametrize("out", [250.0, -50.0])
def test_at_a_mark_it_stands_so_far_to_the_right(out):
    room = rooms.known(rooms.with_mark(rooms.corner(90), "scratch", "back", 300.0))
    fitted = fit_cabinet(room, box(mark="scratch", out=out))
    assert fitted.placed.frame.x == pytest.approx(300 + out, abs=SURE)
    assert fitted.sides == {}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"width": 0.0, "left_wall": "left"}, "width: expected a size above 0"),
        ({"width": math.nan, "left_wall": "left"}, "width: expected a size above 0"),
        ({"depth": -1.0, "left_wall": "left"}, "depth: expected a size above 0"),
        ({"top": 0.0, "left_wall": "left"}, "height: expected a size above 0"),
        ({"top": math.inf, "left_wall": "left"}, "height: expected a size above 0"),
        ({}, "needs a corner or mark"),
        ({"mark": "nowhere"}, "nowhere"),
        ({"mark": "left-back", "out": math.nan}, "out: expected a length"),
        ({"left_wall": "attic"}, "wall `attic` does not exist"),
        ({"left_wall": "left", "left_gap": -2.0}, "left gap: expected 0 mm or more"),
        ({"left_wall": "left", "left_gap": math.nan}, "left gap: expected 0 mm or more"),
    ],
)  # fmt: skip
def test_a_box_that_cannot_be_is_refused(changes, words):
    with pytest.raises(BadInput, match=words):
        fit_cabinet(rooms.known(rooms.corner(90)), box(**changes))

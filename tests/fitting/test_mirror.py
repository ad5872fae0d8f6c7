"""Mirrors hung by hand, and what is in their way by brute force."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from fitting.errors import BadInput
from fitting.mirror import REFLECTING_EDGE, KeptClear, MirrorPlan, hang_mirror

PLAN = MirrorPlan(600.0, 800.0, 4.0, 700.0, 1000.0, lowest=950.0, highest=2000.0, wall=(0.0, 1500.0))


def test_it_hangs_centred():
    hung = hang_mirror(PLAN)
    assert (hung.left, hung.right, hung.bottom, hung.top) == (400.0, 1000.0, 1000.0, 1800.0)
    assert hung.beside == (400.0, 500.0)
    assert (hung.over_lowest, hung.under_highest) == (50.0, 200.0)
    assert hung.clashes == ()


def test_glass_weighs_two_and_a_half_kilograms_for_each_millimetre_of_a_square_metre():
    # EN 572-1 (from memory): 2500 kg/m3.
    assert hang_mirror(replace(PLAN, width=1000.0, height=1000.0, thickness=1.0)).kilograms == pytest.approx(
        2.5
    )
    assert hang_mirror(replace(PLAN, width=1000.0, height=1000.0, thickness=6.0)).kilograms == pytest.approx(
        15.0
    )


def test_the_reflecting_edge_counts_from_the_floor_and_over_the_frame():
    hung = hang_mirror(PLAN)
    assert hung.reflects_from(-12.0, frame=40.0) == 1052.0
    assert pytest.approx(40 * 25.4) == REFLECTING_EDGE


def test_what_it_runs_into_and_the_least_way_out():
    # Light from 1750 to 1900: 50 down, or 150 + 750 up and so on.
    light = KeptClear("light", 600.0, 800.0, 1750.0, 1900.0)
    (clash,) = hang_mirror(replace(PLAN, things=(light,))).clashes
    assert (clash.up, clash.down, clash.left, clash.right) == (900.0, 50.0, 400.0, 400.0)
    assert (clash.way, clash.move) == ("down", 50.0)
    assert hang_mirror(replace(PLAN, bottom=950.0, things=(light,))).clashes == ()


def test_clearance_is_kept_all_around():
    light = KeptClear("light", 600.0, 800.0, 1810.0, 1900.0, clearance=10.0)
    assert hang_mirror(replace(PLAN, things=(light,))).clashes == ()
    (clash,) = hang_mirror(replace(PLAN, things=(replace(light, clearance=12.0),))).clashes
    assert (clash.way, clash.move) == ("down", 2.0)


THINGS = st.builds(
    lambda x, y, w, h, c: KeptClear("thing", x, x + w, y, y + h, c),
    *(st.integers(0, 1500), st.integers(500, 2200), st.integers(1, 400), st.integers(1, 400)),
    st.integers(0, 30),
)


@given(thing=THINGS)
def test_clashes_are_overlaps_and_the_least_move_ends_them(thing):
    hung = hang_mirror(replace(PLAN, things=(thing,)))
    around = box(
        thing.left - thing.clearance, thing.bottom - thing.clearance,
        thing.right + thing.clearance, thing.top + thing.clearance,
    )  # fmt: skip
    overlap = box(hung.left, hung.bottom, hung.right, hung.top).intersection(around).area
    assert bool(hung.clashes) == (overlap > 0)
    for clash in hung.clashes:
        dx, dy = {"up": (0, 1), "down": (0, -1), "left": (-1, 0), "right": (1, 0)}[clash.way]

        def moved(by, dx=dx, dy=dy):
            plan = replace(PLAN, centre=PLAN.centre + dx * by, bottom=PLAN.bottom + dy * by, things=(thing,))
            return hang_mirror(plan).clashes

        assert moved(clash.move) == ()
        assert moved(clash.move - 0.5) != ()


@given(thing=THINGS)
def test_the_mirror_image_of_a_wall_has_the_mirror_image_of_its_clashes(thing):
    here = hang_mirror(replace(PLAN, things=(thing,)))
    image = replace(thing, left=1500.0 - thing.right, right=1500.0 - thing.left)
    there = hang_mirror(replace(PLAN, centre=1500.0 - PLAN.centre, things=(image,)))
    assert there.beside == here.beside[::-1]
    assert [(one.left, one.right, one.up) for one in there.clashes] == [
        (one.right, one.left, one.up) for one in here.clashes
    ]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"width": 0.0}, "width: expected a size above 0"),
        ({"thickness": math.nan}, "thickness: expected a size above 0"),
        ({"centre": math.nan}, "centre: expected a length within 60 m"),
        ({"bottom": math.inf}, "bottom: expected a length within 60 m"),
        ({"wall": (10.0, 10.0)}, "wall: expected a start before its end"),
        ({"things": (KeptClear("x", 5.0, 1.0, 0.0, 1.0),)}, "x: expected left before right"),
    ],
)
def test_bad_input(changes, says):
    with pytest.raises(BadInput, match=says):
        hang_mirror(replace(PLAN, **changes))


def test_past_the_end_of_the_wall_is_below_zero():
    assert hang_mirror(replace(PLAN, centre=250.0)).beside == (-50.0, 950.0)

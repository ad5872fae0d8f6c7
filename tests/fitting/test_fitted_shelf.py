"""Shelves between walls, and whether they can be turned level there: closed form against brute force."""

import math

import numpy as np
import piece_rooms as rooms
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.piece import EdgePlan
from fitting.shelf import fit_shelf, longest_tilted, tilted
from fitting.top import TopPlan

SURE = 1e-2


def shelf(gap=2.0, thickness=20.0, finish="net", **changes):
    ends = {side: EdgePlan(side, finish, gap) for side in ("left", "right")} | changes
    return TopPlan("back", rooms.UP, thickness, depth=300.0, **ends)


def widest_on_the_way(length, thickness):
    """The greatest width of a rectangle over all its turns, corner by corner."""
    turns = np.linspace(0.0, math.pi / 2, 20_001)
    corners = np.array([[0, 0], [length, 0], [length, thickness], [0, thickness]], dtype=float)
    across = np.outer(np.cos(turns), corners[:, 0]) - np.outer(np.sin(turns), corners[:, 1])
    back = np.outer(np.cos(turns), corners[:, 0]) + np.outer(np.sin(turns), corners[:, 1])
    return max(np.ptp(across, axis=1).max(), np.ptp(back, axis=1).max())


@given(length=st.floats(50.0, 3000.0), thickness=st.floats(5.0, 45.0))
def test_the_diagonal_is_what_a_turning_board_needs(length, thickness):
    assert tilted(length, thickness) == pytest.approx(widest_on_the_way(length, thickness), rel=1e-6)


@given(width=st.floats(100.0, 3000.0), thickness=st.floats(5.0, 45.0))
def test_the_longest_board_just_turns(width, thickness):
    longest = longest_tilted(width, thickness)
    assert tilted(longest, thickness) == pytest.approx(width, rel=1e-12)
    assert widest_on_the_way(longest - 1.0, thickness) < width < widest_on_the_way(longest + 1.0, thickness)


# W 1000, t 20: the longest is sqrt(1000^2 - 20^2) = 999.79998; in all 0.2 mm of gap is enough. At 200 mm
# wide sqrt(200^2 - 20^2) = 198.9975: 1.0025 is needed.
@pytest.mark.parametrize(
    ("width", "gap", "goes"),
    [(1000.0, 0.11, True), (1000.0, 0.09, False), (200.0, 0.51, True), (200.0, 0.49, False)],
)
def test_just_inside_it_goes_and_just_outside_it_jams(width, gap, goes):
    fitted = fit_shelf(rooms.known(rooms.alcove(width)), shelf(gap))
    assert (fitted.tilt_room > 0) is goes
    length = width - 2 * gap
    assert fitted.tilt_room == pytest.approx(width - math.hypot(length, 20.0), abs=SURE)
    assert fitted.level_room == pytest.approx(2 * gap, abs=SURE)


def test_the_tightest_place_across_its_depth_counts():
    # The left wall runs in by 300 tan 1 = 5.2 toward the front: there the shelf, cut net along it, is
    # shortest, and what a shorter board needs beside its length, t^2 / 2 L, is more.
    fitted = fit_shelf(rooms.known(rooms.alcove(400.0, left=89.0)), shelf(0.5))
    front = 400.0 - 300.0 * math.tan(math.radians(1.0))
    assert fitted.tilt_room == pytest.approx(front - math.hypot(front - 1.0, 20.0), abs=SURE)


def test_covered_ends_leave_more_room_where_the_walls_run_off():
    # Straight ends, 2 mm off the nearest place of each wall: 600 tan 1 / 2 more in front, none at the back.
    fitted = fit_shelf(rooms.known(rooms.alcove(1000.0, left=91.0)), shelf(finish="covered"))
    assert fitted.level_room == pytest.approx(4.0, abs=SURE)
    assert fitted.tilt_room == pytest.approx(1000.0 - math.hypot(996.0, 20.0), abs=SURE)


def test_a_shelf_let_into_the_walls_cannot_be_turned_in():
    fitted = fit_shelf(rooms.known(rooms.alcove(1000.0)), shelf(0.0, finish="let in"))
    assert fitted.tilt_room < 0
    assert fitted.level_room <= 0


def test_a_free_end_needs_no_tilting():
    fitted = fit_shelf(rooms.known(rooms.corner(90)), shelf(right=None, width=700.0))
    assert (fitted.tilt_room, fitted.level_room) == (None, None)
    assert np.ptp(fitted.top.outline.outline[:, 0]) == pytest.approx(700.0, abs=SURE)


def test_mirrored_alcoves_give_mirrored_shelves():
    here = fit_shelf(rooms.known(rooms.alcove(900.0, left=91.0, right=89.5)), shelf())
    there = fit_shelf(rooms.known(rooms.alcove(900.0, left=89.5, right=91.0)), shelf())
    assert here.tilt_room == pytest.approx(there.tilt_room, abs=SURE)
    turned = np.sort(here.top.outline.outline * (-1, 1), axis=0)
    assert turned == pytest.approx(np.sort(there.top.outline.outline, axis=0), abs=SURE)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: tilted(0.0, 20.0), "length: expected a size above 0"),
        (lambda: tilted(500.0, math.nan), "thickness: expected a size above 0"),
        (lambda: longest_tilted(20.0, 20.0), "thickness: expected less than the 20 mm between the walls"),
        (lambda: longest_tilted(-1.0, 20.0), "width: expected a size above 0"),
    ],
)
def test_bad_input(call, says):
    with pytest.raises(BadInput, match=says):
        call()

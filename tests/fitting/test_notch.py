"""Obstacles, the shapes cut away for them, and the notches they make."""

import numpy as np
import pytest
from shapely import Polygon

from fitting.edge import MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import SKIN, Obstacle, SideLine, cutter
from fitting.outline import fit_outline


def box_ring(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=float)


def flat_wall(low, high, reach, finish="scribed", **asked):
    return MeetingSide(
        np.array([low, high], dtype=float), Joint([reach, reach], np.zeros((2, 2))), finish, **asked
    )


def top(obstacles, left=None, right=None):
    """A top 900 x 560, its back on y = 0, its left end on x = 0; ends straight unless told."""
    return fit_outline(
        left or StraightSide(0),
        right or StraightSide(900),
        StraightSide(-560),
        flat_wall(-50, 950, 0),
        obstacles,
    )


CASING = Obstacle("casing", box_ring(-20, -600, 17, -543), 3)


# Coordinates by hand


def test_a_casing_in_the_front_left_corner():
    found = top([CASING], left=flat_wall(-600, 0, 0))
    (notch,) = found.notches
    assert notch.around == "casing"
    assert notch.clearance == 3
    assert notch.opens == ("left", "front")
    assert notch.corners.tolist() == [[0, -540], [20, -540], [20, -560]]
    assert found.outline.tolist() == [
        [20, -560], [900, -560], [900, 0], [0, 0], [0, -540], [20, -540],
    ]  # fmt: skip
    # The blank is larger by the saw's 1/16 in at the left and at the back.
    assert found.blank.tolist() == [
        [20, -560], [900, -560], [900, 1.5875], [-1.5875, 1.5875], [-1.5875, -540], [20, -540],
    ]  # fmt: skip


def test_a_notch_in_the_middle_of_the_back():
    pipe_box = Obstacle("pipe box", box_ring(400, -80, 520, 30), 2, unknown=1)
    (notch,) = top([pipe_box]).notches
    assert notch.clearance == 3
    assert notch.opens == ("back",)
    assert notch.corners.tolist() == [[523, 0], [523, -83], [397, -83], [397, 0]]


def test_a_u_notch_around_a_pipe_that_stands_free_of_the_wall_opens_where_it_is_near():
    # 2 mm of wood would stay between its clearance and the back: less than a saw kerf.
    (notch,) = top([Obstacle("pipe", box_ring(100, -45, 140, -5), 3)]).notches
    assert notch.opens == ("back",)
    assert notch.corners.tolist() == [[143, 0], [143, -48], [97, -48], [97, 0]]


def test_an_obstacle_wholly_inside_is_a_hole_and_no_notch():
    found = top([Obstacle("pipe", box_ring(100, -50, 140, -10), 3)])
    assert found.notches == ()
    (hole,) = found.holes
    assert (hole.around, hole.clearance) == ("pipe", 3)
    assert {tuple(c) for c in hole.corners.tolist()} == {(97, -53), (143, -53), (143, -7), (97, -7)}
    assert [(r.kind, r.about, r.amount) for r in found.remarks] == [("hole", "pipe", 46 * 46)]
    assert len(found.outline) == len(found.blank) == 4


def test_two_notches_in_order_along_the_outline():
    found = top([CASING, Obstacle("valve", box_ring(880, -300, 950, -250), 5)])
    assert [(n.around, n.opens) for n in found.notches] == [
        ("valve", ("right",)),
        ("casing", ("left", "front")),
    ]
    assert found.notches[0].corners.tolist() == [[900, -305], [875, -305], [875, -245], [900, -245]]


def test_twenty_notches():
    teeth = [Obstacle(f"tooth {k}", box_ring(20 + 40 * k, -30, 40 + 40 * k, 9), 2) for k in range(20)]
    found = top(teeth)
    assert [n.around for n in found.notches] == [f"tooth {k}" for k in range(19, -1, -1)]
    assert all(n.opens == ("back",) and len(n.corners) == 4 for n in found.notches)
    assert len(found.outline) == 4 + 20 * 4
    assert Polygon(found.outline).area == pytest.approx(900 * 560 - 20 * 24 * 32, abs=1e-3)


def test_clearances_that_run_into_one_another_make_one_notch():
    found = top(
        [Obstacle("hot", box_ring(100, -60, 120, 5), 4), Obstacle("cold", box_ring(125, -40, 145, 5), 3)]
    )
    (notch,) = found.notches
    assert notch.around == "hot and cold"
    assert notch.clearance == 3
    assert notch.corners.tolist() == [
        [148, 0], [148, -43], [124, -43], [124, -64], [96, -64], [96, 0],
    ]  # fmt: skip


def test_an_obstacle_across_the_whole_piece_cuts_it_in_two():
    found = top([Obstacle("beam", box_ring(300, -700, 340, 100), 5)])
    assert Polygon(found.outline).bounds == (345, -560, 900, 0)
    (rest,) = found.cut_off
    assert Polygon(rest).bounds == (0, -560, 295, 0)
    assert [(r.kind, r.about, r.amount) for r in found.remarks] == [
        ("cut off", "beam", 295 * 560),
        ("no edge", "left", 0),
    ]
    assert set(found.notches[0].opens) == {"front", "back"}
    assert Polygon(found.blank).bounds == (345, -560, 900, 1.5875)


def test_a_strip_along_the_whole_front_opens_three_sides():
    found = top([Obstacle("sill", box_ring(-10, -600, 910, -550), 0)])
    assert set(found.notches[0].opens) == {"left", "right", "front"}
    assert found.notches[0].corners.tolist() == [[0, -550], [900, -550]]
    assert Polygon(found.outline).bounds == (0, -550, 900, 0)


@pytest.mark.parametrize("short", [0, 1e-9, 1e-6, 0.004])
def test_an_obstacle_whose_clearance_just_reaches_the_edge_makes_no_notch(short):
    found = top([Obstacle("post", box_ring(905 - short, -300, 950, -250), 5)])
    assert found.notches == ()
    assert [(r.kind, r.about) for r in found.remarks] == [("clear", "post")]
    assert len(found.outline) == 4


def test_a_clear_obstacle_says_how_much_room_is_left():
    (remark,) = top([Obstacle("post", box_ring(920, -300, 950, -250), 5)]).remarks
    assert (remark.kind, remark.amount) == ("clear", pytest.approx(15, abs=1e-9))


# No skin


@pytest.mark.parametrize("short", [-1e-9, 0, 1e-9, 1e-7, 1e-3, 1, SKIN - 0.1])
def test_no_skin_where_an_obstacle_ends_short_of_the_wall(short):
    found = top([Obstacle("trim", box_ring(short, -400, 30, -300), 0)], left=flat_wall(-600, 0, 0))
    assert found.holes == ()
    assert found.notches[0].opens == ("left",)
    assert found.notches[0].corners.tolist() == [[0, -300], [30, -300], [30, -400], [0, -400]]
    # and through the blank's edge too
    assert [-1.5875, -300] in found.blank.tolist()
    assert len(found.blank) == 8


@pytest.mark.parametrize("short", [1e-9, 1])
def test_no_skin_at_two_sides_of_a_corner(short):
    ring = box_ring(short, -560 + short, 30, -500)
    found = top([Obstacle("trim", ring, 0)], left=flat_wall(-600, 0, 0))
    assert found.notches[0].corners.tolist() == [[0, -500], [30, -500], [30, -560]]
    assert len(found.blank) == 6


def test_a_turned_casing_against_the_wall_leaves_no_wedge_and_no_kink():
    """Its outer face crosses the wall's line at a slant; its sides stay as they are."""
    turn = np.deg2rad(0.5)
    spin = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    ring = box_ring(0, -50, 30, 50) @ spin.T + [0, -300]
    found = top([Obstacle("casing", ring, 0)], left=flat_wall(-600, 0, 0))
    assert len(found.notches) == 1
    assert len(found.notches[0].corners) in (4, 5)
    assert Polygon(found.outline).buffer(-0.5).buffer(0.5).area == pytest.approx(
        Polygon(found.outline).area, abs=3
    )
    inner = found.notches[0].corners[1:3]
    np.testing.assert_allclose(inner, ring[[2, 1]], atol=2e-6)


def test_a_slanted_face_goes_through_the_edge_without_a_kink():
    """A board at 45 degrees through the back; its corner points into the piece."""
    ring = np.array([[400, -80], [500, 20], [400, 120], [300, 20]], dtype=float)
    found = top([Obstacle("post", ring, 0)])
    assert found.notches[0].corners.tolist() == [[480, 0], [400, -80], [320, 0]]


def test_an_obstacle_that_ends_within_the_allowance_is_cut_through_the_blank():
    """Its tip lies 6 mm beyond the wall, the blank's edge 20: no closed hole in the blank."""
    ring = np.array([[400, 6], [350, -44], [400, -94], [450, -44]], dtype=float)
    back = flat_wall(-50, 950, 0, saw=20)
    ends = StraightSide(0), StraightSide(900), StraightSide(-560)
    found = fit_outline(*ends, back, [Obstacle("post", ring, 0)])
    assert found.notches[0].corners[[0, -1]].tolist() == [[406, 0], [394, 0]]
    assert [406, 20] in found.blank.tolist()
    assert [394, 20] in found.blank.tolist()


@pytest.mark.parametrize("over", [-2, -1e-9, 0, 1e-9, 2])
def test_a_tip_at_the_edge_leaves_no_neck(over):
    ring = np.array([[400, over], [350, over - 50], [400, over - 100], [450, over - 50]], dtype=float)
    found = top([Obstacle("post", ring, 0)])
    assert found.holes == ()
    assert found.notches[0].opens == ("back",)
    mouth = found.notches[0].corners[[0, -1]]
    # The tip is opened as wide as the post is 3.2 mm below the edge.
    np.testing.assert_allclose(mouth, [[400 + SKIN + over, 0], [400 - SKIN - over, 0]], atol=2e-6)


def test_a_web_too_thin_to_stay_is_remarked():
    posts = [Obstacle(f"post {k}", box_ring(100 + 42 * k, -60, 140 + 42 * k, 9), 0) for k in (0, 1)]
    (remark,) = top(posts).remarks
    assert (remark.kind, remark.about) == ("thin", "post 0 and post 1")
    assert remark.amount == pytest.approx(2 * 60, abs=5)


# Which end, which side


@pytest.mark.parametrize(
    ("ring", "opens", "corners"),
    [
        (box_ring(-20, -600, 17, -543), ("left", "front"), [[0, -540], [20, -540], [20, -560]]),
        (box_ring(883, -600, 920, -543), ("right", "front"), [[880, -560], [880, -540], [900, -540]]),
        (box_ring(-20, -57, 17, 20), ("left", "back"), [[20, 0], [20, -60], [0, -60]]),
        (box_ring(883, -57, 920, 20), ("right", "back"), [[900, -60], [880, -60], [880, 0]]),
    ],
    ids=["front left", "front right", "back left", "back right"],
)
def test_an_asymmetric_notch_is_at_its_end_and_its_side(ring, opens, corners):
    (notch,) = top([Obstacle("casing", ring, 3)]).notches
    assert notch.opens == opens
    assert notch.corners.tolist() == corners


# shapely: published facts (see the notes on buffers with mitre joins)


def test_a_mitred_clearance_around_a_square():
    assert Obstacle("square", box_ring(0, 0, 100, 100), 10).shape().area == 14400


@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_a_clearance_keeps_its_distance_on_every_side(turn):
    spin = np.deg2rad(turn)
    ring = box_ring(-30, -10, 30, 10) @ [[np.cos(spin), np.sin(spin)], [-np.sin(spin), np.cos(spin)]]
    grown = Obstacle("board", ring, 4).shape()
    assert grown.area == pytest.approx(68 * 28)
    assert grown.exterior.distance(Polygon(ring)) == pytest.approx(4)


def test_a_piece_of_wood_thicker_than_a_kerf_stays():
    wall = SideLine("left", np.array([-600.0, 0.0]), np.zeros(2))
    away = Obstacle("post", box_ring(SKIN + 0.1, -300, 40, -200), 0)
    assert cutter(away, [wall]).bounds == (pytest.approx(SKIN + 0.1), -300, 40, -200)


# Refusals


@pytest.mark.parametrize(
    ("ring", "clearance", "said"),
    [
        ([[0, 0], [1, 0]], 0, "3 corners"),
        ([[0, 0], [10, 10], [10, 0], [0, 10]], 0, "does not cross itself"),
        ([[0, 0], [10, 0], [20, 0]], 0, "encloses something"),
        ([[0, 0], [10, 0], [np.nan, 10]], 0, "finite"),
        ([[0, 0], [10, 0], [1e6, 10]], 0, "within 60 m"),
        ([[0, 0], [10, 0], [10, 10]], -1, "clearance: expected 0 mm or more, got -1"),
        ([[0, 0], [10, 0], [10, 10]], np.inf, "clearance"),
    ],
)
def test_shapes_that_cannot_be_kept_clear_of(ring, clearance, said):
    with pytest.raises(BadInput, match=said):
        Obstacle("pipe", np.array(ring, dtype=float), clearance)

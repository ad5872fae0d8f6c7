"""Doorways, corners, stairs, tilting up, dropping in: published and worked values, and brute force."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate

from fitting.errors import BadInput
from fitting.getting_in.passage import (
    Box,
    goes_inside,
    longest_round_corner,
    round_corner,
    through_doorway,
    up_stairs,
)
from fitting.getting_in.passing import Passing, rectangle
from fitting.getting_in.tilt import (
    cabinet_profile,
    drop_in,
    greatest_extent,
    longest_drop_in,
    tallest_tilt_up,
    tilt_up,
)

lengths = st.floats(200, 3000)
settings.register_profile("passage", deadline=None)
settings.load_profile("passage")


def overlap(answer: Passing) -> float:
    """Area (mm2) of the worst overlap with a barrier, of 20 poses between any two, by shapely."""
    walls = [Polygon(ring) for ring in answer.barriers]
    worst = 0.0
    for a, b in zip(answer.poses, answer.poses[1:] or answer.poses, strict=False):
        for share in np.linspace(0, 1, 21):
            pose = type(a)(
                *(p + share * (q - p) for p, q in zip((a.x, a.y, a.turn), (b.x, b.y, b.turn), strict=True))
            )
            worst = max(worst, *(Polygon(pose.of(answer.shape)).intersection(wall).area for wall in walls))
    return worst


# Ladder: closed form (a^(2/3) + b^(2/3))^(3/2), published for the unit case (2 sqrt 2), 125 exact for 27, 64.
# With thickness: the minimum over the angle, worked out beforehand; equal widths 2 sqrt 2 a - 2 t.
CORNERS = [
    (1, 1, 0, 2.8284271),
    (3, 4, 0, 9.8656626),
    (27, 64, 0, 125.0),
    (8, 27, 0, 46.8721666),
    (900, 900, 0, 2545.5844),
    (762, 914.4, 0, 2367.5158),
    (1, 1, 0.5, 1.8284271),
    (27, 64, 10, 103.9037102),
    (900, 900, 600, 1345.5844),
]


@pytest.mark.parametrize(("first", "second", "thickness", "longest"), CORNERS)
def test_longest_round_a_corner(first, second, thickness, longest):
    assert longest_round_corner(first, second, thickness) == pytest.approx(longest, rel=3e-8)
    assert longest_round_corner(second, first, thickness) == pytest.approx(longest, rel=3e-8)


@pytest.mark.parametrize(("first", "second", "thickness", "longest"), [row for row in CORNERS if row[2]])
def test_a_box_goes_round_just_inside_and_not_just_outside(first, second, thickness, longest):
    tall = 10 * longest
    assert round_corner(Box(longest * (1 - 1e-6), tall, thickness), first, second, tall).verdict == "goes"
    assert (
        round_corner(Box(longest * (1 + 1e-6), tall, thickness), first, second, tall).verdict == "does not go"
    )


@given(first=lengths, second=lengths, long=lengths, share=st.floats(0.05, 1))
@settings(max_examples=60)
def test_the_motion_round_a_corner_touches_nothing_where_it_goes(first, second, long, share):
    answer = round_corner(Box(long, 500, long * share), first, second, 600)
    if answer.verdict == "goes":
        # Between the poses of a quarter in 24 steps the middle goes on chords: 0.1 % of the length.
        assert overlap(answer) <= (2e-3 * long) ** 2 + long * 2e-3 * long
        exact = [Polygon(pose.of(answer.shape)) for pose in answer.poses]
        assert all(
            shape.intersection(Polygon(ring)).area < 1e-3 for shape in exact for ring in answer.barriers
        )


@given(first=lengths, second=lengths, long=lengths, share=st.floats(0.05, 1))
@settings(max_examples=60)
def test_a_corner_taken_from_the_other_side_is_the_same(first, second, long, share):
    box = Box(long, 500, long * share)
    there, back = round_corner(box, first, second).margin, round_corner(box, second, first).margin
    assert there == pytest.approx(back, abs=1e-6)


@given(first=lengths, second=lengths, long=lengths, share=st.floats(0.05, 1))
@settings(max_examples=60)
def test_a_corner_against_brute_force_over_angles(first, second, long, share):
    """At each angle the rectangle lies on both outer walls: is the inner corner in it (shapely)?"""
    thick = long * share
    inner = Polygon(rectangle(first, second, 9000, 9000))
    walls_off = Polygon(rectangle(0, 0, long, thick))
    blocked = 0.0
    for angle in np.linspace(0, 90, 361):
        turned = rotate(walls_off, -angle, origin=(0, 0))
        left, low, _, _ = turned.bounds
        moved = Polygon(np.asarray(turned.exterior.coords) - (left, low))
        blocked = max(blocked, moved.intersection(inner).area)
    straight = (long <= first and thick <= second) or (long <= second and thick <= first)
    margin = round_corner(Box(long, 10_000, thick), first, second, 10_000).margin
    if blocked > 1.0 and not straight and margin >= 0:
        # Askew and without turning is the only way left: it lies in both passages at once.
        assert any(
            np.ptp(np.asarray(rotate(walls_off, -angle).exterior.coords)[:, 0]) <= first
            and np.ptp(np.asarray(rotate(walls_off, -angle).exterior.coords)[:, 1]) <= second
            for angle in np.linspace(0, 90, 3601)
        )
    elif (blocked == 0.0 and thick <= min(first, second)) or straight:
        assert margin >= -1e-3 * long


def test_what_has_room_in_the_corner_but_not_in_the_passage_does_not_go():
    assert round_corner(Box(201, 9000, 201), 200, 230, 9000).margin == pytest.approx(-1)


def test_carver_and_wetzel():
    """12 x 1 in a rectangle 10 wide needs 8.2708494; a strip q in a square a: a sqrt 2 - q; worked values."""
    assert goes_inside(12, 1, 10, 8.27084950)
    assert not goes_inside(12, 1, 10, 8.2708493)
    assert goes_inside(13.1421356, 1, 10, 10)
    assert not goes_inside(13.1421357, 1, 10, 10)
    # By both published forms of the criterion, and by four million angles.
    assert goes_inside(112.84962, 10, 100, 70)
    assert not goes_inside(112.84963, 10, 100, 70)


@given(p=lengths, q=lengths, a=lengths, b=lengths)
def test_rectangle_in_rectangle_by_the_published_criterion(p, q, a, b):
    """Carver 1957: fits iff p <= a, q <= b, or q <= b >= (2pqa + (p2-q2) sqrt(p2+q2-a2))/(p2+q2)."""
    p, q, a, b = max(p, q), min(p, q), max(a, b), min(a, b)
    if p <= a:
        expected, edge = q <= b, b - q
    else:
        need = (2 * p * q * a + (p * p - q * q) * math.sqrt(p * p + q * q - a * a)) / (p * p + q * q)
        expected, edge = q <= b and b >= need, min(b - q, b - need, key=abs)
    if abs(edge) > 1e-6:
        assert goes_inside(p, q, a, b) is expected


@pytest.mark.parametrize(
    ("box", "width", "height", "margin", "ahead"),
    [
        pytest.param(Box(600, 800, 500), 762, 2032, 262, "width", id="the least of its sizes goes across"),
        pytest.param(Box(900, 2134, 610), 762, 2032, 152, "height", id="too tall: on its back"),
        pytest.param(Box(800, 2000, 780), 762, 2032, -18, None, id="lacks what it is too wide"),
    ],
)
def test_doorways(box, width, height, margin, ahead):
    answer = through_doorway(box, width, height)
    assert answer.margin == pytest.approx(margin)
    assert answer.verdict == ("goes" if margin >= 0 else "does not go")
    assert ahead is None or answer.carry.ahead == ahead


def test_a_wide_panel_goes_through_leaned():
    """13.14 x 1 in a square of 10 (a sqrt 2 - q): only leaned by 45 degrees."""
    answer = through_doorway(Box(1314.2, 9000, 100), 1000, 1000)
    assert answer.verdict == "goes"
    assert answer.carry.lean == pytest.approx(math.pi / 4)
    assert overlap(answer) < 1e-6
    assert through_doorway(Box(1314.3, 9000, 100), 1000, 1000).verdict == "does not go"


def test_without_a_height_a_doorway_never_leans():
    assert through_doorway(Box(1314.2, 9000, 1100), 1000).verdict == "does not go"
    assert through_doorway(Box(1314.2, 9000, 900), 1000).margin == 100


def test_stairs_take_the_cosine_of_their_slope():
    """3-4-5: slope with cosine 0.8, headroom 2000: 1600 square to the slope."""
    slope = math.acos(0.8)
    assert up_stairs(Box(850, 1600, 3000), 900, 2000, slope).verdict == "goes"
    assert up_stairs(Box(950, 1590, 3000), 900, 1999, slope).margin == pytest.approx(-50)
    assert up_stairs(Box(850, 1601, 3000), 900, 2000, slope).verdict == "does not go"


# Peak of tilting up, sqrt(H2 + D2): worked values.
@pytest.mark.parametrize(
    ("height", "depth", "peak"),
    [
        (2400, 700, 2500.0),
        (2100, 600, 2184.0330),
        (2134, 610, 2219.4720),
        (2286, 610, 2365.9873),
        (2200, 600, 2280.3509),
        (84 * 25.4, 24 * 25.4, 87.361 * 25.4),
        (93 * 25.4, 24 * 25.4, 96.047 * 25.4),
        (96 * 25.4, 16 * 25.4, 97.324 * 25.4),
    ],
)
@pytest.mark.parametrize("over", ["back", "front"])
def test_tilting_up(height, depth, peak, over):
    profile = cabinet_profile(height, depth)
    assert tilt_up(profile, 3000, over).margin == pytest.approx(3000 - peak, abs=0.013)
    assert tilt_up(profile, peak + 0.02, over).verdict == "goes"
    assert tilt_up(profile, peak - 0.02, over).verdict == "does not go"


def test_tilting_up_with_a_toe_kick():
    """H 2400, D 600, kick 100 x 75: 2473.8634 over the back, 2456.7509 over the front, at 12.34 degrees."""
    profile = cabinet_profile(2400, 600, (100, 75))
    assert tilt_up(profile, 2500, "back").margin == pytest.approx(2500 - 2473.8634, abs=1e-4)
    front = tilt_up(profile, 2500, "front")
    assert front.margin == pytest.approx(2500 - 2456.7509, abs=1e-4)
    assert math.degrees(front.poses[front.tightest].turn) == pytest.approx(12.34, abs=0.005)
    assert tilt_up(profile, 2456.76, "front").verdict == "goes"
    assert tilt_up(profile, 2456.74, "front").verdict == "does not go"


@pytest.mark.parametrize(
    ("depth", "tallest"), [(12, 95.247), (16, 94.657), (18, 94.297), (21, 93.675), (24, 92.952)]
)
def test_tallest_under_96(depth, tallest):
    assert tallest_tilt_up(96, depth) == pytest.approx(tallest, abs=6e-4)


# Excess over the length, t2 / 2L nearly: worked values.
@pytest.mark.parametrize(
    ("length", "thickness", "excess"),
    [(1500, 38, 0.4813), (1500, 150, 7.4813), (1800, 40, 0.4444), (900, 20, 0.2222)],
)
def test_dropping_in(length, thickness, excess):
    assert drop_in(length, thickness, length).margin == pytest.approx(-excess, abs=6e-5)
    assert drop_in(length, thickness, length + excess + 1e-4).verdict == "goes"
    assert drop_in(length, thickness, length + excess - 1e-4).verdict == "does not go"
    assert longest_drop_in(length + excess, thickness) == pytest.approx(length, abs=1e-4)


@given(
    points=st.lists(st.tuples(st.floats(-900, 900), st.floats(-900, 900)), min_size=3, max_size=8),
    low=st.floats(-3, 3),
    over=st.floats(0, 3),
    along=st.floats(-3, 3),
)
def test_greatest_extent_against_brute_force(points, low, over, along):
    ring = np.array(points)
    extent, at = greatest_extent(ring, low, low + over, along)
    turns = np.linspace(low, low + over, 2001)
    across = np.cos(along - turns)[:, None] * ring[:, 0] + np.sin(along - turns)[:, None] * ring[:, 1]
    brute = np.ptp(across, axis=1).max()
    assert low <= at <= low + over
    assert brute - 1e-9 <= extent <= brute + 2600 * (over / 4000) ** 2 + 1e-9


@pytest.mark.parametrize(
    "answer", [tilt_up(cabinet_profile(2300, 600, (100, 75)), 2400, "front"), drop_in(1500, 38, 1501)]
)
def test_poses_of_a_turn_touch_no_wall(answer):
    shapes = [Polygon(pose.of(answer.shape)) for pose in answer.poses]
    assert answer.verdict == "goes"
    assert all(shape.intersection(Polygon(ring)).area < 1e-6 for shape in shapes for ring in answer.barriers)


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (lambda: Box(0, 1, 1), "box: width: expected more than 0 mm, got 0"),
        (lambda: through_doorway(Box(1, 1, 1), -5), "doorway: width"),
        (lambda: round_corner(Box(1, 1, 1), math.nan, 5), "corner: first width"),
        (lambda: up_stairs(Box(1, 1, 1), 900, 2000, 1.6), "slope: expected 0 up to a quarter turn"),
        (lambda: longest_round_corner(900, 800, 800), "expected a thickness of 0 up to"),
        (lambda: cabinet_profile(2000, 600, (100, 600)), "toe-kick: expected less than"),
        (lambda: tallest_tilt_up(600, 600), "expected less depth"),
        (lambda: greatest_extent(np.zeros((3, 2)), 1.0, 0.0), "from low to high"),
    ],
)
def test_what_cannot_be_is_refused(call, expected):
    with pytest.raises(BadInput, match=expected):
        call()


@pytest.mark.parametrize("height", [2405.0, 2395.0])
def test_a_long_panel_goes_round_a_corner_with_one_end_raised(height):
    """By hand: 2452 x 561 x 18 on edge, raised by 60 degrees, takes 2452 cos 60 + 561 sin 60 = 1711.8 of
    the plan and 2452 sin 60 + 561 cos 60 = 2404.0 of the height; on end it is too high for either."""
    panel = Box(2452.0, 561.0, 18.0)
    raised = round_corner(panel, 800.0, 750.0, height)
    assert raised.verdict == "goes"
    assert raised.carry is not None
    b, sizes = raised.carry.raised, {"width": 2452.0, "height": 561.0, "depth": 18.0}
    ahead, up = sizes.pop(raised.carry.ahead), sizes.pop(raised.carry.up)
    (across,) = sizes.values()
    assert ahead * math.sin(b) + up * math.cos(b) <= height
    assert ahead * math.cos(b) + up * math.sin(b) < longest_round_corner(800.0, 750.0, across)


def test_raised_under_a_low_ceiling_it_does_not_go():
    """Under 1000 it can be raised by 11 degrees at the most, 2452 sin b + 561 cos b, and stays 2514 long."""
    assert round_corner(Box(2452.0, 561.0, 18.0), 800.0, 750.0, 1000.0).verdict == "does not go"

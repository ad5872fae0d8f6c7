"""From where a notched piece can come in: cases by hand, and shapely's swept shapes as reference."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely import Polygon
from shapely.affinity import translate

from fitting.edge import StraightSide
from fitting.entry import AXES, name_of, way_in
from fitting.errors import BadInput
from fitting.notch import REACHES_IN, Obstacle
from fitting.outline import fit_outline

FRONT, RIGHT, LEFT, BACK = AXES


def box_ring(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=float)


def wall(name, *corners):
    return Obstacle(name, box_ring(*corners), 0)


BEHIND = wall("back wall", -3000, 0, 3000, 200)
AT_LEFT = wall("left wall", -200, -3000, 0, 200)
AT_RIGHT = wall("right wall", 900, -3000, 1100, 200)
PLAIN = box_ring(0, -560, 900, 0)


def notched(*obstacles):
    """A top 900 x 560, its back on y = 0, notched around what stands in it."""
    sides = StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0)
    return fit_outline(*sides, obstacles).outline


# By hand


def test_between_two_walls_a_top_comes_straight_from_the_front_and_from_nowhere_else():
    """The walls reach 3 m to the front: with 0.01 mm at each end the way turns by 0.02 / 3000 and no more."""
    entry = way_in(PLAIN, [BEHIND, AT_LEFT, AT_RIGHT])
    (arc,) = entry.open
    assert arc.holds(FRONT)
    assert arc.width == pytest.approx(0.02 / 3000, rel=0.01)
    assert entry.moves[0] == pytest.approx((0, 560))
    assert entry.bars(LEFT) == ("left wall",)
    assert entry.bars(BACK) == ("back wall",)
    assert set(entry.bars(math.radians(-100))) == {"left wall"}


@pytest.mark.parametrize(("gap", "width"), [(2, 2 * math.atan(2 / 3000)), (30, 2 * math.atan(30 / 3000))])
def test_gaps_at_both_ends_open_an_arc(gap, width):
    """Each wall lets the way turn until the back corner touches its end, 3 m before it: atan(gap / 3000)."""
    entry = way_in(PLAIN, [BEHIND, wall("l", -300, -3000, -gap, 200), wall("r", 900 + gap, -3000, 1200, 200)])
    (arc,) = entry.open
    assert arc.width == pytest.approx(width, abs=1e-5)
    assert entry.room["l"] == pytest.approx(gap, abs=0.001)
    assert entry.moves[0] == pytest.approx((0, 560))


def test_in_a_corner_a_quarter_is_open():
    entry = way_in(PLAIN, [BEHIND, AT_LEFT])
    (arc,) = entry.open
    assert (arc.start, arc.width) == pytest.approx((FRONT, math.pi / 2), abs=1e-3)
    assert entry.comes_from(math.radians(-45))


def test_a_notch_that_hooks_around_a_post_goes_in_sideways_only():
    """The post stands 40 mm off the left wall's place, in a slot from the left: 1 mm clear at both sides."""
    post = Obstacle("post", box_ring(-100, -340, 60, -300), 1)
    entry = way_in(notched(post), [BEHIND, wall("post", -100, -340, 60, -300)])
    (arc,) = entry.open
    assert arc.holds(RIGHT)
    assert not entry.comes_from(FRONT)
    assert entry.bars(FRONT) == ("post",)
    assert entry.moves == (pytest.approx((-900, 0)),)
    # 1 mm of room over a slot 61 mm deep; the wall behind takes the half that goes to the back
    assert arc.width == pytest.approx(math.atan(1 / 61), abs=5e-4)


def test_the_mirrored_piece_comes_from_the_other_side():
    post = Obstacle("post", box_ring(840, -340, 1000, -300), 1)
    entry = way_in(notched(post), [BEHIND, post])
    assert entry.comes_from(LEFT)
    assert not entry.comes_from(RIGHT)
    assert entry.moves == (pytest.approx((900, 0)),)


def test_a_notch_behind_a_casing_takes_two_motions():
    """From the front past the casing, then to the left, behind it: the notch is a hook in the left end.

    The casing reaches 60 mm in from the left wall, 100 mm long; before it, the piece goes on 100 mm to the
    wall. So it must stand 60 mm to the right, less 0 (it may touch), when it comes back past the casing.
    """
    casing = box_ring(-200, -460, 60, -360)
    top = notched(Obstacle("casing", casing, 0))
    barriers = [BEHIND, AT_LEFT, Obstacle("casing", casing, 0), wall("far end", 1000, -3000, 1200, 200)]
    entry = way_in(top, barriers)
    assert entry.open == ()
    first, last = entry.moves
    assert first == pytest.approx((0, 560))
    assert last[1] == pytest.approx(0)
    assert 60 - 0.02 <= -last[0] <= 60.2
    # With 50 mm at its right end it cannot stand far enough to the right.
    narrow = [*barriers[:3], wall("far end", 950, -3000, 1200, 200)]
    assert way_in(top, narrow).moves == ()


def test_a_pipe_through_a_hole_leaves_only_the_way_down():
    pipe = wall("pipe", 400, -300, 450, -250)
    found = fit_outline(StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0), [pipe])
    assert found.notches == ()
    entry = way_in(found.outline, [BEHIND, pipe])
    assert entry.overlaps == ("pipe",)
    assert entry.open == entry.moves == ()
    assert entry.square_to_face


def test_what_stands_over_it_bars_the_way_down():
    shelf, beside = wall("shelf", 100, -200, 400, 0), wall("duct", 901, -200, 1000, 0)
    entry = way_in(PLAIN, [BEHIND], [shelf, beside])
    assert entry.over == ("shelf",)
    assert not entry.square_to_face


@pytest.mark.parametrize(
    ("degrees", "name"), [(-90, 0), (-81, 0), (5, 1), (180, 2), (-179, 2), (90, 3), (45, None)]
)
def test_directions_are_called_by_the_axes(degrees, name):
    assert name_of(math.radians(degrees)) == name


def test_an_outline_that_is_none_is_refused():
    with pytest.raises(BadInput, match="piece: expected a ring"):
        way_in([(0, 0), (1, 1), (1, 0), (0, 1)], [])
    with pytest.raises(BadInput, match="wider than"):
        way_in(box_ring(0, 0, 100, 0.015), [])


# Random pieces among random barriers, against swept shapes


def swept(piece, angle, length):
    """Give all that a piece passes over: the sum of a polygon and a segment, edge by edge."""
    off = length * np.array([math.cos(angle), math.sin(angle)])
    ring = np.asarray(piece.exterior.coords)
    bands = [Polygon([a, b, b + off, a + off]) for a, b in pairwise(ring)]
    whole = [band for band in bands if band.area > 1e-9]
    return shapely.union_all([piece, translate(piece, *off), *(shapely.make_valid(one) for one in whole)])


def less_a_hair(piece):
    """What reaches no deeper than 0.01 mm bars nothing: at a sharp corner that is more along it."""
    return Polygon(piece).buffer(-REACHES_IN, join_style="mitre")


def star(rng, centre, size, corners):
    """A simple polygon, seldom convex."""
    angles = np.sort(rng.uniform(0, 2 * math.pi, corners))
    while np.diff(np.append(angles, angles[0] + 2 * math.pi)).max() > 2.8:
        angles = np.sort(rng.uniform(0, 2 * math.pi, corners))
    reach = size * rng.uniform(0.3, 1.0, corners)
    return centre + np.column_stack([np.cos(angles), np.sin(angles)]) * reach[:, None]


def scene(seed):
    rng = np.random.default_rng(seed)
    piece = star(rng, np.zeros(2), 400, 9)
    barriers = []
    while len(barriers) < 3:
        ring = star(rng, rng.uniform(-700, 700, 2), 250, 7)
        if Polygon(ring).distance(Polygon(piece)) > 1:
            barriers.append(Obstacle(f"b{len(barriers)}", ring, 0))
    return piece, barriers


@pytest.mark.parametrize("seed", range(40))
def test_open_directions_are_those_whose_sweep_meets_nothing(seed):
    piece, barriers = scene(seed)
    entry = way_in(piece, barriers)
    ends = [end for arc in entry.open for end in (arc.start, arc.start + arc.width)]
    for angle in np.linspace(-math.pi, math.pi, 145):
        if any(abs(math.remainder(angle - end, 2 * math.pi)) < 1e-3 for end in ends):
            continue
        path = swept(less_a_hair(piece), angle, 4000)
        bars = {one.name for one in barriers if path.intersects(Polygon(one.ring))}
        assert set(entry.bars(angle)) == bars
        assert entry.comes_from(angle) == (not bars)


@pytest.mark.parametrize("seed", range(40))
def test_the_ends_of_open_arcs_are_where_the_sweep_begins_to_touch(seed):
    piece, barriers = scene(seed)
    solid = shapely.union_all([Polygon(one.ring) for one in barriers])
    for arc in way_in(piece, barriers).open:
        if arc.width < 0.01:
            continue
        for end, inward in ((arc.start, 1), (arc.start + arc.width, -1)):
            assert not swept(less_a_hair(piece), end + inward * 1e-3, 4000).intersects(solid)
            assert swept(less_a_hair(piece), end - inward * 1e-3, 4000).intersects(solid)


@pytest.mark.parametrize("seed", range(60))
def test_what_takes_up_the_place_of_a_piece_is_named(seed):
    """Barriers moved until they reach 0.2 mm into the piece, and until 0.2 mm are between them."""
    piece, (barrier, *_) = scene(seed)
    shape, ring = less_a_hair(piece), barrier.ring
    way = np.mean(piece, axis=0) - ring.mean(axis=0)
    low, high = 0.0, 1.0  # clear, and well within
    for _ in range(40):
        middle = (low + high) / 2
        if shape.intersects(Polygon(ring + middle * way)):
            high = middle
        else:
            low = middle
    hair = 0.2 / math.hypot(*way)
    for share, takes in ((low - hair, False), (high + hair, True), (1.0, True)):
        there = Polygon(ring + share * way)
        assert shape.intersects(there) == takes
        assert bool(way_in(piece, [Obstacle("b", ring + share * way, 0)]).overlaps) == takes


def closed(seed):
    """A scene in a room that is left by two motions at the least: to the front, then to the right."""
    piece, barriers = scene(seed)
    room = [
        wall("left", -900, -1300, -420, 900),
        wall("back", -900, 420, 900, 900),
        wall("front", -900, -1350, 3000, -1300),
        wall("right", 500, -300, 560, 900),
    ]
    return piece, [barriers[0], *room]


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("make", [scene, closed])
def test_the_motions_that_are_found_meet_nothing_and_keep_the_room_they_say(make, seed):
    piece, barriers = make(seed)
    entry = way_in(piece, barriers)
    if not entry.moves:
        assert entry.open == ()
        return
    assert (len(entry.moves) == 1) == bool(entry.open)
    here = translate(less_a_hair(piece), *(-np.sum(entry.moves, axis=0)))
    nearest = dict.fromkeys((one.name for one in barriers), math.inf)
    for move in entry.moves:
        path = swept(here, math.atan2(move[1], move[0]), math.hypot(*move))
        here = translate(here, *move)
        for one in barriers:
            nearest[one.name] = min(nearest[one.name], path.distance(Polygon(one.ring)))
            assert path.intersection(Polygon(one.ring)).area < 1e-6
    assert here.equals_exact(less_a_hair(piece), 1e-6)
    for name, room in entry.room.items():
        assert room == pytest.approx(max(nearest[name] - REACHES_IN, 0), abs=0.001)


def test_closed_rooms_are_left_by_two_motions():
    counts = [len(way_in(*closed(seed)).moves) for seed in range(40)]
    assert set(counts) == {0, 2}
    assert counts.count(2) >= 10

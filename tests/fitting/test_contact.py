"""A straight edge against a wall: published sets, scipy as reference, and what must always hold."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.spatial import ConvexHull

from fitting.contact import (
    TOUCHING,
    least_scribe,
    minimum_zone,
    straight_edge,
    straightness,
    upper_hull,
    vertical_plane,
)
from fitting.errors import BadInput, Unsolvable

# H. P. Williams, Model Building in Mathematical Programming, 5th ed., problem 11. Its printed
# minimax line is y = 0.625 x - 0.4 with 1.725; the rest was computed with scipy from the same data.
A_ALONG = [0, 0.5, 1, 1.5, 1.9, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 6.6, 7, 7.6, 8.5, 9, 10]
A_WALL = [1, 0.9, 0.7, 1.5, 2, 2.4, 3.2, 2, 2.7, 3.5, 1, 4, 3.6, 2.7, 5.7, 4.6, 6, 6.8, 7.3]
# Autocollimator exercise (a worksheet, published answer 3 um): heights in um, bases of 100 mm.
B_ALONG, B_WALL = [0, 1, 2, 3, 4, 5, 6], [0, 0, 1.5, 5, 4, 4, 6]
# Two small textbook sets; the answers are computed with scipy.
C_ALONG, C_WALL = [1.0, 2.3, 3.7, 4.2, 6.1, 7.0], [3.6, 3.0, 3.2, 5.1, 5.3, 6.8]
D_ALONG, D_WALL = [1, 2, 3, 5, 7, 8, 10], [3, 5, 7, 11, 14, 15, 19]


@pytest.mark.parametrize(
    ("push_at", "touches", "slope", "most", "total"),
    [
        (0.5, (0, 3), 0.733333, 3.6667, 21.64),
        (2, (0, 3), 0.733333, 3.6667, 21.64),
        (5, (3, 7), 0.625, 3.45, 18.325),
        (4.6105, (3, 7), 0.625, 3.45, 18.325),
        (None, (3, 7), 0.625, 3.45, 18.325),
        (9.5, (9, 10), 0.5, 3.8, 25.9),
    ],
)
def test_edge_pushed_on_the_published_wall(push_at, touches, slope, most, total):
    held = straight_edge(A_ALONG, A_WALL, push_at)
    assert held.touches == touches
    assert held.slope == pytest.approx(slope, abs=5e-7)
    assert held.gaps.max() == pytest.approx(most, abs=5e-5)
    assert held.gaps.sum() == pytest.approx(total, abs=5e-4)


@pytest.mark.parametrize(
    ("along", "wall", "slope", "middle_at_0", "half_zone", "square_zone"),
    [
        (A_ALONG, A_WALL, 0.625, -0.4, 1.725, 2.925594),
        (B_ALONG, B_WALL, 1, 0.5, 1.5, None),
        (C_ALONG, C_WALL, 0.533333, 2.146667, 0.92, 1.623529),
        (D_ALONG, D_WALL, 12 / 7, 13 / 7, 4 / 7, 0.575853),
    ],
    ids=["Williams", "autocollimator", "six points", "seven points"],
)
def test_least_zone_of_the_published_walls(along, wall, slope, middle_at_0, half_zone, square_zone):
    found = least_scribe(along, wall)
    assert found.slope == pytest.approx(slope, abs=5e-7)
    assert found.offset - found.most / 2 == pytest.approx(middle_at_0, abs=5e-7)
    assert found.most == pytest.approx(2 * half_zone, abs=1e-6)
    assert minimum_zone(along, wall) == pytest.approx(2 * half_zone, abs=1e-6)
    if square_zone is not None:
        assert straightness(along, wall) == pytest.approx(square_zone, abs=5e-7)


def test_autocollimator_zone_is_proved_by_the_published_contacts():
    # At 1 and 5 the wall is lowest, at 3 highest: the edge touches at 3 only and can't rest there.
    found = least_scribe(B_ALONG, B_WALL)
    assert found.certificate == (1, 3, 5)
    assert found.touches == (3, 3)


@pytest.mark.parametrize(
    ("length", "bow", "radius"),
    [(32, 0.25, 512.125), (96, 0.375, 3072.188), (96, 0.5, 2304.25), (120, 0.25, 7200.125)],
)
def test_a_hollow_arc_shows_its_rise_under_an_edge_on_its_ends(length, bow, radius):
    # Rise of an arc over its chord: R = L^2 / (8 s) + s / 2 (elementary geometry), in inches.
    along = np.linspace(0, length, 201)
    hollow = radius - np.sqrt(radius**2 - (along - length / 2) ** 2)
    held = straight_edge(along, hollow)
    assert held.touches == (0, length)
    assert held.gaps.max() == pytest.approx(bow, abs=1e-6)


def test_pushed_on_a_corner_it_rests_on_the_side_of_the_middle():
    along, wall = [0, 300, 1000, 1200], [0, 6, 5, 0]
    assert straight_edge(along, wall, push_at=300).touches == (300, 1000)
    assert straight_edge(along, wall, push_at=1000).touches == (300, 1000)


def test_pushed_on_a_corner_in_the_middle_it_rests_on_the_longer_side():
    assert straight_edge([0, 200, 600, 1200], [0, 5, 6, 0]).touches == (600, 1200)
    assert straight_edge([0, 600, 1000, 1200], [0, 6, 5, 0]).touches == (0, 600)


def test_pushed_at_either_end_it_touches_that_end():
    assert straight_edge(A_ALONG, A_WALL, 0).touches == (0, 3)
    assert straight_edge(A_ALONG, A_WALL, 10).touches == (9, 10)


def test_readings_on_a_straight_do_not_make_corners():
    sixteenths = np.arange(7) * 25.4 / 16
    assert upper_hull(np.arange(7) * 152.4, sixteenths).tolist() == [0, 6]


def test_two_stations_are_both_touched():
    held = straight_edge([900, 100], [4, 2])
    assert held.touches == (100, 900)
    assert held.touching == (1, 0)
    assert held.gaps.tolist() == [0, 0]
    assert least_scribe([900, 100], [4, 2]).most == 0


@pytest.mark.parametrize("ask", [straight_edge, least_scribe, minimum_zone, straightness])
@pytest.mark.parametrize("along", [[500], [500, 500], [500, 500 + 1e-8]])
def test_one_place_leaves_the_turn_free(ask, along):
    with pytest.raises(Unsolvable, match="two places or more, got all at 500 mm"):
        ask(along, [1.0] * len(along))


@pytest.mark.parametrize("ask", [upper_hull, straight_edge, least_scribe, straightness])
@pytest.mark.parametrize(
    ("along", "wall", "said"),
    [
        ([0, 1, 2], [0, np.nan, 1], "deviation: expected finite numbers, got nan at station 1"),
        ([0, np.inf, 2], [0, 0, 1], "along: expected finite numbers, got inf at station 1"),
        ([0, 1, 2], [0, 1], "one deviation for each station, got 2 for 3"),
        ([], [], "along: expected a list of one number or more"),
        ([[0, 1]], [[0, 1]], r"along: .* got shape \(1, 2\)"),
        ([0, "1 1/2"], [0, 1], "along: expected numbers in mm"),
        ([0, 1], [0, None], "deviation: expected finite numbers"),
    ],
)
def test_bad_stations_are_refused(ask, along, wall, said):
    with pytest.raises(BadInput, match=said):
        ask(along, wall)


@pytest.mark.parametrize("push_at", [-1, 10.5, np.nan])
def test_a_push_beyond_the_stations_is_refused(push_at):
    with pytest.raises(BadInput, match="expected a push between the first station"):
        straight_edge(A_ALONG, A_WALL, push_at)


def test_a_plumb_back_rests_on_the_greatest_deviation_over_its_height():
    grid_along, grid_up = np.meshgrid(np.arange(0, 1300, 100.0), [0, 250, 500, 720])
    wall = np.random.default_rng(3).normal(0, 2, grid_along.shape)
    held = vertical_plane(grid_along.ravel(), grid_up.ravel(), wall.ravel(), push_at=450)
    over_height = straight_edge(grid_along[0], wall.max(axis=0), push_at=450)
    assert (held.offset, held.slope, held.touches) == (
        over_height.offset,
        over_height.slope,
        over_height.touches,
    )
    assert (held.gaps >= 0).all()
    assert held.gaps[list(held.touching)].max() <= TOUCHING


def test_heights_must_match_the_stations():
    with pytest.raises(BadInput, match="one height for each deviation, got 1 for 2"):
        vertical_plane([0, 1], [0], [0, 1])
    with pytest.raises(BadInput, match="up: expected finite"):
        vertical_plane([0, 1], [0, np.nan], [0, 1])


# scipy as the reference


def wall_of(seed, n):
    rng = np.random.default_rng(seed)
    along = rng.uniform(-2000, 4000, n)
    return along, np.cumsum(rng.normal(0, 1, n)) + rng.normal(0, 3, n) + 0.01 * along


@pytest.mark.parametrize("n", [3, 4, 17, 400])
@pytest.mark.parametrize("seed", range(5))
def test_hull_agrees_with_scipy(seed, n):
    along, wall = wall_of(seed, n)
    hull = ConvexHull(np.column_stack([along, wall]))
    faces_up = hull.equations[:, 1] > 0
    expected = set(hull.simplices[faces_up].ravel().tolist())
    assert set(upper_hull(along, wall).tolist()) == expected
    assert (np.diff(along[upper_hull(along, wall)]) > 0).all()


@pytest.mark.parametrize("n", [3, 17, 120])
@pytest.mark.parametrize("seed", range(5))
def test_push_agrees_with_linear_programming(seed, n):
    along, wall = wall_of(seed, n)
    push = along.min() + np.random.default_rng(seed + 99).uniform() * np.ptp(along)
    columns = np.column_stack([-np.ones(n), -along])
    lowest = linprog([1, push], A_ub=columns, b_ub=-wall, bounds=(None, None))
    held = straight_edge(along, wall, push)
    assert held.line(push) == pytest.approx(lowest.fun, abs=1e-6)
    assert held.slope == pytest.approx(lowest.x[1], abs=1e-6)


@pytest.mark.parametrize("n", [3, 17, 120])
@pytest.mark.parametrize("seed", range(5))
def test_least_scribe_agrees_with_linear_programming(seed, n):
    along, wall = wall_of(seed, n)
    one = np.ones(n)
    above = np.column_stack([-one, -along, 0 * one])
    within = np.column_stack([one, along, -one])
    best = linprog(
        [0, 0, 1],
        A_ub=np.vstack([above, within]),
        b_ub=np.concatenate([-wall, wall]),
        bounds=(None, None),
    )
    assert least_scribe(along, wall).most == pytest.approx(best.fun, abs=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_straightness_agrees_with_the_width_of_scipys_hull(seed):
    along, wall = wall_of(seed, 60)
    points = np.column_stack([along, 200 * wall])
    hull = ConvexHull(points)
    depths = -(points @ hull.equations[:, :2].T + hull.equations[:, 2])
    assert straightness(along, 200 * wall) == pytest.approx(depths.max(axis=0).min(), rel=1e-9)


# What must always hold

# Tape marks: along in quarter inches, deviation in 64ths; ties, repeats, straights are common.
stations = st.lists(st.tuples(st.integers(0, 240), st.integers(-40, 40)), min_size=2, max_size=25).filter(
    lambda rows: len({along for along, _ in rows}) > 1
)


def as_wall(rows):
    marks = np.array(rows, dtype=float)
    return marks[:, 0] * 25.4 / 4, marks[:, 1] * 25.4 / 64


def may_rock_either_way(along, held_one, held_other):
    """A crown in the very middle with both sides alike: only then the rule says left."""
    middle = (along.min() + along.max()) / 2
    return any(abs(at - middle) < 1e-6 for at in (*held_one.touches, *held_other.touches))


@given(stations, st.floats(0, 1))
def test_never_below_the_wall_and_touching_twice(rows, part):
    along, wall = as_wall(rows)
    push = along.min() + part * np.ptp(along)
    held = straight_edge(along, wall, push)
    assert (held.gaps >= 0).all()
    np.testing.assert_allclose(held.gaps, held.line(along) - wall, atol=1e-9)
    assert held.touches[0] < held.touches[1]
    assert held.gaps[list(held.touching)].max() <= TOUCHING
    assert along[list(held.touching)].tolist() == list(held.touches)
    assert held.touches[0] - 1e-6 <= push <= held.touches[1] + 1e-6


@given(stations, st.floats(0, 1), st.floats(-0.1, 0.1), st.floats(-500, 500))
def test_a_turned_and_moved_wall_turns_and_moves_the_edge(rows, part, turn, move):
    along, wall = as_wall(rows)
    push = along.min() + part * np.ptp(along)
    held = straight_edge(along, wall, push)
    turned = straight_edge(along + 3000, wall + move + turn * along, push + 3000)
    np.testing.assert_allclose(turned.gaps, held.gaps, atol=1e-8)
    assert turned.slope == pytest.approx(held.slope + turn, abs=1e-9)
    assert minimum_zone(along, wall + turn * along) == pytest.approx(minimum_zone(along, wall), abs=1e-8)
    np.testing.assert_allclose(
        least_scribe(along, wall + move + turn * along).gaps,
        least_scribe(along, wall).gaps,
        atol=1e-8,
    )


@given(stations, st.floats(0, 1))
def test_a_mirrored_wall_mirrors_the_edge(rows, part):
    along, wall = as_wall(rows)
    push = along.min() + part * np.ptp(along)
    held, mirrored = straight_edge(along, wall, push), straight_edge(-along, wall, -push)
    assert mirrored.line(-push) == pytest.approx(float(held.line(push)), abs=1e-9)
    np.testing.assert_allclose(least_scribe(-along, wall).gaps, least_scribe(along, wall).gaps, atol=1e-8)
    assume(not may_rock_either_way(along, held, mirrored))
    np.testing.assert_allclose(mirrored.gaps, held.gaps, atol=1e-9)


@given(stations, st.randoms(use_true_random=False))
def test_the_order_of_the_stations_does_not_matter(rows, shuffler):
    mixed = list(rows)
    shuffler.shuffle(mixed)
    held, again = straight_edge(*as_wall(rows)), straight_edge(*as_wall(mixed))
    assert (held.offset, held.slope, held.touches) == (again.offset, again.slope, again.touches)


@given(stations)
def test_the_certificate_proves_the_least_scribe(rows):
    along, wall = as_wall(rows)
    found = least_scribe(along, wall)
    i, j, k = found.certificate
    assert along[i] <= along[j] <= along[k]
    outer, inner = (0, found.most) if found.gaps[i] <= TOUCHING else (found.most, 0)
    np.testing.assert_allclose(found.gaps[[i, j, k]], [outer, inner, outer], atol=2e-9)
    assert (found.gaps >= 0).all()
    assert found.gaps.max() <= found.most
    # Three points alone: the middle one stands off the chord of the outer two by `most`.
    share = (along[j] - along[i]) / (along[k] - along[i]) if along[k] > along[i] else 0.0
    chord = wall[i] + share * (wall[k] - wall[i])
    assert abs(wall[j] - chord) == pytest.approx(found.most, abs=5e-9)


@given(
    st.floats(0.01, 20),
    st.floats(-0.2, 0.2),
    st.lists(st.tuples(st.floats(0, 3000), st.floats(-0.9, 0.9)), max_size=20),
    st.sampled_from([1, -1]),
)
def test_a_wall_built_with_a_known_zone_gives_it_back(half, slope, inside, side):
    # Forbes' null-space idea: three points alternate at +t, -t, +t and all others lie within 0.9 t.
    rows = [(100, side), (1400, -side), (2900, side), *inside]
    along = np.array([at for at, _ in rows], dtype=float)
    wall = 5 + slope * along + half * np.array([part for _, part in rows])
    found = least_scribe(along, wall)
    assert found.most == pytest.approx(2 * half, abs=1e-9)
    assert found.slope == pytest.approx(slope, abs=1e-9)


@given(stations)
def test_the_zones_are_ordered(rows):
    # Square to the zone <= across the wall <= range under the edge (ISO 12780; from memory).
    along, wall = as_wall(rows)
    assert straightness(along, wall) <= minimum_zone(along, wall) + 1e-9
    assert minimum_zone(along, wall) <= straight_edge(along, wall).gaps.max() + 1e-9

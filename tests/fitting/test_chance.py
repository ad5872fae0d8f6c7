"""Chances: published and analytic cases, brute force with scipy, and errors that are what they say."""

from math import asin, hypot, pi, sqrt
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.stats import multivariate_normal

from fitting.chance import TOUCHING, Chance, all_above, draws_of, goes_in, paired_blocks
from fitting.errors import BadInput
from fitting.joint import Joint

PHI = NormalDist().cdf
ENDS, FAR = np.array([[1.0], [-1.0]]), [500.0]  # a box that shifts between two walls
LIMITS = [0.05, 30.0, 30.0]


def equicorrelated(k, rho, mean=0.0, sd=1.0):
    return Joint(np.full(k, mean), sd**2 * ((1 - rho) * np.eye(k) + rho))


# All above -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mean", "u", "chance"),
    [
        (-5.40 - -5.47, 0.05, 0.9192),  # JCGM 106:2012, examples of one limit (from memory)
        (509.7 - 490, 8.6, 0.9890),
        (1.2816, 1.0, 0.90),  # normal tables
        (2.3263, 1.0, 0.99),
        (0.0, 3.0, 0.5),
    ],
)
def test_one_quantity_is_exact(mean, u, chance):
    found = all_above(Joint([mean], [[u**2]]))
    assert found.value == pytest.approx(chance, abs=5e-5)
    assert found.error == 0


@pytest.mark.parametrize(("y", "out"), [(10.0, 0.01242), (10.5, 0.10574)])
def test_two_limits_of_one_quantity(y, out):
    # N(y, 0.4) beyond 9 or 11: risks as the tests of a public uncertainty calculator give them.
    # Both cannot fail at once, so the lower bound is exact, and sampling must not fall below it.
    two = Joint([y - 9, 11 - y], 0.16 * np.array([[1.0, -1.0], [-1.0, 1.0]]))
    for seed in range(5):
        found = all_above(two, seed, draws=2000)
        assert 1 - found.value <= out + 5e-6
        assert found.value == pytest.approx(1 - out, abs=4 * found.error + 5e-6)


@pytest.mark.parametrize(
    ("limit", "printed", "computed"), [(2.0, 0.008, 0.0080061), (2.5, 0.0025, 0.0024453)]
)
def test_false_accepts(limit, printed, computed):
    # Deaver's figures for limits in standard deviations of what is made, measured four times as well
    # (.008 and .0025 printed, the rest computed by integration): x beyond a limit, measured y within both.
    error = limit / 8
    x, y = np.array([1.0, 0.0]), np.array([1.0, error])
    rows = np.array([x, -y, y])
    found = all_above(Joint([-limit, limit, limit], rows @ rows.T), draws=400_000)
    assert 2 * found.value == pytest.approx(computed, abs=8 * found.error)
    assert computed == pytest.approx(printed, abs=1e-4)
    assert found.error < 2e-4


@pytest.mark.parametrize("rho", [-0.9, -0.5, 0.3, 0.5, 0.9])
def test_orthant_of_two(rho):
    # Two at zero mean: 1/4 + asin(rho) / (2 pi) (Sheppard 1899; from memory).
    found = all_above(equicorrelated(2, rho))
    assert found.value == pytest.approx(0.25 + asin(rho) / (2 * pi), abs=4 * found.error)


@pytest.mark.parametrize(("n", "chance"), [(2, 1 / 3), (3, 1 / 4), (7, 1 / 8)])
def test_orthant_of_n_equally_correlated_by_a_half(n, chance):
    # All n differences from one more are above 0 where that one is the least of n + 1: 1 / (n + 1).
    found = all_above(equicorrelated(n, 0.5, sd=3.0))
    assert found.value == pytest.approx(chance, abs=4 * found.error)
    assert 0 < found.error < 0.005


@pytest.mark.parametrize("k", [2, 5, 40])
def test_independent_quantities_multiply_exactly(k):
    found = all_above(equicorrelated(k, 0.0, mean=1.5))
    assert found.value == pytest.approx(PHI(1.5) ** k, rel=1e-12)
    assert found.error == 0


@pytest.mark.parametrize("seed", range(3))
def test_any_five_are_scipys_integral(seed):
    random = np.random.default_rng(seed)
    root = random.normal(size=(5, 5)) * [[1], [5], [0.1], [1], [30]]  # units of their own
    joint = Joint(random.normal(1, 1, 5) * [1, 5, 0.1, 1, 30], root @ root.T)
    expected = multivariate_normal(-joint.mean, joint.covariance, seed=1).cdf(np.zeros(5))
    found = all_above(joint)
    assert found.value == pytest.approx(expected, abs=4 * found.error + 1e-4)


def test_certain_quantities_decide_alone_or_not_at_all():
    certain, one = np.zeros((2, 2)), np.diag([0.0, 1.0])
    assert all_above(Joint([0.0, 2.0], certain)) == Chance(1.0, 0.0)
    assert all_above(Joint([-1e-300, 2.0], certain)) == Chance(0.0, 0.0)
    assert all_above(Joint([0.0, 1.0], one)) == Chance(pytest.approx(PHI(1), abs=1e-15), 0.0)
    assert all_above(Joint([-1.0, 1.0], one)) == Chance(0.0, 0.0)


def test_two_that_are_one_are_sampled_no_worse_than_its_bound():
    found = all_above(equicorrelated(2, 1.0, mean=1.0))
    assert PHI(1) - 4 * found.error <= found.value <= PHI(1)


def test_what_cannot_fail_is_known_far_better_than_draws_could_tell():
    found = all_above(equicorrelated(5, 0.4, mean=9.0), draws=100)
    assert found.value == pytest.approx(1, abs=1e-17)
    assert found.error < 1e-15
    assert all_above(equicorrelated(5, 0.4, mean=-50.0), draws=100) == Chance(0.0, 0.0)


def test_few_draws_stay_between_the_exact_bounds():
    for rho in (-0.99, 0.99):
        found = [all_above(equicorrelated(2, rho, mean=1.0), seed, draws=50).value for seed in range(40)]
        assert min(found) >= 2 * PHI(1) - 1 - 1e-15
        assert max(found) <= PHI(1)


@pytest.mark.parametrize(("rho", "mean"), [(0.5, 0.0), (0.9, 1.0), (0.3, 1.5), (-0.2, 0.5)])
def test_stated_error_is_the_scatter_over_seeds(rho, mean):
    # 200 seeds: the scatter is then known within 5 % (one standard deviation), 20 % is four.
    found = [all_above(equicorrelated(3, rho, mean), seed, draws=600) for seed in range(200)]
    scatter = np.std([one.value for one in found], ddof=1)
    assert np.sqrt(np.mean([one.error**2 for one in found])) == pytest.approx(scatter, rel=0.2)


def test_pairs_make_a_difference_that_the_error_knows():
    # One of two mirrored draws is always above 0 nearly: far less scatter than sqrt(p (1 - p) / draws).
    found = all_above(equicorrelated(2, 0.98), draws=2000)
    assert found.error < 0.5 * sqrt(0.25 / 2000)
    assert found.value == pytest.approx(0.25 + asin(0.98) / (2 * pi), abs=4 * found.error)


# Draws -----------------------------------------------------------------------------------------------------


def test_sum_of_four_normals():
    # JCGM 101:2008, 9.2.2 (table 2): u 2.0 and 95 % within 3.92.
    drawn = draws_of(Joint(np.zeros(4), np.eye(4)), 100_000).sum(axis=1)
    assert drawn.std() == pytest.approx(2.0, abs=0.02)
    assert np.quantile(drawn, [0.025, 0.975]) == pytest.approx([-3.92, 3.92], abs=0.06)


def test_sum_of_four_roundings():
    # JCGM 101:2008, 9.2.3 (table 3): four rectangular ones of u 1, 95 % within 3.88. Three motions share
    # all room evenly among these four places, so the room is a quarter of the sum.
    evenly = np.vstack([np.eye(3), -np.ones(3)])
    exact = Joint(np.zeros(4), np.zeros((4, 4)))
    total = 4 * goes_in(evenly, exact, [90.0] * 3, rounding=2 * sqrt(3), draws=20_000).room
    assert total.std() == pytest.approx(2.0, abs=0.04)
    assert np.quantile(total, [0.025, 0.975]) == pytest.approx([-3.88, 3.88], abs=0.1)


def test_distance_near_zero():
    # sqrt(re^2 + im^2) of N(.001, .01) and N(0, .01): .013, u .007, where to first order .001 and .010
    # (JCGM 102:2011, figures as the tests of a public uncertainty calculator give them).
    drawn = np.hypot(*draws_of(Joint([0.001, 0.0], 1e-4 * np.eye(2)), 50_000).T)
    assert [drawn.mean(), drawn.std()] == pytest.approx([0.013, 0.007], abs=5e-4)


@pytest.mark.parametrize("count", [2, 3, 400, 401, 2999])
def test_second_half_mirrors_the_first(count):
    random = np.random.default_rng(1)
    root = random.normal(size=(30, 30))
    joint = Joint(random.normal(size=30), root @ root.T)
    drawn = draws_of(joint, count)
    assert drawn.shape == (count, 30)
    pairs = count // 2
    assert (drawn[:pairs] + drawn[-pairs:]) / 2 == pytest.approx(np.tile(joint.mean, (pairs, 1)), abs=1e-12)
    assert len(np.unique(drawn[:, 0])) == count
    assert (drawn == draws_of(joint, count)).all()
    assert (drawn != draws_of(joint, count, seed=1)).all()


def test_draws_have_the_covariance_asked_for():
    random = np.random.default_rng(3)
    root = random.normal(size=(4, 4)) * [[1], [40], [1], [0.01]]
    joint = Joint(random.normal(size=4), root @ root.T)
    drawn = draws_of(joint, 60_000)
    assert drawn.mean(axis=0) == pytest.approx(joint.mean, abs=1e-9)
    scale = np.outer(joint.sd, joint.sd)
    assert np.cov(drawn.T) / scale == pytest.approx(joint.covariance / scale, abs=0.03)


def test_what_is_certain_is_the_same_in_all_draws():
    assert (draws_of(Joint([3.0, 1.0], np.diag([0.0, 4.0])), 10)[:, 0] == 3.0).all()
    assert (draws_of(Joint([3.0, 1.0], np.zeros((2, 2))), 10) == [3.0, 1.0]).all()


@pytest.mark.parametrize("seed", range(3))
def test_counted_from_the_other_end_the_draws_are_the_same(seed):
    random = np.random.default_rng(seed)
    root = random.normal(size=(12, 12))
    joint = Joint(random.normal(0, 3, 12), root @ root.T)
    mirrored = Joint(joint.mean[::-1], joint.covariance[::-1, ::-1])
    assert draws_of(mirrored, 301)[:, ::-1] == pytest.approx(draws_of(joint, 301), abs=1e-9)


def test_blocks_hold_all_draws_whatever_their_size():
    for k, draws in ((1, 7), (200, 100), (300, 65)):
        sizes = [(a.shape[1], b.shape[1]) for a, b in paired_blocks(equicorrelated(k, 0.2), draws)]
        assert sum(map(sum, sizes)) == draws
        assert all(a == b for a, b in sizes[:-1])


# Goes in ---------------------------------------------------------------------------------------------------


def alcove(n=6):
    """A piece 1200 by 600 at n places each of its left, back and right edge."""
    x, y, one, none = np.linspace(0, 1200, n), np.linspace(0, 600, n), np.ones(n), np.zeros(n)
    left, back = np.column_stack([-y, none, one]), np.column_stack([-x, -one, none])
    effects = np.vstack([left, back, np.column_stack([y, none, -one])])
    return effects, (slice(0, n), slice(n, 2 * n), slice(2 * n, 3 * n))


def walls(n=6, mean=0.6, seed=0):
    """Uneven walls, each unsure as a whole too, the left better known than the right."""
    random = np.random.default_rng(seed)
    part, at = np.repeat([0, 1, 2], n), np.tile(np.arange(n) * 240.0, 3)
    alike = part[:, None] == part
    covariance = alike * (0.8 + 0.5 * np.exp(-np.abs(at[:, None] - at) / 300)) + 0.04 * np.eye(3 * n)
    sd = np.repeat([0.7, 1.0, 1.3], n)
    return Joint(mean + random.normal(0, 0.3, 3 * n), covariance * np.outer(sd, sd))


def goes_by_scipy(effects, clearance, limits, greatest=None):
    """Whether some pose keeps all clearances from 0 to the greatest: feasible or not, nothing maximised."""
    rows, right = -effects, clearance
    if greatest is not None:
        rows, right = np.vstack([rows, effects]), np.concatenate([right, greatest - clearance])
    bounds = [(-limit, limit) for limit in limits]
    return linprog(np.zeros(effects.shape[1]), A_ub=rows, b_ub=right, bounds=bounds).status == 0


@pytest.mark.parametrize("mean", [-0.5, 0.0, 0.7, 2.0])
def test_between_two_walls_it_goes_in_where_the_sum_is_above_zero(mean):
    covariance = np.array([[1.0, 0.3], [0.3, 0.5]])
    found = goes_in(ENDS, Joint([mean, mean], covariance), FAR)
    assert found.chance.value == pytest.approx(
        PHI(2 * mean / sqrt(covariance.sum())), abs=4 * found.chance.error
    )
    assert found.chance.error < 0.012
    assert found.close == found.chance


def test_it_is_close_where_the_sum_is_no_more_than_both_may_be():
    u = sqrt(2)
    found = goes_in(ENDS, Joint([1.0, 1.0], np.eye(2)), FAR, [1.5, 1.5])
    assert found.close.value == pytest.approx(PHI((3 - 2) / u) - PHI(-2 / u), abs=4 * found.close.error)
    assert found.chance.value == pytest.approx(PHI(2 / u), abs=4 * found.chance.error)


@pytest.mark.parametrize("greatest", [None, 2.0])
def test_the_same_rooms_are_scipys(greatest):
    (effects, _), joint, draws = alcove(), walls(), 150
    most = None if greatest is None else np.full(len(effects), greatest)
    found = goes_in(effects, joint, LIMITS, most, draws=draws, seed=4)
    rooms = draws_of(joint, draws, seed=4)
    assert found.chance.value == np.mean([goes_by_scipy(effects, room, LIMITS) for room in rooms])
    assert found.close.value == np.mean([goes_by_scipy(effects, room, LIMITS, most) for room in rooms])
    assert 0.1 < found.close.value < 0.9


def test_rooms_drawn_by_numpy_and_solved_by_scipy_give_the_same_chance():
    (effects, _), joint = alcove(), walls()
    rooms = np.random.default_rng(8).multivariate_normal(joint.mean, joint.covariance, 800)
    share = np.mean([goes_by_scipy(effects, room, LIMITS) for room in rooms])
    found = goes_in(effects, joint, LIMITS, draws=4000).chance
    assert found.value == pytest.approx(share, abs=4 * hypot(found.error, sqrt(share * (1 - share) / 800)))


def test_a_fixed_pose_would_be_wrong_by_far():
    (effects, _), joint = alcove(), walls(mean=2.0)
    free = goes_in(effects, joint, LIMITS).chance.value
    fixed = all_above(joint).value
    hardly = goes_in(effects, joint, np.array(LIMITS) * 1e-6).chance
    assert hardly.value == pytest.approx(fixed, abs=4 * hardly.error + 0.005)
    assert free > 0.9
    assert fixed < 0.6


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.9, 0.95, 0.99, 0.999])
def test_wider_by_what_it_says_it_goes_in_at_that_confidence(confidence):
    (effects, _), joint = alcove(), walls(mean=-1.0)
    wider = goes_in(effects, joint, LIMITS).wider(confidence)
    met = goes_in(effects, Joint(joint.mean + wider, joint.covariance), LIMITS).chance.value
    assert wider > 0
    assert confidence - 1e-12 <= met <= confidence + 1 / 2000 + 1e-12


def test_where_it_goes_in_surely_nothing_need_be_wider():
    assert goes_in(ENDS, Joint([9.0, 9.0], np.eye(2)), FAR).wider(0.99) == 0


def test_wider_is_the_normal_margin_between_two_walls():
    # The room is half the sum, N(0, 1/sqrt(2)): 2.3263 of that at 99 %. Standard error by the density there.
    error = sqrt(0.01 * 0.99 / 20_000) / (NormalDist().pdf(2.3263) * sqrt(2))
    wider = goes_in(ENDS, Joint([0.0, 0.0], np.eye(2)), FAR, draws=20_000).wider(0.99)
    assert wider == pytest.approx(2.3263 / sqrt(2), abs=4 * error)


@pytest.mark.parametrize("slack", [-0.7, 0.0, 0.4])
def test_rounding_of_the_cut_counts(slack):
    # Two roundings to 1 add to a triangle from -1 to 1: P(sum >= -s) = 1 - (1 - s)^2 / 2, s >= 0.
    exact = Joint([slack / 2, slack / 2], np.zeros((2, 2)))
    cut = goes_in(ENDS, exact, FAR, rounding=1.0, draws=8000)
    assert cut.room.mean() == pytest.approx(slack / 2, abs=1e-12)  # each rounding has its opposite
    found = cut.chance
    chance = 1 - (1 - slack) ** 2 / 2 if slack >= 0 else (1 + slack) ** 2 / 2
    assert found.value == pytest.approx(chance, abs=4 * found.error)
    assert 0 < found.error < 0.01


def test_known_exactly_it_goes_in_or_not():
    flat, wide = np.zeros((2, 2)), [5.0, 5.0]
    found = goes_in(ENDS, Joint([-1.0, 1.0], flat), FAR, wide, parts=(slice(0, 1), slice(1, 2)), draws=10)
    assert (found.chance, found.close, found.by_part) == (Chance(1.0, 0.0),) * 2 + ((Chance(1.0, 0.0),) * 2,)
    assert found.room.tolist() == [0.0] * 10
    tight = goes_in(ENDS, Joint([-1.0, 0.5], flat), FAR)
    assert tight.chance == Chance(0.0, 0.0)
    assert tight.wider(0.999999) == 0.25


def test_room_is_sorted_and_tells_the_chance():
    (effects, _), joint = alcove(), walls()
    found = goes_in(effects, joint, LIMITS, draws=501)
    assert found.room.shape == (501,)
    assert (np.diff(found.room) >= 0).all()
    assert (found.room >= -TOUCHING).mean() == found.chance.value


def test_each_part_has_its_share():
    # Too wide by 1 for sure, so neither side fits at the best pose; the back has room in most rooms.
    effects, parts = alcove(2)
    joint = Joint(np.array([-0.5, -0.5, 1.0, 1.0, -0.5, -0.5]), np.diag([0, 0, 1.0, 1.0, 0, 0]))
    found = goes_in(effects, joint, [1e-9, 0.5, 30.0], parts=parts)
    assert [one.value for one in (found.by_part[0], found.by_part[2])] == [0, 0]
    # It comes out by 0.5 at most: each of its two places then has N(1.5, 1).
    back = found.by_part[1]
    assert back.value == pytest.approx(PHI(1.5) ** 2, abs=4 * back.error)
    assert found.chance.value == 0


def test_a_part_can_stand_off_too_far():
    effects, parts = alcove(2)
    joint = Joint(np.array([0.5, 0.5, 9.0, 9.0, 0.5, 0.5]), np.diag([0, 0, 1.0, 1.0, 0, 0]))
    found = goes_in(effects, joint, [1e-9, 1.0, 30.0], np.full(6, 7.0), parts=parts)
    assert [one.value for one in (found.by_part[0], found.by_part[2], found.chance)] == [1, 1, 1]
    # Pushed back by 1, both must be 8 or less.
    assert found.close.value == pytest.approx(PHI(-1.0) ** 2, abs=4 * found.close.error)
    assert found.by_part[1].value == found.close.value


def test_where_it_is_close_all_parts_are():
    (effects, parts), joint = alcove(), walls()
    found = goes_in(effects, joint, LIMITS, np.full(len(effects), 2.0), parts=(*parts, slice(None)))
    assert found.by_part[-1] == found.close
    assert all(one.value >= found.close.value for one in found.by_part)
    assert max(one.value for one in found.by_part) > found.close.value + 0.01


@pytest.mark.parametrize("rounding", [0.0, 1.0])
def test_a_mirrored_piece_in_a_mirrored_room_goes_in_alike(rounding):
    (effects, parts), joint = alcove(), walls()
    most = np.linspace(1.5, 3, len(effects))
    plain = goes_in(effects, joint, LIMITS, most, rounding=rounding, parts=parts, draws=400)
    mirrored = goes_in(
        (effects * [-1, 1, -1])[::-1],
        Joint(joint.mean[::-1], joint.covariance[::-1, ::-1]),
        LIMITS,
        most[::-1],
        rounding=rounding,
        parts=parts[::-1],
        draws=400,
    )
    assert mirrored.room == pytest.approx(plain.room, abs=1e-9)
    assert (mirrored.chance, mirrored.close) == (plain.chance, plain.close)
    assert mirrored.by_part == plain.by_part


def test_stated_errors_of_goes_in_are_the_scatter_over_seeds():
    (effects, parts), joint = alcove(3), walls(3)
    most = np.full(9, 2.0)
    found = [goes_in(effects, joint, LIMITS, most, parts=parts, draws=200, seed=s) for s in range(200)]
    for ask in (lambda one: one.chance, lambda one: one.close, lambda one: one.by_part[1]):
        scatter = np.std([ask(one).value for one in found], ddof=1)
        assert np.sqrt(np.mean([ask(one).error ** 2 for one in found])) == pytest.approx(scatter, rel=0.2)


@settings(max_examples=20, deadline=None)
@given(st.floats(-2, 2), st.floats(0, 3), st.integers(0, 1000))
def test_wider_gaps_never_lower_the_chance(mean, wider, seed):
    (effects, _), joint = alcove(3), walls(3, mean)
    more = Joint(joint.mean + wider, joint.covariance)
    plain, better = (goes_in(effects, one, LIMITS, draws=200, seed=seed) for one in (joint, more))
    assert better.chance.value >= plain.chance.value
    # The same rooms, whatever the widening does to their means.
    assert better.room == pytest.approx(plain.room + wider, abs=1e-9)


# Refused ---------------------------------------------------------------------------------------------------

TWO = Joint([1.0, 1.0], np.eye(2))
NONE = Joint(np.empty(0), np.empty((0, 0)))
NO_COVARIANCE = Joint([0.0, 0.0], [[1.0, 2.0], [2.0, 1.0]])


@pytest.mark.parametrize(
    "ask", [all_above, lambda one: draws_of(one, 10), lambda one: goes_in(ENDS, one, FAR)]
)
def test_quantities_that_cannot_be_are_refused(ask):
    with pytest.raises(BadInput, match="expected one quantity or more, got none"):
        ask(NONE)
    with pytest.raises(
        BadInput, match=r"of 2 quantities, .* some combination of them has a variance below 0"
    ):
        ask(NO_COVARIANCE)


@pytest.mark.parametrize("draws", [1, 0, -5])
def test_too_few_draws_are_refused(draws):
    for ask in (
        lambda: all_above(TWO, draws=draws),
        lambda: draws_of(TWO, draws),
        lambda: goes_in(ENDS, TWO, FAR, draws=draws),
    ):
        with pytest.raises(BadInput, match=f"draws: expected 2 or more, got {draws}"):
            ask()


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"rounding": -1.0}, "rounding: expected a step of 0 mm or more, got -1.0"),
        ({"rounding": np.nan}, "rounding: expected a step of 0 mm or more, got nan"),
        (
            {"parts": (slice(0, 1), slice(2, 4))},
            r"parts: expected places from 0 to 1, got slice\(2, 4, None\) at 1",
        ),
        ({"limits": [0.0]}, "limits: expected all above 0"),
        ({"effects": [[1.0]]}, r"clearance: expected \(draws, 1\)"),
        ({"greatest": [1.0]}, "greatest: expected one for each of 2 places"),
    ],
)
def test_what_cannot_be_is_refused(changed, said):
    given = {"effects": ENDS, "clearance": TWO, "limits": FAR} | changed
    with pytest.raises(BadInput, match=said):
        goes_in(**given)


@pytest.mark.parametrize("confidence", [0, 1, -0.1, 99, float("nan")])
def test_a_confidence_that_is_no_chance_is_refused(confidence):
    with pytest.raises(BadInput, match="confidence: expected a chance between 0 and 1"):
        goes_in(ENDS, TWO, FAR, draws=20).wider(confidence)


def test_a_confidence_that_so_few_rooms_cannot_tell_is_refused():
    found = goes_in(ENDS, TWO, FAR, draws=100)
    assert found.wider(0.99) == max(0.0, -found.room[1])
    with pytest.raises(BadInput, match=r"expected at most 0.99 from 100 rooms drawn, got 0.995; draw more"):
        found.wider(0.995)

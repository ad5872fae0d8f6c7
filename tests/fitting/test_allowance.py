"""What is left on an edge: analytic cases, scipy's normal integral, and what must always hold."""

from math import asin, pi, sqrt
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal

from fitting.allowance import DRAWS, SAW, _greatest, allowance, farthest, share
from fitting.errors import BadInput
from fitting.joint import Joint

STANDARD = NormalDist()


def equicorrelated(k, rho, mean=0.0, sd=1.0):
    return Joint(np.full(k, mean), sd**2 * ((1 - rho) * np.eye(k) + rho))


def chance_error(p, draws=DRAWS):
    """Four standard errors of the chance that is met, as the docstring states one."""
    return 4 * sqrt(p * (1 - p) / draws)


# The z of a one-sided margin, m = z u (normal tables).
@pytest.mark.parametrize(("p", "z"), [(0.90, 1.2816), (0.95, 1.6449), (0.99, 2.3263), (0.999, 3.0902)])
def test_one_station_needs_the_normal_margin(p, z):
    left = allowance(Joint([3.0], [[4.0]]), p)
    assert left.range == 3
    assert left.unknown == pytest.approx(2 * z, abs=1e-4)
    assert left.saw == 25.4 / 16
    assert left.total == pytest.approx(3 + 2 * z + 25.4 / 16, abs=1e-4)


def test_range_is_of_the_worst_station_and_the_parts_add_up():
    left = allowance(Joint([1.0, 6.5, 2.0], np.zeros((3, 3))), 0.99, saw=3.0)
    assert (left.range, left.unknown, left.saw, left.total) == (6.5, 0, 3, 9.5)


def test_a_wall_inside_the_line_leaves_only_the_saw():
    left = allowance(Joint([-30.0, -25.0], np.eye(2)), 0.99)
    assert (left.range, left.unknown, left.total) == (0, 0, SAW)


def test_a_wall_hardly_inside_the_line_still_needs_wood():
    # One station, 1 mm inside, sd 1: at 99 % it may stand out by 1.3263.
    left = allowance(Joint([-1.0], [[1.0]]), 0.99)
    assert left.range == 0
    assert left.unknown == pytest.approx(1.3263, abs=1e-4)


@pytest.mark.parametrize("k", [2, 5, 40])
@pytest.mark.parametrize("p", [0.9, 0.99, 0.997])
def test_independent_stations_multiply(k, p):
    # P(all <= q) = Phi(q)^k, so q = Phi^-1(p^(1/k)).
    met = STANDARD.cdf(farthest(equicorrelated(k, 0.0), p)) ** k
    assert met == pytest.approx(p, abs=chance_error(p))


@pytest.mark.parametrize("p", [0.5, 0.9, 0.99])
def test_stations_that_move_as_one_need_no_more_than_one(p):
    met = STANDARD.cdf(farthest(equicorrelated(25, 1.0), p))
    assert p - 1e-12 <= met <= p + chance_error(p)


@pytest.mark.parametrize("rho", [-0.9, -0.5, 0.0, 0.5, 0.9])
def test_orthant_of_two(rho):
    # Two at zero mean: P(both < 0) = 1/4 + asin(rho) / (2 pi), so the quantile there is 0.
    p = 0.25 + asin(rho) / (2 * pi)
    density = 0.3  # at least this near 0 for these rho, in chance per standard deviation
    assert farthest(equicorrelated(2, rho), p) == pytest.approx(0, abs=chance_error(p) / density)


@pytest.mark.parametrize(("n", "p"), [(2, 1 / 3), (3, 1 / 4), (7, 1 / 8)])
def test_orthant_of_n_equally_correlated_by_a_half(n, p):
    # P(all < 0) = 1 / (n + 1).
    found = farthest(equicorrelated(n, 0.5, mean=40, sd=2), p)
    assert found == pytest.approx(40, abs=2 * chance_error(p) / 0.3)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("p", [0.9, 0.99])
def test_chance_is_met_by_scipys_normal_integral(seed, p):
    rng = np.random.default_rng(seed)
    root = rng.normal(size=(5, 5))
    over = Joint(rng.normal(0, 1, 5), root @ root.T)
    reached = farthest(over, p)
    met = multivariate_normal(over.mean, over.covariance, seed=1).cdf(np.full(5, reached))
    assert met == pytest.approx(p, abs=chance_error(p) + 1e-4)


def test_the_allowance_along_a_correlated_wall_is_met_in_fresh_draws():
    # 60 stations with Matern-3/2 waviness, drawn by numpy's own generator from another seed.
    apart = np.abs(np.subtract.outer(*[np.arange(60) * 25.0] * 2)) * sqrt(3) / 300
    over = Joint(np.linspace(0, 5, 60), (1 + apart) * np.exp(-apart))
    left = allowance(over, 0.99)
    walls = np.random.default_rng(77).multivariate_normal(over.mean, over.covariance, 40_000)
    covered = (walls.max(axis=1) <= left.range + left.unknown).mean()
    assert covered == pytest.approx(0.99, abs=chance_error(0.99) + chance_error(0.99, 40_000))


def test_very_high_confidence_is_taken_on_the_safe_side():
    met = STANDARD.cdf(farthest(equicorrelated(10, 0.0), 0.99999)) ** 10
    assert 0.99999 <= met < 0.9999901
    assert farthest(equicorrelated(10, 0.9), 0.99999) >= STANDARD.inv_cdf(0.99999)


def test_few_draws_stay_between_the_exact_bounds():
    # 1 - sum p_i <= P(all) <= min(1 - p_i): a sampled answer outside of these would be known wrong.
    for rho in (-0.99, 0.99):
        reached = [farthest(equicorrelated(2, rho), 0.9, seed, draws=400) for seed in range(20)]
        assert min(reached) >= STANDARD.inv_cdf(0.9)
        assert max(reached) <= STANDARD.inv_cdf(0.95) + 1e-12


def test_the_same_seed_gives_the_same_answer():
    over = equicorrelated(30, 0.3)
    assert allowance(over, 0.99, seed=5) == allowance(over, 0.99, seed=5)
    assert allowance(over, 0.99, seed=5) != allowance(over, 0.99, seed=6)


def test_more_draws_come_closer():
    exact = STANDARD.inv_cdf(0.99**0.1)
    off = [
        np.std([farthest(equicorrelated(10, 0.0), 0.99, seed, n) - exact for seed in range(12)])
        for n in (2_500, 40_000)
    ]
    assert off[1] < off[0] / 2  # four times in theory


@settings(max_examples=25)
@given(
    st.integers(2, 8),
    st.floats(0, 0.99),
    st.lists(st.floats(0.02, 0.9999), min_size=2, max_size=6, unique=True),
)
def test_more_confidence_never_needs_less(k, rho, chances):
    over = equicorrelated(k, rho)
    reached = [farthest(over, p) for p in sorted(chances)]
    assert reached == sorted(reached)


@settings(max_examples=25)
@given(st.integers(1, 8), st.floats(0, 1), st.floats(-50, 50), st.floats(0.1, 10))
def test_shift_and_scale_of_the_wall_are_followed(k, rho, mean, sd):
    plain = farthest(equicorrelated(k, rho), 0.95)
    assert farthest(equicorrelated(k, rho, mean, sd), 0.95) == pytest.approx(
        mean + sd * plain, abs=1e-6 * sd + 1e-9
    )


@pytest.mark.parametrize("edges", [1, 2, 3, 4])
def test_shared_confidence_holds_for_all_edges(edges):
    each = share(0.99, edges)
    assert 1 - edges * (1 - each) == pytest.approx(0.99, abs=1e-15)  # edges that never fail together
    assert 0.99 - 1e-15 <= each**edges < 0.99005  # independent edges
    assert each >= 0.99  # edges that fail together


@pytest.mark.parametrize("chance", [0, 1, -0.1, 99, float("nan")])
def test_a_confidence_that_is_no_chance_is_refused(chance):
    for ask in (lambda: allowance(Joint([1.0], [[1.0]]), chance), lambda: share(chance, 2)):
        with pytest.raises(BadInput, match="confidence: expected a chance between 0 and 1"):
            ask()


@pytest.mark.parametrize("saw", [-1, float("nan"), float("inf")])
def test_a_saw_that_cannot_be_is_refused(saw):
    with pytest.raises(BadInput, match="saw: expected 0 mm or more"):
        allowance(Joint([1.0], [[1.0]]), 0.99, saw=saw)


def test_other_bad_input_is_refused():
    with pytest.raises(BadInput, match="one station or more"):
        allowance(Joint(np.empty(0), np.empty((0, 0))), 0.99)
    with pytest.raises(BadInput, match="some combination of them has a variance below 0"):
        allowance(Joint([0.0, 0.0], [[1.0, 2.0], [2.0, 1.0]]), 0.99)
    with pytest.raises(BadInput, match="edges: expected 1 or more, got 0"):
        share(0.99, 0)


@pytest.mark.parametrize("seed", range(3))
def test_a_wall_and_its_mirror_image_are_left_the_same(seed):
    rng = np.random.default_rng(seed)
    root = rng.normal(size=(12, 12))
    over = Joint(rng.normal(0, 3, 12), root @ root.T)
    mirrored = Joint(over.mean[::-1], over.covariance[::-1, ::-1])
    assert farthest(mirrored, 0.95) == farthest(over, 0.95)


@pytest.mark.parametrize("draws", [400, 401, 2001, 2999])
def test_as_many_draws_are_taken_as_asked_for(draws):
    assert sum(block.size for block in _greatest(equicorrelated(3, 0.2), 0, draws)) == draws

"""The engine against textbook algebra and scipy; published networks are in test_networks.py,
what is refused and how in test_adjust_refusals.py."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from networks import Distance, Network, adjust_network
from numpy.typing import NDArray
from scipy.optimize import least_squares

from fitting.adjust import adjust
from fitting.adjust.whitening import Whitening

FloatArray = NDArray[np.float64]
seeds = st.integers(0, 2**32 - 1)


def linear(design: FloatArray, observed: FloatArray) -> Callable[[FloatArray], tuple[FloatArray, FloatArray]]:
    return lambda state: (observed - design @ state, design)


def positive(random: np.random.Generator, size: int) -> FloatArray:
    """A well conditioned covariance with strong correlations."""
    half = random.normal(size=(size, size))
    return half @ half.T + 0.5 * np.eye(size)


def random_network(random: np.random.Generator, points: int, readings: int) -> Network:
    """Three fixed points and others in a room of 4 m, any two tied, in millimetres."""
    names = [f"P{i}" for i in range(points + 3)]
    true = {name: random.uniform(0, 4000, 2) for name in names}
    # Each new point is tied to all fixed ones, so nothing is free or mirrored.
    pairs = [(name, base) for name in names[3:] for base in names[:3]]
    others = [(a, b) for i, a in enumerate(names[3:]) for b in names[3:][:i]]
    pairs += [others[i] for i in random.permutation(len(others))[: readings - len(pairs)]]
    read = [
        Distance((a, b), np.hypot(*(true[a] - true[b])) + random.normal(0, 1.0), sd)
        for (a, b), sd in zip(pairs, random.uniform(0.5, 2.0, len(pairs)), strict=True)
    ]
    return Network(
        source="random",
        fixed={name: tuple(true[name]) for name in names[:3]},
        start={name: tuple(true[name] + random.normal(0, 30, 2)) for name in names[3:]},
        distances=tuple(read),
    )


def scipy_state(network: Network) -> FloatArray:
    linearise, sd = network.linearise(), np.sqrt(network.variance)
    found: FloatArray = least_squares(
        lambda state: linearise(state)[0] / sd,
        network.unknowns,
        jac=lambda state: -linearise(state)[1] / sd[:, None],
        x_scale="jac",
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    ).x
    return found


@pytest.mark.parametrize("seed", range(8))
def test_random_networks_agree_with_scipy(seed: int) -> None:
    network = random_network(np.random.default_rng(seed), points=10, readings=60)
    result = adjust_network(network)
    assert result.residuals.size == 60
    assert result.state == pytest.approx(scipy_state(network), abs=1e-6)


@given(seeds)
@settings(max_examples=50, deadline=None)
def test_a_full_covariance_gives_generalised_least_squares(seed: int) -> None:
    """Aitken's estimator, whitened by the symmetric root of Σ and solved by scipy's lstsq."""
    random = np.random.default_rng(seed)
    design, observed, sigma = random.normal(size=(9, 3)), random.normal(size=9), positive(random, 9)
    result = adjust(linear(design, observed), np.zeros(3), sigma)
    values, vectors = np.linalg.eigh(sigma)
    root = vectors / np.sqrt(values) @ vectors.T
    expected = np.linalg.lstsq(root @ design, root @ observed, rcond=None)[0]
    assert result.state == pytest.approx(expected, abs=1e-8)
    weight = np.linalg.inv(sigma)
    cofactor = np.linalg.inv(design.T @ weight @ design)
    assert result.covariance == pytest.approx(cofactor, rel=1e-8, abs=1e-9)
    residuals = design @ expected - observed
    assert result.residuals == pytest.approx(residuals, abs=1e-8)
    assert result.sigma0 == pytest.approx(np.sqrt(residuals @ weight @ residuals / 6), rel=1e-8)


@given(seeds, st.booleans())
@settings(max_examples=50, deadline=None)
def test_control_of_readings_is_that_of_the_textbook(seed: int, with_priors: bool) -> None:
    """M = P Q_vv P written out with inverses; with priors N = Aᵀ P A + S⁻¹."""
    random = np.random.default_rng(seed)
    design, observed, sigma = random.normal(size=(8, 3)), random.normal(size=8), positive(random, 8)
    sd = np.array([0.7, np.inf, 1.3]) if with_priors else np.full(3, np.inf)
    result = adjust(linear(design, observed), np.zeros(3), sigma, prior_sd=sd)
    weight = np.linalg.inv(sigma)
    cofactor = np.linalg.inv(design.T @ weight @ design + np.diag(sd**-2.0))
    residual_cofactor = sigma - design @ cofactor @ design.T
    m = weight @ residual_cofactor @ weight
    own, weighted = np.diagonal(m), weight @ result.residuals
    assert result.control_matrix == pytest.approx(m, abs=1e-8)
    assert result.standardized == pytest.approx(weighted / np.sqrt(own), abs=1e-6)
    assert result.slip == pytest.approx(-weighted / own, rel=1e-6, abs=1e-7)
    assert result.smallest_slip(4.13) == pytest.approx(4.13 / np.sqrt(own), rel=1e-7)
    assert result.control == pytest.approx(np.diagonal(sigma) * own, rel=1e-7)
    assert result.alikeness == pytest.approx(m / np.sqrt(np.outer(own, own)), abs=1e-7)
    trace = np.trace(residual_cofactor @ weight)
    assert result.degrees_of_freedom == pytest.approx(trace, abs=1e-8)


def test_the_slip_of_a_correlated_reading_is_what_leaving_it_out_says() -> None:
    """Reading − prediction of the rest, whose own error foretells a part of this one's."""
    random = np.random.default_rng(4)
    design, observed, sigma = random.normal(size=(8, 3)), random.normal(size=8), positive(random, 8)
    slip = adjust(linear(design, observed), np.zeros(3), sigma).slip[0]
    rest = adjust(linear(design[1:], observed[1:]), np.zeros(3), sigma[1:, 1:])
    ahead = rest.predict(design[:1], sigma[:1, 1:], sigma[:1, :1])
    assert slip == pytest.approx(observed[0] - design[0] @ rest.state - ahead.mean[0], abs=1e-9)


@given(seeds)
@settings(max_examples=50, deadline=None)
def test_priors_condition_a_gaussian(seed: int) -> None:
    """x ~ N(m, S), y = A x + e: mean and covariance of x given y by the textbook formula."""
    random = np.random.default_rng(seed)
    design, observed, sigma = random.normal(size=(5, 3)), random.normal(size=5), positive(random, 5)
    mean, sd = random.normal(size=3), random.uniform(0.1, 2.0, 3)
    result = adjust(linear(design, observed), np.full(3, 9.0), sigma, prior_sd=sd, prior_mean=mean)
    prior = np.diag(sd**2)
    total = design @ prior @ design.T + sigma
    gain = np.linalg.solve(total, design @ prior).T
    surprise = observed - design @ mean
    assert result.state == pytest.approx(mean + gain @ surprise, abs=1e-7)
    assert result.covariance == pytest.approx(prior - gain @ design @ prior, abs=1e-8)
    # All unknowns have priors: misfit is the Mahalanobis distance of the readings themselves.
    assert result.misfit == pytest.approx(surprise @ np.linalg.solve(total, surprise), rel=1e-7)
    assert result.misfit_freedom == 5
    assert result.control_matrix == pytest.approx(np.linalg.inv(total), abs=1e-8)


def test_priors_alone_come_back_unchanged() -> None:
    nothing = adjust(
        lambda state: (np.zeros(0), np.zeros((0, 2))),
        [5.0, 5.0],
        np.zeros(0),
        prior_sd=[2.0, 3.0],
        prior_mean=[1.0, -1.0],
    )
    assert nothing.state == pytest.approx([1.0, -1.0])
    assert nothing.sd == pytest.approx([2.0, 3.0])
    assert nothing.sigma0 is None


def test_a_prior_controls_a_reading_but_is_none() -> None:
    """One reading 4 ± 1 of an unknown about 0 ± 1: halfway; r = 1 − 1/2 (by hand)."""
    result = adjust(linear(np.eye(1), np.array([4.0])), [0.0], [1.0], prior_sd=[1.0])
    assert result.state == pytest.approx([2.0])
    assert result.residuals == pytest.approx([-2.0])
    assert result.control == pytest.approx([0.5])
    assert result.degrees_of_freedom == pytest.approx(0.5)
    assert result.slip == pytest.approx([4.0])
    assert result.misfit == pytest.approx(8.0)


def gaussian_process(random: np.random.Generator) -> tuple[FloatArray, ...]:
    """A wall's line and its deviations at 9 readings and 4 other places."""
    place = np.sort(random.uniform(0, 3000, 13))
    kernel = 2.0 * np.exp(-0.5 * ((place[:, None] - place) / 400) ** 2)
    design = np.column_stack([np.ones(13), (place - 1500) / 1000])
    seen = np.zeros(13, dtype=bool)
    seen[random.permutation(13)[:9]] = True
    return (
        design[seen],
        design[~seen],
        kernel[np.ix_(seen, seen)],
        kernel[np.ix_(~seen, seen)],
        (kernel[np.ix_(~seen, ~seen)]),
    )


@given(seeds)
@settings(max_examples=30, deadline=None)
def test_predictions_condition_the_joint_gaussian(seed: int) -> None:
    """Readings, places and a state of very wide prior in one covariance, conditioned by formula."""
    random = np.random.default_rng(seed)
    design, star, kernel, cross, own = gaussian_process(random)
    observed, noise = random.normal(0, 2, 9), np.diag(random.uniform(0.05, 0.3, 9))
    result = adjust(linear(design, observed), np.zeros(2), kernel + noise)
    predicted = result.predict(star, cross, own)

    wide = 1e4**2
    total = wide * design @ design.T + kernel + noise
    across = wide * star @ design.T + cross
    mean = across @ np.linalg.solve(total, observed)
    spread = wide * star @ star.T + own - across @ np.linalg.solve(total, across.T)
    assert star @ result.state + predicted.mean == pytest.approx(mean, abs=1e-4)
    assert predicted.covariance == pytest.approx(spread, abs=1e-4)


def test_predictions_with_priors_condition_exactly() -> None:
    random = np.random.default_rng(7)
    design, star, kernel, cross, own = gaussian_process(random)
    observed, noise = random.normal(0, 2, 9), 0.1 * np.eye(9)
    sd = np.array([3.0, 0.5])
    result = adjust(linear(design, observed), np.zeros(2), kernel + noise, prior_sd=sd)
    predicted = result.predict(star, cross, own)
    total = design * sd**2 @ design.T + kernel + noise
    across = star * sd**2 @ design.T + cross
    spread = star * sd**2 @ star.T + own - across @ np.linalg.solve(total, across.T)
    mean = across @ np.linalg.solve(total, observed)
    assert star @ result.state + predicted.mean == pytest.approx(mean, abs=1e-10)
    assert predicted.covariance == pytest.approx(spread, abs=1e-10)


def test_predictions_without_deviations_propagate_the_state() -> None:
    result = adjust(linear(np.eye(2), np.array([1.0, 2.0])), [0.0, 0.0], [1.0, 4.0])
    predicted = result.predict([[1.0, 1.0]], own=[[7.0]])
    assert predicted.mean == pytest.approx([0.0])
    assert predicted.covariance == pytest.approx(np.array([[1 + 4 + 7.0]]))
    assert result.predict(np.eye(2)).covariance == pytest.approx(result.covariance)


@given(seeds)
@settings(max_examples=50, deadline=None)
def test_a_free_datum_is_the_pseudo_inverse(seed: int) -> None:
    """Heights from differences only; numpy's pinv of the normal matrix, as textbooks write it."""
    random = np.random.default_rng(seed)
    design = np.zeros((8, 5))
    for row in range(8):
        # The first four lines are a chain through all heights, so that only one thing is free.
        start, end = (row, row + 1) if row < 4 else random.permutation(5)[:2]
        design[row, [start, end]] = -1.0, 1.0
    observed, variance = random.normal(size=8), random.uniform(0.5, 2, 8)
    start = random.normal(size=5)
    result = adjust(linear(design, observed), start, variance, datum="free")
    weight = np.diag(1 / variance)
    inverse = np.linalg.pinv(design.T @ weight @ design)
    step = inverse @ design.T @ weight @ (observed - design @ start)
    assert result.state == pytest.approx(start + step, abs=1e-9)
    assert result.covariance == pytest.approx(inverse, abs=1e-9)
    assert (result.rank, result.degrees_of_freedom) == (4, 4)
    assert result.control.sum() == pytest.approx(4)


def test_a_free_datum_with_priors_enough_is_a_fixed_one() -> None:
    design, observed = np.array([[-1.0, 1.0, 0.0], [0.0, -1.0, 1.0]]), np.array([3.0, 4.0])
    sd, mean = [0.5, np.inf, 2.0], [1.0, 0.0, 9.0]
    fixed, free = (
        adjust(
            linear(design, observed),
            np.zeros(3),
            np.ones(2),
            prior_sd=sd,
            prior_mean=mean,
            datum=datum,
        )
        for datum in ("fixed", "free")
    )
    assert free.state == pytest.approx(fixed.state, abs=1e-12)
    assert free.covariance == pytest.approx(fixed.covariance, abs=1e-12)
    assert free.degrees_of_freedom == pytest.approx(fixed.degrees_of_freedom)


def test_units_of_unknowns_do_not_matter() -> None:
    """The same unknowns in units 1e9 apart (a fixed datum is equivariant)."""
    random = np.random.default_rng(5)
    design, observed = random.normal(size=(9, 3)), random.normal(size=9)
    unit = np.array([1e-6, 1.0, 1e3])
    plain = adjust(linear(design, observed), np.zeros(3), np.ones(9))
    scaled = adjust(linear(design * unit, observed), np.zeros(3), np.ones(9))
    assert scaled.state * unit == pytest.approx(plain.state, rel=1e-12)
    assert scaled.sd * unit == pytest.approx(plain.sd, rel=1e-12)
    assert scaled.iterations == plain.iterations == 2


def decay(state: FloatArray) -> tuple[FloatArray, FloatArray]:
    """y = exp(−a t): a full step from a = 0 or 3 overshoots."""
    t = np.array([0.5, 1.0, 2.0, 4.0])
    return np.exp(-8 * t) - np.exp(-state[0] * t), (-t * np.exp(-state[0] * t))[:, None]


def test_a_step_that_makes_it_worse_is_halved() -> None:
    def arctangent(state: FloatArray) -> tuple[FloatArray, FloatArray]:
        return -np.arctan(state), np.array([[1 / (1 + state[0] ** 2)]])

    # Newton's steps for arctan diverge from beyond 1.39 (a textbook case, from memory).
    result = adjust(arctangent, [10.0], [1e-4])
    assert result.state == pytest.approx([0.0], abs=1e-9)
    assert adjust(decay, [4.0], np.full(4, 1e-6)).state == pytest.approx([8.0], abs=1e-6)


def test_a_state_where_readings_cannot_be_computed_is_stepped_back_from() -> None:
    def logarithm(state: FloatArray) -> tuple[FloatArray, FloatArray]:
        value = np.log(state) if state[0] > 0 else np.array([np.nan])
        return np.log(0.1) - value, np.array([[1 / state[0]]])

    assert adjust(logarithm, [1.0], [1.0]).state == pytest.approx([0.1], rel=1e-8)


@pytest.mark.parametrize("readings", [1, 32, 33, 130])
def test_a_covariance_of_any_size_is_whitened(readings):
    sigma = positive(np.random.default_rng(readings), readings)
    root = Whitening.of(sigma).root
    assert root @ sigma @ root.T == pytest.approx(np.eye(readings), abs=1e-9)

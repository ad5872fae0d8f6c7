"""How uneven walls are, learned from rooms whose unevenness is known, and against the density written out."""

import math
from dataclasses import replace

import numpy as np
import pytest
from piece_rooms import UP, alcove, check, noisy
from rooms import drawn, tape
from scipy import stats
from true_room import TrueRoom

from fitting.site import (
    OLD_HOUSE,
    CornerTurn,
    Gaps,
    KnownRoom,
    Leaning,
    Prior,
    Ray,
    Spot,
    know_room,
    learn,
)
from fitting.site.learn import LEAST, MOST, SURE, fitted_factor, log_density

ENDS = {"left": (-math.inf, 0.0), "back": (0.0, 1500.0), "right": (0.0, math.inf)}
"""Where along each wall its inside corners are: the alcove's right wall is counted from its corner too."""
LENGTHS = [
    tape("width", "left-back", "back-right", UP, UP),
    tape("front", Spot("left", 600.0, "left-back"), Spot("right", 600.0, "back-right"), UP, UP),
    tape("diagonal", Spot("left", 600.0, "left-back"), "back-right", UP, UP),
]
CHECKS = [
    check("back", "left-back", np.linspace(60, 1440, 16), 0.3),
    check("back", "left-back", np.linspace(60, 1440, 16), 0.3, up=1500.0, key="high"),
    check("left", "left-back", np.linspace(60, 800, 10), 0.3),
    check("right", "back-right", np.linspace(60, 800, 10), 0.3),
]
OTHERS = [
    CornerTurn("gauge", 0.0, 2e-3, "left-back", 400.0, 400.0, UP),
    Leaning("lean", 0.0, 0.8, "back", 300.0, "left-back", 200.0, 1800.0),
]


FINE = np.exp(np.linspace(math.log(LEAST), math.log(MOST), 120))


def root_mean_square(density: np.ndarray) -> float:
    weight = np.exp(density - density.max())
    return math.sqrt(weight @ FINE**2 / weight.sum())


UNREAD = root_mean_square(stats.norm(0.0, SURE).logpdf(np.log(FINE)))
"""The factor where nothing was read: its log-normal prior within the bounds."""


def uneven(times: float, seed: int, prior: Prior = OLD_HOUSE) -> TrueRoom:
    random, room = np.random.default_rng(seed), alcove()
    for wall, ends in ENDS.items():
        room = room.changed(wall, bump=drawn(prior.times(times), random, 60, ends))
    return room


def read(room: TrueRoom, asked, seed: int = 0) -> KnownRoom:
    return know_room(room.plan(), noisy(room, asked, np.random.default_rng((seed, 7))))


def sureness(room: KnownRoom, factor: float) -> float:
    """How well the readings alone tell the factor's logarithm: the likelihood's standard deviation there."""
    step = 0.05
    three = log_density(room, factor * np.exp([-step, 0.0, step]))
    bend = -(three[0] - 2 * three[1] + three[2]) / step**2 - 1 / SURE**2
    return 1 / math.sqrt(max(bend, 1e-3))


@pytest.mark.parametrize("times", [0.6, 1.0, 2.0])
def test_on_average_it_learns_how_uneven_the_walls_are(times):
    """As far as readings outweigh what is expected: a normal mean under a normal prior lies between both by
    the inverse of their variances, and the logarithm of a log-normal's root mean square is that mean and the
    variance left (from memory)."""
    found, wanted, spread = [], [], []
    for seed in range(12):
        room = read(uneven(times, seed), [*LENGTHS, *CHECKS, *OTHERS], seed)
        sd = sureness(room, times)
        share = SURE**2 / (SURE**2 + sd**2)
        found.append(math.log(fitted_factor(room)[0]))
        wanted.append(share * math.log(times) + share * sd**2)
        spread.append(share * sd)
    error = math.sqrt(np.mean(np.square(spread)) / len(found))
    assert np.mean(spread) < 0.25  # so that it can be wrong
    assert np.mean(found) == pytest.approx(np.mean(wanted), abs=3 * error)


def test_learned_rooms_have_the_factor_on_all_unevenness():
    room = read(uneven(2.0, 3), [*LENGTHS, *CHECKS])
    learned, factor = learn(room), fitted_factor(room)[0]
    assert factor > 1.2
    ratio = [
        one.sd / was.sd for one, was in zip(learned.unevenness.prior.waves, OLD_HOUSE.waves, strict=True)
    ]
    assert ratio == pytest.approx([factor] * 3)
    assert learned.unevenness.prior.build_up.sd == pytest.approx(factor * OLD_HOUSE.build_up.sd)
    assert learned.unevenness.prior.square_sd == OLD_HOUSE.square_sd
    assert learned.readings == room.readings


@pytest.mark.parametrize(("height", "bound"), [(0.0, LEAST), (40.0, MOST)], ids=["glass", "ruin"])
def test_no_readings_push_it_past_its_bounds(height, bound):
    zigzag = tuple(height * (k % 2) for k in range(30))
    back = Gaps("c", "back", "left-back", tuple(np.linspace(50, 1450, 30)), (UP,) * 30, zigzag, (0.1,) * 30)
    more = [replace(back, key=k, up=(UP + 700 * k,) * 30) for k in range(1, 4)]
    room = know_room(alcove().plan(), [back, *more])
    assert fitted_factor(room)[0] == pytest.approx(bound, rel=0.02)


def test_from_lengths_alone_nothing_is_learned():
    for seed in range(3):
        factor, _ = fitted_factor(read(alcove(1500.0, 90.6, 89.8), LENGTHS, seed))
        assert factor == pytest.approx(UNREAD, abs=0.05)


def test_where_no_surface_was_seen_nothing_is_learned():
    room = know_room(alcove().plan(), [])
    assert fitted_factor(room)[0] == pytest.approx(UNREAD, abs=5e-3)


def test_a_likelihood_that_says_nothing_leaves_what_is_expected():
    # One length whose own error drowns all unevenness.
    room = know_room(alcove().plan(), [replace(LENGTHS[0], deviation=500.0, value=1500.0)])
    assert fitted_factor(room)[0] == pytest.approx(UNREAD, abs=5e-3)


def test_the_more_is_read_the_surer_it_is_how_uneven_the_walls_are():
    unread, lengths, checked = (
        learn(read(uneven(1.3, 4), asked)).unsure for asked in ([], LENGTHS, [*LENGTHS, *CHECKS, *OTHERS])
    )
    weight = np.exp(stats.norm(0.0, SURE).logpdf(np.log(FINE)))
    middle = weight @ np.log(FINE) / weight.sum()
    assert unread == pytest.approx(math.sqrt(weight @ (np.log(FINE) - middle) ** 2 / weight.sum()), rel=0.03)
    assert checked < 0.6 * lengths < unread
    assert know_room(alcove().plan(), []).unsure == 0.0  # before it is learned, it is taken as it is said


# The density


def dense(room: KnownRoom, factor: float) -> float:
    """The readings' log density with all unknowns integrated out under their priors, and the factor's own.

    With l = f + A (x - x0) + d + e the readings are normal with covariance A S A' + B K B' + R.
    """
    more = replace(room.unevenness, prior=room.unevenness.prior.times(factor))
    noise = np.array([sd for reading in room.readings for sd in reading.sd])
    misclosure, design = room.linearised()
    start, prior_sd = room.unknowns.vectors()
    own = room.sensing @ more.covariance(room.places, room.places) @ room.sensing.T + np.diag(noise**2)
    root = np.linalg.cholesky(own + (design * prior_sd**2) @ design.T)
    mean = design @ (start - room.adjustment.state)
    normal = stats.multivariate_normal(mean, stats.Covariance.from_cholesky(root))
    return float(normal.logpdf(misclosure)) + stats.norm(0.0, SURE).logpdf(math.log(factor))


@pytest.mark.parametrize(
    ("open_length", "within"),
    [
        pytest.param(200.0, 1e-6, id="lengths known to 200 mm"),
        # The dense covariance then spans ten orders of magnitude, and it is the reference that is unsure.
        pytest.param(20_000.0, 1e-4, id="restricted likelihood"),
    ],
)
def test_density_is_that_of_all_readings_with_the_unknowns_integrated_out(monkeypatch, open_length, within):
    for module in ("scene", "readings"):
        monkeypatch.setattr(f"fitting.site.{module}.OPEN_LENGTH_SD", open_length)
    room = read(uneven(1.5, 1), [*LENGTHS, *CHECKS[1:], *OTHERS], 1)
    assert room.unknowns.vectors()[1].max() == open_length
    factors = np.array([0.5, 0.8, 1.0, 1.3, 2.5])
    found, wanted = log_density(room, factors), np.array([dense(room, one) for one in factors])
    assert np.ptp(wanted) > 1.0
    assert found - found[2] == pytest.approx(wanted - wanted[2], abs=within)


def test_the_factor_is_the_root_mean_square_of_those_that_may_be_true():
    room = read(uneven(1.5, 2), [*LENGTHS, *CHECKS, *OTHERS])
    density = np.array([dense(room, one) for one in FINE])
    assert fitted_factor(room)[0] == pytest.approx(root_mean_square(density), rel=0.01)


# A room that goes on from the one before

RAYS = [
    *(Ray("back", x, -500.0, 0.0, 1.0, UP) for x in (60.0, 700.0, 1400.0)),
    *(Ray(wall, 700.0, -400.0, way, 0.0, UP) for wall, way in (("left", -1.0), ("right", 1.0))),
]


@pytest.mark.parametrize("seed", [0, 1])
@pytest.mark.parametrize("more", [0, 3, 9], ids=["nothing", "some", "all readings"])
def test_after_an_earlier_room_the_answer_is_the_same(more, seed):
    truth = uneven(1.5, seed)
    asked = noisy(truth, [*OTHERS, *LENGTHS, *CHECKS], np.random.default_rng(seed))
    earlier = know_room(truth.plan(), asked[: len(asked) - more])
    prior = OLD_HOUSE.times(1.4)
    scratch = know_room(truth.plan(), asked, prior)
    gone_on = know_room(truth.plan(), asked, prior, after=earlier)
    assert gone_on.unknowns.names == scratch.unknowns.names
    state, other = gone_on.adjustment.state, scratch.adjustment.state
    assert state == pytest.approx(other, abs=5e-3)
    found, wanted = gone_on.rays(RAYS), scratch.rays(RAYS)
    assert found.mean == pytest.approx(wanted.mean, abs=5e-3)
    assert found.sd == pytest.approx(wanted.sd, abs=5e-3)
    assert found.covariance == pytest.approx(wanted.covariance, rel=1e-2, abs=0.05)


def test_an_earlier_room_far_off_does_no_harm():
    truth = uneven(1.0, 5)
    asked = noisy(truth, [*OTHERS, *LENGTHS, *CHECKS], np.random.default_rng(5))
    off = [replace(one, value=one.value + 150.0) for one in asked[2:5]]
    earlier = know_room(truth.plan(), [*asked[:2], *off])
    found = know_room(truth.plan(), asked, after=earlier).rays(RAYS)
    assert found.mean == pytest.approx(know_room(truth.plan(), asked).rays(RAYS).mean, abs=5e-3)

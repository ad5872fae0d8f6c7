"""What is expected of walls: against formulas written out here one pair of places at a time.

R&W is Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006; its formulas from memory.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import rooms
from scipy.special import gamma, kv

from fitting.site import NEW_HOUSE, OLD_HOUSE, Feature, Gaps, KnownRoom, Plan, Prior, Ray, know_room
from fitting.site.prior import BuildUp, Ripple, Spread, Wave
from fitting.site.scene import Places, Scene
from fitting.site.unevenness import Unevenness

LENGTH, SPACING = 900.0, 406.4  # mm; a wall between two inside corners, studs 16 in apart
PRIORS = {
    "old house": OLD_HOUSE,
    "new house": NEW_HOUSE,
    "waves only": replace(OLD_HOUSE, ripple=None, build_up=None),
    "build-up only": Prior(waves=(), ripple=None),
    "smooth": Prior(waves=(Wave(2.0, 400.0, 900.0, "smooth"),), ripple=Ripple(1.0, 700.0), build_up=None),
}


def matern(distance: float) -> float:
    """R&W eq. 4.14 with nu = 3/2, by Bessel's function."""
    if distance == 0.0:
        return 1.0
    scaled = math.sqrt(3.0) * distance
    return float(2.0**-0.5 / gamma(1.5) * scaled**1.5 * kv(1.5, scaled))


def covariance(prior: Prior, one, other, length: float = math.inf, spacing: float | None = None) -> float:
    """Of two places (along, up) on a wall from 0 to `length`, inside corners at both ends if it is finite."""
    (a, z), (b, w) = one, other
    found = 0.0
    for wave in prior.waves:
        distance = math.sqrt(((a - b) / wave.along) ** 2 + ((z - w) / wave.up) ** 2)
        alike = math.exp(-(distance**2) / 2) if wave.shape == "smooth" else matern(distance)
        found += wave.sd**2 * alike
    if prior.ripple is not None and spacing is not None:
        lasts = math.exp(-((a - b) ** 2) / 2 / prior.ripple.lasts**2)
        found += prior.ripple.sd**2 * lasts * math.cos(2 * math.pi * (a - b) / spacing)
    if prior.build_up is not None and math.isfinite(length):
        built = prior.build_up
        for fade in built.fades:
            ends = math.exp(-(a + b) / fade) + math.exp(-(length - a + length - b) / fade)
            found += built.sd**2 / len(built.fades) * ends * matern(abs(z - w) / built.up)
    return found


def spread(along, up, left: float = 0.0, right: float = LENGTH) -> Spread:
    along, up = np.broadcast_arrays(np.asarray(along, dtype=float), np.asarray(up, dtype=float))
    return Spread(along, up, np.stack([along - left, right - along]))


@pytest.mark.parametrize("prior", PRIORS.values(), ids=PRIORS)
@pytest.mark.parametrize("spacing", [None, SPACING])
def test_covariance_is_the_formula_place_by_place(prior, spacing):
    random = np.random.default_rng(3)
    first, second = (random.uniform([0, 0], [LENGTH, 2400], (n, 2)) for n in (7, 5))
    second[0] = first[0]  # once no distance at all
    found = prior.deviation(spread(*first.T), spread(*second.T), spacing)
    wanted = [[covariance(prior, one, other, LENGTH, spacing) for other in second] for one in first]
    assert found == pytest.approx(np.array(wanted), abs=1e-12)


@pytest.mark.parametrize("prior", PRIORS.values(), ids=PRIORS)
def test_no_combination_of_places_has_a_variance_below_zero(prior):
    random = np.random.default_rng(4)
    places = spread(*random.uniform([0, 0], [LENGTH, 2400], (60, 2)).T)
    own = prior.deviation(places, places, SPACING)
    assert np.linalg.eigvalsh(own).min() > -1e-10


# Ripple


def test_ripple_comes_back_at_every_stud_and_is_turned_round_between_them():
    ripple = Ripple(0.4, 1e9)  # a spacing that is kept all along the wall
    apart = SPACING * np.array([0.0, 1.0, 2.0, 5.0, 0.5, 1.5, 0.25])
    assert ripple.covariance(apart, SPACING) == pytest.approx(
        0.16 * np.array([1, 1, 1, 1, -1, -1, 0]), abs=1e-12
    )


def test_ripple_is_forgotten_along_the_wall_as_fast_as_it_says():
    ripple = Ripple(0.4, 3 * SPACING)
    assert ripple.covariance(np.array([3 * SPACING]), SPACING) == pytest.approx(0.16 * math.exp(-0.5))


def test_without_a_known_spacing_there_is_no_ripple():
    places, without = spread([100.0, 500.0], 0.0), replace(OLD_HOUSE, ripple=None)
    alike = without.deviation(places, places, None)
    assert np.array_equal(OLD_HOUSE.deviation(places, places, None), alike)
    assert not np.allclose(OLD_HOUSE.deviation(places, places, SPACING), alike)


# Build-up


def only_built_up(along, up=0.0, left: float = 0.0, right: float = 1e6):
    places = spread(along, up, left, right)
    return Prior(waves=(), ripple=None).deviation(places, places)


def test_build_up_is_most_in_the_corner_and_fades_along_the_wall():
    variance = np.diagonal(only_built_up([0.0, 60.0, 200.0, 1000.0]))
    assert variance[0] == pytest.approx(1.2**2)
    # After 60 and 200 mm: halves that fade by e^-1 of height, e^-2 of variance, each over its own length.
    by_hand = 1.44 * np.array([math.exp(-2) + math.exp(-0.6), math.exp(-20 / 3) + math.exp(-2)]) / 2
    assert variance[1:3] == pytest.approx(by_hand)
    assert (np.diff(variance) < 0).all()
    assert variance[3] < 1e-4


def test_build_up_at_the_two_ends_of_a_wall_has_nothing_to_do_with_one_another():
    own = only_built_up([0.0, 1500.0], right=1500.0)
    assert np.diagonal(own) == pytest.approx([1.44, 1.44], rel=1e-6)
    assert own[0, 1] == pytest.approx(1.44 * (math.exp(-7.5) + math.exp(-25)), rel=1e-6)  # faded, not shared


def test_build_up_changes_upward():
    own = only_built_up([0.0, 0.0], [0.0, 400.0])
    assert own[0, 1] / own[0, 0] == pytest.approx(matern(1.0))


def variances(wall: str, *near: tuple[str, float], prior: Prior, up: float = 800.0) -> np.ndarray:
    """Prior variances of a wall's deviations so far along from corners, by the room's own scene."""
    known = know_room(rooms.chimney_breast().plan(), [], prior)
    scene = Scene(known.plan, known.unknowns, known.adjustment.state, Places())
    at = [scene.wall_place(wall, corner, up).value + past for corner, past in near]
    scene.places = places = Places()
    for along in at:
        scene.deviation(wall, along, up)
    return np.diagonal(known.unevenness.covariance(places, places))


def test_outside_corners_have_no_build_up():
    built = Prior(waves=(), ripple=None, build_up=BuildUp(2.0, (30.0,), 400.0))
    inside, outside = variances("cheek", ("recess-cheek", 5.0), ("cheek-face", -5.0), prior=built)
    assert inside == pytest.approx(4.0 * math.exp(-10 / 30), rel=1e-6)
    assert outside < 1e-4  # some 250 mm from the inside corner


def test_walls_have_nothing_to_do_with_one_another_even_in_their_corner():
    places = Places()
    for wall in ("left", "back", "left"):
        places.at(wall, 0.0, 800.0)
    places.ends = {"left": (-math.inf, 0.0), "back": (0.0, 1500.0)}
    own = Unevenness(OLD_HOUSE, {}).covariance(places, places)
    assert own[0, 1] == own[1, 2] == 0.0
    assert own[0, 2] == own[0, 0] > 1.44


def test_places_on_other_walls_share_nothing():
    first, second = Places(), Places()
    first.at("left", 0.0, 800.0)
    second.at("back", 0.0, 800.0)
    assert np.array_equal(Unevenness(OLD_HOUSE, {}).covariance(first, second), [[0.0]])


# Figures


def test_figures_are_the_published_tolerances_that_they_are_said_to_come_from():
    # DIN 18202 Table 2: a corner may be out by 6 mm over up to 1 m, 0.34 degrees (from memory).
    assert math.degrees(OLD_HOUSE.square_sd) == pytest.approx(2 * math.degrees(math.atan(6 / 1000)), abs=0.02)
    # Plumb within 1/4 in in 8 ft (trade guidelines, from memory) is two standard deviations, doubled.
    assert pytest.approx(2 * (0.25 / 96) / 2, rel=0.01) == OLD_HOUSE.tilt_sd


def test_a_new_house_is_squarer_and_more_plumb_but_no_flatter():
    assert (NEW_HOUSE.square_sd, NEW_HOUSE.tilt_sd) == (OLD_HOUSE.square_sd / 2, OLD_HOUSE.tilt_sd / 2)
    assert (NEW_HOUSE.waves, NEW_HOUSE.ripple, NEW_HOUSE.build_up) == (
        OLD_HOUSE.waves,
        OLD_HOUSE.ripple,
        OLD_HOUSE.build_up,
    )


def test_the_sd_that_it_names_is_that_of_its_waves():
    places = spread([1e5], 0.0, 0.0, 2e5)  # far from both corners
    assert OLD_HOUSE.deviation_sd**2 == pytest.approx(OLD_HOUSE.deviation(places, places)[0, 0])


# Prediction: R&W eq. 2.41 and 2.42, a process with a trend whose coefficients have a prior N(0, B)

STATIONS = (0.0, 150.0, 300.0, 380.0, 700.0, 820.0)
WANTED = (0.0, 100.0, 220.0, 500.0, 530.0, 1000.0)  # the same middle as the stations
READ = (2.0, 1.0, 3.5, 3.0, 0.0, 1.0)
SD = 0.3
OPEN = np.diag([1 / 20_000.0**2, 1 / 0.2**2])  # inverse of B: the line's offset (mm) and turn


def flat_wall() -> tuple[KnownRoom, Gaps]:
    plan = Plan("back", ("back",), features=(Feature("m", "back"),), origin="m", spacings={"back": SPACING})
    check = Gaps("c", "back", "m", STATIONS, (0.0,) * 6, READ, (SD,) * 6)
    return know_room(plan, [check]), check


def kernel(one, other) -> np.ndarray:
    return np.array([[covariance(OLD_HOUSE, (a, 0), (b, 0), spacing=SPACING) for b in other] for a in one])


def textbook(trend_at_wanted: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The deviation plus this trend at the places wanted, read as trend less gap."""
    H = np.stack([np.ones(6), np.array(STATIONS) - np.mean(STATIONS)])
    K_y = kernel(STATIONS, STATIONS) + SD**2 * np.eye(6)
    y, k_star = -np.array(READ), kernel(STATIONS, WANTED)
    R = trend_at_wanted - H @ np.linalg.solve(K_y, k_star)
    A = OPEN + H @ np.linalg.solve(K_y, H.T)
    beta = np.linalg.solve(A, H @ np.linalg.solve(K_y, y))
    mean = k_star.T @ np.linalg.solve(K_y, y) + R.T @ beta
    own = kernel(WANTED, WANTED) - k_star.T @ np.linalg.solve(K_y, k_star)
    return mean, own + R.T @ np.linalg.solve(A, R)


def test_the_surface_of_a_flat_wall_is_the_textbooks_prediction():
    room, _ = flat_wall()
    found = room.rays([Ray("back", along, -500.0, 0.0, 1.0, 0.0) for along in WANTED])
    mean, own = textbook(np.zeros((2, 6)))
    assert 500.0 - found.mean == pytest.approx(mean, abs=1e-6)
    assert found.covariance == pytest.approx(own, abs=1e-6)


def test_what_the_same_straightedge_would_read_is_the_textbooks_prediction_with_its_trend():
    room, check = flat_wall()
    found = room.foresee(lambda _scene: (), [replace(check, along=WANTED)])
    mean, own = textbook(np.stack([np.ones(6), np.array(WANTED) - np.mean(STATIONS)]))
    assert -found.mean == pytest.approx(mean, abs=1e-6)
    assert found.covariance == pytest.approx(own, abs=1e-6)

"""Published networks through the same engine that rooms use, as printed and in room size.

Sources stand beside the data in published_networks.py. "Room size" divides everything so that the network is
4 m across, in millimetres: coordinates and standard deviations scale, s0 and control do not.
"""

from dataclasses import replace

import numpy as np
import pytest
from networks import Network, Published, adjust_network
from published_networks import (
    ARCSECOND,
    BRACED,
    DOUBLE_DISTANCES,
    FOUR_POINTS_FREE,
    GHILANI_LEVELS,
    HOEPKE,
    HOEPKE_AS_PRINTED,
    KRUMM_LEVELS,
    MIKHAIL,
    PUBLISHED,
    QUADRILATERAL_WITH_BLUNDER,
    SQUARE,
    TEN_POINTS,
    THREE_TAPES,
    TRILATERATION,
    distances,
    dms,
)

from fitting.adjust import Adjustment, adjust
from fitting.errors import Unsolvable

ROOM_MM = 4000.0
HALF_DIGIT = 0.51  # of the last one printed

each_published = pytest.mark.parametrize("network", PUBLISHED, ids=lambda n: n.source.split(";")[0])
each_size = pytest.mark.parametrize("size", ["as printed", "room"])
one_redundant = pytest.mark.parametrize(
    "network", [THREE_TAPES, FOUR_POINTS_FREE, SQUARE, TRILATERATION], ids=lambda n: n.source[:14]
)


def at_size(network: Network, size: str) -> tuple[float, Adjustment]:
    factor = 1.0 if size == "as printed" else ROOM_MM / network.extent
    return factor, adjust_network(network.scaled(factor))


def printed(network: Network) -> Published:
    assert network.published is not None
    return network.published


@each_size
@each_published
def test_coordinates_are_those_published(network: Network, size: str) -> None:
    factor, result = at_size(network, size)
    expected = [[x, y] for x, _, y, _ in printed(network).points.values()]
    assert result.state.reshape(-1, 2) / factor == pytest.approx(
        np.array(expected), rel=0, abs=HALF_DIGIT * 1e-4
    )


@each_size
@each_published
def test_standard_deviations_are_those_published(network: Network, size: str) -> None:
    factor, result = at_size(network, size)
    expected = [[x, y] for _, x, _, y in printed(network).points.values()]
    assert result.sigma0 is not None
    assert 1000 * result.sd.reshape(-1, 2) * result.sigma0 / factor == pytest.approx(
        np.array(expected), rel=0, abs=HALF_DIGIT * 0.01
    )


@each_size
@each_published
def test_sigma0_and_freedom_are_those_published(network: Network, size: str) -> None:
    _, result = at_size(network, size)
    assert result.degrees_of_freedom == network.freedom
    assert result.sigma0 == pytest.approx(printed(network).s0, rel=8e-6)  # five digits


@each_size
@pytest.mark.parametrize("network", [*PUBLISHED, QUADRILATERAL_WITH_BLUNDER, DOUBLE_DISTANCES])
def test_controls_add_up_to_the_degrees_of_freedom(network: Network, size: str) -> None:
    _, result = at_size(network, size)
    assert result.control.sum() == pytest.approx(network.freedom, abs=1e-9)
    assert result.misfit_freedom == network.freedom


@each_size
@pytest.mark.parametrize("network", [n for n in PUBLISHED if printed(n).redundancy])
def test_control_is_the_redundancy_number(network: Network, size: str) -> None:
    _, result = at_size(network, size)
    assert result.control == pytest.approx(
        np.array(printed(network).redundancy), rel=0, abs=HALF_DIGIT * 1e-4
    )


@each_size
@pytest.mark.parametrize("network", [n for n in PUBLISHED if printed(n).distances])
def test_adjusted_distances_are_those_of_gnu_gama(network: Network, size: str) -> None:
    factor, result = at_size(network, size)
    adjusted = network.observed + result.residuals / factor
    assert adjusted == pytest.approx(np.array(printed(network).distances), rel=0, abs=HALF_DIGIT * 1e-7)


@one_redundant
def test_one_redundant_reading_never_tells_which_is_wrong(network: Network) -> None:
    """With one degree of freedom every |τ| is 1 and every pair of tests is alike (theorem)."""
    result = adjust_network(network)
    assert result.sigma0 is not None
    assert np.abs(result.standardized / result.sigma0) == pytest.approx(1, rel=1e-6)
    assert np.abs(result.alikeness) == pytest.approx(1, rel=1e-6)


def test_three_tapes_have_the_published_residuals() -> None:
    result = adjust_network(THREE_TAPES)
    assert 1000 * result.residuals == pytest.approx([-23.4, -16.5, -16.5], abs=0.051)
    assert result.standardized == pytest.approx(printed(THREE_TAPES).standardized, abs=5.1e-4)
    assert 1000 * result.sd == pytest.approx([10.001, 7.071], abs=5.1e-4)


def test_sides_and_diagonals_of_a_square_have_a_seventh_and_two_sevenths() -> None:
    """Exact at the exact square, so for a room of 3 m as for a field of 1 km."""
    true = [1.0, 2**0.5, 2**0.5, 1.0, 1.0]
    room = SQUARE.scaled(3.0)
    for d, length in zip(SQUARE.distances, true, strict=True):
        room = room.read(d.ends, 3000 * length)
    result = adjust_network(room)
    assert result.control == pytest.approx(np.array([1, 2, 2, 1, 1]) / 7, abs=1e-12)
    assert result.misfit == pytest.approx(0, abs=1e-12)


def test_the_misread_first_distance_of_ghilani_would_be_338_mm_short() -> None:
    """The data file's comment gives 5870.640 for 5870.302 as a supposed blunder."""
    result = adjust_network(TRILATERATION)
    assert result.slip[0] == pytest.approx(-0.338, abs=1e-3)
    right = adjust_network(TRILATERATION.read(("Badger", "Wisconsin"), 5870.640))
    assert right.sigma0 is not None
    assert right.sigma0 * 0.01 == pytest.approx(9.2e-5, abs=0.1e-5)


def test_a_clean_network_has_nothing_to_reject() -> None:
    result = adjust_network(TEN_POINTS)
    worst = int(np.abs(result.standardized).argmax())
    assert worst == TEN_POINTS.index("C", "D")
    assert abs(result.standardized[worst]) == pytest.approx(1.74, abs=5.1e-3)


def test_a_slip_of_50_mm_in_hoepkes_printed_list_is_found() -> None:
    """The ranking was computed from the data with scipy; the slip is the source's own."""
    result = adjust_network(HOEPKE_AS_PRINTED)
    assert result.sigma0 == pytest.approx(10.41065, rel=1e-6)
    order = np.argsort(-np.abs(result.standardized))
    expected = {
        ("1059", "75"): -34.26,
        ("1059", "20"): -24.02,
        ("20", "75"): 16.98,
        ("86", "75"): -15.99,
        ("86", "1059"): 14.17,
    }
    assert [HOEPKE.index(*ends) for ends in expected] == order[:5].tolist()
    assert result.standardized[order[:5]] == pytest.approx([*expected.values()], abs=5.1e-3)
    slipped = order[0]
    assert 1000 * result.slip[slipped] == pytest.approx(50.12, abs=5.1e-3)
    assert 1000 * result.residuals[slipped] == pytest.approx(-23.42, abs=5.1e-3)
    assert result.control[slipped] == pytest.approx(0.467, abs=5.1e-4)
    assert result.standardized[slipped] / result.sigma0 == pytest.approx(-3.291, abs=5.1e-4)
    # τ at α = 0.001 with 14 degrees of freedom is 2.845 (Pope 1976): only the slip exceeds it.
    assert np.sum(np.abs(result.standardized / result.sigma0) > 2.845) == 1


def test_without_the_slip_the_rest_predicts_hoepkes_distance() -> None:
    network = HOEPKE.without("1059", "75")
    result = adjust_network(network)
    assert result.degrees_of_freedom == 13
    assert result.sigma0 == pytest.approx(5.14136, rel=1e-6)
    at = {name: result.state[2 * i : 2 * i + 2] for i, name in enumerate(network.start)}
    assert np.hypot(*(at["1059"] - at["75"])) == pytest.approx(1789.44888, abs=1e-5)


def test_slip_is_how_far_the_others_would_put_it() -> None:
    """Leave-one-out: reading − prediction of the rest = slip (theorem, at first order)."""
    row = HOEPKE.index("1059", "75")
    slip = adjust_network(HOEPKE_AS_PRINTED).slip[row]
    assert slip == pytest.approx(1789.499 - 1789.44888, abs=1e-5)


def test_the_blunder_in_an_angle_that_ghilani_labels_is_found() -> None:
    network = QUADRILATERAL_WITH_BLUNDER
    result = adjust_network(network)
    assert result.sigma0 == pytest.approx(1.48186, rel=5e-6)
    first, second = np.argsort(-np.abs(result.standardized))[:2]
    assert first == network.index("T", "Q", "R")
    assert result.standardized[first] == pytest.approx(5.20, abs=5.1e-3)
    assert result.standardized[first] / result.sigma0 == pytest.approx(3.51, abs=5.1e-3)
    assert result.control[first] == pytest.approx(0.792, abs=5.1e-4)
    assert result.slip[first] / ARCSECOND == pytest.approx(-23.4, abs=0.051)
    assert abs(result.standardized[second]) == pytest.approx(1.87, abs=5.1e-3)


def test_a_slip_of_a_minute_in_the_braced_quadrilateral_is_found() -> None:
    """GNU Gama prints the standardized residual 3.143; that it is a slip of 1′ is inferred."""
    result = adjust_network(BRACED)
    row = BRACED.index("D", "A", "B")
    assert int(np.abs(result.standardized).argmax()) == row
    assert result.sigma0 is not None
    assert abs(result.standardized[row] / result.sigma0) == pytest.approx(3.143, abs=5.1e-4)
    assert result.slip[row] / ARCSECOND == pytest.approx(62.4, abs=0.051)
    angles = [
        replace(a, value=dms("43 05 11")) if (a.at, a.start, a.end) == ("D", "A", "B") else a
        for a in BRACED.angles
    ]
    right = adjust_network(replace(BRACED, angles=tuple(angles)))
    assert right.sigma0 == pytest.approx(1.0943, abs=5.1e-5)
    assert right.state == pytest.approx([9787.838, 8038.488, 9260.882, 4843.878], abs=5.1e-4)
    assert np.abs(right.standardized).max() == pytest.approx(1.85, abs=5.1e-3)


def test_distances_read_twice_control_each_other_by_half() -> None:
    result = adjust_network(DOUBLE_DISTANCES)
    assert result.degrees_of_freedom == 5
    assert result.sigma0 == pytest.approx(5**-0.5, rel=1e-6)
    assert result.control == pytest.approx(0.5, abs=1e-9)


@pytest.mark.parametrize("factor", [1.0, 0.1], ids=["metres", "as floor drops in mm"])
def test_levelling_of_mikhail_and_ackermann(factor: float) -> None:
    """Heights and s0 as GNU Gama prints them (its s0 counts millimetres), the rest computed."""
    result = MIKHAIL.adjust(factor)
    heights = [825.2206243, 835.5354302, 809.5339282, 830.8460287]
    assert result.state / factor == pytest.approx(heights, abs=5.1e-8)
    assert result.degrees_of_freedom == 4
    assert result.sigma0 == pytest.approx(6.3583349 / 1000**0.5, rel=1e-7)
    ratio = np.abs(result.standardized) / result.sigma0
    assert ratio == pytest.approx([0.990, 0.203, 1.895, 0.742, 0.049, 0.969, 1.068, 0.617], abs=6e-4)
    controls = [0.5547, 0.4037, 0.5459, 0.5487, 0.4715, 0.4538, 0.4754, 0.5462]
    assert result.control == pytest.approx(controls, abs=5.1e-5)
    residuals = [-0.1994, -0.0252, -0.3354, -0.1467, -0.0079, -0.1306, 0.1740, 0.1085]
    assert result.residuals / factor == pytest.approx(residuals, abs=5.1e-5)
    sds = [0.1805, 0.1615, 0.2010, 0.1711]
    assert result.sd * result.sigma0 / factor == pytest.approx(sds, abs=5.1e-5)


@pytest.mark.parametrize("factor", [1.0, 10.0], ids=["metres", "as floor drops in mm"])
def test_levelling_of_ghilani(factor: float) -> None:
    result = GHILANI_LEVELS.adjust(factor)
    assert result.state / factor == pytest.approx([448.1087, 453.4685, 444.9436], abs=5.1e-5)
    assert result.degrees_of_freedom == 3
    assert result.sigma0 == pytest.approx(0.651184, rel=1e-6)
    sds = 1000 * result.sd * result.sigma0 / factor
    assert sds == pytest.approx([2.30, 2.64, 1.76], abs=5.1e-3)
    residuals = 1000 * result.residuals / factor
    assert residuals == pytest.approx([3.7, -0.2, -1.9, 0.4, 1.9, -8.5], abs=0.051)
    controls = [0.6549, 0.3294, 0.5092, 0.1877, 0.4326, 0.8862]
    assert result.control == pytest.approx(controls, abs=5.1e-5)


@pytest.mark.parametrize("factor", [1.0, 10.0], ids=["metres", "as floor drops in mm"])
def test_levelling_with_uncontrolled_lines(factor: float) -> None:
    result = KRUMM_LEVELS.adjust(factor)
    heights = [93.4560, 107.7541, 103.4535, 100.4620]
    assert result.state / factor == pytest.approx(heights, abs=5.1e-5)
    assert result.sigma0 is not None
    sds = 1000 * result.sd * result.sigma0 / factor
    assert sds == pytest.approx([5.78, 6.73, 6.69, 7.46], abs=5.1e-3)
    assert result.control == pytest.approx([0.4091, 0.3636, 0, 0, 0.2273], abs=5.1e-5)
    assert result.controlled.tolist() == [True, True, False, False, True]
    assert result.control[2:4].tolist() == [0, 0]
    assert result.standardized[2:4].tolist() == [0, 0]
    assert result.slip[2:4].tolist() == [0, 0]
    assert result.smallest_slip(4.13)[2:4].tolist() == [np.inf, np.inf]
    assert not result.alikeness[2:4].any()
    assert np.isfinite(result.alikeness).all()


def test_four_readings_of_a_square_leave_the_published_covariance_and_no_control() -> None:
    """Cofactors of the design example (computed from Benning 8-2, the diagonal 2-3 missing)."""
    network = replace(
        SQUARE,
        distances=distances(f"1 3 1000\n2 4 1000\n3 4 1000\n1 4 {1000 * 2**0.5!r}", sd=0.01),
    )
    result = adjust_network(network)
    expected = [[400, 0, 300, 100], [0, 100, 0, 0], [300, 0, 300, 100], [100, 0, 100, 100]]
    assert 1e6 * result.covariance == pytest.approx(np.array(expected), abs=1e-6)
    assert result.degrees_of_freedom == 0
    assert result.sigma0 is None
    assert not result.controlled.any()


def test_coordinates_of_millions_of_metres_stop_at_their_rounding() -> None:
    """5.7e6 m has digits to 1e-9 m, 1e-6 of a standard deviation: no step becomes 1e-13 of one."""
    strict = adjust(HOEPKE.linearise(), HOEPKE.unknowns, HOEPKE.variance, datum="free", tolerance=1e-13)
    assert strict.state == pytest.approx(adjust_network(HOEPKE).state, abs=1e-8)


@pytest.mark.parametrize("network", [THREE_TAPES, SQUARE, TEN_POINTS, BRACED])
def test_bad_starts_still_converge(network: Network) -> None:
    """Each point starts up to an eighth of the network's size away from where it belongs."""
    random = np.random.default_rng(20)
    good = adjust_network(network)
    for _ in range(20):
        off = random.uniform(-1, 1, good.state.size) * network.extent / 8
        found = adjust_network(network, network.unknowns + off)
        assert found.state == pytest.approx(good.state, abs=1e-6)


def test_a_network_without_a_datum_names_what_is_free() -> None:
    free = FOUR_POINTS_FREE
    with pytest.raises(Unsolvable, match=r"3 directions .* P x, P y, 1 x, 1 y, 2 x"):
        adjust(free.linearise(), free.unknowns, free.variance, names=free.names)

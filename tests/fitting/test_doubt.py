"""Which readings are in doubt: published networks, published limits, and what the chances claim."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from networks import Network, adjust_network
from published_networks import (
    ARCSECOND,
    BRACED,
    FOUR_POINTS_FREE,
    HOEPKE,
    HOEPKE_AS_PRINTED,
    KRUMM_LEVELS,
    PUBLISHED,
    QUADRILATERAL,
    QUADRILATERAL_WITH_BLUNDER,
    SQUARE,
    TEN_POINTS,
    THREE_TAPES,
    TRILATERATION,
)
from scipy import stats

from fitting.adjust import Adjustment, adjust
from fitting.doubt import LEAST_CONTROL, delta0, doubtful, doubts, misfit_limit, tau_limit, unfound
from fitting.errors import BadInput

RUNS = 2000


def three_sd(share: float) -> float:
    """Three standard deviations of a share seen in RUNS runs."""
    return 3.0 * float(np.sqrt(share * (1.0 - share) / RUNS))


# Limits. Where no other source stands, figures were computed with scipy from the definition.


@pytest.mark.parametrize(
    ("chance", "limit"), [(0.05, 1.9600), (0.01, 2.5758), (0.005, 2.8070), (0.003, 2.9677), (0.001, 3.2905)]
)
def test_doubtful_is_the_two_sided_normal_limit(chance: float, limit: float) -> None:
    assert doubtful(1, chance) == pytest.approx(limit, abs=5.1e-5)
    assert doubtful(19, 19 * chance) == pytest.approx(limit, abs=5.1e-5)


@pytest.mark.parametrize(
    ("false_alarm", "power", "shift"),
    [
        (0.001, 0.80, 4.1321),  # Baarda 1968: 4.13, λ0 = 17.075
        (0.001, 0.90, 4.5721),
        (0.01, 0.80, 3.4175),
        (0.01, 0.90, 3.8574),
        (0.05, 0.80, 2.8016),
        (0.05, 0.90, 3.2415),
    ],
)
def test_delta0_is_the_slip_that_is_found_with_its_power(
    false_alarm: float, power: float, shift: float
) -> None:
    assert delta0(false_alarm, power) == pytest.approx(shift, abs=5.1e-5)
    exact = stats.ncx2.sf(doubtful(1, false_alarm) ** 2, 1, shift**2)
    assert exact == pytest.approx(power, abs=1e-4)


TAU = {  # Pope 1976, α = 0.05, 0.01, 0.001
    2: (1.4099, 1.4140, 1.4142),
    3: (1.6454, 1.7147, 1.7303),
    4: (1.7567, 1.9175, 1.9823),
    5: (1.8143, 2.0509, 2.1781),
    6: (1.8481, 2.1421, 2.3292),
    8: (1.8848, 2.2562, 2.5407),
    10: (1.9039, 2.3236, 2.6786),
    15: (1.9261, 2.4113, 2.8735),
    20: (1.9358, 2.4539, 2.9749),
    30: (1.9447, 2.4956, 3.0785),
}


@pytest.mark.parametrize("freedom", TAU)
def test_tau_is_popes(freedom: int) -> None:
    limits = [tau_limit(1, freedom, chance) for chance in (0.05, 0.01, 0.001)]
    assert limits == pytest.approx(TAU[freedom], abs=5.1e-5)


def test_tau_is_as_good_as_scipys() -> None:
    for freedom in (2, 3, 17, 64, 333):
        for tested in (1, 10, 1000):
            t = stats.t.isf(0.01 / tested / 2, freedom - 1)
            exact = np.sqrt(freedom) * t / np.hypot(np.sqrt(freedom - 1), t)
            assert tau_limit(tested, freedom, 0.01) == pytest.approx(exact, rel=1e-10)


def test_with_one_degree_of_freedom_no_tau_is_doubtful() -> None:
    assert tau_limit(3, 1, 0.05) == np.inf


@pytest.mark.parametrize(
    ("freedom", "low", "high"),
    [  # 95 %, two-sided, per degree of freedom; the roots for 1 are 0.031 and 2.241 as GNU Gama prints them
        (1, 0.0010, 5.0239),
        (2, 0.0253, 3.6889),
        (3, 0.0719, 3.1161),
        (5, 0.1662, 2.5665),
        (10, 0.3247, 2.0483),
    ],
)
def test_the_misfit_limit_is_that_of_chi_square(freedom: int, low: float, high: float) -> None:
    assert misfit_limit(freedom, 0.975) / freedom == pytest.approx(low, abs=5.1e-5)
    assert misfit_limit(freedom, 0.025) / freedom == pytest.approx(high, abs=5.1e-5)


def test_the_misfit_limit_is_as_good_as_scipys() -> None:
    for freedom in [*range(1, 40), 100, 333, 2500]:
        for chance in (0.999, 0.5, 0.05, 0.001, 1e-6):
            exact = stats.chi2.isf(chance, freedom)
            assert misfit_limit(freedom, chance) == pytest.approx(exact, rel=1e-10)


# Published networks.


def named(network: Network, **how: object) -> list[tuple[int, ...]]:
    return [one.rows for one in doubts(adjust_network(network), **how).suspects]  # type: ignore[arg-type]


def test_the_slip_in_hoepkes_printed_list_is_named_alone() -> None:
    """Its 1 mm is only a weight (clean, s0 is 5 mm), so τ is tested. Slip and rank by scipy."""
    result = doubts(adjust_network(HOEPKE_AS_PRINTED), relative=True)
    (suspicion,) = result.suspects
    assert suspicion.rows == (HOEPKE.index("1059", "75"),)
    assert 1000 * suspicion.slip == pytest.approx(50.12, abs=5.1e-3)  # read too large
    assert suspicion.standardized == pytest.approx(-34.26, abs=5.1e-3)
    assert 1000 * suspicion.slip_sd == pytest.approx(1 / 0.467**0.5, abs=2e-3)
    assert not doubts(adjust_network(HOEPKE), relative=True).suspects


def test_at_the_accuracy_that_they_have_hoepkes_readings_name_the_slip_alone() -> None:
    honest = replace(
        HOEPKE_AS_PRINTED, distances=tuple(replace(d, sd=0.005) for d in HOEPKE_AS_PRINTED.distances)
    )
    result = doubts(adjust_network(honest))
    assert [one.rows for one in result.suspects] == [(HOEPKE.index("1059", "75"),)]
    assert result.misfit.fails
    assert not result.rest.fails
    assert result.rest.freedom == 13
    assert result.rest.value == pytest.approx(13 * (5.14136 / 5) ** 2, rel=1e-3)  # s0 without it, by scipy


def test_the_angle_that_ghilani_labels_a_blunder_is_named_alone() -> None:
    result = doubts(adjust_network(QUADRILATERAL_WITH_BLUNDER))
    (suspicion,) = result.suspects
    assert suspicion.rows == (QUADRILATERAL_WITH_BLUNDER.index("T", "Q", "R"),)
    assert suspicion.slip / ARCSECOND == pytest.approx(-23.4, abs=0.051)
    assert suspicion.standardized == pytest.approx(5.20, abs=5.1e-3)
    assert not result.rest.fails


def test_the_minute_in_the_braced_quadrilateral_is_named_alone() -> None:
    """The source does not say so; that it is a slip of 1′ is inferred from the data."""
    result = doubts(adjust_network(BRACED))
    (suspicion,) = result.suspects
    assert suspicion.rows == (BRACED.index("D", "A", "B"),)
    assert suspicion.slip / ARCSECOND == pytest.approx(62.4, abs=0.051)
    assert (result.misfit.fails, result.rest.fails) == (True, False)
    assert np.sqrt(result.rest.value / result.rest.freedom) == pytest.approx(1.0930, abs=5.1e-4)  # scipy


@pytest.mark.parametrize("network", [TEN_POINTS, QUADRILATERAL], ids=lambda n: n.source[:14])
def test_clean_networks_pass(network: Network) -> None:
    result = doubts(adjust_network(network))
    assert not result.suspects
    assert not result.misfit.fails
    assert result.misfit == result.rest


@pytest.mark.parametrize("relative", [False, True])
@pytest.mark.parametrize(
    "network", [n for n in PUBLISHED if n.freedom > 1 and n is not BRACED], ids=lambda n: n.source[:14]
)
def test_a_gross_slip_in_any_well_controlled_reading_is_found(network: Network, relative: bool) -> None:
    """Forty standard deviations, either way, each in turn; the reading is always among those named first."""
    s0 = adjust_network(network).sigma0
    control = adjust_network(network).control
    assert s0 is not None
    honest = scaled_sd(network, s0)
    for row in np.flatnonzero(control > 0.3):
        for size in (-40.0, 40.0):
            made = adjust_network(slipped(honest, int(row), size))
            first = doubts(made, most=1, relative=relative).suspects[0]
            assert int(row) in first.rows
            slip = first.slips[first.rows.index(int(row))] / honest.variance[row] ** 0.5
            assert slip == pytest.approx(size, abs=4.0 / control[row] ** 0.5 + 0.05 * abs(size))


def scaled_sd(network: Network, factor: float) -> Network:
    return replace(
        network,
        distances=tuple(replace(d, sd=d.sd * factor) for d in network.distances),
        angles=tuple(replace(a, sd=a.sd * factor) for a in network.angles),
    )


def slipped(network: Network, row: int, in_sd: float) -> Network:
    readings = [*network.distances, *network.angles]
    readings[row] = replace(readings[row], value=readings[row].value + in_sd * readings[row].sd)
    kept = len(network.distances)
    return replace(network, distances=tuple(readings[:kept]), angles=tuple(readings[kept:]))


one_redundant = pytest.mark.parametrize(
    "network", [THREE_TAPES, FOUR_POINTS_FREE, SQUARE, TRILATERATION], ids=lambda n: n.source[:14]
)


@pytest.mark.parametrize("network", [THREE_TAPES, TRILATERATION], ids=lambda n: n.source[:14])
def test_one_redundancy_names_all_readings_as_published(network: Network) -> None:
    (group,) = named(network)
    assert sorted(group) == list(range(len(network.distances)))


@one_redundant
def test_one_redundancy_names_all_readings_whichever_is_wrong(network: Network) -> None:
    adjusted = network.observed + adjust_network(network).residuals
    for d, value in zip(network.distances, adjusted, strict=True):
        network = network.read(d.ends, float(value))  # so that nothing but the slip is wrong
    for row in range(len(network.distances)):
        made = adjust_network(slipped(network, row, 60.0))
        (suspicion,) = doubts(made, alike=1.0).suspects  # by what the data tell, without `alike`
        assert sorted(suspicion.rows) == list(range(len(network.distances)))
        # Each reading's own slip, and its standard deviation, leave the same |w|.
        w = np.abs(np.array(suspicion.slips) / np.array(suspicion.slip_sds))
        assert w == pytest.approx(abs(suspicion.standardized), rel=1e-6)


def test_the_distance_that_ghilani_misread_would_be_338_mm_short() -> None:
    """The data file's comment supposes 5870.302 for 5870.640: in the group, with just that slip."""
    (suspicion,) = doubts(adjust_network(TRILATERATION)).suspects
    assert suspicion.slips[suspicion.rows.index(0)] == pytest.approx(-0.338, abs=1e-3)


@one_redundant
def test_with_one_redundancy_tau_says_nothing(network: Network) -> None:
    assert named(network, relative=True) == []


def test_a_braced_square_controls_a_side_by_a_seventh_and_a_diagonal_by_two_sevenths() -> None:
    """So of two slips alike, that in a diagonal is twice as plain in the misfit (exact, by hand)."""
    true = [1.0, 2**0.5, 2**0.5, 1.0, 1.0]
    room = SQUARE.scaled(3.0)
    for d, length in zip(SQUARE.distances, true, strict=True):
        room = room.read(d.ends, 3000 * length)
    made = adjust_network(room)
    assert made.control == pytest.approx(np.array([1, 2, 2, 1, 1]) / 7, abs=1e-12)
    assert made.smallest_slip(1.0) / 0.03 == pytest.approx(np.sqrt(7 / np.array([1, 2, 2, 1, 1])), rel=1e-12)


def test_lines_that_nothing_controls_are_never_named() -> None:
    """Not even where so little is cleared that every tested line is: a slip of 20 mm is hardly found."""
    lines = list(KRUMM_LEVELS.lines)
    lines[0] = ("1", "2", 14.321, lines[0][3])
    made = replace(KRUMM_LEVELS, lines=tuple(lines)).adjust()
    assert not made.controlled[[2, 3]].any()
    for apart in (0.01, 1e-6):
        (suspicion,) = doubts(made, apart=apart).suspects
        assert sorted(suspicion.rows) == [0, 1, 4]  # the one loop: 1-2, 1-3, 3-2


# Simulated readings of a linear model, so that every chance is exact.

Reader = Callable[[np.ndarray], Adjustment]


def simulated(correlated: bool) -> tuple[Reader, np.ndarray]:
    """Twenty readings of seven unknowns; how they are adjusted, and a root of their covariance."""
    random = np.random.default_rng(20)
    design = random.normal(size=(20, 7))
    mix = random.normal(size=(20, 20)) * 0.2 if correlated else np.zeros((20, 20))
    root = np.diag(random.uniform(0.5, 2.0, 20)) + mix
    covariance = root @ root.T

    def read(readings: np.ndarray) -> Adjustment:
        return adjust(lambda x: (readings - design @ x, design), np.zeros(7), covariance)

    return read, root


each_error = pytest.mark.parametrize("correlated", [False, True], ids=["independent", "correlated"])


@pytest.mark.parametrize(
    ("correlated", "relative"),
    [(False, False), (True, False), (True, True)],
    ids=["w", "w correlated", "tau"],
)
def test_good_readings_are_doubted_as_seldom_as_claimed(correlated: bool, relative: bool) -> None:
    read, root = simulated(correlated)
    random = np.random.default_rng(1)
    alarms = misfits = 0
    for _ in range(RUNS):
        result = doubts(read(root @ random.normal(size=20)), false_alarm=0.05, most=1, relative=relative)
        alarms += bool(result.suspects)
        misfits += result.misfit.value > misfit_limit(13, 0.05)
    # Bonferroni is never more, and with 20 tests that are not alike hardly less.
    assert 0.025 < alarms / RUNS < 0.05 + three_sd(0.05)
    assert misfits / RUNS == pytest.approx(0.05, abs=three_sd(0.05))


@each_error
def test_the_smallest_slip_is_found_with_the_power_claimed(correlated: bool) -> None:
    """δ0 σ/√r in one reading: its own test finds it in 80 of 100, and it is named nearly as often."""
    read, root = simulated(correlated)
    random, row, power = np.random.default_rng(2), 3, 0.8
    smallest = read(np.zeros(20)).smallest_slip(delta0(0.01 / 20, power))[row]
    limit = doubtful(20, 0.01)
    tested = found = cleared = any_found = 0
    for _ in range(RUNS):
        readings = root @ random.normal(size=20)
        readings[row] += smallest
        made = read(readings)
        suspects = doubts(made, most=1).suspects
        tested += abs(made.standardized[row]) > limit
        found += any(row in one.rows for one in suspects)
        any_found += bool(suspects)
        cleared += bool(suspects) and row not in suspects[0].rows
    assert tested / RUNS == pytest.approx(power, abs=three_sd(power))
    assert found / RUNS > power - three_sd(power)
    assert cleared / RUNS < 0.01 + three_sd(0.01)


@each_error
def test_the_wrong_reading_is_cleared_as_seldom_as_claimed(correlated: bool) -> None:
    """Slips of all sizes in any reading; `alike` switched off, so that only the rule counts."""
    read, root = simulated(correlated)
    random = np.random.default_rng(3)
    scale = read(np.zeros(20)).smallest_slip(1.0)
    named_at_all = cleared = alone = 0
    for _ in range(RUNS):
        readings = root @ random.normal(size=20)
        row = int(random.integers(20))
        readings[row] += random.uniform(2.0, 12.0) * scale[row] * random.choice([-1, 1])
        suspects = doubts(read(readings), most=1, alike=1.0, apart=0.05).suspects
        named_at_all += bool(suspects)
        cleared += bool(suspects) and row not in suspects[0].rows
        alone += bool(suspects) and suspects[0].rows == (row,)
    assert named_at_all > RUNS / 2
    assert 0 < cleared / RUNS < 0.05 + three_sd(0.05)
    assert alone > named_at_all / 3  # and yet it is often sharp


def test_two_slips_are_found_one_after_the_other() -> None:
    read, root = simulated(correlated=False)
    readings = root @ np.random.default_rng(4).normal(size=20)
    scale = read(np.zeros(20)).smallest_slip(1.0)
    readings[5] += 30 * scale[5]
    readings[11] -= 18 * scale[11]
    result = doubts(read(readings))
    assert [one.rows for one in result.suspects] == [(5,), (11,)]
    assert result.suspects[0].standardized < 0 < result.suspects[1].standardized
    for one, slip in zip(result.suspects, (30 * scale[5], -18 * scale[11]), strict=True):
        assert one.slip == pytest.approx(slip, abs=4 * one.slip_sd)
    assert result.misfit.fails
    assert not result.rest.fails
    assert [one.rows for one in doubts(read(readings), most=1).suspects] == [(5,)]
    assert doubts(read(readings), most=0).suspects == ()


@each_error
def test_leaving_out_by_downdate_is_adjusting_without_the_reading(correlated: bool) -> None:
    random = np.random.default_rng(5)
    design, mix = random.normal(size=(12, 3)), random.normal(size=(12, 12)) * 0.3
    covariance = np.eye(12) + (mix @ mix.T if correlated else 0.0)
    readings = random.normal(size=12)
    readings[[2, 7]] += 40.0, -25.0

    def read(kept: np.ndarray) -> Adjustment:
        return adjust(
            lambda x: (readings[kept] - design[kept] @ x, design[kept]),
            np.zeros(3),
            covariance[np.ix_(kept, kept)],
        )

    first, second = doubts(read(np.arange(12))).suspects
    assert (first.rows, second.rows) == ((2,), (7,))
    assert first.standardized == pytest.approx(read(np.arange(12)).standardized[2], rel=1e-9)
    for one, other in ((first, 7), (second, 2)):  # each slip with the other reading left out
        kept = np.delete(np.arange(12), other)
        without, at = read(kept), int(np.flatnonzero(kept == one.rows[0])[0])
        assert one.slip == pytest.approx(without.slip[at], rel=1e-9)
        assert one.slip_sd == pytest.approx(without.smallest_slip(1.0)[at], rel=1e-9)
    assert second.standardized == pytest.approx(without.standardized[at], rel=1e-9)
    after = doubts(read(np.arange(12)), most=1).rest
    assert after.value == pytest.approx(without.misfit, rel=1e-9)
    assert after.freedom == without.misfit_freedom


@each_error
def test_readings_left_out_one_after_the_other_are_all_left_out(correlated: bool) -> None:
    random = np.random.default_rng(6)
    design, mix = random.normal(size=(14, 3)), random.normal(size=(14, 14)) * 0.3
    covariance = np.eye(14) + (mix @ mix.T if correlated else 0.0)
    readings = random.normal(size=14)
    readings[[2, 7, 11]] += 60.0, -45.0, 30.0

    def without(*rows: int) -> tuple[Adjustment, list[int]]:
        kept = np.delete(np.arange(14), rows)
        observed, slopes = readings[kept], design[kept]
        sigma = covariance[np.ix_(kept, kept)]
        return adjust(lambda x: (observed - slopes @ x, slopes), np.zeros(3), sigma), kept.tolist()

    found = doubts(without()[0])
    firsts = [one.rows[0] for one in found.suspects]
    assert sorted(firsts) == [2, 7, 11]
    for one, row in zip(found.suspects, firsts, strict=True):
        made, kept = without(*(other for other in firsts if other != row))
        assert one.slip == pytest.approx(made.slip[kept.index(row)], rel=1e-9)
        assert one.slip_sd == pytest.approx(made.smallest_slip(1.0)[kept.index(row)], rel=1e-9)
    assert found.rest.value == pytest.approx(without(*firsts)[0].misfit, rel=1e-9)


def level(*read: float, sd: float = 0.1) -> Adjustment:
    observed = np.array(read)
    return adjust(
        lambda x: (observed - x[0], np.ones((observed.size, 1))), [0.0], np.full(observed.size, sd**2)
    )


def test_tests_that_are_alike_are_named_together_however_large_the_slip() -> None:
    """Three readings of one height: ρ is −1/2, and a gross slip is plain; below that limit all are named."""
    made = level(10.0, 10.0, 15.0)
    assert [one.rows for one in doubts(made).suspects] == [(2,)]
    (group,) = doubts(made, alike=0.49).suspects
    assert group.rows[0] == 2
    assert sorted(group.rows) == [0, 1, 2]


def test_a_single_reading_is_neither_tested_nor_a_misfit() -> None:
    result = doubts(level(10.0))
    assert result.suspects == ()
    assert not result.misfit.fails
    assert result.misfit.limit == np.inf


def test_what_is_hardly_controlled_is_not_tested() -> None:
    """A prior 100 times as wide as the reading's error controls it by 1e-4: no slip is made of it."""
    made = adjust(lambda x: (900.0 - x, np.eye(1)), [0.0], [1.0], prior_sd=[100.0])
    assert 0 < made.control[0] < LEAST_CONTROL
    assert abs(made.standardized[0]) > 5
    result = doubts(made)
    assert result.suspects == ()
    assert result.misfit.fails


# What nobody would notice.


def test_the_worst_unfound_slip_is_influence_times_smallest_slip() -> None:
    """By hand: of n alike readings each moves the mean by 1/n, and a slip of δ0 σ √(n/(n−1)) is found."""
    made = level(10.0, 10.0, 10.0, 10.0)
    (mean,) = unfound(made, made.influence([[1.0]]), 4.0)
    assert mean.effect == pytest.approx(4.0 * 0.1 * (4 / 3) ** 0.5 / 4)
    assert mean.unchecked == ()
    weighted = [[0.1, -0.7, 0.1, 0.1]]
    (worst,) = unfound(made, weighted, 4.0)
    assert (worst.row, worst.effect) == (1, pytest.approx(0.7 * 4.0 * 0.1 * (4 / 3) ** 0.5))


def test_a_poor_reading_of_less_influence_may_do_more() -> None:
    """By hand: two readings of sd 0.1 and one of 1; the last has control 1 − 1/201."""
    made = adjust(lambda x: (5.0 - x[0] * np.ones(3), np.ones((3, 1))), [0.0], [0.01, 0.01, 1.0])
    (worst,) = unfound(made, [[0.5, 0.1, 0.4]], 4.0)
    assert (worst.row, worst.effect) == (2, pytest.approx(0.4 * 4.0 / (1 - 1 / 201) ** 0.5))


def test_what_rests_on_a_reading_that_nothing_controls_may_be_out_by_anything() -> None:
    made = KRUMM_LEVELS.adjust()
    heights = unfound(made, made.influence(np.eye(4)), 4.13)
    assert [sorted(one.unchecked) for one in heights] == [[3], [3], [3], [2, 3]]
    assert all(one.effect == np.inf for one in heights)
    # The difference of 1 and 2 rests on the loop alone, and not on 3 although rounding has it so.
    (rise,) = unfound(made, made.influence([[-1.0, 1.0, 0.0, 0.0]]), 4.13)
    assert np.isfinite(rise.effect)
    assert rise.unchecked == ()


def test_a_clearance_that_rests_on_nothing_is_moved_by_nothing() -> None:
    (nothing,) = unfound(level(1.0, 1.0), [[0.0, 0.0]], 4.0)
    assert (nothing.effect, nothing.row, nothing.unchecked) == (0.0, None, ())


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: doubtful(0, 0.01), "1 or more tests, got 0"),
        (lambda: doubtful(3, 0.0), "false alarm between 0 and 1, got 0.0"),
        (lambda: doubtful(3, float("nan")), "between 0 and 1, got nan"),
        (lambda: delta0(0.01, 0.4), "power above 0.5, got 0.4"),
        (lambda: misfit_limit(0, 0.01), "degrees of freedom, 1 or more, got 0"),
        (lambda: misfit_limit(3, 1.0), "chance between 0 and 1, got 1.0"),
        (lambda: tau_limit(1, 0, 0.01), "degrees of freedom, 1 or more, got 0"),
        (lambda: doubts(level(1.0, 2.0), most=-1), "slips to look for, got -1"),
        (lambda: doubts(level(1.0, 2.0), alike=0.0), "`alike` above 0, got 0.0"),
        (lambda: doubts(level(1.0, 2.0), apart=1.5), "`apart` between 0 and 1, got 1.5"),
        (lambda: doubts(level(1.0, 2.0), false_alarm=2.0), "false alarm between 0 and 1, got 2.0"),
        (lambda: unfound(level(1.0, 2.0), [[1.0]], 4.0), r"shape \(k, 2\), got \(1, 1\)"),
        (lambda: unfound(level(1.0, 2.0), [[1.0, np.nan]], 4.0), r"got nan at \(0, 1\)"),
        (lambda: unfound(level(1.0, 2.0), [[1.0, 1.0]], 0.0), "positive delta0"),
    ],
)
def test_what_makes_no_sense_is_refused(ask: Callable[[], object], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        ask()

"""What a shop's jobs come to: against scipy's chi-square, by hand, and on invented shops with known hands."""

import math
import random

import pytest
from scipy.stats import chi2

from fitting.errors import BadInput
from fitting.experience import GROSS, LEAST_JOBS, Difference, chi_square_quantile, learn_from


def jobs(count, factor, seed=1, places=4, shared=0.7):
    """Invent jobs whose edges are off `factor` times as foretold; those of one job are alike by `shared`."""
    draw = random.Random(seed)
    for job in range(count):
        common = draw.gauss(0.0, 1.0)
        for _ in range(places):
            off = factor * (shared * common + math.sqrt(1 - shared**2) * draw.gauss(0.0, 1.0))
            yield Difference(f"job {job}", off * 0.8, 0.8)


@pytest.mark.parametrize("freedom", [5, 12, 30, 100])
@pytest.mark.parametrize("share", [0.05, 0.5, 0.95])
def test_quantiles_are_those_of_scipy(share, freedom):
    ours, theirs = chi_square_quantile(share, freedom), chi2.ppf(share, freedom)
    assert ours == pytest.approx(theirs, rel=0.02)


def test_by_hand():
    """Two jobs with mean squares of 1 and 4: the root of 2.5; places of one job do not weigh more."""
    one = [Difference("a", 1.0, 1.0)]
    two = [Difference("b", off, 1.0) for off in (2.0, -2.0, 2.0)]
    found = learn_from([*one, *two])
    assert found.factor == pytest.approx(math.sqrt(2.5), abs=1e-3)
    assert (found.jobs, found.places, found.verdict, found.lacking) == (2, 4, "too few", LEAST_JOBS - 2)


def test_nothing_is_learned_from_fewer_than_it_takes_however_far_off():
    assert learn_from(jobs(LEAST_JOBS - 1, 3.0)).verdict == "too few"
    assert learn_from([]).verdict == "too few"
    assert learn_from(jobs(LEAST_JOBS, 3.0)).verdict == "learned"


def test_a_shop_as_assumed_keeps_the_usual_figures_nine_times_in_ten():
    verdicts = [learn_from(jobs(15, 1.0, seed)).verdict for seed in range(200)]
    assert verdicts.count("as usual") >= 165


def test_the_interval_holds_the_true_factor_as_often_as_it_says():
    found = [learn_from(jobs(20, 1.5, seed)) for seed in range(300)]
    held = sum(one.low <= 1.5 <= one.high for one in found)
    # Places of one job are not wholly alike, so the interval is a little wider than it must be.
    assert held / 300 >= 0.9
    assert 1.4 <= sum(one.factor for one in found) / 300 <= 1.55


@pytest.mark.parametrize("true", [1.0, 1.5, 3.0])
def test_what_is_marked_poorly_on_the_day_does_not_hide_how_far_off_readings_are(true):
    """The pencil's and the rule's error is as large as what was foretold; a slip of an inch is among them."""
    draw = random.Random(11)
    found = []
    for _ in range(60):
        rows = [Difference("job 3", 25.4, 0.5, 0.55)]
        for job in range(20):
            common = draw.gauss(0, 1)
            for _ in range(4):
                sd = draw.uniform(0.3, 0.8)
                off = true * sd * (0.7 * common + math.sqrt(0.51) * draw.gauss(0, 1)) + draw.gauss(0, 0.55)
                rows.append(Difference(f"job {job}", off, sd, 0.55))
        found.append(learn_from(rows))
    assert sum(one.factor for one in found) / 60 == pytest.approx(true, rel=0.06)
    assert sum(one.low <= true <= one.high for one in found) >= 54
    assert all(one.slips[0].off == 25.4 for one in found)


def test_a_gross_difference_is_named_and_not_learned():
    usual = list(jobs(14, 1.0))
    slip = Difference("job 3", 25.4, 0.8)  # an inch misread
    found = learn_from([*usual, slip])
    assert found.slips == (slip,)
    assert abs(slip.in_sds()) > GROSS
    assert found.factor == learn_from(usual).factor


@pytest.mark.parametrize(("off", "sd"), [(math.nan, 1.0), (1.0, 0.0), (1.0, -1.0), (math.inf, 1.0)])
def test_what_is_no_number_is_refused(off, sd):
    with pytest.raises(BadInput, match="expected"):
        learn_from([Difference("a", off, sd)])

"""Light strips laid out by hand, and the best combination against every combination there is."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.light_strip import LightPlan, lay_out, least_dark, needed


def test_one_strip_is_centred():
    # 900 - 560 = 340 dark, half of it at each end.
    laid = lay_out(LightPlan(900.0), [560.0])
    assert (laid.strips, laid.left, laid.right) == (((170.0, 730.0),), 170.0, 170.0)
    assert (laid.lit, laid.dark) == (560.0, 340.0)


def test_joined_strips_stand_together_in_the_middle():
    # 300 + 5 + 500 = 805; (1000 - 805) / 2 = 97.5.
    laid = lay_out(LightPlan(1000.0, between=5.0), [300.0, 500.0])
    assert laid.strips == ((97.5, 397.5), (402.5, 902.5))
    assert laid.dark == 200.0


def test_even_strips_have_like_dark_spaces():
    # 1000 - 2 * 300 = 400 dark in three spaces.
    laid = lay_out(LightPlan(1000.0, spread="even"), [300.0, 300.0])
    spaces = [laid.left, laid.strips[1][0] - laid.strips[0][1], laid.right]
    assert spaces == pytest.approx([400 / 3] * 3)


@pytest.mark.parametrize(
    ("end", "between", "margin", "space"),
    [
        # 60 dark in three spaces would be 20 each.
        (25.0, 0.0, 25.0, 10.0),  # 25 at the ends, 60 - 50 = 10 between
        (0.0, 30.0, 15.0, 30.0),  # 30 between, (60 - 30) / 2 at the ends
    ],
)
def test_even_strips_keep_free_what_must_be(end, between, margin, space):
    laid = lay_out(LightPlan(660.0, end, between, "even"), [300.0, 300.0])
    assert (laid.left, laid.strips[1][0] - laid.strips[0][1]) == pytest.approx((margin, space))


def test_what_just_fits_fits_and_a_hair_more_does_not():
    plan = LightPlan(624.0, end=10.0, between=4.0)
    assert needed(plan, [300.0, 300.0]) == 624.0
    assert lay_out(plan, [300.0, 300.0]).left == 10.0
    with pytest.raises(BadInput, match=r"expected 624 mm or less, got 624\.5 .* a strip 0\.5 mm shorter"):
        lay_out(plan, [300.0, 300.5])


@given(
    lengths=st.lists(st.floats(10.0, 400.0), min_size=1, max_size=5),
    spare=st.floats(0.0, 500.0),
    spread=st.sampled_from(["joined", "even"]),
)
def test_mirrored_strips_lie_in_mirrored_places(lengths, spare, spread):
    plan = LightPlan(needed(LightPlan(1.0, 5.0, 3.0), lengths) + spare, 5.0, 3.0, spread)
    here, there = lay_out(plan, lengths), lay_out(plan, lengths[::-1])
    turned = [(plan.space - end, plan.space - start) for start, end in reversed(there.strips)]
    assert [x for pair in here.strips for x in pair] == pytest.approx([x for pair in turned for x in pair])
    assert here.left >= 5.0 - 1e-6
    assert all(b[0] - a[1] >= 3.0 - 1e-6 for a, b in itertools.pairwise(here.strips))


def by_force(plan, stocked):
    """Look at every count of every length."""
    most = math.floor(plan.space / min(stocked)) + 1
    best = ()
    for counts in itertools.product(range(most + 1), repeat=len(stocked)):
        chosen = tuple(x for x, n in zip(stocked, counts, strict=True) for _ in range(n))
        if chosen and needed(plan, chosen) <= plan.space and sum(chosen) > sum(best):
            best = chosen
    return sum(best)


@given(
    space=st.integers(50, 1500),
    stocked=st.lists(st.integers(120, 700), min_size=1, max_size=3, unique=True),
    between=st.sampled_from([0, 7]),
    end=st.sampled_from([0, 11]),
)
def test_the_best_combination_is_the_best_of_all(space, stocked, between, end):
    plan = LightPlan(float(space), float(end), float(between))
    chosen = least_dark(plan, [float(x) for x in stocked])
    assert sum(chosen) == by_force(plan, stocked)
    assert set(chosen) <= set(stocked)
    if chosen:
        lay_out(plan, chosen)


def test_of_combinations_alike_the_fewest_strips_are_taken():
    assert least_dark(LightPlan(600.0), [200.0, 300.0, 600.0]) == (600.0,)
    assert least_dark(LightPlan(600.0), [200.0, 300.0]) == (300.0, 300.0)


@pytest.mark.parametrize(
    ("plan", "lengths", "says"),
    [
        (LightPlan(900.0), [], "expected one length or more"),
        (LightPlan(0.0), [300.0], "space: expected a size above 0"),
        (LightPlan(900.0), [math.nan], "light strip: expected a size above 0"),
        (LightPlan(900.0, end=-1.0), [300.0], "end: expected 0 mm or more"),
        (LightPlan(900.0, between=math.inf), [300.0], "between: expected 0 mm or more"),
    ],
)
def test_bad_input(plan, lengths, says):
    for function in (lay_out, least_dark):
        with pytest.raises(BadInput, match=says):
            function(plan, lengths)


def test_too_many_combinations_are_refused_not_waited_for():
    with pytest.raises(BadInput, match="stocked lengths: expected fewer"):
        least_dark(LightPlan(19_000.0), [float(x) for x in range(10, 30)])

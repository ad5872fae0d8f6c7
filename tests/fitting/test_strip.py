"""Widths of strips and of the cabinet between them, by hand."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.strip import KERF, NARROWEST, WIDEST, StripNeed, in_one_board, judged, widest_box


@pytest.mark.parametrize(
    ("least", "most", "word"),
    [
        (KERF - 0.01, 90, "no strip"),
        (KERF, 10, "narrow"),
        (NARROWEST, 40, "right"),
        (NARROWEST - 0.01, 90, "narrow"),
        (40, WIDEST, "right"),
        (40, WIDEST + 0.01, "wide"),
    ],
)
def test_a_strip_is_judged_by_its_narrowest_and_widest_place(least, most, word):
    """1/8 in a kerf, 3/4 in the narrowest worth cutting, 3 in the widest: common practice."""
    assert pytest.approx((25.4 / 8, 25.4 * 3 / 4, 25.4 * 3)) == (KERF, NARROWEST, WIDEST)
    assert judged(least, most) == word


@pytest.mark.parametrize(
    ("between", "needs", "step", "width"),
    [
        (1500, [StripNeed(20), StripNeed(30)], 1.0, 1450),  # 1500 - 20 - 30
        (1500.9, [StripNeed(20), StripNeed(30)], 1.0, 1450),  # rounded down: wood that must pass
        (914.4, [StripNeed(19.05)], 1.5875, 895.35),  # 36 in less 3/4: 35 1/4 in, a whole number of 1/16
        (60, [StripNeed(20), StripNeed(40)], 1.0, None),  # nothing left
        (1500, [StripNeed(70, 6)], 1.0, 1430),  # 76 at its widest
        (1500, [StripNeed(70, 7)], 1.0, None),  # 77 at its widest: over 76.2
    ],
)
def test_the_widest_cabinet_leaves_each_strip_what_it_needs(between, needs, step, width):
    found = widest_box(between, needs, step)
    assert found == (None if width is None else pytest.approx(width))


@given(
    st.floats(400, 4000),
    st.lists(st.builds(StripNeed, st.floats(0, 70), st.floats(0, 6)), min_size=1, max_size=2),
    st.sampled_from([0.5, 1.0, 25.4 / 16, 25.4 / 32]),
)
def test_it_leaves_enough_and_the_next_step_would_not(between, needs, step):
    found = widest_box(between, needs, step, widest=80.0)
    assert found is not None
    asked = sum(need.least for need in needs)
    assert between - found >= asked - 1e-6
    assert between - found - step < asked
    assert abs(found / step - round(found / step)) < 1e-6


@given(st.lists(st.floats(1, 3000), min_size=1, max_size=6), st.floats(0, 5))
def test_strips_of_one_board_follow_one_another_a_cut_apart(lengths, kerf):
    found = in_one_board([(str(k), one) for k, one in enumerate(lengths)], kerf)
    assert [one.name for one in found] == [str(k) for k in range(len(lengths))]
    assert [one.end - one.start for one in found] == pytest.approx(lengths)
    assert all(b.start - a.end == pytest.approx(kerf) for a, b in pairwise(found))
    assert found[-1].end == pytest.approx(sum(lengths) + kerf * (len(lengths) - 1))


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: judged(40, 30), "narrowest and then its widest"),
        (lambda: judged(math.nan, 30), "narrowest and then its widest"),
        (lambda: StripNeed(-1.0), "a least width and a taper of 0 mm or more"),
        (lambda: StripNeed(20.0, math.inf), "a least width and a taper of 0 mm or more"),
        (lambda: widest_box(math.nan, [StripNeed()], 1.0), "between the walls: expected a length"),
        (lambda: widest_box(900, [StripNeed()], 0.0), "step: expected a size above 0"),
        (lambda: in_one_board([("a", 0.0)]), "strip `a`: length"),
        (lambda: in_one_board([("a", 10.0)], -1.0), "kerf: expected 0 mm or more"),
    ],
)
def test_what_cannot_be_is_refused(made, words):
    with pytest.raises(BadInput, match=words):
        made()

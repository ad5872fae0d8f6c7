"""Fronts on a face, by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.front import REVEAL, Front, even_fronts, reveals


@pytest.mark.parametrize(
    ("span", "count", "reveal", "ends", "size"),
    [
        (36 * 25.4, 2, REVEAL, None, (36 - 3 / 8) / 2 * 25.4),  # 1/8 in reveals by a card: common practice
        (600, 1, 3, None, 594),
        (600, 3, 3, 1.5, (600 - 3 - 6) / 3),
        (600, 2, 0, 0, 300),
    ],
)
def test_even_fronts_share_what_their_reveals_leave(span, count, reveal, ends, size):
    found = even_fronts(span, count, reveal, ends)
    assert [one.size for one in found] == pytest.approx([size] * count)


@given(st.floats(200, 3000), st.integers(1, 6), st.floats(0, 6), st.floats(0, 6))
def test_reveals_of_even_fronts_are_those_asked_for(span, count, reveal, ends):
    found = even_fronts(span, count, reveal, ends)
    for k, one in enumerate(found):
        before, after = reveals(one, [*found[:k], *found[k + 1 :]], span)
        assert before == pytest.approx(ends if k == 0 else reveal, abs=1e-6)
        assert after == pytest.approx(ends if k == count - 1 else reveal, abs=1e-6)


def test_fronts_that_overlap_have_a_reveal_below_nothing():
    assert reveals(Front(0, 310), [Front(300, 600)], 600) == (0, -10)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: even_fronts(0, 2), "face: expected a size above 0"),
        (lambda: even_fronts(600, 0), "fronts: expected 1 or more"),
        (lambda: even_fronts(600, 2, -1.0), "reveal: expected 0 mm or more"),
        (lambda: even_fronts(600, 2, 3.0, math.nan), "reveal at the ends"),
        (lambda: even_fronts(6, 3, 3.0), "leave nothing of 6 mm"),
    ],
)
def test_what_cannot_be_is_refused(made, words):
    with pytest.raises(BadInput, match=words):
        made()

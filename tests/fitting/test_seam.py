"""Seams, joints and knots against cut-outs: spans by hand, least motions and best places by brute force."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.seam import FROM_JOINT, FROM_SEAM, barred, best_seam, moves

spans_of = st.lists(
    st.tuples(st.floats(0, 3000), st.floats(10, 600)).map(lambda one: (one[0], one[0] + one[1])), max_size=4
)


def bars(place, spans):
    return any(one.span[0] < place < one.span[1] for one in spans)


def test_a_seam_keeps_three_inches_from_a_cut_out_and_a_joint_one_from_its_edges():
    assert (FROM_SEAM, FROM_JOINT) == (76.2, 25.4)
    (one,) = barred("knot", [("bowl", (300.0, 700.0))])
    assert one.span == pytest.approx((223.8, 776.2))
    front, back = barred("board joint", [("bowl", (100.0, 400.0))])
    assert (front.span, back.span) == (pytest.approx((74.6, 125.4)), pytest.approx((374.6, 425.4)))
    assert moves(250.0, (front, back)) is None  # through its middle


@settings(max_examples=200, deadline=None)
@given(spans_of, st.floats(0, 3000))
def test_the_least_motions_are_what_steps_find(cut_outs, place):
    spans = barred("seam", [(str(at), span) for at, span in enumerate(cut_outs)])
    found = moves(place, spans)
    if not bars(place, spans):
        assert found is None
        return
    _, down, up = found
    for motion in (down, up):
        assert not bars(place + motion + np.sign(motion) * 1e-6, spans)
        steps = np.linspace(0, motion, 500, endpoint=False)
        assert all(bars(place + step, spans) for step in steps[:-1])


@settings(max_examples=150, deadline=None)
@given(spans_of, st.floats(800, 4000), st.floats(400, 3000))
def test_the_best_seam_is_what_steps_find(cut_outs, length, longest):
    spans = barred("seam", [(str(at), span) for at, span in enumerate(cut_outs)])
    found = best_seam(0.0, length, longest, spans)
    tried = [one for one in np.linspace(0, length, 2001) if one <= longest and length - one <= longest]
    free = [one for one in tried if not bars(one, spans)]
    if found is None:
        assert not free
        return
    assert found <= longest + 1e-9
    assert length - found <= longest + 1e-9
    assert not bars(found, spans)
    if free:
        assert abs(found - length / 2) <= min(abs(one - length / 2) for one in free) + 1e-9


def test_no_length_is_refused():
    with pytest.raises(BadInput, match="expected a length above 0"):
        best_seam(10.0, 10.0, 500.0, ())

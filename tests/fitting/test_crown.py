"""A back on a crown could rock: the fitter's shims give it its direction (common practice, no source)."""

import numpy as np
import pytest

from fitting.placement import Against, Placed, Reach, place
from fitting.site import Corner, CornerTurn, Gaps, KnownRoom, Plan, know_room

UP = 800.0
ALONG = tuple(float(one) for one in np.arange(0.0, 1201.0, 150.0))
FLAT_TOPPED = (3.0, 3.0, 1.5, 0.0, 0.0, 0.0, 1.5, 3.0, 3.0)
LOPSIDED = (5.0, 4.0, 2.5, 0.5, 0.0, 0.0, 1.5, 3.0, 4.0)
HOLLOW = (0.0, 1.0, 2.0, 3.0, 3.5, 3.0, 2.0, 1.0, 0.0)


def room(gaps: tuple[float, ...]) -> KnownRoom:
    plan = Plan("back", ("left", "back"), (Corner("c", "left", "back"),))
    check = Gaps("check", "back", "c", ALONG, (UP,) * 9, gaps, (0.3,) * 9)
    return know_room(plan, [CornerTurn("square", 0.0, 0.001, "c", 600.0, 600.0, UP), check])


def placed(gaps: tuple[float, ...]) -> Placed:
    return place(
        room(gaps), "back", Against("left", "left", 10.0), (0.0, 1180.0), 500.0, UP - 10.0, UP + 10.0
    )


def gaps_behind(box: Placed) -> np.ndarray:
    return box.expect([Reach("back", "back", x, box.depth, UP) for x in np.linspace(0.0, 1180.0, 119)])


def test_on_a_crown_the_gaps_at_both_ends_come_out_alike():
    box = placed(FLAT_TOPPED)
    gaps = gaps_behind(box)
    assert box.on_crown
    assert gaps[:30].max() == pytest.approx(gaps[-30:].max(), abs=0.05)
    assert gaps.min() == pytest.approx(0.0, abs=0.05)


def test_a_flat_topped_hump_does_not_spin_the_piece():
    """Two touches an inch apart, each known to 0.3 mm, would turn the front corner by 5 mm and more."""
    front = placed(FLAT_TOPPED).measure([Reach("left", "left", 0.0, 0.0, UP)])
    assert front.sd[0] < 1.5


def test_over_a_hollow_it_rests_on_both_sides():
    box = placed(HOLLOW)
    assert not box.on_crown
    assert [touch.x for touch in box.touches] == [touch.x for touch in box.turned_by]


def test_no_line_with_less_scribe_clears_a_lopsided_crown():
    box = placed(LOPSIDED)
    assert box.on_crown
    gaps = gaps_behind(box)
    x = np.linspace(0.0, 1180.0, 119)
    for slope in np.linspace(-0.004, 0.004, 41):
        turned = gaps + slope * (x - 590.0)
        assert (turned - turned.min()).max() >= gaps.max() - 0.05

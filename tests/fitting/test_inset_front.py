"""Inset fronts worked out by hand: opening less a gap at each side, 1/8 in reveals by a card (common
practice, no source)."""

from __future__ import annotations

import pytest

from fitting.errors import BadInput
from fitting.front import REVEAL
from fitting.inset_front import InsetFront, OpeningSizes, cards, fit_inset_front

INCH = 25.4


def test_a_true_opening():
    # 15 by 6 in, 1/8 all around: 14 3/4 by 5 3/4; 1/16 over at each edge: 14 7/8 by 5 7/8.
    front = fit_inset_front(OpeningSizes(15 * INCH, 15 * INCH, 6 * INCH, 6 * INCH))
    assert front.finished == OpeningSizes(*[14.75 * INCH] * 2, *[5.75 * INCH] * 2)
    assert [front.blank_width, front.blank_height] == pytest.approx([14.875 * INCH, 5.875 * INCH])
    assert (front.taper_width, front.taper_height) == (0, 0)
    assert pytest.approx(INCH / 8) == REVEAL


def test_a_case_out_of_square_tapers_the_front_and_the_blank_covers_it():
    # Width 380 at the top and 382 at the bottom, height 150 at the left and 151.5 at the right; gap 2.
    front = fit_inset_front(OpeningSizes(380, 382, 150, 151.5), gap=2, over=1)
    assert front == InsetFront(OpeningSizes(376, 378, 146, 147.5), 380, 149.5)
    assert (front.taper_width, front.taper_height) == (-2, -1.5)


def test_gaps_come_out_as_asked_all_around():
    opening = OpeningSizes(380, 381, 150, 152)
    front = fit_inset_front(opening, gap=2.5)
    for edge in ("top", "bottom", "left", "right"):
        assert getattr(opening, edge) - getattr(front.finished, edge) == pytest.approx(5)


def test_no_gap_is_possible_and_an_opening_no_wider_than_its_gaps_is_not():
    assert fit_inset_front(OpeningSizes(100, 100, 50, 50), gap=0, over=0).finished.top == 100
    with pytest.raises(BadInput, match=r"wider and higher than its two gaps \(6 mm\), got 6"):
        fit_inset_front(OpeningSizes(100, 100, 6, 6), gap=3)


def test_an_opening_out_of_true_is_refused():
    with pytest.raises(BadInput, match=r"alike at its left and right within 6\.35 mm, got 6\.5"):
        fit_inset_front(OpeningSizes(100, 100, 50, 56.5))
    assert fit_inset_front(OpeningSizes(100, 106, 50, 50), gap=1).taper_width == -6


@pytest.mark.parametrize(("gap", "card", "count"), [(3.175, 0.3, 11), (1.5875, 0.3, 5), (0.1, 0.3, 1)])
def test_how_many_cards_make_a_gap(gap, card, count):
    # 3.175 / 0.3 = 10.6; 1.5875 / 0.3 = 5.3.
    assert cards(gap, card) == count


@pytest.mark.parametrize("gap", [-1.0, float("nan")])
def test_a_gap_that_cannot_be_is_refused(gap):
    with pytest.raises(BadInput, match="gap: expected 0 mm or more"):
        fit_inset_front(OpeningSizes(100, 100, 50, 50), gap=gap)

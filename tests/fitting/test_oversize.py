"""Rough sizes worked out by hand; the usual amounts are common practice without a source."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.oversize import MOST, USUAL, Places, Purpose, amount_for, rough_size

INCH = 25.4

# Common practice, no source: inches at each place, and what that makes of 1000 by 100 by 20.
BY_HAND = {
    "scribing": (1 / 2, (1000, 100 + 12.7, 20)),
    "trimming": (1 / 16, (1000 + 3.175, 100 + 3.175, 20)),
    "veneer": (1 / 2, (1000 + 25.4, 100 + 25.4, 20)),
    "edging": (1 / 16, (1000 + 3.175, 100 + 3.175, 20)),
    "jointing": (1 / 8, (1000, 100 + 6.35, 20)),
    "planing": (1 / 16, (1000, 100, 20 + 3.175)),
    "end trimming": (1 / 2, (1000 + 25.4, 100, 20)),
    "fitting fronts": (1 / 16, (1000 + 3.175, 100 + 3.175, 20)),
}


def sizes(rough):
    return rough.length, rough.width, rough.thickness


@pytest.mark.parametrize(("purpose", "inches", "expected"), [(k, *v) for k, v in BY_HAND.items()])
def test_one_purpose_alone(purpose, inches, expected):
    assert amount_for(purpose) == (pytest.approx(inches * INCH), "common practice")
    rough = rough_size(1000, 100, 20, {purpose: USUAL[purpose].places})
    assert sizes(rough) == pytest.approx(expected)


def test_every_purpose_has_a_usual_amount():
    assert set(USUAL) == set(get_args(Purpose)) == set(BY_HAND)


def test_purposes_add_up_and_each_is_told():
    # A solid rail, 600 by 50 by 20: 1/2 + 1/2 in of length, 1/8 + 1/8 of width, 1/16 + 1/16 of thickness, and
    # 1/16 + 1/16 of length and width to trim it flush afterwards.
    names = ("trimming", "jointing", "planing", "end trimming")
    rough = rough_size(600, 50, 20, {name: USUAL[name].places for name in names})
    assert sizes(rough) == pytest.approx((600 + 1.125 * INCH, 50 + 0.375 * INCH, 20 + 0.125 * INCH))
    assert [(one.axis, one.purpose) for one in rough.added] == [
        ("length", "trimming"),
        ("width", "trimming"),
        ("width", "jointing"),
        ("thickness", "planing"),
        ("length", "end trimming"),
    ]
    assert sum(one.amount for one in rough.added if one.axis == "length") == pytest.approx(1.125 * INCH)


def test_the_piece_prevails_over_the_shop_and_the_shop_over_practice():
    shop, piece = {"veneer": 20.0, "planing": 2.0}, {"veneer": 5.0}
    left_for = {name: USUAL[name].places for name in ("veneer", "planing", "jointing")}
    rough = rough_size(1000, 100, 20, left_for, shop, piece)
    assert sizes(rough) == pytest.approx((1010, 110 + 6.35, 24))
    assert {one.purpose: one.by for one in rough.added} == {
        "veneer": "the piece",
        "planing": "the shop",
        "jointing": "common practice",
    }


def test_a_rule_for_what_the_part_is_not_left_for_adds_nothing():
    assert sizes(rough_size(1000, 100, 20, {}, shop={"veneer": 20.0})) == (1000, 100, 20)


def test_it_is_left_where_it_is_said():
    # Scribed at both long edges and at one end.
    rough = rough_size(1000, 100, 20, {"scribing": Places(length=1, width=2)}, shop={"scribing": 10.0})
    assert sizes(rough) == (1010, 120, 20)


@given(
    st.dictionaries(
        st.sampled_from(list(USUAL)), st.builds(Places, *[st.integers(0, 2)] * 3), max_size=len(USUAL)
    ),
    st.dictionaries(st.sampled_from(list(USUAL)), st.floats(0, MOST)),
)
def test_it_is_never_less_than_finished_and_adds_up(left_for, shop):
    rough = rough_size(500, 60, 18, left_for, shop)
    for axis, finished in (("length", 500), ("width", 60), ("thickness", 18)):
        got = getattr(rough, axis)
        assert got >= finished
        assert got == pytest.approx(finished + sum(one.amount for one in rough.added if one.axis == axis))


@pytest.mark.parametrize("amount", [-0.1, MOST + 1, float("nan"), float("inf")])
def test_an_amount_that_cannot_be_is_refused(amount):
    with pytest.raises(BadInput, match="planing: expected 0 to 300 mm at an edge by the shop"):
        rough_size(500, 60, 18, {"planing": Places(thickness=2)}, shop={"planing": amount})


@pytest.mark.parametrize("size", [0.0, -5.0, float("nan")])
def test_a_size_that_cannot_be_is_refused(size):
    with pytest.raises(BadInput, match="width: expected a size above 0"):
        rough_size(500, size, 18, {})


def test_an_unknown_purpose_and_a_third_end_are_refused():
    with pytest.raises(BadInput, match="purpose: expected one of"):
        rough_size(500, 60, 18, {"luck": Places(1, 1, 1)})
    with pytest.raises(BadInput, match="length: expected wood left at 0, 1 or 2 places, got 3"):
        Places(length=3)

"""Studs behind a piece: by hand, against a brute-force search for the least shift, and simulated."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.fixing import (
    EDGE_DISTANCE,
    END_DISTANCE,
    LEAST_IN_WOOD,
    LENGTHS,
    MOST_IN_WOOD,
    STUD_WIDTH,
    StudAt,
    choose_screw,
    meet_studs,
)

INCH = 25.4


def studs(*places, sd=1.0):
    return [StudAt(f"s{i}", at, sd) for i, at in enumerate(places, start=1)]


@pytest.mark.parametrize(
    ("width", "places", "caught", "free"),
    [
        (600, (100, 506), ["s1", "s2"], (100, 94)),
        (600, (506, 100), ["s2", "s1"], (100, 94)),
        (300, (-50, 356), [], (300, 300)),
        (400, (24, 376.5), [], (400, 400)),  # nearer to an end than a screw may be: 25.4 mm
        (400, (26, 430), ["s1"], (26, 374)),
    ],
)
def test_what_is_caught_and_how_far_ends_are_free(width, places, caught, free):
    found = meet_studs(width, studs(*places))
    assert [one.stud.name for one in found.catches] == caught
    assert (found.free_left, found.free_right) == pytest.approx(free)


def test_how_far_off_a_screw_may_be_by_hand():
    """38.1 / 2 - 9.5 - 2.576 sd at 99 %; a stud known to 4 mm leaves nothing."""
    good, poor = (meet_studs(600, studs(300, sd=sd)).catches[0] for sd in (2.0, 4.0))
    assert good.within == pytest.approx(19.05 - 9.5 - 2.5758 * 2, abs=1e-3)
    assert poor.within < 0
    assert meet_studs(600, studs(300, sd=4.0)).sure == 0


def test_within_keeps_its_word():
    """Of 20,000 studs drawn about where they are known to be, 99 in 100 have the screw in wood."""
    draw = random.Random(6)
    sd = 2.0
    within = meet_studs(600, studs(300, sd=sd)).catches[0].within
    met = sum(
        abs(300 + within - draw.gauss(300, sd)) <= STUD_WIDTH / 2 - EDGE_DISTANCE
        and abs(300 - within - draw.gauss(300, sd)) <= STUD_WIDTH / 2 - EDGE_DISTANCE
        for _ in range(20_000)
    )
    assert 0.985 <= met / 20_000 <= 0.9999


@settings(max_examples=60, deadline=None)
@given(st.floats(80, 900), st.lists(st.integers(-400, 1300), min_size=1, max_size=5, unique=True))
def test_the_least_shift_is_the_least_of_a_fine_search(width, places):
    found = meet_studs(width, studs(*places))

    def caught(by):
        return sum(END_DISTANCE - 1e-6 <= at - by <= width - END_DISTANCE + 1e-6 for at in places)

    now = caught(0.0)
    if found.shift is None:
        assert all(caught(by) <= now for by in range(-2000, 2000))
    else:
        assert caught(found.shift) > now
        fine = (i / 4 for i in range(-8000, 8000))
        assert all(caught(by) <= now for by in fine if abs(by) < abs(found.shift) - 0.01)


@pytest.mark.parametrize(
    ("through", "length", "in_wood"),
    [(0.75, 1.75, 1.0), (1.25, 2.25, 1.0), (1.375, 2.5, 1.125), (1.0, 2.0, 1.0), (1.7, 2.75, 1.05)],
)
def test_screws_by_hand_in_inches(through, length, in_wood):
    found = choose_screw(through * INCH)
    assert (found.length / INCH, found.in_wood / INCH) == pytest.approx((length, in_wood))
    assert not found.too_deep


def test_a_gap_between_lengths_sold_goes_deeper_than_is_safe_and_says_so():
    """Through 4 1/8 in the next length sold after 5 1/8 is 6 in: 1 7/8 in of wood."""
    found = choose_screw(4.125 * INCH)
    assert found.length / INCH == pytest.approx(6)
    assert found.too_deep
    assert choose_screw(5.2 * INCH).length == 0.0


def test_the_lengths_grow_and_the_limits_leave_room():
    assert list(LENGTHS) == sorted(LENGTHS)
    assert LEAST_IN_WOOD < MOST_IN_WOOD


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_what_is_no_width_or_build_up_is_refused(bad):
    with pytest.raises(BadInput, match="expected a width"):
        meet_studs(bad, [])
    if bad != 0.0:
        with pytest.raises(BadInput, match="expected a build-up"):
            choose_screw(bad)
    with pytest.raises(BadInput, match="confidence"):
        meet_studs(100, [], 1.0)

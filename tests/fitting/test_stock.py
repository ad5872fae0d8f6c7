"""Does it come out of the stock? Never a false yes, never a false no; by hand, by brute force, by shapely."""

from __future__ import annotations

import math
from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import box

from fitting.errors import BadInput
from fitting.stock import Blank, Laid, Sheet, cut_plan, excess_on_bed, fits_in, refuse_overlap

PLY = Sheet("ply", 2440.0, 1220.0)


# Carver 1957 and Wetzel 2000: a strip 12 by 1 in a room 10 long needs 8.2708494; a strip 1 wide in a square
# of 10 is at most 10 sqrt 2 - 1 long; 10 wide in 100 by 70, the root of ((a+b)/(p+q))² + ((a-b)/(p-q))² = 2.
@pytest.mark.parametrize(
    ("strip", "room"),
    [
        ((12.0, 1.0), (10.0, 8.2708494)),
        ((10 * math.sqrt(2) - 1, 1.0), (10.0, 10.0)),
        ((112.8496202, 10.0), (100.0, 70.0)),
    ],
)
def test_a_rectangle_in_a_rectangle_just_fits_and_just_does_not(strip, room):
    (p, q), (a, b) = strip, room
    assert fits_in(p - 1e-5, q, a, b)
    assert not fits_in(p + 1e-4, q, a, b)
    assert fits_in(q, p - 1e-5, b, a)


def turned_fits(p, q, a, b):
    """Brute force: turn it by every thousandth of a right angle."""
    angle = np.linspace(0, math.pi / 2, 2001)
    long = p * np.cos(angle) + q * np.sin(angle)
    wide = p * np.sin(angle) + q * np.cos(angle)
    return bool(np.any((long <= a) & (wide <= b)))


@pytest.mark.parametrize("seed", range(400))
def test_a_rectangle_in_a_rectangle_against_brute_force(seed):
    p, q, a, b = np.random.default_rng(seed).uniform(5, 100, 4)
    if turned_fits(p, q, a, b):
        assert fits_in(p, q, a, b)
    if not turned_fits(p - 0.2, q - 0.2, a, b):  # nearer than that is too near to call for such steps
        assert not fits_in(p, q, a, b)


def test_one_blank_to_the_last_hair():
    assert cut_plan([Blank("side", 2440.0, 1220.0)], [PLY], 3.0).verdict == "comes out"
    no = cut_plan([Blank("side", 2441.5, 600.0)], [PLY], 3.0)
    assert (no.verdict, no.why, no.short) == ("does not", "`side` is too long for `ply`", pytest.approx(1.5))
    no = cut_plan([Blank("side", 800.0, 1230.0)], [PLY], 3.0)
    assert (no.why, no.short) == ("`side` is too wide for `ply`", pytest.approx(10))


def test_grain_keeps_a_blank_from_being_turned():
    wide = [Blank("back", 1000.0, 2000.0)]
    assert cut_plan(wide, [PLY], 3.0).verdict == "does not"
    assert cut_plan([Blank("back", 1000.0, 2000.0, free=True)], [PLY], 3.0).verdict == "comes out"


def test_a_free_blank_may_lie_askew_and_takes_its_sheet_alone():
    # The diagonal of 2440 by 1220 is 2728: a strip 50 wide goes in at 2600, and no grained one does.
    askew = cut_plan([Blank("strip", 2600.0, 50.0, free=True)], [PLY], 3.0)
    assert (askew.verdict, askew.slanted) == ("comes out", ("strip",))
    assert cut_plan([Blank("strip", 2600.0, 50.0)], [PLY], 3.0).short == pytest.approx(160)
    both = [Blank("strip", 2600.0, 50.0, free=True), Blank("shelf", 100.0, 100.0)]
    assert cut_plan(both, [PLY], 3.0).verdict != "comes out"
    assert cut_plan(both, [Sheet("ply", 2440, 1220, 2)], 3.0).verdict == "comes out"


def test_the_kerf_counts_between_blanks_and_not_at_the_edge():
    # Two of 608.5 and a kerf of 3 make up 1220; 608.6 do not.
    assert cut_plan([Blank("half", 2440.0, 608.5)] * 2, [PLY], 3.0).verdict == "comes out"
    assert cut_plan([Blank("half", 2440.0, 608.6)] * 2, [PLY], 3.0).verdict == "does not"


def test_by_hand_six_sides_and_a_seventh():
    # 800 by 600 on 2440 by 1220: three times 800 + 2 kerfs of 3 = 2406, twice 600 + 3 = 1203. Six, and of
    # 720 by 600 there is no seventh: 4 x 720 is 2880.
    assert cut_plan([Blank("side", 800.0, 600.0)] * 6, [PLY], 3.0).verdict == "comes out"
    assert cut_plan([Blank("side", 800.0, 600.0)] * 7, [PLY], 3.0).verdict == "does not"


def test_two_that_never_share_a_sheet_are_proved():
    large = [Blank("door", 1300.0, 700.0)] * 2
    no = cut_plan(large, [PLY], 3.0)
    assert no.verdict == "does not"
    assert no.why == "2 of them take a sheet each and there are 1"
    assert cut_plan(large, [Sheet("ply", 2440, 1220, 2)], 3.0).verdict == "comes out"


def test_it_says_not_found_where_neither_is_known():
    """Four of 3 by 2 lie around a 1 by 1 in a 5 by 5: no straight cuts give that pinwheel."""
    pinwheel = [Blank(f"b{at}", 3, 2, free=True) for at in range(4)] + [Blank("eye", 1, 1, free=True)]
    assert comes_out(pinwheel, 5, 5)
    assert cut_plan(pinwheel, [Sheet("square", 5, 5)], 0.0).verdict == "not found"


def test_nothing_on_hand_and_several_kinds_of_stock():
    assert cut_plan([Blank("a", 10, 10)], [], 3.0).why == "there is none on hand"
    assert cut_plan([Blank("a", 10, 10)], [Sheet("gone", 99, 99, 0)], 3.0).why == "there is none on hand"
    short, long = Sheet("short", 500, 100), Sheet("long", 1500, 100)
    plan = cut_plan([Blank("rail", 1400, 90), Blank("stile", 450, 90)], [short, long], 3.0)
    assert {one.blank: one.sheet for one in plan.laid} == {"rail": "long", "stile": "short"}


def test_a_blank_only_comes_out_of_what_will_do():
    thin, thick = Sheet("thin", 1000, 200), Sheet("thick", 1000, 200)
    rail = Blank("rail", 900, 150, out_of=frozenset({"thick"}))
    assert [one.sheet for one in cut_plan([rail], [thin, thick], 3.0).laid] == ["thick"]
    assert cut_plan([rail], [thin], 3.0).why == "there is none on hand"
    assert (
        cut_plan([rail] * 2, [thin, thick], 3.0).verdict == "not found"
    )  # only the larger blanks are proved
    assert cut_plan([rail, Blank("other", 900, 150)], [thin, thick], 3.0).verdict == "comes out"


blanks = st.lists(
    st.builds(Blank, st.sampled_from("abc"), st.integers(1, 12), st.integers(1, 12), st.booleans()),
    min_size=1,
    max_size=6,
)


@settings(deadline=None, max_examples=200)
@given(blanks, st.integers(4, 14), st.integers(4, 14), st.integers(1, 2), st.sampled_from([0.0, 0.5]))
def test_a_yes_is_a_layout_that_shapely_finds_free_of_overlaps(parts, long, wide, count, kerf):
    plan = cut_plan(parts, [Sheet("s", long, wide, count)], kerf)
    if plan.verdict != "comes out" or plan.slanted:
        return
    assert sorted(one.blank for one in plan.laid) == sorted(one.name for one in parts)
    asked = sorted((one.name, *sorted((one.length, one.width))) for one in parts)
    assert asked == sorted((one.blank, *sorted((one.length, one.width))) for one in plan.laid)
    grained = sorted((one.name, one.length, one.width) for one in parts if not one.free)
    given_out = [(one.blank, one.length, one.width) for one in plan.laid]
    assert all(given_out.count(one) >= grained.count(one) for one in grained)
    sheet = box(0, 0, long, wide).buffer(1e-6)
    rings = [(one.number, box(one.x, one.y, one.x + one.length, one.y + one.width)) for one in plan.laid]
    assert all(sheet.covers(ring) for _, ring in rings)
    for (number, ring), (other, second) in combinations(rings, 2):
        assert number != other or ring.distance(second) >= kerf - 1e-6
        assert number != other or ring.intersection(second).area < 1e-6


def comes_out(parts, long, wide):
    """Brute force on a grid of whole numbers, blanks square to the sheet and touching: the truth."""
    taken = np.zeros((long, wide), bool)

    def put(rest):
        if not rest:
            return True
        first, *others = rest
        ways = {(first.length, first.width)}
        if first.free:
            ways.add((first.width, first.length))
        for span, rise in ways:
            for x, y in product(range(long - span + 1), range(wide - rise + 1)):
                if not taken[x : x + span, y : y + rise].any():
                    taken[x : x + span, y : y + rise] = True
                    if put(others):
                        return True
                    taken[x : x + span, y : y + rise] = False
        return False

    return put(list(parts))


@pytest.mark.parametrize("seed", range(120))
def test_a_no_is_never_contradicted_by_brute_force(seed):
    random = np.random.default_rng(seed)
    long, wide = (int(one) for one in random.integers(4, 8, 2))
    parts = [
        Blank(str(at), int(random.integers(1, 6)), int(random.integers(1, 5)), bool(random.integers(2)))
        for at in range(int(random.integers(2, 5)))
    ]
    verdict = cut_plan(parts, [Sheet("s", long, wide)], 0.0).verdict
    if verdict == "comes out":
        assert comes_out(parts, long, wide) or any(one.free and one.length > max(long, wide) for one in parts)
    if verdict == "does not":
        assert not comes_out(parts, long, wide)


def test_how_often_the_answer_is_left_open_is_bounded():
    """Of 300 random cut lists that do come out by brute force, at most 1 in 20 is not found."""
    random = np.random.default_rng(7)
    out = missed = 0
    while out < 300:
        parts = [
            Blank(str(at), int(random.integers(1, 5)), int(random.integers(1, 5)), bool(random.integers(2)))
            for at in range(4)
        ]
        if comes_out(parts, 7, 5):
            out += 1
            missed += cut_plan(parts, [Sheet("s", 7, 5)], 0.0).verdict != "comes out"
    assert missed <= 15


def test_a_false_layout_is_refused():
    good = [Laid("a", "ply", 0, 0, 0, 100, 100), Laid("b", "ply", 0, 103, 0, 100, 100)]
    refuse_overlap(good, [PLY], 3.0)
    for x, what in ((102.0, "a kerf of 3 mm"), (2400.0, "reaches over")):
        with pytest.raises(BadInput, match=what):
            refuse_overlap([good[0], Laid("b", "ply", 0, x, 0, 100, 100)], [PLY], 3.0)
    with pytest.raises(BadInput, match="reaches over"):
        refuse_overlap([Laid("b", "ply", 1, 0, 0, 100, 100)], [PLY], 3.0)


@pytest.mark.parametrize("bed", list(permutations((1200.0, 900.0))))
def test_a_bed_takes_it_either_way(bed):
    assert excess_on_bed(1100.0, 800.0, 20.0, (*bed, None)) == {}
    assert excess_on_bed(800.0, 1100.0, 20.0, (*bed, 20.0)) == {}
    assert excess_on_bed(1250.0, 800.0, 20.0, (*bed, None)) == {"length": pytest.approx(50)}
    assert excess_on_bed(800.0, 1250.0, 25.0, (*bed, 20.0)) == {"width": 50, "thickness": 5}


def test_bad_input_is_refused():
    with pytest.raises(BadInput, match="one blank or more"):
        cut_plan([], [PLY], 3.0)
    with pytest.raises(BadInput, match="kerf: expected 0 mm or more"):
        cut_plan([Blank("a", 10, 10)], [PLY], -1.0)
    with pytest.raises(BadInput, match="a: width: expected a size above 0"):
        cut_plan([Blank("a", 10, math.nan)], [PLY], 3.0)
    with pytest.raises(BadInput, match="at most 400 blanks"):
        cut_plan([Blank("a", 10, 10)] * 401, [PLY], 3.0)
    with pytest.raises(BadInput, match="stock of different names"):
        cut_plan([Blank("a", 10, 10)], [PLY, PLY], 3.0)
    with pytest.raises(BadInput, match="ply: expected a quantity of 0 or more"):
        cut_plan([Blank("a", 10, 10)], [Sheet("ply", 10, 10, -1)], 3.0)


def test_a_slanted_blank_really_lies_in_its_sheet():
    """Shapely: some turn of 2600 by 50 lies in 2440 by 1220."""
    strip, sheet = box(-1300, -25, 1300, 25), box(-1220, -610, 1220, 610)
    assert any(sheet.covers(affinity.rotate(strip, angle)) for angle in np.linspace(0, 90, 361))

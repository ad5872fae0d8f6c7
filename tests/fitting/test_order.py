"""The order of work, against brute force over all orders and cases worked out by hand."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitting.errors import BadInput
from fitting.order import Relation, order_of_work


def after(then: str, first: str) -> Relation:
    return Relation(then, "stands on", first)


# --- By hand


def test_a_day_in_a_kitchen_corner():
    """The cleat carries the upper box; base under box under top under splash; both fillers after boxes."""
    things = ["upper", "cleat", "splash", "top", "box", "base", "filler", "panel"]
    order = order_of_work(
        things,
        [
            Relation("upper", "hangs on", "cleat"),
            Relation("splash", "is scribed against", "top"),
            Relation("splash", "must be in before", "upper"),
            Relation("top", "stands on", "box"),
            Relation("box", "stands on", "base"),
            Relation("filler", "closes the gap beside", "box"),
            Relation("panel", "blocks the way of", "box"),
            Relation("panel", "is measured after", "top"),
        ],
    )
    assert order.levels == (
        ("cleat", "base"),
        ("box",),
        ("top", "filler"),
        ("splash", "panel"),
        ("upper",),
    )
    assert order.knots == ()
    assert [one.why for one in order.waits_for("upper")] == ["hangs on", "must be in before"]
    assert order.waits_for("cleat") == ()


@pytest.mark.parametrize(
    ("why", "first"),
    [
        ("stands on", "b"),
        ("hangs on", "b"),
        ("is scribed against", "b"),
        ("closes the gap beside", "b"),
        ("blocks the way of", "b"),
        ("is measured after", "b"),
        ("must be in before", "a"),
    ],
)
def test_which_of_two_comes_first(why, first):
    order = order_of_work(["a", "b"], [Relation("a", why, "b")])
    assert order.levels[0] == (first,)
    assert len(order.levels) == 2


def test_what_nothing_decides_stays_in_the_order_given():
    assert order_of_work(["z", "a", "m"], []).levels == (("z", "a", "m"),)
    assert order_of_work([], []).levels == ()


def test_the_same_relation_twice_counts_once():
    twice = [after("a", "b"), after("a", "b"), after("b", "a")]
    (knot,) = order_of_work(["a", "b"], twice).knots
    assert len(knot.untied_by) == 1


def test_a_pair_tied_twice_is_not_where_a_circle_is_broken():
    """From a to b for two reasons, back for one: the one goes."""
    two = [after("b", "a"), Relation("b", "hangs on", "a"), after("a", "b")]
    (knot,) = order_of_work(["a", "b"], two).knots
    assert knot.untied_by == (after("a", "b"),)


def test_two_circles_that_share_an_arc_are_untied_by_it():
    """b after a after c after b, and b after a after d after b: only `b after a` is in both."""
    relations = [after("a", "c"), after("c", "b"), after("a", "d"), after("d", "b"), after("b", "a")]
    (knot,) = order_of_work(list("abcd"), relations).knots
    assert knot.untied_by == (after("b", "a"),)
    assert knot.things == ("a", "b", "c", "d")


def test_circles_apart_are_knots_apart_and_what_hangs_on_them_is_none():
    relations = [after("a", "b"), after("b", "a"), after("c", "d"), after("d", "c"), after("e", "a")]
    order = order_of_work(list("abcde"), relations)
    assert [knot.things for knot in order.knots] == [("a", "b"), ("c", "d")]
    assert all(one.then != "e" for knot in order.knots for one in knot.untied_by)
    assert order.waits_for("e") == (after("e", "a"),)


def test_a_long_row_of_pairs_that_wait_for_one_another_is_untied_at_once():
    """Twenty cabinets in a row, each to go in before its neighbours: one relation of each pair goes."""
    names = [f"box-{at:02}" for at in range(20)]
    relations = [one for left, right in pairwise(names) for one in (after(left, right), after(right, left))]
    (knot,) = order_of_work(names, relations).knots
    assert (len(knot.untied_by), knot.is_fewest) == (19, True)


def test_what_is_too_tangled_is_untied_and_says_that_it_may_not_be_the_fewest():
    """A muddle of 18 things, each tied to each; any order is right that breaks none of what is kept."""
    names = [f"box-{at:02}" for at in range(18)]
    relations = [
        after(names[i], names[j])
        if (i * i * 7 + j * j * 5 + i * j * 3) % 11 < 6
        else after(names[j], names[i])
        for i in range(18)
        for j in range(i)
    ]
    order = order_of_work(names, relations)
    (knot,) = order.knots
    assert not knot.is_fewest
    assert len(knot.untied_by) <= len(relations) / 2  # an order or its reverse breaks half at the most
    flat = tuple(name for level in order.levels for name in level)
    assert broken_by(flat, set(order.kept)) == 0
    for one in knot.untied_by:
        assert order_of_work(names, [*order.kept, one]).knots, "given up in vain"


# --- Against brute force


NAMES = list("abcdef")
PAIRS = [(a, b) for a in NAMES for b in NAMES if a != b]
relations_of_six = st.lists(
    st.tuples(st.sampled_from(PAIRS), st.sampled_from(["stands on", "hangs on", "must be in before"])),
    max_size=24,
).map(lambda drawn: [Relation(a, why, b) for (a, b), why in drawn])


def broken_by(order: tuple[str, ...], relations: set[Relation]) -> int:
    place = {name: at for at, name in enumerate(order)}
    return sum(place[one.first] > place[one.then] for one in relations)


@settings(max_examples=120, deadline=None)
@given(relations_of_six)
def test_no_order_at_all_breaks_fewer_relations(relations):
    """Brute force over the 720 orders of six."""
    wanted = set(relations)
    least = min(broken_by(order, wanted) for order in permutations(NAMES))
    told = order_of_work(NAMES, relations)
    given_up = [one for knot in told.knots for one in knot.untied_by]
    assert len(given_up) == least
    assert set(told.kept) == wanted - set(given_up)
    flat = tuple(name for level in told.levels for name in level)
    assert sorted(flat) == NAMES
    assert broken_by(flat, set(told.kept)) == 0


@pytest.mark.parametrize("seed", range(30))
def test_no_order_breaks_fewer_where_nearly_all_are_tied(seed):
    """Each two of six tied one way by luck, and some both ways: circles that share arcs in every manner."""
    luck = random.Random(seed)
    relations = {after(*(pair if luck.random() < 0.5 else pair[::-1])) for pair in combinations(NAMES, 2)}
    relations |= {after(a, b) for a, b in PAIRS if luck.random() < 0.2}
    least = min(broken_by(order, relations) for order in permutations(NAMES))
    knots = order_of_work(NAMES, sorted(relations, key=str)).knots
    assert sum(len(knot.untied_by) for knot in knots) == least


@settings(max_examples=60, deadline=None)
@given(relations_of_six, st.randoms(use_true_random=False))
def test_levels_are_the_longest_waits_and_do_not_hang_on_the_order_of_relations(relations, luck):
    told = order_of_work(NAMES, relations)
    level = {name: at for at, names in enumerate(told.levels) for name in names}
    for name in NAMES:
        waits = [level[one.first] for one in told.waits_for(name)]
        assert level[name] == max(waits, default=-1) + 1
    shuffled = list(relations)
    luck.shuffle(shuffled)
    assert order_of_work(NAMES, shuffled).levels == told.levels


# --- Refusals


@pytest.mark.parametrize(
    ("things", "relations", "words"),
    [
        (["a", "a"], [], "got `a` more than once"),
        (["a"], [after("a", "b")], "got `b`, which is none"),
        (["a"], [after("a", "a")], "got `a` that stands on itself"),
    ],
)
def test_what_is_refused(things, relations, words):
    with pytest.raises(BadInput, match=words):
        order_of_work(things, relations)

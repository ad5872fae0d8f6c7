"""The pose that leaves most room: scipy's linear programmes, cases by hand, and what must always hold."""

from math import radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from fitting import play
from fitting.errors import BadInput, Unsolvable
from fitting.play import both_sides, ease, most_room, within

LIMITS = np.array([0.05, 30.0, 30.0])
EQUAL = 1e-9  # mm


def alcove(n, start=0.0, step=25.0):
    """Effects of turn and motions to the back and right on n places each of a left, back and right edge."""
    at, one, none = start + step * np.arange(n), np.ones(n), np.zeros(n)
    left, back = np.column_stack([-at, none, one]), np.column_stack([-at, -one, none])
    return np.vstack([left, back, np.column_stack([at, none, -one])])


def by_scipy(effects, clearance, limits, weight, more=None, level=None):
    """The room of one draw by scipy; rows `more` are asked to keep their `level` exactly."""
    q = effects.shape[1]
    found = linprog(
        [*np.zeros(q), -1.0],
        A_ub=np.column_stack([-effects, weight]),
        b_ub=clearance,
        A_eq=None if more is None or not len(more) else np.column_stack([more, np.zeros(len(more))]),
        b_eq=None if more is None or not len(more) else level,
        bounds=[(-limit, limit) for limit in limits] + [(None, None)],
        method="highs",
    )
    assert found.status == 0, found.message
    return found.x[-1]


def agrees(effects, clearance, limits, weight=None):
    found = most_room(effects, clearance, limits, weight)
    weight = np.ones(len(effects)) if weight is None else weight
    for one, room in zip(clearance, found.room, strict=True):
        assert room == pytest.approx(by_scipy(effects, one, limits, weight), abs=EQUAL)
    proved(effects, clearance, limits, weight, found)


def proved(effects, clearance, limits, weight, found):
    """Prove it without any solver: the pose keeps its room, and the binding rows add up to no more."""
    there = clearance + found.pose @ effects.T
    assert (there >= weight * found.room[:, None] - EQUAL).all()
    assert (np.abs(found.pose) <= np.asarray(limits) * (1 + 1e-12)).all()
    q = effects.shape[1]
    bounds = np.hstack([np.eye(q), np.zeros((q, 1))])
    rows = np.vstack([np.column_stack([-effects, weight]), bounds, -bounds])
    right = np.hstack([clearance, np.tile(limits, (len(clearance), 2))])
    shares = np.linalg.solve(rows[found.binding].transpose(0, 2, 1), np.eye(q + 1)[:, -1:])[:, :, 0]
    assert (shares >= -1e-9 * np.abs(shares).max(axis=1, keepdims=True)).all()
    held = (shares * np.take_along_axis(right, found.binding, axis=1)).sum(axis=1)
    assert held == pytest.approx(found.room, abs=EQUAL)


def walls(kind, random):
    """Return effects, clearances (draws, k) and limits of a kind of room."""
    n = int(random.integers(1, 30))
    c = random.normal(3, 2, (6, 3 * n))
    return {
        "uneven": lambda: (alcove(n), c, LIMITS),
        "flat": lambda: (alcove(n), np.repeat(c[:, :3], n, axis=1), LIMITS),
        "all equal": lambda: (alcove(n), np.repeat(c[:, :1], 3 * n, axis=1), LIMITS),
        "touching all over": lambda: (alcove(n), 0 * c, LIMITS),
        "read to 1/16": lambda: (alcove(n), np.round(c * 16) / 16, LIMITS),
        "whole mm": lambda: (alcove(n), np.round(c), LIMITS),
        "equal rows": lambda: (np.repeat(alcove(n), 3, axis=0), np.repeat(c, 3, axis=1), LIMITS),
        "a single row": lambda: (random.normal(size=(1, 3)), c[:, :1], LIMITS),
        "back only": lambda: (alcove(n)[n : 2 * n], c[:, :n], LIMITS),
        "origin far off": lambda: (alcove(n, start=1e4), c, LIMITS),
        "no limits to speak of": lambda: (alcove(n), c, np.array([1e3, 1e9, 1e9])),
        "hardly free": lambda: (alcove(n), c, LIMITS * 1e-8),
        "places close together": lambda: (alcove(n, step=1e-3), c, LIMITS),
        "wide rooms": lambda: (alcove(n), random.normal(1500, 300, c.shape), 20 * LIMITS),
        "any rows": lambda: (random.normal(size=(3 * n, 3)), c, random.uniform(0.1, 10, 3)),
        "one unknown": lambda: (random.normal(size=(3 * n, 1)), c, random.uniform(0.1, 10, 1)),
        "six unknowns": lambda: (random.normal(size=(3 * n, 6)), c, random.uniform(0.1, 10, 6)),
        "an unknown without effect": lambda: (alcove(n) * [1, 0, 1], c, LIMITS),
    }[kind]()


KINDS = (
    *("uneven", "flat", "all equal", "touching all over", "read to 1/16", "whole mm", "equal rows"),
    *("a single row", "back only", "origin far off", "no limits to speak of", "hardly free"),
    *("places close together", "wide rooms", "any rows", "one unknown", "six unknowns"),
    "an unknown without effect",
)


@pytest.mark.parametrize("kind", KINDS)
def test_room_is_scipys(kind):
    for seed in range(3):
        agrees(*walls(kind, np.random.default_rng(seed)))


@pytest.mark.parametrize("kind", KINDS)
def test_room_is_the_same_by_the_rule_that_never_circles(kind, monkeypatch):
    monkeypatch.setattr(play, "PATIENCE", 0)
    agrees(*walls(kind, np.random.default_rng(9)))


@pytest.mark.parametrize(("patience", "first"), [(60, 1), (0, 0)])
def test_the_row_broken_most_comes_in_or_when_patience_ends_the_lowest(patience, first, monkeypatch):
    # Moved by 10 away from place 2, place 0 has -5 and place 1 has -9.5, where place 2 has 10.
    came = []

    def leaving(row, *rest):
        came.append(row[0, 0] * 10)
        return play_leaving(row, *rest)

    play_leaving = play._leaving
    monkeypatch.setattr(play, "_leaving", leaving)
    monkeypatch.setattr(play, "PATIENCE", patience)
    found = most_room([[-0.9], [-1.0], [1.0]], [[5.0, 0.5, 0.0]], [10.0])
    assert found.room == pytest.approx([0.25], abs=1e-12)
    assert came[0] == pytest.approx([9.0, 10.0][first])


@pytest.mark.parametrize(("patient", "leaves"), [(True, 0), (False, 1)])
def test_of_rows_used_up_at_once_the_best_pivot_goes_or_when_patience_ends_the_lowest(patient, leaves):
    # Shares 2 and 1 of rows 7 and 3, used up at 2 and 1 of the entering row: both at the same moment.
    inverse, basis = np.array([[[0.0, 1.0], [2.0, 1.0]]]), np.array([[7, 3]])
    assert play._leaving(np.array([[0.0, 1.0]]), inverse, basis, patient).tolist() == [leaves]


@pytest.mark.parametrize("seed", range(6))
def test_weighted_room_is_scipys(seed):
    random = np.random.default_rng(seed)
    effects, clearance, limits = walls("uneven", random)
    weight = random.uniform(0.1, 3, len(effects)) * (random.uniform(size=len(effects)) > 0.5)
    weight[0] = 1.0
    agrees(effects, np.abs(clearance), limits, weight)


@pytest.mark.parametrize("kind", KINDS)
def test_margin_between_touching_and_too_wide_is_scipys(kind):
    random = np.random.default_rng(3)
    effects, clearance, limits = walls(kind, random)
    greatest = np.where(random.uniform(size=len(effects)) > 0.3, random.uniform(2, 8, len(effects)), np.inf)
    held = np.isfinite(greatest)
    found = within(effects, clearance, limits, greatest)
    for one, room in zip(clearance, found.room, strict=True):
        rows = np.vstack([effects, -effects[held]])
        both = np.concatenate([one, greatest[held] - one[held]])
        assert room == pytest.approx(by_scipy(rows, both, limits, np.ones(len(rows))), abs=EQUAL)
    there = clearance + found.pose @ effects.T
    margin = np.minimum(there, greatest - there).min(axis=1)
    assert margin == pytest.approx(found.room, abs=EQUAL)


def test_without_greatest_clearances_the_margin_is_the_room():
    effects, clearance, limits = walls("uneven", np.random.default_rng(1))
    found = within(effects, clearance, limits, np.full(len(effects), np.inf))
    assert (found.room == most_room(effects, clearance, limits).room).all()


# By hand ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("left", "right"), [(2.0, 4.0), (0.0, 5.0), (-3.0, 1.0)])
def test_between_parallel_walls_the_room_is_half_the_slack(left, right):
    effects = alcove(10)[np.r_[:10, 20:30]]
    found = most_room(effects, [[left] * 10 + [right] * 10], LIMITS)
    assert found.room == pytest.approx([(left + right) / 2], abs=1e-12)
    assert found.pose[0, [0, 2]] == pytest.approx([0, (right - left) / 2], abs=1e-12)


G, H, LEANS, DEEP, WIDE = 2.0, 5.0, 0.01, 600.0, 1500.0  # mm and radians


def leaning_alcove():
    """Parallel side walls that lean to the right by LEANS, G from the box at its back corners; back H off."""
    left = [[0.0, 0.0, 1.0], [-DEEP, 0.0, 1.0]]
    back = [[0.0, -1.0, 0.0], [-WIDE, -1.0, 0.0]]
    right = [[0.0, 0.0, -1.0], [DEEP, 0.0, -1.0]]
    return np.array(left + back + right), np.array([[G, G + LEANS * DEEP, H, H, G, G - LEANS * DEEP]])


@pytest.mark.parametrize("turn", [0.001, 0.004, 0.0099])
def test_turning_a_box_in_a_leaning_alcove_helps_as_far_as_it_can_turn(turn):
    # Turned by phi and moved to the middle, either side keeps G - (LEANS - phi) DEEP / 2; far from the back.
    found = most_room(*leaning_alcove(), [turn, 1000.0, 50.0])
    assert found.room == pytest.approx([G - (LEANS - turn) * DEEP / 2], abs=1e-12)


def test_free_to_turn_it_stands_along_the_walls():
    found = most_room(*leaning_alcove(), [0.05, 1000.0, 50.0])
    assert found.room == pytest.approx([G], abs=1e-12)
    assert found.pose[0, 0] == pytest.approx(LEANS, abs=1e-12)


def test_turning_stops_where_the_back_has_no_more_room_than_the_sides():
    # G - (LEANS - phi) DEEP / 2 = H + 4 - phi WIDE, as it can come out by 4 only.
    phi = (H + 4 - G + LEANS * DEEP / 2) / (DEEP / 2 + WIDE)
    found = most_room(*leaning_alcove(), [0.05, 4.0, 50.0])
    assert found.pose[0, :2] == pytest.approx([phi, -4.0], abs=1e-12)
    assert found.room == pytest.approx([G - (LEANS - phi) * DEEP / 2], abs=1e-12)


def test_scribe_is_balanced_in_a_corner_out_of_square():
    # To plane off DEEP (delta - phi) at the side and WIDE phi at the back; the greater is least where they
    # are equal, delta DEEP WIDE / (DEEP + WIDE): 7.47998 for 1 degree (derived by hand, small turns).
    delta = radians(1)
    found = most_room([[DEEP], [-WIDE]], [[-delta * DEEP, 0.0]], [0.1])
    assert found.room == pytest.approx([-7.479983], abs=5e-7)
    assert np.degrees(found.pose[0, 0]) == pytest.approx(600 / 2100, abs=1e-9)


# H. P. Williams, Model Building in Mathematical Programming, 5th ed., problem 11, with its printed line
# y = 0.625 x - 0.4 and 1.725; two small sets from textbook exercises, the answers computed with scipy.
WILLIAMS_X = [0, 0.5, 1, 1.5, 1.9, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 6.6, 7, 7.6, 8.5, 9, 10]
WILLIAMS_Y = [1, 0.9, 0.7, 1.5, 2, 2.4, 3.2, 2, 2.7, 3.5, 1, 4, 3.6, 2.7, 5.7, 4.6, 6, 6.8, 7.3]
SIX = [1.0, 2.3, 3.7, 4.2, 6.1, 7.0], [3.6, 3.0, 3.2, 5.1, 5.3, 6.8]
SEVEN = [1, 2, 3, 5, 7, 8, 10], [3, 5, 7, 11, 14, 15, 19]


@pytest.mark.parametrize(
    ("x", "y", "slope", "at_0", "apart"),
    [
        (WILLIAMS_X, WILLIAMS_Y, 0.625, -0.4, 1.725),
        (*SIX, 0.533333, 2.146667, 0.92),
        (*SEVEN, 12 / 7, 13 / 7, 4 / 7),
    ],
    ids=["Williams", "six points", "seven points"],
)
def test_line_that_is_nowhere_far_from_the_points(x, y, slope, at_0, apart):
    # Points between a line and 8 above it: by the largest margin where its middle is the minimax line.
    effects = -np.column_stack([x, np.ones(len(x))])
    found = within(effects, [y], [10.0, 100.0], np.full(len(x), 8.0))
    assert 4 - found.room[0] == pytest.approx(apart, abs=5e-7)
    assert found.pose[0] + [0, 4] == pytest.approx([slope, at_0], abs=5e-7)


@pytest.mark.parametrize("n", [2, 3, 4, 5])
def test_polynomial_nearest_to_a_power_is_chebyshevs(n):
    # On [-1, 1] x^n is never nearer than 2^(1 - n) to a polynomial of lower degree (Chebyshev; any
    # textbook of approximation); the extrema of T_n are among the points.
    x = np.cos(np.pi * np.arange(6 * n + 1) / (6 * n))
    powers = np.column_stack([x**j for j in range(n)])
    found = most_room(np.vstack([powers, -powers]), [np.concatenate([-(x**n), x**n])], np.full(n, 10.0))
    assert found.room[0] == pytest.approx(-(2.0 ** (1 - n)), abs=1e-12)


# What must always hold -------------------------------------------------------------------------------------

seeds = st.integers(0, 10**6)
kinds = st.sampled_from(KINDS)


@settings(max_examples=40, deadline=None)
@given(kinds, seeds)
def test_order_of_places_and_draws_does_not_matter(kind, seed):
    random = np.random.default_rng(seed)
    effects, clearance, limits = walls(kind, random)
    places, draws = random.permutation(len(effects)), random.permutation(len(clearance))
    plain = most_room(effects, clearance, limits).room
    mixed = most_room(effects[places], clearance[draws][:, places], limits).room
    assert mixed == pytest.approx(plain[draws], abs=EQUAL)
    alone = [most_room(effects, clearance[[draw]], limits).room[0] for draw in draws]
    assert alone == pytest.approx(plain[draws], abs=EQUAL)


@settings(max_examples=40, deadline=None)
@given(kinds, seeds)
def test_a_mirrored_room_leaves_as_much(kind, seed):
    effects, clearance, limits = walls(kind, np.random.default_rng(seed))
    mirror = (-1.0) ** np.arange(effects.shape[1])
    plain = most_room(effects, clearance, limits)
    mirrored = most_room((effects * mirror)[::-1], clearance[:, ::-1], limits)
    assert mirrored.room == pytest.approx(plain.room, abs=EQUAL)


def test_where_one_pose_is_best_its_mirror_image_is_too():
    effects, clearance, limits = walls("any rows", np.random.default_rng(4))
    plain = most_room(effects, clearance, limits)
    mirrored = most_room((effects * [-1, 1, -1])[::-1], clearance[:, ::-1], limits)
    assert mirrored.pose == pytest.approx(plain.pose * [-1, 1, -1], abs=1e-8)


@settings(max_examples=30, deadline=None)
@given(kinds, seeds, st.floats(-50, 50))
def test_all_gaps_wider_give_just_so_much_more_room(kind, seed, wider):
    effects, clearance, limits = walls(kind, np.random.default_rng(seed))
    plain = most_room(effects, clearance, limits).room
    assert most_room(effects, clearance + wider, limits).room == pytest.approx(plain + wider, abs=EQUAL)


@settings(max_examples=30, deadline=None)
@given(kinds, seeds)
def test_more_freedom_or_fewer_places_never_leave_less_room(kind, seed):
    effects, clearance, limits = walls(kind, np.random.default_rng(seed))
    plain = most_room(effects, clearance, limits).room
    assert (plain >= clearance.min(axis=1) - EQUAL).all()
    assert (most_room(effects, clearance, 2 * limits).room >= plain - EQUAL).all()
    assert (most_room(effects[:1], clearance[:, :1], limits).room >= plain - EQUAL).all()


# The other places ------------------------------------------------------------------------------------------


def eased_by_scipy(effects, clearance, limits):
    """The places that cannot have 0, each at what it keeps: level by level, one programme for each place."""
    level = np.full(len(effects), np.nan)
    while np.isnan(level).any():
        free = np.isnan(level)
        kept, at = effects[~free], level[~free] - clearance[~free]
        room = by_scipy(effects[free], clearance[free], limits, np.ones(free.sum()), kept, at)
        if room >= -EQUAL:
            break
        for place in np.flatnonzero(free):
            weight, others = np.zeros(free.sum()), clearance[free] - room + 1e-9
            weight[np.flatnonzero(free) == place] = 1.0
            others[weight > 0] = clearance[place]
            if by_scipy(effects[free], others, limits, weight, kept, at) < room + 1e-6:
                level[place] = room
    return level


@pytest.mark.parametrize("kind", ["uneven", "flat", "all equal", "whole mm", "any rows", "one unknown"])
def test_other_places_do_not_suffer_from_those_that_cannot_have_room(kind):
    random = np.random.default_rng(2)
    for _ in range(3):
        effects, clearance, limits = walls(kind, random)
        few = random.permutation(len(effects))[:9]
        effects, clearance = effects[few], clearance[:, few] - 3.0
        pose = ease(effects, clearance, limits)
        assert (np.abs(pose) <= limits * (1 + 1e-12)).all()
        for one, p in zip(clearance, pose, strict=True):
            expected, there = eased_by_scipy(effects, one, limits), one + effects @ p
            cannot = ~np.isnan(expected)
            assert there[cannot] == pytest.approx(expected[cannot], abs=1e-6)
            assert (there[~cannot] >= -1e-8).all()


def test_a_box_too_wide_still_stands_off_its_back():
    # 4 too wide; the back is 1 into the wall where it was expected, and free to come out.
    effects, clearance = alcove(5), [[-2.0] * 5 + [-1.0] * 5 + [-2.0] * 5]
    there = np.array(clearance[0]) + effects @ ease(effects, clearance, LIMITS)[0]
    assert there[np.r_[:5, 10:15]] == pytest.approx([-2.0] * 10, abs=1e-9)
    assert (there[5:10] >= 0).all()


def test_a_piece_with_room_is_eased_to_the_pose_that_leaves_most():
    effects, clearance, limits = walls("any rows", np.random.default_rng(1))
    clearance = clearance + 100
    there = clearance + ease(effects, clearance, limits) @ effects.T
    assert there.min(axis=1) == pytest.approx(most_room(effects, clearance, limits).room, abs=EQUAL)


# Refused ---------------------------------------------------------------------------------------------------


def test_a_place_that_no_pose_clears_is_named_with_its_draw():
    effects, clearance = [[1.0], [-1.0]], [[5.0, 1.0], [-3.0, -3.0], [4.0, 4.0]]
    with pytest.raises(
        Unsolvable, match=r"draw 1: no pose .* weight 0 from being hit, as is seen at 0; widen"
    ):
        most_room(effects, clearance, [2.0], [0.0, 1.0])
    with pytest.raises(Unsolvable, match=r"the mean of all draws: no pose .* seen at 0; widen"):
        most_room(effects, clearance[1:2], [2.0], [0.0, 1.0])


def test_exchanges_end(monkeypatch):
    monkeypatch.setattr(play, "MOST_EXCHANGES", 2)
    with pytest.raises(Unsolvable, match=r"the mean of all draws: after 2 exchanges rounding"):
        most_room(*walls("any rows", np.random.default_rng(0)))


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"effects": [1.0, -1.0]}, r"effects: expected \(places, unknowns\).* got shape \(2,\)"),
        ({"effects": np.empty((0, 1))}, r"effects: expected .* got shape \(0, 1\)"),
        ({"effects": np.empty((2, 0))}, r"effects: expected .* got shape \(2, 0\)"),
        ({"effects": [[1.0], [np.nan]]}, r"effects: expected finite numbers, got nan at \(1, 0\)"),
        ({"effects": [["1 1/2"], [1.0]]}, "effects: expected an array of numbers"),
        ({"clearance": [1.0, 2.0]}, r"clearance: expected \(draws, 2\).* got shape \(2,\)"),
        ({"clearance": [[1.0, 2.0, 3.0]]}, r"clearance: expected \(draws, 2\).* got shape \(1, 3\)"),
        ({"clearance": np.empty((0, 2))}, r"clearance: expected .*one draw or more.* got shape \(0, 2\)"),
        ({"clearance": [[1.0, np.inf]]}, r"clearance: expected finite numbers, got inf at \(0, 1\)"),
        ({"limits": [1.0, 1.0]}, r"limits: expected one for each of 1 unknowns, got shape \(2,\)"),
        ({"limits": [0.0]}, "limits: expected all above 0, got 0.0"),
        ({"limits": [np.inf]}, "limits: expected finite numbers, got inf at"),
        ({"weight": [1.0]}, r"weight: expected one for each of 2 places, got shape \(1,\)"),
        ({"weight": [0.0, 0.0]}, "weight: expected 0 or more and one above 0, got 0.0 to 0.0"),
        ({"weight": [1.0, -1.0]}, "weight: expected 0 or more and one above 0, got -1.0 to 1.0"),
        ({"weight": [1.0, np.nan]}, r"weight: expected finite numbers, got nan at \(1\)"),
    ],
)
def test_what_cannot_be_is_refused(changed, said):
    given = {"effects": [[1.0], [-1.0]], "clearance": [[1.0, 2.0]], "limits": [5.0]} | changed
    with pytest.raises(BadInput, match=said):
        most_room(**given)


@pytest.mark.parametrize(
    ("greatest", "said"),
    [
        ([1.0], r"greatest: expected one for each of 2 places, got shape \(1,\)"),
        ([1.0, np.nan], "greatest: expected mm, or inf where there is no limit, got nan at 1"),
        ([-np.inf, 1.0], "greatest: expected mm, or inf where there is no limit, got -inf at 0"),
    ],
)
def test_a_greatest_clearance_that_cannot_be_is_refused(greatest, said):
    for ask in (lambda: within([[1.0], [-1.0]], [[1.0, 2.0]], [5.0], greatest),
                lambda: both_sides([[1.0], [-1.0]], [[1.0, 2.0]], greatest)):  # fmt: skip
        with pytest.raises(BadInput, match=said):
            ask()

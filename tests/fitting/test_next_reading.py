"""Which reading helps most: a table worked out once, designs from textbooks, rooms that get the reading.

Formulas of optimal design: Fedorov 1972, Pukelsheim (from memory); what one reading adds to a covariance:
Sherman and Morrison.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import piece_rooms
import pytest
import rooms
from hypothesis import given, settings
from hypothesis import strategies as st
from networks import Distance as Tape
from networks import Network, adjust_network
from numpy.typing import NDArray
from published_networks import SQUARE
from true_room import TrueRoom

from fitting.adjust import adjust
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.next_reading import ENOUGH, Candidate, advise, conditioned, telling
from fitting.piece import EdgePlan
from fitting.site import (
    Along,
    CornerTurn,
    Distance,
    Gaps,
    Height,
    Known,
    KnownRoom,
    Leaning,
    Level,
    Ray,
    Spot,
    Tool,
    Touch,
    know_room,
)
from fitting.site.known import ray_quantity
from fitting.site.readings import Observed
from fitting.stake import Stake
from fitting.top import TopPlan, fit_top

FloatArray = NDArray[np.float64]
UP = piece_rooms.UP


# A network: Benning (2011) example 8-2 with one diagonal left out, read as its start says; no redundancy.
# The table was computed with numpy from that geometry, by the formulas named above.

SD = 0.01  # m


def network(*ends: tuple[str, str]) -> Network:
    place = {**SQUARE.fixed, **SQUARE.start}
    read = tuple(Tape(pair, math.dist(place[pair[0]], place[pair[1]]), SD) for pair in ends)
    return replace(SQUARE, distances=read)


SIDES_AND_DIAGONAL = network(("1", "3"), ("2", "4"), ("3", "4"), ("1", "4"))
TABLE = [  # a' S a mm2, determinant ratio, drop of the trace mm2, drop of the variance of x3 mm2
    pytest.param(("2", "3"), 250, 3.5, 385.714, 228.571, id="other diagonal"),
    pytest.param(("1", "4"), 100, 2.0, 200.0, 100.0, id="diagonal again"),
    pytest.param(("2", "4"), 100, 2.0, 150.0, 50.0, id="right side again"),
    pytest.param(("3", "4"), 100, 2.0, 50.0, 50.0, id="front again"),
    pytest.param(("1", "3"), 100, 2.0, 50.0, 0.0, id="left side again"),
]
BEFORE = [[400, 0, 300, 100], [0, 100, 0, 0], [300, 0, 300, 100], [100, 0, 100, 100]]  # x3 y3 x4 y4, mm2


def foretold(candidate: tuple[str, str]) -> Joint:
    """The points' coordinates and behind them a length, in mm."""
    made = adjust_network(SIDES_AND_DIAGONAL)
    _, row = network(candidate).linearise()(made.state)
    joint = made.predict(np.vstack([np.eye(4), row]))
    return Joint(joint.mean, joint.covariance * 1e6)


def test_a_square_with_one_diagonal_is_known_as_the_table_says():
    made = adjust_network(SIDES_AND_DIAGONAL)
    assert made.covariance * 1e6 == pytest.approx(np.array(BEFORE), abs=1e-6)


@pytest.mark.parametrize(("candidate", "unsure", "ratio", "trace", "x3"), TABLE)
def test_what_a_further_length_brings(candidate, unsure, ratio, trace, x3):
    joint = foretold(candidate)
    after = conditioned(joint, slice(4, 5), [(1000 * SD) ** 2]).covariance[:4, :4]
    before = joint.covariance[:4, :4]
    assert joint.covariance[4, 4] == pytest.approx(unsure, abs=1e-6)
    assert np.linalg.det(before) / np.linalg.det(after) == pytest.approx(ratio, rel=1e-9)
    assert np.trace(before - after) == pytest.approx(trace, abs=5.1e-4)
    assert (before - after)[0, 0] == pytest.approx(x3, abs=5.1e-4)


@pytest.mark.parametrize("candidate", [row.values[0] for row in TABLE], ids=[row.id for row in TABLE])
def test_what_it_brings_is_what_the_network_with_it_has(candidate):
    read = (*SIDES_AND_DIAGONAL.distances, *network(candidate).distances)
    made = adjust_network(replace(SIDES_AND_DIAGONAL, distances=read))
    after = conditioned(foretold(candidate), slice(4, 5), [(1000 * SD) ** 2]).covariance[:4, :4]
    assert after == pytest.approx(made.covariance * 1e6, abs=1e-6)


# Any linear adjustment


def linear(rows: FloatArray, sd: FloatArray):
    return adjust(lambda x: (-rows @ x, rows), np.zeros(rows.shape[1]), sd**2)


@given(st.integers(2, 6), st.integers(0, 10**6))
@settings(max_examples=25, deadline=None)
def test_repeating_any_reading_where_none_is_spare_doubles_the_determinant(n, seed):
    random = np.random.default_rng(seed)
    rows = np.linalg.qr(random.normal(size=(n, n)))[0] + 0.2 * random.normal(size=(n, n))
    sd = random.uniform(0.2, 3.0, n)
    made, again = linear(rows, sd), int(random.integers(n))
    joint = made.predict(np.vstack([np.eye(n), rows[again]]))
    after = conditioned(joint, slice(n, n + 1), [sd[again] ** 2]).covariance[:n, :n]
    assert np.linalg.det(made.covariance) / np.linalg.det(after) == pytest.approx(2.0, rel=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_conditioned_is_an_adjustment_with_the_readings_added(seed):
    random = np.random.default_rng(seed)
    rows, sd = random.normal(size=(11, 4)), random.uniform(0.3, 2.0, 11)
    asked = random.normal(size=(3, 4))
    joint = linear(rows[:8], sd[:8]).predict(np.vstack([asked, rows[8:]]))
    wanted = linear(rows, sd).predict(np.vstack([asked, rows[8:]]))
    found = conditioned(joint, slice(3, 6), sd[8:] ** 2)
    assert found.covariance == pytest.approx(wanted.covariance, abs=1e-9)
    assert np.array_equal(found.mean, joint.mean)


@pytest.mark.parametrize("noise", [[0.0], [-1.0], [math.nan], [math.inf], [1.0, 1.0]])
def test_variances_that_are_none_are_refused(noise):
    with pytest.raises(BadInput, match="expected 1 variances above 0, got"):
        conditioned(Joint([0.0, 0.0], np.eye(2)), slice(0, 1), noise)


@pytest.mark.parametrize(
    ("power", "ends", "most"),
    [(1, {-1.0: 1 / 2, 1.0: 1 / 2}, 2.0), (2, {-1.0: 1 / 3, 0.0: 1 / 3, 1.0: 1 / 3}, 3.0)],
    ids=["line", "parabola"],
)
def test_the_reading_foretold_worst_each_time_comes_to_the_best_design(power, ends, most):
    """Kiefer and Wolfowitz 1960: D-optimal designs on [-1, 1]; the greatest variance, times the number of
    readings, is that of the parameters (from memory)."""
    x = np.linspace(-1, 1, 41).round(9)
    rows = np.vander(x, power + 1)
    joint = Joint(np.zeros(x.size), 1e4 * rows @ rows.T)
    taken = []
    for _ in range(60):
        worst = int(np.argmax(np.diagonal(joint.covariance).round(9)))
        taken.append(float(x[worst]))
        joint = conditioned(joint, slice(worst, worst + 1), [1.0])
    share = {place: taken.count(place) / 60 for place in set(taken)}
    assert {place: share.get(place, 0) for place in ends} == pytest.approx(ends, abs=0.04)
    assert 60 * np.diagonal(joint.covariance).max() == pytest.approx(most, rel=0.05)


# Rooms: what is foretold of a reading against the room that has it

TAPE = Tool("tape, hooked", 0.5, 5e-4)
RAYS = [
    *(Ray("back", x, -500.0, 0.0, 1.0, UP) for x in (40.0, 400.0, 900.0, 1460.0)),
    *(Ray("left", 700.0, y, -1.0, 0.0, UP) for y in (-500.0, -200.0)),
    *(Ray("right", 700.0, y, 1.0, 0.0, UP) for y in (-500.0, -200.0)),
    Ray("back", 700.0, -500.0, 0.0, 1.0, 1500.0),
]
ALONG = (60.0, 300.0, 540.0, 780.0)


def some_readings() -> tuple[TrueRoom, list[Observed]]:
    room = rooms.alcove()
    asked = [
        rooms.tape("width", "left-back", "back-right", UP, UP),
        replace(rooms.tape("by a tool", Spot("left", 700.0, "left-back"), "back-right"), tool=TAPE),
        CornerTurn("gauge", 0.0, 4e-3, "left-back", 400.0, 400.0, UP),
        Leaning("lean", 0.0, 1.0, "back", 300.0, "left-back", 200.0, 1800.0),
        piece_rooms.check("back", "left-back", (100.0, 600.0, 1100.0), 0.5, key="old"),
        Gaps("cross back", "back", "left-back", ALONG, (UP,) * 4, (0.0,) * 4, (0.6,) * 4, "A"),
        Along("drain", 0.0, 0.8, "drain", "left-back", 520.0),
        Level("floor", 0.0, 1.0, "floor", "back", 100.0, "left-back", 300.0),
    ]
    return room, [room.exact(one) for one in asked]


NO_GAPS, HALF = (0.0,) * 4, (0.5,) * 4
FURTHER: dict[str, Observed] = {
    "a length": rooms.tape("n", Spot("left", 500.0, "left-back"), Spot("right", 500.0, "back-right")),
    "a diagonal": rooms.tape("n", Spot("right", 600.0, "back-right"), "left-back"),
    "a length to the finished face": rooms.tape("n", "left-back", "back-right", finished=True),
    "a length with the tool in common": replace(rooms.tape("n", "left-back", "back-right"), tool=TAPE),
    "a length with a tool of its own": replace(
        rooms.tape("n", "left-back", "back-right"), tool=Tool("new", 1.0, 1e-3)
    ),
    "the tool over a known length": Known("n", 1000.0, 0.1, 1000.0, tool=TAPE),
    "a gauge": CornerTurn("n", 0.0, 3e-3, "back-right", 400.0, 300.0, UP),
    "a check with a line of its own": Gaps("n", "left", "left-back", ALONG, (UP,) * 4, NO_GAPS, HALF),
    "a plumb check": Gaps("n", "back", "left-back", (400.0,) * 4, ALONG, NO_GAPS, HALF),
    "more of a cross": Gaps("n", "right", "back-right", ALONG, (UP,) * 4, NO_GAPS, HALF, "A"),
    "a cross of its own": Gaps("n", "right", "back-right", ALONG, (UP,) * 4, NO_GAPS, HALF, "B"),
    "a lean": Leaning("n", 0.0, 0.8, "right", 300.0, "back-right", 200.0, 1800.0),
    "a place along": Along("n", 0.0, 0.5, "drain", "back-right", 520.0),
    "a height": Height("n", 0.0, 0.5, "drain"),
    "a level": Level("n", 0.0, 0.5, "floor", "back", 100.0, "back-right", 500.0),
    "a template": Touch(
        "n", ("left", "left", "back", "back", "right"), ((0.0, 0.0),) * 5, UP, (0.4,) * 5, True
    ),
}
TOUCHED = ((700.0, -600.0), (700.0, -150.0), (100.0, -500.0), (1300.0, -500.0), (700.0, -300.0))
AXES = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "back": (0.0, 1.0)}


def walls(scene):
    return [ray_quantity(scene, ray) for ray in RAYS]


def as_foretold(room: KnownRoom, reading: Observed) -> Observed:
    """The reading with the very numbers that are expected of it."""
    if isinstance(reading, Touch):  # a template that lies at the origin, its points on the expected walls
        rays = [Ray(w, *at, *AXES[w], UP) for w, at in zip(reading.walls, TOUCHED, strict=True)]
        reach = room.rays(rays).mean
        points = [(r.x + d * r.dx, r.y + d * r.dy) for r, d in zip(rays, reach, strict=True)]
        return replace(reading, points=tuple(map(tuple, np.array(points).tolist())))
    expected = room.foresee(lambda _scene: (), [reading]).mean.tolist()
    if isinstance(reading, Gaps):
        return replace(reading, read=tuple(expected))
    return replace(reading, value=expected[0])  # type: ignore[call-arg]


@pytest.fixture(scope="module")
def read_so_far() -> tuple[TrueRoom, list[Observed], KnownRoom]:
    room, readings = some_readings()
    return room, readings, know_room(room.plan(), readings)


@pytest.mark.parametrize("reading", FURTHER.values(), ids=FURTHER)
def test_a_room_with_the_reading_is_known_as_was_foretold(read_so_far, reading):
    room, readings, known = read_so_far
    further = as_foretold(known, reading)
    joint = known.foresee(walls, [further])
    k = len(RAYS)
    after = conditioned(joint, slice(k, None), np.array(further.sd) ** 2)
    really = know_room(room.plan(), [*readings, further]).query(walls)
    # Where along a wall deviations are seen may settle a little otherwise.
    assert really.mean == pytest.approx(after.mean[:k], abs=1e-2)
    off = (really.covariance - after.covariance[:k, :k]) / np.outer(after.sd[:k], after.sd[:k])
    assert off == pytest.approx(np.zeros((k, k)), abs=3e-3)


@pytest.mark.parametrize("reading", ["a diagonal", "a gauge", "more of a cross", "a template"])
def test_the_readings_above_do_tell_something_of_the_walls(read_so_far, reading):
    # So that the test above can fail.
    _, _, known = read_so_far
    further = as_foretold(known, FURTHER[reading])
    joint = known.foresee(walls, [further])
    after = conditioned(joint, slice(len(RAYS), None), np.array(further.sd) ** 2)
    assert (joint.sd - after.sd)[: len(RAYS)].max() > 0.1


# Advice


def top(room: KnownRoom, finish: str = "net") -> Stake:
    edges = {side: EdgePlan(side, finish) for side in ("left", "right", "back")}  # type: ignore[arg-type]
    stake = fit_top(room, TopPlan("back", UP, 30, depth=560, **edges)).stake
    assert stake is not None
    return stake


ROOM = piece_rooms.alcove(1300.0, 90.4, 89.7)
WIDTH = Distance("width", 0.0, 0.8, "left-back", "back-right", UP, UP)
FRONT = Distance(
    "front", 0.0, 0.8, Spot("left", 550.0, "left-back"), Spot("right", 550.0, "back-right"), UP, UP
)
DIAGONALS = [
    Distance("diagonal left", 0.0, 0.8, Spot("left", 550.0, "left-back"), "back-right", UP, UP),
    Distance("diagonal right", 0.0, 0.8, Spot("right", 550.0, "back-right"), "left-back", UP, UP),
]
CHECKS = [
    piece_rooms.check("back", "left-back", np.linspace(30, 1270, 14), 0.3),
    piece_rooms.check("left", "left-back", np.linspace(30, 570, 7), 0.3),
    piece_rooms.check("right", "back-right", np.linspace(30, 570, 7), 0.3),
]
LEANS = [
    Leaning(f"lean {wall}", 0.0, 0.5, wall, 300.0, start, 0.0, UP)
    for wall, start in (("left", "left-back"), ("back", "left-back"), ("right", "back-right"))
]


def known(*asked, noise: int | None = None, rough: float = 1.0) -> KnownRoom:
    read = [ROOM.exact(one) for one in asked]
    if noise is not None:
        read = piece_rooms.noisy(ROOM, asked, np.random.default_rng(noise))
    return know_room(ROOM.plan(), read, piece_rooms.WAVES.times(rough))


def again(reading, minutes: float = 1.0, key: str = "again") -> Candidate:
    return Candidate(replace(reading, key=f"{reading.key} {key}"), minutes)


def keys(advice) -> list[str]:
    return [one.candidate.reading.key for one in advice]


def ask(room: KnownRoom, candidates: Sequence[Candidate], most: int = 1, finish: str = "net"):
    return advise(room, {"top": top(room, finish)}, candidates, most, draws=600)


def test_where_only_squareness_is_unknown_a_diagonal_comes_first():
    room = known(WIDTH, *CHECKS, *LEANS)
    candidates = [again(one) for one in (WIDTH, *CHECKS, *LEANS)] + [Candidate(one, 1.0) for one in DIAGONALS]
    advice = ask(room, candidates, most=2)
    assert set(keys(advice)) == {"diagonal left", "diagonal right"}
    assert sum(one.gain for one in advice) > 0.3


@pytest.mark.parametrize("missed", CHECKS, ids=lambda check: check.wall)
def test_a_wall_that_was_never_checked_is_to_be_checked(missed):
    checks = [one for one in CHECKS if one is not missed]
    room = known(WIDTH, FRONT, *DIAGONALS, *checks, *LEANS, rough=2.0)
    candidates = [again(one) for one in (WIDTH, FRONT, *DIAGONALS, *checks, *LEANS)]
    assert keys(ask(room, [*candidates, Candidate(missed, 1.0)])) == [missed.key]


def test_enough_was_read_in_a_room_that_is_known_well():
    surely = [replace(one, deviation=0.05) for one in (WIDTH, FRONT, *DIAGONALS, *LEANS)]
    close = [replace(one, sd=(0.05,) * len(one.sd)) for one in CHECKS]
    room = known(*surely, *close)
    assert ask(room, [again(one) for one in (*surely, *close)], finish="scribed") == ()


def test_nothing_is_advised_where_nothing_hangs_on_it_or_nothing_can_be_read():
    room = known(WIDTH)
    assert advise(room, {}, [again(WIDTH)]) == ()
    assert advise(room, {"top": top(room)}, []) == ()


def test_a_costlier_reading_loses_against_the_same_at_less():
    room = known(WIDTH, *CHECKS, *LEANS)
    dear, cheap = Candidate(replace(DIAGONALS[0], key="dear"), 3.0), Candidate(DIAGONALS[0], 1.0)
    assert keys(ask(room, [dear, cheap])) == keys(ask(room, [cheap, dear])) == ["diagonal left"]


def test_a_reading_that_brings_more_may_still_cost_too_much():
    room = known(WIDTH, *CHECKS, *LEANS)
    rough, better = (replace(DIAGONALS[1], key=f"{sd}", deviation=sd) for sd in (3.0, 0.3))
    assert keys(ask(room, [Candidate(rough, 1.0), Candidate(better, 1.0)])) == ["0.3"]
    assert keys(ask(room, [Candidate(rough, 1.0), Candidate(better, 30.0)])) == ["3.0"]


def test_what_brings_next_to_nothing_is_not_advised():
    room = known(WIDTH, *CHECKS, *LEANS)
    vague = [replace(DIAGONALS[0], deviation=200.0), replace(LEANS[0], key="vague lean", deviation=100.0)]
    assert ask(room, [Candidate(one, 1.0) for one in vague]) == ()


def test_a_reading_is_advised_once():
    room = known(WIDTH, *CHECKS, *LEANS)
    vague = [Candidate(replace(one, deviation=3.0), 1.0) for one in DIAGONALS]
    assert sorted(keys(ask(room, vague, most=4))) == ["diagonal left", "diagonal right"]


def test_it_is_advised_to_read_what_would_let_less_be_left_on():
    # However little is known, enough is left on to cover; but that much nobody likes to plane off.
    room = known(WIDTH, *LEANS)
    stake = top(room, "scribed")
    assert stake.all_well(stake.known).value > 0.95
    (advice,) = ask(room, [Candidate(one, 1.0) for one in (*CHECKS, *DIAGONALS)], finish="scribed")
    assert advice.gains[0].before < 0.9
    assert advice.gain > 0.02


def test_gains_add_up_from_one_advice_to_the_next():
    room = known(WIDTH, *CHECKS, *LEANS)
    first, second = ask(room, [Candidate(one, 1.0) for one in DIAGONALS], most=2)
    assert first.gains[0].after == second.gains[0].before
    assert first.gain >= ENOUGH
    assert second.gain >= ENOUGH


def test_what_changes_by_rounding_only_leaves_every_draw_as_it_was():
    # Else a reading that tells nothing seems to bring or to cost what two sets of draws differ by.
    stake = top(known(WIDTH, FRONT, *DIAGONALS, *CHECKS[1:], *LEANS)).usual()
    joint = stake.known
    scaled = [Joint(joint.mean, joint.covariance * (1 + 1e-7 * k)) for k in range(8)]
    assert np.ptp([stake.all_well(one, 300).value for one in scaled]) < 0.005


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_the_chance_that_was_promised_is_what_the_room_then_has(seed):
    asked = [WIDTH, *CHECKS, *LEANS]
    room = known(*asked, noise=seed)
    candidates = [Candidate(one, 1.0) for one in DIAGONALS]
    advice = advise(room, {"top": top(room)}, candidates, 2, draws=1000)
    taken = [one.candidate.reading for one in advice]
    then = top(known(*asked, *taken, noise=seed)).usual()
    chance = then.all_well(then.known)
    promised = advice[-1].gains[0].after
    assert promised - advice[0].gains[0].before > 0.3
    assert chance.value == pytest.approx(promised, abs=5 * math.hypot(chance.error, 0.015))


# Telling


def slipped() -> tuple[KnownRoom, list[int]]:
    """Two readings of one width that are 8 mm apart, and all else; the rows of the two."""
    asked = [WIDTH, replace(WIDTH, key="width too"), *CHECKS, *LEANS, *DIAGONALS]
    read = [ROOM.exact(one) for one in asked]
    read[1] = replace(read[1], value=read[1].value + 8.0)
    return know_room(ROOM.plan(), read, piece_rooms.WAVES), [0, 1]


def test_reading_it_again_tells_which_of_two_was_wrong():
    room, rows = slipped()
    lean, repeat = again(LEANS[0], 0.1), again(WIDTH, 2.0)
    assert telling(room, rows, [-8.0, 8.0], [lean, repeat]) is repeat


def test_of_those_that_tell_the_cheapest_is_taken():
    room, rows = slipped()
    dear, cheap = again(WIDTH, 2.0), again(WIDTH, 1.0, "too")
    assert telling(room, rows, [-8.0, 8.0], [dear, cheap]) is cheap


def test_a_reading_that_sees_both_alike_tells_nothing():
    room, rows = slipped()
    assert telling(room, rows, [-8.0, 8.0], [again(LEANS[0]), again(CHECKS[1])]) is None


def test_two_slips_that_foretell_the_same_are_not_told_apart():
    room, rows = slipped()
    # Either way the same row, so nothing that can be read differs.
    assert telling(room, [rows[0], rows[0]], [8.0, 8.0], [again(WIDTH)]) is None


def test_one_suspect_or_nothing_to_read_needs_no_telling():
    room, rows = slipped()
    assert telling(room, rows[:1], [8.0], [again(WIDTH)]) is None
    assert telling(room, rows, [-8.0, 8.0], []) is None


def test_a_slip_too_small_to_see_is_not_told_apart():
    room, rows = slipped()
    assert telling(room, rows, [-1.0, 1.0], [again(WIDTH)]) is None

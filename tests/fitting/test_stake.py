"""How likely a piece comes out well: against draws solved by scipy, rooms that are known, and one number."""

import math
from collections.abc import Sequence
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import piece_rooms as rooms
import pytest
from numpy.typing import NDArray
from rooms import drawn
from scipy.optimize import linprog
from test_top_chance import pushed_home, room_and_readings, short_by
from thorough import many
from true_room import TrueRoom

from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.chance import Chance, all_above
from fitting.joint import Joint
from fitting.piece import EdgePlan, reaches
from fitting.placement import AXES, Between, Placed, place
from fitting.site import OLD_HOUSE, CornerTurn, Distance, KnownRoom, Prior, Spot, know_room
from fitting.stake import MOVES, USUAL, Line, Stake
from fitting.top import TopPlan, fit_top

FloatArray = NDArray[np.float64]
UP, DEPTH, WIDTH = rooms.UP, 560.0, 1300.0


def widths(sd: float, *outs: float) -> list[Distance]:
    asked = [Distance("width", 0.0, sd, "left-back", "back-right", UP, UP)]
    for out in outs:
        ends = Spot("left", out, "left-back"), Spot("right", out, "back-right")
        asked.append(Distance(f"width at {out}", 0.0, sd, *ends, UP, UP))
    return asked


def gauges(sd: float = 1.5e-3) -> list[CornerTurn]:
    return [CornerTurn(c, 0.0, sd, c, 500.0, 500.0, UP) for c in ("left-back", "back-right")]


DRAWS = many(8_000, 20_000)
POORLY = [*widths(1.0, 500.0), *gauges(3e-3), rooms.check("back", "left-back", (100, 650, 1200), 0.5)]
WELL = [
    *widths(0.5, 280.0, 550.0),
    *gauges(1e-3),
    rooms.check("back", "left-back", np.linspace(20, 1280, 10), 0.3),
    rooms.check("left", "left-back", np.linspace(20, 560, 6), 0.3),
    rooms.check("right", "back-right", np.linspace(20, 560, 6), 0.3),
]


def net(room: KnownRoom, gap: float, greatest: float = math.inf, turned: Sequence[str] = ()) -> Stake:
    """A top between three walls, cut `gap` short of where they are expected, looked at in 24 places."""
    left, back, right = turned or ("left", "back", "right")
    placed = place(room, back, Between(left, right), None, DEPTH, UP - 30, UP)
    return cut_short(placed, gap, greatest, (left, back, right))


def cut_short(placed: Placed, gap: float, greatest: float, walls: Sequence[str]) -> Stake:
    room, (left, back, right) = placed.room, walls
    half = room.along(back, "back-right", UP).mean[0] - room.along(back, "left-back", UP).mean[0]
    xs, ys = np.linspace(-1, 1, 10) * abs(half) / 2, np.linspace(0, DEPTH, 7)
    lines = {}
    for side, wall, places in (
        ("left", left, [(0.0, y, UP) for y in ys]),
        ("right", right, [(0.0, y, UP) for y in ys]),
        ("back", back, [(x, 0.0, UP) for x in xs]),
    ):
        asked = reaches(side, wall, places)
        lines[side] = Line(tuple(asked), placed.expect(asked) - gap, False, greatest)
    return Stake(placed, lines)


def cut_by(stake: Stake, wider: float) -> Stake:
    return Stake(stake.placed, {name: replace(one, cut=one.cut - wider) for name, one in stake.lines.items()})


# Where it is unsure how uneven the walls are


def test_a_chance_is_the_mean_over_how_uneven_the_walls_may_be():
    """By Gauss and Hermite over the factor's logarithm, the covariance as the square of it; no pose and no
    edge knows of that."""
    room = know_room(rooms.alcove().plan(), POORLY)
    unsure = 0.3
    stake = net(room, 1.5, 3.0)
    nodes, weights = np.polynomial.hermite_e.hermegauss(9)
    wanted = [0.0, 0.0]
    for node, weight in zip(nodes, weights / weights.sum(), strict=True):
        factor = math.exp(unsure * node - unsure**2)
        found = stake.outcome(Joint(stake.known.mean, factor**2 * stake.known.covariance), draws=DRAWS)
        wanted[0] += weight * found.goes_in.value
        wanted[1] += weight * found.all_well.value
    unsure_stake = net(replace(room, unsure=unsure), 1.5, 3.0)
    mixed = unsure_stake.outcome(stake.known, draws=DRAWS)
    assert [mixed.goes_in.value, mixed.all_well.value] == pytest.approx(wanted, abs=0.012)
    sure = stake.outcome(stake.known, draws=DRAWS)
    assert abs(sure.all_well.value - wanted[1]) > 0.012  # else it would make no difference
    assert unsure_stake.all_well(stake.known, draws=DRAWS).value == mixed.all_well.value


# Independent draws, each pose found by scipy


def own_effects(stake: Stake) -> FloatArray:
    """By moving the piece a little and meeting each wall, a straight line through where it was met, anew."""
    frame, room, found = stake.placed.frame, stake.placed.room, []
    for question, answer in zip(stake.questions, stake.known.mean, strict=True):
        normal = np.array(room.axes(question.wall)[1])
        place, way = np.array([question.x, question.y]), np.array(AXES[question.toward])

        def to_room(pose, at, frame=frame):
            turn = frame.heading + pose[0]
            x, y = frame.to_room(pose[2], pose[1])
            spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
            return np.array([x, y]) + spin @ at

        hit = to_room((0, 0, 0), place + answer * way)
        for k in range(3):
            pose = np.eye(3)[k] * 1e-6
            start, on = to_room(pose, place), to_room(pose, place + way)
            found.append(((hit - start) @ normal / ((on - start) @ normal) - answer) / 1e-6)
    return np.array(found).reshape(-1, 3)


def best_pose(effects: FloatArray, clearance: FloatArray, greatest: float = math.inf) -> float:
    """The most that the least clearance can be, or the margin to the greatest too, by scipy."""
    rows = np.column_stack([-effects, np.ones(len(effects))])
    right = clearance
    if math.isfinite(greatest):
        rows = np.vstack([rows, np.column_stack([effects, np.ones(len(effects))])])
        right = np.concatenate([right, greatest - clearance])
    limits = [(-one, one) for one in MOVES]
    found = linprog([0, 0, 0, -1], rows, right, bounds=[*limits, (None, None)])
    assert found.status == 0
    return float(found.x[3])


def where_it_lies(stake: Stake, reach: FloatArray, effects: FloatArray) -> FloatArray:
    """Clearances of the piece laid into its room as well as can be, by least squares, and not into the frame.

    From there it may be moved by `MOVES`.
    """
    off = reach - stake.known.mean
    motion = np.linalg.lstsq(effects, -off, rcond=None)[0]
    cut = np.concatenate([line.cut for line in stake.lines.values()])
    clearance: FloatArray = reach + effects @ motion - cut
    return clearance


def near(chance: Chance, share: float, count: int) -> bool:
    error = math.hypot(chance.error, math.sqrt(max(share * (1 - share), 1 / count) / count))
    return abs(chance.value - share) <= 3 * error


@pytest.fixture(scope="module")
def poorly() -> KnownRoom:
    room = rooms.alcove(WIDTH, 90.3, 89.8)
    return know_room(room.plan(), [room.exact(one) for one in POORLY])


@pytest.fixture(scope="module")
def solved(poorly) -> tuple[Stake, FloatArray, FloatArray, FloatArray]:
    stake = net(poorly, 1.2, 4.0)
    effects, joint, random = own_effects(stake), stake.known, np.random.default_rng(11)
    reach = random.multivariate_normal(joint.mean, joint.covariance, 150, method="eigh")
    laid = [where_it_lies(stake, one, effects) for one in reach]
    goes = np.array([best_pose(effects, one) >= 0 for one in laid])
    close = np.array([best_pose(effects, one, 4.0) >= 0 for one in laid])
    drawn_rooms = reach - np.concatenate([line.cut for line in stake.lines.values()])
    return stake, drawn_rooms, goes, close


def test_it_goes_in_and_is_close_as_often_as_in_rooms_drawn_by_numpy_and_solved_by_scipy(solved):
    stake, _, goes, close = solved
    outcome = stake.outcome(stake.known, draws=2000)
    assert 0.2 < close.mean() < goes.mean() < 0.95
    assert near(outcome.goes_in, goes.mean(), goes.size)
    assert near(outcome.close, close.mean(), close.size)
    assert outcome.all_well == outcome.close
    assert outcome.covers is None


def test_held_where_it_was_expected_it_would_go_in_far_more_seldom(solved):
    _, drawn_rooms, goes, _ = solved
    held = (drawn_rooms >= 0).all(axis=1)
    assert not (held & ~goes).any()
    assert held.mean() < goes.mean() - 0.3


def test_of_all_that_is_asked_of_it_the_chance_alone_is_the_same(solved):
    stake, *_ = solved
    assert stake.all_well(stake.known) == stake.outcome(stake.known).all_well


def test_each_edge_comes_out_well_at_least_as_often_as_all(solved):
    stake, *_ = solved
    outcome = stake.outcome(stake.known)
    assert set(outcome.by_edge) == {"left", "right", "back"}
    assert min(one.value for one in outcome.by_edge.values()) >= outcome.all_well.value


def test_what_a_piece_feels_is_not_where_its_frame_is(solved):
    stake, *_ = solved
    assert stake.felt() @ own_effects(stake) == pytest.approx(np.zeros((24, 3)), abs=0.02)
    assert np.abs(own_effects(stake)).max() > 500.0


# Rounding


def test_the_coarser_the_rule_the_more_seldom_it_goes_in(poorly):
    stake = net(poorly, 1.6)
    fine, half, coarse = (
        stake.outcome(stake.known, rounding=25.4 * inch, draws=4000).goes_in.value
        for inch in (0.0, 1 / 32, 1 / 16)
    )
    assert fine - half > 0.005
    assert half - coarse > 0.01


def one_place_a_side(stake: Stake) -> Stake:
    lines = {k: replace(one, questions=one.questions[:1], cut=one.cut[:1]) for k, one in stake.lines.items()}
    return Stake(stake.placed, lines)


def test_rounding_is_up_to_half_a_graduation_either_way():
    """Known exactly, cut 0.2 mm short at each of both ends, by a rule of 1 mm: the sum of two uniform errors
    of 1/2 mm must not be above 0.4; 1 - (1 - 0.4)^2 / 2 by hand."""
    stake = one_place_a_side(between_planes(1500.0 - 0.4, 1e-4))
    chance = stake.outcome(stake.known, rounding=1.0, draws=4000).goes_in
    assert chance.value == pytest.approx(1 - 0.6**2 / 2, abs=4 * math.sqrt(0.82 * 0.18 / 4000))


# Wider gaps


@pytest.mark.parametrize("confidence", [0.9, 0.98])
def test_wider_by_what_it_says_it_goes_in_at_the_confidence(poorly, confidence):
    stake = net(poorly, 0.0)
    wider = stake.wider(stake.known, confidence)
    then = cut_by(stake, wider)
    assert then.outcome(then.known).goes_in.value >= confidence
    other = then.outcome(then.known, draws=4000, seed=5).goes_in
    assert other.value == pytest.approx(confidence, abs=4 * math.sqrt(confidence * (1 - confidence) / 1000))
    less = cut_by(stake, wider - 0.3)
    assert less.outcome(less.known).goes_in.value < confidence


def test_where_it_goes_in_surely_nothing_need_be_wider(poorly):
    stake = net(poorly, 30.0)
    assert stake.wider(stake.known, 0.99) == 0.0


# One number: a cabinet between two planes


def between_planes(width: float, sd: float, left: float = 90.0, right: float = 90.0) -> Stake:
    """The corners' angles (degrees) are known exactly, the width between them to `sd`."""
    planes = Prior(tilt_sd=1e-9, waves=(), ripple=None, build_up=None)
    room = rooms.alcove(1500.0, left, right)
    asked = [*widths(sd)[:1], *gauges(1e-9)]
    known = know_room(room.plan(), [room.exact(one) for one in asked], planes)
    stake = fit_cabinet(known, CabinetPlan("back", width, 550, 100, 800, "left", "right")).stake
    assert stake is not None
    return stake


@pytest.mark.parametrize("spare", [-1.5, -0.5, 0.0, 1.0, 2.0])
def test_a_cabinet_goes_in_where_the_width_between_the_planes_is_enough(spare):
    stake = between_planes(1500.0 - 0.8 * spare, 0.8)
    chance = stake.outcome(stake.known, draws=2000).goes_in
    wanted = NormalDist().cdf(spare)
    assert abs(chance.value - wanted) <= 4 * math.sqrt(wanted * (1 - wanted) / 2000)


@pytest.mark.parametrize("spare", [-0.5, 1.0])
@pytest.mark.parametrize(("left", "right"), [(90.3, 90.1), (90.5, 89.8), (90.02, 90.03)])
def test_a_width_is_no_surer_because_the_walls_flare(left, right, spare):
    """Pulled forward by the 10 mm that it may be, it gains what the walls open up by over 10 mm."""
    opens = math.tan(math.radians(left - 90)) + math.tan(math.radians(right - 90))
    narrowest = 1500.0 + min(0.0, 550.0 * opens) + 10.0 * abs(opens)
    stake = between_planes(narrowest - 0.8 * spare, 0.8, left, right)
    chance = stake.outcome(stake.known, draws=2000).goes_in
    assert chance.value == pytest.approx(NormalDist().cdf(spare), abs=0.06)


# The same room seen otherwise


def test_a_mirrored_room_gives_the_same_chances(poorly):
    room = rooms.alcove(WIDTH, 90.3, 89.8)
    image = know_room(room.mirrored(0.0).plan(), poorly.readings)
    one, other = net(poorly, 1.2, 4.0), net(image, 1.2, 4.0, ("right", "back", "left"))
    for name in ("goes_in", "close"):
        a, b = (getattr(stake.outcome(stake.known, draws=2000), name) for stake in (one, other))
        assert abs(a.value - b.value) <= 3 * math.hypot(a.error, b.error)


@pytest.mark.parametrize("back", ["left", "right"])
def test_measured_from_another_wall_the_chances_are_the_same(poorly, back):
    room = rooms.alcove(WIDTH, 90.3, 89.8)
    turned = room.seen_from(back, room.corner("left-back" if back == "left" else "back-right", 0.0)[:2])
    assert turned.plan().back == back
    one, other = net(poorly, 1.2, 4.0), net(know_room(turned.plan(), poorly.readings), 1.2, 4.0)
    for name in ("goes_in", "close"):
        a, b = (getattr(stake.outcome(stake.known, draws=2000), name) for stake in (one, other))
        assert a.value == pytest.approx(b.value, abs=0.02)


# Scribed edges

SCRIBED = {side: EdgePlan(side, "scribed", saw=0.0) for side in ("left", "back")}


@pytest.mark.parametrize("confidence", [0.6, 0.8, 0.95])
def test_a_blank_covers_as_often_as_measured(confidence):
    """`Placed.measure` counts what the piece stands further out as an error of no known sign; the draws
    know its sign. That is a few hundredths."""
    _, known = room_and_readings(3, 1500.0)
    plan = TopPlan("back", UP, 30, depth=560, width=900, confidence=confidence, **SCRIBED)
    stake = fit_top(known, plan).stake
    outcome = stake.outcome(stake.known, draws=2000)
    covers = outcome.covers
    assert outcome.all_well == covers
    assert outcome.goes_in is outcome.close is None
    lines = stake.lines.values()
    asked = stake.placed.measure([one for line in lines for one in line.questions])
    left_on = replace(asked, mean=np.concatenate([line.cut for line in lines]) - asked.mean)
    measured = all_above(left_on)
    assert covers.value == pytest.approx(
        measured.value, abs=0.03 + 3 * math.hypot(covers.error, measured.error)
    )
    assert measured.value < 0.995


def test_blanks_cover_true_walls_as_often_as_foretold():
    plan = TopPlan("back", UP, 30, depth=560, width=900, confidence=0.5, **SCRIBED)
    chances, covered = [], []
    for seed in range(200, 210):
        room, known = room_and_readings(seed, 1500.0)
        top = fit_top(known, plan)
        chances.append(top.stake.outcome(top.stake.known).covers.value)
        covered.append((short_by(room, top, pushed_home(room, top, False)) <= 0).all())
    chance = np.array(chances)
    assert abs(np.sum(covered) - chance.sum()) <= 3 * math.sqrt((chance * (1 - chance)).sum())
    assert 0.2 < chance.mean() < 0.95


def test_scribed_and_net_edges_together(poorly):
    edges = {side: EdgePlan(side, "net", 1.0) for side in ("left", "right")}
    plan = TopPlan(
        "back", UP, 30, back=EdgePlan("back", "scribed", saw=0.0), depth=560, confidence=0.8, **edges
    )
    stake = fit_top(poorly, plan).stake
    outcome = stake.outcome(stake.known)
    assert outcome.goes_in.value >= outcome.close.value >= outcome.all_well.value
    assert outcome.covers.value > 0.5
    assert outcome.covers.value >= outcome.all_well.value
    assert outcome.all_well.value >= outcome.close.value + outcome.covers.value - 1
    seats = stake.placed.seating.used.size
    pushed = {side: np.abs(stake.carry()[part, :seats]).max() for side, part in stake.parts()}
    assert (pushed["left"], pushed["right"]) == (0.0, 0.0)  # only what is scribed is pushed home
    assert pushed["back"] > 0.1
    alone = Stake(stake.placed, {side: stake.lines[side] for side in ("left", "right")})
    without_back = alone.outcome(alone.known)
    assert without_back.covers is None
    assert without_back.goes_in.value == pytest.approx(outcome.goes_in.value, abs=0.06)


def test_lines_are_cut_as_the_outline_says():
    _, known = room_and_readings(5, 1500.0)
    edges = {"left": EdgePlan("left", "net", 1.6), "back": EdgePlan("back", "scribed")}
    top = fit_top(known, TopPlan("back", UP, 30, depth=560, width=900, **edges))
    left, back = (top.outline.edges[side] for side in ("left", "back"))
    lines = top.stake.lines
    assert left.reach - lines["left"].cut == pytest.approx(np.full(left.reach.size, left.gap))
    assert left.gap >= 1.6 - 1e-9
    assert (lines["left"].scribed, lines["left"].greatest, lines["left"].unknown) == (False, 25.4 / 8, 0.0)
    assert lines["back"].cut == pytest.approx(np.full(back.stations.size, back.blank))
    assert lines["back"].scribed
    assert lines["back"].unknown == back.allowance.unknown > 0


def test_a_frame_that_is_not_well_known_moves_no_scribed_edge():
    _, known = room_and_readings(4, 1500.0)
    plan = TopPlan("back", UP, 30, depth=560, width=900, **SCRIBED)
    stake = fit_top(known, plan).stake
    moved = stake.placed.effects(stake.questions, stake.known.mean)
    # Turned about its own corner; what an edge is cut at, not what is reached, says how far it swings.
    assert np.abs(stake.felt() @ moved).max() < 1e-4 * np.abs(moved).max()


@pytest.mark.parametrize(("unknown", "less"), [(10.0, 10.0 - USUAL), (USUAL, 0.0), (1.0, 0.0)])
def test_no_more_is_left_on_than_usual(poorly, unknown, less):
    stake = net(poorly, 0.0)
    scribed = {name: replace(one, scribed=True, unknown=unknown) for name, one in stake.lines.items()}
    usual = Stake(stake.placed, scribed).usual()
    for name, line in usual.lines.items():
        assert line.cut == pytest.approx(scribed[name].cut - less)
        assert line.unknown == min(unknown, USUAL)


# Reliability: rooms drawn from what is expected of rooms

ENDS = {"left": (-math.inf, 0.0), "back": (0.0, WIDTH), "right": (0.0, math.inf)}
TRIES = 75


def drawn_room(random: np.random.Generator) -> TrueRoom:
    left, right = 90 + np.degrees(random.normal(0, OLD_HOUSE.square_sd, 2))
    room = rooms.alcove(WIDTH, left, right)
    for wall, ends in ENDS.items():
        bump = drawn(OLD_HOUSE, random, 25, ends)
        room = room.changed(wall, tilt=random.normal(0, OLD_HOUSE.tilt_sd), bump=bump)
    return room


def truly_goes_in(room: TrueRoom, stake: Stake) -> bool:
    rays = [stake.placed.ray(one) for one in stake.questions]
    reach = np.array([room.ray(one.wall, one.x, one.y, one.dx, one.dy, one.up) for one in rays])
    effects = own_effects(stake)
    return best_pose(effects, where_it_lies(stake, reach, effects)) >= 0


@pytest.fixture(scope="module")
def tried() -> FloatArray:
    """(2 TRIES, 2): the chance foretold that it goes in, and whether it then does."""
    # All are cut in one frame, whatever room it is: that of a square one, which spares placing each anew.
    square = place(
        rooms.known(rooms.alcove(WIDTH)), "back", Between("left", "right"), None, DEPTH, UP - 30, UP
    )
    found = []
    for asked in (POORLY, WELL):
        for seed in range(TRIES):
            random = np.random.default_rng((seed, len(asked)))
            room = drawn_room(random)
            known = know_room(room.plan(), rooms.noisy(room, asked, random))
            placed = replace(square, room=known)
            stake = cut_short(placed, random.uniform(0.0, 2.0), math.inf, ("left", "back", "right"))
            chance = stake.outcome(stake.known, draws=200).goes_in
            found.append((chance.value, truly_goes_in(room, stake)))
    return np.array(found, dtype=float)


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.6), (0.6, 0.9), (0.9, 1.0)])
def test_it_goes_in_as_often_as_was_foretold(tried, low, high):
    chance, happened = tried[(tried[:, 0] >= low) & (tried[:, 0] <= high)].T
    assert chance.size >= 15
    spread = math.sqrt(max((chance * (1 - chance)).sum(), 0.25))
    assert abs(happened.sum() - chance.sum()) <= 3 * spread


def test_the_chances_foretold_tell_rooms_apart(tried):
    # So that the check above can fail: one and the same chance for all would not do.
    chance, happened = tried.T
    score = np.mean((chance - happened) ** 2)
    assert score < 0.8 * happened.mean() * (1 - happened.mean())

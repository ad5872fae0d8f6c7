"""Where an aim puts a piece: against closed forms, scipy's linear programmes, brute force, and a mirror."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import piece_rooms as rooms
import pytest
from rooms import polygon, ripples
from scipy.optimize import linprog
from thorough import many

from fitting.aim import LIMITS, Aimed, AimedSide, Clash, SidePin, best_place
from fitting.errors import BadInput
from fitting.placement import Against, At, Between, Placed, Reach, Spotted, place
from fitting.site import KnownRoom
from fitting.stations import stations

UP = rooms.UP
NEVER = -1e-6
"""mm; a scribe below this would be wood in the wall."""
OTHER = {"left": "right", "right": "left", "back": "back"}


def looked_at(start: float, width: float, depth: float, names: str, walls: dict[str, str] | None = None):
    """The sides of a rectangle from x = start, at its upper face."""
    walls = walls or {}
    ys, xs = stations(0.0, depth), stations(0.0, width)
    at = {
        "left": [(start, y) for y in ys],
        "right": [(start + width, y) for y in ys],
        "back": [(start + x, depth) for x in xs],
    }
    return [
        AimedSide(
            name, tuple(Reach(name, walls.get(name, name), float(x), float(y), UP) for x, y in at[name])
        )
        for name in names.split()
    ]


def in_corner(room: KnownRoom, width: float, depth: float) -> Placed:
    return place(room, "back", Against("left", "left"), (0.0, width), depth, UP - 30.0, UP)


def in_alcove(room: KnownRoom, width: float, depth: float) -> Placed:
    return place(room, "back", Between("left", "right"), (-width / 2, width / 2), depth, UP - 30.0, UP)


def random_corner(random: np.random.Generator, waves: float = 3.0) -> KnownRoom:
    """A corner out of square by up to 2 degrees, whose walls were checked and found uneven."""
    room = rooms.corner(90.0 + random.uniform(-2.0, 2.0), 2200.0)
    seeds = random.integers(1_000_000, size=2)
    room = rooms.bumpy(room, left=ripples(int(seeds[0]), waves), back=ripples(int(seeds[1]), waves))
    checks = [
        rooms.check("left", "left-back", np.linspace(30.0, 700.0, 5), 0.3),
        rooms.check("back", "left-back", np.linspace(30.0, 1600.0, 7), 0.3),
    ]
    return rooms.known(room, rooms.WAVES, checks)


# By hand


@pytest.mark.parametrize(
    ("width", "depth", "off", "turn", "deepest", "unturned"),
    [
        (1500.0, 600.0, 1.0, 0.285723, 7.480277, 10.47304),
        (900.0, 530.0, 0.5, None, 2.910938, 4.62524),
        (1500.0, 600.0, 2.0, None, 14.962321, 20.95246),
    ],
)
def test_a_balanced_scribe_in_a_corner_out_of_square(width, depth, off, turn, deepest, unturned):
    """Side scribe D tan(off - turn), back scribe W tan(turn): least where they are equal (closed form)."""
    box = in_corner(rooms.known(rooms.corner(90.0 + off)), width, depth)
    sides = looked_at(0.0, width, depth, "left back")
    stays, balanced = best_place(box, sides, "stay"), best_place(box, sides, "balanced")
    assert max(stays.deepest.values()) == pytest.approx(unturned, abs=2e-5)
    assert stays.placed.off_seat == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)
    assert balanced.deepest["left"] == pytest.approx(deepest, abs=2e-6)
    assert balanced.deepest["back"] == pytest.approx(deepest, abs=2e-6)
    if turn is not None:
        assert math.degrees(-balanced.placed.off_seat[0]) == pytest.approx(turn, abs=1e-6)


def test_least_scribe_turns_where_the_shorter_edge_saves_more():
    """1500 x 600, off by 1 degree: a turn costs 1500 behind and saves 600 at the side; it stays unturned, and
    the sum is 600 tan 1 degree. 400 x 600: turned all the way, and the sum is 400 tan 1 degree."""
    known = rooms.known(rooms.corner(91.0))
    for width, depth, shorter in ((1500.0, 600.0, 600.0), (400.0, 600.0, 400.0)):
        found = best_place(
            in_corner(known, width, depth), looked_at(0.0, width, depth, "left back"), "least scribe"
        )
        assert sum(found.deepest.values()) == pytest.approx(shorter * math.tan(math.radians(1.0)), abs=1e-5)


def test_a_pin_is_kept_at_its_narrowest_and_least_else_is_changed():
    box = in_corner(rooms.known(rooms.corner(91.0)), 900.0, 500.0)
    sides = looked_at(0.0, 900.0, 500.0, "left back")
    pins = [SidePin("left", "at least", 12.0), SidePin("back", "exactly", 5.0)]
    found = best_place(box, sides, "stay", pins)
    assert found.nearest == pytest.approx({"left": 12.0, "back": 5.0}, abs=1e-5)
    turn, right, back = found.placed.off_seat
    # Brought forward by 5 along a wall that opens by 1 degree, its side is 5 tan 1 degree further off.
    assert (turn, back) == pytest.approx((0.0, -5.0), abs=1e-5)
    assert right == pytest.approx(12.0 - 5.0 * math.tan(math.radians(1.0)), abs=1e-4)


def test_at_most_is_kept_by_the_nearest_place_alone():
    """70 to share between both ends, the left at most 10: not moved further than that."""
    box = in_alcove(rooms.known(rooms.alcove(1570.0)), 1500.0, 500.0)
    sides = looked_at(-750.0, 1500.0, 500.0, "left right back")
    found = best_place(box, sides, "stay", [SidePin("left", "at most", 10.0)])
    assert found.nearest == pytest.approx({"left": 10.0, "right": 60.0, "back": 0.0}, abs=1e-5)


def test_pushes_come_in_their_order():
    """A corner of 89 degrees: pushed back first, the box touches the left wall with its front corner; pushed
    left first it lies along the left wall and touches the back with one corner."""
    known = rooms.known(rooms.corner(89.0))
    box, sides = in_corner(known, 900.0, 500.0), looked_at(0.0, 900.0, 500.0, "left back")
    for pushes in (("back", "left"), ("left", "back")):
        found = best_place(box, sides, "balanced", pushes=pushes)
        assert found.nearest == pytest.approx({"left": 0.0, "back": 0.0}, abs=1e-5)


def test_even_ends_are_alike_in_an_alcove_that_runs_askew():
    """Left and right wall both lean over to the right by 1 degree: turned by it the gaps are all alike."""
    known = rooms.known(rooms.alcove(1600.0, 91.0, 89.0))
    box, sides = in_alcove(known, 1500.0, 500.0), looked_at(-750.0, 1500.0, 500.0, "left right back")
    found = best_place(box, sides, "even ends")
    every = np.concatenate([found.gaps["left"], found.gaps["right"]])
    assert float(np.ptp(every)) == pytest.approx(0.0, abs=1e-5)
    assert abs(found.placed.off_seat[0]) == pytest.approx(math.radians(1.0), abs=1e-6)
    held = best_place(box, sides, "even ends", limits=(0.0, 0.0, 3000.0))
    assert held.placed.off_seat[0] == 0.0
    # Not turned, both walls run off by 500 tan 1 degree, in different places: their spread is that.
    spread = float(np.ptp(np.concatenate([held.gaps["left"], held.gaps["right"]])))
    assert spread == pytest.approx(500.0 * math.tan(math.radians(1.0)), abs=1e-5)


def test_a_side_of_no_weight_is_not_hit_and_counts_for_nothing():
    box = in_corner(rooms.known(rooms.corner(91.0)), 1500.0, 600.0)
    left, back = looked_at(0.0, 1500.0, 600.0, "left back")
    found = best_place(box, [left, replace(back, weight=0.0)], "balanced")
    assert found.deepest["left"] == pytest.approx(0.0, abs=1e-5)
    assert found.deepest["back"] == pytest.approx(1500.0 * math.tan(math.radians(1.0)), abs=1e-3)
    assert found.nearest["back"] >= NEVER


# Pins that clash


def test_pins_that_clash_are_named_with_what_mends_them():
    """84 mm to share along the wall; 50 and 40 are 6 too many. A pin at the back is no part of it."""
    box = in_alcove(rooms.known(rooms.alcove(1584.0)), 1500.0, 500.0)
    sides = looked_at(-750.0, 1500.0, 500.0, "left right back")
    wide, wider, behind = (
        SidePin("left", "at least", 50.0),
        SidePin("right", "exactly", 40.0),
        SidePin("back", "at least", 2.0),
    )
    for pins in ([wide, wider, behind], [behind, wider, wide]):
        found = best_place(box, sides, "balanced", pins, limits=(0.0, 20.0, 3000.0))
        assert isinstance(found, Clash)
        assert set(found.pins) == {wide, wider}
        assert {one.pin: one.by for one in found.mends} == pytest.approx({wide: 6.0, wider: 6.0}, abs=1e-5)
        assert found.least.by == pytest.approx(6.0, abs=1e-5)
    assert isinstance(best_place(box, sides, "balanced", [wide, behind]), Aimed)


def test_pins_at_one_side_clash_among_themselves():
    box = in_corner(rooms.known(rooms.corner(90.0)), 900.0, 500.0)
    pins = [SidePin("left", "at least", 9.0), SidePin("left", "at most", 4.0)]
    found = best_place(box, looked_at(0.0, 900.0, 500.0, "left back"), "stay", pins)
    assert found.pins == tuple(pins)
    assert [one.by for one in found.mends] == pytest.approx([5.0, 5.0], abs=1e-5)


def test_a_piece_too_wide_clashes_with_the_walls_alone():
    box = in_alcove(rooms.known(rooms.alcove(1490.0)), 1500.0, 500.0)
    found = best_place(box, looked_at(-750.0, 1500.0, 500.0, "left right"), "balanced")
    assert found == Clash((), ())
    assert found.least is None


# Against scipy


def programme_of(found: Aimed, what: str) -> float:
    """The last programme once more, by scipy: unknowns turn, back, right, then the greatest gap of each side,
    the greatest and the least gap of all."""
    p = found.programme
    k, sides = len(p.side), int(p.side.max()) + 1
    width = 3 + sides + 2
    scale = np.array([1000.0, 1.0, 1.0])  # a turn in mm over 1 m
    gap = np.hstack([p.effects / scale, np.zeros((k, width - 3))])
    rows, right = [-gap], [p.clearance]
    each = np.zeros((k, width))
    each[np.arange(k), 3 + p.side] = -1.0
    greatest, least = np.zeros((k, width)), np.zeros((k, width))
    greatest[:, -2], least[:, -1] = -1.0, 1.0
    rows += [gap + each, gap + greatest, least - gap]
    right += [-p.clearance, -p.clearance, p.clearance]
    cost = np.zeros(width)
    if what == "balanced":
        cost[-2] = 1.0
    elif what == "least scribe":
        cost[3 : 3 + sides] = 1.0
    else:
        cost[-2], cost[-1] = 1.0, -1.0
    bounds = [(-a * b, a * b) for a, b in zip(p.limits, scale, strict=True)] + [(None, None)] * (sides + 2)
    options = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
    solved = linprog(cost, np.vstack(rows), np.concatenate(right), bounds=bounds, options=options)
    assert solved.status == 0
    return float(solved.fun)


@pytest.mark.parametrize("what", ["balanced", "least scribe"])
def test_the_last_programme_is_scipys_in_corners(what):
    """Random corners for each aim, uneven walls, any size; equal to 1e-6 mm, and no scribe below 0."""
    random = np.random.default_rng({"balanced": 1, "least scribe": 2}[what])
    for _ in range(many(40, 250)):
        width, depth = random.uniform(500.0, 1500.0), random.uniform(300.0, 650.0)
        found = best_place(
            in_corner(random_corner(random), width, depth), looked_at(0.0, width, depth, "left back"), what
        )
        assert found.programme.least == pytest.approx(programme_of(found, what), abs=1e-6)
        here = {"balanced": max, "least scribe": sum}[what](found.deepest.values())
        assert here == pytest.approx(found.programme.least, abs=1e-6)
        assert min(found.nearest.values()) >= NEVER


def test_the_last_programme_is_scipys_between_walls():
    """Random alcoves: even ends, both walls askew."""
    random = np.random.default_rng(3)
    for _ in range(many(15, 60)):
        known = rooms.known(rooms.alcove(1600.0, 90 + random.uniform(-1, 1), 90 + random.uniform(-1, 1)))
        width = random.uniform(1400.0, 1550.0)
        sides = looked_at(-width / 2, width, 500.0, "left right")
        found = best_place(in_alcove(known, width, 500.0), sides, "even ends")
        assert found.programme.least == pytest.approx(programme_of(found, "even ends"), abs=1e-6)
        assert min(found.nearest.values()) >= NEVER


# Against brute force


def deepest_when_turned(room, turn: float, width: float, depth: float) -> float:
    """Turn a rectangle by hand, push it back and left to touch: for a given turn that is its best, as each
    push lowers the gaps of one side and changes those of the other by its slope only."""
    left, back = room
    cos, sin = math.cos(turn), math.sin(turn)
    xs, ys = stations(0.0, width), stations(0.0, depth)

    def gaps(x: float, y: float) -> tuple[np.ndarray, np.ndarray]:
        """Along the piece's own axes, from places of its back and left side to straight walls."""
        bx, by = x + cos * xs - sin * depth, y + sin * xs + cos * depth
        lx, ly = x - sin * ys, y + cos * ys
        (px, py), (nx, ny) = back
        behind = -((bx - px) * nx + (by - py) * ny) / (-sin * nx + cos * ny)
        (px, py), (nx, ny) = left
        beside = -((lx - px) * nx + (ly - py) * ny) / (-cos * nx - sin * ny)
        return behind, beside

    x = y = 0.0
    for _ in range(many(30, 60)):
        behind, _ = gaps(x, y)
        x, y = x - sin * behind.min(), y + cos * behind.min()
        _, beside = gaps(x, y)
        x, y = x - cos * beside.min(), y - sin * beside.min()
    behind, beside = gaps(x, y)
    return float(max(behind.max(), beside.max()))


def test_no_turn_does_better_by_brute_force():
    """Corners: every turn within 3 degrees, finer and finer, pushed home; to 0.05 mm."""
    random = np.random.default_rng(4)
    for _ in range(many(15, 50)):
        off = random.uniform(-2.0, 2.0)
        width, depth = random.uniform(500.0, 1500.0), random.uniform(300.0, 650.0)
        known = rooms.known(rooms.corner(90.0 + off))
        found = best_place(
            in_corner(known, width, depth), looked_at(0.0, width, depth, "left back"), "balanced"
        )
        run = -math.tan(math.radians(off))
        normal = np.array([1.0, -run]) / math.hypot(1.0, run)
        room = ((0.0, 0.0), (float(normal[0]), float(normal[1]))), ((0.0, 0.0), (0.0, -1.0))
        middle, reach = 0.0, math.radians(3.0)
        for _ in range(6):
            turns = np.linspace(middle - reach, middle + reach, 25)
            tried = [deepest_when_turned(room, float(one), width, depth) for one in turns]
            middle, reach = float(turns[int(np.argmin(tried))]), reach / 8
        assert max(found.deepest.values()) == pytest.approx(min(tried), abs=0.05)


def test_no_shift_or_turn_near_by_does_better_on_uneven_walls():
    """Uneven corners: gaps asked anew at a grid of shifts and turns about the place found, to 0.05 mm."""
    random = np.random.default_rng(5)
    for _ in range(many(15, 50)):
        known = random_corner(random)
        width, depth = random.uniform(500.0, 1500.0), random.uniform(300.0, 650.0)
        sides = looked_at(0.0, width, depth, "left back")
        found = best_place(in_corner(known, width, depth), sides, "balanced")
        best = max(found.deepest.values())
        questions = [one for side in sides for one in side.questions]
        for turn in np.array([-3.0, -0.5, -0.1, 0.1, 0.5, 3.0]) / 1000:
            turned = found.placed.moved(float(turn), 0.0, 0.0)
            gaps = turned.expect(questions)
            count = len(sides[0].questions)
            # Any place at that turn must clear both sides; near by, gaps of a side change alike.
            left, back = gaps[:count], gaps[count:]
            assert max(float(np.ptp(left)), float(np.ptp(back))) >= best - 0.05
        for right, back in ((2.0, 0.0), (0.0, -2.0), (1.0, -1.0)):
            gaps = found.placed.moved(0.0, right, back).expect(questions)
            assert gaps.max() >= best - 0.05 or gaps.min() < NEVER


# Symmetry


@pytest.mark.parametrize("what", ["stay", "balanced", "least scribe", "even ends"])
def test_a_symmetric_room_gives_a_symmetric_place(what):
    for opens in (89.0, 90.0, 91.5):
        known = rooms.known(rooms.alcove(1600.0, opens, opens))
        width = 1480.0
        found = best_place(
            in_alcove(known, width, 500.0), looked_at(-width / 2, width, 500.0, "left right back"), what
        )
        if what != "least scribe":
            turn, right, _ = found.placed.off_seat
            assert (turn, right) == pytest.approx((0.0, 0.0), abs=1e-6)
            assert found.gaps["left"] == pytest.approx(found.gaps["right"], abs=1e-5)
        else:
            assert found.deepest["left"] == pytest.approx(found.deepest["right"], abs=1e-5)


@pytest.mark.parametrize("what", ["balanced", "least scribe"])
def test_a_mirrored_room_gives_the_mirrored_place(what):
    random = np.random.default_rng(6)
    for _ in range(10):
        a, b, width = *(90 + random.uniform(-1.5, 1.5, 2)), random.uniform(1400.0, 1550.0)
        one, other = rooms.known(rooms.alcove(1600.0, a, b)), rooms.known(rooms.alcove(1600.0, b, a))
        sides = looked_at(-width / 2, width, 500.0, "left right back")
        pins = [SidePin("left", "at least", 6.0)]
        image = [SidePin("right", "at least", 6.0)]
        first = best_place(in_alcove(one, width, 500.0), sides, what, pins)
        second = best_place(in_alcove(other, width, 500.0), sides, what, image)
        for side, deepest in first.deepest.items():
            assert deepest == pytest.approx(second.deepest[OTHER[side]], abs=1e-4)
        turn, right, back = first.placed.off_seat
        assert (-turn, -right, back) == pytest.approx(second.placed.off_seat, abs=1e-4)


def test_a_room_turned_in_its_plan_gives_the_same_place():
    """The same corner, drawn with its back wall at any heading."""
    sides = looked_at(0.0, 1200.0, 600.0, "left back")
    deepest = []
    for turned in (0.0, 0.7, 2.5, -1.9):
        cos, sin = math.cos(turned), math.sin(turned)
        points = [(-17.0, -1000.0), (0.0, 0.0), (1500.0, 0.0)]
        room = polygon(["left", "back"], [(cos * x - sin * y, sin * x + cos * y) for x, y in points], "back")
        found = best_place(in_corner(rooms.known(room), 1200.0, 600.0), sides, "balanced")
        deepest.append([found.deepest["left"], found.deepest["back"], *found.placed.off_seat])
    assert np.ptp(deepest, axis=0) == pytest.approx(0.0, abs=1e-4)


# A piece that is moved


def test_a_moved_piece_looks_from_where_it_stands_and_bears_where_it_is_seated():
    known = random_corner(np.random.default_rng(7))
    seated = in_corner(known, 900.0, 500.0)
    moved = seated.moved(0.004, 7.0, -3.0)
    assert moved.frame.heading == pytest.approx(seated.frame.heading + 0.004)
    assert moved.off_seat == pytest.approx((0.004, 7.0, -3.0), abs=1e-9)
    assert moved.seating.slopes == pytest.approx(seated.seating.slopes, rel=1e-9, abs=1e-12)
    again = moved.moved(0.001, 1.0, 2.0)
    assert again.seat == seated.frame
    # Its places lie elsewhere in the room, and a wall's error moves it as it moves its seat.
    ask = [Reach("left", "left", 0.0, 250.0, UP), Reach("back", "back", 450.0, 500.0, UP)]
    assert moved.measure(ask).mean == pytest.approx(moved.expect(ask), abs=1e-9)
    assert moved.measure(ask).sd == pytest.approx(seated.measure(ask).sd, rel=0.2)


@pytest.mark.parametrize("off", [(0.0, 0.0, 0.0), (0.01, 12.0, -30.0)])
def test_effects_are_the_change_of_answers_by_differences(off):
    """Each small motion made for real; walls are straight here, so the answers change as the effects say."""
    known = rooms.known(rooms.with_mark(rooms.corner(91.3), "drain", "back", 400.0))
    piece = place(known, "back", Against("left", "left"), (0.0, 900.0), 500.0, 0.0, UP)
    if any(off):
        piece = piece.moved(*off)
    ask = [
        Reach("left", "left", 0.0, 50.0, UP),
        Reach("back", "back", 700.0, 300.0, UP),
        Spotted("drain", UP, "x"),
        Spotted("drain", UP, "y"),
    ]
    now = piece.expect(ask)
    effects, step = piece.effects(ask, now), 1e-4
    for column, by in enumerate([(step / 1000, 0.0, 0.0), (0.0, 0.0, step), (0.0, step, 0.0)]):
        back_and_forth = piece.moved(*by).expect(ask) - piece.moved(*(-one for one in by)).expect(ask)
        slope = back_and_forth / (2 * sum(by))
        assert effects[:, column] == pytest.approx(slope, rel=1e-4, abs=1e-4)


# Refusals


def test_what_cannot_be_aimed_is_refused():
    box = in_corner(rooms.known(rooms.corner(90.0)), 900.0, 500.0)
    left, back = looked_at(0.0, 900.0, 500.0, "left back")
    for sides, what, more, words in [
        ([], "stay", {}, "each side once"),
        ([left, left], "stay", {}, "each side once"),
        ([left, replace(back, questions=())], "stay", {}, "back: expected a place"),
        ([replace(left, weight=-1.0)], "stay", {}, "weight of 0 or more"),
        ([replace(left, weight=0.0)], "balanced", {}, "a side that counts"),
        ([left, back], "even ends", {}, "walls at both ends"),
        ([left, back], "stay", {"pins": [SidePin("right", "exactly", 1.0)]}, "pin right"),
        ([left, back], "stay", {"pins": [SidePin("left", "exactly", -1.0)]}, "0 mm or more"),
        ([left, back], "stay", {"pushes": ["right"]}, "push right"),
    ]:
        with pytest.raises(BadInput, match=words):
            best_place(box, sides, what, **more)


def test_a_piece_measured_from_a_mark_can_be_aimed():
    """Nothing at its sides: only its back is looked at, and it stays where the mark puts it."""
    known = rooms.known(rooms.with_mark(rooms.corner(90.0), "m", "back", 300.0))
    box = place(known, "back", At("m", 10.0), (0.0, 600.0), 500.0, UP - 30.0, UP)
    found = best_place(box, looked_at(0.0, 600.0, 500.0, "back"), "balanced")
    assert found.deepest["back"] == pytest.approx(0.0, abs=1e-5)
    assert found.placed.off_seat == pytest.approx((0.0, 0.0, 0.0), abs=1e-6)
    assert LIMITS[0] < 0.1

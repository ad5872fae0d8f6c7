"""The planner against closed forms, against brute force both ways, and its motions checked by themselves."""

from collections import deque
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely import Polygon, box
from shapely.affinity import rotate, translate
from thorough import many

from fitting.errors import BadInput
from fitting.getting_in.passage import longest_round_corner
from fitting.getting_in.passing import Passing, Pose, rectangle, turned
from fitting.getting_in.planner import find_way
from fitting.getting_in.slices import TOUCH, Moving, convex_parts

MIRROR = np.array([-1.0, 1.0])


def deepest(way: Passing, per_step: float = 4.0) -> float:
    """How deep (mm) a motion reaches into a barrier: its poses cut fine, by distance to barriers drawn in."""
    reach = float(np.hypot(*way.shape.T).max())
    barriers = shapely.union_all([Polygon(ring) for ring in way.barriers])
    worst = 0.0
    for a, b in pairwise(way.poses):
        moved = np.hypot(b.x - a.x, b.y - a.y) + reach * abs(b.turn - a.turn)
        for share in np.linspace(0, 1, 2 + int(moved / per_step)):
            x, y, turn = (p + share * (q - p) for p, q in ((a.x, b.x), (a.y, b.y), (a.turn, b.turn)))
            # Not by the poses' own arithmetic.
            there = translate(rotate(Polygon(way.shape), turn, origin=(0, 0), use_radians=True), x, y)
            shared = there.intersection(barriers)
            if shared.area > 0:
                worst = max(worst, float(shared.area / max(shared.length / 2, 1e-9)))
    return worst


def round_the_corner(long, thick, first, second, mirrored=False):
    sign = MIRROR if mirrored else np.ones(2)
    far = 2 * long
    walls = [
        rectangle(-100, -100, 100, second + far),
        rectangle(0, -100, first + far, 100),
        rectangle(first, second, far, far),
    ]
    flip = -1 if mirrored else 1
    within = (-100, -100, first + far - 100, second + far - 100)
    if mirrored:
        within = (-within[2], within[1], -within[0], within[3])
    return find_way(
        rectangle(-long / 2, -thick / 2, long, thick),
        [wall * sign for wall in walls],
        Pose(flip * first / 2, second + long, -flip * np.pi / 2),
        Pose(flip * (first + long), second / 2, 0.0),
        within=within,
    )


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize(
    ("first", "second", "thick"), [(900, 900, 600), (762, 914.4, 20), (914.4, 762, 400), (540, 1280, 200)]
)
def test_a_corner_just_inside_and_just_outside(first, second, thick, mirrored):
    """Against the closed form, whose values are published (see test_passage): 3 mm less or more."""
    longest = longest_round_corner(first, second, thick)
    goes = round_the_corner(longest - 3, thick, first, second, mirrored)
    assert goes.verdict == "goes"
    assert deepest(goes) <= TOUCH
    assert round_the_corner(longest + 3, thick, first, second, mirrored).verdict == "does not go"


def test_so_near_to_its_limit_it_is_too_tight_to_call():
    assert round_the_corner(longest_round_corner(900, 900, 600), 600, 900, 900).verdict == "too tight to call"


def test_a_square_corner_of_a_passage_is_gone_round_with_its_end_on():
    """1300 x 600 round 900 x 900 goes steadily, with the end ahead that came ahead."""
    answer = round_the_corner(1300, 600, 900, 900)
    assert answer.poses[0].turn == pytest.approx(-np.pi / 2)
    assert answer.poses[-1].turn == pytest.approx(0)
    assert all(abs(b.turn - a.turn) < np.pi / 8 for a, b in pairwise(answer.poses))


# --- Brute force: a grid of places and turns, the piece grown (a yes for sure) and drawn in (a no for sure).

STEP, TURNS = 30.0, 60
ROOM = (0.0, 0.0, 1200.0, 900.0)
L_SHAPE = np.array([[-200, -60], [200, -60], [200, 60], [-80, 60], [-80, 180], [-200, 180]], dtype=float)
BAR = rectangle(-210, -50, 420, 100)


def scene(seed):
    """A wall across with a gap, three random barriers, and a start and a goal at either side, 25 mm clear."""
    rng = np.random.default_rng(seed)
    shape = L_SHAPE if seed % 2 else BAR
    gap, low, thick = rng.uniform(5, 300), rng.uniform(100, 500), rng.uniform(40, 200)
    wall = [rectangle(600, -10, thick, low + 10), rectangle(600, low + gap, thick, 910 - low - gap)]
    while True:
        barriers = list(wall)
        for _ in range(3):
            angles = np.sort(rng.uniform(0, 2 * np.pi, 5))
            middle, size = rng.uniform((100, 100), (1100, 800)), rng.uniform(60, 150)
            barriers.append(middle + size * np.column_stack([np.cos(angles), np.sin(angles)]))
        if min(Polygon(ring).area for ring in barriers) < 1000:
            continue
        solid = shapely.union_all([Polygon(ring) for ring in barriers])
        poses = [
            Pose(
                float(rng.integers(*xs) * STEP),
                float(rng.integers(8, 23) * STEP),
                float(rng.integers(TURNS)) * 2 * np.pi / TURNS,
            )
            for xs in ((7, 16), (25, 35))
        ]
        shapes = [Polygon(pose.of(shape)).buffer(25) for pose in poses]
        if all(box(*ROOM).contains(one) and not one.intersects(solid) for one in shapes):
            return shape, barriers, poses[0], poses[1]


def brute(shape, barriers, start, goal, by):
    """Search a grid breadth first with the piece grown by so much; neighbours differ in one coordinate."""
    solid = shapely.union_all([Polygon(ring) for ring in barriers])
    solid = solid.union(box(-2000, -2000, 3000, 3000).difference(box(*ROOM)))
    shapely.prepare(solid)
    xs, ys = np.arange(0, ROOM[2] + 1, STEP), np.arange(0, ROOM[3] + 1, STEP)
    grid = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 1, 2)
    free = np.zeros((len(xs), len(ys), TURNS), dtype=bool)
    grown = np.asarray(Polygon(shape).buffer(by, join_style="mitre").exterior.coords)
    for k in range(TURNS):
        shapes = shapely.polygons(grid + turned(grown, k * 2 * np.pi / TURNS))
        free[..., k] = ~shapely.intersects(solid, shapes).reshape(len(xs), len(ys))

    def node(pose):
        return round(pose.x / STEP), round(pose.y / STEP), round(pose.turn * TURNS / 2 / np.pi) % TURNS

    line, seen = deque([node(start)]), {node(start)}
    while line:
        i, j, k = line.popleft()
        for di, dj, dk in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)):
            near = i + di, j + dj, (k + dk) % TURNS
            if 0 <= near[0] < len(xs) and 0 <= near[1] < len(ys) and near not in seen and free[near]:
                seen.add(near)
                line.append(near)
    return node(goal) in seen


@pytest.mark.parametrize("seed", range(many(6, 24)))
def test_against_brute_force(seed):
    """Half a step moves no point by more than 15 mm (STEP / 2; 270 mm out, half of 6 degrees: 14.1 mm)."""
    shape, barriers, start, goal = scene(seed)
    answer = find_way(shape, barriers, start, goal, within=ROOM)
    if brute(shape, barriers, start, goal, 15.1):
        assert answer.verdict == "goes"
    # Any true motion is within half a step, in all three at once, of a place on the grid.
    if not brute(shape, barriers, start, goal, -36.0):
        assert answer.verdict == "does not go"
    if answer.verdict == "goes":
        assert deepest(answer) <= TOUCH
        everything = shapely.union_all([Polygon(pose.of(shape)) for pose in answer.poses])
        assert box(*ROOM).buffer(TOUCH).covers(everything)


def test_random_scenes_hold_all_kinds():
    """So that the test above is one: there are ways, and there are none."""
    verdicts = {find_way(*scene(seed), within=ROOM).verdict for seed in range(6)}
    assert {"goes", "does not go"} <= verdicts


@pytest.mark.parametrize("seed", range(6))
def test_a_mirrored_scene_has_the_mirrored_answer(seed):
    shape, barriers, start, goal = scene(seed)
    there = find_way(shape, barriers, start, goal, within=ROOM)
    left, bottom, right, top = ROOM
    back = find_way(
        shape * MIRROR,
        [ring * MIRROR for ring in barriers],
        Pose(-start.x, start.y, -start.turn),
        Pose(-goal.x, goal.y, -goal.turn),
        within=(-right, bottom, -left, top),
    )
    assert there.verdict == back.verdict


def test_clearance_is_kept():
    """A bar 100 wide through a door 130 wide: 10 to either side go, 20 not; 20 too wide goes 11 deep in."""
    jambs = [rectangle(-1000, 0, 935, 50), rectangle(65, 0, 935, 50)]
    ends = Pose(0, -400, np.pi / 2), Pose(0, 450, np.pi / 2)
    room = (-1000, -800, 1000, 900)
    assert find_way(rectangle(-300, -50, 600, 100), jambs, *ends, within=room, clearance=10).verdict == "goes"
    assert find_way(rectangle(-300, -50, 600, 100), jambs, *ends, within=room, clearance=20).verdict != "goes"
    wide = rectangle(-300, -75, 600, 150)
    assert find_way(wide, jambs, *ends, within=room).verdict == "does not go"
    assert find_way(wide, jambs, *ends, within=room, clearance=-11).verdict == "goes"


def test_what_touches_at_its_goal_goes():
    floor, wall = rectangle(0, -100, 2000, 100), rectangle(2000, 0, 100, 1000)
    shape = rectangle(0, 0, 300, 500)
    answer = find_way(shape, [floor, wall], Pose(100, 0, 0), Pose(1700, 0, 0), within=(0, -100, 2100, 1000))
    assert (answer.verdict, answer.margin) == ("goes", 0)


def test_turns_may_be_limited():
    """A bar that has to be turned on its end does not go where it may only be tilted by 20 degrees."""
    jambs = [rectangle(-1000, 0, 850, 300), rectangle(150, 0, 850, 300)]
    bar = rectangle(-300, -40, 600, 80)
    ends, room = (Pose(0, -500, 0), Pose(0, 800, 0)), (-1000, -1000, 1000, 1300)
    assert find_way(bar, jambs, *ends, within=room).verdict == "goes"
    assert find_way(bar, jambs, *ends, within=room, turns=(-0.35, 0.35)).verdict == "does not go"


def test_a_start_inside_a_barrier_does_not_go():
    block = rectangle(0, 0, 100, 100)
    assert (
        find_way(rectangle(0, 0, 50, 50), [block], Pose(20, 20, 0), Pose(500, 0, 0)).verdict == "does not go"
    )


@pytest.mark.parametrize("surely", [True, False])
@pytest.mark.parametrize("seed", range(8))
def test_a_slice_is_sound_for_all_of_its_turns(seed, surely):
    """Surely free: no overlap at any turn in it. Blocked for sure: overlap at each turn. By shapely."""
    shape, barriers, _, _ = scene(seed)
    moving = Moving.of(shape, tuple(barriers), ROOM, 0.0)
    rng = np.random.default_rng(seed)
    turn, half = rng.uniform(0, 6), 0.1
    free = shapely.union_all(moving.free(turn, half, surely))
    solid = shapely.union_all([Polygon(ring) for ring in barriers])
    kept = 0
    for place in rng.uniform((0, 0), ROOM[2:], (150, 2)):
        inside = free.covers(shapely.Point(place))
        if inside is surely:
            kept += 1
            for t in np.linspace(turn - half, turn + half, 9):
                there = Polygon(turned(shape - moving.middle, t) + place)
                clear = not there.buffer(-2 * TOUCH).intersects(solid) and box(*ROOM).buffer(
                    2 * TOUCH
                ).covers(there)
                assert clear is surely
    assert kept > 0


def test_convex_parts_keep_the_area():
    parts = convex_parts(L_SHAPE)
    assert sum(Polygon(part).area for part in parts) == pytest.approx(Polygon(L_SHAPE).area)
    assert all(Polygon(part).convex_hull.area == pytest.approx(Polygon(part).area) for part in parts)


@pytest.mark.parametrize(
    ("other", "area"),
    [
        (rectangle(0, 0, 100, 100), 4e4),
        (np.array([[0, 0], [-100, 0], [0, -100]], dtype=float), 3.5e4),
        (turned(rectangle(-50, -50, 100, 100), np.pi / 4), (2 + 2 * np.sqrt(2)) * 1e4),
    ],
)
def test_the_area_of_what_is_blocked(other, area):
    """Square with square, with a right triangle, with a square turned by 45 degrees: 4, 3.5, 2 + 2 sqrt 2."""
    room = (-1000.0, -1000.0, 1000.0, 1000.0)
    moving = Moving.of(other, (rectangle(0, 0, 100, 100),), room, -TOUCH)
    alone = Moving.of(other, (), room, 0.0)
    blocked = alone.free(0.0, 0.0, True)[0].area - sum(part.area for part in moving.free(0.0, 0.0, True))
    assert blocked == pytest.approx(area, abs=2.0)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (
            {"shape": np.array([[0, 0], [1, 1], [1, 0], [0, 1]], dtype=float)},
            "piece: expected a ring that encloses",
        ),
        ({"shape": np.zeros((2, 2))}, "piece: expected 3 corners"),
        (
            {"barriers": [np.array([[0, 0], [9, 9], [9, 0], [0, 9]], dtype=float)]},
            "barrier 1: expected a ring",
        ),
        ({"goal": Pose(np.nan, 0, 0)}, "expected finite poses"),
        ({"turns": (0.5, 1.0)}, "turns: expected a range that holds both"),
    ],
)
def test_what_cannot_be_is_refused(change, expected):
    given = {"shape": BAR, "barriers": [], "start": Pose(0, 0, 0), "goal": Pose(9, 9, 0)} | change
    with pytest.raises(BadInput, match=expected):
        find_way(**given)

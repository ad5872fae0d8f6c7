"""Rooms made of exact readings come back; uncertain ones know how uncertain they are."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
import rooms
from rooms import every_reading, tape
from scipy.stats import chi2
from thorough import many
from true_room import Mark, Reading, TrueRoom

from fitting.joint import Joint
from fitting.site import (
    OLD_HOUSE,
    Along,
    CornerTurn,
    Covering,
    Distance,
    Gaps,
    KnownRoom,
    Leaning,
    Ray,
    Spot,
    Touch,
    know_room,
)
from fitting.site.known import ray_quantity
from fitting.site.readings import corner_turn

INCH = 25.4
PLANES = replace(OLD_HOUSE, waves=(), build_up=None)
FREE = replace(OLD_HOUSE, square_sd=0.2)
"""With this the prior says nothing of corners, whichever wall is called the back."""


def ask(room: KnownRoom, *tapes: Distance) -> Joint:
    """Distances nobody read; keys and values do not matter."""
    return room.query(lambda scene: [one for t in tapes for one in t.observe(scene)])


# Exact readings give the room back


@pytest.mark.parametrize("name", rooms.ZOO)
def test_exact_readings_give_the_room_back(name):
    room = rooms.ZOO[name]().planes()
    known = know_room(room.plan(), every_reading(room), PLANES)
    names = known.unknowns.names
    lengths = np.array([one.startswith(("place", "height", "thickness")) for one in names])
    wrong = known.adjustment.state - room.truth(names)
    assert np.abs(wrong[lengths]).max(initial=0.0) < 1e-3
    assert np.abs(wrong[~lengths]).max() < 1e-6


@pytest.mark.parametrize("name", ["alcove", "L-shaped", "closed", "chimney breast"])
def test_corners_and_rays_come_out_where_they_are(name):
    room = rooms.ZOO[name]().planes()
    known = know_room(room.plan(), every_reading(room), PLANES)
    for corner in room.corners:
        for up in (100.0, 1900.0):
            assert known.point(corner.name, up).mean == pytest.approx(
                room.corner(corner.name, up)[:2], abs=2e-3
            )
        turn = known.corner_turn(corner.name, 500.0, 850.0).mean[0]
        assert turn == pytest.approx(room.turn(corner.name, 500.0, 500.0, 850.0), abs=2e-6)
    rays = [
        Ray(wall.name, 500.0, -330.0, math.cos(wall.heading + 1.2), math.sin(wall.heading + 1.2), 700.0)
        for wall in room.walls
    ]
    true = [room.ray(r.wall, r.x, r.y, r.dx, r.dy, r.up) for r in rays]
    assert known.rays(rays).mean == pytest.approx(true, abs=3e-3)


def test_a_template_knows_an_alcove_that_it_touches_six_times():
    room = rooms.out_of_square().planes()
    points = (
        (-290.0, 400.0),
        (-290.0, -200.0),
        (20.0, 430.0),
        (900.0, 430.0),
        (1200.0, 300.0),
        (1150.0, -200.0),
    )
    walls = ("left", "left", "back", "back", "right", "right")
    known = know_room(room.plan(), [room.exact(Touch("t", walls, points, 850.0, (1e-3,) * 6))], PLANES)
    for corner in room.corners:
        turn = known.corner_turn(corner.name, 500.0, 850.0).mean[0]
        assert turn == pytest.approx(room.turn(corner.name, 500.0, 500.0, 850.0), abs=2e-6)
    width = ask(known, tape("w", "left-back", "back-right")).mean[0]
    assert width == pytest.approx(1512.0, abs=3e-3)


# Signs


def test_walls_run_clockwise_x_is_right_and_y_is_to_the_back():
    headings = rooms.square().plan().headings
    assert headings == pytest.approx({"back": 0.0, "left": math.pi / 2, "right": -math.pi / 2})
    known = know_room(rooms.square().plan(), every_reading(rooms.square()), PLANES)
    assert known.point("back-right", 0.0).mean == pytest.approx([1500.0, 0.0], abs=1e-3)
    back, left, right = known.rays(
        [
            Ray("back", 400.0, -500.0, 0.0, 1.0, 0.0),
            Ray("left", 400.0, -500.0, -1.0, 0.0, 0.0),
            Ray("right", 400.0, -500.0, 1.0, 0.0, 0.0),
        ]
    ).mean
    assert (back, left, right) == pytest.approx((500.0, 400.0, 1100.0), abs=1e-3)


def test_outside_corners_turn_the_other_way():
    headings = rooms.chimney_breast().plan().headings
    quarter = math.pi / 2
    assert [headings[w] / quarter for w in ("cheek", "face", "other cheek", "other recess")] == pytest.approx(
        [-1.0, 0.0, 1.0, 0.0]
    )
    assert rooms.chimney_breast().plan().corner("cheek-face").angle == pytest.approx(3 * quarter)


@pytest.mark.parametrize(
    ("shape", "corner", "more_room"),
    [
        (rooms.out_of_square, "left-back", True),  # the left wall runs off outward
        (rooms.out_of_square, "back-right", False),
        (rooms.chimney_breast, "cheek-face", None),
    ],
)
def test_a_corner_is_positive_where_there_is_more_room(shape, corner, more_room):
    room = shape()
    turn = know_room(room.plan(), every_reading(room), PLANES).corner_turn(corner, 400.0, 850.0).mean[0]
    if more_room is None:  # cheek leans right going out, face drops: by hand, atan(4/355) and atan(6/1199)
        assert turn == pytest.approx(math.atan(4 / 355) - math.atan(6 / 1199), abs=2e-6)
    else:
        assert abs(turn) > 0.01
        assert (turn > 0) == more_room


def test_tilt_is_positive_where_the_top_leans_into_the_room():
    room = rooms.leaning()
    known = know_room(room.plan(), every_reading(room), PLANES)
    low, high = known.rays([Ray("back", 700.0, -500.0, 0.0, 1.0, up) for up in (0.0, 2000.0)]).mean
    assert (low, high) == pytest.approx((500.0, 494.0), abs=2e-3)


def test_a_hump_stands_nearer():
    room = rooms.bowed()
    stations = tuple(np.linspace(0.0, 1500.0, 16))
    check = Gaps("g", "back", "left-back", stations, (850.0,) * 16, (0.0,) * 16, (0.05,) * 16)
    known = know_room(room.plan(), [room.exact(check)])
    reach = known.rays([Ray("back", x, -500.0, 0.0, 1.0, 850.0) for x in (0.0, 750.0, 1500.0)]).mean
    assert (reach[0] + reach[2]) / 2 - reach[1] == pytest.approx(6.0, abs=0.15)


# Published and worked-out figures

DIAGONALS = {  # trade-facts 7.1, computed by the law of cosines; inches
    (36, 48): {88: 58.9863, 89: 59.4952, 89.5: 59.7481, 90: 60, 90.5: 60.2508, 91: 60.5005, 92: 60.9968},
    (24, 32): {88: 39.3242, 89: 39.6635, 89.5: 39.8321, 90: 40, 90.5: 40.1672, 91: 40.3337, 92: 40.6646},
    (18, 24): {88: 29.4932, 89: 29.7476, 89.5: 29.8741, 90: 30, 90.5: 30.1254, 91: 30.2503, 92: 30.4984},
    (60, 60): {88: 83.3590, 89: 84.1091, 89.5: 84.4818, 90: 84.8528, 90.5: 85.2222, 91: 85.5901, 92: 86.3208},
}
ANGLES = {  # the same the other way round
    (36, 48): {
        59.5: 89.0094, 59.75: 89.5037, 59.875: 89.7516, 59.9375: 89.8757, 60.0625: 90.1244, 60.125: 90.2489,
        60.25: 90.4984, 60.5: 90.9989,
    },
    (24, 32): {39.875: 89.6276, 40.125: 90.3736},
}  # fmt: skip
SIDES = [
    *((legs, c, angle, 2e-4) for legs, row in DIAGONALS.items() for angle, c in row.items()),
    *((legs, c, angle, 6e-5) for legs, row in ANGLES.items() for c, angle in row.items()),
    ((60, 60), 84.11, 89.0, 6e-3),  # published: trade-facts 7.1, a worked problem
]


def corner_by_three_sides(legs: tuple[float, float], diagonal: float, sd: float) -> KnownRoom:
    left, right = (Spot(w, leg * INCH, "left-back") for w, leg in zip(("left", "back"), legs, strict=True))
    reading = replace(tape("c", left, right, sd=sd), value=diagonal * INCH)
    return know_room(rooms.square().plan(), [reading], replace(FREE, waves=(), build_up=None))


@pytest.mark.parametrize(("legs", "diagonal", "angle", "slack"), SIDES)
def test_a_corner_from_three_sides(legs, diagonal, angle, slack):
    turn = corner_by_three_sides(legs, diagonal, 1e-3).corner_turn("left-back", 500.0, 850.0).mean[0]
    assert 90.0 + math.degrees(turn) == pytest.approx(angle, abs=slack)


@pytest.mark.parametrize(("legs", "degrees"), [((36, 48), 0.1243), ((24, 32), 0.1865), ((18, 24), 0.2487)])
def test_a_corner_is_as_sure_as_its_diagonal(legs, degrees):
    """trade-facts 7.1: what 1/16 in of the diagonal turns the corner, here read as its sd."""
    known = corner_by_three_sides(legs, math.hypot(*legs), INCH / 16)
    sd = known.corner_turn("left-back", 500.0, 850.0).sd[0]
    assert math.degrees(sd) == pytest.approx(degrees, rel=1e-3)


OUT_OF_SQUARE = {  # trade-facts 7.2: depth -> inches at 0.25, 0.5, 1.0, 1.5, 2.0 degrees
    18: (0.0785, 0.1571, 0.3142, 0.4713, 0.6286),
    21: (0.0916, 0.1833, 0.3666, 0.5499, 0.7333),
    22: (0.0960, 0.1920, 0.3840, 0.5761, 0.7683),
    22.5: (0.0982, 0.1964, 0.3927, 0.5892, 0.7857),
    25.5: (0.1113, 0.2225, 0.4451, 0.6677, 0.8905),
}


@pytest.mark.parametrize("corner", ["left-back", "back-right"])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("depth", OUT_OF_SQUARE)
def test_out_of_square_over_the_depth(depth, sign, corner):
    wall, to = ("left", -1.0) if corner == "left-back" else ("right", 1.0)
    for degrees, offset in zip((0.25, 0.5, 1.0, 1.5, 2.0), OUT_OF_SQUARE[depth], strict=True):
        gauge = CornerTurn("g", sign * math.radians(degrees), 1e-6, corner, 400.0, 400.0, 850.0)
        known = know_room(rooms.square().plan(), [gauge], replace(FREE, waves=(), build_up=None))
        back, front = known.rays([Ray(wall, 500.0, y, to, 0.0, 850.0) for y in (0.0, -depth * INCH)]).mean
        # Above 90 degrees it opens toward the front, below it pinches.
        assert (front - back) / INCH == pytest.approx(sign * offset, abs=6e-5)


def test_diagonals_of_a_parallelogram():
    """trade-facts 7.4: d1² - d2² = 4 a b sin(skew); 30 x 21 skewed 0.5 degrees: d1 - d2 = 0.3003."""
    a, b, skew = 30 * INCH, 21 * INCH, math.radians(0.5)
    plan = rooms.closed_room().plan()
    corners = ["left-back", "back-right", "right-front", "front-left"]
    sides = [
        replace(tape(f"{p} {q}", p, q, sd=1e-3), value=v)
        for p, q, v in zip(corners, [*corners[1:], corners[0]], (a, b, a, b), strict=True)
    ]
    gauge = CornerTurn("g", skew, 1e-6, "left-back", 400.0, 400.0, 850.0)
    known = know_room(plan, [*sides, gauge], replace(FREE, waves=(), build_up=None))
    d1, d2 = ask(known, tape("", "back-right", "front-left"), tape("", "left-back", "right-front")).mean
    assert (d1**2 - d2**2) == pytest.approx(4 * a * b * math.sin(skew), rel=1e-4)
    assert (d1 - d2) / INCH == pytest.approx(0.3003, abs=6e-5)


@pytest.mark.parametrize(
    ("length", "sagitta", "radius"),
    [(96, 0.375, 3072.188), (96, 0.5, 2304.25), (120, 0.25, 7200.125)],
)
def test_a_bow_read_with_a_straightedge_has_its_radius(length, sagitta, radius):
    """trade-facts 7.4: R = L²/(8 s) + s/2; the wall is built with R and read back as s."""
    span, r = length * INCH, radius * INCH
    room = rooms.square().changed(
        "back", bump=lambda s, z: math.sqrt(r**2 - (s - span / 2) ** 2) - (r - sagitta * INCH)
    )
    stations = tuple(np.linspace(0.0, span, 25))
    check = Gaps("g", "back", "left-back", stations, (850.0,) * 25, (0.0,) * 25, (0.02,) * 25)
    known = know_room(room.plan(), [room.exact(check)])
    near = known.rays([Ray("back", x, -500.0, 0.0, 1.0, 850.0) for x in (0.0, span / 2, span)]).mean
    s = (near[0] + near[2]) / 2 - near[1]
    assert s / INCH == pytest.approx(sagitta, abs=0.002)
    assert span**2 / (8 * s) + s / 2 == pytest.approx(r, rel=0.01)


# Unevenness


def straight_off(xs: np.ndarray) -> np.ndarray:
    """Take out of values at xs what the straight line through the first and the last says."""
    share = (xs - xs[0]) / (xs[-1] - xs[0])
    off = np.eye(xs.size)
    off[:, 0] -= 1.0 - share
    off[:, -1] -= share
    return off


def checked_back(
    room: TrueRoom, stations: Sequence[float], sd: float = 0.1, change=lambda x: 0.0
) -> KnownRoom:
    n = len(stations)
    check = room.exact(Gaps("g", "back", "left-back", tuple(stations), (850.0,) * n, (0.0,) * n, (sd,) * n))
    return know_room(
        room.plan(),
        [replace(check, read=tuple(g + change(x) for g, x in zip(check.read, stations, strict=True)))],
    )


def back_rays(xs: Sequence[float], up: float = 850.0) -> list[Ray]:
    return [Ray("back", float(x), -500.0, 0.0, 1.0, up) for x in xs]


def test_a_straightedge_check_gives_the_shape_and_its_band_opens_between_stations_and_beyond():
    room = rooms.square().changed("back", bump=rooms.ripples(3, 2.0))
    stations = np.linspace(100.0, 1300.0, 7)
    known = checked_back(room, stations)
    between = (stations[1:] + stations[:-1]) / 2
    xs = np.sort(np.concatenate([stations, between]))
    off = straight_off(xs)
    joint = known.rays(back_rays(xs))
    shape = off @ joint.mean
    true = -off @ np.array([room.depth("back", x, 850.0) for x in xs])
    sd = np.sqrt(np.maximum(np.diag(off @ joint.covariance @ off.T), 0.0))
    assert shape[2:-1:2] == pytest.approx(true[2:-1:2], abs=0.3)
    assert np.abs(shape - true).max() < 4 * sd.max()
    assert (sd[2:-1:2] < 0.25).all()  # at stations: the gap's sd and those of both ends
    assert (sd[1::2] > 1.5 * sd[2:-1:2].max()).all()
    beyond = known.rays(back_rays([100.0, 1300.0, 1400.0, 1500.0])).covariance
    reach = np.array([[1.0 / 12, -1.0 - 1.0 / 12, 1.0, 0.0], [2.0 / 12, -1.0 - 2.0 / 12, 0.0, 1.0]])
    near, far = np.sqrt(np.diag(reach @ beyond @ reach.T))
    assert sd.max() < near < far


def test_a_straightedge_says_nothing_of_a_walls_place_or_direction():
    room = rooms.square()
    n = 8
    stations = tuple(np.linspace(30.0, 800.0, n))
    check = room.exact(Gaps("g", "right", "back-right", stations, (850.0,) * n, (0.0,) * n, (0.1,) * n))
    bare, checked = know_room(room.plan(), []), know_room(room.plan(), [check])
    for known in (bare, checked):
        assert not known.wall_placed("right")
    turn = [known.corner_turn("back-right", 2000.0, 850.0).sd[0] for known in (bare, checked)]
    assert turn[1] == pytest.approx(turn[0], rel=0.1)


@pytest.mark.parametrize("change", [lambda x: 7.0, lambda x: 0.004 * x - 3.0], ids=["constant", "slope"])
def test_how_the_straightedge_was_held_does_not_matter(change):
    room = rooms.square().changed("back", bump=rooms.ripples(3, 2.0))
    stations, xs = np.linspace(100.0, 1300.0, 7), np.linspace(0.0, 1500.0, 31)
    held, otherwise = checked_back(room, stations), checked_back(room, stations, change=change)
    a, b = held.rays(back_rays(xs)), otherwise.rays(back_rays(xs))
    assert b.mean == pytest.approx(a.mean, abs=1e-3)
    assert b.covariance == pytest.approx(a.covariance, abs=1e-9)


# Honest covariance: rooms drawn from the prior, read with noise, and looked at

SAMPLE = many(120, 200)
SURE = 1e-5  # chance that a right programme fails at any one of these limits


def drawn_room(random: np.random.Generator) -> TrueRoom:
    room = rooms.square()
    ends = {"left": (-math.inf, 0.0), "back": (0.0, 1500.0), "right": (0.0, math.inf)}
    for wall in room.walls:
        turn = 0.0 if wall.name == "back" else random.normal(0.0, OLD_HOUSE.square_sd)
        room = room.changed(
            wall.name,
            heading=wall.heading + turn,
            tilt=random.normal(0.0, OLD_HOUSE.tilt_sd),
            bump=rooms.drawn(OLD_HOUSE, random, ends=ends[wall.name]),
        )
    marks = {"mark": Mark("back", 800.0, height=500.0)}
    thick = max(0.5, random.normal(11.0, 0.8))
    covering = Covering("back", thick, 0.8, bottom=700.0, top=1000.0)
    return replace(room, marks=marks, coverings=(covering,))


def site_readings() -> list[Reading]:
    """What a careful person reads in an alcove: not everything, and no place twice."""
    left, right = Spot("left", 600.0, "left-back"), Spot("right", 600.0, "back-right")
    upright = (200.0, 450.0, 700.0, 950.0, 1200.0)
    long, short = tuple(np.linspace(20.0, 1480.0, 11)), tuple(np.linspace(20.0, 620.0, 6))
    return [
        tape("back", "left-back", "back-right"),
        tape("low", "left-back", "back-right", 300.0, 300.0),
        tape("front", left, right),
        tape("one diagonal", left, "back-right"),
        tape("other diagonal", "left-back", right),
        tape("three sides", left, Spot("back", 800.0, "left-back")),
        CornerTurn("gauge", 0.0, 0.004, "back-right", 300.0, 300.0, 850.0),
        *(
            Gaps(f"back {up}", "back", "left-back", long, (up,) * 11, (0.0,) * 11, (0.25,) * 11)
            for up in (300.0, 850.0)
        ),
        Gaps("left", "left", "left-back", short, (850.0,) * 6, (0.0,) * 6, (0.25,) * 6),
        Gaps("right", "right", "back-right", short, (850.0,) * 6, (0.0,) * 6, (0.25,) * 6),
        Gaps("plumb", "back", "left-back", (700.0,) * 5, upright, (0.0,) * 5, (0.25,) * 5),
        Leaning("lean left", 0.0, 0.5, "left", 300.0, "left-back", 200.0, 1700.0),
        Leaning("lean back", 0.0, 0.5, "back", 300.0, "left-back", 200.0, 1700.0),
        Along("mark", 0.0, 0.5, "mark", "back-right", 500.0),
    ]  # fmt: skip


def misread(reading: Reading, random: np.random.Generator) -> Reading:
    if isinstance(reading, Gaps):
        return replace(reading, read=tuple(random.normal(reading.read, reading.sd)))
    return replace(reading, value=random.normal(reading.value, reading.deviation))


LOOK_AT = [
    *(
        Ray("back", x, -550.0, 0.0, 1.0, up)
        for x in (60.0, 400.0, 750.0, 1440.0)
        for up in (300.0, 550.0, 850.0)
    ),
    *(
        Ray(wall, 700.0, y, to, 0.0, up)
        for wall, to in (("left", -1.0), ("right", 1.0))
        for y in (-30.0, -560.0)
        for up in (400.0, 850.0)
    ),
    Ray("right", 100.0, -550.0, math.cos(0.4), math.sin(0.4), 850.0),
]
CORNERS = ("left-back", "back-right")


def looked_at(seed: int) -> tuple[np.ndarray, Joint]:
    """The truth, and what is known of it, in one room of the sample."""
    random = np.random.default_rng(seed)
    room = drawn_room(random)
    plan = replace(room.plan(), coverings=(replace(room.coverings[0], thickness=11.0),))
    known = know_room(plan, [misread(room.exact(one), random) for one in site_readings()])
    true = [room.ray(r.wall, r.x, r.y, r.dx, r.dy, r.up) for r in LOOK_AT]
    true += [room.turn(corner, 500.0, 500.0, 850.0) for corner in CORNERS]
    true += [float(room.place("mark", 500.0)[0])]

    def all_of_it(scene):
        rays = [ray_quantity(scene, ray) for ray in LOOK_AT]
        turns = [corner_turn(scene, corner, 500.0, 500.0, 850.0) for corner in CORNERS]
        return [*rays, *turns, scene.place("mark", 500.0)[0]]

    return np.array(true), known.query(all_of_it)


def test_errors_are_as_large_as_the_covariance_says():
    """Errors over many rooms drawn from the prior have mean 0 and the covariance that was foretold."""
    standardized, together = [], []
    for seed in range(SAMPLE):
        true, joint = looked_at(seed)
        error = true - joint.mean
        standardized.append(error / joint.sd)
        together.append(error @ np.linalg.solve(joint.covariance, error))
    z = np.array(standardized)
    assert np.abs(z.mean(axis=0)).max() < 4.9 / math.sqrt(SAMPLE)  # two-sided 1e-6 for a normal mean
    squares = (z**2).sum(axis=0)
    assert chi2.ppf(SURE, SAMPLE) < squares.min()
    assert squares.max() < chi2.isf(SURE, SAMPLE)
    freedom = SAMPLE * z.shape[1]
    assert chi2.ppf(SURE, freedom) < sum(together) < chi2.isf(SURE, freedom)


def test_a_room_of_which_nothing_is_read_is_what_is_expected():
    known = know_room(rooms.square().plan(), [])
    assert known.corner_turn("left-back", 1e6, 850.0).sd[0] == pytest.approx(OLD_HOUSE.square_sd, rel=1e-3)
    away = known.rays(back_rays([750.0], 0.0)).sd[0]
    assert away == pytest.approx(OLD_HOUSE.deviation_sd, rel=1e-3)
    assert known.rays(back_rays([0.0], 0.0)).sd[0] == pytest.approx(
        np.hypot(away, OLD_HOUSE.build_up.sd), rel=1e-3
    )

"""One room described in different ways is one room; what was not read says so."""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
import rooms
from rooms import every_reading, tape
from true_room import Mark, Reading, TrueRoom

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.site import (
    OLD_HOUSE,
    Along,
    CornerTurn,
    Covering,
    Distance,
    Gaps,
    Height,
    KnownRoom,
    Leaning,
    Level,
    Ray,
    Spot,
    know_room,
)

PLANES = replace(OLD_HOUSE, waves=(), build_up=None)
FREE = replace(OLD_HOUSE, square_sd=0.2)
"""With this the prior hardly says anything of corners, whichever wall is called the back: it pulls an angle
known to 0.005 rad back by (0.005/0.2)² of its 0.02 rad, which over 700 mm is 0.01 mm."""


def ask(room: KnownRoom, *tapes: Distance) -> Joint:
    """Distances nobody read; keys and values do not matter."""
    return room.query(lambda scene: [one for t in tapes for one in t.observe(scene)])


def uneven_alcove() -> TrueRoom:
    room = rooms.leaning()
    for seed, wall in enumerate(("left", "back", "right")):
        room = room.changed(wall, bump=rooms.ripples(seed, 2.0))
    marks = {"drain": Mark("back", 640.0, height=520.0), "stud": Mark("left", -330.0)}
    return replace(room, marks=marks)


def readings(room: TrueRoom) -> list[Reading]:
    """Exact readings of an uneven room with usual accuracies: they need not agree to the micron."""
    stations = tuple(np.linspace(30.0, 800.0, 6))
    checks = [
        room.exact(Gaps(f"check {c.name}", c.right, c.name, stations, (850.0,) * 6, (0.0,) * 6, (0.3,) * 6))
        for c in room.corners
    ]
    gauge = CornerTurn("gauge", 0.0, 0.004, room.corners[-1].name, 300.0, 450.0, 850.0)
    return [*every_reading(room, 0.5), *checks, room.exact(gauge)]


ACROSS = [
    tape("", "left-back", "back-right", 1200.0, 1200.0),
    tape("", Spot("left", 700.0, "left-back"), Spot("right", 700.0, "back-right"), 700.0, 400.0),
    tape("", "drain", Spot("left", 400.0, "left-back")),
    tape("", "stud", "back-right", 0.0, 900.0),
]


def alike(one: Joint, other: Joint, mean: float, covariance: float) -> None:
    assert other.mean == pytest.approx(one.mean, abs=mean)
    assert other.covariance == pytest.approx(one.covariance, abs=covariance)


# The same room seen otherwise


def test_a_mirrored_room_gives_mirrored_answers():
    room = uneven_alcove()
    read = readings(room)
    turned = [
        replace(one, left_reach=one.right_reach, right_reach=one.left_reach)
        if isinstance(one, CornerTurn)
        else one
        for one in read
    ]
    mirrored = room.mirrored(1512.0)
    assert [w.name for w in mirrored.walls] == ["right", "back", "left"]
    known, reverse = know_room(room.plan(), read), know_room(mirrored.plan(), turned)
    # Places where deviations are seen are kept to 0.2 mm, which is a thousandth of a millimetre here.
    alike(ask(known, *ACROSS), ask(reverse, *ACROSS), 2e-3, 2e-3)
    for corner in ("left-back", "back-right"):
        alike(known.corner_turn(corner, 400.0, 700.0), reverse.corner_turn(corner, 400.0, 700.0), 1e-5, 1e-7)
    # The drain is right of the corner in one room and left of it in the other.
    out = [
        one.along("back", "drain", 500.0).mean - one.along("back", "left-back", 500.0).mean
        for one in (known, reverse)
    ]
    assert out[0] == pytest.approx(640.0, abs=10.0)
    assert out[1] == pytest.approx(-out[0], abs=2e-3)


@pytest.mark.parametrize("back", ["left", "right"])
def test_another_wall_may_be_called_the_back(back):
    room = uneven_alcove()
    corner = next((c.name for c in room.corners if c.right == back), "left-back")
    origin = room.planes().corner(corner, 0.0)[:2]
    if back == "left":  # it has no left corner, so x = 0 is where its right wall meets it
        assert room.corner_named(corner).left == back
    turned = room.seen_from(back, origin)
    read = readings(room)
    known, other = know_room(room.plan(), read, FREE), know_room(turned.plan(), read, FREE)
    alike(ask(known, *ACROSS), ask(other, *ACROSS), 0.03, 0.03)


def test_a_corner_meant_at_another_angle_is_the_same_corner():
    room = uneven_alcove()
    meant = math.radians(91.0)
    left, right = room.corners
    other = replace(room, corners=(replace(left, angle=meant), replace(right, angle=meant)))
    known, again = (know_room(one.plan(), readings(one), FREE) for one in (room, other))
    alike(ask(known, *ACROSS), ask(again, *ACROSS), 0.03, 0.03)
    turns = [one.corner_turn("left-back", 400.0, 700.0).mean[0] for one in (known, again)]
    assert turns[0] - turns[1] == pytest.approx(math.radians(1.0), abs=1e-5)


def test_the_order_of_readings_does_not_matter():
    room = uneven_alcove()
    read = readings(room)
    forward, backward = know_room(room.plan(), read), know_room(room.plan(), read[::-1])
    alike(ask(forward, *ACROSS), ask(backward, *ACROSS), 1e-9, 1e-9)
    before, after = ({(r.key, r.number): r for r in known.residuals()} for known in (forward, backward))
    assert before.keys() == after.keys()
    for key, one in before.items():
        assert after[key].adjusted_minus_read == pytest.approx(one.adjusted_minus_read, abs=1e-8)
        assert after[key].standardized == pytest.approx(one.standardized, abs=1e-6)


@pytest.mark.parametrize("back", ["left", "back", "right", "front"])
def test_a_closed_loop_may_start_at_any_wall(back):
    room = rooms.closed_room()
    read = every_reading(room)
    before = next(c for c in room.corners if c.right == back)
    origin = room.corner(before.name, 0.0)[:2]
    turned = room.seen_from(back, origin)
    known = know_room(turned.plan(), read, PLANES)
    diagonals = (
        tape("", "left-back", "right-front", 900.0, 900.0),
        tape("", "back-right", "front-left", 300.0, 900.0),
    )
    assert ask(known, *diagonals).mean == pytest.approx([room.numbers(one)[0] for one in diagonals], abs=2e-3)


def test_a_wrong_length_in_a_closed_loop_shows():
    room = rooms.closed_room()
    read = [
        replace(one, value=one.value + 25.0) if one.key == "length right 300.0" else one
        for one in every_reading(room, 0.5)
    ]
    worst = max(know_room(room.plan(), read).residuals(), key=lambda one: abs(one.standardized))
    assert worst.key == "length right 300.0"
    assert abs(worst.standardized) > 7
    assert worst.adjusted_minus_read < 0  # it was read too long


def test_one_wall_with_a_scratch():
    room = rooms.single().planes()
    known = know_room(room.plan(), every_reading(room), PLANES)
    assert known.along("wall", "stud", 0.0).mean == pytest.approx([700.0], abs=1e-3)
    assert known.along("wall", "scratch", 900.0).mean == pytest.approx([0.0], abs=1e-12)
    assert known.point("stud", 1000.0).mean == pytest.approx([700.0, -3.0], abs=2e-3)
    assert known.feature_height("stud").mean == pytest.approx([1200.0])
    assert known.feature_height("scratch") is None


def test_with_a_right_wall_only_x_is_counted_from_it():
    room = rooms.two_walls()
    known = know_room(room.plan(), [*every_reading(room)], PLANES)
    assert known.point("back-right", 0.0).mean == pytest.approx([0.0, 0.0], abs=1e-9)
    reach = known.rays([Ray("right", -400.0, -300.0, 1.0, 0.0, 0.0)]).mean
    assert reach == pytest.approx([400.0 - 300.0 * 14.0 / 900.0], abs=2e-3)


def test_with_a_mark_as_origin_the_right_wall_is_wherever_it_was_read():
    room = replace(rooms.two_walls(), origin="scratch", marks={"scratch": Mark("back", 0.0)})
    room = room.changed("right", offset=room.wall("right").offset - 800.0)  # 800 mm further right
    read = [*every_reading(room), room.exact(tape("t", "scratch", "back-right", sd=1e-3))]
    known = know_room(room.plan(), read, PLANES)
    assert known.point("back-right", 0.0).mean == pytest.approx([800.0, 0.0], abs=0.2)
    assert known.along("back", "back-right", 850.0).mean == pytest.approx(
        room.corner("back-right", 850.0)[:1], abs=2e-3
    )


# Coverings


def tiled(bottom: float = 700.0, top: float = 1300.0) -> TrueRoom:
    return replace(rooms.square(), coverings=(Covering("right", 11.0, 0.5, bottom=bottom, top=top),))


def test_readings_are_to_the_face_of_today_and_answers_to_the_finished_one():
    room = tiled()
    width = room.exact(tape("w", "left-back", "back-right", sd=1e-3))
    assert width.value == pytest.approx(1500.0)
    known = know_room(room.plan(), [width], PLANES)
    bare, tile = known.rays([Ray("right", 0.0, 0.0, 1.0, 0.0, up) for up in (600.0, 850.0)]).mean
    assert (bare, tile) == pytest.approx((1500.0, 1489.0), abs=1e-3)
    sure = known.rays([Ray("right", 0.0, 0.0, 1.0, 0.0, up) for up in (850.0,)]).sd[0]
    assert sure > 0.5  # the tile's own


def test_a_reading_to_the_finished_face_says_so():
    room = tiled()
    width = room.exact(tape("w", "left-back", "back-right", sd=1e-3, finished=True))
    assert width.value == pytest.approx(1489.0)
    known = know_room(room.plan(), [width], PLANES)
    joint = ask(known, replace(width, finished=False), width)
    assert joint.mean == pytest.approx([1500.0, 1489.0], abs=1e-3)
    assert joint.sd[0] > 0.4  # now the bare wall is as unsure as the tile
    assert joint.sd[1] < 0.01


def test_both_readings_together_measure_the_tile():
    room = tiled()
    thick = replace(room, coverings=(replace(room.coverings[0], thickness=12.2),))
    read = [
        thick.exact(tape(str(finished), "left-back", "back-right", sd=1e-3, finished=finished))
        for finished in (False, True)
    ]
    known = know_room(room.plan(), read, PLANES)
    reach = known.rays([Ray("right", 0.0, 0.0, 1.0, 0.0, up) for up in (600.0, 850.0)]).mean
    assert reach[0] - reach[1] == pytest.approx(12.2, abs=1e-3)


def test_a_covering_ends_where_it_ends():
    covering = Covering("right", 11.0, 0.5, start=0.0, end=400.0)
    room = replace(rooms.square(), coverings=(covering,))
    known = know_room(room.plan(), [room.exact(tape("w", "left-back", "back-right", sd=1e-3))], PLANES)
    reach = known.rays([Ray("right", 0.0, y, 1.0, 0.0, 850.0) for y in (-399.0, -401.0)]).mean
    assert reach == pytest.approx([1489.0, 1500.0], abs=0.01)


# What was read and what was not


def test_a_wall_is_placed_when_a_length_reaches_it():
    room = rooms.square()
    check = Gaps("g", "right", "back-right", (10.0, 500.0), (850.0,) * 2, (0.0,) * 2, (0.3,) * 2)
    lean = Leaning("l", 0.0, 0.5, "right", 100.0, "back-right", 200.0, 1500.0)
    loose = know_room(room.plan(), [check, lean])
    assert not loose.wall_placed("right")
    assert loose.wall_placed("back")  # the frame says where it is
    assert loose.wall_placed("left")
    tied = know_room(room.plan(), [check, lean, room.exact(tape("w", "left-back", "back-right"))])
    assert tied.wall_placed("right")


def test_a_feature_is_placed_when_it_is_read_along_its_wall():
    room = uneven_alcove()
    height = room.exact(Height("h", 1.0, 0.5, "drain"))
    loose = know_room(room.plan(), [height])
    assert not loose.feature_placed("drain")
    assert loose.feature_height("drain").mean == pytest.approx([520.0], abs=1e-3)
    along = room.exact(Along("a", 1.0, 0.5, "drain", "left-back", 520.0))
    assert know_room(room.plan(), [height, along]).feature_placed("drain")
    single = know_room(rooms.single().plan(), [])
    assert single.feature_placed("scratch")
    assert not single.feature_placed("stud")


def test_a_corner_is_read_by_gauge_or_by_three_sides():
    room = rooms.out_of_square()
    width = room.exact(tape("w", "left-back", "back-right"))
    unread = know_room(room.plan(), [width])
    assert not unread.corner_read("left-back", 500.0, 850.0)
    gauge = room.exact(CornerTurn("g", 0.0, 0.002, "left-back", 500.0, 500.0, 850.0))
    left, back = (Spot(wall, 600.0, "left-back") for wall in ("left", "back"))
    sides = room.exact(tape("s", left, back))
    for reading in (gauge, sides):
        read = know_room(room.plan(), [width, reading])
        assert read.corner_read("left-back", 500.0, 850.0)
        assert not read.corner_read("back-right", 500.0, 850.0)


def test_a_shape_is_unknown_until_it_is_checked():
    room = rooms.bowed()
    rays = [Ray("back", float(x), -500.0, 0.0, 1.0, 850.0) for x in np.linspace(100.0, 1400.0, 27)]
    lengths = [room.exact(one) for one in every_reading(room, 0.5)]
    assert know_room(room.plan(), lengths).shape_read(rays) > 0.9
    stations = tuple(np.linspace(50.0, 1450.0, 15))
    check = Gaps("g", "back", "left-back", stations, (850.0,) * 15, (0.0,) * 15, (0.3,) * 15)
    shares = [
        know_room(room.plan(), [*lengths, room.exact(one)]).shape_read(rays) for one in (check, few(check, 5))
    ]
    assert shares[0] < 0.15
    assert shares[0] < shares[1] < 0.9  # three stations tell a bow, no waves
    high = [replace(ray, up=2300.0) for ray in rays]
    assert know_room(room.plan(), [*lengths, room.exact(check)]).shape_read(high) > 0.3


def few(check: Gaps, every: int) -> Gaps:
    chosen = {name: getattr(check, name)[::every] for name in ("along", "up", "read", "sd")}
    return replace(check, **chosen)


def test_floor_and_ceiling_are_nothing_until_they_are_read():
    room = rooms.alcove()
    plan = room.plan()
    known = know_room(plan, [])
    assert known.level("floor", [(0.0, 0.0)]) is None
    read = [
        room.exact(Level(f"{x} {out}", 0.0, 0.3, "floor", "back", x, "left-back", out))
        for x in (100.0, 700.0, 1300.0)
        for out in (50.0, 600.0)
    ]
    known = know_room(plan, read)
    points = [(100.0, -60.0), (700.0, -600.0)]
    joint = known.level("floor", points)
    true = [room.grounds["floor"].at(*point) for point in points]
    assert joint.mean == pytest.approx(true, abs=0.5)
    assert joint.sd.max() < 0.6
    assert known.level("ceiling", points) is None


def test_answers_name_the_readings_that_they_come_from():
    room = uneven_alcove()
    known = know_room(room.plan(), readings(room))
    assert set(known.readings_of("drain")) == {"along drain 200.0", "along drain 1400.0", "height drain"}
    assert "lean left" in known.readings_of("left")
    assert "lean left" not in known.readings_of("right")
    assert "check left-back" in known.readings_of("back")


# Refusals


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ([tape("t", "left-back", "nowhere")], "`nowhere` is no corner and no feature"),
        ([tape("t", Spot("left", 1.0, "back-right"), "left-back")], "`back-right` is not on wall `left`"),
        ([Along("t", 1.0, 0.5, "pipe", "left-back", 1.0)], "`pipe` is no feature"),
        ([CornerTurn("t", 0.0, 0.1, "nowhere", 1.0, 1.0, 1.0)], "`nowhere` is no corner"),
        ([tape("t", "left-back", "back-right")] * 2, "two readings have one key"),
        (
            [
                Gaps(
                    f"g{k}",
                    "back",
                    "left-back",
                    tuple(range(1, 1001)),
                    (9.0,) * 1000,
                    (1.0,) * 1000,
                    (1.0,) * 1000,
                )
                for k in range(3)
            ],
            "3000 numbers were read, one room takes 2500",
        ),
        ([tape("t", Spot("attic", 1.0, "left-back"), "back-right")], "wall `attic`"),
        ([Leaning("t", 0.0, 0.5, "attic", 1.0, "left-back", 0.0, 1.0)], "wall `attic`"),
        ([Height("t", 0.0, 0.5, "pipe")], "`pipe` is no feature"),
    ],
)
def test_readings_of_what_does_not_exist_are_refused(more: Sequence[Reading], message: str):
    with pytest.raises(BadInput, match=message):
        know_room(rooms.square().plan(), more)


def test_a_ray_along_its_wall_is_refused():
    with pytest.raises(BadInput, match="runs along wall `left`"):
        know_room(rooms.square().plan(), []).rays([Ray("left", 100.0, -100.0, 0.0, 1.0, 0.0)])

"""A room seen in a mirror gives the mirrored piece; a room described otherwise gives the same piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import piece_rooms as rooms
import pytest
from rooms import polygon, ripples
from shapely import LinearRing
from true_room import Reading, TrueRoom, TrueWall

from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.filler import FillerPlan, fit_filler
from fitting.outline import FittedOutline
from fitting.panel import PanelPlan, fit_panel
from fitting.piece import EdgePlan, TrimPlan
from fitting.site import Along, Corner, CornerTurn, Distance, KnownRoom, know_room
from fitting.top import TopPlan, fit_top

SETTLED = 5e-3
"""mm; the adjustment takes places along a wall as settled when they move by less than a few tenths."""
SAMPLED = 0.02
"""mm; what is unknown is found by draws, which may fall otherwise where one station more is looked at."""
OTHER = {"left": "right", "right": "left", "front": "front", "back": "back"}


def crooked(seed: int) -> TrueRoom:
    """Three walls out of square, plumb and plane, with a casing near the front of the left one."""
    random = np.random.default_rng(seed)
    width, a, b = random.uniform(1100, 1900), *random.uniform(-20, 20, 2)
    room = polygon(
        ["left", "back", "right"], [(a, -1000.0), (0.0, 0.0), (width, 0.0), (width + b, -1000.0)], "back"
    )
    for number, wall in enumerate(("left", "back", "right")):
        room = room.changed(wall, tilt=random.normal(0, 0.003), bump=ripples(10 * seed + number, 2.0))
    return rooms.with_mark(room, "casing", "left", random.uniform(-520, -480))


def read(room: TrueRoom, seed: int) -> KnownRoom:
    """Read with errors, which are the same however the room is described."""
    width = abs(float(np.diff([room.corner(name, rooms.UP)[0] for name in ("left-back", "back-right")])[0]))
    asked = [
        *rooms.every_reading(room, sd=0.5),
        rooms.check("back", "left-back", np.linspace(40, width - 40, 6), 0.4),
        rooms.check("left", "left-back", np.linspace(40, 600, 4), 0.4),
        rooms.check("right", "back-right", np.linspace(40, 600, 4), 0.4),
    ]
    return know_room(room.plan(), rooms.noisy(room, asked, np.random.default_rng(seed)), rooms.WAVES)


def read_in_mirror(room: TrueRoom, known: KnownRoom) -> KnownRoom:
    """The very same numbers: from a corner one counts into the wall, in a mirror too."""
    return know_room(room.mirrored(0.0).plan(), known.readings, rooms.WAVES)


CASING = TrimPlan("casing", "left", 57, 17, "left", 0, 2000)


def top_of(sides: str, finish: str, mirror: bool = False) -> TopPlan:
    """A top that meets the back and those sides; in a mirror left is right."""
    edges = {}
    for side in sides.split():
        edges[OTHER[side] if mirror else side] = EdgePlan(side, finish, 1.5)
    casing = replace(CASING, toward="right") if mirror else CASING
    return TopPlan(
        "back", rooms.UP, 30, back=EdgePlan("back", "scribed"), depth=560, width=900,
        trims=(casing,), confidence=0.95, **edges,
    )  # fmt: skip


def assert_mirrored(one: FittedOutline, other: FittedOutline, tolerance: float = SETTLED) -> None:
    assert apart(one.outline * [-1, 1], other.outline[::-1]) <= tolerance
    assert apart(one.blank * [-1, 1], other.blank[::-1]) <= SAMPLED
    for side, edge in one.edges.items():
        image = other.edges[OTHER[side]]
        assert edge.final == pytest.approx(image.final, abs=tolerance)
        assert (edge.blank, edge.gap) == pytest.approx((image.blank, image.gap), abs=SAMPLED)
        if edge.allowance:
            a, b = edge.allowance, image.allowance
            assert a.range == pytest.approx(b.range, abs=tolerance)
            assert a.unknown == pytest.approx(b.unknown, abs=SAMPLED)
            assert edge.scribe.deepest == pytest.approx(image.scribe.deepest, abs=SAMPLED)
            along = -1 if side == "back" else 1
            assert edge.scribe.deepest_at == pytest.approx(along * image.scribe.deepest_at, abs=0.1)
    assert len(one.notches) == len(other.notches)
    for notch, image in zip(one.notches, other.notches[::-1], strict=True):
        assert notch.corners * [-1, 1] == pytest.approx(image.corners[::-1], abs=tolerance)
        assert {OTHER[side] for side in notch.opens} == set(image.opens)
        assert notch.clearance == pytest.approx(image.clearance, abs=tolerance)
    kinds = [sorted((r.kind, OTHER.get(r.about, r.about)) for r in one.remarks)]
    assert kinds == [sorted((r.kind, r.about) for r in other.remarks)]


def apart(ring: np.ndarray, other: np.ndarray) -> float:
    """How far two rings are apart at the worst of their corners (one may have dropped a corner on a line)."""
    return float(LinearRing(ring).hausdorff_distance(LinearRing(other)))


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("sides", "finish"), [("left", "scribed"), ("left right", "net"), ("", "scribed")])
def test_a_top_in_a_mirrored_room_is_mirrored(seed, sides, finish):
    room = crooked(seed)
    known = read(room, seed)
    plan, image = top_of(sides, finish), top_of(sides, finish, mirror=True)
    if not sides:
        plan, image = replace(plan, mark="casing", out=0.0), None
        plan = replace(plan, wall="back", mark="left-back", out=100.0, trims=())
        image = replace(plan, out=-1000.0)
    one, other = fit_top(known, plan), fit_top(read_in_mirror(room, known), image)
    if not sides:
        moved = other.outline.outline - [900, 0]
        assert apart(one.outline.outline * [-1, 1], moved[::-1]) < SETTLED
    else:
        assert len(one.outline.notches) == 1
        assert_mirrored(one.outline, other.outline)


@pytest.mark.parametrize("seed", range(4))
def test_a_cabinet_and_its_filler_in_a_mirrored_room_are_mirrored(seed):
    room = crooked(seed)
    known = read(room, seed)
    box = CabinetPlan("back", 900, 550, 0, 820, left_wall="left", left_gap=25)
    image = CabinetPlan("back", 900, 550, 0, 820, right_wall="left", right_gap=25)
    one, other = fit_cabinet(known, box), fit_cabinet(read_in_mirror(room, known), image)
    assert one.left == pytest.approx(-other.right, abs=SETTLED)
    assert one.sides["left"].gap.mean == pytest.approx(other.sides["right"].gap.mean, abs=SETTLED)
    assert one.sides["left"].gap.sd == pytest.approx(other.sides["right"].gap.sd, abs=SETTLED)
    assert one.back_gap == pytest.approx(other.back_gap[::-1], abs=SETTLED)
    assert one.back_at == pytest.approx(900 - other.back_at[::-1], abs=SETTLED)
    a, b = fit_filler(one, FillerPlan("left")), fit_filler(other, FillerPlan("right"))
    assert_mirrored(a.outline, b.outline)
    assert (a.at_bottom, a.at_top) == pytest.approx((b.at_bottom, b.at_top), abs=SETTLED)


@pytest.mark.parametrize("seed", range(4))
def test_a_panel_in_a_mirrored_room_shows_to_the_other_side(seed):
    room = crooked(seed)
    known = read(room, seed)
    board = TrimPlan("baseboard", "back", 3000, 12, "right", 0, 100)
    plan = PanelPlan(EdgePlan("back", "scribed"), "left-back", 400, "left", 560, 18, 0, 800, trims=(board,))
    one = fit_panel(known, plan)
    other = fit_panel(read_in_mirror(room, known), replace(plan, out=-400, show="right"))
    assert_mirrored(one.outline, other.outline)


# The same room described otherwise

LOOSE = replace(rooms.WAVES, square_sd=1.0)
"""No expectation of square corners: it is told of each wall against the back wall, so it depends on which
wall that is."""


def same(one: FittedOutline, other: FittedOutline, tolerance: float = SETTLED) -> None:
    assert apart(one.outline, other.outline) <= tolerance
    assert apart(one.blank, other.blank) <= SAMPLED
    for side, edge in one.edges.items():
        assert edge.final == pytest.approx(other.edges[side].final, abs=tolerance)
    for notch, again in zip(one.notches, other.notches, strict=True):
        assert notch.corners == pytest.approx(again.corners, abs=tolerance)
        assert (notch.obstacles, notch.opens) == (again.obstacles, again.opens)
    assert [(r.kind, r.about) for r in one.remarks] == [(r.kind, r.about) for r in other.remarks]


@pytest.mark.parametrize("back", ["left", "right"])
@pytest.mark.parametrize("seed", range(3))
def test_with_another_wall_as_back_the_pieces_are_the_same(seed, back):
    room = crooked(seed)
    readings = read(room, seed).readings
    plain = know_room(room.plan(), readings, LOOSE)
    turned = know_room(room.seen_from(back, (0.0, 0.0)).plan(), readings, LOOSE)
    assert abs(turned.heading("back")) > 1.5
    for plan in (top_of("left", "scribed"), top_of("left right", "net")):
        same(fit_top(plain, plan).outline, fit_top(turned, plan).outline)
    panel = PanelPlan(EdgePlan("back", "scribed"), "left-back", 400, "left", 560, 18, 0, 800)
    same(fit_panel(plain, panel).outline, fit_panel(turned, panel).outline)
    box = CabinetPlan("back", 900, 550, 0, 820, left_wall="left", left_gap=25)
    one, other = fit_cabinet(plain, box), fit_cabinet(turned, box)
    assert one.sides["left"].gap.mean == pytest.approx(other.sides["left"].gap.mean, abs=SETTLED)
    assert one.sides["left"].gap.sd == pytest.approx(other.sides["left"].gap.sd, abs=SETTLED)
    same(fit_filler(one, FillerPlan("left")).outline, fit_filler(other, FillerPlan("left")).outline)


def test_in_a_room_without_waves_they_are_the_same_to_a_millionth():
    room = rooms.with_mark(rooms.alcove(1500, 91, 88.7), "casing", "left", -500.0)
    room = room.changed("left", tilt=0.004).changed("back", tilt=-0.003)
    asked = [room.exact(one) for one in rooms.every_reading(room, sd=1e-6)]
    plain, turned = (
        know_room(one.plan(), asked, rooms.NO_WAVES) for one in (room, room.seen_from("right", (0, 0)))
    )
    for plan in (top_of("left", "scribed"), top_of("left right", "net")):
        same(fit_top(plain, plan).outline, fit_top(turned, plan).outline, 2e-6)


def turned_by(room: TrueRoom, degrees: float) -> TrueRoom:
    """Describe it from a wall more, before the left one, against which the back is turned so far."""
    turn = math.radians(degrees)
    end = room.point("left", -1000.0, 0.0)[:2]
    base = TrueWall.between("base", end - 800.0 * np.array([math.cos(turn), -math.sin(turn)]), end)
    first = Corner("base-left", "base", "left", 1.5 * math.pi + turn)
    longer = replace(room, walls=(base, *room.walls), corners=(first, *room.corners))
    return longer.seen_from("base", end)


def read_turned(room: TrueRoom, readings: Sequence[Reading], degrees: float) -> KnownRoom:
    turned = turned_by(room, degrees)
    more = [
        CornerTurn("turn base", 0.0, 1e-3, "base-left", 500.0, 500.0, rooms.UP),
        Distance("tape left", 0.0, 1.0, "base-left", "left-back", rooms.UP, rooms.UP),
    ]
    return know_room(turned.plan(), [*readings, *(turned.exact(one) for one in more)], LOOSE)


def test_no_decision_flips_while_the_room_is_turned_by_single_degrees():
    # One casing that the top passes by 0.03 mm, one that it does not by 0.03 mm: whether there is a notch,
    # at which side it opens and what is remarked must not hang on the room's direction.
    room = rooms.with_mark(crooked(1), "scratch", "back", 400.0)
    readings = (
        *read(crooked(1), 1).readings,
        room.exact(Along("s", 0.0, 0.5, "scratch", "left-back", 850.0)),
    )
    covered = EdgePlan("back", "covered", 40.0)
    plan = TopPlan(
        "back",
        rooms.UP,
        30,
        EdgePlan("left", "scribed"),
        None,
        covered,
        depth=560,
        width=900,
        confidence=0.9999,
    )
    first, second = (TrimPlan(one, "back", 30.0, 20.0, "right", 0, 2000) for one in ("left-back", "scratch"))
    plain = read_turned(room, readings, 0.0)
    clear = fit_top(plain, replace(plan, trims=(first, second))).outline.remarks
    room_left = {one.about: one.amount for one in clear if one.kind == "clear"}
    passes = replace(first, projection=20.0 + room_left["left-back"] - 0.03)
    meets = replace(second, projection=20.0 + room_left["scratch"] + 0.03)
    plan = replace(plan, trims=(passes, meets))
    expected = decisions(fit_top(plain, plan).outline)
    assert expected == ([(("scratch",), ("back",))], [("clear", "left-back")])
    for degrees in range(-45, 45):
        known = read_turned(room, readings, float(degrees))
        assert math.degrees(known.heading("back")) == pytest.approx(degrees, abs=3)
        assert decisions(fit_top(known, plan).outline) == expected


def decisions(outline: FittedOutline) -> tuple[list[object], list[object]]:
    return (
        [(one.obstacles, one.opens) for one in outline.notches],
        [(one.kind, one.about) for one in outline.remarks],
    )

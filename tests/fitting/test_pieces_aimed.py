"""Cabinets beside one another, and cabinets and tops where an aim puts them: worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import piece_rooms as rooms
import pytest
from rooms import ripples
from shapely import Polygon

from fitting.aim import SidePin
from fitting.cabinet import CabinetPlan, FittedCabinet, Neighbour, fit_cabinet, side_gap
from fitting.errors import BadInput
from fitting.piece import EdgePlan
from fitting.placement import Reach
from fitting.site import KnownRoom, know_room
from fitting.top import TopPlan, fit_top

UP = rooms.UP
ONE = math.tan(math.radians(1.0))


def wavy(seed: int, mirror: bool = False) -> KnownRoom:
    """An alcove 2000 wide with an uneven back wall; or the same in a mirror."""
    room = rooms.bumpy(rooms.alcove(2000.0, 90.4, 89.1), back=ripples(seed, 4.0))
    checks = [rooms.check("back", "left-back", np.linspace(20.0, 1980.0, 15), 0.2)]
    asked = [*rooms.every_reading(room), *checks]
    read = [room.exact(one) for one in asked]
    if mirror:
        return know_room(room.mirrored(0.0).plan(), read, rooms.WAVES)
    return rooms.known(room, rooms.WAVES, checks)


def corners(box: FittedCabinet, side: str) -> np.ndarray:
    """A side's ends in the plan, front and back."""
    x = box.left if side == "left" else box.right
    return np.array([box.placed.frame.to_room(x, y) for y in (0.0, box.plan.depth)])


# Side by side


def test_in_a_square_room_a_run_adds_up():
    """20 + 600 + 3 + 500: the second ends 1123 from the left wall, 377 before the right one."""
    known = rooms.known(rooms.alcove(1500.0))
    first = fit_cabinet(known, CabinetPlan("back", 600, 500, 100, 800, "left", left_gap=20))
    plan = CabinetPlan("back", 500, 450, 100, 800, right_wall="right")
    second = fit_cabinet(known, plan, Neighbour("left", first, 3.0))
    assert second.sides["right"].least == pytest.approx(377.0, abs=1e-3)
    assert side_gap(second, "left", first) == pytest.approx(3.0, abs=1e-9)
    assert side_gap(first, "right", second) == pytest.approx(3.0, abs=1e-3)
    assert second.placed.walls() == {"left", "back"}  # what holds the first holds it too


@pytest.mark.parametrize("seed", range(1, 9))
def test_on_an_uneven_wall_the_gap_is_where_they_come_nearest(seed):
    """Each box has a back line of its own: some come nearest in front, some behind (4 to 7). Measured once
    more between the two outlines in the plan."""
    known = wavy(seed)
    first = fit_cabinet(known, CabinetPlan("back", 700, 500, 100, 800, "left", left_gap=15))
    second = fit_cabinet(known, CabinetPlan("back", 600, 560, 100, 800), Neighbour("left", first, 2.0))
    assert first.placed.frame.heading != second.placed.frame.heading
    one, other = (Polygon([*corners(box, "left"), *corners(box, "right")[::-1]]) for box in (first, second))
    assert one.distance(other) == pytest.approx(2.0, abs=0.01)
    assert side_gap(second, "left", first) == pytest.approx(2.0, abs=1e-9)


def test_a_run_in_a_mirror_is_the_mirrored_run():
    known, image = wavy(4), wavy(4, mirror=True)
    first = fit_cabinet(known, CabinetPlan("back", 700, 500, 100, 800, "left", left_gap=15))
    plan = CabinetPlan("back", 600, 500, 100, 800, right_wall="right")
    second = fit_cabinet(known, plan, Neighbour("left", first, 2.0))
    other = fit_cabinet(image, CabinetPlan("back", 700, 500, 100, 800, right_wall="left", right_gap=15))
    plan = CabinetPlan("back", 600, 500, 100, 800, left_wall="right")
    mirrored = fit_cabinet(image, plan, Neighbour("right", other, 2.0))
    assert mirrored.sides["left"].least == pytest.approx(second.sides["right"].least, abs=5e-3)
    assert mirrored.back_gap[::-1] == pytest.approx(second.back_gap, abs=5e-3)


@pytest.mark.parametrize(("depth", "seed"), [(500.0, 5), (460.0, 6)])
def test_an_even_front_lies_in_the_neighbours_plane(depth, seed):
    known = wavy(seed)
    first = fit_cabinet(known, CabinetPlan("back", 700, 500, 100, 800, "left", left_gap=15))
    plan = CabinetPlan("back", 600, depth, 100, 800, even_front=True)
    second = fit_cabinet(known, plan, Neighbour("left", first, 2.0))
    for x in (second.left, second.right):
        seen = first.placed.frame.to_piece(*second.placed.frame.to_room(x, 0.0))
        assert seen[1] == pytest.approx(0.0, abs=1e-6)
    assert side_gap(second, "left", first) == pytest.approx(2.0, abs=1e-6)


def test_a_box_beside_another_needs_the_same_wall_and_an_even_front_a_neighbour():
    known = rooms.known(rooms.alcove(1500.0))
    first = fit_cabinet(known, CabinetPlan("back", 600, 500, 100, 800, "left", left_gap=20))
    with pytest.raises(BadInput, match="one wall for both"):
        fit_cabinet(known, CabinetPlan("left", 500, 450, 100, 800), Neighbour("left", first))
    with pytest.raises(BadInput, match="beside"):
        fit_cabinet(known, CabinetPlan("back", 600, 500, 100, 800, "left", even_front=True))


# Aims and pins of cabinets


@pytest.mark.parametrize(
    ("aim", "pins", "left", "right"),
    [
        # 1600 - 1500 = 100 to share.
        ("stay", (SidePin("left", "at least", 70.0),), 70.0, 30.0),
        ("stay", (SidePin("right", "exactly", 19.0),), 81.0, 19.0),
        ("stay", (SidePin("left", "at most", 12.0),), 12.0, 88.0),
        ("balanced", (), 50.0, 50.0),
        ("balanced", (SidePin("right", "at least", 64.0),), 36.0, 64.0),
        ("even ends", (), 50.0, 50.0),
    ],
)
def test_a_cabinet_moves_along_its_wall(aim, pins, left, right):
    known = rooms.known(rooms.alcove(1600.0))
    plan = CabinetPlan("back", 1500, 500, 100, 800, "left", "right", aim=aim, pins=pins)
    box = fit_cabinet(known, plan)
    gaps = {side: gap.least for side, gap in box.sides.items()}
    assert gaps == pytest.approx({"left": left, "right": right}, abs=1e-3)
    assert box.back_gap == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("seed", range(4))
def test_a_cabinet_does_not_catch_on_an_uneven_wall_behind(seed):
    """Its widest gaps are alike, and its back touches: by the definition of `balanced`."""
    box = fit_cabinet(wavy(seed), CabinetPlan("back", 1700, 500, 100, 800, "left", "right", aim="balanced"))
    left, right = (box.sides[side].gap.mean.max() for side in ("left", "right"))
    assert left == pytest.approx(right, abs=0.02)
    assert 100.0 < left < 200.0
    behind = [Reach("back", "back", one.x, 500.0, one.up) for one in box.placed.back]
    assert box.placed.expect(behind).min() == pytest.approx(0.0, abs=1e-6)


def test_a_pin_behind_brings_a_cabinet_forward():
    known = rooms.known(rooms.alcove(1600.0))
    pins = (SidePin("back", "at least", 40.0),)
    box = fit_cabinet(known, CabinetPlan("back", 1500, 500, 100, 800, "left", "right", pins=pins))
    assert box.back_gap == pytest.approx(40.0, abs=1e-3)
    assert box.sides["left"].least == pytest.approx(50.0, abs=1e-3)


def test_a_gap_asked_for_is_kept_by_an_aim():
    known = rooms.known(rooms.alcove(1600.0))
    plan = CabinetPlan("back", 1500, 500, 100, 800, "left", "right", left_gap=60.0, aim="balanced")
    assert fit_cabinet(known, plan).sides["left"].least == pytest.approx(60.0, abs=1e-3)
    clash = fit_cabinet(
        known,
        CabinetPlan(
            "back", 1500, 500, 100, 800, "left", "right", 60.0, pins=(SidePin("right", "at least", 45.0),)
        ),
    ).clash
    assert clash is not None
    assert {pin.side for pin in clash.pins} == {"left", "right"}
    assert clash.least.by == pytest.approx(5.0, abs=1e-3)


def test_in_line_with_a_mark_a_cabinet_leaves_its_walls_what_is_left():
    """A drain 700 from the left corner, the box's middle over it: 700 - 300 = 400 to the left wall."""
    known = rooms.known(rooms.with_mark(rooms.alcove(1500.0), "drain", "back", 700.0))
    plan = CabinetPlan("back", 600, 500, 100, 800, "left", "right", mark="drain", out=-300.0, in_line=True)
    box = fit_cabinet(known, plan)
    gaps = {side: gap.least for side, gap in box.sides.items()}
    assert gaps == pytest.approx({"left": 400.0, "right": 500.0}, abs=1e-3)


# Aims of tops


def scribed(wall: str) -> EdgePlan:
    return EdgePlan(wall, "scribed")


@pytest.mark.parametrize(
    ("aim", "left", "back"), [("stay", 600.0 * ONE, 0.0), ("balanced", 7.480277, 7.480277)]
)
def test_a_top_in_a_corner_out_of_square_is_turned_to_scribe_less(aim, left, back):
    """The range that the allowance covers: 600 tan 1 degree at one edge, or 7.48 at both (closed form)."""
    known = rooms.known(rooms.corner(91.0, 1600.0))
    plan = TopPlan("back", UP, 30, scribed("left"), None, scribed("back"), depth=600, width=1500, aim=aim)
    top = fit_top(known, plan)
    found = {side: edge.allowance.range for side, edge in top.outline.edges.items() if edge.allowance}
    assert found == pytest.approx({"left": left, "back": back}, abs=0.3)
    assert top.outline.edges["left"].final == pytest.approx(1500.0, abs=0.3)
    assert top.outline.edges["back"].final == pytest.approx(600.0, abs=0.3)


def test_a_top_on_a_cabinet_keeps_its_open_end_over_it():
    known = rooms.known(rooms.corner(91.0, 1600.0))
    box = fit_cabinet(known, CabinetPlan("back", 1400, 560, 100, UP - 30, "left", left_gap=20))
    plan = TopPlan(
        "back", UP, 30, scribed("left"), None, scribed("back"), overhang=25, end_overhang=10, aim="balanced"
    )
    stays = fit_top(known, replace(plan, aim="stay"), box)
    top = fit_top(known, plan, box)
    assert top.placed.off_seat[0] < -0.003
    end = [one.placed.frame.to_room(one.datum[0], one.datum[1])[0] for one in (stays, top)]
    assert end[1] == pytest.approx(end[0], abs=0.5)
    deepest = [
        max(edge.allowance.range for edge in one.outline.edges.values() if edge.allowance)
        for one in (stays, top)
    ]
    assert deepest[1] < deepest[0] - 2.0


def test_a_top_is_pinned_off_the_wall_behind():
    known = rooms.known(rooms.alcove(1500.0))
    plan = TopPlan(
        "back", UP, 30, EdgePlan("left", "net", 1.5), EdgePlan("right", "net", 1.5), scribed("back"),
        depth=560, pins=(SidePin("back", "exactly", 6.0),),
    )  # fmt: skip
    top = fit_top(known, plan)
    assert top.outline.edges["back"].final == pytest.approx(566.0, abs=1e-3)
    contradicting = (*plan.pins, SidePin("back", "at least", 8.0))
    clash = fit_top(known, replace(plan, pins=contradicting)).clash
    assert clash is not None
    assert clash.least.by == pytest.approx(2.0, abs=1e-3)

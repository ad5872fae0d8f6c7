"""What an end meets besides a wall: how far it is, how sure, and what moving the piece does to that.

A plane is met by a ray where elementary geometry says: that is worked out here from the plan's points alone.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitting import CabinetPlan, EdgePlan, SideOf, TopPlan, Upright, fit_cabinet, fit_top
from fitting.errors import BadInput
from fitting.placement import Against, At, Beside, place
from fitting.site import Along, Corner, CornerTurn, Feature, Gaps, Plan, know_room

WALLS = Plan("back", ("left", "back"), (Corner("c", "left", "back"),), features=(Feature("mark", "back"),))
UP = 850.0
STEP = 1e-4
PLACES = [(-40.0, 0.0, UP), (-10.0, 300.0, UP), (0.0, 560.0, UP)]


def room_of(turn=0.0, mark_sd=0.01):
    along = tuple(np.linspace(0.0, 1800.0, 13))
    flat = Gaps("flat", "back", "c", along, (UP,) * 13, (0.0,) * 13, (0.1,) * 13)
    mark = Along("mark", 700.0, mark_sd, "mark", "c", UP)
    return know_room(WALLS, [CornerTurn("square", turn, 1e-4, "c", 500.0, 500.0, UP), mark, flat])


def askew(room, turn=0.01):
    """A piece at the mark that was turned off its wall."""
    return place(room, "back", At("mark", 30.0), (0.0, 600.0), 560.0, 830.0, UP).moved(turn, 4.0, -6.0)


def by_geometry(placed, toward, places, point, way):
    """How far it is from places of a piece, along its own axis, to the line through a point of the plan."""
    sign, heading = (1.0 if toward == "right" else -1.0), placed.frame.heading
    axis = sign * np.array([math.cos(heading), math.sin(heading)])
    across = np.array([-way[1], way[0]])
    starts = [np.array(placed.frame.to_room(x, y)) for x, y, _ in places]
    return np.array([(np.array(point) - start) @ across / (axis @ across) for start in starts])


def upright(room):
    """A plane 20 mm right of the mark, square to the back wall, and the same in the plan."""
    (ux, uy), (nx, ny) = room.axes("back")
    x, y = room.point("mark", UP).mean
    return Upright("mark", 20.0, 100.0), (x + 20.0 * ux, y + 20.0 * uy), (nx, ny)


def side_of(room, lateral_wall="left"):
    """The right side of a box at the left wall, and the same in the plan."""
    box = fit_cabinet(room, CabinetPlan("back", 500, 540, 0, 2000, lateral_wall, left_gap=20))
    first, second = (np.array(box.placed.frame.to_room(box.right, y)) for y in (0.0, 540.0))
    return SideOf(box.placed, box.right, 540.0), first, second - first


@pytest.mark.parametrize("toward", ["left", "right"])
@pytest.mark.parametrize("stands", [upright, side_of])
@pytest.mark.parametrize("turn", [0.0, 0.01, -0.02])
def test_it_is_as_far_as_the_plan_says_and_moves_as_the_piece_is_moved(stands, toward, turn):
    room = room_of(turn)
    what, point, way = stands(room)
    placed = askew(room)
    asked = what.questions(placed, toward, PLACES)
    answers = placed.expect(asked)
    assert answers == pytest.approx(by_geometry(placed, toward, PLACES, point, way), abs=1e-6)
    turned, right, back = (
        (by_geometry(placed.moved(*motion), toward, PLACES, point, way) - answers) / STEP
        for motion in ((STEP, 0.0, 0.0), (0.0, STEP, 0.0), (0.0, 0.0, STEP))
    )
    effects = placed.effects(asked, answers)
    # It turns about its seat's origin, moves along its seated line: 0.01 off the axes it stands in.
    assert effects == pytest.approx(np.column_stack([turned, back, right]), rel=2e-3, abs=2e-2)


def test_what_is_pushed_against_it_is_as_sure_as_it_is_straight():
    """A mark known to 5 mm: 5 mm from a corner, none from what is pushed against a thing at the mark."""
    room = room_of(mark_sd=5.0)
    what, _, _ = upright(room)
    beside = place(room, "back", Beside("left", what, 720.0, 2.0), (0.0, 600.0), 560.0, 830.0, UP)
    ends = [(0.0, 0.0, UP), (0.0, 560.0, UP)]
    known = beside.measure(what.questions(beside, "left", ends))
    assert known.mean.min() == pytest.approx(2.0, abs=1e-6)
    assert known.sd.max() < 1.5
    corner = place(room, "back", Against("left", "left", 722.0), (0.0, 600.0), 560.0, 830.0, UP)
    assert corner.measure(what.questions(corner, "left", ends)).sd.min() > 4.5


def test_a_box_is_as_unsure_as_what_holds_it():
    """Seen from a mark known to 5 mm, a box at the wall is 5 mm unsure, one at the mark is not."""
    room = room_of(mark_sd=5.0)
    here = place(room, "back", At("mark", 100.0), (0.0, 600.0), 560.0, 830.0, UP)
    ends = [(0.0, 0.0, UP), (0.0, 560.0, UP)]
    at_wall, _, _ = side_of(room)
    assert 4.5 < here.measure(at_wall.questions(here, "left", ends)).sd.min() < 6.5
    box = fit_cabinet(room, CabinetPlan("back", 300, 540, 0, 2000, mark="mark", out=-250))
    at_mark = SideOf(box.placed, box.right, 540.0)
    assert here.measure(at_mark.questions(here, "left", ends)).sd.max() < 1.5


@pytest.mark.parametrize("turn", [0.0, 0.02])
def test_a_top_is_as_wide_as_typed_from_where_its_gap_leaves_it(turn):
    room = room_of(turn)
    what, _, _ = upright(room)
    edge = EdgePlan("back", "covered", 2.0, at=what)
    top = fit_top(room, TopPlan("back", UP, 30, left=edge, depth=560, width=640))
    assert top.outline.edges["left"].final == pytest.approx(640.0, abs=0.01)
    mirrored = fit_top(room, TopPlan("back", UP, 30, right=edge, depth=560, width=640))
    assert mirrored.outline.edges["right"].final == pytest.approx(640.0, abs=0.01)


def test_between_a_box_and_a_plane_a_top_has_what_is_between_them():
    """The box ends at 520, the plane is at 720: 200, less 2 and 3; both are square to one straight wall."""
    room = room_of()
    what, _, _ = upright(room)
    side, _, _ = side_of(room)
    ends = {
        "left": EdgePlan("back", "net", 2.0, at=side),
        "right": EdgePlan("back", "net", 3.0, at=what),
    }
    top = fit_top(room, TopPlan("back", UP, 30, depth=500, **ends))
    across = np.ptp(top.outline.outline[:, 0])
    used = sum(top.outline.edges[side].gap for side in ("left", "right"))
    assert across == pytest.approx(200.0 - used, abs=0.1)


def test_a_back_meets_walls_only_and_ends_must_leave_room():
    room = room_of()
    what, _, _ = upright(room)
    with pytest.raises(BadInput, match="only ends meet that"):
        fit_top(room, TopPlan("back", UP, 30, back=EdgePlan("back", "net", at=what), depth=500, width=600))
    side, _, _ = side_of(room)
    crossed = {"left": EdgePlan("back", "net", at=what), "right": EdgePlan("back", "net", at=side)}
    with pytest.raises(BadInput, match="expected room between its ends"):
        fit_top(room, TopPlan("back", UP, 30, depth=500, **crossed))

"""Face frames worked out by hand. The frame that most of them cut:

36 in wide, 30 high, stiles 1 1/2, rails 1 1/2, a drawer over a door::

  |1.5|------------- 33 -------------|1.5|
  +---+------------------------------+---+
  |   |            rail 1.5          |   |
  |   +------------------------------+   |
  |   |            opening 5         |   |  30
  |   +------------------------------+   |
  |   |            rail 1.5          |   |     5 + 20.5 + 3 x 1.5 = 30
  |   +------------------------------+   |
  |   |            opening 20.5      |   |
  |   +------------------------------+   |
  |   |            rail 1.5          |   |
  +---+------------------------------+---+
"""

from __future__ import annotations

import math
from dataclasses import replace

import piece_rooms as rooms
import pytest

from fitting.allowance import SAW
from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.errors import BadInput
from fitting.face_frame import FaceFramePlan, fit_face_frame
from fitting.piece import CLEARANCE, TrimPlan

INCH = 25.4
PLAN = FaceFramePlan(36 * INCH, 30 * INCH, 0.75 * INCH, 1.5 * INCH, 1.5 * INCH, (5 * INCH, 20.5 * INCH))


def beside(side, room):
    """A box 900 wide, 550 deep and 800 high, 20 mm off the wall at a side."""
    plan = CabinetPlan("back", 900, 550, 0, 800, **{f"{side}_wall": side, f"{side}_gap": 20.0})
    return fit_cabinet(rooms.known(room), plan)


def inches(*values):
    return pytest.approx([one * INCH for one in values])


def test_a_drawer_over_a_door():
    frame = fit_face_frame(PLAN)
    left, right, rail = frame.members
    assert [left.length, left.width, left.blank_width] == inches(30, 1.5, 1.5)
    assert replace(right, name="left stile") == left
    assert [rail.length, rail.width, rail.blank_width] == inches(33, 1.5, 1.5)
    assert [one.quantity for one in frame.members] == [1, 1, 3]
    first, second = frame.openings
    assert [first.width, first.height, first.from_top] == inches(33, 5, 1.5)
    assert [second.width, second.height, second.from_top] == inches(33, 20.5, 8)


def test_without_openings_there_is_one_between_two_rails():
    frame = fit_face_frame(replace(PLAN, openings=()))
    (only,) = frame.openings
    assert [only.width, only.height, only.from_top] == inches(33, 27, 1.5)
    assert frame.members[2].quantity == 2


@pytest.mark.parametrize(("side", "member"), [("left", 0), ("right", 1)])
@pytest.mark.parametrize("tilt", [0.005, -0.005])
def test_a_stile_at_a_leaning_wall_is_left_wide(side, member, tilt):
    """A box 20 mm off a wall that leans 4 mm over its 800: the stile is 50 + 20 at the narrowest place, and
    its blank has the lean's 4 and the saw's 1/16 in on it."""
    box = beside(side, rooms.alcove().changed(side, tilt=tilt))
    frame = fit_face_frame(FaceFramePlan(900, 800, 20, 50, 40, scribed={side: SAW}), box)
    stile, other = frame.members[member], frame.members[1 - member]
    assert stile.width == pytest.approx(70, abs=1e-3)
    assert stile.blank_width == pytest.approx(74 + SAW, abs=1e-3)
    assert (other.width, other.blank_width) == (50, 50)
    assert frame.members[2].length == 800  # between the stiles' inner edges, whatever the wall does
    scribe = frame.outline.edges[side].scribe
    assert scribe.deepest - scribe.shallowest == pytest.approx(4, abs=1e-3)


def test_it_is_scribed_at_its_face():
    """A corner of 91 degrees, opening by tan 1 deg for each mm to the front: at 20 before the box's 550 it is
    570 tan 1 deg wider than behind; the box is nearest at its back, 20 off."""
    frame = fit_face_frame(
        FaceFramePlan(900, 800, 20, 50, 40, scribed={"left": SAW}), beside("left", rooms.corner(91))
    )
    wide = 20 + 570 * math.tan(math.radians(1))
    assert frame.members[0].width == pytest.approx(50 + wide, abs=1e-3)
    assert frame.outline.outline[:, 0].min() == pytest.approx(-wide, abs=1e-3)


def test_a_lower_frame_hangs_from_the_cabinets_top():
    # The wall leans in 0.005 per mm: over the upper 700 of 800 it comes in by 3.5.
    box = beside("left", rooms.alcove().changed("left", tilt=0.005))
    frame = fit_face_frame(FaceFramePlan(900, 700, 20, 50, 40, scribed={"left": 0.0}), box)
    assert frame.members[0].blank_width == pytest.approx(73.5, abs=1e-3)


def test_a_narrower_frame_stands_in_the_middle():
    frame = fit_face_frame(
        FaceFramePlan(880, 800, 20, 50, 40, scribed={"left": 0.0}), beside("left", rooms.alcove())
    )
    assert frame.members[0].width == pytest.approx(80, abs=1e-3)


def test_between_two_walls_both_stiles_are_wide():
    room = rooms.known(rooms.alcove())
    box = fit_cabinet(room, CabinetPlan("back", 900, 550, 0, 800, left_wall="left", right_wall="right"))
    frame = fit_face_frame(FaceFramePlan(900, 800, 20, 50, 40, scribed={"left": SAW, "right": SAW}), box)
    gaps = [box.sides[side].least for side in ("left", "right")]
    assert [one.width - 50 for one in frame.members[:2]] == pytest.approx(gaps, abs=1e-3)
    assert set(frame.stake.lines) == {"left", "right"}


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_stile_is_notched_over_the_baseboard(side):
    # 100 high, 12 thick, 1/16 in clear: from 20 wide it leaves 8 less the clearance at the bottom.
    board = TrimPlan("baseboard", side, 3000, 12, "right", 0, 100)
    frame = fit_face_frame(
        FaceFramePlan(900, 800, 20, 50, 40, scribed={side: SAW}, trims=(board,)),
        beside(side, rooms.alcove()),
    )
    (notch,) = frame.outline.notches
    out = -notch.corners[:, 0] if side == "left" else notch.corners[:, 0] - 900
    assert out.min() < 8 - CLEARANCE + 1e-3
    assert out.min() == pytest.approx(8 - CLEARANCE, abs=2.5)  # and what the board's typed size leaves open
    assert notch.corners[:, 1].max() > 100


def test_a_stile_is_only_scribed_to_a_wall_that_its_cabinet_meets():
    plan = FaceFramePlan(900, 800, 20, 50, 40, scribed={"right": SAW})
    with pytest.raises(BadInput, match="meets no wall at its right"):
        fit_face_frame(plan, beside("left", rooms.alcove()))
    with pytest.raises(BadInput, match="expected the cabinet"):
        fit_face_frame(plan)


def test_members_make_up_the_frame():
    """By area: stiles, rails and openings are the frame, nothing twice."""
    frame = fit_face_frame(PLAN)
    wood = sum(one.quantity * one.length * one.width for one in frame.members)
    holes = sum(one.width * one.height for one in frame.openings)
    assert wood + holes == pytest.approx(PLAN.width * PLAN.height)


def test_openings_that_do_not_add_up_say_by_how_much():
    # 5 + 21.5 against 25.5: one inch too much.
    plan = replace(PLAN, openings=(5 * INCH, 21.5 * INCH))
    with pytest.raises(
        BadInput, match=r"add up to 647\.7 mm.*make them 25\.4 less, or the frame 25\.4 higher"
    ):
        fit_face_frame(plan)
    plan = replace(PLAN, openings=(5 * INCH, 19.5 * INCH))
    with pytest.raises(BadInput, match=r"make them 25\.4 more, or the frame 25\.4 lower"):
        fit_face_frame(plan)


def test_a_sixty_fourth_is_shared_out():
    assert len(fit_face_frame(replace(PLAN, openings=(5 * INCH, 20.5 * INCH + 0.39))).openings) == 2
    with pytest.raises(BadInput, match="add up"):
        fit_face_frame(replace(PLAN, openings=(5 * INCH, 20.5 * INCH + 0.41)))


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"stile": 18 * INCH}, "stiles that leave an opening"),
        ({"rail": 15 * INCH, "openings": ()}, "rails that leave an opening"),
        ({"height": 0.0}, "height: expected a size"),
        ({"openings": (math.nan,)}, "opening: expected a size"),
    ],
)
def test_what_leaves_no_frame_is_refused(change, what):
    with pytest.raises(BadInput, match=what):
        fit_face_frame(replace(PLAN, **change))

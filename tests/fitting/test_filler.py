"""Fillers worked out by hand."""

import math
from statistics import NormalDist

import numpy as np
import piece_rooms as rooms
import pytest

from fitting.allowance import SAW
from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.errors import BadInput
from fitting.filler import FillerPlan, filler_options, fit_filler
from fitting.piece import CLEARANCE, TYPED_SIZE_SD, TrimPlan

BOARD = TrimPlan("baseboard", "left", 3000, 12, "right", 0, 100)
SURE = 1e-3  # mm


def strip(room, side="left", gap=20.0, **changes):
    plan = CabinetPlan("back", 900, 550, 0, 800, **{f"{side}_wall": side, f"{side}_gap": gap})
    return fit_filler(fit_cabinet(rooms.known(room), plan), FillerPlan(side, **changes))


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("tilt", [0.005, -0.005])
def test_a_leaning_wall_tapers_it_by_height_times_tilt(side, tilt):
    # 0.005 * 800 = 4 mm, narrower where the wall leans in; 20 at its narrowest.
    found = strip(rooms.alcove().changed(side, tilt=tilt), side)
    assert found.taper == pytest.approx(-800 * tilt, abs=SURE)
    assert min(found.at_bottom, found.at_top) == pytest.approx(20, abs=SURE)
    edge = found.outline.edges[side]
    assert (edge.final, edge.allowance.range) == pytest.approx((20, 4), abs=SURE)
    assert edge.blank == pytest.approx(24 + SAW, abs=SURE)


def test_the_scribed_edge_is_on_the_walls_side():
    # Seen from the room: the left filler reaches to the left of the cabinet's edge (x = 0), wider at the
    # bottom where the wall leans in by 4 mm over its height.
    found = strip(rooms.alcove().changed("left", tilt=0.005), "left")
    expected = [(-24, 0), (0, 0), (0, 800), (-20, 800)]
    assert found.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    found = strip(rooms.alcove().changed("right", tilt=0.005), "right")
    expected = [(0, 0), (24, 0), (20, 800), (0, 800)]
    assert found.outline.outline == pytest.approx(np.array(expected), abs=SURE)


@pytest.mark.parametrize(("degrees", "at_front"), [(91, 1.0), (89, 0.0)])
def test_it_is_measured_at_its_face(degrees, at_front):
    # 550 deep, corner off by 1 deg: 9.60 more at the open end. 100 behind the front: 100 tan 1 deg less
    # (wide) or more (tight).
    off = math.tan(math.radians(1))
    assert strip(rooms.corner(degrees)).at_top == pytest.approx(20 + at_front * 550 * off, abs=SURE)
    setback = 450 if at_front else 100
    assert strip(rooms.corner(degrees), setback=100).at_top == pytest.approx(20 + setback * off, abs=SURE)


def test_a_baseboard_is_notched_at_the_bottom_of_the_walls_side():
    # 100 high and 12 thick: from 20 wide it leaves 8 at the bottom, less the clearance.
    found = strip(rooms.corner(90), trims=(BOARD,))
    (notch,) = found.outline.notches
    c = CLEARANCE + NormalDist().inv_cdf(1 - 0.01 / 2) * TYPED_SIZE_SD
    assert set(notch.opens) == {"left", "front"}
    expected = [(-20, 100 + c), (-8 + c, 100 + c), (-8 + c, 0)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)


def test_options_are_what_a_fitter_would_weigh():
    # 50 between the walls less the box, nothing under 19 worth cutting.
    assert [(o.words, o.left, o.right) for o in filler_options(50, 19)] == [
        ("left only", 50, 0),
        ("right only", 0, 50),
        ("both alike", 25, 25),
    ]
    assert [o.words for o in filler_options(38, 19)] == ["left only", "right only", "both alike"]
    assert [o.words for o in filler_options(37.9, 19)] == ["left only", "right only"]
    assert filler_options(18.9, 19) == []


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"setback": -1.0}, "setback: expected 0 to the cabinet's depth"),
        ({"setback": 551.0}, "setback: expected 0 to the cabinet's depth"),
        ({"setback": math.nan}, "setback: expected 0 to the cabinet's depth"),
        ({"saw": -1.0}, "saw: expected 0 mm or more"),
        ({"confidence": 1.0}, "confidence: expected a chance between 0 and 1"),
        ({"clearance": math.nan, "trims": (BOARD,)}, "clearance"),
        ({"trims": (TrimPlan("board", "back", 900, 12, "right", 0, 100),)}, "expected wall `left`"),
        ({"trims": (TrimPlan("board", "left", 900, 0, "right", 0, 100),)}, "board: projection: expected"),
        ({"trims": (TrimPlan("board", "left", 900, 12, "right", 100, 0),)}, "board: height: expected"),
    ],
)  # fmt: skip
def test_a_filler_that_cannot_be_is_refused(changes, words):
    with pytest.raises(BadInput, match=words):
        strip(rooms.corner(90), **changes)


def test_where_there_is_no_wall_there_is_no_filler():
    found = fit_cabinet(
        rooms.known(rooms.corner(90)),
        CabinetPlan("back", 900, 550, 0, 800, left_wall="left", left_gap=20),
    )
    with pytest.raises(BadInput, match="meets no wall at its right"):
        fit_filler(found, FillerPlan("right"))


@pytest.mark.parametrize(("total", "narrowest"), [(math.nan, 19), (50, math.nan), (50, 0), (50, -1)])
def test_options_of_no_size_are_refused(total, narrowest):
    with pytest.raises(BadInput, match="expected"):
        filler_options(total, narrowest)

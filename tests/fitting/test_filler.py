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
from fitting.site import Level, know_room

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


def under_ceiling(tilt=0.0, height=900.0, gap=20.0, sd=1e-4, **changes):
    """A box 900 wide, top at 800, under a ceiling that rises to the right by `tilt` per mm from `height`."""
    room = rooms.alcove()
    levels = [
        Level(f"c{x} {out}", height + tilt * x, sd, "ceiling", "back", x, "left-back", out)
        for x in (50.0, 700.0, 1400.0)
        for out in (50.0, 550.0)
    ]
    site = know_room(
        room.plan(), [*(room.exact(one) for one in rooms.every_reading(room)), *levels], rooms.NO_WAVES
    )
    box = fit_cabinet(site, CabinetPlan("back", 900, 550, 0, 800, left_wall="left", left_gap=gap))
    return fit_filler(box, FillerPlan("top", **changes))


def test_on_top_it_is_as_wide_as_the_room_over_the_cabinet():
    """Ceiling at 900 over a top at 800, level: 100 by 900; its datum is the lower edge, x = 0 the left side.

    ----------------- ceiling, 900
    [               ] strip, 100
    |   cabinet     | top at 800
    """
    found = under_ceiling()
    assert (found.length, found.narrowest, found.widest) == pytest.approx((900, 100, 100), abs=SURE)
    assert found.outline.outline == pytest.approx(
        np.array([(0, 0), (900, 0), (900, 100), (0, 100)]), abs=SURE
    )
    assert found.outline.edges["back"].blank == pytest.approx(100 + SAW, abs=SURE)
    assert found.stake is None
    assert found.covers.value == pytest.approx(1.0)


def test_on_top_it_tapers_with_the_ceiling():
    """The ceiling rises 0.01 per mm from the room's left corner; the box stands from x = 20 to 920."""
    found = under_ceiling(tilt=0.01)
    assert (found.at_bottom, found.at_top) == pytest.approx((100.2, 109.2), abs=0.01)
    assert found.taper == pytest.approx(9, abs=0.01)


def test_on_top_it_runs_on_over_a_strip_at_the_side():
    found = under_ceiling(over=("left",))
    assert found.length == pytest.approx(920, abs=SURE)
    assert found.outline.outline[:, 0].min() == pytest.approx(-20, abs=SURE)
    assert found.outline.edges["left"].finish == "scribed"


def test_a_cabinet_on_a_floor_leaves_more_over_for_what_the_floor_leaves_open():
    plain, unsure = under_ceiling(), under_ceiling(height_sd=2.0)
    more = unsure.outline.edges["back"].blank - plain.outline.edges["back"].blank
    # All places rise and fall with the floor alike: one station's quantile.
    assert more == pytest.approx(NormalDist().inv_cdf(0.99) * 2.0, abs=0.1)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"height": 790.0}, "expected the ceiling over the cabinet's top"),
        ({"height_sd": -1.0}, "height_sd: expected 0 mm or more"),
        ({"over": ("right",)}, "meets no wall at its right"),
        ({"setback": 551.0}, "setback: expected"),
    ],
)
def test_a_filler_on_top_that_cannot_be_is_refused(changes, words):
    with pytest.raises(BadInput, match=words):
        under_ceiling(**changes)


def test_without_a_ceiling_that_was_read_there_is_none_on_top():
    box = fit_cabinet(rooms.known(rooms.corner(90)), CabinetPlan("back", 900, 550, 0, 800, "left"))
    with pytest.raises(BadInput, match="nothing says where the ceiling is"):
        fit_filler(box, FillerPlan("top"))


def test_its_width_is_known_at_every_height():
    # The wall leans in by 4 mm over 800; halfway up half of that.
    found = strip(rooms.alcove().changed("left", tilt=0.005), "left")
    assert np.interp([0, 400, 800], found.along, found.widths) == pytest.approx([24, 22, 20], abs=SURE)
    assert (found.narrowest, found.widest) == pytest.approx((20, 24), abs=SURE)

"""Panels worked out by hand, and which side of the drawing the wall is on."""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import piece_rooms as rooms
import pytest
from rooms import chimney_breast

from fitting.allowance import SAW
from fitting.errors import BadInput
from fitting.panel import PanelPlan, fit_panel
from fitting.piece import CLEARANCE, TYPED_SIZE_SD, EdgePlan, TrimPlan
from fitting.site import Covering, Level, know_room

SURE = 1e-3  # mm
BOARD = TrimPlan("baseboard", "back", 3000, 12, "right", 0, 100)


def panel(show="left", **changes):
    plan = {
        "back": EdgePlan("back", "scribed"), "mark": "left-back", "out": 900.0, "depth": 580.0,
        "thickness": 18.0, "bottom": 0.0, "height": 800.0,
    } | changes  # fmt: skip
    return PanelPlan(show=show, **plan)


def kept(edges=2):
    return CLEARANCE + NormalDist().inv_cdf(1 - 0.01 / edges) * TYPED_SIZE_SD


def test_one_that_shows_to_the_left_has_the_wall_at_its_left():
    # Standing left of it and looking right along the wall, the wall is on the left hand. Origin: front
    # bottom corner; 580 deep, so the wall is at x = -580. Baseboard 12 by 100: notched out of that corner.
    (notch,) = fit_panel(rooms.known(rooms.corner(90)), panel(trims=(BOARD,))).outline.notches
    c = kept()
    assert set(notch.opens) == {"left", "front"}
    expected = [(-580, 100 + c), (-568 + c, 100 + c), (-568 + c, 0)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)


def test_one_that_shows_to_the_right_has_the_wall_at_its_right():
    fitted = fit_panel(rooms.known(rooms.corner(90)), panel("right", trims=(BOARD,)))
    (notch,) = fitted.outline.notches
    c = kept()
    assert set(notch.opens) == {"right", "front"}
    expected = [(568 - c, 0), (568 - c, 100 + c), (580, 100 + c)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)
    blank = fitted.outline.blank
    assert (blank[:, 0].min(), blank[:, 0].max()) == pytest.approx((0, 580 + SAW), abs=SURE)


@pytest.mark.parametrize(("tilt", "bottom", "top"), [(0.004, 583.2, 580.0), (-0.004, 580.0, 583.2)])
def test_a_leaning_wall_is_followed(tilt, bottom, top):
    # 0.004 * 800 = 3.2 mm; 580 where the wall stands foremost.
    fitted = fit_panel(rooms.known(rooms.corner(90).changed("back", tilt=tilt)), panel("right"))
    expected = [(0, 0), (bottom, 0), (top, 800), (0, 800)]
    assert fitted.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    assert fitted.outline.edges["right"].allowance.range == pytest.approx(3.2, abs=SURE)


def test_a_baseboard_on_a_leaning_wall_stands_out_of_the_wall_there():
    # The wall at half the board's height (50) is 580 + 0.004 * 750 = 583 out; the board 12 less: 571.
    room = rooms.known(rooms.corner(90).changed("back", tilt=0.004))
    (notch,) = fit_panel(room, panel("right", trims=(BOARD,))).outline.notches
    assert notch.corners[0, 0] == pytest.approx(571 - kept(), abs=SURE)


def test_a_panel_raised_off_the_floor_is_notched_by_less():
    # It starts 40 up: 60 of the board's 100 are left.
    (notch,) = fit_panel(rooms.known(rooms.corner(90)), panel(bottom=40.0, trims=(BOARD,))).outline.notches
    assert notch.corners[:, 1].max() == pytest.approx(60 + kept(), abs=SURE)
    high = fit_panel(rooms.known(rooms.corner(90)), panel(bottom=100.0, trims=(BOARD,)))
    assert high.outline.notches == ()


def test_a_sill_in_the_middle_leaves_wood_above_and_below():
    sill = TrimPlan("sill", "back", 900, 30, "right", 300, 340)
    (notch,) = fit_panel(rooms.known(rooms.corner(90)), panel("right", trims=(sill,))).outline.notches
    c = kept()
    assert notch.opens == ("right",)
    expected = [(580, 300 - c), (550 - c, 300 - c), (550 - c, 340 + c), (580, 340 + c)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)


def test_tile_to_come_moves_the_panel_not_its_depth():
    room = rooms.with_tile(rooms.corner(90), ("back", 12.0))
    fitted = fit_panel(rooms.known(room), panel("right"))
    assert fitted.outline.edges["right"].final == pytest.approx(580, abs=SURE)


def test_beside_an_outside_corner_it_stands_on_the_breasts_face():
    # The breast's face runs from the outside corner at (1101, -355) to (2300, -361); 100 to the right of
    # the corner, square to the face. Its wall is flat and plumb: a plain board 300 by 2000.
    room = rooms.known(chimney_breast())
    plan = panel(
        "left", back=EdgePlan("face", "scribed"), mark="cheek-face", out=100.0, depth=300.0, height=2000.0
    )
    fitted = fit_panel(room, plan)
    expected = [(-300, 0), (0, 0), (0, 2000), (-300, 2000)]
    assert fitted.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    # Along counts from the foot of the origin: u . (1101, -355) + 100 with u along the face.
    u = np.array([1199.0, -6.0]) / math.hypot(1199, 6)
    assert fitted.along == pytest.approx(float(u @ [1101, -355]) + 100, abs=SURE)


def test_against_the_breasts_cheek_it_is_as_deep_as_asked():
    # From the inside corner at (1105, 0) the cheek runs 355 to the front; a panel 150 along it.
    room = rooms.known(chimney_breast())
    plan = panel("right", back=EdgePlan("cheek", "scribed"), mark="recess-cheek", out=150.0, depth=200.0)
    fitted = fit_panel(room, plan)
    assert fitted.outline.edges["right"].final == pytest.approx(200, abs=SURE)
    assert fitted.along - room.along("cheek", "recess-cheek", 400.0).mean[0] == pytest.approx(150, abs=SURE)


@pytest.mark.parametrize(("mark", "out", "behind"), [("left-back", 900.0, 10), ("left-back", 500.0, 0),
                                                     ("stud", -300.0, 10), ("stud", -700.0, 0)])  # fmt: skip
def test_it_stands_where_it_was_asked_to(mark, out, behind):
    # Wainscot to come, 10 thick and 400 high, from 700 to the right: below it the panel is 10 shallower.
    room = rooms.with_mark(rooms.corner(90), "stud", "back", 1200.0)
    wainscot = Covering("back", 10.0, 1e-4, start=700.0, end=1500.0, top=400.0)
    fitted = fit_panel(rooms.known(replace(room, coverings=(wainscot,))), panel(mark=mark, out=out))
    assert fitted.outline.edges["left"].allowance.range == pytest.approx(behind, abs=SURE)


def test_edge_and_baseboard_share_the_chance():
    room = rooms.corner(90)
    readings = [room.exact(one) for one in rooms.every_reading(room, sd=1.0)]
    known = rooms.know_room(room.plan(), readings, rooms.WAVES)
    shared = fit_panel(known, panel(trims=(BOARD,))).outline.edges["left"]
    bare, stricter = (fit_panel(known, panel(confidence=one)).outline.edges["left"] for one in (0.99, 0.995))
    assert shared.allowance.unknown == pytest.approx(stricter.allowance.unknown, abs=0.1)  # sampled
    assert stricter.allowance.unknown > bare.allowance.unknown + 0.2


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"depth": 0.0}, "depth: expected a size above 0"),
        ({"depth": math.nan}, "depth: expected a size above 0"),
        ({"height": -800.0}, "height: expected a size above 0"),
        ({"thickness": 0.0}, "thickness: expected a size above 0"),
        ({"out": math.nan}, "out: expected a length"),
        ({"bottom": math.inf}, "bottom: expected a length"),
        ({"mark": "nowhere"}, "nowhere"),
        ({"back": EdgePlan("attic", "scribed")}, "wall `attic` does not exist"),
        ({"back": EdgePlan("back", "net", -1.0)}, "gap: expected 0 mm or more"),
        ({"trims": (TrimPlan("board", "left", 900, 12, "right", 0, 100),)}, "expected wall `back`"),
        ({"show": "up"}, "show: expected left or right"),
    ],
)  # fmt: skip
def test_a_panel_that_cannot_be_is_refused(changes, words):
    with pytest.raises(BadInput, match=words):
        fit_panel(rooms.known(rooms.corner(90)), panel(**changes))


# --- An upper edge at the ceiling


def under_ceiling(back=0.0, right=0.0, height=2400.0, floor=0.0, sd=1e-4):
    """A ceiling that rises `back` for each mm to the back wall and `right` to the right; a level floor."""
    true = rooms.corner(90)
    places = [(x, out) for x in (0.0, 700.0, 1400.0) for out in (10.0, 400.0, 800.0)]
    levels = [
        Level(
            f"ceiling {x} {out}", height + right * x - back * out, sd, "ceiling", "back", x, "left-back", out
        )
        for x, out in places
    ]
    levels += [
        Level(f"floor {x} {out}", floor, sd, "floor", "back", x, "left-back", out) for x, out in places
    ]
    asked = [true.exact(one) for one in rooms.every_reading(true)]
    return know_room(true.plan(), [*asked, *levels], rooms.NO_WAVES)


AT_CEILING = {"height": 2400.0, "upper": EdgePlan("ceiling", "scribed")}


@pytest.mark.parametrize(("show", "sign"), [("left", -1), ("right", 1)])
def test_an_upper_edge_follows_the_ceiling(show, sign):
    # It rises 0.01 toward the back wall: at the back 2400, at the front, 580 out, 5.8 lower.
    fitted = fit_panel(under_ceiling(back=0.01), panel(show, **AT_CEILING))
    edge = fitted.outline.edges["back"]
    assert edge.final == pytest.approx(2394.2, abs=SURE)
    assert edge.allowance.range == pytest.approx(5.8, abs=SURE)
    top = [(x, y) for x, y in fitted.outline.outline if y > 1000]
    assert sorted(top) == [
        pytest.approx(corner, abs=0.01) for corner in sorted([(0.0, 2394.2), (sign * 580.0, 2400.0)])
    ]
    assert fitted.outline.blank[:, 1].max() == pytest.approx(2400.0 + SAW, abs=SURE)


def test_a_ceiling_that_rises_along_the_wall_does_so_to_the_place_of_the_panel():
    # 900 from the corner at 0.002: 1.8 higher all along.
    edge = fit_panel(under_ceiling(right=0.002), panel(**AT_CEILING)).outline.edges["back"]
    assert edge.final == pytest.approx(2401.8, abs=SURE)
    assert edge.allowance.range < SURE


def test_a_net_upper_edge_keeps_its_gap():
    plan = panel(height=2400.0, upper=EdgePlan("ceiling", "net", 3.0))
    assert fit_panel(under_ceiling(), plan).outline.outline[:, 1].max() == pytest.approx(2397.0, abs=SURE)


def test_one_that_stands_counts_the_floor_and_what_is_unknown_of_it():
    # The floor at -20: from there 2420. Its readings' errors are then in the height too, which makes the
    # variance at each place about twice as great (its sd 1.41 times; of the worst place together, less).
    hung = fit_panel(under_ceiling(floor=-20.0, sd=2.0), panel(**AT_CEILING | {"bottom": -20.0}))
    stands = fit_panel(
        under_ceiling(floor=-20.0, sd=2.0), panel(**AT_CEILING | {"bottom": -20.0}, stands=True)
    )
    for fitted in (hung, stands):
        assert fitted.outline.edges["back"].final == pytest.approx(2420.0, abs=SURE)
    less, more = (one.outline.edges["back"].allowance.unknown for one in (hung, stands))
    assert 1.41 * less > more > 1.2 * less > 0
    assert stands.covers.value >= 0.985


def test_a_panel_over_the_ceiling_or_with_none_read_is_refused():
    with pytest.raises(BadInput, match="nothing says where the ceiling is"):
        fit_panel(rooms.known(rooms.corner(90)), panel(**AT_CEILING))
    with pytest.raises(BadInput, match="expected the ceiling over its bottom, got -100 mm"):
        fit_panel(under_ceiling(), panel(**AT_CEILING | {"bottom": 2500.0}))

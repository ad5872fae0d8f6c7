"""Tops worked out by hand; every working stands beside its check."""

import math
from statistics import NormalDist

import numpy as np
import piece_rooms as rooms
import pytest
from shapely import Polygon

from fitting.allowance import SAW
from fitting.cabinet import CabinetPlan, fit_cabinet
from fitting.errors import BadInput
from fitting.piece import CLEARANCE, TYPED_SIZE_SD, EdgePlan, TrimPlan
from fitting.top import TopPlan, fit_top

SCRIBED_LEFT, SCRIBED_BACK = EdgePlan("left", "scribed"), EdgePlan("back", "scribed")
CASING = TrimPlan("left-back", "back", 70, 15, "right", 0, 2000)  # from the corner on
SURE = 1e-3  # mm; what the readings leave open in these rooms is far below


def in_left_corner(**changes):
    plan = {"left": SCRIBED_LEFT, "back": SCRIBED_BACK, "depth": 560.0, "width": 900.0} | changes
    return TopPlan("back", rooms.UP, 30.0, **plan)


def in_alcove(finish="net", gap=2.0, **changes):
    edges = {side: EdgePlan(side, finish, gap) for side in ("left", "right", "back")}
    return TopPlan("back", rooms.UP, 30.0, **({"depth": 560.0} | edges | changes))


def kept(plan):
    """What a trim's place adds: the normal margin of the share of the chance, of 0.5 mm (typed sizes)."""
    shares = sum(edge is not None for edge in (plan.left, plan.right, plan.back)) + len(plan.trims)
    chance = 1 - (1 - plan.confidence) / shares
    return CLEARANCE + NormalDist().inv_cdf(chance) * TYPED_SIZE_SD


# Offset = depth tan(delta), trade-facts 7.2 (inches, degrees, inches).
@pytest.mark.parametrize(
    ("depth", "degrees", "offset"),
    [(18, 0.5, 0.1571), (22, 1.0, 0.3840), (22.5, 1.5, 0.5892), (25.5, 2.0, 0.8905)],
)
@pytest.mark.parametrize("sign", [1, -1])
def test_out_of_square_is_left_on_the_end(depth, degrees, offset, sign):
    room = rooms.known(rooms.corner(90 + sign * degrees))
    edge = fit_top(room, in_left_corner(depth=depth * 25.4)).outline.edges["left"]
    assert edge.final == pytest.approx(900, abs=SURE)
    assert edge.allowance.range == pytest.approx(offset * 25.4, abs=0.00006 * 25.4)
    assert edge.allowance.unknown < SURE
    assert edge.blank == pytest.approx(900 + edge.allowance.range + SAW, abs=SURE)


def test_a_wide_corner_is_open_at_the_front_and_a_tight_one_at_the_back():
    # 560 tan 1 deg = 9.7748. Wide: the wall is nearest at the back, there the top is 900 wide and at the
    # front 909.77. Tight: the other way round. Datum: right end x = 0, front y = 0.
    off = 560 * math.tan(math.radians(1))
    for degrees, front, back in ((91, 900 + off, 900), (89, 900, 900 + off)):
        top = fit_top(rooms.known(rooms.corner(degrees)), in_left_corner())
        expected = [(-front, 0), (0, 0), (0, 560), (-back, 560)]
        assert top.plan.datum == "right end"
        assert top.outline.outline == pytest.approx(np.array(expected), abs=SURE)


def test_at_the_right_wall_the_datum_is_the_left_end():
    # The right corner of an alcove opens by 1 deg: nearest at the back; 909.77 at the front.
    off = 560 * math.tan(math.radians(1))
    plan = in_left_corner(left=None, right=EdgePlan("right", "scribed"))
    top = fit_top(rooms.known(rooms.alcove(right=91)), plan)
    assert top.plan.datum == "left end"
    expected = [(0, 0), (900 + off, 0), (900, 560), (0, 560)]
    assert top.outline.outline == pytest.approx(np.array(expected), abs=SURE)


def test_a_hollow_in_the_back_wall_is_filled_with_wood():
    # The wall falls back by 5 mm at 450 of 0..900: the top rests on both ends, 565 deep in the middle.
    room = rooms.corner(90).changed("back", bump=lambda along, _up: -5 * (1 - (along / 450 - 1) ** 2))
    dense = rooms.check("back", "left-back", range(0, 1000, 25), 1e-3)
    edge = fit_top(rooms.known(room, rooms.WAVES, [dense]), in_left_corner()).outline.edges["back"]
    assert edge.final == pytest.approx(560, abs=0.05)
    assert edge.allowance.range == pytest.approx(5, abs=0.05)
    assert np.interp(-450, edge.stations, edge.reach) == pytest.approx(565, abs=0.05)


def test_a_hump_turns_the_top_onto_its_longer_side():
    # A ridge 4 mm high at 300, nothing at 0 and from 600 on: the back rests on the ridge and on the right
    # end (900). The line there falls 4 in 600, so at the left end it stands 4 * 900 / 600 = 6 mm out.
    room = rooms.corner(90).changed("back", bump=lambda along, _up: 4 * max(0, 1 - abs(along / 300 - 1)))
    dense = rooms.check("back", "left-back", range(0, 1000, 20), 1e-3)
    edge = fit_top(rooms.known(room, rooms.WAVES, [dense]), in_left_corner()).outline.edges["back"]
    assert edge.final == pytest.approx(560, abs=0.3)
    assert edge.allowance.range == pytest.approx(6, abs=0.3)
    assert edge.reach[0] - edge.final == pytest.approx(6, abs=0.3)  # at the left end, drawn from there


def test_in_an_alcove_it_is_cut_net_with_its_gap():
    # 1500 less 2 at either end; measured from a centre line.
    top = fit_top(rooms.known(rooms.alcove()), in_alcove())
    assert top.plan.datum == "centre line"
    expected = [(-748, 0), (748, 0), (748, 558), (-748, 558)]
    assert top.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    assert [top.outline.edges[side].gap for side in ("left", "right", "back")] == pytest.approx([2, 2, 2])


@pytest.mark.parametrize(("left", "right"), [(91, 90.5), (89, 89.5), (91, 89)])
def test_in_a_crooked_alcove_it_is_the_room_less_the_gap(left, right):
    room = rooms.alcove(1500, left, right)
    top = fit_top(rooms.known(room), in_alcove(gap=0.0))
    made = Polygon(top.outline.outline + np.array(top.datum))
    made = Polygon([top.placed.frame.to_room(*corner) for corner in made.exterior.coords[:-1]])
    # The room itself, from its own corners: the front is 560 out from the back wall.
    a, b = (math.tan(math.radians(one - 90)) for one in (left, right))
    there = Polygon([(-560 * a, -560), (0, 0), (1500, 0), (1500 + 560 * b, -560)])
    assert made.symmetric_difference(there).area < 1500 * SURE
    assert made.hausdorff_distance(there) < SURE


def test_tile_to_come_on_both_sides_makes_it_narrower():
    # 1500 less 10 and 8 of tile, less 2 at either end.
    room = rooms.with_tile(rooms.alcove(), ("left", 10.0), ("right", 8.0))
    outline = fit_top(rooms.known(room), in_alcove()).outline.outline
    assert np.ptp(outline[:, 0]) == pytest.approx(1500 - 18 - 4, abs=SURE)


def test_tile_to_come_on_the_back_moves_the_front_not_the_depth():
    bare, tiled = rooms.corner(90), rooms.with_tile(rooms.corner(90), ("back", 12.0))
    one, other = (fit_top(rooms.known(room), in_left_corner()) for room in (bare, tiled))
    assert other.outline.outline == pytest.approx(one.outline.outline, abs=SURE)
    assert other.placed.frame.y - one.placed.frame.y == pytest.approx(-12, abs=SURE)


def test_a_casing_on_the_left_wall_is_notched_from_the_datum():
    # Near edge 500 out from the back, 60 wide toward the front (facing the left wall: to its left), 18 out.
    # Of 560 deep: it takes 0..60 from the front, and 900..882 from the right end, each and the clearance.
    room = rooms.with_mark(rooms.corner(90), "casing", "left", -500.0)
    casing = TrimPlan("casing", "left", 60, 18, "left", 0, 2000)
    plan = in_left_corner(trims=(casing,))
    (notch,) = fit_top(rooms.known(room), plan).outline.notches
    c = kept(plan)
    assert notch.obstacles == ("casing",)
    assert notch.clearance == pytest.approx(c, abs=SURE)
    assert set(notch.opens) == {"left", "front"}
    expected = [(-900, 60 + c), (-882 + c, 60 + c), (-882 + c, 0)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)


def test_a_casing_on_the_back_wall_is_notched_at_the_back():
    # Near edge 120 from the corner, 70 wide to the right, 15 out: 780..710 from the right end.
    room = rooms.with_mark(rooms.corner(90), "casing", "back", 120.0)
    plan = in_left_corner(trims=(TrimPlan("casing", "back", 70, 15, "right", 0, 2000),))
    (notch,) = fit_top(rooms.known(room), plan).outline.notches
    c = kept(plan)
    assert notch.opens == ("back",)
    expected = [(-710 + c, 560), (-710 + c, 545 - c), (-780 - c, 545 - c), (-780 - c, 560)]
    assert notch.corners == pytest.approx(np.array(expected), abs=SURE)


def test_the_blank_is_notched_too_and_as_deep_from_the_datum():
    room = rooms.with_mark(rooms.corner(90), "casing", "back", 120.0)
    plan = in_left_corner(trims=(TrimPlan("casing", "back", 70, 15, "right", 0, 2000),))
    outline = fit_top(rooms.known(room), plan).outline
    blank, (notch,) = Polygon(outline.blank), outline.notches
    left, front, right, back = blank.bounds
    assert (left, front, right, back) == pytest.approx((-900 - SAW, 0, 0, 560 + SAW), abs=SURE)
    nearest = np.abs(outline.blank[:, None] - notch.corners[None, 1:3]).max(axis=2).min(axis=0)
    assert nearest == pytest.approx([0, 0], abs=SURE)


def test_trim_above_or_below_is_not_in_the_way():
    room = rooms.with_mark(rooms.corner(90), "sill", "back", 300.0)
    for bottom, top in ((850.0, 2000.0), (0.0, 820.0)):
        plan = in_left_corner(trims=(TrimPlan("sill", "back", 70, 15, "right", bottom, top),))
        assert fit_top(rooms.known(room), plan).outline.notches == ()
    just_in = in_left_corner(trims=(TrimPlan("sill", "back", 70, 15, "right", 0.0, 820.5),))
    assert len(fit_top(rooms.known(room), just_in).outline.notches) == 1


def test_edges_and_trim_share_the_chance():
    # What is unknown of an edge grows when trim shares the chance with it: all risks add up to 1 %.
    room = rooms.with_mark(rooms.corner(90), "casing", "back", 120.0)
    readings = [room.exact(one) for one in rooms.every_reading(room, sd=1.0)]
    known = rooms.know_room(room.plan(), readings, rooms.WAVES)
    casing = TrimPlan("casing", "back", 70, 15, "right", 0, 2000)
    bare = fit_top(known, in_left_corner(confidence=0.99)).outline.edges["left"]
    shared = fit_top(known, in_left_corner(confidence=0.99, trims=(casing,))).outline.edges["left"]
    stricter = fit_top(known, in_left_corner(confidence=1 - 0.01 * 2 / 3)).outline.edges["left"]
    assert shared.allowance.unknown == pytest.approx(stricter.allowance.unknown, abs=1e-9)
    assert shared.allowance.unknown > bare.allowance.unknown


def test_on_a_cabinet_it_overhangs_and_runs_with_its_front():
    # Box 800 wide, 550 deep, 20 off the left wall: the top is 20 + 800 + 15 wide, 550 + 25 deep.
    room = rooms.known(rooms.corner(90))
    box = fit_cabinet(room, CabinetPlan("back", 800, 550, 0, 820, left_wall="left", left_gap=20))
    plan = TopPlan("back", rooms.UP, 30, SCRIBED_LEFT, None, SCRIBED_BACK, overhang=25, end_overhang=15)
    top = fit_top(room, plan, box)
    expected = [(-835, 0), (0, 0), (0, 575), (-835, 575)]
    assert top.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    assert top.datum == pytest.approx((815, -25), abs=SURE)


def test_on_a_cabinet_between_nothing_it_is_as_wide_as_the_cabinet_and_its_overhangs():
    room = rooms.known(rooms.corner(90))
    box = fit_cabinet(room, CabinetPlan("back", 800, 550, 0, 820, mark="left-back", out=300))
    plan = TopPlan("back", rooms.UP, 30, None, None, SCRIBED_BACK, overhang=25, end_overhang=15)
    top = fit_top(room, plan, box)
    assert top.outline.outline == pytest.approx(np.array([(0, 0), (830, 0), (830, 575), (0, 575)]), abs=SURE)


def test_between_walls_on_a_cabinet_the_centre_line_is_the_cabinets():
    # 1500 wide, the box 1400 in the middle: 750 to either side of its centre.
    room = rooms.known(rooms.alcove())
    box = fit_cabinet(room, CabinetPlan("back", 1400, 550, 0, 820, left_wall="left", right_wall="right"))
    top = fit_top(room, in_alcove(depth=None, overhang=20.0), box)
    assert top.outline.outline == pytest.approx(
        np.array([(-748, 0), (748, 0), (748, 568), (-748, 568)]), abs=SURE
    )


def test_stations_stand_close_near_every_corner():
    # DESIGN section 6: every 25 mm, every 10 mm within 60 mm of a corner.
    top = fit_top(rooms.known(rooms.alcove()), in_alcove())
    for side in ("left", "right", "back"):
        stations = top.outline.edges[side].stations
        apart = np.diff(stations)
        assert apart.max() <= 25.0 + 1e-6
        ends = (stations[-1],) if side != "back" else (stations[0], stations[-1])
        for end in ends:
            near = np.abs(stations[:-1] + apart / 2 - end) < 50
            assert apart[near].max() <= 10.0 + 1e-6


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"width": None}, "a top with an open end needs its width"),
        ({"depth": None}, "a top on no cabinet needs its depth"),
        ({"width": 0.0}, "width: expected a size above 0"),
        ({"width": -900.0}, "width: expected a size above 0"),
        ({"width": math.nan}, "width: expected a size above 0"),
        ({"depth": -1.0}, "depth: expected a size above 0"),
        ({"depth": math.nan}, "depth: expected a size above 0"),
        ({"depth": math.inf}, "depth: expected a size above 0"),
        ({"left": None}, "measured from"),
        ({"left": EdgePlan("attic", "scribed")}, "attic"),
        ({"back": EdgePlan("attic", "scribed")}, "attic"),
        ({"left": EdgePlan("left", "net", -1.0)}, "gap: expected 0 mm or more"),
        ({"left": EdgePlan("left", "glued")}, "finish: expected one of"),
        ({"left": EdgePlan("left", "scribed", saw=math.nan)}, "saw: expected 0 mm or more"),
        ({"confidence": 99.0}, "confidence: expected a chance between 0 and 1"),
        ({"overhang": math.nan}, "overhang"),
        ({"clearance": -1.0, "trims": (CASING,)}, "clearance"),
        ({"trims": (TrimPlan("nowhere", "back", 70, 15, "right", 0, 2000),)}, "nowhere"),
        ({"trims": (TrimPlan("left-back", "attic", 70, 15, "right", 0, 2000),)}, "attic"),
        ({"trims": (TrimPlan("left-back", "back", -70, 15, "right", 0, 2000),)}, "width: expected"),
        ({"trims": (TrimPlan("left-back", "back", 70, math.nan, "right", 0, 2000),)}, "projection: expected"),
    ],
)  # fmt: skip
def test_a_top_that_cannot_be_is_refused(changes, words):
    with pytest.raises(BadInput, match=words):
        fit_top(rooms.known(rooms.corner(90)), in_left_corner(**changes))


@pytest.mark.parametrize("thickness", [0.0, -30.0, math.nan])
def test_a_thickness_that_is_none_is_refused(thickness):
    with pytest.raises(BadInput, match="thickness: expected a size above 0"):
        fit_top(
            rooms.known(rooms.corner(90)),
            TopPlan("back", rooms.UP, thickness, SCRIBED_LEFT, depth=560, width=900),
        )

"""Finished outlines and blanks: cases by hand, shapely as cross-check, and what must always hold."""

from statistics import NormalDist

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Polygon

from fitting.allowance import share
from fitting.edge import FittedEdge, MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import Obstacle
from fitting.outline import fit_outline

SAW = 25.4 / 16
EXAMPLES = 40
Z_99 = 2.3263478740408408  # one-sided 99 % of the normal distribution (tables)


def wall(stations, reach, finish="scribed", sd=0.0, **asked):
    """A wall whose stations go wrong all together, by `sd`."""
    reach = np.asarray(reach, dtype=float)
    known = Joint(reach, np.full((reach.size, reach.size), sd**2))
    return MeetingSide(np.asarray(stations, dtype=float), known, finish, **asked)


def box_ring(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=float)


def corners(ring):
    return {tuple(np.round(c, 4) + 0.0) for c in ring}


# By hand: walls


def test_a_square_room_gives_a_rectangle_and_a_blank_larger_by_the_saw():
    found = fit_outline(
        wall([-600, 0], [0, 0]), wall([-600, 0], [900, 900]), StraightSide(-560), wall([0, 900], [0, 0])
    )
    assert found.outline.tolist() == [[0, -560], [900, -560], [900, 0], [0, 0]]
    assert found.blank.tolist() == [[-SAW, -560], [900 + SAW, -560], [900 + SAW, SAW], [-SAW, SAW]]
    assert found.remarks == ()
    assert found.edges["front"].finish == "straight"
    assert (found.edges["front"].final, found.edges["front"].blank) == (560, 560)


def test_a_wall_out_of_square_by_a_degree():
    off = 560 * 0.0174550649  # tan 1 degree, from tables
    found = fit_outline(
        StraightSide(0), wall([-560, 0], [900 - off, 900]), StraightSide(-560), wall([0, 900], [0, 0])
    )
    edge = found.edges["right"]
    assert edge.final == pytest.approx(900 - off, abs=1e-6)
    assert edge.allowance.range == pytest.approx(off, abs=1e-6)
    assert edge.blank == pytest.approx(900 + SAW, abs=1e-6)
    np.testing.assert_allclose(edge.scribe.depth, [off + SAW, SAW], atol=1e-6)
    assert Polygon(found.outline).area == pytest.approx(560 * (900 - off / 2), abs=1e-3)


def test_a_hump_in_the_back_wall_sets_the_final_line():
    found = fit_outline(
        StraightSide(0), StraightSide(900), StraightSide(-560), wall([0, 400, 900], [0, -5, 1])
    )
    edge = found.edges["back"]
    assert (edge.final, edge.allowance.range) == (-5, 6)
    assert edge.blank == pytest.approx(1 + SAW)
    assert edge.scribe.deepest_at == 400
    assert edge.scribe.deepest == pytest.approx(6 + SAW)
    assert edge.scribe.shallowest == pytest.approx(SAW)
    assert [400, -5] in found.outline.tolist()


@pytest.mark.parametrize("at", [-30, 930])
def test_a_hump_beside_the_piece_does_not_count(at):
    stations = sorted([-60, -1, 901, 960, at])
    reach = [-20 if station == at else 0 for station in stations]
    found = fit_outline(StraightSide(0), StraightSide(900), StraightSide(-560), wall(stations, reach))
    assert found.edges["back"].final == pytest.approx(0, abs=1)
    assert found.edges["back"].stations[[0, -1]].tolist() == [0, 900]


def test_a_hump_behind_a_notch_does_not_count():
    hump = wall([0, 200, 250, 300, 900], [0, 0, -9, 0, 0])
    casing = Obstacle("casing", box_ring(190, -60, 310, 20), 2)
    ends = StraightSide(0), StraightSide(900), StraightSide(-560)
    assert fit_outline(*ends, hump).edges["back"].final == -9
    found = fit_outline(*ends, hump, [casing])
    assert found.edges["back"].final == 0
    assert found.edges["back"].stations.tolist() == [0, 188, 312, 900]
    assert found.notches[0].corners.tolist() == [[312, 0], [312, -62], [188, -62], [188, 0]]


def test_where_the_piece_ends_the_wall_and_its_doubt_are_interpolated():
    stations = [-100, 100, 800, 1000]
    independent = MeetingSide(
        np.array(stations, dtype=float), Joint([0, 4, 0, -4], np.diag([1.0, 4.0, 4.0, 1.0])), "scribed"
    )
    found = fit_outline(StraightSide(0), StraightSide(900), StraightSide(-560), independent)
    edge = found.edges["back"]
    assert edge.stations.tolist() == [0, 100, 800, 900]
    np.testing.assert_allclose(edge.reach, [2, 4, 0, -2])
    assert edge.final == pytest.approx(-2)


def test_an_edge_beyond_the_last_station_is_remarked():
    found = fit_outline(StraightSide(0), StraightSide(900), StraightSide(-560), wall([100, 870], [2, 3]))
    assert [(r.kind, r.about, r.amount) for r in found.remarks] == [("past the stations", "back", 100)]
    assert found.edges["back"].reach.tolist() == [2, 2, 3, 3]


# By hand: finishes


def test_an_alcove_cut_net_follows_the_walls_a_gap_short():
    found = fit_outline(
        wall([-560, 0], [0, 4], "net", gap=2),
        wall([-560, 0], [900, 896], "net", gap=3),
        StraightSide(-560),
        StraightSide(0),
    )
    assert found.outline.tolist() == [[2, -560], [897, -560], [893, 0], [-2, 0]]
    left, right = found.edges["left"], found.edges["right"]
    assert (left.final, left.blank, left.gap, left.allowance, left.scribe) == (-2, 2, 2, None, None)
    assert (right.final, right.blank, right.gap) == (893, 897, 3)
    assert corners(found.blank) == {(-2, -560), (897, -560), (897, 0), (-2, 0)}


def test_a_net_gap_is_the_one_asked_for_however_unsure_the_wall():
    # What it must be so that the piece goes in is asked of all its edges together (test_stake.py).
    doubtful = wall([-560, 0], [900, 900], "net", gap=2, sd=3.0)
    found = fit_outline(StraightSide(0), doubtful, StraightSide(-560), StraightSide(0))
    assert (found.edges["right"].gap, found.edges["right"].final) == (2, 898)


def test_a_covered_edge_is_straight_short_of_the_nearest_place():
    found = fit_outline(
        StraightSide(0),
        wall([-560, -200, 0], [900, 893, 896], "covered", gap=2),
        StraightSide(-560),
        StraightSide(0),
    )
    edge = found.edges["right"]
    assert (edge.final, edge.blank, edge.gap) == (891, 891, 2)
    assert found.outline.tolist() == [[0, -560], [891, -560], [891, 0], [0, 0]]


def test_an_edge_let_in_is_straight_at_the_farthest_place():
    found = fit_outline(
        StraightSide(0),
        wall([-560, -200, 0], [900, 893, 896], "let in"),
        StraightSide(-560),
        StraightSide(0),
    )
    assert (found.edges["right"].final, found.edges["right"].blank) == (900, 900)
    assert found.outline.tolist() == [[0, -560], [900, -560], [900, 0], [0, 0]]


@pytest.mark.parametrize("others", [0, 1, 2])
def test_the_confidence_is_shared_among_the_edges_that_meet_something(others):
    """One station alone is exact, so a wall of one mode shows the share (within the sampling)."""
    sides = [StraightSide(0), StraightSide(-560), StraightSide(0)]
    flat = [wall([-600, 50], [0, 0]), wall([-50, 950], [560, 560]), None]
    sides[:others] = flat[:others]
    left, front, back = sides
    found = fit_outline(left, wall([-600, 50], [900, 900], sd=1.0), front, back, confidence=0.95)
    exact = NormalDist().inv_cdf(share(0.95, 1 + others))
    assert found.edges["right"].allowance.unknown == pytest.approx(exact, abs=0.08)


def test_a_panel_under_a_slope_keeps_the_slope():
    """Bottom at 0, 600 wide; the ceiling falls from 2400 at the left to 2100 at the right."""
    found = fit_outline(StraightSide(0), StraightSide(600), StraightSide(0), wall([0, 600], [2400, 2100]))
    assert found.outline.tolist() == [[0, 0], [600, 0], [600, 2100], [0, 2400]]
    assert found.edges["back"].final == 2100
    assert found.edges["back"].allowance.range == 300


def test_walls_that_cross_leave_nothing_and_say_so():
    found = fit_outline(StraightSide(500), wall([-560, 0], [400, 300]), StraightSide(-560), StraightSide(0))
    assert "nothing left" in {remark.kind for remark in found.remarks}
    assert found.outline.shape == found.blank.shape == (0, 2)
    assert found.notches == ()


def test_a_side_of_which_nothing_is_left_is_remarked():
    roof = wall([0, 600], [0, 600])
    found = fit_outline(StraightSide(0), StraightSide(600), StraightSide(0), roof)
    assert corners(found.outline) == {(0, 0), (600, 0), (600, 600)}
    assert [(r.kind, r.about) for r in found.remarks] == [("no edge", "left")]


# Tidy


def test_stations_on_a_straight_make_no_corners():
    along = np.linspace(-20, 920, 95)
    found = fit_outline(StraightSide(0), StraightSide(900), StraightSide(-560), wall(along, 0.01 * along))
    assert found.outline.tolist() == [[0, -560], [900, -560], [900, 9], [0, 0]]


@pytest.mark.parametrize("at", [0.2, 0.4, 899.7])
def test_a_station_next_to_a_corner_makes_no_short_edge(at):
    found = fit_outline(
        StraightSide(0), StraightSide(900), StraightSide(-560), wall([-50, at, 950], [0, 1, 0])
    )
    assert len(found.outline) == 4


def test_a_step_that_the_wall_really_has_stays():
    found = fit_outline(
        StraightSide(0), StraightSide(900), StraightSide(-560), wall([0, 400, 400.3, 900], [0, 0, 12, 12])
    )
    assert len(found.outline) == 6


# Everything at once, at random

k_stations = st.integers(2, 12)
small = st.floats(-12, 12).map(lambda d: round(d, 3))


@st.composite
def walls(draw, low, high, middle, known=True):
    k = draw(k_stations)
    reach = middle + np.array(draw(st.lists(small, min_size=k, max_size=k)))
    finish = draw(st.sampled_from(["scribed", "net", "covered", "let in"]))
    sd = 0.0 if known else draw(st.sampled_from([0.0, 0.01, 0.4, 2.0]))
    return wall(np.linspace(low, high, k), reach, finish, sd, gap=draw(st.floats(0, 5)), saw=1.0)


@st.composite
def obstacles(draw):
    found = []
    for number in range(draw(st.integers(0, 4))):
        x, y = draw(st.integers(-60, 960)), draw(st.integers(-620, 60))
        half = draw(st.integers(5, 90)), draw(st.integers(5, 90))
        turn = np.deg2rad(draw(st.sampled_from([0, 0, 0, 0.5, 10, 45])))
        spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        ring = box_ring(-half[0], -half[1], *half) @ spin + [x, y]
        found.append(Obstacle(f"thing {number}", ring, draw(st.sampled_from([0.0, 1.5875, 6.0]))))
    return found


@st.composite
def pieces(draw, known=True):
    def side(low, high, middle, at):
        return draw(st.one_of(st.just(StraightSide(at)), walls(low, high, middle, known)))

    return {
        "left": side(-640, 60, 0.0, 0.0),
        "right": side(-640, 60, 900.0, 900.0),
        "front": side(-60, 960, 560.0, -560.0),
        "back": side(-60, 960, 0.0, 0.0),
        "obstacles": draw(obstacles()),
    }


def signed_area(ring):
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


@settings(max_examples=EXAMPLES, deadline=None)
@given(pieces(known=False))
def test_outlines_are_simple_and_counter_clockwise_and_lie_in_their_blank(piece):
    found = fit_outline(**piece)
    for ring in (found.outline, found.blank):
        assert LinearRing(ring).is_simple
        assert Polygon(ring).is_valid
        assert signed_area(ring) > 0
        assert np.hypot(*(np.roll(ring, -1, axis=0) - ring).T).min() > 0
    outside = Polygon(found.outline).difference(Polygon(found.blank).buffer(0.1, join_style="mitre"))
    assert outside.area == pytest.approx(0, abs=1e-3)  # mm2; a sliver of 3e-6 has come out of the rounding
    for notch in found.notches:
        assert notch.opens
        assert {tuple(c) for c in notch.corners} <= {tuple(c) for c in found.outline}


@settings(max_examples=EXAMPLES, deadline=None)
@given(pieces())
def test_every_obstacle_is_kept_clear_of_and_a_notch_no_larger_than_it_must_be(piece):
    found = fit_outline(**piece)
    outline = Polygon(found.outline, holes=[hole.corners for hole in found.holes])
    cleared = {name for notch in (*found.notches, *found.holes) for name in notch.obstacles}
    for obstacle in piece["obstacles"]:
        distance = outline.distance(Polygon(obstacle.ring))
        assert distance >= obstacle.kept_clear - 0.0101
        if obstacle.name in cleared and obstacle.kept_clear:
            assert distance >= obstacle.kept_clear - 1e-6


@pytest.mark.parametrize("turn", [0, 0.5, 10, 45])
@pytest.mark.parametrize("clearance", [1.5875, 3, 12])
def test_a_clearance_is_met_exactly(turn, clearance):
    spin = np.deg2rad(turn)
    ring = box_ring(-40, -25, 40, 25) @ [[np.cos(spin), np.sin(spin)], [-np.sin(spin), np.cos(spin)]]
    casing = Obstacle("casing", ring + np.array([450, -10]), clearance, unknown=0.25)
    found = fit_outline(
        StraightSide(0), StraightSide(900), StraightSide(-560), wall([0, 500, 900], [0, 3, 1]), [casing]
    )
    distance = Polygon(found.outline).distance(Polygon(casing.ring))
    assert distance == pytest.approx(clearance + 0.25, abs=1e-6)


@settings(max_examples=EXAMPLES, deadline=None)
@given(pieces())
def test_the_area_is_the_walls_less_the_obstacles(piece):
    piece["obstacles"] = [o for o in piece["obstacles"] if o.kept_clear > 0]
    found = fit_outline(**piece)
    region = shapely.box(-300, -900, 1300, 300)
    for name, edge in found.edges.items():
        region = region.difference(plain_solid(name, piece[name], edge))
    for obstacle in piece["obstacles"]:
        region = region.difference(Polygon(obstacle.ring).buffer(obstacle.kept_clear, join_style="mitre"))
    ours = sum(Polygon(ring).area for ring in (found.outline, *found.cut_off))
    ours -= sum(Polygon(hole.corners).area for hole in found.holes)
    if not piece["obstacles"] and lengths(region).min() > 0.5:
        assert ours == pytest.approx(region.area, abs=0.01)
    # Else a skin of up to 3.2 mm may be gone on either side of each obstacle, and a corner beside an
    # edge under 0.5 mm: at most 0.05 mm times half the piece's length, at four corners.
    skins = sum(2 * 3.2 * np.ptp(o.ring, axis=0).sum() for o in piece["obstacles"])
    assert -4 * 0.05 * 950 / 2 <= region.area - ours <= skins + 4 * 0.05 * 950 / 2


def lengths(region):
    ring = np.array(region.exterior.coords)
    return np.hypot(*np.diff(ring, axis=0).T)


def plain_solid(name, side, edge: FittedEdge):
    """The wall's solid drawn without the code under test."""
    if isinstance(side, StraightSide) or edge.finish in ("covered", "let in"):
        along, outward = np.array([-2000.0, 2000.0]), np.full(2, edge.final)
    else:
        along = np.concatenate([[-2000], side.stations, [2000]])
        reach = side.reach.mean - edge.gap
        outward = np.concatenate([reach[:1], reach, reach[-1:]])
    line = {
        "left": np.column_stack([-outward, along]),
        "right": np.column_stack([outward, along]),
        "front": np.column_stack([along, -outward]),
        "back": np.column_stack([along, outward]),
    }[name]
    away = {"left": (-3000, 0), "right": (3000, 0), "front": (0, -3000), "back": (0, 3000)}[name]
    return Polygon(np.concatenate([line, line[::-1] + away]))


# Mirrors and turns


def mirrored(piece):
    def flipped(side):
        if isinstance(side, StraightSide):
            return side
        back = slice(None, None, -1)
        reach = Joint(side.reach.mean[back], side.reach.covariance[back, back])
        return MeetingSide(-side.stations[back], reach, side.finish, side.gap, side.saw)

    def swapped(side):
        return StraightSide(-side.at) if isinstance(side, StraightSide) else side

    return {
        "left": swapped(piece["right"]),
        "right": swapped(piece["left"]),
        "front": flipped(piece["front"]),
        "back": flipped(piece["back"]),
        "obstacles": [Obstacle(o.name, o.ring * [-1, 1], o.clearance, o.unknown) for o in piece["obstacles"]],
    }


def same_ring(one, other, within=1e-5):
    """Same corners in the same turn, wherever each begins."""
    if len(one) != len(other):
        return False
    shifts = (np.roll(other, -k, axis=0) for k in range(len(other)))
    return any(np.abs(one - shifted).max() <= within for shifted in shifts)


@settings(max_examples=EXAMPLES, deadline=None)
@given(pieces())
def test_a_mirrored_room_gives_the_mirrored_piece(piece):
    found, flipped = fit_outline(**piece), fit_outline(**mirrored(piece))
    # Split in two equal halves, either may count as the piece.
    if found.cut_off and abs(Polygon(found.outline).area - Polygon(found.cut_off[0]).area) < 1:
        return
    mirror = np.array([-1, 1])
    assert same_ring(found.outline, (flipped.outline * mirror)[::-1])
    assert same_ring(found.blank, (flipped.blank * mirror)[::-1])
    swap = {"left": "right", "right": "left"}
    for name, edge in found.edges.items():
        other = flipped.edges[swap.get(name, name)]
        assert other.final == pytest.approx(edge.final, abs=1e-5)
        assert other.blank == pytest.approx(edge.blank, abs=1e-5)
    ours = sorted((n.around, sorted(n.opens), len(n.corners)) for n in found.notches)
    theirs = sorted(
        (n.around, sorted(swap.get(s, s) for s in n.opens), len(n.corners)) for n in flipped.notches
    )
    assert ours == theirs


def turned(points, degrees):
    turn = np.deg2rad(degrees)
    return points @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])


def measured_in_a_turned_room(degrees):
    """A piece whose walls and obstacles were turned with the room and then back into its frame.

    Everything stands where a decision could flip: flush with a wall, ending at the open end, with
    its clearance just at the edge, and beside a station.
    """

    def back_and_forth(points):
        return turned(turned(np.asarray(points, dtype=float), degrees), -degrees)

    along = np.array([-1.0, 300.3, 642.0, 901.0])
    across = np.array([-590.2, -300.0, 4.4])
    back = back_and_forth(np.column_stack([along, [0, -3.3, 2.1, 0]]))
    left = back_and_forth(np.column_stack([[1.5, 0, -2.0], across]))
    rings = [
        box_ring(0, -600, 57.15, -543),
        box_ring(300.3, -50, 360, -3.3),
        box_ring(500, -40, 642.0, 30),
        box_ring(843, -300, 900, -250),
        box_ring(902, -200, 940, -100),
        box_ring(700, -300, 720, -280),
    ]
    return fit_outline(
        MeetingSide(left[:, 1], Joint(-left[:, 0], np.zeros((3, 3))), "scribed"),
        StraightSide(900),
        StraightSide(-560),
        MeetingSide(back[:, 0], Joint(back[:, 1], np.zeros((4, 4))), "net", gap=2),
        [Obstacle(f"thing {k}", back_and_forth(ring), 2) for k, ring in enumerate(rings)],
    )


def test_no_decision_flips_when_room_and_piece_are_turned_together():
    straight = measured_in_a_turned_room(0)
    assert [n.opens for n in straight.notches] == [("right",), ("back",), ("back",), ("left", "front")]
    assert [h.around for h in straight.holes] == ["thing 5"]
    assert [r.kind for r in straight.remarks] == ["clear", "hole"]
    for degrees in range(1, 90):
        found = measured_in_a_turned_room(degrees)
        assert found.outline.shape == straight.outline.shape, degrees
        assert found.blank.shape == straight.blank.shape, degrees
        np.testing.assert_allclose(found.outline, straight.outline, atol=3e-6)
        np.testing.assert_allclose(found.blank, straight.blank, atol=3e-6)
        assert [(n.around, n.opens) for n in found.notches] == [(n.around, n.opens) for n in straight.notches]
        assert [(r.kind, r.about) for r in found.remarks] == [(r.kind, r.about) for r in straight.remarks]


# Refusals


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"stations": [0]}, "2 stations or more"),
        ({"stations": [0, 0]}, "expected increasing stations, got 0 after 0 mm"),
        ({"stations": [0, np.nan]}, "stations: expected finite"),
        ({"reach": [0, 1, 2]}, "a reach for each, got 2 stations and 3 reaches"),
        ({"reach": [0, 1e5]}, "reach: expected coordinates within 60 m"),
        ({"finish": "glued"}, "finish: expected one of .*'let in'.*, got 'glued'"),
        ({"gap": -1}, "gap: expected 0 mm or more, got -1"),
        ({"saw": np.inf}, "saw: expected 0 mm or more"),
    ],
)
def test_a_side_that_is_no_wall_is_refused(asked, said):
    given_ = {"stations": [0, 900], "reach": [0, 0], "finish": "scribed", **asked}
    with pytest.raises(BadInput, match=said):
        wall(given_.pop("stations"), given_.pop("reach"), given_.pop("finish"), **given_)


def test_bad_sides_of_a_piece_are_refused():
    with pytest.raises(BadInput, match="right side: expected finite"):
        fit_outline(StraightSide(0), StraightSide(np.nan), StraightSide(-560), StraightSide(0))
    with pytest.raises(BadInput, match="left side: expected a StraightSide or MeetingSide, got 0"):
        fit_outline(0, StraightSide(900), StraightSide(-560), StraightSide(0))
    with pytest.raises(BadInput, match="confidence"):
        fit_outline(StraightSide(0), StraightSide(9), StraightSide(-5), StraightSide(0), confidence=99)

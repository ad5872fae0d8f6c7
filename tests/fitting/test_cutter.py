"""The cutter's path: past the edge, its radius clear of the obstacle; by hand and by distances."""

import math

import numpy as np
import pytest
from shapely import LineString, Polygon
from shapely.geometry import Point

from fitting.cutter import cut_paths
from fitting.edge import MeetingSide, StraightSide
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import Obstacle
from fitting.outline import fit_outline


def box_ring(x0, y0, x1, y1):
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]], dtype=float)


def wall(*reach):
    return MeetingSide(
        np.linspace(-600, 950, len(reach)), Joint(reach, np.zeros((len(reach),) * 2)), "scribed"
    )


def top(*obstacles):
    """900 x 560, scribed at the back (1.5875 mm over) and at the left."""
    return fit_outline(wall(0, 0), StraightSide(900), StraightSide(-560), wall(0, 0), obstacles)


CASING = Obstacle("casing", box_ring(-20, -600, 17, -543), 3)
PIPE_BOX = Obstacle("pipe box", box_ring(400, -80, 520, 30), 3)


def test_a_saw_cuts_the_notch_as_it_is_and_on_past_the_blank():
    (cut,) = cut_paths(top(CASING), radius=0, past=6)
    # the blank is 1.5875 larger at the left, not at the front
    assert cut.path.round(4).tolist() == [[-7.5875, -540], [20, -540], [20, -566]]
    assert (cut.opened, cut.bite) == (0, 0)


def test_a_radius_no_greater_than_the_clearance_leaves_the_notch_as_large():
    (cut,) = cut_paths(top(PIPE_BOX), radius=3, past=6)
    assert cut.opened == cut.bite == 0
    left, front, right, back = Polygon(cut.removed).bounds
    assert (left, front, right, back) == pytest.approx((397, -83, 523, 7.5875))
    # In each of two corners a round bit leaves r2 (1 - pi / 4).
    assert Polygon(cut.removed).area == pytest.approx(126 * 90.5875 - 2 * 9 * (1 - math.pi / 4), abs=0.02)


def test_a_greater_radius_opens_the_notch_by_what_its_arc_lacks():
    """(r - c) (1 - sin 45 deg) = (10 - 3) (1 - 0.70711) = 2.0503."""
    (cut,) = cut_paths(top(PIPE_BOX), radius=10, past=6)
    assert cut.opened == pytest.approx(2.0503, abs=1e-4)
    assert Polygon(cut.removed).bounds == pytest.approx((394.9497, -85.0503, 525.0503, 7.5875), abs=1e-3)
    # The arc is as near to the obstacle's corner as the clearance asked for, and no nearer.
    assert LineString(cut.path).distance(Point(520, -80)) == pytest.approx(3, abs=0.005)


def test_relieved_corners_leave_the_sides_where_they_are():
    """The bite goes r (1 - sin 45 deg) past each side: 10 x 0.29289."""
    (cut,) = cut_paths(top(PIPE_BOX), radius=10, past=6, corners="relieved")
    assert (cut.opened, cut.bite) == (0, pytest.approx(2.9289, abs=1e-4))
    assert Polygon(cut.removed).bounds == pytest.approx((394.0711, -85.9289, 525.9289, 7.5875), abs=0.003)
    assert Polygon(cut.removed).buffer(1e-3).contains(Polygon(box_ring(397, -83, 523, 0)).buffer(-1e-3))
    assert LineString(cut.path).distance(Point(397, -40)) < 1e-6


def test_paths_come_in_the_order_of_the_notches_with_the_wood_on_the_left():
    found = top(CASING, PIPE_BOX)
    cuts = cut_paths(found, radius=3)
    assert [cut.around for cut in cuts] == [notch.around for notch in found.notches]
    wood = Polygon(found.outline)
    for cut in cuts:
        for a, b in zip(cut.path[:-1], cut.path[1:], strict=True):
            run = (b - a) / np.hypot(*(b - a))
            beside = (a + b) / 2 + 0.05 * np.array([-run[1], run[0]])
            if Point((a + b) / 2).within(wood.buffer(-1)):
                assert wood.contains(Point(beside))


def test_a_notch_narrower_than_the_bit_is_refused():
    slot = Obstacle("slot", box_ring(100, -80, 104, 30), 2)
    with pytest.raises(BadInput, match="a cutter of 10 mm does not get through it"):
        cut_paths(top(slot), radius=5)
    assert cut_paths(top(slot), radius=3.9)


@pytest.mark.parametrize("bad", [{"radius": -1}, {"past": 0}, {"radius": math.nan}, {"corners": "round"}])
def test_bad_input_is_refused(bad):
    with pytest.raises(BadInput):
        cut_paths(top(CASING), **bad)


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("corners", ["opened", "relieved"])
def test_the_bit_stays_clear_covers_the_notch_and_runs_past_the_edge(corners, seed):
    """Turned boxes at the back, the left and the corner: distances, and a disc that rolls in what goes."""
    rng = np.random.default_rng(seed)
    turn = rng.uniform(-0.2, 0.2)
    spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    width, depth = rng.uniform(40, 150, 2)
    middle = [(rng.uniform(200, 700), 0.0), (0.0, rng.uniform(-400, -200)), (0.0, -560.0)][seed % 3]
    ring = box_ring(-width / 2, -depth / 2, width / 2, depth / 2) @ spin.T + middle
    obstacle = Obstacle("box", ring, rng.uniform(1, 6))
    radius, past = rng.uniform(0.5, 12), rng.uniform(2, 20)
    found = top(obstacle)
    (cut,) = cut_paths(found, radius, past, corners)
    removed, blank = Polygon(cut.removed), Polygon(found.blank)
    left_over = Polygon([*blank.envelope.exterior.coords]).difference(removed)
    assert left_over.distance(Polygon(ring)) >= obstacle.clearance - 0.005
    assert len(cut.path) >= 2
    x0, y0, x1, y1 = blank.bounds
    for x, y in cut.path[[0, -1]]:
        assert max(x0 - x, x - x1, y0 - y, y - y1) == pytest.approx(past, abs=1e-3)
    # No bit of wood that the notch frees stays: what is left is in one part.
    assert left_over.geom_type == "Polygon"
    # The bit reaches everywhere: looked at where the ring, which ends outside the blank, is whole.
    rolled = removed.buffer(-radius + 0.01).buffer(radius + 0.02)
    assert removed.difference(rolled).intersection(blank.envelope.buffer(-radius)).area < 1e-3

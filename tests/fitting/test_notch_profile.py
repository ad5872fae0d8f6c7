"""Notches around a moulded casing, boxed or coped to it; what notches take and leave adds up."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon

from fitting.cutter import cut_paths
from fitting.edge import StraightSide
from fitting.errors import BadInput
from fitting.notch import SKIN, Obstacle
from fitting.outline import fit_outline
from fitting.piece import ACROSS_OPENING, CLEARANCES, INTO_WALL, EdgePlan, TrimPlan, refuse_trims
from fitting.site import Corner, CornerTurn, Plan, know_room
from fitting.top import TopPlan, fit_top

FACE = ((0.0, 6.0), (12.0, 14.0), (40.0, 17.0), (57.0, 9.0))
"""An invented casing 57 wide: a bead, a cove up to a band of 17, and down to 9 at its inner edge."""
CASING = TrimPlan("left-back", "back", 57, 17, "right", 0, 2000, profile=FACE)

AWAY = replace(CASING, bottom=2000, top=2100)
"""The same, over the top: nothing is notched."""


def room():
    corner = Corner("left-back", "left", "back")
    return know_room(
        Plan("back", ("left", "back"), (corner,)),
        [CornerTurn("square", 0.0, 1e-4, "left-back", 500.0, 500.0, 850.0)],
    )


def top(trim):
    """900 x 560 in the left corner; the casing runs along the back wall from the corner on."""
    plan = TopPlan(
        "back",
        860,
        30,
        EdgePlan("left", "scribed"),
        None,
        EdgePlan("back", "scribed"),
        560,
        900,
        trims=(trim,),
    )
    return fit_top(room(), plan)


def test_a_moulded_casing_is_boxed_as_deep_as_its_deepest_place():
    boxed, plain = top(CASING), top(replace(CASING, profile=()))
    assert boxed.outline.outline == pytest.approx(plain.outline.outline)


def test_a_coped_notch_follows_the_profile_and_leaves_more_wood():
    coped, boxed = top(replace(CASING, coped=True)), top(CASING)
    obstacle, box = coped.outline.obstacles[0], boxed.outline.obstacles[0]
    # Between the face boxed and coped, by the trapezoid rule: 57 x 17 - (10 x 12 + 15.5 x 28 + 13 x 17).
    assert Polygon(box.ring).area - Polygon(obstacle.ring).area == pytest.approx(57 * 17 - 775, abs=1e-6)
    more = Polygon(coped.outline.outline).area - Polygon(boxed.outline.outline).area
    # And that with the clearance around both, as far as it lies within the top.
    wider = [Polygon(one.ring).buffer(one.kept_clear, join_style="mitre") for one in (box, obstacle)]
    between = wider[0].difference(wider[1]).intersection(Polygon(top(AWAY).outline.outline))
    assert more == pytest.approx(between.area, rel=0.02)
    gap = Polygon(coped.outline.outline).distance(Polygon(obstacle.ring))
    assert gap == pytest.approx(obstacle.kept_clear, abs=1e-6)
    (notch,) = coped.outline.notches
    assert len(notch.corners) >= 4


def test_past_what_was_read_of_a_profile_it_is_as_deep_as_it_gets():
    ring = replace(CASING, coped=True, profile=FACE[:2]).section()
    assert ring == [(0, -INTO_WALL), (0, 6), (12, 14), (12, 17), (57, 17), (57, -INTO_WALL)]
    opening = replace(CASING, to_opening=True).section()
    assert opening[-1] == (ACROSS_OPENING, -INTO_WALL)


def test_what_is_named_by_its_centre_starts_half_its_width_before_it():
    chase = TrimPlan("chase", "back", 100, 80, "right", 0, 2400, start=-50)
    assert chase.section() == [(-50, -INTO_WALL), (-50, 80), (50, 80), (50, -INTO_WALL)]


@pytest.mark.parametrize(
    ("profile", "said"),
    [
        (((0.0, 6.0),), "two points or more"),
        (((0.0, 0.0), (57.0, 0.0)), "stand out of the wall"),
        (((0.0, 6.0), (57.0, -1.0)), "stand out of the wall"),
        (((0.0, 6.0), (30.0, 5.0), (20.0, 5.0)), "from its near edge on"),
        (((0.0, 6.0), (70.0, 5.0)), "over its 57 mm"),
        (((0.0, math.nan), (57.0, 5.0)), "stand out of the wall"),
    ],
)
def test_a_profile_that_is_none_is_refused(profile, said):
    with pytest.raises(BadInput, match=said):
        refuse_trims(room(), [replace(CASING, profile=profile)])


def test_clearances_by_material():
    """Common practice, no source: 1/16 in, and 1/8 in for what is cut in a shop to a template."""
    assert CLEARANCES["wood"] == CLEARANCES["sheet"] == 25.4 / 16
    assert CLEARANCES["stone"] == CLEARANCES["solid surface"] == 25.4 / 8


def blocks(seed):
    """Give one to four boxes, turned a little, across the sides of a top 900 x 560 or within it."""
    rng = np.random.default_rng(seed)
    for k in range(rng.integers(1, 5)):
        turn, (width, depth) = rng.uniform(-0.3, 0.3), rng.uniform(20, 160, 2) / 2
        spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        ring = np.array([[-width, -depth], [width, -depth], [width, depth], [-width, depth]]) @ spin.T
        middle = [(rng.uniform(0, 900), 0), (0, rng.uniform(-560, 0)), (rng.uniform(0, 900), -560)][k % 3]
        yield Obstacle(f"block {k}", ring + middle, rng.uniform(0, 8), rng.uniform(0, 2))


@pytest.mark.parametrize("seed", range(60))
def test_what_is_left_and_what_is_taken_make_the_whole_and_all_is_kept_clear(seed):
    obstacles = list(blocks(seed))
    sides = StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0)
    found, plain = fit_outline(*sides, obstacles), fit_outline(*sides)
    wood, whole = Polygon(found.outline), Polygon(plain.outline)
    for one in found.holes:
        wood = wood.difference(Polygon(one.corners))
    parts = [wood, *map(Polygon, found.cut_off)]
    taken = whole.difference(shapely.union_all(parts))
    # Area by each ring's own shoelace sum: what is left, what is cut off, and what is taken.
    assert sum(one.area for one in parts) + taken.area == pytest.approx(whole.area, abs=1e-6)
    notches = [Polygon(_closed(one.corners, whole)).area for one in found.notches]
    if not found.cut_off and all(len(one.opens) == 1 for one in found.notches):
        holes = sum(Polygon(one.corners).area for one in found.holes)
        assert sum(notches) + holes == pytest.approx(taken.area, abs=1e-3)
    for part in parts:
        for one in obstacles:
            assert part.distance(Polygon(one.ring)) >= one.kept_clear - 1e-5
            assert all(not part.contains(Point(corner)) for corner in one.ring)


def _closed(corners, whole):
    """Close a notch that opens one side along that side, which is straight."""
    assert whole.exterior.distance(Point(corners[0])) < 1e-6
    assert whole.exterior.distance(Point(corners[-1])) < 1e-6
    return corners


@pytest.mark.parametrize("seed", range(60))
def test_no_sliver_stays_unsaid_and_every_cut_runs_past_the_edge(seed):
    sides = StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0)
    found = fit_outline(*sides, list(blocks(seed)))
    wood = Polygon(found.outline)
    wide = wood.buffer(-SKIN / 2, join_style="mitre").buffer(SKIN / 2, join_style="mitre")
    slivers = [one for one in shapely.get_parts(wood.difference(wide)) if one.area > 2 * SKIN**2]
    said = {one.kind for one in found.remarks}
    assert not slivers or "thin" in said
    if "cut off" in said:
        return
    for cut in cut_paths(found, radius=0, past=5):
        x, y = cut.path[[0, -1]].T
        past = np.max([-x, x - 900, -560 - y, y], axis=0)
        assert past == pytest.approx([5, 5], abs=1e-5)


def test_a_notch_that_is_not_symmetric_is_followed_corner_by_corner():
    """An L in plan, invented: 60 x 80 at the left, 40 x 30 beside it; nothing kept clear."""
    ring = np.array([(200, 9), (200, -80), (260, -80), (260, -30), (300, -30), (300, 9)], float)
    sides = StraightSide(0), StraightSide(900), StraightSide(-560), StraightSide(0)
    (notch,) = fit_outline(*sides, [Obstacle("step", ring, 0)]).notches
    expected = [[300, 0], [300, -30], [260, -30], [260, -80], [200, -80], [200, 0]]
    assert notch.corners.tolist() == expected

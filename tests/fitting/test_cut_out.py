"""Cut-outs: areas, the wood left around them against shapely and by hand, and the least change that mends."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from fitting.cut_out import LEAST, LEAST_SMALL, OFF, OPPOSITE, CutOutPlan, cut_out_ring, fit_cut_outs
from fitting.errors import BadInput

TOP = ((-1200.0, 0.0), (0.0, 0.0), (0.0, 560.0), (-1200.0, 560.0))
"""A top 1200 by 560; its datum is the front edge and the right end."""
NOTCHED = ((-1100.0, 0.0), (0.0, 0.0), (0.0, 560.0), (-1200.0, 560.0), (-1200.0, 90.0), (-1100.0, 90.0))
"""The same with 100 by 90 taken out at the front left, for a casing."""


def bowl(x=-600.0, y=300.0, **more):
    return CutOutPlan(
        "bowl", **{"shape": "rectangle", "width": 400.0, "depth": 300.0, "x": x, "y": y, **more}
    )


def test_an_oval_has_the_area_of_an_ellipse_and_is_drawn_out_within_its_chords():
    """Area pi a b; a chord cuts off less than its length times OFF."""
    ring = Polygon(cut_out_ring(bowl(shape="oval")))
    ellipse, around = math.pi * 200 * 150, 2 * math.pi * 200
    assert ellipse - around * OFF < ring.area < ellipse
    assert ring.exterior.is_ccw


@pytest.mark.parametrize("radius", [0.0, 10.0, 60.0, 150.0])
def test_rounded_corners_take_four_minus_pi_radius_squared(radius):
    """Hand: a square of side r less its quarter circle, four times: (4 - pi) r^2."""
    ring = Polygon(cut_out_ring(bowl(radius=radius)))
    expected = 400 * 300 - (4 - math.pi) * radius**2
    assert ring.area == pytest.approx(expected, abs=2 * math.pi * radius * OFF + 1e-6)
    assert ring.bounds == pytest.approx((-800, 150, -400, 450), abs=1e-9)


def test_wood_left_by_hand():
    r"""The bowl is 400 x 300 about (-600, 300) in a top of 1200 x 560 that has a notch front left.

      560 +-----------------------+
          |     +-------+  450    |
          |     |       |         |
          |     +-------+  150    |
       90 +--+                    |
             +--------------------+ 0
    -1200 -1100 -800  -400        0
    """
    (found,) = fit_cut_outs(NOTCHED, [bowl()])
    assert found.left_over == pytest.approx({"left": 400, "right": 400, "front": 150, "back": 110})
    assert found.nearest == pytest.approx(110)
    assert (found.breaks, found.thin, found.parts) == ((), (), False)
    assert found.bearers == pytest.approx((-800 - 25.4, -400 + 25.4))
    (near,) = fit_cut_outs(NOTCHED, [bowl(x=-880.0, y=205.0)])  # its lower left corner near the notch's
    assert near.left_over == pytest.approx({"left": 20, "right": 680, "front": 55, "back": 205})
    assert near.nearest == pytest.approx(20)


def test_a_notch_counts_where_the_cut_out_stands_over_it():
    """By hand: over the notch, whose edge is at 90, the bowl's front at 120 has 30 left there."""
    (found,) = fit_cut_outs(NOTCHED, [bowl(x=-950.0, y=270.0)])
    assert found.left_over["front"] == pytest.approx(30)


def test_between_two_cut_outs():
    tap = CutOutPlan("tap", "oval", 35.0, 35.0, -600.0, 500.0)
    basin, hole = fit_cut_outs(TOP, [bowl(), tap])
    assert basin.between == pytest.approx({"tap": 500 - 17.5 - 450}, abs=OFF)
    assert hole.between == {"bowl": basin.between["tap"]}
    assert (basin.plan.kept, hole.plan.kept, hole.bearers) == (LEAST, LEAST_SMALL, ())


@pytest.mark.parametrize(
    ("plan", "breaks", "parts"),
    [
        (bowl(y=140.0), ("front",), False),
        (bowl(y=450.0), ("back",), False),
        (bowl(x=-1050.0), ("left",), False),
        (bowl(depth=600.0, y=280.0), ("front", "back"), True),
        (bowl(width=1300.0, depth=600.0, y=280.0), ("left", "right", "front", "back"), True),
        (bowl(x=500.0), ("right",), False),
    ],
    ids=["front", "back", "left", "both: two parts", "nothing left", "outside"],
)
def test_what_breaks_through_says_where(plan, breaks, parts):
    (found,) = fit_cut_outs(TOP, [plan])
    assert set(breaks) <= set(found.breaks)
    assert (found.nearest, found.parts) == (0.0, parts)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([TOP, NOTCHED]),
    st.sampled_from(["rectangle", "oval"]),
    st.floats(40, 500),
    st.floats(40, 400),
    st.floats(-1150, -50),
    st.floats(20, 540),
)
def test_wood_left_is_what_a_dense_look_finds(outline, shape, width, depth, x, y):
    """Reference: shapely cuts lines across the ring, 1 mm apart, and measures the wood beyond each."""
    wood = Polygon(outline)
    (found,) = fit_cut_outs(outline, [bowl(x=x, y=y, shape=shape, width=width, depth=depth)])
    ring = Polygon(found.ring)
    if not wood.buffer(-0.01).contains(ring):
        assert min(found.left_over.values()) < 0.02
        return
    for side, left in found.left_over.items():
        assert left == pytest.approx(dense(wood, ring, side, (x, y)), abs=1.5 if shape == "oval" else 1e-6)
        assert left >= found.nearest - 1e-6


def dense(wood, ring, side, centre):
    axis, sign = {"left": (0, -1), "right": (0, 1), "front": (1, -1), "back": (1, 1)}[side]
    low, high = ring.bounds[1 - axis], ring.bounds[3 - axis]
    corners = [one for one in np.asarray(wood.exterior.coords)[:, 1 - axis] if low < one < high]
    places = [
        *np.arange(low + 1e-7, high, 1.0),
        high - 1e-7,
        *(c + d for c in corners for d in (-1e-7, 1e-7)),
    ]
    least = math.inf
    for place in places:
        far = centre[axis] + sign * 3000
        line = [(place, centre[axis]), (place, far)] if axis else [(centre[axis], place), (far, place)]
        beyond = LineString(line).intersection(wood).difference(ring)
        parts = [part for part in getattr(beyond, "geoms", [beyond]) if part.length]
        least = min([least, *(part.length for part in parts if part.distance(ring) < 1e-6)])
    return least


@pytest.mark.parametrize(
    ("plan", "side"),
    [
        (bowl(y=190.0), "front"),
        (bowl(y=400.0), "back"),
        (bowl(x=-980.0), "left"),
        (bowl(depth=520.0, y=280.0), "front"),
    ],
)
def test_the_change_that_is_named_mends_it_and_less_does_not(plan, side):
    (found,) = fit_cut_outs(TOP, [plan])
    assert side in found.thin
    move, smaller = found.mend(side)
    assert (move > 0) != (smaller > 0)
    for share, is_mended in ((1.0, True), (0.98, False)):
        axis, sign = {"left": ("x", 1), "right": ("x", -1), "front": ("y", 1), "back": ("y", -1)}[side]
        size = "width" if axis == "x" else "depth"
        middle = (TOP[0][0] + TOP[1][0]) / 2 if axis == "x" else 280.0
        changed = {
            axis: getattr(plan, axis) + sign * share * move if move else middle,
            size: getattr(plan, size) - share * smaller,
        }
        (mended,) = fit_cut_outs(TOP, [CutOutPlan(**{**vars(plan), **changed})])
        kept = [mended.left_over[one] >= plan.kept - 1e-6 for one in (side, OPPOSITE[side])]
        assert all(kept) == is_mended


def test_mirrored_it_is_mirrored():
    mirrored = [(-x, y) for x, y in reversed(NOTCHED)]
    (one,) = fit_cut_outs(NOTCHED, [bowl(x=-900.0)])
    (other,) = fit_cut_outs(mirrored, [bowl(x=900.0)])
    assert (one.left_over["left"], one.left_over["right"]) == pytest.approx(
        (other.left_over["right"], other.left_over["left"])
    )
    assert one.left_over["front"] == pytest.approx(other.left_over["front"])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"width": 0.0}, "expected a width and a depth above 0"),
        ({"depth": -3.0}, "expected a width and a depth above 0"),
        ({"width": math.nan}, "expected a width and a depth above 0"),
        ({"radius": 151.0}, "at most 150 mm, half its lesser side, got 151"),
        ({"radius": -1.0}, "expected a corner radius"),
    ],
)
def test_what_is_no_cut_out_is_refused(change, says):
    with pytest.raises(BadInput, match=says):
        cut_out_ring(bowl(**change))


def test_an_outline_that_is_none_is_refused():
    with pytest.raises(BadInput, match="does not cross itself"):
        fit_cut_outs([(0, 0), (10, 10), (10, 0), (0, 10)], [bowl()])

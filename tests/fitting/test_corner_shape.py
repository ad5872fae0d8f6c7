"""Shaped corners: areas and tangency by formula, skew corners, mirrored, and what does not fit."""

import math

import numpy as np
import pytest
from shapely import Polygon

from fitting.corner_shape import ShapedCorner, drawn_out, shape_corners
from fitting.cut_out import OFF
from fitting.errors import BadInput

TOP = np.array([(-900.0, 0.0), (0.0, 0.0), (0.0, 560.0), (-900.0, 560.0)])
SKEW = np.array([(-900.0, 0.0), (0.0, 0.0), (60.0, 560.0), (-900.0, 560.0)])


def drawn(ring, bulges):
    """The shape with its arcs in chords, each within 0.02 mm."""
    return Polygon(drawn_out(ring, bulges))


@pytest.mark.parametrize("end", ["left", "right"])
@pytest.mark.parametrize("radius", [6.0, 50.0, 300.0])
def test_a_radius_takes_off_a_square_less_a_quarter_circle(end, radius):
    """r^2 (1 - pi / 4)."""
    shape = drawn(*shape_corners(TOP, {end: ShapedCorner("radius", radius)}))
    assert Polygon(TOP).area - shape.area == pytest.approx(
        radius**2 * (1 - math.pi / 4), abs=math.pi / 2 * radius * OFF
    )
    assert shape.bounds == pytest.approx(Polygon(TOP).bounds)


@pytest.mark.parametrize("end", ["left", "right"])
def test_a_clip_takes_off_half_a_square(end):
    ring, bulges = shape_corners(TOP, {end: ShapedCorner("clip", 40.0)})
    assert Polygon(TOP).area - Polygon(ring).area == pytest.approx(40.0**2 / 2)
    assert set(bulges) == {0.0}


def test_in_a_skew_corner_the_arc_still_runs_into_both_edges():
    """Tangent length r / tan(half the angle); its ends are that far from the corner, its radius as asked."""
    ring, bulges = shape_corners(SKEW, {"right": ShapedCorner("radius", 80.0)})
    angle = math.pi - math.atan2(560, 60)
    tangent = 80 / math.tan(angle / 2)
    assert ring[1] == pytest.approx((-tangent, 0))
    along = np.array([60.0, 560.0]) / math.hypot(60, 560)
    assert ring[2] == pytest.approx(tangent * along)
    arc = 4 * math.atan(bulges[1])
    assert np.hypot(*(ring[2] - ring[1])) / 2 / math.sin(arc / 2) == pytest.approx(80.0)
    assert arc == pytest.approx(math.pi - angle)


def test_both_corners_and_mirrored_alike():
    both = {"left": ShapedCorner("radius", 50.0), "right": ShapedCorner("clip", 30.0)}
    ring, bulges = shape_corners(TOP, both)
    mirrored, back = shape_corners(
        np.array([(-x, y) for x, y in TOP[::-1]]), {"right": both["left"], "left": both["right"]}
    )
    assert drawn(ring, bulges).area == pytest.approx(drawn(mirrored, back).area)
    assert sorted(ring[:, 0].tolist()) == pytest.approx(sorted((-mirrored[:, 0]).tolist()))


@pytest.mark.parametrize(
    ("corners", "says"),
    [
        (
            {"left": ShapedCorner("radius", 561.0)},
            "the left front corner: expected a radius of at most 560.0 mm",
        ),
        (
            {"right": ShapedCorner("clip", 600.0)},
            "the right front corner: expected a clip of at most 560.0 mm",
        ),
        (
            {"left": ShapedCorner("radius", 500.0), "right": ShapedCorner("radius", 401.0)},
            "at most 399.0 mm|at most 499.0",
        ),
        ({"left": ShapedCorner("radius", 0.0)}, "expected a size above 0"),
        ({"left": ShapedCorner("clip", math.nan)}, "expected a size above 0"),
    ],
)
def test_what_does_not_fit_names_the_largest_that_does(corners, says):
    with pytest.raises(BadInput, match=says):
        shape_corners(TOP, corners)

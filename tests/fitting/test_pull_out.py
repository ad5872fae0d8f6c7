"""What slides out past walls, trim and open doors, by hand and against shapely."""

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from fitting.errors import BadInput
from fitting.pull_out import Sliding, lacking, pack_for_roll_out
from fitting.swing import SQUARE, Pin, Swing, pin_of


def ring(near, far, out, sign=1.0):
    return np.array([[-50, near], [out, near], [out, far], [-50, far], [-50, near]], dtype=float) * [sign, 1]


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(
    ("travel", "clearance", "expected"),
    [(450, 0.0, 18 - 12), (450, 3.0, 18 + 3 - 12), (70, 0.0, None), (79, 2.0, 18 + 2 - 12)],
)
def test_a_front_passes_a_casing_by_its_projection(side, travel, clearance, expected):
    """Front 20 thick, 12 off the wall; the casing, 18 out, begins 100 before the face.

    |            .-----
    |          [========     x = 12
    |_                       y = -100: reached when the front has come 80 (its face is at -20)
    | |
    |_|
    """
    sign = 1 if side == "left" else -1
    part = Sliding(sign * 12.0, -20.0, 0.0, travel)
    assert lacking(part, side, [ring(-100, -160, 18, sign)], clearance) == expected


def test_a_wall_that_runs_in_counts_where_the_front_comes_to():
    """The wall comes in 1 in 50; out to y = -20 - 500 that is 10.4: 10.4 - 8 = 2.4 lacking."""
    wall = np.array([[20.0, -1000.0], [0.0, 0.0]])
    assert lacking(Sliding(8.0, -20, 0, 500), "left", [wall]) == pytest.approx(2.4)


def test_a_box_behind_its_front_is_met_later():
    """The box begins at y = 0: with 90 of travel it does not come to a casing from -100 on, with 110 it
    does."""
    assert lacking(Sliding(16.0, 0, 450, 90), "left", [ring(-100, -160, 18)]) is None
    assert lacking(Sliding(16.0, 0, 450, 110), "left", [ring(-100, -160, 18)]) == 2


@pytest.mark.parametrize("seed", range(20))
def test_it_agrees_with_the_swept_rectangle(seed):
    """The way is a rectangle; shapely says what of the solids lies in it."""
    random = np.random.default_rng(seed)
    ys = np.sort(random.uniform(-900, 500, 6))
    line = np.column_stack([random.uniform(-20, 20, 6), ys])
    part = Sliding(random.uniform(-5, 30), -20.0, random.uniform(-10, 400), random.uniform(50, 600))
    solid = Polygon([*line, (-3000, ys[-1]), (-3000, ys[0])]).buffer(0)
    way = box(-3000, part.front - part.travel, 3000, part.back)
    met = shapely.intersection(solid, way)
    assert lacking(part, "left", [line]) == pytest.approx(met.bounds[2] - part.x, abs=1e-6)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(("degrees", "hinges", "sits", "expected"), [
    (90, "cup", "overlay", 20 - 18 + 2),  # the door stands from its hinge edge to its thickness
    (90, "butt", "overlay", 0.0),  # it stands outside of its hinge edge
    (60, "butt", "inset", 200 + 20 * math.sin(math.radians(60)) + 2),  # inset, flush with the inner face
])  # fmt: skip
def test_what_rolls_out_passes_the_open_door(side, degrees, hinges, sits, expected):
    """A side 18 thick, the door 400 by 20.

    ||                       box's side, 18 thick
    ||   .---- roll-out
    [|]  |                   the door, opened, stands before the side, 2 further in
     |
    """
    sign = 1 if side == "left" else -1
    edge = 0.0 if sits == "overlay" else 18.0
    face = -20.0 if sits == "overlay" else 0.0
    door = Swing(side, sign * edge, face, 400, 20, pin_of(hinges, sits, 20))
    assert pack_for_roll_out(door, math.radians(degrees), sign * 18.0, 2.0) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Sliding(0, 0, 0, 100), "expected a back behind its front"),
        (lambda: Sliding(0, -20, 0, 0), "a travel above 0"),
        (lambda: Sliding(math.nan, -20, 0, 10), "sliding part"),
        (lambda: lacking(Sliding(0, -20, 0, 10), "left", [], -1.0), "clearance: expected 0 mm or more"),
        (lambda: lacking(Sliding(0, -20, 0, 10), "left", [np.zeros((1, 2))]), "line: expected 2 points"),
        (lambda: pack_for_roll_out(Swing("left", 0, 0, 400, 20, Pin()), 4.0, 18), "angle: expected 0 to pi"),
        (lambda: pack_for_roll_out(Swing("left", 0, 0, 400, 20), SQUARE, math.inf), "inner face"),
    ],
)
def test_what_cannot_be_is_refused(made, words):
    with pytest.raises(BadInput, match=words):
        made()

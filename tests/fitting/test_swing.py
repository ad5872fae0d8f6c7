"""A door's swing: by hand, and against a dense sweep with shapely."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import translate

from fitting.errors import BadInput
from fitting.swing import CUP_PAST, SQUARE, Pin, Pull, Swing, pin_of, reached, strike

EXACT = 1e-6  # mm
WALL = np.array([[0.0, -2000.0], [0.0, 100.0]])


def door(side="left", edge=0.0, width=400.0, thick=20.0, hinges="butt", sits="overlay", pull=None):
    face = -thick if sits == "overlay" else 0.0
    return Swing(side, edge, face, width, thick, pin_of(hinges, sits, thick), pull)


def casing(near, far, out):
    """The ring of a casing on a wall at x = 0, from y = near (toward the cabinet) to y = far."""
    return np.array([[-50, near], [out, near], [out, far], [-50, far], [-50, near]], dtype=float)


@pytest.mark.parametrize(("hinges", "sits"), [("butt", "inset"), ("butt", "overlay"), ("cup", "overlay")])
def test_the_corner_across_from_the_pin_swings_by_the_diagonal(hinges, sits):
    """Door corner radius sqrt(w^2 + t^2) (trade-facts 7.4): 400 x 20 gives 400.4997.

    o----------------------.      o pin, at the front or the back corner of the hinge edge
    '----------------------*      * the corner across: sqrt(400^2 + 20^2)
    """
    assert door(hinges=hinges, sits=sits).corner_radius == pytest.approx(math.sqrt(400**2 + 20**2))


def test_a_door_opened_square_stands_before_its_hinge():
    """Pin at the front corner (0, 0): opened square it stands from x = 0 to its thickness, 400 into the room.

    o==========      |      ->   o.
                                 ||
                                 ||
    """
    body, *_ = door(sits="inset").at(SQUARE)
    assert body.min(axis=0) == pytest.approx([0, -400])
    assert body.max(axis=0) == pytest.approx([20, 0], abs=1e-9)


@pytest.mark.parametrize("side", ["left", "right"])
def test_an_overlay_door_on_butts_needs_its_own_thickness_at_the_side(side):
    """Pin at the back corner, so opened square its thickness lies beside it: 20 off the wall, or it strikes.

    |                        wall at x = 0, hinge edge at x = e
    |  .=o                   opened: from e - 20 to e
    |  ||
    """
    sign = 1 if side == "left" else -1
    found = strike(door(side, sign * 12.0), [WALL], SQUARE)
    assert found.lacking == pytest.approx(20 - 12, abs=EXACT)
    assert found.angle == pytest.approx(SQUARE)


@pytest.mark.parametrize(("hinges", "past"), [("butt", 0.0), ("cup", CUP_PAST)])
def test_beside_a_straight_wall_a_pull_needs_what_it_stands_out(hinges, past):
    """Pin at the front corner, opened square: the pull lies flat toward the wall and reaches p = 35 beyond.

    |      o=====.     closed
    |      |
    |      |.          opened; 35 from the face to the pull's end
    |  [===||
    |      ||
    """
    inset = door(hinges=hinges, sits="inset", pull=Pull(35.0))
    assert strike(inset, [WALL], SQUARE).lacking == pytest.approx(35 + past, abs=EXACT)


def test_past_square_the_free_edge_goes_over_to_the_wall():
    """At 105 degrees the front corner of the free edge has gone 400 cos 75 = 103.5 past the pin."""
    found = strike(door(sits="inset"), [WALL], math.radians(105))
    assert found.lacking == pytest.approx(400 * math.cos(math.radians(75)), abs=EXACT)


def test_a_casing_beyond_the_doors_reach_is_not_met():
    """Casing from 450 out: the door ends 400 out.

    |       o====
    |       |
    |       |        400
    |_
    |_|              450
    """
    square = door(edge=5.0, sits="inset")
    assert strike(square, [casing(-450, -510, 18)], SQUARE) is None
    assert reached(square, [casing(-450, -510, 18)], SQUARE) == SQUARE


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_rectangular_casing_needs_its_projection_and_what_the_pull_adds(side):
    """Casing 18 out of the wall, from 300 to 360 before the face; the pull at 350 to 390 of the door's 400.

    |           o======[]      opened square the pull reaches 30 toward the wall at y = -350 to -390,
    |_          |              beside the casing (y = -300 to -360): 18 + 30 = 48 off the wall
    | |      [==|
    |_|         |
    """
    sign = 1 if side == "left" else -1
    ring = casing(-300, -360, 18.0) * [sign, 1]
    inset = door(side, sign * 40.0, sits="inset", pull=Pull(30.0, 30.0, 40.0))
    found = strike(inset, [ring], SQUARE)
    assert found.lacking == pytest.approx(48 - 40, abs=EXACT)
    assert strike(door(side, sign * 40.0, sits="inset"), [ring], SQUARE).lacking == pytest.approx(18 - 40)


def test_the_angle_that_it_reaches_by_hand():
    """Pin at (20, 0), wall at x = 0, pull from s = 380 to 400, standing p = 40 out.

    Before square its end nearer to the pin comes first: s cos a - p sin a = -20 at s = 380, which is
    R cos(a + b) = -20 with R = sqrt(380^2 + 40^2), tan b = 40 / 380.
    """
    pull = Pull(40.0, 10.0, 20.0)
    swing = door(edge=20.0, sits="inset", pull=pull)
    by_hand = math.acos(-20 / math.hypot(380, 40)) - math.atan2(40, 380)
    assert reached(swing, [WALL], SQUARE) == pytest.approx(by_hand, abs=1e-6)
    assert reached(swing, [WALL], by_hand - 1e-4) == by_hand - 1e-4


def test_a_wall_that_runs_in_is_met_where_it_is_nearest():
    """Wall x = -0.05 y (it comes in 1 in 20 before the face), pin at the front corner at (30, 0), door 400.

    Before square nothing of the face line is nearer than at 90 degrees: its free end, 400 out, where the wall
    has come in 20. Lacking 20 - 30 = -10. Opened further, corner (s, 0) at angle a: 0.05 s sin a - s cos a -
    30.
    """
    line = np.array([[50.0, -1000.0], [0.0, 0.0]])
    swing = door(edge=30.0, sits="inset")
    assert strike(swing, [line], SQUARE).lacking == pytest.approx(-10, abs=EXACT)
    a = math.radians(100)
    by_hand = 400 * (0.05 * math.sin(a) - math.cos(a)) - 30
    assert strike(swing, [line], a).lacking == pytest.approx(by_hand, abs=EXACT)


def test_on_its_way_to_the_wall_it_comes_nearest_before_it_lies_flat():
    """Wall x = -0.2 y, pin at (0, 0): the back corner of the free edge, R = sqrt(400^2 + 20^2) out,
    lags by b, tan b = 20 / 400, and is past the wall by R (0.2 sin(a - b) - cos(a - b)): most where a - b is
    168.7 degrees, tan = -0.2. That is R sqrt(1.04), before the door lies flat at 180.
    """
    line = np.array([[400.0, -2000.0], [-20.0, 100.0]])
    found = strike(door(sits="inset"), [line], math.pi)
    assert found.lacking == pytest.approx(math.hypot(400, 20) * math.sqrt(1.04), abs=EXACT)
    assert found.angle == pytest.approx(math.pi - math.atan(0.2) + math.atan2(20, 400))


def test_the_side_of_a_pull_passes_an_end_nearest_in_the_middle_of_its_way():
    """Pin 20 before the face, a pull from 100 to 130 along it that stands 40 out, on both sides of the pin's
    line. The end of a ledge 50 before the pin is nearest to the pull's side where sin a = 50 / 100: that side
    is then sqrt(100^2 - 50^2) to the right of the pin, and farther before and after.

        o----------+    the pin's line, 20 before the face
           ______[ ]    pull, s = 100 to 130
          |_________|   door
    """
    swing = Swing("left", 0.0, 20.0, 300.0, 20.0, Pin(0.0, -20.0), Pull(40.0, 185.0, 30.0))
    ledge = np.array([[-1000.0, -50.0], [80.0, -50.0]])
    found = strike(swing, [ledge], math.radians(40))
    assert found.lacking == pytest.approx(80 - math.sqrt(100**2 - 50**2), abs=EXACT)
    assert found.angle == pytest.approx(math.radians(30))


def test_the_face_passes_an_end_nearest_in_the_middle_of_its_way():
    """Pin 20 before the face and 15 in from the hinge edge. The end of a ledge 10 before the pin meets the
    face where cos a = -10 / 20; the face is then sqrt(20^2 - 10^2) right of the pin, and farther before and
    after."""
    swing = Swing("left", -15.0, 20.0, 300.0, 20.0, Pin(15.0, -20.0))
    ledge = np.array([[-1000.0, -10.0], [5.0, -10.0]])
    found = strike(swing, [ledge], math.radians(135))
    assert found.lacking == pytest.approx(5 - math.sqrt(20**2 - 10**2), abs=EXACT)
    assert found.angle == pytest.approx(math.radians(120))


def test_a_neighbours_pull_is_met_by_the_face_between_its_corners():
    """A pull's corner at (-10, -30) beside a pin at (0, 0) at the front corner: the face passes y = -30 at
    s = 30 / sin a, x = 30 cot a. At 110 degrees x = -10.92: past the corner by 0.92."""
    ring = np.array([[-40.0, -30.0], [-10.0, -30.0], [-10.0, 0.0]])
    a = math.radians(110)
    assert strike(door(sits="inset"), [ring], a).lacking == pytest.approx(30 / math.tan(math.pi - a) - 10)


def test_clearance_is_kept_along_and_across():
    swing = door(edge=40.0, sits="inset", pull=Pull(30.0, 30.0, 40.0))
    assert strike(swing, [WALL], SQUARE, 3.0).lacking == pytest.approx(30 + 3 - 40, abs=EXACT)
    # The casing begins 2 mm past the door's end, 400 out: with 3 mm kept it counts, with 1 it does not.
    ahead = [casing(-402, -450, 18)]
    plain = door(edge=10.0, sits="inset")
    assert strike(plain, ahead, SQUARE, 3.0).lacking == pytest.approx(18 + 3 - 10, abs=EXACT)
    assert strike(plain, ahead, SQUARE, 1.0) is None


def test_the_free_edge_of_an_inset_door_needs_a_reveal():
    """sqrt(400^2 + 20^2) - 400 = 0.4997 mm beside its free edge; none where the pin is at the back corner."""
    assert door(sits="inset").least_reveal == pytest.approx(math.sqrt(400**2 + 20**2) - 400)
    assert door(sits="overlay").least_reveal == 0.0


def test_an_open_door_stands_in_the_opening():
    """Opened square by its thickness; at 60 degrees by w cos 60 + t sin 60 = 200 + 17.32."""
    assert door(sits="inset").widest(SQUARE) == pytest.approx(20)
    assert door(sits="inset").widest(math.radians(60)) == pytest.approx(200 + 20 * math.sin(math.radians(60)))


def _brute(swing, lines, angle, step=2e-4):
    """The least shift to the right by which nothing solid is met, by a sweep through many angles.

    Everything left of a stretch is solid; the meeting of two polygons is looked for at single heights: each
    one's own corners, and the other's.
    """
    solids = []
    for a, b in ((line[k], line[k + 1]) for line in lines for k in range(len(line) - 1)):
        solids.append(Polygon([a, b, (-5000.0, b[1]), (-5000.0, a[1])]))
    solid = shapely.union_all([one for one in solids if one.area > 0])
    most = -math.inf
    for turn in np.linspace(0.0, angle, math.ceil(angle / step) + 1):
        for ring in swing.at(float(turn)):
            shape = translate(Polygon(ring), -swing.pin.past)
            heights = [y for _, y in ring] + [y for line in lines for _, y in line]
            for y in heights:
                for nudge in (-1e-6, 1e-6):
                    cut = shapely.LineString([(-5000, y + nudge), (5000, y + nudge)])
                    ours, theirs = shape.intersection(cut), solid.intersection(cut)
                    if not ours.is_empty and not theirs.is_empty:
                        most = max(most, theirs.bounds[2] - ours.bounds[0])
    return most


@pytest.mark.parametrize("seed", range(12))
def test_it_agrees_with_a_dense_sweep_on_random_doors(seed):
    """Brute force: 0.5 mm of arc between angles of 0.002 on 250 mm, so the sweep is short by 0.05 mm at
    most."""
    random = np.random.default_rng(seed)
    width, thick = random.uniform(80, 250), random.uniform(12, 30)
    pull = Pull(random.uniform(10, 45), 25.0, random.uniform(6, 40)) if random.random() < 0.7 else None
    pin = Pin(random.uniform(0, 30), random.uniform(-40, thick), random.uniform(0, 2))
    swing = Swing("left", random.uniform(0, 30), random.choice([-thick, 0.0]), width, thick, pin, pull)
    ys = np.sort(random.uniform(-300, 20, 4))[::-1]
    lines = [np.column_stack([random.uniform(-20, 10, 4), ys])]
    near = random.uniform(-200, -10)
    lines.append(casing(near, near - random.uniform(10, 80), random.uniform(5, 30)))
    angle = random.uniform(0.4, 3.1)
    exact, swept = strike(swing, lines, angle).lacking, _brute(swing, lines, angle, 2e-3)
    assert swept - 1e-3 <= exact <= swept + 0.05 * (1 + abs(exact))


@settings(max_examples=60, deadline=None)
@given(
    st.floats(5, 60), st.floats(100, 700), st.floats(10, 30), st.floats(0.2, 2.4), st.floats(0, 40),
    st.sampled_from(["butt", "knife", "cup"]), st.sampled_from(["overlay", "inset"]),
)  # fmt: skip
def test_moved_off_by_what_is_lacking_it_opens_and_by_less_it_does_not(
    edge, width, thick, angle, out, hinges, sits
):
    pull = Pull(out) if out > 1 and width > 100 else None
    lines = [WALL, casing(-60, -120, 17.0)]
    found = strike(door("left", edge, width, thick, hinges, sits, pull), lines, angle)
    needed = edge + found.lacking
    just = door("left", needed + 1e-4, width, thick, hinges, sits, pull)
    short = door("left", needed - 1e-2, width, thick, hinges, sits, pull)
    assert reached(just, lines, angle) == angle
    assert reached(short, lines, angle) < angle


def test_opening_further_never_needs_less():
    swing = door(edge=10.0, hinges="knife", pull=Pull(30.0))
    lines = [casing(-100, -160, 20), casing(-300, -360, 12)]
    lacking = [strike(swing, lines, a).lacking for a in np.linspace(0.9, 2.6, 40)]
    assert np.all(np.diff(lacking) >= -1e-9)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: door(width=0.0), "door's width: expected a size above 0"),
        (lambda: door(pull=Pull(0.0)), "pull: expected it to stand out"),
        (lambda: door(width=40.0, pull=Pull(10.0)), "stand out of the door's face and within"),
        (lambda: Swing("left", math.nan, 0.0, 400, 20), "door's place"),
        (lambda: Swing("left", 0.0, 0.0, 400, 20, Pin(past=-1.0)), "pin: expected"),
        (lambda: strike(door(), [WALL], 0.0), "angle: expected above 0"),
        (lambda: strike(door(), [WALL], 4.0), "angle: expected above 0 and up to pi"),
        (lambda: strike(door(), [WALL], 1.0, -1.0), "clearance: expected 0 mm or more"),
        (lambda: strike(door(), [WALL[:1]], 1.0), "line: expected 2 points"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(made, words):
    with pytest.raises(BadInput, match=words):
        made()

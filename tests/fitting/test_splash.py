"""Splashes worked out by hand; every working stands beside its check."""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import piece_rooms as rooms
import pytest

from fitting.errors import BadInput
from fitting.piece import EdgePlan
from fitting.site import Distance, know_room
from fitting.splash import CAULK, UNDER_PLATE, Outlet, SplashPlan, fit_splash, hidden_gap
from fitting.top import TopPlan, fit_top

SURE = 1e-2  # mm; what the readings leave open in these rooms is far below
T = 18.0


def net(wall, gap=2.0):
    return EdgePlan(wall, "net", gap)


def at_back(left=None, right=None, **changes):
    plan = {"bottom": rooms.UP, "height": 100.0, "thickness": T} | changes
    return SplashPlan("back", left=left, right=right, **plan)


def at_left(**changes):
    plan = {"bottom": rooms.UP, "height": 100.0, "thickness": T, "length": 560.0} | changes
    return SplashPlan("left", right=net("back", 0.0), **plan)


def at_right(**changes):
    plan = {"bottom": rooms.UP, "height": 100.0, "thickness": T, "length": 560.0} | changes
    return SplashPlan("right", left=net("back", 0.0), **plan)


def test_between_two_walls_it_is_as_long_as_the_alcove_less_its_gaps():
    # 1500 - 2 * 2 = 1496, half of it on either side of the centre line.
    splash = fit_splash(rooms.known(rooms.alcove(1500.0)), at_back(net("left"), net("right")))
    assert splash.length == pytest.approx(1496.0, abs=SURE)
    expected = [(-748, 0), (748, 0), (748, 100), (-748, 100)]
    assert splash.outline.outline == pytest.approx(np.array(expected), abs=SURE)
    assert splash.plan.datum == "centre line"


@pytest.mark.parametrize("degrees", [88.5, 90.0, 91.5])
def test_the_one_at_the_back_runs_through_and_those_at_the_sides_butt_on_its_face(degrees):
    # The sides reach 560 from the back wall's nearest place to the top's front edge. In a corner that is out
    # of square the left one, on its wall, meets the face of the other 18 / cos 1.5 before that wall; it is
    # cut square at that of its two faces which meets it first.
    room = rooms.known(rooms.alcove(1500.0, left=degrees))
    back = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)))
    left, right = fit_splash(room, at_left(), right=back), fit_splash(room, at_right(), left=back)
    assert right.length == pytest.approx(560.0 - T, abs=SURE)
    assert left.length == pytest.approx(560.0 - T / math.cos(math.radians(degrees - 90.0)), abs=SURE)
    assert back.length == pytest.approx(1500.0, abs=0.5 + SURE)


def test_sides_that_run_through_shorten_the_one_at_the_back():
    # 1500 - 18 - 18 = 1464.
    room = rooms.known(rooms.alcove(1500.0))
    left, right = fit_splash(room, at_left()), fit_splash(room, at_right())
    back = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)), left, right)
    assert back.length == pytest.approx(1500.0 - 2 * T, abs=SURE)
    assert left.length == pytest.approx(560.0, abs=SURE)


def test_a_leaning_side_wall_gives_the_end_its_slope():
    # The left wall leans in 0.02 * 100 = 2 mm over the splash's height.
    room = rooms.known(rooms.alcove(1500.0).changed("left", tilt=0.02))
    splash = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)))
    left = splash.outline.edges["left"]
    assert left.reach[0] - left.reach[-1] == pytest.approx(2.0, abs=SURE)


def test_a_free_end_is_the_datum_and_the_length_counts_from_the_wall():
    room = rooms.known(rooms.corner(90))
    splash = fit_splash(room, at_back(net("left", 1.0), length=900.0))
    assert splash.plan.datum == "right end"
    assert splash.length == pytest.approx(899.0, abs=SURE)
    assert splash.outline.outline[:, 0].max() == 0.0
    both = fit_splash(room, at_back(length=700.0, mark="left-back", out=50.0))
    assert both.length == 700.0
    assert both.outcome is None


def test_mirrored_rooms_give_mirrored_splashes():
    here = fit_splash(rooms.known(rooms.corner(91.0)), at_left(), None)
    image = rooms.polygon(
        ["back", "right"],
        [(-1500.0, 0.0), (0.0, 0.0), (math.tan(math.radians(1.0)) * 1000.0, -1000.0)],
        "back",
    )
    there = fit_splash(rooms.known(image), at_right(), None)
    turned = here.outline.outline * (-1, 1)
    assert np.sort(turned, axis=0) == pytest.approx(np.sort(there.outline.outline, axis=0), abs=SURE)
    assert here.behind[::-1] == pytest.approx(there.behind, abs=SURE)


def hollow(depth, width=1500.0):
    """A wall that is `depth` farther away in its middle than at its ends."""
    return lambda along, _up: -depth * (1.0 - ((along - width / 2) / (width / 2)) ** 2)


def checked(room, wall="back"):
    places = np.linspace(0.0, 1500.0, 31)
    more = [rooms.check(wall, "left-back", places, 1e-3, rooms.UP + up, str(up)) for up in (0.0, 50.0, 100.0)]
    return rooms.known(room, rooms.WAVES, more)


def test_the_gap_behind_a_hollow_wall_is_its_hollow():
    # It touches at both ends, and the wall is 5 mm behind it in the middle.
    room = checked(rooms.bumpy(rooms.alcove(1500.0), back=hollow(5.0)))
    splash = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)))
    assert splash.gap_behind == pytest.approx(5.0, abs=0.2)
    assert abs(splash.behind_at[np.argmax(splash.behind)]) < 30.0
    assert splash.behind.min() == pytest.approx(0.0, abs=0.2)


@pytest.mark.parametrize(
    ("finish", "gap", "bearing"), [("covered", 3.0, 15.0), ("net", 2.0, 16.0), ("scribed", 0.0, 18.0)]
)
def test_how_far_the_top_reaches_under_it(finish, gap, bearing):
    # On a true wall the gap is the one asked for: 18 less it. Scribed, the top goes all the way.
    room = rooms.known(rooms.alcove(1500.0))
    top = fit_top(
        room,
        TopPlan(
            "back", rooms.UP, 30.0, net("left"), net("right"), EdgePlan("back", finish, gap), depth=560.0
        ),
    )
    splash = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)))
    assert splash.bearing(top, "back") == pytest.approx(bearing, abs=SURE)


def test_what_a_hollow_wall_takes_from_under_it():
    # A covered top runs straight 3 mm off the wall's foremost places, at its ends, and so does the splash's
    # back: the top's 15 mm under it stay, although the wall is 8 away in the middle.
    room = checked(rooms.bumpy(rooms.alcove(1500.0), back=hollow(8.0)))
    top = fit_top(
        room,
        TopPlan(
            "back", rooms.UP, 30.0, net("left"), net("right"), EdgePlan("back", "covered", 3.0), depth=560.0
        ),
    )
    splash = fit_splash(room, at_back(net("left", 0.0), net("right", 0.0)))
    assert splash.bearing(top, "back") == pytest.approx(T - 3.0, abs=0.5)


def test_it_hides_its_thickness_less_the_caulk():
    # 3/4 in less 1/8 in = 5/8 in (trade-facts 7.4, common practice).
    assert hidden_gap(0.75 * 25.4) == pytest.approx(0.625 * 25.4)
    assert pytest.approx(25.4 / 8) == CAULK
    assert hidden_gap(2.0, 3.0) == 0.0


def test_an_outlet_is_cut_out_less_what_its_plate_covers():
    # Its plate 70 x 114 at 400 from the left corner, 60 up the splash; 1/4 in of it stays on the wood. From
    # the centre line of 1500: 400 - 750 = -350.
    room = rooms.known(rooms.with_mark(rooms.alcove(1500.0), "outlet", "back", 400.0))
    outlet = Outlet("outlet", 70.0, 114.0, rooms.UP + 75.0)
    splash = fit_splash(room, at_back(net("left"), net("right"), height=150.0, outlets=(outlet,)))
    (hole,) = splash.outline.holes
    half, tall = 35.0 - UNDER_PLATE, 57.0 - UNDER_PLATE
    low, high = hole.corners.min(axis=0), hole.corners.max(axis=0)
    assert low == pytest.approx((-350 - half, 75 - tall), abs=SURE)
    assert high == pytest.approx((-350 + half, 75 + tall), abs=SURE)
    assert splash.unsure["outlet"] < SURE


def test_an_outlet_at_the_upper_edge_is_a_notch():
    room = rooms.known(rooms.with_mark(rooms.alcove(1500.0), "outlet", "back", 400.0))
    outlet = Outlet("outlet", 70.0, 114.0, rooms.UP + 120.0)
    splash = fit_splash(room, at_back(net("left"), net("right"), outlets=(outlet,)))
    (notch,) = splash.outline.notches
    assert notch.corners[:, 1].min() == pytest.approx(120.0 - 57.0 + UNDER_PLATE, abs=SURE)
    assert splash.outline.holes == ()


def test_what_is_unknown_of_the_walls_widens_the_gaps_up_to_half_of_what_may_stay():
    sure = fit_splash(rooms.known(rooms.alcove(1500.0)), at_back(net("left", 0.5), net("right", 0.5)))
    unsure_room = rooms.known(rooms.alcove(1500.0), rooms.WAVES)
    unsure = fit_splash(unsure_room, at_back(net("left", 0.5), net("right", 0.5)))
    assert sure.outline.edges["left"].gap == pytest.approx(0.5, abs=SURE)
    assert 0.5 < unsure.outline.edges["left"].gap <= 25.4 / 16 + 1e-9


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (at_back(net("left")), "a free end needs its length"),
        (at_back(length=500.0), "needs a corner or mark"),
        (at_back(net("left"), net("right"), thickness=0.0), "thickness: expected a size above 0"),
        (at_back(net("left"), net("right"), height=math.nan), "height: expected a size above 0"),
        (at_back(net("attic"), net("right")), "wall `attic` does not exist"),
        (at_back(net("left"), length=900.0, bottom=math.inf), "bottom: expected a length within 60 m"),
        (
            at_back(EdgePlan("left", "scribed"), net("right")),
            "left end: expected one cut net, got 'scribed'",
        ),
        (
            at_back(net("left"), length=900.0, outlets=(Outlet("outlet", 10.0, 114.0, 900.0),)),
            "outlet: width: expected a size above 0",
        ),
    ],
)  # fmt: skip
def test_bad_input(plan, says):
    with pytest.raises(BadInput, match=says):
        fit_splash(rooms.known(rooms.alcove(1500.0)), plan)


def test_a_splash_does_not_butt_on_one_that_runs_along_it():
    room = rooms.known(rooms.alcove(1500.0))
    back = fit_splash(room, at_back(net("left"), net("right")))
    with pytest.raises(BadInput, match="expected one across its end"):
        fit_splash(room, at_back(net("left"), net("right")), left=back)


def test_how_likely_it_goes_in_is_that_of_the_width_between_the_walls():
    """Gaps of 0.25 at both ends, and a width that is known to 0.5 mm: P(N(0, 0.5) > -0.5) = Phi(1)."""
    true = rooms.alcove(1500.0)
    asked = [true.exact(one) for one in rooms.every_reading(true)]
    asked = [replace(one, deviation=0.5) if isinstance(one, Distance) else one for one in asked]
    room = know_room(true.plan(), asked, rooms.NO_WAVES)
    plan = at_back(net("left", 0.25), net("right", 0.25), confidence=0.5)
    outcome = fit_splash(room, plan).outcome
    assert outcome.goes_in.value == pytest.approx(NormalDist().cdf(1.0), abs=0.02)
    # And no gap over 1/8 in at each end: 2 * 3.175 in all, far away.
    assert outcome.all_well.value == outcome.goes_in.value


def test_a_gap_wider_than_may_stay_is_no_fit():
    """Gaps of 2 at both ends, known to 3 mm in all; 1/8 in may stay at each: it goes in above -4, and is
    close enough up to 2 * 3.175 - 4 = 2.35."""
    true = rooms.alcove(1500.0)
    asked = [true.exact(one) for one in rooms.every_reading(true)]
    asked = [replace(one, deviation=3.0) if isinstance(one, Distance) else one for one in asked]
    room = know_room(true.plan(), asked, rooms.NO_WAVES)
    outcome = fit_splash(room, at_back(net("left"), net("right"), confidence=0.5)).outcome
    phi = NormalDist(0.0, 3.0).cdf
    assert outcome.goes_in.value == pytest.approx(1.0 - phi(-4.0), abs=0.03)
    assert outcome.close.value == pytest.approx(phi(2.35) - phi(-4.0), abs=0.05)


def test_a_splash_of_which_nothing_is_left_is_refused():
    # 560 to the back wall, and the one that runs through there is 600 thick.
    room = rooms.known(rooms.alcove(1500.0))
    thick = fit_splash(room, at_back(net("left"), net("right"), thickness=600.0))
    with pytest.raises(BadInput, match="nothing of it is left between its ends"):
        fit_splash(room, at_left(), right=thick)
    marked = rooms.known(rooms.with_mark(rooms.alcove(1500.0), "outlet", "back", 400.0))
    whole = Outlet("outlet", 4000.0, 4000.0, rooms.UP + 50.0)
    with pytest.raises(BadInput, match="beside its cut-outs"):
        fit_splash(marked, at_back(net("left"), net("right"), outlets=(whole,)))

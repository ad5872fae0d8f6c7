"""Level pieces on uneven floors, against planes and humps worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from fitting.errors import BadInput
from fitting.floor import Standing, along, legs_need, stand
from fitting.joint import Joint
from fitting.site import Corner, KnownRoom, Level, Plan, Prior, know_room

FLAT = Prior(waves=(), build_up=None)
FOOTPRINT = [(0.0, -550.0), (0.0, -50.0), (900.0, -550.0), (900.0, -50.0)]


def floor(fall: float, forward: float = 0.0, sd: float = 1e-4) -> KnownRoom:
    """A plane that falls by so much per mm to the right, and per mm out of the back wall."""
    plan = Plan("back", ("left", "back"), (Corner("c", "left", "back"),))
    drops = [
        Level(f"{x} {y}", -fall * x - forward * y, sd, "floor", "back", x, "c", y)
        for x in (0.0, 600.0, 1200.0)
        for y in (50.0, 600.0)
    ]
    return know_room(plan, drops, FLAT)


def test_it_stands_on_the_high_corner_and_the_rest_is_shimmed():
    """Falls 5 mm a metre to the right and 2 mm a metre forward: high at the left back.

    Left front 0.5 m forward: 1.0; right back 0.9 m right: 4.5; right front both: 5.5."""
    standing = stand(floor(0.005, 0.002), FOOTPRINT)
    assert standing.highest == 1
    assert standing.level == pytest.approx(-0.1, abs=1e-3)
    assert standing.shims.mean == pytest.approx([1.0, 0.0, 5.5, 4.5], abs=2e-3)
    assert standing.range == pytest.approx(5.5, abs=2e-3)
    assert standing.over(300.0) == pytest.approx(300.1, abs=2e-3)


def test_a_higher_place_in_the_middle_lifts_it():
    standing = stand(floor(0.004), [(500.0, -300.0), (900.0, -300.0)], among=[(100.0, -300.0)])
    assert standing.highest == 2
    assert standing.shims.mean == pytest.approx([1.6, 3.2, 0.0], abs=2e-3)


def test_the_shim_at_the_high_point_is_sure_and_others_share_its_error():
    """Two heights of 2 mm sd each, independent: a shim, their difference, has 2 sqrt 2."""
    standing = Standing(Joint(np.array([0.0, -3.0]), np.eye(2) * 4.0), 0)
    assert standing.shims.sd == pytest.approx([0.0, 2.0 * math.sqrt(2.0)])


def test_legs_and_scribe_add_up_to_the_range_everywhere():
    """A base cut for the lowest place: what is planed off and the shim make the whole range."""
    at, places = along((0.0, -480.0), (900.0, -480.0))
    standing = stand(floor(0.005), places)
    assert at[0] == 0.0
    assert standing.legs(100.0) == pytest.approx(100.0 + 0.005 * at, abs=2e-3)
    assert standing.scribed() == pytest.approx(0.005 * (900.0 - at), abs=2e-3)
    assert standing.scribed() + standing.shims.mean == pytest.approx(np.full(at.size, standing.range))


def test_a_mirrored_floor_gives_mirrored_legs():
    legs = stand(floor(-0.005), FOOTPRINT).legs(100.0)
    assert legs == pytest.approx(
        stand(floor(0.005), [(900.0 - x, y) for x, y in FOOTPRINT]).legs(100.0), abs=2e-3
    )
    assert float(np.ptp(legs)) == pytest.approx(4.5, abs=2e-3)


def test_legs_out_of_their_reach_are_named():
    uneven = Standing(Joint(np.array([-1.0, 0.0, -40.0]), np.zeros((3, 3))), 1)
    need = legs_need(uneven, 100.0, 100.5, 130.0)
    assert (need.shortest, need.longest, need.short, need.long) == (100.0, 140.0, (1,), (2,))
    assert legs_need(uneven, 100.0).long == ()


def test_what_cannot_be_is_refused():
    bare = know_room(Plan("back", ("left", "back"), (Corner("c", "left", "back"),)), [], FLAT)
    uneven = Standing(Joint(np.zeros(1), np.zeros((1, 1))), 0)
    for wrong, words in [
        (lambda: stand(bare, FOOTPRINT), "nothing says where the floor is"),
        (lambda: stand(floor(0.0), []), "a place or more"),
        (lambda: stand(floor(0.0), [(math.nan, 0.0)]), "finite"),
        (lambda: along((1.0, 1.0), (1.0, 1.0)), "some length"),
        (lambda: legs_need(uneven, 0.0), "height"),
        (lambda: legs_need(uneven, 100.0, 120.0, 90.0), "no longer than the longest"),
    ]:
        with pytest.raises(BadInput, match=words):
            wrong()

"""At the place itself: hand-worked cases, closed forms, and what would help."""

import math

import numpy as np
import pytest
from shapely import Polygon
from thorough import many

from fitting.errors import BadInput
from fitting.getting_in.helps import Help, between_walls, parts_needed, smaller_box, under_ceiling
from fitting.getting_in.passage import Box, longest_round_corner, round_corner, through_doorway
from fitting.getting_in.passing import rectangle
from fitting.getting_in.place_in import (
    down_between,
    in_from_front,
    stand_up_in_place,
    straight_in,
    with_top,
)
from fitting.getting_in.spare import longer, spare
from fitting.getting_in.tilt import cabinet_profile, drop_in, tilt_up

MIRROR = np.array([-1.0, 1.0])


def alcove(front, back, depth=600.0, tall=50.0):
    """Side walls and back of an alcove in plan, its back 0, centred on x = 0."""
    left = np.array([[-front / 2, -depth], [-back / 2, 0], [-back / 2 - 500, 0], [-front / 2 - 500, -depth]])
    return [left, left * MIRROR, rectangle(-back, 0, 2 * back, tall)]


@pytest.mark.parametrize(
    ("front", "back", "margin"),
    [
        pytest.param(1500, 1500, 10, id="parallel walls: what they are wider"),
        pytest.param(1520, 1500, 10, id="wider at the front: the back counts"),
        pytest.param(1492, 1500, 2, id="narrower at the front: the mouth counts"),
        pytest.param(1488, 1500, -2, id="the mouth lacks 2"),
    ],
)
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_straight_in_from_the_front(front, back, margin, sign):
    """A top 1490 x 600: on its way every depth of it passes the mouth."""
    top, flip = rectangle(-745, -600, 1490, 600), np.array([sign, 1.0])
    answer = straight_in(top * flip, [ring * flip for ring in alcove(front, back)], 700)
    assert answer.margin == pytest.approx(margin, abs=2e-3)
    assert answer.verdict == ("goes" if margin >= 0 else "does not go")


def test_a_notch_takes_a_top_past_a_casing_only_straight_behind_it():
    """The casing stands 20 in, at the mouth: a notch at the front corner does not help the back go past."""
    walls = alcove(1500, 1500)
    casing = rectangle(730, -600, 20, 60)
    notched = np.array(
        [[-745, -600], [725, -600], [725, -530], [745, -530], [745, 0], [-745, 0]], dtype=float
    )
    assert straight_in(notched, walls, 700).margin == pytest.approx(10)
    assert straight_in(notched, [*walls, casing], 700).margin == pytest.approx(-10)


def test_in_askew_past_a_casing():
    """Mouth 880, alcove 940, shelf 900 x 40: not straight, but one end first. The motion meets nothing."""
    walls = rectangle(-120, -400, 100, 420), rectangle(920, -400, 100, 420), rectangle(-20, 0, 940, 20)
    casings = rectangle(-20, -400, 30, 40), rectangle(890, -400, 30, 40)
    shelf = rectangle(0, -40, 900, 40)
    assert straight_in(shelf, (*walls, *casings), 700).margin == pytest.approx(-20)
    asked = many(False, True)  # the margin takes long
    answer = in_from_front(shelf, (*walls, *casings), 700, margin=asked)
    assert answer.verdict == "goes"
    # Behind the casings lie 940: no shelf longer than that.
    assert not asked or 0 < answer.margin <= 40
    shapes = [Polygon(pose.of(shelf)) for pose in answer.poses]
    assert all(shape.intersection(Polygon(ring)).area < 0.1 for shape in shapes for ring in answer.barriers)
    assert (
        in_from_front(rectangle(-50, -40, 1000, 40), (*walls, *casings), 700, margin=False).verdict
        == "does not go"
    )


@pytest.mark.parametrize(("more", "verdict"), [(-3.0, "goes"), (3.0, "does not go")])
def test_down_between_walls_one_end_first(more, verdict):
    """A top 1500 x 150 needs sqrt(1500^2 + 150^2) = 1507.48 where it cannot come from straight above."""
    gap = math.hypot(1500, 150) - more
    walls = [rectangle(-100, -50, 100, 2600), rectangle(gap, -50, 100, 2600), rectangle(0, -50, gap, 50)]
    sill = rectangle(0, 1200, 40, 40)
    top = rectangle(gap / 2 - 750, 0, 1500, 150)
    assert drop_in(1500, 150, gap).verdict == verdict
    assert straight_in(top, [*walls, sill], 2000, "from above").verdict == "does not go"
    answer = down_between(top, [*walls, sill], 2500, margin=False)
    if verdict == "goes":
        assert answer.verdict == "goes"
        assert answer.poses[-1].turn == pytest.approx(0)


def test_down_between_walls_flat():
    walls = [rectangle(-100, -50, 100, 900), rectangle(1500, -50, 100, 900), rectangle(0, -50, 1500, 50)]
    assert down_between(rectangle(5, 0, 1490, 38), walls, 800).margin == pytest.approx(10)


@pytest.mark.parametrize("over", ["back", "front"])
def test_standing_up_under_a_ceiling_alone_is_as_the_closed_form(over):
    """2400 x 700 peaks at exactly 2500; the planner is within 3 mm of it, on the safe side."""
    profile = cabinet_profile(2400, 700)
    assert stand_up_in_place(profile, 2497, over=over, margin=False).verdict == "does not go"
    asked = over == "back" or many(False, True)  # the margin takes long, and is the same to the front
    answer = stand_up_in_place(profile, 2503, over=over, margin=asked)
    assert answer.verdict == "goes"
    limit = math.sqrt(2503**2 - 700**2) - 2400
    assert not asked or limit - 3 <= answer.margin <= limit


def test_a_soffit_over_the_place_bars_what_the_ceiling_does_not():
    """Stood up in the room it clears 2600; a soffit at 2390 over its place does not let 2400 in."""
    wall, soffit = rectangle(600, 0, 100, 2600), rectangle(0, 2390, 600, 210)
    assert stand_up_in_place(cabinet_profile(2380, 600), 2600, [wall, soffit], margin=False).verdict == "goes"
    barred = stand_up_in_place(cabinet_profile(2400, 600), 2600, [wall, soffit])
    assert barred.verdict == "does not go"
    assert -11 <= barred.margin <= -10


def test_a_top_already_on_counts():
    soffit = rectangle(0, 2390, 600, 210)
    bare, topped = cabinet_profile(2370, 600), with_top(cabinet_profile(2370, 600), 30, 25)
    assert stand_up_in_place(bare, 2600, [soffit], margin=False).verdict == "goes"
    assert stand_up_in_place(topped, 2600, [soffit], margin=False).verdict == "does not go"
    assert Polygon(topped).area == pytest.approx(2370 * 600 + 30 * 625)


# --- What would help


def test_least_off_a_box_is_exact_and_makes_it_go():
    """900 x 1346.58 x 600 up a passage of 900: 1 mm off its longest, by 2 sqrt 2 a - 2 t."""
    long = longest_round_corner(900, 900, 600) + 1
    helps = smaller_box(Box(long, 2000, 600), lambda box: round_corner(box, 900, 900, 2100))
    assert helps[0].kind == "depth off"
    assert helps[0].amount == pytest.approx(0.5, abs=1e-5)
    assert helps[1].amount == pytest.approx(1.0, abs=1e-5)
    assert smaller_box(Box(600, 600, 600), lambda box: through_doorway(box, 700, 2000)) == ()


def test_under_a_ceiling():
    """3-4-5: 2400 x 700 under 2490: height sqrt(2490^2 - 700^2), depth sqrt(2490^2 - 2400^2)."""
    found = {one.kind: one.amount for one in under_ceiling(2400, 700, 2490, base=100)}
    assert found["height off"] == pytest.approx(2400 - math.sqrt(2490**2 - 700**2))
    assert found["depth off"] == pytest.approx(700 - math.sqrt(2490**2 - 2400**2))
    assert found["base loose"] == 100
    assert tilt_up(cabinet_profile(2400 - found["height off"] - 1e-6, 700), 2490).verdict == "goes"
    assert tilt_up(cabinet_profile(2400 - found["height off"] + 1e-6, 700), 2490).verdict == "does not go"
    assert tilt_up(cabinet_profile(2400, 700 - found["depth off"] - 1e-6), 2490).verdict == "goes"
    assert under_ceiling(2400, 700, 2500) == ()
    assert "base loose" not in {one.kind for one in under_ceiling(2500, 700, 2490, base=100)}


def test_between_walls():
    """1500 x 150 in 1500: let in 7.4813 (worked value); length sqrt(1500^2 - 150^2)."""
    found = {one.kind: one.amount for one in between_walls(1500, 150, 1500)}
    assert found["let in"] == pytest.approx(7.4813, abs=1e-4)
    assert found["length off"] == pytest.approx(1500 - math.sqrt(1500**2 - 150**2))
    assert found["in parts"] == 2
    assert between_walls(1490, 150, 1500) == ()


@pytest.mark.parametrize(("length", "count"), [(1250, None), (1251, 2), (2500, 2), (2501, 3)])
def test_parts(length, count):
    assert parts_needed(length, (1250, 2000)) == (None if count is None else Help("in parts", count, 1250))


def test_spare_finds_the_limit_and_says_where_there_is_none():
    def goes(more):
        return tilt_up(cabinet_profile(2300 + more, 700), 2500)

    assert 99.5 <= spare(goes) <= 100
    assert spare(goes, most=50) == 50
    assert spare(lambda more: tilt_up(cabinet_profile(2600 + more, 700), 2500)) is None


def test_longer_keeps_the_ends():
    ring = np.array([[0, 0], [100, 0], [100, 10], [90, 20], [0, 20]], dtype=float)
    assert longer(ring, 6, 0).tolist() == [[-3, 0], [103, 0], [103, 10], [93, 20], [-3, 20]]


@pytest.mark.parametrize(
    ("call", "expected"),
    [
        (lambda: straight_in(rectangle(0, 0, 9, 9), [], 0), "travel"),
        (
            lambda: down_between(rectangle(0, 0, 900, 40), [], 30),
            "rise: expected more than the piece's height",
        ),
        (lambda: with_top(cabinet_profile(900, 600), 30, -1), "overhang"),
        (lambda: longer(rectangle(0, 0, 9, 9), -9, 0), "expected to leave something"),
        (lambda: spare(lambda _: drop_in(9, 1, 99), 1.0, 2.0), "expected a step"),
        (lambda: parts_needed(900, ()), "got none"),
    ],
)
def test_what_cannot_be_is_refused(call, expected):
    with pytest.raises(BadInput, match=expected):
        call()

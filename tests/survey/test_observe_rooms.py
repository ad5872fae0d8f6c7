"""Whole surveys, observed and adjusted: the plan, corner angles, widths."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from observed_rooms import INCH, alcove, check, inches, outside, put

from fitting.site import (
    NEW_HOUSE,
    OLD_HOUSE,
    Along,
    Covering,
    Distance,
    Feature,
    know_room,
)
from fitting.site import Spot as SiteSpot
from fitting.site.readings import corner_turn
from survey.observe import observe
from survey.records import (
    Area,
    Corner,
    Drop,
    Job,
    Layer,
    LengthReading,
    Position,
    Room,
    Spot,
    Survey,
    ThreeSides,
    Wall,
)

UP = inches("34")
UP_MM = 863.6
SD = inches("0.1")
SD_MM = 2.54


def length(first, second, reads="60 3/8", **fields):
    return put(LengthReading, id="r", between=(first, second), reads=inches(reads), sd=SD, **fields)


def spot(wall, along, from_, up=None):
    return Spot(wall=wall, along=inches(along), from_=from_, up=up)


def position(**fields):
    return put(Position, id="p", sd=SD, **fields)


def three_sides(corner, left, right, diagonal, sd=SD):
    legs = {"left_leg": inches(left), "right_leg": inches(right), "diagonal": inches(diagonal)}
    return put(ThreeSides, id="c", corner=corner, up=UP, sd=sd, **legs)


def test_plan():
    tile = put(
        Area,
        name="tile",
        wall="left",
        layers=(
            Layer("gypsum board", inches("1/2"), "in place"),
            Layer("cement board", inches("1/2"), "to come"),
            Layer("tile", inches("3/8"), "to come"),
        ),
        bottom=inches("0"),
        top=inches("48"),
    )
    at = [position(of="casing", along=inches("30"), from_="back-right", up=UP)]
    at.append(put(Position, id="q", of="casing", along=inches("30"), from_="back-right", up=inches("4")))
    observed = observe(alcove(tile, *at, length("left-back", "back-right", up=UP)))
    plan = observed.plan
    thickness, sd = 22.225, math.hypot(0.5, 1.5)
    assert plan.coverings == (Covering("left", thickness, sd, bottom=0.0, top=1219.2),)
    assert plan.features == (Feature("casing", "right", True, 762.0),)
    assert (plan.back, plan.walls, plan.origin) == ("back", ("left", "back", "right"), None)
    assert plan.lengths == {"back": 1533.525}
    assert observed.prior is OLD_HOUSE
    (coming,) = observed.findings
    assert coming.number == 601
    assert coming.records == ("tile", "r")  # the length ends where the tile will be
    assert "cement board and tile of `left`" in coming.says
    assert "7/8 in thick" in coming.says


def test_a_room_with_only_a_right_hand_corner_starts_there():
    """Its corner is x = 0; marks that started a wall's length away ended in a room turned inside out."""
    survey = Survey(
        [
            put(Job, id="job", title="breast", unit="in", step="1/16"),
            put(Room, name="study"),
            *(put(Wall, name=name) for name in ("back", "side", "face")),
            put(Corner, name="in", left_wall="back", right_wall="side"),
            put(Corner, name="out", left_wall="side", right_wall="face", turn="outside"),
            put(LengthReading, between=("in", "out"), reads=inches("18"), up=UP),
            three_sides("in", "24", "15", "28 7/16", inches("0.005")),
        ]
    )
    observed = observe(survey)
    assert not observed.findings
    assert observed.plan.start_offsets() == pytest.approx({"back": 0.0, "side": 0.0, "face": 457.2})
    room = know_room(observed.plan, observed.readings, observed.prior)
    assert max(abs(one.standardized) for one in room.residuals()) < 3.0
    turn = room.query(lambda scene: [corner_turn(scene, "in", 24 * INCH, 15 * INCH, UP_MM)])
    # cos = (24² + 15² - 28.4375²) / (2 · 24 · 15), so 90.612 degrees
    assert math.degrees(turn.mean[0]) == pytest.approx(0.612, abs=0.02)


def test_a_mark_read_at_two_heights_does_not_lean():
    at = [put(Position, of="m1", along=inches("30"), from_="left-back", up=inches(up)) for up in ("4", "34")]
    assert observe(alcove(*at)).plan.features == (Feature("m1", "back", False, 762.0),)


def test_a_new_house_is_expected_to_be_better():
    survey = alcove(put(Room, id="newer", name="bath", age="new", replaces=("bath",)))
    assert observe(survey).prior is NEW_HOUSE


# trade-facts 7.1, worked out there from the law of cosines: legs, diagonal in inches, degrees.
THREE_SIDES = [
    ("36", "48", "58.9863", 88),
    ("36", "48", "59.7481", 89.5),
    ("36", "48", "60", 90),
    ("36", "48", "60.2508", 90.5),
    ("36", "48", "60.9968", 92),
    ("24", "32", "39.6635", 89),
    ("24", "32", "40.6646", 92),
    ("18", "24", "29.4932", 88),
    ("18", "24", "30.2503", 91),
    ("60", "60", "84.1091", 89),
    ("36", "48", "59.5", 89.0094),
    ("36", "48", "59.9375", 89.8757),
    ("36", "48", "60.0625", 90.1244),
    ("36", "48", "60.5", 90.9989),
    ("24", "32", "39.875", 89.6276),
    ("24", "32", "40.125", 90.3736),
]


@pytest.mark.parametrize("corner", ["left-back", "back-right", "nose"])
@pytest.mark.parametrize(("left", "right", "diagonal", "angle"), THREE_SIDES)
def test_corner_angles_from_three_sides_are_those_of_the_table(left, right, diagonal, angle, corner):
    room = outside if corner == "nose" else alcove
    observed = observe(room(three_sides(corner, left, right, diagonal, inches("0.001"))))
    known = know_room(observed.plan, observed.readings, replace(observed.prior, square_sd=1.0))
    reaches = float(Fraction(left)) * INCH, float(Fraction(right)) * INCH
    turn = known.query(lambda scene: [corner_turn(scene, corner, *reaches, UP_MM)])
    got = math.degrees(turn.mean[0])
    meant = angle - 90 if corner != "nose" else 90 - angle  # outside, the table's angle is the solid's
    assert got == pytest.approx(meant, abs=0.001)


def test_a_small_survey_ends_in_a_known_room():
    """A room 60 wide behind and 60 1/2 wide 24 in further out, the drain at 20, a floor 1/4 low."""
    fine = {"sd": inches("0.001")}
    survey = alcove(
        put(LengthReading, between=("left-back", "back-right"), reads=inches("60"), up=UP, **fine),
        put(
            LengthReading,
            between=(spot("left", "24", "left-back"), spot("right", "24", "back-right")),
            reads=inches("60 1/2"),
            up=UP,
            **fine,
        ),
        put(Position, of="drain", along=inches("20"), from_="left-back", up=inches("16"), **fine),
        put(LengthReading, between=("drain", "m1"), reads=inches("15"), up=inches("16"), **fine),
        put(
            LengthReading, between=("m1", "back-right"), reads=inches("25"), up=inches("16"), sd=inches("1/2")
        ),
        put(
            Drop, wall="back", along=inches("10"), from_="left-back", out=inches("0"), reads=inches("38 1/4")
        ),
        three_sides("left-back", "36", "48", "60"),
        check("0 0, 12 1/16, 24 1/16, 36 0"),
    )
    observed = observe(survey)
    assert not observed.findings
    room = know_room(observed.plan, observed.readings, observed.prior)
    back = Distance("q", 1.0, 1.0, "left-back", "back-right", UP_MM, UP_MM)
    assert room.query(back.observe).mean[0] == pytest.approx(60 * INCH, abs=0.05)
    spots = [SiteSpot("left", 24 * INCH, "left-back"), SiteSpot("right", 24 * INCH, "back-right")]
    front = Distance("q", 1.0, 1.0, *spots, UP_MM, UP_MM)
    assert room.query(front.observe).mean[0] == pytest.approx(60.5 * INCH, abs=0.05)
    drain = room.query(Along("q", 1.0, 1.0, "drain", "left-back", 406.4).observe)
    assert drain.mean[0] == pytest.approx(20 * INCH, abs=0.05)
    mark = room.query(Along("q", 1.0, 1.0, "m1", "drain", 406.4).observe)
    assert mark.mean[0] == pytest.approx(15 * INCH, abs=0.1)
    assert room.level("floor", [(254.0, 0.0)]).mean[0] == pytest.approx(-0.25 * INCH, abs=0.1)
    assert room.feature_height("drain").mean[0] == pytest.approx(16 * INCH, abs=0.01)


def test_two_features_of_one_wall_that_only_a_length_joins_do_not_start_at_one_place():
    """Their distance has no slope where they coincide, so that no adjustment could start."""
    survey = alcove(
        length("left-back", "back-right", up=UP),
        put(LengthReading, between=("drain", "m1"), reads=inches("15"), up=UP),
    )
    observed = observe(survey)
    room = know_room(observed.plan, observed.readings, observed.prior)
    apart = room.query(Distance("q", 1.0, 1.0, "drain", "m1", UP_MM, UP_MM).observe)
    assert apart.mean[0] == pytest.approx(381.0, abs=0.1)

"""What each kind of reading becomes, with values and signs worked out by hand."""

from __future__ import annotations

import math

import pytest
from observed_rooms import INCH, alcove, check, degrees, inches, outside, put

from fitting.site import (
    Along,
    CornerTurn,
    Distance,
    Gaps,
    Height,
    Leaning,
    Level,
    Touch,
)
from fitting.site import Spot as SiteSpot
from survey.observe import OBSERVERS, observe, record_of
from survey.observe.accuracy import SPOT_SD
from survey.records import (
    KINDS,
    Area,
    Corner,
    CornerAngle,
    CornerSquare,
    Drop,
    Layer,
    Lean,
    LengthReading,
    Position,
    Reading,
    Spot,
    StickMark,
    StoryStick,
    Template,
    TemplatePoint,
    ThreeSides,
)

UP = inches("34")
UP_MM = 863.6
SD = inches("0.1")
SD_MM = 2.54


def readings_of(survey):
    observed = observe(survey)
    assert not observed.findings
    assert set(observed.what) == {reading.key for reading in observed.readings}
    return observed.readings


def test_every_kind_of_reading_has_an_observer():
    kinds = {kind for kind in KINDS.values() if issubclass(kind, Reading)}
    assert set(OBSERVERS) == kinds


def length(first, second, reads="60 3/8", **fields):
    return put(LengthReading, id="r", between=(first, second), reads=inches(reads), sd=SD, **fields)


def spot(wall, along, from_, up=None):
    return Spot(wall=wall, along=inches(along), from_=from_, up=up)


LENGTHS = {
    "corner to corner": (
        length("left-back", "back-right", up=UP),
        Distance("r", 1533.525, SD_MM, "left-back", "back-right", UP_MM, UP_MM),
    ),
    "spot to spot, finished": (
        length(spot("left", "22", "left-back"), spot("right", "22", "back-right"), up=UP, face="finished"),
        Distance(
            "r",
            1533.525,
            SD_MM,
            SiteSpot("left", 558.8, "left-back", SPOT_SD),
            SiteSpot("right", 558.8, "back-right", SPOT_SD),
            UP_MM,
            UP_MM,
            True,
        ),
    ),
    "level at the height of the end that has one": (
        length("left-back", spot("right", "0", "back-right", UP)),
        Distance("r", 1533.525, SD_MM, "left-back", SiteSpot("right", 0.0, "back-right"), UP_MM, UP_MM),
    ),
    "ends of different heights": (
        length("left-back", spot("right", "0", "back-right", inches("10")), up=UP),
        Distance("r", 1533.525, SD_MM, "left-back", SiteSpot("right", 0.0, "back-right"), UP_MM, 254.0),
    ),
    "corner to a feature of its wall knows its side": (
        length("drain", "back-right", "20", up=UP),
        Along("r", 508.0, SD_MM, "drain", "back-right", UP_MM),
    ),
    "feature to feature does not": (
        length("drain", "m1", "20", up=UP),
        Distance("r", 508.0, SD_MM, "drain", "m1", UP_MM, UP_MM),
    ),
}


@pytest.mark.parametrize(("record", "expected"), LENGTHS.values(), ids=LENGTHS)
def test_length(record, expected):
    assert readings_of(alcove(record)) == (expected,)


def position(**fields):
    return put(Position, id="p", sd=SD, **fields)


def test_position_gives_place_and_height():
    at = position(of="drain", along=inches("20"), from_="left-back", up=inches("16"))
    assert readings_of(alcove(at)) == (
        Along(("p", "along"), 508.0, SD_MM, "drain", "left-back", 406.4),
        Height(("p", "height"), 406.4, SD_MM, "drain"),
    )


@pytest.mark.parametrize(("level_line", "up"), [("38", 18.0), (None, -20.0)])
def test_below_counts_down_from_the_level_line(level_line, up):
    (height,) = readings_of(alcove(position(of="drain", below=inches("20")), level_line=level_line))
    assert (height.key, height.feature, height.deviation) == (("p", "height"), "drain", SD_MM)
    assert height.value == pytest.approx(up * INCH)


def test_leftward_of_a_mark_is_negative_and_out_is_not_observed():
    at = position(of="s1:left", along=inches("-4"), from_="m1", up=UP, out=inches("-1/8"))
    along = readings_of(alcove(at))[0]
    assert along == Along(("p", "along"), -101.6, SD_MM, "s1:left", "m1", UP_MM)


def test_width_of_a_feature_ties_its_edges_to_its_own_point():
    left = position(of="s1:left", along=inches("16"), from_="left-back", up=UP)
    tie = readings_of(alcove(left))[-1]
    assert (tie.key, tie.feature, tie.start, tie.value) == (("s1", "left"), "s1:left", "s1", -19.05)
    far = position(of="casing:far", along=inches("16"), from_="back-right", up=UP)
    tie = readings_of(alcove(far))[-1]  # this casing runs leftward from its near edge
    assert (tie.key, tie.feature, tie.start, tie.value) == (("casing", "far"), "casing:far", "casing", -88.9)


def test_one_point_has_one_name():
    asked = ("casing:near", "casing:right", "casing:left", "s1:centre")
    at = [
        put(Position, id=f"p{number}", of=of, along=inches("5"), from_=start, up=UP)
        for number, (of, start) in enumerate(zip(asked, ["back-right"] * 3 + ["left-back"], strict=True))
    ]
    along = [one.feature for one in readings_of(alcove(*at)) if one.key[1] == "along"]
    assert along == ["casing", "casing", "casing:far", "s1"]


def stick(zero, *marks, up=UP):
    struck = tuple(StickMark(to=to, reads=inches(reads)) for to, reads in marks)
    return put(StoryStick, id="t", wall="back", zero=zero, marks=struck, up=up, sd=SD)


def test_story_stick_runs_rightward_but_leftward_from_the_right_hand_corner():
    marks = stick("left-back", ("drain", "20"), ("back-right", "60")), stick("back-right", ("drain", "40"))
    assert readings_of(alcove(marks[0])) == (
        Along(("t", "mark 1"), 508.0, SD_MM, "drain", "left-back", UP_MM),
        Distance(("t", "mark 2"), 1524.0, SD_MM, "left-back", "back-right", UP_MM, UP_MM),
    )
    assert readings_of(alcove(marks[1])) == (
        Along(("t", "mark 1"), 1016.0, SD_MM, "drain", "back-right", UP_MM),
    )


def test_story_stick_from_a_spot_starts_there():
    (mark,) = readings_of(alcove(stick(spot("back", "3", "left-back"), ("drain", "17"))))
    assert mark == Along(("t", "mark 1"), 508.0, SD_MM, "drain", "left-back", UP_MM)


def three_sides(corner, left, right, diagonal, sd=SD):
    legs = {"left_leg": inches(left), "right_leg": inches(right), "diagonal": inches(diagonal)}
    return put(ThreeSides, id="c", corner=corner, up=UP, sd=sd, **legs)


def test_three_sides_are_legs_to_marks_of_their_own_and_their_diagonal():
    left, right, diagonal = readings_of(alcove(three_sides("left-back", "36", "48", "60")))
    assert left == Along(("c", "left leg"), 914.4, SD_MM, left.feature, "left-back", UP_MM)
    assert right == Along(("c", "right leg"), 1219.2, SD_MM, right.feature, "left-back", UP_MM)
    assert diagonal == Distance(("c", "diagonal"), 1524.0, SD_MM, left.feature, right.feature, UP_MM, UP_MM)
    plan = observe(alcove(three_sides("left-back", "36", "48", "60"))).plan
    assert {feature.wall for feature in plan.features if feature.name == left.feature} == {"left"}
    assert {feature.wall for feature in plan.features if feature.name == right.feature} == {"back"}


def turn_of(survey):
    (turn,) = readings_of(survey)
    assert isinstance(turn, CornerTurn)
    return turn


@pytest.mark.parametrize(
    ("room", "corner", "reads", "turn"),
    [(alcove, "left-back", "91", 1.0), (alcove, "left-back", "89.5", -0.5), (outside, "nose", "89", 1.0)],
    ids=["inside, more room", "inside, less", "outside: less solid is more room"],
)
def test_gauge(room, corner, reads, turn):
    gauge = put(CornerAngle, id="g", corner=corner, reads=degrees(reads), reach=inches("8"), up=UP)
    seen = turn_of(room(gauge))
    assert math.degrees(seen.value) == pytest.approx(turn)
    assert (seen.corner, seen.left_reach, seen.right_reach, seen.up) == (corner, 203.2, 203.2, UP_MM)


def test_an_angle_meant_is_what_a_corner_is_held_against():
    bay = put(Corner, id="bay", name="bay", left_wall="right", right_wall="bay-wall", nominal=degrees("135"))
    wall = put(type(alcove().named["back"][0]), name="bay-wall")
    gauge = put(CornerAngle, id="g", corner="bay", reads=degrees("134"), reach=inches("8"), up=UP)
    observed = observe(alcove(wall, bay, gauge))
    assert math.degrees(observed.readings[0].value) == pytest.approx(-1.0)
    assert math.degrees(observed.plan.corner("bay").angle) == pytest.approx(135.0)


def place_square(angle, leg, inside):
    """Slide a square along one wall until its other leg touches the second wall; give its two gaps.

    The first wall is the x axis, the corner its origin; `angle` is between the walls, on the side that the
    solid is on for an outside corner. The second wall at a height h of the leg is at x = h / tan(angle).
    """
    tip = leg / math.tan(angle)
    heel_at = max(0.0, tip) if inside else min(0.0, tip)
    return abs(heel_at), abs(heel_at - tip)


@pytest.mark.parametrize("off", [-1.5, -0.25, 0.25, 1.5])
@pytest.mark.parametrize("inside", [True, False])
def test_square_gaps_at_the_tip_where_the_room_is_wider(inside, off):
    room_side = (90.0 if inside else 270.0) + off
    heel, tip = place_square(math.radians(room_side if inside else 360.0 - room_side), 16 * INCH, inside)
    assert min(heel, tip) < 1e-9 < max(heel, tip)
    square = put(
        CornerSquare,
        id="q",
        corner="left-back" if inside else "nose",
        lies_on="back",
        lying_leg=inches("24"),
        other_leg=inches("16"),
        gap=inches(str(round(max(heel, tip) / INCH, 9))),
        gap_at="heel" if heel > tip else "tip",
        up=UP,
    )
    seen = turn_of(alcove(square) if inside else outside(square))
    assert math.degrees(seen.value) == pytest.approx(off, abs=1e-6)
    # the back wall is at the right of the inside corner, at the left of the outside one
    reaches = (16 * INCH, 24 * INCH) if inside else (24 * INCH, 16 * INCH)
    assert (seen.left_reach, seen.right_reach) == pytest.approx(reaches)


def test_a_flip_test_makes_a_square_better():
    legs = {"lying_leg": inches("24"), "other_leg": inches("24"), "gap": inches("0"), "gap_at": "tip"}
    square = {"corner": "left-back", "lies_on": "left", "up": UP, **legs}
    taken, proved = (turn_of(alcove(put(CornerSquare, **square, flipped=flip))) for flip in (False, True))
    # 1/32 in over 24 in is 0.075 degrees (common practice, no source)
    assert math.degrees(taken.deviation) == pytest.approx(0.080, abs=0.002)
    assert proved.deviation < taken.deviation / 2


def test_level_check():
    (gaps,) = readings_of(alcove(check("0 0, 12 1/16, 24 -1/32", id="k", sd=SD)))
    assert gaps == Gaps(
        "k",
        "back",
        "left-back",
        (0.0, 304.8, 609.6),
        (UP_MM,) * 3,
        (0.0, 1.5875, -0.79375),
        (SD_MM,) * 3,
    )


def test_plumb_check():
    plumb = check("4 0, 30 1/8", id="k", run="plumb", along=inches("20"), up=None, sd=SD, from_="back-right")
    (gaps,) = readings_of(alcove(plumb))
    assert gaps == Gaps("k", "back", "back-right", (508.0,) * 2, (101.6, 762.0), (0.0, 3.175), (SD_MM,) * 2)


def test_an_edge_that_touches_is_good_to_three_tenths_of_a_millimetre():
    (gaps,) = readings_of(alcove(check("0 0, 12 1/16")))
    assert gaps.sd == (0.3, pytest.approx(math.hypot(0.3, 1.5875 / math.sqrt(12))))


LEAN = {
    "wall": "right",
    "along": inches("20"),
    "from_": "back-right",
    "low": inches("4"),
    "high": inches("52"),
}


def test_lean():
    (lean,) = readings_of(alcove(put(Lean, id="n", offset=inches("-1/8"), sd=SD, **LEAN)))
    assert lean == Leaning("n", -3.175, SD_MM, "right", 508.0, "back-right", 101.6, 1320.8)


def test_lean_as_an_angle_is_an_offset_over_its_height():
    (lean,) = readings_of(alcove(put(Lean, angle=degrees("0.5"), instrument="digital level", **LEAN)))
    assert lean.value == pytest.approx(48 * INCH * math.tan(math.radians(0.5)))
    # half of 0.1 degrees (from memory) over 48 in is 0.042 in; the edge touches to 0.3 mm
    assert lean.deviation == pytest.approx(math.hypot(0.0419 * INCH, 0.3), abs=0.002)


def drop(**fields):
    at = {"wall": "back", "along": inches("10"), "from_": "left-back", "out": inches("12")}
    return put(Drop, id="d", sd=SD, **at, **fields)


@pytest.mark.parametrize(("to", "reads", "height"), [("floor", "38 1/4", -0.25), ("ceiling", "58", 96.0)])
def test_drop(to, reads, height):
    (level,) = readings_of(alcove(drop(to=to, reads=inches(reads))))
    assert level == Level("d", level.value, SD_MM, to, "back", 254.0, "left-back", 304.8)
    assert level.value == pytest.approx(height * INCH)


def test_floor_to_come_raises_what_was_read_to_the_floor_as_it_stood():
    tile = put(Area, name="floor-tile", wall="floor", layers=(Layer("tile", inches("1/2"), "to come"),))
    now, finished = (
        observe(alcove(tile, drop(reads=inches("38 1/4"), face=face))) for face in ("now", "finished")
    )
    assert now.readings[0].value == pytest.approx(0.25 * INCH)
    assert now.readings[0].deviation == pytest.approx(math.hypot(SD_MM, 1.5))
    assert finished.readings[0].value == pytest.approx(-0.25 * INCH)
    assert [finding.number for finding in now.findings] == [601]


def test_template():
    points = [("back", "2", "22"), ("back", "40", "22 1/16"), ("left", "0", "3")]
    made = tuple(TemplatePoint(wall=w, right=inches(x), back=inches(y)) for w, x, y in points)
    (touch,) = readings_of(alcove(put(Template, id="t", points=made, up=UP, sd=SD)))
    assert touch == Touch(
        "t",
        ("back", "back", "left"),
        ((50.8, 558.8), (1016.0, 560.3875), (0.0, 76.2)),
        UP_MM,
        (SD_MM,) * 3,
    )


# Standard deviations of tapes: half the parts a, b and c of the limit of 2014/32/EU MI-008 for class II, a
# hook's wear, a graduation's even spread, and the start.
@pytest.mark.parametrize(
    ("start", "held", "name", "zero"),
    [
        ("hook", 0.25, "tape, hooked", math.hypot(0.1, 0.2)),
        ("butted", 0.25, "tape, butted", math.hypot(0.1, 0.2)),
        ("mark", 0.25, "tape, between marks", 0.0),
        ("burned an inch", 0.25, "tape, between marks", 0.0),
        ("bent into the corner", 1.5875, "tape, bent in", math.hypot(0.1, 0.2)),
        (None, 0.5, "tape", math.hypot(0.1, 0.2)),
    ],
)
def test_tape(start, held, name, zero):
    wide = put(LengthReading, between=("left-back", "back-right"), reads=inches("60 3/8"), up=UP, start=start)
    (distance,) = readings_of(alcove(wide))
    assert distance.deviation == pytest.approx(math.hypot(0.15, 1.5875 / math.sqrt(12), held))
    assert (distance.tool.name, distance.tool.scale_sd) == (name, 0.0001)
    assert distance.tool.zero_sd == pytest.approx(zero)


def test_every_reading_has_words_a_unit_and_its_record():
    gauge = put(CornerAngle, id="g", corner="left-back", reads=degrees("90"), reach=inches("8"), up=UP)
    wide = length("left-back", "back-right", up=UP)
    observed = observe(
        alcove(three_sides("left-back", "36", "48", "60"), gauge, check("0 0, 12 0", id="k"), wide)
    )
    said = {key: (what.words, what.unit, what.record) for key, what in observed.what.items()}
    assert said["c", "diagonal"] == ("diagonal of corner left-back", "mm", "c")
    assert said["g"] == ("angle of corner left-back", "deg", "g")
    assert said["k"] == ("check of back at 34 in", "mm", "k")
    assert said["r"] == ("length left-back to back-right at 34 in", "mm", "r")
    assert observed.what["k"].at == ("at 0 in", "at 12 in")
    assert all(record_of(key) == what.record for key, what in observed.what.items())

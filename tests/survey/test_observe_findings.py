"""What cannot be used: each a numbered finding with the record's id, and nothing raised."""

from __future__ import annotations

from contextlib import suppress

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis.strategies import DataObject, data
from observed_rooms import alcove, check, degrees, inches, job, outside, put
from strategies import records, surveys
from thorough import many

from fitting.errors import FittingError
from fitting.site import know_room
from fitting.site.know import MOST_NUMBERS
from survey.observe import observe
from survey.records import (
    KINDS,
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Position,
    Reading,
    Room,
    Spot,
    StickMark,
    StoryStick,
    StraightedgeCheck,
    Survey,
    Template,
    TemplatePoint,
    ThreeSides,
    Tool,
    Wall,
)

UP = inches("34")


def numbers(survey):
    return [finding.number for finding in observe(survey).findings]


def test_an_empty_survey_says_what_is_missing():
    observed = observe(Survey([]))
    assert [finding.number for finding in observed.findings] == [100, 101, 107]
    assert observed.plan is None
    assert observed.readings == ()


def test_a_fine_survey_has_no_findings():
    wide = put(LengthReading, between=("left-back", "back-right"), reads=inches("60"), up=UP)
    assert numbers(alcove(wide)) == []


def length(reads="60", first="left-back", second="back-right", up=UP, **fields):
    return put(LengthReading, id="x", between=(first, second), reads=inches(reads), up=up, **fields)


def spot(wall, along, from_):
    return Spot(wall=wall, along=inches(along), from_=from_)


def position(**fields):
    return put(Position, id="x", **fields)


def sides(left, right, diagonal, **fields):
    legs = {"left_leg": inches(left), "right_leg": inches(right), "diagonal": inches(diagonal)}
    return put(ThreeSides, id="x", **{"corner": "left-back", "up": UP, **legs, **fields})


def gauge(reads, **fields):
    placed = {"corner": "left-back", "reach": inches("8"), "up": UP, **fields}
    return put(CornerAngle, id="x", reads=degrees(reads), **placed)


def square(**fields):
    legs = {"lying_leg": inches("24"), "other_leg": inches("16"), "gap": inches("1/8"), "gap_at": "tip"}
    return put(CornerSquare, id="x", **{"corner": "left-back", "lies_on": "back", "up": UP, **legs, **fields})


def lean(**fields):
    at = {
        "wall": "back",
        "along": inches("20"),
        "from_": "left-back",
        "low": inches("4"),
        "high": inches("52"),
    }
    return put(Lean, id="x", **{**at, **fields})


def drop(**fields):
    at = {"wall": "back", "along": inches("20"), "from_": "left-back", "out": inches("3")}
    return put(Drop, id="x", **{**at, "reads": inches("38"), **fields})


def stick(to, reads="10", **fields):
    marks = (StickMark(to=to, reads=inches(reads)),)
    return put(
        StoryStick, id="x", **{"wall": "back", "zero": "left-back", "marks": marks, "up": UP, **fields}
    )


def template(wall="back", up=UP, right="0"):
    points = tuple(TemplatePoint(wall=wall, right=inches(right), back=inches("3")) for _ in range(3))
    return put(Template, id="x", points=points, up=up)


def tool(known="40", reads="40", **fields):
    return put(Tool, id="x", name="t1", known=inches(known), reads=inches(reads), **fields)


# What is wrong: the record, the finding's number, and what it must say.
BAD = {
    "length below zero": (length("-60"), 200, "is -60: expected more than zero"),
    "length of nothing": (length("0"), 200, "expected more than zero"),
    "length over 60 m": (length("2400"), 200, "expected at most 60 m"),
    "length without a height": (length(up=None), 203, "a length has no height"),
    "length from a thing to itself": (length(first="drain", second="drain"), 207, "both ends are `drain`"),
    "ends further apart in height than it is long": (
        length("5", second=Spot(wall="right", along=inches("0"), from_="back-right", up=inches("2"))),
        207,
        "apart in height alone",
    ),
    "standard deviation of nothing": (length(sd=inches("0")), 200, "the standard deviation is 0"),
    "height over 60 m": (length(up=inches("34000")), 200, "the height of a length is 34000"),
    "unknown corner": (length(first="left-bak"), 103, "a length names `left-bak`"),
    "unknown wall": (length(first=spot("bakc", "3", "left-back")), 103, "names `bakc`"),
    "edge that no feature has": (length(first="drain:handle"), 103, "`drain:handle`"),
    "edge of a mark": (length(first="m1:left"), 103, "`m1:left`"),
    "mark of another wall": (length(first=spot("left", "3", "m1")), 207, "`m1` is not on wall `left`"),
    "position over 60 m": (position(of="drain", up=inches("2400")), 200, "at most 60 m"),
    "position without a height": (
        position(of="drain", along=inches("3"), from_="left-back"),
        203,
        "the position of `drain` has no height",
    ),
    "position from itself": (
        position(of="drain", along=inches("3"), from_="drain", up=UP),
        207,
        "from `drain` itself",
    ),
    "position of a corner": (
        position(of="left-back", along=inches("3"), from_="m1", up=UP),
        207,
        "a corner is where its walls meet",
    ),
    "position of nothing known": (position(of="drian", up=UP), 103, "names `drian`"),
    "sides that make no triangle": (sides("36", "48", "84"), 204, "sides 36, 48 and 84"),
    "sides in one line": (sides("36", "48", "12"), 204, "make no triangle"),
    "side of nothing": (sides("0", "48", "48"), 200, "expected more than zero"),
    "sides of 50 degrees": (sides("36", "48", "37"), 202, "corner `left-back` comes out at"),
    "sides without a height": (sides("36", "48", "60", up=None), 203, "has no height"),
    "corner of 30 degrees": (gauge("30"), 202, "comes out at 30.00°, expected about 90.00°"),
    "corner typed as a slope": (gauge("1 in 24"), 202, "comes out at 2.39"),
    "gauge on an unknown corner": (gauge("90", corner="front"), 103, "names `front`"),
    "gauge without legs": (gauge("90", reach=inches("0")), 200, "the reach of"),
    "square on another wall": (square(lies_on="right"), 207, "the square lies on `right`"),
    "square with a gap of 8 in": (square(gap=inches("8")), 202, "comes out at"),
    "square with a gap below zero": (square(gap=inches("-1/8")), 200, "expected zero or more"),
    "square without a leg": (square(other_leg=inches("0")), 200, "the other leg of"),
    "check of an unknown wall": (check("0 0, 12 0", id="x", wall="front"), 103, "names `front`"),
    "check at no height's number": (check("0 0, 12 0", id="x", up=inches("9999")), 200, "at most 60 m"),
    "station over 60 m": (check("0 0, 9999 0", id="x"), 200, "a station of a check of `back` is 9999"),
    "stations beyond the edge": (
        check("0 0, 50 0", id="x", edge_length=inches("48")),
        207,
        "its stations span 50 in, the edge is 48 in long",
    ),
    "lean of a foot in four": (lean(offset=inches("12")), 200, "a lean of `back` is 12 in: expected at most"),
    "lean of 89 degrees": (lean(angle=degrees("89")), 200, "expected at most"),
    "lean of an unknown wall": (lean(wall="front", offset=inches("1/8")), 103, "names `front`"),
    "drop below zero": (drop(reads=inches("-3")), 200, "expected zero or more"),
    "drop behind the wall": (drop(out=inches("-3")), 200, "the distance out of"),
    "drop from another wall's corner": (drop(from_="casing"), 207, "`casing` is not on wall `back`"),
    "stick to an unknown thing": (stick("drian"), 103, "names `drian`"),
    "stick without a height": (stick("drain", up=None), 203, "has no height"),
    "stick mark below zero": (stick("drain", "-4"), 200, "mark 1 of a story stick"),
    "template without a height": (template(up=None), 203, "a template has no height"),
    "template on an unknown wall": (template("front"), 103, "names `front`"),
    "template of 100 m": (template(right="9999"), 200, "at most 60 m"),
    "cross of a straightedge": (
        check("0 12, 12 12 1/8", id="x", cross="a"),
        207,
        "a cross is two lines of a laser, and it was read with a straightedge",
    ),
    "cross that runs up": (
        check("0 12, 12 12", id="x", cross="a", run="plumb", along=inches("3"), instrument="line laser"),
        207,
        "the lines of cross `a` run level, and the check is plumb",
    ),
    "calibration of a string": (tool(instrument="string"), 207, "readings with a string have no error"),
    "calibration over nothing": (tool("0", "0"), 200, "expected more than zero"),
    "calibration that slipped an inch": (
        tool("40", "41"),
        200,
        "the calibration of `t1` is 41: expected 40, and no more than",
    ),
}


@pytest.mark.parametrize(("record", "number", "says"), BAD.values(), ids=BAD)
def test_a_bad_reading_is_left_out_and_found(record, number, says):
    observed = observe(alcove(record))
    (found,) = observed.findings
    assert (found.number, found.records) == (number, ("x",))
    assert says in found.says
    assert found.do
    assert observed.plan is not None
    assert observed.readings == ()


def test_the_table_of_bad_readings_has_every_kind():
    assert {type(record) for record, _, _ in BAD.values()} == {
        kind for kind in KINDS.values() if issubclass(kind, Reading)
    }


def test_an_outside_corner_that_was_read_on_the_rooms_side_says_what_was_expected():
    (found,) = observe(outside(gauge("270", corner="nose"))).findings
    assert found.number == 202
    assert "comes out at 270.00°, expected about 90.00°" in found.says


def test_a_bad_reading_leaves_the_good_ones():
    good = put(LengthReading, id="good", between=("left-back", "back-right"), reads=inches("60"), up=UP)
    observed = observe(alcove(good, gauge("30")))
    assert [reading.key for reading in observed.readings] == ["good"]
    assert [finding.number for finding in observed.findings] == [202]


def test_unknown_names_are_answered_with_the_closest_first():
    (found,) = observe(alcove(length(first="bakc-right"))).findings
    assert found.do.startswith("add it, or correct the name: corners, marks and features are `back-right`, ")


def test_a_survey_without_the_sort_of_thing_says_so():
    survey = Survey([job(), put(Room, name="bath"), put(Wall, name="back"), gauge("90")])
    (found,) = observe(survey).findings
    assert "there are no corners yet" in found.do


OFF = {
    "station": (check("0 0, 12 0, 84 1/8", id="x"), "84 in"),
    "station from the right": (check("0 0, 12 0, 84 1/8", id="x", from_="back-right"), "84 in"),
    "station on the wrong side": (check("-12 0, 12 0, 20 1/8", id="x"), "-12 in"),
    "position": (position(of="drain", along=inches("200"), from_="left-back", up=UP), "200 in"),
    "lean": (lean(along=inches("200"), offset=inches("1/8")), "200 in"),
    "drop": (drop(along=inches("200")), "200 in"),
    "leg": (sides("36", "96", "102 1/2"), "96 in"),
    "spot": (length("3", first=spot("back", "90", "left-back"), second="drain"), "90 in"),
}


@pytest.mark.parametrize(("record", "value"), OFF.values(), ids=OFF)
def test_what_lies_off_its_wall_is_left_out(record, value):
    wide = put(LengthReading, id="wide", between=("left-back", "back-right"), reads=inches("60"), up=UP)
    observed = observe(alcove(wide, record))
    (found,) = observed.findings
    assert (found.number, found.records) == (201, ("x", "wide"))
    assert f"{value} lies off wall `back`, which is 60 in long" in found.says
    assert [reading.key for reading in observed.readings if reading.key == "x"] == (
        ["x"] if isinstance(record, StraightedgeCheck) else []
    )


def test_a_check_keeps_the_stations_that_are_on_the_wall():
    wide = put(LengthReading, id="wide", between=("left-back", "back-right"), reads=inches("60"), up=UP)
    observed = observe(alcove(wide, check("0 0, 84 1/8, 12 1/16", id="x")))
    gaps = observed.readings[1]
    assert (gaps.along, gaps.read, len(gaps.up), len(gaps.sd)) == ((0.0, 304.8), (0.0, 1.5875), 2, 2)
    assert observed.what["x"].at == ("at 0 in", "at 12 in")


def test_a_wall_of_unknown_length_has_nothing_off_it():
    assert numbers(alcove(check("0 0, 300 0"))) == []


def test_a_check_with_one_station_left_is_left_out():
    wide = put(LengthReading, id="wide", between=("left-back", "back-right"), reads=inches("60"), up=UP)
    observed = observe(alcove(wide, check("12 0, 84 0, 90 0", id="x")))
    assert [reading.key for reading in observed.readings] == ["wide"]
    assert "84 in (and 1 more)" in observed.findings[0].says


def test_more_numbers_than_a_room_takes_leave_the_plan_without_readings():
    many = [length_id(f"l{number}") for number in range(MOST_NUMBERS + 1)]
    observed = observe(alcove(*many))
    (found,) = observed.findings
    assert (found.number, found.records[0]) == (205, "l0")
    assert f"{MOST_NUMBERS + 1} numbers were read" in found.says
    assert observed.plan is not None
    assert observed.readings == ()


def length_id(name):
    return put(LengthReading, id=name, between=("left-back", "back-right"), reads=inches("60"), up=UP)


def test_a_hundred_thousand_stations_and_as_many_readings_are_answered():
    station = check("0 0, 12 0").stations[0]
    one = msgspec.structs.replace(check("0 0, 12 0", id="x"), stations=(station,) * 100_000)
    reading = length_id("l")
    each = [msgspec.structs.replace(reading, id=f"l-{number}") for number in range(100_000)]
    assert numbers(alcove(one)) == [207]  # all at one place: no check of a wall
    assert numbers(alcove(*each)) == [205]


def answered(survey):
    """Observe, and hold the answer against itself and against the fitting."""
    observed = observe(survey)
    ids = {record.id for record in survey.records}
    for found in observed.findings:
        assert {one for one in found.records if one != "elsewhere"} <= ids
        assert found.says
        assert found.do
    assert set(observed.what) == {reading.key for reading in observed.readings}
    if observed.plan is None:
        assert observed.readings == ()
        return
    with suppress(FittingError):  # finding 206 of the report
        know_room(observed.plan, observed.readings, observed.prior)


@settings(max_examples=many(40, 200), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(surveys(most=12))
def test_no_survey_is_too_strange(survey):
    answered(survey)


READINGS = sorted(name for name, kind in KINDS.items() if issubclass(kind, Reading))


@pytest.mark.parametrize("kind", READINGS)
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(drawing=data())
def test_no_reading_of_a_good_room_is_too_strange(kind, drawing: DataObject):
    """Readings as they come, but of the names that are there."""
    drawn = drawing.draw(records(KINDS[kind]))
    answered(alcove(at_home(msgspec.structs.replace(drawn, id="x", replaces=()))))


def at_home(record):
    """Put a record's names into the alcove, whatever they were."""
    known = {"wall": "back", "corner": "left-back", "of": "drain", "from_": "left-back", "lies_on": "back"}
    fields = {name: known[name] for name in record.__struct_fields__ if name in known}
    if isinstance(record, LengthReading):
        fields["between"] = tuple(
            msgspec.structs.replace(end, wall="back", from_="m1") if isinstance(end, Spot) else "drain"
            for end in record.between
        )
    if isinstance(record, StoryStick):
        fields["zero"] = "left-back"
        fields["marks"] = tuple(msgspec.structs.replace(mark, to="drain") for mark in record.marks)
    if isinstance(record, Template):
        fields["points"] = tuple(msgspec.structs.replace(point, wall="left") for point in record.points)
    if isinstance(record, Position) and record.along is None:
        del fields["from_"]
    return msgspec.structs.replace(record, **fields)

"""Whether the records of a survey hang together: each trouble a numbered finding with its ids."""

from __future__ import annotations

import msgspec
import pytest
from observed_rooms import alcove, degrees, inches, job, put

from survey.dictation import dictate
from survey.observe import observe
from survey.records import (
    Area,
    Assumption,
    Cabinet,
    Corner,
    Drop,
    Edge,
    Fixture,
    Layer,
    LengthReading,
    Mark,
    Position,
    Room,
    Survey,
    Trim,
    Wall,
    Withdrawal,
)

UP = inches("34")


def numbers(survey):
    return [finding.number for finding in observe(survey).findings]


def position(**fields):
    return put(Position, id="x", **fields)


def drop(**fields):
    at = {"wall": "back", "along": inches("20"), "from_": "left-back", "out": inches("3")}
    return put(Drop, id="x", **{**at, "reads": inches("38"), **fields})


def length_id(name):
    return put(LengthReading, id=name, between=("left-back", "back-right"), reads=inches("60"), up=UP)


def test_a_back_wall_that_nobody_named_is_told_how_to_be_said():
    survey = Survey(dictate(["job Vanity in inches to 1/16", "wall north", "room bath"], Survey([])))
    (found,) = (one for one in observe(survey).findings if one.number == 103)
    assert "names `back`" in found.says
    assert "it is `back` where the line does not say `back WALL`" in found.do


@pytest.mark.parametrize(
    "line",
    ["top t up 34 thickness 1 width 48 depth 20", "cabinet vanity width 48 height 24 depth 20"],
)
def test_a_piece_that_names_no_wall_names_none_that_is_missing(line):
    survey = Survey(
        dictate(["job Vanity in inches to 1/16", "wall north", "room bath back north", line], Survey([]))
    )
    assert [one.number for one in observe(survey).findings] == []


def test_a_name_that_two_things_have():
    observed = observe(alcove(put(Mark, id="second", name="drain", wall="left")))
    (found,) = observed.findings
    assert (found.number, found.records) == (102, ("drain", "second"))


def test_a_piece_may_not_have_a_wall_s_name():
    sizes = {"width": inches("30"), "height": inches("30"), "depth": inches("21")}
    (found,) = observe(alcove(put(Cabinet, id="box", name="back", **sizes))).findings
    assert (found.number, found.pieces) == (102, ("back",))


def test_pieces_name_what_is_there():
    sizes = {"width": inches("30"), "height": inches("30"), "depth": inches("21")}
    right = Edge(meets="rihgt", finish="filler")
    found = observe(
        alcove(put(Cabinet, id="box", name="vanity", wall="north", right=right, **sizes))
    ).findings
    assert [(one.number, one.records, one.pieces) for one in found] == [(103, ("box",), ("vanity",))] * 2
    assert "cabinet `vanity` names `north`" in found[0].says
    assert "things that an edge can meet are `right`" in found[1].do


def without(survey, *ids):
    return Survey(record for record in survey.records if record.id not in ids)


@pytest.mark.parametrize(
    ("record", "field"),
    [
        (put(Room, id="x", name="bath", back="north"), "north"),
        (put(Corner, id="x", name="x", left_wall="north", right_wall="left"), "north"),
        (put(Area, id="x", name="tile", wall="ceiling"), "ceiling"),
        (put(Mark, id="x", name="m2", wall="north"), "north"),
        (put(Trim, id="x", name="t", wall="north", type="casing"), "north"),
        (put(Assumption, id="x", what="flat wall", of="north"), "north"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_record_that_names_nothing_is_found(record, field):
    survey = without(alcove(record), "bath") if isinstance(record, Room) else alcove(record)
    found = next(finding for finding in observe(survey).findings if finding.number == 103)
    assert found.records == ("x",)
    assert f"names `{field}`, which does not exist" in found.says


def test_walls_that_hang_on_nothing():
    observed = observe(alcove(put(Wall, name="loose")))
    (found,) = observed.findings
    assert (found.number, found.records) == (104, ("loose",))
    assert "hang on nothing" in found.says
    assert observed.plan is None


def test_two_corners_that_swapped_their_walls_are_named():
    swapped = put(Corner, id="swapped", name="back-right", left_wall="right", right_wall="back")
    observed = observe(without(alcove(swapped), "back-right"))
    assert [finding.number for finding in observed.findings] == [106, 104]
    assert observed.findings[1].records == ("left-back", "swapped")
    assert observed.plan is None


def test_a_loop_that_does_not_close_is_found():
    closing = [
        put(Wall, name="front"),
        put(Corner, name="right-front", left_wall="right", right_wall="front", turn="outside"),
        put(Corner, name="front-left", left_wall="front", right_wall="left"),
    ]
    (found,) = observe(alcove(*closing)).findings
    assert found.number == 104
    assert "do not close" in found.says


def test_a_room_of_a_thousand_walls_is_refused():
    (found,) = observe(alcove(*(put(Wall, name=f"w{number}") for number in range(1000)))).findings
    assert found.number == 104
    assert "expected at most 100" in found.says


def test_two_corrections_of_one_record():
    first = length_id("first")
    corrections = [msgspec.structs.replace(first, id=name, replaces=("first",)) for name in ("b", "c")]
    observed = observe(alcove(first, *corrections))
    (found,) = observed.findings
    assert (found.number, found.records) == (105, ("first", "b", "c"))


def test_two_corrections_of_a_named_thing_are_one_finding():
    walls = [put(Wall, id=name, name="back", replaces=("back",)) for name in ("b", "c")]
    assert numbers(alcove(*walls)) == [105]


def test_a_correction_of_a_correction_and_two_withdrawals_are_fine():
    first = length_id("first")
    second = msgspec.structs.replace(first, id="second", replaces=("first",))
    third = msgspec.structs.replace(first, id="third", replaces=("second",))
    gone = [put(Withdrawal, replaces=("third",)) for _ in range(2)]
    assert numbers(alcove(first, second, third, *gone)) == []


def test_a_wall_called_left_at_the_right_hand_end():
    survey = Survey(
        [
            job(),
            put(Room, name="bath"),
            put(Wall, name="back"),
            put(Wall, name="left"),
            put(Corner, name="c", left_wall="back", right_wall="left"),
        ]
    )
    (found,) = observe(survey).findings
    assert (found.number, found.records) == (106, ("c", "left"))
    assert "wall `left` stands at the right end" in found.says


def test_two_jobs_and_two_rooms():
    found = observe(alcove(job(id="job2"), put(Room, name="hall"))).findings
    assert [(one.number, one.records) for one in found] == [(108, ("job", "job2")), (108, ("bath", "hall"))]


@pytest.mark.parametrize(("turn", "nominal"), [("inside", "180"), ("inside", "1 in 24"), ("outside", "90")])
def test_a_corner_that_is_meant_to_be_none(turn, nominal):
    corner = put(
        Corner, id="x", name="c", left_wall="right", right_wall="far", turn=turn, nominal=degrees(nominal)
    )
    observed = observe(alcove(put(Wall, name="far"), corner))
    (found,) = observed.findings
    assert (found.number, found.records) == (200, ("x",))
    assert observed.plan is not None


def test_a_level_line_above_the_clouds():
    (found,) = observe(alcove(level_line="9999")).findings
    assert (found.number, found.records) == (200, ("job",))


def test_what_stands_on_the_floor_is_a_hint():
    toilet = put(Fixture, name="toilet", wall="floor", type="toilet")
    found = observe(alcove(toilet, position(of="toilet", along=inches("20"), from_="left-back"))).findings
    assert [(one.number, one.severity, one.records) for one in found] == [(208, "hint", ("x",))]


def test_a_feature_on_a_wall_that_is_not_there_is_found_once_for_itself_and_once_for_its_reading():
    lost = put(Trim, name="lost", wall="north", type="casing")
    found = observe(alcove(lost, position(of="lost", up=UP))).findings
    assert [(one.number, one.records) for one in found] == [(103, ("lost",)), (207, ("x",))]


def test_a_floor_with_two_areas_to_come_must_say_which():
    layers = (Layer("tile", inches("1/2"), "to come"),)
    areas = [put(Area, name=name, wall="floor", layers=layers) for name in ("wet", "dry")]
    assert numbers(alcove(*areas, drop())) == [207, 601, 601]


def test_a_layer_thinner_than_nothing_and_bounds_the_wrong_way_round():
    thin = put(Area, id="x", name="tile", wall="left", layers=(Layer("tile", inches("-1"), "to come"),))
    layers = (Layer("tile", inches("1"), "to come"),)
    bounds = put(Area, name="turned", wall="left", layers=layers, bottom=inches("9"), top=inches("1"))
    found = observe(alcove(thin, bounds)).findings
    assert [(one.number, one.records) for one in found] == [(200, ("x",)), (200, ("turned",))]


def test_what_is_assumed_and_what_comes_later():
    assumed = put(Assumption, id="a", what="corner angle", of="left-back")
    later = put(
        Trim,
        id="later",
        name="base",
        wall="back",
        type="baseboard",
        fate="comes later",
        projection=inches("5/8"),
    )
    found = observe(alcove(assumed, later)).findings
    assert [(one.number, one.records) for one in found] == [(600, ("a",)), (602, ("later",))]
    assert found[0].says == "corner angle of `left-back` is assumed, not measured"
    assert found[1].says == "baseboard `base` comes later, 5/8 thick"


ONE_WALL = (job(), put(Room, name="bath"), put(Wall, name="back"), put(Mark, name="m1", wall="back"))


def test_origin_is_the_first_mark_where_the_back_wall_has_no_neighbour():
    assert observe(Survey(ONE_WALL)).plan.origin == "m1"
    assert observe(alcove()).plan.origin is None


def test_origin_that_the_room_names():
    own = put(Room, id="own", name="bath", origin="m2", replaces=("bath",))
    survey = Survey([*ONE_WALL, put(Mark, name="m2", wall="back"), own])
    assert observe(survey).plan.origin == "m2"
    assert observe(survey.plus(*corner_at_left())).plan.origin is None  # the left wall says where x = 0 is


def corner_at_left():
    return put(Wall, name="left"), put(Corner, name="c", left_wall="left", right_wall="back")


def test_origin_on_another_wall_is_refused():
    own = put(Room, id="own", name="bath", origin="m2", replaces=("bath",))
    right = put(Wall, name="right"), put(Corner, name="c", left_wall="back", right_wall="right")
    survey = Survey([*ONE_WALL, *right, put(Mark, name="m2", wall="right"), own])
    observed = observe(survey)
    assert [(one.number, one.records) for one in observed.findings] == [(207, ("own",))]
    assert observed.plan is not None

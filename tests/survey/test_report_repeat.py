"""Which readings are to be repeated before cutting, and how uneven the walls are said to be."""

import msgspec
import pytest
from dictated import ALCOVE, COUNTER, survey_of

from survey.records import Survey
from survey.report.make import answer

TILE = "area wet on left layers tile 10 to come"
BOARD = "baseboard board on right width 80 projection 12 bottom 0 comes later"
RIGHT = "top counter against back up 850 thickness 30 depth 500 width 700, right meets right scribed"


def room_of(*lines: str, room: list[str] = ALCOVE, face: str = "now"):
    survey = survey_of(*lines, room=room)
    records = (
        msgspec.structs.replace(one, face=face) if hasattr(one, "face") else one for one in survey.records
    )
    survey = Survey(records)
    return survey, answer(survey)[0].room


def said(survey, ids):
    return [type(survey.by_id[one]).__name__ for one in ids]


def test_nothing_is_to_be_repeated_where_nothing_is_to_come():
    assert room_of(COUNTER)[1].repeat == ()


def test_nothing_is_to_be_repeated_where_no_piece_hangs_on_it():
    assert room_of(TILE)[1].repeat == ()


def test_what_was_read_to_the_bare_wall_is_repeated_and_of_other_walls_nothing():
    survey, room = room_of(COUNTER, TILE)
    assert 0 < len(room.repeat) <= 5
    records = [survey.by_id[one] for one in room.repeat]
    assert all(getattr(one, "wall", "left") == "left" for one in records)
    assert not any(getattr(one, "corner", "left-back") == "back-right" for one in records)
    assert any(getattr(one, "wall", "") == "left" for one in records)


def test_what_was_read_to_the_finished_face_need_not_be_repeated():
    assert room_of(COUNTER, TILE, face="finished")[1].repeat == ()


def test_the_reading_that_moves_the_piece_most_comes_first():
    """By hand: a mm on the diagonal turns the left wall by 1000 / (600 · 800) rad (law of cosines).

    Over the top's depth of 500 that is 1.04 mm, half of it each way with the top pushed home; a station's
    gap has its neighbours beside it and moves less.
    """
    survey, room = room_of(COUNTER, TILE)
    assert said(survey, room.repeat)[:2] == ["ThreeSides", "StraightedgeCheck"]


def test_trim_that_comes_later_counts_like_a_layer():
    survey, room = room_of(RIGHT, BOARD)
    assert {getattr(survey.by_id[one], "wall", "right") for one in room.repeat} == {"right"}


def test_angles_do_not_outweigh_lengths_by_their_unit():
    """A gauge in the corner is off by thousandths of a radian, a tape by millimetres."""
    gauge = "angle left-back reads 90 reach 300 up 850"
    survey, room = room_of(COUNTER, TILE, gauge)
    assert said(survey, room.repeat)[0] == "StraightedgeCheck"


@pytest.mark.parametrize(("gap", "low", "high"), [("0", 0.4, 1.0), ("6", 1.0, 2.6)])
def test_unevenness_is_told_against_what_was_expected(gap, low, high):
    """A wall that waves by 6 mm every 100 mm is more uneven than usual, one like glass less."""
    stations = ", ".join(f"{at} {gap if at % 400 < 200 else 0}" for at in range(0, 1500, 100))
    room = [line for line in ALCOVE if not line.startswith("straightedge back")]
    told = room_of(f"straightedge back up 850 from left-back: {stations}", COUNTER, room=room)[1].unevenness
    assert low < told < high


def test_a_reading_that_saw_no_wall_with_something_to_come_is_not_repeated():
    """Tile on the right wall alone; the top hangs on the left corner and on widths to the right."""
    survey, room = room_of(COUNTER, TILE.replace("left", "right"))
    corners = {getattr(survey.by_id[one], "corner", "back-right") for one in room.repeat}
    assert corners <= {"back-right"}

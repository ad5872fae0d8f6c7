"""A digit that slipped so far that no room comes out of what was read is named, not only said to exist.

A room 61 in wide, all its readings worked out by hand for walls 0.4 and 0.5 degrees out of square; one width
in the middle was put down as 16 or 51.
"""

from __future__ import annotations

from dictated import survey_of

from survey.finding import Finding
from survey.findings import fit

ROOM = """
job Alcove in inches to 1/16 level line 48
room bath back back old
wall back masonry
wall left wood stud spacing 16
wall right wood stud spacing 16
corner left-back joins left and back
corner back-right joins back and right
length (left 1 from left-back) to (right 1 from back-right) up 34 3/4 reads 61
length (left 11 from left-back) to (right 11 from back-right) up 34 3/4 reads {middle}
length (left 22 from left-back) to (right 22 from back-right) up 34 3/4 reads 60 15/16
length (back 6 from left-back) to (right 22 from back-right) up 34 3/4 reads 59 1/16
length (back 6 from back-right) to (left 22 from left-back) up 34 3/4 reads {diagonal}
"""


def no_room(**read: str) -> list[Finding]:
    lines = ROOM.format(**read).strip().splitlines()
    return [one for one in fit(survey_of(room=lines)).findings if one.number == 206]


def test_a_room_of_good_readings_comes_together():
    assert not no_room(middle="61", diagonal="59 3/8")


def test_the_reading_without_which_the_room_comes_together_is_named_with_its_record():
    (found,) = no_room(middle="16", diagonal="59 3/8")
    assert "it comes together without the length left at 11 in" in found.says
    assert len(found.records) == 1


def test_two_slips_are_not_pinned_on_one_reading_and_nothing_is_said_in_the_words_of_an_adjustment():
    (found,) = no_room(middle="51", diagonal="95 3/8")
    assert found.records == ()
    assert "two slipped digits" in found.do
    assert "standard deviation" not in found.says

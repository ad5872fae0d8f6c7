"""Studs behind what hangs: where they are told, what is lacking, and that the advice mends it."""

import re

import pytest
from sample_reports import sample_report

from survey.dictation import dictate
from survey.findings import fit
from survey.quantity import read_length
from survey.records import Survey

ROOM = [
    'job "Hall" in mm to 1 mm level line 1000',
    "room hall",
    "wall back wood stud spacing 400",
    "wall left wood stud",
    "corner left-back joins left and back",
    "square left-back lies on left 600 other 600 gap 0 at tip proved by a flip up 900",
    *(
        f"straightedge back up {up} from left-back: 0 0, 300 0, 600 0, 900 0, 1200 0, 1500 0"
        for up in (300, 1500, 2100)
    ),
    *(f"straightedge left up {up} from left-back: 0 0, 300 0, 600 0" for up in (300, 1500, 2100)),
    "lean back along 300 from left-back low 100 high 2100 in 0",
    "lean back along 1200 from left-back low 100 high 2100 in 0",
    "lean left along 300 from left-back low 100 high 2100 in 0",
]
BOX = "cabinet box width {width} height 700 depth 320 bottom 1400, left meets left net gap 3"


def told(*lines, width=600):
    survey = Survey(dictate([*ROOM, *lines, BOX.format(width=width)], Survey([])))
    report = fit(survey)
    (piece,) = [one for one in report.pieces if one.name == "box"]
    return piece, [one for one in report.findings if 586 <= one.number <= 589]


def stud(name, at, how="nail"):
    return f"stud {name} on back width 38 proved {how}", f"position {name} along {at} from left-back up 1500"


def mm(text: str) -> float:
    return float(read_length(text, "mm").mm)


def test_each_stud_is_told_from_the_box_and_from_the_corner():
    piece, found = told(*stud("s1", 200), *stud("s2", 500))
    assert [one.stud for one in piece.fixings] == ["s1", "s2"]
    first, second = piece.fixings
    assert (first.off.text, first.mark, first.how) == ("200 mm", "corner left-back", "centre")
    assert mm(second.across.text) - mm(first.across.text) == pytest.approx(300, abs=1)
    # The box stands its gap of 3 mm or a little more off the left wall.
    assert 0 <= 200 - mm(first.across.text) - 3 <= 4
    assert 2 <= first.within.mm <= 9
    assert found == []


def test_one_stud_only_is_a_doubt_and_the_shift_that_it_names_mends_it():
    piece, found = told(*stud("s1", 200), *stud("s2", 640), width=600)
    assert [one.stud for one in piece.fixings] == ["s1"]
    (doubt,) = found
    assert doubt.number == 586
    assert "one stud only (`s1`)" in doubt.says
    by = re.search(r"move it (\d+) mm to the right", doubt.do)
    assert by is not None
    lines = [*ROOM, *stud("s1", 200), *stud("s2", 640)]
    moved = BOX.format(width=600).replace(
        "left meets left net gap 3", f"left meets left net gap {3 + int(by[1])}"
    )
    report = fit(Survey(dictate([*lines, moved], Survey([]))))
    assert not [one for one in report.findings if one.number == 586]


def test_no_stud_recorded_and_studs_only_supposed_are_said():
    piece, found = told()
    assert piece.fixings == ()
    assert [one.number for one in found] == [589]
    assert "find the studs" in found[0].do
    _, found = told(*stud("s1", 200, "assumed spacing"), *stud("s2", 500, "assumed spacing"))
    assert [one.number for one in found] == [587]


def test_a_stud_known_too_poorly_is_said():
    poor = [line + (" sd 6" if line.startswith("position") else "") for line in stud("s1", 200)]
    piece, found = told(*poor, *stud("s2", 500))
    assert piece.fixings[0].within.mm == 0
    assert 588 in [one.number for one in found]


def test_masonry_is_not_told_of_studs():
    lines = [line.replace("wall back wood stud spacing 400", "wall back masonry") for line in ROOM]
    survey = Survey(dictate([*lines, BOX.format(width=600)], Survey([])))
    assert not [one for one in fit(survey).findings if 586 <= one.number <= 589]


def test_screws_go_through_rail_and_build_up():
    area = "area tiled on back layers board 12.5 in place, tile 10 in place"
    rail = "stretcher nailer width 560 height 100 thickness 18 of box"
    piece, _ = told(*stud("s1", 200), *stud("s2", 500), area, rail)
    # 18 + 12.5 + 10 + 25.4 = 65.9 mm; the next that is sold: 2 3/4 in, 69.85 mm; 29.35 mm in wood.
    assert piece.screws == ("Through `nailer` and board and tile: 70 mm screws, 29 mm in the stud.",)


def test_the_sample_hangs_on_two_studs():
    (vanity,) = [one for one in sample_report("corner-vanity").pieces if one.name == "vanity"]
    assert [(one.stud, one.off.text) for one in vanity.fixings] == [("s1", "15 1/4 in"), ("s2", "31 1/8 in")]

"""Cut-outs of tops: places by hand, what is left around them, what breaks through, and what mends that."""

from __future__ import annotations

import pytest
from dictated import COUNTER, LINEN, found, numbers, piece, report_of, sizes
from shapely import Polygon

# 700 x 500 in the left corner of a square alcove: its datum is the front edge and the right end.
DRAIN = ("drain drain on back diameter 40", "position drain along 300 from left-back up 500")
BOWL = "cut out bowl in counter rectangle width 300 depth 260 over drain from front 230 least 60"


def bowl(*lines: str):
    (told,) = piece(report_of(COUNTER, *lines), "counter").cut_outs
    return told


def test_a_basin_lies_over_the_drain():
    """By hand: the drain is 300 from the corner, so 400 from the right end of 700; 300 x 260 about 400, 230.

    Left over: 400 - 150 = 250 at the right end, 700 - 550 = 150 at the left, 100 in front, 140 behind.
    """
    told = bowl(*DRAIN, BOWL)
    assert (told.centre.across.text, told.across_from) == ("400 mm", "from the right end")
    assert (told.centre.deep.text, told.deep_from) == ("230 mm", "from the front")
    assert (told.width.text, told.depth.text) == ("300 mm", "260 mm")
    left = {name: one.size.mm for name, one in zip(sizes(told.left_over), told.left_over, strict=True)}
    assert left == pytest.approx({"right": 250, "left": 150, "front": 100, "back": 140}, abs=1.5)
    assert told.support == (
        "a bearer front to back at each side of it, 225 mm and 575 mm from the right end",
    )
    (x0, y0, x1, y1) = Polygon(told.ring).bounds
    assert (x0, y0, x1, y1) == pytest.approx((-550, 100, -250, 360), abs=1.0)
    assert not {532, 533, 534} & set(numbers(report_of(COUNTER, *DRAIN, BOWL)))


def test_how_well_the_drain_is_known_is_said():
    told = piece(report_of(COUNTER, *DRAIN, BOWL), "counter")
    (unsure,) = [one for one in told.measures if one.name.startswith("place of drain")]
    assert 0.5 < unsure.size.mm < 6  # one tape reading of 300 mm, against the scribed end


def test_from_the_left_end_and_midway():
    told = bowl("cut out bowl in counter oval width 200 depth 150 along 200 from left end")
    assert told.centre.across.mm == pytest.approx(500, abs=1.5)
    assert told.centre.deep.mm == pytest.approx(250, abs=1.0)
    middle = bowl("cut out bowl in counter oval width 200 depth 150")
    assert middle.centre.across.mm == pytest.approx(350, abs=1.0)


def test_the_bought_basin_gives_its_size_and_radius_and_is_waited_for_while_promised():
    item = 'bought sink "drop-in basin" width 320 depth 240 radius 30'
    line = "cut out bowl in counter for sink along 350 from right end"
    told = bowl(item, line)
    assert (told.width.text, told.depth.text, told.radius.text, told.item) == (
        *("320 mm", "240 mm", "30 mm", "sink"),
    )
    assert piece(report_of(COUNTER, item, line), "counter").waits_for == ("sink",)
    measured = item + " measured in hand"
    assert piece(report_of(COUNTER, measured, line), "counter").waits_for == ()


def test_too_little_left_names_the_number_and_the_shift_that_mends_it():
    """By hand: 300 x 260 about 170 from the front leaves 40 there; 60 are asked, so 20 to the back."""
    line = BOWL.replace("from front 230", "from front 170")
    (said,) = found(report_of(COUNTER, *DRAIN, line), 532)
    assert said.says == "`bowl` leaves 40 mm of `counter` at its front, less than the 60 mm it needs there"
    assert said.do == "move it 20 mm to the back"
    mended = BOWL.replace("from front 230", "from front 190")
    assert found(report_of(COUNTER, *DRAIN, mended), 532) == []


def test_what_breaks_through_stops_the_piece_and_says_what_would_mend_it():
    line = BOWL.replace("from front 230", "from front 100")
    report = report_of(COUNTER, *DRAIN, line)
    (said,) = found(report, 533)
    assert said.says == "`bowl` breaks through the front of `counter`, by 30 mm"
    assert said.do == "move it 90 mm to the back"
    assert piece(report, "counter").status == "not ready"
    mended = BOWL.replace("from front 230", "from front 190")
    assert piece(report_of(COUNTER, *DRAIN, mended), "counter").status == "ready"


def test_a_cut_out_that_leaves_nothing_says_how_much_smaller_it_must_be():
    """By hand: 480 deep in 500 with 60 asked at both sides: 380 fit, so 100 less; 510 deep: 130 less."""
    line = "cut out bowl in counter width 300 depth {} along 350 from right end least 60"
    thin = found(report_of(COUNTER, line.format(480)), 532)
    assert {one.do for one in thin} == {
        "make its depth 100 mm less and put it midway, or make `counter` larger"
    }
    broken = found(report_of(COUNTER, line.format(510)), 533)
    assert {one.do.split(" less")[0] for one in broken} == {"make its depth 130 mm"}
    assert found(report_of(COUNTER, line.format(380)), 532) == []


def test_two_that_are_too_near_one_another():
    """By hand: from 250 to 550 and from 560 to 595 of the right end there are 10 between; 19 are usual."""
    tap = "cut out tap in counter oval width 35 depth 35 along 577.5 from right end from front 230"
    report = report_of(COUNTER, *DRAIN, BOWL, tap)
    (said,) = found(report, 534)
    assert "leave 10 mm of `counter` between them, less than 19 mm" in said.says
    assert said.do.startswith("move one of them 10 mm away")  # 19.05 less 10, rounded up


def test_a_cut_out_of_a_cabinet_is_not_worked_out_and_says_so():
    (said,) = found(report_of(LINEN, "cut out hole in linen oval width 40 depth 40"), 535)
    assert said.severity == "hint"
    assert piece(report_of(LINEN, "cut out hole in linen oval width 40 depth 40"), "linen").status == "ready"


@pytest.mark.parametrize(
    ("lines", "number", "says"),
    [
        (("cut out bowl in counter oval width 200",), 305, "`bowl` has no depth"),
        (("cut out bowl in counter oval width 200 depth 150 along 200",), 306, "from which end `bowl` is"),
        (
            ("drain drain on back", "cut out bowl in counter oval width 200 depth 150 over drain"),
            304,
            "nothing says where `drain` is",
        ),
        (("cut out bowl in counter width 200 depth 150 radius 90",), 502, "half its lesser side"),
        (("cut out bowl in nothing width 200 depth 150",), 103, "names `nothing`"),
    ],
)
def test_what_is_missing_or_wrong_is_a_finding(lines, number, says):
    (said,) = found(report_of(COUNTER, *lines), number)
    assert says in said.says

"""Pieces that cannot be: each is a finding with the number that fails and the change that would mend it.

The change is read out of the finding's own words and applied; the finding must go. All of it in millimetres
and in inches, in one square, flat and plumb alcove 1500 mm wide (`dictated.ALCOVE`; 59 1/16 in).
"""

from __future__ import annotations

import re

import pytest
from dictated import ALCOVE, found, piece, report_of, survey_of

from survey.finding import Finding
from survey.findings import fit
from survey.quantity import read_length
from survey.report import make
from survey.report.structs import FitReport

UNITS = ("mm", "in")
SIZE = re.compile(r"\d+(?: \d+/\d+|/\d+)?(?: mm| in)")
SIDES = "left meets left {left}, right meets right {right}"
BOX = "cabinet box width {width} mm height 700 mm depth 500 mm, "
TOP = (
    "top t against back up 850 mm thickness 30 mm depth 600 mm, left meets left net gap 2 mm, "
    "right meets right net gap 2 mm, back meets back net gap 2 mm"
)


def told(unit: str, *lines: str) -> FitReport:
    """Answer pieces in the alcove, by a job in this unit; the readings say theirs."""
    room = [one.replace("in mm to 1 mm level line 1000", f"in {JOBS[unit]}") for one in ALCOVE]
    if unit == "in":
        room = [ROOM_NUMBER.sub(r"\1 mm", one) if not one.startswith("job") else one for one in room]
    return report_of(*lines, room=room)


JOBS = {"mm": "mm to 1 mm level line 1000", "in": "inches to 1/16 level line 1000 mm"}
ROOM_NUMBER = re.compile(r"(?<![-\w.])(\d+)(?![-\w.])")


def only(report: FitReport, number: int) -> Finding:
    (finding,) = found(report, number)
    assert SIZE.search(finding.says), f"no number in: {finding.says}"
    return finding


def change(finding: Finding) -> float:
    """The first size in what to do about a finding, in mm."""
    size = SIZE.search(finding.do)
    assert size, f"no change in: {finding.do}"
    return float(read_length(size[0], "mm").mm)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("gap", [0, 3])
def test_wider_than_its_alcove(unit, gap):
    """By hand: 1600 + the gaps asked for at both ends - 1500 is too much."""
    sides = SIDES.format(left=f"net gap {gap} mm", right=f"net gap {gap} mm")
    said = only(told(unit, BOX.format(width=1600) + sides), 501)
    assert change(said) == pytest.approx(100 + 2 * gap, abs=1.6)
    assert change(said) >= 100 + 2 * gap
    mended = told(unit, BOX.format(width=1600 - change(said)) + sides)
    assert piece(mended, "box").status == "ready"
    assert not found(mended, 501)


@pytest.mark.parametrize("unit", UNITS)
def test_a_run_wider_than_its_alcove(unit):
    """Held at the left only: 2 + 800 + 800 - 1500 = 102 too much."""
    first = "cabinet a width 800 mm height 700 mm depth 500 mm, left meets left net gap 2 mm"
    last = (
        "cabinet b width {} mm height 700 mm depth 500 mm, left meets a net gap 0 mm, "
        "right meets right filler"
    )
    said = only(told(unit, first, last.format(800)), 517)
    assert 102 <= change(said) <= 103.6
    mended = told(unit, first, last.format(800 - change(said)))
    assert not found(mended, 517)
    assert piece(mended, "b").status == "ready"


@pytest.mark.parametrize("unit", UNITS)
def test_a_run_held_at_both_ends_overlaps(unit):
    """2 + 800 + 800 + 2 - 1500 = 104 taken twice; the number is said, and the change is as much."""
    line = "cabinet {} width {} mm height 700 mm depth 500 mm, {} meets {} net gap 2 mm"
    first, last = line.format("a", 800, "left", "left"), line.format("b", "{}", "right", "right")
    finding = only(told(unit, first, last.format(800)), 519)
    by = float(read_length(SIZE.search(finding.says)[0], "mm").mm)
    assert 104 <= by <= 105.6
    assert not found(told(unit, first, last.format(800 - by)), 519)


CUT = "cut out sink in t rectangle width 400 mm depth {} mm along 750 mm from left end from front {} mm"


@pytest.mark.parametrize("unit", UNITS)
def test_a_cut_out_breaks_through_the_front(unit):
    """Its middle 150 from the front, 400 deep: its front edge is 50 before the top's."""
    said = only(told(unit, TOP, CUT.format(400, 150)), 533)
    assert "breaks through the front" in said.says
    by = float(read_length(SIZE.search(said.says)[0], "mm").mm)
    assert by == pytest.approx(50, abs=0.8)
    mended = told(unit, TOP, CUT.format(400, 150 + change(said)))
    assert piece(mended, "t").status == "ready"
    assert not found(mended, 533)
    assert not found(mended, 532)


@pytest.mark.parametrize("unit", UNITS)
def test_a_cut_out_leaves_next_to_nothing(unit):
    """590 of some 598 deep: what is said to come off its depth leaves enough at front and back."""
    before = found(told(unit, TOP, CUT.format(590, 300)), 532)
    assert {word for one in before for word in ("front", "back") if f"its {word}" in one.says} == {
        "front",
        "back",
    }
    less = max(change(one) for one in before)
    mended = told(unit, TOP, CUT.format(590 - less, 299))
    assert not found(mended, 532)


@pytest.mark.parametrize("unit", UNITS)
def test_two_cut_outs_overlap(unit):
    """Two 300 wide whose middles are 200 apart share 100; moved as said, enough stays between them."""
    line = "cut out {} in t rectangle width 300 mm depth 300 mm along {} mm from left end from front 300 mm"
    said = only(told(unit, TOP, line.format("sink", 500), line.format("tap", 700)), 534)
    assert not found(told(unit, TOP, line.format("sink", 500), line.format("tap", 700 + change(said))), 534)


@pytest.mark.parametrize("unit", UNITS)
def test_a_filler_narrower_than_a_saw_kerf(unit):
    """1500 - 4 - 1494 = 2 of strip; the saw takes some 3."""
    sides = SIDES.format(left="net gap 4 mm", right="filler")
    strip = "filler f right of box thickness 18 mm"
    said = only(told(unit, BOX.format(width=1494) + sides, strip), 527)
    mended = told(unit, BOX.format(width=1494 - change(said)) + sides, strip)
    assert not found(mended, 527)
    assert piece(mended, "f").status == "ready"


@pytest.mark.parametrize(
    ("lines", "number", "names"),
    [
        (
            (
                "cabinet a width 400 height 700 depth 500, left meets b net gap 0",
                "cabinet b width 400 height 700 depth 500, left meets a net gap 0",
            ),
            518,
            {"a", "b"},
        ),
        (
            (
                BOX.format(width=1450) + SIDES.format(left="net gap 4", right="filler"),
                "filler f right of box thickness 18 runs on from f",
            ),
            531,
            {"f"},
        ),
        (("cut out sink in nowhere rectangle width 400 depth 300 along 750 from left end",), 103, set()),
    ],
    ids=["beside one another", "a strip from itself", "a cut-out of nothing"],
)
def test_what_goes_round_in_a_circle_or_names_nothing(lines, number, names):
    report = report_of(*lines)
    said = found(report, number)
    assert said
    assert all(one.do for one in said)
    assert names <= {name for one in said for name in one.pieces}
    assert all(piece(report, name).status == "not ready" for name in names)


@pytest.mark.parametrize(
    "line",
    [
        BOX.format(width=600).replace("depth 500", "depth 1") + "left meets left net gap 2",
        TOP.replace("depth 600", "depth 1"),
        BOX.format(width=600) + "left meets left net gap 2, quantity 999, weighs 2000",
    ],
    ids=["a cabinet 1 deep", "a top 1 deep", "999 of two tonnes"],
)
def test_absurd_sizes_are_answered(line):
    """The walk asked for a corner by legs of 0 beside what is a millimetre deep, and that divided by it."""
    report = fit(survey_of(line))
    assert len(report.pieces) == 1
    assert report.pieces[0].status == "ready" or any(one.severity == "stops" for one in report.findings)


@pytest.mark.parametrize("fault", [KeyError("wall"), ZeroDivisionError("by 0"), IndexError("3")], ids=repr)
@pytest.mark.parametrize(
    ("step", "number"), [("with_rough", 502), ("with_chance", 515), ("with_way", 573)], ids=str
)
def test_a_fault_of_the_program_costs_one_piece_no_more(monkeypatch, step, number, fault):
    """The other piece keeps its numbers, and what is said blames the program, not the piece."""
    sound = getattr(make, step)

    def failing(context, *arguments):
        if any(getattr(one, "name", "") == "bad" for one in arguments):
            raise fault
        return sound(context, *arguments)

    monkeypatch.setattr(make, step, failing)
    bad = "cabinet bad width 600 height 700 depth 500, left meets left net gap 2"
    good = "cabinet good width 600 height 700 depth 500, right meets right net gap 2"
    report = fit(survey_of(bad, good))
    (said,) = found(report, number)
    assert said.pieces == ("bad",)
    assert "the program failed on it" in said.says
    assert type(fault).__name__ in said.says
    assert piece(report, "good").status == "ready"
    assert piece(report, "bad").status == ("not ready" if number == 502 else "ready")

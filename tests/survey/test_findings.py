"""Which readings are doubted, which group is named, and how rarely good ones are."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import rooms
from dictated import ALCOVE, COUNTER, HUNG, found, numbers, piece, report_of, survey_of
from sample_rooms import with_marks_of
from scipy.stats import binom

from fitting.doubt import doubts
from fitting.site import OLD_HOUSE, Distance, Gaps, KnownRoom, Spot, know_room
from survey.dictation import dictate
from survey.doubts import FALSE_ALARM, judge
from survey.finding import NUMBERS, about, finding, merged
from survey.findings import check, fit
from survey.observe import Observed, observe
from survey.records import Survey
from survey.report.make import answer

SAMPLES = Path(__file__).parents[2] / "sample_surveys"

FIVE = [
    *ALCOVE,
    # The width at five places, and both diagonals of the rectangle 1500 by 600: 1615.5 by Pythagoras.
    "length (left 300 from left-back) to (right 300 from back-right) up 850 reads 1500",
    "length (left 600 from left-back) to (right 600 from back-right) up 850 reads 1500",
    "length left-back to (right 600 from back-right) up 850 reads 1615.5",
    "length back-right to (left 600 from left-back) up 850 reads 1615.5",
]


def slipped(room: list[str], start: str, old: str, new: str) -> list[str]:
    assert sum(line.startswith(start) and old in line for line in room) == 1
    return [line.replace(old, new) if line.startswith(start) else line for line in room]


# --- The findings themselves


def test_numbers_keep_to_their_hundreds_and_say_what_to_do():
    assert all(100 <= number <= 699 for number in NUMBERS)
    for number, (severity, says, do) in NUMBERS.items():
        words = dict.fromkeys(re.findall(r"{(\w+)}", says + do), "x")
        made = finding(number, **words)
        assert (made.number, made.severity) == (number, severity)
        assert made.says
        assert made.do


def test_a_finding_that_lacks_a_word_is_a_mistake_of_ours():
    with pytest.raises(KeyError):
        finding(300)


def test_findings_that_say_the_same_are_one():
    one = finding(300, ["w"], ["box"], wall="left")
    other = finding(300, ["w"], wall="right")
    assert merged([one, about("top", one), other]) == (about("top", one), other)


def test_the_gravest_come_first():
    report = report_of(
        "shelf s width 1 height 1 thickness 1",
        "area a on left layers tile 10 to come",
        "filler f left of no thickness 1",
    )
    severities = [one.severity for one in report.findings]
    assert severities == sorted(severities, key=["stops", "doubt", "hint"].index)
    assert len(set(severities)) == 3


def test_check_gives_the_findings_of_fit():
    survey = survey_of("filler f left of no thickness 1")
    assert check(survey) == fit(survey).findings != ()


# --- Good readings


def test_readings_that_agree_are_not_doubted():
    assert numbers(report_of(COUNTER, HUNG, room=FIVE)) == []


# --- One slip


@pytest.mark.parametrize(
    ("start", "old", "new", "says"),
    [
        # An inch too small, a slipped digit, a transposed one; five readings say 1500.
        ("length (left 300", "1500", "1475", "25 mm too small"),
        ("length (left 600", "1500", "1510", "10 mm too large"),
        ("length left-back to back-right up 850", "1500", "1530", "30 mm too large"),
        ("length back-right to (left 600", "1615.5", "1651.5", "36 mm too large"),
    ],
)
def test_the_slipped_length_is_named_and_its_slip(start, old, new, says):
    lines = slipped(FIVE, start, old, new)
    survey = survey_of(COUNTER, room=lines)
    report = fit(survey)
    (doubt,) = found(report, 401)
    (wrong,) = [
        record.id for line, record in zip(lines, survey.records, strict=False) if line.startswith(start)
    ]
    (suspect,) = report.room.suspects
    assert doubt.records == (wrong,) == suspect.records
    assert abs(suspect.too_large_by[0]) == pytest.approx(float(says.split()[0]), abs=2.0)
    amount = float(re.search(r"looks ([\d.]+) mm", doubt.says).group(1))
    assert amount == pytest.approx(float(says.split()[0]), abs=2.0)
    assert says.split(" mm ")[1] in doubt.says


def test_an_inch_is_said_in_inches():
    """The same room as 59 1/16 in (1500.2 mm), one of the widths read an inch too small."""
    lines = [line.replace("in mm to 1 mm", "in inches to 1/16") for line in FIVE[:1]]
    lines += ["room r", "wall left", "wall back", "wall right", "corner left-back joins left and back"]
    lines += ["corner back-right joins back and right"]
    lines += [f"length left-back to back-right up {up} reads 59 1/16" for up in (4, 12, 20, 28)]
    lines += ["length left-back to back-right up 34 reads 58 1/16"]
    (doubt,) = found(report_of(room=lines), 401)
    assert "looks 1 in too small" in doubt.says
    assert "an inch misread" in doubt.says


def test_where_geometry_cannot_tell_the_group_is_named():
    """Two lengths of one place that disagree by 30: one of them is wrong, and nothing says which."""
    lines = [line for line in ALCOVE if not line.startswith("lean right")]
    lines = slipped(lines, "length left-back to back-right up 100", "1500", "1500 sd 0.5 mm")
    lines = [line for line in lines if not line.startswith("length left-back to back-right up 850")]
    lines += ["length left-back to back-right up 100 reads 1530 sd 0.5 mm"]
    survey = survey_of(HUNG, room=lines)
    report = fit(survey)
    (doubt,) = found(report, 402)
    pair = {
        record.id for line, record in zip(lines, survey.records, strict=False) if line.startswith("length")
    }
    (suspect,) = report.room.suspects
    assert set(doubt.records) == pair == set(suspect.records)
    assert not found(report, 401)


def test_a_record_of_several_numbers_is_told_once_in_a_group():
    """One diagonal from the left wall an inch too long, in the corner sample read more sparsely."""
    notes = (SAMPLES / "corner-vanity" / "notes.txt").read_text(encoding="utf-8").splitlines()
    left_out = ("three sides left-back 14 left", "three sides left-back 18 left 24", "square left-back", "#")
    lines = slipped(
        [line for line in notes if line and not line.startswith(left_out)],
        "length (left 18",
        "62 25/32",
        "63 25/32",
    )
    report = fit(Survey(dictate(lines, Survey([]))))
    (doubt,) = found(report, 402)
    (suspect,) = report.room.suspects
    assert len(set(suspect.records)) == len(suspect.records) == len(suspect.what) == 2
    assert doubt.records == suspect.records
    (told,) = [one for one in report.room.next_readings if one.tells]
    assert set(told.tells) == set(suspect.records)


def test_what_is_counted_down_slips_the_other_way_in_the_room():
    """A drop to the floor reads 100 too much, so the floor is read 100 too low; four more drops say so."""
    more = [f"drop floor back along {at} from left-back out 300 reads 1000" for at in (100, 400, 1000, 1400)]
    survey = survey_of(room=[*ALCOVE, *more, "drop floor back along 700 from left-back out 300 reads 1100"])
    _, context = answer(survey)
    judged = judge(survey, context)
    ((suspect,), (slips,)) = judged.suspects, judged.slips
    assert suspect.too_large_by[0] == pytest.approx(100.0, abs=10.0)
    assert list(slips.values()) == [pytest.approx(-suspect.too_large_by[0], abs=1e-3)]


def test_with_several_slips_at_least_one_wrong_reading_is_named():
    lines = slipped(FIVE, "length (left 300", "1500", "1450")
    lines = slipped(lines, "length back-right to (left 600", "1615.5", "1640")
    survey = survey_of(room=lines)
    report = fit(survey)
    wrong = {
        record.id
        for line, record in zip(lines, survey.records, strict=False)
        if line.startswith(("length (left 300", "length back-right to (left 600"))
    }
    (doubt, *_) = [one for one in report.findings if one.number in (401, 402)]
    assert wrong & set(doubt.records)
    worst = max(report.room.residuals, key=lambda one: abs(one.standardized))
    assert worst.record in doubt.records


def test_a_slip_in_a_check_is_named():
    """A gap of 15 among zeros: nobody's wall steps so over 300 mm."""
    lines = slipped(ALCOVE, "straightedge back", "600 0", "600 25")
    (doubt,) = [one for one in report_of(COUNTER, room=lines).findings if one.number in (401, 402)]
    assert "600 mm" in doubt.says


# --- What rests on it


def test_a_doubt_names_the_pieces_that_rest_on_it_and_they_stay_ready():
    """The left corner's diagonal is 30 too long; what stands in the right corner does not rest on it."""
    lines = slipped(FIVE, "three sides left-back", "1000", "1030")
    report = report_of(COUNTER, room=lines)
    (doubt,) = [one for one in report.findings if one.number in (401, 402)]
    assert "counter" in doubt.pieces
    counter = piece(report, "counter")
    assert counter.status == "ready"
    assert doubt.number in counter.findings


def test_a_doubt_about_another_wall_is_not_the_pieces():
    """A check of the right wall with a step in it; the top meets the left wall and the back."""
    lines = slipped(ALCOVE, "straightedge right", "400 0", "400 25")
    report = report_of(
        COUNTER,
        "cabinet box width 600 height 700 depth 500 bottom 100, right meets right net gap 3",
        room=lines,
    )
    (doubt,) = [one for one in report.findings if one.number in (401, 402)]
    assert doubt.pieces == ("box",)
    assert piece(report, "counter").findings == ()


# --- What nothing checks


NET = (
    "top between against back up 850 thickness 30 depth 500, left meets left net gap 2, "
    "right meets right net gap 2, back meets back net gap 2"
)
BETWEEN = (
    "cabinet vanity on back width 1400 height 500 depth 480 bottom 350, "
    "left meets left filler, right meets right filler"
)
WIDTHS = [line for line in ALCOVE if line.startswith("length")]
PIPE = ["cold pipe on back diameter 15 stub 40", "position pipe along 540 from left-back up 560"]


def test_a_width_read_once_is_said_of_the_piece_between_the_walls_only():
    """What stands in the left corner is as wide as was said, whatever the width of the room."""
    room = [line for line in ALCOVE if line != WIDTHS[0]]
    report = report_of(COUNTER, NET, room=room)
    (hint,) = found(report, 403)
    assert (hint.severity, hint.pieces) == ("hint", ("between",))
    assert "length left-back to back-right at 850 mm" in hint.says
    assert 403 not in piece(report, "counter").findings


def test_a_place_that_moves_no_wall_need_not_be_checked():
    """A pipe's place was read once, but no edge rests on it; nor on a width that was read twice."""
    assert numbers(report_of(BETWEEN, room=[*ALCOVE, *PIPE])) == []


# --- False alarms


ROOMS = 200
SURE = 1e-6


def as_read_in(seed: int, observed: Observed) -> KnownRoom:
    """Draw an old house's alcove, and honest readings of it, as good as their instruments are."""
    random = np.random.default_rng(seed)
    room = rooms.square()
    for wall in room.walls:
        turn = 0.0 if wall.name == "back" else random.normal(0.0, OLD_HOUSE.square_sd)
        tilt, bump = random.normal(0.0, OLD_HOUSE.tilt_sd), rooms.drawn(OLD_HOUSE, random)
        room = room.changed(wall.name, heading=wall.heading + turn, tilt=tilt, bump=bump)
    room = with_marks_of(room, observed.readings)
    spots = [
        end.scratch(up)
        for one in observed.readings
        if isinstance(one, Distance)
        for end, up in ((one.first, one.first_up), (one.second, one.second_up))
        if isinstance(end, Spot)
    ]
    scratches = {name: float(random.normal(0.0, 1.0)) for name in spots}
    tool = float(random.normal(0.0, 0.2)), float(random.normal(0.0, 1e-4))
    room = replace(room, scratches=scratches, tool=tool)
    readings = [misread(room.exact(one), random) for one in observed.readings]
    return know_room(observed.plan, readings, OLD_HOUSE)


def misread(reading, random: np.random.Generator):
    if isinstance(reading, Gaps):
        return replace(reading, read=tuple(random.normal(reading.read, reading.sd)))
    return replace(reading, value=random.normal(reading.value, reading.deviation))


def test_good_readings_are_seldom_doubted():
    """200 rooms drawn from the prior, honest noise: as many alarms as the thresholds say (binomial)."""
    lines = [line for line in FIVE if not line.startswith("drop")]
    observed = observe(survey_of(room=lines))
    assert not observed.findings
    suspected, misfits, squares = 0, 0, []
    for seed in range(ROOMS):
        room = as_read_in(seed, observed)
        judged = doubts(room.adjustment, FALSE_ALARM)
        suspected += bool(judged.suspects)
        misfits += judged.misfit.fails
        squares.append(float(np.mean(room.adjustment.standardized**2)))
    assert suspected <= binom.isf(SURE, ROOMS, FALSE_ALARM)
    assert misfits <= binom.isf(SURE, ROOMS, 0.001)
    assert np.mean(squares) == pytest.approx(1.0, abs=0.1)  # so the tests are no blunter than they claim

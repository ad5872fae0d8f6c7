"""Tools of the shop: said, kept, and what their calibration does to lengths."""

from __future__ import annotations

import math

import msgspec
import pytest
from observed_rooms import alcove, check, inches, put

from fitting.site import Distance, Gaps, Known, know_room
from survey.cli.print_survey import first_steps
from survey.dictation import DictationError, dictate, say
from survey.groups import grouped
from survey.observe import observe
from survey.records import LengthReading, Survey, Tool, TypedLength, Wall
from survey.records.canonical import canonical, read_record

UP = inches("34")
UP_MM = 863.6
JOB = dictate(["job Vanity in mm to 1 mm"], Survey([]))[0]


def mm(text):
    return TypedLength(text, "mm")


def one(line):
    (record,) = dictate([line], Survey([JOB]))
    return record


def tape(known="1000", reads="1000.4", start="hook", **fields):
    return put(Tool, id="t", name="t1", known=mm(known), reads=mm(reads), start=start, **fields)


def wide(reads="1500.4", start="hook", **fields):
    ends = ("left-back", "back-right")
    return put(LengthReading, id="w", between=ends, reads=mm(reads), up=UP, start=start, **fields)


# Said and kept


def test_a_tool_is_said_with_its_class_and_calibration():
    record = one("tool shop-tape is tape class I known 1000 reads 1000.4 hooked")
    said = (record.name, record.instrument, record.tape_class, record.start)
    assert said == ("shop-tape", "tape", "I", "hook")
    assert (record.known, record.reads) == (mm("1000"), mm("1000.4"))
    assert say(record, "mm") == "tool shop-tape is tape class I known 1000 reads 1000.4 hooked"
    assert read_record(canonical(record)) == record
    assert say(one("tool l1 is laser"), "mm") == "tool l1 is laser"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("tool t1 is tape known 1000", "reads"),
        ("tool t1 is laser class II", "expected a class of a tape or a steel rule, got one of a laser"),
        ("tool t1 is tape class IV", "`I`, `II` or `III`"),
        ("tool t1 is tape known 0 reads 0", "known: expected more than zero"),
    ],
)
def test_a_tool_that_makes_no_sense_is_refused(line, says):
    with pytest.raises(DictationError) as refused:
        one(line)
    assert says in str(refused.value)


def test_a_calibration_in_a_file_has_both_lengths():
    half = {**msgspec.to_builtins(tape()), "reads": None}
    with pytest.raises(msgspec.ValidationError, match="a known length and what was read over it"):
        msgspec.convert(half, Tool)


@pytest.mark.parametrize("instrument", ["phone level", "other side"])
def test_new_instruments_are_said_of_a_reading(instrument):
    line = f"position s1 along 400 from left-back with {instrument}"
    assert one(line).instrument == instrument
    assert say(one(line), "mm") == line


def test_checks_of_a_laser_cross_are_said():
    line = "straightedge back up 880 from left-back: 50 310, 200 309.5 with line laser cross A"
    record = one(line)
    assert (record.cross, record.instrument, len(record.stations)) == ("a", "line laser", 2)
    assert one(say(record, "mm")).cross == "a"


def test_tools_are_shown_by_themselves_and_are_no_reading_of_the_room():
    survey = alcove(tape())
    groups = dict(grouped(survey))
    assert [record.id for record in groups["Tools"]] == ["t"]
    assert any(step.startswith("read something") for step in first_steps(survey))
    assert not any(step.startswith("read something") for step in first_steps(alcove(wide())))


# Observed


def test_a_calibration_is_a_reading_of_a_known_length_and_says_what_it_means():
    observed = observe(alcove(wide(), tape()))
    assert not observed.findings
    length, known = observed.readings
    assert isinstance(known, Known)
    assert (known.key, known.value, known.length, known.tool) == ("t", 1000.4, 1000.0, length.tool)
    # The directive's a, the seat, and fifths of a millimetre as typed.
    assert known.deviation == pytest.approx(math.hypot(0.15, 0.25, 0.2 / math.sqrt(12)))
    said = "calibration of t1, 1000.4 over 1000: tape, hooked, it shows too much"
    assert observed.what["t"].words == said


@pytest.mark.parametrize(("reads", "says"), [("999.6", "too little"), ("1000", "what is there")])
def test_what_a_calibration_shows_is_said(reads, says):
    assert observe(alcove(tape(reads=reads))).what["t"].words.endswith(f"it shows {says}")


def test_a_tool_without_a_calibration_reads_nothing():
    plain = put(Tool, id="t", name="t1", tape_class="I")
    observed = observe(alcove(plain))
    assert (observed.readings, observed.findings) == ((), ())


def test_a_readings_own_standard_deviation_shares_nothing():
    (length,) = observe(alcove(wide(sd=mm("0.3")))).readings
    assert (length.deviation, length.tool) == (0.3, None)


def width(*records):
    observed = observe(alcove(*records))
    assert not observed.findings
    room = know_room(observed.plan, observed.readings, observed.prior)
    ends = ("left-back", "back-right")
    joint = room.query(Distance("q", 1.0, 1.0, *ends, UP_MM, UP_MM).observe)
    return joint.mean[0], math.sqrt(joint.covariance[0, 0])


def test_an_alcove_read_by_a_calibrated_tape_comes_out_right():
    """A tape 0.4 mm long at its hook reads 1500.4 over 1500; that it is known takes its error off again.

    By hand: 0.4 mm at 1 m are 0.05 / 0.06 of it the zero's (variances 0.1^2 + 0.2^2 against 0.1^2), the rest
    the scale's; over 1.5 m that is 0.4 (5 + 1.5) / 6 = 0.433 mm.
    """
    careful = tape(sd=mm("0.001"))
    assert width(wide())[0] == pytest.approx(1500.4, abs=0.02)
    assert width(wide(), careful)[0] == pytest.approx(1500.4 - 0.433, abs=0.02)
    assert width(wide(), tape())[0] == pytest.approx(1500.4 - 0.433 * 0.06 / (0.06 + 0.0883), abs=0.02)


def test_a_calibration_makes_a_length_surer():
    """By hand, in mm: own 0.15, 0.25 and fifths; zero 0.1 and 0.2; scale 0.15 over 1.5 m."""
    own, zero, scale = 0.15**2 + 0.25**2 + 0.2**2 / 12, 0.1**2 + 0.2**2, 0.15**2
    assert width(wide())[1] == pytest.approx(math.sqrt(own + zero + scale), rel=0.02)
    careful = width(wide(), tape(sd=mm("0.001")))[1]
    assert math.sqrt(own) < careful < math.sqrt(own + 0.3 * (zero + scale))


def test_a_hook_that_is_off_says_nothing_of_lengths_between_marks():
    burned = wide(start="burned an inch")
    assert width(burned, tape(sd=mm("0.001")))[0] == pytest.approx(width(burned)[0], abs=1e-6)


def test_heights_below_the_line_and_places_to_the_left_share_no_zero():
    """There a tape that shows too much makes the number smaller, which the fitting's tool cannot say."""
    lines = (
        "position drain below 500 hooked",
        "position s1:left along -100 from m1 up 400 hooked",
        "position s1:right along -100 from m1 up 400 burned an inch",
        "position m1 along 100 from left-back up 400 hooked",
    )
    records = dictate(lines, Survey([JOB]))
    tools = {
        reading.feature: reading.tool and reading.tool.name
        for reading in observe(alcove(*records)).readings
        if reading.key[0] != "s1" and reading.key[1] != "height"
    }
    heights = [reading for reading in observe(alcove(*records)).readings if reading.key[1] == "height"]
    marks = "tape, between marks"
    assert tools == {"s1:left": None, "s1:right": marks, "m1": "tape, hooked"}
    assert [height.tool and height.tool.name for height in heights] == [None, "tape, hooked"]


def readings_of(*lines):
    """What lines of an alcove become, by key, widths that tie edges included."""
    return {reading.key[1:]: reading for reading in read(*lines)}


def read(*lines):
    observed = observe(alcove(*dictate(lines, Survey([JOB]))))
    assert not [finding for finding in observed.findings if finding.number < 600]
    return observed.readings


HOOK = {
    "own": math.hypot(
        0.15, 0.25, 1.5875 / math.sqrt(12)
    ),  # the directive's a, the seat, the job's sixteenths
    "zero": math.hypot(0.1, 0.2),  # its c, and wear
}


@pytest.mark.parametrize("end", ["drain", "back-right"], ids=["to a feature of the wall", "across"])
def test_lengths_taken_alike_share_their_tool(end):
    (length,) = read(f"length left-back to {end} up 400 reads 700 hooked")
    assert (length.deviation, length.tool.zero_sd) == pytest.approx((HOOK["own"], HOOK["zero"]))


def test_three_sides_share_one_tool():
    parts = readings_of("three sides left-back 900 left 1200 right diagonal 1500 up 400 hooked")
    assert [part.deviation for part in parts.values()] == pytest.approx([HOOK["own"]] * 3)
    assert len({part.tool for part in parts.values()}) == 1
    assert parts["diagonal",].tool.name == "tape, hooked"


def test_a_drop_stands_alone_with_all_parts_of_its_error():
    (level,) = read("drop floor back along 300 from left-back out 250 reads 900 hooked")
    level_line = 0.5
    expected = math.hypot(HOOK["own"], HOOK["zero"], 0.0001 * 900, level_line)
    assert level.deviation == pytest.approx(expected)


def test_a_width_of_a_feature_stands_alone_between_two_marks():
    casing = readings_of("position casing:far along 400 from back-right up 400")["far",]
    assert casing.tool is None  # 3 1/2 in: half of a, a seat, the job's sixteenths, and half of b over it
    assert casing.deviation == pytest.approx(math.hypot(0.15, 0.25, 1.5875 / math.sqrt(12), 0.0001 * 88.9))


def test_a_template_has_its_cut_its_graduation_and_its_touch():
    touch = read("template up 34 touches back right 2 back 22, back right 40 back 22, left right 0 back 3")[0]
    assert touch.sd == pytest.approx([math.hypot(0.5, 1.5875 / math.sqrt(12), 0.3)] * 3)


@pytest.mark.parametrize(("typed", "step"), [("3", 1.5875), ("3.1", 0.1)])
def test_gaps_and_offsets_are_as_good_as_they_were_typed(typed, step):
    """The alcove's job is to 1/16 in, 1.5875 mm; half of 0.5 mm/m is a spirit level's own."""
    lean = f"lean back along 20 from left-back low 100 high 1100 in {typed}"
    square = f"square left-back lies on back 600 other 400 gap {typed} at tip up 400"
    even = step / math.sqrt(12)
    assert read(lean)[0].deviation == pytest.approx(math.hypot(0.25, even, 0.3))
    gap = math.hypot(0.3, even) / 400
    assert read(square)[0].deviation == pytest.approx(math.hypot(1 / 32 / 24, gap))


# A laser's cross


def test_checks_of_one_cross_name_it_and_are_as_good_as_a_line():
    record = check("2 12 1/8, 50 12 1/32", id="k", cross="a", instrument="line laser")
    (gaps,) = observe(alcove(record)).readings
    assert isinstance(gaps, Gaps)
    assert gaps.cross == "a"
    # One rule for both: the finer, a thirty-second.
    assert gaps.sd == pytest.approx([math.hypot(0.5, 25.4 / 32 / math.sqrt(12))] * 2)


def test_a_check_without_a_cross_has_a_line_of_its_own():
    (gaps,) = observe(alcove(check("2 1/8, 50 1/16"))).readings
    assert gaps.cross is None


def test_a_wall_may_not_be_called_as_a_clause_begins():
    wall = Wall(id="w1", taken=JOB.taken, name="cross")
    assert say(wall, "mm") == 'wall "cross"'

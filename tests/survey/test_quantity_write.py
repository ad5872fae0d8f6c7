"""How lengths and angles are rounded and printed. Expected figures are by hand unless named."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.errors import QuantityError
from survey.quantity import (
    Step,
    read_angle,
    read_length,
    read_step,
    round_length,
    write_angle,
    write_both,
    write_length,
)
from survey.quantity.values import STEPS_MM
from survey.quantity.write import SNAP_MM

INCH = Fraction(127, 5)
SIXTEENTH, THIRTY_SECOND = read_step("1/16"), read_step("1/32")
WHOLE_MM, HALF_MM, TENTH_MM = read_step("1 mm"), read_step("0.5 mm"), read_step("0.1 mm")

STEPS = st.sampled_from([Step(mm, unit) for unit, steps in STEPS_MM.items() for mm in sorted(steps)])
DIRECTIONS = st.sampled_from(["nearest", "up", "down"])
STYLES = st.sampled_from(["plain", "typeset"])
LENGTHS = st.one_of(st.fractions(-60_000, 60_000, max_denominator=10_000), st.floats(-60_000.0, 60_000.0))

# --- nearest: NIST Handbook 44, 10.3, with the figures of trade-facts 6.4 ---------------------

NEAREST = [
    # decimal inches, printed at 1/16
    ("22.40625", "22 3/8 in"),  # midway of 22 6/16 and 22 7/16: the even one
    ("22.4063", "22 7/16 in"),
    ("22.46875", "22 1/2 in"),  # midway of 22 7/16 and 22 8/16: the even one
    ("19.2", "19 3/16 in"),
    ("0.703", "11/16 in"),
    ("0.71875", "3/4 in"),  # 23/32 is midway of 11/16 and 12/16: the even one
    ("22.996875", "23 in"),  # 22 31.9/32 carries to 23
    ("15.996875", "16 in"),  # 15 31.9/32 carries to 16 (issue 2)
    ("0.03125", "0 in"),  # 1/32 is midway of 0/16 and 1/16: zero is even
    ("-0.03125", "0 in"),  # and has no sign
    ("-22.40625", "-22 3/8 in"),
    ("-22.46875", "-22 1/2 in"),
    # Studs at 96/5 in on centre, to the nearest 1/16: trade-facts 6.1.
    ("38.4", "38 3/8 in"),
    ("57.6", "57 5/8 in"),
    ("76.8", "76 13/16 in"),
    ("96", "96 in"),
]


@pytest.mark.parametrize(("inches", "printed"), NEAREST, ids=[c[0] for c in NEAREST])
@pytest.mark.parametrize("number", [Fraction, float], ids=["exact", "float"])
def test_nearest_goes_to_the_even_graduation_when_midway(inches, printed, number):
    assert write_length(number(Fraction(inches) * INCH), SIXTEENTH) == printed


@pytest.mark.parametrize(
    ("mm", "step", "rounded"),
    [
        ("0.5", WHOLE_MM, "0"),
        ("1.5", WHOLE_MM, "2"),
        ("2.5", WHOLE_MM, "2"),
        ("-1.5", WHOLE_MM, "-2"),
        ("872.25", HALF_MM, "872"),  # 1744 halves, not 1745
        ("872.75", HALF_MM, "873"),
        ("872.35", TENTH_MM, "872.4"),
        ("872.45", TENTH_MM, "872.4"),
    ],
)
def test_metric_ties_go_to_the_even_graduation_too(mm, step, rounded):
    assert round_length(Fraction(mm), step) == Fraction(rounded)
    assert round_length(float(mm), step) == Fraction(rounded)


# --- directions -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "up", "down"),
    [
        ("872.1", "873", "872"),
        ("872.9", "873", "872"),
        ("872", "872", "872"),
        ("-872.1", "-872", "-873"),  # toward plus infinity, toward minus infinity
        ("0.0001", "1", "0"),
        ("-0.0001", "0", "-1"),
    ],
)
def test_up_and_down_are_toward_the_infinities(mm, up, down):
    assert round_length(Fraction(mm), WHOLE_MM, "up") == Fraction(up)
    assert round_length(Fraction(mm), WHOLE_MM, "down") == Fraction(down)


@pytest.mark.parametrize("direction", ["nearest", "up", "down"])
@pytest.mark.parametrize("noise", [1e-13, -1e-13, 9e-7, -9e-7])
def test_the_noise_of_a_float_does_not_cost_a_step(direction, noise):
    assert round_length(1.5875 + noise, SIXTEENTH, direction) == SIXTEENTH.mm


def test_more_than_noise_does():
    assert round_length(1.5875 + 2e-6, SIXTEENTH, "up") == 2 * SIXTEENTH.mm
    assert round_length(1.5875 - 2e-6, SIXTEENTH, "down") == 0


def test_an_exact_length_is_taken_at_its_word():
    assert round_length(Fraction("1.5875000000001"), SIXTEENTH, "up") == 2 * SIXTEENTH.mm


@pytest.mark.parametrize("noise", [1e-12, -1e-12, 9e-7, -9e-7])
def test_the_noise_of_a_float_does_not_decide_a_tie(noise):
    tie = 22.40625 * 25.4  # 569.11875 mm
    assert round_length(tie + noise, SIXTEENTH) == Fraction("22.375") * INCH


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("write", [round_length, write_length, write_both])
def test_what_is_no_number_is_refused(write, mm):
    with pytest.raises(QuantityError, match="expected a length in mm, got no number"):
        write(mm, SIXTEENTH)


@pytest.mark.parametrize("write", [round_length, write_length, write_both])
def test_an_unknown_direction_is_refused(write):
    with pytest.raises(ValueError, match="expected nearest, up or down, got 'UP'"):
        write(1.0, SIXTEENTH, "UP")


def test_an_unknown_style_is_refused():
    with pytest.raises(ValueError, match="expected plain or typeset, got 'fancy'"):
        write_length(1.0, SIXTEENTH, style="fancy")


# --- printing ---------------------------------------------------------------------------------

PRINTED = [
    # millimetres, step, direction, plain, typeset
    (INCH * Fraction(549, 16), SIXTEENTH, "nearest", "34 5/16 in", "34 5⁄16″"),
    (INCH / 2, SIXTEENTH, "nearest", "1/2 in", "1⁄2″"),  # 8/16
    (INCH * Fraction(-5, 4), SIXTEENTH, "nearest", "-1 1/4 in", "−1 1⁄4″"),
    (INCH * Fraction(-5, 16), SIXTEENTH, "nearest", "-5/16 in", "−5⁄16″"),
    (Fraction(0), SIXTEENTH, "nearest", "0 in", "0″"),
    (-0.0, SIXTEENTH, "nearest", "0 in", "0″"),
    (Fraction(-1, 10), SIXTEENTH, "up", "0 in", "0″"),
    (INCH * 16 - Fraction(1, 100), THIRTY_SECOND, "up", "16 in", "16″"),
    (INCH * 16 - Fraction(1, 100), THIRTY_SECOND, "down", "15 31/32 in", "15 31⁄32″"),
    (INCH * 100 + INCH / 128, read_step("1/128"), "nearest", "100 1/128 in", "100 1⁄128″"),
    (INCH * Fraction(3, 4), read_step("1/2"), "nearest", "1 in", "1″"),  # tie: 2 halves, not 1
    (872, WHOLE_MM, "nearest", "872 mm", "872 mm"),
    (872.0, HALF_MM, "nearest", "872 mm", "872 mm"),
    (872.3, HALF_MM, "up", "872.5 mm", "872.5 mm"),
    (872.3, HALF_MM, "down", "872 mm", "872 mm"),
    (872.34, TENTH_MM, "nearest", "872.3 mm", "872.3 mm"),
    (872.96, TENTH_MM, "nearest", "873 mm", "873 mm"),
    (-0.5, HALF_MM, "nearest", "-0.5 mm", "−0.5 mm"),
    (-872.5, WHOLE_MM, "down", "-873 mm", "−873 mm"),
    (60_000.0, WHOLE_MM, "nearest", "60000 mm", "60000 mm"),  # no thousands mark
]


@pytest.mark.parametrize(
    ("mm", "step", "direction", "plain", "typeset"),
    PRINTED,
    ids=[f"{c[3]} by {c[1]} {c[2]}" for c in PRINTED],
)
def test_a_length_is_printed(mm, step, direction, plain, typeset):
    assert write_length(mm, step, direction) == plain
    assert write_length(mm, step, direction, style="typeset") == typeset


BOTH = [
    # 34 5/16 in = 871.5375 mm; 872/25.4 in = 34.3307 in = 34 10.58/32; 0.5/25.4 = 0.63/32
    (871.5375, SIXTEENTH, "nearest", "plain", "34 5/16 in (871.5 mm)"),
    (871.5375, SIXTEENTH, "nearest", "typeset", "34 5⁄16″ (871.5 mm)"),
    (-31.75, SIXTEENTH, "nearest", "typeset", "−1 1⁄4″ (−31.8 mm)"),  # -31.75 is a tie
    (870.0, SIXTEENTH, "up", "plain", "34 5/16 in (871.5 mm)"),
    (871.5, SIXTEENTH, "down", "plain", "34 1/4 in (870 mm)"),  # 869.95 mm, a tie
    (872.0, WHOLE_MM, "nearest", "plain", "872 mm (34 11/32 in)"),
    (871.2, WHOLE_MM, "up", "typeset", "872 mm (34 11⁄32″)"),
    (0.4, HALF_MM, "nearest", "plain", "0.5 mm (1/32 in)"),
    (0.0, HALF_MM, "nearest", "plain", "0 mm (0 in)"),
]


@pytest.mark.parametrize(("mm", "step", "direction", "style", "printed"), BOTH, ids=[c[4] for c in BOTH])
def test_the_bracket_says_the_rounded_figure_in_the_other_unit(mm, step, direction, style, printed):
    assert write_both(mm, step, direction, style) == printed


ANGLES = [
    (math.radians(89.53), "89.53°", "89.53°"),
    (math.pi / 2, "90.00°", "90.00°"),
    (math.radians(-0.5), "-0.50°", "−0.50°"),
    (0.0, "0.00°", "0.00°"),
    (-1e-9, "0.00°", "0.00°"),  # no minus before nothing
    (math.atan(1 / 16), "3.58°", "3.58°"),  # 1.5 in 24; atan(0.0625) = 3.5763 degrees
]


@pytest.mark.parametrize(("radians", "plain", "typeset"), ANGLES, ids=[c[1] for c in ANGLES])
def test_an_angle_is_printed_with_two_decimals(radians, plain, typeset):
    assert write_angle(radians) == plain
    assert write_angle(radians, style="typeset") == typeset


@pytest.mark.parametrize("radians", [math.nan, math.inf, -math.inf])
def test_an_angle_that_is_no_number_is_refused(radians):
    with pytest.raises(QuantityError, match="expected an angle in radians, got no number"):
        write_angle(radians)


# --- properties -------------------------------------------------------------------------------


@given(count=st.integers(-500_000, 500_000), step=STEPS, style=STYLES, direction=DIRECTIONS)
def test_print_then_read_is_the_identity_on_graduations(count, step, style, direction):
    mm = count * step.mm
    other = "mm" if step.unit == "in" else "in"
    read = read_length(write_length(mm, step, direction, style), other)
    assert (read.mm, read.unit) == (mm, step.unit)


@given(mm=LENGTHS, step=STEPS, style=STYLES, direction=DIRECTIONS)
def test_what_is_printed_is_the_rounded_length(mm, step, style, direction):
    read = read_length(write_length(mm, step, direction, style), step.unit)
    assert read.mm == round_length(mm, step, direction)


@given(mm=LENGTHS, step=STEPS, direction=DIRECTIONS)
def test_plain_is_ascii(mm, step, direction):
    assert write_both(mm, step, direction).isascii()


@given(mm=LENGTHS, step=STEPS)
def test_rounding_brackets_the_length_within_one_step(mm, step):
    down, nearest, up = (round_length(mm, step, way) for way in ("down", "nearest", "up"))
    noise = SNAP_MM if isinstance(mm, float) else 0
    assert down - noise <= Fraction(mm) <= up + noise
    assert up - down in (0, step.mm)
    assert nearest in (down, up)
    assert abs(nearest - Fraction(mm)) <= step.mm / 2 + noise


@given(mm=LENGTHS, step=STEPS, direction=DIRECTIONS)
def test_rounding_twice_changes_nothing(mm, step, direction):
    once = round_length(mm, step, direction)
    assert (once / step.mm).denominator == 1
    assert round_length(once, step, direction) == once
    assert round_length(float(once), step, direction) == once


@given(mm=LENGTHS, step=STEPS)
def test_a_negative_length_rounds_as_its_mirror(mm, step):
    assert round_length(-mm, step) == -round_length(mm, step)
    assert round_length(-mm, step, "up") == -round_length(mm, step, "down")


@given(count=st.integers(-500_000, 500_000), step=STEPS)
def test_midway_goes_to_the_even_count(count, step):
    midway = (count + Fraction(1, 2)) * step.mm
    even = count if count % 2 == 0 else count + 1
    assert round_length(midway, step) == even * step.mm
    assert round_length(float(midway), step) == even * step.mm


@given(hundredths=st.integers(-36_000, 36_000), style=STYLES)
def test_print_then_read_is_the_identity_on_angles(hundredths, style):
    printed = write_angle(math.radians(hundredths / 100), style)
    assert read_angle(printed).degrees == Fraction(hundredths, 100)

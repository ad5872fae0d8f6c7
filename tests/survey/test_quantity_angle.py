"""How angles and slopes are read. Expected figures are worked by hand unless named."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.errors import QuantityError
from survey.quantity import Angle, read_angle

DEGREES = [
    ("89.5", Fraction(179, 2)),
    ("89,5", Fraction(179, 2)),
    ("89,125", Fraction(713, 8)),  # no thousands of degrees, so no doubt about the comma
    ("89.5°", Fraction(179, 2)),
    ("89.5 °", Fraction(179, 2)),
    ("89.5º", Fraction(179, 2)),
    ("89.5 deg", Fraction(179, 2)),
    ("89.5 deg.", Fraction(179, 2)),
    ("89.5 degrees", Fraction(179, 2)),
    ("1 degree", Fraction(1)),
    ("22 1/2°", Fraction(45, 2)),
    ("22½", Fraction(45, 2)),
    ("89° 30'", Fraction(179, 2)),
    ("89 deg 30'", Fraction(179, 2)),
    ("89° 30.5'", Fraction(89) + Fraction(61, 120)),
    ("89°30′15″", Fraction(89) + Fraction(121, 240)),  # 30' 15" = 1815" of 3600"
    ("89° 30' 15.5\"", Fraction(89) + Fraction(3631, 7200)),
    ("-0.5", Fraction(-1, 2)),
    ("−1° 30'", Fraction(-3, 2)),
    (" 90 ", Fraction(90)),
    ("360", Fraction(360)),
]


@pytest.mark.parametrize(("text", "degrees"), DEGREES, ids=[repr(c[0]) for c in DEGREES])
def test_degrees_are_read_exactly(text, degrees):
    angle = read_angle(text)
    assert angle == Angle(text, degrees=degrees)
    assert angle.radians == pytest.approx(float(degrees) * math.pi / 180, rel=1e-15)


SLOPES = [
    ("1.5 in 24", Fraction(1, 16)),
    ("1,5 in 24", Fraction(1, 16)),
    ("1/8 in 24", Fraction(1, 192)),
    ("-1/16 in 48", Fraction(-1, 768)),
    ("− 1⁄16 in 48", Fraction(-1, 768)),
    ("1 1/2 IN 24", Fraction(1, 16)),
    ("1½ in 24½", Fraction(3, 49)),
    ("3in1000", Fraction(3, 1000)),
    ("0 in 24", Fraction(0)),
]


@pytest.mark.parametrize(("text", "slope"), SLOPES, ids=[repr(c[0]) for c in SLOPES])
def test_a_slope_is_rise_over_run(text, slope):
    angle = read_angle(text)
    assert angle == Angle(text, slope=slope)
    assert angle.radians == pytest.approx(math.atan2(slope.numerator, slope.denominator))


# trade-facts 5.6 (computed there): a level's 0.1 degree over three lengths, in inches, and a
# spirit vial's 0.5 mm/m in degrees.
@pytest.mark.parametrize(
    ("slope", "degrees", "within"),
    [
        ("0.042 in 24", 0.1, 0.0012),  # half of the last printed digit, as an angle
        ("0.084 in 48", 0.1, 0.0006),
        ("0.105 in 60", 0.1, 0.0005),
        ("0.5 in 1000", 0.029, 0.0005),
    ],
)
def test_slopes_agree_with_the_published_angles_of_levels(slope, degrees, within):
    assert math.degrees(read_angle(slope).radians) == pytest.approx(degrees, abs=within)


ANGLES_REFUSED = [
    ("89° 60'", 4, "expected minutes below 60, got 60 or more: carry them over"),
    ("89° 30' 60\"", 8, "expected seconds below 60"),
    ("89° 30", 6, "expected the minute mark ' after the minutes, got the end"),
    ("89° 30' 15", 10, 'expected the second mark " after the seconds, got the end'),
    ('89° 15"', 6, "expected the minute mark ' after the minutes, got '\"'"),
    ("89.5° 30'", 2, "expected whole degrees before minutes"),
    ("22½° 30'", 2, "expected whole degrees before minutes"),
    ("89° 30.5' 15\"", 6, "expected whole minutes before seconds"),
    ("89° -30'", 4, "expected the end, got '-': a minus stands before the whole"),
    ("89 30'", 3, "got '30'"),
    ("90'", 2, "expected °, deg, 'in' and a run, or the end"),
    ("1.57 rad", 5, "got 'rad'"),
    ("90 degs", 3, "got 'degs'"),
    ("361", 0, "expected at most 360 degrees, got more"),
    ("-360.1", 1, "expected at most 360 degrees"),
    ("1/8 in 0", 7, "expected a run above 0, got 0"),
    ("1/8 in", 6, "expected a number, got the end"),
    ("1/8 in -24", 7, "expected a number, got '-'"),
    ("1/8 in 24 in", 10, "the end after the run, which is in the unit of the rise, got 'in'"),
    ('1/8" in 24', 3, "got '\"'"),
    ("1/8 inch 24", 4, "got 'inch'"),
    ("1,250 in 24", 1, "got '1,250' where it may mark thousands"),
    ("1 in 1,250", 6, "got '1,250' where it may mark thousands"),
    ("1/3 in 24", 2, "got one over 3"),
    ("", 0, "got nothing: type it as 89.5 or 1/8 in 24"),
    ("nan", 0, "expected a number, got 'nan'"),
    ("1e2", 1, "got 'e'"),
    ("٩٠", 0, "write the digits 0 to 9"),
    ("9" * 65, 64, "expected at most 64 characters, got 65"),
]


@pytest.mark.parametrize(
    ("text", "place", "wording"), ANGLES_REFUSED, ids=[repr(c[0])[:30] for c in ANGLES_REFUSED]
)
def test_an_angle_is_refused_in_words_that_point_at_the_place(text, place, wording):
    with pytest.raises(QuantityError, match=wording) as caught:
        read_angle(text)
    assert caught.value.place == place


@pytest.mark.parametrize("values", [{}, {"degrees": Fraction(1), "slope": Fraction(1)}])
def test_an_angle_has_exactly_one_value(values):
    with pytest.raises(ValueError, match="give exactly one"):
        Angle("1", **values)


@given(
    degrees=st.integers(0, 359),
    minutes=st.integers(0, 59),
    seconds=st.integers(0, 59),
    sign=st.sampled_from([("", 1), ("-", -1)]),
)
def test_degrees_minutes_and_seconds_add_up(degrees, minutes, seconds, sign):
    angle = read_angle(f"{sign[0]}{degrees}° {minutes}' {seconds}\"")
    assert angle.degrees == sign[1] * Fraction(degrees * 3600 + minutes * 60 + seconds, 3600)


PIECES = st.sampled_from(
    [
        *"0123456789",
        *" -/.,'\"eE+°½⅓′″⁄−\u00a0\t²٣",
        "in",
        "ft",
        "mm",
        "cm",
        "m",
        "deg",
        "16",
        "nan",
    ]
)
ANYTHING = st.one_of(st.text(), st.lists(PIECES, max_size=14).map("".join))


def outcome(read, *arguments):
    """What came out, or the refusal; any other error fails the test."""
    try:
        return read(*arguments)
    except QuantityError as refusal:
        return refusal


@given(text=ANYTHING)
def test_any_text_is_an_angle_or_a_refusal_inside_the_text(text):
    came = outcome(read_angle, text)
    if isinstance(came, QuantityError):
        assert 0 <= came.place <= len(came.text)
    else:
        assert math.isfinite(came.radians)

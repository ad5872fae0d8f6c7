"""How lengths are read. Expected figures are worked by hand unless named."""

import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import survey.quantity
from survey.errors import QuantityError, SurveyError
from survey.quantity import read_length

INCH = Fraction(127, 5)  # 25.4 mm exactly
TAPE = INCH * Fraction(549, 16)  # 34 5/16 in = 549/16 in, in every way of writing it

LENGTHS = [
    # typed, what a bare number means, mm, unit
    ("34 5/16", "in", TAPE, "in"),
    ('34-5/16"', "in", TAPE, "in"),
    ("34-5/16 in", "mm", TAPE, "in"),
    ("34 5/16 in.", "mm", TAPE, "in"),
    ("34 5/16 inches", "mm", TAPE, "in"),
    ("34 5/16 IN", "mm", TAPE, "in"),
    ("34  5/16", "in", TAPE, "in"),
    ("34.3125", "in", TAPE, "in"),
    ("2' 10 5/16\"", "in", TAPE, "ft"),
    ("2' 10-5/16\"", "mm", TAPE, "ft"),
    ("2ft 10-5/16in", "in", TAPE, "ft"),
    ("2 ft. 10 5/16 in.", "in", TAPE, "ft"),
    ("2 feet 10 5/16 inches", "in", TAPE, "ft"),
    ("2'-10 5/16\"", "in", TAPE, "ft"),
    ("2'10.3125\"", "in", TAPE, "ft"),
    ("2' 10 5/16", "mm", TAPE, "ft"),
    ("2′ 10 5⁄16″", "in", TAPE, "ft"),
    ("2’ 10 5/16”", "in", TAPE, "ft"),
    ("34 5⁄16″", "mm", TAPE, "in"),
    ("34\u20095/16\u00a0in", "mm", TAPE, "in"),
    ("34\u202f5/16", "in", TAPE, "in"),
    ("34\u20105/16", "in", TAPE, "in"),
    ("34\u20135/16", "in", TAPE, "in"),
    ("  34 5/16\t\n", "in", TAPE, "in"),
    ("2' ", "in", INCH * 24, "ft"),
    ("2'", "mm", INCH * 24, "ft"),
    ("2", "ft", INCH * 24, "ft"),
    ("2 1/2 ft", "in", INCH * 30, "ft"),
    ("2.5'", "in", INCH * 30, "ft"),
    ("2' 11 127/128\"", "in", INCH * 36 - INCH / 128, "ft"),
    ("2' 1/2\"", "in", INCH * Fraction(49, 2), "ft"),
    ("2' ½", "in", INCH * Fraction(49, 2), "ft"),
    ("2'-½\"", "in", INCH * Fraction(49, 2), "ft"),
    ("0' 0\"", "in", Fraction(0), "ft"),
    ("5/16", "in", INCH * Fraction(5, 16), "in"),
    ("8/16", "in", INCH / 2, "in"),
    ("3 0/16", "in", INCH * 3, "in"),
    (".75", "in", INCH * Fraction(3, 4), "in"),
    ("34½", "in", INCH * Fraction(69, 2), "in"),
    ("34 ⅝", "in", INCH * Fraction(277, 8), "in"),
    ("34-⅝″", "mm", INCH * Fraction(277, 8), "in"),
    ("¼", "in", INCH / 4, "in"),
    ("¾", "in", INCH * Fraction(3, 4), "in"),
    ("⅛", "in", INCH / 8, "in"),
    ("⅜", "in", INCH * Fraction(3, 8), "in"),
    ("⅞", "in", INCH * Fraction(7, 8), "in"),
    ("-1-1/4", "in", INCH * Fraction(-5, 4), "in"),  # sign outside: trade-facts 6.4
    ("- 1 1/4", "in", INCH * Fraction(-5, 4), "in"),
    ("−1 1⁄4″", "mm", INCH * Fraction(-5, 4), "in"),
    ("-2' 6\"", "in", INCH * -30, "ft"),
    ("-½", "in", INCH / -2, "in"),
    ("+1/8", "in", INCH / 8, "in"),
    ("-0", "in", Fraction(0), "in"),
    ("0", "mm", Fraction(0), "mm"),
    ("872", "mm", Fraction(872), "mm"),
    ("872 mm", "in", Fraction(872), "mm"),
    ("872 MM", "in", Fraction(872), "mm"),
    ("872.5mm", "in", Fraction(1745, 2), "mm"),
    ("872,5", "mm", Fraction(1745, 2), "mm"),
    ("-872,5 mm", "in", Fraction(-1745, 2), "mm"),
    ("87,2 cm", "in", Fraction(872), "cm"),
    ("87.2", "cm", Fraction(872), "cm"),
    ("0,872 m", "in", Fraction(872), "m"),
    ("0.872", "m", Fraction(872), "m"),
    (",872 m", "in", Fraction(872), "m"),
    ("1,25 m", "in", Fraction(1250), "m"),
    ("1.250 m", "in", Fraction(1250), "m"),
    ("1234,567 mm", "in", Fraction(1234567, 1000), "mm"),
    ("0,1", "mm", Fraction(1, 10), "mm"),
    ("1" * 64, "mm", Fraction(int("1" * 64)), "mm"),
    # 568 mm and 1' 10-3/8": ways to type that trade-facts 6.4 names.
    ("568 mm", "in", Fraction(568), "mm"),
    ("1' 10-3/8\"", "in", INCH * Fraction(179, 8), "ft"),
]


@pytest.mark.parametrize(("text", "bare", "mm", "unit"), LENGTHS, ids=[repr(c[0]) for c in LENGTHS])
def test_a_length_is_read_exactly_and_keeps_its_text_and_unit(text, bare, mm, unit):
    length = read_length(text, bare)
    assert (length.mm, length.unit, length.text) == (mm, unit, text)
    assert isinstance(length.mm, Fraction)


REFUSED = [
    # typed, what a bare number means, place of the caret, wording
    ("3/16/2", "in", 4, "got '/': write a fraction as 5/16, with one bar"),
    ("5 5", "in", 2, "expected a fraction, a unit or the end, got '5'"),
    ("34-5", "in", 2, "got '-': a minus stands before the whole"),
    ("34 5/0", "in", 5, "one of 2, 4, 8, 16, 32, 64, 128, got one over 0"),
    ("34 5/3", "in", 5, "got one over 3: use one of these, or a decimal"),
    ("5/10", "in", 2, "got one over 10"),
    ("5/256", "in", 2, "got one over 256"),
    ("3/1", "in", 2, "got one over 1"),
    ("34 ⅓", "in", 3, "got one over 3"),
    ("1e3", "mm", 1, "expected a plain number, got 'e': write it without powers"),
    ("1E3", "in", 1, "without powers"),
    ('34"mm', "in", 3, "expected the end after the unit, got 'mm'"),
    ('872 mm"', "in", 6, "expected the end after the unit, got '\"'"),
    ("872 mm cm", "in", 7, "expected the end after the unit, got 'cm'"),
    ("872 mm 5", "in", 7, "expected the end after the unit, got '5'"),
    ('34" 5/16', "in", 4, "expected the end after the unit, got '5/16'"),
    ("34''", "in", 3, "expected the end after the unit"),
    ("87,2,1", "mm", 4, "one decimal mark with digits behind it, and no thousands marks"),
    ("1.2.3", "in", 3, "one decimal mark"),
    ("1,250.5 mm", "in", 5, "no thousands marks"),
    ("1.250,5 mm", "in", 5, "no thousands marks"),
    ("34.", "in", 2, "with digits behind it"),
    ("34,5", "in", 2, "expected a decimal point with in, got a comma"),
    ('34,5"', "mm", 2, "expected a decimal point with in, got a comma"),
    ("2,5 ft", "mm", 1, "expected a decimal point with ft, got a comma"),
    ("2' 3,5\"", "in", 4, "expected a decimal point with in, got a comma"),
    ("1,250 mm", "in", 1, "got '1,250' where it may mark thousands: write 1250 or 1.25\n"),
    ("1,250", "mm", 1, "write 1250 or 1.25\n"),
    ("12,000 m", "mm", 2, "write 12000 or 12\n"),
    ("-1,250 cm", "mm", 2, "write 1250 or 1.25\n"),
    ("12 3/4 1/2", "in", 7, "got '1/2': write one number"),
    ("5.5 1/2", "in", 4, "got '1/2': write one number"),
    ("34½ ½", "in", 4, "got '½': write one number"),
    ("34.5/16", "in", 4, "got '/'"),
    ("3 17/16", "in", 2, "a fraction of less than 1, got 17/16"),
    ("3 16/16", "in", 2, "a fraction of less than 1, got 16/16"),
    ("345/16", "in", 0, "got 345/16: write the whole number, a space, then the rest"),
    ("2' 17/16\"", "in", 3, "a fraction of less than 1, got 17/16"),
    ("2' 14\"", "in", 3, "expected less than 12 inches after feet"),
    ("2' 12", "in", 3, "expected less than 12 inches after feet"),
    ("2'-12 1/2", "in", 3, "expected less than 12 inches after feet"),
    ("2' -3\"", "in", 3, "a minus stands before the whole"),
    ("2' - 3\"", "in", 3, "a minus stands before the whole"),
    ("34 - 5/16", "in", 3, "a minus stands before the whole; a hyphen touches what it joins"),
    ("34 -5/16", "in", 3, "a hyphen touches what it joins"),
    ("34- 5/16", "in", 2, "a hyphen touches what it joins"),
    ("2.5' 3\"", "in", 1, "expected whole feet before inches"),
    ("2 1/2' 3\"", "in", 2, "expected whole feet before inches"),
    ("2' 10 mm", "in", 6, "expected inches after feet, got 'mm'"),
    ("2' 3'", "in", 4, 'expected inches after feet, got "\'"'),
    ("2' 3\" 4", "in", 6, "expected the end after the unit, got '4'"),
    ("34\" 2'", "in", 4, "expected the end after the unit"),
    ('2 10"', "ft", 2, "got '10'"),
    ("12 1/2 mm", "in", 3, "expected a decimal in mm, got a fraction: write 12.5"),
    ("12½ cm", "in", 2, "expected a decimal in cm, got a fraction"),
    ("12 1/2", "mm", 3, "in mm, which a bare number means here, got a fraction"),
    ("", "in", 0, "expected a number, got nothing: type it as"),
    (" \t ", "in", 0, "expected a number, got nothing"),
    ("-", "in", 1, "expected a number, got the end: type the rest"),
    ("--5", "in", 1, "expected a number, got '-'"),
    ("+-5", "in", 1, "expected a number, got '-'"),
    ("/16", "in", 0, "expected a number, got '/'"),
    ("5/", "in", 1, "got '/': write a fraction as 5/16"),
    ("5/ 16", "in", 1, "no spaces"),
    ("mm", "in", 0, "expected a number, got 'mm'"),
    ("nan", "mm", 0, "expected a number, got 'nan'"),
    ("inf", "mm", 0, "expected a number, got 'inf'"),
    ("-inf", "mm", 1, "expected a number, got 'inf'"),
    ("5 yd", "in", 2, "expected a unit of in, ft, mm, cm or m, got 'yd'"),
    ("872 mm.", "in", 4, "cm or m, got 'mm.'"),
    ("5 µm", "in", 2, "expected a fraction, a unit or the end, got 'µm'"),
    ("0x10", "mm", 1, "cm or m, got 'x'"),
    ("1_000", "mm", 1, "got '_'"),
    ("1 000 mm", "in", 2, "got '000'"),
    ("34\t5/16", "in", 2, r"got '\\t': write a space"),
    ("34\n5/16", "in", 2, r"got '\\n'"),
    ("34 + 1/2", "in", 3, "write the sum"),
    ("٣٤", "in", 0, "expected a number, got '٣٤': write the digits 0 to 9"),
    ("34 ٣/16", "in", 3, "write the digits 0 to 9"),
    ("３４", "mm", 0, "write the digits 0 to 9"),
    ("34²", "mm", 2, "got '²': write the digits 0 to 9"),
    ("1" * 65, "mm", 64, "expected at most 64 characters, got 65: type one quantity"),
]


@pytest.mark.parametrize(
    ("text", "bare", "place", "wording"), REFUSED, ids=[repr(c[0])[:30] for c in REFUSED]
)
def test_a_length_is_refused_in_words_that_point_at_the_place(text, bare, place, wording):
    with pytest.raises(QuantityError, match=wording) as caught:
        read_length(text, bare)
    assert caught.value.place == place


def test_a_refusal_keeps_the_text_and_shows_a_caret_under_the_place():
    with pytest.raises(QuantityError) as caught:
        read_length("34\u20095⁄0″", "in")
    assert caught.value.text == "34\u20095⁄0″"
    assert str(caught.value).splitlines()[1:] == ["  34\u20095⁄0″", "       ^"]
    assert isinstance(caught.value, SurveyError)


def test_a_pasted_book_is_not_carried_in_the_error():
    with pytest.raises(QuantityError, match="got 1000000") as caught:
        read_length("9" * 1_000_000, "in")
    assert caught.value.text == "9" * 64 + "…"


def test_an_unknown_unit_for_bare_numbers_is_refused():
    with pytest.raises(ValueError, match="expected a unit of in, ft, mm, cm, m, got 'yd'"):
        read_length("34", "yd")


# --- properties of reading lengths ------------------------------------------------------------

SPACES = st.sampled_from([" ", "  ", "\u00a0", "\u2009", "\u202f"])
BARS = st.sampled_from(["/", "⁄"])
BARE = st.sampled_from(["in", "ft", "mm", "cm", "m"])


@st.composite
def fractions_as_typed(draw):
    """A fraction below 1 that a rule carries, not always reduced, and how it is typed."""
    under = draw(st.sampled_from([2, 4, 8, 16, 32, 64, 128]))
    over = draw(st.integers(0, under - 1))
    return Fraction(over, under), f"{over}{draw(BARS)}{under}"


@given(
    whole=st.integers(0, 9999),
    part=fractions_as_typed(),
    joint=st.one_of(SPACES, st.sampled_from(["-", "‐", "–"])),
    sign=st.sampled_from([("", 1), ("-", -1), ("−", -1)]),
    mark=st.sampled_from(['"', "″", "”", " in", " inches", "\u202fin."]),
    bare=BARE,
)
def test_whole_and_fraction_add_up_in_every_spelling(whole, part, joint, sign, mark, bare):
    length = read_length(f"{sign[0]}{whole}{joint}{part[1]}{mark}", bare)
    assert length.mm == sign[1] * (whole + part[0]) * INCH
    assert length.unit == "in"


@given(
    feet=st.integers(0, 199),
    inches=st.integers(0, 11),
    part=fractions_as_typed(),
    foot_mark=st.sampled_from(["'", "′", "’", " ft", "ft.", " feet"]),
    joint=st.one_of(SPACES, st.just("-")),
    inch_mark=st.sampled_from(['"', "″", " in", ""]),
    bare=BARE,
)
def test_feet_and_inches_add_up_in_every_spelling(feet, inches, part, foot_mark, joint, inch_mark, bare):
    length = read_length(f"{feet}{foot_mark}{joint}{inches} {part[1]}{inch_mark}", bare)
    assert length.mm == (feet * 12 + inches + part[0]) * INCH


@given(
    thousandths=st.integers(-60_000_000, 60_000_000),
    places=st.integers(1, 3),
    unit=st.sampled_from([("mm", 1), ("cm", 10), ("m", 1000)]),
    mark=st.sampled_from([".", ","]),
)
def test_a_decimal_is_read_as_written_or_refused_as_thousands(thousandths, places, unit, mark):
    written = f"{thousandths / 1000:.{places}f}"
    text = f"{written.replace('.', mark)} {unit[0]}"
    whole, decimals = written.lstrip("-").split(".")
    if mark == "," and len(decimals) == 3 and len(whole) <= 3 and whole != "0":
        with pytest.raises(QuantityError, match="may mark thousands"):
            read_length(text, "in")
    else:
        assert read_length(text, "in").mm == Fraction(written) * unit[1]


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


@given(text=ANYTHING, bare=BARE)
@example(text="\ud800", bare="in")
@example(text="1/2" * 30, bare="in")
def test_any_text_is_a_length_or_a_refusal_inside_the_text(text, bare):
    came = outcome(read_length, text, bare)
    assert came.text == (text if len(text) <= 64 else text[:64] + "…")
    if isinstance(came, QuantityError):
        assert 0 <= came.place <= len(came.text)
    else:
        assert any(digit in text for digit in "0123456789½¼¾⅛⅜⅝⅞")


# --- the package ------------------------------------------------------------------------------


def test_the_package_lists_what_it_gives():
    given_names = {
        name
        for name, thing in vars(survey.quantity).items()
        if not name.startswith("_") and type(thing).__name__ != "module"
    }
    assert given_names == set(survey.quantity.__all__)


def test_importing_quantities_loads_nothing_but_the_standard_library():
    code = (
        "import sys; before = set(sys.modules); import survey.quantity;"
        "new = {m.split('.')[0] for m in set(sys.modules) - before};"
        "print(sorted(new - set(sys.stdlib_module_names)))"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "['survey']"

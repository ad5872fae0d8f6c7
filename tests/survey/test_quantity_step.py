"""How smallest fractions are read. Expected figures are worked by hand unless named."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey.errors import QuantityError
from survey.quantity import Step, read_step

STEPS = [
    # typed, millimetres (1/16, 1/32, 1/64 as trade-facts 6.4 prints them), unit, canonical text
    ("1/2", "12.7", "in", "1/2"),
    ("1/4", "6.35", "in", "1/4"),
    ("1/8", "3.175", "in", "1/8"),
    ("1/16", "1.5875", "in", "1/16"),
    ("1/32", "0.79375", "in", "1/32"),
    ("1/64", "0.396875", "in", "1/64"),
    ("1/128", "0.1984375", "in", "1/128"),
    ('1/16"', "1.5875", "in", "1/16"),
    (" 1⁄16″ ", "1.5875", "in", "1/16"),
    ("1/16 in", "1.5875", "in", "1/16"),
    ("2/32", "1.5875", "in", "1/16"),
    ("⅛", "3.175", "in", "1/8"),
    ("1 mm", "1", "mm", "1 mm"),
    ("1mm", "1", "mm", "1 mm"),
    ("0.5 mm", "0.5", "mm", "0.5 mm"),
    ("0,5 mm", "0.5", "mm", "0.5 mm"),
    ("0.1 mm", "0.1", "mm", "0.1 mm"),
]


@pytest.mark.parametrize(("text", "mm", "unit", "said"), STEPS, ids=[repr(c[0]) for c in STEPS])
def test_a_step_is_read_exactly_and_says_its_canonical_text(text, mm, unit, said):
    step = read_step(text)
    assert step == Step(Fraction(mm), unit)
    assert str(step) == said


STEPS_REFUSED = [
    ("0.5", 0, "expected 1/2, 1/4, .* or 0.1 mm, got '0.5'"),  # half an inch, half a millimetre?
    (" 1 ", 1, "got '1'"),
    ("1 in", 0, "got '1 in'"),
    ("3/16", 0, "got '3/16'"),
    ("-1/16", 0, "got '-1/16'"),
    ("0/16", 0, "got '0/16'"),
    ("1 1/16", 0, "got '1 1/16'"),
    ("0 mm", 0, "got '0 mm'"),
    ("0.2 mm", 0, "got '0.2 mm'"),
    ("0.1 cm", 0, "got '0.1 cm'"),
    ("1/16'", 0, 'got "1/16\'"'),
    ("1/256", 2, "got one over 256"),
    ("1/10", 2, "got one over 10"),
    ("1/2 mm", 0, "expected a decimal in mm, got a fraction"),
    ("", 0, "type it as 1/16 or 0.5 mm"),
    ("1/16 1/32", 5, "got '1/32'"),
]


@pytest.mark.parametrize(("text", "place", "wording"), STEPS_REFUSED, ids=[repr(c[0]) for c in STEPS_REFUSED])
def test_a_step_is_refused_in_words_that_point_at_the_place(text, place, wording):
    with pytest.raises(QuantityError, match=wording) as caught:
        read_step(text)
    assert caught.value.place == place


@pytest.mark.parametrize(
    ("mm", "unit"),
    [("0", "in"), ("1", "in"), ("1.5875", "mm"), ("25.4", "in"), ("-1", "mm"), ("1", "cm")],
)
def test_a_step_that_no_rule_carries_cannot_be_made(mm, unit):
    with pytest.raises(ValueError, match="use one of these"):
        Step(Fraction(mm), unit)


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
def test_any_text_is_a_step_or_a_refusal_inside_the_text(text):
    came = outcome(read_step, text)
    if isinstance(came, QuantityError):
        assert 0 <= came.place <= len(came.text)
    else:
        assert read_step(str(came)) == came

"""What a slip probably was. Sizes by hand; which slips are common is common practice, no source."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from survey.errors import QuantityError
from survey.quantity import Length, LengthUnit, read_length, read_step
from survey.slips import likely_slips

IN = 25.4
SIXTEENTH, MM = read_step("1/16"), read_step("1 mm")


def asked(typed: str, unit: LengthUnit, slip_mm: float, sd: float = 0.2, **more: object) -> tuple[str, ...]:
    step = SIXTEENTH if unit in ("in", "ft") else MM
    return likely_slips(read_length(typed, unit), slip_mm, sd, step, **more)  # type: ignore[arg-type]


# Typed numbers have no digit that could be swapped or misread for the same amount, unless that is the case.
CASES = [
    ("45 1/2", "in", IN, "an inch burned at the hook end and not taken off?"),
    ("45 1/2", "in", -IN, "an inch misread, or taken off twice?"),
    ("45 1/2", "in", 12 * IN, "a foot misread?"),
    ("45 1/2", "in", -12 * IN, "a foot misread?"),
    ("45 1/2", "in", IN / 2, "a slipped half inch?"),
    ("45 1/2", "in", -IN / 4, "a slipped quarter?"),
    ("45 1/2", "in", IN / 8, "a slipped eighth?"),
    ("45 1/2", "in", -IN / 16, "the wrong side of the 1/16?"),
    ("45 1/2", "in", -2.75 * IN, "the length of the tape's case forgotten?"),
    ("45 1/2", "in", -80.0, "the length of the tape's case forgotten?"),
    ("45 1/2", "in", 3.0 * IN, "the length of the tape's case added without need?"),
    ("34", "in", -9 * IN, "two digits swapped: 43 put down as 34?"),
    ("45 13/32", "in", -18 / 32 * IN, "two digits swapped: 45 31/32 put down as 45 13/32?"),
    ("45.12", "in", -0.09 * IN, "two digits swapped: 45.21 put down as 45.12?"),
    ("56 1/2", "in", -3 * IN, "a digit misread: 59 1/2 put down as 56 1/2?"),
    ("83 1/2", "in", 50 * IN, "a digit misread: 33 1/2 put down as 83 1/2?"),
    ("45 7/8", "in", 0.75 * IN, "a digit misread: 45 1/8 put down as 45 7/8?"),
    ("45", "in", 45 * (IN - 10), "centimetres put down as inches?"),
    ("45", "cm", 45 * (10 - IN), "inches put down as centimetres?"),
    ("45", "cm", 45 * (10 - 1), "millimetres put down as centimetres?"),
    ("45", "mm", 45 * (1 - 10), "centimetres put down as millimetres?"),
    ("1254", "mm", 100.0, "10 cm burned at the hook end and not taken off?"),
    ("1254", "mm", -100.0, "10 cm misread, or taken off twice?"),
    ("125,4 cm", "mm", 1000.0, "a metre misread?"),
    ("1254", "mm", -10.0, "a centimetre misread?"),
    ("1254", "mm", 5.0, "half a centimetre misread?"),
    ("1254", "mm", -1.0, "the wrong side of the millimetre?"),
    ("1254", "mm", 9.0, "two digits swapped: 1245 put down as 1254?"),
    ("125,4 cm", "mm", -270.0, "two digits swapped: 152,4 cm put down as 125,4 cm?"),
    ("1256", "mm", -3.0, "a digit misread: 1259 put down as 1256?"),
    ("1254", "mm", -75.0, "the length of the tape's case forgotten?"),
]


@pytest.mark.parametrize(("typed", "unit", "slip", "question"), CASES)
def test_what_happened_is_asked_first(typed: str, unit: LengthUnit, slip: float, question: str) -> None:
    assert asked(typed, unit, slip)[0] == question


@pytest.mark.parametrize(("typed", "unit", "slip", "question"), CASES)
def test_it_is_still_asked_where_the_others_are_a_little_out(
    typed: str, unit: LengthUnit, slip: float, question: str
) -> None:
    assert question in asked(typed, unit, slip + 0.1, 0.1)


@pytest.mark.parametrize(
    ("slip", "question"),
    [
        (9.0, "taken to the board and not to the tile (9 mm)?"),
        (18.0, "taken to the board and not to the tile (9 mm at both ends)?"),
        (-9.0, "taken to the tile and not to the board (9 mm)?"),
        (-12.5, "taken to the tile and not to the board (12 mm)?"),
    ],
)
def test_a_layer_may_have_been_forgotten(slip: float, question: str) -> None:
    assert asked("1244", "mm", slip, 0.2, layers_mm=(9.0, 12.5))[0] == question
    assert not any("tile" in one for one in asked("1244", "mm", slip, 0.2))


@pytest.mark.parametrize("typed", ["5/16", "-5/16"])
def test_a_lean_taken_the_wrong_way_is_out_by_twice_itself(typed: str) -> None:
    slip = 2 * float(read_length(typed, "in").mm)
    assert asked(typed, "in", slip, signed=True) == ("taken the wrong way, out for in?",)
    assert asked(typed, "in", -slip, signed=True) == ()
    assert asked(typed, "in", slip) == ()


def test_of_three_that_explain_it_two_are_asked_the_nearer_first() -> None:
    """10 mm, and layers of 8.2 and 12.1: all within 2.5 standard deviations of 1 mm of 10.6."""
    centimetre, tile = "a centimetre misread?", "taken to the board and not to the tile ({} mm)?"
    three = asked("1245", "mm", 10.6, 1.0, layers_mm=(8.2, 12.1))
    assert three == (centimetre, tile.format(12))
    assert asked("1245", "mm", 7.6, 1.0, layers_mm=(8.2, 12.1)) == (tile.format(8), centimetre)


def test_feet_and_inches_are_read_off_an_inch_tape() -> None:
    assert asked("3' 9-1/2", "ft", -IN) == ("an inch misread, or taken off twice?",)


def test_no_inch_is_burned_on_a_metric_tape_and_no_decimetre_on_one_in_inches() -> None:
    assert asked("1254", "mm", IN, 0.2) == ()
    assert asked("45 1/2", "in", 100.0, 0.2) == ()


def test_two_digits_swapped_are_asked_only_of_the_number_that_was_typed() -> None:
    """9 inches off: 34 may have been 43, but 45 1/2 cannot have been 54 1/2 the other way."""
    assert asked("34", "in", -9 * IN) == ("two digits swapped: 43 put down as 34?",)
    assert asked("34", "in", 9 * IN) == ()
    assert asked("55", "in", -9 * IN) == ()


def test_nobody_says_03_for_3() -> None:
    assert asked("30", "in", 27 * IN) == ()
    assert asked("12.50", "in", 0.45 * IN) == ("two digits swapped: 12.05 put down as 12.50?",)


def test_what_is_known_badly_is_explained_by_nothing() -> None:
    """With 6 mm of standard deviation an inch is anything between half an inch and one and a half."""
    assert asked("45 1/2", "in", IN, 5.0)
    assert asked("45 1/2", "in", IN, 6.0) == ()


def test_between_slips_there_is_nothing_to_ask() -> None:
    assert asked("45 1/2", "in", 17.0) == ()
    assert asked("1254", "mm", 40.0) == ()


def test_most_slips_of_no_kind_stay_without_an_explanation() -> None:
    """Of amounts up to 30 cm one in ten happens to be one; a longer table is noticed."""
    random = np.random.default_rng(0)
    slips = random.uniform(-300.0, 300.0, 2000)
    asked_in = np.mean([bool(asked("45 1/2", "in", float(slip), 0.5)) for slip in slips])
    asked_mm = np.mean([bool(asked("1254", "mm", float(slip), 0.5)) for slip in slips])
    assert 0.05 < asked_in < 0.15
    assert 0.05 < asked_mm < 0.15


# Properties.

decimals = st.builds(
    lambda whole, part: f"{whole}.{part}" if part else str(whole),
    st.integers(1, 9999),
    st.sampled_from(["", "5", "25", "75", "12", "04"]),
)
sixteenths = st.builds(
    lambda whole, over, under: f"{whole} {over}/{under}",
    st.integers(1, 240),
    st.sampled_from([1, 3, 5, 7]),
    st.sampled_from([8, 16, 32]),
)
lengths = st.one_of(
    st.tuples(decimals, st.sampled_from(["in", "mm", "cm"])), st.tuples(sixteenths, st.just("in"))
)


def read(typed: str, unit: LengthUnit) -> Length:
    try:
        return read_length(typed, unit)
    except QuantityError:
        assume(False)
        raise


@given(lengths, st.data())
def test_a_number_whose_digits_are_swapped_is_always_recognised(
    meant: tuple[str, LengthUnit], draw: st.DataObject
) -> None:
    text, unit = meant
    places = [i for i in range(len(text) - 1) if text[i : i + 2].isdigit() and text[i] != text[i + 1]]
    assume(places)
    at = draw.draw(st.sampled_from(places))
    typed = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    slip = float(read(typed, unit).mm - read(text, unit).mm)
    step = SIXTEENTH if unit == "in" else MM
    assume(abs(slip) >= step.mm)  # less than a graduation nobody can tell
    found = likely_slips(read(typed, unit), slip, 0.1, step)
    assert f"two digits swapped: {text} put down as {typed}?" in found


@given(lengths, st.floats(-1.0, 1.0), st.floats(0.01, 20.0), st.booleans())
def test_nothing_is_invented_for_what_is_no_slip(
    meant: tuple[str, LengthUnit], share: float, sd: float, signed: bool
) -> None:
    """Within 2.5 standard deviations, or half a graduation, nothing is off."""
    reading = read(*meant)
    assert likely_slips(reading, share * 2.5 * sd, sd, MM, (9.0,), signed=signed) == ()
    assert (
        likely_slips(reading, share * float(SIXTEENTH.mm) / 2, 1e-3, SIXTEENTH, (9.0,), signed=signed) == ()
    )


@given(lengths, st.floats(-1e4, 1e4), st.floats(0.0, 50.0), st.lists(st.floats(0.1, 60.0), max_size=4))
def test_at_most_two_questions_are_asked_and_each_once(
    meant: tuple[str, LengthUnit], slip: float, sd: float, layers: list[float]
) -> None:
    found = likely_slips(read(*meant), slip, sd, MM, layers, signed=True)
    assert len(found) <= 2
    assert len(set(found)) == len(found)
    assert all(one.endswith("?") for one in found)


@given(st.sampled_from(CASES), st.floats(0.0, 0.2))
def test_knowing_it_better_never_hides_what_happened(
    case: tuple[str, LengthUnit, float, str], sd: float
) -> None:
    typed, unit, slip, question = case
    assert question in asked(typed, unit, slip, sd)


@pytest.mark.parametrize(
    ("slip", "sd", "layers", "says"),
    [
        (float("nan"), 0.5, (), "expected a slip in mm, got nan"),
        (float("inf"), 0.5, (), "expected a slip in mm, got inf"),
        (5.0, -1.0, (), "0 mm or more, got -1.0"),
        (5.0, float("inf"), (), "0 mm or more, got inf"),
        (5.0, 0.5, (9.0, 0.0), "thicker than 0 mm, got 0.0"),
        (5.0, 0.5, (float("nan"),), "thicker than 0 mm, got nan"),
        (5.0, 0.5, (float("inf"),), "thicker than 0 mm, got inf"),
    ],
)
def test_what_is_no_slip_is_refused(slip: float, sd: float, layers: tuple[float, ...], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        asked("34", "in", slip, sd, layers_mm=layers)


def test_a_step_is_half_a_graduation_either_way() -> None:
    """1/16 of an inch is 1.5875 mm, so 0.8 mm is the least that may be the wrong side of one."""
    assert SIXTEENTH.mm == Fraction("1.5875")
    assert asked("45 1/2", "in", 0.79, 0.01) == ()
    assert asked("45 1/2", "in", 0.80, 0.01) == ("the wrong side of the 1/16?",)

"""The number pad: which keys there are, what each does to the text, and that a thumb can hit them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from survey.app.typed import (
    Asked,
    PadKey,
    in_other_unit,
    nudged,
    pad_keys,
    pressed,
    refusal,
    typed_letter,
    typeset,
)
from survey.quantity import read_length, read_step

INCH = Asked("in", read_step("1/16"))
SIGNED = Asked("in", read_step("1/16"), is_signed=True)
FINE = Asked("in", read_step("1/32"))
MM, HALF = Asked("mm", read_step("1 mm")), Asked("mm", read_step("0.5 mm"), is_signed=True)
ANGLE = Asked("mm", read_step("1 mm"), "angle")


def words(asked: Asked, **given: bool | str) -> list[str]:
    rows = pad_keys(asked, "Save", **given)  # type: ignore[arg-type]
    return [key.words for row in rows for key in row if key]


def keyed(asked: Asked, *keys: str) -> str:
    """Press keys of the pad by their words."""
    there = {key.words: key for row in pad_keys(asked, "Save", is_roomy=True) for key in row if key}
    text = ""
    for key in keys:
        text = pressed(text, there[key], asked)
    return text


@pytest.mark.parametrize(
    ("asked", "keys", "text"),
    [
        (INCH, ["3", "4", "5⁄16"], "34 5/16"),
        (INCH, ["5⁄16", "3", "4"], "34 5/16"),
        (INCH, ["0", "1⁄4"], "1/4"),
        (INCH, ["0", "5"], "5"),
        (INCH, ["3", "4", "5⁄16", "7⁄8"], "34 7/8"),
        (INCH, ["3", "4", "5⁄16", "Erase"], "34"),
        (INCH, ["3", "4", "Erase"], "3"),
        (INCH, ["7⁄8", "+1⁄16"], "15/16"),
        (INCH, ["3", "4", "15⁄16", "+1⁄16"], "35"),
        (INCH, ["1⁄16", "−1⁄16"], "0"),
        (INCH, ["−1⁄16"], ""),
        (SIGNED, ["1⁄8", "−"], "-1/8"),
        (SIGNED, ["−", "1⁄8"], "-1/8"),
        (SIGNED, ["−1⁄16"], "-1/16"),
        (SIGNED, ["−", "3", "−"], "3"),
        (FINE, ["3", "1⁄4", "+1⁄32"], "3 9/32"),
        (MM, ["8", "7", "2", "+1"], "873"),
        (HALF, ["8", ".", "5", "−"], "-8.5"),
        (ANGLE, ["8", "9", ".", "5", "+0.1°"], "89.6"),
    ],
)
def test_keys_type_what_a_person_would(asked: Asked, keys: list[str], text: str) -> None:
    assert keyed(asked, *keys) == text


def test_one_more_goes_to_the_next_graduation_from_between_two() -> None:
    assert nudged("34.3", INCH, 1) == "34 5/16"
    assert nudged("34.3", INCH, -1) == "34 1/4"
    assert nudged("no length", INCH, 1) == "no length"


def test_each_sixteenth_is_one_tap_where_there_is_room_and_two_where_there_is_not() -> None:
    sixteenths = {str(Fraction(k, 16)).replace("/", "⁄") for k in range(1, 16)}
    assert sixteenths <= set(words(INCH, is_roomy=True))
    small = set(words(INCH))
    assert {f for f in sixteenths if not f.endswith("16")} <= small
    assert {"−1⁄16", "+1⁄16"} <= small


def test_only_what_can_be_typed_has_a_key() -> None:
    assert "." not in words(MM)
    assert "." in words(HALF)
    assert "−" not in words(INCH)
    assert "Touches" in words(INCH, extra="Touches")


@pytest.mark.parametrize("asked", [INCH, SIGNED, FINE, MM, HALF, ANGLE, Asked("in", read_step("1/4"))])
@pytest.mark.parametrize("is_roomy", [False, True])
@pytest.mark.parametrize("extra", ["", "Touches"])
def test_rows_are_equally_wide_and_the_left_hand_has_the_same_keys(
    asked: Asked, is_roomy: bool, extra: str
) -> None:
    right = pad_keys(asked, "Save", extra, is_roomy)
    left = pad_keys(asked, "Save", extra, is_roomy, is_left_handed=True)
    wide = [sum(key.span if key else 1 for key in row) for row in right]
    assert len(set(wide)) == 1
    assert [sorted(str(key) for key in row) for row in left] == [
        sorted(str(key) for key in row) for row in right
    ]
    assert right[-1][-1] == left[-1][0]
    assert right[-1][-1] is not None
    assert right[-1][-1].does == "main"


@pytest.mark.parametrize(
    ("text", "asked", "refused"),
    [
        ("34 5/16", INCH, ""), ("", INCH, ""), ("345/16", INCH, "Expected a fraction of less than 1"),
        ("-3", INCH, "It cannot be below zero"), ("-3", SIGNED, ""), ("91 x", ANGLE, "Expected °"),
        ("12 1/2", MM, "Expected a decimal in mm"),
    ],
)  # fmt: skip
def test_what_the_parser_refuses_is_refused_in_short(text: str, asked: Asked, refused: str) -> None:
    assert refusal(text, asked).startswith(refused)
    assert bool(refusal(text, asked)) == bool(refused)
    assert "\n" not in refusal(text, asked)


def test_what_is_shown_reads_back_the_same() -> None:
    for text in ("34 5/16", "-1/8", "0"):
        assert read_length(typeset(text, "in"), "in").mm == read_length(text, "in").mm
    assert in_other_unit("872", MM) == "34 11⁄32″"
    assert in_other_unit("34 5", INCH) == ""


def test_keyboard_letters_go_in_as_they_are() -> None:
    assert typed_letter("34", 32, " ") == "34 "
    assert typed_letter("34 5/16", 8, "") == "34 5/1"
    assert typed_letter("34", 282, "") is None
    assert PadKey("digit", "1").span == 1

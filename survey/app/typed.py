"""What a number pad does to typed text: its keys, for each unit and smallest fraction, and each key's effect.

The text stays what a person would type (`34 5/16`), so that the record keeps it; on the screen it is set as
`34 5⁄16″`. A fraction is one thing on the pad: it is put, replaced and erased by one tap, before or after the
digits.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from survey.errors import QuantityError
from survey.quantity import Step, read_angle, read_length, round_length, write_length

Does = Literal["digit", "fraction", "erase", "sign", "point", "less", "more", "extra", "main"]
Sort = Literal["length", "angle"]

ANGLE_STEP: Final = Fraction(1, 10)
"""Degrees: the finest that a gauge shows."""
MARKS: Final = {"in": "″", "ft": "′", "mm": " mm", "cm": " cm", "m": " m"}
_FRACTION_AT_END: Final = re.compile(r" ?[0-9]+/[0-9]+$")
_FRACTION: Final = re.compile(r"([0-9]+)/([0-9]+)")
_UNIT_SAID: Final = re.compile(r"[\"'a-z]", re.IGNORECASE)


@dataclass(frozen=True)
class PadKey:
    """One key: what it does, what stands on it, and how many columns it is wide."""

    does: Does
    words: str
    span: int = 1


@dataclass(frozen=True)
class Asked:
    """What is typed: a length or an angle, in which unit, how fine, and whether it may be below zero."""

    unit: Literal["in", "mm"]
    step: Step
    sort: Sort = "length"
    is_signed: bool = False


def pad_keys(
    asked: Asked, main: str, extra: str = "", is_roomy: bool = False, is_left_handed: bool = False
) -> tuple[tuple[PadKey | None, ...], ...]:
    """Return the pad's rows; None is an empty cell.

    Digits stand left and fractions right, in the order in which a value is said; the main key is under
    the thumb. For the left hand the blocks change places. A small screen has the eighths on keys of their
    own, and finer fractions by one more or less; one that `is_roomy` has each sixteenth. `main` is the key
    that ends the value, `extra` a second one beside it.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> for row in pad_keys(Asked("in", read_step("1/16")), "Save"):
    ...     print(*(key.words for key in row))
    1 2 3 1⁄8 1⁄4 3⁄8
    4 5 6 1⁄2 5⁄8 3⁄4
    7 8 9 7⁄8 −1⁄16 +1⁄16
    Erase 0 Save
    """
    if asked.sort == "angle" or asked.unit == "mm":
        blocks, last = _metric(asked, main, extra)
    elif is_roomy and asked.step.mm <= Fraction(127, 80):
        blocks, last = _sixteenths(asked, main, extra)
    else:
        blocks, last = _eighths(asked, main, extra)
    if is_left_handed:
        return (*((*right, *left) for left, right in blocks), tuple(reversed(last)))
    return (*((*left, *right) for left, right in blocks), tuple(last))


Block = Sequence[PadKey | None]
Blocks = tuple[list[tuple[Block, Block]], list[PadKey]]

_DIGITS: Final = [[PadKey("digit", str(3 * row + k)) for k in (1, 2, 3)] for row in range(3)]
_ZERO: Final = PadKey("digit", "0")
_ERASE: Final = PadKey("erase", "Erase")
_SIGN: Final = PadKey("sign", "−")


def _metric(asked: Asked, main: str, extra: str) -> Blocks:
    """Four columns: digits, and a column that mends; below them nought, up to two others, the main key."""
    blocks = [([*row], [key]) for row, key in zip(_DIGITS, (_ERASE, *_nudges(asked)), strict=True)]
    others = [_SIGN] if asked.is_signed else []
    if asked.sort == "angle" or asked.step.mm < 1:
        others.append(PadKey("point", "."))
    if extra:
        others.append(PadKey("extra", extra))
    if not others:
        return [*blocks], [PadKey("digit", "0", 2), PadKey("main", main, 2)]
    first, *rest = others
    return [*blocks], [first, _ZERO, *rest, PadKey("main", main, 2 - len(rest))]


def _sixteenths(asked: Asked, main: str, extra: str) -> Blocks:
    """Seven columns; each row of fractions is a quarter of an inch."""
    less, more = _nudges(asked)
    of = _fractions(16)
    blocks: list[tuple[Block, Block]] = [
        (row, of[4 * number : 4 * number + 4]) for number, row in enumerate(_DIGITS)
    ]
    blocks.append(([less, _ZERO, more], [*of[12:], _ERASE]))
    left = _others(asked, extra)
    return blocks, [*left, PadKey("main", main, 7 - sum(key.span for key in left))]


def _eighths(asked: Asked, main: str, extra: str) -> Blocks:
    """Six columns; eighths, or what is as coarse as the job, and one more and less of its fraction."""
    cells: list[PadKey | None] = [*_fractions(min(int(25.4 / asked.step.mm), 8)), *_nudges(asked)]
    cells += [None] * (9 - len(cells))
    left = [_ERASE, _ZERO, *_others(asked, extra)]
    last = [*left, PadKey("main", main, 6 - sum(key.span for key in left))]
    return [(row, cells[3 * number : 3 * number + 3]) for number, row in enumerate(_DIGITS)], last


def _others(asked: Asked, extra: str) -> list[PadKey]:
    return [*([_SIGN] if asked.is_signed else []), *([PadKey("extra", extra, 2)] if extra else [])]


def _nudges(asked: Asked) -> tuple[PadKey, PadKey]:
    """Return the keys for one graduation less, and one more."""
    one = "0.1°" if asked.sort == "angle" else typeset(str(asked.step).removesuffix(" mm"))
    return PadKey("less", f"−{one}"), PadKey("more", f"+{one}")


def _fractions(denominator: int) -> list[PadKey]:
    found = (Fraction(over, denominator) for over in range(1, denominator))
    return [PadKey("fraction", f"{one.numerator}⁄{one.denominator}") for one in found]


def pressed(text: str, key: PadKey, asked: Asked) -> str:
    """Return the text after a key; `extra` and `main` leave it alone.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> inches, text = Asked("in", read_step("1/16"), is_signed=True), ""
    >>> for key in _fractions(8)[:1] + [PadKey("digit", "3"), PadKey("digit", "4")]:
    ...     text = pressed(text, key, inches)
    >>> text, pressed(text, PadKey("more", ""), inches), pressed(text, PadKey("sign", ""), inches)
    ('34 1/8', '34 3/16', '-34 1/8')
    >>> pressed(text, PadKey("erase", ""), inches)
    '34'
    """
    match key.does:
        case "digit" | "point":
            whole, fraction = _parted(text)
            if key.does == "digit" and whole in ("0", "-0"):
                whole = whole[:-1]  # nobody says 05
            return _joined(whole + key.words, fraction)
        case "fraction":
            return _joined(_parted(text)[0], key.words.replace("⁄", "/"))
        case "erase":
            whole, fraction = _parted(text)
            return whole if fraction else text[:-1].rstrip()
        case "sign":
            return text[1:] if text.startswith("-") else f"-{text}"
        case "less" | "more":
            return nudged(text, asked, 1 if key.does == "more" else -1)
        case _:
            return text


def _parted(text: str) -> tuple[str, str]:
    """Part what stands before a fraction at the end from the fraction."""
    found = _FRACTION_AT_END.search(text)
    return (text[: found.start()].rstrip(), found.group().strip()) if found else (text, "")


def _joined(whole: str, fraction: str) -> str:
    if not fraction:
        return whole
    whole = whole[:-1] if whole in ("0", "-0") else whole
    return f"{whole}{fraction}" if whole in ("", "-") else f"{whole} {fraction}"


def nudged(text: str, asked: Asked, way: Literal[1, -1]) -> str:
    """Return the next graduation above or below what was typed; nothing typed counts as 0.

    What cannot be read is left as it is, and so is what would be below zero where nothing can be.
    """
    try:
        if asked.sort == "angle":
            return _nudged_angle(text, asked, way)
        mm = read_length(text, asked.unit).mm if text.strip() else Fraction(0)
    except QuantityError:
        return text
    # From between two graduations, to the next one that way.
    there = round_length(mm, asked.step, "down" if way > 0 else "up") + way * asked.step.mm
    if there < 0 and not asked.is_signed:
        return text
    return plain(there, asked.step)


def _nudged_angle(text: str, asked: Asked, way: int) -> str:
    degrees = read_angle(text).degrees if text.strip() else Fraction(0)
    if degrees is None or (degrees + way * ANGLE_STEP < 0 and not asked.is_signed):
        return text
    return f"{float(degrees + way * ANGLE_STEP):.10g}"


def plain(mm: Fraction | float, step: Step) -> str:
    """Return a length as it would be typed in a job's unit, without the unit.

    >>> from survey.quantity import read_step
    >>> plain(871.5375, read_step("1/16"))
    '34 5/16'
    """
    return write_length(mm, step).removesuffix(f" {step.unit}")


def typeset(text: str, unit: str = "", sort: Sort = "length") -> str:
    """Set what was typed as it is shown: real fractions, a true minus, and the mark of the unit.

    >>> typeset("-34 5/16", "in"), typeset("872", "mm"), typeset("2' 10 5/16", "in")
    ('−34 5⁄16″', '872 mm', '2′ 10 5⁄16')
    """
    shown = _FRACTION.sub("\\1⁄\\2", text.replace("-", "−").replace("'", "′").replace('"', "″"))
    if not text or _UNIT_SAID.search(text):
        return shown
    return shown + ("°" if sort == "angle" else MARKS.get(unit, ""))


def in_other_unit(text: str, asked: Asked) -> str:
    """Say a typed length in the other unit, typeset; nothing while it cannot be read.

    >>> from survey.quantity import read_step
    >>> in_other_unit("34 5/16", Asked("in", read_step("1/16")))
    '871.5 mm'
    """
    if asked.sort == "angle" or not text.strip():
        return ""
    try:
        mm = read_length(text, asked.unit).mm
    except QuantityError:
        return ""
    return write_length(mm, _TENTHS if asked.unit == "in" else _THIRTY_SECONDS, style="typeset")


_TENTHS: Final = Step(Fraction(1, 10), "mm")
_THIRTY_SECONDS: Final = Step(Fraction(127, 160), "in")


def refusal(text: str, asked: Asked) -> str:
    """Return in short why a text is no length (or angle), empty where it is one or nothing was typed."""
    if not text.strip():
        return ""
    try:
        if asked.sort == "angle":
            read_angle(text)
            return ""
        mm = read_length(text, asked.unit).mm
    except QuantityError as error:
        return error.problem[:1].upper() + error.problem[1:]
    return "It cannot be below zero" if mm < 0 and not asked.is_signed else ""


def typed_letter(text: str, code: int, letter: str) -> str | None:
    """Return the text after a key of a keyboard; None where the key types nothing here."""
    if code == 8:
        return text[:-1]
    if len(letter) == 1 and (letter in "0123456789 /.,-'\"" or (letter.isalpha() and letter.isascii())):
        return text + letter
    return None

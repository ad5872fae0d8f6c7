"""Read lengths, angles and smallest fractions as people type them; refuse rather than guess."""

import re
from fractions import Fraction
from typing import Final, Literal

from survey.quantity._scan import Amount, Scan
from survey.quantity.values import MM_PER, STEPS_MM, STEPS_SAID, Angle, Length, LengthUnit, Step

_UNIT: Final = re.compile(r""" *("|'|[A-Za-z]+\.?)""")
_UNITS: Final[dict[str, LengthUnit]] = {
    '"': "in", "in": "in", "in.": "in", "inch": "in", "inches": "in",
    "'": "ft", "ft": "ft", "ft.": "ft", "foot": "ft", "feet": "ft",
    "mm": "mm", "cm": "cm", "m": "m",
}  # fmt: skip
# Two integers for each unit: the work below stays in integers until the last division.
_MM_OVER_UNDER: Final = {name: mm.as_integer_ratio() for name, mm in MM_PER.items()}
_INCHES_PER_FOOT: Final = 12

_HYPHEN_TO_INCHES: Final = re.compile(r"-(?=[0-9.¼½¾⅛⅜⅝⅞])")
# A group of three behind one to three digits, the first not 0: as likely a thousand as a decimal.
_LIKE_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

_DEGREE_MARK: Final = re.compile(r" *(?:°|deg(?:rees?|\.)?(?![A-Za-z]))", re.IGNORECASE)
_MINUTE_MARK: Final = re.compile(" *'")
_SECOND_MARK: Final = re.compile(' *"')
_IN_A_RUN_OF: Final = re.compile(r" *in(?![A-Za-z.]) *", re.IGNORECASE)
_FULL_TURN_DEG: Final = 360

_FRACTION_BAR: Final = re.compile(r"[/\u2044½¼⅛]")


def read_length(text: str, unit: LengthUnit) -> Length:
    """Read a length as a person types it, exactly.

    A hyphen that touches the numbers on both sides joins them (`34-5/16`, `2'-10"`); a minus
    stands in front and negates the whole (`-1-1/4` is minus one and a quarter). Inches and feet
    take fractions and a decimal point; metric units a decimal point or a decimal comma. A
    fraction of 1 or more is refused: in `345/16` a space was most likely missed. A point is
    always a decimal point, never a thousands mark.

    Parameters
    ----------
    text
        What was typed, at most 64 characters.
    unit
        What a number without a unit means.

    Raises
    ------
    QuantityError
        For anything that is not one length, or that could mean two; it knows the place.
    ValueError
        For a `unit` that is none of `LengthUnit`.

    Examples
    --------
    >>> read_length("34 5/16", "in")
    Length(mm=Fraction(69723, 80), unit='in', text='34 5/16')
    >>> read_length("2' 10-5/16\\"", "mm").mm == read_length("34.3125 in", "mm").mm
    True
    >>> read_length("87,2 cm", "in").mm
    Fraction(872, 1)
    >>> read_length("34 5/0", "in")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    survey.errors.QuantityError: expected a fraction over one of 2, 4, 8, 16, 32, 64, 128, ...
      34 5/0
           ^
    """
    if unit not in MM_PER:
        raise ValueError(f"expected a unit of {', '.join(MM_PER)}, got {unit!r}: use one of these")
    scan = Scan(text, '34 5/16" or 872 mm')
    sign = scan.sign()
    amount = scan.amount()
    typed_unit = _take_unit(scan)
    over, under, counted_in = amount.over, amount.under, typed_unit or unit
    inches = _take_inches_after_feet(scan) if typed_unit == "ft" else None
    if inches is not None:
        over, under = _join_feet_and_inches(scan, amount, inches)
        counted_in = "in"
    scan.finish("the end after the unit" if typed_unit else "a fraction, a unit or the end")
    _check_marks(scan, amount, typed_unit or unit, bool(typed_unit))
    mm_over, mm_under = _MM_OVER_UNDER[counted_in]
    return Length(Fraction(sign * over * mm_over, under * mm_under), typed_unit or unit, text)


def _take_unit(scan: Scan) -> LengthUnit | None:
    """Take a unit; None where none stands; refuse a word that is none."""
    found = scan.take(_UNIT)
    if found is None:
        return None
    word = found.group(1)
    unit = _UNITS.get(word) or _UNITS.get(word.lower())
    if unit is None:
        place = found.start(1)
        if word in ("e", "E"):
            scan.refuse(f"expected a plain number, got {word!r}: write it without powers", place)
        scan.refuse(f"expected a unit of in, ft, mm, cm or m, got {word!r}: use one of these", place)
    return unit


def _take_inches_after_feet(scan: Scan) -> Amount | None:
    """Take the inches that follow feet, with or without their mark; None where none do."""
    if scan.take(_HYPHEN_TO_INCHES) is None and not scan.take_space_before_number():
        return None
    inches = scan.amount()
    before_unit = scan.place
    unit = _take_unit(scan)
    if unit not in ("in", None):
        scan.place = before_unit
        scan.refuse_instead_of("inches after feet")
    _check_marks(scan, inches, "in", unit is not None)
    if inches.over >= _INCHES_PER_FOOT * inches.under:
        scan.refuse(
            "expected less than 12 inches after feet, got 12 or more: "
            "carry them to the feet, or write inches only",
            inches.start,
        )
    return inches


def _join_feet_and_inches(scan: Scan, feet: Amount, inches: Amount) -> tuple[int, int]:
    """Give feet and inches as a fraction of inches; the feet must be whole."""
    if feet.fraction_at >= 0 or feet.mark_at >= 0:
        scan.refuse(
            "expected whole feet before inches, got a part of a foot: write inches only",
            max(feet.fraction_at, feet.mark_at),
        )
    return feet.over * _INCHES_PER_FOOT * inches.under + inches.over, inches.under


def _check_marks(scan: Scan, amount: Amount, unit: LengthUnit, unit_typed: bool) -> None:
    """Refuse a comma in inches, a comma that may mean thousands, a fraction of a millimetre."""
    if unit in ("in", "ft"):
        if amount.comma:
            scan.refuse(
                f"expected a decimal point with {unit}, got a comma: "
                "write a point, or the metric unit behind the number",
                amount.mark_at,
            )
    elif amount.fraction_at >= 0:
        meant = unit if unit_typed else f"{unit}, which a bare number means here"
        scan.refuse(
            f'expected a decimal in {meant}, got a fraction: write 12.5, or the inch mark as in 12 1/2"',
            amount.fraction_at,
        )
    _check_thousands(scan, amount)


def _check_thousands(scan: Scan, amount: Amount) -> None:
    """Refuse `1,250`, which is 1250 to one person and 1.25 to the next."""
    if amount.comma and _LIKE_THOUSANDS.fullmatch(amount.comma):
        as_decimal = amount.comma.replace(",", ".").rstrip("0").rstrip(".")
        scan.refuse(
            f"expected a decimal comma, got {amount.comma!r} where it may mark thousands: "
            f"write {amount.comma.replace(',', '')} or {as_decimal}",
            amount.mark_at,
        )


def read_angle(text: str) -> Angle:
    """Read an angle in degrees, or a slope as `rise in run`, exactly.

    In a slope the word `in` means *over*: rise and run are in the same unit, so neither has one
    (`1.5 in 24`). A minus in front negates the whole.

    Raises
    ------
    QuantityError
        For anything that is not one angle, minutes or seconds of 60 or more, a run of 0, and
        more than a full turn; it knows the place.

    Examples
    --------
    >>> read_angle("89° 30'").degrees
    Fraction(179, 2)
    >>> read_angle("-1/16 in 48").slope
    Fraction(-1, 768)
    """
    scan = Scan(text, "89.5 or 1/8 in 24")
    sign = scan.sign()
    amount = scan.amount()
    if scan.take(_IN_A_RUN_OF):
        slope = _take_run(scan, amount)
        scan.finish("the end after the run, which is in the unit of the rise")
        return Angle(text, slope=sign * slope)
    degrees = Fraction(amount.over, amount.under)
    marked = scan.take(_DEGREE_MARK) is not None
    if marked and scan.take_space_before_number():
        _check_whole(scan, amount, "degrees before minutes")
        degrees += _take_minutes(scan)
    scan.finish("the end" if marked else "°, deg, 'in' and a run, or the end")
    if degrees > _FULL_TURN_DEG:
        scan.refuse("expected at most 360 degrees, got more: check the decimal", amount.start)
    return Angle(text, degrees=sign * degrees)


def _take_run(scan: Scan, rise: Amount) -> Fraction:
    """Take the run of a slope and give rise over run."""
    run = scan.amount()
    _check_thousands(scan, rise)
    _check_thousands(scan, run)
    if not run.over:
        scan.refuse("expected a run above 0, got 0: write rise in run, as 1/8 in 24", run.start)
    return Fraction(rise.over * run.under, rise.under * run.over)


def _take_minutes(scan: Scan) -> Fraction:
    """Take minutes, and seconds where they follow; give them in degrees."""
    minutes = scan.amount()
    if scan.take(_MINUTE_MARK) is None:
        scan.refuse_instead_of("the minute mark ' after the minutes")
    value = _sixtieth(scan, minutes, "minutes")
    if scan.take_space_before_number():
        _check_whole(scan, minutes, "minutes before seconds")
        seconds = scan.amount()
        if scan.take(_SECOND_MARK) is None:
            scan.refuse_instead_of('the second mark " after the seconds')
        value += _sixtieth(scan, seconds, "seconds") / 60
    return value


def _sixtieth(scan: Scan, amount: Amount, name: str) -> Fraction:
    """Give minutes in degrees, or seconds in minutes; refuse 60 or more."""
    if amount.over >= 60 * amount.under:
        scan.refuse(f"expected {name} below 60, got 60 or more: carry them over", amount.start)
    return Fraction(amount.over, 60 * amount.under)


def _check_whole(scan: Scan, amount: Amount, name: str) -> None:
    """Refuse a part of a degree before minutes, or of a minute before seconds."""
    if amount.fraction_at >= 0 or amount.mark_at >= 0:
        scan.refuse(
            f"expected whole {name}, got a part of one: write one or the other",
            max(amount.fraction_at, amount.mark_at),
        )


def read_step(text: str) -> Step:
    """Read a job's smallest fraction: `1/16`, `1/32 in`, `0.5 mm`.

    A fraction without a unit is of an inch. A number without one is refused: `0.5` may be
    half an inch or half a millimetre.

    Raises
    ------
    QuantityError
        For anything but 1/2 to 1/128 of an inch by halves, 1 mm, 0.5 mm and 0.1 mm.

    Examples
    --------
    >>> str(read_step("1/16 in")), str(read_step("0,5 mm"))
    ('1/16', '0.5 mm')
    """
    scan = Scan(text, "1/16 or 0.5 mm")
    length = read_length(text, "in")
    unit: Literal["in", "mm"] = "mm" if length.unit == "mm" else "in"
    is_said = unit == "mm" or _FRACTION_BAR.search(text) is not None
    if not is_said or length.mm not in STEPS_MM[unit]:
        scan.refuse(f"expected {STEPS_SAID}, got {text.strip()!r}: use one of these", scan.place)
    return Step(length.mm, unit)

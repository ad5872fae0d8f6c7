"""Round lengths to a job's smallest fraction, with a direction, and print them."""

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Final

from survey.errors import QuantityError
from survey.quantity.values import MM_PER, Direction, Step, Style

# A float this near to a graduation, or to the middle of two, is meant to be on it: the fitting
# is held to 1e-6 mm, so anything less is noise of its arithmetic and must not cost a whole step.
SNAP_MM: Final = Fraction(1, 1_000_000)

# Python's round() on a Fraction is exact and sends ties to the even count.
_COUNT: Final[dict[str, Callable[[Fraction], int]]] = {
    "nearest": round,
    "up": math.ceil,
    "down": math.floor,
}
_OTHER_STEP: Final = {
    "in": Step(Fraction(1, 10), "mm"),
    "mm": Step(MM_PER["in"] / 32, "in"),
}


def round_length(mm: Fraction | float, step: Step, direction: Direction = "nearest") -> Fraction:
    """Round a length to a graduation.

    Parameters
    ----------
    mm
        The length in millimetres. A `Fraction` is taken exactly; a float within `SNAP_MM` of a
        graduation, or of the middle between two, counts as being there.
    step
        The graduation.
    direction
        `up` and `down` are toward plus and minus infinity, also for negative lengths. `nearest`
        sends a length midway to the even graduation (NIST Handbook 44, 10.3).

    Returns
    -------
    Fraction
        Millimetres, a whole number of graduations exactly.

    Raises
    ------
    QuantityError
        For NaN and infinity.
    ValueError
        For an unknown direction.

    Examples
    --------
    >>> sixteenth = Step(Fraction("1.5875"), "in")
    >>> round_length(1.5875000000001, sixteenth, "up")
    Fraction(127, 80)
    >>> round_length(-2, sixteenth, "up") == -sixteenth.mm
    True
    """
    return _graduations(mm, step, direction) * step.mm


def _graduations(mm: Fraction | float, step: Step, direction: Direction) -> int:
    """Count the graduations that a length is rounded to."""
    count = _COUNT.get(direction)
    if count is None:
        raise ValueError(f"expected nearest, up or down, got {direction!r}: use one of these")
    if isinstance(mm, float):
        return count(_snapped(mm, step))
    return count(Fraction(mm) / step.mm)


def _snapped(mm: float, step: Step) -> Fraction:
    """Give a float in graduations, on the nearest half graduation when it is within the noise."""
    if not math.isfinite(mm):
        raise QuantityError("expected a length in mm, got no number: find what made it", str(mm), 0)
    exact = Fraction(mm) / step.mm
    half = Fraction(round(2 * exact), 2)
    return half if abs(exact - half) * step.mm <= SNAP_MM else exact


def write_length(
    mm: Fraction | float,
    step: Step,
    direction: Direction = "nearest",
    style: Style = "plain",
) -> str:
    """Print a length, rounded as `round_length` does, in the unit of its step.

    `plain` is ASCII, for tables and terminals; `typeset` has the fraction slash, the double
    prime and the true minus. `read_length` reads both back.

    Examples
    --------
    >>> sixteenth = Step(Fraction("1.5875"), "in")
    >>> write_length(871.5375, sixteenth), write_length(871.5375, sixteenth, style="typeset")
    ('34 5/16 in', '34 5⁄16″')
    >>> write_length(872.3, Step(Fraction(1, 2), "mm"), "up")
    '872.5 mm'
    """
    if style not in ("plain", "typeset"):
        raise ValueError(f"expected plain or typeset, got {style!r}: use one of these")
    count = _graduations(mm, step, direction)
    text = _inches(abs(count), step) if step.unit == "in" else _millimetres(abs(count), step)
    if count < 0:
        text = "-" + text
    return _typeset(text) if style == "typeset" else text


def _inches(count: int, step: Step) -> str:
    """Write graduations as whole inches and a reduced fraction."""
    whole, part = divmod(count * step.mm / MM_PER["in"], 1)
    if not part:
        return f"{whole} in"
    return f"{whole} {part} in" if whole else f"{part} in"


def _millimetres(count: int, step: Step) -> str:
    """Write graduations as millimetres, with a tenth only where there is one."""
    whole, tenth = divmod(int(10 * count * step.mm), 10)
    return f"{whole}.{tenth} mm" if tenth else f"{whole} mm"


def _typeset(text: str) -> str:
    """Replace ASCII stand-ins with the marks of print."""
    return text.replace("-", "−").replace("/", "⁄").replace(" in", "″")


def write_both(
    mm: Fraction | float,
    step: Step,
    direction: Direction = "nearest",
    style: Style = "plain",
) -> str:
    """Print a length in the job's unit, and what that figure is in the other one.

    The bracket is made from the rounded figure, not from the length, so that both say the same:
    to the nearest 0.1 mm for a job in inches, to the nearest 1/32 in for one in millimetres.

    Examples
    --------
    >>> write_both(871.6, Step(Fraction("1.5875"), "in"))
    '34 5/16 in (871.5 mm)'
    >>> write_both(872, Step(Fraction(1), "mm"))
    '872 mm (34 11/32 in)'
    """
    rounded = round_length(mm, step, direction)
    first = write_length(rounded, step, style=style)
    return f"{first} ({write_length(rounded, _OTHER_STEP[step.unit], style=style)})"


def write_angle(radians: float, style: Style = "plain") -> str:
    """Print an angle in degrees with two decimals; `typeset` has the true minus.

    Examples
    --------
    >>> write_angle(1.5625934)
    '89.53°'

    Raises
    ------
    QuantityError
        For NaN and infinity.
    """
    if not math.isfinite(radians):
        raise QuantityError("expected an angle in radians, got no number: find what made it", str(radians), 0)
    text = f"{math.degrees(radians):z.2f}°"  # z: an angle of minus nothing has no sign
    return _typeset(text) if style == "typeset" else text

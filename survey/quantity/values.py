"""What a typed quantity is once it has been read: `Length`, `Angle`, `Step`."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

LengthUnit = Literal["in", "ft", "mm", "cm", "m"]
Direction = Literal["nearest", "up", "down"]
Style = Literal["plain", "typeset"]

MM_PER: Final[dict[LengthUnit, Fraction]] = {
    # 1 in = 25.4 mm exactly (international inch, 1959).
    "in": Fraction(127, 5),
    "ft": Fraction(1524, 5),
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}

# Fractions of an inch that a rule, a tape or a caliper carries; others are slips of the finger.
DENOMINATORS: Final = (2, 4, 8, 16, 32, 64, 128)

STEPS_MM: Final[dict[Literal["in", "mm"], frozenset[Fraction]]] = {
    "in": frozenset(MM_PER["in"] / denominator for denominator in DENOMINATORS),
    "mm": frozenset({Fraction(1), Fraction(1, 2), Fraction(1, 10)}),
}
STEPS_SAID: Final = "1/2, 1/4, 1/8, 1/16, 1/32, 1/64 or 1/128 of an inch, or 1 mm, 0.5 mm or 0.1 mm"


@dataclass(frozen=True, slots=True)
class Length:
    """A length as it was typed.

    Attributes
    ----------
    mm
        The exact value in millimetres; negative when a minus was typed.
    unit
        The unit typed, or the one that a bare number meant; `ft` for feet with inches.
    text
        What was typed, unchanged.
    """

    mm: Fraction
    unit: LengthUnit
    text: str


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle as it was typed: in degrees, or as a slope (rise over run). Never both.

    Attributes
    ----------
    text
        What was typed, unchanged.
    degrees
        The exact value in degrees, minutes and seconds added in; None for a slope.
    slope
        The exact rise over run, a pure ratio; None for degrees.
    """

    text: str
    degrees: Fraction | None = None
    slope: Fraction | None = None

    def __post_init__(self) -> None:
        """Refuse an angle with no value, or with two."""
        if (self.degrees is None) == (self.slope is None):
            raise ValueError(
                f"expected either degrees or a slope, got degrees={self.degrees} "
                f"and slope={self.slope} for {self.text!r}: give exactly one"
            )

    @property
    def radians(self) -> float:
        """The angle in radians: the arc tangent of a slope, signed as typed.

        >>> Angle("1 in 1", slope=Fraction(1)).radians == math.pi / 4
        True
        """
        if self.slope is not None:
            return math.atan(self.slope)
        assert self.degrees is not None  # __post_init__ has seen to it
        return math.radians(self.degrees)


@dataclass(frozen=True, slots=True)
class Step:
    """A job's smallest fraction: the graduation that its figures are rounded to.

    Attributes
    ----------
    mm
        The graduation in millimetres, exact.
    unit
        What the job is printed in.

    Raises
    ------
    ValueError
        For a graduation that no rule carries; `STEPS_MM` has the ones that are.

    Examples
    --------
    >>> str(Step(Fraction("1.5875"), "in")), str(Step(Fraction("0.5"), "mm"))
    ('1/16', '0.5 mm')
    """

    mm: Fraction
    unit: Literal["in", "mm"]

    def __post_init__(self) -> None:
        """Refuse a graduation that no rule carries."""
        if self.mm not in STEPS_MM.get(self.unit, frozenset()):
            raise ValueError(f"expected {STEPS_SAID}, got {self.mm} mm in {self.unit!r}: use one of these")

    def __str__(self) -> str:
        """Give the text that `read_step` reads back."""
        if self.unit == "in":
            return str(self.mm / MM_PER["in"])
        return f"{float(self.mm):g} mm"

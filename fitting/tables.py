"""Published values that code reads, each with its source.

Limits of error, in the unit named; who needs a standard deviation decides how many of them a limit is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from fitting.errors import BadInput

TapeClass = Literal["I", "II", "III"]


@dataclass(frozen=True)
class TapeLimits:
    """Largest error of a tape: `a` + `b` times its length in whole metres, and `c` from an end surface.

    All in mm; for tapes of 5 m and more at a pull of 50 N, at 20 °C.
    """

    a: float
    b: float
    c: float
    source: str


_MID: Final = "Directive 2014/32/EU, Annex X (MI-008), chapter I, table 1; seen as quoted in UK SI 2016/1153"
TAPE_CLASSES: Final[dict[TapeClass, TapeLimits]] = {
    "I": TapeLimits(0.1, 0.1, 0.1, _MID),
    "II": TapeLimits(0.3, 0.2, 0.2, _MID),
    "III": TapeLimits(0.6, 0.4, 0.3, _MID),
}


@dataclass(frozen=True)
class Limit:
    """A limit of error that makers publish for a kind of instrument."""

    value: float
    unit: Literal["mm", "mm/m", "deg"]
    source: str


LASER_LIMIT: Final = Limit(
    1.5,
    "mm",
    "from memory: 1.0 to 1.5 mm at two standard deviations, to 10 m in good light; ISO 16331-1:2017 says how "
    "makers state it (its text was not read)",
)
SPIRIT_LEVEL_LIMIT: Final = Limit(0.5, "mm/m", "from memory: what a common vial is sold as")
DIGITAL_LEVEL_LIMIT: Final = Limit(0.1, "deg", "from memory: typical away from level and plumb")
PHONE_LEVEL_LIMIT: Final = Limit(
    0.5, "deg", "assumption: a phone's tilt, not calibrated that day, its edge held to the wall"
)
SQUARE_LIMIT: Final = Limit(1000 / 32 / 24, "mm/m", "common practice, no source: 1/32 in over 24")
ANGLE_GAUGE_LIMIT: Final = Limit(0.2, "deg", "from memory: makers say 0.1 to 0.2 degrees")
LENGTH_LIMITS: Final[dict[str, Limit]] = {
    "framing square": Limit(0.8, "mm", "assumption: half a sixteenth of an inch"),
    "angle gauge": Limit(2.0, "mm", "assumption: no instrument for a length"),
    "spirit level": Limit(1.6, "mm", "assumption: a level with a rule on it, a sixteenth of an inch"),
    "digital level": Limit(1.6, "mm", "assumption: as a spirit level"),
    "phone level": Limit(5.0, "mm", "assumption: no instrument for a length; its edges are round"),
    "straightedge": Limit(1.6, "mm", "assumption: marks struck on it, a sixteenth of an inch"),
    "string": Limit(2.0, "mm", "assumption: it stretches, and its knots are wide"),
    "line laser": Limit(1.6, "mm", "assumption: the middle of a line 2 to 3 mm wide, seen at a rule"),
    "plumb bob": Limit(2.0, "mm", "assumption: it swings"),
    "stud finder": Limit(6.0, "mm", "from memory: makers say an edge to 1/8 to 1/4 in behind gypsum board"),
    "other side": Limit(10.0, "mm", "assumption: a place carried around a wall by a door or a hole"),
    "story stick": Limit(0.8, "mm", "assumption: a knife's or a pencil's mark"),
    "template": Limit(1.0, "mm", "assumption: stiff sheet, cut and scribed on the spot"),
    "eye": Limit(10.0, "mm", "assumption"),
}
"""What a length in a room may be out by when it is read with something that is no tape, rule or laser."""


@dataclass(frozen=True)
class Tolerance:
    """Largest error of a metal tape up to a length, both in inches."""

    to_in: float
    error_in: float


NIST_TAPES: Final = tuple(
    Tolerance(12.0 * feet, error)
    for feet, error in ((6, 1 / 32), (30, 1 / 16), (55, 1 / 8), (80, 3 / 16), (100, 1 / 4))
)
"""NIST Handbook 44, section 5.52 (metal tapes), as quoted by a page on dimensional tolerances; the handbook
itself was not seen. What a tape sold in the United States may be out by, for tapes without a class."""


def nist_tape_error(length_in: float) -> float:
    """Return the largest error in inches that a metal tape may have over a length in inches.

    Source: NIST Handbook 44, section 5.52. A length between two rows (over 6 ft and under 7) has the wider.

    Raises
    ------
    BadInput
        For a length below zero, not finite, or over the 100 ft that the table goes to.

    Examples
    --------
    >>> nist_tape_error(72.0), nist_tape_error(73.0)
    (0.03125, 0.0625)
    """
    if not 0 <= length_in <= NIST_TAPES[-1].to_in:
        raise BadInput(f"expected a length of 0 to {NIST_TAPES[-1].to_in:g} in, got {length_in}")
    return next(row.error_in for row in NIST_TAPES if length_in <= row.to_in)


def tape_error(length_mm: float, tape_class: TapeClass = "II", from_hook: bool = False) -> float:
    """Return the largest error a tape of a class may have over a length.

    Parameters
    ----------
    length_mm
        Length read, in mm, zero or more; rounded up to the next whole metre as the directive says.
    tape_class
        Accuracy class printed on the tape.
    from_hook
        Whether the length starts at the tape's end (hook or butt) and not at a mark.

    Returns
    -------
    float
        In mm.

    Raises
    ------
    BadInput
        For a length below zero or not finite, and a class that does not exist.

    Examples
    --------
    >>> round(tape_error(1500.0, "II"), 3), round(tape_error(1500.0, "II", from_hook=True), 3)
    (0.7, 0.9)
    """
    if not (math.isfinite(length_mm) and length_mm >= 0):
        raise BadInput(f"expected a length of zero or more mm, got {length_mm}")
    limits = TAPE_CLASSES.get(tape_class)
    if limits is None:
        raise BadInput(f"expected tape class I, II or III, got {tape_class!r}")
    return limits.a + limits.b * math.ceil(length_mm / 1000.0) + (limits.c if from_hook else 0.0)


@dataclass(frozen=True)
class PlywoodThickness:
    """What a sheet of a performance category may measure, in inches; `label` is what is stamped on it."""

    least: float
    most: float
    label: float


PLYWOOD: Final[dict[str, PlywoodThickness]] = {
    "15/32": PlywoodThickness(0.438, 0.500, 0.451),
    "1/2": PlywoodThickness(0.469, 0.531, 0.483),
    "19/32": PlywoodThickness(0.563, 0.625, 0.578),
    "5/8": PlywoodThickness(0.594, 0.656, 0.609),
    "23/32": PlywoodThickness(0.688, 0.750, 0.703),
    "3/4": PlywoodThickness(0.719, 0.781, 0.734),
}
"""PS 1, structural plywood, unsanded, as quoted on a plywood association's page on performance categories.
Hardwood plywood sold as 3/4 is about 18 to 18.5 mm (from memory): measure it, no table knows."""


def plywood_thickness(nominal_mm: float) -> PlywoodThickness | None:
    """Return what a sheet sold by a nominal thickness (mm) may measure, in inches; nothing off the table.

    >>> plywood_thickness(19.05)
    PlywoodThickness(least=0.719, most=0.781, label=0.734)
    >>> plywood_thickness(18.0) is None
    True
    """
    for name, row in PLYWOOD.items():
        over, under = name.split("/")
        if abs(25.4 * int(over) / int(under) - nominal_mm) < 0.01:
            return row
    return None

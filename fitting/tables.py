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
    1.5, "mm", "from memory: 1.0 to 1.5 mm at two standard deviations, to 10 m in good light (ISO 16331-1)"
)
SPIRIT_LEVEL_LIMIT: Final = Limit(0.5, "mm/m", "from memory: what a common vial is sold as")
DIGITAL_LEVEL_LIMIT: Final = Limit(0.1, "deg", "from memory: typical away from level and plumb")


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

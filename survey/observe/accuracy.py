"""How good each reading is: its standard deviation, from the instrument, its start and the graduation.

A published limit of error (`fitting.tables`) is taken as two standard deviations. Every figure here is
an assumption of ours unless its comment names another source. A reading's own `sd` overrides all.

The error of a length has three parts: its own, which no other length shares; the zero, which all lengths
share that start alike; the scale, which grows with the length.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from fitting.site import Tool
from fitting.tables import (
    ANGLE_GAUGE_LIMIT,
    DIGITAL_LEVEL_LIMIT,
    LASER_LIMIT,
    LENGTH_LIMITS,
    PHONE_LEVEL_LIMIT,
    SPIRIT_LEVEL_LIMIT,
    SQUARE_LIMIT,
    TAPE_CLASSES,
    TapeClass,
)
from survey.quantity.values import MM_PER
from survey.records import Layer, TypedLength
from survey.records.readings import Instrument, Start

MM_PER_INCH: Final = 25.4

START_SD: Final[dict[Start | None, float]] = {
    # mm. Hook and butt have the directive's own allowance on top of their seat.
    "hook": 0.25,
    "butted": 0.25,
    "mark": 0.25,
    "burned an inch": 0.25,
    # A tape bent into the corner is good to 1/16 to 1/8 in (common practice): 1/8 is two of these.
    "bent into the corner": MM_PER_INCH / 16,
    "two sticks": 0.5,
    # The case's length is printed on it, and bottoms out on paint and compound.
    "case added": 1.0,
    None: 0.5,
}
"""How well the tape's zero was held, anew each time."""

BETWEEN_MARKS: Final[frozenset[Start | None]] = frozenset({"mark", "burned an inch", "two sticks"})
"""Starts that leave the tape's end out of it."""
HOOK_SD: Final = 0.2
"""mm: a hook that is bent, or whose rivets are worn, is off by the same every time."""
SAID_OF_START: Final[dict[Start, str]] = {"hook": "hooked", "bent into the corner": "bent in"}

TOUCH_SD: Final = 0.3
"""mm: an edge that touches, and a straightedge's own straightness over its length."""
LINE_SD: Final = 0.5
"""mm: the middle of a string or of a laser's line."""
LINE_SHARED_SD: Final = 0.2
"""mm: how far a string sags or a laser's line waves over a metre (assumption)."""
LEVEL_LINE_SD: Final = 0.5
"""mm: the pencilled level line, at any one place."""
GAUGE_SEAT_SD: Final = math.radians(0.11)
"""An angle gauge's seat on paint and compound."""
EYE_ANGLE_SD: Final = math.radians(1.0)
SQUARE_SD: Final = SQUARE_LIMIT.value / 1000
"""Radians: a square that was not proved; what it may be out is one of these, for nobody holds it to that."""
FLIPPED_SQUARE_SD: Final = SQUARE_SD / 4
"""A flip shows twice the square's error, seen to 1/32 in over 24: 1/64 in 24 is two of these."""

LAYER_SD: Final = 1.5
"""mm: tile with its adhesive, plaster and whatever else is laid by hand."""
BOARD_SD: Final = 0.5
"""mm: board and sheet that comes at a thickness."""
BOARDS: Final = ("board", "gypsum", "drywall", "plywood", "panel", "sheet", "paint", "wallpaper")


SPOT_SD: Final = 1.0
"""mm: a scratch struck so far from a corner: the tape's graduation, and where the corner is (assumption)."""


def reading_sd(step_mm: float) -> float:
    """Return the standard deviation of reading to the nearest graduation: evenly spread over one."""
    return step_mm / math.sqrt(12)


_DECIMAL: Final = re.compile(r"[.,]\d")
_FRACTION: Final = re.compile(r"[/\u2044](\d+)")
_VULGAR: Final = re.compile("[½¼¾⅛⅜⅝⅞]")


def graduation(typed: TypedLength, step_mm: float) -> float:
    """Return the graduation in mm that a length was read to: the job's, or a finer one that was typed.

    A fraction was read to its own denominator; a decimal to the coarsest graduation that has it, so that
    309.5 was read to halves and 309.4 to fifths.

    >>> graduation(TypedLength("60 2/32", "in"), 1.5875), graduation(TypedLength("309.5", "mm"), 1.0)
    (0.79375, 0.5)
    >>> graduation(TypedLength("60 1/2", "in"), 1.5875)
    1.5875
    """
    fraction = _FRACTION.search(typed.text)
    if fraction is None and not _DECIMAL.search(typed.text) and not _VULGAR.search(typed.text):
        return step_mm
    length = typed.length
    unit = MM_PER["in" if length.unit == "ft" else length.unit]
    parts = int(fraction[1]) if fraction else (length.mm / unit).denominator
    return min(step_mm, float(unit / parts))


@dataclass(frozen=True)
class LengthAccuracy:
    """How good a length is: standard deviations of its three parts.

    `own` in mm is this reading's alone. `zero` in mm and `scale` in mm per mm are shared by all lengths taken
    with one instrument in one way, which `name` says.
    """

    name: str
    own: float
    zero: float
    scale: float

    def total(self, mm: float) -> float:
        """Return the standard deviation in mm of a length that stands alone."""
        return math.hypot(self.own, self.zero, self.scale * mm)

    @property
    def tool(self) -> Tool | None:
        """What such lengths share, for the fitting; nothing where they share nothing."""
        return Tool(self.name, self.zero, self.scale) if self.zero or self.scale else None


def length_accuracy(
    instrument: Instrument, start: Start | None, graduation_mm: float, tape_class: TapeClass | None = None
) -> LengthAccuracy:
    """Return how good a length read off an instrument is.

    A tape (class II unless said otherwise) or steel rule (class I) follows Directive 2014/32/EU: `a` is the
    reading's own, `b` the scale, `c` the zero of what starts at the tape's end. Half of a laser's variance is
    its offset, by assumption; it has no scale to speak of.

    >>> length_accuracy("tape", "hook", 1.5875)  # doctest: +ELLIPSIS
    LengthAccuracy(name='tape, hooked', own=0.543..., zero=0.223..., scale=0.0001)
    """
    read = reading_sd(graduation_mm)
    if instrument == "laser":
        half = LASER_LIMIT.value / 2 / math.sqrt(2)
        return LengthAccuracy("laser", math.hypot(half, read), half, 0.0)
    if instrument not in ("tape", "steel rule"):
        own = math.hypot(LENGTH_LIMITS[instrument].value / 2, 0.0 if start is None else START_SD[start], read)
        return LengthAccuracy(instrument, own, 0.0, 0.0)
    limits = TAPE_CLASSES[tape_class or ("II" if instrument == "tape" else "I")]
    own, scale = math.hypot(limits.a / 2, START_SD[start], read), limits.b / 2 / 1000
    if start in BETWEEN_MARKS:
        return LengthAccuracy(f"{instrument}, between marks", own, 0.0, scale)
    name = instrument if start is None else f"{instrument}, {SAID_OF_START.get(start, start)}"
    zero = math.hypot(limits.c / 2, HOOK_SD if instrument == "tape" else 0.0)
    return LengthAccuracy(name, own, zero, scale)


def gap_parts(instrument: Instrument, step_mm: float) -> tuple[float, float]:
    """Return what a check's gaps share with their neighbours, and each one's own part: sds in mm."""
    if instrument in ("string", "line laser", "plumb bob"):
        return LINE_SHARED_SD, math.hypot(LINE_SD, reading_sd(step_mm))
    return TOUCH_SD, reading_sd(step_mm)


def gap_sd(gap_mm: float, instrument: Instrument, step_mm: float) -> float:
    """Return the standard deviation in mm of a gap between a line and a surface."""
    if instrument in ("string", "line laser", "plumb bob"):
        return math.hypot(LINE_SD, reading_sd(step_mm))
    return TOUCH_SD if gap_mm == 0.0 else math.hypot(TOUCH_SD, reading_sd(step_mm))


def offset_sd(height_mm: float, instrument: Instrument, step_mm: float) -> float:
    """Return the standard deviation in mm of a lean's offset over a height."""
    if instrument in ("digital level", "phone level"):
        own = height_mm * _tilt_sd(instrument)
    elif instrument == "spirit level":
        own = height_mm / 1000.0 * SPIRIT_LEVEL_LIMIT.value / 2
    else:
        limit = LENGTH_LIMITS.get(instrument)
        own = 1.0 if limit is None else limit.value / 2
    return math.hypot(own, reading_sd(step_mm), TOUCH_SD)


def lean_angle_sd(height_mm: float, instrument: Instrument) -> float:
    """Return the standard deviation in mm, over a height, of a lean read as an angle."""
    if instrument == "spirit level":
        return math.hypot(height_mm / 1000.0 * SPIRIT_LEVEL_LIMIT.value / 2, TOUCH_SD)
    return math.hypot(height_mm * _tilt_sd(instrument), TOUCH_SD)


def _tilt_sd(instrument: Instrument) -> float:
    limit = PHONE_LEVEL_LIMIT if instrument == "phone level" else DIGITAL_LEVEL_LIMIT
    return math.radians(limit.value) / 2


def angle_sd(instrument: Instrument) -> float:
    """Return the standard deviation in radians of a corner read off a gauge."""
    if instrument == "eye":
        return EYE_ANGLE_SD
    limit = PHONE_LEVEL_LIMIT if instrument == "phone level" else ANGLE_GAUGE_LIMIT
    return math.hypot(math.radians(limit.value) / 2, GAUGE_SEAT_SD)


def square_sd(gap_mm: float, leg_mm: float, flipped: bool, step_mm: float) -> float:
    """Return the standard deviation in radians of a corner read with a square over its leg."""
    own = FLIPPED_SQUARE_SD if flipped else SQUARE_SD
    return math.hypot(own, gap_sd(gap_mm, "framing square", step_mm) / leg_mm)


def layer_sd(layer: Layer) -> float:
    """Return the standard deviation in mm of a layer still to come."""
    return BOARD_SD if any(word in layer.name.lower() for word in BOARDS) else LAYER_SD

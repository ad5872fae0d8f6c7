"""How good each reading is: its standard deviation, from the instrument, its start and the graduation.

A published limit of error (`fitting.tables`) is taken as two standard deviations. Every figure here is
an assumption of ours unless its comment names another source. A reading's own `sd` overrides all.
"""

from __future__ import annotations

import math
from typing import Final

from fitting.tables import DIGITAL_LEVEL_LIMIT, LASER_LIMIT, SPIRIT_LEVEL_LIMIT, tape_error
from survey.records import Layer
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
"""How well the tape's zero was held."""

INSTRUMENT_SD: Final[dict[Instrument, float]] = {
    # mm over a length in a room; tape, rule and laser follow published limits instead.
    "framing square": 0.4,
    "angle gauge": 1.0,
    "spirit level": 0.8,
    "digital level": 0.8,
    "straightedge": 0.8,
    "string": 1.0,
    "line laser": 0.8,
    "plumb bob": 1.0,
    "stud finder": 3.0,
    "story stick": 0.4,
    "template": 0.5,
    "eye": 5.0,
}

TOUCH_SD: Final = 0.3
"""mm: an edge that touches, and a straightedge's own straightness over its length."""
LINE_SD: Final = 0.5
"""mm: the middle of a string or of a laser's line."""
LEVEL_LINE_SD: Final = 0.5
"""mm: the pencilled level line, at any one place."""
GAUGE_SD: Final = math.radians(0.15)
"""An angle gauge's own error (makers say 0.1 to 0.2 degrees, from memory) and its seat on paint."""
EYE_ANGLE_SD: Final = math.radians(1.0)
SQUARE_SD: Final = 1 / 32 / 24
"""Radians: a framing square may be out 1/32 in 24 (common practice); not proved, that is one of these."""
FLIPPED_SQUARE_SD: Final = SQUARE_SD / 4
"""A flip shows twice the square's error, seen to 1/32 in over 24: 1/64 in 24 is two of these."""

LAYER_SD: Final = 1.5
"""mm: tile with its adhesive, plaster and whatever else is laid by hand."""
BOARD_SD: Final = 0.5
"""mm: board and sheet that comes at a thickness."""
BOARDS: Final = ("board", "gypsum", "drywall", "plywood", "panel", "sheet", "paint", "wallpaper")


def reading_sd(step_mm: float) -> float:
    """Return the standard deviation of reading to the nearest graduation: evenly spread over one."""
    return step_mm / math.sqrt(12)


def length_sd(mm: float, instrument: Instrument, start: Start | None, step_mm: float) -> float:
    """Return the standard deviation in mm of a length read off an instrument.

    >>> round(length_sd(1500.0, "tape", "hook", 1.5875), 3)
    0.689
    """
    if instrument == "laser":
        own = LASER_LIMIT.value / 2
    elif instrument in ("tape", "steel rule"):
        tape_class, hooked = ("II" if instrument == "tape" else "I"), start in ("hook", "butted")
        own = math.hypot(tape_error(abs(mm), tape_class, hooked) / 2, START_SD[start])  # type: ignore[arg-type]
    else:
        own = math.hypot(INSTRUMENT_SD[instrument], 0.0 if start is None else START_SD[start])
    return math.hypot(own, reading_sd(step_mm))


def gap_sd(gap_mm: float, instrument: Instrument, step_mm: float) -> float:
    """Return the standard deviation in mm of a gap between a line and a surface."""
    if instrument in ("string", "line laser", "plumb bob"):
        return math.hypot(LINE_SD, reading_sd(step_mm))
    return TOUCH_SD if gap_mm == 0.0 else math.hypot(TOUCH_SD, reading_sd(step_mm))


def offset_sd(height_mm: float, instrument: Instrument, step_mm: float) -> float:
    """Return the standard deviation in mm of a lean's offset over a height."""
    if instrument == "digital level":
        own = height_mm * math.radians(DIGITAL_LEVEL_LIMIT.value) / 2
    elif instrument == "spirit level":
        own = height_mm / 1000.0 * SPIRIT_LEVEL_LIMIT.value / 2
    else:
        own = INSTRUMENT_SD.get(instrument, 1.0)
    return math.hypot(own, reading_sd(step_mm), TOUCH_SD)


def lean_angle_sd(height_mm: float, instrument: Instrument) -> float:
    """Return the standard deviation in mm, over a height, of a lean read as an angle."""
    if instrument == "spirit level":
        return math.hypot(height_mm / 1000.0 * SPIRIT_LEVEL_LIMIT.value / 2, TOUCH_SD)
    return math.hypot(height_mm * math.radians(DIGITAL_LEVEL_LIMIT.value) / 2, TOUCH_SD)


def angle_sd(instrument: Instrument) -> float:
    """Return the standard deviation in radians of a corner read off a gauge."""
    return EYE_ANGLE_SD if instrument == "eye" else GAUGE_SD


def square_sd(gap_mm: float, leg_mm: float, flipped: bool, step_mm: float) -> float:
    """Return the standard deviation in radians of a corner read with a square over its leg."""
    own = FLIPPED_SQUARE_SD if flipped else SQUARE_SD
    return math.hypot(own, gap_sd(gap_mm, "framing square", step_mm) / leg_mm)


def layer_sd(layer: Layer) -> float:
    """Return the standard deviation in mm of a layer still to come."""
    return BOARD_SD if any(word in layer.name.lower() for word in BOARDS) else LAYER_SD

"""What is far from usual in a value that is typed: asked about, never refused.

How far a value may be from what is expected before it is asked about is our own choice, no source.
"""

from __future__ import annotations

from statistics import median
from typing import Final

from survey.app.blanks import Blank, blanks
from survey.app.typed import plain, typeset
from survey.errors import QuantityError
from survey.quantity import Length, Step, read_length
from survey.records import Drop, Lean, LengthReading, Reading, Spot, StraightedgeCheck, Survey
from survey.slips import likely_slips
from survey.walk import Place
from survey.walk.same import satisfies

ROOM_SD: Final = 4.0
"""mm by which a room differs from what its other readings make of it."""
FLOOR_SD: Final = 8.0
"""mm by which a floor falls from place to place."""
AGAIN: Final = 3.0
"""mm that two readings of the same may differ without a question."""
HOLLOW: Final = 13.0
"""mm: a wider gap under an edge is seldom."""
OUT_OF_PLUMB: Final = 25.0
"""mm: a wall that leans more is seldom."""


def question(blank: Blank, text: str, reading: Reading, survey: Survey, place: Place) -> str:
    """Return what to ask about a value, empty where it is as usual, or nothing is known that it must be near.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.walk import place_of
    >>> alcove = ["job V in inches to 1/16", "room r", "wall a", "wall back", "wall b"]
    >>> alcove += ["corner a and back", "corner back and b", "length a-back to back-b up 34 reads 60 1/4"]
    >>> survey = Survey(dictate(alcove, Survey([])))
    >>> (front,) = dictate(["length a at 21 from a-back to b at 21 from back-b up 34 reads 60 1/4"], survey)
    >>> question(blanks(front)[0], "61 1/4", front, survey, place_of(survey))
    'Expected about 60 1⁄4″: an inch burned at the hook end and not taken off?'
    """
    try:
        value = read_length(text, place.step.unit)
    except QuantityError:
        return ""
    found = _before(blank, reading, survey, place)
    if found is not None:
        return _asked(value, found, AGAIN, place.step, "It read {} before")
    match reading:
        case LengthReading() if _is_known(reading, place):
            expected = float(read_length(blank.usual, place.step.unit).mm)
            return _asked(value, expected, 2.5 * ROOM_SD, place.step, "Expected about {}")
        case Drop():
            others = [float(one.reads.mm) for one in survey.of(Drop) if one.to == reading.to]
            if others:
                return _asked(value, median(others), 2.5 * FLOOR_SD, place.step, "Elsewhere it is about {}")
        case StraightedgeCheck(instrument="straightedge") if value.mm > HOLLOW:
            return f"{typeset(text, place.step.unit)} is a wide gap. Is it so?"
        case Lean() if abs(value.mm) > OUT_OF_PLUMB:
            return f"{typeset(text, place.step.unit)} is a great lean. Is it so?"
    return ""


def _before(blank: Blank, reading: Reading, survey: Survey, place: Place) -> float | None:
    """Return what the same thing read the last time, in mm."""
    for one in survey.of(type(reading))[::-1]:
        if one.id == reading.id or not satisfies(one, reading, place, survey):
            continue
        same = next((other for other in blanks(one) if other.field == blank.field), None)
        is_gap = isinstance(reading, StraightedgeCheck)
        if same is not None and same.sort == "length" and not is_gap:
            return float(read_length(same.usual, place.step.unit).mm)
    return None


def _is_known(reading: LengthReading, place: Place) -> bool:
    """Whether the plan that a length's nominal value comes from was read, and is not only usual."""
    walls = {end.wall for end in reading.between if isinstance(end, Spot)}
    return place.known(place.back) is not None and all(
        place.beside(place.back, "left") == wall
        or place.beside(place.back, "right") == wall
        or wall == place.back
        for wall in walls
    )


def _asked(value: Length, expected: float, near: float, step: Step, words: str) -> str:
    slip = float(value.mm) - expected
    if abs(slip) <= near:
        return ""
    slips = likely_slips(value, slip, near / 2.5, step)
    told = words.format(typeset(plain(expected, step), step.unit))
    return f"{told}: {slips[0]}" if slips else f"{told}. Read it once more?"

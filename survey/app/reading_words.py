"""What stands on the small keys of a reading: how it is taken, in a word or two, and what else it may be."""

from __future__ import annotations

from typing import Final, get_args

from survey.app.typed import typeset
from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Position,
    Reading,
    StoryStick,
    StraightedgeCheck,
    Template,
    ThreeSides,
)
from survey.records.readings import Instrument, Start

TAPES: Final = ("tape", "steel rule")
"""Instruments whose start can be held in several ways."""
INSTRUMENTS: Final[dict[type[Reading], tuple[str, ...]]] = {
    LengthReading: (*TAPES, "laser", "story stick"),
    ThreeSides: (*TAPES, "story stick"),
    CornerAngle: ("angle gauge",),
    CornerSquare: ("framing square",),
    StraightedgeCheck: ("straightedge", "spirit level", "string", "line laser"),
    Lean: ("spirit level", "digital level", "phone level", "plumb bob", "line laser"),
    Drop: (*TAPES, "laser"),
    Position: (*TAPES, "laser", "stud finder", "other side", "eye"),
    StoryStick: ("story stick",),
    Template: ("template",),
}
STARTS: Final[dict[str, str]] = {
    "hook": "hook pulled or pushed",
    "butted": "butted, hook and all",
    "burned an inch": "burned an inch, and taken off",
    "bent into the corner": "bent into the corner",
    "two sticks": "two sticks side by side",
    "case added": "tape's case added",
    "mark": "from a mark on the tape",
}
SHORT: Final = {"straightedge": "edge", "spirit level": "level", "framing square": "square"}
FACES: Final = {"now": "to the face as it is now", "finished": "to the finished face"}


def instruments(reading: Reading) -> tuple[str, ...]:
    """Return what a reading of this kind can be taken with."""
    return INSTRUMENTS.get(type(reading), get_args(Instrument))


def starts() -> tuple[tuple[str, str], ...]:
    """Return how a tape's zero can be held, with words."""
    return tuple((start, STARTS.get(start, start)) for start in get_args(Start))


def how_taken(reading: Reading) -> dict[str, str]:
    """Return the small keys of a reading: what each sets, and its present value in a word or two.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.records import Survey
    >>> alcove = ["job V in inches to 1/16", "wall a", "wall back", "wall b", "corner a and back"]
    >>> alcove += ["corner back and b", "length a-back to back-b up 34 reads 60 1/4 with tape hooked"]
    >>> how_taken(dictate(alcove, Survey([]))[-1])
    {'instrument': 'tape', 'start': 'hook', 'face': 'face now', 'up': '34″ up', 'note': 'note'}
    """
    words: dict[str, str] = {"instrument": SHORT.get(reading.instrument, reading.instrument)}
    if reading.instrument in TAPES:
        words["start"] = (reading.start or "start not said").replace("an inch", "1″")
    words["face"] = "face now" if reading.face == "now" else "finished face"
    up = getattr(reading, "up", None)
    if up is not None and not isinstance(reading, Position):
        words["up"] = f"{typeset(up.text, up.unit)} up"
    else:
        words["place"] = "place"
    note = reading.note.strip()
    words["note"] = f"“{note if len(note) <= 14 else note[:13] + '…'}”" if note else "note"
    return words

"""A laser that types like a keyboard: its line told from a hand's typing, and what the line says.

A device sends a whole line within a few hundredths of a second a letter, and ends it by Enter or Tab. So keys
are echoed as they come, and only the line's end decides what it was.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from survey.app.keyboard import ENTER, PAD_ENTER, TAB
from survey.errors import QuantityError
from survey.quantity import LengthUnit, read_length

FASTEST_HAND: Final = 0.06
"""Seconds between two letters, on average, that no hand is under."""
LEAST: Final = 3
"""Letters of a line: fewer may be a hand's, at any speed."""
SLOWEST: Final = 0.5
"""Seconds after which a next letter begins a new line."""

_UNIT: Final = re.compile(r"""(?:"|'|′|″|[a-z]+\.?)\s*$""", re.IGNORECASE)
_COMMA: Final = re.compile(r"(?<=[0-9]),(?=[0-9])")


class Wedge:
    """Collects letters until a line's end, and tells whether a device sent it.

    `clock` gives seconds; tests bring one of their own.

    Examples
    --------
    >>> from itertools import count
    >>> ticks = count()
    >>> fast = Wedge(clock=lambda: next(ticks) / 100)
    >>> [fast.take_key(ord(letter), letter) for letter in "1.234\\r"]
    [None, None, None, None, None, '1.234']
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Begin with an empty line."""
        self._clock = clock
        self._began = self._last = 0.0
        self.pending = ""
        """What came since the last line's end, or the last long pause."""

    def take_key(self, code: int, letter: str) -> str | None:
        """Take a key; return a line when this key ended one that a device sent.

        Enter and Tab (by their codes, or as letters) end a line; keys without a letter are nothing to it.
        """
        now = self._clock()
        if code in (ENTER, PAD_ENTER, TAB) or letter in ("\r", "\n", "\t"):
            line, self.pending = self.pending, ""
            hurried = now - self._began <= FASTEST_HAND * len(line)
            return line if len(line) >= LEAST and hurried else None
        if len(letter) == 1 and letter.isprintable():
            if not self.pending or now - self._last > SLOWEST:
                self.pending, self._began = "", now
            self.pending += letter
            self._last = now
        elif code == 8:
            self.pending = ""
        return None


@dataclass(frozen=True)
class Sent:
    """What a device's line says: a text to be read in the job's unit, or a short reason why there is none."""

    text: str
    reason: str = ""


def understood(line: str, laser_unit: str, job_unit: LengthUnit) -> Sent:
    """Return what a device's line says.

    Parameters
    ----------
    line
        As it was sent: inches, feet, metres, centimetres or millimetres, with a point or a comma, with or
        without a unit; spaces and signs of a list around it are nothing to it.
    laser_unit
        `Settings.laser_unit`: what a bare number means; `as the job`, or a unit.
    job_unit
        What a bare number means to the job: a text that means something else says its unit.

    Examples
    --------
    >>> understood("1,234 m", "as the job", "in"), understood(" 34.3125", "as the job", "in")
    (Sent(text='1.234 m', reason=''), Sent(text='34.3125', reason=''))
    >>> understood("0.872", "m", "mm")
    Sent(text='0.872 m', reason='')
    >>> understood("Err 204", "m", "in")
    Sent(text='', reason='The laser sent “Err 204”: no length. Shoot again.')
    """
    raw = line.strip()
    text = _COMMA.sub(".", raw.strip("+;=: \t")).lower()
    if laser_unit != "as the job" and laser_unit != job_unit and not _UNIT.search(text):
        text = f"{text} {laser_unit}"
    try:
        mm = read_length(text, job_unit).mm
    except QuantityError:
        return Sent("", f"The laser sent “{_short(raw)}”: no length. Shoot again.")
    if mm <= 0:
        return Sent("", f"The laser sent “{_short(raw)}”: nothing to measure. Shoot again.")
    return Sent(text)


def _short(raw: str) -> str:
    shown = "".join(letter if letter.isprintable() else " " for letter in raw)
    return shown if len(shown) <= 24 else f"{shown[:24]}…"

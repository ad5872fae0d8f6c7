"""What is chosen of a job, in plain words: its unit, smallest fraction, and how sure to be before cutting."""

from __future__ import annotations

from typing import Final, Literal

from survey.app.typed import typeset

Unit = Literal["in", "mm"]

UNITS: Final[dict[Unit, str]] = {"in": "Inches", "mm": "Millimetres"}
STEPS: Final[dict[Unit, tuple[str, ...]]] = {"in": ("1/16", "1/32", "1/64"), "mm": ("1 mm", "0.5 mm")}
"""Smallest fractions of a unit, the usual one first."""
SURE: Final = (0.9, 0.95, 0.99, 0.995, 0.999)
"""Chances to choose from that a piece goes in; any other that a record holds stays."""


def step_words(step: str) -> str:
    """Say a smallest fraction as it is shown.

    >>> step_words("1/16"), step_words("0.5 mm")
    ('1⁄16″', '0.5 mm')
    """
    return typeset(step, "in")


def sure_words(confidence: float) -> str:
    """Say a chance in pieces, as a shop counts.

    >>> [sure_words(one) for one in (0.9, 0.99, 0.995, 0.9876)]
    ['9 of 10 go in', '99 of 100 go in', '995 of 1000 go in', '98.76 of 100 go in']
    """
    for of in (10, 100, 1000):
        if abs(confidence * of - round(confidence * of)) < 1e-9:
            return f"{round(confidence * of)} of {of} go in"
    return f"{100 * confidence:.4g} of 100 go in"

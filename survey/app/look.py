"""How everything looks: roles of colour and sizes of letters.

A page never names a colour or a size; it names a role. The inks by day are those of the drawings on paper.
"""

from __future__ import annotations

from typing import Final

from kivy.event import EventDispatcher
from kivy.metrics import sp
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty

from survey.ink import ALERT, CHALK, INK, PAPER, PENCIL, Ink

DAY: Final[dict[str, Ink]] = {
    "paper": PAPER, "card": Ink(240, 234, 222), "line": Ink(176, 168, 154), "ink": INK, "pencil": PENCIL,
    "chalk": CHALK, "wash": Ink(226, 234, 243), "alert": ALERT, "over_chalk": Ink(255, 255, 255),
}  # fmt: skip
NIGHT: Final[dict[str, Ink]] = {
    "paper": Ink(22, 22, 20), "card": Ink(40, 39, 36), "line": Ink(104, 100, 92), "ink": Ink(244, 239, 228),
    "pencil": Ink(190, 186, 176), "chalk": Ink(158, 202, 250), "wash": Ink(34, 46, 60),
    "alert": Ink(255, 178, 166), "over_chalk": Ink(16, 22, 30),
}  # fmt: skip
"""Paper, a key or card on it, a hairline, ink, pencil (quiet words, what is assumed or open), chalk (what can
be touched), a wash of it (what is chosen), alert (what stops the work), letters on chalk."""

SIZES: Final = {"small": 15, "body": 18, "lead": 22, "large": 28, "huge": 40}
"""Letters, sp."""


def colour(ink: Ink) -> tuple[float, float, float, float]:
    """Return an ink as Kivy takes it."""
    return ink.red / 255, ink.green / 255, ink.blue / 255, 1.0


class Look(EventDispatcher):
    """The one look that all widgets follow; change it and all change."""

    paper = ColorProperty(colour(DAY["paper"]))
    card = ColorProperty(colour(DAY["card"]))
    line = ColorProperty(colour(DAY["line"]))
    ink = ColorProperty(colour(DAY["ink"]))
    pencil = ColorProperty(colour(DAY["pencil"]))
    chalk = ColorProperty(colour(DAY["chalk"]))
    wash = ColorProperty(colour(DAY["wash"]))
    alert = ColorProperty(colour(DAY["alert"]))
    over_chalk = ColorProperty(colour(DAY["over_chalk"]))
    small = NumericProperty(SIZES["small"])
    body = NumericProperty(SIZES["body"])
    lead = NumericProperty(SIZES["lead"])
    large = NumericProperty(SIZES["large"])
    huge = NumericProperty(SIZES["huge"])
    is_left_handed = BooleanProperty(False)

    def wear(self, theme: str, text_size: float, hand: str) -> None:
        """Put on a theme (`day`, `night`), a factor on all letters, and the hand that holds the phone."""
        for role, ink in (NIGHT if theme == "night" else DAY).items():
            setattr(self, role, colour(ink))
        for name, size in SIZES.items():
            setattr(self, name, sp(size * text_size))
        self.is_left_handed = hand == "left"


look = Look()

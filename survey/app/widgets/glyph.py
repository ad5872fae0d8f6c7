"""Small signs, drawn by us: states of a reading, and ways to go. No sign stands without a word beside it."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Line, Triangle
from kivy.metrics import dp
from kivy.properties import ColorProperty, OptionProperty
from kivy.uix.widget import Widget

from survey.app.look import look


class Glyph(Widget):
    """One sign, as large as the widget's lesser side.

    `fine` a tick, `in doubt` a triangle with a stroke, `missing` an open ring; `back`, `on`, `up`, `down`
    arrow heads; `plus` and `cross`; `note` written lines, `photo` a camera.
    """

    sign = OptionProperty(
        "missing",
        options=["fine", "in doubt", "missing", "back", "on", "up", "down", "plus", "cross", "note", "photo"],
    )
    ink = ColorProperty((0, 0, 0, 0))

    def __init__(self, **given: Any) -> None:
        """Draw again when anything changes; without an ink of its own, in the look's."""
        super().__init__(**given)
        self._again = Clock.create_trigger(self._draw)
        self.bind(pos=self._again, size=self._again, sign=self._again, ink=self._again)
        look.bind(ink=self._worn)
        self._again()

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def _draw(self, *_: object) -> None:
        side = min(self.width, self.height)
        left, bottom = self.center_x - side / 2, self.center_y - side / 2

        def at(*shares: float) -> list[float]:
            return [(left, bottom)[number % 2] + share * side for number, share in enumerate(shares)]

        self.canvas.clear()
        with self.canvas:
            Color(*(self.ink if self.ink[3] else look.ink))
            thick = max(side / 18, dp(1.1))
            for points in STROKES.get(self.sign, ()):
                Line(points=at(*points), width=thick, joint="round", cap="round")
            if self.sign == "missing":
                Line(circle=(self.center_x, self.center_y, side * 0.34), width=max(thick * 0.8, 1))
            elif self.sign == "in doubt":
                Triangle(points=at(0.5, 0.94, 0.02, 0.08, 0.98, 0.08))
                Color(*look.paper)
                Line(points=at(0.5, 0.66, 0.5, 0.4), width=thick, cap="round")
                Line(circle=(self.center_x, bottom + 0.22 * side, thick * 0.6), width=thick * 0.6)
            elif self.sign == "photo":
                Line(rectangle=(*at(0.08, 0.2), 0.84 * side, 0.56 * side), width=thick * 0.8)
                Line(circle=(self.center_x, bottom + 0.48 * side, side * 0.16), width=thick * 0.8)


STROKES: dict[str, tuple[tuple[float, ...], ...]] = {
    "fine": ((0.16, 0.52, 0.4, 0.24, 0.86, 0.78),),
    "back": ((0.62, 0.16, 0.3, 0.5, 0.62, 0.84),),
    "on": ((0.38, 0.16, 0.7, 0.5, 0.38, 0.84),),
    "up": ((0.16, 0.36, 0.5, 0.68, 0.84, 0.36),),
    "down": ((0.16, 0.66, 0.5, 0.34, 0.84, 0.66),),
    "plus": ((0.5, 0.16, 0.5, 0.84), (0.16, 0.5, 0.84, 0.5)),
    "cross": ((0.2, 0.2, 0.8, 0.8), (0.2, 0.8, 0.8, 0.2)),
    "note": ((0.14, 0.74, 0.86, 0.74), (0.14, 0.5, 0.86, 0.5), (0.14, 0.26, 0.56, 0.26)),
}

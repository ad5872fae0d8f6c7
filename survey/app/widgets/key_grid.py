"""Keys side by side, as many as their words have room for; all of one row are as high as its highest."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import NumericProperty
from kivy.uix.gridlayout import GridLayout

from survey.app.look import look

LETTERS_OF_A_KEY = 5.4
"""Width of a key in heights of its letters, at which the longest of our words still fits."""


class KeyGrid(GridLayout):
    """A grid of keys (`Key`); `most` is how many stand side by side where there is room."""

    most = NumericProperty(3)

    def __init__(self, **given: Any) -> None:
        """Fit again when the width, the keys or their letters change."""
        super().__init__(cols=1, size_hint_y=None, height=0, **given)  # without keys it stays so
        self.spacing = dp(8)
        self._again = Clock.create_trigger(self._fit)
        self.bind(width=self._again, children=self._again, minimum_height=self.setter("height"))
        look.bind(body=self._worn)

    def _worn(self, *_: object) -> None:
        """Fit the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def add_widget(self, widget: Any, *args: Any, **given: Any) -> None:
        """Take a key; its row says how high it is."""
        widget.fbind("texture_size", self._again)
        super().add_widget(widget, *args, **given)

    def _fit(self, *_: object) -> None:
        room = int((self.width + dp(8)) // (LETTERS_OF_A_KEY * look.body + dp(8)))
        self.cols = max(1, min(self.most, room, len(self.children)))
        keys = self.children[::-1]
        for at in range(0, len(keys), self.cols):
            row = keys[at : at + self.cols]
            high = max(dp(52), *(key.texture_size[1] + dp(20) for key in row))
            for key in row:
                key.height = high

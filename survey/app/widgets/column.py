"""A column of widgets that is filled a few at a time, so that a long one never holds up a thumb."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from kivy.clock import Clock
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

AT_ONCE: Final = 8
"""Widgets that are put between two frames."""


class Column(BoxLayout):
    """As high as what is in it."""

    def __init__(self, **given: Any) -> None:
        """Stand empty."""
        super().__init__(orientation="vertical", size_hint_y=None, **given)
        self.bind(minimum_height=self.setter("height"))
        self._left: Iterator[Widget] = iter(())
        self._go_on = Clock.create_trigger(self._put)

    def pour(self, widgets: Iterable[Widget]) -> None:
        """Put these in place of what is there: some now, the others after the next frames."""
        self.clear_widgets()
        self._left = iter(widgets)
        self._put()

    def _put(self, *_: object) -> None:
        for _number in range(AT_ONCE):
            widget = next(self._left, None)
            if widget is None:
                return
            self.add_widget(widget)
        self._go_on()

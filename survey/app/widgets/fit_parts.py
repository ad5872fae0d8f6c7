"""Parts of the Fit pages: a number with its name, words under a sign, a picture to press, what folds out."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.stacklayout import StackLayout
from kivy.uix.widget import Widget

from survey.app.page import load_kv
from survey.app.plain import Pressable, Row
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it
from survey.app.widgets import picture as _picture  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.report.structs import Dimension

A_FRAME = 0.006
"""Seconds of each frame that are taken to make parts of a page."""


class Gathering:
    """Makes the parts of a page a few in each frame, so that it never holds up the screen.

    `done` gets them when all are made; what was begun before and is not done is let go.
    """

    def __init__(self) -> None:
        """Begin with nothing to make."""
        self._event: Any = None

    def begin(self, parts: Iterator[Any], done: Callable[[list[Any]], None]) -> None:
        """Make these parts."""
        self.stop()
        made: list[Any] = []

        def make(_: float) -> bool:
            end = time.perf_counter() + A_FRAME
            for part in parts:
                made.append(part)
                if time.perf_counter() > end:
                    return True
            self._event = None
            done(made)
            return False

        self._event = Clock.schedule_interval(make, 0)

    @property
    def is_busy(self) -> bool:
        """Whether something is being made."""
        return self._event is not None

    def stop(self) -> None:
        """Make no more of it."""
        if self._event is not None:
            self._event.cancel()
            self._event = None


class Part(BoxLayout):
    """A column as high as what is in it."""


class Figure(BoxLayout):
    """A number and what it is; one below the other where they have no room side by side."""

    words = StringProperty()
    number = StringProperty()
    size_of = NumericProperty(0)
    """Letters of the number, px; the look's `lead` where it is 0."""
    least = NumericProperty(6.6)
    """How many of its letters' heights wide it is at the least with both side by side."""
    is_old = BooleanProperty(False)


class Section(Part):
    """A heading and what stands below it."""

    words = StringProperty()
    says = StringProperty()


class Pair(BoxLayout):
    """Two numbers beside one another, or their heads."""

    left = StringProperty()
    right = StringProperty()
    is_head = BooleanProperty(False)


class Signed(BoxLayout):
    """Words beside a sign."""

    sign = StringProperty("fine")
    words = StringProperty()
    ink = ColorProperty((0, 0, 0, 0))


class FindingRow(Row):
    """Something missing or in doubt, what to do, and the words of where that is done."""

    sign = StringProperty("in doubt")
    gravity = StringProperty()
    says = StringProperty()
    does = StringProperty()
    leads_to = StringProperty()


class RecordRow(Row):
    """A record to go to: what it is, and what it says."""

    words = StringProperty()
    value = StringProperty()


class PictureKey(Pressable, BoxLayout):
    """A picture that is pressed as a whole; as high as its picture needs, at most `most` px."""

    laid_out = ObjectProperty(None, allownone=True)
    words = StringProperty()
    most = NumericProperty(300)


class Stations(StackLayout):
    """Depths along an edge, each under its place."""


class Station(BoxLayout):
    """One place and the depth there."""

    at = StringProperty()
    depth = StringProperty()


class FoldKey(Row):
    """The line that folds something out and in."""

    words = StringProperty()
    is_open = BooleanProperty(False)


class Fold(Part):
    """A line that folds out what `fill` makes, when it is first pressed."""

    words = StringProperty()
    is_open = BooleanProperty(False)

    def __init__(self, words: str, fill: Callable[[], Iterable[Widget]], **given: Any) -> None:
        """Begin folded in."""
        super().__init__(words=words, **given)
        self._fill = fill
        self.ids.line.bind(on_release=lambda _: self.turn())

    def turn(self) -> None:
        """Fold out, or in again."""
        self.is_open = not self.is_open
        inside = self.ids.inside
        inside.clear_widgets()
        if self.is_open:
            for one in self._fill():
                inside.add_widget(one)


def section(words: str, *parts: Widget, says: str = "") -> Section:
    """Make a heading with parts below it."""
    told = Section(words=words, says=says)
    for part in parts:
        told.add_widget(part)
    return told


def figure(words: str, size: Dimension, letters: float = 0) -> Figure:
    """Make a number of a report with its name; `letters` px high, or as the look leads."""
    from survey.app.fit_words import held

    return Figure(words=words, number=held(size.text), size_of=letters)


load_kv(__file__)

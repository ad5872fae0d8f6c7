"""The number pad: digits, fractions down to the job's, one more and one less, and the key that ends a value.

What its keys do to the text is `survey.app.typed`; here they are laid out. Its keys are at least 64 dp high
and 48 wide on a screen 320 dp wide (360 with all sixteenths).
"""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from survey.app.look import look
from survey.app.page import load_kv
from survey.app.plain import Pressable
from survey.app.typed import Asked, PadKey, pad_keys, pressed
from survey.quantity import read_step

GAP: Final = 3
"""dp between keys, and around them."""
HIGH: Final = 64
"""dp: a key's least height."""
ROOMY: Final = 360
"""dp of width from which each sixteenth can have a key."""


class PadButton(Pressable, Label):
    """One key of the pad."""

    does = StringProperty("digit")
    letters = NumericProperty(0)
    room = NumericProperty(1.0)
    """The width of the words in letter heights: letters shrink until they fit the key."""
    is_measuring = True

    def __init__(self, key: PadKey, **given: Any) -> None:
        """Stand for a key."""
        super().__init__(does=key.does, text=key.words, **given)
        self.key = key
        look.bind(lead=self._letter, large=self._letter, body=self._letter, small=self._letter)
        self.fbind("text", self._letter)
        self._letter()

    def _letter(self, *_: object) -> None:
        if "⁄" in self.text:
            # All fractions alike, so that the longest fits.
            self.letters, self.room = look.lead * 1.15, 2.1 if self.does == "fraction" else 2.25
            return
        is_number = self.does in ("digit", "point", "sign")
        self.letters = look.large if is_number else look.body if self.does == "main" else look.small
        # The longest word stands whole; several stand under one another.
        self.room = 0.56 * max((len(word) for word in self.text.split()), default=1) + 0.25


class NumberPad(Widget):
    """Keys that type into `text`; `on_done` and `on_second` come with the keys that do not.

    `asked` says what is typed, `main` and `extra` what stands on those keys (no `extra`, no such key). Where
    `is_roomy` each sixteenth has a key. It is mirrored for the left hand and as high as its keys need.
    """

    text = StringProperty()
    asked = ObjectProperty(Asked("in", read_step("1/16")))
    main = StringProperty("Save")
    extra = StringProperty()
    is_roomy = BooleanProperty(False)
    key_height = NumericProperty(HIGH)
    """dp."""

    __events__ = ("on_done", "on_second")

    def __init__(self, **given: Any) -> None:
        """Put the keys up, and again when other ones are needed."""
        super().__init__(**given)
        self._grid: list[tuple[PadButton, int, int, int]] = []
        self._rows: tuple[tuple[PadKey | None, ...], ...] = ()
        self._columns = 6
        self.bind(asked=self._build, extra=self._build, is_roomy=self._build, main=self._rename)
        again = Clock.create_trigger(self._place, -1)
        self.bind(pos=again, size=again, key_height=self._build)
        look.bind(is_left_handed=self._build)
        self._build()

    def on_done(self) -> None:
        """Nothing; pages bind it."""

    def on_second(self) -> None:
        """Nothing; pages bind it."""

    def _build(self, *_: object) -> None:
        rows = pad_keys(self.asked, self.main, self.extra, self.is_roomy, look.is_left_handed)
        self.height = len(rows) * dp(self.key_height + GAP) + dp(GAP)
        if rows == self._rows:
            self._place()
            return
        self._rows = rows
        self.clear_widgets()
        self._grid = []
        self._columns = max(sum(key.span if key else 1 for key in row) for row in rows)
        for down, row in enumerate(rows):
            across = 0
            for key in row:
                if key is not None:
                    button = PadButton(key)
                    button.bind(on_release=self._press)
                    self._grid.append((button, down, across, key.span))
                    self.add_widget(button)
                across += key.span if key else 1
        self._place()

    def _place(self, *_: object) -> None:
        """Lay the keys out, from the top."""
        gap = dp(GAP)
        wide = (self.width - gap * (self._columns + 1)) / self._columns
        for button, down, across, span in self._grid:
            button.size = wide * span + gap * (span - 1), dp(self.key_height)
            button.x = self.x + gap + across * (wide + gap)
            button.top = self.top - gap - down * dp(self.key_height + GAP)

    def _rename(self, *_: object) -> None:
        for button, *_rest in self._grid:
            if button.does == "main":
                button.text = self.main

    def _press(self, button: PadButton) -> None:
        if button.does == "main":
            self.dispatch("on_done")
        elif button.does == "extra":
            self.dispatch("on_second")
        else:
            self.text = pressed(self.text, button.key, self.asked)


load_kv(__file__)

"""The small widgets that all pages share: words, keys, rows of a list, a field."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import BooleanProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget


class Words(Label):
    """Words that wrap, as high as they need."""


class Quiet(Words):
    """Words in pencil: what explains, and what is assumed or still open."""


class Heading(Words):
    """What a part of a page is about."""


class Pressable(ButtonBehavior, Widget):
    """What can be pressed by a thumb, and by the keyboard while `is_ringed` (see `keyboard`)."""

    is_ringed = BooleanProperty(False)

    def press(self) -> None:
        """Act as after a tap."""
        self.dispatch("on_press")
        self.dispatch("on_release")


class Key(Pressable, Label):
    """A key with a word or two on it; `is_main` for the one thing that a page is there for."""

    is_main = BooleanProperty(False)
    is_chosen = BooleanProperty(False)


class Row(Pressable, BoxLayout):
    """A line of a list that can be pressed: words in it, and a hairline below."""


class Field(TextInput):
    """One line of words to be typed: names and notes; numbers are typed on the number pad."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))

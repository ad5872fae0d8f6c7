"""Lines of a list that lead nowhere: a thing with a word about it, and what is in the way."""

from __future__ import annotations

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.page import load_kv
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it


class Listed(BoxLayout):
    """A thing, `words`, and what is `told` of it."""

    words = StringProperty()
    told = StringProperty()


class InTheWay(BoxLayout):
    """Something that stops the work."""

    words = StringProperty()


load_kv(__file__)

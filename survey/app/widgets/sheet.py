"""What comes up from below over a page: a choice, or words to type. A tap beside it, or Back, lets it go."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Any, TypeVar

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.modalview import ModalView

from survey.app.keyboard import BACKSPACE, ENTER, ESCAPE, PAD_ENTER, SPACE, TAB, Ring
from survey.app.page import load_kv
from survey.app.plain import Key

Value = TypeVar("Value")


class Sheet(ModalView):
    """A sheet with a title; put widgets into `ids.body`. It takes the keyboard while it is open."""

    title = StringProperty()
    wide = ObjectProperty(None)
    margin = NumericProperty(12)
    """dp left free beside what is in it."""

    def __init__(self, **given: Any) -> None:
        """Stand at the bottom, at most as high as the window."""
        super().__init__(**given)
        self._ring = Ring(self)
        self.ids.body.bind(minimum_height=self._fit)
        Window.bind(size=self._fit)
        self._fit()

    def _fit(self, *_: object) -> None:
        head = self.ids.head.height + dp(33)  # what is above, between and below
        self.size_hint = (None, None)
        self.width = min(Window.width, dp(560))
        self.height = min(self.ids.body.minimum_height + head, Window.height - dp(24))

    def on_open(self) -> None:
        """Listen to the keyboard."""
        Window.bind(on_key_down=self.take_key)

    def on_dismiss(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self.take_key, size=self._fit)

    def take_key(self, _window: Any, code: int, _scan: int, text: str | None, mods: list[str]) -> bool:
        """Move the ring, press, or let the sheet go; nothing reaches the page below."""
        if code == ESCAPE:
            self.dismiss()
            return True
        if code == TAB:
            self._ring.go(-1 if "shift" in mods else 1)
        elif code in (ENTER, PAD_ENTER, SPACE):
            self._ring.press()
        return code != BACKSPACE or not self._is_typing()

    def _is_typing(self) -> bool:
        return any(getattr(one, "focus", False) for one in self.walk())


class WordsSheet(Sheet):
    """A sheet with one field."""

    def take_key(self, window: Any, code: int, scan: int, text: str | None, mods: list[str]) -> bool:
        """Leave letters to the field."""
        if code == ESCAPE or not self._is_typing():
            return super().take_key(window, code, scan, text, mods)
        return False


def choose(
    title: str,
    options: Sequence[tuple[Value, str]],
    chosen: Callable[[Value], None],
    now: Value | None = None,
) -> Sheet:
    """Let the person choose one of several; `options` are values with words, `now` is marked.

    `chosen` is called when the sheet has gone.
    """
    sheet = Sheet(title=title)
    for value, words in options:
        key = Key(text=words, is_chosen=value == now)
        key.bind(on_release=lambda _key, value=value: _done(sheet, lambda: chosen(value)))
        sheet.ids.body.add_widget(key)
    sheet.open(animation=False)
    return sheet


def choose_several(
    title: str,
    options: Sequence[tuple[Value, str]],
    chosen: Callable[[list[Value]], None],
    now: Collection[Value] = (),
) -> Sheet:
    """Let the person mark any of several; `chosen` gets the marked ones, in order, when they are kept."""
    sheet, marked = Sheet(title=title), set(now)

    def mark(key: Key, value: Value) -> None:
        marked.symmetric_difference_update({value})
        key.is_chosen = value in marked

    for value, words in options:
        key = Key(text=words, is_chosen=value in marked)
        key.bind(on_release=lambda pressed, value=value: mark(pressed, value))
        sheet.ids.body.add_widget(key)
    keep = Key(text="Keep", is_main=True)
    keep.bind(on_release=lambda _: _done(sheet, lambda: chosen([one for one, _ in options if one in marked])))
    sheet.ids.body.add_widget(keep)
    sheet.open(animation=False)
    return sheet


def ask_words(
    title: str, done: Callable[[str], None], text: str = "", hint: str = "", is_long: bool = False
) -> Sheet:
    """Let the person type words; `done` gets them when they are kept."""
    sheet = WordsSheet(title=title)
    part = _WordsPart(text=text, hint=hint, is_long=is_long)
    part.ids.keep.bind(on_release=lambda _: _done(sheet, lambda: done(part.ids.field.text.strip())))
    part.ids.field.bind(on_text_validate=lambda _: _done(sheet, lambda: done(part.ids.field.text.strip())))
    sheet.ids.body.add_widget(part)
    sheet.open(animation=False)
    return sheet


class _WordsPart(BoxLayout):
    text = StringProperty()
    hint = StringProperty()
    is_long = ObjectProperty(False)


def _done(sheet: Sheet, then: Callable[[], None]) -> None:
    sheet.dismiss(animation=False)
    then()


load_kv(__file__)

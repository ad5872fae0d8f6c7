"""The frame around every page: title and way back above, the four places below, a strip for messages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.page import PLACES, Page, load_kv
from survey.app.plain import Pressable
from survey.app.widgets import glyph as _glyph  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

TOLD_FOR = 6.0
"""Seconds that a message stays, unless the next comes first."""


class PlaceKey(Pressable, BoxLayout):
    """One of the four places."""

    name = StringProperty()
    words = StringProperty()
    is_here = BooleanProperty(False)


class SignKey(Pressable, BoxLayout):
    """A sign that can be pressed, with its word below; it takes no room unless it `is_there`."""

    sign = StringProperty("back")
    words = StringProperty()
    is_there = BooleanProperty(True)


class Shell(BoxLayout):
    """The root of the app's window.

    `insets` are what the phone's own bars cover (left, top, right, bottom; pixels).
    """

    app: ScribefitApp = ObjectProperty(None)
    title = StringProperty()
    job = StringProperty()
    place = StringProperty()
    has_back = BooleanProperty(False)
    can_undo = BooleanProperty(False)
    can_redo = BooleanProperty(False)
    message = StringProperty()
    message_undoes = BooleanProperty(False)
    is_wide = BooleanProperty(False)
    insets = ListProperty([0, 0, 0, 0])
    told_at = NumericProperty(0)

    def __init__(self, app: ScribefitApp) -> None:
        """Hold pages for an app."""
        super().__init__(app=app)
        self.page: Page | None = None
        self._quiet = Clock.create_trigger(self._forget, TOLD_FOR)
        for name, words in PLACES.items():
            for bar in (self.ids.bottom, self.ids.side):
                key = PlaceKey(name=name, words=words)
                key.bind(on_release=lambda pressed: app.go_to_place(pressed.name))
                bar.add_widget(key)
        self.bind(size=self._turn, place=self._light)
        self._turn()

    def show(self, page: Page) -> None:
        """Put a page in the frame."""
        if self.page is not None:
            self.page.left()
        self.ids.body.clear_widgets()
        self.page = page
        self.ids.body.add_widget(page)
        page.fbind("title", lambda shown, title: self._entitle(shown, title))
        self._entitle(page, page.title)
        self.place = page.place
        self._turn()
        page.shown()

    def tell(self, words: str, undoes: bool = False) -> None:
        """Say something in a line, with a key to undo it where that can be."""
        self.message, self.message_undoes = words, undoes
        self._quiet.cancel()
        self._quiet()

    def _entitle(self, page: Page, title: str) -> None:
        if page is self.page:
            self.title = title

    def _forget(self, *_: object) -> None:
        self.message, self.message_undoes = "", False

    def _light(self, *_: object) -> None:
        for bar in (self.ids.bottom, self.ids.side):
            for key in bar.children:
                key.is_here = key.name == self.place

    def _turn(self, *_: Any) -> None:
        """Put the places at the side where the window is wider than high."""
        self.is_wide = self.width > self.height * 1.1 and self.width > dp(520)


load_kv(__file__)

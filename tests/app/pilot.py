"""Drives the real app without a display: touches, keys, pictures."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from kivy.animation import Animation
from kivy.base import EventLoop, ExceptionManager, runTouchApp
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.effects.scroll import ScrollEffect
from kivy.graphics.opengl import GL_RGBA, glReadPixels
from kivy.input.motionevent import MotionEvent
from kivy.metrics import Metrics
from kivy.uix.behaviors import FocusBehavior
from kivy.uix.modalview import ModalView
from kivy.uix.widget import Widget

ESCAPE, ENTER, TAB, BACKSPACE = 27, 13, 9, 8
SOON = 0.2
"""Seconds: what the app puts off by no more than this, it does before a page rests."""


class Finger(MotionEvent):
    """A finger on the glass, at window pixels."""

    def __init__(self, x: float, y: float) -> None:
        super().__init__(
            "pilot", f"finger {id(self)}", {"x": x / Window.width, "y": y / Window.height},
            is_touch=True, type_id="touch",
        )  # fmt: skip

    def depack(self, args: Any) -> None:
        """Take a place, as a share of the window."""
        self.sx, self.sy = args["x"], args["y"]
        self.profile = ["pos"]
        super().depack(args)

    def down(self) -> None:
        EventLoop.post_dispatch_input("begin", self)

    def move(self, x: float, y: float) -> None:
        self.move_to(x, y)
        EventLoop.post_dispatch_input("update", self)

    def move_to(self, x: float, y: float) -> None:
        super().move({"x": x / Window.width, "y": y / Window.height})

    def up(self) -> None:
        EventLoop.post_dispatch_input("end", self)


class Pilot:
    """An app on the screen of a phone; `size` in dp."""

    def __init__(
        self,
        app: Any,
        size: tuple[int, int] = (360, 640),
        density: float = 1.0,
        fontscale: float = 1.0,
        draws: bool = False,
    ) -> None:
        self.app = app
        self.draws = draws
        """Whether every frame is drawn, and not only for a `shot`."""
        self.size = size
        self.density = density
        self.fontscale = fontscale
        self.taps = 0
        self.opened: Any = None
        """The survey of the open job as a test found it; see `gallery`."""
        self.is_calm = False
        """Whether errors go to the app, as on a phone, and not to the test."""

    def __enter__(self) -> Self:
        Metrics.density = self.density
        Metrics.dpi = 160 * self.density
        Metrics.fontscale = self.fontscale
        EventLoop.quit = False
        EventLoop.stopping = False
        EventLoop.status = "idle"
        Window.size = tuple(int(v * self.density) for v in self.size)
        Window.bind(on_draw=_skip, on_flip=_skip)
        self.app._run_prepare()
        runTouchApp(embedded=True)
        self.frames(4)
        self.rest()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, traceback: TracebackType | None
    ) -> None:
        for widget in list(FocusBehavior._keyboards.values()):
            if widget:
                widget.focus = False  # else the next app's first focus fails
        for child in Window.children[:]:
            if isinstance(child, ModalView):
                child.dismiss(animation=False)  # else it takes the next app's keys for as long as it lives
        self.app._stop()
        Window.unbind(on_draw=_skip, on_flip=_skip)
        for child in Window.children[:]:
            Window.remove_widget(child)
        EventLoop.me_list.clear()

    # Time

    def frames(self, count: int = 1) -> None:
        for _ in range(count):
            try:
                EventLoop.idle()
            except Exception as error:
                # As Kivy's own loop does; a test that does not expect an error sees it.
                if not self.is_calm or ExceptionManager.handle_exception(error) == ExceptionManager.RAISE:
                    raise

    def wait(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.frames(1)

    def until(self, test: Callable[[], object], seconds: float = 180.0) -> None:
        """Wait for something; long enough for a machine that is busy or slow."""
        end = time.monotonic() + seconds
        while not test():
            assert time.monotonic() < end, f"not reached in {seconds} s"
            self.frames(1)
            time.sleep(0.005)  # a frame that is drawn over and over leaves other threads nothing

    def rest(self, most: float = 10.0) -> None:
        """Let what is worked out beside the screen come, as a person waits for a page to rest."""
        end = time.monotonic() + most
        while time.monotonic() < end and (
            any(one.name == "beside" for one in threading.enumerate()) or _is_due()
        ):
            self.frames(1)
            time.sleep(0.002)
        self.settle()

    def settle(self, most: float = 10.0) -> None:
        """Let the screen finish what it puts off a moment: lists that fill, pictures, keys that come up.

        However slow the machine: counted in what is still to be done, not in frames or seconds.
        """
        end = time.monotonic() + most
        self.frames(2)
        while _is_due() and time.monotonic() < end:
            self.frames(1)

    def answered(self) -> None:
        """Wait until the report is that of what was put down."""
        self.until(lambda: self.app.is_fresh)

    # What is there

    def all(self, kind: type[Widget] = Widget) -> list[Any]:
        """Return the widgets that are shown, of a kind."""
        return [one for one in Window.children[0].walk() if isinstance(one, kind) and shown(one)] + [
            one
            for child in Window.children[1:]
            for one in child.walk()
            if isinstance(one, kind) and shown(one)
        ]

    def find(self, words: str, kind: type[Widget] = Widget) -> Any:
        """Return the one thing to press whose words are these, or begin so where none is the very same."""
        found, things = self._said_by(words, kind)
        if not found:
            self.rest()
            found, things = self._said_by(words, kind)
        assert found, f"expected something to press that says {words!r}, got {things}"
        return found[0]

    def _said_by(self, words: str, kind: type[Widget]) -> tuple[list[Any], list[str]]:
        """Return what says these words, and the words of all that can be pressed."""
        from survey.app.plain import Pressable

        things = [(said(one), one) for one in self.all(Pressable) if isinstance(one, kind)]
        same = [one for text, one in things if text == words]
        begins = [one for text, one in things if text.startswith(words)]
        return same or begins, [text for text, _ in things]

    def has(self, words: str) -> bool:
        """Whether these words are somewhere on the screen."""
        if words in self.text():
            return True
        self.settle()
        return words in self.text()

    def text(self) -> str:
        """Return all words on the screen."""
        return "\n".join(one.text for one in self.all() if isinstance(getattr(one, "text", None), str))

    # Fingers

    def tap(self, thing: str | Widget) -> None:
        """Tap a thing, by its words or itself; it is scrolled to where it can be seen first."""
        from survey.app.plain import Pressable

        self.rest(2.0)  # else what is touched may still move
        widget = self.find(thing) if isinstance(thing, str) else thing
        self.scroll_to(widget)
        x, y = widget.to_window(*widget.center)
        assert 0 <= x <= Window.width, f"{said(widget)!r} is off the screen"
        assert 0 <= y <= Window.height, f"{said(widget)!r} is off the screen"
        released: list[object] = []
        if isinstance(widget, Pressable):
            widget.bind(on_release=released.append)
        self.touch(x, y)
        if isinstance(thing, str) and isinstance(widget, Pressable) and not released and not shown(widget):
            # The page was drawn anew under the finger, as when a report comes: a person taps again.
            self.taps -= 1
            self.tap(thing)

    def touch(self, x: float, y: float) -> None:
        finger = Finger(x, y)
        finger.down()
        self.settle()  # as long as a finger stays: else a list that scrolls hands the touch on later
        finger.up()
        self.settle()
        self.taps += 1

    def drag(self, start: tuple[float, float], end: tuple[float, float], steps: int = 8) -> None:
        finger = Finger(*start)
        finger.down()
        self.frames(1)
        for k in range(1, steps + 1):
            share = k / steps
            finger.move(start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            self.frames(1)
        finger.up()
        self.settle()

    def scroll_to(self, widget: Widget) -> None:
        from survey.app.keyboard import scroll_to

        scroll_to(widget, animate=False)
        self.settle()

    # Keys

    def key(self, code: int, text: str | None = None, mods: tuple[str, ...] = ()) -> bool:
        """Press a key, in the order in which SDL tells it: down, text, up."""
        taken = Window.dispatch("on_key_down", code, 0, text, list(mods))
        if not taken:
            taken = Window.dispatch("on_keyboard", code, 0, text, list(mods))
        if text and code != ENTER and any(FocusBehavior._keyboards.values()):
            Window.dispatch("on_textinput", text)
        Window.dispatch("on_key_up", code, 0)
        self.frames(1)
        return bool(taken)

    def type(self, line: str) -> None:
        """Type letters, as a keyboard does; a line break is Enter."""
        for letter in line:
            self.key(ENTER, "\r") if letter == "\n" else self.key(ord(letter), letter)

    def back(self) -> None:
        self.key(ESCAPE)
        self.settle()

    # Pictures

    def shot(self, path: Path | None = None) -> Any:
        """Return a picture of the screen, and keep it where a path is given."""
        from PIL import Image

        Window.unbind(on_draw=_skip, on_flip=_skip)
        Window.canvas.ask_update()
        self.frames(2)
        Window.bind(on_draw=_skip, on_flip=_skip)
        width, height = Window.size
        raw = glReadPixels(0, 0, width, height, GL_RGBA, 5121)
        picture = Image.frombytes("RGBA", (width, height), bytes(raw)).convert("RGB")
        picture = picture.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            picture.save(path)
        return picture


def _is_due() -> bool:
    """Whether the app has put something off that it does within a moment, or a sheet comes or goes.

    A sheet that goes still takes what is touched. What else moves or fades does not count.
    """
    return any(
        event.timeout <= 0 if event.loop else event.timeout <= SOON
        for event in Clock.get_events()
        if event.is_triggered and not _only_moves(getattr(event.get_callback(), "__self__", None))
    )


def _only_moves(doer: object) -> bool:
    if isinstance(doer, Animation):
        return not any(isinstance(moved["widget"], ModalView) for moved in doer._widgets.values())
    return isinstance(doer, ScrollEffect)


def _skip(*_: object) -> bool:
    """Draw nothing: without a graphics card that takes most of a frame, and only a picture needs it."""
    return True


def shown(widget: Widget) -> bool:
    """Whether a widget is on the screen, or could be scrolled there."""
    if not widget.get_root_window() or widget.width <= 0 or widget.height <= 0:
        return False
    parent = widget
    while parent is not None and parent is not parent.parent:
        if getattr(parent, "opacity", 1) == 0:
            return False
        parent = parent.parent
    return True


def said(widget: Widget) -> str:
    """Return the words on a thing: its own, or those of what is in it."""
    own = getattr(widget, "text", "")
    if own:
        return str(own)
    return " ".join(said(child) for child in reversed(widget.children) if said(child))

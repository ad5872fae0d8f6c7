"""A sheet with the number pad, for a length or an angle anywhere in the app."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from kivy.core.window import Window
from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.keyboard import ENTER, ESCAPE, PAD_ENTER, TAB
from survey.app.page import load_kv
from survey.app.typed import Asked, Sort, in_other_unit, refusal, typed_letter, typeset
from survey.app.widgets.pad import ROOMY, NumberPad
from survey.app.widgets.sheet import Sheet
from survey.quantity import read_step

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp


class NumberSheet(Sheet):
    """A sheet with the value as it is typed, what it is in the other unit, and the pad."""

    def __init__(self, part: _NumberPart, done: Callable[[str], None], **given: Any) -> None:
        """Let a value be typed; `done` gets it when it is kept."""
        super().__init__(margin=0, **given)
        self._part = part
        self._done = done
        self.ids.body.add_widget(part)
        part.pad.bind(on_done=lambda _: self.keep())

    def keep(self) -> None:
        """Hand the value on and go; what cannot be read stays, with the reason."""
        text = self._part.pad.text.strip()
        if self._part.refuse(text):
            return
        self.dismiss(animation=False)
        self._done(text)

    def take_key(self, window: Any, code: int, scan: int, text: str | None, mods: list[str]) -> bool:
        """Take letters into the value; Enter keeps it unless Tab has gone to a key."""
        if code in (ESCAPE, TAB):
            return super().take_key(window, code, scan, text, mods)
        if code in (ENTER, PAD_ENTER):
            if not self._ring.press():
                self.keep()
            return True
        typed = typed_letter(self._part.pad.text, code, text or "")
        if typed is not None:
            self._part.pad.text = typed
        return True


class _NumberPart(BoxLayout):
    hint = StringProperty()
    shown = StringProperty()
    other = StringProperty()
    is_refused = BooleanProperty(False)

    def __init__(self, asked: Asked, text: str, hint: str) -> None:
        super().__init__(hint=hint)
        if Window.width > Window.height:
            self.orientation = "horizontal"
        is_roomy = dp(ROOMY) <= Window.width and Window.height >= dp(640)
        self.pad = NumberPad(asked=asked, text=text, main="Keep", is_roomy=is_roomy)
        self.pad.bind(text=self._echo)
        self.add_widget(self.pad)
        self._echo()

    def refuse(self, text: str) -> bool:
        """Say why a text is none that can be kept; False where it can."""
        reason = refusal(text, self.pad.asked)
        if reason:
            self.other, self.is_refused = reason, True
        return bool(reason)

    def _echo(self, *_: object) -> None:
        pad = self.pad
        self.shown = typeset(pad.text, pad.asked.unit, pad.asked.sort)
        self.other, self.is_refused = in_other_unit(pad.text, pad.asked), False


def ask_length(
    app: ScribefitApp,
    title: str,
    done: Callable[[str], None],
    text: str = "",
    sort: Sort = "length",
    hint: str = "",
    is_signed: bool = False,
    step: str = "",
) -> Sheet:
    """Let the person type a length (or an angle) on the number pad.

    Parameters
    ----------
    app
        The app, for the open job's unit and smallest fraction (1/16 in where no job is open).
    title, hint
        What is asked, and a quiet line below it.
    done
        Gets the typed text when it is kept: one that `read_length(text, unit)` (or `read_angle`) accepts, or
        "" where it was cleared.
    text
        What stands there at first.
    is_signed
        Whether it may be below zero.
    step
        The smallest fraction (`1/16`, `1 mm`) in place of the open job's.
    """
    job = app.visit.survey.job if app.visit is not None else None
    finest = read_step(step or (job.step if job is not None else "1/16"))
    asked = Asked(finest.unit, finest, sort, is_signed)
    sheet = NumberSheet(_NumberPart(asked, text, hint), done, title=title)
    sheet.open(animation=False)
    return sheet


load_kv(__file__)

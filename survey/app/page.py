"""What a page is, and where each is found by its name; a page is imported when it is first shown."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.lang import Builder
from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app import plain as _plain  # noqa: F401  the rules of all pages name them

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

PLACES: Final = {"measure": "Measure", "pieces": "Pieces", "fit": "Fit", "handover": "Hand over"}
"""The four places of an open job, and their words at the bottom."""
WITHOUT_JOB: Final = frozenset({"jobs", "new_job", "settings", "unreadable"})
"""Pages that need no open job."""


class Page(BoxLayout):
    """One page. The app shows its `title` above it and lights the place it belongs to below.

    `given` are the words it was opened with, kept on the desk: a page can be opened again from them after a
    kill. Work is done in `shown`, `refresh` and the answers to taps, never in `__init__` of the class.
    """

    title = StringProperty()
    place = ""
    """Which of `PLACES` it belongs to; empty for pages without an open job."""

    app: ScribefitApp = ObjectProperty(None)

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Take the app and what the page is about."""
        super().__init__(orientation="vertical")
        self.app = app
        self.given = given

    def shown(self) -> None:
        """Called once, when the page is on the screen."""
        self.refresh()

    def refresh(self) -> None:
        """Show again what the survey (`app.visit.survey`) and `app.report` say; called after a change."""

    def turn(self, **given: str) -> bool:
        """Show something else in place, as when opened with these words; False lets a new page be made."""
        return False

    def left(self) -> None:
        """Called when the page goes."""

    def back(self) -> bool:
        """Take a step back within the page; False lets the app go back to the page before."""
        return False

    def key(self, code: int, text: str, mods: list[str]) -> bool:
        """Take a key of a keyboard, or of a laser that types like one; True when it was for the page."""
        return False


def page_class(name: str) -> type[Page]:
    """Return the page of a name: class `HandoverPage` of `survey.app.pages.handover` for `handover`."""
    module = import_module(f"survey.app.pages.{name}")
    found: Any = getattr(module, f"{''.join(word.title() for word in name.split('_'))}Page")
    return found


def load_kv(module_file: str) -> None:
    """Load the rules of a module from the `.kv` file beside it, once."""
    Builder.load_file(str(Path(module_file).with_suffix(".kv")))

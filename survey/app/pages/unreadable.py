"""A survey file that cannot be opened: why, and what can still be read of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.page import Page, load_kv
from survey.app.plain import Quiet, Words
from survey.app.widgets import column as _column  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.app.salvage import Salvaged
    from survey.errors import SurveyError

MOST: Final = 300
"""Lines that are shown; all of them are kept."""


class UnreadablePage(Page):
    """Says why the file at `path` cannot be opened, and shows what can be read. The file is never changed."""

    title = "This file cannot be opened"
    file_name = StringProperty()
    why = StringProperty()
    found = StringProperty()
    is_whole = BooleanProperty(False)
    can_keep = BooleanProperty(False)

    def shown(self) -> None:
        """Look at the file beside the screen."""
        self._path = Path(self.given.get("path", ""))
        self.file_name = str(self._path)
        self.found = "Looking at what can be read …"
        beside(self.app, partial(_open, self._path), self._opened, self._refused)

    def open_again(self) -> None:
        """Open the file, which can be opened after all."""
        self.app.open_job(self._path)

    def keep(self) -> None:
        """Put what can be read into a new job and open that."""
        path, folder, survey = self._path, self.app.desk.jobs, self._salvaged.survey

        def work() -> Path:
            from survey.app.salvage import salvaged_photos
            from survey.app.shelf import put_on

            return put_on(survey, folder, salvaged_photos(path))

        self.can_keep = False
        beside(self.app, work, self.app.open_job, self._not_kept)

    def _opened(self, _: None) -> None:
        self.is_whole, self.why, self.found = True, "It can be opened now.", ""

    def _refused(self, error: SurveyError) -> None:
        from survey.app.shelf import why

        told = why(self._path, error)
        self.why = f"{told[:1].upper()}{told[1:]}."
        beside(self.app, partial(_salvage, self._path), self._show, self._nothing)

    def _nothing(self, _: SurveyError) -> None:
        there = self._path.exists()
        self.found = "Nothing of it can be read as a survey. The file was not changed." if there else ""

    def _show(self, salvaged: Salvaged) -> None:
        from survey.app.salvage import lines

        self._salvaged = salvaged
        count, lost = len(salvaged.survey.records), salvaged.lost
        if not count:
            self.found = "No record in it is whole. The file was not changed."
            return
        rest = "nothing else was in it" if lost == 0 else f"{lost} cannot be read"
        if lost is None:
            rest = "how many more there were is not known"
        records = "1 record is" if count == 1 else f"{count} records are"
        self.found = f"{records} as they were saved; {rest}. The file was not changed."
        self.can_keep = not salvaged.is_newer
        self.ids.lines.pour(_told(lines(salvaged.survey)))

    def _not_kept(self, error: SurveyError) -> None:
        self.can_keep = True
        self.app.tell(str(error))


def _told(lines: Sequence[str]) -> Iterator[Widget]:
    for line in lines[:MOST]:
        yield Words(text=line, padding=(dp(16), dp(6)))
    if len(lines) > MOST:
        yield Quiet(text=f"And {len(lines) - MOST} more.", padding=(dp(16), dp(6)))


def _open(path: Path) -> None:
    from survey.file import SurveyFile

    with SurveyFile.open(path) as file:
        file.survey()


def _salvage(path: Path) -> Salvaged:
    from survey.app.salvage import salvage

    return salvage(path)


load_kv(__file__)

"""What changed since papers were handed over: pieces that are cut to them, readings, findings."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kivy.properties import ColorProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.page import Page, load_kv
from survey.app.plain import Heading, Quiet, Row, Words
from survey.app.widgets import column as _column  # noqa: F401  the rules name it
from survey.app.widgets.fit_parts import Part

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.changes import Changes, PieceChange
    from survey.errors import SurveyError
    from survey.report.structs import FitReport

COMPARING: Final = "Comparing with what was handed over …"
NEVER: Final = "Nothing was handed over yet. What changes afterwards stands here then."


class ChangedWords(Part):
    """A piece's name, what becomes of it if it is cut, and what is told otherwise of it."""

    name = StringProperty()
    name_ink = ColorProperty((0, 0, 0, 0))
    sign = StringProperty("fine")
    verdict = StringProperty()
    told = StringProperty()


class ChangedPiece(Row):
    """A piece that changed; a tap opens it."""

    name = StringProperty()
    sign = StringProperty("fine")
    verdict = StringProperty()
    told = StringProperty()


class GonePiece(Part):
    """A piece that is not there any more, told alike."""

    name = StringProperty()
    sign = StringProperty("fine")
    verdict = StringProperty()
    told = StringProperty()


class ChangedLine(Part):
    """A reading or a finding: how it changed, what it says, what it said."""

    kind = StringProperty()
    now = StringProperty()
    was = StringProperty()


class ChangesPage(Page):
    """Compares with the `folder` it is opened with, else with the newest one of this job's title."""

    title = "What changed"
    place = "handover"

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None

    def refresh(self) -> None:
        """Compare anew once there is a new report."""
        visit, report = self.app.visit, self.app.report
        if visit is None or report is None or not self.app.is_fresh:
            if self._told is None:
                self._say(COMPARING)
            return
        if report is self._told:
            return
        self._told = report
        folder = self._folder()
        if folder is None:
            self._say(NEVER)
            return
        self._say(COMPARING)
        work = partial(_since, folder, visit.survey, report)
        beside(self.app, work, partial(self._show, report), partial(self._refused, report))

    def _folder(self) -> Path | None:
        from survey.app.changed import last_folder
        from survey.app.giving import folder_above

        if "folder" in self.given:
            return Path(self.given["folder"])
        assert self.app.visit is not None
        return last_folder(folder_above(self.app.desk), self.app.visit.survey)

    def _say(self, words: str) -> None:
        self.ids.rows.pour([Words(text=words, padding=(0, 0, 0, 0))])

    def _refused(self, report: FitReport, error: SurveyError) -> None:
        if report is self._told:
            self._say(str(error))

    def _show(self, report: FitReport, found: Changes) -> None:
        if report is self._told:
            self.ids.rows.pour(self._rows(found, {piece.name for piece in report.pieces}))

    def _rows(self, found: Changes, there: set[str]) -> Iterator[Widget]:
        from survey.app.changed import finding_lines, headline, held, record_words

        first, second = headline(found)
        yield Heading(text=first)
        yield Quiet(text=second)
        for one in found.job:
            yield Words(text=held(one.words))
        if found.pieces:
            yield _titled("Pieces, if they are cut already")
        yield from (self._piece(one, one.name in there) for one in found.pieces)
        for title, rows in (
            ("What was put down", [record_words(one) for one in found.records]),
            ("Findings", [finding_lines(one) for one in found.findings]),
        ):
            if rows:
                yield _titled(title)
            for kind, now, was in rows:
                yield ChangedLine(kind=kind, now=now, was=was)

    def _piece(self, piece: PieceChange, is_there: bool) -> Widget:
        from survey.app.changed import lines_of, sign_of, verdict_words

        told = {
            "name": piece.name,
            "sign": sign_of(piece),
            "verdict": verdict_words(piece),
            "told": "\n".join(lines_of(piece)),
        }
        if not is_there:
            return GonePiece(**told)
        row = ChangedPiece(**told)
        row.bind(on_release=lambda _: self.app.go("fitted", piece=piece.name))
        return row


def _titled(words: str) -> Heading:
    from kivy.metrics import dp

    return Heading(text=words, padding=(0, dp(20), 0, dp(6)))


def _since(folder: Path, survey: object, report: FitReport) -> Changes:
    from survey.app.changed import since
    from survey.records import Survey

    assert isinstance(survey, Survey)
    return since(folder, survey, report)


load_kv(__file__)

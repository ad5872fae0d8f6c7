"""A look at a file that was handed over: its pages, its picture or its table."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.beside import beside
from survey.app.page import Page, load_kv
from survey.app.widgets import column as _column  # noqa: F401  the rules name it
from survey.app.widgets import picture as _picture  # noqa: F401

if TYPE_CHECKING:
    from survey.app.handed import CutRow, Preview
    from survey.errors import SurveyError


class CutListRow(BoxLayout):
    """A row of the cut list."""

    piece = StringProperty()
    about = StringProperty()
    note = StringProperty()


class SizeRow(BoxLayout):
    """One size of a piece: its name, finished and as the blank."""

    words = StringProperty()
    finished = StringProperty()
    blank = StringProperty()
    is_narrow = BooleanProperty(False)


class PreviewPage(Page):
    """Shows the `file`; its pages one at a time."""

    title = StringProperty("Preview")
    place = "handover"
    words = StringProperty()
    at = NumericProperty(0)
    count = NumericProperty(0)

    def shown(self) -> None:
        """Make the pages beside the screen."""
        self._file = Path(self.given.get("file", ""))
        self._pages: tuple[object, ...] = ()
        self.words = "Drawing …"
        beside(self.app, partial(_preview, self._file), self._show, self._refused)

    def leaf(self, by: int) -> None:
        """Turn to the next page, or to the one before."""
        self.at = min(max(self.at + by, 0), max(self.count - 1, 0))
        self.ids.picture.laid_out = self._pages[int(self.at)]

    def _show(self, preview: Preview) -> None:
        self.title = preview.title
        self._pages, self.count = preview.pages, len(preview.pages)
        self.words = ""
        if preview.pages:
            self.remove_widget(self.ids.table)
            self.leaf(0)
            return
        self.remove_widget(self.ids.picture)
        self.ids.rows.pour(_rows(preview.rows))
        if not preview.rows:
            self.remove_widget(self.ids.table)
            self.words = preview.words

    def _refused(self, error: SurveyError) -> None:
        self.words = str(error)


def _preview(file: Path) -> Preview:
    from survey.app.handed import preview

    return preview(file)


def _rows(rows: tuple[CutRow, ...]) -> Iterator[CutListRow]:
    from survey.drawing.piece_words import typeset

    for row in rows:
        card = CutListRow(piece=row.piece, about=row.about, note=typeset(row.note))
        for words, finished, blank in row.sizes:
            card.ids.sizes.add_widget(SizeRow(words=words, finished=_whole(finished), blank=_whole(blank)))
        yield card


def _whole(size: str) -> str:
    """Set a size so that no line breaks in it."""
    from survey.drawing.piece_words import typeset

    return typeset(size).replace(" ", "\u00a0")


load_kv(__file__)

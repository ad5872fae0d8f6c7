"""Choosing a file or folder on a computer: a sheet that shows one at a time. A phone has a way of its own."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial
from pathlib import Path
from typing import Final

from kivy.properties import StringProperty

from survey.app.page import load_kv
from survey.app.plain import Key, Row, Words
from survey.app.widgets.sheet import Sheet

MOST: Final = 200
"""Entries shown of one folder; more scroll past nobody's eye."""


class PlaceRow(Row):
    """A folder or a file, by its name."""

    sign = StringProperty("note")
    words = StringProperty()


class FileSheet(Sheet):
    """The sheet; `show` turns to a folder."""

    def __init__(
        self, title: str, suffixes: Collection[str], chosen: Callable[[Path], object], folder: Path
    ) -> None:
        """Begin at a folder."""
        super().__init__(title=title)
        self._suffixes = frozenset(suffixes)
        self._chosen = chosen
        self.show(folder)

    def show(self, folder: Path) -> None:
        """Show what is in a folder: the way up, its folders, its files of the kinds asked for."""
        body = self.ids.body
        body.clear_widgets()
        body.add_widget(Words(text=str(folder)))
        if folder.parent != folder:
            self._row("up", "Folder above", partial(self.show, folder.parent))
        try:
            folders, files = contents(folder, self._suffixes)
        except OSError as error:
            body.add_widget(Words(text=f"This folder cannot be read: {error.strerror or error}."))
            return
        for inner in folders[:MOST]:
            self._row("on", inner.name, partial(self.show, inner))
        for file in files[:MOST]:
            self._row("note", file.name, partial(self._take, file))
        if not files and self._suffixes:
            kinds = ", ".join(sorted(self._suffixes))
            body.add_widget(Words(text=f"No files that end in {kinds} here."))
        elif len(files) > MOST:
            body.add_widget(
                Words(text=f"And {len(files) - MOST} more: put the file into a folder of its own.")
            )

    def _row(self, sign: str, words: str, act: Callable[[], None]) -> None:
        row = PlaceRow(sign=sign, words=words)
        row.bind(on_release=lambda _: act())
        self.ids.body.add_widget(row)

    def _take(self, file: Path) -> None:
        self.dismiss(animation=False)
        self._chosen(file)


class FolderSheet(FileSheet):
    """The same for folders: the one that is shown can be taken."""

    def __init__(self, title: str, chosen: Callable[[Path], object], folder: Path) -> None:
        """Begin at a folder."""
        super().__init__(title, (), chosen, folder)

    def show(self, folder: Path) -> None:
        """Show a folder, with a key to take it."""
        super().show(folder)
        key = Key(text="Take this folder", is_main=True)
        key.bind(on_release=lambda _: self._take(folder))
        self.ids.body.add_widget(key, len(self.ids.body.children) - 1)


def choose_folder(title: str, chosen: Callable[[Path], object], folder: Path) -> FolderSheet:
    """Let the person choose a folder, beginning in one, or above it where it is not there any more."""
    there = next((one for one in (folder, *folder.parents) if one.is_dir()), Path.home())
    sheet = FolderSheet(title, chosen, there)
    sheet.open(animation=False)
    return sheet


def choose_file(
    title: str, suffixes: Collection[str], chosen: Callable[[Path], object], folder: Path | None = None
) -> FileSheet:
    """Let the person choose a file whose name ends in one of the suffixes, such as `.jpg`.

    It begins in `folder`, or in the person's own. `chosen` gets the file when the sheet has gone.
    """
    sheet = FileSheet(title, suffixes, chosen, folder or Path.home())
    sheet.open(animation=False)
    return sheet


def contents(folder: Path, suffixes: Collection[str]) -> tuple[list[Path], list[Path]]:
    """Return the folders and the files of these suffixes in a folder, by name; hidden ones left out.

    Raises
    ------
    OSError
        The folder cannot be read.
    """
    there = sorted(
        (one for one in folder.iterdir() if not one.name.startswith(".")), key=lambda one: one.name.lower()
    )
    folders = [one for one in there if one.is_dir()]
    return folders, [one for one in there if one.suffix.lower() in suffixes and one.is_file()]


load_kv(__file__)

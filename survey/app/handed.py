"""A folder that was handed over: what each file is for, and what it shows before it is printed or opened."""

from __future__ import annotations

import csv
import re
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from survey.errors import FileError
from survey.handover.manifest import NAME as MANIFEST

if TYPE_CHECKING:
    from survey.drawing import LaidOut
    from survey.handover.manifest import Manifest
    from survey.records import Survey
    from survey.report.structs import FitReport

WORDS: Final = {
    "job book": "Job book, to print",
    "cut list": "Cut list, for a spreadsheet",
    "saw list": "Saw list, for a program that divides boards",
    "outline": "Outline, for a machine",
    "template": "Template at full size, to print",
    "page": "A page of the job book, as a picture",
    "survey file": "Survey file: all that was read, to open again",
    "survey": "All that was read, as text",
    "fit report": "All results, for other programs",
    MANIFEST: "What belongs to this hand-over",
}
"""What a file is, by what the manifest calls it; people look at the first ones first."""
AT_FULL_SIZE: Final = (
    "Print it at 100 %, not fitted to the page. Its first page shows how the sheets lie, and how to check "
    "them with a tape."
)
_SIZE: Final = re.compile(r"(.*?) (-?\d.*)")


@dataclass(frozen=True)
class Handed:
    """A file of the folder, what it is, what that is for, and its size in bytes."""

    file: Path
    what: str
    words: str
    size: int


@dataclass(frozen=True)
class CutRow:
    """A row of the cut list: the piece, what it is, each size with that of the blank, a note."""

    piece: str
    about: str
    sizes: tuple[tuple[str, str, str], ...]
    note: str


@dataclass(frozen=True)
class Preview:
    """What a file shows: pages or pictures, or rows of a table; or in words why neither is shown."""

    title: str = "File"
    words: str = "Other programs read this one. There is nothing to look at."
    pages: tuple[LaidOut, ...] = ()
    rows: tuple[CutRow, ...] = ()


def files_of(folder: Path) -> list[Handed]:
    """Return the files, those that people look at first.

    Raises
    ------
    FileError
        The folder is not there any more, or cannot be read.
    """
    told = _manifest(folder)
    try:
        there = [(one, one.stat().st_size) for one in folder.iterdir() if one.is_file()]
    except OSError as error:
        raise FileError(f"{folder}: cannot be read: {error.strerror or error}; hand over again") from error
    whats = {one.name: one.what for one in told.files} | {MANIFEST: MANIFEST}
    found = [
        Handed(one, whats.get(one.name, ""), WORDS.get(whats.get(one.name, ""), "Another file"), size)
        for one, size in there
    ]
    ranks = {what: rank for rank, what in enumerate(WORDS)}
    return sorted(found, key=lambda one: (ranks.get(one.what, len(ranks)), one.file.name))


def what_of(file: Path) -> str:
    """Return what the manifest beside a file calls it; nothing where it does not list it."""
    return next((one.what for one in _manifest(file.parent).files if one.name == file.name), "")


def _manifest(folder: Path) -> Manifest:
    from survey.handover.manifest import read_manifest

    file = folder / MANIFEST
    try:
        content = file.read_bytes()
    except OSError as error:
        raise FileError(f"{file}: cannot be read: {error.strerror or error}; hand over again") from error
    return read_manifest(content, str(file))


def is_of(folder: Path, survey_hash: str) -> bool:
    """Return whether the papers in a folder were made of the survey with this hash.

    Raises
    ------
    FileError
        The folder's manifest is gone or damaged.
    """
    return _manifest(folder).survey_hash == survey_hash


def preview(file: Path) -> Preview:
    """Return what a file of a folder shows, made again from the report beside it.

    Raises
    ------
    SurveyError
        Something of the folder is gone or damaged.
    """
    what = what_of(file)
    title = title_of(what)
    if what == "job book":
        return Preview(title, pages=_job_book(file.parent))
    if what == "outline":
        return Preview(title, pages=_outline(file))
    if what == "cut list":
        return Preview(title, rows=_cut_rows(file))
    if what == "template":
        return Preview(title, words=AT_FULL_SIZE)
    return Preview(title)


def title_of(what: str) -> str:
    """Return what a file is, in a word or two.

    >>> title_of("outline"), title_of("")
    ('Outline', 'File')
    """
    return what[:1].upper() + what[1:] or "File"


def _report(folder: Path) -> FitReport:
    import msgspec

    from survey.report.structs import FitReport

    file = _one(folder, "fit report")
    try:
        return msgspec.json.decode(file.read_bytes(), type=FitReport)
    except OSError as error:
        raise FileError(f"{file}: cannot be read: {error.strerror or error}; hand over again") from error
    except msgspec.MsgspecError as error:
        raise FileError(f"{file}: is damaged: {error}; hand over again") from error


def _one(folder: Path, what: str) -> Path:
    """Return the one file of a kind."""
    named = next((one.name for one in _manifest(folder).files if one.what == what), None)
    if named is None:
        raise FileError(f"{folder}: expected the {what} in it, got none; hand over again")
    return folder / named


def _job_book(folder: Path) -> tuple[LaidOut, ...]:
    from survey.handover.book.content import Book
    from survey.handover.book.paper import sheet_of
    from survey.handover.job_book import job_book_pages

    report, survey, told = _report(folder), _survey(folder), _manifest(folder)
    before = _revision(folder.parent, told.since)
    return job_book_pages(Book(survey, report, sheet_of(report.unit, told.paper), before))


def _survey(folder: Path) -> Survey:
    from survey.text import read_text

    text = _one(folder, "survey")
    try:
        survey, _ = read_text(text.read_bytes())
    except OSError as error:
        raise FileError(f"{text}: cannot be read: {error.strerror or error}; hand over again") from error
    return survey


def _revision(above: Path, wanted: str) -> tuple[Survey, FitReport] | None:
    """Return what another folder holds of a revision; nothing where there is none any more."""
    for folder in sorted(above.iterdir()) if wanted else ():
        with suppress(FileError):
            if is_of(folder, wanted):
                return _survey(folder), _report(folder)
    return None


def _outline(file: Path) -> tuple[LaidOut, ...]:
    from survey.app.fit_pictures import large_picture

    named = {one.name: one.piece for one in _manifest(file.parent).files}.get(file.name, "")
    piece = next((one for one in _report(file.parent).pieces if one.name == named), None)
    picture = large_picture(piece) if piece is not None else None
    if picture is None:
        raise FileError(f"{file}: expected the outline of a piece of the report beside it, got none")
    return (picture,)


def _cut_rows(file: Path) -> tuple[CutRow, ...]:
    try:
        with file.open(encoding="utf-8-sig", newline="") as text:
            return tuple(_cut_row(row) for row in csv.DictReader(text))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise FileError(f"{file}: cannot be read: {error}; hand over again") from error


def _cut_row(row: dict[str, str | None]) -> CutRow:
    def cell(name: str) -> str:
        return row.get(name) or ""

    about = [cell("kind"), cell("material"), f"{cell('quantity')} of it" if cell("quantity") != "1" else ""]
    if cell("status") != "ready":
        about.append(cell("status"))
    finished, blank = (_sizes(cell(f"{state}_sizes")) for state in ("finished", "blank"))
    sizes = tuple((name, finished.get(name, ""), blank.get(name, "")) for name in {**finished, **blank})
    return CutRow(cell("piece"), ", ".join(filter(None, about)), sizes, cell("note"))


def _sizes(cell: str) -> dict[str, str]:
    """Read the sizes of a cell, by name.

    >>> _sizes("width 43 1/4 in; gap at top front 5/16 in")
    {'width': '43 1/4 in', 'gap at top front': '5/16 in'}
    """
    found = (_SIZE.fullmatch(part) for part in cell.split("; "))
    return {one[1]: one[2] for one in found if one is not None}

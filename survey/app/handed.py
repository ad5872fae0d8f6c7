"""A folder that was handed over: what each file is for, and what it shows before it is printed or opened."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from survey.errors import FileError

if TYPE_CHECKING:
    from survey.drawing import LaidOut
    from survey.report.structs import FitReport

WORDS: Final = {
    ".survey": "Survey file: all that was read, to open again",
    ".dxf": "Outline, for a machine",
    "cut-list.csv": "Cut list, for a spreadsheet",
    "job-sheet.pdf": "Job sheet, to print",
    "fit-report.json": "All results, for other programs",
    "survey.json": "All that was read, as text",
}
_SIZE: Final = re.compile(r"(.*?) (-?\d.*)")
ORDER: Final = ("job-sheet.pdf", "cut-list.csv", ".dxf", ".survey")


@dataclass(frozen=True)
class Handed:
    """A file of the folder, what it is for, and its size in bytes."""

    file: Path
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
    """What a file shows: pages or pictures, or rows of a table; neither for what only programs read."""

    pages: tuple[LaidOut, ...] = ()
    rows: tuple[CutRow, ...] = ()


def files_of(folder: Path) -> list[Handed]:
    """Return the files, those that people look at first.

    Raises
    ------
    FileError
        The folder is not there any more, or cannot be read.
    """
    try:
        found = [Handed(one, _words(one), one.stat().st_size) for one in folder.iterdir() if one.is_file()]
    except OSError as error:
        raise FileError(f"{folder}: cannot be read: {error.strerror or error}; hand over again") from error
    return sorted(found, key=lambda one: (_rank(one.file), one.file.name))


def is_of(folder: Path, survey_hash: str) -> bool:
    """Return whether the papers in a folder were made of the survey with this hash.

    Raises
    ------
    FileError
        The folder's report is gone or damaged.
    """
    return _report(folder).survey_hash == survey_hash


def preview(file: Path) -> Preview:
    """Return what a file of a folder shows, made again from the report beside it.

    Raises
    ------
    SurveyError
        Something of the folder is gone or damaged.
    """
    if file.name == "job-sheet.pdf":
        return Preview(pages=_job_sheet(file.parent))
    if file.suffix == ".dxf":
        return Preview(pages=_outline(file))
    if file.suffix == ".csv":
        return Preview(rows=_cut_rows(file))
    return Preview()


def _words(file: Path) -> str:
    return WORDS.get(file.name) or WORDS.get(file.suffix) or "Another file"


def title_of(file: Path) -> str:
    """Return what a file is, in a word or two.

    >>> title_of(Path("vanity-top_in.dxf")), title_of(Path("cut-list.csv"))
    ('Outline', 'Cut list')
    """
    return re.split("[,:]", _words(file))[0]


def _rank(file: Path) -> int:
    return next((at for at, end in enumerate(ORDER) if file.name.endswith(end)), len(ORDER))


def _report(folder: Path) -> FitReport:
    import msgspec

    from survey.report.structs import FitReport

    file = folder / "fit-report.json"
    try:
        return msgspec.json.decode(file.read_bytes(), type=FitReport)
    except OSError as error:
        raise FileError(f"{file}: cannot be read: {error.strerror or error}; hand over again") from error
    except msgspec.MsgspecError as error:
        raise FileError(f"{file}: is damaged: {error}; hand over again") from error


def _job_sheet(folder: Path) -> tuple[LaidOut, ...]:
    from survey.file import SurveyFile
    from survey.handover.job_sheet import job_sheet_pages
    from survey.handover.write import to_repeat

    report = _report(folder)
    held = next(folder.glob("*.survey"), None)
    if held is None:
        raise FileError(f"{folder}: expected the survey file in it, got none; hand over again")
    with SurveyFile.open(held) as file:
        return job_sheet_pages(report, again=to_repeat(file.survey(), report))


def _outline(file: Path) -> tuple[LaidOut, ...]:
    from survey.app.fit_pictures import large_picture
    from survey.handover.write import outlined

    piece = outlined(_report(file.parent)).get(file.name)
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

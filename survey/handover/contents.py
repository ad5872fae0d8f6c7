"""What a hand-over holds: every file with its name, what it is, and what makes it."""

from __future__ import annotations

import functools
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from survey.drawing.pieces import piece_drawing
from survey.handover.book.content import Book
from survey.handover.book.paper import sheet_of
from survey.handover.cut_list import cut_list
from survey.handover.dxf import Release, write_dxf
from survey.handover.job_book import job_book
from survey.handover.names import file_names, revised
from survey.handover.outline_svg import outline_svg
from survey.handover.page_pictures import count_pages, page_pictures
from survey.handover.report_text import report_text
from survey.handover.saw_list import saw_list
from survey.handover.template import template_files
from survey.handover.wanted import Form, Wanted
from survey.records import Survey
from survey.report.revision import revision_mark
from survey.report.structs import FitReport, PieceReport
from survey.text import write_text

Progress = Callable[[str, int, int], None]

_NOTES_TO_SIZE: Final = 0.012
"""How high a drawing file's words are, in sizes of the piece, per paper mm: legible when all is in view."""


@dataclass(frozen=True)
class Content:
    """A file: its name, what it is, the piece it is about, and what makes its bytes."""

    name: str
    what: str
    make: Callable[[], bytes]
    piece: str = ""


def contents(
    survey: Survey,
    report: FitReport,
    wanted: Wanted,
    photos: Mapping[str, bytes] | None = None,
    on_progress: Progress | None = None,
) -> list[Content]:
    """List the files; nothing is made yet, but for the job book where its pages are counted.

    Raises
    ------
    SurveyError
        No template can be made of a piece that was asked for.
    """
    mark = revision_mark(report)
    book = Book(survey, report, sheet_of(report.unit, wanted.paper), wanted.before)
    made = functools.cache(lambda: job_book(book, on_progress))
    return [
        Content(revised("job-book", mark, ".pdf"), "job book", made),
        Content(
            revised("cut-list", mark, ".csv"), "cut list", lambda: cut_list(report, survey, wanted.sizes)
        ),
        Content(revised("saw-list", mark, ".csv"), "saw list", lambda: saw_list(report, wanted.sizes)),
        *(one for form in wanted.outlines for one in outline_files(report, form)),
        *_templates(report, wanted),
        *(_pages(made(), mark) if wanted.pages else ()),
        Content(revised("survey", mark, ".json"), "survey", lambda: write_text(survey, photos)),
        Content(revised("fit-report", mark, ".json"), "fit report", lambda: report_text(report)),
    ]


def _pages(pdf: bytes, mark: str) -> Iterator[Content]:
    """Give the job book's pages as pictures, drawn one after the other as they are asked for."""
    pictures = page_pictures(pdf)
    for number in range(1, count_pages(pdf) + 1):
        name = revised("job-book", mark, f"_page-{number:02d}.png")
        yield Content(name, "page", functools.partial(next, pictures))


def outline_files(report: FitReport, form: Form) -> Iterator[Content]:
    """Give the outline of every piece that is ready and has one, in one form."""
    pieces = [piece for piece in report.pieces if piece.has_outline]
    names = file_names([piece.name for piece in pieces])
    ending = {"r2000": f"_{report.unit}.dxf", "r12": f"_{report.unit}_r12.dxf", "svg": ".svg"}[form]
    for piece, name in zip(pieces, names, strict=True):
        make = functools.partial(_outline, piece, report, form)
        yield Content(revised(name, revision_mark(report), ending), "outline", make, piece.name)


def _outline(piece: PieceReport, report: FitReport, form: Form) -> bytes:
    drawing, file = piece_drawing(piece), io.BytesIO()
    box = drawing.extents()
    scale = max(1.0, _NOTES_TO_SIZE * min(max(box.width, box.height), 4 * min(box.width, box.height)))
    if form == "svg":
        return outline_svg(drawing).encode()
    release: Release = "R12" if form == "r12" else "R2000"
    write_dxf(file, drawing, report.unit, note_scale=round(scale, 2), release=release)
    return file.getvalue()


def _templates(report: FitReport, wanted: Wanted) -> Iterator[Content]:
    for (name, make), asked in zip(
        template_files(report, wanted.templates), dict.fromkeys(wanted.templates), strict=True
    ):
        yield Content(revised(name, revision_mark(report), ".pdf"), "template", make, asked.piece)

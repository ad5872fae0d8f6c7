"""The job book: all that the shop and the day need on paper, as one PDF.

It is made of the survey and its fit report alone; nothing in it depends on the day or the machine.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from survey.drawing import LaidOut, Mark
from survey.drawing.piece_words import printable
from survey.handover.blocks import SMALL, Block, Flowing, line
from survey.handover.book.changes import changes
from survey.handover.book.content import Book
from survey.handover.book.cover import Entry, cover
from survey.handover.book.cut_pages import cut_pages
from survey.handover.book.installation import installation
from survey.handover.book.measured import measured
from survey.handover.book.notes import notes, stops
from survey.handover.book.paper import MARGIN, Sheet, paged
from survey.handover.book.piece_pages import piece_pages
from survey.handover.book.walls import walls
from survey.report.revision import revision_words
from survey.report.structs import FitReport

Progress = Callable[[str, int, int], None]
Chapter = Callable[[Book], Sequence[Block | Flowing]]

BEFORE: Final[tuple[tuple[str, Chapter], ...]] = (
    ("What changed", changes),
    ("Cut list", lambda book: [*cut_pages(book), *notes(book)]),
)
"""Chapters before the pieces, each on pages of its own; one without anything to say is left out."""
AFTER: Final[tuple[tuple[str, Chapter], ...]] = (
    ("Walls", walls),
    ("Day of installation", installation),
    ("What was measured", measured),
)


def job_book(book: Book, on_progress: Progress | None = None) -> bytes:
    """Return the job book as PDF; the same book gives the same bytes.

    Parameters
    ----------
    book : Book
    on_progress : callable, optional
        Called with ("job book", pieces set, pieces to set).

    Examples
    --------
    >>> from survey.findings import fit
    >>> from survey.handover.book.paper import sheet_of
    >>> from survey.records import Survey
    >>> empty = Survey([])
    >>> job_book(Book(empty, fit(empty), sheet_of("mm")))[:5]
    b'%PDF-'
    """
    from survey.handover.pdf import draw, open_pdf

    file = io.BytesIO()
    title = f"Job book: {printable(book.report.title)}, {revision_words(book.report)}"
    canvas = open_pdf(file, book.sheet.size, title)
    for page in job_book_pages(book, on_progress):
        draw(canvas, page, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def job_book_pages(book: Book, on_progress: Progress | None = None) -> tuple[LaidOut, ...]:
    """Return the pages as pictures in paper mm, for any backend."""
    parts = [(Entry(title, 0), paged(chapter(book), book.sheet)) for title, chapter in BEFORE]
    ready = [piece for piece in book.report.pieces if piece.status != "not ready"]
    for done, piece in enumerate(ready):
        if on_progress is not None:
            on_progress("job book", done, len(ready))
        parts.append((Entry(piece.name, 0, piece.status), piece_pages(book, piece)))
    if on_progress is not None:
        on_progress("job book", len(ready), len(ready))
    parts += [(Entry(title, 0), paged(chapter(book), book.sheet)) for title, chapter in AFTER]
    pages = [page for _, some in parts for page in some]
    first = _first_pages(book, [(entry, len(some)) for entry, some in parts if some])
    return tuple(_numbered(book.report, book.sheet, [*first, *pages]))


def _first_pages(book: Book, parts: Sequence[tuple[Entry, int]]) -> list[Block]:
    """Set the cover, which says on which page everything is, and with it what stops the work."""
    count = 1
    while True:
        at, entries = count + 1, []
        for entry, pages in parts:
            entries.append(replace(entry, page=at))
            at += pages
        first = paged([*cover(book, entries), *stops(book)], book.sheet)
        if len(first) <= count:
            return first
        count = len(first)


def _numbered(report: FitReport, sheet: Sheet, pages: Sequence[Block]) -> Iterator[LaidOut]:
    for number, page in enumerate(pages, start=1):
        marks: list[Mark] = [*page.at(MARGIN, sheet.size[1] - MARGIN - page.height)]
        at_left = f"{report.title} · {revision_words(report)} · cut to the numbers, not to the picture"
        foot = line(at_left, f"page {number} of {len(pages)}", sheet.width, SMALL)
        marks += foot.at(MARGIN, MARGIN + SMALL * 0.5 - foot.height + SMALL * 1.5)
        yield LaidOut(tuple(marks), *sheet.size, 1.0, (0.0, 0.0), f"Job book, page {number}")

"""The installation sheet: the day in working order, studs, screws, scribes, what to check first."""

from __future__ import annotations

from collections.abc import Iterator

from survey.drawing.piece_words import plain, typeset
from survey.handover.blocks import BODY, Block, stack, words
from survey.handover.book.content import Book


def installation(book: Book) -> list[Block]:
    """Give the chapter's blocks."""
    return list(_day(book))


def _day(book: Book) -> Iterator[Block]:
    """Tell the day of installation, a few steps together, so that they find room on pages."""
    report, width = book.report, book.width
    for start in range(0, len(report.order), 6):
        told = [words("The day of installation", width, 3.5)] if start == 0 else []
        for step in report.order[start : start + 6]:
            why = f" ({step.why})" if step.why else ""
            check = f" Check first: {'; '.join(step.check)}." if step.check else ""
            text = f"{step.number}.  {step.says.rstrip('.')}{why}.{check}"
            told.append(words(typeset(plain(text)), width, BODY))
        yield stack(told, 0.8)

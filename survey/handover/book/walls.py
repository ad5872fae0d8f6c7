"""Every wall that something stands at or was put down on, from the front."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.drawing import Drawing, DrawingError, Layer, Ordinate, Role, layout
from survey.drawing.laid_out import LaidOut
from survey.drawing.plan_view import SCALES
from survey.drawing.wall_view import wall_drawing
from survey.handover.blocks import TITLE, Block, Remembered, centred, framed, picture, space, stack, words
from survey.handover.book.content import Book
from survey.records import Electrical, RoughIn, Wall

HEIGHT: Final = 112.0
"""Of a wall's picture, paper mm: two to a page."""
BESIDE_CAUTION: Final = 185.0
"""Paper mm: with the chapter's caution on one page."""
TALLEST: Final = 225.0
READABLE: Final = 25.0
"""A wall that half a page would show smaller than one to this gets a page of its own."""
AROUND: Final = 30.0
"""Paper mm that dimensions and words take above and below a wall, about."""
BEHIND: Final = (
    "Nothing shown is no proof that nothing is there. Find pipes and cables with a detector before you "
    "drill, above and below outlets, taps and drains most of all; turn off what may be hit. Work on gas, "
    "electricity and plumbing is for licensed trades, by the local code."
)


def walls(book: Book) -> list[Block]:
    """Give the chapter's blocks; none where no wall can be drawn."""
    drawn = [block for wall in book.survey.of(Wall) for block in _wall(book, wall.name)]
    if not drawn:
        return []
    inside = book.width - 5.2
    caution = [words(text, inside) for text in _cautions(book)]
    return [
        words("Walls, seen from the room", book.width, 3.5),
        framed(stack(caution, 0.8), Role.CAUTION),
        *drawn,
    ]


def _cautions(book: Book) -> Iterator[str]:
    survey = book.survey
    pipes, cables = len(survey.of(RoughIn)), len(survey.of(Electrical))
    found = [f"{pipes} pipes" if pipes != 1 else "1 pipe"] if pipes else []
    found += [f"{cables} electrical boxes" if cables != 1 else "1 electrical box"] if cables else []
    there = (
        f"{' and '.join(found)} are recorded on these walls." if found else "No pipe or cable is recorded."
    )
    yield f"Caution: {there} {BEHIND}"


def _wall(book: Book, wall: str) -> Iterator[Block]:
    """Draw a wall; one with nothing on it says nothing."""
    try:
        drawing = wall_drawing(book.survey, wall, book.report)
    except DrawingError:
        return
    if not _has_something(drawing):
        return
    laid_out = _laid_out(book, drawing)
    if laid_out is None:
        yield words(f"Wall {wall} has no room on this paper: see it in the app.", book.width)
        return
    title = words(f"Wall {wall}, seen from the room; scale {laid_out.scale_text}", book.width, TITLE)
    yield stack([title, space(1.5), centred(picture(laid_out), book.width)])


def _laid_out(book: Book, drawing: Drawing) -> LaidOut | None:
    """Lay a wall out on half a page, or on as much of one as it takes to be read; nothing where none does."""
    is_low = drawing.extents().height / READABLE <= HEIGHT - AROUND
    for height in (*([HEIGHT] if is_low else []), BESIDE_CAUTION, TALLEST):
        try:
            return layout(drawing, (book.width, height), scales=SCALES, metrics=Remembered())
        except DrawingError:
            continue
    return None


def _has_something(drawing: Drawing) -> bool:
    """Say whether anything is dimensioned on a wall or drawn over it."""
    dimensioned = any(isinstance(item, Ordinate) for item in drawing.items)
    return dimensioned or any(
        item.role is Role.BLANK and item.layer is Layer.NOTE for item in drawing.shapes()
    )

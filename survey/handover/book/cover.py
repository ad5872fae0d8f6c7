"""The cover: the job, the room from above with what is out of true, and what the book holds."""

from __future__ import annotations

from survey.drawing import Role
from survey.drawing.piece_words import typeset
from survey.handover.blocks import SMALL, Block, rule, space, stack, words
from survey.handover.book.content import Book


def cover(book: Book) -> list[Block]:
    """Give the cover's blocks."""
    report = book.report
    unit = "inches" if report.unit == "in" else "millimetres"
    step = typeset(f"{report.step} in" if report.unit == "in" else report.step)
    facts = f"All sizes in {unit}, to the nearest {step} or safer."
    chance = f"Allowances are for a {_percent(report.confidence)} chance of fitting, joint over a piece."
    title = words(report.title, book.width, 5.0)
    said = words(f"{facts} {chance}", book.width, SMALL)
    return [stack([title, space(1.5), rule(book.width, Role.FINISHED), space(1.5), said])]


def _percent(share: float) -> str:
    """Write a chance without idle zeros.

    >>> _percent(0.99), _percent(0.995)
    ('99 %', '99.5 %')
    """
    return f"{100 * share:.4g} %"

"""What stops the work, what to look at before cutting, and what to read next or again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from survey.drawing import Role
from survey.drawing.piece_words import plain, typeset
from survey.finding import Finding
from survey.handover.blocks import BODY, Block, framed, stack, words
from survey.handover.book.content import Book
from survey.report.next_words import READ_AGAIN, READ_NEXT, enough_words, one_width_words, reading_words


def stops(book: Book) -> list[Block]:
    """Put what stops the work first, where nobody misses it."""
    stopping = [one for one in book.report.findings if one.severity == "stops"]
    return _boxes("STOP before cutting", stopping, book.width, Role.STOP)


def notes(book: Book) -> list[Block]:
    """Tell all other findings, then what to read."""
    others = [one for one in book.report.findings if one.severity != "stops"]
    return [*_boxes("Before you cut", others, book.width, Role.NOTE), *_next(book)]


def _boxes(title: str, findings: Sequence[Finding], width: float, role: Role) -> list[Block]:
    """Frame findings, a few to a box so that boxes fit on pages."""
    boxes = []
    inside = width - 5.2
    for start in range(0, len(findings), 12):
        heading = title if start == 0 else f"{title} (continued)"
        lines = [words(heading, inside, 3.5, role)]
        lines += [_finding(one, inside, role) for one in findings[start : start + 12]]
        boxes.append(framed(stack(lines, 0.8), role))
    return boxes


def _finding(one: Finding, width: float, role: Role) -> Block:
    about = f"{', '.join(one.pieces)}: " if one.pieces else ""
    severity = "" if one.severity == "stops" else "In doubt: " if one.severity == "doubt" else ""
    stop = "" if one.says.endswith("?") else ";"
    text = f"{one.number}  {severity}{about}{one.says}{stop} {one.do}."
    return words(typeset(plain(text)), width, BODY, role if role is Role.STOP else Role.NOTE)


def _next(book: Book) -> Iterator[Block]:
    """Say what to read next, and what to read again before cutting."""
    report, width = book.report, book.width
    advised = [
        f"{at}.  {reading_words(one)}: {one.says}." for at, one in enumerate(report.room.next_readings, 1)
    ]
    for title, items in ((READ_NEXT, advised), (READ_AGAIN, book.again)):
        if items:
            told = [words(typeset(plain(item)), width, BODY) for item in items]
            yield stack([words(title, width, 3.5), *told], 0.8)
    enough = enough_words(report)
    rest = (f"{READ_NEXT}: {enough[0].lower()}{enough[1:]}" if enough else "", one_width_words(report))
    if any(rest):
        yield words(" ".join(filter(None, rest)), width, BODY)

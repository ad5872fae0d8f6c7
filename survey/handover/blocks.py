"""What a page is composed of: blocks of words, tables, frames and pictures, each with its size.

A block is plain marks (see `survey.drawing.laid_out`) in paper millimetres, its lower left at (0, 0), so a
page is a picture too and every backend can draw it. Blocks know nothing of pages.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from survey.drawing import Anchor, LaidOut, Lettering, Mark, Role, Stroke, letter
from survey.drawing.metrics import Run, bundled
from survey.drawing.piece_words import printable

BODY = 2.2
"""Capital height of words and numbers, paper mm."""
SMALL = 1.8
"""The smallest capital height that is still lettered, paper mm (ISO 3098)."""
TITLE = 2.6
"""Capital height of a table's or picture's title, paper mm."""
PITCH = 1.75
"""From baseline to baseline, in capital heights."""
DROP = 0.5
"""What letters reach below the baseline, in capital heights, with some air."""
FRAME = 2.6
"""Between a frame and what it holds, paper mm."""


class Remembered:
    """Metrics of the bundled font that measure the same words once: a layout asks many times."""

    def runs(self, text: str, height: float) -> tuple[Run, ...]:
        """As `FontMetrics.runs`."""
        return _runs(text, height)

    def reach(self, text: str, height: float) -> tuple[float, float]:
        """As `FontMetrics.reach`."""
        return _reach(text, height)


@lru_cache(maxsize=20_000)
def _runs(text: str, height: float) -> tuple[Run, ...]:
    return bundled().runs(text, height)


@lru_cache(maxsize=20_000)
def _reach(text: str, height: float) -> tuple[float, float]:
    return bundled().reach(text, height)


def _width(text: str, height: float) -> float:
    """Return the width of a line as it is set."""
    last = _runs(text, height)[-1]
    return last.across + last.width


_BREAKS = re.compile(r" (?!\d+⁄\d)")
"""A number and its fraction stay together: 22 over 1⁄2 on the next line is read as two sizes."""


@dataclass(frozen=True)
class Block:
    """Marks of a known size, paper mm, y up from the block's lower left; other blocks may lie in it."""

    width: float
    height: float
    own: tuple[Mark, ...] = ()
    parts: tuple[tuple[Block, float, float], ...] = ()
    """Blocks in it, each with the place of its lower left."""

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All marks, those of blocks in it where they lie."""
        return self.at(0.0, 0.0)

    def at(self, x: float, y: float) -> tuple[Mark, ...]:
        """Return the marks with the lower left at (x, y); each is moved once, however deep it lies."""
        return tuple(self._moved(x, y))

    def _moved(self, x: float, y: float) -> Iterator[Mark]:
        for mark in self.own:
            yield mark.moved((x, y))
        for block, dx, dy in self.parts:
            yield from block._moved(x + dx, y + dy)


@lru_cache(maxsize=5_000)
def words(text: str, width: float, height: float = BODY, role: Role = Role.NOTE) -> Block:
    """Set a text in lines no wider than `width`.

    >>> words("one two three four five six", 20.0).height > words("one two", 20.0).height
    True
    """
    lines = wrapped(printable(text), width, height)
    pitch = PITCH * height
    total = pitch * (len(lines) - 1) + height * (1.0 + DROP)
    marks = [
        letter(line, (0.0, total - height - pitch * row), height=height, role=role, metrics=Remembered())
        for row, line in enumerate(lines)
    ]
    return Block(width, total, tuple(marks))


def wrapped(text: str, width: float, height: float) -> list[str]:
    """Break a text at spaces, but not before a fraction; a word that is wider than a line where it ends."""
    lines: list[str] = []
    line, long, space = "", 0.0, _width(" ", height)
    for word in _BREAKS.split(text):
        wide = _width(word, height) if word else 0.0
        longer = long + space + wide if line else wide
        if longer <= width:
            line, long = (f"{line} {word}" if line else word), longer
            continue
        if line:
            lines.append(line)
        *full, line = _broken(word, width, height)
        long = _width(line, height)
        lines += full
    return [*lines, line]


def _broken(word: str, width: float, height: float) -> list[str]:
    parts = [""]
    for character in word:
        if parts[-1] and _width(parts[-1] + character, height) > width:
            parts.append("")
        parts[-1] += character
    return parts


def stack(blocks: Iterable[Block], gap: float = 0.0, width: float | None = None) -> Block:
    """Put blocks under each other."""
    kept = [block for block in blocks if block.height > 0.0]
    total = sum(block.height for block in kept) + gap * max(0, len(kept) - 1)
    parts: list[tuple[Block, float, float]] = []
    top = total
    for block in kept:
        top -= block.height
        parts.append((block, 0.0, top))
        top -= gap
    widest = max((block.width for block in kept), default=0.0)
    return Block(widest if width is None else width, total, parts=tuple(parts))


def beside(blocks: Iterable[Block], gap: float) -> Block:
    """Put blocks next to each other, their tops level."""
    kept = [block for block in blocks if block.width > 0.0]
    height = max((block.height for block in kept), default=0.0)
    parts: list[tuple[Block, float, float]] = []
    x = 0.0
    for block in kept:
        parts.append((block, x, height - block.height))
        x += block.width + gap
    return Block(max(0.0, x - gap), height, parts=tuple(parts))


def rule(width: float, role: Role = Role.NOTE) -> Block:
    """Draw a line across; role finished is heavy."""
    return Block(width, 0.6, (Stroke(((0.0, 0.3), (width, 0.3)), role),))


def space(height: float) -> Block:
    """Leave room."""
    return Block(0.01, height)


def framed(block: Block, role: Role) -> Block:
    """Put a frame around a block."""
    width, height = block.width + 2 * FRAME, block.height + 2 * FRAME
    line = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Block(width, height, (Stroke(line, role, closed=True),), ((block, FRAME, FRAME),))


def picture(laid_out: LaidOut) -> Block:
    """Take a laid-out picture, cut down to what is drawn."""
    trimmed = laid_out.trimmed(0.0)
    return Block(trimmed.width, trimmed.height, trimmed.marks)


def centred(block: Block, width: float) -> Block:
    """Give a block a width, in its middle."""
    return Block(width, block.height, parts=((block, max(0.0, (width - block.width) / 2), 0.0),))


@dataclass(frozen=True)
class Column:
    """A column of a table: its heading, its width in mm, and whether it is set to the right."""

    heading: str
    width: float
    is_number: bool = False


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], height: float = BODY, head: float = SMALL
) -> Block:
    """Set a table: a rule below its headings, a light one below every row.

    A second line of a cell, after a newline, is set small.
    """
    whole = flowing(columns, rows, height=height, head=head)
    return stack([whole.head, *whole.rows], width=whole.head.width)


@dataclass(frozen=True)
class Flowing:
    """Rows that may go on over pages, under headings that are set anew on each."""

    head: Block
    again: Block
    rows: tuple[Block, ...]


def flowing(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    title: str = "",
    *,
    height: float = BODY,
    head: float = SMALL,
) -> Flowing:
    """Set a table that may go on over pages; its title then says so."""
    width = sum(column.width for column in columns)
    heading = stack([_row(columns, [column.heading for column in columns], head), rule(width)], width=width)
    titles = [words(text, width, TITLE) for text in (title, f"{title} (continued)")] if title else []
    tops = [stack([one, space(0.8), heading], width=width) for one in titles] or [heading, heading]
    set_rows = [
        stack([space(0.7), _row(columns, row, height), rule(width, Role.GRAIN)], width=width) for row in rows
    ]
    return Flowing(tops[0], tops[1], tuple(set_rows))


def _row(columns: Sequence[Column], cells: Sequence[str], height: float) -> Block:
    gap = 2.0
    parts: list[Block] = []
    for column, cell in zip(columns, cells, strict=True):
        room = column.width - gap
        first, _, second = cell.partition("\n")
        block = words(first, room, height) if first else Block(room, height * (1.0 + DROP))
        if second:
            block = stack([block, words(second, room, SMALL)])
        parts.append(_to_right(block, room) if column.is_number else _wide(block, room))
    return beside(parts, gap)


def _wide(block: Block, width: float) -> Block:
    return Block(width, block.height, parts=((block, 0.0, 0.0),))


def _to_right(block: Block, width: float) -> Block:
    marks = [
        mark.moved((width - mark.at[0] - mark.width, 0.0)) if isinstance(mark, Lettering) else mark
        for mark in block.marks
    ]
    return Block(width, block.height, tuple(marks))


def line(left: str, right: str, width: float, height: float = BODY) -> Block:
    """Set one line with words at both ends; the left ones are broken where there is no room."""
    at_right = letter(printable(right), (width, 0.0), Anchor.BOTTOM_RIGHT, height=height)
    block = words(left, width - at_right.width - 4.0, height)
    top = block.height - height
    return Block(width, block.height, (*block.marks, at_right.moved((0.0, top))))

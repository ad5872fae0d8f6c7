"""The job book's paper: its sizes and margins, and pages that are filled from above."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from survey.handover.blocks import Block, Flowing, stack

LETTER: Final = (215.9, 279.4)
"""Width and height of US Letter, mm (ANSI/ASME Y14.1)."""
A4: Final = (210.0, 297.0)
"""Width and height of A4, mm (ISO 216)."""
PaperName = Literal["A4", "Letter"]
SIZES: Final[dict[PaperName, tuple[float, float]]] = {"A4": A4, "Letter": LETTER}
MARGIN: Final = 13.0
"""Free around a page, mm: more than common printers cannot reach."""
FOOT: Final = 7.0
"""Kept for the last line of a page, mm."""
LEAST: Final = 2
"""Rows that stand under a heading at least, where there are so many: none stands alone at a page's foot."""
GAP: Final = 5.0
"""Between blocks, mm."""


@dataclass(frozen=True)
class Sheet:
    """The paper: its size, and the room between its margins (mm)."""

    size: tuple[float, float]

    @property
    def width(self) -> float:
        """Between the margins."""
        return self.size[0] - 2 * MARGIN

    @property
    def height(self) -> float:
        """Between the margins, the last line left out."""
        return self.size[1] - 2 * MARGIN - FOOT


def paper_named(unit: str, paper: PaperName | None = None) -> PaperName:
    """Return the paper that is asked for; else Letter for inches and A4 for millimetres.

    >>> paper_named("in"), paper_named("in", "A4")
    ('Letter', 'A4')
    """
    return paper or ("Letter" if unit == "in" else "A4")


def sheet_of(unit: str, paper: PaperName | None = None) -> Sheet:
    """Return the sheet of `paper_named`.

    >>> sheet_of("in").size
    (215.9, 279.4)
    """
    return Sheet(SIZES[paper_named(unit, paper)])


class Pages:
    """Pages while they are filled from above; a block is never divided, what flows is between its rows."""

    def __init__(self, sheet: Sheet) -> None:
        """Begin with one page that is empty."""
        self.sheet = sheet
        self.rows: list[list[Block]] = [[]]

    @property
    def room(self) -> float:
        """What is left of the last page."""
        used = height_of(self.rows[-1])
        return self.sheet.height - used - (GAP if self.rows[-1] else 0.0)

    def add(self, *rows: Block | Flowing) -> None:
        """Put rows on the last page, or on a new one; what flows is divided between its rows."""
        for row in rows:
            if isinstance(row, Flowing):
                self._flow(row)
                continue
            if row.height > self.room and self.rows[-1]:
                self.rows.append([])
            self.rows[-1].append(row)

    def _flow(self, flowing: Flowing) -> None:
        head, left = flowing.head, list(flowing.rows)
        while left:
            height, count = head.height, 0
            while count < len(left) and height + left[count].height <= self.room:
                height += left[count].height
                count += 1
            if count < min(LEAST, len(left)) and self.rows[-1]:
                self.rows.append([])
                continue
            count = max(count, 1)
            self.rows[-1].append(stack([head, *left[:count]], width=head.width))
            left, head = left[count:], flowing.again

    def blocks(self) -> list[Block]:
        """Return each page as one block."""
        return [stack(rows, GAP, self.sheet.width) for rows in self.rows if rows]


def height_of(rows: Sequence[Block]) -> float:
    """Return how high rows stand on a page."""
    return sum(row.height for row in rows) + GAP * max(0, len(rows) - 1)


def paged(rows: Iterable[Block | Flowing], sheet: Sheet) -> list[Block]:
    """Fill as many pages as rows need."""
    pages = Pages(sheet)
    pages.add(*rows)
    return pages.blocks()

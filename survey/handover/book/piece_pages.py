"""A page for each piece: its drawing, sizes, allowances, coordinates, fixings, cautions and chance."""

from __future__ import annotations

from typing import Final

from survey.handover.blocks import Block
from survey.handover.book.content import Book
from survey.handover.book.paper import Pages
from survey.handover.piece_block import TALLEST, PieceBlock
from survey.report.structs import PieceReport

SHARES: Final = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4)
"""Heights of the picture, in shares of the tallest: the largest that leaves room for the rest."""


def piece_pages(book: Book, piece: PieceReport) -> list[Block]:
    """Give the pages of a piece that is ready, each as one block; usually one."""
    block = PieceBlock(piece, book.unit, book.step, book.report.findings)
    heights = [share * TALLEST for share in SHARES]
    settings = (block.set(book.width, height) for height in heights)
    fitting = (one for one in settings if one is not None and one.block.height <= book.sheet.height)
    setting = next(fitting, None) or block.set_anyhow(book.width)
    pages = Pages(book.sheet)
    pages.add_together(setting.parts)
    return pages.blocks()

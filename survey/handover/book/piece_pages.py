"""A page for each piece: its drawing, sizes, allowances, coordinates, fixings, cautions and chance."""

from __future__ import annotations

from survey.handover.blocks import Block
from survey.handover.book.content import Book
from survey.handover.book.paper import Pages
from survey.handover.piece_block import PieceBlock
from survey.report.structs import PieceReport


def piece_pages(book: Book, piece: PieceReport) -> list[Block]:
    """Give the pages of a piece that is ready, each as one block; usually one."""
    block = PieceBlock(piece, book.unit, book.step, book.report.findings)
    setting = block.set(book.width, book.sheet.height) or block.set_anyhow(book.width)
    pages = Pages(book.sheet)
    pages.add_together(setting.parts)
    return pages.blocks()

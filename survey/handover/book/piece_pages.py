"""A page for each piece: its drawing, sizes, allowances, coordinates, fixings, cautions and chance."""

from __future__ import annotations

from survey.handover.blocks import Block
from survey.handover.book.content import Book
from survey.handover.book.paper import GAP, Pages
from survey.handover.piece_block import PieceBlock
from survey.report.structs import PieceReport


def piece_pages(book: Book, piece: PieceReport) -> list[Block]:
    """Give the pages of a piece that is ready, each as one block; usually one.

    Where one page cannot take it, the picture comes first and the tables follow under its name again.
    """
    block = PieceBlock(piece, book.unit, book.step, book.report.findings)
    setting = block.set(book.width, book.sheet.height) or block.set_anyhow(book.width)
    pages = Pages(book.sheet)
    if setting.block.height <= book.sheet.height:
        pages.add(setting.block)
        return pages.blocks()
    again = block.heading_again(book.width)
    for part in setting.parts:
        has_room_below = again.height + GAP + part.height <= book.sheet.height
        if part.height > pages.room and pages.rows[-1] and has_room_below:
            pages.rows.append([again])
        pages.add(part)
    return pages.blocks()

"""The cut list on paper, by material."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.drawing.piece_words import typeset
from survey.handover.blocks import Block, Column, table
from survey.handover.book.content import Book
from survey.report.structs import PieceReport

CHUNK: Final = 24
"""Rows of the list that are kept together."""


def cut_pages(book: Book) -> list[Block]:
    """Give the chapter's blocks."""
    return list(_list(book))


def _list(book: Book) -> Iterator[Block]:
    """List the pieces with their sizes, the first thing that is looked for."""
    shares = (("piece", 0.17), ("kind", 0.1), ("no.", 0.05), ("material, grain", 0.2))
    sizes = (("finished", 0.24), ("blank: cut this first", 0.24))
    columns = [Column(name, share * book.width, name == "no.") for name, share in (*shares, *sizes)]
    for start in range(0, len(book.report.pieces), CHUNK):
        rows = [_listed(piece) for piece in book.report.pieces[start : start + CHUNK]]
        yield table(columns, rows, 2.4)


def _listed(piece: PieceReport) -> tuple[str, ...]:
    grain = f"grain {piece.grain}" if piece.grain and piece.grain != "none" else ""
    about = f"{piece.material}\n{grain}"
    if piece.status == "not ready":
        numbers = ", ".join(str(number) for number in piece.findings)
        why = f"not ready\nsee {numbers}" if numbers else "not ready"
        return piece.name, piece.kind, str(piece.quantity), about, why, "do not cut"
    finished, blank = (sizes_by_name(piece, which) for which in ("finished", "blank"))
    return piece.name, piece.kind, str(piece.quantity), about, finished, blank


def sizes_by_name(piece: PieceReport, which: str) -> str:
    """Write sizes with times signs, as a shop reads them, followed by what they are."""
    sizes = piece.finished if which == "finished" else piece.blank
    if not sizes:
        return ""
    numbers = " × ".join(typeset(one.size.text.removesuffix(" mm")) for one in sizes)
    return f"{numbers}\n{' × '.join(one.name for one in sizes)}"

"""The cut list on paper, by material and thickness: what to cut first, what it comes to, a box to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from survey.drawing import Role
from survey.drawing.piece_words import plain, printable, typeset
from survey.handover.blocks import SMALL, Block, Column, Flowing, flowing, framed, stack, words
from survey.handover.book.content import Book
from survey.report.structs import NamedDimension, PieceReport

TICK: Final = "□"
BOARD: Final = "thickness"


class Board(NamedTuple):
    """A row: what it is, of which material and thickness, how many, finished, and as it is cut first."""

    name: str
    about: str
    material: str
    thickness: str
    quantity: int
    grain: str
    finished: tuple[NamedDimension, ...]
    first: tuple[NamedDimension, ...]


def cut_pages(book: Book) -> list[Block | Flowing]:
    """Give the chapter's blocks."""
    if not book.report.pieces:
        return []
    return [words("Cut list, by material", book.width, 3.5), *_by_material(book), *_not_ready(book)]


def boards(piece: PieceReport) -> Iterator[Board]:
    """Yield what is cut for a piece: itself, and its parts where it is put together of some."""
    if piece.parts:
        yield Board(
            piece.name, f"{piece.kind}, of the parts below", "", "", piece.quantity, "", piece.finished, ()
        )
        for part in piece.parts:
            material = part.material or piece.material
            first = part.rough or part.finished
            count = part.quantity * piece.quantity
            named = f"{piece.name}: {part.name}"
            yield Board(named, "part", material, _thick(first), count, part.grain, part.finished, first)
        return
    first = piece.rough or piece.blank or piece.finished
    thick = _thick(first)
    # A box is no board: its sizes stand there, nothing is cut to them.
    cut_first = first if thick else ()
    yield Board(
        piece.name, piece.kind, piece.material, thick, piece.quantity, piece.grain, piece.finished, cut_first
    )


def _thick(sizes: Sequence[NamedDimension]) -> str:
    return next((one.size.text for one in sizes if one.name == BOARD), "")


def _by_material(book: Book) -> Iterator[Flowing]:
    groups: dict[tuple[str, str], list[Board]] = {}
    for piece in book.report.pieces:
        if piece.status != "not ready":
            for board in boards(piece):
                key = (board.material, board.thickness) if board.thickness else ("", "")
                groups.setdefault(key, []).append(board)
    for (material, thickness), rows in sorted(groups.items(), key=lambda one: (one[0] == ("", ""), one[0])):
        yield flowing(
            _columns(book), [_row(board) for board in rows], _title(book, material, thickness, rows)
        )


def _title(book: Book, material: str, thickness: str, rows: Sequence[Board]) -> str:
    """Name a group, with how many boards it is and what area they take as they are cut first."""
    count = sum(board.quantity for board in rows)
    if not thickness:
        return f"Put together, bought, or boxes: {count}"
    area = sum(board.quantity * _area(board) for board in rows)
    total = f"{area / 304.8**2:.1f} sq ft" if book.unit == "in" else f"{area / 1e6:.2f} m²"
    named = printable(material) if material.strip() else "material not said"
    return typeset(
        f"{named}, {thickness} as it is cut: {count} {'board' if count == 1 else 'boards'}, {total}"
    )


def _area(board: Board) -> float:
    flat = [one.size.cut_mm for one in board.first if one.name != BOARD]
    return flat[0] * flat[1] if len(flat) == 2 else 0.0


def _columns(book: Book) -> list[Column]:
    shares = {"": 0.04, "piece": 0.27, "no.": 0.05, "grain": 0.16, "cut first": 0.24, "finished": 0.24}
    return [Column(name, share * book.width, name == "no.") for name, share in shares.items()]


def _row(board: Board) -> tuple[str, ...]:
    grain = "" if board.grain in ("", "none") else board.grain
    return (
        TICK if board.first else "",
        f"{plain(printable(board.name))}\n{board.about}",
        str(board.quantity),
        grain,
        sizes_words(board.first),
        sizes_words(board.finished),
    )


def sizes_words(sizes: Sequence[NamedDimension]) -> str:
    """Write sizes with times signs, as a shop reads them, followed by what they are."""
    if not sizes:
        return ""
    numbers = " × ".join(typeset(one.size.text.removesuffix(" mm")) for one in sizes)
    return f"{numbers}\n{' × '.join(one.name for one in sizes)}"


def _not_ready(book: Book) -> Iterator[Block]:
    """Set apart what must not be cut yet, with the findings that say why."""
    waiting = [piece for piece in book.report.pieces if piece.status == "not ready"]
    if not waiting:
        return
    lines = [words("Not ready: do not cut", book.width - 5.2, 2.6)]
    for piece in waiting:
        why = f"see {', '.join(map(str, piece.findings))}" if piece.findings else "its findings say why"
        lines.append(
            words(f"{printable(piece.name)} ({piece.kind}): not ready, {why}", book.width - 5.2, SMALL)
        )
    yield framed(stack(lines, 0.8), Role.STOP)

"""What changed since an earlier revision: a list, and pieces drawn over what they were."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from survey.changes import Changes, FindingChange, PieceChange, RecordChange, Told
from survey.changes import changes as compared
from survey.changes.structs import Revision
from survey.changes.words import MEANT, heading, name_words, summary
from survey.drawing import Drawable, Drawing, Layer, Polyline, Role
from survey.drawing.changed_piece import changed_drawing
from survey.drawing.piece_words import plain, printable, typeset
from survey.handover.blocks import (
    BODY,
    SMALL,
    Block,
    Column,
    Flowing,
    beside,
    flowing,
    framed,
    rule,
    space,
    stack,
    table,
    words,
)
from survey.handover.book.content import Book
from survey.handover.book.paper import GAP
from survey.handover.book.scaled import Scaled
from survey.handover.piece_block import SMALLEST_PIECE
from survey.quantity import read_step

NAME: Final = 3.5
"""Capital height of the chapter's title and of pieces' names, paper mm."""
ROWS: Final = 26
"""Rows that stand in one table at most: they fit on any page."""
ON_SITE: Final = 6
"""Sizes on site that are told of one piece; the others stand on its own page."""
MANY: Final = 8
"""Rows from which on a table under a picture is set in two halves."""
BETWEEN: Final = 6.0
"""Between what stands side by side, paper mm."""
BOX: Final = 62.0
"""Height in which a box is drawn, paper mm: its rectangle says little."""
LONG: Final = 70.0
"""Longest side of a piece, paper mm, where two share a page: the change is to be seen."""
TALL: Final = 1.4
"""A picture this much higher than wide stands beside its table."""
AFTER: Final = 1.6
"""Between a piece's name, its picture and its table, paper mm."""
SEE_BELOW: Final = "see below"
NO_PICTURE: Final = (
    "Its picture with the old numbers in it fits no page: see its own page, and the numbers here."
)
LEGEND: Final = (
    "The dotted line is the finished line as it was, where it was another; nothing is cut to it. Old numbers "
    "stand in brackets, after the word was. What did not change is not listed."
)


FOUND: Final = {"new": "new", "gone": "settled", "otherwise": "otherwise"}
"""How a finding changed, in a word."""
_MOST: Final = re.compile(r"(.* at most) (.*)")


def changes(book: Book) -> list[Block | Flowing]:
    """Give the chapter's blocks; none where there is nothing to compare with.

    Raises
    ------
    ComparisonError
        The earlier revision is one of another job.
    """
    if book.before is None:
        return []
    found = compared(book.before, (book.survey, book.report))
    blocks: list[Block | Flowing] = [_head(found, book.width), *_overview(found, book.width)]
    blocks += [*_records(found.records, book.width), *_findings(found, book.width)]
    return [*blocks, *(block for piece in found.pieces for block in _piece(book, found.before, piece))]


def _head(found: Changes, width: float) -> Block:
    role = Role.CAUTION if found.wrong else Role.NOTE
    told = framed(words(typeset(plain(summary(found))), width - 5.2), role)
    lines = [
        words("What changed", width, NAME),
        words(heading(found)[0].upper() + heading(found)[1:], width, BODY),
        space(1.0),
        rule(width, Role.FINISHED),
        space(1.0),
        told,
    ]
    lines += [words(typeset(plain(one.words)), width) for one in found.job]
    if found.pieces:
        lines += [space(0.5), words(LEGEND, width, SMALL)]
    return stack(lines, 0.8)


def _overview(found: Changes, width: float) -> Iterator[Flowing]:
    """List the pieces, what harms most first."""
    columns = [
        Column("piece", 0.22 * width),
        Column("against the old paper", 0.28 * width),
        Column("if it is cut already", 0.5 * width),
    ]
    rows = [(name_words(one), MEANT[one.verdict], _to_do(one)) for one in found.pieces]
    if rows:
        yield flowing(columns, [tuple(map(_set, row)) for row in rows], "Pieces")


def _to_do(piece: PieceChange) -> str:
    """Say what to do, but not what the verdict has said already."""
    says = piece.says.removeprefix(MEANT[piece.verdict]).lstrip(":; ")
    if piece.is_wrong_on_paper or says:
        return says or SEE_BELOW
    return f"nothing; {_other(piece.told)}" if _other(piece.told) else "nothing"


def _set(text: str) -> str:
    return printable(typeset(plain(text))) if text else ""


# One piece


def _piece(book: Book, before: Revision, piece: PieceChange) -> Iterator[Block]:
    """Give a piece's name, its picture over what it was, and the table of what changed; usually one block."""
    told = [*_listed(piece.told)]
    drawing = _drawn(book, before, piece)
    if drawing is None and all(one.group == "words" for one in told):
        return  # the overview says it
    head = _name(piece, book.width)
    tables = [told[start : start + ROWS] for start in range(0, len(told), ROWS)] or [[]]
    yield from _with_picture(book, head, drawing, tables[0])
    for rows in tables[1:]:
        more = words(f"{printable(piece.name)} (continued)", book.width, BODY)
        yield stack([more, _table(rows, book.width)], 1.0)


def _name(piece: PieceChange, width: float) -> Block:
    meant = MEANT[piece.verdict]
    told = [words(f"{name_words(piece)}: {meant}", width, NAME)]
    to_do = _to_do(piece)
    if to_do != SEE_BELOW and not to_do.startswith("nothing"):
        told.append(words(typeset(plain(to_do[0].upper() + to_do[1:])), width))
    return stack([rule(width, Role.FINISHED), space(1.0), *told], 0.6, width)


def _listed(told: Sequence[Told]) -> Iterator[Told]:
    """Give what is set in the table: of sizes on site the first and how many more, of words what they are."""
    yield from (one for one in told if one.group not in ("on site", "words"))
    on_site = [one for one in told if one.group == "on site"]
    yield from on_site[:ON_SITE]
    if len(on_site) > ON_SITE:
        yield Told(f"and {len(on_site) - ON_SITE} more on site", difference="see its page")
    if _other(told):
        yield Told(_other(told))


def _other(told: Sequence[Told]) -> str:
    """Name what is said in other words, which stand on the piece's own page."""
    other = dict.fromkeys(one.what.partition(",")[0] for one in told if one.group == "words")
    return f"said otherwise on its page: {', '.join(other)}" if other else ""


def _table(rows: Sequence[Told], width: float) -> Block:
    share = (0.43, 0.19, 0.19, 0.19)
    columns = [
        Column(name, part * width, name != "what changed")
        for name, part in zip(("what changed", "was", "is now", "difference"), share, strict=True)
    ]
    cells = [tuple(map(_set, _cells(one))) for one in rows]
    if not any(any(row[1:]) for row in cells):
        return stack([words(row[0], width) for row in cells], 0.8, width)
    return table(columns, cells)


def _cells(one: Told) -> tuple[str, str, str, str]:
    """Give what, was, is and difference; a side that was not there is said so."""
    if one.before or one.now:
        return one.what, one.before or "none", one.now or "none", one.difference
    # Of `moved by at most 3 mm` the number stands among the others.
    moved = _MOST.fullmatch(one.difference)
    return (f"{one.what} {moved[1]}", "", "", moved[2]) if moved else (one.what, "", "", one.difference)


def _tables(rows: Sequence[Told], width: float) -> Block:
    """Set a table across, or, of many rows, in two halves: pictures need the height."""
    if len(rows) < MANY:
        return _table(rows, width)
    half = -(-len(rows) // 2)
    each = (width - BETWEEN) / 2
    return beside([_table(rows[:half], each), _table(rows[half:], each)], BETWEEN)


def _drawn(book: Book, before: Revision, piece: PieceChange) -> Drawing | None:
    """Draw a piece over what it was, where it is on both papers."""
    assert book.before is not None  # there is something to compare with
    olds = {one.name: one for one in book.before[1].pieces}
    news = {one.name: one for one in book.report.pieces}
    was, now = olds.get(piece.was or piece.name), news.get(piece.name)
    if was is None or now is None or piece.verdict in ("new piece", "not wanted"):
        return None
    return changed_drawing(was, now, before.words, read_step(book.report.step))


def _with_picture(book: Book, head: Block, drawing: Drawing | None, rows: Sequence[Told]) -> list[Block]:
    """Set a piece so that two of them share a page where that can be; else on a page, else on two."""
    if drawing is None:
        return [stack([head, *([_table(rows, book.width)] if rows else [])], AFTER)]
    size, shown = drawing.extents(), Scaled(drawing, book.unit)
    if size.height > TALL * size.width and rows:
        set_so = _beside(book, head, shown, rows)
        if set_so is not None:
            return [set_so]
    return _above(book, head, shown, rows)


def _beside(book: Book, head: Block, scaled: Scaled, rows: Sequence[Told]) -> Block | None:
    """Set a tall piece's picture beside its table; nothing where that does not fit."""
    whole = book.sheet.height - head.height - AFTER
    half = (book.sheet.height - GAP) / 2 - head.height - AFTER
    is_cut = any(map(_is_cut, scaled.drawing.items))
    first = (half, LONG) if is_cut else (min(half, TALL * BOX), SMALLEST_PIECE)
    for height, least in (first, (0.7 * whole, SMALLEST_PIECE), (whole, SMALLEST_PIECE)):
        for share in (0.44, 0.56):
            left = share * book.width
            shown = scaled.within(left, height, least)
            at_right = _table(rows, book.width - left - BETWEEN)
            if shown is not None and at_right.height <= whole:
                return stack([head, beside([shown, at_right], BETWEEN)], AFTER)
    return None


def _above(book: Book, head: Block, scaled: Scaled, rows: Sequence[Told]) -> list[Block]:
    """Set a picture above its table; where one page does not take both, the table comes after it."""
    width, whole = book.width, book.sheet.height
    under = [_tables(rows, width)] if rows else []
    used = head.height + sum(one.height for one in under) + 2 * AFTER
    half = (whole - GAP) / 2 - used
    is_cut = any(map(_is_cut, scaled.drawing.items))
    tried = ((half, LONG) if is_cut else (min(half, BOX), SMALLEST_PIECE), (whole - used, SMALLEST_PIECE))
    for height, least in tried:
        shown = scaled.within(width, height, least)
        if shown is not None:
            return [stack([head, shown, *under], AFTER)]
    shown = scaled.within(width, whole - head.height - AFTER)
    return [stack([head, shown or words(NO_PICTURE, width)], AFTER), *under]


def _is_cut(item: Drawable) -> bool:
    """Say whether an item belongs to the outline of what is cut: a box has none, and needs little room."""
    return isinstance(item, Polyline) and item.layer is Layer.CUT


# Records and findings


def _records(records: Sequence[RecordChange], width: float) -> Iterator[Flowing]:
    """List what was read otherwise, new, or taken back."""
    columns = [Column("record", 0.14 * width), Column("now", 0.43 * width), Column("was", 0.43 * width)]
    rows = []
    for one in records:
        because = f" (because: {one.because})" if one.because else ""
        rows.append((one.kind, one.now, f"{one.before}{because}"))
    if rows:
        yield flowing(columns, [tuple(map(_set, row)) for row in rows], "What was put down")


def _findings(found: Changes, width: float) -> Iterator[Flowing]:
    """Tell the findings that are new, gone, or say otherwise."""
    columns = [Column("finding", 0.08 * width), Column("is", 0.1 * width), Column("says", 0.82 * width)]
    rows = [(str(one.number), FOUND[one.kind], _set(_said(one))) for one in found.findings]
    if rows:
        yield flowing(columns, rows, "Findings")


def _said(one: FindingChange) -> str:
    about = f"{', '.join(one.pieces)}: " if one.pieces else ""
    told = one.now or one.before
    if one.kind == "otherwise":
        return f"{about}{told}; was: {one.before}"
    return f"{about}{told}; {one.do}" if one.do else f"{about}{told}"

"""The installation sheet: the day in working order, studs, screws, scribes, what to check first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.drawing import Role
from survey.drawing.piece_words import plain, typeset
from survey.handover.blocks import (
    BODY,
    TITLE,
    Block,
    Column,
    Flowing,
    flowing,
    framed,
    stack,
    table,
    words,
)
from survey.handover.book.content import Book
from survey.handover.piece_block import scribe_strip
from survey.handover.piece_tables import fixing_table
from survey.report.structs import OrderStep, PieceReport

TICK: Final = "□"
BEFORE_ALL: Final = (
    "Before anything is drilled: find pipes and cables, turn off what may be hit. Gas, electricity and "
    "plumbing are for licensed trades. What hangs is fastened into proved framing only, by the local "
    "code and the fastener's own table. Two people lift what one should not."
)


def installation(book: Book) -> list[Block | Flowing]:
    """Give the chapter's blocks; none where nothing is set on a day."""
    report = book.report
    if not report.order:
        return []
    inside = book.width - 5.2
    head = words(f"Day of installation: {report.title}", book.width, 3.5)
    caution = framed(words(BEFORE_ALL, inside), Role.CAUTION)
    columns = [Column("", 7.0), Column("", 8.0, True), Column("in this order", book.width - 15.0)]
    steps = flowing(columns, [_step(step) for step in report.order], height=BODY)
    return [head, caution, *_levels(book), steps, *_pieces(book)]


def _step(step: OrderStep) -> tuple[str, str, str]:
    why = f" ({step.why})" if step.why else ""
    said = typeset(plain(f"{step.says.rstrip('.')}{why}."))
    check = "; ".join(step.check)
    return TICK, f"{step.number}.", said + (f" Check first: {typeset(plain(check))}." if check else "")


def _levels(book: Book) -> Iterator[Block]:
    """Say what heights are measured from."""
    job = book.survey.job
    if job is not None and job.level_line is not None:
        mark = f" ({job.datum_mark})" if job.datum_mark else ""
        height = typeset(f"{job.level_line.text} in" if job.unit == "in" else f"{job.level_line.text} mm")
        yield words(f"Level line{mark}: {height} above z = 0; heights are measured from it.", book.width)


def _pieces(book: Book) -> Iterator[Block]:
    """Tell of each piece what is needed at the wall: studs and screws, and how much is planed off where."""
    named = {one.name: one for one in book.report.pieces if one.status != "not ready"}
    ordered = dict.fromkeys(name for step in book.report.order for name in step.pieces if name in named)
    for name in ordered:
        parts = list(_at_the_wall(named[name], book.width))
        if parts:
            yield stack([words(plain(name), book.width, TITLE), *parts], 1.2)


def _at_the_wall(piece: PieceReport, width: float) -> Iterator[Block]:
    studs = fixing_table(piece, min(width, 130.0))
    if studs is not None:
        yield studs
    for said in piece.screws:
        yield words(typeset(plain(said)), width)
    for edge in piece.edges:
        if edge.scribe:
            yield scribe_strip(edge, width)
    shims = [one for one in piece.measures if one.name.startswith("shim")]
    if shims:
        each = min(40.0, width / len(shims))
        columns = [Column(plain(one.name), each) for one in shims]
        yield table(columns, [[typeset(one.size.text) for one in shims]])
    if piece.installed:
        rows = [
            (one.edge, one.what, typeset(one.foretold.text), typeset(one.came_out.text))
            for one in piece.installed
        ]
        columns = [Column(name, 32.0) for name in ("edge", "what", "foretold", "came out")]
        yield table(columns, rows)

"""What bench and van need of a piece: rough sizes, parts, cut-outs, seams, stock, the way in, the lift."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kivy.uix.widget import Widget

from survey.app.plain import Quiet, Words
from survey.app.widgets.fit_parts import Pair, Section, Signed, figure, section

if TYPE_CHECKING:
    from survey.report.structs import CutOutReport, HoleReport, PartReport, PieceReport

SIGNS = {"goes": "fine", "does not go": "cross", "too tight to call": "in doubt"}


def bench_parts(piece: PieceReport) -> Iterator[Widget]:
    """Tell what is cut rough, cut out and put together, what it comes from, and what it waits for."""
    from survey.app.fit_words import held, sentence

    if piece.rough and [one.size.text for one in piece.rough] != [one.size.text for one in piece.blank]:
        told = section("Rough, to be cut first", *(figure(one.name, one.size) for one in piece.rough))
        for one in piece.oversize:
            words = f"{one.size}: {one.amount.text} for {one.purpose}, by {one.by}"
            told.add_widget(Quiet(text=sentence(words)))
        yield told
    yield from (_cut_out(one) for one in piece.cut_outs)
    yield from (_hole(one) for one in piece.holes)
    if piece.seams:
        yield section("Seams and joints", *(figure(one.name, one.size) for one in piece.seams))
    if piece.parts:
        yield section("Parts", *(row for part in piece.parts for row in _part(part)))
    if piece.stock is not None:
        sign = {"comes out": "fine", "does not": "cross", "not found": "in doubt"}[piece.stock.verdict]
        yield section("Stock", Signed(sign=sign, words=sentence(piece.stock.says)))
    if piece.waits_for:
        words = f"wait for {held(', '.join(piece.waits_for))}: measure it before you cut"
        yield section("Bought", Signed(sign="missing", words=sentence(words)))


def way_parts(piece: PieceReport) -> Iterator[Widget]:
    """Tell in a line each what it must get past, how it goes into its place, and who lifts it."""
    from survey.app.fit_words import held, sentence

    for step in piece.way:
        how = f", {step.how}" if step.how else ""
        margin = f", {held(step.margin.text)} to spare" if step.margin and step.verdict == "goes" else ""
        yield Signed(sign=SIGNS[step.verdict], words=sentence(f"{step.name}: {step.verdict}{how}{margin}"))
    if piece.entry is not None:
        yield Words(text=sentence(piece.entry.says))
    if piece.lift is not None:
        yield Words(text=sentence(piece.lift.says))


def _hole(one: HoleReport) -> Section:
    from survey.app.fit_words import held, sentence
    from survey.drawing.piece_words import printable

    size = f"diameter {one.diameter.text}" if one.diameter else "its diameter was not read"
    return section(
        f"Hole in its back for {printable(one.around)}",
        Pair(left=sentence(f"centre {one.across_from}"), right=sentence(one.up_from), is_head=True),
        Pair(left=held(one.across.text), right=held(one.up.text)),
        says=sentence(size),
    )


def _cut_out(one: CutOutReport) -> Section:
    from survey.app.fit_words import held, sentence
    from survey.drawing.piece_words import across_words, printable

    item = f" for {printable(one.item)}" if one.item else ""
    told = section(
        f"Cut-out {printable(one.name)}{item}",
        Pair(left=sentence(f"centre {one.across_from}"), right=sentence(one.deep_from), is_head=True),
        Pair(
            left=held(across_words(one.centre.across.text, one.across_from)), right=held(one.centre.deep.text)
        ),
        says=sentence(f"{one.shape}, {one.width.text} by {one.depth.text}"),
    )
    if one.radius is not None and one.radius.mm > 0:
        told.add_widget(figure("corners, radius", one.radius))
    for left in one.left_over:
        told.add_widget(figure(f"left: {left.name}", left.size))
    for support in one.support:
        told.add_widget(Quiet(text=sentence(support)))
    return told


def _part(part: PartReport) -> Iterator[Widget]:
    from survey.app.fit_words import size_line

    many = f" ({part.quantity})" if part.quantity > 1 else ""
    yield Pair(left=f"{part.name}{many}", right=size_line(part.finished))
    if part.rough and part.rough != part.finished:
        yield Quiet(text=f"rough {size_line(part.rough)}")
    if part.note:
        yield Quiet(text=part.note)

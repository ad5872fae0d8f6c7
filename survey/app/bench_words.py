"""What is for the pieces, in words and in groups: cut-outs and seams, bought items, stock, the way in."""

from __future__ import annotations

from typing import Final

from survey.app.new_feature import NAMES, length_words, sort_of
from survey.records import (
    BoughtItem,
    CutOut,
    Machine,
    Oversize,
    Piece,
    Record,
    Seam,
    Stock,
    Survey,
    TypedLength,
    Way,
)

GROUPS: Final = (
    ("Cut out and joined", (CutOut, Seam)),
    ("Bought", (BoughtItem,)),
    ("On hand", (Stock,)),
    ("The way in, step by step", (Way,)),
    ("The shop", (Machine, Oversize)),
)
"""How what is for the pieces is listed."""


def cuts_in(survey: Survey, piece: Piece) -> tuple[CutOut | Seam, ...]:
    """Return what is cut out of a piece and joined in it."""
    cut_outs = [one for one in survey.of(CutOut) if one.of == piece.name]
    return (*cut_outs, *(one for one in survey.of(Seam) if one.of == piece.name))


def takes_cuts(piece: Piece) -> bool:
    """Whether something can be cut out of a piece, or joined in it."""
    return isinstance(piece, NAMES["cut-out"]["of"])


def cut_words(record: CutOut | Seam) -> str:
    """Say in a line what a cut-out is for and where it lies, or where a seam runs.

    >>> from survey.dictation import dictate
    >>> lines = ["job V in in to 1/16", "cut out hole in t for bowl oval over drain"]
    >>> lines += ["seam s in t along 20 from left end"]
    >>> _, hole, seam = dictate(lines, Survey([]))
    >>> cut_words(hole), cut_words(seam)
    ('oval, for bowl, over drain', '20″ from the left end')
    """
    said: list[str] = []
    if isinstance(record, CutOut):
        said.append(record.shape)
        if record.item:
            said.append(f"for {record.item}")
        elif record.width and record.depth:
            said.append(f"{length_words(record.width)} by {length_words(record.depth)}")
        else:
            said.append("size not said")
        if record.over:
            said.append(f"over {record.over}")
    if record.along is not None and record.end is not None:
        said.append(f"{length_words(record.along)} from the {record.end} end")
    elif isinstance(record, CutOut) and not record.over:
        said.append("in the middle")
    if record.from_front is not None:
        said.append(f"{length_words(record.from_front)} from the front")
    return ", ".join(said) or "place not said"


def bench_words(record: Record) -> str:
    """Say in a line what is for the pieces: where a cut-out is, how large an item, how wide a doorway.

    >>> from survey.dictation import dictate
    >>> lines = ["job V in in to 1/16", 'bought sink "vessel" width 15 depth 12 measured in hand']
    >>> lines += ["way hall step 2 corner width 36 next width 34"]
    >>> lines += ["stock b oak board length 96 width 8 thickness 1"]
    >>> _, sink, hall, board = dictate(lines, Survey([]))
    >>> bench_words(sink), bench_words(hall)
    ('vessel · 15″ × 12″, measured', 'Corner · 36″ wide, then 34″ wide')
    >>> bench_words(board)
    'oak, board · 96″ × 8″ × 1″'
    """
    match record:
        case CutOut() | Seam():
            return f"{sort_of(record).words} in {record.of} · {cut_words(record)}"
        case BoughtItem():
            size = _times(record.width, record.height, record.depth)
            return " · ".join([record.what, *([f"{size}, {record.size}"] if size else [])])
        case Stock():
            many = f", {record.quantity} of it" if record.quantity != 1 else ""
            size = _times(record.length, record.width, record.thickness)
            return f"{record.material}, {record.form} · {size}{many}"
        case Way():
            clear = (
                (record.width, "{} wide"),
                (record.next_width, "then {} wide"),
                (record.height, "{} high"),
            )
            said = ", ".join(words.format(length_words(one)) for one, words in clear if one is not None)
            return f"{record.type.capitalize()} · {said or 'not measured yet'}"
        case Machine():
            return f"Machine's bed · {_times(record.length, record.width, record.thickness)}"
        case Oversize():
            return f"{length_words(record.amount)} left over"
        case _:
            return sort_of(record).words


def _times(*sizes: TypedLength | None) -> str:
    return " × ".join(length_words(one) for one in sizes if one is not None)

"""Tables of a piece's page: its sizes, what is left on its edges, series of measures, fixings, findings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from survey.drawing.piece_words import plain, printable, typeset
from survey.finding import Finding
from survey.handover.blocks import SMALL, Block, Column, stack, table, words
from survey.report.structs import NamedDimension, PieceReport

LEAST_SERIES: Final = 3
"""Measures of one name at so many places stand in a table of their own."""
_AT: Final = re.compile(r"(?P<name>.+), (?P<at>-?[\d/ .]+(?: in| mm)?) (?P<start>from the .+)")
SERIES_CELL: Final = 13.0
"""Width of one place in such a table, mm."""
SERIES_LABEL: Final = 46.0


def sizes_table(piece: PieceReport, width: float) -> Block | None:
    """Set the sizes to cut: finished, blank where something is left on, rough where that is more."""
    kinds = (("finished", piece.finished), ("blank", piece.blank), ("rough", piece.rough))
    shown = [(name, {one.name: typeset(one.size.text) for one in sizes}) for name, sizes in kinds if sizes]
    shown = [one for i, one in enumerate(shown) if i == 0 or one[1] != shown[i - 1][1]]
    if not shown:
        return None
    names = list(dict.fromkeys(name for _, sizes in shown for name in sizes))
    each = min(0.63 / len(shown) * width, 24.0)
    columns = [Column("cut", width - each * len(shown)), *(Column(name, each, True) for name, _ in shown)]
    return table(columns, [(plain(name), *(sizes.get(name, "") for _, sizes in shown)) for name in names])


def allowance_table(piece: PieceReport, width: float) -> Block | None:
    """Set what is left over on each edge, and the three parts that it is made of."""
    rows = [
        (edge.edge, *(typeset(one.text) for one in (part.total, part.range, part.unknown, part.saw)))
        for edge in piece.edges
        if (part := edge.allowance) is not None
    ]
    if not rows:
        return None
    each = 0.19 * width
    columns = [
        Column("edge", 0.24 * width),
        *(Column(name, each, True) for name in ("leave", "for the wall", "not known", "for the saw")),
    ]
    return table(columns, rows)


def fixing_table(piece: PieceReport, width: float) -> Block | None:
    """Set the studs behind a piece: from its own end, and from what can be found on site."""
    if not piece.fixings:
        return None
    rows = [
        (
            f"{plain(one.stud)}\n{one.how}",
            typeset(one.across.text),
            f"{typeset(one.off.text)}\n{plain(one.mark)}",
            f"±{typeset(one.within.text)}",
        )
        for one in piece.fixings
    ]
    columns = [
        Column("stud", 0.3 * width),
        Column(piece.fixings[0].across_from, 0.22 * width, True),
        Column("on the wall, from", 0.3 * width, True),
        Column("within", 0.18 * width, True),
    ]
    return table(columns, rows)


def finding_words(findings: Iterable[Finding], piece: PieceReport, width: float) -> Block | None:
    """Say what was found about a piece."""
    about = [one for one in findings if piece.name in one.pieces]
    lines = [words(typeset(plain(f"{one.number}  {one.says}; {one.do}.")), width, SMALL) for one in about]
    return stack(lines, 0.8, width) if lines else None


Series = tuple[str, list[tuple[str, str]]]
"""What is measured, and its places with their sizes, in words."""


def parted(measures: Sequence[NamedDimension]) -> tuple[list[NamedDimension], dict[str, list[Series]]]:
    """Part measures into single ones, and series of one name at several places, by where they start.

    >>> from survey.report.structs import Dimension
    >>> def named(name, mm): return NamedDimension(name, Dimension(mm, mm, f"{mm} mm"))
    >>> many = [named(f"planed off the base, {at} mm from the left", at / 100) for at in (0, 300, 600)]
    >>> single, series = parted([named("gap at the left", 3.0), *many])
    >>> [one.name for one in single], series["from the left"][0][0]
    (['gap at the left'], 'planed off the base')
    >>> series["from the left"][0][1]
    [('0 mm', '0.0 mm'), ('300 mm', '3.0 mm'), ('600 mm', '6.0 mm')]
    """
    found: dict[tuple[str, str], list[tuple[NamedDimension, str]]] = {}
    for one in measures:
        match = _AT.fullmatch(one.name)
        if match is not None:
            found.setdefault((match["name"], match["start"]), []).append((one, match["at"]))
    long = {key: rows for key, rows in found.items() if len(rows) >= LEAST_SERIES}
    taken = {id(one) for rows in long.values() for one, _ in rows}
    series: dict[str, list[Series]] = {}
    for (name, start), rows in long.items():
        series.setdefault(start, []).append((name, [(at, one.size.text) for one, at in rows]))
    return [one for one in measures if id(one) not in taken], series


def series_tables(series: dict[str, list[Series]], width: float) -> list[Block]:
    """Set series as tables: places across, a row for each name; those of the same places share one."""
    tables = []
    for start, rows in series.items():
        by_places: dict[tuple[str, ...], list[tuple[str, list[str]]]] = {}
        for name, pairs in rows:
            places = tuple(at for at, _ in pairs)
            by_places.setdefault(places, []).append((name, [size for _, size in pairs]))
        for places, named in by_places.items():
            tables += _split(start, places, named, width)
    return tables


def _split(
    start: str, places: Sequence[str], named: Sequence[tuple[str, list[str]]], width: float
) -> list[Block]:
    """Set a table, in parts below each other where it is wider than the page."""

    def number(text: str) -> str:
        return typeset(text.removesuffix(" mm"))

    per = max(1, int((width - SERIES_LABEL) / SERIES_CELL))
    parts = []
    for first in range(0, len(places), per):
        part = slice(first, first + per)
        columns = [
            Column(plain(start), SERIES_LABEL),
            *(Column(number(at), SERIES_CELL, True) for at in places[part]),
        ]
        rows = [(printable(plain(name)), *(number(size) for size in sizes[part])) for name, sizes in named]
        parts.append(table(columns, rows))
    return parts

"""One piece as it is set on a page: its name, picture, sizes, allowances, coordinates, depths, cautions."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from survey.drawing import Anchor, Drawing, DrawingError, Role, layout, letter
from survey.drawing.layout import SURE
from survey.drawing.piece_words import across_words, edge_words, plain, printable, typeset
from survey.drawing.pieces import has_picture, piece_drawing
from survey.finding import Finding
from survey.handover.blocks import (
    BODY,
    SMALL,
    Block,
    Column,
    Remembered,
    beside,
    centred,
    framed,
    picture,
    rule,
    space,
    stack,
    table,
    words,
)
from survey.handover.piece_tables import (
    Series,
    allowance_table,
    finding_words,
    fixing_table,
    parted,
    series_tables,
    sizes_table,
)
from survey.report.chance_words import chance_words, driver_words, slip_words
from survey.report.structs import (
    CutOutReport,
    EdgeReport,
    HoleReport,
    NamedDimension,
    PartReport,
    PieceReport,
    ScribeStation,
)

SIDE = 60.0
"""Width of the tables beside a picture, mm."""
SIDE_GAP = 6.0
"""Between a picture and its tables, mm."""
TOGETHER = 12
"""Sizes on site that stand in one table."""
LONG_TABLE = 13
"""Corners above which a table stands under the picture, in columns, instead of beside it."""
STATION = 12.6
"""Width of one station in the strip of scribe depths, mm."""
LABELS = (31.0, 25.0)
"""Width of what is said before that strip, over the whole width and half of it, mm."""
STATIONS = 12
"""Stations of an edge that are printed; the fit report may have more."""
BOX = 95.0
"""Height that a box's picture does not exceed, mm: a rectangle says little."""
BORED = 125.0
"""The same of a box whose back is bored: the holes are dimensioned, mm."""
PART_GAP = 2.2
"""Between the parts of a page, mm."""
TALLEST = 195.0
"""Height that no picture exceeds, mm: heading and tables stand on the same page."""
SCALES = {
    "in": (1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 24, 32, 48, 64, 96),
    "mm": (1, 2, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100),
}
"""Finer than ISO 5455, for larger pictures: nobody measures on them."""
MUCH_SMALLER = 1.5
"""A picture that many numbers make so many times as small gives way to one that names the notches."""
SMALLEST_PIECE = 36.0
"""Longest side of a piece on paper, mm; its words swallow a smaller one."""
AROUND = 20.0
"""Less than this the words and dimensions around a piece never take, mm: spares vain attempts."""
ANY_AREA = (100_000.0, 100_000.0)
"""Paper mm; room without end, where the size of a picture at one scale is asked."""


@dataclass(frozen=True)
class Setting:
    """A piece as it is set: blocks in order, and the scale of its picture (0 without one)."""

    parts: tuple[Block, ...]
    one_to: float = 0.0

    @property
    def block(self) -> Block:
        """All of it in one piece."""
        return stack(self.parts, PART_GAP)


@dataclass(frozen=True)
class PieceBlock:
    """A piece, ready to be set at several sizes."""

    piece: PieceReport
    unit: str
    step: str
    """The job's smallest fraction, in words."""
    findings: tuple[Finding, ...] = ()
    """All findings of the job; those that name the piece are told."""

    with_ordinates: bool = True
    """Whether corners are dimensioned in the picture; else they are named there and stand in the table."""

    @cached_property
    def drawing(self) -> Drawing | None:
        """Its picture, or nothing where it has none."""
        if not has_picture(self.piece):
            return None
        return piece_drawing(self.piece, with_ordinates=self.with_ordinates)

    def set(self, width: float, height: float) -> Setting | None:
        """Set it on a page of this room, or return nothing where its picture has none.

        The tables stand beside the picture, or under it where that lets the picture be larger. Where many
        corners would make it much smaller, they are named in it, and told in the table alone.
        """
        setting = self._set(width, height)
        if not self.with_ordinates or len(self._corners) <= LONG_TABLE:
            return setting
        named = replace(self, with_ordinates=False)._set(width, height)
        if named is None or (setting is not None and setting.one_to < MUCH_SMALLER * named.one_to):
            return setting
        return named

    def _set(self, width: float, height: float) -> Setting | None:
        if self.drawing is None:
            return Setting((self._heading(width), stack(self._side_blocks(width), 2.4, width)))
        at_side = self._beside(width, height)
        # No smaller picture than beside the tables is wanted, and so none is laid out.
        under = self._under(width, height, at_side.one_to if at_side is not None else math.inf)
        kept = [choice for choice in (at_side, under) if choice is not None]
        return min(kept, key=lambda one: (one.one_to, one.block.height), default=None)

    def set_anyhow(self, width: float) -> Setting:
        """Set it over more than one page: its picture as large as one takes, then its tables.

        Where many corners would make the picture much smaller, or leave it no room, notches are named in it.
        """
        drawn = self._picture((width, TALLEST))
        if drawn is None or len(self._corners) > LONG_TABLE:
            named = replace(self, with_ordinates=False)._picture((width, TALLEST))
            if drawn is None or (named is not None and drawn[1] >= MUCH_SMALLER * named[1]):
                drawn = named
        block = (
            centred(drawn[0], width)
            if drawn
            else words("The picture has no room here; see the drawing file.", width)
        )
        # Long tables first: they are low, and the picture's page mostly has room for them; then what is
        # cut to, and last what is said about it.
        tables = [
            *self._long_tables(width),
            _in_columns(self._numbers, width),
            _in_columns(self._told, width),
        ]
        return Setting((self._heading(width), block, *tables), drawn[1] if drawn else 0.0)

    def heading_again(self, width: float) -> Block:
        """Head a further page of the piece."""
        return stack([rule(width, Role.FINISHED), space(1.2), words(f"{self.piece.name}, continued", width)])

    def _beside(self, width: float, height: float) -> Setting | None:
        side = stack(self._side_blocks(SIDE), 2.4, SIDE)
        head, below = self._heading(width), self._long_tables(width)
        room = self._room(height, [head, *below])
        drawn = self._picture((width - SIDE - SIDE_GAP, room)) if side.height <= room else None
        if drawn is None:
            return None
        row = beside([centred(drawn[0], width - SIDE - SIDE_GAP), side], SIDE_GAP)
        return Setting((head, row, *below), drawn[1])

    def _under(self, width: float, height: float, at_most: float) -> Setting | None:
        head, below = self._heading(width), self._tables_under(width)
        drawn = self._picture((width, self._room(height, [head, *below])), at_most)
        if drawn is None:
            return None
        return Setting((head, centred(drawn[0], width), *below), drawn[1])

    def _room(self, height: float, others: Sequence[Block]) -> float:
        """Return how high the picture may be beside what else stands on the page; a box's says little."""
        left = height - sum(one.height + PART_GAP for one in others)
        return min(left, TALLEST if self.piece.outline else BORED if self.piece.holes else BOX)

    @cached_property
    def _at_scales(self) -> dict[float, Block | None]:
        """What was laid out already: room does not change a picture, only whether it is taken."""
        return {}

    def _picture(self, area: tuple[float, float], at_most: float = math.inf) -> tuple[Block, float] | None:
        """Return the picture at the largest scale that fits the area and is 1 to `at_most`, or nothing.

        What words and dimensions take around one picture tells whether the next larger one can fit, so few
        scales are laid out.
        """
        if self.drawing is None:
            return None
        size = self.drawing.extents()
        scales = [
            one_to
            for one_to in SCALES[self.unit]
            if one_to <= at_most
            and size.width / one_to <= area[0] - AROUND
            and size.height / one_to <= area[1] - AROUND
            and max(size.width, size.height) / one_to >= SMALLEST_PIECE
        ]
        around = (AROUND, AROUND)
        for one_to in scales:
            if not self._may_fit(one_to, area, around):
                continue
            block = self._laid_out_at(one_to)
            if block is None:
                continue
            if block.width <= area[0] and block.height <= area[1]:
                return block, one_to
            around = (
                max(around[0], SURE * (block.width - size.width / one_to)),
                max(around[1], SURE * (block.height - size.height / one_to)),
            )
        return None

    def _may_fit(self, one_to: float, area: tuple[float, float], around: tuple[float, float]) -> bool:
        assert self.drawing is not None
        size = self.drawing.extents()
        return size.width / one_to + around[0] <= area[0] and size.height / one_to + around[1] <= area[1]

    def _laid_out_at(self, one_to: float) -> Block | None:
        assert self.drawing is not None
        if one_to not in self._at_scales:
            self._at_scales[one_to] = _laid_out(self.drawing, ANY_AREA, one_to)
        return self._at_scales[one_to]

    def _heading(self, width: float) -> Block:
        piece = self.piece
        facts = printable(", ".join(filter(None, (piece.kind, piece.material, f"make {piece.quantity}"))))
        name = words(piece.name, width, 3.5)
        at_right = letter(facts, (width, name.height - 3.5), Anchor.BOTTOM_RIGHT, height=BODY)
        is_free = len(name.marks) == 1 and name.marks[0].extents().right + 4.0 < at_right.at[0]
        below = () if is_free else (words(facts, width),)
        named = Block(width, name.height, (*name.marks, at_right)) if is_free else name
        return stack([rule(width, Role.FINISHED), space(1.2), named, *below], width=width)

    def _side_blocks(self, width: float) -> list[Block]:
        """Return what stands beside the picture: sizes and coordinates, then what is said about them."""
        return [*self._numbers(width), *self._told(width)]

    def _numbers(self, width: float) -> list[Block]:
        """Return the tables: sizes, allowances, notches, cut-outs, parts, what is measured on site."""
        piece = self.piece
        blocks = []
        if piece.status == "as typed":
            blocks.append(words("Sizes as typed, not computed from the room: check them.", width))
        blocks += [one for one in (sizes_table(piece, width), allowance_table(piece, width)) if one]
        if 0 < len(self._corners) <= LONG_TABLE:
            blocks.append(self._corner_table(self._corners, width))
        if piece.cut_outs:
            blocks.append(_cut_outs(piece.cut_outs, width))
        if piece.holes:
            blocks.append(_holes(piece.holes, width))
        if piece.parts:
            blocks.append(_parts(piece.parts, width))
        single, _ = self._measures
        rows = [(typeset(plain(one.name)), typeset(one.size.text)) for one in single]
        columns = [Column("on site", width - 20.0), Column("size", 20.0, is_number=True)]
        # In parts, so that a long list can stand in several columns under the picture.
        blocks += [table(columns, rows[start : start + TOGETHER]) for start in range(0, len(rows), TOGETHER)]
        return blocks

    def _told(self, width: float) -> list[Block]:
        """Return the words: chance, cautions, bench and way, findings, how it sits and how sure that is."""
        piece = self.piece
        blocks = []
        if piece.chance:
            blocks.append(words(typeset(f"Chance: {chance_words(piece.chance, self.step)}."), width))
        if piece.cautions:
            said = [plain(text) for text in piece.cautions]
            cautions = [words(text, width - 5.2) for text in (f"Caution: {said[0]}", *said[1:])]
            blocks.append(framed(stack(cautions, 0.8), Role.CAUTION))
        for told in (bench_words(piece), way_words(piece)):
            lines = [words(typeset(plain(text)), width) for text in told]
            blocks += [stack(lines, 0.8, width)] if lines else []
        blocks += [
            one for one in (fixing_table(piece, width), finding_words(self.findings, piece, width)) if one
        ]
        notes = []
        if piece.rule:
            notes.append(words(f"How it sits: {plain(piece.rule).rstrip('.')}.", width, SMALL))
        if piece.confidence is not None:
            sure = f"Worked out for {100 * piece.confidence:.4g} %: {plain(piece.limits).rstrip('.')}."
            notes.append(words(sure, width, SMALL))
        notes += [words(typeset(plain(text)), width, SMALL) for text in self._likely()]
        return [*blocks, *([stack(notes, 0.8, width)] if notes else [])]

    def _likely(self) -> Iterator[str]:
        """Say how likely it comes out well, what leaves most unknown, which slip nothing shows."""
        driven = driver_words(self.piece)
        if driven:
            yield f"Most unknown: {driven}."
        slip = slip_words(self.piece.chance) if self.piece.chance else ""
        if slip:
            yield f"Slips: {slip}."

    def _tables_under(self, width: float) -> list[Block]:
        """Set under the picture what else stands beside it."""
        return [_in_columns(self._side_blocks, width), *self._long_tables(width)]

    def _long_tables(self, width: float) -> list[Block]:
        """Set what needs the whole width: scribe depths, and the corners of many notches."""
        blocks = [scribe_strip(edge, width) for edge in self.piece.edges if edge.scribe]
        blocks += series_tables(self._measures[1], width)
        corners = self._corners if len(self._corners) > LONG_TABLE else []
        count = 3 if width >= 3 * 50.0 else 1
        each = (width - (count - 1) * SIDE_GAP) / count
        per = 30 * count
        for start in range(0, len(corners), per):
            part = corners[start : start + per]
            long = -(-len(part) // count)
            columns = [part[i : i + long] for i in range(0, len(part), long)]
            blocks.append(beside([self._corner_table(column, each) for column in columns], SIDE_GAP))
        return blocks

    @cached_property
    def _measures(self) -> tuple[list[NamedDimension], dict[str, list[Series]]]:
        """What is measured on site once, and in series along something."""
        return parted(self.piece.measures)

    @cached_property
    def _corners(self) -> list[tuple[str, str, str]]:
        """List notch corners: around what, across, deep; the sheet says once that all is in mm."""
        rows = []
        for notch in self.piece.notches:
            for number, corner in enumerate(notch.corners):
                across = typeset(across_words(corner.across.text, notch.across_from))
                name = printable(notch.around) if number == 0 else ""
                rows.append((name, across.replace(" mm", ""), typeset(corner.deep.text.removesuffix(" mm"))))
        return rows

    def _corner_table(self, rows: Sequence[tuple[str, str, str]], width: float) -> Block:
        first = self.piece.notches[0]
        number = 0.33 * width
        across, deep = (one.partition(",")[0] for one in (first.across_from, first.deep_from))
        columns = [
            Column("notch around", width - 2 * number),
            Column(across, number, is_number=True),
            Column(deep, number, is_number=True),
        ]
        return table(columns, rows)


def _in_columns(blocks: Callable[[float], list[Block]], width: float) -> Block:
    """Set blocks, made as wide as a column, in columns of even height."""
    count = 1 if width < 2 * SIDE else 2 if width < 3 * SIDE else 3
    each = (width - (count - 1) * SIDE_GAP) / count
    columns: list[list[Block]] = [[] for _ in range(count)]
    for block in blocks(each):
        shortest = min(columns, key=lambda column: sum(one.height for one in column))
        shortest.append(block)
    return beside([stack(column, 2.4, each) for column in columns], SIDE_GAP)


def bench_words(piece: PieceReport) -> Iterator[str]:
    """Say what the bench must know: what is left over and around cut-outs, stock, what is waited for."""
    if piece.oversize:
        amounts = (f"{one.size} {one.amount.text} for {one.purpose} ({one.by})" for one in piece.oversize)
        yield f"Left over: {', '.join(amounts)}."
    for cut_out in piece.cut_outs:
        left = ", ".join(f"{one.name} {one.size.text}" for one in cut_out.left_over)
        carried = f" It is carried by {' and '.join(cut_out.support)}." if cut_out.support else ""
        yield f"Left around {cut_out.name}: {left}.{carried}" if left else carried.strip()
    if piece.seams:
        yield f"Seams: {', '.join(f'{one.name} {one.size.text}' for one in piece.seams)}."
    if piece.stock is not None:
        yield f"Stock: {piece.stock.says.rstrip('.')}."
    yield from piece.screws
    if piece.waits_for:
        yield f"Wait for {', '.join(piece.waits_for)}: measure it before you cut."


def way_words(piece: PieceReport) -> Iterator[str]:
    """Say what van and site must know: how it goes in, past what, and who lifts it."""
    if piece.entry is not None:
        yield f"Into its place: {piece.entry.says.rstrip('.')}."
    for step in piece.way:
        margin = (
            f", {step.margin.text} to spare" if step.margin is not None and step.verdict == "goes" else ""
        )
        how = f", {step.how}" if step.how else ""
        helps = f" What would help: {'; or '.join(step.helps)}." if step.helps else ""
        yield f"Past {step.name}: {step.verdict}{how}{margin}.{helps}"
    if piece.lift is not None:
        yield f"Lift: {piece.lift.says.rstrip('.')}."


def _cut_outs(cut_outs: Sequence[CutOutReport], width: float) -> Block:
    """List the centres and sizes of cut-outs; the sheet says once that all is in mm."""
    rows = []
    for one in cut_outs:
        size = f"{one.width.text} × {one.depth.text}" if one.width != one.depth else one.width.text
        across = across_words(one.centre.across.text, one.across_from)
        cells = (size, across, one.centre.deep.text)
        rows.append((printable(one.name), *(typeset(cell).replace(" mm", "") for cell in cells)))
    first = cut_outs[0]
    across_from, deep_from = (text.partition(",")[0] for text in (first.across_from, first.deep_from))
    columns = [
        Column("cut-out", 0.21 * width),
        Column("size", 0.37 * width),
        Column(f"centre {across_from}", 0.22 * width, is_number=True),
        Column(deep_from, 0.2 * width, is_number=True),
    ]
    return table(columns, rows)


def _holes(holes: Sequence[HoleReport], width: float) -> Block:
    """List the holes in a box's back; the sheet says once that all is in mm."""
    rows = []
    for one in holes:
        size = one.diameter.text if one.diameter else "not read"
        told = (typeset(text).replace(" mm", "") for text in (one.across.text, one.up.text))
        rows.append((printable(one.around), typeset(size).removesuffix(" mm"), *told))
    columns = [
        Column("hole in its back for", 0.32 * width),
        Column("diameter", 0.22 * width, is_number=True),
        Column(f"centre {holes[0].across_from}", 0.23 * width, is_number=True),
        Column(holes[0].up_from, 0.23 * width, is_number=True),
    ]
    return table(columns, rows)


def _parts(parts: Sequence[PartReport], width: float) -> Block:
    """List the parts of a piece that is put together, finished and rough."""
    rows = [
        (printable(one.name), str(one.quantity), *(_in_a_row(sizes) for sizes in (one.finished, one.rough)))
        for one in parts
    ]
    columns = [
        Column("part", 0.26 * width),
        Column("no.", 0.1 * width, is_number=True),
        Column("finished", 0.32 * width),
        Column("rough", 0.32 * width),
    ]
    return table(columns, rows)


def _in_a_row(sizes: Sequence[NamedDimension]) -> str:
    return " × ".join(typeset(one.size.text).removesuffix(" mm") for one in sizes)


def _laid_out(drawing: Drawing, area: tuple[float, float], scale: float) -> Block | None:
    try:
        laid_out = layout(drawing, area, scale, metrics=Remembered())
    except DrawingError:
        return None
    block = picture(laid_out)
    note = words(f"scale {laid_out.scale_text}", max(block.width, 25.0), SMALL)
    return stack([block, space(0.8), note], width=block.width)


def scribe_strip(edge: EdgeReport, width: float) -> Block:
    """Say how much is planed off along a scribed edge, place above depth, as along the wood."""
    step = -(-len(edge.scribe) // STATIONS)
    kept = [one for i, one in enumerate(edge.scribe) if i % step == 0 or i == len(edge.scribe) - 1]
    label = LABELS[0] if width > STATIONS * STATION else LABELS[1]
    per = max(1, int((width - label) / STATION))
    told = edge_words(edge)
    if edge.deepest is not None and edge.shallowest is not None:
        least, most = edge.shallowest.text, edge.deepest.text
        told += f": plane off {least}" if least == most else f": plane off {least} to {most}"
    lines = [words(typeset(f"{edge.edge}, {told}"), width)]
    for start in range(0, len(kept), per):
        part = kept[start : start + per]
        lines += _strip(edge.stations_from, part, label)
    return stack(lines, 0.4, width)


def _strip(start: str, stations: Sequence[ScribeStation], label: float) -> list[Block]:
    """Set places and depths as two rows of one table; the sheet says once that all is in mm."""

    def number(text: str) -> str:
        return typeset(text.removesuffix(" mm"))

    columns = [Column(start, label), *(Column(number(one.at.text), STATION, True) for one in stations)]
    return [table(columns, [("plane off", *(number(one.depth.text) for one in stations))], head=BODY)]

"""The job sheet: what goes to the saw, as PDF; on one page where everything is legible on one.

Sheets are made of the fit report alone. Nothing on them depends on the day or the machine.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from survey.drawing import LaidOut, Mark, Role
from survey.drawing.piece_words import plain, printable, typeset
from survey.finding import Finding
from survey.handover.blocks import (
    BODY,
    SMALL,
    Block,
    Column,
    beside,
    framed,
    line,
    rule,
    space,
    stack,
    table,
    words,
)
from survey.handover.piece_block import HALF_GAP, TALLEST, PieceBlock, Setting
from survey.report.chance_words import step_words
from survey.report.next_words import READ_AGAIN, READ_NEXT, enough_words, one_width_words, reading_words
from survey.report.structs import FitReport, PieceReport

LETTER = (215.9, 279.4)
"""Width and height of US Letter, mm (ANSI/ASME Y14.1)."""
A4 = (210.0, 297.0)
"""Width and height of A4, mm (ISO 216)."""
MARGIN = 13.0
"""Free around a page, mm: more than common printers cannot reach."""
FOOT = 7.0
"""Kept for the last line of a page, mm."""
GAP = 5.0
"""Between blocks, mm."""
HEIGHTS = (72.0, 77.0, 83.0, 90.0, 98.0, 108.0, 120.0, 135.0, 150.0)
"""Tried heights of the largest picture on a single page, mm; below the first nobody reads it."""
COMFORTABLE = (118.0, 108.0, 98.0, 90.0, 83.0)
"""Heights of a picture where the sheet needs several pages, mm; the fewest pages win, then the largest."""
FEW = 12
"""Pieces up to which all of these are tried."""
STILL_GOOD = 1.5
"""How much smaller a picture may be so that it fits the rest of a page."""
CHUNK = 24
"""Rows of the list of pieces that are kept together."""

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Sheet:
    """The paper: its size, and the room between its margins (mm)."""

    size: tuple[float, float]

    @property
    def width(self) -> float:
        """Between the margins."""
        return self.size[0] - 2 * MARGIN

    @property
    def height(self) -> float:
        """Between the margins, the last line left out."""
        return self.size[1] - 2 * MARGIN - FOOT


def job_sheet(report: FitReport, on_progress: Progress | None = None, *, again: Sequence[str] = ()) -> bytes:
    """Return the job sheet as PDF.

    Parameters
    ----------
    report : FitReport
        In inches it is laid out for Letter, in millimetres for A4.
    on_progress : callable, optional
        Called with ("job sheet", pictures made, pictures to make).
    again : sequence of str
        The readings to repeat before cutting, in words: the report knows their ids only.

    Returns
    -------
    bytes
        The same report gives the same bytes.

    Examples
    --------
    >>> from survey.report.structs import RoomReport
    >>> report = FitReport("scribefit fit report", 3, "Bath", "mm", "1 mm", 0.99, "0" * 64,
    ...                    RoomReport(), (), ())
    >>> job_sheet(report)[:5], len(job_sheet_pages(report))
    (b'%PDF-', 1)
    """
    from survey.handover.pdf import draw, open_pdf

    file = io.BytesIO()
    pages = job_sheet_pages(report, on_progress, again=again)
    canvas = open_pdf(file, (pages[0].width, pages[0].height), f"Job sheet: {printable(report.title)}")
    for page in pages:
        draw(canvas, page, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def job_sheet_pages(
    report: FitReport, on_progress: Progress | None = None, *, again: Sequence[str] = ()
) -> tuple[LaidOut, ...]:
    """Return the pages of the job sheet as pictures in paper mm, for any backend."""
    sheet = Sheet(LETTER if report.unit == "in" else A4)
    width = sheet.width
    top = [
        *_head(report, width),
        *_stops(report, width),
        *_list(report, width),
        *_day(report, width),
        *_notes(report, width),
        *_next(report, again, width),
    ]
    step = step_words(report.step, report.unit)
    pieces = [PieceBlock(one, report.unit, step) for one in report.pieces if one.status != "not ready"]
    pages = _one_page(sheet, top, pieces)
    if pages is None:
        pages = _several_pages(sheet, top, pieces, on_progress)
    return tuple(_numbered(report, sheet, pages))


def _one_page(sheet: Sheet, top: Sequence[Block], pieces: Sequence[PieceBlock]) -> list[Block] | None:
    """Compose everything on one page with pictures as large as it allows, or return nothing."""
    if sum(piece.least_height for piece in pieces) > sheet.height - _height(top):
        return None
    best: list[Block] | None = None
    for height in HEIGHTS:
        rows = _piece_rows(pieces, sheet.width, height)
        if rows is not None and _height([*top, *rows]) <= sheet.height:
            best = [stack([*top, *rows], GAP, sheet.width)]
        elif best is not None:
            break
    return best


def _height(rows: Sequence[Block]) -> float:
    return sum(row.height for row in rows) + GAP * max(0, len(rows) - 1)


def _piece_rows(pieces: Sequence[PieceBlock], width: float, height: float) -> list[Block] | None:
    """Put pieces into rows with pictures at most `height` high."""
    rows: list[Block] = []
    for group in _groups(pieces, _half(width)):
        each = _half(width) if len(group) == 2 else width
        settings = [piece.set(each, piece.limit(height)) for piece in group]
        blocks = [setting.block for setting in settings if setting is not None]
        if len(blocks) < len(group):
            return None
        rows.append(beside(blocks, HALF_GAP))
    return rows


def _groups(pieces: Sequence[PieceBlock], half: float) -> list[list[PieceBlock]]:
    """Let a narrow piece share its row with the next narrow one, which moves up to it."""
    groups: list[list[PieceBlock]] = []
    open_group: list[PieceBlock] | None = None
    for piece in pieces:
        is_half = piece.is_half(half)
        if is_half and open_group is not None:
            open_group.append(piece)
            open_group = None
            continue
        groups.append([piece])
        if is_half:
            open_group = groups[-1]
    return groups


def _half(width: float) -> float:
    return (width - HALF_GAP) / 2


class _Pages:
    """Pages while they are filled from above."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.rows: list[list[Block]] = [[]]

    @property
    def room(self) -> float:
        """What is left of the last page."""
        used = _height(self.rows[-1])
        return self.sheet.height - used - (GAP if self.rows[-1] else 0.0)

    def add(self, *rows: Block) -> None:
        """Put rows on the last page, or on a new one."""
        for row in rows:
            if row.height > self.room and self.rows[-1]:
                self.rows.append([])
            self.rows[-1].append(row)

    def add_together(self, rows: Sequence[Block]) -> None:
        """Put rows on one page where one page takes them."""
        whole = stack(rows, 2.2)
        self.add(*([whole] if whole.height <= self.sheet.height else rows))


def _several_pages(
    sheet: Sheet,
    top: Sequence[Block],
    pieces: Sequence[PieceBlock],
    on_progress: Progress | None,
) -> list[Block]:
    """Compose page after page: on as few as any comfortable size of pictures needs."""
    groups = _groups(pieces, _half(sheet.width))
    heights = COMFORTABLE if len(pieces) <= FEW else COMFORTABLE[:1]
    choices = []
    for number, height in enumerate(heights):
        pages = _Pages(sheet)
        pages.add(*top)
        for done, group in enumerate(groups, start=1):
            if on_progress is not None:
                on_progress("job sheet", number * len(groups) + done, len(heights) * len(groups))
            if len(group) == 1 or not _add_halves(pages, group, height):
                for piece in group:
                    _add_whole(pages, piece, height)
        choices.append([stack(rows, GAP, sheet.width) for rows in pages.rows])
    return min(choices, key=len)


def _add_halves(pages: _Pages, group: Sequence[PieceBlock], height: float) -> bool:
    """Put two narrow pieces into a row; say whether they fit half a page's width."""
    width = _half(pages.sheet.width)
    wanted = [piece.set(width, piece.limit(height)) for piece in group]
    settings = [one for one in wanted if one is not None]
    if len(settings) < len(group) or max(one.block.height for one in settings) > pages.sheet.height:
        return False
    settings = _fitted(pages.room, width, group, settings)
    pages.add(beside([one.block for one in settings], HALF_GAP))
    return True


def _fitted(room: float, width: float, group: Sequence[PieceBlock], wanted: list[Setting]) -> list[Setting]:
    """Return settings that fit the rest of a page where those are nearly as good, else the wanted."""
    if max(one.block.height for one in wanted) <= room:
        return wanted
    for share in (1.0, 0.85, 0.7):
        lower = [
            one
            if one.block.height <= room
            else piece.set(width, max(30.0, share * (room - one.block.height + one.drawn)))
            for piece, one in zip(group, wanted, strict=True)
        ]
        settings = [one for one in lower if one is not None]
        if len(settings) < len(wanted) or not _is_good(settings, wanted):
            continue
        if max(one.block.height for one in settings) <= room:
            return settings
    return wanted


def _is_good(lower: Sequence[Setting], wanted: Sequence[Setting]) -> bool:
    """Say whether pictures are nearly as large as wanted."""
    return all(a.one_to <= STILL_GOOD * b.one_to for a, b in zip(lower, wanted, strict=True))


def _add_whole(pages: _Pages, piece: PieceBlock, height: float) -> None:
    """Put a piece across the page."""
    width = pages.sheet.width
    tried = (piece.set(width, limit) for limit in (piece.limit(height), height, TALLEST))
    wanted = next((one for one in tried if one is not None), None) or piece.set_anyhow(width)
    (setting,) = _fitted(pages.room, width, [piece], [wanted])
    pages.add_together(setting.parts)


def _head(report: FitReport, width: float) -> list[Block]:
    unit = "inches" if report.unit == "in" else "millimetres"
    step = typeset(f"{report.step} in" if report.unit == "in" else report.step)
    facts = f"All sizes in {unit}, to the nearest {step} or safer."
    chance = f"Allowances are for a {_percent(report.confidence)} chance of fitting, joint over a piece."
    title = words(report.title, width, 5.0)
    revision = line(f"{facts} {chance}", f"revision {report.survey_hash[:8]}", width, SMALL)
    return [stack([title, space(1.5), rule(width, Role.FINISHED), space(1.5), revision])]


def _percent(share: float) -> str:
    """Write a chance without idle zeros.

    >>> _percent(0.99), _percent(0.995)
    ('99 %', '99.5 %')
    """
    return f"{100 * share:.4g} %"


def _stops(report: FitReport, width: float) -> list[Block]:
    """Put what stops the work first, where nobody misses it."""
    stopping = [one for one in report.findings if one.severity == "stops"]
    return _boxes("STOP before cutting", stopping, width, Role.STOP)


def _notes(report: FitReport, width: float) -> list[Block]:
    others = [one for one in report.findings if one.severity != "stops"]
    return _boxes("Before you cut", others, width, Role.NOTE)


def _boxes(title: str, findings: Sequence[Finding], width: float, role: Role) -> list[Block]:
    """Frame findings, a few to a box so that boxes fit on pages."""
    boxes = []
    inside = width - 5.2
    for start in range(0, len(findings), 12):
        heading = title if start == 0 else f"{title} (continued)"
        lines = [words(heading, inside, 3.5, role)]
        lines += [_finding(one, inside, role) for one in findings[start : start + 12]]
        boxes.append(framed(stack(lines, 0.8), role))
    return boxes


def _finding(one: Finding, width: float, role: Role) -> Block:
    about = f"{', '.join(one.pieces)}: " if one.pieces else ""
    severity = "" if one.severity == "stops" else "In doubt: " if one.severity == "doubt" else ""
    stop = "" if one.says.endswith("?") else ";"
    text = f"{one.number}  {severity}{about}{one.says}{stop} {one.do}."
    return words(typeset(plain(text)), width, BODY, role if role is Role.STOP else Role.NOTE)


def _next(report: FitReport, again: Sequence[str], width: float) -> Iterator[Block]:
    """Say what to read next, and what to read again before cutting."""
    advised = [
        f"{at}.  {reading_words(one)}: {one.says}." for at, one in enumerate(report.room.next_readings, 1)
    ]
    for title, items in ((READ_NEXT, advised), (READ_AGAIN, again)):
        if items:
            told = [words(typeset(plain(item)), width, BODY) for item in items]
            yield stack([words(title, width, 3.5), *told], 0.8)
    enough = enough_words(report)
    rest = (f"{READ_NEXT}: {enough[0].lower()}{enough[1:]}" if enough else "", one_width_words(report))
    if any(rest):
        yield words(" ".join(filter(None, rest)), width, BODY)


def _day(report: FitReport, width: float) -> Iterator[Block]:
    """Tell the day of installation, a few steps together, so that they find room on pages."""
    for start in range(0, len(report.order), 6):
        told = [words("The day of installation", width, 3.5)] if start == 0 else []
        for step in report.order[start : start + 6]:
            why = f" ({step.why})" if step.why else ""
            check = f" Check first: {'; '.join(step.check)}." if step.check else ""
            text = f"{step.number}.  {step.says.rstrip('.')}{why}.{check}"
            told.append(words(typeset(plain(text)), width, BODY))
        yield stack(told, 0.8)


def _list(report: FitReport, width: float) -> Iterator[Block]:
    """List the pieces with their sizes, the first thing that is looked for."""
    shares = (("piece", 0.17), ("kind", 0.1), ("no.", 0.05), ("material, grain", 0.2))
    sizes = (("finished", 0.24), ("blank: cut this first", 0.24))
    columns = [Column(name, share * width, name == "no.") for name, share in (*shares, *sizes)]
    for start in range(0, len(report.pieces), CHUNK):
        rows = [_listed(piece) for piece in report.pieces[start : start + CHUNK]]
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


def _numbered(report: FitReport, sheet: Sheet, pages: Sequence[Block]) -> Iterator[LaidOut]:
    for number, page in enumerate(pages, start=1):
        marks: list[Mark] = [*page.at(MARGIN, sheet.size[1] - MARGIN - page.height)]
        at_left = (
            f"{report.title} · revision {report.survey_hash[:8]} · cut to the numbers, not to the picture"
        )
        foot = line(at_left, f"page {number} of {len(pages)}", sheet.width, SMALL)
        marks += foot.at(MARGIN, MARGIN + SMALL * 0.5 - foot.height + SMALL * 1.5)
        yield LaidOut(tuple(marks), *sheet.size, 1.0, (0.0, 0.0), f"Job sheet, page {number}")

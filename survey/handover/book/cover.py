"""The cover: the job, the room from above with what is out of true, and what the book holds."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from survey.drawing import DrawingError, Role, layout
from survey.drawing.piece_words import plain, typeset
from survey.drawing.plan_view import SCALES
from survey.drawing.room_view import room_drawing
from survey.errors import RecordError
from survey.handover.blocks import (
    SMALL,
    TITLE,
    Block,
    Column,
    Remembered,
    beside,
    centred,
    picture,
    rule,
    space,
    stack,
    table,
    words,
)
from survey.handover.book.content import Book
from survey.records import Piece, Reading
from survey.report.revision import revision_words
from survey.report.structs import SurfaceReport

PLAN_HEIGHT: Final = 120.0
"""Height that the plan takes at the most, paper mm."""
STRAIGHT: Final = 0.8
"""mm; a wall that leaves the line between its ends by less is straight."""
SHORT_CONTENTS: Final = 8
"""Entries up to which the contents stand in one column."""


@dataclass(frozen=True)
class Entry:
    """A line of the contents: a chapter, or a piece with its status, and its page."""

    title: str
    page: int
    about: str = ""


def cover(book: Book, entries: Sequence[Entry]) -> list[Block]:
    """Give the cover's blocks."""
    return [_head(book), *_facts(book), *_plan(book), *_contents(book, entries)]


def _head(book: Book) -> Block:
    report = book.report
    unit = "inches" if report.unit == "in" else "millimetres"
    step = typeset(f"{report.step} in" if report.unit == "in" else report.step)
    facts = f"All sizes in {unit}, to the nearest {step} or safer."
    chance = f"Allowances are for a {_percent(report.confidence)} chance of fitting, joint over a piece."
    title = words(report.title, book.width, 5.0)
    revision = words(f"Job book, {revision_words(report)}", book.width, 3.5)
    said = words(f"{facts} {chance}", book.width, SMALL)
    return stack([title, space(1.0), revision, rule(book.width, Role.FINISHED), space(1.5), said])


def _percent(share: float) -> str:
    """Write a chance without idle zeros.

    >>> _percent(0.99), _percent(0.995)
    ('99 %', '99.5 %')
    """
    return f"{100 * share:.4g} %"


def _facts(book: Book) -> Iterator[Block]:
    """Say what was put down, when, and what heights are measured from."""
    survey, job = book.survey, book.survey.job
    readings = survey.of(Reading)
    said = [f"{len(readings)} readings" if len(readings) != 1 else "1 reading"]
    if readings:
        days = sorted({one.taken.strftime("%Y-%m-%d") for one in readings})
        said.append(f"taken on {days[0]}" if len(days) == 1 else f"taken {days[0]} to {days[-1]}")
    people = sorted({one.person for one in readings if one.person})
    said += [f"by {' and '.join(people)}"] if people else []
    lines = [" ".join(said) + f"; {len(survey.of(Piece))} pieces planned."]
    if job is not None and job.level_line is not None:
        mark = f" ({job.datum_mark})" if job.datum_mark else ""
        level = typeset(f"{job.level_line.text} in" if job.unit == "in" else f"{job.level_line.text} mm")
        lines.append(f"Heights are above z = 0; the level line{mark} is {level} above it.")
    if job is not None and job.agreed:
        lines.append(f"Heights and hands agreed with {job.agreed}.")
    yield stack([words(plain(one), book.width) for one in lines], 0.4)


def _plan(book: Book) -> Iterator[Block]:
    """Draw the room from above, and beside or below it say what is out of true."""
    told = _out_of_true(book)
    try:
        drawing = room_drawing(book.survey, book.report)
        laid_out = layout(drawing, (book.width, PLAN_HEIGHT), scales=SCALES, metrics=Remembered())
    except (DrawingError, RecordError):
        yield words("The room cannot be drawn yet: its walls are not known.", book.width)
    else:
        drawn = picture(laid_out)
        title = f"The room from above, its back wall on top; scale {laid_out.scale_text}"
        yield stack([words(title, book.width, TITLE), space(1.5), centred(drawn, book.width)])
    if told:
        columns = [Column("out of true", 0.34 * book.width), Column("", 0.66 * book.width)]
        yield table(columns, told)


def _out_of_true(book: Book) -> list[tuple[str, str]]:
    """Say of each corner how far it is out of square and how sure that is, of each wall its worst hollow."""
    over, named = (609.6, "in 24 in") if book.unit == "in" else (600.0, "in 600 mm")
    rows = []
    for corner in book.report.room.corners:
        off = corner.angle_deg - (90.0 if corner.angle_deg < 180.0 else 270.0)
        out, sd = over * math.tan(math.radians(off)), over * math.radians(corner.sd_deg)
        if sd > over / 20:
            continue
        way = "open" if out > 0 else "closed"
        amount = "square" if abs(out) < 0.1 else f"{book.length(abs(out))} {way}"
        sure = f"{amount} {named}, give or take {book.length(2 * sd)} ({corner.angle_deg:.2f}°)"
        rows.append((f"corner {corner.name}", typeset(sure)))
    return [*rows, *_bows(book)]


def _bows(book: Book) -> Iterator[tuple[str, str]]:
    """Say of each wall where it leaves the line between its ends most, at the heights that pieces meet it."""
    worst: dict[str, tuple[float, str]] = {}
    for surface in book.report.room.surfaces:
        if len(surface.points) > 2:
            size, told = _bow(book, surface)
            if size >= worst.get(surface.wall, (0.0, ""))[0]:
                worst[surface.wall] = (size, f"{told} at {book.length(surface.up_mm)}")
    straight = [wall for wall, (size, _) in worst.items() if size < STRAIGHT]
    for wall, (size, told) in worst.items():
        if size >= STRAIGHT:
            yield f"wall {wall}", typeset(told)
    if straight:
        within = "1⁄32″" if book.unit == "in" else "1 mm"
        yield f"wall{'s' if len(straight) > 1 else ''} {', '.join(straight)}", f"straight to {within}"


def _bow(book: Book, surface: SurfaceReport) -> tuple[float, str]:
    """Return how far a wall leaves the line between its ends, mm, and say it."""
    (x0, y0), (x1, y1) = surface.points[0], surface.points[-1]
    length = math.dist((x0, y0), (x1, y1))
    # Points run to the right as one faces the wall: what lies on the left of that way is in the wall.
    off = [((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / length for x, y in surface.points]
    sides = {"hollow": off, "crown": [-one for one in off]}
    parts = [
        f"{name} of {book.length(max(side))}, {book.length(_at(side, length))} from its left end"
        for name, side in sides.items()
        if max(side) >= STRAIGHT
    ]
    return max(map(abs, off)), " and ".join(parts)


def _at(off: Sequence[float], length: float) -> float:
    """Return where along a wall it is off most, mm."""
    return length * off.index(max(off)) / (len(off) - 1)


def _contents(book: Book, entries: Sequence[Entry]) -> Iterator[Block]:
    """List chapters and pieces with their pages, in two columns where they are many."""
    if not entries:
        return
    count = 1 if len(entries) <= SHORT_CONTENTS else 2
    each = (book.width - (count - 1) * 8.0) / count
    long = -(-len(entries) // count)
    columns = [
        Column("in this book", 0.55 * each),
        Column("", 0.32 * each),
        Column("page", 0.13 * each, True),
    ]
    parts = [
        table(columns, [(one.title, one.about, str(one.page)) for one in entries[start : start + long]])
        for start in range(0, len(entries), long)
    ]
    yield beside(parts, 8.0)

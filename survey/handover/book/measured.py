"""What was measured: every reading in words, by what, how sure it is, and what the others say of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec.structs import replace

from survey.dictation import say
from survey.drawing.piece_words import plain, typeset
from survey.errors import RecordError
from survey.groups import grouped
from survey.handover.blocks import BODY, SMALL, TITLE, Block, Column, Flowing, flowing, space, stack, words
from survey.handover.book.content import Book
from survey.records import Assumption, Position, Reading, Record, Tool
from survey.report.structs import ResidualReport

EXPLAINED: Final = (
    "Good to: two standard deviations, from the instrument and how it was held; 19 of 20 such readings are "
    "as near. Moved by: what the adjustment of all readings together did to it. Checked: how much of an "
    "error in it the other readings would show; 0 % means that a slip there goes unnoticed."
)


def measured(book: Book) -> list[Block | Flowing]:
    """Give the chapter's blocks; none where nothing was read."""
    told: dict[str, list[ResidualReport]] = {one.id: [] for one in book.survey.of(Reading)}
    for residual in book.report.room.residuals:
        if residual.record in told:
            told[residual.record].append(residual)
    groups = list(_groups(book, told))
    if not groups:
        return []
    head = [words("What was measured", book.width, 3.5), words(EXPLAINED, book.width, SMALL)]
    return [stack([*head], 1.0), *groups, *_assumed(book), *_gone(book)]


def _groups(book: Book, told: dict[str, list[ResidualReport]]) -> Iterator[Flowing]:
    doubted = {one for suspect in book.report.room.suspects for one in suspect.records}
    for title, records in grouped(book.survey):
        readings = [one for one in records if isinstance(one, Reading)]
        rows = [_row(book, one, told.get(one.id, []), doubted) for one in readings]
        if rows:
            yield flowing(_columns(book), rows, title)


def _columns(book: Book) -> list[Column]:
    shares = {"as it was read": 0.52, "with": 0.16, "good to": 0.11, "moved by": 0.11, "checked": 0.1}
    numbers = ("good to", "moved by", "checked")
    return [Column(name, share * book.width, name in numbers) for name, share in shares.items()]


def _row(
    book: Book, record: Reading, residuals: Sequence[ResidualReport], doubted: set[str]
) -> tuple[str, ...]:
    said = typeset(plain(_said(book, record)))
    flag = "\nIN DOUBT: see the findings" if record.id in doubted else ""
    held = f"{record.instrument}\n{record.start}" if record.start else record.instrument
    if not residuals:
        why = "by the tool" if isinstance(record, Tool) else "not used"
        return said + flag, held, "", why, ""
    worst = max(residuals, key=lambda one: abs(one.standardized))
    least = min(one.control for one in residuals)
    good = "±" + _amount(book, 2 * max(one.sd for one in residuals), worst.unit)
    moved = _amount(book, worst.adjusted_minus_read, worst.unit, signed=True)
    many = f"\nworst of {len(residuals)}" if len(residuals) > 1 else ""
    return said + flag, held, good, moved + many, f"{100 * least:.0f} %"


def _said(book: Book, record: Record) -> str:
    """Say a record as it was dictated; its instrument stands in a column of its own."""
    bare = replace(record, replaces=())
    if isinstance(record, Reading) and not isinstance(record, Tool):
        default = type(record).__struct_defaults__
        fields = dict(zip(type(record).__struct_fields__[-len(default) :], default, strict=True))
        bare = replace(bare, instrument=fields.get("instrument", "tape"), start=None)
    try:
        return say(bare, book.report.unit)
    except RecordError:
        return say(replace(record, replaces=()), book.report.unit)


def _amount(book: Book, value: float, unit: str, *, signed: bool = False) -> str:
    """Write an error, finer than any rule: hundredths of an inch, tenths of a millimetre or of a degree."""
    sign = "+" if signed else ""
    if unit == "deg":
        return f"{value:{sign}z.2f}°".replace("-", "−")
    number = f"{value / 25.4:{sign}z.3f}″" if book.unit == "in" else f"{value:{sign}z.1f} mm"
    return number.replace("-", "−")


def _assumed(book: Book) -> Iterator[Block]:
    """List what nobody measured."""
    assumed = [one for one in book.survey.current if isinstance(one, Assumption)]
    if not assumed:
        return
    lines = [words(typeset(plain(_said(book, one))), book.width, BODY) for one in assumed]
    yield stack([words("Assumed, not measured", book.width, TITLE), space(0.8), *lines], 0.6)


def _gone(book: Book) -> Iterator[Block]:
    survey = book.survey
    gone = len(survey.records) - len(survey.current)
    placed = list(survey.of(Position))
    said = []
    if gone:
        said.append(
            f"{gone} more records correct or take back others, or were corrected; the survey keeps them."
        )
    if any(one.face == "now" for one in placed) and any(one.number == 601 for one in book.report.findings):
        said.append("Faces were read as they stood; layers still to come are added in the computation.")
    yield from (words(one, book.width, SMALL) for one in said)

"""Pieces come in from a cut list: a CSV of any shop by a mapping of its columns, or a list of our own.

A row of our own list says its piece as it was dictated, so nothing is lost on the way out and in again. Of
any other list a column is read as a field of a piece; what a column is, is said or guessed by plain words of
the trade and shown, and what cannot be taken is named with its line. Nothing is made up: a row that has no
kind, or a size that its kind has not, is refused.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Final, Literal

import msgspec
from msgspec.structs import replace

from survey.cells import as_it_was
from survey.dictation import Hand, dictate
from survey.errors import RecordError, SurveyError
from survey.quantity import read_length
from survey.records import KINDS, Piece, Survey, TypedLength
from survey.records.limits import refuse_impossible

MOST_BYTES: Final = 16 * 2**20
MOST_ROWS: Final = 20_000
LENGTHS: Final = ("width", "height", "depth", "thickness")
WORDS: Final = ("name", "kind", "material", "grain", "of", "on", "beside", "wall")
FIELDS: Final = (*WORDS, "quantity", *LENGTHS)
"""What a column can be read as."""
GUESSES: Final = {
    "name": ("name", "part", "piece", "part name", "description", "label", "item"),
    "kind": ("kind", "type"),
    "quantity": ("quantity", "qty", "count", "pcs", "pieces", "no", "no."),
    "material": ("material", "mat", "board", "stuff"),
    "grain": ("grain", "grain direction"),
    "width": ("width", "w"),
    "height": ("height", "h"),
    "depth": ("depth", "d"),
    "thickness": ("thickness", "thick", "t"),
    "of": ("of", "belongs to"),
}
"""Headings that say by themselves what they are; a length is none, for which size it is differs by kind."""
OWN: Final = ("piece", "part", "dictation")
"""Columns by which a cut list of our own is known."""
NEVER: Final = datetime(1970, 1, 1, tzinfo=UTC)
Again = Literal["refuse", "skip", "correct"]


class IntakeError(SurveyError, ValueError):
    """A cut list that cannot be taken in; says where, what was expected, and what came."""


@dataclass(frozen=True)
class CutList:
    """A list as it was read: its headings, and its rows with the line that each begins on."""

    headings: tuple[str, ...]
    rows: tuple[tuple[int, dict[str, str]], ...]

    @property
    def is_own(self) -> bool:
        """Whether it was written by `survey.handover.cut_list`, with its pieces as dictated."""
        return set(OWN) <= set(self.headings)


@dataclass(frozen=True)
class Taken:
    """What a list comes to: records to put down, and in words what was left out and why."""

    records: tuple[Piece, ...]
    faults: tuple[str, ...] = ()
    same: tuple[str, ...] = field(default=())
    """Names of pieces that are there already, just as the list has them."""
    differ: tuple[str, ...] = ()
    """Names of pieces that are there already and differ; `again` says what becomes of them."""


def read_cut_list(content: bytes) -> CutList:
    """Read a CSV: comma, semicolon or tab; UTF-8 or 16, or else the common western code page.

    Raises
    ------
    IntakeError
        It is empty, too large, no text, or its table is none.

    Examples
    --------
    >>> read_cut_list(b"Part;Qty\\r\\nside;2\\r\\n").rows
    ((2, {'Part': 'side', 'Qty': '2'}),)
    """
    if len(content) > MOST_BYTES:
        raise IntakeError(
            f"expected a cut list of at most {MOST_BYTES >> 20} MB, got {len(content) >> 20} MB"
        )
    text = _text(content)
    lines = text.splitlines()
    if not lines or not lines[0].strip():
        raise IntakeError("line 1: expected the headings of the columns, got nothing")
    mark = max(",;\t", key=lines[0].count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    try:
        headings = tuple(cell.strip() for cell in next(reader))
        rows = list(_rows(reader, headings))
    except csv.Error as error:
        at = reader.line_num
        raise IntakeError(f"line {at}: expected a row of a table, got a broken one: {error}") from error
    doubled = {one for one in headings if one and headings.count(one) > 1}
    if doubled:
        raise IntakeError(f"line 1: expected headings that differ, got {sorted(doubled)[0]!r} more than once")
    return CutList(headings, tuple(rows))


def _text(content: bytes) -> str:
    encoding = "utf-16" if content[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    if "\0" in text:
        raise IntakeError("expected text, got bytes of some other file: save the list as CSV")
    return text


def _rows(reader: Iterable[list[str]], headings: Sequence[str]) -> Iterator[tuple[int, dict[str, str]]]:
    at = 2
    for number, cells in enumerate(reader):
        if number >= MOST_ROWS:
            raise IntakeError(f"expected at most {MOST_ROWS} rows, got more: divide the list")
        line, at = at, reader.line_num + 1  # type: ignore[attr-defined]  # a csv reader counts lines
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) > len(headings) and any(cell.strip() for cell in cells[len(headings) :]):
            raise IntakeError(f"line {line}: expected {len(headings)} cells, got {len(cells)}")
        yield line, dict(zip(headings, (cell.strip() for cell in cells), strict=False))


def guessed(headings: Sequence[str], kept: Mapping[str, str]) -> dict[str, str]:
    """Say what columns are read as: what the shop said before, else what their headings say plainly.

    >>> guessed(["Part", "Qty", "Length", "W"], {"Length": "height"})
    {'Part': 'name', 'Qty': 'quantity', 'Length': 'height', 'W': 'width'}
    """
    found: dict[str, str] = {one: kept[one] for one in headings if one in kept}
    for heading in headings:
        name = next((to for to, words in GUESSES.items() if heading.casefold() in words), None)
        if heading not in found and name is not None and name not in found.values():
            found[heading] = name
    return {one: found[one] for one in headings if one in found}


def refuse_columns(columns: Mapping[str, str], headings: Sequence[str]) -> None:
    """Refuse a mapping that names no column, or no field.

    Raises
    ------
    IntakeError
    """
    for heading, name in columns.items():
        if heading not in headings:
            raise IntakeError(f"expected a column of the list ({', '.join(headings)}), got {heading!r}")
        if name not in FIELDS:
            raise IntakeError(f"column {heading!r}: expected one of {', '.join(FIELDS)}, got {name!r}")


def take_in(
    cut_list: CutList,
    survey: Survey,
    columns: Mapping[str, str],
    hand: Hand,
    *,
    kind: str = "",
    again: Again = "refuse",
) -> Taken:
    """Make records of a list's rows; nothing is put down yet.

    Parameters
    ----------
    cut_list : CutList
    survey : Survey
        What the pieces come into: its job's unit is that of bare numbers.
    columns : mapping of str to str
        Which column is read as which of `FIELDS`; not looked at in a list of our own.
    hand : Hand
        Who puts them down.
    kind : str
        Of rows whose kind no column says, such as `shelf`.
    again : "refuse", "skip" or "correct"
        What becomes of a piece whose name is there already with other content.

    Returns
    -------
    Taken
        Faults name the line, what was expected, and what came.
    """
    unit = survey.job.unit if survey.job else "mm"
    there = {one.name: one for one in survey.of(Piece)}
    records: list[Piece] = []
    faults: list[str] = []
    same: list[str] = []
    differ: list[str] = []
    make: Callable[[dict[str, str]], Piece | None]
    if cut_list.is_own:
        make = lambda row: _own(row, survey, hand)  # noqa: E731  one of two ways to read a row
    else:
        make = lambda row: _foreign(row, columns, unit, kind, hand)  # noqa: E731
    for line, row in cut_list.rows:
        try:
            piece = make(row)
            if piece is None:
                continue
            refuse_impossible(piece)
            old = there.get(piece.name)
            if old is not None and _content(old) == _content(piece):
                same.append(piece.name)
                continue
            if old is not None:
                differ.append(piece.name)
            piece = _instead(piece, old, {one.name for one in records}, again)
        except SurveyError as error:
            faults.append(f"line {line}: {error}")
            continue
        if piece is not None:
            records.append(piece)
    return Taken(tuple(records), tuple(faults), tuple(same), tuple(differ))


def _instead(piece: Piece, old: Piece | None, before: set[str], again: Again) -> Piece | None:
    if piece.name in before:
        raise IntakeError(f"expected names that differ, got {piece.name!r} a second time")
    if old is None:
        return piece
    if again == "skip":
        return None
    if again == "correct":
        return replace(piece, replaces=(old.id,))
    raise IntakeError(f"there is a piece {piece.name!r} already, a different one: skip it, or correct it")


def _content(piece: Piece) -> Piece:
    return replace(piece, id="-", taken=NEVER, device="", person="", replaces=())


def _own(row: Mapping[str, str], survey: Survey, hand: Hand) -> Piece | None:
    """Read a row of our own list by what was dictated; a row of a part, or a piece without, is none."""
    said = as_it_was(row.get("dictation", ""))
    if row.get("part") or not said:
        return None
    record = dictate([said], survey, hand)[0]
    if not isinstance(record, Piece):
        raise IntakeError(f"column 'dictation': expected a piece, got {said!r}")
    return record


def _foreign(
    row: Mapping[str, str], columns: Mapping[str, str], unit: Literal["in", "mm"], kind: str, hand: Hand
) -> Piece:
    said = {name: row.get(heading, "") for heading, name in columns.items() if row.get(heading, "")}
    tag = said.pop("kind", "").casefold().replace(" ", "-") or kind
    wanted = KINDS.get(tag)
    if wanted is None or not issubclass(wanted, Piece):
        kinds = ", ".join(one for one, made in KINDS.items() if issubclass(made, Piece))
        what = f"got {tag!r}" if tag else "got none"
        raise IntakeError(f"expected a kind in a column, or one given for all rows ({kinds}), {what}")
    if "name" not in said:
        raise IntakeError("expected a name, got none: say which column it is in")
    values: dict[str, Any] = {}
    for name, text in said.items():
        if name not in wanted.__struct_fields__:
            raise IntakeError(f"a {tag} has no {name}, got {text!r}: read that column as something else")
        values[name] = _value(name, text, unit)
    values["name"] = "-".join(str(values["name"]).split())
    try:
        record = wanted(
            id=hand.new_id(), taken=hand.taken(), person=hand.person, device=hand.device, **values
        )
        return msgspec.convert(msgspec.to_builtins(record), type=wanted, strict=True)
    except (TypeError, msgspec.ValidationError, RecordError) as error:
        raise IntakeError(f"expected all that a {tag} needs: {error}") from error


def _value(name: str, text: str, unit: Literal["in", "mm"]) -> Any:
    if name == "quantity":
        if not text.isdecimal():
            raise IntakeError(f"column of quantities: expected a whole number, got {text!r}")
        return int(text)
    if name in LENGTHS:
        try:
            read_length(text, unit)
        except SurveyError as error:
            raise IntakeError(f"{name}: {error}") from error
        return TypedLength(text, unit)
    if name == "grain" and text.casefold() in ("", "no", "none", "-", "0"):
        return "none"
    return text

"""The rows of a piece's form: sizes first, and only what can be said; and a piece with an answer changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

import msgspec
from msgspec.structs import replace

from survey.app.new_piece import free_name, goes_with
from survey.app.piece_edges import edge_fields, edge_says, own_wall, typeset_length
from survey.app.record_form import Question, questions, shown_of, value_of
from survey.errors import RecordError
from survey.records import (
    BoughtItem,
    BoxPiece,
    Corner,
    Edge,
    Feature,
    Filler,
    Mark,
    Obstacle,
    Opening,
    Piece,
    Record,
    SizedPiece,
    Survey,
    Top,
    TypedLength,
    Wall,
)
from survey.records.base import LengthUnit

ORDER: Final = (
    "width", "height", "depth", "thickness", "bottom", "up", "overhang", "end_overhang", "setback",
    "on", "beside", "side", "of", "wall", "show", "along", "from_", "centred", "back", "aim", "pins",
    "base", "kick_height", "kick_depth", "hinge", "hinges", "opens", "sits", "from_left", "from_top", "pull",
    "slide", "slide_clearance", "stuff", "front_thickness", "side_thickness", "groove", "stile", "rail",
    "openings", "floor", "angle", "may_be_cut", "front_left", "front_right", "profile", "profile_depth",
    "rule", "runs_on", "clearance", "saw", "material", "grain", "quantity", "kilograms", "name", "note",
)  # fmt: skip
HINTS: Final = {
    "bottom": "stands on the floor", "up": "lies on its cabinet", "overhang": "flush",
    "end_overhang": "flush", "setback": "flush with the face", "clearance": "as usual",
    "saw": "as usual", "grain": "none", "on": "on no cabinet", "aim": "pushed home, as usual",
    "pins": "none", "kick_height": "no toe space", "kick_depth": "no toe space", "front_left": "square",
    "front_right": "square", "profile_depth": "none", "kilograms": "by its volume",
    "from_left": "in the middle", "from_top": "flush", "pull": "none", "opens": "square, 90°",
    "runs_on": "on nothing", "centred": "over nothing", "slide": "not chosen",
}  # fmt: skip
"""What holds where a row has no answer."""
WORDS: Final = {
    "bottom": "height of its underside", "up": "height of its upper face", "along": "how far along",
    "on": "lies on", "back": "back of the box", "show": "its show face looks to the",
    "saw": "extra for the saw", "clearance": "clearance around trim", "setback": "set behind the face",
}  # fmt: skip
"""Fields that are said otherwise of pieces than of other records."""
OF_KIND: Final = {
    ("shelf", "height"): "depth, front to back",
    ("drawer", "width"): "width of its opening",
    ("drawer", "height"): "height of its opening",
    ("drawer", "thickness"): "depth of its box",
    ("light-strip", "width"): "length",
}  # fmt: skip
"""Fields of a kind that hold another size than their name says."""
OFTEN_OPEN: Final = ("upper",)
"""Edges that meet nothing as a rule, so that nobody is told."""
REFERS: Final = ("on", "beside", "of", "about", "piece", "runs_on", "centred")
"""Fields by which other records name a piece."""


@dataclass(frozen=True)
class Entry:
    """One row: what is asked, the answer so far, what holds without one, and whether one is needed."""

    question: Question
    words: str
    answer: str
    hint: str
    is_needed: bool


def entries(piece: Piece, survey: Survey) -> tuple[Entry, ...]:
    """Return the rows of a piece's form; what something else says already is left out while it is empty."""
    needed, needless = set(needed_too(piece)), set(_said_elsewhere(piece))
    edges = edge_fields(piece)
    asked = [one for one in questions(type(piece)) if one.field not in edges and one.field in ORDER]
    asked.sort(key=lambda one: ORDER.index(one.field))
    rows = []
    unit = survey.job.unit if survey.job else "in"
    for one in asked:
        answer = answer_of(piece, one, unit)
        if answer or one.field not in needless:
            words = OF_KIND.get((one.kind, one.field)) or WORDS.get(one.field, one.words)
            rows.append(
                Entry(one, words, answer, _hint(piece, one, survey), one.is_needed or one.field in needed)
            )
    return tuple(rows)


def needed_too(piece: Piece) -> Iterator[str]:
    """Give the fields that may be empty in a record, and without which this piece cannot be worked out."""
    open_ends = [one for one in ("left", "right") if getattr(piece, one, None) == Edge()]
    if isinstance(piece, BoxPiece) and len(open_ends) == 2:
        yield from ("along", "from_")
    if isinstance(piece, Top) and piece.on is None:
        yield from ("depth", "up")
        if open_ends:
            yield "width"
        if len(open_ends) == 2:
            yield from ("along", "from_")


def _said_elsewhere(piece: Piece) -> Iterator[str]:
    """Give the fields that the walls at its ends, or its cabinet, say already: twice is refused."""
    met = [one for one in ("left", "right") if getattr(piece, one, Edge()) != Edge()]
    if isinstance(piece, BoxPiece | Top) and met:
        yield from ("along", "from_")
    if not isinstance(piece, Top):
        return
    if len(met) == 2:
        yield from ("width", "end_overhang")
    if piece.on is not None:
        yield from ("along", "from_", "up", "depth", "width", "wall")
    else:
        yield from ("overhang", "end_overhang")


def answer_of(piece: Piece, question: Question, unit: LengthUnit = "in") -> str:
    """Return what a field holds, as a person reads it; empty where it holds nothing."""
    value = getattr(piece, question.field)
    if question.field == "grain" and value == "none":
        return ""
    if isinstance(value, TypedLength):
        return typeset_length(value)
    return shown_of(question, value, unit)


def as_typed(value: TypedLength | None, unit: LengthUnit) -> str:
    """Return a length's text to be typed anew in a unit: with its own unit, where that is another.

    >>> as_typed(TypedLength("44,8", "cm"), "mm"), as_typed(TypedLength("448", "mm"), "mm")
    ('44,8 cm', '448')
    """
    if value is None:
        return ""
    return f"{value.text} {value.unit}" if value.text[-1].isdigit() and value.unit != unit else value.text


def _hint(piece: Piece, question: Question, survey: Survey) -> str:
    if question.field == "wall":
        wall = own_wall(piece, survey)
        return f"{wall}, the back wall" if wall else "the back wall"
    return HINTS.get(question.field, "")


def names_for(piece: Piece, field: str, survey: Survey) -> tuple[str, ...]:
    """Return the names that a field of words can hold; none where any words will do."""
    if field == "from_":
        return _starts(piece, survey)
    if field in ("aim", "centred"):
        return _in_line_with(piece, survey, with_pieces=field == "centred")
    kinds: dict[str, tuple[type[Any], ...]] = {
        "wall": (Wall,), "on": (BoxPiece,), "beside": (BoxPiece,), "of": (Piece,), "runs_on": (Filler,),
        "slide": (BoughtItem,),
    }  # fmt: skip
    if field not in kinds:
        return ()
    return tuple(one.name for one in survey.of(*kinds[field]) if one.name != piece.name)


def _starts(piece: Piece, survey: Survey) -> tuple[str, ...]:
    """Return what places on a piece's wall can be counted from: its corners, then marks and features."""
    wall = own_wall(piece, survey)
    corners = [one.name for one in survey.of(Corner) if wall in (one.left_wall, one.right_wall)]
    others: list[Mark | Feature] = [*survey.of(Mark), *survey.of(Feature)]
    return (*corners, *(one.name for one in others if one.wall == wall))


def _in_line_with(piece: Piece, survey: Survey, with_pieces: bool) -> tuple[str, ...]:
    """Return what a piece can line up with: what is on its wall, with its edges; cabinets where asked."""
    wall = own_wall(piece, survey)
    things: list[Mark | Feature] = [*survey.of(Feature), *survey.of(Mark)]
    found = []
    for one in things:
        if one.wall == wall:
            wide = isinstance(one, Opening | Obstacle)
            found += [one.name, *([f"{one.name}:left", f"{one.name}:right"] if wide else [])]
    return (*found, *(box.name for box in survey.of(BoxPiece) if with_pieces))


def answered(piece: Piece, question: Question, text: str, unit: LengthUnit) -> Piece:
    """Return a piece with the answer to a question; empty takes it back.

    Raises
    ------
    RecordError
        The answer breaks the rules of the field; or it is empty, and the piece cannot be without it.
    QuantityError
        It is no length.
    """
    if not text and question.is_needed:
        raise RecordError(f"{question.words}: expected an answer, got none; a piece cannot be without it")
    value = value_of(question, text, unit)
    return checked(replace(piece, **{question.field: value}))


def checked(piece: Piece) -> Piece:
    """Return a piece whose values keep the rules of its kind, as a file would read it back.

    Raises
    ------
    RecordError
        Names the field and what is wrong.
    """
    try:
        return msgspec.json.decode(msgspec.json.encode(piece), type=type(piece))
    except msgspec.ValidationError as error:
        raise RecordError(f"{error}; say it otherwise") from error


def renamed(piece: Piece, wanted: str, survey: Survey) -> tuple[tuple[Record, Record], ...]:
    """Return each record that a new name changes with what takes its place: the piece, and who names it.

    Spaces become hyphens, because a name is one word.

    Raises
    ------
    RecordError
        Something else has the name, or it is no name.
    """
    name = "-".join(wanted.split())
    if name == piece.name:
        return ()
    if not name or free_name(name, survey) != name:
        raise RecordError(f"name: expected one that nothing has yet, got {name!r}; choose another")
    changes: list[tuple[Record, Record]] = [(piece, checked(replace(piece, name=name)))]
    for record in survey.current:
        if record.id != piece.id:
            fields = dict(_naming(record, piece.name, name))
            if fields:
                changes.append((record, replace(record, **fields)))
    return tuple(changes)


def _naming(record: Record, old: str, new: str) -> Iterator[tuple[str, Any]]:
    for field in record.__struct_fields__:
        value = getattr(record, field)
        if isinstance(value, Edge) and value.meets == old:
            yield field, replace(value, meets=new)
        elif field in REFERS and value == old:
            yield field, new


def sizes(piece: Piece) -> str:
    r"""Return a piece's sizes in a row: width, height, depth, thickness, as far as they are said.

    >>> from survey.dictation import dictate
    >>> strip = dictate(["job V in mm to 1 mm", "shelf s width 600 height 280 thickness 18"], Survey([]))[-1]
    >>> sizes(strip)
    '600 × 280 × 18\xa0mm'
    """
    said = [getattr(piece, field, None) for field in ("width", "height", "depth", "thickness")]
    told = [typeset_length(one) for one in said if one is not None]
    if all(one.endswith("mm") for one in told):
        told[:-1] = [one[:-3] for one in told[:-1]]
    return " × ".join(told)


def edges_say(piece: Piece, survey: Survey) -> str:
    """Say what a piece's edges meet, those that are open last and together."""
    if isinstance(piece, Filler):
        return f"{piece.side} of {piece.beside}"
    if isinstance(piece, SizedPiece):
        return f"for {piece.of}" if piece.of else ""
    fields = edge_fields(piece)
    met = [
        f"{one} {edge_says(one, getattr(piece, one), survey)}" for one in fields if getattr(piece, one).meets
    ]
    still_open = [one for one in fields if not getattr(piece, one).meets and one not in OFTEN_OPEN]
    return "; ".join([*met, *([f"{' and '.join(still_open)} open"] if still_open else [])])


def in_order(pieces: tuple[Piece, ...]) -> list[tuple[Piece, bool]]:
    """Return pieces with what goes with each right behind it; True for those that do."""
    names = {piece.name for piece in pieces}
    ordered: list[tuple[Piece, bool]] = []

    def put(piece: Piece, is_below: bool) -> None:
        if all(piece is not one for one, _ in ordered):
            ordered.append((piece, is_below))
            for other in pieces:
                if goes_with(other) == piece.name:
                    put(other, True)

    for piece in pieces:
        if goes_with(piece) not in names:
            put(piece, False)
    for piece in pieces:  # two that name one another
        put(piece, False)
    return ordered

"""What there is to fill in of a record: one question per field of its kind, and its answer in words and back.

Made from the records' own types, so a new field is asked for without a line here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import msgspec
from msgspec import inspect

from survey.app.typed import typeset
from survey.errors import RecordError
from survey.records import Record, TypedAngle, TypedLength
from survey.records.base import LengthUnit

Sort = Literal["length", "angle", "choice", "words", "number", "decimal", "yes or no", "edge", "parts"]
"""`parts` is said as a line of the notebook says it, such as `in line centre with drain`."""

KEPT_BY_US = frozenset({"id", "taken", "device", "person", "replaces", "kind"})
WORDS = {
    "from_": "measured from",
    "on": "lies on",
    "up": "height",
    "of": "belongs to",
    "in_hand": "in hand",
    "along": "how far along",
    "plate_width": "plate's width",
    "plate_height": "plate's height",
    "overhang": "overhang in front",
    "end_overhang": "overhang at an open end",
    "stub": "how far it stands out",
    "handle": "how far its handle stands out",
    "what": "what it is",
    "kilograms": "weight in kilograms",
    "aim": "what decides where it sits",
    "pins": "gaps it must keep",
    "base": "what stands on the floor",
    "kick_height": "height of the toe space",
    "kick_depth": "depth of the toe space",
    "rule": "worked as",
    "front_left": "front corner at the left",
    "front_right": "front corner at the right",
    "profile_depth": "depth of the profile",
    "runs_on": "its grain runs on from",
    "from_left": "from the cabinet's left side",
    "from_top": "from the cabinet's upper edge",
    "pull": "how far its pull stands out",
    "sits": "how it sits",
    "slide_clearance": "clearance of the slide, each side",
    "stuff": "thickness of its sides",
    "front_thickness": "thickness of its front",
    "side_thickness": "thickness of the box's sides",
    "openings": "heights of the openings, from the top",
    "opens": "how far it must open",
    "may_be_cut": "it may be cut",
    "centred": "centred over",
    "item": "for which bought item",
    "over": "its centre lies over",
    "end": "measured from the end at the",
    "from_front": "from the front",
    "least": "material left around it, at the least",
    "next_width": "width of the next passage",
    "points": "points of the profile",
    "proved": "how it was proved",
    "fate": "what becomes of it",
}
"""Field names that say too little by themselves."""
LISTED = frozenset({"Pin", "ProfilePoint", "TypedLength"})
"""Structs of which a field may hold several, said one after the other."""
_LENGTHS = re.compile(r"(?<![\w-])\d+(?: \d+/\d+|/\d+|\.\d+)?(?![\w.])")


@dataclass(frozen=True)
class Question:
    """One field to fill in: its name in the record, words for it, and what answers it takes."""

    field: str
    words: str
    sort: Sort
    is_needed: bool
    choices: tuple[str, ...] = ()
    usual: Any = None
    kind: str = ""
    """The record's kind, and of what has parts the name of its struct."""
    part: str = ""


@cache
def questions(kind: type[Record]) -> tuple[Question, ...]:
    """Return what there is to fill in, in the order of the kind's fields; needed ones are marked.

    Examples
    --------
    >>> from survey.records import Stud
    >>> [(one.field, one.sort, one.is_needed) for one in questions(Stud)][:3]
    [('note', 'words', False), ('name', 'words', True), ('wall', 'words', True)]
    """
    info = inspect.type_info(kind)
    assert isinstance(info, inspect.StructType)
    return tuple(
        found
        for field in info.fields
        if field.name not in KEPT_BY_US and (found := _question(field, str(info.tag))) is not None
    )


def value_of(question: Question, text: str, unit: LengthUnit) -> Any:
    """Return what a typed or chosen answer means in the record; an empty one is what stands without it.

    Raises
    ------
    RecordError, SurveyError
        It is no such answer.
    """
    if not text:
        return question.usual
    match question.sort:
        case "length":
            return TypedLength(text, unit)
        case "angle":
            return TypedAngle(text)
        case "yes or no":
            return text == "yes"
        case "number":
            if not text.isdigit():
                raise RecordError(
                    f"{question.words}: expected a whole number, got {text!r}: type digits only"
                )
            return int(text)
        case "decimal":
            try:
                return float(text.replace(",", "."))
            except ValueError:
                raise RecordError(
                    f"{question.words}: expected a number, got {text!r}: such as 21.5"
                ) from None
        case "parts":
            return _read_part(question, text, unit)
    return text


def shown_of(question: Question, value: Any, unit: LengthUnit = "in") -> str:
    """Return what a field holds, as a person reads it; empty where it holds nothing.

    >>> from survey.records import Top
    >>> aim = next(one for one in questions(Top) if one.field == "aim")
    >>> shown_of(aim, value_of(aim, "in line centre with drain off 1/2", "in"))
    'in line centre with drain off 1⁄2″'
    """
    if value is None or value == ():
        return ""
    if isinstance(value, TypedLength):
        return typeset(value.text, value.unit)
    if isinstance(value, TypedAngle):
        return typeset(value.text, "", "angle")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if question.sort == "parts":
        return typeset_lengths(text_of(question, value, unit), unit)
    return str(value)


def text_of(question: Question, value: Any, unit: LengthUnit) -> str:
    """Return what a field holds as it is typed."""
    if isinstance(value, TypedLength | TypedAngle):
        return value.text
    if question.sort == "parts":
        from survey.dictation import say_part

        return say_part(question.kind, question.field, value, unit)
    return shown_of(question, value)


def typeset_lengths(text: str, unit: LengthUnit) -> str:
    """Set the bare numbers of a line as lengths.

    >>> typeset_lengths("left at least 1/2, right exactly 2 1/4", "in")
    'left at least 1⁄2″, right exactly 2 1⁄4″'
    """
    return _LENGTHS.sub(lambda found: typeset(found[0], unit), text)


def _read_part(question: Question, text: str, unit: LengthUnit) -> Any:
    from survey.dictation import DictationError, read_part

    try:
        return read_part(question.kind, question.field, text, unit)
    except DictationError as error:
        raise RecordError(f"{question.words}: {error.problems[0].says}") from error


def _question(field: inspect.Field, kind: str) -> Question | None:
    sort, choices = _sort(field.type)
    if sort is None:
        return None
    words = WORDS.get(field.name, field.name.replace("_", " "))
    usual = None if field.default in (msgspec.NODEFAULT, msgspec.UNSET) else field.default
    return Question(field.name, words, sort, field.required, choices, usual, kind, _part(field.type))


def _part(kind: inspect.Type) -> str:
    """Return the struct's name of a field that has parts, or of a list of them."""
    match kind:
        case inspect.Metadata(type=inner):
            return _part(inner)
        case inspect.UnionType(types=types):
            return next((name for one in types if (name := _part(one))), "")
        case inspect.VarTupleType(item_type=item):
            return _part(item)
        case inspect.StructType(cls=cls):
            return cls.__name__
    return ""


def _sort(kind: inspect.Type) -> tuple[Sort | None, tuple[str, ...]]:
    """Return what answers a field takes; nothing for fields with pages of their own (layers, stations)."""
    if isinstance(kind, inspect.Metadata):
        return _sort(kind.type)
    if isinstance(kind, inspect.UnionType):
        left = [one for one in kind.types if not isinstance(one, inspect.NoneType)]
        return _sort(left[0]) if len(left) == 1 else (None, ())
    if isinstance(kind, inspect.LiteralType):
        return "choice", tuple(str(value) for value in kind.values)
    if isinstance(kind, inspect.StructType):
        named: dict[str, Sort] = {"TypedLength": "length", "TypedAngle": "angle", "Edge": "edge"}
        parts = {"Aim", "CornerShape"}
        name = kind.cls.__name__
        return "parts" if name in parts else named.get(name), ()
    if isinstance(kind, inspect.VarTupleType):
        return ("parts" if _part(kind) in LISTED else None), ()
    if isinstance(kind, inspect.FloatType):
        return "decimal", ()
    if isinstance(kind, inspect.BoolType):
        return "yes or no", ()
    if isinstance(kind, inspect.IntType):
        return "number", ()
    if isinstance(kind, inspect.StrType):
        return "words", ()
    return None, ()

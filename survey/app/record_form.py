"""What there is to fill in of a record: one question per field of its kind, in plain words.

Made from the records' own types, so a new field is asked for without a line here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import msgspec
from msgspec import inspect

from survey.records import Record

Sort = Literal["length", "choice", "words", "number", "yes or no", "edge"]

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
    "proved": "how it was proved",
    "fate": "what becomes of it",
}
"""Field names that say too little by themselves."""


@dataclass(frozen=True)
class Question:
    """One field to fill in: its name in the record, words for it, and what answers it takes."""

    field: str
    words: str
    sort: Sort
    is_needed: bool
    choices: tuple[str, ...] = ()
    usual: Any = None


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
        if field.name not in KEPT_BY_US and (found := _question(field)) is not None
    )


def _question(field: inspect.Field) -> Question | None:
    sort, choices = _sort(field.type)
    if sort is None:
        return None
    words = WORDS.get(field.name, field.name.replace("_", " "))
    usual = None if field.default in (msgspec.NODEFAULT, msgspec.UNSET) else field.default
    return Question(field.name, words, sort, field.required, choices, usual)


def _sort(kind: inspect.Type) -> tuple[Sort | None, tuple[str, ...]]:
    """Return what answers a field takes; nothing for fields with parts of their own (layers, stations)."""
    if isinstance(kind, inspect.Metadata):
        return _sort(kind.type)
    if isinstance(kind, inspect.UnionType):
        left = [one for one in kind.types if not isinstance(one, inspect.NoneType)]
        return _sort(left[0]) if len(left) == 1 else (None, ())
    if isinstance(kind, inspect.LiteralType):
        return "choice", tuple(str(value) for value in kind.values)
    if isinstance(kind, inspect.StructType):
        named: dict[str, Sort] = {"TypedLength": "length", "Edge": "edge"}
        return named.get(kind.cls.__name__), ()
    if isinstance(kind, inspect.BoolType):
        return "yes or no", ()
    if isinstance(kind, inspect.IntType):
        return "number", ()
    if isinstance(kind, inspect.StrType):
        return "words", ()
    return None, ()

"""One field of a record in the words of a line: what has parts of its own, said and read alone."""

from __future__ import annotations

from functools import cache

import msgspec

from survey.dictation.errors import DictationError
from survey.dictation.grammar import Element
from survey.dictation.line import Rank, Reader, tokens_of
from survey.dictation.notation import field_pattern
from survey.errors import RecordError
from survey.records import KINDS
from survey.records.base import LengthUnit


def read_part(kind: str, field: str, text: str, unit: LengthUnit) -> object:
    """Read the value of one field, as a line of that kind would say it.

    Raises
    ------
    DictationError
        It cannot be read so; it says what was expected, and where.

    Examples
    --------
    >>> read_part("cabinet", "pins", "left at least 1/2, right exactly 2", "in")[1].rule
    'exactly'
    >>> read_part("top", "aim", "balanced", "mm").what
    'balanced'
    """
    reader = Reader(text, tokens_of(text), unit, _no_ids)
    for end, found in _pattern(kind, field).match(reader, 0, {}):
        if reader.tokens[end].sort == "end":
            return msgspec.convert(found[field], _type_of(kind, field))
        reader.miss(end, "nothing more", Rank.must_follow)
    raise DictationError((reader.problem(1),))


def say_part(kind: str, field: str, value: object, unit: LengthUnit) -> str:
    """Put the value of one field into words, as a line of that kind says it; nothing is empty.

    >>> from survey.records import CornerShape, TypedLength
    >>> say_part("top", "front_left", CornerShape("radius", TypedLength("2", "in")), "in")
    'radius 2'
    """
    plain = msgspec.to_builtins(value)
    return "" if plain in (None, [], ()) else _pattern(kind, field).say({field: plain}, unit) or ""


@cache
def _pattern(kind: str, field: str) -> Element:
    return field_pattern(kind, field)


@cache
def _type_of(kind: str, field: str) -> object:
    return next(one.type for one in msgspec.structs.fields(KINDS[kind]) if one.name == field)


def _no_ids(typed: str) -> str:
    raise RecordError(f"expected no id here, got `{typed}`")

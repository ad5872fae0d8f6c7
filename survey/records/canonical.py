"""A record's one byte form, its hash, and reading it back against the rules of its kind."""

from __future__ import annotations

import hashlib
import math
import re
from datetime import UTC, datetime
from functools import cache
from typing import Final

import msgspec
from msgspec import Struct

from survey.errors import RecordError
from survey.records import KINDS, AnyRecord
from survey.records.base import Record
from survey.records.survey import Survey

_SORTED: Final = msgspec.json.Encoder(order="sorted")
_KIND: Final = msgspec.json.Decoder(dict[str, msgspec.Raw])
_AT: Final = re.compile(r"^(.*) - at `\$(.*)`$", re.DOTALL)


def canonical(record: Record) -> bytes:
    """Return the one byte form that a record is hashed and stored in.

    JSON with its keys sorted and no blanks, moments in UTC, and without what equals its default,
    so that equal records have equal bytes however they came about.

    Raises
    ------
    RecordError
        For a moment without a zone, a number that is not finite, or half a character.

    Examples
    --------
    >>> from survey.records import Wall
    >>> canonical(Wall(id="a1", taken=datetime(2025, 5, 1, tzinfo=UTC), name="back"))
    b'{"id":"a1","kind":"wall","name":"back","taken":"2025-05-01T00:00:00Z"}'
    """
    return encode(record, _SORTED)


def read_record(content: bytes) -> Record:
    """Read one record, of any kind, and hold it against the rules of its kind.

    Raises
    ------
    RecordError
        Naming the field, what was expected and what came.

    Examples
    --------
    >>> read_record(b'{"kind":"wall","id":"a1","taken":"2025-05-01T00:00:00Z"}')
    Traceback (most recent call last):
    survey.errors.RecordError: Object missing required field `name`
    """
    try:
        return _decoder(_kind_in(content)).decode(content)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
        problem, at = problem_of(error)
        raise RecordError(f"{at.lstrip('.')}: {problem}" if at else problem) from error


def _kind_in(content: bytes) -> str | None:
    """Return the kind that a record says it is, or nothing where it says none that there is."""
    try:
        kind = msgspec.json.decode(_KIND.decode(content)["kind"], type=str)
    except (msgspec.MsgspecError, UnicodeDecodeError, KeyError):
        return None
    return kind if kind in KINDS else None


@cache
def _decoder(kind: str | None) -> msgspec.json.Decoder[Record]:
    """Make the reader of one kind when its first record comes: one for all kinds takes 20 ms to make.

    What says no kind goes to that one all the same, which knows what to say of it.
    """
    return msgspec.json.Decoder(AnyRecord if kind is None else KINDS[kind])


def survey_hash(survey: Survey) -> str:
    """Return the SHA-256 of the set of records: the same in whatever order they came.

    Examples
    --------
    >>> survey_hash(Survey([]))[:8]
    'e3b0c442'
    """
    hashes = sorted(hashlib.sha256(canonical(record)).digest() for record in survey.records)
    return hashlib.sha256(b"".join(hashes)).hexdigest()


def encode(record: Record, encoder: msgspec.json.Encoder) -> bytes:
    """Write a record with this encoder, without what equals its default."""
    try:
        return encoder.encode(_bare(record))
    except (ValueError, OverflowError, TypeError) as error:
        raise RecordError(f"record {record.id!r} cannot be written: {error}") from error


def problem_of(error: Exception) -> tuple[str, str]:
    """Give what is wrong, and the path to it within the record."""
    found = _AT.match(str(error))
    return (found[1], found[2]) if found else (str(error), "")


@cache
def _fields(kind: type[Struct]) -> tuple[tuple[str, str, object], ...]:
    """Give each field's attribute, its name in the text and its default (or a mark for none)."""
    return tuple(
        (
            field.name,
            field.encode_name,
            field.default if field.default_factory is msgspec.NODEFAULT else field.default_factory(),
        )
        for field in msgspec.structs.fields(kind)
    )


def _bare(value: object) -> object:
    """Give a value without what equals its default; msgspec itself compares by identity only."""
    if isinstance(value, Struct):
        config = value.__struct_config__
        written: dict[str, object] = {config.tag_field: config.tag} if config.tag_field else {}
        for attribute, name, default in _fields(type(value)):
            held = getattr(value, attribute)
            if held != default:
                written[name] = _bare(held)
        return written
    if isinstance(value, tuple | list):
        return [_bare(item) for item in value]
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError(f"expected a moment with its zone, got {value.isoformat()}")
        return value.astimezone(UTC)
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"expected a number, got {value}")
    return value

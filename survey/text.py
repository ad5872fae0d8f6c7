"""The published text form: a survey as JSON, one record on a line, photos as base64 behind them.

`assets/schemas/survey.schema.json` describes it; `python -m survey.text` prints that schema.
Reading the text that was written gives the same survey and the same photos.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from collections.abc import Mapping
from typing import Any, Final, NoReturn

import msgspec

from survey.errors import RecordError, SurveyError, TextError
from survey.records import KINDS, AnyRecord, Record, Survey
from survey.records.canonical import canonical, encode, problem_of, read_record, survey_hash
from survey.records.survey import MOST_RECORDS, find_circle

__all__ = [
    "canonical",
    "read_record",
    "read_text",
    "survey_hash",
    "survey_schema",
    "write_text",
]

FORMAT: Final = "scribefit survey"
VERSION: Final = 3
SCHEMA_ID: Final = f"urn:scribefit:survey:{VERSION}"

# Bounds on what a stranger's text may cost to read.
MOST_BYTES: Final = 256 * 2**20
MOST_COMMAS: Final = 20_000_000

_KEYS: Final = ("format", "version", "records", "photos")
_IN_ORDER: Final = msgspec.json.Encoder()
_HALF_PAIR: Final = re.compile(r"\\u[dD]")


def write_text(survey: Survey, photos: Mapping[str, bytes] | None = None) -> bytes:
    r"""Write a survey, and its photos by their SHA-256, as text.

    Records stand in the order in which they were put down, one on a line, so that a comparison of
    two texts shows which records differ.

    Raises
    ------
    TextError
        If a record breaks the rules of its kind, a photo's name is not its hash, or the whole is
        larger than reading allows.

    Examples
    --------
    >>> write_text(Survey([]))
    b'{\n"format": "scribefit survey",\n"version": 3,\n"records": []\n}\n'
    """
    records = [_line(record) for record in survey.records]
    pictures = [
        f'"{_checked_name(name, content)}": "{base64.b64encode(content).decode()}"'.encode()
        for name, content in sorted((photos or {}).items())
    ]
    text = b'{\n"format": "%s",\n"version": %d,\n"records": [%s]' % (
        FORMAT.encode(),
        VERSION,
        _lines(records),
    )
    if pictures:
        text += b',\n"photos": {%s}' % _lines(pictures)
    text += b"\n}\n"
    _check_cost(text, len(records))
    return text


def read_text(content: bytes) -> tuple[Survey, dict[str, bytes]]:
    r"""Read a survey and its photos from text.

    Raises
    ------
    TextError
        If the text is cut off, no JSON, no survey, of a newer version or too large; or if a
        record in it breaks the rules: the message has its place, its id and what to do.

    Examples
    --------
    >>> survey, photos = read_text(write_text(Survey([])))
    >>> survey.records, photos
    ((), {})
    >>> read_text(b'{"format": "scribefit survey", "version": 3, "rec')
    Traceback (most recent call last):
    survey.errors.TextError: the text ends in the middle, at line 1: it was cut off; get it whole
    """
    document = _parse(content)
    _check_head(document)
    records = [_record(item, f"records[{at}]") for at, item in enumerate(document["records"])]
    photos = document.get("photos", {})
    return _survey(records), {name: _photo(name, photos[name]) for name in photos}


def survey_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the text form, made from the records' own structs.

    Quantities are strings to the schema; whether `34 5/16` can be read is for the reader.

    Examples
    --------
    >>> survey_schema()["$id"]
    'urn:scribefit:survey:3'
    """
    (record,), kinds = msgspec.json.schema_components([AnyRecord], ref_template="#/$defs/{name}")
    for kind in kinds.values():
        if "description" in kind:
            # From Python 3.13 docstrings come without their indentation: the schema has none.
            words = kind["description"].partition(">>>")[0].split()
            kind["description"] = " ".join(words)
    photos = {
        "type": "object",
        "description": "Photos by the SHA-256 of their bytes.",
        "propertyNames": {"pattern": "^[0-9a-f]{64}$"},
        "additionalProperties": {"type": "string", "contentEncoding": "base64"},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        "title": "Scribefit survey",
        "description": "The records of one job, in the order in which they were put down.",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "records": {"type": "array", "maxItems": MOST_RECORDS, "items": record},
            "photos": photos,
        },
        "required": ["format", "version", "records"],
        "additionalProperties": False,
        "$defs": kinds,
    }


# Writing


def _line(record: Record) -> bytes:
    """Give a record as a line, in the order of its fields; refuse what reading would refuse."""
    try:
        line = encode(record, _IN_ORDER)
        read_record(line)
    except RecordError as error:
        raise TextError(f"record {record.id!r}: {error}. Correct the record first") from error
    return line


def _lines(items: list[bytes]) -> bytes:
    return b"\n" + b",\n".join(items) + b"\n" if items else b""


def _checked_name(name: str, content: bytes) -> str:
    found = hashlib.sha256(content).hexdigest()
    if name != found:
        raise TextError(
            f"photos.{name}: expected bytes whose SHA-256 is this name, got {found}; "
            "the photo was damaged: take it again from where it came"
        )
    return name


# Reading


def _parse(content: bytes) -> dict[str, Any]:
    _check_cost(content)
    try:
        text = content.decode("utf-8-sig")
        document = json.loads(text, object_pairs_hook=_object, parse_constant=_no_constant)
        if _HALF_PAIR.search(text):
            json.dumps(document, ensure_ascii=False).encode()
    except json.JSONDecodeError as error:
        raise _malformed(text, error) from error
    except UnicodeError as error:
        raise TextError(f"expected text in UTF-8, got {error}: save it as UTF-8") from error
    except RecursionError as error:
        raise TextError("nested far too deep: this is not a survey's text form") from error
    except SurveyError:
        raise
    except ValueError as error:  # an integer of thousands of digits
        raise TextError(f"expected a number that a survey can hold: {error}") from error
    if not isinstance(document, dict):
        raise TextError(
            f"this is not a survey: expected an object with the format {FORMAT!r}, got {_shown(document)}"
        )
    return document


def _object(pairs: list[tuple[str, object]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        owner = f" (record {found['id']})" if "id" in found else ""
        raise TextError(f"{twice!r} stands twice in one object{owner}: keep one of the two")
    return found


def _no_constant(name: str) -> NoReturn:
    raise TextError(f"expected numbers, got {name}: JSON has no such value; put a number there")


def _malformed(text: str, error: json.JSONDecodeError) -> TextError:
    body = text.strip()
    if not body:
        return TextError("the text is empty: expected a survey's text form")
    if not body.startswith("{"):
        return TextError(f"this is not a survey: expected JSON, got {_shown(body)}")
    if not body.endswith("}") or error.pos >= len(text.rstrip()):
        last = text.rstrip().count("\n") + 1
        return TextError(f"the text ends in the middle, at line {last}: it was cut off; get it whole")
    return TextError(f"no JSON at line {error.lineno}, column {error.colno}: {error.msg}; correct it there")


def _check_head(document: dict[str, Any]) -> None:
    if document.get("format") != FORMAT:
        raise TextError(
            f"this is not a survey: expected the format {FORMAT!r}, got {_shown(document.get('format'))}"
        )
    version = document.get("version")
    if type(version) is not int or version < 1:
        raise TextError(f"version: expected a whole number from 1, got {_shown(version)}")
    if version > VERSION:
        raise TextError(f"made by a newer version (format {version}); this one reads up to {VERSION}: update")
    strange = [key for key in document if key not in _KEYS]
    if strange:
        raise TextError(f"{strange[0]}: expected only {', '.join(_KEYS)}; take it out")
    for key, kind, said in (("records", list, "an array"), ("photos", dict, "an object")):
        if not isinstance(document.get(key, {} if key == "photos" else None), kind):
            raise TextError(f"{key}: expected {said}, got {_shown(document.get(key))}")
    _check_cost(b"", len(document["records"]))


def _check_cost(content: bytes, records: int = 0) -> None:
    """Refuse what would take a device's memory away."""
    if len(content) > MOST_BYTES:
        raise TextError(
            f"expected at most {MOST_BYTES >> 20} MiB of text, got {len(content) >> 20} MiB: "
            "leave photos out, or hand out the survey file"
        )
    if records > MOST_RECORDS or content.count(b",") > MOST_COMMAS:
        raise TextError(f"expected at most {MOST_RECORDS} records, got more: this is more than one job")


def _record(item: object, where: str) -> Record:
    try:
        return msgspec.convert(item, AnyRecord)  # type: ignore[no-any-return]
    except (msgspec.ValidationError, RecursionError) as error:
        problem, at = problem_of(error)
        named = f" (record {item['id']})" if isinstance(item, dict) and "id" in item else ""
        if isinstance(item, dict) and at == ".kind":
            problem = f"unknown kind {_shown(item['kind'])}; {_known_kinds(item['kind'])}"
        raise TextError(f"{where}{at}{named}: {problem}\nCorrect it in the text and read it again") from error


def _known_kinds(kind: object) -> str:
    from difflib import get_close_matches  # only a mistake needs it

    near = get_close_matches(str(kind), KINDS, n=3)
    return f"is it {' or '.join(near)}?" if near else f"expected one of {', '.join(KINDS)}"


def _survey(records: list[Record]) -> Survey:
    at: dict[str, int] = {}
    for here, record in enumerate(records):
        first = at.setdefault(record.id, here)
        if records[first] != record:
            raise TextError(
                f"records[{here}].id: record {record.id} stands at records[{first}] with other "
                "content; expected one content for an id: give one of the two an id of its own"
            )
    try:
        return Survey(records)
    except RecordError as error:
        circle = find_circle(at, lambda one: records[at[one]].replaces if one in at else ())
        raise TextError(f"records[{at[circle[0]]}].replaces: {error}") from error


def _photo(name: str, written: object) -> bytes:
    if not isinstance(written, str):
        raise TextError(f"photos.{name}: expected base64, got {_shown(written)}")
    try:
        content = base64.b64decode(written, validate=True)
    except (binascii.Error, ValueError) as error:
        raise TextError(f"photos.{name}: expected base64, got {error}; export it again") from error
    _checked_name(name, content)
    return content


def _shown(value: object) -> str:
    shown = repr(value) if value is not None else "nothing"
    return shown if len(shown) <= 60 else f"{shown[:57]}..."


if __name__ == "__main__":
    print(json.dumps(survey_schema(), indent=1, ensure_ascii=False))

"""The published text form: what is written reads back, and what is wrong is named."""

from __future__ import annotations

import json
from base64 import b64encode
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from strategies import photos, records, surveys

from survey import text
from survey.errors import TextError
from survey.records import KINDS, LengthReading, Note, Record, Survey, TypedLength, Wall
from survey.text import read_text, survey_schema, write_text

NOON = datetime(2025, 5, 1, 12, tzinfo=UTC)
WALL = Wall(id="w1", taken=NOON, name="back", spacing=TypedLength("16", "in"))
WIDTH = LengthReading(id="r1", taken=NOON, between=("left", "right"), reads=TypedLength("60 1/4", "in"))
PHOTO = b"\xff\xd8 not much of a photo"
SAMPLE = write_text(Survey([WALL, WIDTH]), {sha256(PHOTO).hexdigest(): PHOTO})


@settings(deadline=None)
@given(surveys(), photos)
def test_export_then_import_is_the_identity(survey: Survey, held: dict[str, bytes]) -> None:
    written = write_text(survey, held)
    again, held_again = read_text(written)
    assert again.records == survey.records
    assert held_again == held
    assert write_text(again, held_again) == written


def test_records_stand_one_on_a_line_in_the_order_of_being_put_down() -> None:
    lines = SAMPLE.decode().splitlines()
    starts = [line[:24] for line in lines if line.startswith('{"kind"')]
    assert starts == ['{"kind":"wall","id":"w1"', '{"kind":"length","id":"r']
    assert write_text(Survey([WIDTH, WALL])).splitlines()[4].startswith(b'{"kind":"length"')


def test_a_byte_order_mark_does_no_harm() -> None:
    assert read_text(b"\xef\xbb\xbf" + SAMPLE)[0] == Survey([WALL, WIDTH])


# What is wrong is named


def document(**changes: Any) -> dict[str, Any]:
    return {**json.loads(write_text(Survey([WALL, WIDTH]))), **changes}


def with_record(**changes: Any) -> dict[str, Any]:
    """The sample with its second record changed."""
    first, second = document()["records"]
    return document(records=[first, {**second, **changes}])


def with_photo(name: str, written: Any) -> dict[str, Any]:
    return document(photos={name: written})


REFUSED: dict[str, tuple[dict[str, Any], str]] = {
    "another format": (document(format="diary"), "not a survey: expected the format 'scribefit survey'"),
    "no format": ({"records": []}, "not a survey.* got nothing"),
    "newer": (document(version=4), r"made by a newer version \(format 4\); this one reads up to 3: update"),
    "version is text": (document(version="1"), "version: expected a whole number from 1, got '1'"),
    "version is true": (document(version=True), "version: expected a whole number from 1, got True"),
    "version 0": (document(version=0), "version: expected a whole number from 1, got 0"),
    "a key of nobody": (document(hue=1), "hue: expected only format, version, records, photos"),
    "records no array": (document(records={}), "records: expected an array, got {}"),
    "photos no object": (document(photos=[]), r"photos: expected an object, got \[\]"),
    "record no object": (document(records=[7]), r"records\[0\]: Expected `object`, got `int`"),
    "no kind": (document(records=[{"id": "r1"}]), r"records\[0\] \(record r1\): .*field `kind`"),
    "unknown kind": (
        with_record(kind="lenght"),
        r"records\[1\]\.kind \(record r1\): unknown kind 'lenght'; is it length",
    ),
    "unknown kind, far off": (with_record(kind="moon-x"), "unknown kind 'moon-x'; expected one of job, room"),
    "kind no text": (with_record(kind=[1]), r"records\[1\]\.kind \(record r1\)"),
    "unknown field": (with_record(hue=1), r"records\[1\] \(record r1\): .*unknown field `hue`"),
    "wrong type": (
        with_record(reads={"text": 60, "unit": "in"}),
        r"records\[1\]\.reads\.text \(record r1\): Expected `str`, got `int`",
    ),
    "null for a length": (with_record(reads=None), r"records\[1\]\.reads \(record r1\): Expected `object`"),
    "unit of nobody": (
        with_record(reads={"text": "60", "unit": "ell"}),
        r"records\[1\]\.reads\.unit \(record r1\): Invalid enum value 'ell'",
    ),
    "length that cannot be read": (
        with_record(reads={"text": "34 5/0", "unit": "in"}),
        r"records\[1\]\.reads \(record r1\): expected a fraction over one of 2, 4(.|\n)*34 5/0",
    ),
    "one end": (with_record(between=["left"]), r"records\[1\]\.between \(record r1\)"),
    "no moment": (with_record(taken="yesterday"), r"records\[1\]\.taken \(record r1\): Invalid RFC3339"),
    "id with blanks": (with_record(id="r 1"), r"records\[1\]\.id \(record r 1\): .*regex"),
    "one id, two contents": (
        with_record(id="w1"),
        r"records\[1\]\.id: record w1 stands at records\[0\] with other content",
    ),
    "a circle": (
        with_record(replaces=["r1"]),
        r"records\[1\]\.replaces: record r1 replaces itself through r1 -> r1",
    ),
    "photo no base64": (with_photo("0" * 64, "?"), "photos.0000.*: expected base64"),
    "photo no text": (with_photo("0" * 64, 5), "photos.0000.*: expected base64, got 5"),
    "photo of another name": (with_photo("0" * 64, b64encode(b"x").decode()), "expected bytes whose SHA-256"),
}


@pytest.mark.parametrize(("wrong", "said"), REFUSED.values(), ids=REFUSED)
def test_what_is_wrong_is_named_with_its_place_and_its_record(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(TextError, match=said):
        read_text(json.dumps(wrong).encode())


MALFORMED = {
    "empty": (b" \n", "the text is empty"),
    "prose": (b"sixty and a quarter", "not a survey: expected JSON, got 'sixty"),
    "array": (b"[]", "not a survey"),
    "stray comma": (SAMPLE.replace(b"],\n", b",],\n"), "no JSON at line 7, column [12]:"),
    "behind the end": (SAMPLE + b"{}", "no JSON at line 12, column 1"),
    "NaN": (SAMPLE.replace(b'"version": 3', b'"version": NaN'), "expected numbers, got NaN"),
    "minus infinity": (SAMPLE.replace(b'"version": 3', b'"version": -Infinity'), "got -Infinity"),
    "too large for a float": (SAMPLE.replace(b'"version": 3', b'"version": 1e999'), "got inf"),
    "endless digits": (
        SAMPLE.replace(b'"version": 3', b'"version": ' + b"9" * 5000),
        "that a survey can hold",
    ),
    "key twice": (
        SAMPLE.replace(b'"id":"w1"', b'"id":"w1","id":"w2"'),
        r"'id' stands twice in one object \(record w2\)",
    ),
    "deep": (b'{"format": ' + b"[" * 200_000, "nested far too deep"),
    "no UTF-8": (SAMPLE.replace(b"back", b"b\xe4ck"), "expected text in UTF-8"),
    "half a character": (SAMPLE.replace(b"back", rb"\ud800"), "expected text in UTF-8"),
}


@pytest.mark.parametrize(("content", "said"), MALFORMED.values(), ids=MALFORMED)
def test_what_is_no_text_form_is_refused(content: bytes, said: str) -> None:
    with pytest.raises(TextError, match=said):
        read_text(content)


def test_a_text_cut_off_anywhere_says_so() -> None:
    for end in range(len(SAMPLE.rstrip())):
        said = "ends in the middle.*cut off; get it whole" if end else "the text is empty"
        with pytest.raises(TextError, match=said):
            read_text(SAMPLE[:end])


@settings(deadline=None, max_examples=200)
@given(st.integers(0, len(SAMPLE) - 1), st.binary(max_size=4), st.integers(0, 30))
def test_garbled_text_is_refused_or_read_but_never_breaks_the_reader(at: int, put: bytes, out: int) -> None:
    garbled = SAMPLE[:at] + put + SAMPLE[at + out :]
    try:
        survey, held = read_text(garbled)
    except TextError:
        return
    assert read_text(write_text(survey, held)) == (survey, held)


def test_more_records_than_a_job_has_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text, "MOST_RECORDS", 1)
    with pytest.raises(TextError, match="at most 1 records"):
        read_text(SAMPLE)
    with pytest.raises(TextError, match="at most 1 records"):
        write_text(Survey([WALL, WIDTH]))


def test_more_text_than_a_device_can_take_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text, "MOST_BYTES", 100)
    with pytest.raises(TextError, match="MiB of text"):
        read_text(SAMPLE)


def test_a_record_that_could_not_be_read_again_is_not_written() -> None:
    with pytest.raises(TextError, match="record 'n': text: Expected `str` of length >= 1"):
        write_text(Survey([Note(id="n", taken=NOON, text="")]))


def test_a_photo_under_another_name_is_not_written() -> None:
    with pytest.raises(TextError, match="expected bytes whose SHA-256 is this name"):
        write_text(Survey([]), {"0" * 64: b"x"})


# The schema

PUBLISHED = Path(__file__).parents[2] / "assets" / "schemas" / "survey.schema.json"
VALIDATOR = Draft202012Validator(survey_schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)


def test_the_published_schema_is_fresh() -> None:
    """If this fails: python -m survey.text > assets/schemas/survey.schema.json."""
    assert json.loads(PUBLISHED.read_text(encoding="utf-8")) == json.loads(json.dumps(survey_schema()))


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(survey_schema())


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_the_schema_takes_every_kind(kind: str) -> None:
    @settings(max_examples=3, deadline=None)
    @given(records(KINDS[kind]), photos)
    def taken(record: Record, held: dict[str, bytes]) -> None:
        record_alone = [record] if record.id not in record.replaces else []
        VALIDATOR.validate(json.loads(write_text(Survey(record_alone), held)))

    taken()


# What only reading can tell: what texts of quantities mean, and how records stand to each other.
BEYOND_THE_SCHEMA = {"length that cannot be read", "one id, two contents", "a circle", "no moment"}
BEYOND_THE_SCHEMA |= {"photo no base64", "photo of another name"}


@pytest.mark.parametrize("name", sorted(REFUSED.keys() - BEYOND_THE_SCHEMA))
def test_the_schema_refuses_what_the_reader_refuses(name: str) -> None:
    assert not VALIDATOR.is_valid(REFUSED[name][0])

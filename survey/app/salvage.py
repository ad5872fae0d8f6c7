"""What can still be read of a damaged or newer survey file, record by record; the file is never changed."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from msgspec.structs import replace

from survey.dictation import say
from survey.errors import RecordError
from survey.file.layout import VERSION
from survey.file.opening import explained, open_unproved
from survey.records import Record, Survey
from survey.records.canonical import read_record
from survey.records.survey import MOST_RECORDS

LEAST_ROW: Final = 128
"""Bytes that a record takes at least in a file: its id, hash and moment alone are more."""


@dataclass(frozen=True)
class Salvaged:
    """The records that are as they were saved; how many more there were, None where that is unknown."""

    survey: Survey
    lost: int | None
    is_newer: bool = False
    """Whether a newer version of the program made the file; the lost may be what only that one knows."""


def salvage(path: Path) -> Salvaged:
    """Read what can be read. A record counts only if it is the one that was saved, by its hash.

    Raises
    ------
    FileError
        Nothing can be read: it is no survey file, or its first pages are gone.
    RecordError
        What can be read makes no survey.
    """
    with closing(open_unproved(path, is_damaged=True)) as connection, explained(path):
        last = _last(connection, "record")
        query = "SELECT content, hash FROM record WHERE position = ?"
        records = list(_records(_rows(connection, query, _most(path, last))))
        (version,) = connection.execute("PRAGMA user_version").fetchone()
    lost = None if last is None else max(last - len(records), 0)
    return Salvaged(Survey(records), lost, version > VERSION)


def salvaged_photos(path: Path) -> dict[str, bytes]:
    """Read the photos that are as they were saved, by their SHA-256.

    Raises
    ------
    FileError
        Nothing can be read.
    """
    with closing(open_unproved(path, is_damaged=True)) as connection, explained(path):
        query = "SELECT content, sha256 FROM photo WHERE rowid = ?"
        rows = _rows(connection, query, _most(path, _last(connection, "photo")))
        return {name: content for content, name in rows}


def lines(survey: Survey) -> tuple[str, ...]:
    """Return what stands, as it would be dictated, in the order in which it was put down."""
    unit = survey.job.unit if survey.job is not None else "in"
    found = []
    for record in survey.current:
        try:
            found.append(say(replace(record, replaces=()), unit))
        except RecordError:
            continue  # nobody dictates such a one; it is kept all the same
    return tuple(found)


def _most(path: Path, last: int | None) -> int:
    """Return how many rows to look for: up to the last, or as many as a file of this size can hold."""
    return min(path.stat().st_size // LEAST_ROW if last is None else last, MOST_RECORDS)


def _last(connection: sqlite3.Connection, table: str) -> int | None:
    """Return the number of the last row, where the way to it is whole."""
    try:
        (last,) = connection.execute(f"SELECT max(rowid) FROM {table}").fetchone()
    except sqlite3.DatabaseError:
        return None
    return int(last or 0)


def _rows(connection: sqlite3.Connection, query: str, most: int) -> Iterator[tuple[bytes, str]]:
    """Give content and SHA-256 of the rows that are as they were saved; a damaged page costs those on it."""
    for number in range(1, most + 1):
        try:
            row = connection.execute(query, (number,)).fetchone()
        except sqlite3.DatabaseError:
            continue
        match row:
            case (bytes(content), bytes(saved)) if hashlib.sha256(content).hexdigest().encode() == saved:
                yield content, saved.decode()


def _records(contents: Iterator[tuple[bytes, str]]) -> Iterator[Record]:
    for content, _ in contents:
        try:
            yield read_record(content)
        except RecordError:
            continue  # saved so, and no record: not by us

"""Plain tables for the shop: what a survey holds now, one table per kind, for any program that reads SQLite.

A convenience, not a survey: nothing can be read back from it. Lengths are there as typed and in
millimetres, so that a query needs no parser.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import msgspec

from survey.file.publishing import publishing
from survey.quantity import read_angle, read_length
from survey.records import Survey, kind_of

Row = dict[str, Any]


def write_tables(survey: Survey, path: Path) -> None:
    """Write a new SQLite file with one table per kind of current record.

    What a record holds several of (stations, layers, marks) goes to a table of its own, `<kind>_<field>`,
    with the record's id and the position.

    Raises
    ------
    FileError
        If `path` exists already or cannot be written.
    """
    import sqlite_utils  # here, because it is slow to load and nothing else needs it

    tables: dict[str, list[Row]] = {}
    for record in survey.current:
        kind = kind_of(record).replace("-", "_")
        plain = msgspec.to_builtins(record)
        plain.pop("kind")
        row: Row = {}
        for name, value in plain.items():
            several = isinstance(value, list | tuple) and any(isinstance(item, dict) for item in value)
            if several:
                tables.setdefault(f"{kind}_{name}", []).extend(_parts(record.id, value))
            else:
                row.update(_columns(name, value))
        tables.setdefault(kind, []).append(row)
    with publishing(path) as temporary:
        database = sqlite_utils.Database(temporary)
        try:
            with database.atomic():
                for table, rows in tables.items():
                    columns = dict.fromkeys(name for row in rows for name in row)
                    database.table(table).insert_all([dict.fromkeys(columns) | row for row in rows])
        finally:
            database.close()


def _parts(record: str, several: Sequence[Any]) -> Iterator[Row]:
    for position, item in enumerate(several):
        row: Row = {"record": record, "position": position}
        for name, value in (item if isinstance(item, dict) else {"value": item}).items():
            row.update(_columns(name, value))
        yield row


def _columns(name: str, value: Any) -> Row:
    """Give one column, or two for a quantity: as typed, and its value."""
    if not isinstance(value, dict):
        return {name: msgspec.json.encode(value).decode() if isinstance(value, list | tuple) else value}
    if set(value) == {"text", "unit"}:
        mm = float(read_length(value["text"], value["unit"]).mm)
        return {name: f"{value['text']} ({value['unit']})", f"{name}_mm": mm}
    if set(value) == {"text"}:
        return {name: value["text"], f"{name}_radians": read_angle(value["text"]).radians}
    row: Row = {}
    for inner, part in value.items():
        row.update(_columns(f"{name}_{inner}", part))
    return row

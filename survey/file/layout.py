"""What a survey file is made of: its marks, its tables and what keeps them from being edited."""

from __future__ import annotations

import sqlite3
from typing import Final

APPLICATION_ID: Final = 0x53666974  # "Sfit", at byte 68 of the file
VERSION: Final = 3  # `user_version`, at byte 60
"""Each version holds kinds and fields that the one before had not; the tables are the same."""

# Bounds on what a stranger's file may cost to read.
MOST_FILE_BYTES: Final = 2**30
MOST_RECORD_BYTES: Final = 16 * 2**20
MOST_PHOTO_BYTES: Final = 32 * 2**20

# STRICT tables, and `WITHOUT ROWID` nowhere: `position` keeps the order of being put down.
_RECORD: Final = """CREATE TABLE record (
  position INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  taken TEXT NOT NULL,
  content TEXT NOT NULL,
  hash TEXT NOT NULL
) STRICT"""
_PHOTO: Final = """CREATE TABLE photo (
  sha256 TEXT NOT NULL PRIMARY KEY,
  content BLOB NOT NULL
) STRICT"""

# The insert triggers stop REPLACE also on connections of others, where `recursive_triggers` is off
# and the delete that it does would slip past the delete triggers.
_TRIGGER: Final = """CREATE TRIGGER {table}_{verb} BEFORE {verb} ON {table} {when}BEGIN
  SELECT RAISE(ABORT, 'a {table} is never changed or taken out: append a record instead');
END"""
_SAME: Final = {
    "record": "WHEN EXISTS (SELECT 1 FROM record WHERE id = NEW.id OR position = NEW.position) ",
    "photo": "WHEN EXISTS (SELECT 1 FROM photo WHERE sha256 = NEW.sha256) ",
}


def _objects() -> dict[tuple[str, str, str], str | None]:
    objects: dict[tuple[str, str, str], str | None] = {
        ("table", "record", "record"): _RECORD,
        ("table", "photo", "photo"): _PHOTO,
        ("index", "sqlite_autoindex_record_1", "record"): None,
        ("index", "sqlite_autoindex_photo_1", "photo"): None,
    }
    for table, same in _SAME.items():
        for verb in ("UPDATE", "DELETE", "INSERT"):
            when = same if verb == "INSERT" else ""
            sql = _TRIGGER.format(table=table, verb=verb, when=when)
            objects["trigger", f"{table}_{verb}", table] = sql
    return objects


# Type, name and table of everything that a survey file holds, with its SQL: nothing more, nothing
# less. SQLite makes the two indexes itself and keeps no SQL for them.
OBJECTS: Final = _objects()


def lay_out(connection: sqlite3.Connection) -> None:
    """Make an empty database into a survey file without records."""
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {VERSION}")
    connection.execute("BEGIN")
    for sql in OBJECTS.values():
        if sql is not None:
            connection.execute(sql)
    connection.execute("COMMIT")

"""Opening a file that may have come from anybody: it is hostile until it is checked.

Nothing but SQLite opens the database, not even to look at its header: closing such a handle would
drop the locks that another connection of this process holds.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final, Literal

from survey.errors import FileError
from survey.file.layout import (
    APPLICATION_ID,
    MOST_FILE_BYTES,
    MOST_PHOTO_BYTES,
    OBJECTS,
    VERSION,
)

_OLDEST_SQLITE: Final = (3, 37, 0)  # STRICT tables
_LIMITS: Final = {
    sqlite3.SQLITE_LIMIT_LENGTH: 2 * MOST_PHOTO_BYTES,
    sqlite3.SQLITE_LIMIT_SQL_LENGTH: 10_000,
    sqlite3.SQLITE_LIMIT_COLUMN: 20,
    sqlite3.SQLITE_LIMIT_EXPR_DEPTH: 20,
    sqlite3.SQLITE_LIMIT_COMPOUND_SELECT: 2,
    sqlite3.SQLITE_LIMIT_ATTACHED: 0,
    sqlite3.SQLITE_LIMIT_VARIABLE_NUMBER: 20,
    sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH: 5,
}
_PRAGMAS: Final = (
    "trusted_schema = OFF",
    "cell_size_check = ON",
    "mmap_size = 0",
    "recursive_triggers = ON",
    "temp_store = MEMORY",
)
# EXTRA also syncs the folder once the journal is gone, so that a power cut right after a commit
# cannot bring the journal back and undo it.
_TO_WRITE: Final = ("journal_mode = DELETE", "synchronous = EXTRA")

_TO_READ: Final = ("query_only = ON",)

# The check may take so many steps of SQLite's machine, in units of `_STEPS`, per KiB of file.
_STEPS: Final = 10_000
_LEAST_UNITS: Final = 1_000

# A rollback journal that names a super-journal ends so. Ours never do, and SQLite would open and
# delete whatever file such a journal names.
_SUPER_JOURNAL_END: Final = bytes.fromhex("d9d505f920a163d7")


def connect(path: Path, mode: Literal["ro", "rw", "rwc"]) -> sqlite3.Connection:
    """Connect with every limit in place; nothing of the file is trusted yet."""
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        raise FileError(f"expected SQLite 3.37 or later, got {sqlite3.sqlite_version}: update it")
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    connection = sqlite3.connect(uri, uri=True, isolation_level=None)
    try:
        connection.text_factory = bytes  # what is no UTF-8 must not stop the fetch of a row
        for limit, most in _LIMITS.items():
            connection.setlimit(limit, most)
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
    except BaseException:
        connection.close()
        raise
    return connection


def open_checked(path: Path, write: bool) -> sqlite3.Connection:
    """Open an existing survey file and check that it is one, whole and of this version.

    Raises
    ------
    FileError
        For anything else, with what to do.
    """
    with _opening(path, "rw" if write else "ro") as connection:
        _check_pages(path, connection)
        connection.set_progress_handler(None, 0)
        for pragma in _TO_WRITE if write else _TO_READ:
            connection.execute(f"PRAGMA {pragma}")
    return connection


def open_unproved(path: Path, is_damaged: bool = False) -> sqlite3.Connection:
    """Open a survey file to read from it without proving that its pages are whole.

    For a glance at many files, and with `is_damaged` for what can still be read of one that is cut short, or
    that a newer version made with the same tables. What is read may be wrong: hold every record against its
    hash. The connection stops when it has worked more than such a file can take.

    Raises
    ------
    FileError
        It is no survey file of this version, or nothing of it can be read.
    """
    with _opening(path, "ro", is_damaged) as connection:
        for pragma in _TO_READ:
            connection.execute(f"PRAGMA {pragma}")
    return connection


@contextmanager
def _opening(path: Path, mode: Literal["ro", "rw"], is_damaged: bool = False) -> Iterator[sqlite3.Connection]:
    """Connect and check what says what the file is; after an error the connection is closed."""
    size = _check_outside(path)
    with explained(path):
        connection = connect(path, mode)
        try:
            connection.set_progress_handler(_running_out(_LEAST_UNITS + size // 1024), _STEPS)
            if is_damaged:  # else SQLite reads nothing of a file that is shorter than it says
                connection.execute("PRAGMA writable_schema = ON")
            _check_marks(path, connection, with_newer=is_damaged)
            _check_objects(path, connection)
            yield connection
        except BaseException:
            connection.close()
            raise


@contextmanager
def explained(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into ones that say what happened to which file and what to do."""
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", "")
        said = next((said for start, said in _SAID.items() if name.startswith(start)), None)
        raise FileError(f"{path}: {said or error}") from error


_DAMAGED: Final = "the file is damaged; take another copy of it, such as one that was handed out"
_SAID: Final = {
    "SQLITE_READONLY_ROLLBACK": "a save was interrupted; open the survey once for writing, by "
    "adding to it, and what was saved is in order again",
    "SQLITE_READONLY_DBMOVED": "the file was moved or deleted while it was open: nothing of this was saved; "
    "put it back and try again",
    "SQLITE_READONLY": "this file cannot be written here; hand out a copy and write to that",
    "SQLITE_BUSY": "another program is writing to it; wait for that and try again",
    "SQLITE_FULL": "the disk is full: nothing of this was saved; make room and try again",
    "SQLITE_NOTADB": "expected a survey file, got something else",
    "SQLITE_CORRUPT": _DAMAGED,
    "SQLITE_INTERRUPT": _DAMAGED,
    "SQLITE_TOOBIG": _DAMAGED,
    "SQLITE_IOERR": "the disk could not be read or written; nothing of this was saved",
    "SQLITE_CANTOPEN": "the file, or its folder, cannot be opened; look at their permissions",
}


def _running_out(units: int) -> Callable[[], int]:
    """Give a progress handler that stops the work after so many calls."""
    left = iter(range(units))
    return lambda: 0 if next(left, None) is not None else 1


def _check_outside(path: Path) -> int:
    """Check what can be seen without opening; give the size in bytes."""
    if path.is_dir():
        raise FileError(f"{path}: expected a survey file, got a folder")
    if not path.exists():
        raise FileError(f"{path}: there is no such file; make one first, or look at the name")
    if not path.is_file():
        raise FileError(f"{path}: expected a survey file, got a device or a pipe")
    size = path.stat().st_size
    if size == 0:
        raise FileError(f"{path}: expected a survey file, got an empty one; get it again")
    if size > MOST_FILE_BYTES:
        raise FileError(
            f"{path}: expected at most {MOST_FILE_BYTES >> 20} MiB, got {size >> 20} MiB: "
            "this is more than one job"
        )
    journal = path.with_name(f"{path.name}-journal")
    if journal.is_file() and _end_of(journal) == _SUPER_JOURNAL_END:
        raise FileError(f"{journal}: expected a survey's own journal, got a strange one; move it")
    return size


def _end_of(journal: Path) -> bytes:
    length = len(_SUPER_JOURNAL_END)
    with journal.open("rb") as file:
        file.seek(max(0, journal.stat().st_size - length))
        return file.read(length)


def _check_marks(path: Path, connection: sqlite3.Connection, with_newer: bool) -> None:
    """Check that the file says it is a survey, of a version that is known or, if asked, newer."""
    (mark,) = connection.execute("PRAGMA application_id").fetchone()
    if mark % 2**32 != APPLICATION_ID:
        raise FileError(f"{path}: expected a survey file, got another program's database")
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if version > VERSION and not with_newer:
        raise FileError(
            f"{path}: made by a newer version (file version {version}); "
            f"this one reads up to {VERSION}: update"
        )
    if version < 1:
        raise FileError(f"{path}: expected a file version from 1, got {version}: {_DAMAGED}")
    (journal,) = connection.execute("PRAGMA journal_mode").fetchone()
    if journal != b"delete":
        raise FileError(
            f"{path}: expected a rollback journal, got {journal.decode()}: "
            "another program has changed this file; take another copy"
        )


def _check_objects(path: Path, connection: sqlite3.Connection) -> None:
    """Check that the file holds our tables and triggers, word for word, and nothing else."""
    rows = connection.execute(
        "SELECT type, name, tbl_name, sql FROM sqlite_schema LIMIT ?", (len(OBJECTS) + 1,)
    ).fetchall()
    found = {tuple(part and part.decode("utf-8", "replace") for part in row) for row in rows}
    expected = {(*key, sql) for key, sql in OBJECTS.items()}
    strange = sorted(found - expected, key=str) or sorted(expected - found, key=str)
    if strange:
        kind, name, *_ = strange[0]
        what = "is not a survey's own" if strange[0] in found else "is missing"
        raise FileError(
            f"{path}: the {kind} {name!r} {what}: another program has changed this file; take another copy"
        )


def _check_pages(path: Path, connection: sqlite3.Connection) -> None:
    """Check that every page is whole."""
    (verdict,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
    if verdict != b"ok":
        raise FileError(f"{path}: {_DAMAGED} ({verdict.decode('utf-8', 'replace')})")

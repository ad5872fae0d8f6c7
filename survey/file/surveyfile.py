"""`SurveyFile`: the records and photos of one job in one file."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC
from os import PathLike
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from survey.errors import FileError, RecordError
from survey.file.layout import MOST_PHOTO_BYTES, MOST_RECORD_BYTES, VERSION, lay_out
from survey.file.opening import connect, explained, open_checked
from survey.file.publishing import publishing
from survey.records import Record, Survey, kind_of
from survey.records.canonical import canonical, read_record
from survey.records.survey import MOST_RECORDS, find_circle

_ANOTHER_COPY: Final = "take it from another copy of this survey"


class SurveyFile:
    """A survey file, open. Records and photos are added; nothing is ever changed or taken out.

    When `append` or `add_photo` returns, what was given is on the disk; after an error nothing of
    it is.

    Examples
    --------
    >>> from datetime import datetime
    >>> from tempfile import TemporaryDirectory
    >>> from survey.records import Wall
    >>> wall = Wall(id="a1", taken=datetime(2025, 5, 1, tzinfo=UTC), name="back")
    >>> with TemporaryDirectory() as folder:
    ...     with SurveyFile.create(f"{folder}/vanity.survey") as file:
    ...         file.append(wall)
    ...         file.survey().records == (wall,)
    True
    """

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        """Hold a connection that `open` or `create` has checked; use those."""
        self.path = path
        self._connection = connection
        self._survey = Survey([])

    @classmethod
    def create(
        cls,
        path: str | PathLike[str],
        records: Iterable[Record] = (),
        photos: Mapping[str, bytes] | None = None,
    ) -> Self:
        """Make a new file with these records and photos and open it for writing.

        It comes to stand under its name only when it is complete.

        Raises
        ------
        FileError
            If something stands at `path` already, or it cannot be written.
        RecordError
            If the records do not make a survey.
        """
        path = Path(path)
        with publishing(path) as temporary:
            with explained(path):
                connection = connect(temporary, "rwc")
                try:
                    lay_out(connection)
                finally:
                    connection.close()
            with cls.open(temporary, write=True) as file:
                file._append(records, (photos or {}).values())
        return cls.open(path, write=True)

    @classmethod
    def open(cls, path: str | PathLike[str], write: bool = False) -> Self:
        """Open a file that exists, after checking that it is a whole survey file of this version.

        Raises
        ------
        FileError
            If it is missing, damaged, of a newer version, or no survey file.
        """
        path = Path(path)
        return cls(path, open_checked(path, write))

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def __enter__(self) -> Self:
        """Give the open file."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """Let go of the file; what was appended is saved already."""
        self.close()

    def survey(self) -> Survey:
        """Return the survey that the file's records make.

        Only what was added since the last call is read.

        Raises
        ------
        FileError
            If a record is damaged; the message has its id.
        """
        with explained(self.path):
            rows = self._connection.execute(
                "SELECT position, id, kind, taken, content, hash FROM record WHERE position > ?"
                " ORDER BY position LIMIT ?",
                (len(self._survey.records), MOST_RECORDS + 1),
            ).fetchall()
        if rows:
            first = len(self._survey.records) + 1
            added = [self._record(at, *row) for at, row in enumerate(rows, first)]
            try:
                self._survey = self._survey.plus(*added)
            except RecordError as error:
                raise FileError(f"{self.path}: {error}") from error
        return self._survey

    def append(self, *records: Record) -> None:
        """Add records, all of them or, after an error, none.

        A record that the file holds already counts once. What a record `replaces` need not be
        here yet: the other phone may have it.

        Raises
        ------
        RecordError
            If a record breaks the rules of its kind, its id has other content here, or its
            `replaces` would run in a circle.
        FileError
            If the file cannot be written.
        """
        self._append(records, ())

    def add_photo(self, content: bytes) -> str:
        """Add a photo's bytes and return their SHA-256, its name in `photo` records.

        Raises
        ------
        FileError
            If the photo is empty or too large, or the file cannot be written.
        """
        self._append((), (content,))
        return hashlib.sha256(content).hexdigest()

    def photo_names(self) -> tuple[str, ...]:
        """Return the SHA-256 of every photo in the file, sorted."""
        with explained(self.path):
            rows = self._connection.execute("SELECT sha256 FROM photo ORDER BY sha256").fetchall()
        return tuple(name.decode("utf-8", "replace") for (name,) in rows)

    def photo(self, name: str) -> bytes:
        """Return a photo's bytes by their SHA-256.

        Raises
        ------
        FileError
            If the photo is not here or is damaged.
        """
        with explained(self.path):
            row = self._connection.execute("SELECT content FROM photo WHERE sha256 = ?", (name,)).fetchone()
        if row is None:
            raise FileError(f"{self.path}: photo {name} is not in this file; {_ANOTHER_COPY}")
        content = bytes(row[0])
        if hashlib.sha256(content).hexdigest() != name:
            raise FileError(f"{self.path}: photo {name} is damaged; {_ANOTHER_COPY}")
        return content

    def photos(self) -> dict[str, bytes]:
        """Return every photo by its SHA-256; they are all in memory then."""
        return {name: self.photo(name) for name in self.photo_names()}

    def hand_out(self, path: str | PathLike[str]) -> None:
        """Make a complete, checked copy of the file as it is now.

        Raises
        ------
        FileError
            If something stands at `path` already, or the copy does not hold what this file does.
        """
        survey, photo_names = self.survey(), self.photo_names()
        with publishing(Path(path)) as temporary:
            self._vacuum_into(temporary)
            with SurveyFile.open(temporary) as copy:
                copied = copy.survey().by_id
                lost = [one.id for one in survey.records if copied.get(one.id) != one]
                for name in photo_names:
                    copy.photo(name)
            if lost:
                raise FileError(f"{path}: the copy lacks record {lost[0]}; try again")

    def _vacuum_into(self, temporary: Path) -> None:
        """Copy through a connection of its own: one that only reads cannot make files."""
        with explained(self.path):
            connection = sqlite3.connect(":memory:", uri=True, isolation_level=None)
            try:
                source = f"{self.path.absolute().as_uri()}?mode=ro"
                connection.execute("ATTACH ? AS source", (source,))
                connection.execute("VACUUM source INTO ?", (str(temporary),))
            finally:
                connection.close()

    def _append(self, records: Iterable[Record], photos: Iterable[bytes]) -> None:
        rows = [_checked_row(record) for record in records]
        correcting = [record.id for record, _ in rows if record.replaces]
        photos = [_checked_photo(content) for content in photos]
        with self._transaction():
            for _, row in rows:
                self._put(row)
            circle = find_circle(correcting, self._replaces)
            if circle:
                raise RecordError(
                    f"record {circle[0]} would replace itself through {' -> '.join(circle)}: "
                    "expected corrections that end somewhere; leave one of these `replaces` out"
                )
            for content in photos:
                self._put_photo(content)

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        """All or nothing; when it is left without an error, it is on the disk."""
        with explained(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                # What is put down now may be nothing that an older program knows.
                self._connection.execute(f"PRAGMA user_version = {VERSION}")
                yield
                self._connection.execute("COMMIT")
            except BaseException:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise

    def _put(self, row: Row) -> None:
        known = self._connection.execute("SELECT hash FROM record WHERE id = ?", row[:1])
        found = known.fetchone()
        if found is None:
            added = self._connection.execute(
                "INSERT INTO record (id, kind, taken, content, hash) VALUES (?, ?, ?, ?, ?)", row
            )
            if (added.lastrowid or 0) > MOST_RECORDS:
                raise RecordError(
                    f"record {row[0]}: expected at most {MOST_RECORDS} records in a survey; "
                    "this is more than one job"
                )
        elif found[0].decode() != row[-1]:
            raise RecordError(
                f"record {row[0]}: this id is in the survey with other content; expected one "
                "content for an id: give the new record an id of its own"
            )

    def _put_photo(self, content: bytes) -> None:
        name = hashlib.sha256(content).hexdigest()
        known = self._connection.execute("SELECT 1 FROM photo WHERE sha256 = ?", (name,))
        if known.fetchone() is None:
            self._connection.execute("INSERT INTO photo (sha256, content) VALUES (?, ?)", (name, content))

    def _replaces(self, record_id: str) -> Sequence[str]:
        found = self._connection.execute("SELECT content FROM record WHERE id = ?", (record_id,))
        row = found.fetchone()
        return read_record(row[0]).replaces if row else ()

    def _record(self, expected: int, position: int, *row: bytes) -> Record:
        """Read a row; every column must be what this record would be stored as."""
        if not position == expected <= MOST_RECORDS:
            raise FileError(
                f"{self.path}: expected record number {expected} of at most {MOST_RECORDS}, "
                f"got number {position}: the file is damaged; {_ANOTHER_COPY}"
            )
        try:
            record = read_record(row[3])
            if tuple(part.encode() for part in _row(record)) == row:
                return record
            problem = "what is stored is not what was saved"
        except RecordError as error:
            problem = str(error)
        name = row[0].decode("utf-8", "replace")
        raise FileError(f"{self.path}: record {name} is damaged: {problem}; {_ANOTHER_COPY}")


Row = tuple[str, str, str, str, str]


def _row(record: Record) -> Row:
    """Give the columns that a record is stored in: id, kind, taken, content, hash."""
    content = canonical(record)
    taken = record.taken.astimezone(UTC).isoformat().replace("+00:00", "Z")
    return (
        record.id,
        kind_of(record),
        taken,
        content.decode(),
        hashlib.sha256(content).hexdigest(),
    )


def _checked_row(record: Record) -> tuple[Record, Row]:
    """Give a record, held against the rules of its kind, and its columns."""
    row = _row(record)
    content = row[3].encode()
    if len(content) > MOST_RECORD_BYTES:
        raise RecordError(
            f"record {record.id}: expected at most {MOST_RECORD_BYTES >> 20} MiB, "
            f"got {len(content) >> 20} MiB: split it"
        )
    try:
        return read_record(content), row
    except RecordError as error:
        raise RecordError(f"record {record.id}: {error}") from error


def _checked_photo(content: bytes) -> bytes:
    if not 0 < len(content) <= MOST_PHOTO_BYTES:
        raise FileError(
            f"a photo: expected 1 byte to {MOST_PHOTO_BYTES >> 20} MiB, got {len(content)} bytes; "
            "take it again, or smaller"
        )
    return content

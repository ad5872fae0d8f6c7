"""The survey file: what is saved stays, what is foreign is refused, nothing is ever half-written."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import sqlite_utils
from hypothesis import given, settings
from strategies import photos, surveys

from survey.errors import FileError, RecordError
from survey.file import APPLICATION_ID, SurveyFile, opening, surveyfile
from survey.file.layout import VERSION
from survey.records import Note, Photo, Record, Survey, Wall
from survey.records.canonical import survey_hash
from survey.text import read_text, write_text

NOON = datetime(2025, 5, 1, 12, tzinfo=UTC)
PHOTO = b"\xff\xd8 not much of a photo"
NAME = sha256(PHOTO).hexdigest()


def note(record_id: str, *replaces: str, text: str = "tile comes later") -> Note:
    return Note(id=record_id, taken=NOON, text=text, replaces=replaces)


HELD: tuple[Record, ...] = (
    Wall(id="w1", taken=NOON, name="back"),
    note("n1"),
    note("n2", "n1", "elsewhere"),
    Photo(id="p1", taken=NOON, sha256=NAME, media_type="image/jpeg"),
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A survey file of four records and a photo."""
    path = tmp_path / "alcove # 1?.survey"
    SurveyFile.create(path, HELD, {NAME: PHOTO}).close()
    return path


@pytest.fixture
def file(path: Path) -> Iterator[SurveyFile]:
    with SurveyFile.open(path, write=True) as file:
        yield file


def held_in(path: Path) -> tuple[tuple[Record, ...], dict[str, bytes]]:
    with SurveyFile.open(path) as file:
        return file.survey().records, file.photos()


def contents(path: Path) -> list[tuple[object, ...]]:
    """What another reader sees in the tables."""
    with closing(sqlite3.connect(path)) as other:
        rows = other.execute("SELECT * FROM record ORDER BY position").fetchall()
        return rows + other.execute("SELECT * FROM photo ORDER BY sha256").fetchall()


# What is saved


def test_what_was_saved_is_there_when_it_is_opened_again(path: Path) -> None:
    assert held_in(path) == (HELD, {NAME: PHOTO})


@settings(deadline=None, max_examples=50)
@given(surveys(), photos)
def test_file_and_text_give_the_same_survey(survey: Survey, held: dict[str, bytes]) -> None:
    with TemporaryDirectory() as folder:
        with SurveyFile.create(f"{folder}/first.survey", survey.records, held) as first:
            written = write_text(first.survey(), first.photos())
        again, held_again = read_text(written)
        with SurveyFile.create(f"{folder}/second.survey", again.records, held_again) as second:
            assert second.survey().records == survey.records
            assert second.photos() == held
            assert survey_hash(second.survey()) == survey_hash(survey)
            assert write_text(second.survey(), second.photos()) == written


def test_a_survey_grows_with_what_is_appended_here_and_by_others(path: Path, file: SurveyFile) -> None:
    assert file.survey().records == HELD
    file.append(note("n3"))
    with SurveyFile.open(path, write=True) as other:
        other.append(note("n4"))
    assert file.survey().records == (*HELD, note("n3"), note("n4"))


def test_what_is_there_already_counts_once(file: SurveyFile) -> None:
    file.append(note("n1"), note("n3"), note("n3"))
    file.add_photo(PHOTO)
    assert file.survey().records == (*HELD, note("n3"))
    assert file.photo_names() == (NAME,)


# Every verb, done, failing and done again: one table


def append(file: SurveyFile) -> None:
    file.append(note("n3"), note("n4", "n3"))


def append_again(file: SurveyFile) -> None:
    file.append(note("n1"))


def add_photo(file: SurveyFile) -> None:
    file.add_photo(b"another")


VERBS: dict[str, tuple[Callable[[SurveyFile], None], int, int]] = {
    "append": (append, 2, 0),
    "append what is there": (append_again, 0, 0),
    "add_photo": (add_photo, 0, 1),
}


@pytest.mark.parametrize(("verb", "records", "pictures"), VERBS.values(), ids=VERBS)
def test_a_verb_is_on_the_disk_when_it_returns(
    path: Path, file: SurveyFile, verb: Callable[[SurveyFile], None], records: int, pictures: int
) -> None:
    verb(file)
    found, images = held_in(path)
    assert (len(found), len(images)) == (len(HELD) + records, 1 + pictures)
    assert not path.with_name(f"{path.name}-journal").exists()
    verb(file)
    assert held_in(path) == (found, images)


FAILING: dict[str, tuple[Callable[[SurveyFile], object], type[Exception], str]] = {
    "other content under an id": (
        lambda file: file.append(note("n3"), note("n1", text="other")),
        RecordError,
        "record n1: this id is in the survey with other content",
    ),
    "two contents at once": (
        lambda file: file.append(note("n3"), note("n3", text="other")),
        RecordError,
        "record n3: this id is in the survey with other content",
    ),
    "itself": (
        lambda file: file.append(note("n3"), note("n4", "n4")),
        RecordError,
        "record n4 would replace itself through n4 -> n4",
    ),
    "a circle through what is here": (
        lambda file: file.append(note("n3"), note("elsewhere", "n2")),
        RecordError,
        "record elsewhere would replace itself through elsewhere -> n2 -> elsewhere",
    ),
    "breaks its kind's rules": (
        lambda file: file.append(note("n3"), note("n4", text="")),
        RecordError,
        "record n4: text: Expected `str` of length >= 1",
    ),
    "no zone": (
        lambda file: file.append(note("n3"), Note(id="n4", taken=datetime(2025, 5, 1), text="x")),
        RecordError,
        "record 'n4' cannot be written: expected a moment with its zone",
    ),
    "photo of nothing": (lambda file: file.add_photo(b""), FileError, "expected 1 byte to 32 MiB"),
}


@pytest.mark.parametrize(("verb", "error", "said"), FAILING.values(), ids=FAILING)
def test_after_an_error_nothing_of_it_is_there(
    path: Path,
    file: SurveyFile,
    verb: Callable[[SurveyFile], object],
    error: type[Exception],
    said: str,
) -> None:
    with pytest.raises(error, match=said):
        verb(file)
    assert held_in(path) == (HELD, {NAME: PHOTO})
    file.append(note("n5"))
    assert held_in(path)[0] == (*HELD, note("n5"))


def test_more_records_than_a_job_has_are_refused(
    path: Path, file: SurveyFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(surveyfile, "MOST_RECORDS", len(HELD) + 1)
    with pytest.raises(RecordError, match="record n4: expected at most 5 records"):
        file.append(note("n3"), note("n4"))
    assert held_in(path)[0] == HELD


def test_a_file_opened_to_read_is_not_written(path: Path) -> None:
    with SurveyFile.open(path) as file, pytest.raises(FileError, match="cannot be written here"):
        file.append(note("n3"))
    assert held_in(path)[0] == HELD


def test_an_older_file_is_read_and_becomes_a_newer_one_when_it_is_written(
    path: Path, file: SurveyFile
) -> None:
    def version() -> int:
        with closing(sqlite3.connect(path)) as connection:
            return int(connection.execute("PRAGMA user_version").fetchone()[0])

    held = held_in(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 1")
    assert held_in(path) == held
    assert version() == 1
    with SurveyFile.open(path, write=True) as older:
        older.append(note("later"))
    assert version() == VERSION


def test_a_closed_file_says_so(path: Path) -> None:
    with SurveyFile.open(path) as file:
        pass
    with pytest.raises(FileError, match="closed"):
        file.survey()


def test_a_busy_file_says_who_is_waited_for(
    path: Path, file: SurveyFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    file._connection.execute("PRAGMA busy_timeout = 1")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(FileError, match="another program is writing to it; wait"):
            file.append(note("n3"))


# Making and handing out


def test_making_never_writes_over_what_is_there(path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(FileError, match="exists already; choose another name"):
        SurveyFile.create(path)
    assert path.read_bytes() == before


def test_a_file_that_cannot_be_made_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="record n1: this id"):
        SurveyFile.create(tmp_path / "new.survey", [note("n1"), note("n1", text="other")])
    with pytest.raises(FileError, match="there is no such folder; make it first"):
        SurveyFile.create(tmp_path / "nowhere" / "new.survey")
    assert list(tmp_path.iterdir()) == []


def test_a_name_that_is_taken_at_the_last_moment_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "new.survey"

    def records() -> Iterator[Record]:
        path.write_text("somebody else's")
        yield note("n1")

    with pytest.raises(FileError, match="exists already"):
        SurveyFile.create(path, records())
    assert path.read_text() == "somebody else's"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("links", [True, False], ids=["with links", "a disk without links"])
@pytest.mark.parametrize("write", [True, False], ids=["writing", "reading"])
def test_a_handed_out_copy_holds_everything(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool, write: bool
) -> None:
    if not links:
        monkeypatch.setattr(os, "link", lambda *names: (_ for _ in ()).throw(PermissionError("no links")))
    copy = tmp_path / "copy.survey"
    with SurveyFile.open(path, write) as file:
        file.hand_out(copy)
        with pytest.raises(FileError, match="exists already"):
            file.hand_out(copy)
    assert contents(copy) == contents(path)
    assert sorted(tmp_path.iterdir()) == sorted([path, copy])
    with SurveyFile.open(copy, write=True) as file:
        file.append(note("n3"))


# An independent reader: sqlite-utils


def test_another_reader_sees_strict_tables_and_our_marks(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        other = sqlite_utils.Database(connection, execute_plugins=False)
        assert other.table_names() == ["record", "photo"]
        assert [table.strict for table in other.tables] == [True, True]
        assert other.table("record").pks == ["position"]
        rows = list(other.table("record").rows)
        assert [row["id"] for row in rows] == ["w1", "n1", "n2", "p1"]
        assert rows[0]["kind"] == "wall"
        assert rows[0]["taken"] == "2025-05-01T12:00:00Z"
        assert [sha256(row["content"].encode()).hexdigest() for row in rows] == [row["hash"] for row in rows]
        assert other.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    header = path.read_bytes()[:100]
    assert int.from_bytes(header[60:64], "big") == 3
    assert int.from_bytes(header[68:72], "big") == APPLICATION_ID


NEW = {"id": "n1", "kind": "note", "taken": "x", "content": "x", "hash": "x"}
EDITS: dict[str, Callable[[sqlite_utils.Database], object]] = {
    "update": lambda other: other.table("record").update(1, {"content": "x"}),
    "delete": lambda other: other.table("record").delete(1),
    "delete where": lambda other: other.table("record").delete_where(),
    "upsert": lambda other: other.table("record").upsert({"position": 2, **NEW}, pk="position"),
    "replace": lambda other: other.table("record").insert({"position": 2, **NEW}, replace=True),
    "ignore": lambda other: other.table("record").insert(NEW, ignore=True),
    "photo update": lambda other: other.execute("UPDATE photo SET content = x'00'"),
    "photo delete": lambda other: other.execute("DELETE FROM photo"),
    "photo replace": lambda other: other.execute("REPLACE INTO photo VALUES (?, x'00')", (NAME,)),
    "REPLACE by id": lambda other: other.execute(
        "REPLACE INTO record (id, kind, taken, content, hash) VALUES ('n1', 'x', 'x', 'x', 'x')"
    ),
    "REPLACE by position": lambda other: other.execute(
        "REPLACE INTO record VALUES (1, 'x', 'x', 'x', 'x', 'x')"
    ),
}


@pytest.mark.parametrize("recursive", [True, False], ids=["recursive triggers", "SQLite's own default"])
@pytest.mark.parametrize("edit", EDITS.values(), ids=EDITS)
def test_nobody_edits_what_was_saved(
    path: Path, edit: Callable[[sqlite_utils.Database], object], recursive: bool
) -> None:
    before = contents(path)
    with closing(sqlite3.connect(path)) as connection:
        other = sqlite_utils.Database(connection, execute_plugins=False, recursive_triggers=recursive)
        with pytest.raises(sqlite3.IntegrityError, match="never changed or taken out"):
            edit(other)
    assert contents(path) == before


def test_a_wrong_type_is_refused_by_the_table_itself(path: Path) -> None:
    with closing(sqlite3.connect(path)) as other, pytest.raises(sqlite3.IntegrityError, match="cannot store"):
        other.execute("INSERT INTO photo VALUES ('x', 5)")


# What is foreign is hostile until it is checked


def altered(path: Path, *statements: str) -> None:
    """Change a survey file as another program could that knows how, triggers taken away meanwhile."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        triggers = other.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            other.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            other.execute(statement)
        tables = other.execute("SELECT name FROM sqlite_schema WHERE type = 'table'").fetchall()
        for name, sql in triggers:
            is_wanted = not any(name in statement for statement in statements)
            if is_wanted and (name.partition("_")[0],) in tables:
                other.execute(sql)


ENDLESS = """CREATE VIEW {} AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i FROM n)
SELECT i AS position, i AS id, i AS kind, i AS taken, i AS content, i AS hash FROM n"""
ALTERED: dict[str, tuple[tuple[str, ...], str]] = {
    "another program's": (("PRAGMA application_id = 7",), "got another program's database"),
    "newer": (
        ("PRAGMA user_version = 4",),
        r"made by a newer version \(file version 4\); this one reads up to 3: update",
    ),
    "no version": (("PRAGMA user_version = 0",), "expected a file version from 1, got 0"),
    "a view more": ((ENDLESS.format("more"),), "the view 'more' is not a survey's own"),
    "a view for a table": (
        ("DROP TABLE photo", ENDLESS.format("photo")),
        "the view 'photo' is not a survey's own",
    ),
    "a table more": (("CREATE TABLE more (a)",), "the table 'more' is not a survey's own"),
    "a table less": (("DROP TABLE photo",), "the .* is missing"),
    "an index more": (("CREATE INDEX more ON record (kind)",), "the index 'more' is not a survey's own"),
    "a trigger more": (
        ("CREATE TRIGGER more AFTER INSERT ON record BEGIN SELECT 1; END",),
        "the trigger 'more' is not a survey's own",
    ),
    "a trigger less": (("SELECT 'record_DELETE'",), "the trigger 'record_DELETE' is missing"),
    "STRICT taken away": (
        (
            "PRAGMA writable_schema = ON",
            "UPDATE sqlite_schema SET sql = replace(sql, ' STRICT', '') WHERE name = 'record'",
        ),
        "the table 'record' is not a survey's own",
    ),
    "write-ahead log": (("PRAGMA journal_mode = WAL",), "expected a rollback journal, got wal"),
}


@pytest.mark.parametrize("write", [True, False], ids=["writing", "reading"])
@pytest.mark.parametrize(("statements", "said"), ALTERED.values(), ids=ALTERED)
def test_a_foreign_file_is_refused(path: Path, statements: tuple[str, ...], said: str, write: bool) -> None:
    altered(path, *statements)
    with pytest.raises(FileError, match=said):
        SurveyFile.open(path, write)


DAMAGED: dict[str, tuple[str, str]] = {
    "content": (
        """UPDATE record SET content = replace(content, 'later', 'never') WHERE id = 'n1'""",
        "record n1 is damaged: what is stored is not what was saved; take it from another copy",
    ),
    "hash": ("UPDATE record SET hash = '' WHERE id = 'n1'", "record n1 is damaged: what is stored"),
    "kind": ("UPDATE record SET kind = 'wall' WHERE id = 'n1'", "record n1 is damaged: what is stored"),
    "id": ("UPDATE record SET id = 'n9' WHERE id = 'n1'", "record n9 is damaged: what is stored"),
    "half": ("""UPDATE record SET content = '{"kind' WHERE id = 'n1'""", "record n1 is damaged: .*truncated"),
    "unknown kind": (
        """UPDATE record SET content = '{"kind":"moon"}' WHERE id = 'n1'""",
        "record n1 is damaged: kind: Invalid value 'moon'",
    ),
    "no UTF-8": (
        "UPDATE record SET content = CAST(x'ff00' AS TEXT), id = CAST(x'6eff' AS TEXT) WHERE id = 'n1'",
        "record n\ufffd is damaged",
    ),
    "row gone": ("DELETE FROM record WHERE id = 'n1'", "expected record number 2 .*got number 3"),
    "far position": ("UPDATE record SET position = 1 << 62 WHERE id = 'n1'", "expected record number 2 "),
    "a row of nonsense": (
        "INSERT INTO record VALUES (5, 'x', 'x', 'x', 'x', 'x')",
        "record x is damaged",
    ),
}


@pytest.mark.parametrize(("statement", "said"), DAMAGED.values(), ids=DAMAGED)
def test_a_damaged_record_is_named(path: Path, statement: str, said: str) -> None:
    altered(path, statement)
    with SurveyFile.open(path) as file, pytest.raises(FileError, match=said):
        file.survey()


def test_records_that_make_no_survey_are_refused(tmp_path: Path) -> None:
    """Each row is sound; together they run in a circle, which `append` would have refused."""
    path = tmp_path / "circle.survey"
    SurveyFile.create(path).close()
    with closing(sqlite3.connect(path)) as other:
        for record in (note("a", "b"), note("b", "a")):
            row = surveyfile._row(record)
            other.execute("INSERT INTO record (id, kind, taken, content, hash) VALUES (?, ?, ?, ?, ?)", row)
        other.commit()
    with SurveyFile.open(path) as file, pytest.raises(FileError, match="replaces itself through"):
        file.survey()


def test_a_damaged_or_missing_photo_is_named(path: Path) -> None:
    altered(path, "UPDATE photo SET content = x'00'")
    with SurveyFile.open(path) as file:
        with pytest.raises(FileError, match=f"photo {NAME} is damaged; take it from another copy"):
            file.photos()
        with pytest.raises(FileError, match="photo 00 is not in this file"):
            file.photo("00")


def test_what_is_no_file_is_refused(path: Path, tmp_path: Path) -> None:
    (tmp_path / "empty.survey").touch()
    (tmp_path / "prose.survey").write_text("sixty and a quarter " * 100)
    whole = path.read_bytes()
    (tmp_path / "half.survey").write_bytes(whole[: len(whole) // 2])
    os.mkfifo(tmp_path / "pipe.survey")
    for name, said in {
        "missing": "there is no such file",
        "empty": "got an empty one",
        "prose": "expected a survey file, got something else",
        "half": "the file is damaged; take another copy",
        "pipe": "got a device or a pipe",
    }.items():
        with pytest.raises(FileError, match=said):
            SurveyFile.open(tmp_path / f"{name}.survey")
    with pytest.raises(FileError, match="got a folder"):
        SurveyFile.open(tmp_path)


def test_a_file_cut_or_flipped_anywhere_never_passes_as_another_survey(path: Path) -> None:
    whole = path.read_bytes()
    for at in range(0, len(whole), 211):
        for garbled in (whole[:at], whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :]):
            path.write_bytes(garbled)
            try:
                assert held_in(path) == (HELD, {NAME: PHOTO})
            except FileError:
                continue


def test_a_file_larger_than_a_job_is_refused(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "MOST_FILE_BYTES", 1000)
    with pytest.raises(FileError, match="this is more than one job"):
        SurveyFile.open(path)


def test_a_check_that_would_take_for_ever_is_stopped(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The opening check of a file of rows without end is bounded by its size; here by nothing at all."""
    monkeypatch.setattr(opening, "_running_out", lambda units: lambda: 1)
    monkeypatch.setattr(opening, "_STEPS", 1)
    with pytest.raises(FileError, match="the file is damaged"):
        SurveyFile.open(path)


def test_no_other_file_can_be_attached_and_no_blob_is_too_long(path: Path) -> None:
    with closing(opening.connect(path, "rw")) as connection:
        with pytest.raises(sqlite3.OperationalError, match="too many attached"):
            connection.execute("ATTACH ':memory:' AS more")
        with pytest.raises(sqlite3.DataError, match="too big"):
            connection.execute("SELECT zeroblob(100 << 20)")


# Killed at any moment

WRITER = """
import sys
from datetime import UTC, datetime
from survey.file import SurveyFile
from survey.records import Note
with SurveyFile.open(sys.argv[1], write=True) as file:
    for number in range(100_000):
        name = f"{sys.argv[2]}-{number}"
        file.append(*(Note(id=f"{name}-{one}", taken=datetime(2025, 5, 1, tzinfo=UTC), text="x" * 500)
            for one in range(number % 40 + 1)))
        print(name, number % 40 + 1, flush=True)
"""


def killed_after(path: Path, acknowledged: int, run: int) -> list[str]:
    """Run a writer, kill it while it works, and give the ids that it had said are saved."""
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), f"run{run}"], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        lines = [writer.stdout.readline() for _ in range(acknowledged)]
        writer.send_signal(signal.SIGKILL)
        lines += [line for line in writer.stdout if line.endswith("\n")]
    words = [line.split() for line in lines]
    return [f"{name}-{one}" for name, count in words for one in range(int(count))]


def test_killed_at_any_moment_what_was_acknowledged_is_there(path: Path) -> None:
    saved: list[str] = []
    for run in range(5):
        saved += killed_after(path, 3 + 7 * run, run)
        with SurveyFile.open(path, write=True) as file:
            records = file.survey().by_id
        assert records.keys() >= set(saved)
        sizes = [sum(one.startswith(f"run{run}-{n}-") for one in records) for n in range(1000)]
        assert all(size in (0, n % 40 + 1) for n, size in enumerate(sizes)), "an append is all or nothing"
    assert len(saved) > 100


HOT = """
import os, signal, sqlite3, sys
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
connection.execute("PRAGMA cache_size = 1")
connection.execute("BEGIN")
for number in range(3000):
    connection.execute("INSERT INTO record (id, kind, taken, content, hash) VALUES (?, 'x', 'x', ?, 'x')",
        (str(number), "x" * 400))
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def interrupted(path: Path) -> Path:
    """A file whose writer was killed with half a transaction in it: its journal has to undo that."""
    subprocess.run([sys.executable, "-c", HOT, str(path)], check=False)
    assert path.with_name(f"{path.name}-journal").stat().st_size > 512
    return path


def test_an_interrupted_save_is_undone_when_it_is_opened_for_writing(interrupted: Path) -> None:
    with pytest.raises(FileError, match="a save was interrupted; open the survey once for writing"):
        SurveyFile.open(interrupted)
    with SurveyFile.open(interrupted, write=True) as file:
        assert file.survey().records == HELD
    assert held_in(interrupted) == (HELD, {NAME: PHOTO})


def test_a_file_sent_without_its_journal_does_not_pass(interrupted: Path, tmp_path: Path) -> None:
    alone = tmp_path / "alone.survey"
    shutil.copy(interrupted, alone)
    with pytest.raises(FileError, match="damaged"):
        held_in(alone)


def test_a_journal_that_names_another_file_is_not_followed(interrupted: Path) -> None:
    """SQLite would open, and could delete, the file that such a journal names at its end."""
    with interrupted.with_name(f"{interrupted.name}-journal").open("ab") as journal:
        journal.write(bytes.fromhex("d9d505f920a163d7"))
    with pytest.raises(FileError, match="expected a survey's own journal, got a strange one"):
        SurveyFile.open(interrupted, write=True)


# The phone's first frame waits for this


def test_reading_a_survey_needs_nothing_but_the_standard_library_and_msgspec(path: Path) -> None:
    code = (
        "import sys; from survey.file import SurveyFile\n"
        "SurveyFile.open(sys.argv[1]).survey()\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules} - sys.stdlib_module_names))"
    )
    run = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    heavy = {"numpy", "shapely", "ezdxf", "reportlab", "sqlite_utils", "click"}
    assert {"msgspec", "survey"} <= set(run.stdout.split())
    assert not heavy & set(run.stdout.split())

"""The jobs in a folder, without a window: at a glance, new names, copies, samples, what can be salvaged."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from survey.app.salvage import lines, salvage, salvaged_photos
from survey.app.shelf import copied, glance, new_path, put_on, search, shelved
from survey.app.visit import Visit
from survey.dictation import Hand, dictate
from survey.errors import FileError, RecordError
from survey.file import SurveyFile
from survey.records import Note, Survey
from survey.samples import sample_names, sample_survey, told

PHOTO = b"\xff\xd8 not much of a photo"


@pytest.fixture
def vanity(tmp_path: Path) -> Path:
    """A job with two readings, one of them corrected, a piece taken back and a photo."""
    path = put_on(Survey(dictate(["job Vanity in mm to 1 mm", "wall back"], Survey([]))), tmp_path)
    with closing(Visit(path)) as visit:
        for line in (
            "drop floor back along 300 from lb out 250 reads 912",
            "correct last: drop floor back along 300 from lb out 250 reads 921",
            "drop floor back along 600 from lb out 250 reads 913",
            "cabinet vanity on back width 900 height 800 depth 500",
            "withdraw last",
        ):
            visit.put(*dictate([line], visit.survey))
        visit.add_photo(PHOTO)
    return path


def test_a_glance_tells_what_stands(vanity: Path) -> None:
    found = glance(vanity)
    assert (found.title, found.readings, found.pieces, found.problem) == ("Vanity", 2, 0, "")


def test_jobs_are_listed_by_when_they_were_changed(vanity: Path) -> None:
    other = copied(vanity, vanity.parent, "Attic bath", Hand())
    (vanity.parent / "torn.survey").write_bytes(b"not a survey at all" * 99)
    os.utime(vanity, (2e9, 2e9))
    os.utime(other, (1e9, 1e9))
    found = shelved(vanity.parent)
    assert [one.title for one in found] == ["Vanity", "torn", "Attic bath"]
    assert found[1].problem == "expected a survey file, got something else"
    assert [one.title for one in search(found, "bath ATTIC")] == ["Attic bath"]


def test_a_copy_has_a_title_of_its_own_and_everything_else(vanity: Path) -> None:
    before = vanity.read_bytes()
    with SurveyFile.open(copied(vanity, vanity.parent, "Vanity, two", Hand("AB"))) as copy:
        survey = copy.survey()
        assert survey.job is not None
        assert (survey.job.title, survey.job.step, survey.job.person) == ("Vanity, two", "1 mm", "AB")
        assert list(copy.photos().values()) == [PHOTO]
    assert vanity.read_bytes() == before
    assert len(survey.records) == 1 + len(SurveyFile.open(vanity).survey().records)


def test_a_copy_that_cannot_be_named_so_leaves_nothing(vanity: Path) -> None:
    with pytest.raises(RecordError):
        copied(vanity, vanity.parent, "x" * 300, Hand())
    assert list(vanity.parent.iterdir()) == [vanity]


@pytest.mark.parametrize(
    ("title", "name"),
    [("vanity", "vanity-2"), ("../../etc", "etc"), ("Bath / WC: no. 2", "Bath___WC__no__2"), ("…", "piece")],
)
def test_new_names_are_safe_and_free(vanity: Path, title: str, name: str) -> None:
    assert new_path(vanity.parent, title) == vanity.with_name(f"{name}.survey")


@pytest.mark.parametrize("name", sample_names())
def test_every_sample_can_be_tried(name: str, tmp_path: Path) -> None:
    found = glance(put_on(sample_survey(name), tmp_path))
    assert found.readings > 10
    assert told(name).endswith(".")


# What can be read of a damaged file

NOTES = 400


@pytest.fixture
def long(vanity: Path) -> Path:
    """A job on many pages."""
    with closing(Visit(vanity)) as visit:
        visit.put(*(Note(**visit.stamp(), text=f"note {k}: " + "as it was seen " * 20) for k in range(NOTES)))
    return vanity


def cut(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 8192 * 4096)


def scribbled(path: Path) -> None:
    with path.open("r+b") as file:
        file.seek(path.stat().st_size // 8192 * 4096)
        file.write(b"\xaa" * 4096)


@pytest.mark.parametrize("damage", [cut, scribbled])
def test_what_is_whole_is_read_of_a_damaged_file(long: Path, damage: Callable[[Path], None]) -> None:
    whole = SurveyFile.open(long).survey()
    damage(long)
    with pytest.raises(FileError):
        SurveyFile.open(long)
    before = long.read_bytes()
    found = salvage(long)
    assert len(whole.records) // 4 < len(found.survey.records) < len(whole.records)
    assert all(whole.by_id[one.id] == one for one in found.survey.records)
    assert lines(found.survey)[:2] == ('job "Vanity" in mm to 1 mm', "wall back")
    assert long.read_bytes() == before
    assert put_on(found.survey, long.parent, salvaged_photos(long)).name == "Vanity-2.survey"


def test_a_record_that_is_not_what_was_saved_is_left_out(vanity: Path) -> None:
    count = len(SurveyFile.open(vanity).survey().records)
    with closing(sqlite3.connect(vanity)) as connection:
        sql = connection.execute("SELECT sql FROM sqlite_schema WHERE name = 'record_UPDATE'").fetchone()[0]
        connection.execute("DROP TRIGGER record_UPDATE")
        connection.execute("UPDATE record SET content = replace(content, '\"913\"', '\"319\"')")
        connection.execute(sql)
        connection.commit()
    found = salvage(vanity)
    assert (len(found.survey.records), found.lost) == (count - 1, 1)
    assert list(salvaged_photos(vanity).values()) == [PHOTO]


def test_what_is_known_is_read_of_a_newer_file(vanity: Path) -> None:
    with closing(sqlite3.connect(vanity)) as connection:
        connection.execute("PRAGMA user_version = 4")
    assert "newer version" in glance(vanity).problem
    found = salvage(vanity)
    assert (found.is_newer, found.lost) == (True, 0)


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 something else" * 300])
def test_nothing_is_read_of_what_is_no_survey_file(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "other.survey"
    path.write_bytes(content)
    with pytest.raises(FileError):
        salvage(path)

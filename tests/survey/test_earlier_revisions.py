"""An earlier revision is found: in the survey itself, in files, in what was handed over."""

from __future__ import annotations

import os
import zipfile
from datetime import UTC, datetime

import pytest

from survey.changes import ComparisonError, earlier, revision_at
from survey.errors import FileError, SurveyError, TextError
from survey.file import SurveyFile
from survey.records import Job, Survey, Wall
from survey.records.canonical import survey_hash
from survey.text import write_text

DAY = datetime(2025, 5, 1, tzinfo=UTC)


def records(count, start=0):
    job = Job(id="j1", taken=DAY, title="Bath", unit="mm", step="1 mm")
    return [job, *(Wall(id=f"w{at}", taken=DAY, name=f"wall-{at}") for at in range(start, start + count - 1))]


@pytest.fixture
def survey():
    return Survey(records(12))


@pytest.mark.parametrize("said", ["5", "0005", "r5", "r0005", " 5 ", "R0005"])
def test_a_number_is_so_many_records(survey, said):
    assert revision_at(survey, said).records == survey.records[:5]


def test_the_start_of_a_hash_is_enough(survey):
    for count in (1, 7, 12):
        made = survey_hash(Survey(survey.records[:count]))
        for said in (made, made[:8], made[:8].upper()):
            if not said.isdigit():
                assert len(revision_at(survey, said).records) == count


def test_a_hash_of_digits_alone_is_a_hash_where_no_revision_has_that_number(survey):
    """Records are looked for whose hash begins with digits; one in (10/16)^5 = 1 of 10 does."""
    for count in range(1, 200):
        many = Survey(records(count))
        start = survey_hash(many)[:5]
        if start.isdigit() and not start.startswith("0") and int(start) > 200:
            assert revision_at(Survey(records(200)), start) == many
            return
    pytest.fail("no such hash among 200")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("0", "expected one from 1 to 12"),
        ("13", "expected one from 1 to 12"),
        ("abc", "at least 4 characters of its hash"),
        ("xyz1", "at least 4 characters"),
        ("", "at least 4 characters"),
        ("-3", "expected a revision's number"),
        (
            "ffffffff",
            "no revision of this survey has a number or hash that begins so; it has revisions 1 to 12",
        ),
    ],
)
def test_what_is_no_revision_is_refused(survey, said, why):
    with pytest.raises(ComparisonError, match=why):
        revision_at(survey, said)


def test_a_start_that_several_have_is_refused():
    """Of 600 hashes some share their first four digits, or the test says so."""
    many = Survey(records(600))
    starts = {}
    for count in range(1, 601):
        starts.setdefault(survey_hash(Survey(many.records[:count]))[:4], []).append(count)
    start, counts = next(
        (start, counts) for start, counts in starts.items() if len(counts) > 1 and not start.isdigit()
    )
    with pytest.raises(ComparisonError, match=rf"{len(counts)} revisions begin so \({counts[0]}, "):
        revision_at(many, start)


def test_the_other_half_of_a_merged_survey_is_not_among_its_revisions(survey):
    """Two devices went on from 12 records; the other's are put behind this one's."""
    other = Survey([*survey.records, *records(4, 50)[1:]])
    merged = Survey([*survey.records, *records(3, 90)[1:], *other.records[12:]])
    with pytest.raises(ComparisonError, match="merged with another device's"):
        revision_at(merged, survey_hash(other)[:10])
    assert len(revision_at(merged, survey_hash(survey)[:10]).records) == 12


# Files


@pytest.fixture
def handed(survey, tmp_path):
    """What was handed over of its first nine records, in every form."""
    before = Survey(survey.records[:9])
    SurveyFile.create(tmp_path / "old.survey", before.records).close()
    (tmp_path / "old.json").write_bytes(write_text(before))
    for folder, name in (("sorted", "survey_r0009.json"), ("plain", "survey.json")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / name).write_bytes(write_text(before))
        (tmp_path / folder / "fit-report_r0009.json").write_bytes(b"{}")
    (tmp_path / "app").mkdir()
    SurveyFile.create(tmp_path / "app" / "bath.survey", before.records).close()
    with zipfile.ZipFile(tmp_path / "cut.zip", "w") as packed:
        packed.writestr("cut/survey_r0009.json", write_text(before))
        packed.writestr("cut/manifest.json", b"{}")
    return tmp_path


@pytest.mark.parametrize("name", ["old.survey", "old.json", "sorted", "plain", "app", "cut.zip"])
def test_every_form_of_what_was_handed_over_is_read(survey, handed, name):
    assert earlier(survey, str(handed / name)).records == survey.records[:9]


def test_a_number_is_a_revision_though_a_folder_has_that_name(survey, handed, monkeypatch):
    monkeypatch.chdir(handed)
    os.rename("sorted", "5")
    assert len(earlier(survey, "5").records) == 5
    assert len(earlier(survey, "./5").records) == 9
    os.rename("5", "77")
    assert len(earlier(survey, "77").records) == 9  # there is no revision 77


def test_what_holds_no_survey_or_two_is_refused(survey, handed):
    (handed / "sorted" / "survey_r0010.json").write_bytes(b"{}")
    with pytest.raises(ComparisonError, match="got 2"):
        earlier(survey, str(handed / "sorted"))
    (handed / "empty").mkdir()
    with pytest.raises(ComparisonError, match="got none"):
        earlier(survey, str(handed / "empty"))
    with zipfile.ZipFile(handed / "other.zip", "w") as packed:
        packed.writestr("a.txt", b"")
    with pytest.raises(ComparisonError, match="got none"):
        earlier(survey, str(handed / "other.zip"))
    with pytest.raises(ComparisonError, match="no such file or folder"):
        earlier(survey, "nothing-here")


def test_what_is_damaged_is_refused_in_words(survey, handed):
    whole = (handed / "cut.zip").read_bytes()
    at = whole.index(b'"records"')
    (handed / "torn.zip").write_bytes(whole[:at] + b"X" + whole[at + 1 :])
    with pytest.raises(FileError, match=r"torn\.zip: cannot be read: Bad CRC"):
        earlier(survey, str(handed / "torn.zip"))
    (handed / "half.json").write_bytes((handed / "old.json").read_bytes()[:300])
    with pytest.raises(TextError):
        earlier(survey, str(handed / "half.json"))
    (handed / "none.survey").write_bytes(b"no survey")
    with pytest.raises(SurveyError):
        earlier(survey, str(handed / "none.survey"))


def test_a_zip_that_would_fill_the_memory_is_not_unpacked(survey, handed, monkeypatch):
    monkeypatch.setattr("survey.changes.revisions.MOST_BYTES", 500)
    for name in ("cut.zip", "old.json"):
        with pytest.raises(ComparisonError, match="expected at most"):
            earlier(survey, str(handed / name))

"""Jobs by touches and keys: the list, a new job, samples, copies, and files that cannot be opened."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.app.plain import Field
from survey.app.shelf import put_on
from survey.file import SurveyFile
from survey.records import Survey
from survey.samples import sample_survey


def listed(pilot: Pilot) -> None:
    """Wait for the list of jobs."""
    pilot.until(lambda: "rows" in pilot.app.shell.page.ids and pilot.app.shell.page.ids.rows.children)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    (tmp_path / "jobs").mkdir()
    return tmp_path


def held(folder: Path) -> dict[str, Survey]:
    return {one.name: SurveyFile.open(one).survey() for one in folder.glob("*.survey")}


def test_a_sample_can_be_tried_where_there_is_no_job_yet(home: Path) -> None:
    with Pilot(ScribefitApp(home=home)) as pilot:
        listed(pilot)
        assert pilot.has("No jobs yet")
        pilot.tap("Corner vanity")
        pilot.until(lambda: pilot.app.visit is not None)
        assert pilot.app.desk.kept.trail[-1].page == "measure"
        pilot.back()
        listed(pilot)
        assert pilot.has("32 readings, 3 pieces")


def test_a_new_job_goes_straight_to_its_place(home: Path) -> None:
    with Pilot(ScribefitApp(home=home)) as pilot:
        listed(pilot)
        pilot.tap("New job")
        pilot.tap("Begin")
        assert pilot.has("Give it a title first")
        pilot.type("Upstairs bath")
        pilot.tap("Millimetres")
        pilot.tap("0.5 mm")
        pilot.tap("Height of the marked level line")
        pilot.type("1000\n")
        pilot.tap("Begin")
        assert pilot.app.desk.kept.trail[-1].page == "place"
    (job,) = (one.job for one in held(home / "jobs").values())
    assert job is not None
    assert job.level_line is not None
    assert (job.title, job.unit, job.step, job.level_line.mm) == ("Upstairs bath", "mm", "0.5 mm", 1000)


def test_a_title_that_was_half_typed_is_there_again(home: Path) -> None:
    with Pilot(ScribefitApp(home=home)) as pilot:
        listed(pilot)
        pilot.tap("New job")
        pilot.tap("Millimetres")
        pilot.tap(pilot.all(Field)[0])
        pilot.type("Upst")
    with Pilot(ScribefitApp(home=home)) as pilot:
        pilot.until(lambda: pilot.app.shell.title == "New job")
        assert pilot.all(Field)[0].text == "Upst"
        assert pilot.find("Millimetres").is_chosen


def test_a_copy_is_made_under_its_own_title(home: Path) -> None:
    put_on(sample_survey("corner-vanity"), home / "jobs")
    with Pilot(ScribefitApp(home=home)) as pilot:
        listed(pilot)
        pilot.tap("Copy")
        field = pilot.all(Field)[-1]
        assert field.text == "Corner vanity, copy"
        field.text = "Mirror image"
        pilot.tap("Keep")
        pilot.until(lambda: pilot.has("Copied: Mirror image"))
        pilot.until(lambda: len(pilot.app.shell.page.ids.rows.children) == 2)
    assert {one.job.title for one in held(home / "jobs").values() if one.job} == {
        "Corner vanity", "Mirror image",
    }  # fmt: skip


def test_many_jobs_are_searched_by_title(home: Path) -> None:
    for name in ("corner-vanity", "tiled-alcove") * 4:
        put_on(sample_survey(name), home / "jobs")
    with Pilot(ScribefitApp(home=home)) as pilot:
        listed(pilot)
        pilot.tap(pilot.all(Field)[0])
        pilot.type("tiled")
        pilot.until(lambda: len(pilot.app.shell.page.ids.rows.children) == 4)
        assert not pilot.has("Corner vanity")
        pilot.type("x")
        assert pilot.has("No title has these words")


def cut(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 4096 * 3 // 4 * 4096)


def foreign(path: Path) -> None:
    path.write_bytes(b"something else" * 999)


def scribbled(path: Path) -> None:
    with path.open("r+b") as file:
        file.seek(path.stat().st_size - 4096)
        file.write(bytes(4096))


@pytest.mark.parametrize(
    ("damage", "why", "found"),
    [
        (scribbled, "is damaged", "are as they were saved"),
        (cut, "is damaged", "are as they were saved"),
        (foreign, "Expected a survey file", "Nothing of it can be read"),
        (Path.unlink, "There is no such file", ""),
    ],
)
def test_a_file_that_cannot_be_opened_says_why_and_is_left_alone(
    home: Path, damage: object, why: str, found: str
) -> None:
    path = put_on(sample_survey("corner-vanity"), home / "jobs")
    assert callable(damage)
    damage(path)
    before = path.read_bytes() if path.exists() else None
    with Pilot(ScribefitApp(home=home, file=path)) as pilot:
        pilot.until(lambda: pilot.app.shell.title == "This file cannot be opened")
        pilot.until(lambda: pilot.has(why) and not pilot.has("Looking"))
        assert pilot.has(found)
        assert not pilot.has("***")
    assert (path.read_bytes() if path.exists() else None) == before


def test_what_can_be_read_of_a_damaged_file_is_kept_as_a_new_job(home: Path) -> None:
    path = put_on(sample_survey("corner-vanity"), home / "jobs")
    whole = SurveyFile.open(path).survey()
    cut(path)
    with Pilot(ScribefitApp(home=home, file=path)) as pilot:
        pilot.until(lambda: pilot.has("are as they were saved"))
        pilot.until(lambda: pilot.has("wall left"))
        pilot.tap("Keep what can be read")
        pilot.until(lambda: pilot.app.visit is not None)
        kept = pilot.app.visit.survey
        assert pilot.app.visit.path != path
    assert 10 < len(kept.records) < len(whole.records)
    assert all(whole.by_id[one.id] == one for one in kept.records)

"""Settings by touches: of the job, as corrected records; of the device, at once and after a new start."""

from __future__ import annotations

from pathlib import Path

import pytest
from pilot import Pilot

from survey.app.look import look
from survey.app.main import ScribefitApp
from survey.app.plain import Field
from survey.app.visit import Visit
from survey.records import Job


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "home" / "jobs" / "vanity.survey"
    path.parent.mkdir(parents=True)
    Visit.begin(path, "Corner vanity", "in", "1/16").close()
    return path


def settings_of(job: Path) -> Pilot:
    return Pilot(ScribefitApp(home=job.parents[1], file=job))


def opened(pilot: Pilot) -> None:
    pilot.until(lambda: pilot.app.visit is not None)
    pilot.app.go("settings")
    pilot.settle()


@pytest.mark.parametrize(
    ("row", "answer", "field", "value"),
    [
        ("Smallest fraction", "1⁄32″", "step", "1/32"),
        ("So sure before cutting", "9 of 10 go in", "confidence", 0.9),
        ("A bare number means", "Millimetres", "unit", "mm"),
    ],
)
def test_a_job_is_corrected_and_the_correction_undone(
    job: Path, row: str, answer: str, field: str, value: object
) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        before = pilot.app.visit.survey.job
        pilot.tap(row)
        pilot.tap(answer)
        after = pilot.app.visit.survey.job
        assert getattr(after, field) == value
        assert after.replaces == (before.id,)
        assert pilot.has(answer)
        pilot.tap("Undo")
        assert pilot.app.visit.survey.job == before


def test_a_unit_brings_a_fraction_of_its_own(job: Path) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        pilot.tap("A bare number means")
        pilot.tap("Millimetres")
        assert pilot.app.visit.survey.job.step == "1 mm"


def test_the_level_line_and_its_absence(job: Path) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        pilot.tap("Height of the marked level line")
        pilot.type("36\n")
        assert pilot.app.visit.survey.job.level_line.mm * 10 == 9144
        pilot.tap("Height of the marked level line")
        pilot.type("\b\b\n")
        assert pilot.app.visit.survey.job.level_line is None


def test_choosing_the_same_again_puts_nothing_down(job: Path) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        pilot.tap("A bare number means")
        pilot.tap("Inches")
        assert len(pilot.app.visit.survey.of(Job)) == len(pilot.app.visit.survey.records) == 1


def test_a_title_that_cannot_be_is_refused_in_words(job: Path) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        pilot.tap("Title")
        pilot.all(Field)[-1].text = "x" * 300
        pilot.tap("Keep")
        assert pilot.app.visit.survey.job.title == "Corner vanity"
        assert "200" in pilot.app.shell.message


def test_the_device_follows_at_once_and_remembers(job: Path) -> None:
    with settings_of(job) as pilot:
        opened(pilot)
        day, body = tuple(look.paper), look.body
        for row, answer in (
            ("Light", "Night"), ("Letters", "2 times"), ("The thumb that types", "Left"),
            ("A bare number from the laser means", "Metres"),
        ):  # fmt: skip
            pilot.tap(row)
            pilot.tap(answer)
        assert tuple(look.paper) != day
        assert look.body == 2 * body
        assert look.is_left_handed
        pilot.tap("Your initials")
        pilot.all(Field)[-1].text = "AB"
        pilot.tap("Keep")
        assert pilot.app.visit.stamp()["person"] == "AB"
    with settings_of(job) as pilot:
        opened(pilot)
        settings = pilot.app.desk.settings
        assert (settings.theme, settings.text_size, settings.hand) == ("night", 2.0, "left")
        assert (settings.laser_unit, settings.initials) == ("m", "AB")
        assert pilot.has("Metres")

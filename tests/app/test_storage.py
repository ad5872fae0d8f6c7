"""The disk is full, read-only or gone: it is said in place, nothing typed is lost, and the app goes on."""

from __future__ import annotations

import os
import resource
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from tempfile import mkdtemp

import pytest
from filled import write_half_read
from pilot import Pilot

from survey.app.desk import Desk
from survey.app.main import ScribefitApp
from survey.file import SurveyFile

NOBODY = 65534


@pytest.fixture
def home() -> Iterator[Path]:
    """A home that another user may read: as root, nothing else is read-only."""
    folder = Path(mkdtemp(prefix="scribefit-"))
    folder.chmod(0o777)
    (folder / "jobs").mkdir()
    write_half_read(folder / "jobs" / "half.survey", most=9)
    for path in (folder / "jobs", *folder.glob("jobs/*")):
        path.chmod(0o777)
    yield folder
    for path in (folder, folder / "jobs"):
        path.chmod(0o777)
    shutil.rmtree(folder)


@contextmanager
def full(job: Path) -> Iterator[None]:
    """Let nothing be written, as on a disk without room."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@contextmanager
def read_only(job: Path) -> Iterator[None]:
    """Let nothing be written where the job is."""
    for path in (job, job.parent):
        path.chmod(0o555)
    with as_nobody():
        yield
    for path in (job, job.parent):
        path.chmod(0o777)


@contextmanager
def gone(job: Path) -> Iterator[None]:
    """Move the job away for a while."""
    elsewhere = job.with_suffix(".elsewhere")
    job.rename(elsewhere)
    yield
    assert not job.exists(), "another file was made in place of the one that is gone"
    elsewhere.rename(job)


@contextmanager
def as_nobody() -> Iterator[None]:
    """Be somebody whom permissions bind."""
    me = os.geteuid()
    if me == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(me)


def records(job: Path) -> int:
    with SurveyFile.open(job) as file:
        return len(file.survey().records)


@pytest.mark.parametrize(
    ("trouble", "words"),
    [(full, "could not be"), (read_only, "cannot be written"), (gone, "moved or deleted")],
    ids=["full", "read-only", "gone"],
)
def test_a_reading_that_cannot_be_saved_stays_typed(
    trouble: Callable[[Path], AbstractContextManager[None]], words: str, home: Path
) -> None:
    job = home / "jobs" / "half.survey"
    before = records(job)
    with Pilot(ScribefitApp(home=home, file=job)) as pilot:
        app = pilot.app
        app.go("entry", line="lean of wall back near one end of vanity")
        pilot.settle()
        pilot.tap("3")
        with trouble(job):
            pilot.tap("Save")
            pilot.settle()
            said, typed = pilot.text(), app.shell.page.taking.text
        assert words in said
        assert str(job) not in said  # there is no other file it could be
        assert typed == "3"
        assert app.desk.kept.trail[-1].page == "entry"
        assert records(job) == before
        pilot.tap("Save")
        assert records(job) == before + 1
        assert app.shell.page.taking.text == ""
    assert records(job) == before + 1


@pytest.mark.parametrize("is_locked", [True, False])
def test_a_desk_that_cannot_be_written_holds_up_nobody(is_locked: bool, home: Path) -> None:
    job = home / "jobs" / "half.survey"
    before = records(job)
    Desk(home).keep()
    (home / "desk.new").write_bytes(b"left by a kill")
    home.chmod(0o555 if is_locked else 0o777)
    with as_nobody(), Pilot(ScribefitApp(home=home, file=job)) as pilot:
        pilot.app.go("entry", line="lean of wall back near one end of vanity")
        pilot.settle()
        pilot.tap("3")
        pilot.tap("Save")
    assert records(job) == before + 1


def test_a_desk_whose_file_is_damaged_and_cannot_be_set_aside_begins_anew(home: Path) -> None:
    (home / "desk.json").write_bytes(b"{")
    home.chmod(0o555)
    with as_nobody(), Pilot(ScribefitApp(home=home)) as pilot:
        assert pilot.app.desk.kept.trail[-1].page == "jobs"
        assert "Traceback" not in pilot.text()


def test_a_job_that_is_gone_at_the_next_start_is_told_and_the_others_are_there(home: Path) -> None:
    job = home / "jobs" / "half.survey"
    with Pilot(ScribefitApp(home=home, file=job)):
        pass
    job.rename(home / "elsewhere.survey")
    with Pilot(ScribefitApp(home=home)) as pilot:
        assert pilot.app.desk.kept.trail[-1].page == "unreadable"
        pilot.until(lambda: "no such file" in pilot.text())
        pilot.back()
        assert pilot.app.desk.kept.trail[-1].page == "jobs"

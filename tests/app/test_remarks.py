"""Notes and photos of a thing: kept in the survey file, listed small, shown large, taken back."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from faults import faults
from kivy.metrics import dp
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.app.pages.remarks import SMALL, RemarkRow
from survey.app.plain import Field
from survey.app.widgets.file_choice import contents
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Note, Photo, Position, Survey

LINES = (
    "job V in in to 1/16", "room bath back back old", "wall back", "wall left", "corner left and back",
    "drain drain on back", "position drain along 22 from left-back up 18", 'note "leans" about left',
)  # fmt: skip


@pytest.fixture
def app(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ScribefitApp:
    monkeypatch.setenv("HOME", str(tmp_path / "person"))
    (tmp_path / "person" / "pictures").mkdir(parents=True)
    path = tmp_path / "home" / "jobs" / "v.survey"
    path.parent.mkdir(parents=True)
    SurveyFile.create(path, dictate(LINES, Survey([]))).close()
    return ScribefitApp(home=tmp_path / "home", file=path)


def picture(size: tuple[int, int] = (640, 480)) -> bytes:
    from PIL import Image

    kept = BytesIO()
    Image.new("RGB", size, (180, 60, 60)).save(kept, "png")
    return kept.getvalue()


def go(pilot: Pilot, page: str, **given: str) -> None:
    pilot.app.go(page, **given)
    pilot.settle()


def write(pilot: Pilot, words: str) -> None:
    pilot.all(Field)[0].text = words
    pilot.tap("Keep")
    pilot.settle()


def test_a_note_is_kept_about_what_the_page_is_about(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        go(pilot, "remarks", about="drain")
        assert pilot.has("Nothing yet")
        pilot.tap("Add a note")
        write(pilot, "Leaks at the joint.")
        assert [(one.about, one.text) for one in app.visit.survey.of(Note)][-1] == (
            "drain",
            "Leaks at the joint.",
        )
        assert pilot.has("Leaks at the joint.")
        assert not pilot.has("leans")
        pilot.tap("Leaks")
        pilot.tap("Change it")
        write(pilot, "Leaks no more.")
        assert pilot.has("Leaks no more.")
        assert len(app.visit.survey.of(Note)) == 2
        pilot.tap("Leaks")
        pilot.tap("Take it back")
        assert len(app.visit.survey.of(Note)) == 1
        pilot.tap("Undo")
        assert pilot.has("Leaks no more.")


def test_without_a_thing_all_of_the_job_is_listed(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        go(pilot, "remarks")
        assert pilot.has("leans")
        assert pilot.has("left ·")
        pilot.tap("Add a note")
        write(pilot, "Ask for the key.")
        assert app.visit.survey.of(Note)[-1].about is None


def test_a_reading_can_be_remarked_on(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        (place,) = app.visit.survey.of(Position)
        go(pilot, "remarks", about=place.id)
        assert pilot.has("About along from left-back")
        pilot.tap("Add a note")
        write(pilot, "The tape sagged.")
        assert app.visit.survey.of(Note)[-1].about == place.id


def test_a_photo_is_chosen_kept_shown_small_and_large_and_taken_back(
    app: ScribefitApp, tmp_path: Path
) -> None:
    content = picture()
    (tmp_path / "person" / "pictures" / "wall.png").write_bytes(content)
    (tmp_path / "person" / "pictures" / "letter.txt").write_text("no photo")
    with Pilot(app) as pilot:
        go(pilot, "remarks", about="back")
        pilot.tap("Add a photo")
        assert pilot.has("No files that end in")
        pilot.tap("pictures")
        assert not pilot.has("letter.txt")
        pilot.tap("wall.png")
        (photo,) = app.visit.survey.of(Photo)
        assert (photo.about, photo.media_type) == ("back", "image/png")
        assert app.visit.photo(photo.sha256) == content
        (row,) = pilot.all(RemarkRow)
        pilot.until(lambda: row.texture is not None)
        assert max(row.texture.size) <= 2 * dp(SMALL)
        pilot.tap(row)
        assert app.shell.page.large.size == (640, 480)
        pilot.tap("What it shows")
        write(pilot, "Behind the vanity")
        assert pilot.has("Behind the vanity")
        pilot.tap("Take it back")
        assert not app.visit.survey.of(Photo)
        assert pilot.has("Nothing yet")
        pilot.tap("Undo")
        assert len(pilot.all(RemarkRow)) == 1


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("a.txt", b"x", "Expected a photo"),
        ("a.jpg", None, "cannot be read"),
        ("a.jpg", b"", "expected 1 byte"),
    ],
)
def test_what_is_no_photo_is_refused_and_nothing_changes(
    app: ScribefitApp, tmp_path: Path, name: str, content: bytes | None, told: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with Pilot(app) as pilot:
        go(pilot, "remarks", about="back")
        app.shell.page.keep_photo(tmp_path / name)
        assert told in app.shell.message
        assert not pilot.app.visit.survey.of(Photo)


def test_a_photo_that_this_device_cannot_read_is_kept_and_said(app: ScribefitApp, tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"not a picture at all")
    with Pilot(app) as pilot:
        go(pilot, "remarks", about="back")
        app.shell.page.keep_photo(tmp_path / "a.jpg")
        pilot.until(lambda: pilot.has("cannot be shown on this device; it is kept"))


def test_a_folder_lists_folders_and_the_files_asked_for(tmp_path: Path) -> None:
    for name in ("b.JPG", "a.png", "c.txt", ".hidden.png"):
        (tmp_path / name).touch()
    (tmp_path / "in").mkdir()
    folders, files = contents(tmp_path, (".jpg", ".png"))
    assert ([one.name for one in folders], [one.name for one in files]) == (["in"], ["a.png", "b.JPG"])


@pytest.mark.parametrize(("size", "fontscale"), [((320, 568), 1.3), ((640, 360), 1), ((800, 1280), 2)])
def test_it_holds_on_every_screen(app: ScribefitApp, tmp_path: Path, size: Any, fontscale: float) -> None:
    (tmp_path / "a.png").write_bytes(picture())
    with Pilot(app, size, 1, fontscale) as pilot:
        go(pilot, "remarks", about="left")
        app.shell.page.keep_photo(tmp_path / "a.png")
        pilot.rest()
        assert faults(app.shell.page) == []
        pilot.tap(next(one for one in pilot.all(RemarkRow) if one.is_photo))
        pilot.settle()
        assert faults(app.shell.page) == []

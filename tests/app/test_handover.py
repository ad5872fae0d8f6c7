"""Handing over by touches: what stands in the way, files whole or not at all, and what each shows."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pilot import Pilot

from survey.app.desk import Desk
from survey.app.giving import give, handed_over, next_folder
from survey.app.handed import files_of, is_of, preview
from survey.app.main import ScribefitApp
from survey.app.shelf import put_on
from survey.dictation import dictate
from survey.errors import FileError, SurveyError
from survey.file import SurveyFile
from survey.findings import fit
from survey.handover import contents
from survey.handover.verifying import verify_words
from survey.handover.wanted import Wanted
from survey.records import Survey
from survey.report.structs import FitReport
from survey.samples import sample_survey

MARK = f"r{len(sample_survey('corner-vanity').records):04d}"
NAMES = {
    f"Corner_vanity_{MARK}.survey", f"cut-list_{MARK}.csv", f"fit-report_{MARK}.json", f"job-book_{MARK}.pdf",
    f"strip_{MARK}_in.dxf", f"survey_{MARK}.json", f"vanity-top_{MARK}_in.dxf", "manifest.json",
    f"saw-list_{MARK}.csv",
}  # fmt: skip
BOOK, CUTS, TOP = f"job-book_{MARK}.pdf", f"cut-list_{MARK}.csv", f"vanity-top_{MARK}_in.dxf"


@pytest.fixture(scope="module")
def vanity() -> tuple[Survey, FitReport]:
    survey = sample_survey("corner-vanity")
    return survey, fit(survey)


@pytest.fixture
def job(vanity: tuple[Survey, FitReport], tmp_path: Path) -> Path:
    (tmp_path / "home" / "jobs").mkdir(parents=True)
    return put_on(vanity[0], tmp_path / "home" / "jobs")


def test_the_folder_holds_the_papers_and_the_survey_they_are_of(
    job: Path, vanity: tuple[Survey, FitReport], tmp_path: Path
) -> None:
    folder = tmp_path / "new" / "folder"
    survey, report = vanity
    files = give(job, report, folder)
    assert {one.name for one in files} == {one.name for one in folder.iterdir()} == NAMES
    assert SurveyFile.open(folder / f"Corner_vanity_{MARK}.survey").survey() == survey
    assert is_of(folder, report.survey_hash)
    assert not is_of(folder, "0" * 64)
    assert files_of(folder)[0].file.name == BOOK
    assert preview(folder / BOOK).pages[0].title == "Job book, page 1"
    (top,) = preview(folder / TOP).pages
    assert "vanity-top" in {getattr(mark, "text", "") for mark in top.marks}
    with (folder / CUTS).open(encoding="utf-8-sig", newline="") as text:
        widths = [row["finished_sizes"].partition(";")[0] for row in csv.DictReader(text)]
    assert [f"width {row.sizes[0][1]}" for row in preview(folder / CUTS).rows] == widths
    assert preview(folder / f"survey_{MARK}.json").pages == ()


def test_nothing_is_left_of_a_folder_that_cannot_be_finished(
    job: Path, vanity: tuple[Survey, FitReport], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> bytes:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(contents, "job_book", full)
    with pytest.raises(FileError, match="No space left") as caught:
        give(job, vanity[1], tmp_path / "out" / "bath")
    assert ".part" not in str(caught.value)
    assert list((tmp_path / "out").iterdir()) == []


def test_a_report_of_another_survey_and_a_folder_that_is_there_are_refused(
    job: Path, vanity: tuple[Survey, FitReport], tmp_path: Path
) -> None:
    with pytest.raises(SurveyError, match="changed since"):
        give(job, fit(Survey([])), tmp_path / "out")
    assert not (tmp_path / "out").exists()
    (tmp_path / "out").mkdir()
    with pytest.raises(FileError, match="there already"):
        give(job, vanity[1], tmp_path / "out")


def test_each_folder_is_a_further_revision(tmp_path: Path) -> None:
    day = date(2025, 5, 1)
    first = next_folder(tmp_path, "Bath / one", "r0042", day)
    assert first.name == "Bath___one_r0042_2025-05-01"
    first.mkdir()
    assert next_folder(tmp_path, "Bath / one", "r0042", day).name == f"{first.name}_2"
    for name in (f"{first.name}_2", "Bath_r0050_2025-05-01", "Bath___one_r0041_2025-06-01"):
        (tmp_path / name).mkdir()
    assert next_folder(tmp_path, "Bath / one", "r0042", day).name == f"{first.name}_3"
    told = [one.name.removeprefix("Bath___one_") for one in handed_over(tmp_path, "Bath / one")]
    assert told == ["r0042_2025-05-01_2", "r0042_2025-05-01", "r0041_2025-06-01"]


def test_a_folder_that_has_gone_says_so(tmp_path: Path) -> None:
    for look in (files_of, lambda folder: preview(folder / BOOK)):
        with pytest.raises(FileError, match="cannot be read"):
            look(tmp_path / "gone")


def handing_over(pilot: Pilot) -> None:
    pilot.until(lambda: pilot.app.visit is not None)
    pilot.app.go_to_place("handover")
    pilot.answered()
    pilot.settle()


def size_of(pdf: Path) -> tuple[int, ...]:
    """Return the size of the last page, whole mm."""
    return tuple(round(float(side) / 72 * 25.4) for side in pypdf.PdfReader(pdf).pages[-1].mediabox[2:])


def main_key(pilot: Pilot) -> Any:
    return next(one for one in pilot.all() if getattr(one, "is_main", False))


def test_a_job_is_handed_over_and_looked_at(job: Path) -> None:
    with Pilot(ScribefitApp(home=job.parents[1], file=job)) as pilot:
        handing_over(pilot)
        assert pilot.has("for a machine: strip, vanity-top")
        pilot.tap(main_key(pilot))
        pilot.until(lambda: pilot.app.shell.title == "Handed over")
        pilot.until(lambda: pilot.has("Cut list, for a spreadsheet"))
        (folder,) = (job.parents[1] / "handed over").iterdir()
        assert {one.name for one in folder.iterdir()} == NAMES
        pilot.tap("Share")
        assert str(folder) in pilot.app.shell.message
        pilot.tap(CUTS)
        pilot.until(lambda: pilot.has("vanity-top"))
        assert pilot.has("43\u00a01⁄4″")
        pilot.back()
        pilot.until(lambda: pilot.has("Job book, to print"))
        pilot.tap(BOOK)
        pages = len(pypdf.PdfReader(folder / BOOK).pages)
        assert pages >= 2
        pilot.until(lambda: pilot.app.shell.page.count == pages)
        pilot.tap("Next")
        assert pilot.app.shell.page.ids.picture.laid_out.title == "Job book, page 2"


def test_a_disk_that_refuses_is_said_plainly(job: Path, tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("in the way")
    with Pilot(ScribefitApp(home=job.parents[1], file=job)) as pilot:
        pilot.app.desk.kept.folder = str(tmp_path / "a file" / "below")
        handing_over(pilot)
        pilot.tap(main_key(pilot))
        pilot.until(lambda: pilot.has("Nothing was written"))
        assert pilot.has("Not a directory")
        assert not main_key(pilot).disabled


def test_what_stops_the_work_is_said_first(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    path = put_on(sample_survey("doubtful-readings"), tmp_path / "jobs")
    with Pilot(ScribefitApp(home=tmp_path, file=path)) as pilot:
        handing_over(pilot)
        assert pilot.has("Stops before cutting")
        assert pilot.has("Hand over all the same")
        pilot.tap("Settings")
        assert pilot.has("This job")
        pilot.back()
        pilot.tap("See them in Fit")
        assert pilot.app.desk.kept.trail[-1].page == "fit"


def test_papers_outlines_and_templates_are_chosen_and_kept(job: Path) -> None:
    home = job.parents[1]
    with Pilot(ScribefitApp(home=home, file=job)) as pilot:
        handing_over(pilot)
        assert not pilot.has("Templates on")
        for row, answer in (
            ("Job book on", "A4"),
            ("Outlines for machines as", "DXF and SVG"),
        ):
            pilot.tap(row)
            pilot.tap(answer)
        pilot.tap("Templates at full size of")
        pilot.tap("vanity-top")
        pilot.tap("strip")
        pilot.tap("strip")  # not after all
        pilot.tap("Keep")
        pilot.until(lambda: pilot.has("to lay on the wood: vanity-top"))
        pilot.tap("Templates on")
        pilot.tap("A2")
        pilot.tap(main_key(pilot))
        pilot.until(lambda: pilot.app.shell.title == "Handed over")
        pilot.until(lambda: pilot.has("Cut list, for a spreadsheet"))
        (folder,) = (home / "handed over").iterdir()
        more = {f"vanity-top_{MARK}.svg", f"strip_{MARK}.svg", f"template-vanity-top_{MARK}.pdf"}
        assert {one.name for one in folder.iterdir()} == NAMES | more
        sizes = {
            tuple(
                round(float(side) / 72 * 25.4)
                for side in pypdf.PdfReader(folder / name).pages[-1].mediabox[2:]
            )
            for name in (BOOK, f"template-vanity-top_{MARK}.pdf")
        }
        assert sizes == {(210, 297), (420, 594)}
        assert "100 %" in preview(folder / f"template-vanity-top_{MARK}.pdf").words
        pilot.tap("Pack into one zip")
        packed = folder.with_name(f"{folder.name}.zip")
        pilot.until(packed.exists)
        told, faults = verify_words(packed)
        assert not faults, told
        pilot.tap("Pack into one zip")
        pilot.until(lambda: "exists already" in pilot.app.shell.message)
    assert Desk(home).settings.book_paper == "A4"


def test_the_book_of_a_later_revision_is_shown_as_it_was_printed(
    job: Path, vanity: tuple[Survey, FitReport], tmp_path: Path
) -> None:
    """With the pages of what changed, on its own paper; without them where the earlier folder is gone."""
    above = tmp_path / "above"
    give(job, vanity[1], above / "first")
    with SurveyFile.open(job, write=True) as file:
        file.append(*dictate(["length left-back to m1 up 34 reads 60"], file.survey()))
        later = file.survey()
    give(job, fit(later), above / "second", since=above / "first", wanted=Wanted(paper="A4"))
    (book,) = (above / "second").glob("job-book*.pdf")
    printed = pypdf.PdfReader(book)
    shown = preview(book).pages
    assert len(shown) == len(printed.pages)
    assert (shown[0].width, shown[0].height) == (210.0, 297.0)
    texts = [page.extract_text() for page in printed.pages]
    changed = max(number for number, text in enumerate(texts) if "What changed" in text)
    words = {getattr(mark, "text", "") for mark in shown[changed].marks}
    assert any("What changed" in one for one in words)
    (above / "first").rename(tmp_path / "away")
    assert len(preview(book).pages) < len(printed.pages)

"""What changed since papers were handed over, on the page and in plain words."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from pilot import Pilot

from survey.app.changed import (
    MOST,
    finding_lines,
    headline,
    last_folder,
    lines_of,
    record_words,
    sign_of,
    since,
    verdict_words,
)
from survey.app.giving import _before as earlier_of
from survey.app.giving import folder_above, give, next_folder
from survey.app.main import ScribefitApp
from survey.app.pages.changes import ChangedPiece, GonePiece
from survey.app.shelf import put_on
from survey.changes import Changes, FindingChange, PieceChange, RecordChange, Revision, Told
from survey.errors import SurveyError
from survey.file import SurveyFile
from survey.findings import fit
from survey.handover import contents
from survey.handover.book.content import Book
from survey.records import Job, Survey
from survey.records.base import TypedLength
from survey.samples import sample_survey
from survey.text import write_text


@pytest.fixture(scope="module")
def before() -> Survey:
    return sample_survey("corner-vanity")


def went_on(survey: Survey) -> Survey:
    """The cabinet an inch wider, and its filler strip under a new name."""
    box = survey.named["vanity"][0]
    strip = survey.named["strip"][0]
    return survey.plus(
        replace(box, id="wider", replaces=(box.id,), width=TypedLength("43", "in")),
        replace(strip, id="renamed", replaces=(strip.id,), name="scribe-strip"),
    )


def handed(above: Path, survey: Survey, title: str = "Corner vanity") -> Path:
    """A folder as the hand-over names it, with the survey's text in it."""
    mark = f"r{len(survey.records):04d}"
    folder = next_folder(above, title, mark, date(2025, 5, 1))
    folder.mkdir(parents=True)
    (folder / f"survey_{mark}.json").write_bytes(write_text(survey))
    return folder


@pytest.fixture
def home(before: Survey, tmp_path: Path) -> Path:
    """A job that went on after it was handed over."""
    (tmp_path / "jobs").mkdir()
    put_on(went_on(before), tmp_path / "jobs")
    handed(tmp_path / "handed over", before)
    return tmp_path


def opened(home: Path) -> Path:
    (job,) = (home / "jobs").iterdir()
    return job


def there(pilot: Pilot, kind: type) -> list[Any]:
    return pilot.all(kind)


def test_the_page_tells_what_is_not_right_any_more(home: Path) -> None:
    with Pilot(ScribefitApp(home=home, file=opened(home))) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go_to_place("handover")
        pilot.answered()
        pilot.settle()
        pilot.app.go("changes")
        pilot.until(lambda: pilot.has("not right on the papers any more"))
        pilot.until(lambda: len(there(pilot, ChangedPiece)) == 3)
        names = [one.name for one in there(pilot, ChangedPiece)]
        assert sorted(names) == ["scribe-strip", "vanity", "vanity-top"]
        (top,) = [one for one in there(pilot, ChangedPiece) if one.name == "vanity-top"]
        assert (top.sign, top.verdict) == ("cross", "A new blank is needed: it is short by up to 1″")
        assert "Finished width 44 1⁄4″, was 43 1⁄4″ (+1″)" in top.told
        assert any("it was called strip" in one.verdict for one in there(pilot, ChangedPiece))
        pilot.until(lambda: pilot.has("Corrected"))
        top.dispatch("on_release")
        pilot.settle()
        assert pilot.app.desk.kept.trail[-1].page == "fitted"


def test_hand_over_and_fit_lead_there(home: Path) -> None:
    with Pilot(ScribefitApp(home=home, file=opened(home))) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go_to_place("handover")
        pilot.answered()
        pilot.until(lambda: pilot.has("What changed since"))
        pilot.app.go_to_place("fit")
        pilot.until(lambda: pilot.has("What changed since the hand-over"))
        pilot.tap("What changed since the hand-over")
        pilot.until(lambda: pilot.app.shell.title == "What changed")


def test_a_change_while_it_is_shown_is_compared_anew(home: Path, before: Survey) -> None:
    with Pilot(ScribefitApp(home=home, file=opened(home))) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go("changes")
        pilot.until(lambda: len(there(pilot, ChangedPiece)) == 3)
        pilot.app.visit.withdraw(pilot.app.visit.survey.named["scribe-strip"][0])
        pilot.until(lambda: [one.name for one in there(pilot, GonePiece)] == ["strip"])


def test_nothing_handed_over_and_what_is_gone_are_said(before: Survey, tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    job = put_on(before, tmp_path / "jobs")
    with Pilot(ScribefitApp(home=tmp_path, file=job)) as pilot:
        pilot.until(lambda: pilot.app.visit is not None)
        pilot.app.go("changes")
        pilot.until(lambda: pilot.has("Nothing was handed over yet"))
        pilot.app.go("changes", folder=str(tmp_path / "gone"))
        pilot.until(lambda: pilot.has("there is no such file or folder"))


def test_the_next_job_book_tells_what_changed_since_the_last(
    home: Path, before: Survey, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    books: list[Book] = []
    monkeypatch.setattr(contents, "job_book", lambda book, *_: (books.append(book), b"%PDF-")[1])
    job = opened(home)
    with SurveyFile.open(job) as file:
        report = fit(file.survey())
    (last,) = (home / "handed over").iterdir()
    give(job, report, tmp_path / "second", since=last)
    (book,) = books
    assert book.before is not None
    assert book.before[0] == before
    assert book.before[1].revision == len(before.records)


def test_papers_that_cannot_be_compared_hold_up_no_hand_over(before: Survey, tmp_path: Path) -> None:
    after = went_on(before)
    same, other = handed(tmp_path, after), handed(tmp_path, sample_survey("corner-vanity"))
    for folder in (None, same, other, tmp_path / "gone"):
        assert earlier_of(folder, after) is None
    found = earlier_of(handed(tmp_path / "old", before), after)
    assert found is not None
    assert found[0] == before


# In plain words


def test_the_newest_folder_is_found_under_an_older_title_too(before: Survey, tmp_path: Path) -> None:
    assert last_folder(tmp_path, before) is None
    job = before.of(Job)[0]
    after = before.plus(replace(job, id="job-2", replaces=(job.id,), title="Upstairs / bath"))
    old = handed(tmp_path, before)
    assert last_folder(tmp_path, after) == old
    new = handed(tmp_path, after, "Upstairs / bath")
    assert last_folder(tmp_path, after) == new
    handed(tmp_path, Survey([*after.records, *sample_survey("tiled-alcove").records[1:]]), "Another")
    assert last_folder(tmp_path, after) == new


def test_another_job_under_the_same_title_is_refused(before: Survey, tmp_path: Path) -> None:
    folder = handed(tmp_path, before)
    other = sample_survey("corner-vanity")
    with pytest.raises(SurveyError, match="different jobs"):
        since(folder, other, fit(Survey([])))


def test_a_sign_for_each_harm() -> None:
    def piece(verdict: Any, **fields: Any) -> PieceChange:
        return PieceChange("top", "top", verdict, "", **fields)

    signs = {
        verdict: sign_of(piece(verdict)) for verdict in ("new blank", "do not cut", "re-cut", "make more")
    }
    assert signs == {
        "new blank": "cross",
        "do not cut": "cross",
        "re-cut": "in doubt",
        "make more": "in doubt",
    }
    assert sign_of(piece("new piece", handed_over=False)) == "fine"
    assert sign_of(piece("cut as before", told=(Told("chance", "a", "b", group="chance"),))) == "fine"
    assert sign_of(piece("cut as before", doubts=(402,))) == "in doubt"


def test_words_of_a_piece_are_not_said_twice() -> None:
    says = "a new blank is needed: it is short by up to 1/2 in"
    assert verdict_words(PieceChange("top", "top", "new blank", says)) == (
        "A new blank is needed: it is short by up to 1⁄2″"
    )
    assert (
        verdict_words(PieceChange("top", "top", "make more", "make 2 more"))
        == "More of it to make: make 2 more"
    )


def test_numbers_come_before_words_and_the_rest_is_counted() -> None:
    words = tuple(Told(f"word {at}", "a", "b") for at in range(3))
    sizes = tuple(Told(f"size {at}", "1 mm", "2 mm", "+1 mm", "cut") for at in range(MOST))
    lines = lines_of(PieceChange("top", "top", "re-cut", "", told=(*words, *sizes)))
    assert lines[0] == "Size 0 2 mm, was 1 mm (+1 mm)"
    assert lines[-1] == "And 3 more, on its page."
    assert len(lines) == MOST + 1


def test_records_and_findings_say_how_they_changed() -> None:
    assert record_words(RecordChange("corrected", "a", "wall bak", "wall back")) == (
        "Corrected", "wall back", "was: wall bak",
    )  # fmt: skip
    assert record_words(RecordChange("withdrawn", "a", "mark m 3 1/2 in", because="moved")) == (
        "Withdrawn", "mark m 3 1⁄2″", "because: moved",
    )  # fmt: skip
    new = FindingChange("new", 402, "doubt", "", "one is wrong", "read again", ("top",))
    assert finding_lines(new) == ("New", "top: one is wrong", "Do: read again")
    other = FindingChange("otherwise", 575, "hint", "it weighs 1", "it weighs 2")
    assert finding_lines(other) == ("Says otherwise", "It weighs 2", "Was: it weighs 1")


def test_the_headline_says_whether_the_papers_hold() -> None:
    revisions = (Revision(38, "2d8c7c46"), Revision(42, "77aa0b1c"))
    assert list(headline(Changes("Bath", "mm", *revisions))) == [
        "Nothing that counts changed: the papers are right.",
        "From revision 38 (2d8c7c46) to revision 42 (77aa0b1c)",
    ]
    hint = (FindingChange("new", 403, "hint", "", "nothing checks it"),)
    assert next(headline(Changes("Bath", "mm", *revisions, findings=hint))).startswith("The papers are still")
    harmed = (PieceChange("top", "top", "new blank", ""),)
    assert next(headline(Changes("Bath", "mm", *revisions, pieces=harmed))).startswith("1 piece is not right")


def test_folders_go_where_the_person_chose(tmp_path: Path) -> None:
    from survey.app.desk import Desk

    desk = Desk(tmp_path)
    assert folder_above(desk) == tmp_path / "handed over"
    desk.kept.folder = str(tmp_path / "shop")
    assert folder_above(desk) == tmp_path / "shop"

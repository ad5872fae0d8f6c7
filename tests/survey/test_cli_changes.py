"""`scribefit changes`: what is told, and whether the old paper still holds."""

from __future__ import annotations

import json

import pytest
from cli_bench import records_in, run

from survey.changes import Changes, PieceChange, RecordChange, Revision, Told
from survey.cli.guard import BAD_INPUT, DONE, FINDINGS
from survey.cli.print_changes import GROUPS, changes_lines, piece_lines
from survey.cli.print_findings import WIDTH
from survey.records import Survey
from survey.records.canonical import survey_hash
from survey.text import write_text

SHELF = (
    "job Bath in mm to 1 mm level line 1000",
    "room bath back back",
    "wall back",
    "wall left",
    "corner left and back",
    "cabinet box on back width 400 height 300 depth 200 bottom 1500, left open, right open",
)


@pytest.fixture
def file(tmp_path):
    notes = tmp_path / "notes.txt"
    notes.write_text("\n".join(SHELF[1:]))
    made = tmp_path / "bath.survey"
    assert run("new", made, "--title", "Bath", "--unit", "mm", "--level-line", "1000").exit_code == DONE
    assert run("add", made, "--from", notes).exit_code == DONE
    return made


def test_nothing_changed_since_the_present_revision(file):
    told = run("changes", file, "--since", "6")
    assert told.exit_code == DONE
    assert "Nothing that counts changed" in told.stdout
    assert told.stdout.startswith("Bath: from revision 6 (")


def test_a_note_is_told_and_makes_nothing_wrong(file):
    run("add", file, 'note "ring the bell"')
    told = run("changes", file, "--since", "6")
    assert told.exit_code == DONE
    assert "What was handed over is still right" in told.stdout
    assert '  added        note "ring the bell"' in told.stdout.splitlines()


def test_a_correction_is_told_with_what_it_was(file):
    run("add", file, "correct last: cabinet box on back width 500 height 300 depth 200 bottom 1500")
    lines = run("changes", file, "--since", "r0006").stdout.splitlines()
    at = next(at for at, line in enumerate(lines) if line.startswith("  corrected"))
    assert "width 500" in lines[at]
    assert lines[at + 1].startswith("  was")
    assert "width 400" in lines[at + 1]


def test_the_hash_and_what_was_handed_over_find_the_same_revision(file, tmp_path):
    old = Survey(records_in(file))
    folder = tmp_path / "cut"
    folder.mkdir()
    (folder / "survey_r0006.json").write_bytes(write_text(old))
    run("add", file, "mark m1 on back")
    told = {
        run("changes", file, "--since", since).stdout
        for since in ("6", survey_hash(old)[:12], folder, folder / "survey_r0006.json")
    }
    assert len(told) == 1
    assert "mark m1 on back" in told.pop()


def test_what_is_found_is_printed_for_programs(file):
    run("add", file, "mark m1 on back")
    told = json.loads(run("changes", file, "--since", "6", "--json").stdout)
    assert (told["format"], told["version"]) == ("scribefit changes", 1)
    assert (told["before"]["number"], told["now"]["number"]) == (6, 7)
    assert [one["now"] for one in told["records"]] == ["mark m1 on back"]


@pytest.mark.parametrize(
    ("since", "why"),
    [
        ("7", "expected one from 1 to 6"),
        ("cafecafe", "no revision of this survey"),
        ("nowhere", "there is no such file or folder"),
    ],
)
def test_what_is_no_revision_is_refused_in_words(file, since, why):
    told = run("changes", file, "--since", since)
    assert told.exit_code == BAD_INPUT
    assert why in told.stderr
    assert told.stdout == ""


def test_another_job_is_refused_and_compared_on_request(file, tmp_path):
    other = tmp_path / "other.survey"
    run("new", other, "--title", "Hall", "--unit", "mm")
    refused = run("changes", file, "--since", other)
    assert refused.exit_code == BAD_INPUT
    assert "different jobs, `Hall` and `Bath`" in refused.stderr
    told = run("changes", file, "--since", other, "--anyway")
    assert told.exit_code == DONE  # nothing of the other one was cut
    assert "title Bath, was Hall" in told.stdout


def made(*pieces, **fields):
    return Changes("Bath", "mm", Revision(38, "2d8c7c46"), Revision(42, "77aa0b1c"), pieces=pieces, **fields)


SIZE = Told("finished width", "610 mm", "602 mm", "-8 mm", "cut")
RE_CUT = PieceChange(
    "shelf", "shelf", "re-cut", "re-cut possible: the old one covers the new one", told=(SIZE,)
)


def test_a_piece_is_told_with_what_to_do():
    assert piece_lines(RE_CUT) == [
        "shelf (shelf): re-cut possible",
        "------------------------------",
        "  if cut       re-cut possible: the old one covers the new one",
        "  to cut       finished width 602 mm, was 610 mm (-8 mm)",
    ]


def test_every_group_has_its_place():
    told = tuple(Told(f"thing {group}", "a", "b", group=group) for group in reversed(GROUPS))
    lines = piece_lines(PieceChange("shelf", "shelf", "cut as before", "", told=told))
    assert [line.split("thing ")[1].split(" b")[0] for line in lines[2:]] == list(GROUPS)


def test_lines_are_no_longer_than_a_screen():
    long = "a very long remark that goes on and on " * 8
    record = RecordChange("withdrawn", "a1", f'note "{long}"', because=long)
    piece = PieceChange("shelf", "shelf", "new blank", long, told=(Told("rule", long, long),))
    lines = changes_lines(made(piece, records=(record,)))
    assert max(map(len, lines)) <= WIDTH
    assert sum("a very long remark" in line for line in lines) > 4


def test_the_status_is_one_where_the_old_paper_is_wrong(file, monkeypatch):
    monkeypatch.setattr("survey.changes.changes", lambda *_, **__: made(RE_CUT))
    told = run("changes", file, "--since", "6")
    assert told.exit_code == FINDINGS
    assert "1 piece is not right on the old paper. Re-cut possible: shelf." in told.stdout


def test_help_shows_how():
    told = run("changes", "--help").stdout
    assert "scribefit changes bath.survey --since 2d8c7c46" in told

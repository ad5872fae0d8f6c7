"""`check`, `fit`, `handover`, `demo`: what is printed, in which order, with which exit status."""

import json
import sys
from types import ModuleType

import msgspec
import pytest
from cli_bench import HINT, LINES, PIECE, STOPS, WIDTH, new_survey, records_in, report, run

from survey import samples
from survey.cli.print_findings import findings_lines
from survey.cli.print_next import next_lines
from survey.cli.print_report import piece_lines, report_lines
from survey.finding import Finding
from survey.records import Survey
from survey.report.structs import FitReport
from survey.samples import sample_names


def put(monkeypatch, module: str, **functions):
    """Let functions stand in for a module's."""
    fake = ModuleType(module)
    vars(fake).update(functions)
    monkeypatch.setitem(sys.modules, module, fake)


@pytest.fixture
def bench(monkeypatch, tmp_path):
    """A survey; findings and a report that the test chooses."""

    def set_to(*findings: Finding):
        put(monkeypatch, "survey.findings", fit=lambda survey: report(*findings))
        return new_survey(tmp_path, *LINES)

    return set_to


DOUBT = Finding(400, "doubt", "the readings do not agree", "read them again")


@pytest.mark.parametrize(("findings", "status"), [([], 0), ([HINT], 0), ([HINT, DOUBT], 1), ([STOPS], 1)])
@pytest.mark.parametrize("command", ["check", "fit"])
@pytest.mark.parametrize("form", [[], ["--json"]])
def test_the_exit_status_says_whether_a_person_is_needed(bench, command, findings, status, form):
    assert run(command, bench(*findings), *form).exit_code == status


@pytest.mark.parametrize("command", ["check", "fit"])
def test_check_and_fit_never_write(bench, command):
    file = bench(STOPS)
    before = file.read_bytes()
    run(command, file)
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]


def test_check_prints_the_worst_first_with_what_to_do(bench):
    shown = run("check", bench(HINT, STOPS)).stdout.splitlines()
    assert shown[0] == "stops  300  nothing says where wall `left` is"
    assert shown[1].strip() == "do: read a length to it"
    assert [line for line in shown if line.startswith("hint")] == ["hint   600  the floor is assumed level"]


def test_check_prints_the_lines_that_a_finding_is_about(bench, monkeypatch):
    file = bench()
    length = next(record for record in records_in(file) if record.__struct_config__.tag == "length")
    finding = msgspec.structs.replace(STOPS, records=(length.id,))
    put(monkeypatch, "survey.findings", fit=lambda survey: report(finding))
    assert f"{length.id[:8]}  length left-back to m1 up 34 reads 60 3/8" in run("check", file).stdout


def test_a_finding_about_many_records_names_a_few(tmp_path):
    finding = msgspec.structs.replace(STOPS, records=tuple(f"{at:032x}" for at in range(9)))
    assert findings_lines([finding])[-1].endswith("and 5 more")


def test_check_without_findings_says_so(bench):
    assert "Nothing is missing" in run("check", bench()).stdout


def test_json_of_check_is_the_findings(bench):
    printed = json.loads(run("check", bench(STOPS), "--json").stdout)
    assert msgspec.convert(printed, tuple[Finding, ...]) == (STOPS,)


def test_json_of_fit_is_the_report(bench):
    printed = run("fit", bench(HINT), "--json").stdout
    assert msgspec.json.decode(printed, type=FitReport) == report(HINT)


EXPECTED_PIECE = """\
2 x vanity-top (top): ready
---------------------------
  material     oak, grain along width
  finished     width 48 1/16 in, depth 22 in
  blank        width 48 1/2 in
  datum        front edge and right end
  sits         pushed to the back wall first, then left
  left edge    scribed to left, gap 3/4 in
               leave 7/32 in: 1/8 in for the wall, 1/32 in for what is not known, 1/16 in for
               the saw
               most unknown: the wall between the readings
               scribe: deepest 9/64 in, shallowest 1/64 in
               depth of scribe, from the front:
               at       0 in     1 in     2 in     3 in     4 in     5 in
               depth 0/64 in  1/64 in  2/64 in  3/64 in  4/64 in  5/64 in
               at       6 in     7 in
               depth 6/64 in  7/64 in
  right edge   open
  notch        around door-casing, clear of it by 1/16 in
               from the left end   from the front
                       2 5/16 in   18 in
                            0 in   19 3/4 in
  on site      gap at top front  13/16 in
               gap behind        0 in
  caution      find the pipes before drilling
  chance       goes in: 98 %; with no gap over 1/8 in: 87 % (74 % if marked out by numbers to
               1/16 in: use the DXF or a template); the blank covers the wall: >99 %; all
               well: 86 %
  slips        length left-back to m1: a slip of 1/8 in or less would go unnoticed, and move
               an edge by up to 1/16 in
  confidence   99 %: it goes in and no gap shows wider than 1/32 in
  findings     601"""


def test_a_piece_is_printed_with_all_that_the_shop_needs():
    assert "\n".join(piece_lines(PIECE, "1/16 in")) == EXPECTED_PIECE


def test_the_report_has_pieces_corners_next_readings_and_findings():
    lines = report_lines(report(STOPS))
    assert lines[0] == "Vanity: inches, to 1/16"
    assert "  left-back: 89.51° ± 0.08° over 24 in" in lines
    assert "  1. width at the front (about 2 minutes)" in lines
    assert lines[lines.index("Findings") + 1].startswith("stops  300")
    assert max(map(len, lines)) <= 100


READ_NEXT = """\
Read next
  1. width at the front (about 2 minutes)
     the chance that all is well rises: `vanity-top` from 87 % to 98 %
     to put it down, with the values that you read in place of these:
       length (left 20 from left-back) to (right 20 from back-right) up 34 reads 60"""


@pytest.mark.parametrize("command", ["check", "fit"])
def test_both_say_what_to_read_next_with_the_line_that_puts_it_down(bench, command):
    assert READ_NEXT in run(command, bench(HINT)).stdout


def next_of(*findings: Finding, **room) -> str:
    """What is said to read next, of a report whose room is changed so."""
    made = report(*findings)
    room = msgspec.structs.replace(made.room, next_readings=(), **room)
    return "\n".join(next_lines(msgspec.structs.replace(made, room=room)))


def test_enough_is_said_only_where_nothing_is_in_question():
    wrong = Finding(401, "doubt", "a length looks wrong", "read it again")
    for findings, says in (((HINT,), True), ((STOPS,), False), ((wrong,), False)):
        assert (
            "Nothing: no more is worth while." in next_of(*findings, enough="no more is worth while")
        ) == says
    assert "Read next" not in next_of(HINT)


def test_readings_to_repeat_are_shown_as_they_were_dictated(bench):
    file = bench()
    records = records_in(file)
    length = next(record for record in records if record.__struct_config__.tag == "length")
    room = msgspec.structs.replace(report().room, repeat=(length.id,))
    lines = next_lines(msgspec.structs.replace(report(), room=room), Survey(records))
    at = lines.index("Read again before cutting, once what is still to come is there")
    assert lines[at + 1] == f"  {length.id[:8]}  length left-back to m1 up 34 reads 60 3/8"


def test_with_nothing_to_come_one_width_is_to_be_repeated_unless_work_is_stopped_anyway():
    word = "Before cutting, repeat one width if any trade has been in the room."
    assert word in next_of(HINT)
    assert word not in next_of(STOPS)
    assert word not in next_of(HINT, repeat=("a" * 32,))
    assert word not in "\n".join(next_lines(report(HINT, pieces=())))


@pytest.mark.parametrize("survey", [None, Survey([])])
def test_nothing_of_the_report_is_wider_than_the_screen(survey):
    long = msgspec.structs.replace(WIDTH, name="width " * 40, says="rises " * 40, dictation="length " * 40)
    made = report(STOPS)
    room = msgspec.structs.replace(made.room, next_readings=(long,), repeat=("a" * 32,))
    lines = report_lines(msgspec.structs.replace(made, room=room), survey)
    assert max(map(len, lines)) <= 94


def test_check_draws_what_to_read_next_and_says_where(bench):
    file = bench(HINT)
    folder = file.parent / "pictures"
    result = run("check", file, "--draw", folder)
    assert (result.exit_code, [each.name for each in folder.iterdir()]) == (0, ["next-1.svg"])
    assert f"Drawn:\n  {folder / 'next-1.svg'}" in result.stdout
    assert "width at the front" in (folder / "next-1.svg").read_text(encoding="utf-8")


def test_check_draws_into_a_folder_that_holds_other_things_but_over_nothing(bench):
    file = bench(HINT)
    assert run("check", file, "--draw", file.parent).exit_code == 0
    before = {each.name: each.read_bytes() for each in file.parent.iterdir()}
    again = run("check", file, "--draw", file.parent)
    assert again.exit_code == 2
    assert "next-1.svg: exists already; nothing was written" in again.stderr
    assert {each.name: each.read_bytes() for each in file.parent.iterdir()} == before


@pytest.mark.parametrize(
    ("folder", "says"), [("job.survey", "expected a folder"), ("none/there", "no such folder; make it first")]
)
def test_check_refuses_to_draw_where_no_folder_can_be(bench, folder, says):
    file = bench(HINT)
    result = run("check", file, "--draw", file.parent / folder)
    assert (result.exit_code, list(file.parent.iterdir())) == (2, [file])
    assert says in result.stderr


def test_check_without_advice_draws_nothing_and_makes_no_folder(bench, monkeypatch):
    file = bench()
    room = msgspec.structs.replace(report().room, next_readings=())
    put(monkeypatch, "survey.findings", fit=lambda survey: msgspec.structs.replace(report(), room=room))
    result = run("check", file, "--draw", file.parent / "pictures")
    assert (result.exit_code, list(file.parent.iterdir())) == (0, [file])
    assert "Nothing to draw." in result.stdout


def test_json_of_check_stays_json_while_it_draws(bench):
    file = bench(STOPS)
    result = run("check", file, "--json", "--draw", file.parent / "pictures")
    assert [each["number"] for each in json.loads(result.stdout)] == [300]
    assert "next-1.svg" in result.stderr


def test_a_piece_in_doubt_says_so_in_its_title_and_one_that_is_not_does_not():
    doubt = Finding(401, "doubt", "a length looks wrong", "read it again", pieces=("vanity-top",))
    shelf = msgspec.structs.replace(PIECE, name="shelf")
    lines = report_lines(report(doubt, HINT, pieces=(PIECE, shelf)))
    assert "2 x vanity-top (top): ready, but in doubt" in lines
    assert "2 x shelf (top): ready" in lines


def test_check_does_not_call_a_survey_without_pieces_complete(tmp_path):
    file = new_survey(tmp_path, "room bath", "wall back", "wall left", "corner left and back")
    result = run("check", file)
    assert result.exit_code == 0
    assert "No piece is planned yet" in result.stdout
    assert "Nothing is missing" not in result.stdout


def test_the_help_of_demo_names_every_sample():
    text = " ".join(run("demo", "--help").stdout.split())
    assert f"The samples: {', '.join(sample_names())}." in text


def test_a_report_without_pieces_says_how_to_plan_one():
    assert "No piece is planned yet" in "\n".join(report_lines(report(pieces=())))


def hand_over(survey, made, folder, on_progress, wanted=None):
    """Write one file, as the real one does."""
    folder.mkdir()
    on_progress("cut list", 1, 1)
    (folder / "cut-list.csv").write_text(made.title)
    return [folder / "cut-list.csv"]


@pytest.mark.parametrize(("findings", "status"), [([], 0), ([STOPS], 1)])
def test_handover_prints_the_files_it_wrote(bench, monkeypatch, findings, status):
    put(monkeypatch, "survey.handover.write", hand_over=hand_over)
    file = bench(*findings)
    folder = file.parent / "cut"
    result = run("handover", file, "--to", folder)
    assert (result.exit_code, result.stdout) == (status, f"{folder / 'cut-list.csv'}\n")
    assert (folder / "cut-list.csv").read_text() == "Vanity"
    assert ("need a person" in result.stderr) == bool(status)


def test_json_of_handover_is_the_files(bench, monkeypatch):
    put(monkeypatch, "survey.handover.write", hand_over=hand_over)
    file = bench()
    result = run("handover", file, "--to", file.parent / "cut", "--json")
    assert json.loads(result.stdout) == [str(file.parent / "cut" / "cut-list.csv")]


def test_demo_runs_the_whole_job_on_a_sample(bench, monkeypatch, tmp_path):
    bench()
    put(monkeypatch, "survey.handover.write", hand_over=hand_over)
    (tmp_path / "samples" / "nook").mkdir(parents=True)
    (tmp_path / "samples" / "nook" / "notes.txt").write_text("job Nook in mm to 1 mm\nwall back\n")
    monkeypatch.setattr(samples, "FOLDER", tmp_path / "samples")
    result = run("demo", "nook", tmp_path / "out")
    assert result.exit_code == 0
    assert [record.__struct_config__.tag for record in records_in(tmp_path / "out" / "nook.survey")] == [
        "job",
        "wall",
    ]
    assert "2 x vanity-top" in result.stdout
    assert str(tmp_path / "out" / "hand-over" / "cut-list.csv") in result.stdout
    assert "exists already" in run("demo", "nook", tmp_path / "out").stderr


def test_demo_names_the_samples_that_there_are(bench, monkeypatch, tmp_path):
    bench()
    put(monkeypatch, "survey.handover.write", hand_over=hand_over)
    (tmp_path / "samples" / "nook").mkdir(parents=True)
    (tmp_path / "samples" / "nook" / "notes.txt").write_text("job Nook in mm to 1 mm\n")
    monkeypatch.setattr(samples, "FOLDER", tmp_path / "samples")
    result = run("demo", "../nook", tmp_path / "out")
    assert result.exit_code == 2
    assert "expected one of nook, got '../nook'" in result.stderr

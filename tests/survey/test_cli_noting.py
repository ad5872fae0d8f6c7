"""`scribefit new` and `scribefit add`."""

import pytest
from cli_bench import LINES, new_survey, records_in, run

from survey.dictation import DictationError, dictate
from survey.records import Job, LengthReading, Survey, TypedLength, Withdrawal


def test_new_makes_a_file_with_its_job(tmp_path):
    file = tmp_path / "bath.survey"
    result = run(
        "new", file, "--title", 'A 6" sill', "--unit", "in", "--step", "1/32", "--level-line", "36 1/2"
    )
    assert result.exit_code == 0
    (job,) = records_in(file)
    assert isinstance(job, Job)
    assert (job.title, job.unit, job.step, job.level_line) == (
        'A 6" sill',
        "in",
        "1/32",
        TypedLength("36 1/2", "in"),
    )


def test_new_takes_the_step_that_goes_with_the_unit(tmp_path):
    run("new", tmp_path / "a.survey", "--title", "Alcove", "--unit", "mm")
    assert records_in(tmp_path / "a.survey")[0].step == "1 mm"


def test_new_never_writes_over_a_file(tmp_path):
    file = new_survey(tmp_path)
    before = file.read_bytes()
    result = run("new", file, "--title", "Other", "--unit", "mm")
    assert (result.exit_code, file.read_bytes()) == (2, before)
    assert "exists already" in result.stderr


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--step", "1/3"], "one over 3"),
        (["--level-line", "36 5"], "one fraction"),
        (["--unit", "ell"], "ell"),
    ],
)
def test_new_refuses_what_it_cannot_read_and_leaves_no_file(tmp_path, options, message):
    result = run("new", tmp_path / "x.survey", "--title", "T", "--unit", "in", *options)
    assert result.exit_code == 2
    assert message in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_add_echoes_what_it_understood_in_both_units_with_an_id(tmp_path):
    file = new_survey(tmp_path)
    result = run("add", file, "Length left-back TO m1, up 34, reads 60 3/8")
    record = records_in(file)[-1]
    assert result.stdout == (
        f"{record.id[:8]}  length left-back to m1 up 34 reads 60 3/8\n"
        "          = reads 60 3/8 in (1533.5 mm), up 34 in (863.6 mm)\n"
    )


def test_the_echo_of_a_check_says_what_its_stations_span(tmp_path):
    file = new_survey(tmp_path, unit="mm")
    result = run("add", file, "straightedge back up 864 from left-back: 0 0, 300 2,5 mm, 600 1")
    assert "3 stations from 0 mm (0 in) to 600 mm" in result.stdout
    assert "gaps 0 mm (0 in) to 2.5 mm" in result.stdout


def test_an_echo_does_not_round_what_was_read(tmp_path):
    result = run("add", new_survey(tmp_path), "length a to b reads 60 1/64")
    assert "reads 60 1/64 in" in result.stdout.splitlines()[1]


def test_an_echo_of_decimal_inches_makes_no_fraction_of_them(tmp_path):
    """1.27 in is 32.258 mm; 1 35/128 would be 1.2734."""
    line = "stock w walnut board length 72 1/2 width 9 thickness 1.27"
    result = run("add", new_survey(tmp_path), line)
    assert "length 72 1/2 in (1841.5 mm), width 9 in (228.6 mm), thickness 1.27 in (32.3 mm)" in result.stdout


@pytest.mark.parametrize("way", ["file", "pipe"])
def test_add_takes_notes_from_a_file_or_a_pipe(tmp_path, way):
    file, notes = new_survey(tmp_path), tmp_path / "notes.txt"
    text = "# on site\n\nwall back\r\nlength a to b reads 87,2 cm   # with the tape\n"
    notes.write_text(text, encoding="utf-8")
    result = run("add", file, "--from", notes if way == "file" else "-", said=text if way == "pipe" else None)
    assert result.exit_code == 0
    wall, length = records_in(file)[1:]
    assert (wall.name, length.reads.text) == ("back", "87,2 cm")


def test_add_is_all_or_nothing_and_tells_every_line(tmp_path):
    file = new_survey(tmp_path)
    before = records_in(file)
    result = run("add", file, "wall back", "wal left", "length a to b reads -3", "wall right")
    assert result.exit_code == 2
    assert "line 2: " in result.stderr
    assert "line 3: reads: expected zero or more, got -3" in result.stderr
    assert records_in(file) == before


@pytest.mark.parametrize("arguments", [[], ["wall back", "--from", "-"], ["  # nothing"]])
def test_add_wants_lines_from_one_place(tmp_path, arguments):
    result = run("add", new_survey(tmp_path), *arguments, said="wall left\n")
    assert result.exit_code == 2
    assert "expected" in result.stderr


def test_add_refuses_notes_that_are_no_text(tmp_path):
    notes = tmp_path / "photo.jpg"
    notes.write_bytes(b"\xff\xd8\xff")
    result = run("add", new_survey(tmp_path), "--from", notes)
    assert result.exit_code == 2
    assert "expected text in UTF-8" in result.stderr


def test_who_and_on_what_come_from_options_or_the_environment(tmp_path):
    file = new_survey(tmp_path)
    run("add", file, "wall back", env={"SCRIBEFIT_PERSON": "Ada", "SCRIBEFIT_DEVICE": "bench"})
    run("add", file, "wall left", "--person", "Ben", env={"SCRIBEFIT_PERSON": "Ada"})
    assert [(each.person, each.device) for each in records_in(file)[1:]] == [("Ada", "bench"), ("Ben", "")]


def test_a_line_is_corrected_and_withdrawn_by_the_beginning_of_its_id(tmp_path):
    file = new_survey(tmp_path, "length a to b reads 60")
    first = records_in(file)[-1]
    run("add", file, f"correct {first.id[:4]}: length a to b reads 61")
    second = records_in(file)[-1]
    run("add", file, f"withdraw {second.id[:8]} because wrong wall")
    third = records_in(file)[-1]
    assert isinstance(second, LengthReading)
    assert isinstance(third, Withdrawal)
    assert (second.replaces, third.replaces) == ((first.id,), (second.id,))


def test_kinds_shows_every_kind_with_its_examples():
    from survey.dictation.patterns import PATTERNS

    shown = " ".join(run("add", "--kinds").stdout.split())
    for kind, pattern in PATTERNS.items():
        assert f"{kind}: {pattern.about}" in shown
        assert all(f"e.g. {example}" in shown for example in pattern.examples)


def test_the_help_of_add_has_lines_that_can_be_said(tmp_path):
    section = run("add", "--help").stdout.split("(--kinds shows all):\n")[1]
    result = run("add", new_survey(tmp_path), *[line.strip() for line in section.strip().splitlines()])
    assert result.exit_code == 0, result.stderr


def test_the_bench_lines_are_understood(tmp_path):
    assert len(records_in(new_survey(tmp_path, *LINES))) == 1 + len(LINES)


def test_a_correction_and_a_withdrawal_show_the_line_that_they_end(tmp_path):
    file = new_survey(tmp_path, "length a to b reads 66 1/4", "wall back")
    length = records_in(file)[1].id[:8]
    corrected = run("add", file, f"correct {length}: length a to b reads 60 1/4").stdout.splitlines()
    assert corrected[0].endswith(f"correct {length}: length a to b reads 60 1/4")
    assert corrected[-1].strip() == "no longer: length a to b reads 66 1/4"
    withdrawn = run("add", file, "withdraw last").stdout.splitlines()
    assert withdrawn[-1].strip() == "no longer: length a to b reads 60 1/4"


def test_withdraw_last_said_twice_takes_two_lines_back(tmp_path):
    file = new_survey(tmp_path, "wall back", "wall left", "wall right")
    for _ in range(2):
        assert run("add", file, "withdraw last").exit_code == 0
    with_one_call = run("add", file, "wall front", "withdraw last", "withdraw last")
    assert "no longer: wall front" in with_one_call.stdout
    assert "no longer: wall back" in with_one_call.stdout
    assert "wall" not in run("show", file).stdout.split("To do first")[0]


def test_a_withdrawal_cannot_be_taken_back_because_nothing_would_come_of_it(tmp_path):
    file = new_survey(tmp_path, "wall back", "withdraw last")
    result = run("add", file, f"withdraw {records_in(file)[-1].id[:8]}")
    assert result.exit_code == 2
    assert "say again what it took back" in result.stderr


def test_a_reading_is_not_lost_under_a_correction_that_is_something_else(tmp_path):
    file = new_survey(tmp_path, *LINES, "length left-back to m1 up 34 reads 60 5/16")
    before = records_in(file)
    result = run("add", file, "correct last: cabinet vanity width 47 height 31 depth 21")
    assert (result.exit_code, records_in(file)) == (2, before)
    assert "expected a length in the place of `length left-back to m1 up 34 reads 60 5/16`" in result.stderr
    assert "got a cabinet" in result.stderr


def test_a_thing_may_be_corrected_to_another_kind_under_its_name(tmp_path):
    file = new_survey(tmp_path, *LINES)
    line = "correct last: tall cabinet vanity width 47 height 80 depth 21"
    assert run("add", file, line).exit_code == 0


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("undo", "`withdraw last` takes back the newest"),
        (
            "top t on v thickness 1 material white oak, grain along width",
            'expected quotes around a text of several words: "white oak"',
        ),
        ("length a to b reads 60 3/8 cm", "expected a decimal in cm, got a fraction"),
        ("length a to b up 34 60 3/8", "a word or a comma between two"),
        ("straightedge back from a: 0 0 6 1/16 12 0", "a word or a comma between two"),
    ],
)
def test_common_slips_are_told_what_to_say_instead(tmp_path, line, message):
    result = run("add", new_survey(tmp_path), line)
    assert result.exit_code == 2
    assert message in result.stderr


def test_a_text_may_still_be_one_word_before_another_clause(tmp_path):
    file = new_survey(tmp_path)
    result = run("add", file, "top t on v thickness 1 material oak grain along width")
    assert result.exit_code == 0


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("cabinet con:left width 10 height 10 depth 10", "name: expected 1 to 40 letters, digits"),
        (f"shelf s width 10 height 10 thickness 1 material {'w' * 81}", "at most 80 characters: shorten it"),
    ],
)
def test_what_a_field_does_not_take_is_said_in_words(line, says):
    with pytest.raises(DictationError, match=says) as refused:
        dictate(["job J in inches to 1/16", line], Survey([]))
    assert not {"regex", "`str`", "$."} & set(str(refused.value).split())

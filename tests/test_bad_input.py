"""What bad input gets, end to end: the command, real files, its words, its exit status, and nothing written.

A refusal has exit status 2 and leaves every file as it was; a finding has its number, the record's id, what
to do, and exit status 1 (DESIGN section 7).
"""

from __future__ import annotations

import json
import os
import sqlite3
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from thorough import many

from survey.cli import main
from survey.file import SurveyFile
from survey.observe.condense import MOST_STATIONS
from survey.records import Job, LengthReading, Record, Room, Survey, TypedLength, Wall
from survey.text import write_text

PLACE = """
room place
wall left
wall back
wall right
corner left-back joins left and back
corner back-right joins back and right
length left-back to back-right up 850 reads 1500
three sides left-back 600 left 800 right diagonal 1000 up 850
""".strip().splitlines()

DAY = datetime(2024, 5, 1, tzinfo=UTC)
PATIENCE = 60.0
"""Seconds; a survey of 100,000 readings must be answered well before a person gives up."""


def run(*arguments: object, said: bytes | None = None) -> Result:
    """Run the command; an exception that gets out fails the test."""
    result = CliRunner().invoke(main, [str(one) for one in arguments], input=said)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    assert "Traceback" not in result.output
    return result


@pytest.fixture
def survey(tmp_path) -> Path:
    """A file with a place, which nothing is wrong with."""
    file = tmp_path / "job.survey"
    assert run("new", file, "--title", "Job", "--unit", "mm", "--level-line", "1000").exit_code == 0
    assert run("add", file, *PLACE).exit_code == 0
    return file


def refused(*arguments: object, says: str, said: bytes | None = None) -> None:
    result = run(*arguments, said=said)
    assert result.exit_code == 2, result.output
    assert says in result.output


def refused_line(file: Path, line: str, says: str) -> None:
    """A line that `add` refuses; the file is as it was, to the byte."""
    before = file.read_bytes()
    refused("add", file, "wall good", line, says=says)
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]


def records_of(file: Path) -> tuple[Record, ...]:
    with SurveyFile.open(file) as opened:
        return opened.survey().records


def found(file: Path, number: int, *words: str) -> list[str]:
    """The record ids of the one finding of a number; it says these words, what to do, and stops."""
    before = file.read_bytes()
    result = run("check", file, "--json")
    assert result.exit_code == 1, result.output
    (finding,) = [one for one in json.loads(result.stdout) if one["number"] == number]
    for word in words:
        assert word in finding["says"]
    assert finding["do"]
    assert finding["severity"] == "stops"
    assert run("fit", file).exit_code == 1
    assert file.read_bytes() == before
    return list(finding["records"])


def last(file: Path) -> str:
    return records_of(file)[-1].id


def added(file: Path, *lines: str) -> str:
    """Add lines; give the last record's id."""
    result = run("add", file, *lines)
    assert result.exit_code == 0, result.output
    return last(file)


# --- Readings that cannot be


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("length left-back to back-right up 850 reads -1500", "zero or more, got -1500"),
        ("length left-back to back-right up 850 reads 60001", "at most 60 m, got 60001"),
        ("length left-back to back-right up 850 reads 61 m", "at most 60 m, got 61 m"),
        ("three sides left-back 600 left 800 right diagonal 0 up 850", "more than zero, got 0"),
        ("angle left-back reads 400 reach 200 up 850", "expected at most 360 degrees"),
        ("cabinet box width -600 height 700 depth 500", "more than zero, got -600"),
        ("length left-back to back-right up 850 reads nan", "got"),
        ("length left-back to back-right up 850 reads 1500 sd 0 mm", "sd: expected more than zero, got 0"),
        ("length left-back to back-right up 850 reads 1e3", "got"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(survey, line, says):
    refused_line(survey, line, says)


def record_text(file: Path, **changes: object) -> bytes:
    """The file's text, its last length changed."""
    told = json.loads(run("export", file).stdout)
    (length,) = [one for one in told["records"] if one["kind"] == "length"]
    length.update(changes)
    return json.dumps(told).encode()


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"reads": {"text": "-5", "unit": "mm"}}, "zero or more, got -5"),
        ({"reads": {"text": "60001", "unit": "mm"}}, "at most 60 m, got 60001"),
        ({"sd": {"text": "0", "unit": "mm"}}, "sd: expected more than zero, got 0"),
    ],
)
def test_import_refuses_a_reading_that_cannot_be_and_names_the_record(survey, tmp_path, changes, says):
    (length,) = [one for one in records_of(survey) if isinstance(one, LengthReading)]
    copy = tmp_path / "copy.survey"
    changed = record_text(survey, **changes)
    refused("import", "-", copy, said=changed, says=says)
    assert length.id in run("import", "-", copy, said=changed).output
    assert not copy.exists()


@pytest.mark.parametrize(("text", "says"), [("-5", "more than zero"), ("60001", "at most 60 m")])
def test_a_file_that_holds_such_a_reading_all_the_same_has_a_finding(survey, text, says):
    """Written past the command, as another program may."""
    bad = LengthReading(
        id="bad-length",
        taken=DAY,
        between=("left-back", "back-right"),
        up=TypedLength("850", "mm"),
        reads=TypedLength(text, "mm"),
    )
    with SurveyFile.open(survey, write=True) as opened:
        opened.append(bad)
    assert found(survey, 200, text, says) == ["bad-length"]


def test_a_station_off_its_wall(survey):
    """The wall is 1500 long; a gap at 8500 (850 was meant) was read by nobody."""
    record = added(survey, "straightedge back up 850 from left-back: 0 0, 600 1, 8500 0")
    assert record in found(survey, 201, "8500 mm", "`back`", "1500 mm")


def test_a_corner_of_30_degrees_from_a_slipped_digit(survey):
    """89.5 was meant."""
    record = added(survey, "angle back-right reads 39.5 reach 200 up 850")
    assert record in found(survey, 202, "`back-right`", "39.5")


def test_three_sides_that_make_no_triangle(survey):
    """The diagonal's first digit slipped: 600 + 800 < 2000."""
    record = added(survey, "three sides back-right 800 left 600 right diagonal 2000 up 850")
    assert found(survey, 204, "no triangle") == [record]


def test_a_wall_that_is_named_but_does_not_exist(survey):
    record = added(survey, "lean north along 200 from left-back low 100 high 900 in 2")
    assert found(survey, 103, "`north`, which does not exist") == [record]


def test_two_corners_that_swap(tmp_path):
    """Facing the back wall, `left` stands at its right: whoever reads left and right takes the wrong wall."""
    file = tmp_path / "job.survey"
    run("new", file, "--title", "Job", "--unit", "mm")
    run("add", file, "room r", "wall left", "wall back", "wall right")
    record = added(file, "corner a joins back and left")
    assert record in found(file, 106, "`left`", "right end")


def test_corners_that_make_no_room(survey):
    """The right wall's other end is said to be the left end of the back wall as well."""
    record = added(survey, "corner again joins right and back")
    assert record in found(survey, 104)


def test_a_piece_taller_than_the_room(survey):
    added(
        survey,
        *(
            f"drop floor back along {along} from left-back out {out} reads 1000"
            for along in (50, 1400)
            for out in (50, 550)
        ),
        "drop ceiling back along 700 from left-back out 300 reads 1400",
        "lean left along 500 from left-back low 100 high 1900 in 0",
    )
    record = added(
        survey, "tall cabinet linen width 600 height 2500 depth 500, left meets left filler gap 20"
    )
    assert found(survey, 500, "`linen` is 2500 mm high; the room there is 2400 mm") == [record]
    (piece,) = json.loads(run("fit", survey, "--json").stdout)["pieces"]
    assert piece["status"] == "not ready"
    assert piece["finished"] == []


def test_an_empty_survey(tmp_path):
    file = tmp_path / "empty.survey"
    SurveyFile.create(file, []).close()
    result = run("check", file)
    assert result.exit_code == 1
    assert "there is no job record" in result.output
    assert "there is no wall" in result.output
    assert run("fit", file).exit_code == 1
    assert run("show", file).exit_code == 0


# --- Far too much


def test_a_survey_of_far_too_many_readings(tmp_path):
    count = many(20_000, 100_000)
    file = tmp_path / "huge.survey"
    records: list[Record] = [
        Job(id="job", taken=DAY, title="Huge", unit="mm", step="1 mm"),
        Room(id="room", taken=DAY, name="r"),
        Wall(id="wall", taken=DAY, name="back"),
    ]
    reads, up = TypedLength("1500", "mm"), TypedLength("850", "mm")
    records += [
        LengthReading(id=f"l{number}", taken=DAY, between=("a", "b"), up=up, reads=reads)
        for number in range(count)
    ]
    SurveyFile.create(file, records).close()
    started = time.perf_counter()
    assert "l0" in found(file, 205, f"{count} numbers were read")
    assert time.perf_counter() - started < PATIENCE


def test_a_check_with_far_too_many_stations(survey, tmp_path):
    notes = tmp_path / "notes.txt"
    stations = ", ".join(f"{number / 100:.2f} 0" for number in range(many(10_000, 100_000)))
    notes.write_text(f"straightedge back up 850 from left-back: {stations}\n", encoding="utf-8")
    started = time.perf_counter()
    check = added(survey, "--from", str(notes))
    assert json.loads(run("check", survey, "--json").stdout) == []
    told = json.loads(run("fit", survey, "--json").stdout)
    read = [one for one in told["room"]["residuals"] if one["record"] == check]
    assert 2 < len(read) <= MOST_STATIONS  # neighbours taken together: as many as a wall has waves
    assert all(isinstance(one["adjusted_minus_read"], float) for one in read)
    assert time.perf_counter() - started < 5 * PATIENCE


# --- Text that is broken


@pytest.fixture
def text(survey) -> bytes:
    return run("export", survey).stdout.encode()


def refused_text(tmp_path: Path, text: bytes, says: str) -> None:
    """A text that `import` refuses; no file is begun."""
    copy, given = tmp_path / "copy.survey", tmp_path / "given.json"
    given.write_bytes(text)
    before = set(tmp_path.iterdir())
    refused("import", given, copy, says=says)
    assert set(tmp_path.iterdir()) == before


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.999])
def test_a_text_cut_off(tmp_path, text, share):
    refused_text(tmp_path, text[: int(len(text.rstrip()) * share)], "get it whole" if share else "expected")


def changed(text: bytes, change) -> bytes:
    told = json.loads(text)
    change(told)
    return json.dumps(told).encode()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda told: told.update(records="none"), "records"),
        (lambda told: told["records"][0].update(title=5), "records[0].title"),
        (lambda told: told["records"][1].update(kind="spaceship"), "spaceship"),
        (lambda told: told["records"][1].update(wings=2), "wings"),
        (lambda told: told["records"][0].pop("unit"), "unit"),
        (lambda told: told["records"].append({**told["records"][0], "title": "Another"}), "other content"),
        (lambda told: told["records"][1].update(replaces=[told["records"][1]["id"]]), "replaces itself"),
        (lambda told: told.update(version=told["version"] + 1), "newer"),
        (lambda told: told.update(format="something else"), "something else"),
    ],
    ids=[
        "records of the wrong type", "a number as title", "an unknown kind", "an unknown field", "no unit",
        "one id with two contents", "corrections in a circle", "a newer version", "another format",
    ],
)  # fmt: skip
def test_a_text_that_is_wrong(tmp_path, text, change, says):
    refused_text(tmp_path, changed(text, change), says)


def test_a_circle_of_two(tmp_path, text):
    def circle(told):
        first, second = told["records"][1], told["records"][2]
        first["replaces"], second["replaces"] = [second["id"]], [first["id"]]

    refused_text(tmp_path, changed(text, circle), "replaces itself through")


@pytest.mark.parametrize("number", [b"NaN", b"Infinity", b"-Infinity", b"1e999"])
def test_no_number(tmp_path, text, number):
    told = changed(text, lambda told: told["records"][0].update(confidence=123454321))
    refused_text(tmp_path, told.replace(b"123454321", number), "confidence" if b"e" in number else "expected")


def test_a_text_that_is_no_text(tmp_path):
    refused_text(tmp_path, b"\x00\xff\xfe not json", "expected")


# --- Files that are none


@pytest.mark.parametrize("command", ["check", "fit", "show", "export"])
def test_files_that_are_no_survey(tmp_path, command):
    foreign, words, folder = tmp_path / "foreign.db", tmp_path / "words.txt", tmp_path / "folder"
    with sqlite3.connect(foreign) as other:
        other.execute("CREATE TABLE shopping (item TEXT)")
    other.close()
    words.write_text("milk, bread\n", encoding="utf-8")
    folder.mkdir()
    for file in (foreign, words, folder, tmp_path / "nowhere.survey"):
        before = file.read_bytes() if file.is_file() else None
        result = run(command, file)
        assert result.exit_code == 2, (file, result.output)
        assert file.name in result.output
        assert (file.read_bytes() if file.is_file() else None) == before
    assert not (tmp_path / "nowhere.survey").exists()


def test_nothing_is_added_to_a_file_that_is_no_survey(tmp_path):
    foreign = tmp_path / "foreign.db"
    with sqlite3.connect(foreign) as other:
        other.execute("CREATE TABLE shopping (item TEXT)")
    other.close()
    before = foreign.read_bytes()
    refused("add", foreign, "wall back", says="foreign.db")
    assert foreign.read_bytes() == before


def test_a_survey_file_of_a_newer_version(survey):
    with sqlite3.connect(survey) as other:
        (version,) = other.execute("PRAGMA user_version").fetchone()
        other.execute(f"PRAGMA user_version = {version + 1}")
    other.close()
    refused("check", survey, says="newer")
    refused_line(survey, "wall north", "newer")


def test_a_survey_file_cut_in_half(survey):
    whole = survey.read_bytes()
    survey.write_bytes(whole[: len(whole) // 2])
    result = run("fit", survey)
    assert result.exit_code == 2
    assert survey.name in result.output


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to the administrator")
def test_no_permission(survey):
    survey.chmod(0)
    refused("check", survey, says="permission")


def test_what_exists_is_not_written_over(survey, tmp_path, text):
    before = survey.read_bytes()
    given = tmp_path / "given.json"
    given.write_bytes(text)
    refused("new", survey, "--title", "Job", "--unit", "mm", says=survey.name)
    refused("import", given, survey, says=survey.name)
    assert survey.read_bytes() == before


def test_export_then_import_is_the_same_survey(survey, tmp_path, text):
    """That the tests above refuse for the right reason."""
    given, copy = tmp_path / "given.json", tmp_path / "copy.survey"
    given.write_bytes(text)
    assert run("import", given, copy).exit_code == 0
    assert records_of(copy) == records_of(survey)
    assert write_text(Survey(records_of(copy))) == text

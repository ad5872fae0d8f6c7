"""`export` and `import`: the identity, and what is refused."""

import json
import sqlite3
from contextlib import closing

import pytest
from cli_bench import LINES, new_survey, records_in, run

from survey.file import SurveyFile


def test_import_of_an_export_is_the_same_survey(tmp_path):
    file = new_survey(tmp_path, *LINES)
    with SurveyFile.open(file, write=True) as opened:
        opened.add_photo(b"\xff\xd8\xff not much of a picture")
        photos = opened.photos()
    assert run("export", file, "-o", tmp_path / "job.json").exit_code == 0
    result = run("import", tmp_path / "job.json", tmp_path / "again.survey")
    assert (result.exit_code, records_in(tmp_path / "again.survey")) == (0, records_in(file))
    with SurveyFile.open(tmp_path / "again.survey") as again:
        assert again.photos() == photos


def test_an_export_goes_through_a_pipe(tmp_path):
    file = new_survey(tmp_path, *LINES)
    text = run("export", file).stdout_bytes
    assert run("import", "-", tmp_path / "again.survey", said=text).exit_code == 0
    assert records_in(tmp_path / "again.survey") == records_in(file)


def test_neither_writes_over_a_file(tmp_path):
    file, there = new_survey(tmp_path, *LINES), tmp_path / "there"
    there.write_text("mine")
    assert run("export", file, "-o", there).exit_code == 2
    run("export", file, "-o", tmp_path / "job.json")
    result = run("import", tmp_path / "job.json", there)
    assert (result.exit_code, there.read_text()) == (2, "mine")
    assert "exists already" in result.stderr


def _cut_in_half(text: str) -> str:
    return text[: len(text) // 2]


def _with(change):
    def changed(text: str) -> str:
        document = json.loads(text)
        change(document["records"])
        return json.dumps(document)

    return changed


def _set(index, **values):
    return _with(lambda records: records[index].update(values))


@pytest.mark.parametrize(
    ("damage", "message"),
    [
        (_cut_in_half, ""),
        (lambda text: "", ""),
        (lambda text: text.replace('"60 3/8"', "NaN"), ""),
        (_set(6, kind="lenght"), "lenght"),
        (_set(6, reads=60), "reads"),
        (_set(6, reads={"text": "-60", "unit": "in"}), "reads: expected zero or more, got -60"),
        (_set(6, reads={"text": "61", "unit": "m"}), "expected at most 60 m"),
        (_with(lambda records: records[5].update(id=records[6]["id"])), "with other content"),
        (_with(lambda records: records[5].update(replaces=[records[5]["id"]])), ""),
    ],
    ids=["half", "empty", "nan", "kind", "type", "below zero", "over 60 m", "same id", "circle"],
)
def test_a_damaged_text_is_refused_and_leaves_no_file(tmp_path, damage, message):
    text = run("export", new_survey(tmp_path, *LINES)).stdout
    (tmp_path / "bad.json").write_text(damage(text))
    result = run("import", tmp_path / "bad.json", tmp_path / "bad.survey")
    assert result.exit_code == 2
    assert message in result.stderr
    assert "program failed" not in result.stderr
    assert sorted(each.name for each in tmp_path.iterdir()) == ["bad.json", "job.survey"]


def test_a_refused_record_is_named(tmp_path):
    file = new_survey(tmp_path, *LINES)
    document = json.loads(run("export", file).stdout)
    document["records"][6]["reads"]["text"] = "-1"
    result = run("import", "-", tmp_path / "b.survey", said=json.dumps(document))
    assert f"record {records_in(file)[6].id}: reads" in result.stderr


def test_tables_are_written_for_queries_and_never_over_a_file(tmp_path):
    file, tables = new_survey(tmp_path, *LINES), tmp_path / "tables.sqlite"
    assert run("export", file, "--tables", tables).exit_code == 0
    with closing(sqlite3.connect(tables)) as opened:
        assert opened.execute("select count(*) from wall").fetchone()[0] > 0
    before = tables.read_bytes()
    assert run("export", file, "--tables", tables).exit_code == 2
    assert run("export", file, "--tables", tmp_path / "t", "-o", tmp_path / "o").exit_code == 2
    assert tables.read_bytes() == before

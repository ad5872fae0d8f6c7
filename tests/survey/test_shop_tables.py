"""The shop's tables, read with the standard sqlite3."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies_records import records_of

from survey.errors import FileError
from survey.records import KINDS, Job, Station, StraightedgeCheck, Survey, TypedLength, Wall, Withdrawal
from survey.tables import write_tables

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


def inches(text: str) -> TypedLength:
    return TypedLength(text, "in")


SURVEY = Survey(
    [
        Job(id="j", taken=NOON, title="Alcove", unit="in", step="1/16"),
        Wall(id="w1", taken=NOON, name="back", spacing=inches("16")),
        Wall(id="w2", taken=NOON, name="lost"),
        Withdrawal(id="x", taken=NOON, replaces=("w2",)),
        StraightedgeCheck(
            id="s",
            taken=NOON,
            wall="back",
            from_="left-back",
            up=inches("34"),
            stations=(Station(inches("0"), inches("1/8")), Station(inches("12"), inches("0"))),
        ),
    ]
)


def rows(path, query):
    with closing(sqlite3.connect(path)) as opened:
        return opened.execute(query).fetchall()


def test_a_length_is_there_as_typed_and_in_millimetres(tmp_path):
    write_tables(SURVEY, tmp_path / "t.sqlite")
    assert rows(tmp_path / "t.sqlite", "select name, spacing, spacing_mm from wall") == [
        ("back", "16 (in)", 406.4)
    ]


def test_stations_have_a_table_of_their_own(tmp_path):
    write_tables(SURVEY, tmp_path / "t.sqlite")
    found = rows(tmp_path / "t.sqlite", "select record, position, at_mm, gap_mm from straightedge_stations")
    assert found == [("s", 0, 0.0, 3.175), ("s", 1, 304.8, 0.0)]


def test_what_was_withdrawn_is_not_in_the_tables(tmp_path):
    write_tables(SURVEY, tmp_path / "t.sqlite")
    tables = {name for (name,) in rows(tmp_path / "t.sqlite", "select name from sqlite_master")}
    assert tables == {"job", "wall", "straightedge", "straightedge_stations"}


def test_a_file_that_exists_is_refused_and_kept(tmp_path):
    path = tmp_path / "t.sqlite"
    path.write_text("mine")
    with pytest.raises(FileError, match="exists already"):
        write_tables(SURVEY, path)
    assert path.read_text() == "mine"


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"withdrawal"}))
@settings(max_examples=5, deadline=None)
@given(data=st.data())
def test_every_kind_can_be_tabled(kind, data):
    with TemporaryDirectory() as folder:
        path = Path(folder, "t.sqlite")
        write_tables(Survey([data.draw(records_of(kind))]), path)
        assert rows(path, f'select count(*) from "{kind.replace("-", "_")}"') == [(1,)]

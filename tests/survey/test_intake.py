"""Pieces from a cut list: our own comes back the same, others by a mapping, and what cannot be is named."""

import pytest
from cli_bench import run
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sample_reports import sample_report, survey_of

from survey.cells import as_it_was, harmless
from survey.dictation import Hand, dictate
from survey.file import SurveyFile
from survey.handover.cut_list import cut_list
from survey.intake import MOST_BYTES, IntakeError, _content, guessed, read_cut_list, take_in
from survey.records import Cabinet, Piece, Shelf, Survey
from survey.samples import sample_names
from survey.shop import read_shop

JOB = Survey(dictate(["job Hall in mm to 1 mm", "room hall", "wall back", "wall left"], Survey([])))
INCHES = Survey(dictate(["job Hall in in to 1/16", "room hall", "wall back", "wall left"], Survey([])))
SHELVES = b"Part;Qty;W;H;Thick;Mat\r\nupper;2;600;250;18;oak\r\nlower;1;597,5;250;18;\r\n"


def taken(content, survey=JOB, **more):
    read = read_cut_list(content)
    columns = guessed(read.headings, more.pop("columns", {}))
    return take_in(read, survey, columns, Hand(), **more)


@pytest.mark.parametrize("sizes", ["as printed", "decimal"])
@pytest.mark.parametrize("name", sample_names())
def test_a_list_of_our_own_comes_back_the_same(name, sizes):
    """Into a survey of the same room without pieces, and into its own, where all are there already."""
    survey = survey_of(name)
    pieces = survey.of(Piece)
    content = cut_list(sample_report(name), survey, sizes)
    bare = Survey([one for one in survey.records if not isinstance(one, Piece)])
    found = taken(content, bare)
    assert found.faults == ()
    assert [_content(one) for one in found.records] == [_content(one) for one in pieces]
    again = taken(content, survey)
    assert (again.records, again.faults) == ((), ())
    assert again.same == tuple(one.name for one in pieces)


def test_a_list_of_another_shop_by_its_headings():
    found = taken(SHELVES, kind="shelf")
    assert found.faults == ()
    upper, lower = found.records
    assert isinstance(upper, Shelf)
    assert (upper.name, upper.quantity, upper.material) == ("upper", 2, "oak")
    assert [float(size.mm) for size in (lower.width, lower.height, lower.thickness)] == [597.5, 250, 18]


def test_inches_as_fractions_and_kinds_by_a_column():
    content = b'Name,Kind,Width,Height,Depth\nbase one,Cabinet,34 5/16,31,21"\n'
    (base,) = taken(content, INCHES).records
    assert isinstance(base, Cabinet)
    assert base.name == "base-one"
    assert float(base.width.mm) == pytest.approx(34.3125 * 25.4)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_any_mark_and_common_encoding(encoding, mark):
    text = mark.join(["name", "width", "height", "thick", "material"]) + "\n"
    text += mark.join(["böden", "600", "250", "18", "Eiche"]) + "\n"
    (one,) = taken(text.encode(encoding), kind="shelf").records
    assert (one.name, one.material) == ("böden", "Eiche")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "line 1: expected the headings"),
        (b"\n\n", "line 1: expected the headings"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "expected text"),
        (b"name,name\na,b\n", "line 1: expected headings that differ, got 'name'"),
        (b'name,width\n"a,600\n', "broken"),
        (b"name,width\na,600,7\n", "line 2: expected 2 cells, got 3"),
        (b"x" * (MOST_BYTES + 1), "at most 16 MB"),
    ],
    ids=["empty", "blank", "a picture", "two alike", "open quote", "ragged", "large"],
)
def test_what_is_no_table_is_refused(content, says):
    with pytest.raises(IntakeError, match=says):
        read_cut_list(content)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (b"a,600,250", "thickness"),
        (b"a,1e9,250,18", "line 2"),
        (b"a,-600,250,18", "line 2"),
        (b"a,NaN,250,18", "width"),
        (b'a,"1,200.5",250,18', "width"),
        (b",600,250,18", "expected a name"),
        (b"a,600,250,18\na,500,250,18", "line 3: expected names that differ, got 'a'"),
    ],
)
def test_rows_that_cannot_be_are_named_with_their_line(row, says):
    found = taken(b"name,width,height,thickness\n" + row + b"\n", kind="shelf")
    assert len(found.faults) == 1
    assert says in found.faults[0]


def test_a_kind_is_asked_for_and_a_foreign_size_refused():
    assert "expected a kind in a column, or one given" in taken(SHELVES).faults[0]
    found = taken(b"name,kind,depth\na,shelf,300\n")
    assert "a shelf has no depth, got '300'" in found.faults[0]


def test_a_piece_that_is_there_is_refused_skipped_or_corrected():
    there = Survey([*JOB.records, *taken(SHELVES, kind="shelf").records])
    other = SHELVES.replace(b"upper;2;600", b"upper;2;610")
    assert "a piece 'upper' already" in taken(other, there, kind="shelf").faults[0]
    assert taken(other, there, kind="shelf", again="skip").records == ()
    (new,) = taken(other, there, kind="shelf", again="correct").records
    (old,) = [one for one in there.of(Piece) if one.name == "upper"]
    assert new.replaces == (old.id,)
    assert taken(other, there, kind="shelf", again="correct").same == ("lower",)


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=12))
def test_cells_come_back_as_they_were(cell):
    assert as_it_was(harmless(cell)) == cell


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content):
    try:
        read = read_cut_list(content)
    except IntakeError:
        return
    take_in(read, JOB, guessed(read.headings, {}), Hand(), kind="shelf")


def test_many_rows_are_taken():
    rows = "".join(f"s{i},600,250,18\n" for i in range(3_000))
    assert len(taken(b"name,width,height,thickness\n" + rows.encode(), kind="shelf").records) == 3_000


def test_the_command_takes_all_or_none_and_keeps_what_was_said(tmp_path):
    file, shop, parts = tmp_path / "a.survey", tmp_path / "shop.json", tmp_path / "parts.csv"
    SurveyFile.create(file, JOB.records).close()
    parts.write_text("Part,Long,Deep,Thick\nupper,600,250,18\nlower,abc,250,18\n")
    said = ("--kind", "shelf", "--shop", shop, "--column", "Long=width", "--column", "Deep=height")
    result = run("intake", file, parts, *said)
    assert result.exit_code == 2
    assert "line 3: width" in result.stderr
    assert SurveyFile.open(file).survey().of(Piece) == ()
    assert not shop.exists()
    result = run("intake", file, parts, *said, "--good-ones")
    assert result.exit_code == 0
    assert "Long is the width" in result.stdout
    assert "1 piece came in." in result.stdout
    assert read_shop(shop).columns == {"Long": "width", "Deep": "height"}
    parts.write_text("Part,Long,Deep,Thick\nthird,700,250,18\n")
    result = run("intake", file, parts, "--kind", "shelf", "--shop", shop, "--look")
    assert "1 piece would come in" in result.stdout
    assert len(SurveyFile.open(file).survey().of(Piece)) == 1
    for wrong in ("Long", "Nope=width", "Long=girth"):
        assert run("intake", file, parts, "--shop", shop, "--column", wrong).exit_code == 2

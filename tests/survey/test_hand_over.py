"""The hand-over folder: what is in it, and that it is written whole or not at all."""

import csv
import io
import json
import os
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import pdfplumber
import pytest
from msgspec.structs import replace
from report_zoo import METRIC, alcove_top, cabinet, corner_top, filler, not_ready, report, tall_panel
from shapely import Point, Polygon
from test_backends import outline_of, read_dxf, values, vertices

from survey.errors import FileError, SurveyError, TextError
from survey.handover import contents
from survey.handover.names import file_names
from survey.handover.write import hand_over
from survey.records import Survey
from survey.records.room import Job
from survey.report.structs import FitReport
from survey.text import read_text, survey_hash

SURVEY = Survey(
    [
        Job(
            id="job-1",
            taken=datetime(2026, 3, 1, 9, 0, tzinfo=UTC),
            title="Hall bathroom",
            unit="in",
            step="1/16",
        )
    ]
)


def of_survey(made: FitReport) -> FitReport:
    return replace(made, survey_hash=survey_hash(SURVEY), revision=1)


VANITY = of_survey(report(cabinet(), corner_top(), filler(), not_ready()))


def names(folder):
    return sorted(one.name for one in folder.iterdir())


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    target = tmp_path_factory.mktemp("job") / "cut"
    hand_over(SURVEY, VANITY, target)
    return target


def test_it_holds_what_the_shop_needs(folder):
    assert names(folder) == [
        "cut-list_r0001.csv",
        "filler-left_r0001_in.dxf",
        "fit-report_r0001.json",
        "job-book_r0001.pdf",
        "manifest.json",
        "saw-list_r0001.csv",
        "survey_r0001.json",
        "vanity-top_r0001_in.dxf",
    ]


def test_it_returns_the_files_in_order_and_leaves_nothing_else(tmp_path):
    target = tmp_path / "cut"
    files = hand_over(SURVEY, of_survey(report(filler())), target)
    assert files == sorted(target.iterdir())
    assert names(tmp_path) == ["cut"]


def test_every_file_is_what_its_name_says(folder):
    rows = list(csv.DictReader(io.StringIO((folder / "cut-list_r0001.csv").read_text("utf-8-sig"))))
    assert [one["piece"] for one in rows] == ["vanity", "vanity-top", "filler-left", "splash-left"]
    with pdfplumber.open(folder / "job-book_r0001.pdf") as sheet:
        assert "Hall bathroom" in sheet.pages[0].extract_text()
    assert msgspec.json.decode((folder / "fit-report_r0001.json").read_bytes(), type=FitReport) == VANITY
    assert json.loads((folder / "fit-report_r0001.json").read_text())["survey_hash"] == survey_hash(SURVEY)
    assert read_text((folder / "survey_r0001.json").read_bytes()) == (SURVEY, {})


def test_same_input_same_bytes(folder, tmp_path):
    hand_over(SURVEY, VANITY, tmp_path / "again")
    for one in folder.iterdir():
        assert (tmp_path / "again" / one.name).read_bytes() == one.read_bytes(), one.name


@pytest.mark.parametrize(
    ("piece", "unit", "per", "gone"),
    [
        (corner_top(), "in", 25.4, (-1420.0, 40.0)),
        (tall_panel(), "in", 25.4, (-582.0, 70.0)),
        (alcove_top(), "mm", 1.0, (270.0, 400.0)),
    ],
    ids=["corner", "tall", "alcove"],
)
def test_outlines_are_in_the_unit_of_their_name_and_never_mirrored(tmp_path, piece, unit, per, gone):
    """`gone` is in the notch (by hand from the zoo); its mirror image is wood."""
    made = report(piece) if unit == "in" else report(piece, step=METRIC)
    hand_over(SURVEY, of_survey(made), tmp_path / "cut")
    header, entities = read_dxf((tmp_path / "cut" / f"{piece.name}_r0001_{unit}.dxf").read_bytes())
    assert header["$INSUNITS"] == [{"in": "1", "mm": "4"}[unit]]
    scribed = any(edge.allowance for edge in piece.edges)
    finished, rough = ("REFERENCE", "CUT") if scribed else ("CUT", "BLANK")
    found = [(x * per, y * per) for x, y, _ in vertices(outline_of(entities, finished))]
    assert found == [pytest.approx(point, abs=1e-6) for point in piece.outline]
    ring = Polygon(found)
    left, bottom, right, top = ring.bounds
    assert ring.distance(Point(gone)) > 0
    assert ring.distance(Point(left + right - gone[0], gone[1])) == 0
    assert ring.distance(Point(gone[0], bottom + top - gone[1])) == 0
    assert {values(one, 8)[0] for one in entities if one[0][1] == "TEXT"} == {"NOTE"}
    blank = Polygon([v[:2] for v in vertices(outline_of(entities, rough))])
    assert blank.area * per**2 == pytest.approx(Polygon(piece.blank_outline).area)


def test_only_ready_pieces_with_an_outline_are_cut(tmp_path):
    pieces = [
        replace(corner_top(), name="typed", status="as typed"),
        replace(corner_top(), name="open", status="not ready"),
        filler(),
        cabinet(),
    ]
    files = hand_over(SURVEY, of_survey(report(*pieces)), tmp_path / "cut")
    assert [one.name for one in files if one.suffix == ".dxf"] == ["filler-left_r0001_in.dxf"]


def test_an_empty_folder_is_filled(tmp_path):
    (tmp_path / "cut").mkdir()
    hand_over(SURVEY, of_survey(report(filler())), tmp_path / "cut")
    assert len(names(tmp_path / "cut")) == 7


def test_a_folder_that_holds_something_is_refused_and_left_alone(tmp_path):
    target = tmp_path / "cut"
    target.mkdir()
    (target / "mine.txt").write_text("mine")
    with pytest.raises(FileError, match=r"holds 'mine.txt'; nothing was written. Choose another"):
        hand_over(SURVEY, VANITY, target)
    assert names(target) == ["mine.txt"]
    assert names(tmp_path) == ["cut"]


def test_a_second_hand_over_says_what_to_do(tmp_path):
    made = of_survey(report(filler()))
    hand_over(SURVEY, made, tmp_path / "cut")
    with pytest.raises(FileError, match="move the old hand-over away"):
        hand_over(SURVEY, made, tmp_path / "cut")


def test_a_file_or_link_in_the_way_is_refused(tmp_path):
    (tmp_path / "cut").write_text("a file")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    for name in ("cut", "link"):
        with pytest.raises(FileError, match="expected a new or empty folder, got something else"):
            hand_over(SURVEY, VANITY, tmp_path / name)
    assert names(tmp_path / "elsewhere") == []


def test_a_missing_parent_is_said(tmp_path):
    with pytest.raises(FileError, match="there is no such folder; make it first"):
        hand_over(SURVEY, VANITY, tmp_path / "no" / "cut")


@pytest.mark.parametrize("broken", ["cut_list", "report_text", "write_text", "job_book", "write_dxf"])
def test_nothing_is_left_after_a_failure_at_any_file(tmp_path, monkeypatch, broken):
    def fail(*_args, **_more):
        raise OSError("disk full")

    monkeypatch.setattr(contents, broken, fail)
    with pytest.raises(FileError, match="could not be written: disk full"):
        hand_over(SURVEY, of_survey(report(filler())), tmp_path / "cut")
    assert names(tmp_path) == []


def test_a_folder_filled_meanwhile_is_not_overwritten(tmp_path):
    target = tmp_path / "cut"

    def somebody(*_step):
        target.mkdir(exist_ok=True)
        (target / "mine.txt").write_text("mine")

    with pytest.raises(FileError, match=r"holds 'mine.txt'"):
        hand_over(SURVEY, of_survey(report(filler())), target, somebody)
    assert names(target) == ["mine.txt"]
    assert names(tmp_path) == ["cut"]


def test_the_report_of_another_survey_is_refused(tmp_path):
    with pytest.raises(SurveyError, match="the survey has changed since; fit again"):
        hand_over(SURVEY, report(filler()), tmp_path / "cut")
    assert names(tmp_path) == []


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(tmp_path, bad):
    made = of_survey(report(replace(cabinet(), confidence=None)))
    room = replace(made.room, corners=())
    broken = replace(made, room=room, confidence=bad)
    with pytest.raises(SurveyError, match="holds what is no number"):
        hand_over(SURVEY, broken, tmp_path / "cut")
    assert names(tmp_path) == []


def test_photos_go_with_the_survey(tmp_path):
    import hashlib

    photo = b"\xff\xd8 a picture"
    photos = {hashlib.sha256(photo).hexdigest(): photo}
    hand_over(SURVEY, of_survey(report(filler())), tmp_path / "cut", photos=photos)
    assert read_text((tmp_path / "cut" / "survey_r0001.json").read_bytes())[1] == photos
    with pytest.raises(TextError, match="damaged"):
        hand_over(SURVEY, of_survey(report(filler())), tmp_path / "bad", photos={"0" * 64: photo})
    assert names(tmp_path) == ["cut"]


def test_progress_ends_with_all_files(tmp_path):
    told = []
    hand_over(SURVEY, VANITY, tmp_path / "cut", lambda *step: told.append(step))
    assert told[0] == ("job-book_r0001.pdf", 0, 8)
    assert told[-1] == ("hand-over", 8, 8)
    assert ("vanity-top_r0001_in.dxf", 3, 8) in told


HOSTILE = [
    "../../escape",
    "/etc/passwd",
    "..",
    ".",
    "a/b",
    "a\\b",
    "C:\\top",
    "CON",
    "nul.txt",
    "top\x00",
    "-rf",
    "Straße/Größe",
    "é",
    "e\u0301",
    "TOP",
    "top",
    "a\nb",
    "\u202etxt",
    "name.",
    "…" * 40,
    "字" * 200,
    "x" * 300,
    "📐 top",
    "لوح",
    "\u2067abc\u2069",
    "",
]


def test_names_of_pieces_never_lead_out_of_the_folder(tmp_path):
    pieces = [replace(filler(), name=name) for name in HOSTILE]
    made = of_survey(report(*pieces))
    target = tmp_path / "cut"
    files = hand_over(SURVEY, made, target)
    outlines = [one for one in files if one.suffix == ".dxf"]
    assert len(outlines) == len(HOSTILE)
    assert all(one.parent == target and one.is_file() for one in files)
    assert names(tmp_path) == ["cut"]
    assert len(names(target)) == len(HOSTILE) + 6


@pytest.mark.parametrize("name", HOSTILE)
def test_file_names_are_safe_on_every_system(name):
    """Reserved characters and names as Microsoft's "Naming Files, Paths, and Namespaces" has them
    (from memory); the unit at the end keeps a name from being a reserved one."""
    (found,) = file_names([name])
    whole = f"{found}_in.dxf"
    assert not set(whole) & set('<>:"/\\|?*\x00\n\r\u202e')
    assert whole.partition(".")[0].upper() not in {"CON", "PRN", "AUX", "NUL", "COM1", "LPT1"}
    assert not whole.startswith((".", "-", " "))
    assert len(os.fsencode(whole)) <= 255
    assert Path(whole).name == whole


def test_names_that_would_be_the_same_file_are_told_apart():
    found = file_names(["top", "TOP", "t/op", "t_op", "top", "é", "e\u0301"])
    assert len({name.casefold() for name in found}) == len(found)
    assert file_names(["vanity-top"]) == ["vanity-top"]

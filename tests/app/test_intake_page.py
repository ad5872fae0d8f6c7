"""A cut list taken in by touches: columns said once and kept, faults named, all or none, and undone."""

from __future__ import annotations

from pathlib import Path

import pytest
from fit_jobs import app_with, sample, settled
from pilot import Pilot
from sample_reports import sample_report, survey_of

from survey.handover.cut_list import cut_list
from survey.records import Piece, Shelf
from survey.shop import read_shop

ROOM = ["job Hall in mm to 1 mm", "room hall", "wall back", "shelf old width 600 height 250 thickness 18"]
LIST = "Part;Qty;Length;W;Thick;Note\nupper;2;600;250;18;x\nlower;1;597;250;18;\n"


def taking(pilot: Pilot, file: Path, content: str | bytes) -> None:
    file.write_bytes(content if isinstance(content, bytes) else content.encode())
    settled(pilot)
    pilot.app.go_to_place("pieces")
    settled(pilot)
    assert pilot.find("Take in a cut list")
    pilot.app.go("intake", file=str(file))
    looked(pilot)


def looked(pilot: Pilot) -> None:
    for _ in range(3):  # the list is read, then what comes in is worked out
        pilot.rest()


def shelves(pilot: Pilot) -> list[str]:
    return [one.name for one in pilot.app.visit.survey.of(Shelf)]


def test_columns_are_said_by_touches_kept_for_the_next_list_and_all_is_undone(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *ROOM)) as pilot:
        taking(pilot, tmp_path / "parts.csv", LIST)
        assert pilot.find("Say what its pieces are first").disabled
        assert pilot.has("still needed")
        assert not pilot.has("Cannot be taken")
        pilot.tap("What all its pieces are")
        pilot.tap("Shelf")
        looked(pilot)
        assert pilot.has("Line 2: ")  # a shelf needs a height
        pilot.tap("W, such as 250")
        pilot.tap("Height")
        looked(pilot)
        pilot.tap("Length, such as 600")
        pilot.tap("Width")
        looked(pilot)
        assert pilot.has("shelf, 2 of it, 600 × 250 × 18")
        pilot.tap("Take in 2 pieces")
        settled(pilot)
        assert pilot.app.desk.kept.trail[-1].page == "pieces"
        assert shelves(pilot) == ["old", "upper", "lower"]
        upper = pilot.app.visit.survey.named["upper"][0]
        assert [float(one.mm) for one in (upper.width, upper.height)] == [600, 250]
        assert read_shop(tmp_path / "home" / "shop.json").columns == {"W": "height", "Length": "width"}
        pilot.app.undo()
        assert shelves(pilot) == ["old"]
        pilot.app.go("intake", file=str(tmp_path / "parts.csv"))
        looked(pilot)
        pilot.tap("What all its pieces are")
        pilot.tap("Shelf")
        looked(pilot)
        assert pilot.has("shelf, 2 of it, 600 × 250 × 18")


def test_a_row_that_cannot_be_taken_is_named_and_nothing_comes_in(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *ROOM)) as pilot:
        rows = ("old,shelf,700,250,18", "good,shelf,650,250,18", "bad,shelf,wide,250,18")
        content = "\n".join(("Name,Kind,Width,Height,Thickness", *rows))
        taking(pilot, tmp_path / "parts.csv", content)
        assert pilot.has("Line 4: ")
        assert pilot.has("Line 2: there is a piece 'old' already")
        assert pilot.find("Take in 1 piece").disabled
        pilot.tap("What is there already, and differs")
        pilot.tap("It is corrected")
        looked(pilot)
        assert not pilot.has("Line 2")
        assert pilot.find("Take in 2 pieces").disabled
        (tmp_path / "parts.csv").write_text(content.replace("wide", "640"))
        pilot.app.go("intake", file=str(tmp_path / "parts.csv"))
        looked(pilot)
        pilot.tap("What is there already, and differs")
        pilot.tap("It is corrected")
        looked(pilot)
        pilot.tap("Take in 3 pieces")
        settled(pilot)
        assert sorted(shelves(pilot)) == ["bad", "good", "old"]
        assert float(pilot.app.visit.survey.named["old"][0].width.mm) == 700


def test_pieces_come_in_where_the_columns_cannot_be_kept(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *ROOM)) as pilot:
        taking(pilot, tmp_path / "parts.csv", "Part;Kind;W;H;T\nupper;shelf;600;250;18\n")
        (tmp_path / "home" / "shop.json").mkdir()
        pilot.tap("H, such as 250")
        pilot.tap("Height")
        looked(pilot)
        pilot.tap("Take in 1 piece")
        settled(pilot)
        assert shelves(pilot) == ["old", "upper"]
        assert "columns" in pilot.app.shell.message


@pytest.mark.parametrize(
    ("content", "said"),
    [
        pytest.param(b"", "expected the headings", id="empty"),
        pytest.param(b"%PDF-1.4\0\0\0", "some other file", id="another file"),
        pytest.param(b"Name,Name\na,b\n", "more than once", id="twice the same heading"),
    ],
)
def test_what_is_no_list_is_said(content: bytes, said: str, tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *ROOM)) as pilot:
        taking(pilot, tmp_path / "parts.csv", content)
        assert pilot.has(said)
        assert pilot.find("Take in").disabled


def test_a_list_of_our_own_comes_in_as_it_was(tmp_path: Path) -> None:
    survey, report = survey_of("corner-vanity"), sample_report("corner-vanity")
    bare = [
        line for line in sample("corner-vanity") if line.split(" ")[0] not in ("cabinet", "top", "filler")
    ]
    with Pilot(app_with(tmp_path, *bare)) as pilot:
        taking(pilot, tmp_path / "cut-list.csv", cut_list(report, survey))
        assert pilot.has("its pieces come as they were")
        pilot.tap(f"Take in {len(survey.of(Piece))} pieces")
        settled(pilot)
        assert [one.name for one in pilot.app.visit.survey.of(Piece)] == [
            one.name for one in survey.of(Piece)
        ]

"""The page of one fitted piece: sizes, edges, notches, what it rests on, its picture whole."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from faults import faults
from fit_jobs import app_with, sample, settled
from pilot import Pilot
from thorough import many

from survey.app.pages.fitted import WholePicture
from survey.app.widgets.fit_parts import RecordRow, Station
from survey.records import Reading


def at(pilot: Pilot, piece: str, **given: str) -> str:
    pilot.app.go("fitted", piece=piece, **given)
    settled(pilot)
    return pilot.text().replace("\u00a0", " ")


def test_a_top_is_told_with_edges_stations_and_notch(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        words = at(pilot, "vanity-top")
        for told in (
            "Measured from front edge and right end.",
            "Scribed to wall left.",
            "1⁄8″ for the wall, 1⁄8″ for what is not known of it, 1⁄16″ for the saw",
            "To plane off, from the right end:",
            "Notch around door-casing",
            "43 7⁄16″",
            "Level; its front runs with cabinet vanity;",
        ):
            assert told in words
        assert "all well" not in words  # chances are told under a tap
        report = next(one for one in pilot.app.report.pieces if one.name == "vanity-top")
        assert len(pilot.all(Station)) == sum(len(edge.scribe) for edge in report.edges)


def test_chances_and_readings_fold_out_and_a_reading_leads_to_its_entry(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("tiled-alcove"))) as pilot:
        at(pilot, "counter")
        pilot.tap("How likely, and what would make it surer")
        pilot.settle()
        assert re.search(r"with no gap over 3 mm: >?\d\d %", pilot.text().replace("\u00a0", " "))
        pilot.tap("It rests on 32 readings")
        pilot.settle()
        rows = pilot.all(RecordRow)
        assert len(rows) == 32
        pilot.tap(rows[0])
        stop = pilot.app.desk.kept.trail[-1]
        assert stop.page == "entry"
        assert isinstance(pilot.app.visit.survey.by_id[stop.given["record"]], Reading)


def test_the_picture_is_shown_whole_enlarged_and_left_again(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        at(pilot, "vanity-top")
        pilot.tap("Tap to enlarge")
        settled(pilot)
        (whole,) = pilot.all(WholePicture)
        assert whole.laid_out is not None
        pilot.tap("Larger")
        assert whole.ids.picture.zoom == 1.5
        pilot.tap("Smaller")
        assert whole.ids.picture.zoom == 1.0
        pilot.back()
        assert pilot.app.desk.kept.trail[-1].given == {"piece": "vanity-top"}


def test_a_piece_that_is_not_ready_says_what_stops_it(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("doubtful-readings"))) as pilot:
        words = at(pilot, "shelf-top")
        assert "Nothing says where window-casing is. Read its position." in words
        assert "Go with this size" not in words
        pilot.tap("See what to settle")
        assert pilot.app.desk.kept.trail[-1].page == "fit"


def test_a_piece_that_was_withdrawn_is_said_to_be_gone(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        at(pilot, "strip")
        pilot.app.visit.withdraw(*pilot.app.visit.survey.named["strip"])
        settled(pilot)
        assert pilot.has("There is no piece strip any more.")


@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [((320, 568), 1.0, 2.0), ((412, 915), 2.75, 1.3), ((640, 360), 1.0, 1.0), ((800, 1280), 1.0, 1.0)][
        :: many(2, 1)
    ],
)
@pytest.mark.parametrize("piece", ["vanity-top", "vanity"])
def test_nothing_is_cut_off(
    tmp_path: Path, piece: str, size: tuple[int, int], density: float, fontscale: float
) -> None:
    app = app_with(tmp_path, *sample("corner-vanity"))
    with Pilot(app, size=size, density=density, fontscale=fontscale) as pilot:
        at(pilot, piece)
        pilot.tap("How likely, and what would make it surer")
        pilot.settle()
        assert faults(pilot.app.shell) == []

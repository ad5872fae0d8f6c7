"""What was planed off on the day, put down by touches: kept, corrected, taken back; no number changes."""

from __future__ import annotations

from pathlib import Path

from fit_jobs import app_with, sample, settled
from pilot import Pilot

from survey.app.pages.installed import StationRow
from survey.records import AsInstalled


def rows(pilot: Pilot) -> list[StationRow]:
    return [one for one in pilot.all() if isinstance(one, StationRow)]


def test_a_depth_is_put_down_corrected_and_taken_back(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        settled(pilot)
        app = pilot.app
        before = next(one for one in app.report.pieces if one.name == "vanity-top")
        app.go("installed", piece="vanity-top")
        settled(pilot)
        count = sum(len(edge.scribe) for edge in before.edges)
        assert len(rows(pilot)) == count
        assert {one.came_out for one in rows(pilot)} == {"not put down"}
        first = rows(pilot)[0]
        assert first.foretold.startswith("foretold ")
        for typed, shown in (("1/4", "1⁄4″"), ("5/16", "5⁄16″")):
            app.shell.page._keep("vanity-top", before.edges[0].edge, before.edges[0].scribe[0], typed)
            settled(pilot)
            assert rows(pilot)[0].came_out == shown
        assert len(app.visit.survey.of(AsInstalled)) == 1
        (told,) = next(one for one in app.report.pieces if one.name == "vanity-top").installed
        assert told.came_out.text == "5/16 in"
        after = next(one for one in app.report.pieces if one.name == "vanity-top")
        assert (after.edges, after.blank, after.finished) == (before.edges, before.blank, before.finished)
        app.shell.page._keep("vanity-top", before.edges[0].edge, before.edges[0].scribe[0], "")
        settled(pilot)
        assert app.visit.survey.of(AsInstalled) == ()
        assert rows(pilot)[0].came_out == "not put down"


def test_a_tap_opens_the_pad_and_the_fitted_page_leads_here(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        settled(pilot)
        pilot.app.go("fitted", piece="vanity-top")
        settled(pilot)
        pilot.tap("As installed: what was planed off")
        settled(pilot)
        assert pilot.app.shell.title == "vanity-top, as installed"
        pilot.tap(rows(pilot)[0])
        pilot.frames(4)
        assert pilot.has("Planed off the")

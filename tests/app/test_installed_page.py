"""What was planed off on the day, put down by touches: kept, corrected, taken back; no number changes."""

from __future__ import annotations

from pathlib import Path

from fit_jobs import app_with, sample, settled
from pilot import Pilot

from survey.app.pages.installed import StationRow
from survey.dictation import dictate
from survey.installed import places
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
        assert len(rows(pilot)) == count + 2  # and what was cut off again, once for each edge
        assert {one.came_out for one in rows(pilot)} == {"not put down"}
        place = next(places(before))
        first = rows(pilot)[0]
        assert first.foretold.startswith("foretold ")
        for typed, shown in (("1/4", "1⁄4″"), ("5/16", "5⁄16″")):
            app.shell.page._keep("vanity-top", place, typed)
            settled(pilot)
            assert rows(pilot)[0].came_out == shown
        assert len(app.visit.survey.of(AsInstalled)) == 1
        (told,) = next(one for one in app.report.pieces if one.name == "vanity-top").installed
        assert told.came_out.text == "5/16 in"
        after = next(one for one in app.report.pieces if one.name == "vanity-top")
        assert (after.edges, after.blank, after.finished) == (before.edges, before.blank, before.finished)
        app.shell.page._keep("vanity-top", place, "")
        settled(pilot)
        assert app.visit.survey.of(AsInstalled) == ()
        assert rows(pilot)[0].came_out == "not put down"


def test_a_tap_opens_the_pad_and_the_fitted_page_leads_here(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        settled(pilot)
        pilot.app.go("fitted", piece="vanity-top")
        settled(pilot)
        pilot.tap("As installed: what came out")
        settled(pilot)
        assert pilot.app.shell.title == "vanity-top, as installed"
        pilot.tap(rows(pilot)[0])
        pilot.frames(4)
        assert pilot.has("Planed off the")


def test_a_shim_and_a_gap_are_put_down_beside_a_place_that_somebody_typed(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("study-niche"))) as pilot:
        settled(pilot)
        app = pilot.app
        app.go("installed", piece="press")
        settled(pilot)
        shims = {one.at: one for one in rows(pilot)}
        assert shims["left front"].came_out == "2 mm"
        pilot.tap(shims["right back"])
        pilot.type("1.5\n")
        settled(pilot)
        assert {one.at: one.came_out for one in rows(pilot)}["right back"] == "1.5 mm"

        app.go("installed", piece="desk")
        settled(pilot)
        gaps = [one for one in rows(pilot) if one.at == "gap that stays"]
        assert len(gaps) == 2
        pilot.tap(gaps[0])
        pilot.type("2\n")
        settled(pilot)
        pilot.tap(next(one for one in rows(pilot) if one.at == "cut off again"))
        pilot.type("4\n")
        settled(pilot)
        desk = next(one for one in app.report.pieces if one.name == "desk")
        assert [(one.what, one.came_out.text) for one in desk.installed] == [
            ("gap", "2 mm"),
            ("cut off again", "4 mm"),
        ]

        visit = app.visit
        line = "installed desk back at 333 planed off 7 gap 1"
        visit.put(*dictate([line], visit.survey))
        settled(pilot)
        other = next(one for one in rows(pilot) if one.at == "333 mm")
        assert (other.came_out, other.foretold) == ("7 mm", "")
        pilot.tap(other)
        pilot.type("\b\n")
        settled(pilot)
        left = [one for one in visit.survey.of(AsInstalled) if one.at is not None and one.at.mm == 333]
        assert [(one.planed_off, one.gap and one.gap.text) for one in left] == [(None, "1")]

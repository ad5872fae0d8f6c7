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
        pilot.settle()
        assert pilot.has("Planed off the")


def test_a_shim_is_put_down_at_its_corner(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("study-niche"))) as pilot:
        settled(pilot)
        pilot.app.go("installed", piece="press")
        settled(pilot)
        shims = {one.at: one for one in rows(pilot)}
        assert shims["left front"].came_out == "2 mm"
        pilot.tap(shims["right back"])
        pilot.type("1.5\n")
        settled(pilot)
        assert {one.at: one.came_out for one in rows(pilot)}["right back"] == "1.5 mm"


SHELF = (
    "shelf towels width 20 height 8 thickness 3/4 on back up 34, left meets left net, "
    "back meets back net gap 1/16"
)


def test_a_gap_and_what_was_cut_again_are_put_down_and_a_record_keeps_its_other_facts(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"), SHELF)) as pilot:
        settled(pilot)
        app = pilot.app
        app.go("installed", piece="towels")
        settled(pilot)
        assert len([one for one in rows(pilot) if one.at == "gap that stays"]) == 2
        for name in ("gap that stays", "cut off again"):
            pilot.tap(next(one for one in rows(pilot) if one.at == name))
            pilot.type("1/8\n")
            settled(pilot)
        towels = next(one for one in app.report.pieces if one.name == "towels")
        assert [(one.what, one.came_out.text) for one in towels.installed] == [
            ("gap", "1/8 in"),
            ("cut off again", "1/8 in"),
        ]

        visit = app.visit
        visit.put(*dictate(["installed vanity-top back at 13 planed off 5/16 gap 1/16"], visit.survey))
        app.go("installed", piece="vanity-top")
        settled(pilot)
        other = next(one for one in rows(pilot) if one.at == "13″")
        assert (other.came_out, other.foretold) == ("5⁄16″", "")
        pilot.tap(other)
        pilot.type("\b\b\b\b\n")
        settled(pilot)
        (left,) = [one for one in visit.survey.of(AsInstalled) if one.at is not None and one.at.text == "13"]
        assert (left.planed_off, left.gap.text) == (None, "1/16")

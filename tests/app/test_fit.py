"""The page Fit: findings with ways to settle them, pieces with their sizes, decisions that go stale."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from fit_jobs import app_with, lean_left_wall, sample, settled
from pilot import Pilot
from thorough import many

from survey.app.pages.fit import ANEW, PieceCard
from survey.app.widgets.fit_parts import FindingRow
from survey.records import Decision, LengthReading

EMPTY = ["job Empty in inches to 1/16", "room r back back", "wall back wood stud"]


def at_fit(pilot: Pilot) -> None:
    pilot.app.go_to_place("fit")
    settled(pilot)


def place_of(pilot: Pilot) -> tuple[str, dict[str, str]]:
    stop = pilot.app.desk.kept.trail[-1]
    return stop.page, stop.given


def test_without_a_piece_it_says_what_to_do_first(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *EMPTY)) as pilot:
        at_fit(pilot)
        assert pilot.has("There is nothing to fit yet.")
        pilot.tap("Add a piece")
        assert place_of(pilot)[0] == "pieces"


def test_a_piece_is_told_with_true_fractions_and_its_outcome_and_leads_on(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        at_fit(pilot)
        words = pilot.text().replace("\u00a0", " ")
        for told in (
            "43 1⁄4″",
            "19 9⁄16″",
            "Cut the blank 43 9⁄16″ × 19 7⁄8″",
            "Goes in, with a chance of >99 %",
        ):
            assert told in words
        pilot.until(lambda: all(card.laid_out is not None for card in pilot.all(PieceCard)))
        pilot.tap(next(card for card in pilot.all(PieceCard) if card.name == "vanity-top"))
        assert place_of(pilot) == ("fitted", {"piece": "vanity-top"})


def test_findings_stand_gravest_first_and_each_leads_to_where_it_is_settled(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("doubtful-readings"))) as pilot:
        at_fit(pilot)
        assert pilot.has("8 stop the work, 1 is in doubt")
        pilot.tap("6 more")
        pilot.settle()
        rows = pilot.all(FindingRow)
        assert [row.gravity for row in rows] == ["Stops the work"] * 8 + ["In doubt"]
        assert all(row.leads_to for row in rows)
        pilot.tap(rows[-1])
        page, given = place_of(pilot)
        record = pilot.app.visit.survey.by_id[given["record"]]
        assert page == "entry"
        assert isinstance(record, LengthReading)
        assert record.reads.text == "59 3/8"


def test_a_piece_that_is_not_ready_says_why(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("doubtful-readings"))) as pilot:
        at_fit(pilot)
        wide = next(card for card in pilot.all(PieceCard) if card.name == "wide")
        assert wide.verdict.replace("\u00a0", " ").startswith(
            "Not ready: wide is 61″ wide; there are 59 15⁄16″"
        )


def test_while_it_is_worked_out_the_old_sizes_stay_in_pencil(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("tiled-alcove"))) as pilot:
        at_fit(pilot)
        scroll = pilot.app.shell.page.ids.scroll
        scroll.scroll_y = 0.4
        lean_left_wall(pilot, "6")
        pilot.settle()
        assert pilot.has(ANEW)
        assert all(card.is_old for card in pilot.all(PieceCard))
        settled(pilot)
        assert not pilot.has(ANEW)
        assert not any(card.is_old for card in pilot.all(PieceCard))
        assert 0.2 < scroll.scroll_y < 0.6


def test_a_decision_goes_stale_and_is_kept_on_what_is_worked_out_now(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("tiled-alcove"))) as pilot:
        pilot.app.go("fitted", piece="counter")
        settled(pilot)
        pilot.tap("Go with this size")
        assert pilot.has("Decided for counter: go with this size.")
        at_fit(pilot)
        assert pilot.has("Decided: go with this size, 1185")
        assert not pilot.has("Since then")
        lean_left_wall(pilot, "6")
        settled(pilot)
        assert "Since then finished width 1183 mm, was 1185 mm; " in pilot.text().replace("\u00a0", " ")
        pilot.tap("Keep it")
        settled(pilot)
        assert not pilot.has("Since then")
        (decision,) = pilot.app.visit.survey.of(Decision)
        assert decision.value is not None
        assert decision.value.text == "1183"
        pilot.app.undo()
        settled(pilot)
        assert pilot.has("Since then")


@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [((320, 568), 1.0, 2.0), ((360, 640), 2.75, 1.3), ((640, 360), 1.0, 1.0), ((800, 1280), 2.0, 1.0)][
        :: many(2, 1)
    ],
)
def test_nothing_is_cut_off(tmp_path: Path, size: tuple[int, int], density: float, fontscale: float) -> None:
    app = app_with(tmp_path, *sample("doubtful-readings"))
    with Pilot(app, size=size, density=density, fontscale=fontscale) as pilot:
        at_fit(pilot)
        assert faults(pilot.app.shell) == []

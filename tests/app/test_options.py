"""The page that compares filler options: side by side, recommended in words, decided by one tap."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from fit_jobs import app_with, sample, settled
from pilot import Pilot
from thorough import many

from survey.app.pages.options import OptionCard, OptionColumn
from survey.options import Option, Trial, weighed
from survey.records import Cabinet, Decision, Filler, Survey


def at(pilot: Pilot, piece: str) -> list[OptionCard]:
    settled(pilot)
    pilot.app.go("options", piece=piece)
    pilot.until(lambda: pilot.all(OptionCard))
    pilot.settle()
    return sorted(pilot.all(OptionCard), key=lambda card: not card.is_best)


def test_options_are_told_with_numbers_and_what_speaks_against_them(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("tiled-alcove"))) as pilot:
        best, *others = at(pilot, "vanity")
        assert best.tag == "Recommended · As it is planned now"
        assert not any(card.is_best for card in others)
        assert all(card.laid_out is not None for card in (best, *others))
        words = pilot.text().replace("\u00a0", " ")
        for told in (
            "Two strips of 45 mm are wide enough to scribe",
            "87 to 88 mm",
            "it looks like a patch",
        ):
            assert told in words


def test_one_tap_decides_and_undo_takes_all_of_it_back(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("tiled-alcove"))) as pilot:
        at(pilot, "vanity")
        card = next(one for one in pilot.all(OptionCard) if one.choice == "Filler left")
        before = pilot.app.visit.survey
        pilot.tap(card.ids.key)
        assert pilot.has("Decided: filler left.")
        after = pilot.app.visit.survey
        assert [one.choice for one in after.of(Decision)] == ["filler left"]
        assert [strip.side for strip in after.of(Filler)] == ["left"]
        assert after.of(Cabinet)[0].right.finish == "net"
        pilot.app.undo()
        again = pilot.app.visit.survey
        assert again.of(Decision) == ()
        assert set(again.current) == set(before.current)


def test_what_was_decided_is_told_on_fit_with_its_width(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        best, *_ = at(pilot, "vanity")
        pilot.tap(best.ids.key)
        pilot.app.go_to_place("fit")
        settled(pilot)
        told = "Decided: filler left with room for a door, 1 11⁄16″."
        assert told in pilot.text().replace("\u00a0", " ")
        assert not pilot.has("Since then")


def test_a_change_meanwhile_is_compared_anew_and_never_decided_on(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity"))) as pilot:
        at(pilot, "vanity")
        (strip,) = pilot.app.visit.survey.of(Filler)
        pilot.app.visit.withdraw(strip)
        pilot.settle()
        assert pilot.all(OptionCard) == []
        pilot.until(lambda: pilot.all(OptionCard))
        planned = [card.choice for card in pilot.all(OptionCard) if "planned now" in card.tag]
        assert planned == ["As it is now"]


def test_a_piece_without_walls_beside_it_is_said_to_have_none(tmp_path: Path) -> None:
    with Pilot(app_with(tmp_path, *sample("doubtful-readings"))) as pilot:
        settled(pilot)
        pilot.app.go("options", piece="plain")
        pilot.settle()
        assert pilot.has("meets no wall at its sides")


@pytest.fixture(scope="module")
def told() -> dict[str, Option]:
    """What each way came to, by its words."""
    return {}


@pytest.fixture
def weighed_once(told: dict[str, Option], monkeypatch: pytest.MonkeyPatch) -> None:
    """The same survey's ways come out alike at every size of screen."""

    def once(survey: Survey, way: Trial) -> Option:
        if way.choice not in told:
            told[way.choice] = weighed(survey, way)
        return told[way.choice]

    monkeypatch.setattr("survey.options.weighed", once)


@pytest.mark.usefixtures("weighed_once")
@pytest.mark.parametrize(
    ("size", "fontscale", "columns"),
    [
        ((412, 915), 1.0, 2),
        ((412, 915), 1.3, 1),
        ((360, 640), 1.0, 1),
        ((800, 1280), 1.0, 2),
        ((640, 360), 2.0, 1),
    ],
)
def test_two_options_stand_side_by_side_where_letters_allow(
    tmp_path: Path, size: tuple[int, int], fontscale: float, columns: int
) -> None:
    with Pilot(app_with(tmp_path, *sample("corner-vanity")), size, 1.0, fontscale) as pilot:
        at(pilot, "vanity")
        assert len(pilot.all(OptionColumn)) == columns


@pytest.mark.usefixtures("weighed_once")
@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [
        ((412, 915), 1.0, 1.0),
        ((320, 568), 1.0, 2.0),
        ((360, 640), 2.75, 1.3),
        ((640, 360), 1.0, 1.0),
        ((800, 1280), 1.0, 1.0),
    ][:: many(2, 1)],
)
def test_nothing_is_cut_off(tmp_path: Path, size: tuple[int, int], density: float, fontscale: float) -> None:
    app = app_with(tmp_path, *sample("corner-vanity"))
    with Pilot(app, size=size, density=density, fontscale=fontscale) as pilot:
        at(pilot, "vanity")
        assert faults(pilot.app.shell) == []

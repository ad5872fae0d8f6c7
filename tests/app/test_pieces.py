"""The list of pieces: what to do first, adding, what goes with what, how far each has come."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from faults import faults
from pilot import Pilot

from survey.app.desk import Desk, Stop
from survey.app.main import ScribefitApp
from survey.app.pages.pieces import PieceLine
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Cabinet, Filler, Piece, Survey, Top

SAMPLES = Path(__file__).parents[2] / "sample_surveys"
ALCOVE = [
    "job Alcove in mm to 1 mm level line 1000", "room bath", "wall back", "wall left", "wall right",
    "corner left and back", "corner back and right", "length left-back to back-right up 850 reads 1203",
]  # fmt: skip

Open = Callable[..., Pilot]


@pytest.fixture
def opened(tmp_path: Path) -> Open:
    def open_(lines: list[str], **screen: object) -> Pilot:
        path = tmp_path / "home" / "jobs" / "v.survey"
        path.parent.mkdir(parents=True)
        SurveyFile.create(path, dictate(lines, Survey([]))).close()
        desk = Desk(path.parents[1])
        desk.kept.job, desk.kept.trail = str(path), [Stop("jobs"), Stop("pieces")]
        desk.keep()
        return Pilot(ScribefitApp(home=desk.home), **screen)  # type: ignore[arg-type]

    return open_


def sample(name: str) -> list[str]:
    return (SAMPLES / name / "notes.txt").read_text(encoding="utf-8").splitlines()


def test_an_empty_list_says_what_to_do_and_leads_to_the_place(opened: Open) -> None:
    with opened(["job V in in to 1/16"]) as pilot:
        assert pilot.has("Say what you will build, and the walk asks for what it needs.")
        gone: list[str] = []
        pilot.app.go = gone.append
        pilot.tap("Set up the place")
        assert gone == ["place"]


def test_cabinet_strips_and_top_in_five_taps(opened: Open) -> None:
    with opened(ALCOVE) as pilot:
        for words in ("Add a piece", "Cabinet"):
            pilot.tap(words)
        assert pilot.app.shell.title == "vanity"
        for words in ("Filler strip, left", "Filler strip, right", "Top on vanity"):
            pilot.tap(words)
        survey = pilot.app.visit.survey
        assert [type(one) for one in survey.of(Piece)] == [Cabinet, Filler, Filler, Top]
        assert survey.of(Cabinet)[0].width.text == "1160"
        assert pilot.taps == 5
        assert not pilot.has("Filler strip, left of vanity")
        assert pilot.has("Door, left on vanity")


def test_a_piece_that_was_added_is_undone_by_one_tap(opened: Open) -> None:
    with opened(ALCOVE) as pilot:
        for words in ("Add a piece", "Something else", "Mirror"):
            pilot.tap(words)
        pilot.tap("Undo")
        assert pilot.app.visit.survey.of(Piece) == ()
        assert pilot.has("not planned any more")
        pilot.tap("To the pieces")
        assert pilot.has("Say what you will build")


def test_what_cannot_be_added_yet_is_said(opened: Open) -> None:
    with opened(ALCOVE) as pilot:
        for words in ("Add a piece", "Filler strip"):
            pilot.tap(words)
        assert pilot.has("add the cabinet first")
        assert pilot.app.shell.title == "Pieces"


def test_each_piece_says_how_far_it_has_come(opened: Open) -> None:
    lines = [line for line in sample("corner-vanity") if not line.startswith("drop")]
    shelf = "shelf s of vanity width 30 height 12 thickness 3/4"
    with opened([*lines, shelf, "cabinet box width 30 height 30 depth 20"]) as pilot:
        pilot.answered()
        pilot.until(lambda: pilot.app.shell.page.wall)
        told = {line.name: (line.sign, line.state_words) for line in pilot.all(PieceLine)}
        assert told == {
            "vanity": ("fine", "ready"),
            "strip": ("fine", "ready"),
            "vanity-top": ("fine", "ready"),
            "s": ("fine", "listed as typed"),
            "box": ("missing", "not ready: something is not said"),
        }
        assert [line.name for line in pilot.all(PieceLine) if line.is_below] == ["strip", "vanity-top", "s"]
        pilot.app.visit.put(*dictate(["withdraw last"], pilot.app.visit.survey))
        assert len(pilot.all(PieceLine)) == 4
        assert all(line.is_old for line in pilot.all(PieceLine))


def test_the_picture_of_where_they_stand_leads_to_the_wall(opened: Open) -> None:
    with opened(sample("corner-vanity")) as pilot:
        pilot.until(lambda: pilot.app.shell.page.wall)
        vanity = pilot.app.visit.survey.named["vanity"][0]
        assert vanity.id in {mark.record for mark in pilot.app.shell.page.ids.picture.laid_out.marks}
        pilot.app.shell.page.pick(vanity.id)
        pilot.settle()
        assert pilot.app.shell.title == "vanity"
        pilot.back()
        pilot.until(lambda: pilot.app.shell.page.wall)
        pilot.settle()
        gone: list[tuple[str, dict[str, str]]] = []
        pilot.app.go = lambda page, **given: gone.append((page, given))
        pilot.tap("Wall back, facing it")
        assert gone == [("wall_view", {"wall": "back"})]


@pytest.mark.parametrize(
    ("size", "density", "fontscale"),
    [((320, 568), 1.0, 1.0), ((320, 568), 1.0, 2.0), ((360, 640), 2.75, 1.3), ((640, 360), 2.0, 1.0),
     ((800, 1280), 1.0, 1.0)],
)  # fmt: skip
def test_nothing_is_cut_off_or_too_small(
    opened: Open, size: tuple[int, int], density: float, fontscale: float
) -> None:
    lines = sample("chimney-breast")
    with opened(lines[:-2], size=size, density=density, fontscale=fontscale) as pilot:
        pilot.until(lambda: pilot.app.shell.page.wall)
        pilot.settle()
        assert faults(pilot.app.shell) == []

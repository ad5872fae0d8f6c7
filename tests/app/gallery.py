"""Every page of filled jobs: where to go, and a picture of each.

``python tests/app/gallery.py FOLDER [PLACE ...]`` renders them at three sizes, by day and by night, as PNG;
with names of places only those. Look at them all after every change of a page.
"""

from __future__ import annotations

import shutil
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parent))

import display  # noqa: F401  before Kivy
from filled import write_changed, write_doubtful, write_filled, write_half_read
from pilot import Pilot

from survey.app.answers import Answer
from survey.app.changed import since
from survey.app.desk import Desk, Hand, Stop, Theme
from survey.app.giving import give
from survey.app.main import ScribefitApp
from survey.app.visit import Visit
from survey.changes import Changes
from survey.file import SurveyFile
from survey.findings import fit
from survey.options import Option, Trial, weighed
from survey.records import CutOut, Lean, LengthReading, Reading, StraightedgeCheck, Survey, Top
from survey.report.structs import FitReport

SIZES = ((360, 640), (412, 915), (800, 1280))
THEMES: tuple[Theme, ...] = ("day", "night")

Given = Callable[[Survey], dict[str, str]]


@dataclass(frozen=True)
class Place:
    """A page to be looked at: which job is open (none for the pages before), and what it is opened with."""

    name: str
    page: str
    job: str = "filled"
    given: Given = lambda _: {}


def _reading(kind: type[Reading], number: int = 0) -> Given:
    return lambda survey: {"record": survey.of(kind)[number].id}


def _line(kind: type[Reading]) -> Given:
    def given(survey: Survey) -> dict[str, str]:
        from survey.app.walk_list import walk_rows

        rows = walk_rows(survey, "straightedge")
        of_kind = [row for row in rows if isinstance(row.line.reading, kind)]
        missing = [row for row in of_kind if row.state == "missing"]
        return {"line": (missing or of_kind)[0].line.name}

    return given


PLACES = (
    Place("jobs", "jobs", ""),
    Place("new-job", "new_job", ""),
    Place("unreadable", "unreadable", "", lambda _: {"path": "damaged.survey"}),
    Place("settings", "settings"),
    Place("mishap", "mishap", given=lambda _: {"log": "mishap-20250506-083000.txt"}),
    Place("measure-blank", "measure", "blank"),
    Place("place", "place", "blank"),
    Place("place-again", "place"),
    Place("measure-half", "measure", "half"),
    Place("measure", "measure"),
    Place("entry-length", "entry", "half", _line(LengthReading)),
    Place("entry-run", "entry", "half", _line(StraightedgeCheck)),
    Place("entry-lean", "entry", "half", _line(Lean)),
    Place("entry-again", "entry", given=_reading(LengthReading)),
    Place("entry-drop", "entry", given=lambda _: {"kind": "drop", "wall": "back"}),
    Place("entry-square", "entry", given=lambda _: {"kind": "corner-square", "wall": "back"}),
    Place("wall-back", "wall_view", given=lambda _: {"wall": "back"}),
    Place("wall-left", "wall_view", given=lambda _: {"wall": "left"}),
    Place("feature", "feature", given=lambda survey: {"record": survey.named["drain"][0].id, "wall": "back"}),
    Place("feature-new", "feature", given=lambda _: {"kind": "electrical/outlet", "wall": "back"}),
    Place("remarks", "remarks", given=lambda _: {"about": "drain"}),
    Place("remarks-all", "remarks"),
    Place("doubts", "doubts", "doubtful"),
    Place("doubts-none", "doubts"),
    Place("pieces-blank", "pieces", "blank"),
    Place("pieces", "pieces"),
    Place("piece-cabinet", "piece", given=lambda survey: {"record": survey.named["vanity"][0].id}),
    Place("piece-top", "piece", given=lambda survey: {"record": survey.of(Top)[0].id}),
    Place("piece-door", "piece", given=lambda survey: {"record": survey.named["left-door"][0].id}),
    Place("piece-shelf", "piece", given=lambda survey: {"record": survey.named["towel-shelf"][0].id}),
    Place("bench", "feature", given=lambda _: {"of": "pieces"}),
    Place("cut-out", "feature", given=lambda survey: {"record": survey.of(CutOut)[0].id, "of": "pieces"}),
    Place("intake", "intake", given=lambda _: {"file": "parts.csv"}),
    Place("piece-new", "piece", given=lambda _: {"kind": "panel"}),
    Place("fit-blank", "fit", "blank"),
    Place("fit-half", "fit", "half"),
    Place("fit", "fit"),
    Place("fit-doubtful", "fit", "doubtful"),
    Place("fitted-top", "fitted", given=lambda _: {"piece": "counter"}),
    Place("fitted-filler", "fitted", given=lambda _: {"piece": "left-filler"}),
    Place("options", "options", given=lambda _: {"piece": "vanity"}),
    Place("way-in", "way_in", given=lambda _: {"piece": "vanity"}),
    Place("day", "day"),
    Place("installed", "installed", given=lambda _: {"piece": "counter"}),
    Place("handover", "handover"),
    Place("changes", "changes", "changed", lambda _: {"folder": "handed over"}),
    Place("preview", "preview", given=lambda it: {"file": f"handed over/job-book_r{len(it.records):04}.pdf"}),
)  # fmt: skip
"""Paths in `given` are below the home folder of the desk."""


STILL = 0.08
"""Seconds without a change after which a page shows all that it will."""
STILL_FRAMES = 4
KEPT = "as they were"
"""Folder of the jobs before any page changed them."""


@cache
def report_of(path: Path) -> FitReport:
    """Work out a job's report, once."""
    with SurveyFile.open(path) as file:
        return fit(file.survey())


def furnish(home: Path) -> None:
    """Put the jobs, a damaged file and a handed-over folder into a desk's home."""
    jobs, kept = Desk(home).jobs, home / KEPT
    kept.mkdir()
    Visit.begin(kept / "blank.survey", "Powder room", "in", "1/16").close()
    write_half_read(kept / "half.survey")
    write_doubtful(kept / "doubtful.survey")
    survey = write_filled(kept / "filled.survey")
    write_changed(kept / "changed.survey", survey)
    for path in kept.iterdir():
        shutil.copy(path, jobs)
    damaged = bytearray((kept / "filled.survey").read_bytes())
    damaged[len(damaged) // 2 : len(damaged) // 2 + 400] = bytes(400)
    (home / "damaged.survey").write_bytes(damaged)
    give(kept / "filled.survey", fit(survey), home / "handed over")
    (home / "parts.csv").write_text(
        "Part;Qty;Length;W;Thick;Board;Note\n"
        "linen shelf;3;17 1/4;14;3/4;birch plywood;\n"
        "soap shelf;1;9 1/2;5;3/4;oak;round the front\n"
        "top shelf;1;9 9/17;5;3/4;oak;\n"
    )


@contextmanager
def at(
    home: Path,
    size: tuple[int, int],
    density: float = 1.0,
    fontscale: float = 1.0,
    theme: Theme = "day",
    hand: Hand = "right",
) -> Iterator[Pilot]:
    """Open the app in a furnished home, with a look."""
    desk = Desk(home)
    desk.kept.trail, desk.kept.job, desk.kept.draft = [], "", None
    desk.settings.theme, desk.settings.hand = theme, hand
    desk.keep()
    with (
        patch("survey.options.weighed", _weighed_once),
        patch("survey.app.changed.since", _compared_once),
        Pilot(ScribefitApp(home=home), size, density, fontscale) as pilot,
    ):
        yield pilot


_WEIGHED: dict[str, Option] = {}


def _weighed_once(survey: Survey, way: Trial) -> Option:
    """Fit a way to fill gaps once: it comes out alike at every size."""
    if way.choice not in _WEIGHED:
        _WEIGHED[way.choice] = weighed(survey, way)
    return _WEIGHED[way.choice]


_COMPARED: dict[str, Changes] = {}


def _compared_once(folder: Path, survey: Survey, report: FitReport) -> Changes:
    """Compare once: it comes out alike at every size."""
    if report.survey_hash not in _COMPARED:
        _COMPARED[report.survey_hash] = since(folder, survey, report)
    return _COMPARED[report.survey_hash]


def visit(pilot: Pilot, place: Place, home: Path) -> None:
    """Go to a page, as after a tap, and wait until it shows all that it has to."""
    app = pilot.app
    _open(pilot, place.job, home)
    survey = app.visit.survey if app.visit is not None else Survey([])
    given = {
        key: str(home / value) if key in ("path", "file", "log", "folder") else value
        for key, value in place.given(survey).items()
    }
    app.desk.kept.trail = [Stop("jobs")] if place.page != "jobs" else []
    app.tell("")
    app.go(place.page, **given)
    pilot.settle()
    settle(pilot)


def _open(pilot: Pilot, job: str, home: Path) -> None:
    """Have a job open, as it was at first, with its report; or none."""
    app = pilot.app
    path = home / "jobs" / f"{job}.survey"
    if app.visit is not None and (app.visit.path != path or app.visit.survey is not pilot.opened):
        app.close_job()
    if job and app.visit is None:
        shutil.copy(home / KEPT / path.name, path)
        app._hold(Visit(path, app.hand))
        app._ask_soon.cancel()
        pilot.opened = app.visit.survey
        app._answered(Answer(app.visit.survey, report_of(home / KEPT / path.name)))
        pilot.settle()


def settle(pilot: Pilot) -> None:
    """Wait until nothing is worked out beside the screen, and nothing more comes of what was."""
    there, since, frames = (0, 0.0), time.monotonic(), 0
    end = since + 120.0
    # A long page is laid out over several frames, and where there is much of it a frame takes long.
    while time.monotonic() - since < STILL or frames < STILL_FRAMES:
        pilot.frames(1)
        frames += 1
        time.sleep(0.004)  # for what works beside the screen
        before, there = there, _extent(pilot)
        if _at_work(pilot) or before != there:
            since, frames = time.monotonic(), 0
        assert since < end, f"{pilot.app.shell.title} never comes to rest: {_at_work(pilot)}"


def _extent(pilot: Pilot) -> tuple[int, float]:
    """Return how many widgets there are, and how high they are together."""
    heights = [widget.height for widget in pilot.app.shell.walk()]
    return len(heights), sum(heights)


def _at_work(pilot: Pilot) -> list[str]:
    """Return what is being worked out beside the screen, or made for it bit by bit."""
    threads = [one.name for one in threading.enumerate() if one is not threading.main_thread()]
    gathering = getattr(pilot.app.shell.page, "gathering", None)
    is_gathering = gathering is not None and gathering.is_busy
    return [name for name in threads if name != "answers"] + ["gathering"] * is_gathering


def render(folder: Path, wanted: tuple[str, ...] = ()) -> None:
    """Render the pages into a folder, named by place, size and theme."""
    with TemporaryDirectory() as name:
        home = Path(name)
        furnish(home)
        for theme in THEMES:
            for size in SIZES:
                with at(home, size, theme=theme) as pilot:
                    for place in PLACES:
                        if not wanted or place.name in wanted:
                            visit(pilot, place, home)
                            pilot.shot(folder / f"{place.name}-{size[0]}x{size[1]}-{theme}.png")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("expected a folder for the pictures: python tests/app/gallery.py FOLDER [PAGE ...]")
    render(Path(sys.argv[1]), tuple(sys.argv[2:]))

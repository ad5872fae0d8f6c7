"""Every page of filled jobs: where to go, and a picture of each.

``python tests/app/gallery.py FOLDER [PLACE ...]`` renders them at three sizes, by day and by night, as PNG;
with names of places only those. Look at them all after every change of a page.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parent))

import display  # noqa: F401  before Kivy
from filled import write_doubtful, write_filled, write_half_read
from pilot import Pilot

from survey.app.answers import Answer
from survey.app.desk import Desk, Hand, Stop, Theme
from survey.app.main import ScribefitApp
from survey.app.visit import Visit
from survey.file import SurveyFile
from survey.findings import fit
from survey.records import Lean, LengthReading, Reading, StraightedgeCheck, Survey, Top
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
    Place("feature-new", "feature", given=lambda _: {"kind": "outlet", "wall": "back"}),
    Place("remarks", "remarks", given=lambda _: {"about": "drain"}),
    Place("remarks-all", "remarks"),
    Place("doubts", "doubts", "doubtful"),
    Place("doubts-none", "doubts"),
    Place("pieces-blank", "pieces", "blank"),
    Place("pieces", "pieces"),
    Place("piece-cabinet", "piece", given=lambda survey: {"record": survey.named["vanity"][0].id}),
    Place("piece-top", "piece", given=lambda survey: {"record": survey.of(Top)[0].id}),
    Place("piece-new", "piece", given=lambda _: {"kind": "panel"}),
    Place("fit-blank", "fit", "blank"),
    Place("fit-half", "fit", "half"),
    Place("fit", "fit"),
    Place("fit-doubtful", "fit", "doubtful"),
    Place("fitted-top", "fitted", given=lambda _: {"piece": "counter"}),
    Place("fitted-filler", "fitted", given=lambda _: {"piece": "left-filler"}),
    Place("options", "options", given=lambda _: {"piece": "vanity"}),
    Place("handover", "handover"),
    Place("preview", "preview", given=lambda _: {"file": "handed over/job-sheet.pdf"}),
)  # fmt: skip
"""Paths in `given` are below the home folder of the desk."""


@cache
def report_of(job: str, survey_ids: tuple[str, ...], path: Path) -> FitReport:
    """Work out a job's report once; `survey_ids` say which records it is of."""
    with SurveyFile.open(path) as file:
        return fit(file.survey())


def furnish(home: Path) -> dict[str, Path]:
    """Put the jobs, a damaged file and a handed-over folder into a desk's home; return the jobs by name."""
    desk = Desk(home)
    jobs = {name: desk.jobs / f"{name}.survey" for name in ("blank", "half", "doubtful", "filled")}
    Visit.begin(jobs["blank"], "Powder room", "in", "1/16").close()
    write_half_read(jobs["half"])
    write_doubtful(jobs["doubtful"])
    survey = write_filled(jobs["filled"])
    damaged = bytearray(jobs["filled"].read_bytes())
    damaged[len(damaged) // 2 : len(damaged) // 2 + 400] = bytes(400)
    (home / "damaged.survey").write_bytes(damaged)
    _hand_over(survey, home / "handed over")
    return jobs


def _hand_over(survey: Survey, folder: Path) -> None:
    from survey.handover.write import hand_over

    hand_over(survey, fit(survey), folder)


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
    with Pilot(ScribefitApp(home=home), size, density, fontscale) as pilot:
        yield pilot


def visit(pilot: Pilot, place: Place, home: Path) -> None:
    """Go to a page, as after a tap, and wait until it shows what it has to."""
    app = pilot.app
    path = home / "jobs" / f"{place.job}.survey" if place.job else None
    if (app.visit.path if app.visit is not None else None) != path:
        app.close_job()
        app.desk.kept.trail = [Stop("jobs")]
        app._show()
        if path is not None:
            app.open_job(path)
    survey = app.visit.survey if app.visit is not None else Survey([])
    if path is not None and not app.is_fresh:
        app._ask_soon.cancel()
        ids = tuple(record.id for record in survey.records)
        app._answered(Answer(survey, report_of(place.job, ids, path)))
        pilot.frames(2)
    given = {
        key: str(home / value) if key in ("path", "file", "log") else value
        for key, value in place.given(survey).items()
    }
    app.desk.kept.trail = [Stop("jobs")]
    app.go(place.page, **given)
    pilot.frames(4)
    pilot.until(lambda: all(thread.name != "beside" for thread in threading.enumerate()))
    pilot.frames(4)


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

"""Jobs for the tests of the Fit pages, and a way to wait until all is drawn."""

from __future__ import annotations

import threading
from pathlib import Path

from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Lean, Survey

SAMPLES = Path(__file__).parents[2] / "sample_surveys"


def app_with(tmp_path: Path, *lines: str) -> ScribefitApp:
    path = tmp_path / "home" / "jobs" / "job.survey"
    path.parent.mkdir(parents=True)
    SurveyFile.create(path, dictate(lines, Survey([]))).close()
    return ScribefitApp(home=tmp_path / "home", file=path)


def sample(name: str) -> list[str]:
    return (SAMPLES / name / "notes.txt").read_text(encoding="utf-8").splitlines()


def settled(pilot: Pilot) -> None:
    """Wait until the report is there and nothing is done beside the screen any more."""
    pilot.answered()
    pilot.settle()
    gathering = getattr(pilot.app.shell.page, "gathering", None)
    pilot.until(lambda: gathering is None or not gathering.is_busy)
    pilot.until(lambda: not any(one.name == "beside" for one in threading.enumerate()))
    pilot.settle()


def lean_left_wall(pilot: Pilot, by: str) -> None:
    """Correct every lean of the left wall, as after reading it again."""
    visit = pilot.app.visit
    for old in [one for one in visit.survey.of(Lean) if one.wall == "left"]:
        low, high = (value.text for value in (old.low, old.high))
        line = f"lean left along {old.along.text} from {old.from_} low {low} high {high} in {by}"
        visit.put(*dictate([f"correct {old.id}: {line}"], visit.survey))

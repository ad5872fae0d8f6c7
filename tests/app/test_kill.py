"""The process is killed at any moment while readings are typed: what was acknowledged is there after."""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from filled import write_half_read
from pilot import Pilot
from thorough import many
from typist import drafted

from survey.app.desk import Desk
from survey.app.main import ScribefitApp
from survey.file import SurveyFile

KILLS, KEYS, SEED = many(14, 100), 16, 20260
LATEST = 0.02
"""Seconds after an acknowledgement until the kill, at most."""

State = list[object]


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("started")
    (home / "jobs").mkdir()
    write_half_read(home / "jobs" / "half.survey", most=9)
    return home


@pytest.fixture(scope="module")
def states(started: Path, tmp_path_factory: pytest.TempPathFactory) -> list[State]:
    """Return what a typist who is left alone says, key by key."""
    home = _copied(started, tmp_path_factory.mktemp("alone") / "home")
    said = _typist(home).communicate()[0].splitlines()
    assert len(said) == KEYS + 1
    return [json.loads(line) for line in said]


def test_what_was_acknowledged_survives_a_kill(started: Path, states: list[State], tmp_path: Path) -> None:
    chance = random.Random(SEED)
    moments = [(chance.randrange(1, KEYS + 1), chance.uniform(0.0, LATEST)) for _ in range(KILLS)]
    homes = [_copied(started, tmp_path / str(number)) for number in range(KILLS)]
    with ThreadPoolExecutor(2) as pool:
        heard = list(pool.map(_killed, homes, *zip(*moments, strict=True)))
    for home, count in zip(homes, heard, strict=True):
        saved, draft = _left(home)
        # The key that was on its way may have come through, whole; nothing else may differ.
        assert [saved, draft] in _between(states[count - 1 : count + 1]), f"killed after {count} keys"


def test_a_new_start_shows_the_half_typed_value(started: Path, states: list[State], tmp_path: Path) -> None:
    count = next(number for number, (_, draft) in enumerate(states) if number > 2 and draft)
    home = _copied(started, tmp_path / "home")
    heard = _killed(home, count + 1, 0.0)
    _, draft = states[heard - 1]
    with Pilot(ScribefitApp(home=home)) as pilot:
        assert pilot.app.desk.kept.trail[-1].page == "entry"
        assert drafted(pilot.app) == draft
        assert pilot.app.shell.page.taking.kept() == draft[1]  # type: ignore[index]


def _between(two: list[State]) -> list[State]:
    """Return what may be found on the way from one to the next: a reading is saved, then its draft goes."""
    first, last = two[0], two[-1]
    return [first, last, [last[0], first[1]]]


def _copied(started: Path, home: Path) -> Path:
    shutil.copytree(started, home)
    return home


def _typist(home: Path) -> subprocess.Popen[str]:
    script = Path(__file__).with_name("typist.py")
    return subprocess.Popen(
        [sys.executable, str(script), str(home), str(home / "jobs" / "half.survey"), str(KEYS)],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        env={**os.environ, "SURFACE": "64x64"},
    )  # fmt: skip


def _killed(home: Path, lines: int, after: float) -> int:
    """Kill a typist some seconds after so many lines; return how many lines it had said by then."""
    with _typist(home) as typist:
        assert typist.stdout is not None
        heard = [typist.stdout.readline() for _ in range(lines)]
        time.sleep(after)
        typist.kill()
        heard += typist.stdout.readlines()
    whole = [line for line in heard if line.endswith("\n")]
    assert len(whole) >= lines
    return len(whole)


def _left(home: Path) -> tuple[int, State]:
    """Return how many records the file holds, proved whole, and what lies on the desk half typed."""
    # For writing, as the app does: what a kill interrupted is rolled back then.
    with SurveyFile.open(home / "jobs" / "half.survey", write=True) as file:
        saved = len(file.survey().records)
    draft = Desk(home).kept.draft
    return saved, [draft.of, draft.fields] if draft is not None else []

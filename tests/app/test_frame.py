"""The frame around the pages: places, the way back, undo, messages, the ring, and the calm page."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import pytest
from kivy.clock import Clock
from pilot import ESCAPE, TAB, Pilot

from survey.app.main import ScribefitApp
from survey.app.visit import Visit
from survey.records import Wall


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "home" / "jobs" / "vanity.survey"
    path.parent.mkdir(parents=True)
    Visit.begin(path, "Corner vanity", "in", "1/16").close()
    return path


def app_with(job: Path) -> ScribefitApp:
    return ScribefitApp(home=job.parents[1], file=job)


def test_places_lead_to_their_pages_and_back_leads_to_the_jobs(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        assert pilot.app.shell.title == "Measure"
        for words, page in (("Pieces", "pieces"), ("Fit", "fit"), ("Hand over", "handover")):
            pilot.tap(words)
            assert pilot.app.desk.kept.trail[-1].page == page
        pilot.back()
        assert pilot.app.desk.kept.trail[-1].page == "jobs"
        assert pilot.app.visit is None


def test_undo_takes_back_what_was_put_down(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        visit = pilot.app.visit
        visit.put(Wall(**visit.stamp(), name="back"))
        pilot.tap("Undo")
        assert "back" not in visit.survey.named
        assert pilot.has("Taken back")


def test_a_new_start_comes_back_to_the_page_and_the_job(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        pilot.tap("Pieces")
    with Pilot(ScribefitApp(home=job.parents[1])) as pilot:
        assert pilot.app.visit.path == job
        assert pilot.app.desk.kept.trail[-1].page == "pieces"


def test_an_error_shows_the_calm_page_and_keeps_a_log(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        pilot.is_calm = True
        Clock.schedule_once(lambda _: 1 / 0)
        pilot.settle()
        assert pilot.has("not your doing")
        (log,) = job.parents[1].glob("mishap-*.txt")
        assert "ZeroDivisionError" in log.read_text(encoding="utf-8")
        pilot.tap("Go on")
        assert pilot.app.shell.title == "Measure"


def test_the_ring_goes_round_and_enter_presses(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        for _ in range(40):
            pilot.key(TAB, "\t")
            ringed = [one for one in pilot.app._ring._root.walk() if getattr(one, "is_ringed", False)]
            assert len(ringed) == 1
            if getattr(ringed[0], "words", "") == "Fit":
                break
        pilot.type("\n")
        assert pilot.app.desk.kept.trail[-1].page == "fit"


def test_escape_on_the_first_page_leaves_the_window_open(job: Path) -> None:
    with Pilot(app_with(job)) as pilot:
        pilot.back()
        assert pilot.key(ESCAPE)
        assert pilot.app.shell.title == "Jobs"


def test_what_was_shown_is_let_go(job: Path) -> None:
    """Not kept alive by the look that it follows: else each page would make the next theme slower."""
    with Pilot(app_with(job)) as pilot:
        pilot.app.go("place")
        pilot.settle()
        seen = [weakref.ref(one) for one in pilot.app.shell.page.walk() if hasattr(one, "_worn")]
        assert seen
        for words in ("Pieces", "Fit", "Measure"):
            pilot.tap(words)

        def left() -> int:
            gc.collect()
            return sum(one() is not None for one in seen)

        pilot.until(lambda: left() == 0, seconds=10.0)

"""A length asked in a sheet: typed by taps or keys, kept only when it can be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults import faults
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.app.visit import Visit
from survey.app.widgets.number_sheet import ask_length


@pytest.fixture
def app(tmp_path: Path) -> ScribefitApp:
    path = tmp_path / "jobs" / "vanity.survey"
    path.parent.mkdir(parents=True)
    Visit.begin(path, "Corner vanity", "in", "1/16").close()
    return ScribefitApp(home=tmp_path, file=path)


def test_a_length_is_typed_by_taps_and_kept(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        kept: list[str] = []
        ask_length(app, "Height", kept.append)
        for key in ("3", "4", "1⁄4", "+1⁄16", "Keep"):
            pilot.tap(key)
        assert kept == ["34 5/16"]


def test_keys_type_into_it_and_a_refused_value_stays(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        kept: list[str] = []
        ask_length(app, "Height", kept.append, text="3")
        pilot.type("45/16\n")
        assert kept == []
        assert pilot.has("fraction of less than 1")
        assert pilot.has("345⁄16")
        for _ in range(6):
            pilot.key(8)
        pilot.type("\n")
        assert kept == [""]


def test_another_smallest_fraction_than_the_jobs(app: ScribefitApp) -> None:
    with Pilot(app) as pilot:
        kept: list[str] = []
        ask_length(app, "Level line", kept.append, step="0.5 mm")
        for key in ("9", ".", "5", "+0.5", "Keep"):
            pilot.tap(key)
        assert kept == ["10"]


@pytest.mark.parametrize(
    ("size", "scale"), [((320, 568), 1.0), ((320, 568), 2.0), ((360, 640), 1.3), ((800, 1280), 1.0)]
)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_it_has_no_faults(app: ScribefitApp, size: tuple[int, int], scale: float, hand: str) -> None:
    app.desk.settings.hand = hand  # type: ignore[assignment]
    with Pilot(app, size, fontscale=scale) as pilot:
        sheet = ask_length(app, "Height", lambda _: None, text="34 5/16", is_signed=True)
        pilot.settle()
        assert faults(sheet) == []

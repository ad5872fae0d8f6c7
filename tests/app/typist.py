"""A fitter who types reading after reading with a thumb, and says aloud what the app acknowledged.

``python tests/app/typist.py HOME FILE KEYS``: each line says how many records are saved and what lies on the
desk half typed, as it stood once the frame after a key was drawn. Run by `test_kill`, which kills it.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import display  # noqa: F401  before Kivy
from pilot import Finger, Pilot

from survey.app import main
from survey.app.main import ScribefitApp
from survey.app.widgets.pad import PadButton


def type_on(home: Path, file: Path, keys: int) -> None:
    """Type from the next missing reading on."""
    with Pilot(ScribefitApp(home=home, file=file)) as pilot:
        app = pilot.app
        app.go("entry", line=_first_missing(app))
        pilot.settle()
        _say(app)
        for _ in range(keys):
            _press(pilot, _next_key(app.shell.page))
            _say(app)


def _first_missing(app: ScribefitApp) -> str:
    from survey.app.walk_list import next_missing, walk_rows

    assert app.visit is not None
    row = next_missing(walk_rows(app.visit.survey, "straightedge"))
    assert row is not None
    return row.line.name


def _next_key(page: object) -> str:
    """Return the next digit of what is usual, or the key that ends the value."""
    taking = page.taking  # type: ignore[attr-defined]
    whole = taking.open.usual.lstrip("-").split()[0]
    usual = "0" if "/" in whole else whole
    return usual[len(taking.text)] if len(taking.text) < len(usual) else "main"


def _press(pilot: Pilot, words: str) -> None:
    buttons = pilot.all(PadButton)
    button = next(one for one in buttons if words in (one.text, one.does))
    finger = Finger(*button.to_window(*button.center))
    finger.down()
    pilot.frames(1)
    finger.up()
    pilot.frames(1)


def _say(app: ScribefitApp) -> None:
    assert app.visit is not None
    print(json.dumps([len(app.visit.survey.records), drafted(app)]), flush=True)


def drafted(app: ScribefitApp) -> list[object]:
    """Return what lies on the desk half typed."""
    draft = app.desk.kept.draft
    return [draft.of, draft.fields] if draft is not None else []


if __name__ == "__main__":
    main.CALM_AFTER = 600.0  # what the report says is not asked here
    type_on(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))

"""What is not loaded before the first page is there: it would double the wait on a phone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from survey.app.visit import Visit

HEAVY = {"numpy", "shapely", "ezdxf", "reportlab", "sqlite_utils", "fontTools", "fitting"}
SHOWN = """
import sys
sys.path.insert(0, {tests!r})
import display
from pathlib import Path
from pilot import Pilot
from survey.app import main
from survey.app.main import ScribefitApp
main.CALM_AFTER = 60.0  # the report comes later
file = {file!r}
with Pilot(ScribefitApp(home=Path({home!r}), file=Path(file) if file else None)) as pilot:
    assert pilot.app.desk.kept.trail[-1].page == {page!r}
    print(*sorted({{name.partition(".")[0] for name in sys.modules}}))
"""


@pytest.mark.parametrize("page", ["jobs", "measure"])
def test_a_first_page_needs_no_numerics_and_no_writers_of_papers(page: str, tmp_path: Path) -> None:
    job = tmp_path / "jobs" / "vanity.survey"
    job.parent.mkdir()
    Visit.begin(job, "Corner vanity", "in", "1/16").close()
    script = SHOWN.format(
        tests=str(Path(__file__).parent),
        file=str(job) if page == "measure" else "",
        home=str(tmp_path),
        page=page,
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    loaded = set(ran.stdout.split())
    assert "kivy" in loaded
    assert loaded & HEAVY == set()

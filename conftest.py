"""Before anything imports Kivy: its settings for a screen that nobody sees (`tests/app/display.py`).

Where no window can be opened, the app's tests are left out, and that is said; under CI it is a failure.
"""

import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "tests" / "app"))

import display

MISSING = display.missing()
if MISSING and os.environ.get("CI"):
    raise RuntimeError(f"no screen for the app's tests: {MISSING}. README.md says what to install")

collect_ignore_glob = ["survey/app/*", "tests/app/*"] if MISSING else []


def pytest_terminal_summary(terminalreporter):
    """Say what was left out."""
    if MISSING:
        terminalreporter.write_line(
            f"The app's tests were left out: {MISSING}. README.md says what to install."
        )

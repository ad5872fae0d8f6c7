"""Progress bars: moved where somebody looks, silent elsewhere."""

import io
import sys

import pytest

from survey.cli.progress import counting, steps


class Screen(io.StringIO):
    """Standard error as a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("stream", "shows"), [(Screen, True), (io.StringIO, False)])
def test_a_bar_is_shown_only_on_a_terminal(monkeypatch, stream, shows):
    monkeypatch.setattr(sys, "stderr", stream())
    with counting("Importing", [1, 2, 3]) as items:
        assert list(items) == [1, 2, 3]
    with steps("Handing over") as on_progress:
        on_progress("cut list", 1, 2)
        on_progress("job book", 2, 2)
    shown = sys.stderr.getvalue()
    assert ("Importing" in shown and "100%" in shown and "job book" in shown) == shows
    assert bool(shown) == shows

"""What the app's first frame costs over that of an empty Kivy app.

Run it: ``python tests/benchmarks/bench_app_start.py``. Both are whole processes, started in turns, from the
start of Python until the first frame is drawn; the budget is 1.3 times the empty app. Ours draws its frame
first and then the page: the list of two jobs, or the alcove that was open. When that is there is printed too.
"""

import os
import subprocess
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

APP_TESTS = Path(__file__).parents[1] / "app"
PAIRS = 11
BUDGET = 1.3

SCRIPT = """
import sys
sys.path.insert(0, {tests!r})
import display
from kivy.config import Config
Config.set("graphics", "width", "412")
Config.set("graphics", "height", "915")
from kivy.base import EventLoop, runTouchApp
{make}
app._run_prepare()
runTouchApp(embedded=True)
from kivy.graphics.opengl import glFinish
EventLoop.idle()
glFinish()
print("frame", flush=True)
while app.root.page is None:
    EventLoop.idle()
EventLoop.idle()
glFinish()
print("page", flush=True)
import os
os._exit(0)
"""
EMPTY = """
from kivy.app import App
from kivy.uix.label import Label
class Empty(App):
    def load_kv(self, filename=None):
        return False
    def build(self):
        root = Label(text="Jobs")
        root.page = root
        return root
app = Empty()
"""
OURS = """
from pathlib import Path
from survey.app.main import ScribefitApp
app = ScribefitApp(home=Path({home!r}))
"""


def seconds(make: str, kivy_home: str) -> tuple[float, float]:
    """Run a process; return when its first frame is drawn, and when its page is."""
    script = SCRIPT.format(tests=str(APP_TESTS), make=make)
    surroundings = {**os.environ, "KIVY_HOME": kivy_home}
    started = perf_counter()
    told = {}
    with subprocess.Popen(
        [sys.executable, "-c", script],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=surroundings, text=True,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        for line in process.stdout:
            told[line.strip()] = perf_counter() - started
        _, errors = process.communicate()
    if set(told) != {"frame", "page"}:
        raise SystemExit(f"expected a first frame and a page, got:\n{errors}")
    return told["frame"], told["page"]


def prepared(home: Path, is_open: bool) -> str:
    """Keep two jobs in a folder, one of them open where asked for; return how the app is made on it."""
    from survey.app.desk import Desk, Stop
    from survey.app.visit import Visit

    desk = Desk(home)
    for name in ("alcove", "corner"):
        Visit.begin(desk.jobs / f"{name}.survey", name.title(), "in", "1/16").close()
    if is_open:
        desk.kept.job = str(desk.jobs / "alcove.survey")
        desk.kept.trail = [Stop("jobs"), Stop("measure")]
        desk.keep()
    return OURS.format(home=str(home))


def bench(words: str, ours: str, kivy_home: str) -> float:
    """Time pairs of both; print the medians and return the ratio of the first frames."""
    pairs = [(seconds(EMPTY, kivy_home)[0], *seconds(ours, kivy_home)) for _ in range(PAIRS)]
    empty, frame, page = (median(each) * 1e3 for each in zip(*pairs, strict=True))
    ratio = median(frame / empty for empty, frame, _ in pairs)
    paged = median(page / empty for empty, _, page in pairs)
    print(
        f"{words:18s} first frame {frame:4.0f} ms, empty app {empty:4.0f} ms: {ratio:.2f}x "
        f"(budget {BUDGET}x); page there {page:4.0f} ms: {paged:.2f}x"
    )
    return ratio


def main() -> int:
    """Print the ratios; return 1 where one is over the budget."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        kivy_home = str(folder / "kivy")
        Path(kivy_home).mkdir()
        jobs = prepared(folder / "jobs", is_open=False)
        measure = prepared(folder / "measure", is_open=True)
        for make in (EMPTY, jobs, measure):
            seconds(make, kivy_home)  # the files come into the machine's memory
        ratios = [bench("list of jobs", jobs, kivy_home), bench("a job on Measure", measure, kivy_home)]
    return int(max(ratios) > BUDGET)


if __name__ == "__main__":
    sys.exit(main())

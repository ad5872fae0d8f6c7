"""`scribefit fit FILE` as a process against `python -c "import numpy, shapely"`.

Budget: at most 1.5 times. Run it as `python tests/benchmarks/bench_fit_process.py [SAMPLE]`; it makes the
survey file from the sample's notes, or from a small room of its own where no sample is named. It ends
with status 1 where the budget is missed.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Survey

BUDGET = 1.5
ROUNDS = 15
SAMPLES = Path(__file__).parents[2] / "sample_surveys"
NOTES = """
job "Corner vanity" in inches to 1/16 level line 36
room bath
wall back wood stud
wall left wood stud
corner left and back
mark m1 on back
length left-back to m1 up 34 reads 60 3/8
three sides left-back 36 left 48 right diagonal 59 15/16 up 34
straightedge back up 34 from left-back: 0 0, 6 1/16, 12 1/8, 18 1/16, 24 0, 36 0, 48 0
straightedge left up 34 from left-back: 0 0, -6 1/16, -12 1/8, -18 1/16, -24 0
lean back along 20 from left-back low 4 high 34 in 1/8
drop floor back along 12 from left-back out 10 reads 35 7/8
"""


def seconds(command: list[str], environment: dict[str, str]) -> float:
    """How long a process takes, from its start to its end."""
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, env=environment)
    took = time.perf_counter() - start
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} ended with {done.returncode}:\n{done.stderr}")
    return took


def main() -> None:
    """Run both by turns, so that neither has the warmer machine, and print the ratio of the medians."""
    notes = (SAMPLES / sys.argv[1] / "notes.txt").read_text("utf-8") if len(sys.argv) > 1 else NOTES
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "bench.survey"
        SurveyFile.create(file, dictate(notes.split("\n"), Survey([]))).close()
        fit = [sys.executable, "-c", "from survey.cli import main; main()", "fit", str(file)]
        bare = [sys.executable, "-c", "import numpy, shapely"]
        # Installed packages are compiled; so that a checkout is too, the first round of each is not counted.
        compiled = {**os.environ, "PYTHONPYCACHEPREFIX": f"{folder}/compiled"}
        compiled.pop("PYTHONDONTWRITEBYTECODE", None)
        pairs = [(seconds(fit, compiled), seconds(bare, compiled)) for _ in range(1 + ROUNDS)][1:]
    ours, theirs = (statistics.median(times) for times in zip(*pairs, strict=True))
    verdict = "within" if ours <= BUDGET * theirs else "OVER"
    print(f"scribefit fit {1000 * ours:.0f} ms, import numpy, shapely {1000 * theirs:.0f} ms")
    print(f"ratio {ours / theirs:.2f}, {verdict} the budget of {BUDGET}")
    sys.exit(verdict == "OVER")


if __name__ == "__main__":
    main()

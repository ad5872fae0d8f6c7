"""What the survey file costs: saving one reading, and opening and reading a whole survey.

Run it: ``python tests/benchmarks/bench_file.py``. Saving is held against a bare sqlite3 insert of
the same columns at the same durability, in turns, so that a slow moment of the disk hits both; the
budget is 1.5 times. Reading 100 times the records may take 150 times as long.
"""

import sqlite3
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from survey.file import SurveyFile
from survey.records import LengthReading, Spot, TypedLength
from survey.records.canonical import canonical
from survey.text import read_text, write_text

SAVES = 400
INSERT = "INSERT INTO record (id, kind, taken, content, hash) VALUES (?, ?, ?, ?, ?)"
FEW, MANY = 1_000, 100_000
SAVE_BUDGET, READ_BUDGET = 1.5, 150.0


def reading(number: int) -> LengthReading:
    """Make a reading such as a person types, the next one every minute."""
    spot = Spot("back", TypedLength(f"{number % 90} 5/16", "in"), "left-corner", TypedLength("34", "in"))
    return LengthReading(
        id=sha256(b"%d" % number).hexdigest()[:32],
        taken=datetime(2025, 5, 1, tzinfo=UTC) + timedelta(minutes=number),
        device="phone",
        between=(spot, "right-corner"),
        reads=TypedLength(f"{number % 60} 3/32", "in"),
        start="hook",
    )


def bare(path: Path) -> sqlite3.Connection:
    """Make a plain table of the same columns, with nothing that keeps or checks them."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute(
        "CREATE TABLE record (position INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE,"
        " kind TEXT, taken TEXT, content TEXT, hash TEXT) STRICT"
    )
    return connection


def seconds(work: Callable[[], object]) -> float:
    """Time a call once."""
    started = perf_counter()
    work()
    return perf_counter() - started


def bench_saving(folder: Path) -> float:
    """Save readings one by one in both ways; give the ratio of the medians."""
    ours: list[float] = []
    plain: list[float] = []
    connection = bare(folder / "bare.db")
    with SurveyFile.create(folder / "ours.survey") as file:
        for number in range(SAVES):
            record = reading(number)
            content = canonical(record).decode()
            row = (record.id, "length", "2025-05-01T00:00:00Z", content, record.id * 2)
            plain.append(seconds(lambda row=row: connection.execute(INSERT, row)))
            ours.append(seconds(lambda record=record: file.append(record)))
    connection.close()
    print(f"save one reading    {median(ours) * 1e3:8.3f} ms, bare insert {median(plain) * 1e3:8.3f} ms")
    return median(ours) / median(plain)


def opened(path: Path) -> int:
    """Open a file, checks and all, and read its survey."""
    with SurveyFile.open(path) as file:
        return len(file.survey().records)


def bench_reading(folder: Path, count: int) -> float:
    """Make a survey of so many readings; give the seconds to open and read it."""
    path = folder / f"{count}.survey"
    records = [reading(number) for number in range(count)]
    making = seconds(lambda: SurveyFile.create(path, records).close())
    reading_it = min(seconds(lambda: opened(path)) for _ in range(3))
    checking = min(seconds(lambda: SurveyFile.open(path).close()) for _ in range(3))
    with SurveyFile.open(path) as file:
        survey = file.survey()
    writing_text = seconds(lambda: write_text(survey))
    written = write_text(survey)
    reading_text = seconds(lambda: read_text(written))
    print(
        f"{count:7d} readings    make {making:7.3f} s, open {checking:7.3f} s, open and read "
        f"{reading_it:7.3f} s; text: write {writing_text:7.3f} s, read {reading_text:7.3f} s"
    )
    return reading_it


def main() -> int:
    """Print times and ratios; return 1 where one is over its budget."""
    with TemporaryDirectory(dir=Path.cwd()) as name:
        folder = Path(name)
        save = bench_saving(folder)
        grow = bench_reading(folder, MANY) / bench_reading(folder, FEW)
    print(f"saving against a bare insert {save:6.2f}x (budget {SAVE_BUDGET}x)")
    print(f"reading {MANY} against {FEW} {grow:6.1f}x (budget {READ_BUDGET}x)")
    return int(save > SAVE_BUDGET or grow > READ_BUDGET)


if __name__ == "__main__":
    sys.exit(main())

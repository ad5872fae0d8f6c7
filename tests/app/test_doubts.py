"""Doubts and advice: what is said of readings that disagree, and the way to the reading that settles it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from faults import faults
from pilot import Pilot

from survey.app.main import ScribefitApp
from survey.dictation import dictate
from survey.file import SurveyFile
from survey.records import Survey

ALCOVE = [
    "job V in in to 1/16 level line 36", "room r", "wall left", "wall back", "wall right",
    "corner left and back", "corner back and right",
]  # fmt: skip
ONE = [
    *(f"length left-back to back-right up {up} reads 60" for up in (4, 20, 34)),
    *(
        f"length (left {out} from left-back) to (right {out} from back-right) up 34 reads {reads}"
        for out, reads in ((8, 60), (16, 60), (20, 59))
    ),
    "length left-back to (right 20 from back-right) up 34 reads 63 1/4",
    "length back-right to (left 20 from left-back) up 34 reads 63 1/4",
]
GROUP = [
    "length left-back to back-right up 34 reads 60", "length left-back to back-right up 20 reads 60 1/2"
]  # fmt: skip
TOP = (
    "top t against back up 34 thickness 1 depth 18, left meets left net gap 1/8, "
    "right meets right net gap 1/8, back meets back net gap 1/8"
)
COMING = [
    *ONE[:3],
    "area tiles on right layers tile 3/8 to come",
    "three sides left-back 20 left 21 right diagonal 29 up 34",
    "three sides back-right 21 left 20 right diagonal 29 up 34",
    "straightedge left up 34 from left-back: 1 0, 10 0, 20 0",
    "straightedge right up 34 from back-right: 1 0, 10 0, 20 0",
    "straightedge back up 34 from left-back: 1 0, 12 0, 24 0, 36 0, 48 0, 59 0",
    TOP,
]


@pytest.fixture
def doubts(tmp_path: Path) -> Callable[..., Pilot]:
    """Open the page over a job with these lines."""

    def opened(lines: Sequence[str], **given: object) -> Pilot:
        path = tmp_path / "home" / "jobs" / "vanity.survey"
        path.parent.mkdir(parents=True)
        SurveyFile.create(path, dictate([*ALCOVE, *lines], Survey([]))).close()
        return Pilot(ScribefitApp(home=path.parents[1], file=path), **given)  # type: ignore[arg-type]

    return opened


def show(pilot: Pilot) -> list[dict[str, str]]:
    """Show the page; return where it leads, as it is gone there."""
    pilot.until(lambda: pilot.app.visit is not None)
    pilot.answered()
    pilot.app.go("doubts")
    gone: list[dict[str, str]] = []
    pilot.app.go = lambda page, **given: gone.append({"page": page, **given})
    pilot.until(lambda: pilot.app.shell.page.ids.body.children)
    pilot.settle()
    return gone


def test_one_reading_is_named_with_its_slip_and_read_again_or_corrected(doubts: Callable[..., Pilot]) -> None:
    with doubts(ONE) as pilot:
        gone = show(pilot)
        record = pilot.app.visit.survey.records[-3].id
        for words in ("cannot be true", "59″", "looks 1″ too small", "inch"):
            assert pilot.has(words), pilot.text()
        pilot.tap("Read it again")
        pilot.tap("I misread it")
        assert gone == [
            {"page": "entry", "record": record, "how": "repeat"},
            {"page": "entry", "record": record, "how": "correct"},
        ]


def test_a_group_is_listed_with_the_reading_that_tells(doubts: Callable[..., Pilot]) -> None:
    with doubts(GROUP) as pilot:
        gone = show(pilot)
        assert pilot.has("One of these is wrong")
        assert pilot.has("it is 1⁄2″ too large")
        assert pilot.has("it is 1⁄2″ too small")
        pilot.tap("Read it")
        pilot.tap("width at the back")
        (first, second) = gone
        assert first == {"page": "entry", "line_said": "length left-back to back-right up 34 reads 60"}
        assert second["how"] == "repeat"


def test_what_to_repeat_before_cutting_leads_to_each(doubts: Callable[..., Pilot]) -> None:
    with doubts(COMING) as pilot:
        gone = show(pilot)
        report = pilot.app.report
        assert report.room.repeat
        rows = [one for one in pilot.all() if type(one).__name__ == "ReadAgain"]
        assert len(rows) == len(report.room.repeat)
        for row in rows:
            pilot.tap(row)
        assert [one["record"] for one in gone] == list(report.room.repeat)


def test_an_advised_reading_comes_with_what_it_brings_and_a_picture(doubts: Callable[..., Pilot]) -> None:
    with doubts([line for line in COMING if not line.startswith("area")]) as pilot:
        gone = show(pilot)
        (advised,) = pilot.app.report.room.next_readings
        assert pilot.has("Read next")
        assert pilot.has(f"{advised.name} (about")
        assert pilot.has("rises: t from")
        (picture,) = [one for one in pilot.all() if type(one).__name__ == "NextPicture"]
        assert picture.laid_out.marks
        pilot.tap("Read it")
        assert gone == [{"page": "entry", "line_said": advised.dictation}]


@pytest.mark.parametrize(
    ("lines", "words"), [([], "Nothing is read yet"), (ONE[:5], "Say what you will build")]
)
def test_where_nothing_is_in_doubt_it_says_what_comes(
    doubts: Callable[..., Pilot], lines: list[str], words: str
) -> None:
    with doubts(lines) as pilot:
        show(pilot)
        assert pilot.has(words)


@pytest.mark.parametrize("lines", [ONE, GROUP, COMING])
@pytest.mark.parametrize(
    ("size", "scale"), [((320, 568), 1.0), ((320, 568), 2.0), ((640, 360), 1.3), ((800, 1280), 1.0)]
)
def test_nothing_is_cut_or_too_small(
    doubts: Callable[..., Pilot], lines: list[str], size: tuple[int, int], scale: float
) -> None:
    with doubts(lines, size=size, fontscale=scale) as pilot:
        show(pilot)
        assert faults(pilot.app.shell) == []

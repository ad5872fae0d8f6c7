"""Surveys that nobody should have taken: findings come of them, never a crash and never NaN."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from dictated import ALCOVE, COUNTER, HUNG, found, numbers, piece, report_of, survey_of

from survey.dictation import DictationError
from survey.findings import fit
from survey.records import LengthReading, Survey, TypedLength
from survey.report.structs import FitReport

PLACE, READ = ALCOVE[:7], ALCOVE[7:]
NET = (
    "top between against back up 850 thickness 30 depth 500, left meets left net gap 2, "
    "right meets right net gap 2, back meets back net gap 2"
)
PLANNED = (COUNTER, HUNG, NET)
WIDTH = "length left-back to back-right up 850 reads 1500"
BACK = "straightedge back up 850 from left-back: 0 0, 300 0, 600 0, 900 0, 1200 0, 1500 0"


def floats(told: Any, path: str = "report") -> Iterator[tuple[str, float]]:
    """Go through all numbers of a report, with their paths (JSON would make null of one that is none)."""
    if isinstance(told, dict):
        for name, value in told.items():
            yield from floats(value, f"{path}.{name}")
    elif isinstance(told, list | tuple):
        for at, value in enumerate(told):
            yield from floats(value, f"{path}[{at}]")
    elif isinstance(told, int | float):
        yield path, float(told)


def fitted(room: list[str], *pieces: str) -> FitReport:
    """The report of a room with pieces planned."""
    return checked(report_of(*(pieces or PLANNED), room=room))


def checked(report: FitReport) -> FitReport:
    """The report, every number in it finite, and no chance beyond 0 and 1."""
    told = list(floats(msgspec.to_builtins(report)))
    assert told
    assert not [path for path, value in told if not math.isfinite(value)]
    assert not [path for path, value in told if path.endswith(".chance") and not 0 <= value <= 1]
    return report


def ready(report: FitReport) -> set[str]:
    return {one.name for one in report.pieces if one.status == "ready"}


def put(room: list[str], old: str, *new: str) -> list[str]:
    """The room with other lines in the place of one."""
    at = room.index(old)
    return [*room[:at], *new, *room[at + 1 :]]


def test_numbers_that_are_none_would_be_seen():
    assert dict(floats({"a": [1, math.inf], "b": {"c": math.nan}})).keys() == {
        "report.a[0]",
        "report.a[1]",
        "report.b.c",
    }


# --- Next to nothing read


@pytest.mark.parametrize("line", [*READ[:5], *READ[7:9], READ[10], READ[13], "nothing"])
def test_a_single_reading_makes_no_piece_ready(line):
    """Of the alcove's, one by itself; it says how square one corner is, or how wide the place is, or less."""
    report = fitted([*PLACE, *([] if line == "nothing" else [line])])
    assert not ready(report)
    expected = {301, 300} - ({300} if line.startswith("length") else set())
    assert expected <= set(numbers(report))
    assert report.room.suspects == ()


def test_a_wall_seen_by_nothing():
    """The left corner's pieces stay what they were; what meets the right wall is told what is missing."""
    of_it = ("length", "three sides back-right", "straightedge right", "lean right")
    room = [line for line in ALCOVE if not line.startswith(of_it)]
    assert len(room) == len(ALCOVE) - 5
    report = fitted(room)
    (missing,) = found(report, 300)
    assert (missing.severity, missing.pieces) == ("stops", ("hung", "between"))
    assert "`right`" in missing.says
    assert ready(report) == {"counter"}
    for name in ("hung", "between"):
        told = piece(report, name)
        assert (told.finished, told.blank, told.chance) == ((), (), None)


# --- The same again


def test_all_readings_equal():
    """No room has them: corners of 60 degrees, walls that lean 45; each says so itself."""
    equal = [
        *[WIDTH] * 5,
        *(
            f"three sides {one} 1500 left 1500 right diagonal 1500 up 850"
            for one in ("left-back", "back-right")
        ),
        *(
            f"straightedge {wall} up 850 from left-back: 300 300, 600 300, 900 300"
            for wall in ("left", "back")
        ),
        "lean back along 300 from left-back low 300 high 600 in 300",
    ]
    report = fitted([*PLACE, *equal])
    assert len(found(report, 202)) == 2
    assert all("60.00" in one.says for one in found(report, 202))
    assert len(found(report, 200)) == 1
    assert not ready(report)


def test_one_length_read_ten_times_alike():
    """It checks itself and moves nothing."""
    once, often = fitted(ALCOVE), fitted(put(ALCOVE, WIDTH, *[WIDTH] * 10))
    assert ready(often) == ready(once) == {"counter", "hung", "between"}
    assert numbers(often) == numbers(once) == []
    for name in ("counter", "between"):
        sizes = [[size.size.mm for size in piece(report, name).finished] for report in (once, often)]
        assert sizes[0] == pytest.approx(sizes[1], abs=0.5)


def test_stations_that_repeat():
    """Gaps of 0 read twice and more at one place, without a doubt."""
    report = fitted(put(ALCOVE, BACK, BACK.replace("600 0", "600 0, 600 0, 600 0")))
    assert ready(report) == {"counter", "hung", "between"}
    assert numbers(report) == []


def test_stations_that_repeat_and_contradict():
    """5 and 0 at one place among zeros: the 5 is wrong."""
    report = fitted(put(ALCOVE, BACK, BACK.replace("600 0", "600 0, 600 5")))
    (doubt,) = found(report, 401)
    assert "at 600 mm looks 5 mm too large" in doubt.says
    assert ready(report) == {"counter", "hung", "between"}


def test_stations_all_at_one_place_check_no_wall():
    report = fitted(put(ALCOVE, BACK, "straightedge back up 850 from left-back: 600 0, 600 0, 600 0"))
    assert {one.pieces for one in found(report, 302)} == {("counter",), ("between",)}
    assert ready(report) == {"hung"}


# --- Instruments without error


@pytest.mark.parametrize("line", [WIDTH, "three sides left-back 600 left 800 right diagonal 1000 up 850"])
def test_an_error_of_zero_is_refused_where_it_is_typed(line):
    with pytest.raises(DictationError, match="sd: expected more than zero, got 0 mm"):
        survey_of(room=put(ALCOVE, line, f"{line} sd 0 mm"))


def test_an_error_of_zero_that_came_all_the_same_is_a_finding():
    """Written past the command: the length is left out, with it the only one, and so is the right wall."""
    records = [
        msgspec.structs.replace(one, sd=TypedLength("0", "mm")) if isinstance(one, LengthReading) else one
        for one in survey_of(*PLANNED).records
    ]
    report = checked(fit(Survey(records)))
    lengths = [one.id for one in records if isinstance(one, LengthReading)]
    doubts = found(report, 200)
    assert [one.records for one in doubts] == [(one,) for one in lengths]
    assert all("standard deviation is 0: expected more than zero" in one.says for one in doubts)
    assert [one.pieces for one in found(report, 300)] == [("hung", "between")]
    assert ready(report) == {"counter"}


@pytest.mark.parametrize("sd", ["0.001 mm", "0.000001 mm"])
def test_instruments_that_claim_next_to_no_error(sd):
    """Two that agree are believed; of two that do not, one is wrong, and nothing tells which."""
    agreed = fitted(put(ALCOVE, WIDTH, f"{WIDTH} sd {sd}", f"{WIDTH} sd {sd}"))
    assert ready(agreed) == {"counter", "hung", "between"}
    assert numbers(agreed) == []
    apart = fitted(put(ALCOVE, WIDTH, f"{WIDTH} sd {sd}", f"{WIDTH.replace('1500', '1510')} sd {sd}"))
    (suspect,) = apart.room.suspects
    (doubt,) = found(apart, 402)
    assert len(suspect.records) == 2
    assert set(doubt.records) == set(suspect.records)
    assert sorted(suspect.too_large_by) == pytest.approx([-10.0, 10.0], abs=1.0)

"""A laser that types like a keyboard: fast lines told from hands, and what they say in every unit."""

from __future__ import annotations

import pytest

from survey.app.keyboard import ENTER, TAB
from survey.app.wedge import Wedge, understood
from survey.quantity import read_length


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def send(wedge: Wedge, clock: Clock, line: str, every: float, end: int = ENTER) -> str | None:
    for letter in line:
        clock.now += every
        assert wedge.take_key(ord(letter), letter) is None
    clock.now += every
    return wedge.take_key(end, "")


@pytest.mark.parametrize(
    ("line", "every", "end", "came"),
    [
        ("1.234", 0.01, ENTER, "1.234"),
        ("1.234", 0.01, TAB, "1.234"),
        ("1.234", 0.2, ENTER, None),
        ("12", 0.01, ENTER, None),
        ("Err 204", 0.02, ENTER, "Err 204"),
    ],
)
def test_only_a_fast_line_is_a_device(line: str, every: float, end: int, came: str | None) -> None:
    clock = Clock()
    assert send(Wedge(clock), clock, line, every, end) == came


def test_what_a_hand_left_behind_is_no_part_of_a_line() -> None:
    clock = Clock()
    wedge = Wedge(clock)
    wedge.take_key(ord("9"), "9")
    clock.now += 3.0
    assert send(wedge, clock, "1.234", 0.01) == "1.234"


@pytest.mark.parametrize(
    ("line", "setting", "job", "mm"),
    [
        ("34.3125", "as the job", "in", 871.5375),
        ('34 5/16"', "m", "in", 871.5375),
        ("2' 10 5/16\"", "as the job", "mm", 871.5375),
        ("0,872 m", "as the job", "in", 872.0),
        ("1,234", "m", "mm", 1234.0),
        ("0.872", "m", "in", 872.0),
        ("872 mm", "in", "in", 872.0),
        ("872mm", "in", "in", 872.0),
        ("+872", "mm", "in", 872.0),
        ("2.5", "ft", "in", 762.0),
        ("87.2", "cm", "mm", 872.0),
    ],
)
def test_lines_are_understood_in_every_unit(line: str, setting: str, job: str, mm: float) -> None:
    sent = understood(line, setting, job)  # type: ignore[arg-type]
    assert sent.reason == ""
    assert float(read_length(sent.text, job).mm) == pytest.approx(mm)  # type: ignore[arg-type]


@pytest.mark.parametrize("line", ["Err 204", "----", "0.000 m", "1.2.3", "-1.5 m", "\x07\x07\x07", "9" * 90])
def test_garbage_gives_a_short_reason_with_what_came(line: str) -> None:
    sent = understood(line, "m", "in")
    assert sent.text == ""
    assert "Shoot again" in sent.reason
    assert len(sent.reason) < 80
    assert sent.reason.isprintable()

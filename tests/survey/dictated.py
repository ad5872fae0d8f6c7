"""Surveys written as a person would dictate them; square, flat and plumb unless a line says otherwise."""

from __future__ import annotations

from functools import cache

from survey.dictation import dictate
from survey.finding import Finding
from survey.findings import fit
from survey.records import Survey
from survey.report.structs import EdgeReport, FitReport, PieceReport

ALCOVE = """
job Alcove in mm to 1 mm level line 1000
room place
wall left masonry
wall back masonry
wall right masonry
corner left-back joins left and back
corner back-right joins back and right
length left-back to back-right up 100 reads 1500
length left-back to back-right up 850 reads 1500
three sides left-back 600 left 800 right diagonal 1000 up 850
three sides back-right 800 left 600 right diagonal 1000 up 850
straightedge back up 850 from left-back: 0 0, 300 0, 600 0, 900 0, 1200 0, 1500 0
straightedge left up 850 from left-back: 0 0, 200 0, 400 0, 600 0
straightedge right up 850 from back-right: 0 0, 200 0, 400 0, 600 0
lean back along 750 from left-back low 100 high 1900 in 0
lean left along 550 from left-back low 100 high 1900 in 0
lean right along 550 from back-right low 100 high 1900 in 0
drop floor back along 100 from left-back out 50 reads 1000
drop floor back along 1400 from left-back out 50 reads 1000
drop floor back along 100 from left-back out 550 reads 1000
drop floor back along 1400 from left-back out 550 reads 1000
drop ceiling back along 100 from left-back out 50 reads 1400
drop ceiling back along 1400 from left-back out 50 reads 1400
drop ceiling back along 700 from left-back out 550 reads 1400
""".strip().splitlines()
"""1500 wide between square corners; the floor at z = 0, the ceiling at 1000 + 1400 = 2400."""

CASING = "casing trim on left toward left width 60 projection 15"
COUNTER = (
    "top counter against back up 850 thickness 30 depth 500 width 700, "
    "left meets left scribed, back meets back scribed"
)
LINEN = "tall cabinet linen width 600 height 2000 depth 500, left meets left filler gap 30"
STRIP = "filler strip left of linen thickness 18"
END = (
    "panel end on back along 800 from left-back shows left depth 420 thickness 18 height 2000, "
    "back meets back scribed"
)
HUNG = "cabinet hung width 600 height 400 depth 300 bottom 1500, right meets right net gap 3"
PIECES = (COUNTER, LINEN, STRIP, END, HUNG)
"""One of every kind that is worked out, each in its place."""


def survey_of(*lines: str, room: list[str] = ALCOVE) -> Survey:
    return Survey(dictate([*room, *lines], Survey([])))


def report_of(*lines: str, room: list[str] = ALCOVE) -> FitReport:
    return _reported((*room, *lines))


@cache
def _reported(lines: tuple[str, ...]) -> FitReport:
    return fit(survey_of(room=list(lines)))


def without(room: list[str], *starts: str) -> list[str]:
    """The room without the lines that begin so; each must be there."""
    for start in starts:
        assert any(line.startswith(start) for line in room), start
    return [line for line in room if not line.startswith(starts)]


def piece(report: FitReport, name: str) -> PieceReport:
    return next(one for one in report.pieces if one.name == name)


def edge(told: PieceReport, name: str) -> EdgeReport:
    return next(one for one in told.edges if one.edge == name)


def sizes(named) -> dict[str, str]:
    """Names and printed sizes."""
    return {one.name: one.size.text for one in named}


def found(report: FitReport, number: int) -> list[Finding]:
    return [one for one in report.findings if one.number == number]


def numbers(report: FitReport) -> list[int]:
    return [one.number for one in report.findings]

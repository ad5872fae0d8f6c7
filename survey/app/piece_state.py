"""How far a piece has come: ready, in doubt, or not ready and why, in a word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from survey.finding import Finding
from survey.records import Piece
from survey.report.structs import FitReport

Sign = Literal["fine", "in doubt", "missing"]

WHY: Final[dict[int, str]] = {
    102: "a name is used twice", 103: "it names what is not there",
    300: "readings are missing", 301: "readings are missing", 302: "readings are missing",
    303: "readings are missing", 304: "readings are missing", 305: "a size is missing",
    306: "something is not said", 500: "it is too high", 501: "it is too wide",
    502: "it cannot be made so", 508: "something divides it",
}  # fmt: skip
"""Why a piece is not ready, by the number of what stops it."""
NO_PLACE: Final = "the place is not set up"


@dataclass(frozen=True)
class PieceState:
    """A sign and its words; `is_old` while a newer report is worked out."""

    sign: Sign
    words: str
    is_old: bool = False


def piece_state(piece: Piece, report: FitReport | None, is_fresh: bool) -> PieceState:
    """Say how far a piece has come.

    >>> from survey.dictation import dictate
    >>> from survey.findings import fit
    >>> from survey.records import Survey
    >>> lines = ["job V in mm to 1 mm", "cabinet v width 900 height 830 depth 530"]
    >>> survey = Survey(dictate(lines, Survey([])))
    >>> piece_state(survey.current[-1], fit(survey), True).words
    'not ready: the place is not set up'
    """
    told = next((one for one in report.pieces if one.name == piece.name), None) if report else None
    if told is None:
        return PieceState("missing", "being worked out", is_old=True)
    if told.status == "not ready":
        return PieceState("missing", f"not ready: {_why(findings_about(piece, report))}", not is_fresh)
    if any(one.severity == "doubt" for one in findings_about(piece, report)):
        return PieceState("in doubt", "ready, but something is in doubt", not is_fresh)
    return PieceState("fine", "listed as typed" if told.status == "as typed" else "ready", not is_fresh)


def findings_about(piece: Piece, report: FitReport | None) -> tuple[Finding, ...]:
    """Return what was found about a piece, gravest first; of one that rests on nothing, what stops all."""
    if report is None:
        return ()
    about = tuple(one for one in report.findings if piece.name in one.pieces)
    told = next((one for one in report.pieces if one.name == piece.name), None)
    if about or told is None or told.status != "not ready":
        return about
    return tuple(one for one in report.findings if one.severity == "stops" and not one.pieces)


def _why(findings: tuple[Finding, ...]) -> str:
    stops = [one for one in findings if one.severity == "stops"]
    return WHY.get(stops[0].number, NO_PLACE) if stops else NO_PLACE

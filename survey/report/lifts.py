"""What a piece weighs and who lifts it: as somebody weighed it, or from its volume and what it is made of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from fitting.getting_in.weight import DENSITY, Lift, lift, weigh
from survey.finding import finding
from survey.records import BoxPiece, Mirror, Piece
from survey.report.carried import Carried
from survey.report.context import Context
from survey.report.structs import LiftReport, PieceReport

STUFF: Final = 19.05
"""mm; 3/4 in, what a case is taken to be made of all around, its doors for its front (assumption)."""
POUNDS: Final = 2.20462
"""In a kilogram (NIST SP 811, B.8)."""
LIFTERS: Final = {
    1: "one person",
    2: "two people",
    3: "three people",
    None: "more than three people, or in parts",
}


def lift_report(context: Context, piece: Piece, told: PieceReport, whole: Carried) -> LiftReport | None:
    """Return what a piece weighs and who lifts it; nothing where what it is made of is not known."""
    kilograms = piece.kilograms
    if kilograms is None:
        material = _material(piece.material)
        if material is None:
            return None
        kilograms = weigh([(material, _volume(piece, told, whole))])
    who = lift(kilograms, hung=_hangs(piece))
    weight = weight_words(context, kilograms)
    if who.people != 1:
        do = "; ".join(_calls_for(who))
        context.note(finding(575, [piece.id], [piece.name], piece=piece.name, weight=weight, do=do))
    about = "" if piece.kilograms is not None else "about "
    stuff = context.printer.near(STUFF).text
    case = f", taken as a case of {stuff} stuff, empty" if about and isinstance(piece, BoxPiece) else ""
    says = f"{about}{weight}{case}: {'; '.join(_calls_for(who))}"
    return LiftReport(round(kilograms, 2), says, piece.kilograms is not None)


def _calls_for(who: Lift) -> Iterator[str]:
    yield LIFTERS[who.people]
    if who.ledger:
        yield "a ledger fastened level under it first, to carry it while it is fixed"


def _hangs(piece: Piece) -> bool:
    return isinstance(piece, Mirror) or (isinstance(piece, BoxPiece) and piece.bottom is not None)


def weight_words(context: Context, kilograms: float) -> str:
    """Say a weight, rounded up: in the job's own unit first."""
    metric, imperial = f"{int(-(-kilograms // 1))} kg", f"{int(-(-kilograms * POUNDS // 1))} lb"
    job = context.survey.job
    first, second = (metric, imperial) if job is not None and job.unit == "mm" else (imperial, metric)
    return f"{first} ({second})"


def _material(words: str) -> str | None:
    """Return what of the table a piece is made of, the heaviest where several may be meant.

    >>> _material("Red oak, quarter-sawn"), _material("walnut"), _material("papyrus")
    ('red oak', 'black walnut', None)
    """
    said = words.lower().strip()
    found = [one for one in DENSITY if one in said or (said and said in one)]
    exact = [one for one in found if one in said]
    return max(exact or found, key=DENSITY.__getitem__, default=None)


def _volume(piece: Piece, told: PieceReport, whole: Carried) -> float:
    """Return how much material is in a piece, mm3: a blank's outline, or a case's six sides."""
    width, depth, height = whole.sizes
    if isinstance(piece, BoxPiece):
        return 2.0 * STUFF * (width * depth + width * height + depth * height)
    ring = told.blank_outline or told.outline
    if not ring:
        return width * depth * height
    after = [*ring[1:], ring[0]]
    area = abs(sum(x * v - u * y for (x, y), (u, v) in zip(ring, after, strict=True))) / 2.0
    return area * min(whole.sizes)

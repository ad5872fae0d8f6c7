"""What the Fit pages say of pieces and findings, from the report alone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final, Literal

from survey.drawing.piece_words import plain, printable, typeset
from survey.finding import Finding, Severity
from survey.records import BoxPiece, Survey
from survey.report.chance_words import Verdict, percent, verdict
from survey.report.structs import AllowanceReport, FitReport, NamedDimension, NextReading, PieceReport

Sign = Literal["fine", "in doubt", "missing", "cross", "note"]

GRAVITY: Final[dict[Severity, tuple[Sign, str]]] = {
    "stops": ("cross", "Stops the work"),
    "doubt": ("in doubt", "In doubt"),
    "hint": ("note", "To know"),
}
_SIGNS: Final[dict[Verdict, Sign]] = {
    "not ready": "missing", "not worked out": "note", "goes in": "fine", "covers": "fine",
    "tight": "in doubt", "may fall short": "in doubt", "won't go in": "cross",
}  # fmt: skip
_IN_A_NUMBER: Final = re.compile(r"(?<=\d) (?=\d+⁄|mm\b|%)")
_HELD: Final = "\u00a0"


def held(text: str) -> str:
    """Set lengths of a report with real fractions, and hold a number and its unit on one line.

    >>> held("34 5/16 in").replace(chr(160), "_"), held("872 mm").replace(chr(160), "_")
    ('34_5⁄16″', '872_mm')
    """
    return _IN_A_NUMBER.sub(_HELD, typeset(plain(text)))


def sentence(text: str) -> str:
    """Set words of a report as they are read: real fractions, a capital, a full stop.

    >>> sentence("`top` is 3/4 in wide"), sentence("read it again")
    ('top is 3⁄4″ wide.', 'Read it again.')
    """
    shown = held(text).rstrip(".")
    if shown and not text.startswith("`"):
        shown = shown[0].upper() + shown[1:]
    return shown if not shown or shown.endswith("?") else f"{shown}."


def concerns(found: Finding) -> str:
    """Name the pieces that a finding concerns, where its own words do not.

    >>> from survey.finding import finding
    >>> concerns(finding(300, pieces=["vanity"], wall="left"))
    'For vanity.'
    """
    left = [name for name in found.pieces if f"`{name}`" not in found.says]
    return f"For {', '.join(left)}." if left else ""


def verdict_words(piece: PieceReport, confidence: float) -> tuple[Sign, str]:
    """Say with a sign how a piece comes out, and its one chance.

    >>> from survey.report.structs import ChanceReport, Likelihood
    >>> chance = ChanceReport(Likelihood(0.9, 0.01), goes_in=Likelihood(0.9, 0.01))
    >>> verdict_words(PieceReport("top", "top", "ready", chance=chance), 0.99)
    ('in doubt', 'Tight: goes in with a chance of 90\xa0%')
    """
    word = verdict(piece, confidence)
    chance = piece.chance
    likely = chance and (chance.goes_in or chance.covers)
    covers = chance and chance.covers
    told = percent(likely.chance) if likely else ""
    words: dict[Verdict, str] = {
        "not ready": "Not ready",
        "not worked out": "Listed at the size typed" if piece.status == "as typed" else "",
        "goes in": f"Goes in, with a chance of {told}",
        "tight": f"Tight: goes in with a chance of {told}",
        "won't go in": f"Won't go in: a chance of {told} only",
        "covers": f"The blank covers the wall, with a chance of {told}",
        "may fall short": f"The blank may fall short: covers with a chance of "
        f"{percent(covers.chance) if covers else ''}",
    }
    return _SIGNS[word], held(words[word])


def why_not_ready(report: FitReport, name: str) -> str:
    """Say what stops a piece first; where nothing about it does, the whole room is not known.

    >>> from survey.findings import fit
    >>> why_not_ready(fit(Survey([])), "top")
    'Not ready: there is no job record.'
    """
    stops = [one for one in report.findings if one.severity == "stops"]
    about = [one for one in stops if name in one.pieces] or stops
    return f"Not ready: {held(about[0].says)}." if about else "Not ready"


def facts(piece: PieceReport) -> str:
    """Say what a piece is: its kind, material and grain, how many.

    >>> facts(PieceReport("s", "filler", "ready", "oak", "along height", 2))
    'filler, oak, grain along height, make 2'
    """
    grain = f"grain {piece.grain}" if piece.grain not in ("", "none") else ""
    many = f"make {piece.quantity}" if piece.quantity > 1 else ""
    return ", ".join(printable(part) for part in (piece.kind, piece.material, grain, many) if part)


def size_line(sizes: Sequence[NamedDimension]) -> str:
    """Say sizes in one line, without the thickness.

    >>> from survey.report.structs import Dimension
    >>> size_line([NamedDimension(name, Dimension(1.0, 1.0, "1 in")) for name in ("width", "thickness")])
    '1″'
    """
    return " × ".join(held(one.size.text) for one in sizes if one.name != "thickness")


def has_blank_of_its_own(piece: PieceReport) -> bool:
    """Whether its blank is larger than what it is finished to."""
    return [one.size.text for one in piece.blank] != [one.size.text for one in piece.finished]


def parts_words(allowance: AllowanceReport) -> str:
    """Say what an allowance is made of.

    >>> from survey.report.structs import Dimension
    >>> one, three = Dimension(1.6, 1.5875, "1/16 in"), Dimension(4.8, 4.7625, "3/16 in")
    >>> parts_words(AllowanceReport(one, one, one, three))
    '1⁄16″ for the wall, 1⁄16″ for what is not known of it, 1⁄16″ for the saw'
    """
    wall, unknown, saw = (held(one.text) for one in (allowance.range, allowance.unknown, allowance.saw))
    return f"{wall} for the wall, {unknown} for what is not known of it, {saw} for the saw"


def raises(report: FitReport, piece: str) -> tuple[NextReading, ...]:
    """Return the readings that would make a piece surer, the best first."""
    return tuple(one for one in report.room.next_readings if any(gain.piece == piece for gain in one.gains))


def names_of_readings(report: FitReport) -> dict[str, str]:
    """Return what each reading is, in words, by its record's id."""
    found: dict[str, str] = {}
    for one in report.room.residuals:
        found.setdefault(one.record, one.what.partition(", ")[0])
    return found


def has_options(survey: Survey, name: str) -> bool:
    """Whether a piece is a cabinet with a wall at a side, so that fillers can be compared."""
    boxes = [one for one in survey.named.get(name, ()) if isinstance(one, BoxPiece)]
    return any(edge.meets is not None for box in boxes for edge in (box.left, box.right))

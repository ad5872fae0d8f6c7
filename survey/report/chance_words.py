"""The chances of a piece in plain words, the same on screen and paper; percents are whole, never 0 or 100.

A chance is sampled, so none is said to be certain or hopeless; the sampling error is in the report's JSON.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from survey.report.structs import ChanceReport, EdgeReport, Likelihood, PieceReport

Verdict = Literal[
    "not ready", "not worked out", "goes in", "tight", "won't go in", "covers", "may fall short"
]
"""How a piece comes out, in a word; `covers` of what is scribed only, and goes in oversize."""
LIKELIER_THAN_NOT = 0.5


def percent(chance: float) -> str:
    """Say a chance of 0 to 1 in whole percent.

    >>> percent(0.871), percent(0.9951), percent(1.0), percent(0.002)
    ('87 %', '>99 %', '>99 %', '<1 %')
    """
    if chance >= 0.995:
        return ">99 %"
    return "<1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def verdict(piece: PieceReport, confidence: float) -> Verdict:
    """Say in a word how a piece comes out, at the confidence asked (0 to 1).

    What is cut net goes in, or is tight, or more likely does not; what is scribed covers the wall or may
    fall short of it. Chances are sampled: one is enough where it reaches the confidence within two errors.

    >>> from survey.report.structs import Likelihood
    >>> chance = ChanceReport(Likelihood(0.9, 0.01), goes_in=Likelihood(0.9, 0.01))
    >>> verdict(PieceReport("top", "top", "ready", chance=chance), 0.99)
    'tight'
    """
    if piece.status == "not ready":
        return "not ready"
    chance = piece.chance
    if chance is None or (chance.goes_in is None and chance.covers is None):
        return "not worked out"
    if chance.goes_in is not None and not _reaches(chance.goes_in, confidence):
        return "tight" if chance.goes_in.chance >= LIKELIER_THAN_NOT else "won't go in"
    if chance.covers is not None and not _reaches(chance.covers, confidence):
        return "may fall short"
    return "goes in" if chance.goes_in is not None else "covers"


def _reaches(likely: Likelihood, confidence: float) -> bool:
    return likely.chance >= confidence - 2 * likely.error


def chance_words(chance: ChanceReport, step: str) -> str:
    """Say how likely a piece goes in, with which gaps, and whether its blank covers.

    Parameters
    ----------
    chance : ChanceReport
    step : str
        The job's smallest fraction, in words: `1/16 in`.

    Examples
    --------
    >>> from survey.report.structs import Likelihood
    >>> chance_words(ChanceReport(Likelihood(0.99, 0.0), covers=Likelihood(0.99, 0.0)), "1/16 in")
    'the blank covers the wall: 99 %'
    """
    return "; ".join(_parts(chance, step))


def _parts(chance: ChanceReport, step: str) -> Iterator[str]:
    if chance.goes_in is not None:
        yield f"goes in: {percent(chance.goes_in.chance)}"
    if chance.close is not None and chance.greatest_gap is not None:
        within = f"with no gap over {chance.greatest_gap.text}: {percent(chance.close.chance)}"
        yield within + _by_numbers(chance, step)
    if chance.covers is not None:
        yield f"the blank covers the wall: {percent(chance.covers.chance)}"
    told = [one for one in (chance.goes_in and (chance.close or chance.goes_in), chance.covers) if one]
    if len(told) != 1:
        yield f"all well: {percent(chance.all_well.chance)}"


def _by_numbers(chance: ChanceReport, step: str) -> str:
    """Warn of marking out by rounded numbers where that costs a percent or more."""
    if chance.by_numbers is None:
        return ""
    marked = percent(chance.by_numbers.chance)
    if chance.by_numbers.chance >= chance.all_well.chance or marked == percent(chance.all_well.chance):
        return ""
    return f" ({marked} if marked out by numbers to {step}: use the DXF or a template)"


def slip_words(chance: ChanceReport) -> str:
    """Say which slip would do most harm unnoticed; empty where none would move an edge.

    Empty too where no other reading checks a number at all: that is a finding of its own, 403.

    >>> from survey.report.structs import Dimension, Likelihood, UnfoundReport
    >>> slip, effect = Dimension(3.1, 3.175, "1/8 in"), Dimension(1.5, 1.5875, "1/16 in")
    >>> found = UnfoundReport("r1", "length a to b", slip, effect)
    >>> slip_words(ChanceReport(Likelihood(0.99, 0.0), unfound=found))
    'length a to b: a slip of 1/8 in or less would go unnoticed, and move an edge by up to 1/16 in'
    """
    found = chance.unfound
    if found is None or found.effect is None or found.effect.cut_mm == 0.0:
        return ""
    slip = "a small slip" if found.slip is None else f"a slip of {found.slip.text} or less"
    return f"{found.what}: {slip} would go unnoticed, and move an edge by up to {found.effect.text}"


def matters(edge: EdgeReport, piece: PieceReport) -> bool:
    """Say whether what is not known of an edge matters: it may fail, or it is most of what is left on."""
    chance = piece.chance.by_edge.get(edge.edge) if piece.chance else None
    if chance is not None and piece.confidence is not None and chance.chance < piece.confidence:
        return True
    left = edge.allowance
    return left is not None and left.unknown.mm > max(left.range.mm, left.saw.mm)


def driver_words(piece: PieceReport) -> str:
    """Say for all edges of a piece what leaves most unknown there, edges with the same together.

    >>> edges = [EdgeReport(name, "wall", "net", driver=name[0]) for name in ("left", "lower", "back")]
    >>> driver_words(PieceReport("top", "top", "ready", edges=tuple(edges)))
    'left and lower edge: l; back edge: b'
    """
    together: dict[str, list[str]] = {}
    for edge in piece.edges:
        if edge.driver:
            together.setdefault(edge.driver, []).append(edge.edge)
    return "; ".join(f"{' and '.join(edges)} edge: {driver}" for driver, edges in together.items())


def step_words(step: str, unit: str) -> str:
    """Say the job's smallest fraction with its unit.

    >>> step_words("1/16", "in"), step_words("1 mm", "mm")
    ('1/16 in', '1 mm')
    """
    return step if step.endswith(("in", "mm")) else f"{step} {unit}"

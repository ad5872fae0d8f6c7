"""Light strips of fixed length laid out under a cabinet, where they may not be cut.

Seen from the front; x in mm from the left end of the space, which runs between the cabinet's sides::

    |<- end ->|                                        |<- end ->|
    +---------[=== strip ===]--between--[=== strip ===]---------+
    |<-------------------------- space ------------------------>|

What is not lit is dark: the space less the strips.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from fitting.errors import BadInput
from fitting.piece import refuse_size

Spread = Literal["joined", "even"]

EXACT: Final = 1e-9
"""mm; strips that are too long by less than this fit: below any rule."""
MOST_COMBINATIONS: Final = 200_000
"""Combinations of stocked lengths that are looked through at the most; more are refused."""


@dataclass(frozen=True)
class LightPlan:
    """Where strips are to go; mm.

    `end` is kept free at each end of the space, `between` between neighbours, for a connector or a bend of
    the cable. `joined` strips stand together in the middle; of `even` ones all dark spaces are alike,
    those at the ends among them, as far as `end` and `between` allow.
    """

    space: float
    end: float = 0.0
    between: float = 0.0
    spread: Spread = "joined"


@dataclass(frozen=True)
class LaidOut:
    """Strips in their places; mm.

    Attributes
    ----------
    strips : tuple of (start, end)
        From the left end of the space, in order.
    left, right : float
        Dark margins at the ends; alike.
    lit, dark : float
        Together the space.
    """

    strips: tuple[tuple[float, float], ...]
    left: float
    right: float
    lit: float
    dark: float


def needed(plan: LightPlan, lengths: Sequence[float]) -> float:
    """Return the space (mm) that strips need at the least.

    >>> needed(LightPlan(900.0, end=10.0, between=4.0), [300.0, 300.0])
    624.0
    """
    return math.fsum(lengths) + 2 * plan.end + plan.between * max(len(lengths) - 1, 0)


def lay_out(plan: LightPlan, lengths: Sequence[float]) -> LaidOut:
    """Put strips in a row, in the order given.

    Raises
    ------
    BadInput
        Strips that the space does not hold: by how much they are too long is said.

    Examples
    --------
    >>> lay_out(LightPlan(900.0), [600.0]).strips
    ((150.0, 750.0),)
    >>> lay_out(LightPlan(900.0, spread="even"), [300.0, 300.0]).strips
    ((100.0, 400.0), (500.0, 800.0))
    """
    _refuse(plan, lengths)
    over = needed(plan, lengths) - plan.space
    if over > EXACT:
        raise BadInput(
            f"light strips: expected {plan.space:g} mm or less, got {plan.space + over:g} with what is kept "
            f"free: a strip {over:g} mm shorter would do"
        )
    lit = math.fsum(lengths)
    dark = plan.space - lit
    margin, between = _dark_spaces(plan, dark, len(lengths))
    strips, start = [], margin
    for length in lengths:
        strips.append((start, start + length))
        start += length + between
    return LaidOut(tuple(strips), margin, margin, lit, dark)


def _dark_spaces(plan: LightPlan, dark: float, count: int) -> tuple[float, float]:
    """Return the dark space at each end and that between neighbours."""
    if plan.spread == "joined" or count == 1:
        return (dark - plan.between * (count - 1)) / 2, plan.between
    alike = dark / (count + 1)
    if alike < plan.end:
        return plan.end, (dark - 2 * plan.end) / (count - 1)
    if alike < plan.between:
        return (dark - plan.between * (count - 1)) / 2, plan.between
    return alike, alike


def least_dark(plan: LightPlan, stocked: Sequence[float]) -> tuple[float, ...]:
    """Return the combination of stocked lengths that leaves least dark; of several alike the fewest strips.

    Each length may be taken as often as it fits. The longest come first; nothing where none fits.

    Examples
    --------
    Of 300 and 500 in 1150: 500 + 300 + 300 = 1100 leaves 50 dark, two of 500 would leave 150.

    >>> least_dark(LightPlan(1150.0), [300.0, 500.0])
    (500.0, 300.0, 300.0)
    >>> least_dark(LightPlan(250.0), [300.0])
    ()
    """
    _refuse(plan, stocked)
    lengths = sorted(set(stocked), reverse=True)
    room = plan.space - 2 * plan.end + plan.between
    if math.prod(math.floor(room / (one + plan.between) + 1) for one in lengths[:-1]) > MOST_COMBINATIONS:
        raise BadInput(f"stocked lengths: expected fewer, or a shorter space, got {len(lengths)}")
    best: tuple[float, ...] = ()
    for chosen in _combinations(lengths, room, plan.between):
        lit, most = math.fsum(chosen), math.fsum(best)
        if lit > most + EXACT or (lit > most - EXACT and len(chosen) < len(best)):
            best = chosen
    return best


def _combinations(lengths: Sequence[float], room: float, between: float) -> Iterator[tuple[float, ...]]:
    """Give every way to take the longer lengths, each filled up with as many of the shortest as fit."""
    longest, *shorter = lengths
    most = max(math.floor((room + EXACT) / (longest + between)), 0)
    if not shorter:
        yield (longest,) * most
        return
    for count in range(most + 1):
        left = room - count * (longest + between)
        for rest in _combinations(shorter, left, between):
            yield (longest,) * count + rest


def _refuse(plan: LightPlan, lengths: Sequence[float]) -> None:
    refuse_size("space", plan.space)
    if not lengths:
        raise BadInput("light strips: expected one length or more, got none")
    for length in lengths:
        refuse_size("light strip", length)
    for what, kept in (("end", plan.end), ("between", plan.between)):
        if not (math.isfinite(kept) and kept >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {kept}")

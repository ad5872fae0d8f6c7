"""How likely a piece comes out well, what leaves most unknown of it, and the slip that nothing would show."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from fitting.chance import Chance
from fitting.doubt import delta0, unfound
from fitting.site.scene import thickness_of
from fitting.stake import Outcome, Stake
from survey.report.context import Context
from survey.report.structs import ChanceReport, Likelihood, PieceReport, UnfoundReport

FloatArray = NDArray[np.float64]

FALSE_ALARM, POWER = 0.001, 0.8
"""For the smallest slip that would be found: Baarda's usual choice (geodetic practice)."""
LEAST_EFFECT = 0.1
"""mm by which a reading must move an edge for each mm that it is off, to be one that the piece rests on: a
slipped quarter then moves it by more than what paint hides. A pipe's place moves no wall; as its prior is
wide, not infinite, that comes out at some 1e-10, not at 0."""
AS_A_MM = 0.001
"""Radians that count like a millimetre: one in a metre."""
OWN_WALL = "the wall between the readings"


def with_chance(context: Context, told: PieceReport) -> PieceReport:
    """Return what is told of a piece with its chances, and of each edge what leaves most unknown."""
    outcome = context.outcomes.get(told.name)
    if outcome is not None:
        return replace(told, chance=_report(outcome))
    stake = context.stakes.get(told.name)
    if stake is None:
        return told
    joint = stake.known
    outcome = stake.outcome(joint)
    influence = stake.felt() @ context.room.influence(stake.quantities)
    chance = _report(outcome)
    if outcome.goes_in is not None:
        lacking = stake.wider(joint, context.confidence)
        limits = [line.greatest for line in stake.lines.values() if math.isfinite(line.greatest)]
        rounded = stake.outcome(joint, rounding=float(context.printer.step.mm)) if limits else None
        chance = replace(
            chance,
            lacking=context.printer.up(lacking) if lacking > 0 else None,
            greatest_gap=context.printer.near(max(limits)) if limits else None,
            by_numbers=None if rounded is None else _likelihood(rounded.all_well),
        )
    edges = tuple(
        replace(edge, driver=_driver(context, stake, edge.edge, influence))
        if edge.edge in dict(stake.parts())
        else edge
        for edge in told.edges
    )
    return replace(told, chance=replace(chance, unfound=_unfound(context, influence)), edges=edges)


def _report(outcome: Outcome) -> ChanceReport:
    return ChanceReport(
        _likelihood(outcome.all_well),
        goes_in=None if outcome.goes_in is None else _likelihood(outcome.goes_in),
        close=None if outcome.close is None else _likelihood(outcome.close),
        covers=None if outcome.covers is None else _likelihood(outcome.covers),
        by_edge={name: _likelihood(chance) for name, chance in outcome.by_edge.items()},
    )


def _likelihood(chance: Chance) -> Likelihood:
    return Likelihood(round(chance.value, 4), round(chance.error, 4))


def _driver(context: Context, stake: Stake, side: str, influence: FloatArray) -> str:
    """Say what leaves most unknown at the worst place of an edge.

    A reading, a layer still to come, or else its wall itself where no reading was taken.
    """
    part = dict(stake.parts())[side]
    felt = stake.felt()[part]
    variances = np.einsum("ij,jk,ik->i", felt, stake.known.covariance, felt)
    worst = int(np.argmax(variances))
    errors = np.array([sd for reading in context.room.readings for sd in reading.sd])
    shares = (influence[part][worst] * errors) ** 2
    parts: dict[str, float] = {}
    for share, number in zip(shares, context.keys, strict=True):
        words = context.observed.what[number[0]].words
        parts[words] = parts.get(words, 0.0) + float(share)
    parts |= _to_come(context, stake, felt[worst])
    own = float(variances[worst]) - sum(parts.values())
    words = max(parts, key=parts.__getitem__, default=OWN_WALL)
    return OWN_WALL if own >= parts.get(words, 0.0) else words


def _to_come(context: Context, stake: Stake, felt: FloatArray) -> dict[str, float]:
    """Return the variance that each layer still to come gives to a place."""
    coverings = context.room.plan.coverings
    if not coverings:
        return {}
    slopes = felt @ context.room.slopes(stake.quantities)
    index, sd = context.room.unknowns.index, context.room.adjustment.sd
    found = {}
    for number, covering in enumerate(coverings):
        at = index[thickness_of(number)]
        found[f"the layers still to come on wall {covering.wall}"] = float((slopes[at] * sd[at]) ** 2)
    return found


def _unfound(context: Context, influence: FloatArray) -> UnfoundReport | None:
    """Tell the slip that would move an edge most of those that would not be found."""
    made = context.room.adjustment
    if not context.room.readings:
        return None
    delta = delta0(FALSE_ALARM, POWER)
    unit = np.array([AS_A_MM if number.unit == "deg" else 1.0 for number in context.numbers])
    rests_on = np.where(np.abs(influence) * unit < LEAST_EFFECT, 0.0, influence)
    worst = max(unfound(made, rests_on, delta), key=lambda one: one.effect)
    if worst.row is None:
        return None
    number, near = context.numbers[worst.row], context.printer.near
    smallest = float(made.smallest_slip(delta)[worst.row])
    return UnfoundReport(
        number.record,
        number.words,
        near(smallest) if number.unit == "mm" and math.isfinite(worst.effect) else None,
        near(worst.effect) if math.isfinite(worst.effect) else None,
    )

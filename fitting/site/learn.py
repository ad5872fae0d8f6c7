"""How uneven these walls are: the height of the prior's waves, fitted to the readings within bounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from fitting.doubt import doubts
from fitting.site.know import know_room
from fitting.site.known import KnownRoom

FloatArray = NDArray[np.float64]

LEAST, MOST = 0.5, 2.5
"""Bounds of the factor on the prior's unevenness (assumption)."""
SURE = 0.35
"""How far, as a natural logarithm's standard deviation, a house is expected off the rest (assumption): two
of them are half and double. It keeps a few readings, or a slip, from saying that walls are like glass."""
TRIED = np.exp(np.linspace(math.log(LEAST), math.log(MOST), 14))


def learn(room: KnownRoom) -> KnownRoom:
    """Return the room adjusted anew, its walls as uneven as its readings say.

    Notes
    -----
    The factor f on all of the process has a posterior density: the likelihood of the readings with all
    unknowns integrated out under their priors (of wide ones that is the restricted likelihood), times a
    log-normal prior about 1; see `fitted_factor` for the one that is taken.
    With R diagonal, R^-1/2 B K B^T R^-1/2 = U L U^T is factored once; then each f costs a small
    least-squares problem. Readings that the others contradict are left out: one slipped gap
    would make a wall look rough, and a rough wall hides slips. On walls so rough that readings only seem to
    be contradicted they come in again, once the walls are known to be.

    Examples
    --------
    A wall checked every 100 mm that waves by 6 mm is more uneven than old walls are:

    >>> from fitting.site import Feature, Gaps, Plan, know_room
    >>> at = tuple(range(0, 1500, 100))
    >>> gaps = tuple(6.0 * (k % 4 < 2) for k in range(15))
    >>> check = Gaps("c", "back", "mark", at, (900.0,) * 15, gaps, (0.3,) * 15)
    >>> plan = Plan("back", ("back",), features=(Feature("mark", "back"),), origin="mark")
    >>> learn(know_room(plan, [check])).unevenness.prior.waves[0].sd > 2.5
    True
    """
    contradicted = _contradicted(room)
    learned = _fitted(room, contradicted)
    still = _contradicted(learned) if contradicted else contradicted
    return learned if still == contradicted else _fitted(room, still)


def _contradicted(room: KnownRoom) -> list[int]:
    return sorted(one.rows[0] for one in doubts(room.adjustment).suspects)


def _fitted(room: KnownRoom, without: Sequence[int]) -> KnownRoom:
    factor, unsure = fitted_factor(room, without)
    prior = room.unevenness.prior.times(factor)
    return replace(know_room(room.plan, room.readings, prior, after=room), unsure=unsure)


def fitted_factor(room: KnownRoom, without: Sequence[int] = ()) -> tuple[float, float]:
    """Return by what the unevenness that was expected is to be multiplied, some numbers left out.

    Its square is the mean of the squared factors that may be true: the variance of the walls is what is then
    expected of it. Where little was read that is more than the likeliest factor, and walls of which little
    is known are not taken for better ones than they may be. Beside it stands how unsure that is: the standard
    deviation of the factor's logarithm.
    """
    density = log_density(room, TRIED, without) if room.places.walls else _expected(TRIED)
    weight = np.exp(density - density.max())
    weight /= weight.sum()
    logarithm = np.log(TRIED)
    unsure = math.sqrt(float(weight @ (logarithm - weight @ logarithm) ** 2))
    return math.sqrt(float(weight @ TRIED**2)), unsure


def _expected(factors: FloatArray) -> FloatArray:
    """Return the logarithm of the density expected of each factor before anything is read (k,)."""
    density: FloatArray = -0.5 * (np.log(factors) / SURE) ** 2
    return density


def log_density(room: KnownRoom, factors: FloatArray, without: Sequence[int] = ()) -> FloatArray:
    """Return the logarithm of the posterior density of each factor (k,), all but for one constant.

    The numbers `without` are left out.
    """
    noise = np.array([sd for reading in room.readings for sd in reading.sd])
    used = np.setdiff1d(np.arange(noise.size), np.array(without, dtype=np.intp))
    noise, sensing = noise[used], room.sensing[used]
    process = room.unevenness.sensed(sensing, room.places, sensing, room.places)
    sizes, axes = np.linalg.eigh(process / np.outer(noise, noise))
    sizes = np.maximum(sizes, 0.0)
    misclosure, design = (part[used] for part in room.linearised())
    expected, prior_sd = room.unknowns.vectors()
    away = room.adjustment.state - expected
    turned = axes.T @ (np.column_stack([misclosure, design * prior_sd]) / noise[:, None])
    likely = [_log_density(factor, sizes, turned, away / prior_sd) for factor in factors]
    return np.array(likely) + _expected(factors)


def _log_density(factor: float, sizes: FloatArray, turned: FloatArray, away: FloatArray) -> float:
    """Return the logarithm of the readings' density under one factor, but for a constant.

    `turned` holds misclosure and design (by unknowns in units of their priors) whitened by R and turned to
    the axes of the process; `away` is how far the state is from what was expected, in the same units.
    """
    variance = 1.0 + factor**2 * sizes
    white = turned / np.sqrt(variance)[:, None]
    last = np.concatenate([white[:, 0], -away])
    stacked = np.column_stack([np.vstack([white[:, 1:], np.eye(away.size)]), last])
    diagonal = np.abs(np.diagonal(np.linalg.qr(stacked, mode="r")))
    spread = np.sum(np.log(variance)) + 2 * np.sum(np.log(diagonal[:-1]))
    return float(-0.5 * (spread + diagonal[-1] ** 2))

"""Which further reading helps most: before it is taken, by what it would leave unknown.

What a reading will say is not known, but how much it will leave open is: the covariance after it depends only
on where it is taken and how well (optimal design; Fedorov 1972, Pukelsheim, from memory). So for each reading
that a person could take now it is worked out how likely the pieces come out well when it has been taken; the
cuts follow the readings, so the mean stays in the middle of what is expected.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.site import KnownRoom
from fitting.site.linear import Linear
from fitting.site.readings import Observed
from fitting.site.scene import Scene
from fitting.stake import DRAWS, Stake

FloatArray = NDArray[np.float64]

LOOKED_AT: Final = 5
"""Of the readings that leave least open per minute, so many are judged by the chance itself."""
ENOUGH: Final = 0.01
"""Of a chance: what a reading must bring to be worth a walk to the wall."""
TELLS: Final = 3.0
"""Standard deviations that two explanations must foretell a reading apart, for it to tell which is true."""


@dataclass(frozen=True)
class Candidate:
    """A reading that could be taken now (the value in it is not looked at), and what it costs."""

    reading: Observed
    minutes: float


@dataclass(frozen=True)
class Gain:
    """What one more reading brings to a piece: the chance that all is well before and after it."""

    piece: str
    before: float
    after: float


@dataclass(frozen=True)
class Advice:
    """One reading to take, after those before it in the list; `gains` in the order of their size."""

    candidate: Candidate
    gains: tuple[Gain, ...]

    @property
    def gain(self) -> float:
        """By how much the chances of all pieces together rise."""
        return sum(one.after - one.before for one in self.gains)


def conditioned(joint: Joint, rows: slice, noise: ArrayLike) -> Joint:
    """Return what is known once quantities have been read that are part of a joint distribution.

    Parameters
    ----------
    joint : Joint
        k quantities.
    rows : slice
        Those that are read.
    noise : (r,) array
        Variances of the readings' own errors, above 0.

    Returns
    -------
    Joint
        All k, the mean unchanged: what will be read is expected to be what is expected now.

    Raises
    ------
    BadInput
        Variances that are none.

    Examples
    --------
    Two lengths that share an error of 1; one is read to 1 more, which halves the common part:

    >>> both = Joint([0.0, 0.0], [[1.0, 1.0], [1.0, 1.0]])
    >>> conditioned(both, slice(0, 1), [1.0]).covariance
    array([[0.5, 0.5],
           [0.5, 0.5]])
    """
    variance = np.asarray(noise, dtype=np.float64)
    read = joint.covariance[rows]
    if variance.shape != (len(read),) or not (np.isfinite(variance).all() and (variance > 0).all()):
        raise BadInput(f"expected {len(read)} variances above 0, got {variance}")
    gain = np.linalg.solve(read[:, rows] + np.diag(variance), read)
    covariance = joint.covariance - read.T @ gain
    np.fill_diagonal(covariance, np.diagonal(covariance).clip(min=0.0))
    return Joint(joint.mean, (covariance + covariance.T) / 2)


def advise(
    room: KnownRoom,
    stakes: Mapping[str, Stake],
    candidates: Sequence[Candidate],
    most: int = 3,
    draws: int = DRAWS,
) -> tuple[Advice, ...]:
    """Choose the few readings that make it likeliest that all pieces come out well, per minute.

    Parameters
    ----------
    room : KnownRoom
    stakes : mapping
        What hangs on the walls, by the piece's name.
    candidates : sequence of Candidate
        Their keys must be none of the room's.
    most : int
        Of readings advised, one after the other.
    draws : int
        Of rooms; the same ones for all that is compared.

    Returns
    -------
    tuple of Advice
        The first to be taken first. Empty: enough was read, no reading brings `ENOUGH`.
    """
    if not stakes or not candidates:
        return ()
    outlook = _Outlook(room, {name: stake.usual() for name, stake in stakes.items()}, candidates, draws)
    chosen: list[Advice] = []
    left = list(range(len(candidates)))
    while len(chosen) < most and left:
        found = outlook.best(left)
        if found is None:
            break
        number, gains = found
        chosen.append(Advice(candidates[number], gains))
        outlook.take(number)
        left.remove(number)
    return tuple(chosen)


def telling(
    room: KnownRoom, rows: Sequence[int], slips: Sequence[float], candidates: Sequence[Candidate]
) -> Candidate | None:
    """Return the reading that would tell which of several numbers is the wrong one, or nothing.

    Parameters
    ----------
    room : KnownRoom
    rows : sequence of int
        Numbers of the room's readings of which one is taken to be wrong.
    slips : sequence of float
        How much too large each was read, were it the one.
    candidates : sequence of Candidate
        Repeats of those readings among them.

    Returns
    -------
    Candidate or None
        Of those that are foretold at least `TELLS` standard deviations apart by any two explanations the
        cheapest; where none is, the one that comes nearest, if that is half so far.

    Notes
    -----
    If number i was read too large by s, what is foretold of a reading is too large by its derivative by that
    number times s.
    """
    if not candidates or len(rows) < 2:
        return None
    readings = [one.reading for one in candidates]
    foretold = room.foresee(lambda _scene: (), readings)
    noise = np.array([sd**2 for reading in readings for sd in reading.sd])
    moved = room.influence(lambda _scene: (), readings)[:, list(rows)] * np.asarray(slips)
    apart = np.abs(moved[:, :, None] - moved[:, None, :])
    apart[:, np.arange(len(rows)), np.arange(len(rows))] = np.inf
    clear = apart.min(axis=(1, 2)) / np.sqrt(np.diagonal(foretold.covariance) + noise)
    each = [float(clear[part].max()) for part in _parts(readings)]
    able = [number for number, sure in enumerate(each) if sure >= TELLS]
    if able:
        return candidates[min(able, key=lambda number: (candidates[number].minutes, number))]
    best = int(np.argmax(each))
    return candidates[best] if each[best] >= TELLS / 2 else None


class _Outlook:
    """All that is known of the pieces' edges and of what could be read, while readings are chosen."""

    def __init__(
        self, room: KnownRoom, stakes: Mapping[str, Stake], candidates: Sequence[Candidate], draws: int
    ) -> None:
        self.stakes = stakes
        self.candidates = candidates
        self.draws = draws
        readings = [one.reading for one in candidates]

        def build(scene: Scene) -> Sequence[Linear]:
            return [quantity for stake in stakes.values() for quantity in stake.quantities(scene)]

        self.joint = room.foresee(build, readings)
        start = 0
        self.edges: dict[str, slice] = {}
        for name, stake in stakes.items():
            self.edges[name] = slice(start, start + len(stake.questions))
            start += len(stake.questions)
        self.read = [slice(start + part.start, start + part.stop) for part in _parts(readings)]
        self.noise = [np.array(reading.sd) ** 2 for reading in readings]
        self.chances = self._chances(self.joint, stakes)

    def best(self, left: Sequence[int]) -> tuple[int, tuple[Gain, ...]] | None:
        """Return the reading of those left that brings most per minute, and what; nothing if none does."""
        hopeful = {name for name, chance in self.chances.items() if chance < 1 - ENOUGH}
        if not hopeful:
            return None
        felt = {name: self._felt(name) for name in hopeful}
        likely = sorted(left, key=lambda number: -self._opens(number, felt))[:LOOKED_AT]
        best: tuple[float, int, tuple[Gain, ...]] | None = None
        for number in likely:
            after = self._chances(conditioned(self.joint, self.read[number], self.noise[number]), hopeful)
            gains = [Gain(name, self.chances[name], chance) for name, chance in after.items()]
            gains.sort(key=lambda one: one.before - one.after)
            worth = sum(one.after - one.before for one in gains)
            rate = worth / self.candidates[number].minutes
            if worth >= ENOUGH and (best is None or rate > best[0]):
                best = rate, number, tuple(one for one in gains if one.after > one.before)
        return None if best is None else best[1:]

    def take(self, number: int) -> None:
        """Go on as if a reading had been taken."""
        self.joint = conditioned(self.joint, self.read[number], self.noise[number])
        self.chances = self._chances(self.joint, self.stakes)

    def _chances(self, joint: Joint, names: Iterable[str]) -> dict[str, float]:
        return {
            name: self.stakes[name].all_well(_part(joint, self.edges[name]), self.draws).value
            for name in self.stakes
            if name in names
        }

    def _felt(self, name: str) -> FloatArray:
        """Return the errors that a piece feels, per reading's numbers: by how much each could be less."""
        stake, edges = self.stakes[name], self.edges[name]
        return stake.felt() @ self.joint.covariance[edges]

    def _opens(self, number: int, felt: Mapping[str, FloatArray]) -> float:
        """Return by how much a reading lowers the variance of what pieces feel, per minute."""
        read = self.read[number]
        own = self.joint.covariance[read, read] + np.diag(self.noise[number])
        lower = sum(
            float(np.trace(one[:, read] @ np.linalg.solve(own, one[:, read].T))) for one in felt.values()
        )
        return lower / self.candidates[number].minutes


def _part(joint: Joint, rows: slice) -> Joint:
    return Joint(joint.mean[rows], joint.covariance[rows, rows])


def _parts(readings: Sequence[Observed]) -> list[slice]:
    """Return where the numbers of each reading stand among those of all."""
    ends = np.cumsum([0, *(len(reading.read) for reading in readings)])
    return [slice(int(a), int(b)) for a, b in pairwise(ends)]

"""What of a piece hangs on the walls, and how likely all of it comes out well.

A piece is cut to lines. Where an edge is cut net or covered, the wall must be out of its way, and the gap
must not be more than may stay; where it is scribed, the blank must reach the wall. Which of all the rooms
that may be is the true one decides all of that together. A piece that is cut net is free to shift and turn
a little when it goes in (`fitting.play`): held where it was expected, it would fit far more seldom.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fitting.chance import Chance, draws_of
from fitting.edge import FittedEdge
from fitting.joint import Joint
from fitting.notch import Side
from fitting.placement import Clear, Placed, Question, Reach
from fitting.play import both_sides, ease, most_room, within
from fitting.site.linear import Linear
from fitting.site.scene import Scene

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

MOVES: Final = (0.01, 10.0, 10.0)
"""How far a piece is shifted and turned on its way in (radians; mm to the back and to the right): what an
overhang or the front of a cabinet hides (assumption)."""
WEAK: Final = 0.1
"""A motion that within `MOVES` changes clearances by less than this part of what the strongest does is none
that could undo an error: pulled forward, a box between walls hardly askew is as wide as before."""
USUAL: Final = 25.4 / 8
"""mm left on for what is unknown when a wall was read as it should be, 1/8 in (assumption)."""
SHAVING: Final = 1e-6
"""mm by which wood may stand in the wall or short of it, far below what any tool takes off."""
DRAWS: Final = 1000


@dataclass(frozen=True, eq=False)
class Line:
    """One edge at its wall: where it is looked at, and the line that it is cut to there.

    Attributes
    ----------
    questions : tuple of Reach or Clear
        k places of the edge.
    cut : array (k,)
        Outward coordinate of the wood there, from the same datum as the reach, mm: the finished edge, or
        the blank's where it is scribed.
    scribed : bool
        It must reach the wall everywhere; otherwise the wall must be out of its way.
    greatest : float
        mm of gap that may stay at an edge that is not scribed; infinite where something covers it.
    unknown : float
        mm that were left on a scribed edge for what is unknown of its wall.
    """

    questions: tuple[Reach | Clear, ...]
    cut: FloatArray
    scribed: bool
    greatest: float = np.inf
    unknown: float = 0.0


def line_of(edge: FittedEdge, questions: Sequence[Reach | Clear], greatest: float) -> Line:
    """Return the line of an edge that is scribed, net or covered; `questions` ask at its stations."""
    cut = edge.reach - edge.gap if edge.finish == "net" else np.full(edge.reach.size, edge.blank)
    unknown = 0.0 if edge.allowance is None else edge.allowance.unknown
    return Line(tuple(questions), cut, edge.finish == "scribed", greatest, unknown)


@dataclass(frozen=True)
class Outcome:
    """How likely a piece comes out well; nothing where that is not asked of it.

    Attributes
    ----------
    goes_in : Chance
        Shifted and turned a little, no edge that is cut net binds.
    close : Chance
        There is a place for it where besides no gap is wider than may stay.
    covers : Chance
        The blank reaches the wall along every scribed edge.
    all_well : Chance
        All of that together.
    by_edge : mapping
        Of each edge alone, where the piece lies best.
    """

    goes_in: Chance | None
    close: Chance | None
    covers: Chance | None
    all_well: Chance
    by_edge: Mapping[str, Chance] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Stake:
    """The edges of a placed piece that meet walls, by name."""

    placed: Placed
    lines: Mapping[Side, Line]

    @cached_property
    def questions(self) -> list[Question]:
        """All places that count: those that seat it, then those of each edge."""
        edges = [one for line in self.lines.values() for one in line.questions]
        return [*(self.placed.bearing if self._scribed.any() else ()), *edges]

    def quantities(self, scene: Scene) -> Sequence[Linear]:
        """Return what is asked of the room, for `KnownRoom.query` and `foresee`."""
        return self.placed.quantities(scene, self.questions)

    @cached_property
    def known(self) -> Joint:
        """The answers jointly, the piece held where it was expected."""
        return self.placed.room.query(self.quantities)

    def wider(self, joint: Joint, confidence: float, draws: int = DRAWS) -> float:
        """Return by how much (mm) all gaps must be wider so that it goes in at a confidence."""
        free = ~self._scribed
        if not free.any():
            return 0.0
        reach = self._rooms(joint, draws, 0)[:, -free.size :]
        room = most_room(self._effects[free], (reach - self._cut)[:, free], MOVES).room
        return max(0.0, -float(np.quantile(room, 1 - confidence, method="lower")))

    def usual(self) -> Stake:
        """Return the same with no more left on for the unknown than is usual.

        What is left on always covers at the confidence asked for, however little is known: by this one
        sees that more readings would let it be less.
        """
        lines = {
            name: replace(
                line, cut=line.cut - max(0.0, line.unknown - USUAL), unknown=min(line.unknown, USUAL)
            )
            for name, line in self.lines.items()
        }
        return Stake(self.placed, lines)

    def outcome(self, joint: Joint, rounding: float = 0.0, draws: int = DRAWS, seed: int = 0) -> Outcome:
        """Say how likely it comes out well.

        Parameters
        ----------
        joint : Joint
            Of all `questions`: what `known` says, or what would be known after a further reading.
        rounding : float
            mm; the graduation to which each place of an outline is rounded that is marked out by numbers.
        draws, seed : int
            Of the rooms; the same for all that is compared.
        """
        rooms = self._rooms(joint, draws, seed)
        numbers = np.random.default_rng((seed, 1))
        cut = self._cut + rounding * numbers.uniform(-0.5, 0.5, (draws, self._cut.size))
        free, scribed = ~self._scribed, self._scribed
        fine = np.ones((draws, free.size), dtype=bool)
        goes_in = close = covers = None
        good: BoolArray = np.full(draws, True)
        if free.any():
            clearance = (rooms[:, -free.size :] - cut)[:, free]
            effects, greatest = self._effects[free], self._greatest[free]
            passes: BoolArray = np.greater_equal(most_room(effects, clearance, MOVES).room, -SHAVING)
            both = both_sides(effects, clearance, greatest)
            best = most_room(*both, MOVES)
            close_in: BoolArray = np.logical_and(passes, best.room >= -SHAVING)
            goes_in, close = Chance.of(passes), Chance.of(close_in)
            good &= close_in
            pose, off = best.pose.copy(), best.room < -SHAVING
            if off.any():  # where it does not fit, as few edges as can be shall suffer from it
                pose[off] = ease(both[0], both[1][off], MOVES)
            there = clearance + pose @ effects.T
            fine[:, free] = (there >= -SHAVING) & (there <= greatest + SHAVING)
        if scribed.any():
            reach = self._pushed_home(rooms, joint.mean, numbers)
            fine[:, scribed] = (reach - cut)[:, scribed] <= SHAVING
            covered = np.asarray(fine[:, scribed].all(axis=1))
            covers = Chance.of(covered)
            good &= covered
        by_edge: dict[str, Chance] = {
            name: Chance.of(fine[:, part].all(axis=1)) for name, part in self.parts()
        }
        return Outcome(goes_in, close, covers, Chance.of(good), by_edge)

    def all_well(self, joint: Joint, draws: int = DRAWS, seed: int = 0) -> Chance:
        """Return only how likely all of it comes out well: `outcome(joint).all_well` at half its cost."""
        rooms = self._rooms(joint, draws, seed)
        numbers = np.random.default_rng((seed, 1))
        free, scribed = ~self._scribed, self._scribed
        good = np.ones(draws, dtype=bool)
        if free.any():
            clearance = (rooms[:, -free.size :] - self._cut)[:, free]
            good &= within(self._effects[free], clearance, MOVES, self._greatest[free]).room >= -SHAVING
        if scribed.any():
            reach = self._pushed_home(rooms, joint.mean, numbers)
            good &= ((reach - self._cut)[:, scribed] <= SHAVING).all(axis=1)
        return Chance.of(good)

    def felt(self) -> FloatArray:
        """Return the matrix (k, all) that takes errors of the answers to those that the piece feels.

        At a scribed edge it is pushed home; of the others a motion of the whole piece is no error.
        """
        return self.carry() @ self._still()

    def carry(self) -> FloatArray:
        """Return the matrix (k, all) that takes answers to those at the edges, the piece pushed home."""
        if not self._scribed.any():
            return np.eye(self._scribed.size)
        seating = self.placed.seating
        pushed = self._effects @ seating.slopes[seating.used].T
        # Edges that are cut net are not pushed home: the piece is free.
        return np.hstack([pushed * self._scribed[:, None], np.eye(self._scribed.size)])

    def _rooms(self, joint: Joint, draws: int, seed: int) -> FloatArray:
        """Draw rooms that may be the true one (draws, all): each has walls of an unevenness of its own.

        What is unknown of a wall grows with its unevenness as long as readings are far better than that; so
        all of a room is drawn wider or narrower together, as far as it is unsure how uneven it is.
        """
        rooms = draws_of(self._where_it_lies(joint), draws, seed)
        unsure = self.placed.room.unsure
        if unsure == 0.0:
            return rooms
        share = (np.arange((draws + 1) // 2) + 0.5) / ((draws + 1) // 2)
        normal = np.array([NormalDist().inv_cdf(one) for one in share])
        shuffled = np.random.default_rng((seed, 2)).permutation(normal)
        both = np.concatenate([shuffled, shuffled])[:draws]  # a draw and its image are alike
        wider: FloatArray = np.exp(unsure * both - unsure**2)  # the mean of its square is 1
        return joint.mean + (rooms - joint.mean) * wider[:, None]

    def _where_it_lies(self, joint: Joint) -> Joint:
        """Take from all that is free what a motion of the whole piece undoes.

        It changes no answer, as the piece is free to move. But so the answers are drawn alike from whichever
        wall the room was measured, and none of `MOVES` is used up by a frame that is not well known.
        """
        still = self._still()
        covariance = still @ joint.covariance @ still.T
        np.fill_diagonal(covariance, np.diagonal(covariance).clip(min=0.0))
        return Joint(joint.mean, (covariance + covariance.T) / 2)

    def _still(self) -> FloatArray:
        """Return the projection (all, all) that takes motions of the whole piece from what is free."""
        free, size = ~self._scribed, len(self.questions)
        still = np.eye(size)
        if free.any():
            axes, sizes, _ = np.linalg.svd(self._effects[free] * MOVES, full_matrices=False)
            basis = axes[:, sizes > WEAK * sizes[0]]
            rows = np.flatnonzero(free) + size - free.size
            still[np.ix_(rows, rows)] -= basis @ basis.T
        return still

    def _pushed_home(self, rooms: FloatArray, mean: FloatArray, numbers: np.random.Generator) -> FloatArray:
        """Return how far the walls are from the piece at its edges, seated in each room (d, k)."""
        seating = self.placed.seating
        off = (rooms - mean)[:, : seating.used.size] @ seating.slopes[seating.used]
        size, axes = np.linalg.eigh(seating.rest)
        rest = numbers.standard_normal((len(rooms), 3)) @ (axes * np.sqrt(size.clip(min=0.0))).T
        motion: FloatArray = seating.shift + off + rest
        return rooms[:, -self._scribed.size :] + motion @ self._effects.T

    def parts(self) -> Iterator[tuple[Side, slice]]:
        """Go through the edges: which of the places at edges are of each."""
        start = 0
        for name, line in self.lines.items():
            yield name, slice(start, start + len(line.questions))
            start += len(line.questions)

    @cached_property
    def _effects(self) -> FloatArray:
        edges = [one for line in self.lines.values() for one in line.questions]
        return self.placed.effects(edges, np.concatenate([line.cut for line in self.lines.values()]))

    @cached_property
    def _cut(self) -> FloatArray:
        return np.concatenate([line.cut for line in self.lines.values()])

    @cached_property
    def _scribed(self) -> BoolArray:
        return np.concatenate([np.full(line.cut.size, line.scribed) for line in self.lines.values()])

    @cached_property
    def _greatest(self) -> FloatArray:
        return np.concatenate([np.full(line.cut.size, line.greatest) for line in self.lines.values()])

"""Where a rigid piece sits, as far as its pushes leave it free: little to scribe, even ends, a line kept.

A piece is turned, and moved to the right and back, off the place where it is seated (`fitting.placement`),
and shims hold it there. Its gaps are linear in these three for any motion that a fitter makes, so the best
place is a small linear programme (`fitting.play`), written anew at the place found until that stays. No gap
is ever below 0: wood does not go into a wall.

Ties are broken one quantity after the other, each least in turn, and none of them knows left from right: a
symmetric room gives a symmetric place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput, Unsolvable
from fitting.notch import LARGEST
from fitting.placement import Placed, Reach, Toward
from fitting.play import most_room

FloatArray = NDArray[np.float64]
What = Literal["stay", "least scribe", "balanced", "even ends"]
Rule = Literal["at least", "at most", "exactly"]

LIMITS: Final = (0.05, 300.0, 3000.0)
"""How far a piece is looked for off its seat (radians; mm to the back or front, and to a side)."""
LEVEL: Final = 20_000.0
"""mm; no gap that a piece is placed by is greater."""
HELD: Final = 1e-8
"""mm by which what was made least may grow again while a tie is broken."""
MET: Final = 1e-6
"""mm; a gap this near to what is asked of it is as asked."""
STAYS: Final = 1e-6
"""mm; a place that moves by less is found."""
ROUNDS: Final = 20
"""A wall's waves pass by as a piece moves along it, which the programme does not know: each round takes up
nearly all of that."""


@dataclass(frozen=True)
class AimedSide:
    """A side of a piece that looks at a wall: where it is asked how far it is from the finished line there.

    `weight` says how much a gap counts there in `balanced` and `least scribe`; 0: it must only not be hit.
    """

    name: Toward
    questions: tuple[Reach, ...]
    weight: float = 1.0


@dataclass(frozen=True)
class SidePin:
    """What the gap at a side must be at its narrowest, mm."""

    side: Toward
    rule: Rule
    gap: float


@dataclass(frozen=True)
class Mending:
    """By how much (mm, positive) one pin alone would have to give; nothing where that mends nothing."""

    pin: SidePin
    by: float | None


@dataclass(frozen=True)
class Clash:
    """Pins that contradict one another, or the walls: take any of them away and the others can be kept."""

    pins: tuple[SidePin, ...]
    mends: tuple[Mending, ...]

    @property
    def least(self) -> Mending | None:
        """The least change that mends it."""
        able = [one for one in self.mends if one.by is not None]
        return min(able, key=lambda one: one.by or 0.0, default=None)


@dataclass(frozen=True, eq=False)
class Programme:
    """The last linear programme: what decided between all places near by.

    Attributes
    ----------
    side : array of int (k,)
        Which of the sides each of the k places is of.
    effects : array (k, 3)
        What a turn (radians) and motions to the back and right (mm) do to its gap.
    clearance : array (k,)
        Its gap in the place found, mm.
    limits : array (3,)
        How far each may go.
    least : float
        What the aim made least, mm.
    """

    side: NDArray[np.intp]
    effects: FloatArray
    clearance: FloatArray
    limits: FloatArray
    least: float


@dataclass(frozen=True, eq=False)
class Aimed:
    """A piece where an aim puts it; `gaps` are those at each side's places (mm)."""

    placed: Placed
    gaps: Mapping[Toward, FloatArray]
    programme: Programme = field(repr=False)

    @property
    def deepest(self) -> dict[Toward, float]:
        """The greatest gap at each side, which is its deepest scribe."""
        return {side: float(gap.max()) for side, gap in self.gaps.items()}

    @property
    def nearest(self) -> dict[Toward, float]:
        """The least gap at each side."""
        return {side: float(gap.min()) for side, gap in self.gaps.items()}


def best_place(
    placed: Placed,
    sides: Sequence[AimedSide],
    what: What,
    pins: Sequence[SidePin] = (),
    pushes: Sequence[Toward] = (),
    limits: tuple[float, float, float] = LIMITS,
) -> Aimed | Clash:
    """Put a piece where an aim wants it.

    Parameters
    ----------
    placed : Placed
        Where it is seated.
    sides : sequence of AimedSide
        Its sides that look at walls, from the finished line.
    what : {"stay", "least scribe", "balanced", "even ends"}
        `stay`: where it is seated, moved no further than its pins ask. `least scribe`: the greatest gaps of
        all sides, times their weights, add up to the least. `balanced`: the greatest weighted gap of all is
        least, then that of the other sides, and so on. `even ends`: the gaps at its left and right end, all
        places together, differ least.
    pins : sequence of SidePin
        Kept whatever the aim.
    pushes : sequence of side names
        Sides that are pushed to their wall, the first before the second: each comes as near as the pins and
        the pushes before it let it.
    limits : (3,)
        How far it may be turned (radians), and moved to the back or front and to a side (mm), each time it is
        looked anew; 0: not at all.

    Returns
    -------
    Aimed or Clash
        A clash where no place keeps all pins with no gap below 0.

    Raises
    ------
    BadInput
        No side; a side twice, or with no places; a pin or a push at a side that is not there; even ends of a
        piece that has not both; a weight or gap that cannot be.

    Notes
    -----
    Ties: after what the aim makes least, the greatest gaps of the sides as in `balanced`, then the least
    turn, the least motion to a side and to the back. That a gap is at its narrowest at most something is so
    where one place of it is: each that can be nearest is tried.

    Examples
    --------
    A box 1500 x 600 in a corner that opens by 1 degree: turned by 0.286, it needs 7.5 mm of scribe, not 10.5.

    >>> import math
    >>> from fitting.placement import Against, place
    >>> from fitting.site import Corner, CornerTurn, Plan, Prior, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("gauge", math.radians(1.0), 1e-6, "c", 500.0, 500.0, 400.0)],
    ...     Prior(waves=(), build_up=None),
    ... )
    >>> box = place(room, "back", Against("left", "left"), (0.0, 1500.0), 600.0, 0.0, 800.0)
    >>> left = AimedSide("left", tuple(Reach("left", "left", 0.0, y, 400.0) for y in (0.0, 600.0)))
    >>> back = AimedSide("back", tuple(Reach("back", "back", x, 600.0, 400.0) for x in (0.0, 1500.0)))
    >>> found = best_place(box, [left, back], "balanced")
    >>> {side: round(deep, 2) for side, deep in found.deepest.items()}
    {'left': 7.48, 'back': 7.48}
    """
    _refuse(sides, what, pins, pushes)
    here = placed
    for _ in range(ROUNDS):
        program = _Linear(here, sides, limits)
        clash = program.clash(pins)
        if clash is not None:
            return clash
        branches = program.pushed(program.branches(pins), pushes)
        pose, least = program.best(branches, what, placed)
        turn, back, right = pose * program.free
        here = here.moved(float(turn), float(right), float(back))
        if float(np.abs(program.effects * pose).max()) < STAYS:
            break
    last = _Linear(here, sides, limits)
    gaps = {one.name: last.clearance[last.side == k] for k, one in enumerate(sides)}
    return Aimed(here, gaps, Programme(last.side, last.effects, last.clearance, last.motions, least))


@dataclass(frozen=True, eq=False)
class _Branch:
    """Rows that must be 0 or more, effects (r, q) and clearance (r,): the gaps, and what pins ask of them."""

    effects: FloatArray
    clearance: FloatArray

    def also(self, effects: FloatArray, clearance: FloatArray) -> _Branch:
        return _Branch(np.vstack([self.effects, effects]), np.append(self.clearance, clearance))


class _Linear:
    """The gaps at all places, linear about where the piece stands; unknowns: turn, back, right, then levels.

    Levels: the greatest gap of each side, then the greatest and least gap at the ends.
    """

    def __init__(self, here: Placed, sides: Sequence[AimedSide], limits: Sequence[float]) -> None:
        questions = [one for side in sides for one in side.questions]
        self.here = here
        self.sides = sides
        self.side = np.repeat(np.arange(len(sides)), [len(side.questions) for side in sides])
        self.clearance = here.expect(questions)
        self.free = np.array(limits) > 0
        self.motions = np.where(self.free, limits, 1.0)
        self.effects = here.effects(questions, self.clearance) * self.free
        self.unknowns = 3 + len(sides) + 2

    def rows(self, places: FloatArray, sign: float = 1.0) -> FloatArray:
        """Write effects of places with as many columns as there are unknowns."""
        return np.hstack([sign * places, np.zeros((len(places), self.unknowns - 3))])

    def gaps(self) -> _Branch:
        """No gap below 0."""
        return _Branch(self.rows(self.effects), self.clearance)

    def nearest(self, side: str) -> NDArray[np.intp]:
        """Return the places of a side that can be its nearest, for some turn: their lower hull."""
        mine = np.flatnonzero(self.side == self._number(side))
        turn, gap = self.effects[mine, 0], self.clearance[mine]
        order = np.lexsort((gap, turn))
        hull: list[int] = []
        for k in order:
            if hull and turn[k] - turn[hull[-1]] <= HELD:
                continue
            while len(hull) > 1 and _above(turn, gap, hull[-2], hull[-1], int(k)):
                hull.pop()
            hull.append(int(k))
        return mine[hull]

    def branches(self, pins: Sequence[SidePin], given: Sequence[float] | None = None) -> list[_Branch]:
        """Return the programmes of which one must have a solution; `given` widens each pin (mm)."""
        widths = [0.0] * len(pins) if given is None else given
        base = self.gaps()
        choices = []
        for pin, by in zip(pins, widths, strict=True):
            if pin.rule != "at most":
                mine = self.side == self._number(pin.side)
                base = base.also(self.rows(self.effects[mine]), self.clearance[mine] - (pin.gap - by))
            if pin.rule != "at least":
                choices.append([(k, pin.gap + by) for k in self.nearest(pin.side)])
        found = []
        for chosen in product(*choices):
            branch = base
            for k, most in chosen:
                branch = branch.also(self.rows(self.effects[[k]], -1.0), most - self.clearance[[k]])
            found.append(branch)
        return found

    def holds(self, branches: Sequence[_Branch]) -> list[_Branch]:
        """Return the branches that have a solution."""
        return [one for one in branches if _slack(one, self._limits()) >= -MET]

    def clash(self, pins: Sequence[SidePin]) -> Clash | None:
        """Return pins that cannot be kept: one after the other is left out while the rest still clash."""
        if self.holds(self.branches(pins)):
            return None
        kept = list(pins)
        for pin in pins:
            without = [one for one in kept if one is not pin]
            if not self.holds(self.branches(without)):
                kept = without
        return Clash(tuple(kept), tuple(Mending(pin, self._mended(kept, pin)) for pin in kept))

    def _mended(self, pins: Sequence[SidePin], pin: SidePin) -> float | None:
        """Return by how much a pin must give so that all can be kept, the others as they are."""
        by = np.eye(self.unknowns)[-1]
        mine = np.flatnonzero(self.side == self._number(pin.side))
        found: list[float] = []
        for branch in self.branches([one for one in pins if one is not pin]):
            loose = branch.also(by[None], np.zeros(1))
            if pin.rule != "at most":
                loose = loose.also(self.rows(self.effects[mine]) + by, self.clearance[mine] - pin.gap)
            if pin.rule == "at least":
                found += self._least_of(loose, by)
                continue
            for k in self.nearest(pin.side):
                near = self.rows(self.effects[[k]], -1.0) + by
                found += self._least_of(loose.also(near, pin.gap - self.clearance[[k]]), by)
        return min(found, default=None)

    def _least_of(self, branch: _Branch, objective: FloatArray) -> list[float]:
        if _slack(branch, self._limits()) < -MET:
            return []
        return [_least(branch, objective, self._limits())[0]]

    def pushed(self, branches: Sequence[_Branch], pushes: Sequence[Toward]) -> list[_Branch]:
        """Push one side after the other as near to its wall as it goes."""
        left = self.holds(branches)
        for side in pushes:
            found = []
            for branch in left:
                for k in self.nearest(side):
                    row = self.rows(self.effects[[k]])
                    least, _ = _least(branch, row[0], self._limits())
                    found.append(
                        (least + float(self.clearance[k]), branch.also(-row, np.array([least + HELD])))
                    )
            nearest = min(one for one, _ in found)
            left = [branch for one, branch in found if one <= nearest + MET]
        return left

    def best(self, branches: Sequence[_Branch], what: What, seat: Placed) -> tuple[FloatArray, float]:
        """Return the motion that is best, and what it makes least."""
        found = [self._in_branch(one, what, seat) for one in branches]
        scores = [score for score, _ in found]
        chosen = min(range(len(found)), key=lambda k: [round(one, 6) for one in scores[k]])
        return found[chosen][1][:3], scores[chosen][0]

    def _in_branch(self, branch: _Branch, what: What, seat: Placed) -> tuple[list[float], FloatArray]:
        """Make one quantity after the other least."""
        limits, scores = self._limits(), []
        branch = self._with_levels(branch)
        weights = np.array([side.weight for side in self.sides])
        levels = (np.eye(self.unknowns)[3 : 3 + len(self.sides)] * weights[:, None])[weights > 0]
        if what == "least scribe":
            branch, score, _ = _made_least(branch, levels.sum(axis=0), limits)
            scores.append(score)
        elif what == "even ends":
            spread = np.eye(self.unknowns)[-2] - np.eye(self.unknowns)[-1]
            branch, score, _ = _made_least(branch, spread, limits)
            scores.append(score)
        if what != "stay":
            branch, more = self._leximin(branch, levels)
            scores += more
        pose = np.zeros(self.unknowns)
        for motion, now, width in self._motions(seat):
            branch, score, pose = _made_near(branch, motion, now, HELD / width, limits)
            scores.append(abs(score) * width)
        return scores, pose

    def _with_levels(self, branch: _Branch) -> _Branch:
        for k, one in enumerate(self.sides):
            mine = self.side == k
            below = self.rows(self.effects[mine], -1.0)
            below[:, 3 + k] = 1.0
            branch = branch.also(below, -self.clearance[mine])
            if one.name != "back":
                below = self.rows(self.effects[mine], -1.0)
                below[:, -2] = 1.0
                above = self.rows(self.effects[mine])
                above[:, -1] = -1.0
                branch = branch.also(below, -self.clearance[mine]).also(above, self.clearance[mine])
        return branch

    def _leximin(self, branch: _Branch, levels: FloatArray) -> tuple[_Branch, list[float]]:
        """Make the greatest level least, fix the levels that can be no less, go on with the rest."""
        limits, open_, scores = self._limits(), list(range(len(levels))), []
        while open_:
            top = np.zeros(self.unknowns + 1)
            top[-1] = 1.0
            wider = _Branch(np.hstack([branch.effects, np.zeros((len(branch.effects), 1))]), branch.clearance)
            rows = np.hstack([-levels[open_], np.ones((len(open_), 1))])
            wider = wider.also(rows, np.zeros(len(open_)))
            greatest, _ = _least(wider, top, np.append(limits, LEVEL))
            scores.append(greatest)
            branch = branch.also(-levels[open_], np.full(len(open_), greatest + HELD))
            alone = [_least(branch, levels[k], limits)[0] for k in open_]
            stuck = [k for k, one in zip(open_, alone, strict=True) if one >= greatest - MET]
            open_ = [k for k in open_ if k not in (stuck or open_)]
        return branch, scores

    def _motions(self, seat: Placed) -> list[tuple[FloatArray, float, float]]:
        """Return what is kept small of its motion off its seat, a turn first: row, how far it is now, and the
        mm that 1 of it moves the piece."""
        turn, right, back = self.here.off_seat
        first_turn, first_right, first_back = seat.off_seat
        unit = np.eye(self.unknowns)
        width = max((abs(one.x) + abs(one.y) for side in self.sides for one in side.questions), default=1.0)
        return [
            (unit[0], turn - first_turn, width),
            (unit[2], right - first_right, 1.0),
            (unit[1], back - first_back, 1.0),
        ]

    def _limits(self) -> FloatArray:
        return np.array([*self.motions, *[LEVEL] * (self.unknowns - 3)])

    def _number(self, side: str) -> int:
        return next(k for k, one in enumerate(self.sides) if one.name == side)


def _above(x: FloatArray, y: FloatArray, a: int, b: int, c: int) -> bool:
    """Whether b lies on or above the line from a to c: then it is never nearest alone."""
    share = (x[b] - x[a]) / (x[c] - x[a])
    return bool(y[b] >= y[a] + share * (y[c] - y[a]) - HELD)


def _slack(branch: _Branch, limits: FloatArray) -> float:
    """Return the most room that all rows can have at once (mm); below 0 no place keeps them."""
    return float(most_room(branch.effects, branch.clearance[None], limits).room[0])


def _least(branch: _Branch, objective: FloatArray, limits: FloatArray) -> tuple[float, FloatArray]:
    """Return the least of a linear quantity over a branch, and where: the room of one place more."""
    effects = np.vstack([-objective, branch.effects])
    clearance = np.append(0.0, branch.clearance + HELD)
    weight = np.zeros(len(effects))
    weight[0] = 1.0
    try:
        play = most_room(effects, clearance[None], limits, weight)
    except Unsolvable:  # rounding: what is kept by a hair more is kept
        play = most_room(effects, np.append(0.0, branch.clearance + MET)[None], limits, weight)
    return -float(play.room[0]), play.pose[0]


def _made_least(
    branch: _Branch, objective: FloatArray, limits: FloatArray
) -> tuple[_Branch, float, FloatArray]:
    least, pose = _least(branch, objective, limits)
    return branch.also(-objective[None], np.array([least + HELD])), least, pose


def _made_near(
    branch: _Branch, motion: FloatArray, now: float, held: float, limits: FloatArray
) -> tuple[_Branch, float, FloatArray]:
    """Bring a motion, `now` off its seat, as near to none as it may be; hold it there within `held`."""
    low, high = now + _least(branch, motion, limits)[0], now - _least(branch, -motion, limits)[0]
    goal = min(max(0.0, low), max(low, high))
    branch = branch.also(np.vstack([motion, -motion]), np.array([now - goal + held, goal - now + held]))
    return branch, goal, _least(branch, motion, limits)[1]


def _refuse(
    sides: Sequence[AimedSide], what: What, pins: Sequence[SidePin], pushes: Sequence[Toward]
) -> None:
    names = [one.name for one in sides]
    if not names or len(set(names)) != len(names):
        raise BadInput(f"expected each side once and one at the least, got {names}")
    for one in sides:
        if not one.questions:
            raise BadInput(f"{one.name}: expected a place or more to look at, got none")
        if not 0 <= one.weight < np.inf:
            raise BadInput(f"{one.name}: expected a weight of 0 or more, got {one.weight}")
    for pin in pins:
        if pin.side not in names:
            raise BadInput(f"pin {pin.side}: expected one of {names}, the sides that meet walls")
        if not 0 <= pin.gap <= LARGEST:
            raise BadInput(f"pin {pin.side}: expected a gap of 0 mm or more, got {pin.gap}")
    for push in pushes:
        if push not in names:
            raise BadInput(f"push {push}: expected one of {names}, the sides that meet walls")
    if what in ("least scribe", "balanced") and not any(one.weight for one in sides):
        raise BadInput(f"{what}: expected a side that counts, got weight 0 at {names}")
    if what == "even ends" and not {"left", "right"} <= set(names):
        raise BadInput(f"even ends: expected walls at both ends, got {names}")

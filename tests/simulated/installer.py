"""Put a cut outline, or a blank to be scribed, into the place as it really is.

A piece's frame has x right and y back, its datum anywhere. A clearance is from a point of its edge to the
true surface, square to the wall, positive when there is room.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from simulated.edges import Edges, Pose, edges_of
from simulated.fitter import rest
from simulated.laws import FloatArray
from simulated.program import most
from simulated.site import Site

SHAVING_MM = -0.05
"""What a pass of sandpaper takes: so much too tight still goes in."""
SEATED_MM = 25.4 / 8
"""A piece is in its place when its back is, on average, no further out than this from where it rests.

Else in an alcove that opens to the front it would lie looser the further it is pulled out.
"""
LOOSE_MM = 50.0
"""A clearance of more is not looked for: the piece can be taken away from its walls."""
ROUNDS = 8
SETTLED_MM = 2e-3
MOST_TURN = math.radians(3.0)


@dataclass(frozen=True)
class Installed:
    """How a cut piece went in.

    Attributes
    ----------
    goes_in
        Whether it can lie in its place (`SEATED_MM`) with no clearance below `SHAVING_MM`.
    clearance
        The least clearance where it lies loosest, in mm; at most `LOOSE_MM`.
    loosest
        The pose that makes the least clearance greatest.
    greatest_gap
        The greatest gap along its edges where it lies best: the least that any pose has that is nowhere
        tighter than a shaving (or than `clearance`, if it does not go in). So it fits within a limit exactly
        if it goes in and this is no more than the limit.
    best
        That pose.
    greatest_gap_away
        The same outside the last `CORNER_MM` of corners, in the pose that is best for that.
    gap_of
        By wall, the greatest gap in the pose `best`.
    """

    goes_in: bool
    clearance: float
    loosest: Pose
    greatest_gap: float
    best: Pose
    greatest_gap_away: float
    gap_of: dict[str, float]

    def within(self, limit: float) -> bool:
        """Whether it goes in with all gaps no more than this."""
        return self.goes_in and self.greatest_gap <= limit


def install(
    outline: ArrayLike, site: Site, up: float, walls: Mapping[str, ArrayLike] | None = None
) -> Installed:
    """Find where a cut piece lies best, free to shift and turn.

    Parameters
    ----------
    outline
        Corners (n, 2) of the cut polygon, either way round, not closed.
    up
        Height of its edge.
    walls
        By wall, the line (k, 2) of the outline along it; if not given, each side of the outline counts to
        the wall that it faces within 45 degrees, and fronts to none.
    """
    edges = edges_of(outline, site, up, walls)
    everything, back = np.ones(len(edges.points), bool), np.zeros(len(edges.points), bool)
    start, furthest_out = _start(edges), math.inf
    if "back" in edges.names:
        start = _leaned_back(edges, start)
        back = edges.wall == edges.names.index("back")
        furthest_out = float(edges.gaps(start)[back].mean()) + SEATED_MM
    loosest = _settle(edges, start, _loosest, Goal(everything, back=back, furthest_out=furthest_out))
    clearance = min(float(edges.gaps(loosest).min()), LOOSE_MM)
    floor = min(SHAVING_MM, clearance - 1e-3)
    best = _settle(edges, loosest, _closest, Goal(everything, floor))
    away = _settle(edges, best, _closest, Goal(edges.away, floor))
    gaps = edges.gaps(best)
    gap_of = {name: float(gaps[edges.wall == k].max()) for k, name in enumerate(edges.names)}
    gap_away = float(edges.gaps(away)[edges.away].max())
    goes_in = clearance >= SHAVING_MM
    return Installed(goes_in, clearance, loosest, float(gaps.max()), best, gap_away, gap_of)


# Poses


def _start(edges: Edges) -> Pose:
    """Put the piece's back edge to the back wall's plane, and its sides alike far from theirs."""
    x = y = 0.0
    for k, name in enumerate(edges.names):
        if name == "back":
            y = float(-edges.points[edges.wall == k, 1].max())
    sides = [
        float(np.median(edges.walls[k].flat_place(edges.points[edges.wall == k] + [0.0, y])[1]))
        for k, name in enumerate(edges.names)
        if name != "back"
    ]
    if len(sides) == 2:
        x = (sides[1] - sides[0]) / 2
    elif sides:
        x = -sides[0] if "left" in edges.names else sides[0]
    return Pose(x, y, 0.0)


@dataclass(frozen=True, eq=False)
class Goal:
    """Which gaps count, below which none may be, and how far out the points of the back may be on average."""

    which: NDArray[np.bool_]
    floor: float = 0.0
    back: NDArray[np.bool_] | None = None
    furthest_out: float = math.inf


Step = Callable[[FloatArray, FloatArray, FloatArray, Goal], FloatArray]
"""From gaps, their rows, the box and the goal: a change of (x, y, turn)."""

UP = np.array([0.0, 0.0, 0.0, 1.0])


def _loosest(gaps: FloatArray, rows: FloatArray, box: FloatArray, goal: Goal) -> FloatArray:
    """Make the least clearance greatest."""
    A = np.column_stack([-rows, np.ones(gaps.size)])
    limits = np.append(gaps, LOOSE_MM)
    A = np.vstack([A, UP])
    if goal.back is not None and goal.back.any():
        A = np.vstack([A, np.append(rows[goal.back].mean(axis=0), 0.0)])
        limits = np.append(limits, goal.furthest_out - gaps[goal.back].mean())
    x = most(UP, A, limits, np.append(box, 500.0))
    return x[:3]


def _closest(gaps: FloatArray, rows: FloatArray, box: FloatArray, goal: Goal) -> FloatArray:
    """Make the greatest gap of some least, with none of all below the floor."""
    A = np.vstack([
        np.column_stack([-rows, np.zeros(gaps.size)]),
        np.column_stack([rows[goal.which], np.ones(int(goal.which.sum()))]),
    ])  # fmt: skip
    limits = np.concatenate([gaps - goal.floor, -gaps[goal.which]])
    x = most(UP, A, limits, np.append(box, 500.0))
    return x[:3]


def _worth(step: Step, gaps: FloatArray, goal: Goal) -> float:
    """What a step makes greatest; what breaks the goal's bounds costs a hundred times as much."""
    if step is _loosest:
        out = 0.0 if goal.back is None or not goal.back.any() else float(gaps[goal.back].mean())
        return min(float(gaps.min()), LOOSE_MM) - 100.0 * max(out - 1e-4 - goal.furthest_out, 0.0)
    return -float(gaps[goal.which].max()) - 100.0 * max(goal.floor - 1e-4 - float(gaps.min()), 0.0)


REACH_MM = 500.0
"""A turn counts as what it moves at this reach, so that all unknowns are of like size."""


def _settle(edges: Edges, pose: Pose, step: Step, goal: Goal) -> Pose:
    """Make linear programs of the pose's small changes, till none makes it better; keep only what does."""
    gaps, rows = edges.gaps_and_rows(pose)
    worth, trust = _worth(step, gaps, goal), 1.0
    for _ in range(ROUNDS):
        box = trust * np.array([300.0, 300.0, MOST_TURN * REACH_MM])
        try:
            move = step(gaps, rows / [1.0, 1.0, REACH_MM], box, goal)
        except ValueError:
            break  # from here no small move keeps the floor: stay
        x, y, turn = move
        nearby = Pose(pose.x + x, pose.y + y, pose.turn + turn / REACH_MM)
        there = edges.gaps_and_rows(nearby)
        if (better := _worth(step, there[0], goal)) > worth:
            gained, worth, pose, (gaps, rows) = better - worth, better, nearby, there
            if gained < SETTLED_MM:
                break
        else:
            trust = min(trust / 4.0, float(np.abs(move / box).max()) * trust / 2.0)
            if trust * 300.0 < SETTLED_MM:
                break
    return pose


# A blank that is scribed


@dataclass(frozen=True)
class Scribed:
    """One scribed edge of a blank, in mm.

    `left_over` is the least depth that is planed anywhere on the edge, negative where the wood falls short;
    `most_planed` the greatest; `needed` the allowance that would just have been enough.
    """

    covers: bool
    needed: float
    left_over: float
    most_planed: float


def scribe(
    blank: ArrayLike,
    site: Site,
    up: float,
    allowances: Mapping[str, float],
    walls: Mapping[str, ArrayLike] | None = None,
) -> dict[str, Scribed]:
    """Scribe a blank as it is done by rule: pushed back, then to the side, then its allowances planed off.

    The back edge is pushed till it rests on the back wall; the piece is slid along it to the left wall (to
    the right one where there is no left edge) till it touches. Then it goes on by its allowances, as if the
    walls were not there: what sticks into them is planed off.

    Parameters
    ----------
    blank
        Corners (n, 2) of the blank, with wood left over on the edges in `allowances`.
    allowances
        By wall, how many mm were left over; a wall that is not named got none.
    walls
        As for `install`.

    Returns
    -------
    dict
        By wall. Only the part of an edge that meets its wall, from corner to corner, counts.
    """
    edges = edges_of(blank, site, up, walls)
    if "back" not in edges.names:
        raise ValueError(f"expected a blank with a back edge, got edges on {', '.join(edges.names)}")
    side, pose = _side(edges), rested(edges)
    right = 0.0 if side is None else allowances.get(side, 0.0) * (-1.0 if side == "left" else 1.0)
    x, y = Pose(0.0, 0.0, pose.turn).place([[right, allowances.get("back", 0.0)]])[0]
    return _planed(edges, Pose(pose.x + x, pose.y + y, pose.turn), allowances)


def rested(edges: Edges) -> Pose:
    """Return where a blank with a back edge rests, pushed back and to its side in turn."""
    side, pose = _side(edges), _start(edges)
    for _ in range(PUSHES):
        if side is not None:
            pose = _slid(edges, pose, edges.names.index(side), -1.0 if side == "left" else 1.0)
        pose = _leaned_back(edges, pose)
    if side is not None:
        pose = _slid(edges, pose, edges.names.index(side), -1.0 if side == "left" else 1.0)
    return pose


def _side(edges: Edges) -> str | None:
    return next((name for name in ("left", "right") if name in edges.names), None)


PUSHES = 4
"""Back and aside in turn, so often: where it rests depends on how far aside it is."""


def _met(edges: Edges, pose: Pose, k: int) -> tuple[FloatArray, FloatArray]:
    """Return places along wall k, and clearances there, of the points that meet it between its ends."""
    wall, of, (start, end) = edges.walls[k], edges.wall == k, edges.extents[k]
    along, _ = wall.flat_place(pose.place(edges.points[of]))
    on = (along >= start) & (along <= end)
    if not on.any():
        raise ValueError(f"expected a blank that meets wall {wall.name}, got one that lies beside it")
    return along[on], edges.gaps(pose)[of][on]


def _leaned_back(edges: Edges, pose: Pose) -> Pose:
    k = edges.names.index("back")
    along, gaps = _met(edges, pose, k)
    middle = float(along.min() + along.max()) / 2
    a, b = rest(along, -gaps, middle)
    wall = edges.walls[k]
    pivot = np.array(wall.foot)
    turned = Pose(0.0, 0.0, -b).place([np.array([pose.x, pose.y]) - pivot])[0]
    x, y = pivot + turned + a * wall.inward
    return Pose(float(x), float(y), pose.turn - b)


def _slid(edges: Edges, pose: Pose, k: int, sign: float) -> Pose:
    """Slide the piece along its own x till wall k is touched."""
    for _ in range(3):
        gap = float(_met(edges, pose, k)[1].min())
        toward = Pose(0.0, 0.0, pose.turn).place([[sign, 0.0]])[0]
        far = gap / -float(toward @ edges.walls[k].inward)
        pose = Pose(float(pose.x + far * toward[0]), float(pose.y + far * toward[1]), pose.turn)
    return pose


def _planed(edges: Edges, pose: Pose, allowances: Mapping[str, float]) -> dict[str, Scribed]:
    scribed = {}
    for k, name in enumerate(edges.names):
        planed = -_met(edges, pose, k)[1]
        least, most_planed = float(planed.min()), float(planed.max())
        scribed[name] = Scribed(least >= SHAVING_MM, allowances.get(name, 0.0) - least, least, most_planed)
    return scribed

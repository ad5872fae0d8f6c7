"""The room that a rigid piece has: what it makes of its clearances, free to shift and turn a little.

A piece that is tight at one end and loose at the other is pushed over by hand. So whether it goes in is not
said by its clearances where it was expected, but by those at the pose that leaves most room, and that pose
is another one in every room that the true one may be.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.errors import BadInput, Unsolvable

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]

ROUNDING: Final = 1e-13
"""A row that is broken by less than this part of the numbers it comes from is kept."""
LEAST_PIVOT: Final = 1e-9
"""A row is not exchanged for one that is, but for this part, made of the others."""
TIED: Final = 1e-12
"""Shares of a basis that differ by less than this (of the greatest, 1) leave it at the same moment."""
PATIENCE: Final = 60
"""Exchanges of the row that is broken most; few draws need 15. After these the lowest rows are taken, which
cannot go round in circles (Bland, Mathematics of Operations Research 2, 1977; from memory)."""
MOST_EXCHANGES: Final = 2000
"""Then the numbers are such that rounding decides which rows bind."""
FAR: Final = 1e6
"""mm, 1 km: the clearance of a place that is asked for nothing."""
SPARE: Final = 1e-10
"""mm that a place may lose again when others are eased, so that rounding never forbids the pose found."""
HOLDS: Final = 1e-9
"""A smaller share of the greatest holds nothing down, and a smaller motion is none."""


@dataclass(frozen=True, eq=False)
class Play:
    """Hold the pose that leaves most room, in each of d rooms.

    Attributes
    ----------
    room : (d,) array
        The least of clearance over weight at that pose, mm; negative where it does not go in. No pose
        leaves more.
    pose : (d, q) array
        Its turn (radians) and motions (mm). Where several poses leave as much, one of them.
    binding : (d, q + 1) array
        The rows that let it have no more room, in no order: those asked about from 0 on, then the upper
        limits of the q unknowns, then the lower ones.
    """

    room: FloatArray
    pose: FloatArray
    binding: IndexArray


def most_room(
    effects: ArrayLike, clearance: ArrayLike, limits: ArrayLike, weight: ArrayLike | None = None
) -> Play:
    """Find the pose that leaves most room, in many rooms at once.

    Parameters
    ----------
    effects : (k, q) array
        What one radian of turn, or 1 mm of motion, adds to the clearance at each of k places.
    clearance : (d, k) array
        At the places of the unmoved piece in each of d rooms, mm, positive = room.
    limits : (q,) array
        How far each unknown may go either way, above 0; radians and mm.
    weight : (k,) array, optional
        What part of the room each place must have, 0 or more: 1 unless told otherwise; a place of weight 0
        must just not be hit.

    Returns
    -------
    Play
        With the greatest t for which `clearance + effects @ pose >= weight * t` at all places.

    Raises
    ------
    BadInput
        Shapes that disagree, numbers that are not finite, limits or weights that can't be.
    Unsolvable
        No pose within the limits keeps the places of weight 0 from being hit; or rounding hides which
        places bind.

    Notes
    -----
    A linear programme with few unknowns and many rows, solved by exchange: where q + 1 rows bind, the row
    that is broken most comes in and the one goes whose share is first used up (the dual simplex; in Chebyshev
    approximation, Stiefel's exchange). Rooms differ only in their clearances, so any basis that holds for
    one is a start for all: they start where the mean room ended.

    Examples
    --------
    A box 1000 wide in an alcove, 2 mm clear at its left and 4 at its right: moved right by 1.

    >>> play = most_room([[1.0], [-1.0]], [[2.0, 4.0]], [50.0])
    >>> play.room, play.pose
    (array([3.]), array([[1.]]))

    May it move by 0.5 only, its left keeps 2.5:

    >>> most_room([[1.0], [-1.0]], [[2.0, 4.0]], [0.5]).room
    array([2.5])
    """
    E, c, reach, w = _checked(effects, clearance, limits, weight)
    scale, heaviest = _scale(E), w.max()
    rows = _rows(E / scale, w / heaviest)
    right = np.hstack([c, np.tile(reach * scale, (len(c), 2))])
    mean = right.mean(axis=0, keepdims=True)
    start = _start(rows, mean[0], c.shape[1])
    _, start = _exchange(rows, mean, start[None], "the mean of all draws")
    found, binding = _exchange(rows, right, np.repeat(start, len(c), axis=0), "draw {}")
    return Play(found[:, -1] / heaviest, found[:, :-1] / scale, binding)


def within(effects: ArrayLike, clearance: ArrayLike, limits: ArrayLike, greatest: ArrayLike) -> Play:
    """Find the pose that keeps all clearances between 0 and the greatest by the largest margin.

    Parameters
    ----------
    effects, clearance, limits : arrays
        As of `most_room`.
    greatest : (k,) array
        What the clearance at each place must not exceed, mm; inf where there is no limit.

    Returns
    -------
    Play
        Its room is the margin, the same to either side; 0 or more where such a pose exists. Of the rows
        that bind, those of the greatest clearances (the finite ones, in order) follow the k places.

    Raises
    ------
    BadInput
        As `most_room`, or a greatest clearance that is no number.

    Examples
    --------
    Gaps of 2 and 4 that caulk of 5 must cover are best made 3 and 3, 2 mm from being too wide:

    >>> within([[1.0], [-1.0]], [[2.0, 4.0]], [50.0], [5.0, 5.0]).room
    array([2.])

    Together they are always 6, so no pose keeps both to 2.5:

    >>> within([[1.0], [-1.0]], [[2.0, 4.0]], [50.0], [2.5, 2.5]).room
    array([-0.5])
    """
    return most_room(*both_sides(effects, clearance, greatest), limits)


def both_sides(
    effects: ArrayLike, clearance: ArrayLike, greatest: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Put below the clearances what is left of their greatest, as `within` asks both to be 0 or more.

    Parameters
    ----------
    effects, clearance, greatest : arrays
        As of `within`.

    Returns
    -------
    effects, clearance : (k + f, q) and (d, k + f) arrays
        f is the number of finite greatest clearances.

    Raises
    ------
    BadInput
        As `within`.

    Examples
    --------
    >>> both_sides([[1.0], [-1.0]], [[2.0, 4.0]], [5.0, np.inf])[1]
    array([[2., 4., 3.]])
    """
    E, c = _places(effects, clearance)
    most = _numbers("greatest", greatest)
    if most.shape != E.shape[:1]:
        raise BadInput(f"greatest: expected one for each of {len(E)} places, got shape {most.shape}")
    no_limit = np.isnan(most) | (most == -np.inf)
    if no_limit.any():
        at = int(np.argmax(no_limit))
        raise BadInput(f"greatest: expected mm, or inf where there is no limit, got {most[at]} at {at}")
    held = np.isfinite(most)
    return np.vstack([E, -E[held]]), np.hstack([c, most[held] - c[:, held]])


def ease(effects: ArrayLike, clearance: ArrayLike, limits: ArrayLike) -> FloatArray:
    """Find the pose that leaves most room, and of several the one that is best for the other places.

    Where a piece is too wide between two sides it may still stand well at its back, or badly: it has the
    same room, none. Here places that cannot have 0 keep what room they have, and the rest get the most that
    they can, and so on until all the others have 0 or more.

    Parameters
    ----------
    effects, clearance, limits : arrays
        As of `most_room`.

    Returns
    -------
    (d, q) array

    Raises
    ------
    BadInput, Unsolvable
        As `most_room`.

    Examples
    --------
    2 mm too wide, and free to go back: it need not stand 1 mm into the wall there too.

    >>> ease([[1.0, 0.0], [-1.0, 0.0], [0.0, -1.0]], [[-2.0, 0.0, 6.0]], [50.0, 6.0]) @ [0.0, -1.0] + 6.0 >= 0
    array([ True])
    """
    E, c, reach, _ = _checked(effects, clearance, limits, None)
    k, q = E.shape
    scale = _scale(E)
    # Each place twice: with weight 0 it keeps what it has (at first nothing), with weight 1 it asks for more.
    both, weight = np.vstack([E, E]), np.repeat([0.0, 1.0], k)
    keeps, asks = np.full_like(c, FAR), c.copy()
    draws, pose = np.arange(len(c)), np.empty((len(c), q))
    fixed = np.zeros((len(c), 0, q))
    while draws.size:
        try:
            play = most_room(both, np.hstack([keeps, asks]), reach, weight)
        except Unsolvable:
            if not fixed.shape[1]:
                raise
            break  # rounding leaves nothing to choose from: these poses are as good as any
        pose[draws] = play.pose
        short = play.room < 0
        draws, fixed = draws[short], fixed[short]
        c, keeps, asks = c[short], keeps[short], asks[short]
        rows, shares = _holding(_rows(both / scale, weight), play.binding[short])
        fixed = np.concatenate([fixed, rows[:, :, :q] * (shares > HOLDS)[:, :, None]], axis=1)
        # What no freedom that is left can change asks no more; every turn takes freedom away, so it ends.
        freedom = np.eye(q) - np.linalg.pinv(fixed, rcond=HOLDS) @ fixed
        lost = np.abs((E / scale) @ freedom).max(axis=2) < HOLDS
        room = np.broadcast_to(play.room[short, None], c.shape)
        keeps = np.where(asks < FAR, c - room + SPARE, keeps)
        asks = np.where(lost, FAR, asks)
    return pose


def _holding(rows: FloatArray, binding: IndexArray) -> tuple[FloatArray, FloatArray]:
    """Return the rows that bind and the share that each has in holding the room down, of 1."""
    bind = rows[binding]
    share = np.linalg.inv(bind)[:, -1]
    return bind, share / share.max(axis=1, keepdims=True)


def _scale(effects: FloatArray) -> FloatArray:
    """Return what makes all unknowns mm, at the place where each moves the piece most: a radian is many."""
    scale = np.abs(effects).max(axis=0)
    return np.where(scale > 0, scale, 1.0)


def _rows(effects: FloatArray, weight: FloatArray) -> FloatArray:
    """Write it as `rows @ (pose, room) <= right`."""
    q = effects.shape[1]
    bounds = np.hstack([np.eye(q), np.zeros((q, 1))])
    return np.vstack([np.column_stack([-effects, weight]), bounds, -bounds])


def _start(rows: FloatArray, right: FloatArray, k: int) -> IndexArray:
    """Return rows that hold the room down: the tightest place, moved as far from it as the limits let."""
    weight = rows[:k, -1]
    ratio = np.divide(right[:k], weight, out=np.full(k, np.inf), where=weight > 0)
    tightest = int(np.argmin(ratio))
    away = -rows[tightest, :-1]
    q = away.size
    return np.concatenate([[tightest], k + np.arange(q) + np.where(away < 0, q, 0)]).astype(np.intp)


def _exchange(
    rows: FloatArray, right: FloatArray, basis: IndexArray, case: str
) -> tuple[FloatArray, IndexArray]:
    """Exchange rows until none is broken: the unknowns (d, q + 1) and the rows that bind.

    What is multiplied out each time is the basis itself, never a product of exchanges, so no rounding adds
    up. Draws that are done drop out.
    """
    found, binding = np.empty((len(right), rows.shape[1])), basis.copy()
    draws = np.arange(len(right))
    for exchanges in range(MOST_EXCHANGES):
        patient = exchanges < PATIENCE
        each = np.arange(len(draws))
        bound = np.take_along_axis(right, basis, axis=1)
        inverse = np.linalg.inv(rows[basis])
        unknowns = (inverse @ bound[:, :, None])[:, :, 0]
        broken = unknowns @ rows.T
        broken -= right
        np.put_along_axis(broken, basis, -np.inf, axis=1)
        sizes = np.abs(bound).max(axis=1)
        enters = broken.argmax(axis=1) if patient else (broken > ROUNDING * sizes[:, None]).argmax(axis=1)
        going = broken[each, enters] > ROUNDING * (sizes + np.abs(right[each, enters]))
        found[draws], binding[draws] = unknowns, basis
        if not going.any():
            return found, binding
        draws, right, basis, inverse, enters = (a[going] for a in (draws, right, basis, inverse, enters))
        leaves = _leaving(rows[enters], inverse, basis, patient)
        if (leaves < 0).any():
            at = int(np.argmax(leaves < 0))
            raise _no_pose(case.format(draws[at]), rows, [*basis[at], enters[at]])
        basis[np.arange(len(draws)), leaves] = enters
    raise Unsolvable(
        f"{case.format(draws[0])}: after {MOST_EXCHANGES} exchanges rounding still hides which places bind; "
        "expected effects, limits and clearances of ordinary size (radians and mm)"
    )


def _no_pose(case: str, rows: FloatArray, against: list[np.intp]) -> Unsolvable:
    places = len(rows) - 2 * (rows.shape[1] - 1)
    hit = ", ".join(str(row) for row in sorted(against) if row < places and rows[row, -1] == 0)
    return Unsolvable(
        f"{case}: no pose within the limits keeps the places of weight 0 from being hit, as is seen at "
        f"{hit}; widen the limits or give these places a weight"
    )


def _leaving(row: FloatArray, inverse: FloatArray, basis: IndexArray, patient: bool) -> IndexArray:
    """Return which of the basis goes: the first whose share in holding the room down is used up; or -1.

    Of several at once the one that leaves the basis best conditioned, or the lowest, which never circles.
    """
    share = np.maximum(inverse[:, -1], 0.0)
    used = (row[:, None, :] @ inverse)[:, 0]
    able = used > LEAST_PIVOT * np.abs(used).max(axis=1, keepdims=True)
    ratio = np.divide(share, used, out=np.full_like(share, np.inf), where=able)
    first = np.where(able.any(axis=1), ratio.min(axis=1), 0.0)[:, None]
    tied = able & (share - first * used <= TIED * share.max(axis=1, keepdims=True))
    leaves = np.where(tied, used if patient else -basis, -np.inf).argmax(axis=1)
    return np.where(able.any(axis=1), leaves, -1)


def _checked(
    effects: ArrayLike, clearance: ArrayLike, limits: ArrayLike, weight: ArrayLike | None
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    E, c = _places(effects, clearance)
    reach = _finite("limits", limits)
    if reach.shape != E.shape[1:]:
        raise BadInput(f"limits: expected one for each of {E.shape[1]} unknowns, got shape {reach.shape}")
    if (reach <= 0).any():
        raise BadInput(
            f"limits: expected all above 0, got {reach.min()}; leave out the unknown that is not free"
        )
    w = np.ones(len(E)) if weight is None else _finite("weight", weight)
    if w.shape != E.shape[:1]:
        raise BadInput(f"weight: expected one for each of {len(E)} places, got shape {w.shape}")
    if (w < 0).any() or not w.any():
        raise BadInput(f"weight: expected 0 or more and one above 0, got {w.min()} to {w.max()}")
    return E, c, reach, w


def _places(effects: ArrayLike, clearance: ArrayLike) -> tuple[FloatArray, FloatArray]:
    E, c = _finite("effects", effects), _finite("clearance", clearance)
    if E.ndim != 2 or 0 in E.shape:
        raise BadInput(f"effects: expected (places, unknowns), one of each or more, got shape {E.shape}")
    if c.ndim != 2 or c.shape[1] != len(E) or not len(c):
        raise BadInput(
            f"clearance: expected (draws, {len(E)}), one draw or more and a column for each row of effects, "
            f"got shape {c.shape}"
        )
    return E, c


def _numbers(name: str, given: ArrayLike) -> FloatArray:
    try:
        return np.array(given, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput(f"{name}: expected an array of numbers, got {given!r:.60}") from error


def _finite(name: str, given: ArrayLike) -> FloatArray:
    numbers = _numbers(name, given)
    if not np.isfinite(numbers).all():
        at = np.argwhere(~np.isfinite(numbers))[0]
        place = ", ".join(map(str, at)) or "0"
        raise BadInput(f"{name}: expected finite numbers, got {numbers[tuple(at)]} at ({place})")
    return numbers

"""The chance that a piece goes in, and other chances of several uncertain quantities together.

A chance that was sampled says how far off it may be; what can be said exactly is not sampled. The chance
that a piece goes in is that of a room in which some pose fits: with its pose fixed it would come out far
too small, since errors that the fitter takes up with a push would count as misses.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, erfc, isfinite, sqrt
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.play import both_sides, ease, most_room

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

DRAWS: Final = 20_000
"""A chance of 95 % then has a standard error of 0.0015, one of 99 % of 0.0007."""
ROOMS: Final = 2_000
"""Rooms drawn to see whether a piece goes in: 99 % then has a standard error of 0.002."""
TOUCHING: Final = 1e-9
"""mm: a place that is hit by no more than this is touched."""
JITTER: Final = 1e-9
"""Part of the greatest variance, added to all: keeps rounding from making a variance negative."""
CERTAIN: Final = 1e-14
"""A variance of up to this part of the greatest is rounding: the quantity is known exactly."""
ONE_THREAD: Final = 2**18
"""Products of a block; up to this many OpenBLAS works in one thread. On a busy machine waking a second
one for more costs ten times the work itself (measured)."""


@dataclass(frozen=True)
class Chance:
    """Hold a chance and how well it is known.

    Attributes
    ----------
    value : float
        From 0 to 1.
    error : float
        Standard error of sampling; 0 where it is exact. That the quantities' own distribution may be
        wrong is not in it.
    """

    value: float
    error: float

    @classmethod
    def of(cls, met: ArrayLike) -> Chance:
        """Return the share of draws (n,) that meet something, its error from the scatter of mirrored pairs.

        None that fails is as unsure as one that does: the error is never below one draw.

        >>> Chance.of([True, True, False, True])
        Chance(value=0.75, error=0.25)
        """
        each = np.asarray(met, dtype=bool)
        if each.size == 1:
            return cls(float(each[0]), 0.0)
        pairs = each.size // 2
        both = (each[:pairs].astype(float) + each[-pairs:]) / 2
        error = float(both.std(ddof=1)) / sqrt(pairs) if pairs > 1 else 0.0
        return cls(float(each.mean()), max(error, 1 / each.size))


@dataclass(frozen=True, eq=False)
class GoesIn:
    """Hold how a piece fits in all the rooms that the true one may be.

    Attributes
    ----------
    chance : Chance
        That at some pose no place is hit.
    close : Chance
        That at some pose no place is hit and none stands off by more than it may.
    room : (draws,) array
        What the tightest place has at the pose that leaves most, in each room, mm, in increasing order.
    by_part : tuple[Chance, ...]
        For each part, that it is not hit and does not stand off too far at the best pose. Where the piece
        does not fit, that is the pose by which as few others as can be suffer from it (`fitting.play.ease`).
    """

    chance: Chance
    close: Chance
    room: FloatArray
    by_part: tuple[Chance, ...]

    def wider(self, confidence: float) -> float:
        """Say by how much all gaps must be widened so that it goes in at that confidence.

        Parameters
        ----------
        confidence : float
            Between 0 and 1.

        Returns
        -------
        float
            mm, 0 where it goes in so surely already. Gaps all wider by this give each room drawn just so
            much more, so the share that then goes in is the confidence; its standard error is
            sqrt(p (1 - p) / draws).

        Raises
        ------
        BadInput
            A confidence that is no chance, or that this many rooms cannot tell from certainty.
        """
        if not 0 < confidence < 1:
            raise BadInput(f"confidence: expected a chance between 0 and 1 (0.99 for 99 %), got {confidence}")
        draws = self.room.size
        # What 0.99 is not exactly must not ask for one room more.
        needed = ceil(confidence * draws - TOUCHING)
        if needed >= draws and self.room[0] < self.room[-1]:
            raise BadInput(
                f"confidence: expected at most {1 - 1 / draws:.6g} from {draws} rooms drawn, got "
                f"{confidence}; draw more"
            )
        return max(0.0, -float(self.room[draws - needed]))


def all_above(quantities: Joint, seed: int = 0, draws: int = DRAWS) -> Chance:
    """Say how likely it is that all quantities are 0 or more.

    Parameters
    ----------
    quantities : Joint
        k of them, each in its own unit: clearances, or what is left on an edge.
    seed, draws : int
        Of the draws, where there are any; the same seed gives the same answer.

    Returns
    -------
    Chance
        Exact for one quantity, for those that are certain, and where none varies with another. Else
        sampled in pairs of draws mirrored about the mean, and kept between the exact bounds
        1 - sum(p_i) and min(1 - p_i) for chances p_i of each being below 0 (Bonferroni; Frechet).

    Raises
    ------
    BadInput
        No quantity, a covariance that is none, fewer than 2 draws.

    Examples
    --------
    A gap of 1 give or take 1 is open with 84 %; two that don't depend on one another with 71 %:

    >>> one, two = all_above(Joint([1.0], [[1.0]])), all_above(Joint([1.0, 1.0], np.eye(2)))
    >>> round(one.value, 4), round(two.value, 4), two.error
    (0.8413, 0.7079, 0.0)

    Two that vary together are sampled; exactly 1/4 + asin(0.5) / (2 pi), a third:

    >>> both = all_above(Joint([0.0, 0.0], [[1.0, 0.5], [0.5, 1.0]]))
    >>> abs(both.value - 1 / 3) < 4 * both.error < 0.02
    True
    """
    _refuse(quantities, draws)
    unsure = _unsure(quantities)
    if not unsure.any() or (quantities.mean[~unsure] < 0).any():
        return Chance(float((quantities.mean[~unsure] >= 0).all()), 0.0)
    known = _only(quantities, unsure)
    low = -known.mean / known.sd
    below = np.array([erfc(-z / sqrt(2)) / 2 for z in low])
    if np.array_equal(known.covariance, np.diag(np.diagonal(known.covariance))):
        return Chance(float(np.prod([erfc(z / sqrt(2)) / 2 for z in low])), 0.0)
    sampled = Chance.of(_over_draws(known, draws, seed, lambda off: np.all(off >= low[:, None], axis=0)))
    least, most = max(0.0, 1.0 - float(below.sum())), 1.0 - float(below.max())
    return Chance(min(max(sampled.value, least), most), min(sampled.error, most - least))


def draws_of(quantities: Joint, count: int, seed: int = 0) -> FloatArray:
    """Draw quantities many times, each draw with its mirror image about the mean.

    Parameters
    ----------
    quantities : Joint
        k of them, normal; a quantity known exactly is the same in all draws.
    count : int
        2 or more. The second half are the images of the first, in order; of an odd number of draws the
        middle one has none.
    seed : int
        The same seed gives the same draws, and the quantities counted from the other end the same draws
        of each, unless means and standard deviations are alike from either end.

    Returns
    -------
    (count, k) array

    Raises
    ------
    BadInput
        As `all_above`.

    Examples
    --------
    >>> drawn = draws_of(Joint([1.0, 5.0], [[4.0, 0.0], [0.0, 0.0]]), 1000)
    >>> drawn.shape, float(round(drawn[:, 0].mean(), 9)), bool((drawn[:, 1] == 5).all())
    ((1000, 2), 1.0, True)
    """
    _refuse(quantities, count)
    unsure = _unsure(quantities)
    drawn = np.tile(quantities.mean, (count, 1))
    if unsure.any():
        off = _over_draws(_only(quantities, unsure), count, seed, np.transpose)
        drawn[:, unsure] += off * quantities.sd[unsure]
    return drawn


def goes_in(
    effects: ArrayLike,
    clearance: Joint,
    limits: ArrayLike,
    greatest: ArrayLike | None = None,
    *,
    rounding: float = 0.0,
    parts: tuple[slice, ...] = (),
    draws: int = ROOMS,
    seed: int = 0,
) -> GoesIn:
    """Say how likely it is that a rigid piece goes in, free to shift and turn a little.

    Parameters
    ----------
    effects : (k, q) array
        What one radian of turn, or 1 mm of motion, adds to the clearance at each of k places.
    clearance : Joint
        At the places of the unmoved piece, mm, positive = room.
    limits : (q,) array
        How far each unknown may go either way, above 0; radians and mm.
    greatest : (k,) array, optional
        What the clearance at each place must not exceed to be close, mm; inf where there is no limit.
    rounding : float
        The step of the rule by which the piece is cut, mm: at each place the cut is off by up to half of
        it either way, one way as likely as another.
    parts : tuple[slice, ...]
        Places of each part that is asked about by itself.
    draws, seed : int
        Of the rooms.

    Returns
    -------
    GoesIn

    Raises
    ------
    BadInput
        Shapes that disagree, numbers that can't be, a part without places.
    Unsolvable
        As `fitting.play.most_room`.

    Examples
    --------
    A box in an alcove, 1 mm clear at either end, each wall known to 1 mm: it goes in where the sum of both
    clearances is 0 or more, with 92 %, though both ends are clear only in 71 % of all rooms.

    >>> walls = Joint([1.0, 1.0], np.eye(2))
    >>> found = goes_in([[1.0], [-1.0]], walls, [50.0])
    >>> abs(found.chance.value - 0.9214) < 4 * found.chance.error < 0.025
    True
    >>> round(all_above(walls).value, 2)
    0.71

    To go in at 99 % each end must be wider by some 0.65 mm, 2.326 times the mean's 0.707 less 1:

    >>> abs(found.wider(0.99) - 0.645) < 0.15
    True
    """
    _refuse(clearance, draws)
    if not (isfinite(rounding) and rounding >= 0):
        raise BadInput(f"rounding: expected a step of 0 mm or more, got {rounding}")
    places = np.arange(clearance.mean.size)
    for at, part in enumerate(parts):
        if not places[part].size:
            raise BadInput(f"parts: expected places from 0 to {places[-1]}, got {part} at {at}")
    walls = clearance.mean[None]  # one is enough where all are the same
    if rounding > 0 or _unsure(clearance).any():
        walls = draws_of(clearance, draws, seed)
    if rounding > 0:
        walls += _rounded(clearance, rounding, draws, seed)
    play = most_room(effects, walls, limits)
    E = np.asarray(effects, dtype=np.float64)
    asked, margin, pose = (E, walls), play.room, play.pose
    if greatest is not None:
        asked = both_sides(E, walls, greatest)
        held = most_room(*asked, limits)
        margin, pose = held.room, held.pose
    off = margin < -TOUCHING
    if parts and off.any():
        pose[off] = ease(asked[0], asked[1][off], limits)
    there = walls + pose @ E.T
    fits = (there >= -TOUCHING) & (there <= TOUCHING + (np.inf if greatest is None else np.asarray(greatest)))
    return GoesIn(
        chance=Chance.of(play.room >= -TOUCHING),
        close=Chance.of(~off),
        room=np.sort(np.resize(play.room, draws)),
        by_part=tuple(Chance.of(np.all(fits[:, part], axis=1)) for part in parts),
    )


def paired_blocks(quantities: Joint, draws: int, seed: int = 0) -> Iterator[tuple[FloatArray, FloatArray]]:
    """Draw k quantities many times, a block at a time to bound memory: (k, n) and their mirror images.

    Each draw is used with its mirror image about the mean: half the numbers, and no worse a tail. Of an odd
    number of draws the last has none.

    Raises
    ------
    BadInput
        Where some combination of them has a variance below 0.

    Examples
    --------
    >>> [(one.shape, image.shape) for one, image in paired_blocks(Joint([0.0], [[1.0]]), 5)]
    [((1, 3), (1, 2))]
    """
    factor = _factor(quantities)
    turned = _turned(quantities)
    mean = quantities.mean[::-1, None] if turned else quantities.mean[:, None]
    numbers = np.random.default_rng(seed)
    block = max(ONE_THREAD // mean.size**2, 16)
    for start in range(0, draws, 2 * block):
        pairs = min(block, (draws - start + 1) // 2)
        off = factor @ numbers.standard_normal((pairs, mean.size)).T
        one, image = mean + off, (mean - off)[:, : draws - start - pairs]
        yield (one[::-1], image[::-1]) if turned else (one, image)


def _over_draws(
    quantities: Joint, draws: int, seed: int, ask: Callable[[FloatArray], NDArray[Any]]
) -> NDArray[Any]:
    """Ask of all draws, then of their images in the same order: (k, n) errors, in standard deviations."""
    order = slice(None, None, -1 if _turned(quantities) else 1)
    sd = quantities.sd
    # About 0 and alike these have no preferred end: the order is that of the quantities, and wider gaps,
    # which all quantities share, change no draw.
    alike = Joint(np.zeros(sd.size), (quantities.covariance / np.outer(sd, sd))[order, order])
    asked = [(ask(one[order]), ask(image[order])) for one, image in paired_blocks(alike, draws, seed)]
    return np.concatenate([block for half in zip(*asked, strict=True) for block in half])


def _factor(quantities: Joint) -> FloatArray:
    k = quantities.mean.size
    covariance = quantities.covariance
    if _turned(quantities):
        covariance = covariance[::-1, ::-1]
    jitter = JITTER * float(quantities.sd.max()) ** 2
    try:
        return np.asarray(np.linalg.cholesky(covariance + jitter * np.eye(k)))
    except np.linalg.LinAlgError as error:
        raise BadInput(
            f"expected a covariance of {k} quantities, got a matrix by which some combination "
            "of them has a variance below 0"
        ) from error


def _turned(quantities: Joint) -> bool:
    """Say whether to draw them from the other end: alike from whichever end they were counted.

    The draws then are the same for a wall and its mirror image, and so is all that comes of them.
    """
    weight = quantities.mean + quantities.sd
    unlike = weight - weight[::-1]
    least = JITTER * np.abs(weight).max()  # less is rounding, and must not decide
    first = int(np.argmax(np.abs(unlike) > least))
    return bool(unlike[first] > least)


def _rounded(clearance: Joint, rounding: float, draws: int, seed: int) -> FloatArray:
    """Return what rounding of the cut does to each place, mirrored in the second half as the walls are."""
    half, k = (draws + 1) // 2, clearance.mean.size
    # A stream of its own: the rooms stay the same whatever the rule.
    off = np.random.default_rng([seed, 1]).uniform(-rounding / 2, rounding / 2, (half, k))
    if _turned(clearance):
        off = off[:, ::-1]
    return np.concatenate([off, -off[: draws - half]])


def _unsure(quantities: Joint) -> BoolArray:
    variance = quantities.sd**2
    return np.asarray(variance > CERTAIN * variance.max())


def _only(quantities: Joint, some: BoolArray) -> Joint:
    return Joint(quantities.mean[some], quantities.covariance[np.ix_(some, some)])


def _refuse(quantities: Joint, draws: int) -> None:
    if quantities.mean.size == 0:
        raise BadInput("expected one quantity or more, got none")
    if draws < 2:
        raise BadInput(f"draws: expected 2 or more, got {draws}")

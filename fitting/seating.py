"""How a rigid piece comes to rest: on the wall as it is expected, and on all the walls that it may be.

Pushed against a wall it touches wherever that happens to stand foremost. Of an uneven wall that is never
quite where it is expected, and never further back: the piece stands a little further out than the expected
wall says, and it may touch at other places. So walls are drawn and the piece is seated anew on each.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fitting.contact import Contact, least_scribe, straight_edge
from fitting.joint import Joint

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]

CROWN_SHARE: Final = 1 / 3
"""Of a piece's width: a back that touches at two places nearer to one another than this can rock."""
DRAWS: Final = 1200
"""Walls drawn: what a piece stands further out is then met within 3 % of its standard deviation."""
SEED: Final = 0


@dataclass(frozen=True, eq=False)
class Bearing:
    """What a piece can come to bear on: n places of its back, then those of what holds it sideways.

    Attributes
    ----------
    along : array (n,)
        x of the back's places, mm, increasing.
    effects : array (k, 3)
        What a small turn (radians) and motions to the back and to the right (mm) do to the clearance at
        each of all k places. Motions do the same to all places of one surface.
    sides : tuple[slice, ...]
        The places of the surface that holds it, of which the foremost keeps its clearance of 0; or of two,
        whose foremost keep equal clearances.
    turning : tuple[int, int] or None
        Back places where shims keep the clearances alike; nothing where it rests on two places.
    """

    along: FloatArray
    effects: FloatArray
    sides: tuple[slice, ...]
    turning: tuple[int, int] | None


@dataclass(frozen=True, eq=False)
class Seating:
    """How clearances move a piece, over all walls drawn: `shift + slopes.T @ error`, and what is left over.

    Attributes
    ----------
    shift : array (3,)
        The expected turn (radians) and motions to the back and right (mm).
    slopes : array (k, 3)
        What an error of each clearance does to them, on average.
    rest : array (3, 3)
        Covariance of what is left over; it has nothing to do with any error.
    """

    shift: FloatArray
    slopes: FloatArray
    rest: FloatArray

    @property
    def used(self) -> IndexArray:
        """The places that it touches or is turned by on any wall drawn."""
        return np.flatnonzero(self.slopes.any(axis=1))


def resting(along: FloatArray, deviation: FloatArray) -> tuple[Contact, tuple[int, ...], tuple[int, int]]:
    """Return how a back rests on a known wall: its line, the stations it touches, those that turn it.

    Two touches near one another are a crown: the back rocks there, and the least that the readings are
    off would turn the piece. Its turn is then the hand's, and a fitter shims it to even gaps.

    >>> resting(np.array([0.0, 500.0, 1000.0]), np.array([0.0, -2.0, 3.0]))[1:]
    ((0, 2), (0, 2))
    >>> resting(np.array([0.0, 450.0, 550.0, 1000.0]), np.array([0.0, 5.0, 5.0, 0.0]))[1:]
    ((1,), (0, 3))
    """
    contact = straight_edge(along, deviation)
    first, second = contact.touching
    if along[second] - along[first] >= CROWN_SHARE * (along[-1] - along[0]):
        return contact, (first, second), (first, second)
    even = least_scribe(along, deviation)
    left, _, right = even.certificate
    return even, (int(np.argmin(even.gaps)),), (left, right)


def seated(bearing: Bearing, clearance: Joint) -> Seating:
    """Seat a piece on walls drawn from what is known of its clearances.

    Parameters
    ----------
    bearing : Bearing
        Of k places.
    clearance : Joint
        Of the piece where it is expected, at all k places, mm. What holds it with a gap has none at it.

    Returns
    -------
    Seating

    Notes
    -----
    A motion m is a piecewise linear function of normal clearances c. By Stein's lemma its covariance with
    c is that of c times the average slope of m, so m less its average slope times c is uncorrelated with
    c, and with all that is normal jointly with it: covariances come out as the sum of two, neither of
    which can have a negative variance. Where pairs of places further apart than the hull's are taken, m
    jumps, and the lemma holds nearly.

    Examples
    --------
    Ten places known each to 1 mm: the foremost of them stands out, and the piece with it.

    >>> along = np.linspace(0.0, 900.0, 10)
    >>> effects = np.column_stack([-along, -np.ones(10), np.zeros(10)])
    >>> mark = np.array([[0.0, 0.0, -1.0]])
    >>> bearing = Bearing(along, np.vstack([effects, mark]), (slice(10, 11),), None)
    >>> seating = seated(bearing, Joint(np.zeros(11), np.eye(11)))
    >>> middle = seating.shift[1] + 450.0 * seating.shift[0]
    >>> bool(-1.5 < middle < -0.8), round(float(seating.slopes[10, 2]), 6)
    (True, 1.0)
    """
    pinned = _slopes(bearing, _rest(bearing, clearance.mean[None]))[0].T
    carry = np.eye(clearance.mean.size) + bearing.effects @ pinned.T
    # The piece moves with its walls: drawn is only what is left over, however unsure their place is.
    errors = _draws(carry @ clearance.covariance @ carry.T, _reversed(bearing))
    walls = clearance.mean + errors
    each = _slopes(bearing, _rest(bearing, walls))
    motions = np.einsum("dmk,dk->dm", each, walls)
    slopes = each.mean(axis=0).T
    left_over = motions - errors @ slopes
    return Seating(motions.mean(axis=0), slopes, np.cov(left_over.T, bias=True))


def _rest(bearing: Bearing, clearance: FloatArray) -> list[IndexArray]:
    """Return for each wall (d, k) where the piece touches, what turns it (left, right), what holds it."""
    walls, n = np.arange(len(clearance)), bearing.along.size
    back = clearance[:, :n]
    if bearing.turning is None:
        left, right = _widest_support(bearing.along, -back)
    else:
        left, right = (np.full(walls.size, one) for one in bearing.turning)
    swing = bearing.effects[:, 0]
    turn = -(back[walls, right] - back[walls, left]) / (swing[right] - swing[left])
    turned = clearance + turn[:, None] * swing
    held = [side.start + turned[:, side].argmin(axis=1) for side in bearing.sides]
    return [turned[:, :n].argmin(axis=1), left, right, *held]


def _widest_support(along: FloatArray, height: FloatArray) -> tuple[IndexArray, IndexArray]:
    """Return the pair, far enough apart, whose line is highest in the middle: for each wall (d, n)."""
    middle = (along[0] + along[-1]) / 2
    lefts, rights = np.flatnonzero(along < middle), np.flatnonzero(along > middle)
    best = np.full(len(height), -np.inf)
    first, second = (np.zeros(len(height), dtype=np.intp) for _ in range(2))
    for left in lefts:
        able = rights[along[rights] - along[left] >= CROWN_SHARE * (along[-1] - along[0])]
        share = (middle - along[left]) / (along[able] - along[left])
        if not able.size:
            continue
        line = height[:, [left]] * (1 - share) + height[:, able] * share
        found = line.argmax(axis=1)
        highest = line[np.arange(len(line)), found]
        higher = highest > best
        best[higher] = highest[higher]
        first[higher], second[higher] = left, able[found[higher]]
    return first, second


def _slopes(bearing: Bearing, rest: list[IndexArray]) -> FloatArray:
    """Return (d, 3, k) what clearances do to the motions while the piece rests on the same places.

    It moves so that the clearance where it touches comes to 0, those that turn it to one another, and
    those that hold it to 0 or to one another.
    """
    walls = np.arange(rest[0].size)
    kept = np.zeros((walls.size, 3, len(bearing.effects)))
    touch, left, right, *held = rest
    kept[walls, 0, touch] = 1.0
    kept[walls, 1, right], kept[walls, 1, left] = 1.0, -1.0
    for one, sign in zip(held, (1.0, -1.0), strict=False):
        kept[walls, 2, one] = sign
    return np.asarray(-np.linalg.solve(kept @ bearing.effects, kept))


def _reversed(bearing: Bearing) -> IndexArray:
    """Return the places in the order in which a mirror shows them."""
    n = bearing.along.size
    sides = [np.arange(side.start, side.stop) for side in reversed(bearing.sides)]
    return np.concatenate([np.arange(n)[::-1], *sides])


def _draws(covariance: FloatArray, mirrored: IndexArray) -> FloatArray:
    """Draw errors (d, k): each with its opposite, and with what a mirror would make of its numbers.

    A mirrored piece so is seated on the mirrored walls: the symmetric root has no preferred end either.
    """
    size, axes = np.linalg.eigh((covariance + covariance.T) / 2)
    root = axes * np.sqrt(np.maximum(size, 0.0)) @ axes.T
    numbers = np.random.default_rng(SEED).standard_normal((DRAWS // 4, len(covariance)))
    both = np.concatenate([numbers, numbers[:, mirrored]]) @ root
    return np.concatenate([both, -both])

"""A level piece on an uneven floor: from the high point, with shims, legs, or a base scribed by place.

Seen from the side; the piece stands on the floor's highest place under it, and elsewhere something makes up::

    ======================= bottom line, level
     |        |        |
     |leg     |leg     |leg     height at the high point, and the shim more elsewhere
     |    ____|____    |
    _|---'  high   '---|___     floor

A base that is scribed is cut so high that it reaches the lowest place; what is planed off at the high point
is the whole range of the floor there, at the lowest place nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST
from fitting.site import KnownRoom
from fitting.stations import stations

FloatArray = NDArray[np.float64]
Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Standing:
    """A level piece on a floor that was read.

    Attributes
    ----------
    floor : Joint
        Heights of the floor above z = 0 at the k places looked at, mm.
    highest : int
        At which of them it stands.
    """

    floor: Joint
    highest: int

    @property
    def level(self) -> float:
        """Height of the floor's highest place, mm: where the piece stands."""
        return float(self.floor.mean[self.highest])

    @property
    def shims(self) -> Joint:
        """What is to be filled at each place, mm; what the high point is off lifts them all."""
        carry = -np.eye(self.floor.mean.size)
        carry[:, self.highest] += 1.0
        return Joint(carry @ self.floor.mean, carry @ self.floor.covariance @ carry.T)

    @property
    def range(self) -> float:
        """The greatest shim, mm."""
        return float(np.ptp(self.floor.mean))

    def legs(self, height: float) -> FloatArray:
        """Return how long a leg is at each place (k,), where it is `height` mm at the high point.

        >>> Standing(Joint(np.array([0.0, -6.0]), np.zeros((2, 2))), 0).legs(100.0)
        array([100., 106.])
        """
        return height + self.level - self.floor.mean

    def scribed(self) -> FloatArray:
        """Return what is planed off a base at each place (k,), mm, where nothing is at the lowest.

        >>> Standing(Joint(np.array([0.0, -6.0]), np.zeros((2, 2))), 0).scribed()
        array([6., 0.])
        """
        off: FloatArray = self.floor.mean - self.floor.mean.min()
        return off

    def over(self, bottom: float) -> float:
        """Return how far a piece hung with its underside at a height is over the floor's high point, mm."""
        return bottom - self.level


@dataclass(frozen=True)
class LegsNeed:
    """What legs must be able to do: the shortest and the longest (mm), and those that cannot.

    `short` are the places where a leg would have to be shorter than it goes, `long` where longer.
    """

    shortest: float
    longest: float
    short: tuple[int, ...]
    long: tuple[int, ...]


def stand(room: KnownRoom, places: Sequence[Point], among: Sequence[Point] = ()) -> Standing:
    """Set a level piece on the highest of the places under it.

    Parameters
    ----------
    room
        Its floor was read.
    places
        In the plan, mm: where it stands, and is filled under.
    among
        Further places under it, which may be higher; they come after the others in the answer.

    Raises
    ------
    BadInput
        No place, or a floor that nobody read.

    Examples
    --------
    A floor that falls 6 mm over 1 m to the right:

    >>> from fitting.site import Corner, Level, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [Level(f"{x}{y}", -0.006 * x, 1e-4, "floor", "back", x, "c", y)
    ...      for x in (0.0, 500.0, 1000.0) for y in (50.0, 600.0)],
    ... )
    >>> standing = stand(room, [(0.0, -300.0), (1000.0, -300.0)])
    >>> [round(float(one), 1) for one in standing.shims.mean]
    [0.0, 6.0]
    """
    every = [*places, *among]
    if not every:
        raise BadInput("expected a place or more under the piece, got none")
    if not all(math.isfinite(x) and math.isfinite(y) for x, y in every):
        raise BadInput(f"expected places of finite coordinates, got {every}")
    floor = room.level("floor", every)
    if floor is None:
        raise BadInput("nothing says where the floor is: expected drops from the level line to it")
    return Standing(floor, int(np.argmax(floor.mean)))


def along(start: Point, end: Point) -> tuple[FloatArray, list[Point]]:
    """Return stations along a line on the floor (mm from its start), and where they are in the plan.

    >>> at, places = along((0.0, 0.0), (0.0, 600.0))
    >>> float(at[-1]), places[-1]
    (600.0, (0.0, 600.0))
    """
    length = math.dist(start, end)
    if not 0 < length < LARGEST:
        raise BadInput(f"expected a line of some length, got {length} mm")
    at = stations(0.0, length)
    share = at / length
    xs, ys = (a + share * (b - a) for a, b in zip(start, end, strict=True))
    return at, [(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]


def legs_need(standing: Standing, height: float, least: float = 0.0, most: float = math.inf) -> LegsNeed:
    """Say whether legs that go from `least` to `most` mm do, at `height` mm over the high point.

    Raises
    ------
    BadInput
        A height of nothing, or legs that are shortest longer than longest.

    Examples
    --------
    >>> uneven = Standing(Joint(np.array([0.0, -6.0, -31.0]), np.zeros((3, 3))), 0)
    >>> legs_need(uneven, 100.0, 95.0, 125.0)
    LegsNeed(shortest=100.0, longest=131.0, short=(), long=(2,))
    """
    if not 0 < height < LARGEST:
        raise BadInput(f"height: expected a length above 0 mm, got {height}")
    if not 0 <= least <= most:
        raise BadInput(
            f"legs: expected the shortest at 0 mm or more and no longer than the longest, "
            f"got {least} to {most}"
        )
    legs = standing.legs(height)
    return LegsNeed(
        float(legs.min()),
        float(legs.max()),
        tuple(int(k) for k in np.flatnonzero(legs < least)),
        tuple(int(k) for k in np.flatnonzero(legs > most)),
    )

"""A straight edge, or a vertical plane, against an uneven wall.

A wall is given by stations: *along* it (mm, rightward positive facing the wall) and its *deviation*
there (mm, positive toward the room). The edge comes from the room, so it lies at or above every
deviation, and gap = line - deviation is never negative. Between stations the wall is taken as
straight. Gaps are measured square to the wall, not to the edge: at a slope of 1 in 100 the two
differ by 1 in 20 000.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.errors import BadInput, Unsolvable

FloatArray: TypeAlias = NDArray[np.float64]
IndexArray: TypeAlias = NDArray[np.intp]

SAME_PLACE = 1e-6
"""mm along; stations nearer than this stand at one place: below any tape, above rounding."""
ON_THE_STRAIGHT = 1e-10
"""mm above the straight between its neighbours; at or below this a station is no corner."""
TOUCHING = 1e-9
"""mm of gap; at or below this the edge touches: a hundred times the rounding of a 60 m wall."""


@dataclass(frozen=True, eq=False)
class Contact:
    """Hold the line that an edge takes against a wall, and where it touches.

    Attributes
    ----------
    offset, slope : float
        The line is ``offset + slope * x``: mm toward the room, and mm per mm along.
    touches : tuple[float, float]
        Along (mm) of the first and the last touch; equal where it touches at one point only.
    touching : tuple[int, int]
        The same as indices of the stations as they were given.
    gaps : array (n,)
        Gap (mm, >= 0) at each station, in the order given.
    """

    offset: float
    slope: float
    touches: tuple[float, float]
    touching: tuple[int, int]
    gaps: FloatArray

    def line(self, x: ArrayLike) -> FloatArray:
        """Give the edge's deviation (mm toward the room) at x (mm along).

        >>> float(straight_edge([0, 1000], [0, 10]).line(500))
        5.0
        """
        return np.asarray(self.offset + self.slope * np.asarray(x, dtype=np.float64))


@dataclass(frozen=True, eq=False)
class LeastScribe(Contact):
    """Hold the line whose greatest gap is the least possible, with the proof that it is.

    Attributes
    ----------
    most : float
        The greatest gap (mm): the least depth of scribe that any straight line can have.
    certificate : tuple[int, int, int]
        Stations, in order along the wall, where the gap is 0, `most`, 0 or `most`, 0, `most`. No
        line can do better at these three, so none can at all. The outer two are one station where
        the highest and the lowest stand at the same place.
    """

    most: float
    certificate: tuple[int, int, int]


def checked(name: str, numbers: ArrayLike) -> FloatArray:
    """Refuse (BadInput, naming the list) anything but one or more finite numbers, in mm.

    >>> checked("reach", [12, 13.5])
    array([12. , 13.5])
    """
    try:
        vector = np.asarray(numbers, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput(f"{name}: expected numbers in mm, got {numbers!r}") from error
    if vector.ndim != 1 or vector.size == 0:
        raise BadInput(f"{name}: expected a list of one number or more, got shape {vector.shape}")
    wrong = np.flatnonzero(~np.isfinite(vector))
    if wrong.size:
        k = int(wrong[0])
        raise BadInput(
            f"{name}: expected finite numbers, got {vector[k]} at station {k} (counted from 0); "
            "leave a station that was not read out"
        )
    return vector


def upper_hull(along: ArrayLike, deviation: ArrayLike) -> IndexArray:
    """Find the stations that a straight edge laid against the wall could touch.

    Parameters
    ----------
    along, deviation : array (n,)
        mm; any order. Of several stations at one place the highest counts.

    Returns
    -------
    array (h,)
        Indices of the corners of the upper convex hull, by growing `along`; stations on the
        straight between two corners are left out.

    Raises
    ------
    BadInput
        Not one-dimensional, unequal lengths, empty, NaN or infinite.

    Notes
    -----
    Sort, then monotone chain (Andrew 1979; from memory): O(n log n).

    Examples
    --------
    A hollow at 500 can't be touched, the hump at 900 can:

    >>> upper_hull([0, 500, 900, 1000], [0, -3, 4, 0]).tolist()
    [0, 2, 3]
    """
    x, y = _stations(along, deviation)
    return _hull(x, y)


def straight_edge(along: ArrayLike, deviation: ArrayLike, push_at: float | None = None) -> Contact:
    """Push a rigid straight edge against a wall and say where it touches.

    Parameters
    ----------
    along, deviation : array (n,)
        mm; any order, several at one place allowed.
    push_at : float, optional
        Where it is pushed (mm along), within the stations. The middle of their span unless told.

    Returns
    -------
    Contact
        It rests on the ends of the edge of the upper hull that straddles `push_at`. Pushed exactly
        on a corner of the hull it can rock, and its turn is the hand's; then it is taken to rest on
        the side of the span's middle, or, with the corner in the middle, on the longer side, or on
        the left of two alike.

    Raises
    ------
    BadInput
        As `upper_hull`; or `push_at` outside the stations.
    Unsolvable
        All stations at one place: the turn is free.

    Notes
    -----
    Pushing at c makes the line at c as low as it can be; the straddling hull edge solves that.

    Examples
    --------
    >>> held = straight_edge([0, 400, 800, 1200], [0, 3, 1, 2])
    >>> held.touches, held.gaps.round(2).tolist()
    ((400.0, 1200.0), [3.5, 0.0, 1.5, 0.0])

    A crown in the middle lets it rock; the side is then chosen by rule:

    >>> straight_edge([0, 500, 1000], [0, 4, 0]).touches
    (0.0, 500.0)
    """
    x, y = _stations(along, deviation)
    corners = _hull(x, y)
    _require_a_span(x[corners])
    first, last = _straddling(x[corners], push_at)
    i, j = int(corners[first]), int(corners[last])
    slope = float((y[j] - y[i]) / (x[j] - x[i]))
    offset, gaps = _just_clear(x, y, slope)
    return Contact(offset, slope, (float(x[i]), float(x[j])), (i, j), gaps)


def vertical_plane(
    along: ArrayLike, up: ArrayLike, deviation: ArrayLike, push_at: float | None = None
) -> Contact:
    """Push a plumb back or panel against a wall that was read at several heights.

    Parameters
    ----------
    along, up, deviation : array (n,)
        mm; one station each, only those within the piece's height. No grid is needed.
    push_at : float, optional
        As for `straight_edge`.

    Returns
    -------
    Contact
        The vertical plane through the supporting line of the wall's greatest deviation over the
        height. `gaps` are to the plane at each station; `touching` leads to the heights.

    Raises
    ------
    BadInput, Unsolvable
        As `straight_edge`.

    Examples
    --------
    A wall that leans in at the top touches there:

    >>> up = np.array([0, 700, 0, 700])
    >>> held = vertical_plane([0, 0, 900, 900], up, [0, 2, 1, 4])
    >>> up[list(held.touching)].tolist(), held.gaps.tolist()
    ([700, 700], [2.0, 0.0, 3.0, 0.0])
    """
    heights, y = checked("up", up), checked("deviation", deviation)
    if heights.shape != y.shape:
        raise BadInput(f"expected one height for each deviation, got {heights.size} for {y.size}")
    # The upper hull keeps the highest of several stations at one place: the greatest over height.
    return straight_edge(along, y, push_at)


def least_scribe(along: ArrayLike, deviation: ArrayLike) -> LeastScribe:
    """Find the straight line clear of the wall whose greatest gap is the least.

    Parameters
    ----------
    along, deviation : array (n,)
        mm; any order, several at one place allowed.

    Returns
    -------
    LeastScribe
        It may touch at one point only (``touches`` equal): less to plane off, but nothing to rest
        on. Where many lines do equally well (a high and a low station at one place) it is the one
        midway between their outermost slopes.

    Raises
    ------
    BadInput, Unsolvable
        As `straight_edge`.

    Notes
    -----
    The zone's width is a convex function of its slope that bends only at the slopes of hull edges,
    so these are all that need trying: one side of the zone lies flush with an edge, upper or lower,
    and the other goes through the antipodal corner.

    Examples
    --------
    Over a hollow it rests on two humps; over a hump on one point, level with the two hollows:

    >>> least_scribe([0, 500, 1000], [0, -6, 2]).most
    7.0
    >>> over_hump = least_scribe([0, 500, 1000], [0, 6, 2])
    >>> over_hump.most, over_hump.touches, over_hump.certificate
    (5.0, (500.0, 500.0), (0, 1, 2))
    """
    x, y = _stations(along, deviation)
    slopes, widths = _zones(x, y)
    equally_good = slopes[widths <= widths.min() + ON_THE_STRAIGHT]
    slope = float(equally_good.min() + equally_good.max()) / 2
    offset, gaps = _just_clear(x, y, slope)
    most = float(gaps.max())
    high, low = _ends(x, gaps <= TOUCHING), _ends(x, gaps >= most - TOUCHING)
    touches = float(x[high[0]]), float(x[high[1]])
    proof = _alternation(x, gaps, high, low)
    return LeastScribe(offset, slope, touches, high, gaps, most, proof)


def minimum_zone(along: ArrayLike, deviation: ArrayLike) -> float:
    """Measure how far a wall is from straight, square to the wall, in mm.

    The least zone between two parallel lines. Parameters and refusals as `least_scribe`.

    >>> minimum_zone([0, 500, 1000], [0, 6, 2])
    5.0
    """
    return float(_zones(*_stations(along, deviation))[1].min())


def straightness(along: ArrayLike, deviation: ArrayLike) -> float:
    """Measure how far a wall is from straight, square to the zone (ISO 1101; from memory), in mm.

    At most `minimum_zone`, and the same on a level zone. Parameters and refusals as `least_scribe`.

    The height of a 6-8-10 triangle over its long side:

    >>> round(straightness([0, 6.4, 10], [0, 4.8, 0]), 9)
    4.8
    """
    x, y = _stations(along, deviation)
    slopes, widths = _zones(x, y)
    return float(min((widths / np.hypot(1.0, slopes)).min(), np.ptp(x)))


def _stations(along: ArrayLike, deviation: ArrayLike) -> tuple[FloatArray, FloatArray]:
    x, y = checked("along", along), checked("deviation", deviation)
    if x.shape != y.shape:
        raise BadInput(f"expected one deviation for each station, got {y.size} for {x.size}")
    return x, y


def _require_a_span(x: FloatArray) -> None:
    if np.ptp(x) <= SAME_PLACE:
        raise Unsolvable(
            f"expected stations at two places or more, got all at {x[0]:g} mm along: "
            "the edge's turn is free; read a second station"
        )


def _hull(x: FloatArray, y: FloatArray) -> IndexArray:
    """Corners of the upper hull (of the lower one with both mirrored: ``_hull(x, -y)``)."""
    kept: list[int] = []
    xs, ys = x.tolist(), y.tolist()
    for k in _highest_of_each_place(x, y).tolist():
        while len(kept) > 1:
            i, j = kept[-2], kept[-1]
            run = xs[k] - xs[i]
            above = (ys[j] - ys[i]) * run - (ys[k] - ys[i]) * (xs[j] - xs[i])
            if above > ON_THE_STRAIGHT * run:
                break
            kept.pop()
        kept.append(k)
    return np.array(kept, dtype=np.intp)


def _highest_of_each_place(x: FloatArray, y: FloatArray) -> IndexArray:
    order = np.argsort(x, kind="stable")
    place = np.concatenate([[0], np.cumsum(np.diff(x[order]) > SAME_PLACE)])
    order = order[np.lexsort((-y[order], place))]
    highest: IndexArray = order[np.concatenate([[True], np.diff(place) > 0])]
    return highest


def _straddling(x: FloatArray, push_at: float | None) -> tuple[int, int]:
    """Give the two neighbouring corners that the push falls between; x is sorted, corners only."""
    middle = float(x[0] + x[-1]) / 2
    push = middle if push_at is None else float(push_at)
    if not x[0] - SAME_PLACE <= push <= x[-1] + SAME_PLACE:
        raise BadInput(
            f"expected a push between the first station ({x[0]:g} mm) and the last ({x[-1]:g} mm), "
            f"got {push:g} mm: beyond them the edge would tip off the wall"
        )
    nearest = int(np.argmin(np.abs(x - push)))
    if abs(x[nearest] - push) > SAME_PLACE:
        last = int(np.searchsorted(x, push))
    elif nearest in (0, len(x) - 1):
        last = max(nearest, 1)
    elif abs(x[nearest] - middle) > SAME_PLACE:
        last = nearest + int(x[nearest] < middle)
    else:
        longer_right = x[nearest + 1] - x[nearest] > x[nearest] - x[nearest - 1] + SAME_PLACE
        last = nearest + int(longer_right)
    return last - 1, last


def _just_clear(x: FloatArray, y: FloatArray, slope: float) -> tuple[float, FloatArray]:
    """Offset of the line of that slope that just clears the wall, and its gaps."""
    height = y - slope * x
    offset = float(height.max())
    return offset, np.asarray(offset - height)  # in this order rounding makes no gap negative


def _zones(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Slopes of all hull edges, and the width across the wall of the zone that each makes."""
    _require_a_span(x)
    upper, lower = _hull(x, y), _hull(x, -y)
    down, rising = _slopes(x, y, upper), _slopes(x, y, lower)
    slopes = np.concatenate([down, rising])
    top = upper[np.searchsorted(-down, -slopes)]
    bottom = lower[np.searchsorted(rising, slopes)]
    return slopes, (y[top] - y[bottom]) - slopes * (x[top] - x[bottom])


def _slopes(x: FloatArray, y: FloatArray, corners: IndexArray) -> FloatArray:
    return np.asarray(np.diff(y[corners]) / np.diff(x[corners]))


def _ends(x: FloatArray, chosen: NDArray[np.bool_]) -> tuple[int, int]:
    k = np.flatnonzero(chosen)
    return int(k[np.argmin(x[k])]), int(k[np.argmax(x[k])])


def _alternation(
    x: FloatArray, gaps: FloatArray, high: tuple[int, int], low: tuple[int, int]
) -> tuple[int, int, int]:
    for (i, j), other in ((high, gaps >= gaps.max() - TOUCHING), (low, gaps <= TOUCHING)):
        between = np.flatnonzero(other & (x >= x[i] - SAME_PLACE) & (x <= x[j] + SAME_PLACE))
        if between.size:
            return i, int(between[0]), j
    raise Unsolvable(
        "the least zone could not be proved: the stations spread over too many orders of magnitude"
    )

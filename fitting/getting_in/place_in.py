"""At the place itself: in from the front, down between walls, up under a soffit.

Each first tries the straight way, which is exact, and then the planner. What stands in the way is given as
rings in the frame of the piece at its place, so that it ends at `Pose(0, 0, 0)`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import Final, Literal

import numpy as np
import shapely  # type: ignore[import-untyped]
from shapely import Polygon, box

from fitting.errors import BadInput
from fitting.getting_in.passing import (
    QUARTER,
    THICK,
    FloatArray,
    Passing,
    Pose,
    View,
    checked_length,
    checked_ring,
    rectangle,
    turned,
)
from fitting.getting_in.planner import find_way
from fitting.getting_in.slices import TOUCH
from fitting.getting_in.spare import MOST, longer, spare
from fitting.getting_in.sweep import shift_past

THERE: Final = Pose(0.0, 0.0, 0.0)
TILTS: Final = tuple(math.radians(degrees) for degrees in (90, 75, 60, 45, 30, 20, 15, 10, 7, 5))
"""Tilts with which a bar is brought in front of its place; the steepest that has room is taken."""
FAR: Final = 10_000.0
"""mm; more room across than this is not told."""


def straight_in(
    shape: FloatArray,
    barriers: Sequence[FloatArray],
    travel: float,
    come: Literal["from the front", "from above"] = "from the front",
) -> Passing:
    """Say whether a piece goes straight in without turning.

    Parameters
    ----------
    shape : array (n, 2)
        At its place: in plan for what comes from the front, in front elevation for what comes from above.
    barriers : sequence of arrays (k, 2)
        Rings beside its way, each to the left or to the right of it.
    travel : float
        How far off it starts (mm).
    come : {"from the front", "from above"}

    Returns
    -------
    Passing
        The margin is the whole room across, left and right together, on all of the way; below 0: so much must
        come off its length. Where it has to be shifted for that, the poses are.

    Notes
    -----
    Exact, see `fitting.getting_in.sweep.shift_past`; a barrier is taken to be solid to its own side.

    Examples
    --------
    A top 1490 long into an alcove 1500 wide, with a casing 12 thick at the mouth on the right:

    >>> left, right = rectangle(-105, -600, 100, 600), rectangle(1495, -600, 100, 600)
    >>> casing = rectangle(1483, -600, 12, 60)
    >>> answer = straight_in(rectangle(0, -600, 1490, 600), (left, right, casing), 700)
    >>> answer.verdict, round(answer.margin, 6)
    ('does not go', -2.0)
    """
    shape, rings = checked_ring("piece", shape), tuple(checked_ring("barrier", ring) for ring in barriers)
    checked_length("travel", travel)
    low, high = (-travel, 0.0) if come == "from the front" else (0.0, travel)
    right_of, left_of = -FAR / 2, FAR / 2
    middle = (shape[:, 0].min() + shape[:, 0].max()) / 2
    for ring in rings:
        on_left = (ring[:, 0].min() + ring[:, 0].max()) / 2 < middle
        # What is only touched at an end of the way, such as the back wall, does not bar it.
        shift = shift_past(shape, ring, low + TOUCH, high - TOUCH, bool(on_left))
        if shift is not None and on_left:
            right_of = max(right_of, shift)
        elif shift is not None:
            left_of = min(left_of, shift)
    margin = float(left_of - right_of)
    shift = float(min(max(0.0, right_of), left_of)) if margin >= 0 else float(right_of + left_of) / 2
    start = Pose(shift, low if come == "from the front" else high, 0.0)
    view: View = "plan" if come == "from the front" else "elevation"
    poses = (start, Pose(shift, 0.0, 0.0))
    if margin < -TOUCH:
        return Passing("does not go", margin, view, shape, poses[:1], 0, rings)
    return Passing("goes", margin, view, shape, poses, 1, rings)


def in_from_front(
    shape: FloatArray, barriers: Sequence[FloatArray], travel: float, *, margin: bool = True
) -> Passing:
    """Say whether a piece goes in from the front, straight or turned, past casings and walls.

    Parameters and margin as for `straight_in`; turned, the margin is how much longer the piece could be and
    surely go, to 1/2 mm, found between 150 mm more and 150 less. Without `margin` that is left out: the
    verdict alone comes about ten times sooner.

    Examples
    --------
    A shelf 20 mm longer than the mouth between two casings goes in askew:

    >>> walls = rectangle(-120, -400, 100, 420), rectangle(920, -400, 100, 420), rectangle(-20, 0, 940, 20)
    >>> casings = rectangle(-20, -400, 30, 40), rectangle(890, -400, 30, 40)
    >>> in_from_front(rectangle(0, -100, 900, 100), (*walls, *casings), 900).verdict  # doctest: +SKIP
    'goes'
    """
    shape = checked_ring("piece", shape)
    straight = straight_in(shape, barriers, travel)
    if straight.verdict == "goes":
        return straight
    within = _around(shape, barriers, travel)
    start = Pose(0.0, -travel, 0.0)

    def goes(more: float) -> Passing:
        return find_way(longer(shape, more, 0), barriers, start, THERE, within=within)

    return _with_margin(goes, float(np.ptp(shape[:, 0]))) if margin else goes(0.0)


def down_between(
    shape: FloatArray, barriers: Sequence[FloatArray], rise: float, *, margin: bool = True
) -> Passing:
    """Say whether a top, or a bar, goes down between walls onto its seat, flat or with one end first.

    Parameters
    ----------
    shape : array (n, 2)
        Its front elevation at its place, apron and all.
    barriers : sequence of arrays (k, 2)
        Walls, trim and seat in the same elevation: whatever stands there anywhere over the depth of the
        piece, and in front of it as far as it is brought in.
    rise : float
        Room above the seat, up to the ceiling (mm).
    margin : bool
        Whether the margin is looked for where it does not go flat; the verdict alone comes sooner.

    Returns
    -------
    Passing
        The margin is how much longer the piece could be: exact where it goes flat, else to 1/2 mm for what
        surely goes, found between 150 mm more and 150 less.

    Examples
    --------
    >>> walls = rectangle(-100, -50, 100, 1600), rectangle(1500, -50, 100, 1600), rectangle(0, -50, 1500, 50)
    >>> down_between(rectangle(0, 0, 1490, 38), walls, 1500).margin
    10.0
    """
    shape = checked_ring("piece", shape)
    checked_length("rise", rise)
    tall = float(np.ptp(shape[:, 1]))
    if rise <= tall:
        raise BadInput(f"rise: expected more than the piece's height of {tall:g} mm, got {rise:g}")
    flat = straight_in(shape, barriers, rise - tall, "from above")
    if flat.verdict == "goes":
        return flat
    seat = float(shape[:, 1].min())
    rings = tuple(barriers)
    solid = shapely.union_all([Polygon(ring) for ring in rings])
    left, _, right, _ = _around(shape, rings, 0.0)
    within = (left, seat - THICK, right, seat + rise)

    def goes(more: float) -> Passing:
        piece = longer(shape, more, 0)
        found = Passing("does not go", None, "elevation", piece, (THERE,), 0, rings)
        for side in (1, -1):
            start = _tilted(piece, side, seat + rise, solid)
            if start is not None:
                turns = (min(0.0, start.turn), max(0.0, start.turn))
                way = find_way(piece, rings, start, THERE, within=within, turns=turns, view="elevation")
                if way.verdict == "goes":
                    return way
                if way.verdict == "too tight to call":
                    found = way
        return found

    return _with_margin(goes, float(np.ptp(shape[:, 0]))) if margin else goes(0.0)


def stand_up_in_place(
    profile: FloatArray,
    ceiling: float,
    barriers: Sequence[FloatArray] = (),
    over: Literal["back", "front"] = "back",
    room: float | None = None,
    *,
    margin: bool = True,
) -> Passing:
    """Say whether a cabinet can be stood up in front of its place and slid in, under ceiling and soffit.

    Parameters
    ----------
    profile : array (n, 2)
        Its side elevation at its place, front at x = 0, floor at y = 0, with its top on if it is; see
        `fitting.getting_in.tilt.cabinet_profile` and `with_top`.
    ceiling : float
        Above the floor (mm).
    barriers : sequence of arrays (k, 2)
        What else is there: the back wall, a soffit, a wall cabinet.
    over : {"back", "front"}
        What it lies on before.
    room : float or None
        From the cabinet's front to the wall or cabinets opposite (mm); None: as much as it needs.
    margin : bool
        Whether the margin is looked for; the verdict alone comes sooner.

    Returns
    -------
    Passing
        The margin is how much taller the cabinet could be and surely go, to 1/2 mm, found between 150 mm
        more and 150 less. The planner lifts it by up to about 1 mm to turn it: nearer to its limit than that
        it is too tight to call.

    Examples
    --------
    >>> from fitting.getting_in.tilt import cabinet_profile
    >>> wall = rectangle(600, 0, 100, 2500)
    >>> answer = stand_up_in_place(cabinet_profile(2380, 600), 2500, [wall])  # doctest: +SKIP
    >>> answer.verdict, 44 < answer.margin < 47  # doctest: +SKIP
    ('goes', True)
    """
    profile = checked_ring("profile", profile)
    checked_length("ceiling", ceiling)
    tall = float(profile[:, 1].max())
    space = 2.2 * (tall + float(np.ptp(profile[:, 0]))) if room is None else checked_length("room", room)
    lying = -QUARTER if over == "back" else QUARTER
    right = float(profile[:, 0].max())
    walls = (
        rectangle(-space, -THICK, space + right + THICK, THICK),
        rectangle(-space, ceiling, space + right + THICK, THICK),
        *(checked_ring("barrier", ring) for ring in barriers),
    )
    within = (-space, -THICK, right + THICK, ceiling + THICK)

    def goes(more: float) -> Passing:
        piece = longer(profile, more, 1) + np.array([0.0, more / 2])
        ring = turned(piece, lying)
        start = Pose(float(-space - ring[:, 0].min()), float(-ring[:, 1].min()), lying)
        turns = (min(lying, 0.0), max(lying, 0.0))
        return find_way(piece, walls, start, THERE, within=within, turns=turns, view="elevation")

    return _with_margin(goes, tall) if margin else goes(0.0)


def with_top(profile: FloatArray, thickness: float, overhang: float) -> FloatArray:
    """Put a top on a cabinet's side elevation: its thickness, and its overhang at the front (mm, 0 or more).

    Examples
    --------
    >>> from fitting.getting_in.tilt import cabinet_profile
    >>> with_top(cabinet_profile(850, 600), 30, 25).max(axis=0).tolist()
    [600.0, 880.0]
    """
    checked_length("top: thickness", thickness)
    if not 0 <= overhang <= FAR:
        raise BadInput(f"top: overhang: expected 0 mm or more, got {overhang:g}")
    shape = checked_ring("profile", profile)
    (left, _), (right, tall) = shape.min(axis=0), shape.max(axis=0)
    top = box(left - overhang, tall, right, tall + thickness)
    whole = shapely.union(Polygon(shape), top)
    ring: FloatArray = shapely.get_coordinates(shapely.normalize(whole).exterior)[:-1][::-1]
    return ring


def _tilted(piece: FloatArray, side: int, ceiling: float, solid: Polygon) -> Pose | None:
    """Give the steepest pose, of those tried, in which a piece has room before it goes down."""
    middle = (piece[:, 0].min() + piece[:, 0].max()) / 2
    for tilt in TILTS:
        ring = turned(piece, side * tilt)
        across = float(middle - (ring[:, 0].min() + ring[:, 0].max()) / 2)
        up = float(ceiling - ring[:, 1].max())
        pose = Pose(across, up, side * tilt)
        if up + ring[:, 1].min() >= piece[:, 1].min() and Polygon(pose.of(piece)).distance(solid) > 0:
            return pose
    return None


def _around(
    shape: FloatArray, barriers: Sequence[FloatArray], travel: float
) -> tuple[float, float, float, float]:
    """Give what a piece stays in: all that is there, and room to turn at the front."""
    points = np.concatenate([shape, *barriers])
    (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
    long = float(np.hypot(*np.ptp(shape, axis=0)))
    front = min(float(bottom), float(shape[:, 1].min()) - travel)
    return float(left), front - (long if travel else 0.0), float(right), float(top)


def _with_margin(goes: Callable[[float], Passing], size: float) -> Passing:
    """Answer for the piece as it is, with what its size could be larger, or must be smaller."""
    answered = cache(goes)
    return replace(answered(0.0), margin=spare(answered, min(MOST, size / 2)))

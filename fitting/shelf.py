r"""A shelf between walls or panels: its outline is that of a level top, and it goes in tilted.

Seen from the front, one end dipped: a board of length L and thickness t that is turned level between walls
W apart needs on its way L cos a + t sin a, at most, where tan a = t / L::

    |       \\ |
    |    \\   \|        sqrt(L^2 + t^2) <= W
    | \\   \   |
    | \ \  |   |
    |<-- W --->|

On cleats at its ends it is let down so; where it is let into the walls, or rests in grooves, it is not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitting.errors import BadInput
from fitting.piece import refuse_size
from fitting.site import KnownRoom
from fitting.stations import stations
from fitting.top import FittedTop, TopPlan, fit_top

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class FittedShelf:
    """A shelf; its place and outline are a top's.

    `tilt_room` is what is left beside it, at the tightest place across its depth, while it is turned level
    (mm; below 0 it jams): nothing where an end is free. `level_room` is what is left once it lies.
    """

    top: FittedTop
    tilt_room: float | None
    level_room: float | None


def tilted(length: float, thickness: float) -> float:
    """Return the width (mm) in which a board can be turned level: its diagonal.

    Examples
    --------
    >>> tilted(400.0, 30.0) == math.hypot(400.0, 30.0)
    True
    >>> tilted(40.0, 30.0)
    50.0
    """
    refuse_size("length", length)
    refuse_size("thickness", thickness)
    return math.hypot(length, thickness)


def longest_tilted(width: float, thickness: float) -> float:
    """Return the longest board (mm) that can be turned level between walls so far apart.

    >>> longest_tilted(50.0, 30.0)
    40.0
    """
    refuse_size("width", width)
    refuse_size("thickness", thickness)
    if thickness >= width:
        raise BadInput(f"thickness: expected less than the {width:g} mm between the walls, got {thickness:g}")
    return math.sqrt((width - thickness) * (width + thickness))


def fit_shelf(room: KnownRoom, plan: TopPlan) -> FittedShelf:
    """Give a shelf its outline, and say what room is left to turn it level between the walls at its ends.

    The walls are looked at at the shelf's height; where they lean, there is less room above or below.

    Examples
    --------
    Between walls 1000 apart, 2 mm short at each end: the diagonal of 996 x 20 is 996.2.

    >>> from fitting.piece import EdgePlan
    >>> from fitting.site import Corner, CornerTurn, Distance, Plan, know_room
    >>> corners = Corner("a", "left", "back"), Corner("b", "back", "right")
    >>> room = know_room(
    ...     Plan("back", ("left", "back", "right"), corners),
    ...     [Distance("width", 1000.0, 1e-4, "a", "b", 500.0, 500.0)]
    ...     + [CornerTurn(name, 0.0, 1e-6, name, 500.0, 500.0, 500.0) for name in ("a", "b")],
    ... )
    >>> ends = EdgePlan("left", "net", 2.0), EdgePlan("right", "net", 2.0)
    >>> shelf = fit_shelf(room, TopPlan("back", 500.0, 20.0, *ends, depth=300.0))
    >>> shelf.tilt_room < shelf.level_room
    True
    """
    return turning(fit_top(room, plan))


def turning(top: FittedTop) -> FittedShelf:
    """Say what room is left to turn a shelf level that was fitted as a top is."""
    if top.plan.left is None or top.plan.right is None:
        return FittedShelf(top, None, None)
    at, between, length = _widths(top)
    if not at.size:
        return FittedShelf(top, None, None)
    turned = np.hypot(length, top.plan.thickness)
    return FittedShelf(top, float((between - turned).min()), float((between - length).min()))


def _widths(top: FittedTop) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return at places from the front how far the walls are apart, and how long the shelf is there."""
    left, right = top.outline.edges["left"], top.outline.edges["right"]
    start = max(float(left.stations.min()), float(right.stations.min()))
    end = min(float(left.stations.max()), float(right.stations.max()))
    if not start < end:
        return np.zeros(0), np.zeros(0), np.zeros(0)
    at = stations(start, end)
    walls = [np.interp(at, edge.stations, edge.reach) for edge in (left, right)]
    wood = [np.interp(at, edge.stations, edge.wood) for edge in (left, right)]
    return at, walls[0] + walls[1], wood[0] + wood[1]

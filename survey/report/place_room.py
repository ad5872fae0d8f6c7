"""How much room a piece's own place leaves it on its way in: between the walls before it, and overhead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from fitting.joint import Joint
from fitting.placement import Placed, Reach, Spotted
from fitting.site.linear import combine
from fitting.site.readings import surface_height
from survey.records import Piece
from survey.report.context import Context
from survey.report.trim import span_in, trims_on

FloatArray = NDArray[np.float64]

PLACES = 9
"""How many places of the way in are looked at from the front of a place to its back; as many before it."""


@dataclass(frozen=True, eq=False)
class Mouth:
    """The free width between two side walls, along the way in, in the piece's frame.

    `deep` (k,) is mm from the piece's front, to the back positive; `left` and `right` (k,) are the x of what
    stands there on both sides, casings counted; `width` is joint over the same places.
    """

    deep: FloatArray
    left: FloatArray
    right: FloatArray
    width: Joint
    narrowed_by: tuple[str, ...]
    """At each place the trim that narrows it, or nothing."""

    @property
    def narrowest(self) -> int:
        """Which place is the narrowest."""
        return int(np.argmin(self.width.mean))


def overhead(context: Context, points: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """Return the least height from floor to ceiling over points of the plan (mm), and its sd.

    Nothing where either was not read.
    """
    if any(context.room.level(surface, points) is None for surface in ("floor", "ceiling")):
        return None
    room = context.room.query(
        lambda scene: [
            combine(
                (1.0, surface_height(scene, "ceiling", x, y)), (-1.0, surface_height(scene, "floor", x, y))
            )
            for x, y in points
        ]
    )
    least = int(np.argmin(room.mean))
    return float(room.mean[least]), float(room.sd[least])


def mouth(
    context: Context,
    piece: Piece,
    placed: Placed,
    sides: tuple[str, str],
    middle: float,
    heights: tuple[float, float],
) -> Mouth:
    """Return the free width between two walls on the way into a place, from before all trim on them.

    `sides` are the walls at the left and right, `middle` an x between them, `heights` from where to where up
    the piece reaches.
    """
    bottom, top = heights
    trims = trims_on(context, piece, set(sides), ("casing", "sill", "baseboard"), bottom, top)
    # What is open beside a casing is wider than the casing: only its own width is in the way.
    spans = [span_in(context, placed, replace(trim, to_opening=False)) for trim in trims]
    outermost = [near - 1.0 for near, _ in spans if np.isfinite(near)]
    start = max([min([-placed.depth, *outermost]), *_ends(placed, sides, top)])
    edges = np.clip([end for span in spans for end in span], start, placed.depth)
    deep = np.unique(np.concatenate([np.linspace(start, placed.depth, 2 * PLACES - 1), edges]))
    ups = np.linspace(bottom, top, 3) if top > bottom else np.array([top])
    places = [(float(y), float(up)) for y in deep for up in ups]
    reaches = [Reach("left", sides[0], middle, y, up) for y, up in places]
    reaches += [Reach("right", sides[1], middle, y, up) for y, up in places]
    ways = placed.room.query(lambda scene: placed.quantities(scene, reaches))
    count = len(places)
    pair = np.hstack([np.eye(count), np.eye(count)])
    widths = Joint(pair @ ways.mean, _even(pair @ ways.covariance @ pair.T))
    tightest = widths.mean.reshape(len(deep), len(ups)).argmin(axis=1) + np.arange(len(deep)) * len(ups)
    left, right = middle - ways.mean[tightest], middle + ways.mean[count + tightest]
    narrowed = [""] * len(deep)
    for trim, (near, far) in zip(trims, spans, strict=True):
        for at in np.flatnonzero((deep >= near) & (deep <= far)):
            narrowed[at] = trim.name
            if trim.wall == sides[0]:
                left[at] += trim.projection
            else:
                right[at] -= trim.projection
    covariance = widths.covariance[np.ix_(tightest, tightest)]
    return Mouth(deep, left, right, Joint(right - left, covariance), tuple(narrowed))


def _ends(placed: Placed, sides: tuple[str, str], up: float) -> list[float]:
    """Return the y at which the side walls end toward the room: before that nothing narrows the way."""
    plan = placed.room.plan
    corners = [plan.corner_at(wall, end) for wall, end in zip(sides, ("left", "right"), strict=True)]
    known = [Spotted(one.name, up, "y") for one in corners if one is not None]
    return [float(y) for y in placed.expect(known)] if known else []


def _even(covariance: FloatArray) -> FloatArray:
    half: FloatArray = (covariance + covariance.T) / 2
    return half

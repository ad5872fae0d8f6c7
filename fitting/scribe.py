"""How much wood is planed off along an edge that is fitted to a wall.

*Reach* is the distance (mm) from the piece's datum line to something, in the direction of the push:
to the wall, to the line the finished piece must have there, to the edge of the blank as it was cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitting.contact import checked
from fitting.errors import BadInput

FloatArray: TypeAlias = NDArray[np.float64]

COVERED = 1e-6
"""mm; a blank that is short by less than this reaches the wall: below any saw, above rounding."""


@dataclass(frozen=True, eq=False)
class Scribe:
    """Hold what is planed off along an edge, station by station.

    Attributes
    ----------
    stations : array (n,)
        mm along the edge, in the order given.
    depth : array (n,)
        mm planed off there; negative where the blank does not reach the wall and a gap stays.
    beyond : array (n,)
        mm by which the wall lies beyond the required final line, which the allowance must cover;
        negative where the wall comes in over that line, so that the piece can't have its full size.
    deepest, shallowest : float
        Greatest and least depth (mm).
    deepest_at, shallowest_at : float
        Where (mm along); of several alike the first given.
    covers : bool
        The blank reaches the wall at every station.
    """

    stations: FloatArray
    depth: FloatArray
    beyond: FloatArray
    deepest: float
    shallowest: float
    deepest_at: float
    shallowest_at: float
    covers: bool


def final_reach(stations: ArrayLike, reach: ArrayLike) -> float:
    """Find the reach at which an edge parallel to the datum first touches the wall.

    Parameters
    ----------
    stations : array (n,)
        mm along the edge.
    reach : array (n,)
        Reach of the wall there (mm).

    Returns
    -------
    float
        The least reach (mm). A piece that is not scribed can be no deeper.

    Raises
    ------
    BadInput
        Not one-dimensional, unequal lengths, empty, NaN or infinite.

    Examples
    --------
    >>> final_reach([0, 400, 900], [562, 558.5, 560])
    558.5
    """
    _, reach = _along_an_edge(stations, reach)
    return float(reach.min())


def scribe(stations: ArrayLike, reach: ArrayLike, final_reach: ArrayLike, blank_reach: ArrayLike) -> Scribe:
    """Say how deep an edge is scribed when its blank is pushed home against the wall.

    Parameters
    ----------
    stations : array (n,)
        mm along the edge.
    reach : array (n,)
        Reach of the wall there (mm).
    final_reach : float or array (n,)
        Reach of the line that the finished piece must have; an array where it is not parallel to
        the datum.
    blank_reach : float or array (n,)
        Reach of the blank's edge as cut: the final line and the allowance.

    Returns
    -------
    Scribe
        A blank that does not reach the wall is no error: `covers` says so, and `depth` where.

    Raises
    ------
    BadInput
        As `final_reach`.

    Notes
    -----
    Between stations the wall is taken as straight, so deepest and shallowest stand at stations.
    What the wall may do there is part of the allowance, not of the depth.

    Examples
    --------
    The wall runs off by 4 mm; 6 mm were left on:

    >>> off = scribe([0, 500, 1000], [560, 561, 564], final_reach=560, blank_reach=566)
    >>> off.depth.tolist(), off.deepest_at, off.covers
    ([6.0, 5.0, 2.0], 0.0, True)

    With 3 mm left on, the far end stays open by 1 mm:

    >>> short = scribe([0, 500, 1000], [560, 561, 564], final_reach=560, blank_reach=563)
    >>> short.covers, short.shallowest, short.shallowest_at
    (False, -1.0, 1000.0)
    """
    along, reach = _along_an_edge(stations, reach)
    depth = _line("blank_reach", blank_reach, along.size) - reach
    deepest, shallowest = int(depth.argmax()), int(depth.argmin())
    return Scribe(
        stations=along,
        depth=depth,
        beyond=reach - _line("final_reach", final_reach, along.size),
        deepest=float(depth[deepest]),
        shallowest=float(depth[shallowest]),
        deepest_at=float(along[deepest]),
        shallowest_at=float(along[shallowest]),
        covers=bool(depth[shallowest] >= -COVERED),
    )


def _along_an_edge(stations: ArrayLike, reach: ArrayLike) -> tuple[FloatArray, FloatArray]:
    along, wall = checked("stations", stations), checked("reach", reach)
    if along.size != wall.size:
        raise BadInput(f"expected one reach for each station, got {wall.size} for {along.size}")
    return along, wall


def _line(name: str, reach: ArrayLike, n: int) -> FloatArray:
    """Give one reach for each station, from one for all of them or one for each."""
    line = checked(name, np.atleast_1d(np.asarray(reach)))
    if line.size not in (1, n):
        raise BadInput(f"{name}: expected one number or {n}, one a station, got {line.size}")
    return np.asarray(np.broadcast_to(line, (n,)))

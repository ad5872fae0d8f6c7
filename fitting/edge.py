"""One edge of a flat piece: where the finished wood and the blank end on it.

A side is cut straight, or meets something uneven. Then its *finish* says where the wood ends:

- scribed: on the wall. The required final line is the straight one through the wall's nearest place,
  which is all that a piece cut straight could have; the blank is left larger by the allowance.
- net: along the wall, a gap short of it. What the gap must be so that the piece goes in is a question to all
  its edges together (`fitting.stake`), and answered before.
- covered: straight, a gap short of the wall's nearest place. A splash or trim has to hide the rest.
- let in: straight, at the wall's farthest place and beyond it by what is unknown, so that no joint opens.
  The wall is cut open for it.

Frame, sides, *along* and *outward*: see `fitting.notch`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Final, Literal, TypeAlias, get_args

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW, Allowance, allowance, farthest
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import FAR, LARGEST, Side, SideLine, checked_place, split_at
from fitting.scribe import Scribe, final_reach, scribe

FloatArray: TypeAlias = NDArray[np.float64]
Finish: TypeAlias = Literal["scribed", "net", "covered", "let in"]

SAME_STATION: Final = 0.01
"""mm along; a station nearer than this to where the edge ends is that place."""


@dataclass(frozen=True)
class StraightSide:
    """A side that is cut straight and first; `at` is its signed x (left, right) or y, mm."""

    at: float


@dataclass(frozen=True, eq=False)
class MeetingSide:
    """A side that meets something uneven.

    Attributes
    ----------
    stations : array (k,)
        mm along the side, increasing, at least 2. Past the last the wall is taken to go on level, and a
        piece that goes there is remarked.
    reach : Joint
        Outward coordinate of the wall at each station (mm).
    finish : {"scribed", "net", "covered", "let in"}
    gap : float
        Of a net or covered edge (mm, >= 0).
    saw : float
        Left on a scribed edge for the saw (mm, >= 0); 1/16 in is common practice (no source).

    Raises
    ------
    BadInput
    """

    stations: FloatArray
    reach: Joint
    finish: Finish
    gap: float = 0.0
    saw: float = SAW

    def __post_init__(self) -> None:
        """Refuse stations that are no wall, and a finish that is none."""
        stations = checked_place("stations", self.stations)
        checked_place("reach", self.reach.mean)
        if stations.size < 2 or stations.size != self.reach.mean.size:
            raise BadInput(
                "expected 2 stations or more and a reach for each, "
                f"got {stations.size} stations and {self.reach.mean.size} reaches"
            )
        back = np.flatnonzero(np.diff(stations) <= 0)
        if back.size:
            at = int(back[0])
            raise BadInput(
                f"expected increasing stations, got {stations[at + 1]:g} after {stations[at]:g} mm"
            )
        if self.finish not in get_args(Finish):
            raise BadInput(f"finish: expected one of {get_args(Finish)}, got {self.finish!r}")
        refuse_gap("gap", self.gap)
        refuse_gap("saw", self.saw)
        object.__setattr__(self, "stations", stations)


@dataclass(frozen=True, eq=False)
class FittedEdge:
    """Hold one edge of a fitted piece; outward coordinates, mm.

    Attributes
    ----------
    finish : str
        As `MeetingSide`, or "straight".
    stations, reach : array (k,)
        The wall (mean) at the stations that the edge really runs along: not in a notch, not past a
        corner. Where the piece begins and ends the wall is interpolated.
    final : float
        The straight line that the finished edge must have; see the module.
    gap : float
        Gap used: of a net edge everywhere, of a covered one at the wall's nearest place.
    allowance : Allowance or None
        Of a scribed edge.
    blank : float
        The straight line that the blank is cut to.
    scribe : Scribe or None
        Of a scribed edge: what is planed off the blank.
    sd : array (k,) or None
        Of a scribed edge: one standard deviation of what is planed off at each station.
    """

    finish: str
    stations: FloatArray
    reach: FloatArray
    final: float
    gap: float
    allowance: Allowance | None
    blank: float
    scribe: Scribe | None
    sd: FloatArray | None = None

    @property
    def wood(self) -> FloatArray:
        """Where the finished wood ends at the stations (k,), outward, mm."""
        if self.finish == "net":
            return self.reach - self.gap
        return self.reach if self.finish == "scribed" else np.full(self.reach.size, self.final)


def refuse_gap(what: str, gap: float) -> None:
    """Refuse a gap, or wood for the saw, that no edge has."""
    if not (isfinite(gap) and 0 <= gap <= LARGEST):
        raise BadInput(f"{what}: expected 0 mm or more, got {gap}")


def wall_line(name: Side, side: StraightSide | MeetingSide) -> SideLine:
    """Give the line of the wall itself (mean), or of a straight side.

    >>> wall_line("left", StraightSide(-450.0)).outward.tolist()
    [450.0, 450.0]
    """
    if isinstance(side, MeetingSide):
        return SideLine(name, side.stations, side.reach.mean)
    return _level(name, float(split_at(name, np.full((1, 2), side.at))[1][0]))


def line_asked_for(name: Side, side: StraightSide | MeetingSide, at: FloatArray) -> SideLine:
    """Give the line where the wood would end if the room were known.

    `at` is where along the edge runs (k,); the wall is taken there.
    """
    if isinstance(side, StraightSide) or side.finish == "scribed":
        return wall_line(name, side)
    if side.finish == "net":
        return SideLine(name, side.stations, side.reach.mean - side.gap)
    reach = np.interp(at, side.stations, side.reach.mean)
    return _level(name, float(reach.max() if side.finish == "let in" else reach.min() - side.gap))


def fitted_edge(
    name: Side, side: StraightSide | MeetingSide, at: FloatArray, confidence: float
) -> FittedEdge:
    """Say where an edge ends, finished and as a blank.

    Parameters
    ----------
    name : Side
    side : StraightSide or MeetingSide
    at : array (k,)
        Where along the edge runs (mm), at least one place.
    confidence : float
        Chance, between 0 and 1, that this edge fits; see `fitting.allowance.share`.

    Returns
    -------
    FittedEdge

    Examples
    --------
    A wall 4 mm farther at one end, cut net with a gap of 2 mm:

    >>> wall = Joint([600.0, 604.0], np.eye(2))
    >>> at = np.array([-500.0, 0.0])
    >>> net = fitted_edge("right", MeetingSide(at, wall, "net", gap=2.0), at, 0.99)
    >>> round(net.gap, 1), round(net.final, 1), round(net.blank, 1)
    (2.0, 598.0, 602.0)
    """
    if isinstance(side, StraightSide):
        line = wall_line(name, side)
        outward = float(line.outward[0])
        return FittedEdge("straight", at, np.full(at.size, outward), outward, 0.0, None, outward, None)
    reach = _interpolated(side, at)
    nearest = final_reach(at, reach.mean)
    if side.finish == "scribed":
        left_on = allowance(Joint(reach.mean - nearest, reach.covariance), confidence, side.saw)
        blank = nearest + left_on.total
        planed = scribe(at, reach.mean, nearest, blank)
        return FittedEdge("scribed", at, reach.mean, nearest, 0.0, left_on, blank, planed, reach.sd)
    final, gap, blank = _straight_ends(side, reach, nearest, confidence)
    return FittedEdge(side.finish, at, reach.mean, final, gap, None, blank, None)


def finished_line(name: Side, side: StraightSide | MeetingSide, edge: FittedEdge) -> SideLine:
    """Give the line where the finished wood ends."""
    if isinstance(side, StraightSide) or side.finish == "scribed":
        return wall_line(name, side)
    if side.finish == "net":
        return SideLine(name, side.stations, side.reach.mean - edge.gap)
    return _level(name, edge.final)


def _straight_ends(
    side: MeetingSide, reach: Joint, nearest: float, confidence: float
) -> tuple[float, float, float]:
    """Give the final line, the gap used and the blank's line of an edge that is not scribed."""
    if side.finish == "let in":
        final = max(farthest(reach, confidence), float(reach.mean.max()))
        return final, 0.0, final
    if side.finish == "covered":
        return nearest - side.gap, side.gap, nearest - side.gap
    return nearest - side.gap, side.gap, float(reach.mean.max()) - side.gap


def _interpolated(side: MeetingSide, at: FloatArray) -> Joint:
    """Give the wall at other places: straight between stations, level past the last."""
    stations = side.stations
    place = np.clip(at, stations[0], stations[-1])
    after = np.clip(np.searchsorted(stations, place), 1, stations.size - 1)
    part = (place - stations[after - 1]) / (stations[after] - stations[after - 1])
    weights = np.zeros((at.size, stations.size))
    rows = np.arange(at.size)
    weights[rows, after - 1] = 1 - part
    weights[rows, after] = part
    covariance = weights @ side.reach.covariance @ weights.T
    return Joint(weights @ side.reach.mean, (covariance + covariance.T) / 2)


def _level(name: Side, outward: float) -> SideLine:
    return SideLine(name, np.array([-FAR, FAR]), np.array([outward, outward]))

"""The finished outline of a flat piece, the blank to cut for it, and its notches.

One module for tops seen from above, and for panels and fillers seen on their show face. Frame of the
piece: x right, y to the back (panel, filler: up), mm, origin at the piece's datum. Sides, and the
coordinates *along* and *outward* that they are given in: see `fitting.notch`.

Where the wood ends on each side, and why: see `fitting.edge`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
import shapely  # type: ignore[import-untyped]
from numpy.typing import NDArray
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry  # type: ignore[import-untyped]

from fitting.allowance import share
from fitting.edge import (
    SAME_STATION,
    FittedEdge,
    MeetingSide,
    StraightSide,
    finished_line,
    fitted_edge,
    line_asked_for,
    wall_line,
)
from fitting.errors import BadInput
from fitting.notch import (
    FAR,
    GRID,
    ON_LINE,
    REACHES_IN,
    SIDES,
    SKIN,
    Hole,
    Notch,
    Obstacle,
    Pocket,
    Side,
    SideLine,
    checked_place,
    cutter,
    edges_of,
    pockets,
    polygons_of,
    ring_of,
    split_at,
)

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.intp]

BEYOND_STATIONS: Final = 1.0
"""mm by which a piece may go past the last station before it is remarked."""
OFFCUT: Final = 1.0
"""mm2; what obstacles cut off is not mentioned below this."""
SHORT: Final = 0.5
"""mm; an edge shorter than this is dropped where the outline stays within `FLAT`."""
FLAT: Final = 0.05
"""mm; how far dropping a short edge may move the outline: an eighth of 1/64 in."""


@dataclass(frozen=True)
class Remark:
    """Something that a person should know about an outline.

    `kind` and what `amount` then is:

    - "nothing left": walls or obstacles leave no piece; 0.
    - "cut off": obstacles part the piece and only the largest part is kept; mm2 of one part cut off.
    - "hole": an obstacle lies wholly inside; mm2. Whether the piece can go in over it is not asked.
    - "thin": wood less than 3.2 mm wide stays between notches, holes or edges; its mm2.
    - "clear": the piece passes an obstacle without a notch; mm of room left beyond its clearance.
    - "past the stations": the edge goes beyond the wall's last station; by mm.
    - "no edge": nothing of a side is left; 0. Its numbers are then for all of its stations.
    """

    kind: Literal["nothing left", "cut off", "hole", "thin", "clear", "past the stations", "no edge"]
    about: str
    amount: float


@dataclass(frozen=True, eq=False)
class FittedOutline:
    """Hold a fitted piece.

    Attributes
    ----------
    outline : array (n, 2)
        Finished outline, mm, counter-clockwise, the first corner not repeated; it begins at the corner
        farthest to the front, of several the one farthest to the left. Empty where nothing is left.
    blank : array (m, 2)
        To be cut first, likewise.
    edges : mapping of Side to FittedEdge
    notches : tuple[Notch, ...]
        In order along the outline.
    holes : tuple[Hole, ...]
        Not part of `outline`.
    cut_off : tuple of arrays (k, 2)
        Finished parts that obstacles part from the piece.
    remarks : tuple[Remark, ...]
    obstacles : tuple[Obstacle, ...]
        All that it was fitted around.
    """

    outline: FloatArray
    blank: FloatArray
    edges: Mapping[Side, FittedEdge]
    notches: tuple[Notch, ...] = ()
    holes: tuple[Hole, ...] = ()
    cut_off: tuple[FloatArray, ...] = ()
    remarks: tuple[Remark, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()


def fit_outline(
    left: StraightSide | MeetingSide,
    right: StraightSide | MeetingSide,
    front: StraightSide | MeetingSide,
    back: StraightSide | MeetingSide,
    obstacles: Sequence[Obstacle] = (),
    *,
    confidence: float = 0.99,
) -> FittedOutline:
    """Give the finished outline of a flat piece, its blank, edges and notches.

    Parameters
    ----------
    left, right, front, back : StraightSide or MeetingSide
        Of a panel or filler front is the bottom and back the top.
    obstacles : sequence of Obstacle
    confidence : float
        Chance, between 0 and 1, wanted for all edges of the piece together.

    Returns
    -------
    FittedOutline

    Raises
    ------
    BadInput

    Notes
    -----
    What an edge runs along depends on the other edges and on the notches; it is taken from the piece
    with the gaps asked for, before the unknown is added to them.

    Examples
    --------
    A top 900 x 560, front and left end straight, its right end against a wall that runs off by 6 mm:

    >>> from fitting.joint import Joint
    >>> wall = Joint([900.0, 906.0], np.zeros((2, 2)))
    >>> right = MeetingSide(np.array([-560.0, 0.0]), wall, "scribed", saw=2)
    >>> left, front, back = StraightSide(0), StraightSide(-560), StraightSide(0)
    >>> top = fit_outline(left, right, front, back)
    >>> top.outline.tolist()
    [[0.0, -560.0], [900.0, -560.0], [906.0, 0.0], [0.0, 0.0]]
    >>> top.blank.tolist()
    [[0.0, -560.0], [908.0, -560.0], [908.0, 0.0], [0.0, 0.0]]
    >>> top.edges["right"].final, top.edges["right"].scribe.depth.tolist()
    (900.0, [8.0, 2.0])

    A door casing at the front right, 3 mm kept clear:

    >>> casing = np.array([[880, -570], [910, -570], [910, -500], [880, -500]])
    >>> top = fit_outline(left, right, front, back, [Obstacle("casing", casing, 3)])
    >>> top.notches[0].opens, top.notches[0].corners.round(3).tolist()
    (('right', 'front'), [[877.0, -560.0], [877.0, -497.0], [900.675, -497.0]])
    """
    sides = dict(zip(SIDES, (left, right, front, back), strict=True))
    _refuse_bad_sides(sides)
    meeting = sum(isinstance(side, MeetingSide) for side in sides.values())
    each = share(confidence, max(meeting, 1))
    runs = _runs_along(sides, obstacles)
    edges = {name: fitted_edge(name, sides[name], at, each) for name, at in runs.items()}
    lines = {name: finished_line(name, sides[name], edges[name]) for name in SIDES}
    cut = _cut(lines, obstacles)
    remarks = (*_remarks(cut), *_past_the_stations(sides, runs))
    if not cut.parts:
        nothing = np.zeros((0, 2))
        return FittedOutline(nothing, nothing, edges, remarks=remarks, obstacles=tuple(obstacles))
    outline, labels = _tidy(*_labelled(cut))
    holes = tuple(Hole(p.obstacles, p.clearance, ring_of(p.shape)) for p in cut.pockets if not p.opens)
    cut_off = tuple(ring_of(part) for part in cut.parts[1:])
    notches = _notches(cut, outline, labels)
    blank = _blank(cut, edges)
    return FittedOutline(outline, blank, edges, notches, holes, cut_off, remarks, tuple(obstacles))


def _refuse_bad_sides(sides: Mapping[Side, StraightSide | MeetingSide]) -> None:
    for name, side in sides.items():
        if isinstance(side, StraightSide):
            checked_place(f"{name} side", [side.at])
        elif not isinstance(side, MeetingSide):
            raise BadInput(f"{name} side: expected a StraightSide or MeetingSide, got {side!r}")


@dataclass(frozen=True, eq=False)
class _Cut:
    """A piece between its side lines, less what obstacles take out of it; largest part first."""

    lines: Mapping[Side, SideLine]
    piece: Polygon
    cutters: list[BaseGeometry]
    pockets: tuple[Pocket, ...]
    parts: list[Polygon]
    clear: dict[str, float]


def _cut(lines: Mapping[Side, SideLine], obstacles: Sequence[Obstacle]) -> _Cut:
    """Cut a piece out between its side lines and around the obstacles."""
    solids = shapely.union_all([line.solid() for line in lines.values()])
    everywhere = box(-FAR / 2, -FAR / 2, FAR / 2, FAR / 2)
    between = polygons_of(shapely.difference(everywhere, solids, grid_size=GRID))
    if not between:
        return _Cut(lines, Polygon(), [], (), [], {})
    piece, cutters, in_the_way, clear = between[0], [], [], {}
    inside = piece.buffer(-REACHES_IN, join_style="mitre")
    for obstacle in obstacles:
        room = float(inside.distance(obstacle.shape()))
        if room > 0:
            clear[obstacle.name] = max(room - REACHES_IN, 0.0)
        else:
            cutters.append(cutter(obstacle, lines.values()))
            in_the_way.append(obstacle)
    left_over = polygons_of(shapely.difference(piece, shapely.union_all(cutters), grid_size=GRID))
    parts = [part for part in left_over if part.area > OFFCUT]
    taken = pockets(piece, in_the_way, cutters, lines.values())
    return _Cut(lines, piece, cutters, taken, parts, clear)


def _runs_along(
    sides: Mapping[Side, StraightSide | MeetingSide], obstacles: Sequence[Obstacle]
) -> dict[Side, FloatArray]:
    """Find where each edge really runs: the wall's stations there, and where it begins and ends."""
    walls = _cut({name: wall_line(name, side) for name, side in sides.items()}, obstacles)
    rough = {name: _stations_of(walls, name, side) for name, side in sides.items()}
    asked = _cut({name: line_asked_for(name, side, rough[name]) for name, side in sides.items()}, obstacles)
    return {name: _stations_of(asked, name, side) for name, side in sides.items()}


def _stations_of(cut: _Cut, name: Side, side: StraightSide | MeetingSide) -> FloatArray:
    """Give the places along an edge; all stations where nothing of the edge is left."""
    line = cut.lines[name]
    stations = side.stations if isinstance(side, MeetingSide) else np.zeros(0)
    found = [np.zeros(0)]
    for ring in map(ring_of, cut.parts[:1]):
        starts, ends = edges_of(ring)
        on = line.holds(starts, ends)
        spans = np.sort([split_at(name, starts[on])[0], split_at(name, ends[on])[0]], axis=0)
        for low, high in spans.T:
            within = (stations > low + SAME_STATION) & (stations < high - SAME_STATION)
            found.append(np.array([low, *stations[within], high]))
    places = np.unique(np.concatenate(found))
    if not places.size:
        return stations if stations.size else np.zeros(1)
    apart = np.concatenate([[True], np.diff(places) > SAME_STATION])
    return np.asarray(places[apart])


def _remarks(cut: _Cut) -> Iterator[Remark]:
    if not cut.parts:
        yield Remark("nothing left", "", 0.0)
    for name, room in cut.clear.items():
        yield Remark("clear", name, room)
    for pocket in cut.pockets:
        if not pocket.opens:
            yield Remark("hole", _names([pocket]), pocket.shape.area)
    for part in cut.parts[1:]:
        by = [p for p in cut.pockets if p.shape.distance(part) <= ON_LINE]
        yield Remark("cut off", _names(by), part.area)
    if cut.parts:
        # Sharp corners come back whole with mitred joins; only what is narrow does not.
        wide = cut.parts[0].buffer(-SKIN / 2, join_style="mitre").buffer(SKIN / 2, join_style="mitre")
        for sliver in polygons_of(cut.parts[0].difference(wide)):
            by = [p for p in cut.pockets if p.shape.distance(sliver) <= ON_LINE]
            if by and sliver.area > SKIN**2:
                yield Remark("thin", _names(by), sliver.area)
        starts, ends = edges_of(ring_of(cut.parts[0]))
        for name, line in cut.lines.items():
            if not line.holds(starts, ends).any():
                yield Remark("no edge", name, 0.0)


def _names(found: Sequence[Pocket]) -> str:
    return " and ".join(name for pocket in found for name in pocket.obstacles)


def _past_the_stations(
    sides: Mapping[Side, StraightSide | MeetingSide], runs: Mapping[Side, FloatArray]
) -> Iterator[Remark]:
    for name, side in sides.items():
        if isinstance(side, MeetingSide):
            low, high = side.stations[0] - runs[name].min(), runs[name].max() - side.stations[-1]
            past = float(max(low, high))
            if past > BEYOND_STATIONS:
                yield Remark("past the stations", name, past)


def _labelled(cut: _Cut) -> tuple[FloatArray, IntArray]:
    """Give the finished ring, and what makes each edge: a pocket (0, 1 ...) or a side (-1, -2 ...)."""
    ring = ring_of(cut.parts[0])
    starts, ends = edges_of(ring)
    on = np.array([line.holds(starts, ends) for line in cut.lines.values()])
    labels = -1 - on.argmax(axis=0)
    free = ~on.any(axis=0)
    if cut.pockets and free.any():
        middles = shapely.points((starts + ends)[free] / 2)
        rims = np.array([pocket.shape.exterior for pocket in cut.pockets])
        labels[free] = shapely.distance(middles[:, None], rims[None, :]).argmin(axis=1)
    return ring, labels


def _tidy(ring: FloatArray, labels: IntArray) -> tuple[FloatArray, IntArray]:
    """Drop corners that are none, then edges of a side too short to cut; begin at the front.

    A corner where one side passes into another or into a notch stays, so do all within a notch.
    """
    ring, labels = _without(ring, labels, 0.0)
    ring, labels = _without(ring, labels, SHORT)
    first = int(np.lexsort((ring[:, 0], ring[:, 1]))[0])
    return np.roll(ring, -first, axis=0), np.roll(labels, -first)


def _without(ring: FloatArray, labels: IntArray, short: float) -> tuple[FloatArray, IntArray]:
    """Drop corners that lie on the straight between their neighbours, or nearly at a short edge."""
    corners, made_by = list(ring), list(labels)
    k = 0
    while k < len(corners) and len(corners) > 3:
        before, here, after = (corners[(k + step) % len(corners)] for step in (-1, 0, 1))
        within = made_by[k - 1] == made_by[k]
        if within and _is_no_corner(before, here, after, short if made_by[k] < 0 else 0.0):
            del corners[k], made_by[k]
            k = max(k - 1, 0)
        else:
            k += 1
    return np.array(corners), np.array(made_by)


def _is_no_corner(before: FloatArray, here: FloatArray, after: FloatArray, short: float) -> bool:
    chord, leg = after - before, here - before
    length = float(np.hypot(*chord))
    if length <= GRID:
        return True
    off = abs(float(chord[0] * leg[1] - chord[1] * leg[0])) / length
    is_short = min(np.hypot(*leg), np.hypot(*(after - here))) < short
    return off <= (FLAT if is_short else GRID)


def _notches(cut: _Cut, ring: FloatArray, labels: IntArray) -> tuple[Notch, ...]:
    """Follow the outline: each run of edges that one pocket makes is a notch."""
    n = len(ring)
    begins = [k for k in range(n) if labels[k] >= 0 and labels[k] != labels[k - 1]]
    found = []
    for begin in begins:
        last = begin
        while labels[(last + 1) % n] == labels[begin] and last + 1 < begin + n:
            last += 1
        pocket = cut.pockets[labels[begin]]
        corners = ring[np.arange(begin, last + 2) % n]
        found.append(Notch(pocket.obstacles, pocket.clearance, pocket.opens, corners))
    return tuple(found)


def _blank(cut: _Cut, edges: Mapping[Side, FittedEdge]) -> FloatArray:
    """Give the straight rectangle that is cut first, with the notches carried on to its edges."""
    finished = cut.parts[0]
    left, front, right, back = finished.bounds
    # Only where nothing of a side is left can the finished piece go past its blank's line.
    whole = box(
        min(left, -edges["left"].blank),
        min(front, -edges["front"].blank),
        max(right, edges["right"].blank),
        max(back, edges["back"].blank),
    )
    parts = polygons_of(shapely.difference(whole, shapely.union_all(cut.cutters), grid_size=GRID))
    ring = ring_of(max(parts, key=lambda part: part.intersection(finished).area))
    return _tidy(ring, np.zeros(len(ring), dtype=np.intp))[0]

"""One line for each thing that can be read: its record, its words, its minutes.

Minutes per reading are common practice, no source; so are the mistakes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from survey.records import (
    Corner,
    CornerAngle,
    CornerSquare,
    Drop,
    Lean,
    LengthReading,
    Position,
    Spot,
    Station,
    StraightedgeCheck,
    Template,
    TemplatePoint,
    ThreeSides,
    TypedAngle,
    TypedLength,
)
from survey.walk.line import Line
from survey.walk.place import Place, room_side
from survey.walk.stand import Height, Stand, Upright

NOT_TAKEN: Final = datetime(1970, 1, 1, tzinfo=UTC)
"""When a reading that is still to be taken was taken: readings have a moment, and this is none."""

# Minutes: common practice, no source.
WIDTH: Final = 0.8
DIAGONAL: Final = 1.2
CROSS: Final = 3.0
GAP: Final = 0.2
EDGE: Final = 0.6
LEAN: Final = 0.5
DROP: Final = 0.4
THREE_SIDES: Final = 2.0
SQUARE: Final = 0.8
TEMPLATE: Final = 5.0
POSITION: Final = 0.5

CROSS_NAME: Final = "A"
LEGS: Final = (4, 3)
"""Legs of a corner by three sides, back wall to side wall: the diagonal is then 5 in a square corner."""
SHORTEST_LEG: Final = 150.0
"""mm; shorter legs tell little of a corner, however shallow the piece is (common practice, no source)."""
CEILING: Final = 2400.0
LINE_OUT: Final = 100.0
"""mm that a laser line stands out of a wall, about, where it runs along a single one."""
CLEAR: Final = 1000.0
"""mm above the floor at which a door's clear opening is read."""


@dataclass(frozen=True)
class Figures:
    """Round figures of a unit, in mm.

    Stations of a check stand `every` so far, the outermost `close` to a corner; the back width is read `out`
    of the corners; diagonals' marks and legs stay `clear` of build-up. `long` and `short` are the edges that
    people carry, `tiny` one that goes into a corner; `reach` is a gauge's leg, `arm` and `blade` a square's.
    """

    every: float
    close: float
    out: float
    clear: float
    long: float
    short: float
    tiny: float
    reach: float
    arm: float
    blade: float
    template: float


MM: Final = Figures(*map(float, (150, 20, 25, 150, 1200, 600, 300, 200, 400, 600, 100)))
INCH: Final = Figures(*(25.4 * inches for inches in (6, 0.75, 1, 6, 48, 24, 12, 8, 16, 24, 4)))


def figures(place: Place) -> Figures:
    """Return the round figures of a job's unit."""
    return INCH if place.step.unit == "in" else MM


def _clear(place: Place, wall: str) -> float:
    """Return how far from its corners a wall is marked: clear of build-up, as far as it is long enough."""
    return min(figures(place).clear, place.handy(place.length(wall) / 4))


def _apart(one: tuple[float, float], other: tuple[float, float], place: Place) -> TypedLength:
    """Return how far two places are apart in the nominal plan; never nothing."""
    return place.typed(max(math.dist(one, other), figures(place).out))


# Lengths


@dataclass(frozen=True)
class Mark:
    """A place on a wall, mm from a corner of it or from a mark."""

    wall: str
    start: str
    along: float

    def spot(self, place: Place) -> Spot:
        """Return it as a record spells it."""
        return Spot(wall=self.wall, along=place.typed(self.along), from_=self.start)

    def point(self, place: Place) -> tuple[float, float]:
        """Return where it is in the nominal plan."""
        return place.point(self.wall, self.start, self.along)


def _length(place: Place, first: Mark | str, second: Mark | str, up: float) -> LengthReading:
    """Return a length between two places, or corners by name."""
    points = [
        end.point(place) if isinstance(end, Mark) else corner_point(place, end) for end in (first, second)
    ]
    return LengthReading(
        id="walk",
        taken=NOT_TAKEN,
        instrument="tape",
        start="two sticks",
        between=tuple(end.spot(place) if isinstance(end, Mark) else end for end in (first, second)),  # type: ignore[arg-type]
        reads=_apart(points[0], points[1], place),
        up=place.typed(up),
    )


def corner_point(place: Place, name: str) -> tuple[float, float]:
    """Return where a corner is in the nominal plan."""
    corner = next(one for one in place.corners if one.name == name)
    if place.walls.index(corner.right_wall) == 0 and len(place.walls) > 1:
        return place.point(corner.left_wall, name, 0.0)
    return place.point(corner.right_wall, name, 0.0)


def width(place: Place, stand: Stand, out: float, words: str, height: Height, again: bool = False) -> Line:
    """Return a width between the walls at both ends, so far out of the back one."""
    left, right = (_end(place, stand, end, out) for end in ("left", "right"))
    return Line(
        f"width {words}, {height.words}" + (", once again" if again else ""),
        stand.wall,
        _length(place, left, right, height.up),
        "shows a slip of the tape or the hand" if again else "how long, and how it tapers to the front",
        "Read it without looking at the first." if again else "Keep the sticks level; do not bend a tape.",
        WIDTH,
        1,
        height.pieces,
        3 if again else 1,
        2 if again else 1,
    )


def _end(place: Place, stand: Stand, end: str, out: float) -> Mark:
    """Return a place on the wall at a stand's end, so far out of the back one."""
    corner = place.corner_at(stand.wall, "left" if end == "left" else "right")
    wall = stand.left if end == "left" else stand.right
    assert corner is not None
    assert wall is not None  # widths and diagonals are asked for between two walls
    return Mark(wall, corner.name, out)


def diagonals(place: Place, stand: Stand, height: Height) -> Iterator[Line]:
    """Give both diagonals between marks clear of the corners."""
    clear = _clear(place, stand.wall)
    for end, other in (("left", "right"), ("right", "left")):
        corner = place.corner_at(stand.wall, "left" if end == "left" else "right")
        assert corner is not None
        behind = Mark(stand.wall, corner.name, clear)
        yield Line(
            f"diagonal from the back at the {end} to the front at the {other}, {height.words}",
            stand.wall,
            _length(place, behind, _end(place, stand, other, height.depth), height.up),
            "how square the corners are",
            "Mark both ends first, clear of the corners.",
            DIAGONAL,
            1,
            height.pieces,
            1,
        )


def wall_to_wall(place: Place, stand: Stand, height: Height) -> Iterator[Line]:
    """Give both diagonals from the corners themselves."""
    for end, other in (("left", "right"), ("right", "left")):
        corner = place.corner_at(stand.wall, "left" if end == "left" else "right")
        assert corner is not None
        yield Line(
            f"diagonal out of the {end} corner to the front at the {other}, {height.words}",
            stand.wall,
            _length(place, corner.name, _end(place, stand, other, height.depth), height.up),
            "how square the corners are, without marks",
            "Look at the corner: compound holds the stick off.",
            DIAGONAL,
            1,
            height.pieces,
            2,
        )


def side_of_room(place: Place, wall: str) -> Line | None:
    """Return the width across a room just out of a wall, from neighbour to neighbour."""
    left, right = place.corner_at(wall, "left"), place.corner_at(wall, "right")
    if left is None or right is None or "outside" in (left.turn, right.turn):
        return None
    out = figures(place).out
    ends = Mark(left.left_wall, left.name, out), Mark(right.right_wall, right.name, out)
    return Line(
        f"length of wall {wall}",
        wall,
        _length(place, ends[0], ends[1], place.height),
        "closes the round of the walls",
        "Keep the sticks level; do not bend a tape.",
        WIDTH,
        1,
    )


def across_room(place: Place, first: Corner, second: Corner) -> Line:
    """Return a diagonal across a room, between marks clear of two corners."""
    ends = tuple(Mark(one.right_wall, one.name, _clear(place, one.right_wall)) for one in (first, second))
    return Line(
        f"diagonal across the room, {first.name} to {second.name}",
        first.right_wall,
        _length(place, ends[0], ends[1], place.height),
        "holds the round of the walls in shape",
        "Mark both ends first, clear of the corners.",
        DIAGONAL,
        1,
        (),
        2,
    )


def clear_opening(place: Place, door: str, wall: str, needs: tuple[str, ...]) -> Line:
    """Return a door's clear opening, its leaf open."""
    reading = LengthReading(
        id="walk",
        taken=NOT_TAKEN,
        start="butted",
        between=(f"{door}:left", f"{door}:right"),
        reads=place.typed(700.0),
        up=place.typed(place.handy(place.floor + CLEAR)),
    )
    return Line(
        f"clear opening of {door}",
        wall,
        reading,
        "whether the pieces get in",
        "Open the leaf; do not take the leaf's own width.",
        WIDTH,
        1,
        needs,
    )


# Corners


def three_sides(
    place: Place, corner: Corner, wall: str, height: Height, depth: float, priority: int = 1
) -> Line:
    """Return a corner by three sides: its legs as long as the pieces are deep."""
    long, short = LEGS
    room = (place.length(w) * short / long for w in (corner.left_wall, corner.right_wall))
    leg = place.handy(min(max(depth, SHORTEST_LEG), *room))
    legs = {wall: place.handy(leg * long / short)}
    left, right = (legs.get(side, leg) for side in (corner.left_wall, corner.right_wall))
    square = (left**2 + right**2 - 2 * left * right * math.cos(room_side(corner))) ** 0.5
    reading = ThreeSides(
        id="walk",
        taken=NOT_TAKEN,
        start="hook",
        corner=corner.name,
        left_leg=place.typed(left),
        right_leg=place.typed(right),
        diagonal=place.typed(square),
        up=place.typed(height.up),
    )
    return Line(
        f"corner {corner.name} by three sides, {height.words}",
        wall,
        reading,
        "how square the corner is",
        "Make the legs as long as the piece is deep, and mark their ends.",
        THREE_SIDES,
        3,
        height.pieces,
        priority,
    )


def by_gauge(place: Place, corner: Corner, wall: str, height: Height) -> Line:
    """Return a corner by a gauge, from the solid side where it is an outside one."""
    degrees = math.degrees(room_side(corner))
    reading = CornerAngle(
        id="walk",
        taken=NOT_TAKEN,
        corner=corner.name,
        reads=TypedAngle(f"{360.0 - degrees if corner.turn == 'outside' else degrees:g}"),
        reach=place.typed(figures(place).reach),
        up=place.typed(height.up),
    )
    mind = "Keep the legs off build-up and bullnose."
    return Line(
        f"corner {corner.name} by a gauge, {height.words}",
        wall,
        reading,
        "how square the corner is",
        mind,
        SQUARE,
        1,
        height.pieces,
    )


def by_square(place: Place, corner: Corner, wall: str, height: Height) -> Line:
    """Return a corner by a framing square that lies on one wall."""
    reading = CornerSquare(
        id="walk",
        taken=NOT_TAKEN,
        corner=corner.name,
        lies_on=wall,
        lying_leg=place.typed(figures(place).arm),
        other_leg=place.typed(figures(place).blade),
        gap=place.typed(0.0),
        gap_at="tip",
        flipped=True,
        up=place.typed(height.up),
    )
    mind = "Flip the square first; keep its heel off the compound."
    return Line(
        f"corner {corner.name} with a framing square, {height.words}",
        wall,
        reading,
        "which way the corner is out",
        mind,
        SQUARE,
        1,
        height.pieces,
        2,
    )


def corner_template(place: Place, corner: Corner, wall: str, height: Height) -> Line:
    """Return a small template cut to the corner: three places on each wall."""
    size, close = figures(place).template, figures(place).close
    x, y = corner_point(place, corner.name)
    points = []
    for side in (corner.left_wall, corner.right_wall):
        for along in (close, size / 2, size):
            right, back = place.point(side, corner.name, along)
            points.append(TemplatePoint(wall=side, right=place.typed(right - x), back=place.typed(back - y)))
    reading = Template(id="walk", taken=NOT_TAKEN, points=tuple(points), up=place.typed(height.up))
    return Line(
        f"small template in corner {corner.name}, {height.words}",
        wall,
        reading,
        "how far build-up fills the corner",
        "Plane it until it touches both walls, then read its edge.",
        TEMPLATE,
        2 * len(points),
        height.pieces,
        2,
    )


# Surfaces


@dataclass(frozen=True)
class Run:
    """A stretch of a wall to be checked, mm from `start`; `at_corners` says whether its ends are corners."""

    wall: str
    start: str
    low: float
    high: float
    at_corners: tuple[bool, bool] = (True, False)


def places_along(place: Place, run: Run) -> tuple[float, ...]:
    """Return where gaps are read: evenly, and close to the corners.

    >>> from survey.quantity import read_step
    >>> mm = Place("wall", "back", ("back",), step=read_step("1 mm"))
    >>> places_along(mm, Run("back", "m", 0.0, 450.0))
    (20.0, 150.0, 300.0, 450.0)
    """
    fig = figures(place)
    first = run.low + fig.close if run.at_corners[0] else run.low
    last = run.high - fig.close if run.at_corners[1] else run.high
    first, last = place.rounded(first), place.rounded(last)
    if last - first < fig.every / 4:
        last = first + fig.every / 2
    between = []
    count = math.floor(first / fig.every) + 1
    while (at := count * fig.every) < last - fig.every / 4:
        if at > first + fig.every / 4:
            between.append(at)
        count += 1
    return (first, *between, last)


def lays(place: Place, stations: Sequence[float]) -> list[tuple[float, tuple[float, ...]]]:
    """Return how edges are laid along stations: each edge's length, and the stations that it covers.

    The first edges are long; each overlaps the one before by two stations or more, and the last is as short
    as it may be.

    >>> from survey.quantity import read_step
    >>> mm = Place("wall", "back", ("back",), step=read_step("1 mm"))
    >>> [(edge, at[0], at[-1]) for edge, at in lays(mm, (20, *range(150, 1500, 150), 1480))]
    [(1200.0, 20, 1200), (600.0, 900, 1480)]
    """
    fig = figures(place)
    laid: list[tuple[float, tuple[float, ...]]] = []
    begin = 0
    while True:
        edge = fig.short if stations[-1] - stations[begin] <= fig.short else fig.long
        covered = [at for at in stations[begin:] if at - stations[begin] <= edge]
        laid.append((edge, tuple(covered)))
        end = begin + len(covered)
        if end >= len(stations):
            return laid
        short = [k for k in range(begin + 1, end - 1) if stations[-1] - stations[k] <= fig.short]
        begin = short[0] if short else max(begin + 1, end - 3)


def _stations(place: Place, at: Sequence[float], gaps: Sequence[float]) -> tuple[Station, ...]:
    return tuple(
        Station(at=place.typed(along), gap=place.typed(gap)) for along, gap in zip(at, gaps, strict=True)
    )


def _touching(at: Sequence[float]) -> tuple[float, ...]:
    """Return the gaps of a flat wall."""
    return (0.0,) * len(at)


def edge_checks(place: Place, run: Run, height: Height) -> Iterator[Line]:
    """Give checks with edges that overlap where the wall is longer than the longest."""
    for number, (edge, at) in enumerate(lays(place, places_along(place, run))):
        yield edge_check(place, run.wall, run.start, edge, at, height, overlapping=number > 0)


def edge_check(
    place: Place,
    wall: str,
    start: str,
    edge: float,
    at: Sequence[float],
    height: Height,
    overlapping: bool = False,
    words: str = "",
) -> Line:
    """Return one check with an edge held level against a wall."""
    reading = StraightedgeCheck(
        id="walk",
        taken=NOT_TAKEN,
        wall=wall,
        from_=start,
        up=place.typed(height.up),
        stations=_stations(place, at, _touching(at)),
        edge_length=place.typed(edge),
    )
    at_words = words or f"from {place.say(at[0])} to {place.say(at[-1])}"
    return Line(
        f"{place.say(edge)} edge on wall {wall}, {height.words}, {at_words}",
        wall,
        reading,
        "humps and hollows to scribe to" if not overlapping else "ties the checks of this wall together",
        "Do not press the edge against the wall."
        if not overlapping
        else "Overlap at the same marks as before.",
        EDGE + GAP * len(at),
        len(at),
        height.pieces,
        2 if words else 1,
    )


def line_offsets(
    place: Place, run: Run, height: Height, crossing: tuple[float, float] | None, setting: bool
) -> Line:
    """Return offsets to a wall from a laser line; of a cross at `crossing` in the plan, if it is one."""
    at = places_along(place, run)
    gaps = [LINE_OUT if crossing is None else _from_cross(place, run, along, crossing) for along in at]
    reading = StraightedgeCheck(
        id="walk",
        taken=NOT_TAKEN,
        instrument="line laser",
        wall=run.wall,
        from_=run.start,
        up=place.typed(height.up),
        stations=_stations(place, at, gaps),
        cross=None if crossing is None else CROSS_NAME,
    )
    return Line(
        f"offsets from the laser line to wall {run.wall}, {height.words}",
        run.wall,
        reading,
        "humps, hollows and corners at once" if crossing else "humps and hollows to scribe to",
        "Read to the middle of the line."
        + ("" if setting or crossing is None else " Do not move the laser."),
        GAP * len(at) + (CROSS if setting else 0.0),
        len(at),
        height.pieces,
    )


def _from_cross(place: Place, run: Run, along: float, crossing: tuple[float, float]) -> float:
    """Return how far the line that runs along a wall stands out of it, square to it."""
    x, y = place.point(run.wall, run.start, along)
    nx, ny = place.normal(run.wall)
    mx, my = (math.copysign(1.0, nx), 0.0) if abs(nx) > abs(ny) else (0.0, math.copysign(1.0, ny))
    return max(((crossing[0] - x) * mx + (crossing[1] - y) * my) / (nx * mx + ny * my), 0.0)


def plumb_checks(place: Place, upright: Upright) -> Iterator[Line]:
    """Give checks with an edge held plumb, for what is scribed up a wall."""
    run = Run(upright.wall, upright.start, upright.low, upright.high, (False, False))
    for edge, at in lays(place, places_along(place, run)):
        reading = StraightedgeCheck(
            id="walk",
            taken=NOT_TAKEN,
            wall=upright.wall,
            run="plumb",
            from_=upright.start,
            along=place.typed(upright.along),
            stations=_stations(place, at, _touching(at)),
            edge_length=place.typed(edge),
        )
        yield Line(
            f"{place.say(edge)} edge upright on wall {upright.wall} {upright.words}, from {place.say(at[0])}",
            upright.wall,
            reading,
            "humps and hollows up the wall",
            "Do not press the edge against the wall.",
            EDGE + GAP * len(at),
            len(at),
            upright.pieces,
        )


def lean(place: Place, upright: Upright, side: bool = False, priority: int = 1) -> Line:
    """Return a lean of a wall between two heights."""
    reading = Lean(
        id="walk",
        taken=NOT_TAKEN,
        wall=upright.wall,
        along=place.typed(upright.along),
        from_=upright.start,
        low=place.typed(upright.low),
        high=place.typed(upright.high),
        offset=place.typed(0.0),
    )
    return Line(
        f"lean of wall {upright.wall} {upright.words}",
        upright.wall,
        reading,
        "how the filler tapers" if side else "how much to shim",
        "Take it at the face line, not at the back."
        if side
        else "Mind the sign: in means that the top comes toward you.",
        LEAN,
        1,
        upright.pieces,
        priority,
    )


def drop(
    place: Place, stand: Stand, along: float, out: float, words: str, needs: tuple[str, ...], up: bool = False
) -> Line:
    """Return a drop from the level line to the floor, or up from it to the ceiling."""
    line = place.level_line
    reads = place.floor + CEILING - line if up else line - place.floor
    reading = Drop(
        id="walk",
        taken=NOT_TAKEN,
        start="butted",
        to="ceiling" if up else "floor",
        wall=stand.wall,
        along=place.typed(along),
        from_=stand.start,
        out=place.typed(out),
        reads=place.typed(reads),
    )
    return Line(
        f"level line {'up to the ceiling' if up else 'down to the floor'}, {words}",
        stand.wall,
        reading,
        "whether it stands up under the ceiling" if up else "how the floor runs under it",
        "Hold the tape plumb." if up else "Say so if tile is still to come.",
        DROP,
        1,
        needs,
    )


def position(
    place: Place,
    of: str,
    wall: str,
    words: str,
    along: float,
    up: float,
    read_up: bool,
    mistake: str,
    needs: tuple[str, ...],
    why: str,
) -> Line | None:
    """Return where a thing is, and how high where `read_up`; nothing where nothing is counted from."""
    start = place.start(wall)
    if start is None or start == of.partition(":")[0]:
        return None
    reading = Position(
        id="walk",
        taken=NOT_TAKEN,
        start="hook",
        of=of,
        along=place.typed(along),
        from_=start,
        up=place.typed(up),
    )
    numbers = 2 if read_up else 1
    return Line(words, wall, reading, why, mistake, POSITION, numbers, needs)

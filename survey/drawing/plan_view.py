"""The room from above with one reading in it: where to hold the tape, the edge or the square.

The picture's frame is the plan's: x to the right, y to the back wall, which is on top, millimetres.
Nothing is turned or mirrored. Walls are drawn as the readings make them, only where pieces meet them;
their hatched side is not the room.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import LaidOut
from survey.drawing.layout import layout
from survey.drawing.piece_words import plain, printable, typeset
from survey.drawing.primitives import (
    Anchor,
    Arrows,
    Circle,
    Drawable,
    Drawing,
    HatchedRing,
    Layer,
    Polyline,
    Role,
    Text,
)
from survey.quantity import read_step, write_length
from survey.report.structs import FitReport, NextReading, SurfaceReport

SHEET: Final = (100.0, 160.0)
"""Paper mm; about one and a half phones wide, so that letters stay legible there."""
MARGIN: Final = 4.0
"""Around all that is drawn, paper mm."""
SCALES: Final = (4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300)
"""Finer than ISO 5455, for larger pictures: nobody measures on them."""
LETTERS: Final = 3.5
"""Capital height of words, paper mm (a nominal size of ISO 3098)."""
SHORT_LINE: Final = 30
"""Letters of a line of words beside the reading."""
THICK: Final = 0.035
"""Width of the hatching behind a wall, in sizes of the room."""
CLEAR: Final = 0.05
"""How far from its wall what lies along it is drawn, in sizes of the room."""
AWAY: Final = 7.0
"""How far right or left, and up or down, words stand from what they are about, paper mm."""
LEAST_SHARE: Final = 0.8
"""Twice the share of a direction, along x or y, from which on it counts there."""
MEET: Final = 30.0
"""mm: ends of walls that are this near make a corner; what is this near to a wall lies along it."""


def reading_picture(report: FitReport, reading: NextReading) -> LaidOut:
    """Lay out the picture of a reading on its own sheet, legible on a phone.

    Raises
    ------
    DrawingError
        As `reading_drawing`, or the room fits the sheet at no scale.
    """
    return layout(reading_drawing(report, reading), SHEET, scales=SCALES).trimmed(MARGIN)


def reading_drawing(report: FitReport, reading: NextReading) -> Drawing:
    """Draw the room's walls, named, and the reading in it with its name and height.

    A tape is a line with arrows from end to end; what lies along a wall is drawn a little off it, with
    lines from its ends to the places on the wall; a corner is drawn with its legs; a lean is a ring at its
    place. A reading that the report gives no place is named at its wall.

    Raises
    ------
    DrawingError
        The report knows no walls.

    Examples
    --------
    >>> from survey.report.structs import RoomReport
    >>> back = SurfaceReport("back", 900.0, ((0.0, 0.0), (1000.0, 0.0)), ())
    >>> report = FitReport("scribefit fit report", 1, "Bath", "mm", "1 mm", 0.99, "0" * 64,
    ...                    RoomReport(surfaces=(back,)), (), ())
    >>> tape = NextReading("width", "", 1.0, line=((0.0, -9.0), (1000.0, -400.0)), up_mm=900.0)
    >>> [one.text for one in reading_drawing(report, tape).items if isinstance(one, Text)]
    ['wall back', 'width\\n900 mm up', 'seen from above']
    """
    plan = _plan(report, reading)
    items = [*plan.walls(), *_reading(plan, reading), *plan.names()]
    told = "\n".join(_words(report, reading))
    items.append(_said_at(_pointed_at(plan, reading), told, plan))
    below = Box.around([p for one in items if isinstance(one, Polyline) for p in one.points])
    items.append(Text((below.middle[0], below.bottom), "seen from above", 2.5, Anchor.TOP, shift=(0.0, -5.0)))
    return Drawing(tuple(items), printable(plain(reading.name)))


@dataclass(frozen=True)
class _Wall:
    name: str
    points: tuple[Point, ...]

    @property
    def along(self) -> Point:
        """The unit vector from its left end to its right end, facing it."""
        (x, y), (to_x, to_y) = self.points[0], self.points[-1]
        size = math.hypot(to_x - x, to_y - y)
        return (to_x - x) / size, (to_y - y) / size

    @property
    def inward(self) -> Point:
        """The unit vector into the room: facing the wall, to oneself."""
        return self.along[1], -self.along[0]

    @property
    def middle(self) -> Point:
        """Halfway along it."""
        return _halfway(self.points[0], self.points[-1])

    def out(self, point: Point) -> float:
        """Return how far (mm) a point is out of the wall, into the room."""
        x, y = self.points[0]
        return (point[0] - x) * self.inward[0] + (point[1] - y) * self.inward[1]


@dataclass(frozen=True)
class _Plan:
    """The walls at the height of a reading, each from left to right."""

    known: tuple[_Wall, ...]

    @cached_property
    def box(self) -> Box:
        """What encloses the walls."""
        return Box.around([point for wall in self.known for point in wall.points])

    @property
    def size(self) -> float:
        """The longer side of that, mm."""
        return max(self.box.width, self.box.height)

    @cached_property
    def chains(self) -> list[list[_Wall]]:
        """The walls in runs that hang together, whatever order they come in."""
        following = {left.name: right for left in self.known for right in self.known if _meet(left, right)}
        follow = {right.name for right in following.values()}
        found: list[list[_Wall]] = []
        taken: set[str] = set()
        # Runs begin at a wall that follows none; what is left then runs around the room.
        for first in sorted(self.known, key=lambda wall: wall.name in follow):
            run: list[_Wall] = []
            wall: _Wall | None = first
            while wall is not None and wall.name not in taken:
                taken.add(wall.name)
                run.append(wall)
                wall = following.get(wall.name)
            found += [run] if run else []
        return found

    @property
    def corners(self) -> Iterator[tuple[str, Point]]:
        """Corners by the names that they have where nobody gave them another."""
        for chain in self.chains:
            for left, right in pairwise(chain):
                yield f"{left.name}-{right.name}", _met(left, right)

    def walls(self) -> Iterator[Drawable]:
        """Draw each run of walls as a heavy line with hatching behind it."""
        for chain in self.chains:
            front = _front(chain)
            back = _shifted(front, chain, -THICK * self.size)
            ring = _line([*front, *reversed(back)], Role.HATCH, closed=True)
            # An inner outline without area: the whole band is hatched.
            nothing = _line([front[0], _halfway(front[0], front[1]), front[1]], Role.HATCH, closed=True)
            yield HatchedRing(ring, nothing)
            yield _line(front, Role.FINISHED)

    def names(self) -> Iterator[Text]:
        """Name each wall behind it, to be read from below or from the right."""
        for wall in self.known:
            (x, y), (in_x, in_y), off = wall.middle, wall.inward, THICK * self.size
            turn = math.atan2(wall.along[1], wall.along[0])
            turn = turn - math.pi if turn > math.pi / 2 + 1e-3 else turn
            turn = turn + math.pi if turn < -math.pi / 2 + 0.1 else turn
            at = (x - off * in_x, y - off * in_y)
            shift = (-3.5 * in_x, -3.5 * in_y)
            yield Text(at, printable(f"wall {wall.name}"), LETTERS, angle=turn, shift=shift)


def _plan(report: FitReport, reading: NextReading) -> _Plan:
    nearest: dict[str, SurfaceReport] = {}
    up = reading.up_mm or 0.0
    for one in report.room.surfaces:
        best = nearest.get(one.wall)
        if best is None or abs(one.up_mm - up) < abs(best.up_mm - up):
            nearest[one.wall] = one
    if not nearest:
        raise DrawingError(f"The room of {report.title!r} has no walls to draw: settle its findings first.")
    return _Plan(tuple(_Wall(one.wall, one.points) for one in nearest.values()))


def _halfway(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _meet(left: _Wall, right: _Wall) -> bool:
    return left is not right and math.dist(left.points[-1], right.points[0]) < MEET


def _met(left: _Wall, right: _Wall) -> Point:
    return _halfway(left.points[-1], right.points[0])


def _front(chain: Sequence[_Wall]) -> list[Point]:
    """Return the face of walls that hang together, as one line."""
    points = list(chain[0].points)
    for left, right in pairwise(chain):
        points[-1] = _met(left, right)
        points += right.points[1:]
    return points


def _shifted(front: Sequence[Point], chain: Sequence[_Wall], by: float) -> list[Point]:
    """Shift a face into the room (behind it where negative), mitred in its corners."""
    normals = [wall.inward for wall in chain for _ in wall.points[1:]]
    before, after = [normals[0], *normals], [*normals, normals[-1]]
    return [_mitred(*three, by) for three in zip(front, before, after, strict=True)]


def _mitred(point: Point, first: Point, second: Point, by: float) -> Point:
    """Shift a point so that it is `by` off two lines through it that have these normals."""
    share = by / (1.0 + first[0] * second[0] + first[1] * second[1])
    return point[0] + share * (first[0] + second[0]), point[1] + share * (first[1] + second[1])


def _line(
    points: Sequence[Point], role: Role, arrows: Arrows = Arrows.NONE, closed: bool = False
) -> Polyline:
    return Polyline(tuple(points), closed=closed, arrows=arrows, role=role, layer=Layer.REFERENCE)


def _reading(plan: _Plan, reading: NextReading) -> Iterator[Drawable]:
    """Draw where a reading lies."""
    clear = CLEAR * plan.size
    match reading.line:
        case (place,):
            yield Circle(place, clear / 2, role=Role.TOUCH, layer=Layer.REFERENCE)
        case (start, end):
            wall = _lies_along(plan, start, end)
            if wall is None:
                yield _line((start, end), Role.TOUCH, Arrows.BOTH)
                return
            off = [(x + clear * wall.inward[0], y + clear * wall.inward[1]) for x, y in (start, end)]
            yield _line(off, Role.TOUCH, Arrows.BOTH)
            yield from (_line((at, to), Role.DIMENSION) for at, to in zip((start, end), off, strict=True))
        case (left, corner, right):
            yield from _corner(left, corner, right, clear, reading.dictation.startswith("three sides"))


def _lies_along(plan: _Plan, start: Point, end: Point) -> _Wall | None:
    near = (one for one in plan.known if max(abs(one.out(start)), abs(one.out(end))) < MEET)
    return next(near, None)


def _corner(left: Point, corner: Point, right: Point, clear: float, across: bool) -> Iterator[Drawable]:
    """Draw a corner's legs a little off the walls, and the third side where there is one."""
    first = _Wall("", (left, corner)).inward
    second = _Wall("", (corner, right)).inward
    legs = (
        _mitred(left, first, first, clear),
        _mitred(corner, first, second, clear),
        _mitred(right, second, second, clear),
    )
    yield _line(legs, Role.TOUCH, Arrows.BOTH)
    yield from (_line(ends, Role.DIMENSION) for ends in ((left, legs[0]), (right, legs[2])))
    if across:
        yield _line((legs[0], legs[2]), Role.TOUCH, Arrows.BOTH)


def _words(report: FitReport, reading: NextReading) -> list[str]:
    """Return the reading's name and height, in short lines."""
    name = plain(printable(reading.name))
    if reading.up_mm is not None:
        up = write_length(reading.up_mm, read_step(report.step))
        name += "" if up in name else f"\n{up} up"
    return [
        typeset(line)
        for part in name.split("\n")
        for line in textwrap.wrap(part, SHORT_LINE, break_on_hyphens=False)
    ]


def _said_at(place: Point, words: str, plan: _Plan) -> Text:
    """Set the words off their place toward the middle of the room, where it is free."""
    x, y = plan.box.middle
    turn = math.atan2(y - place[1], x - place[0]) if math.dist(place, (x, y)) > 1.0 else -math.pi / 2
    right, up = (round(part) for part in (math.cos(turn) / LEAST_SHARE, math.sin(turn) / LEAST_SHARE))
    right, up = max(-1, min(1, right)), max(-1, min(1, up))
    anchor = {
        (1, 1): Anchor.BOTTOM_LEFT,
        (0, 1): Anchor.BOTTOM,
        (-1, 1): Anchor.BOTTOM_RIGHT,
        (1, 0): Anchor.LEFT,
        (-1, 0): Anchor.RIGHT,
        (1, -1): Anchor.TOP_LEFT,
        (0, -1): Anchor.TOP,
        (-1, -1): Anchor.TOP_RIGHT,
    }[right, up]
    return Text(place, words, LETTERS, anchor, shift=(AWAY * right, AWAY * up), leader=True)


def _pointed_at(plan: _Plan, reading: NextReading) -> Point:
    """Return what the words point at: the reading, or the corner or wall that it is about."""
    clear = CLEAR * plan.size
    match reading.line:
        case (place,):
            return place
        case (start, end):
            wall = _lies_along(plan, start, end)
            x, y = _halfway(start, end)
            return (x, y) if wall is None else (x + clear * wall.inward[0], y + clear * wall.inward[1])
        case (left, corner, right):
            first, second = _Wall("", (left, corner)).inward, _Wall("", (corner, right)).inward
            return _mitred(corner, first, second, clear)
    corners = [at for name, at in plan.corners if name in reading.name]
    walls = [wall.middle for wall in plan.known if wall.name == reading.wall]
    return [*corners, *walls, plan.known[0].middle][0]

"""The walls of a room seen from above, as all pictures of the plan share them.

The frame is the plan's: x to the right, y to the back wall, which is on top, millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, groupby, pairwise
from typing import Final

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point
from survey.drawing.piece_words import printable
from survey.drawing.primitives import Arrows, Drawable, HatchedRing, Layer, Polyline, Role, Text
from survey.report.structs import FitReport, SurfaceReport

LETTERS: Final = 3.5
"""Capital height of words, paper mm (a nominal size of ISO 3098)."""
THICK: Final = 0.035
"""Width of the hatching behind a wall, in sizes of the room."""
MEET: Final = 30.0
"""mm: ends of walls that are this near make a corner; what is this near to a wall lies along it."""


@dataclass(frozen=True)
class PlanWall:
    """One wall's face, from its left end to its right end, facing it.

    `record` is the id that a tap on it finds; a wall that is not `is_read` is drawn as assumed; `words` name
    it, in place of `wall` and its name.
    """

    name: str
    points: tuple[Point, ...]
    record: str = ""
    is_read: bool = True
    words: str = ""

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
        return halfway(self.points[0], self.points[-1])

    @cached_property
    def length(self) -> float:
        """Along its face, mm."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))

    def at(self, right: float, out: float = 0.0) -> Point:
        """Return the place so far right of its left end along the face, and so far out of it (mm).

        >>> PlanWall("back", ((0.0, 0.0), (500.0, 0.0), (1000.0, 0.0))).at(700.0, 20.0)
        (700.0, -20.0)
        """
        reached = [0.0, *accumulate(math.dist(a, b) for a, b in pairwise(self.points))]
        number = next((k for k, far in enumerate(reached[1:-1]) if right < far), len(reached) - 2)
        (x, y), (to_x, to_y) = self.points[number], self.points[number + 1]
        size = reached[number + 1] - reached[number]
        share = (right - reached[number]) / size if size else 0.0
        in_x, in_y = self.inward
        return x + share * (to_x - x) + out * in_x, y + share * (to_y - y) + out * in_y

    def out(self, point: Point) -> float:
        """Return how far (mm) a point is out of the wall, into the room."""
        x, y = self.points[0]
        return (point[0] - x) * self.inward[0] + (point[1] - y) * self.inward[1]


@dataclass(frozen=True)
class Plan:
    """The walls at one height, each from left to right."""

    known: tuple[PlanWall, ...]

    @cached_property
    def box(self) -> Box:
        """What encloses the walls."""
        return Box.around([point for wall in self.known for point in wall.points])

    @property
    def size(self) -> float:
        """The longer side of that, mm."""
        return max(self.box.width, self.box.height)

    def wall(self, name: str) -> PlanWall | None:
        """Return a wall by its name."""
        return next((one for one in self.known if one.name == name), None)

    @cached_property
    def chains(self) -> list[list[PlanWall]]:
        """The walls in runs that hang together, whatever order they come in."""
        following = {left.name: right for left in self.known for right in self.known if meet(left, right)}
        follow = {right.name for right in following.values()}
        found: list[list[PlanWall]] = []
        taken: set[str] = set()
        # Runs begin at a wall that follows none; what is left then runs around the room.
        for first in sorted(self.known, key=lambda wall: wall.name in follow):
            run: list[PlanWall] = []
            wall: PlanWall | None = first
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
            for left, right in _neighbours(chain):
                yield f"{left.name}-{right.name}", met(left, right)

    def walls(self) -> Iterator[Drawable]:
        """Draw each run of walls as a heavy line with hatching behind it; dashed where nothing was read."""
        for chain in self.chains:
            faces = _faces(chain)
            front = _joined(faces)
            back = _shifted(front, chain, -THICK * self.size)
            ring = line_along([*front, *reversed(back)], Role.HATCH, closed=True)
            # An inner outline without area: the whole band is hatched.
            nothing = line_along([front[0], halfway(front[0], front[1]), front[1]], Role.HATCH, closed=True)
            yield HatchedRing(ring, nothing)
            alike = groupby(zip(chain, faces, strict=True), key=lambda pair: pair[0].is_read)
            for is_read, pairs in alike:
                role = Role.FINISHED if is_read else Role.ASSUMED
                yield line_along(_joined([face for _, face in pairs]), role)
            yield from (_to_tap(*pair) for pair in zip(chain, faces, strict=True) if pair[0].record)

    def names(self) -> Iterator[Text]:
        """Name each wall behind it, to be read from below or from the right."""
        for wall in self.known:
            (x, y), (in_x, in_y), off = wall.middle, wall.inward, THICK * self.size
            turn = math.atan2(wall.along[1], wall.along[0])
            turn = turn - math.pi if turn > math.pi / 2 + 1e-3 else turn
            turn = turn + math.pi if turn < -math.pi / 2 + 0.1 else turn
            at = (x - off * in_x, y - off * in_y)
            shift = (-3.5 * in_x, -3.5 * in_y)
            words = printable(wall.words or f"wall {wall.name}")
            yield Text(at, words, LETTERS, angle=turn, shift=shift, record=wall.record)


def report_plan(report: FitReport, up: float) -> Plan:
    """Return the walls as the readings make them, at the height worked out that is nearest (mm).

    Raises
    ------
    DrawingError
        The report knows no walls.
    """
    nearest: dict[str, SurfaceReport] = {}
    for one in report.room.surfaces:
        best = nearest.get(one.wall)
        if best is None or abs(one.up_mm - up) < abs(best.up_mm - up):
            nearest[one.wall] = one
    if not nearest:
        raise DrawingError(f"The room of {report.title!r} has no walls to draw: settle its findings first.")
    return Plan(tuple(PlanWall(one.wall, one.points) for one in nearest.values()))


def halfway(a: Point, b: Point) -> Point:
    """Return the point in the middle of two."""
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def meet(left: PlanWall, right: PlanWall) -> bool:
    """Whether one wall's right end and another's left end make a corner."""
    return left is not right and math.dist(left.points[-1], right.points[0]) < MEET


def met(left: PlanWall, right: PlanWall) -> Point:
    """Return the corner of two walls that meet."""
    return halfway(left.points[-1], right.points[0])


def mitred(point: Point, first: Point, second: Point, by: float) -> Point:
    """Shift a point so that it is `by` off two lines through it that have these normals."""
    share = by / (1.0 + first[0] * second[0] + first[1] * second[1])
    return point[0] + share * (first[0] + second[0]), point[1] + share * (first[1] + second[1])


def line_along(
    points: Sequence[Point],
    role: Role,
    arrows: Arrows = Arrows.NONE,
    closed: bool = False,
    record: str = "",
) -> Polyline:
    """Return a line that nobody cuts along."""
    return Polyline(
        tuple(points), closed=closed, arrows=arrows, role=role, layer=Layer.REFERENCE, record=record
    )


def _neighbours(chain: Sequence[PlanWall]) -> Iterator[tuple[PlanWall, PlanWall]]:
    """Give each two walls that meet, the last and the first of a closed room too."""
    yield from pairwise(chain)
    if _is_closed(chain):
        yield chain[-1], chain[0]


def _is_closed(chain: Sequence[PlanWall]) -> bool:
    return len(chain) > 2 and meet(chain[-1], chain[0])


def _faces(chain: Sequence[PlanWall]) -> list[list[Point]]:
    """Return each wall's face, from the corner before it to the one after it."""
    faces = [list(wall.points) for wall in chain]
    corners = {left.name: met(left, right) for left, right in _neighbours(chain)}
    for number, wall in enumerate(chain):
        before = chain[number - 1]
        if before.name in corners and (number or _is_closed(chain)):
            faces[number][0] = corners[before.name]
        if wall.name in corners:
            faces[number][-1] = corners[wall.name]
    return faces


def _joined(faces: Sequence[Sequence[Point]]) -> list[Point]:
    """Return faces that follow one another as one line."""
    return [*faces[0], *(point for face in faces[1:] for point in face[1:])]


def _to_tap(wall: PlanWall, face: Sequence[Point]) -> Polyline:
    """Return a wall's face once more, light and under the heavy line: what a tap finds."""
    return line_along(face, Role.REFERENCE if wall.is_read else Role.ASSUMED, record=wall.record)


def _shifted(front: Sequence[Point], chain: Sequence[PlanWall], by: float) -> list[Point]:
    """Shift a face into the room (behind it where negative), mitred in its corners."""
    normals = [wall.inward for wall in chain for _ in wall.points[1:]]
    first, last = (normals[-1], normals[0]) if _is_closed(chain) else (normals[0], normals[-1])
    before, after = [first, *normals], [*normals, last]
    return [mitred(*three, by) for three in zip(front, before, after, strict=True)]

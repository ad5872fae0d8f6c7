"""Where the tape lies for a reading: a small picture of the place, before anything is read.

Lengths, edges held level and corners are seen from above: x to the right, y to the back wall, which is on
top. What is read upright is seen from the front, a little from the left and above: right along the wall, up,
and what comes out of the wall goes down to the left. Nothing is mirrored. Sizes are nominal; the picture
shows where to hold things, and no values.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Point
from survey.drawing.laid_out import LaidOut
from survey.drawing.layout import layout
from survey.drawing.piece_words import printable
from survey.drawing.plan_walls import Plan, PlanWall, line_along, mitred
from survey.drawing.primitives import Anchor, Arrows, Circle, Drawable, Drawing, Layer, Role, Text
from survey.records import (
    Corner,
    CornerAngle,
    CornerSquare,
    Drop,
    End,
    Feature,
    Lean,
    LengthReading,
    Mark,
    Position,
    Reading,
    Spot,
    StoryStick,
    StraightedgeCheck,
    Survey,
    Template,
    ThreeSides,
    TypedLength,
)
from survey.walk import Place

SCALES: Final = (*range(2, 40), *range(40, 100, 5), *range(100, 400, 20))
"""Finer than any rule's: nobody measures on these, and the picture shall fill its place."""
MARGIN: Final = 1.0
"""Around all that is drawn, paper mm."""
LETTERS: Final = 2.7
"""Capital height, paper mm."""
CLEAR: Final = 0.05
"""How far from its wall what lies along it is drawn, in sizes of the picture."""
REACH: Final = 1.25
"""How far walls go on past what is read on them."""
BEHIND: Final = 0.4
"""What comes out of a wall by 1 goes so far left and down where the wall is seen from the front."""
NEAR: Final = 80.0
"""mm out of a wall up to which a tape counts as lying along it."""
SQUARE: Final = 40.0
"""mm: width of a square's leg, of an edge and of a level, as drawn."""


def reading_view(
    reading: Reading, place: Place, survey: Survey, sheet: tuple[float, float], opened: int = 0
) -> LaidOut:
    """Lay the picture of a reading out on an area of paper (mm).

    Parameters
    ----------
    reading
        As it is going to be put down; values still to be read are nominal.
    opened
        Which of its numbers is being read: the station of a check, the mark of a stick.

    Raises
    ------
    DrawingError
        The reading has no place that can be drawn, or the area is too small for it.
    """
    drawing = reading_view_drawing(reading, place, survey, opened)
    return layout(drawing, sheet, scales=SCALES).trimmed(MARGIN)


def reading_view_drawing(reading: Reading, place: Place, survey: Survey, opened: int = 0) -> Drawing:
    """Draw a reading in its place.

    Raises
    ------
    DrawingError
        The reading has no place that can be drawn.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.walk import place_of
    >>> alcove = ["job V in mm to 1 mm", "room r", "wall a", "wall back", "wall b"]
    >>> alcove += ["corner a and back", "corner back and b"]
    >>> survey = Survey(dictate(alcove, Survey([])))
    >>> (width,) = dictate(["length a-back to back-b up 850 reads 1498"], survey)
    >>> drawing = reading_view_drawing(width, place_of(survey), survey)
    >>> [one.points for one in drawing.items if getattr(one, "role", "") == Role.TOUCH]
    [((0.0, -75.0), (1500.0, -75.0))]
    """
    try:
        items = tuple(_items(reading, place, survey, opened))
    except (KeyError, StopIteration, ValueError) as error:
        raise DrawingError(f"The place of this {type(reading).__name__} is not known: {error}") from error
    if not items:
        raise DrawingError(f"A {type(reading).__name__} has no place that can be drawn.")
    return Drawing(items)


def _items(reading: Reading, place: Place, survey: Survey, opened: int) -> Iterator[Drawable]:
    match reading:
        case LengthReading():
            yield from _length(reading, place, survey)
        case StraightedgeCheck(run="level"):
            yield from _edge(reading, place, opened)
        case StoryStick():
            yield from _stick(reading, place, survey, opened)
        case ThreeSides() | CornerAngle() | CornerSquare():
            yield from _corner(reading, place)
        case Template():
            yield from _template(reading, place, opened)
        case StraightedgeCheck():
            yield from _upright_edge(reading, place, opened)
        case Lean():
            yield from _lean(reading, place)
        case Drop():
            yield from _drop(reading, place)
        case Position():
            yield from _position(reading, place, survey)
        case _:
            return


# From above


def _plan(place: Place, reach: float) -> Plan:
    """Return the walls, the outer ones of an open row no longer than what is read on them."""
    walls = []
    for number, wall in enumerate(place.walls):
        length = place.length(wall)
        low, high = 0.0, length
        if place.kind != "room" and wall != place.back:
            low = max(0.0, length - reach) if number == 0 else low
            high = min(length, reach) if number == len(place.walls) - 1 else high
        walls.append(PlanWall(wall, (place.point(wall, "", low), place.point(wall, "", high))))
    return Plan(tuple(walls))


def _length(reading: LengthReading, place: Place, survey: Survey) -> Iterator[Drawable]:
    outs = [float(end.along.mm) for end in reading.between if isinstance(end, Spot)]
    plan = _plan(place, REACH * max(place.depth, *outs, 0.0))
    start, end = (_place_of_end(one, place, survey) for one in reading.between)
    wall = _lies_along(plan, start, end)
    yield from plan.walls()
    if wall is None:
        yield line_along((start, end), Role.TOUCH, Arrows.BOTH)
    else:
        off = [_off(point, wall, CLEAR * plan.size) for point in (start, end)]
        yield line_along(off, Role.TOUCH, Arrows.BOTH)
        yield from (line_along((at, to), Role.DIMENSION) for at, to in zip((start, end), off, strict=True))
    for one, at in zip(reading.between, (start, end), strict=True):
        if isinstance(one, Spot) and one.along.mm > 0:
            yield _said(at, _typed(one.along), plan.box.middle)
    yield from _names(plan)


def _place_of_end(end: End, place: Place, survey: Survey) -> Point:
    if isinstance(end, Spot):
        return place.point(end.wall, end.from_, float(end.along.mm))
    name, _, edge = end.partition(":")
    corner = next((one for one in place.corners if one.name == name), None)
    if corner is not None:
        return place.point(corner.left_wall, "", place.length(corner.left_wall))
    wall, right = _whereabouts(name, place, survey)
    aside = {"left": -0.12, "right": 0.12}.get(edge, 0.0) * place.length(wall)
    return place.point(wall, "", min(max(right + aside, 0.0), place.length(wall)))


def _whereabouts(name: str, place: Place, survey: Survey) -> tuple[str, float]:
    """Return a thing's wall and how far right on it, as read; the wall's middle where it was not."""
    thing = next(one for one in survey.named[name] if isinstance(one, (Feature, Mark)))
    if thing.wall not in place.walls:
        raise ValueError(f"wall {thing.wall} is no part of the place")
    for read in survey.of(Position):
        if read.of.partition(":")[0] == name and read.along is not None and read.from_ is not None:
            return thing.wall, place.from_left(thing.wall, read.from_, float(read.along.mm))
    return thing.wall, place.length(thing.wall) / 2


def _lies_along(plan: Plan, start: Point, end: Point) -> PlanWall | None:
    def is_near(wall: PlanWall) -> bool:
        return max(abs(wall.out(start)), abs(wall.out(end))) < NEAR

    return next((wall for wall in plan.known if is_near(wall)), None)


def _off(point: Point, wall: PlanWall, by: float) -> Point:
    """Shift a point so that it is so far out of a wall."""
    more = by - wall.out(point)
    return point[0] + more * wall.inward[0], point[1] + more * wall.inward[1]


def _names(plan: Plan) -> Iterator[Text]:
    """Name the walls behind them."""
    for wall in plan.known:
        (x, y), (in_x, in_y), off = wall.middle, wall.inward, 0.035 * plan.size
        turn = math.atan2(wall.along[1], wall.along[0])
        turn = turn - math.pi if turn > math.pi / 2 + 1e-3 else turn
        turn = turn + math.pi if turn < -math.pi / 2 + 0.1 else turn
        shift = (-(LETTERS * 0.5 + 1.0) * in_x, -(LETTERS * 0.5 + 1.0) * in_y)
        yield Text((x - off * in_x, y - off * in_y), printable(wall.name), LETTERS, angle=turn, shift=shift)


def _edge(reading: StraightedgeCheck, place: Place, opened: int) -> Iterator[Drawable]:
    at = [float(station.at.mm) for station in reading.stations]
    plan = _plan(place, max(REACH * max(at), place.depth) if reading.wall != place.back else place.depth)
    wall = plan.wall(reading.wall)
    if wall is None:
        raise ValueError(f"wall {reading.wall} is no part of the place")
    yield from plan.walls()
    points = [place.point(reading.wall, reading.from_, along) for along in at]
    away = 2 * CLEAR * plan.size
    line = [_off(point, wall, away) for point in points]
    if reading.instrument in ("line laser", "string"):
        yield line_along((line[0], line[-1]), Role.CENTRE)
    else:
        thick = [_off(point, wall, away + 0.03 * plan.size) for point in (line[-1], line[0])]
        yield line_along([line[0], line[-1], *thick], Role.REFERENCE, closed=True)
    for number, ends in enumerate(zip(points, line, strict=True)):
        yield line_along(ends, Role.TOUCH if number == opened else Role.DIMENSION)
    yield Circle(points[opened], 0.022 * plan.size, role=Role.TOUCH, layer=Layer.REFERENCE)
    yield _said(line[opened], _typed(reading.stations[opened].at), plan.box.middle)
    yield from _names(plan)


def _stick(reading: StoryStick, place: Place, survey: Survey, opened: int) -> Iterator[Drawable]:
    plan = _plan(place, REACH * place.depth)
    wall = plan.wall(reading.wall)
    if wall is None:
        raise ValueError(f"wall {reading.wall} is no part of the place")
    yield from plan.walls()
    ends = [_place_of_end(end, place, survey) for end in (reading.zero, reading.marks[opened].to)]
    off = [_off(point, wall, 2 * CLEAR * plan.size) for point in ends]
    if off[0] != off[1]:
        yield line_along(off, Role.TOUCH, Arrows.BOTH)
    yield from (line_along((at, to), Role.DIMENSION) for at, to in zip(ends, off, strict=True))
    yield from _names(plan)


def _corner(reading: ThreeSides | CornerAngle | CornerSquare, place: Place) -> Iterator[Drawable]:
    corner = next(one for one in place.corners if one.name == reading.corner)
    legs = _legs(reading, corner)
    at = place.point(corner.left_wall, "", place.length(corner.left_wall))
    if corner.left_wall not in place.walls or (corner.right_wall == place.walls[0] and len(place.walls) > 1):
        at = place.point(corner.right_wall, "", 0.0)
    ends = [_along(at, place, corner, side, leg) for side, leg in zip(("left", "right"), legs, strict=True)]
    far = [
        _along(at, place, corner, side, REACH * leg)
        for side, leg in zip(("left", "right"), legs, strict=True)
    ]
    left, right = PlanWall(corner.left_wall, (far[0], at)), PlanWall(corner.right_wall, (at, far[1]))
    plan = Plan((left, right))
    yield from plan.walls()
    clear = 1.2 * CLEAR * plan.size
    off = [
        mitred(ends[0], left.inward, left.inward, clear),
        mitred(at, left.inward, right.inward, clear),
        mitred(ends[1], right.inward, right.inward, clear),
    ]
    yield line_along(off, Role.TOUCH, Arrows.BOTH)
    yield from (line_along((ends[k], off[2 * k]), Role.DIMENSION) for k in (0, 1))
    if isinstance(reading, ThreeSides):
        yield line_along((off[0], off[2]), Role.TOUCH, Arrows.BOTH)
    if isinstance(reading, CornerSquare):
        tip = ends[1] if reading.lies_on == corner.left_wall else ends[0]
        gap = tip if reading.gap_at == "tip" else at
        yield Circle(gap, clear / 2, role=Role.TOUCH, layer=Layer.REFERENCE)
    yield from _names(plan)


def _legs(reading: ThreeSides | CornerAngle | CornerSquare, corner: Corner) -> tuple[float, float]:
    match reading:
        case ThreeSides():
            legs = (reading.left_leg, reading.right_leg)
        case CornerAngle():
            legs = (reading.reach, reading.reach)
        case CornerSquare(lies_on=wall) if wall == corner.left_wall:
            legs = (reading.lying_leg, reading.other_leg)
        case CornerSquare():
            legs = (reading.other_leg, reading.lying_leg)
    return float(legs[0].mm), float(legs[1].mm)


def _along(at: Point, place: Place, corner: Corner, side: str, by: float) -> Point:
    """Return the place so far along one of a corner's walls."""
    wall = corner.left_wall if side == "left" else corner.right_wall
    in_x, in_y = place.normal(wall)
    right = (-in_y, in_x)
    by = -by if side == "left" else by
    return at[0] + by * right[0], at[1] + by * right[1]


def _template(reading: Template, place: Place, opened: int) -> Iterator[Drawable]:
    corner = next(
        one for one in place.corners if {one.left_wall, one.right_wall} <= {p.wall for p in reading.points}
    )
    x, y = place.point(corner.left_wall, "", place.length(corner.left_wall))
    points = [(x + float(one.right.mm), y + float(one.back.mm)) for one in reading.points]
    size = max(math.dist((x, y), point) for point in points)
    far = [_along((x, y), place, corner, side, 1.4 * size) for side in ("left", "right")]
    plan = Plan((PlanWall(corner.left_wall, (far[0], (x, y))), PlanWall(corner.right_wall, ((x, y), far[1]))))
    yield from plan.walls()
    radius = 0.03 * plan.size
    for number, point in enumerate(points):
        role = Role.TOUCH if number == opened // 2 else Role.REFERENCE
        yield Circle(point, radius, role=role, layer=Layer.REFERENCE)
    yield from _names(plan)


# From the front


@dataclass(frozen=True)
class _Front:
    """A wall seen from the front: its left end at x = 0, heights as they are."""

    place: Place
    wall: str
    low: float
    high: float
    depth: float

    def at(self, right: float, up: float, out: float = 0.0) -> Point:
        """Return the place of the picture for one in the room."""
        return right - BEHIND * out, up - BEHIND * out

    @property
    def length(self) -> float:
        """Along it, mm."""
        return self.place.length(self.wall)

    def right(self, start: str, along: TypedLength) -> float:
        """Return how far right a place on it is."""
        return self.place.from_left(self.wall, start, float(along.mm))

    def drawn(self) -> Iterator[Drawable]:
        """Draw it with the floor before it, the walls beside it, and the level line."""
        floor, length = self.place.floor, self.length
        yield line_along((self.at(0, floor), self.at(length, floor)), Role.FINISHED)
        for end, right in (("left", 0.0), ("right", length)):
            if self.place.beside(self.wall, "left" if end == "left" else "right") is None:
                continue
            yield line_along((self.at(right, floor), self.at(right, self.high)), Role.FINISHED)
            yield line_along((self.at(right, floor), self.at(right, floor, self.depth)), Role.REFERENCE)
        line = self.place.level_line
        if floor < line <= self.high:
            yield line_along((self.at(0, line), self.at(length, line)), Role.CENTRE)
            yield Text(
                self.at(length, line),
                "level line",
                LETTERS,
                Anchor.BOTTOM_RIGHT,
                shift=(-1.0, 1.0),
                movable=False,
            )

    def height(self, right: float, up: float, words: str) -> Text:
        """Say a height beside its place, on the side with more room."""
        is_left = right > self.length / 2
        anchor = Anchor.RIGHT if is_left else Anchor.LEFT
        return Text(self.at(right, up), words, LETTERS, anchor, shift=(-3.0 if is_left else 3.0, 0.0))


def _front(place: Place, wall: str, high: float, depth: float = 0.0) -> _Front:
    if wall not in place.walls:
        raise ValueError(f"wall {wall} is no part of the place")
    top = max(high, place.level_line, place.height)
    return _Front(place, wall, place.floor, top + 0.08 * (top - place.floor), depth or 0.6 * place.depth)


def _upright_edge(reading: StraightedgeCheck, place: Place, opened: int) -> Iterator[Drawable]:
    ups = [float(station.at.mm) for station in reading.stations]
    front = _front(place, reading.wall, max(ups))
    yield from front.drawn()
    right = front.right(reading.from_, reading.along or TypedLength("0", "mm"))
    yield _bar(front, right, min(ups), max(ups))
    for number, up in enumerate(ups):
        ends = (front.at(right - SQUARE, up), front.at(right + SQUARE, up))
        yield line_along(ends, Role.TOUCH if number == opened else Role.DIMENSION)
    yield Circle(front.at(right, ups[opened]), SQUARE, role=Role.TOUCH, layer=Layer.REFERENCE)
    yield front.height(right, ups[opened], f"{_typed(reading.stations[opened].at)} up")


def _bar(front: _Front, right: float, low: float, high: float) -> Drawable:
    half = SQUARE / 2
    corners = ((right - half, low), (right + half, low), (right + half, high), (right - half, high))
    return line_along([front.at(*corner) for corner in corners], Role.REFERENCE, closed=True)


def _lean(reading: Lean, place: Place) -> Iterator[Drawable]:
    low, high = float(reading.low.mm), float(reading.high.mm)
    front = _front(place, reading.wall, high)
    right = front.right(reading.from_, reading.along)
    yield from front.drawn()
    yield _bar(front, right, low, high)
    out = 0.3 * (high - low)
    yield line_along((front.at(right, high), front.at(right, high, out)), Role.TOUCH, Arrows.END)
    yield front.height(right, high, f"{_typed(reading.high)} up")
    yield front.height(right, low, f"{_typed(reading.low)} up")
    yield Text(front.at(right, high, out), "+", LETTERS * 1.3, Anchor.TOP_RIGHT, shift=(-0.5, -0.5))


def _drop(reading: Drop, place: Place) -> Iterator[Drawable]:
    out = float(reading.out.mm)
    end = place.floor if reading.to == "floor" else place.level_line + float(reading.reads.mm)
    front = _front(place, reading.wall, max(end, place.level_line), max(out * REACH, 0.6 * place.depth))
    right = front.right(reading.from_, reading.along)
    yield from front.drawn()
    foot = front.at(right, place.floor, out)
    yield line_along((front.at(right, place.floor), foot), Role.DIMENSION)
    line = front.at(right, place.level_line, out)
    yield line_along((front.at(right, place.level_line), line), Role.DIMENSION)
    yield line_along((line, front.at(right, end, out)), Role.TOUCH, Arrows.BOTH)
    yield _said(foot, f"{_typed(reading.out)} out", (foot[0] + 1.0, foot[1] - 1.0))


def _position(reading: Position, place: Place, survey: Survey) -> Iterator[Drawable]:
    name = reading.of.partition(":")[0]
    wall, right = _whereabouts(name, place, survey)
    up = place.height
    if reading.up is not None:
        up = float(reading.up.mm)
    elif reading.below is not None:
        up = place.level_line - float(reading.below.mm)
    front = _front(place, wall, up)
    start = None
    if reading.along is not None and reading.from_ is not None:
        right = front.right(reading.from_, reading.along)
        is_corner = any(one.name == reading.from_ for one in place.corners)
        start = front.right(reading.from_, TypedLength("0", "mm")) if is_corner else None
    right = min(max(right, 0.0), front.length)
    yield from front.drawn()
    at = front.at(right, up)
    yield Circle(at, SQUARE, role=Role.FINISHED, layer=Layer.REFERENCE)
    if start is not None and abs(start - right) > 1.0:
        yield line_along((front.at(start, up), at), Role.TOUCH, Arrows.BOTH)
    base = place.level_line if reading.below is not None else min(0.0, up)
    if reading.up is not None and place.level_line == 0.0:
        base = 0.0
    if abs(up - base) > 1.0:
        yield line_along((front.at(right, base), at), Role.TOUCH, Arrows.BOTH)
    yield Text(at, printable(name), LETTERS, Anchor.BOTTOM_LEFT, shift=(1.5, 1.5))


# Words


def _typed(length: TypedLength) -> str:
    """Say a place on the tape."""
    shown = length.text.replace("/", "⁄").replace("-", "−")
    mark = {"in": "″", "mm": "", "ft": "′"}.get(length.unit, f" {length.unit}")
    return printable(shown + (mark if shown[-1:].isdigit() else ""))


def _said(at: Point, words: str, toward: Point) -> Text:
    """Set words off a place toward another, where it is free."""
    turn = math.atan2(toward[1] - at[1], toward[0] - at[0])
    right, up = round(math.cos(turn) / 0.8), round(math.sin(turn) / 0.8)
    right, up = max(-1, min(1, right)), max(-1, min(1, up))
    across = {1: "left", 0: "", -1: "right"}[right]
    above = {1: "bottom", 0: "", -1: "top"}[up]
    anchor = Anchor(f"{above} {across}".strip() or "middle")
    return Text(at, printable(words), LETTERS, anchor, shift=(1.6 * right, 1.6 * up))

"""The room from above, to scale, from what is known of it: measured walls in ink, the others in pencil.

The picture's frame is the plan's: x to the right, y to the back wall, which is on top, millimetres.
Nothing is turned or mirrored. On request what is out of true is drawn larger, which the picture says.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Point
from survey.drawing.laid_out import LaidOut
from survey.drawing.layout import layout
from survey.drawing.piece_words import printable
from survey.drawing.plan_view import SCALES
from survey.drawing.plan_walls import LETTERS, Plan, PlanWall, line_along, report_plan
from survey.drawing.primitives import Anchor, Circle, Drawable, Drawing, Layer, Polyline, Role, Text
from survey.quantity import write_length
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
    Piece,
    Position,
    Reading,
    RoughIn,
    Spot,
    StoryStick,
    StraightedgeCheck,
    Stud,
    Survey,
    ThreeSides,
    Top,
    Trim,
    Wall,
)
from survey.report.structs import FitReport
from survey.walk import Place, place_of
from survey.walk.place import depth_of, room_side
from survey.walk.planned import Row, Span, planned, wall_behind
from survey.walk.stand import standing

SHEET: Final = (110.0, 90.0)
"""Paper mm; about as wide as a phone, so that letters stay legible there."""
MARGIN: Final = 2.0
"""Around all that is drawn, paper mm."""
OPEN_WALL: Final = 5 / 3
"""How far a wall of unknown length is drawn out of a corner, in depths of what is planned."""
SURE_DEG: Final = 0.3
"""Standard deviation up to which a corner's angle is worth saying: 3 mm in 600."""
SQUARE_OVER: Final = {"in": 24 * 25.4, "mm": 600.0}
"""Length of the leg over which a corner is said to be out of square, by unit: a framing square's."""
NAMES: Final = 3.0
"""Capital height of what stands in the room, paper mm."""
PIPE: Final = 40.0
"""mm: diameter of what stands out of a wall, where nobody said it; no more than a sign on the plan."""
BEYOND: Final = 60.0
"""mm that an open wall is drawn past the last thing on it."""
LONG_LINE: Final = 52
"""Letters of a line of words below the room."""
STUD: Final = 38.0
"""mm: width of a stud, where nobody said it."""


def room_picture(
    survey: Survey,
    report: FitReport | None,
    exaggerate: float = 1.0,
    sheet: tuple[float, float] = SHEET,
) -> LaidOut:
    """Lay the room out on a sheet of its own (paper mm): a smaller one leaves less room, not smaller letters.

    Raises
    ------
    RecordError
        The survey has no room, or no back wall.
    DrawingError
        The room fits the sheet at no scale.
    """
    return layout(room_drawing(survey, report, exaggerate), sheet, scales=SCALES).trimmed(MARGIN)


def room_drawing(survey: Survey, report: FitReport | None, exaggerate: float = 1.0) -> Drawing:
    """Draw the walls with their names and lengths, what is known on them, pieces, and what is in doubt.

    Parameters
    ----------
    survey
        What was put down.
    report
        Its fit report; without it walls are drawn square, at their nominal places.
    exaggerate
        How many times larger all that is out of true is drawn: out of square, humps and hollows. Pieces are
        left out above 1, because they would not fit such walls.

    Raises
    ------
    RecordError
        The survey has no room, or no back wall.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> alcove = ["job V in mm to 1 mm", "room r", "wall a", "wall back", "wall b"]
    >>> alcove += ["corner a and back", "corner back and b"]
    >>> drawing = room_drawing(Survey(dictate(alcove, Survey([]))), None)
    >>> [one.text for one in drawing.items if isinstance(one, Text)]
    ['a', 'back', 'b', 'seen from above; dashed: not read yet']
    """
    ground = Ground(survey, known_plan(survey, report), place_of(survey))
    if exaggerate != 1.0:
        ground = replace(ground, plan=exaggerated(ground.plan, ground.place, exaggerate))
    # Words that come first find the place that is theirs.
    items = [*ground.plan.walls(), *_corners(ground, report), *_doubted(ground, report)]
    if exaggerate == 1.0:
        items += _pieces(ground)
    items += [*_features(ground), *ground.plan.names()]
    return Drawing((*items, _caption(ground.plan, exaggerate)), "The room from above")


def known_plan(survey: Survey, report: FitReport | None) -> Plan:
    """Return the walls where the readings make them; without a report, square and of nominal lengths.

    Walls that no reading looks at are marked as not read, whatever the report expects of them.

    Raises
    ------
    RecordError
        The survey has no room, or no back wall.
    """
    place = place_of(survey)
    try:
        plan = report_plan(report, place.height) if report is not None else nominal_plan(place)
    except DrawingError:
        plan = nominal_plan(place)
    if {one.name for one in plan.known} != set(place.walls):
        plan = nominal_plan(place)  # the report is of an older survey, with other walls
    ids = {wall.name: wall.id for wall in survey.of(Wall)}
    read = set(walls_read(survey))
    walls = (
        replace(one, record=ids[one.name], is_read=one.name in read, words=_wall_words(place, one.name))
        for one in plan.known
    )
    place_for_all = Ground(survey, Plan(tuple(walls)), place)
    return Plan(tuple(_long_enough(wall, place_for_all) for wall in place_for_all.plan.known))


def _long_enough(wall: PlanWall, ground: Ground) -> PlanWall:
    """Draw an open wall straight on, as far as something on it is known to be, or a piece goes."""
    things: Iterable[Feature | Mark] = (*ground.survey.of(Feature), *ground.survey.of(Mark))
    far = [ground.right(wall.name, thing.name) for thing in things if thing.wall == wall.name]
    far += [end for _, ends in _planned(ground, wall.name) for end in ends]
    reached = [right for right in far if right is not None]
    points = wall.points
    if ground.place.corner_at(wall.name, "right") is None and max(reached, default=0.0) > wall.length:
        points = (*points, wall.at(max(reached) + BEYOND))
    if ground.place.corner_at(wall.name, "left") is None and min(reached, default=0.0) < 0.0:
        points = (wall.at(min(reached) - BEYOND), *points)
    return replace(wall, points=points)


def nominal_plan(place: Place) -> Plan:
    """Return walls straight, at the angles meant, as long as they were read or are usual."""
    walls = []
    for wall in place.walls:
        length = place.length(wall)
        start, end = 0.0, length
        if place.known(wall) is None and wall != place.back:
            shown = min(length, OPEN_WALL * place.depth)
            if place.corner_at(wall, "left") is None:
                start = length - shown
            elif place.corner_at(wall, "right") is None:
                end = shown
        walls.append(PlanWall(wall, (place.point(wall, "", start), place.point(wall, "", end))))
    return Plan(tuple(walls))


def walls_read(survey: Survey) -> Iterator[str]:
    """Give the walls that readings look at, one by one; a length between corners is its wall's."""
    corners = {corner.name: corner for corner in survey.of(Corner)}
    for reading in survey.of(Reading):
        match reading:
            case LengthReading(between=(first, second)):
                yield from _of_length(first, second, corners)
            case ThreeSides() | CornerAngle() | CornerSquare():
                if reading.corner in corners:
                    yield from (corners[reading.corner].left_wall, corners[reading.corner].right_wall)
            case StraightedgeCheck() | Lean():
                yield reading.wall


def _of_length(first: End, second: End, corners: Mapping[str, Corner]) -> Iterator[str]:
    yield from (end.wall for end in (first, second) if isinstance(end, Spot))
    if isinstance(first, str) and isinstance(second, str) and first in corners and second in corners:
        ends = [{corners[name].left_wall, corners[name].right_wall} for name in (first, second)]
        yield from ends[0] & ends[1]


def exaggerated(plan: Plan, place: Place, by: float) -> Plan:
    """Draw all that is out of true so many times larger, about straight walls at the angles meant.

    Each such wall goes through the middle of the true one, and from corner to corner of them.
    """
    lines = {wall.name: _true_line(wall, place) for wall in plan.known}
    walls = []
    for wall in plan.known:
        middle, along = lines[wall.name]
        ends = []
        for end, point in (("left", wall.points[0]), ("right", wall.points[-1])):
            corner = place.corner_at(wall.name, "left" if end == "left" else "right")
            beside = None if corner is None else corner.left_wall if end == "left" else corner.right_wall
            crossing = _crossing((middle, along), lines[beside]) if beside in lines else None
            ends.append(crossing or _foot(point, middle, along))
        walls.append(replace(wall, points=tuple(_grown(wall, ends[0], ends[1], by))))
    return Plan(tuple(walls))


def _true_line(wall: PlanWall, place: Place) -> tuple[Point, Point]:
    """Return the middle of a wall's points and its direction, were it as meant."""
    count = len(wall.points)
    middle = sum(x for x, _ in wall.points) / count, sum(y for _, y in wall.points) / count
    out_x, out_y = place.normal(wall.name)
    return middle, (-out_y, out_x)


def _foot(point: Point, middle: Point, along: Point) -> Point:
    share = (point[0] - middle[0]) * along[0] + (point[1] - middle[1]) * along[1]
    return middle[0] + share * along[0], middle[1] + share * along[1]


def _crossing(one: tuple[Point, Point], other: tuple[Point, Point]) -> Point | None:
    (x, y), (ux, uy) = one
    (to_x, to_y), (vx, vy) = other
    across = ux * vy - uy * vx
    if abs(across) < math.sin(math.radians(5.0)):
        return None  # walls that go on nearly straight cross nowhere near
    share = ((to_x - x) * vy - (to_y - y) * vx) / across
    return x + share * ux, y + share * uy


def _grown(wall: PlanWall, start: Point, end: Point, by: float) -> Iterator[Point]:
    """Give a wall's points, each so many times as far from its place on the true line."""
    gone, before = 0.0, wall.points[0]
    for x, y in wall.points:
        gone += math.dist(before, (x, y))
        before = (x, y)
        share = gone / wall.length
        at = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
        yield at[0] + by * (x - at[0]), at[1] + by * (y - at[1])


@dataclass(frozen=True)
class Ground:
    """Walls and names that things in the picture stand on."""

    survey: Survey
    plan: Plan
    place: Place

    def right(self, wall: str, name: str, known: frozenset[str] = frozenset()) -> float | None:
        """Return how far right of a wall's left end (mm) a corner, mark or feature is; nothing if unread."""
        shown = self.plan.wall(wall)
        if shown is None or name in known:
            return None
        for end, at in (("left", 0.0), ("right", shown.length)):
            corner = self.place.corner_at(wall, "left" if end == "left" else "right")
            if corner is not None and corner.name == name:
                return at
        if self.place.start(wall) == name:
            # A wall without a corner starts at the plan's origin.
            (x, y), (along_x, along_y) = shown.points[0], shown.along
            return -x * along_x - y * along_y
        read = []
        for from_, along in self._read(wall, name):
            start = self.right(wall, from_, known | {name})
            sign = -1.0 if self.place.leftward(wall, from_) else 1.0
            read += [] if start is None else [start + sign * along]
        return sum(read) / len(read) if read else None

    def _read(self, wall: str, name: str) -> Iterator[tuple[str, float]]:
        """Give from where a point was read, and how far from there: by a position, a length or a stick."""
        for position in self.survey.of(Position):
            if position.of == name and position.along is not None and position.from_ is not None:
                yield position.from_, float(position.along.mm)
        ends = self.place.corner_at(wall, "left"), self.place.corner_at(wall, "right")
        corners = {corner.name for corner in ends if corner is not None}
        for length in self.survey.of(LengthReading):
            for start, far in (length.between, length.between[::-1]):
                if isinstance(start, str) and start in corners and far == name:
                    yield start, float(length.reads.mm)
        for stick in self.survey.of(StoryStick):
            for mark in stick.marks if stick.wall == wall else ():
                if mark.to == name and isinstance(stick.zero, str) and stick.zero in corners:
                    yield stick.zero, float(mark.reads.mm)

    def along(self, wall: str, start: str, along: float) -> float | None:
        """Return how far right of a wall's left end a place is that is counted from a start."""
        right = self.right(wall, start)
        if right is None:
            return None
        return right - along if self.place.leftward(wall, start) else right + along

    def at(self, wall: str, start: str, along: float, out: float = 0.0) -> Point | None:
        """Return the place so far along a wall from a start, and so far out of it."""
        shown, right = self.plan.wall(wall), self.along(wall, start, along)
        return None if shown is None or right is None else shown.at(right, out)

    def row(self, wall: str) -> Row:
        """Return a wall as pieces are planned along it."""
        shown, place = self.plan.wall(wall), self.place
        return Row(
            self.survey,
            wall,
            place.back,
            0.0 if place.corner_at(wall, "left") is not None else None,
            shown.length if shown is not None and place.corner_at(wall, "right") is not None else None,
            lambda start, along: self.along(wall, start, along),
            lambda start: place.leftward(wall, start),
        )

    def end(self, end: End) -> Point | None:
        """Return where an end of a length is."""
        if isinstance(end, Spot):
            return self.at(end.wall, end.from_, float(end.along.mm))
        name = end.partition(":")[0]
        walls = (wall.name for wall in self.plan.known)
        return next((at for wall in walls if (at := self.at(wall, name, 0.0)) is not None), None)


def _wall_words(place: Place, wall: str) -> str:
    known = place.known(wall)
    return wall if known is None else f"{wall}, {write_length(known, place.step, style='typeset')}"


def _caption(plan: Plan, by: float) -> Text:
    said = ["seen from above"]
    if by != 1.0:
        said.append(f"what is out of true is drawn {by:g} times as large")
    if not all(wall.is_read for wall in plan.known):
        said.append("dashed: not read yet")
    at = (plan.box.middle[0], plan.box.bottom)
    words = textwrap.fill("; ".join(said), LONG_LINE)
    return Text(at, words, 2.5, Anchor.TOP, shift=(0.0, -4.0))


def _corners(ground: Ground, report: FitReport | None) -> Iterator[Text]:
    """Say how far corners are out of square, where that is known well enough."""
    told = {one.name: one for one in report.room.corners if one.sd_deg <= SURE_DEG} if report else {}
    leg, step = SQUARE_OVER[ground.place.step.unit], ground.place.step
    for corner in ground.place.corners:
        wall = ground.plan.wall(corner.right_wall)
        if corner.name not in told or wall is None:
            continue
        off = math.radians(told[corner.name].angle_deg) - room_side(corner)
        out = leg * math.tan(off)
        amount = write_length(abs(out), step, style="typeset")
        is_square = abs(out) < float(step.mm) / 2
        words = "square" if is_square else f"{amount} {'open' if out > 0 else 'closed'}"
        if not is_square:
            words += f"\nin {write_length(leg, step, style='typeset')}"
        into = _into(ground, corner)
        anchor = Anchor.TOP_LEFT if into[0] > 0 else Anchor.TOP_RIGHT
        yield Text(wall.points[0], words, 2.5, anchor, shift=(3.0 * into[0], 3.0 * into[1]), record=corner.id)


def _into(ground: Ground, corner: Corner) -> Point:
    """Return to which side, right or left and up or down, the room lies from a corner."""
    normals = [ground.place.normal(wall) for wall in (corner.left_wall, corner.right_wall)]
    sign = 1.0 if corner.turn == "inside" else -1.0
    x, y = sum(n[0] for n in normals), sum(n[1] for n in normals)
    return math.copysign(1.0, sign * x), math.copysign(1.0, sign * y)


def _features(ground: Ground) -> Iterator[Drawable]:
    """Draw what is on the walls where readings say that it is."""
    things: Iterable[Feature | Mark] = (*ground.survey.of(Feature), *ground.survey.of(Mark))
    for thing in things:
        wall, right = ground.plan.wall(thing.wall), ground.right(thing.wall, thing.name)
        if wall is None or right is None:
            continue
        match thing:
            case Trim(type="casing"):
                yield _casing(thing, wall, right)
            case Stud():
                width = float(thing.width.mm) if thing.width else STUD
                corners = ((-0.5, 0.0), (0.5, 0.0), (0.5, -1.0), (-0.5, -1.0))
                points = [wall.at(right + width * x, width * y) for x, y in corners]
                yield line_along(points, Role.HIDDEN, closed=True, record=thing.id)
            case RoughIn():
                radius = (float(thing.diameter.mm) if thing.diameter else PIPE) / 2
                out = max(radius, float(thing.stub.mm) if thing.stub else radius)
                centre = wall.at(right, out)
                yield Circle(centre, radius, role=Role.REFERENCE, layer=Layer.REFERENCE, record=thing.id)
            case _:
                points = [wall.at(right, out) for out in (0.0, PIPE)]
                yield line_along(points, Role.REFERENCE, record=thing.id)


def _casing(trim: Trim, wall: PlanWall, right: float) -> Polyline:
    width = float(trim.width.mm) if trim.width else 2 * PIPE
    out = float(trim.projection.mm) if trim.projection else PIPE / 2
    far = right - width if trim.toward == "left" else right + width
    points = [wall.at(right), wall.at(right, out), wall.at(far, out), wall.at(far)]
    return line_along(points, Role.TRIM, closed=True, record=trim.id)


def _pieces(ground: Ground) -> Iterator[Drawable]:
    """Draw what is planned about where it will stand."""
    for wall in ground.plan.known:
        for piece, ends in _planned(ground, wall.name):
            depth = depth_of(piece, ground.survey)
            low, high = max(min(ends), 0.0), min(max(ends), wall.length)
            if depth is None or high - low < 1.0:
                continue
            points = [wall.at(low), wall.at(low, depth), wall.at(high, depth), wall.at(high)]
            yield line_along(points, Role.BLANK, record=piece.id)
            middle = wall.at((low + high) / 2, depth)
            # Before a top's front edge: what stands under it is named behind.
            away = -4.0 if isinstance(piece, Top) else 4.0
            yield Text(middle, printable(piece.name), NAMES, shift=(0.0, away), leader=True, record=piece.id)


def _planned(ground: Ground, wall: str) -> Iterator[tuple[Piece, Span]]:
    """Give the pieces planned at a wall, each with its ends, mm right of the wall's left end."""
    row = ground.row(wall)
    for piece in standing(ground.survey):
        if wall_behind(piece, ground.survey, ground.place.back) == wall:
            span = planned(row, piece)
            if span is not None:
                yield piece, span


def _doubted(ground: Ground, report: FitReport | None) -> Iterator[Drawable]:
    """Draw readings that cannot all be true: one that is named stops the work, of several each is framed."""
    for suspect in report.room.suspects if report else ():
        role = Role.STOP if len(suspect.records) == 1 else Role.CAUTION
        words = "in doubt" if len(suspect.records) == 1 else "one of these"
        for record in suspect.records:
            reading = ground.survey.by_id.get(record)
            points = () if reading is None else _lies(ground, reading)
            if len(points) > 1:
                yield line_along(points, role, record=record)
            if points:
                x = sum(x for x, _ in points) / len(points)
                y = sum(y for _, y in points) / len(points)
                yield Text(
                    (x, y), words, LETTERS - 0.5, shift=(0.0, -5.0), role=role, record=record, leader=True
                )


def _lies(ground: Ground, reading: object) -> tuple[Point, ...]:
    """Return where a reading lies: a tape's ends, an edge's, or one place; nothing where that is unknown."""
    match reading:
        case LengthReading(between=(first, second)):
            found = [ground.end(first), ground.end(second)]
        case ThreeSides() | CornerAngle() | CornerSquare():
            found = [ground.end(reading.corner)]
        case StraightedgeCheck(run="level", stations=stations):
            alongs = (stations[0].at, stations[-1].at)
            found = [ground.at(reading.wall, reading.from_, float(one.mm)) for one in alongs]
        case StraightedgeCheck(along=along) if along is not None:
            found = [ground.at(reading.wall, reading.from_, float(along.mm))]
        case Lean():
            found = [ground.at(reading.wall, reading.from_, float(reading.along.mm))]
        case Drop():
            at = float(reading.along.mm), float(reading.out.mm)
            found = [ground.at(reading.wall, reading.from_, *at)]
        case Position():
            found = [ground.end(reading.of)]
        case _:
            found = []
    return tuple(point for point in found if point is not None)

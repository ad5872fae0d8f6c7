"""One wall from the front, to scale: its outline, what is on it, and the pieces planned over that.

Facing the wall, right is right. Heavy ink is the room, thin ink what was measured, dots of pencil what is
supposed; ticks are the ends of edges and levels that were held, long dashes the pieces. Numbers below are
along from the corner at the left, numbers above from the corner at the right; numbers at the side are
heights, as everywhere above z = 0.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from survey.drawing.elevation import Elevation, Standing, elevation, points_of, standing
from survey.drawing.geometry import Point
from survey.drawing.piece_words import printable
from survey.drawing.primitives import (
    Anchor,
    Axis,
    Drawable,
    Drawing,
    HatchedRing,
    Layer,
    Ordinate,
    Polyline,
    Role,
    Side,
    Text,
)
from survey.drawing.wall_things import Drawn, drawn, line, reaches, rectangle
from survey.quantity import write_length
from survey.records import Electrical, Feature, Mark, Opening, RoughIn, Stud, Survey, Trim

if TYPE_CHECKING:
    from survey.report.structs import FitReport

LETTERS: Final = 3.0
"""Capital height of words and numbers, paper mm."""
SMALL: Final = 2.4
"""The same of pieces' names, which lie among everything else."""
ABOVE: Final = 200.0
"""mm that the picture goes on above what is highest in it, where no ceiling was read."""
THICK: Final = 0.03
"""Width of the hatching around the wall, in sizes of the wall."""
LEAST_NAMED: Final = 150.0
"""mm that a piece is wide at least to be named on it, and high to be named within it."""
SHORT_LINE: Final = 30
"""Letters of a line of the remarks above the wall."""
TICK: Final = 14.0
"""mm: half a tick at the ends of where an edge or a level was held, as fine as hatching."""


def wall_drawing(survey: Survey, wall: str, report: FitReport | None = None) -> Drawing:
    """Draw a wall; of the report, the readings in doubt are flagged.

    Each item carries the id of the record that it shows. What has no place yet is listed in words.

    Raises
    ------
    DrawingError
        There is no such wall, or the walls make no room yet.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm level line 1000", "room r", "wall back", "wall left"]
    >>> lines += ["corner left and back", "drain d on back", "position d along 600 from left-back up 520"]
    >>> view = wall_drawing(Survey(dictate([*lines, "stud s on back"], Survey([]))), "back")
    >>> [one.text for one in view.items if isinstance(one, Ordinate)]
    ['600', '520', '1000']
    >>> [one.text for one in view.items if isinstance(one, Text)][-1]
    'floor not read yet\\nnot measured yet: s'
    """
    found = elevation(survey, wall)
    doubted = {one for suspect in report.room.suspects for one in suspect.records} if report else set()
    view = _View(found, doubted)
    return Drawing(tuple(view.items()), f"wall {wall}")


class _View:
    """One picture in the making."""

    def __init__(self, found: Elevation, doubted: set[str]) -> None:
        self.found = found
        self.doubted = doubted
        self.pieces, self.open_pieces = standing(found)
        left, right = reaches(found)
        spans = [x for piece in self.pieces for x in (piece.left, piece.right)]
        self.left = left if found.left is not None else min([left, *(x - 100.0 for x in spans)])
        self.right = right if found.right is not None else max([right, *(x + 100.0 for x in spans)])
        self.floor = found.floor_up
        self.top = self._top()
        self.things = [(thing, drawn(thing, found, self.top)) for thing in found.things]

    def _top(self) -> float:
        if self.found.ceiling:
            return sum(y for (_, y), _ in self.found.ceiling) / len(self.found.ceiling)
        ups = [up for seen in self.found.heights.values() for up, _ in seen]
        ups += [one.up for seen in self.found.sightings.values() for one in seen]
        ups += [piece.top for piece in self.pieces]
        ups += [y for check in self.found.checks for _, y in check.points]
        for thing in self.found.things:
            top = getattr(thing, "top", None)
            ups += [float(top.mm)] if top is not None else []
        return max([*ups, self.found.ground.level_line]) + ABOVE

    def say(self, mm: float) -> str:
        """Write a length as on a rule; millimetres without their unit."""
        return write_length(mm, self.found.ground.step, style="typeset").removesuffix(" mm")

    def items(self) -> Iterator[Drawable]:
        """Draw everything, what lies behind first."""
        yield from self._outline()
        yield from self._checks()
        for _, shown in self.things:
            yield from shown.shapes if shown is not None else ()
        yield from self._pieces()
        yield from self._level()
        for thing, shown in self.things:
            if shown is not None:
                yield self._name(thing, shown)
        yield from self._numbers()
        yield from self._remarks()

    # The wall itself

    def _outline(self) -> Iterator[Drawable]:
        """Draw floor and ends, cut where the room stops, and the ceiling where it was read."""
        floor = self._surface(self.found.floor, self.floor)
        ceiling = self._surface(self.found.ceiling, self.top) if self.found.ceiling else []
        thick = THICK * max(self.right - self.left, self.top - self.floor)
        yield from self._cut(floor, -thick, bool(self.found.floor))
        if ceiling:
            yield from self._cut(ceiling, thick, True)
        for end, turn, x in (("left", -1.0, self.found.left), ("right", 1.0, self.found.right)):
            corner = self.found.plan.corner_at(self.found.wall, end)
            if x is None or corner is None:
                continue
            record = self.found.ground.corners[corner.name].id
            foot = floor[0][1] if end == "left" else floor[-1][1]
            head = self.top if not ceiling else (ceiling[0][1] if end == "left" else ceiling[-1][1])
            is_read = end == "left" or self.found.is_read or self.found.left is None
            role = Role.FINISHED if is_read else Role.ASSUMED
            if self.found.ground.corners[corner.name].turn == "inside":
                yield _hatched(((x, foot), (x, head), (x + turn * thick, head), (x + turn * thick, foot)))
            yield line(((x, foot), (x, head)), role, record)

    def _surface(self, read: list[tuple[Point, str]], otherwise: float) -> list[Point]:
        """Return a floor or ceiling from end to end, through the places where it was read."""
        nearest: dict[int, Point] = {}
        for (x, y), _ in read:
            nearest.setdefault(round(x / 20.0), (x, y))
        points = sorted(nearest.values())
        if not points:
            return [(self.left, otherwise), (self.right, otherwise)]
        inner = [(x, y) for x, y in points if self.left < x < self.right]
        return [(self.left, points[0][1]), *inner, (self.right, points[-1][1])]

    def _cut(self, points: list[Point], thick: float, is_read: bool) -> Iterator[Drawable]:
        behind = [(x, y + thick) for x, y in reversed(points)]
        yield _hatched((*points, *behind))
        yield line(tuple(points), Role.FINISHED if is_read else Role.ASSUMED, "")

    def _level(self) -> Iterator[Drawable]:
        """Draw the level line."""
        up, job = self.found.ground.level_line, self.found.survey.job
        record = job.id if job is not None else ""
        yield line(((self.left, up), (self.right, up)), Role.WALL, record)
        yield Text(
            (self.right, up), "level line", LETTERS, Anchor.BOTTOM_RIGHT, shift=(-1.0, 1.0), record=record
        )

    def _checks(self) -> Iterator[Drawable]:
        """Tick the ends of where an edge, a line or a level was held, across it."""
        for check in self.found.checks:
            (x0, y0), (x1, y1) = check.points[0], check.points[-1]
            dx, dy = (0.0, TICK) if abs(x1 - x0) >= abs(y1 - y0) else (TICK, 0.0)
            for x, y in ((x0, y0), (x1, y1)):
                yield line(((x - dx, y - dy), (x + dx, y + dy)), Role.HATCH, check.record)

    # Pieces

    def _pieces(self) -> Iterator[Drawable]:
        for piece in self.pieces:
            yield rectangle(piece.left, piece.bottom, piece.right, piece.top, Role.BLANK, piece.record)
            if piece.right - piece.left > LEAST_NAMED:
                yield self._piece_name(piece)

    def _piece_name(self, piece: Standing) -> Text:
        """Name a piece in its lower left, or over it where it is thin; a line leads to it from elsewhere."""
        is_thin = piece.top - piece.bottom < LEAST_NAMED
        at = (piece.left, piece.top if is_thin else piece.bottom)
        name, anchor = printable(piece.name), Anchor.BOTTOM_LEFT
        return Text(at, name, SMALL, anchor, shift=(1.2, 1.2), leader=True, record=piece.record)

    # Words and numbers

    def _name(self, thing: Feature | Mark, shown: Drawn) -> Text:
        """Name a thing; one whose readings differ, or are contradicted by others, is flagged with a frame."""
        is_stud = isinstance(thing, Stud)
        anchor = Anchor.BOTTOM if is_stud else Anchor.BOTTOM_LEFT
        shift = (0.0, 1.0) if is_stud else (1.6, 1.6)
        doubt = self._doubt(thing)
        is_gas = isinstance(thing, RoughIn) and thing.type == "gas"
        role = Role.CAUTION if doubt or is_gas else Role.NOTE
        words = "\n".join([words_of(thing), *doubt])
        leads = not isinstance(thing, (Stud, Trim, Opening))
        return Text(
            shown.said_at, words, LETTERS, anchor, shift=shift, leader=leads, role=role, record=thing.id
        )

    def _doubt(self, thing: Feature | Mark) -> list[str]:
        """Say which readings of a thing do not agree."""
        for point in points_of(thing):
            apart = self.found.disagreeing(point)
            if apart is not None:
                zero = self._zero(point)
                first, second = sorted(abs(x - zero) for x in apart)
                return [f"read {self.say(first)} and {self.say(second)}"]
            if self.doubted & {one.record for one in self.found.sightings.get(point, ())}:
                return ["in doubt"]
        return []

    def _zero(self, point: str) -> float:
        """Return where a point's numbers count from: the end of the wall that its first reading does."""
        zero = self.found.right if self._is_from_right(point) else self.found.left
        return 0.0 if zero is None else zero

    def _is_from_right(self, point: str) -> bool:
        seen = self.found.sightings.get(point, [])
        return bool(seen) and self.found.ground.at_right_end(seen[0].start, self.found.wall)

    def _numbers(self) -> Iterator[Ordinate]:
        """Dimension what was read: along from the corner it was counted from, and up."""
        for thing, shown in self.things:
            for point, at in shown.along if shown is not None else ():
                yield from self._along(point, at, thing.id)
        side = Side.LEFT if self.found.left is not None or self.found.right is None else Side.RIGHT
        edge = self.left if side is Side.LEFT else self.right
        heights = [(shown.up, thing.id) for thing, shown in self.things if shown is not None and shown.up]
        job = self.found.survey.job
        if self.found.ground.level_line:
            line_at = (edge, self.found.ground.level_line)
            heights.append((line_at, job.id if job is not None else ""))
        for at, record in heights:
            yield Ordinate((edge, 0.0), at, Axis.Y, self.say(at[1]), side, LETTERS, record=record)

    def _along(self, point: str, at: Point, record: str) -> Iterator[Ordinate]:
        if point not in self.found.sightings:
            return
        zero = self._zero(point)
        side = Side.TOP if self._is_from_right(point) and self.found.left is not None else Side.BOTTOM
        words = self.say(abs(at[0] - zero))
        yield Ordinate((zero, self.floor), at, Axis.X, words, side, LETTERS, record=record)

    def _remarks(self) -> Iterator[Text]:
        """Say above the wall what the picture cannot show."""
        told = []
        if not self.found.floor:
            told.append("floor not read yet")
        missing = self.found.not_measured()
        if missing:
            told.append(f"not measured yet: {', '.join(missing)}")
        if self.open_pieces:
            told.append(f"place not said: {', '.join(self.open_pieces)}")
        lines = [part for one in told for part in textwrap.wrap(printable(one), SHORT_LINE)]
        if lines:
            at = ((self.left + self.right) / 2, self.top)
            yield Text(at, "\n".join(lines), LETTERS, Anchor.BOTTOM, shift=(0.0, 6.0))


def words_of(thing: Feature | Mark) -> str:
    """Name a thing as on the picture, with what a fitter must know of it at once.

    >>> from survey.dictation import dictate
    >>> trim, stud = dictate(["casing c on left comes off", "stud s on back proved nail"], Survey([]))
    >>> words_of(trim), words_of(stud)
    ('c, comes off', 's')
    """
    name = printable(thing.name)
    if isinstance(thing, Trim) and thing.fate != "stays":
        return f"{name}, {thing.fate}"
    if isinstance(thing, Stud) and thing.proved == "assumed spacing":
        return f"{name}?"
    if isinstance(thing, (RoughIn, Electrical)) and not any(word in name for word in thing.type.split()):
        return f"{name}, {thing.type}"
    return name


def _hatched(points: tuple[Point, ...]) -> HatchedRing:
    """Hatch a band; the inner outline has no area."""
    outer = Polyline(points, closed=True, role=Role.HATCH, layer=Layer.REFERENCE)
    a, b = points[0], points[1]
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    inner = Polyline((a, middle, b), closed=True, role=Role.HATCH, layer=Layer.REFERENCE)
    return HatchedRing(outer, inner)

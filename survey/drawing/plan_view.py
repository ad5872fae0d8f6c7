"""The room from above with one reading in it: where to hold the tape, the edge or the square.

The picture's frame is the plan's: x to the right, y to the back wall, which is on top, millimetres.
Nothing is turned or mirrored. Walls are drawn as the readings make them, only where pieces meet them;
their hatched side is not the room.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator
from typing import Final

from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import LaidOut
from survey.drawing.layout import layout
from survey.drawing.piece_words import plain, printable, typeset
from survey.drawing.plan_walls import LETTERS, MEET, Plan, PlanWall, halfway, line_along, mitred, report_plan
from survey.drawing.primitives import Anchor, Arrows, Circle, Drawable, Drawing, Layer, Polyline, Role, Text
from survey.quantity import read_step, write_length
from survey.report.structs import FitReport, NextReading

SHEET: Final = (100.0, 160.0)
"""Paper mm; about one and a half phones wide, so that letters stay legible there."""
MARGIN: Final = 4.0
"""Around all that is drawn, paper mm."""
SCALES: Final = (4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300)
"""Finer than ISO 5455, for larger pictures: nobody measures on them."""
SHORT_LINE: Final = 30
"""Letters of a line of words beside the reading."""
CLEAR: Final = 0.05
"""How far from its wall what lies along it is drawn, in sizes of the room."""
AWAY: Final = 7.0
"""How far right or left, and up or down, words stand from what they are about, paper mm."""
LEAST_SHARE: Final = 0.8
"""Twice the share of a direction, along x or y, from which on it counts there."""


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
    >>> from survey.report.structs import RoomReport, SurfaceReport
    >>> back = SurfaceReport("back", 900.0, ((0.0, 0.0), (1000.0, 0.0)), ())
    >>> report = FitReport("scribefit fit report", 3, "Bath", "mm", "1 mm", 0.99, "0" * 64,
    ...                    RoomReport(surfaces=(back,)), (), ())
    >>> tape = NextReading("width", "", 1.0, line=((0.0, -9.0), (1000.0, -400.0)), up_mm=900.0)
    >>> [one.text for one in reading_drawing(report, tape).items if isinstance(one, Text)]
    ['wall back', 'width\\n900 mm up', 'seen from above']
    """
    plan = report_plan(report, reading.up_mm or 0.0)
    items = [*plan.walls(), *_reading(plan, reading), *plan.names()]
    told = "\n".join(_words(report, reading))
    items.append(_said_at(_pointed_at(plan, reading), told, plan))
    below = Box.around([p for one in items if isinstance(one, Polyline) for p in one.points])
    items.append(Text((below.middle[0], below.bottom), "seen from above", 2.5, Anchor.TOP, shift=(0.0, -5.0)))
    return Drawing(tuple(items), printable(plain(reading.name)))


def _reading(plan: Plan, reading: NextReading) -> Iterator[Drawable]:
    """Draw where a reading lies."""
    clear = CLEAR * plan.size
    match reading.line:
        case (place,):
            yield Circle(place, clear / 2, role=Role.TOUCH, layer=Layer.REFERENCE)
        case (start, end):
            wall = _lies_along(plan, start, end)
            if wall is None:
                yield line_along((start, end), Role.TOUCH, Arrows.BOTH)
                return
            off = [(x + clear * wall.inward[0], y + clear * wall.inward[1]) for x, y in (start, end)]
            yield line_along(off, Role.TOUCH, Arrows.BOTH)
            yield from (
                line_along((at, to), Role.DIMENSION) for at, to in zip((start, end), off, strict=True)
            )
        case (left, corner, right):
            yield from _corner(left, corner, right, clear, reading.dictation.startswith("three sides"))


def _lies_along(plan: Plan, start: Point, end: Point) -> PlanWall | None:
    near = (one for one in plan.known if max(abs(one.out(start)), abs(one.out(end))) < MEET)
    return next(near, None)


def _corner(left: Point, corner: Point, right: Point, clear: float, across: bool) -> Iterator[Drawable]:
    """Draw a corner's legs a little off the walls, and the third side where there is one."""
    first = PlanWall("", (left, corner)).inward
    second = PlanWall("", (corner, right)).inward
    legs = (
        mitred(left, first, first, clear),
        mitred(corner, first, second, clear),
        mitred(right, second, second, clear),
    )
    yield line_along(legs, Role.TOUCH, Arrows.BOTH)
    yield from (line_along(ends, Role.DIMENSION) for ends in ((left, legs[0]), (right, legs[2])))
    if across:
        yield line_along((legs[0], legs[2]), Role.TOUCH, Arrows.BOTH)


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


def _said_at(place: Point, words: str, plan: Plan) -> Text:
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


def _pointed_at(plan: Plan, reading: NextReading) -> Point:
    """Return what the words point at: the reading, or the corner or wall that it is about."""
    clear = CLEAR * plan.size
    match reading.line:
        case (place,):
            return place
        case (start, end):
            wall = _lies_along(plan, start, end)
            x, y = halfway(start, end)
            return (x, y) if wall is None else (x + clear * wall.inward[0], y + clear * wall.inward[1])
        case (left, corner, right):
            first, second = PlanWall("", (left, corner)).inward, PlanWall("", (corner, right)).inward
            return mitred(corner, first, second, clear)
    corners = [at for name, at in plan.corners if name in reading.name]
    walls = [wall.middle for wall in plan.known if wall.name == reading.wall]
    return [*corners, *walls, plan.known[0].middle][0]

"""Linear dimensions: stacked in tiers outside the picture, short ones nearest."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from survey.drawing import style
from survey.drawing.geometry import Point
from survey.drawing.laid_out import Lettering, Quad
from survey.drawing.paper import Paper, no_room
from survey.drawing.primitives import Anchor, Linear

_LANE = 5.5
"""Kept free of lines and texts on either side of a dimension line, paper mm: the tiers' pitch."""
_PAST = 1.2
"""Between the end of a short dimension line and the text beside it, paper mm."""
_BROKEN = 40.0
"""What an extension line through a text costs, in paper mm of distance."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a dimension could stand: its line's ends, its text, and how bad that is."""

    ends: tuple[Point, Point]
    line: tuple[Point, Point]
    normal: Point
    text: Lettering
    cost: float


def place_linears(paper: Paper, linears: Sequence[Linear], one_to: float) -> None:
    """Draw all linear dimensions, short ones first, so that they nest."""
    for linear in sorted(linears, key=lambda one: math.dist(one.start, one.end)):
        start = (linear.start[0] / one_to, linear.start[1] / one_to)
        end = (linear.end[0] / one_to, linear.end[1] / one_to)
        sides = (linear.outward,) if linear.outward else (-1, 1)
        places = [_first_free(paper, linear, start, end, side) for side in sides]
        _draw(paper, linear, (start, end), min(places, key=lambda place: place.cost))


def _first_free(paper: Paper, linear: Linear, start: Point, end: Point, side: int) -> _Place:
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    normal = (-side * along[1], side * along[0])
    own = start[0] * normal[0] + start[1] * normal[1]
    out = paper.support(normal) - own + style.FIRST_TIER
    for step in range(600):
        for place in _candidates(paper, linear, (start, end), normal, out + 0.5 * step):
            if _is_free(paper, place):
                return place
    raise no_room(linear.text)


def _candidates(
    paper: Paper, linear: Linear, points: tuple[Point, Point], normal: Point, out: float
) -> Iterator[_Place]:
    """Yield the text in the middle of the line, or past either end where it is too long."""
    ends = (_moved(points[0], normal, out), _moved(points[1], normal, out))
    reading = _reading(ends)
    a, b = ends if reading[2] else ends[::-1]
    along, angle, _ = reading
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    text = _letter(paper, linear, middle, along, angle, Anchor.BOTTOM)
    broken = sum(bool(paper.taken.covered(p, _moved(p, normal, out))) for p in points)
    cost = out + _BROKEN * broken
    if text.width + 2 * _PAST <= math.dist(a, b):
        yield _Place(ends, (a, b), normal, text, cost)
        return
    reach = text.width + 2 * _PAST
    past = _letter(paper, linear, _moved(b, along, _PAST), along, angle, Anchor.BOTTOM_LEFT)
    yield _Place(ends, (a, _moved(b, along, reach)), normal, past, cost)
    before = _letter(paper, linear, _moved(a, along, -_PAST), along, angle, Anchor.BOTTOM_RIGHT)
    yield _Place(ends, (_moved(a, along, -reach), b), normal, before, cost)


def _reading(ends: tuple[Point, Point]) -> tuple[Point, float, bool]:
    """Return direction and angle in which a text is read from below or from the right.

    The third value says whether that is the way from the first end to the second.
    """
    (x0, y0), (x1, y1) = ends
    length = math.dist(*ends)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    forward = dx > 1e-9 or (abs(dx) <= 1e-9 and dy > 0.0)
    if not forward:
        dx, dy = -dx, -dy
    return (dx, dy), math.atan2(dy, dx), forward


def _letter(paper: Paper, linear: Linear, at: Point, along: Point, angle: float, anchor: Anchor) -> Lettering:
    above = _moved(at, (-along[1], along[0]), style.TEXT_GAP)
    return paper.letter(
        linear.text,
        above,
        anchor,
        height=linear.height,
        angle=angle,
        role=linear.role,
        record=linear.record,
    )


def _moved(p: Point, direction: Point, by: float) -> Point:
    return p[0] + by * direction[0], p[1] + by * direction[1]


def _is_free(paper: Paper, place: _Place) -> bool:
    a, b = place.line
    length = math.dist(a, b)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    # The lane stops short of its ends: neighbours in one tier share an extension line.
    inset = min(1.5, length / 4)
    corner = Quad(a, along, 0.0, 0.0).point(inset, -_LANE)
    lane = Quad(corner, along, length - 2 * inset, 2 * _LANE)
    return paper.taken.is_free(lane) and paper.is_free(place.text) and paper.is_open((a, b))


def _draw(paper: Paper, linear: Linear, points: tuple[Point, Point], place: _Place) -> None:
    for point, end in zip(points, place.ends, strict=True):
        far = _moved(end, place.normal, style.OVERSHOOT)
        paper.draw_broken(_moved(point, place.normal, style.EXTENSION_GAP), far, linear.role, linear.record)
    paper.draw_line(place.line, linear.role, linear.record)
    along, _, _ = _reading(place.ends)
    for end in place.ends:
        paper.draw_tick(end, along, linear.role, linear.record)
    paper.draw_text(place.text)

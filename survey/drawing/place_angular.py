"""Angular dimensions: an arc between the two rays, its text beside it or on a leader."""

import math
from collections.abc import Iterator

from survey.drawing import style
from survey.drawing.geometry import Arc, Point
from survey.drawing.laid_out import Lettering, Quad, Stroke
from survey.drawing.obstacles import Obstacles
from survey.drawing.paper import Paper, nearest, no_room, spiral
from survey.drawing.primitives import Anchor, Angular

_RADII = (9.0, 12.0, 15.0, 18.0, 22.0, 26.0, 31.0)
"""Radii that are tried, paper mm."""
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along the arc the text is tried."""
_TAIL = 2.0
"""Length of arc beyond a ray where the arrows point inwards, in lengths of an arrow."""


def place_angular(paper: Paper, angular: Angular, one_to: float) -> None:
    """Draw an angle: the smallest arc whose text stands free, else the text on a leader."""
    arcs = [_arc(angular, radius, one_to) for radius in _RADII]
    for arc in arcs:
        if not paper.is_open(_flat(_drawn(arc))):
            continue
        own = _outline(arc)
        for text in _beside(paper, angular, arc):
            if paper.is_free(text) and own.is_free(_grown(text)):
                _draw(paper, angular, arc, text, one_to)
                return
    text = _draw_leader(paper, angular, arcs[0])
    _draw(paper, angular, arcs[0], text, one_to)


def _arc(angular: Angular, radius: float, one_to: float) -> Arc:
    (x, y), start, end = angular.vertex, angular.start, angular.end
    first = math.atan2(start[1] - y, start[0] - x)
    sweep = (math.atan2(end[1] - y, end[0] - x) - first) % math.tau
    return Arc((x / one_to, y / one_to), radius, first, sweep or math.tau)


def _points_inwards(arc: Arc) -> bool:
    return arc.radius * arc.sweep < 2.5 * style.ARROW[0]


def _drawn(arc: Arc) -> Arc:
    """Return the arc as it is drawn: with tails where it is too short for its arrows."""
    if not _points_inwards(arc):
        return arc
    tail = _TAIL * style.ARROW[0] / arc.radius
    return Arc(arc.centre, arc.radius, arc.start - tail, arc.sweep + 2 * tail)


def _flat(arc: Arc) -> list[Point]:
    return [arc.at(i / 24) for i in range(25)]


def _outline(arc: Arc) -> Obstacles:
    """Return what the arc and its arrow heads will take, so that the text keeps clear of them."""
    own = Obstacles()
    wide = style.ARROW[1] / 2
    for radius in (arc.radius - wide, arc.radius, arc.radius + wide):
        own.add_path(_flat(_drawn(Arc(arc.centre, radius, arc.start, arc.sweep))))
    return own


def _grown(text: Lettering) -> Quad:
    return text.quad().grown(style.LINE_CLEARANCE)


def _letter(paper: Paper, angular: Angular, at: Point) -> Lettering:
    return paper.letter(
        angular.text,
        at,
        Anchor.MIDDLE,
        height=angular.height,
        role=angular.role,
        record=angular.record,
    )


def _beside(paper: Paper, angular: Angular, arc: Arc) -> Iterator[Lettering]:
    """Yield texts outside the arc, then inside."""
    half_width = _letter(paper, angular, (0.0, 0.0)).width / 2
    for side in (1.0, -1.0):
        for share in _SHARES:
            turn = arc.start + share * arc.sweep
            ux, uy = math.cos(turn), math.sin(turn)
            deep = half_width * abs(ux) + angular.height * 0.6 * abs(uy) + style.TEXT_GAP
            far = arc.radius + side * deep
            if far > deep:
                yield _letter(paper, angular, (arc.centre[0] + far * ux, arc.centre[1] + far * uy))


def _draw_leader(paper: Paper, angular: Angular, arc: Arc) -> Lettering:
    """Find the free place nearest to the arc and draw a line to it."""
    home, own = arc.at(0.5), _outline(arc)
    for dx, dy in spiral(400.0):
        text = _letter(paper, angular, (home[0] + dx, home[1] + dy))
        near = nearest(home, text.quad())
        if own.is_free(_grown(text)) and paper.is_free(text) and paper.is_open((home, near)):
            paper.draw_line((home, near), angular.role, angular.record)
            return text
    raise no_room(angular.text)


def _draw(paper: Paper, angular: Angular, arc: Arc, text: Lettering, one_to: float) -> None:
    paper.draw_text(text)
    for point, share in ((angular.start, 0.0), (angular.end, 1.0)):
        _draw_ray(paper, angular, arc, (point[0] / one_to, point[1] / one_to), share)
    drawn = _drawn(arc)
    bulge = math.tan(drawn.sweep / 8)
    points = (drawn.at(0.0), drawn.at(0.5), drawn.at(1.0))
    paper.marks.append(Stroke(points, angular.role, (bulge, bulge, 0.0), record=angular.record))
    paper.taken.add_path(_flat(drawn))
    way = -1.0 if _points_inwards(arc) else 1.0
    _draw_head(paper, angular, arc, 0.0, -way)
    _draw_head(paper, angular, arc, 1.0, way)


def _draw_head(paper: Paper, angular: Angular, arc: Arc, share: float, way: float) -> None:
    """Draw the arrow at one end; it follows the chord of the arc that it covers."""
    tip = arc.at(share)
    back = share - way * style.ARROW[0] / (arc.radius * arc.sweep)
    tail = arc.at(back)
    paper.draw_arrow(tip, (tip[0] - tail[0], tip[1] - tail[1]), angular.role, angular.record)


def _draw_ray(paper: Paper, angular: Angular, arc: Arc, point: Point, share: float) -> None:
    """Extend a ray whose own point lies nearer than the arc."""
    tip = arc.at(share)
    ux, uy = ((tip[i] - arc.centre[i]) / arc.radius for i in (0, 1))
    length = math.dist(point, arc.centre)
    if length < arc.radius:
        near, far = length + style.EXTENSION_GAP, arc.radius + style.OVERSHOOT
        paper.draw_broken(
            (arc.centre[0] + near * ux, arc.centre[1] + near * uy),
            (arc.centre[0] + far * ux, arc.centre[1] + far * uy),
            angular.role,
            angular.record,
        )

"""Put shapes and words on the paper: scale, hatch, arrows, and notes that give way."""

import math

from survey.drawing import style
from survey.drawing.geometry import Point, flatten, hatch
from survey.drawing.laid_out import Lettering, Quad, Round, Stroke
from survey.drawing.paper import Paper, nearest, no_room, spiral
from survey.drawing.primitives import Anchor, Arrows, Circle, HatchedRing, Polyline, Shape, Text

_CHORD = 0.02
"""How far a chord may leave its arc where only obstacles are concerned, paper mm."""
_FRAME = 1.1
"""Between the words and their frame, paper mm."""


def place_shape(paper: Paper, shape: Shape, one_to: float) -> None:
    """Draw a shape at 1:one_to."""
    if isinstance(shape, Polyline):
        _place_polyline(paper, shape, one_to)
    elif isinstance(shape, Circle):
        _place_circle(paper, shape, one_to)
    else:
        _place_ring(paper, shape, one_to)


def _scaled(points: tuple[Point, ...], one_to: float) -> tuple[Point, ...]:
    return tuple((x / one_to, y / one_to) for x, y in points)


def _place_polyline(paper: Paper, line: Polyline, one_to: float) -> None:
    points = _scaled(line.points, one_to)
    flat = flatten(points, line.bulges, line.closed, _CHORD)
    paper.marks.append(Stroke(points, line.role, line.bulges, line.closed, record=line.record))
    paper.taken.add_path([*flat, flat[0]] if line.closed else flat)
    paper.reached += flat
    if line.arrows is not Arrows.NONE:
        _place_head(paper, line, flat[-2], flat[-1])
    if line.arrows is Arrows.BOTH:
        _place_head(paper, line, flat[1], flat[0])


def _place_head(paper: Paper, line: Polyline, before: Point, tip: Point) -> None:
    paper.draw_arrow(tip, (tip[0] - before[0], tip[1] - before[1]), line.role, line.record)


def _place_circle(paper: Paper, circle: Circle, one_to: float) -> None:
    (centre,) = _scaled((circle.centre,), one_to)
    radius = circle.radius / one_to
    paper.marks.append(Round(centre, radius, circle.role, circle.record))
    west, east = (centre[0] - radius, centre[1]), (centre[0] + radius, centre[1])
    rim = flatten((west, east), (1.0, 1.0), True, _CHORD)
    paper.taken.add_path([*rim, rim[0]])
    paper.reached += rim


def _place_ring(paper: Paper, ring: HatchedRing, one_to: float) -> None:
    outlines = [
        flatten(_scaled(line.points, one_to), line.bulges, True, _CHORD) for line in (ring.outer, ring.inner)
    ]
    for a, b in hatch(outlines, style.HATCH_SPACING):
        if math.dist(a, b) > 0.05:
            paper.draw_line((a, b), ring.role, ring.record)
    paper.reached += [point for outline in outlines for point in outline]


def place_text(paper: Paper, text: Text, one_to: float) -> None:
    """Letter a note; a movable one goes to the nearest free place."""
    target = (text.at[0] / one_to, text.at[1] / one_to)
    home = (target[0] + text.shift[0], target[1] + text.shift[1])
    at_home = _block(paper, text, home)
    around = _around(at_home, text)
    with_room = around.grown(style.LINE_CLEARANCE)
    for by in spiral(400.0) if text.movable else ((0.0, 0.0),):
        if text.movable and not paper.taken.is_free(with_room.moved(by)):
            continue
        block = around.moved(by)
        leader = _leader(target, block) if text.leader else ()
        if not text.movable or paper.is_open(leader):
            break
    else:
        raise no_room(text.text)
    for line in at_home:
        paper.draw_text(line.moved(by))
    if leader:
        paper.draw_line(leader, text.role, text.record)
        tip, tail = leader
        paper.draw_arrow(tip, (tip[0] - tail[0], tip[1] - tail[1]), text.role, text.record)
    if style.PENS[text.role].framed:
        paper.marks.append(Stroke(block.corners(), text.role, closed=True, record=text.record))
        paper.taken.add_quad(block.grown(style.CLEARANCE))
    paper.reached += block.corners()


def _block(paper: Paper, text: Text, at: Point) -> list[Lettering]:
    """Set the lines of a text; the anchor counts for the block as a whole."""
    words = text.text.split("\n")
    pitch = style.LINE_PITCH * text.height
    along = (math.cos(text.angle), math.sin(text.angle))
    across, up = text.anchor.share
    first = (1.0 - up) * pitch * (len(words) - 1) - up * text.height
    column = {0.0: Anchor.BOTTOM_LEFT, 0.5: Anchor.BOTTOM, 1.0: Anchor.BOTTOM_RIGHT}[across]
    frame = Quad(at, along, 0.0, 0.0)
    return [
        paper.letter(
            line,
            frame.point(0.0, first - row * pitch),
            column,
            height=text.height,
            angle=text.angle,
            role=text.role,
            record=text.record,
        )
        for row, line in enumerate(words)
    ]


def _around(lines: list[Lettering], text: Text) -> Quad:
    along = (math.cos(text.angle), math.sin(text.angle))
    frame = Quad(lines[0].at, along, 0.0, 0.0)
    corners = [frame.local(corner) for line in lines for corner in line.quad().corners()]
    xs, ys = zip(*corners, strict=True)
    start = frame.point(min(xs), min(ys))
    block = Quad(start, along, max(xs) - min(xs), max(ys) - min(ys))
    return block.grown(_FRAME) if style.PENS[text.role].framed else block


def _leader(target: Point, block: Quad) -> tuple[Point, ...]:
    """Return the line from what a text is about to its block, unless they are too near."""
    near = nearest(target, block)
    return (target, near) if math.dist(target, near) > style.ARROW[0] else ()

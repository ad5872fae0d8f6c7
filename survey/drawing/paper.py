"""The sheet while it is being laid out: what is drawn so far, and what stands in the way."""

import itertools
import math
from collections.abc import Sequence
from functools import cache

from survey.drawing import style
from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import Lettering, Mark, Quad, Round, Stroke
from survey.drawing.metrics import Metrics, bundled
from survey.drawing.obstacles import Obstacles, open_parts
from survey.drawing.primitives import DIMENSION_HEIGHT, Anchor, Role

UPRIGHT = math.pi / 2
"""Angle of a text that is read from the right."""


def letter(
    text: str,
    at: Point,
    anchor: Anchor = Anchor.BOTTOM_LEFT,
    *,
    height: float = DIMENSION_HEIGHT,
    angle: float = 0.0,
    role: Role = Role.NOTE,
    record: str = "",
    metrics: Metrics | None = None,
) -> Lettering:
    """Set one line of text on paper so that its anchor lies at `at` (paper mm, y up).

    Whoever composes a page letters its headings and tables with this, in the hand of the
    pictures, and hands them to a backend as marks of a `LaidOut`.

    >>> line = letter("34 5⁄16″", (20, 250), Anchor.BOTTOM_RIGHT, height=3.5)
    >>> round(line.at[0] + line.width, 6), [run.text for run in line.runs]
    (20.0, ['34 ', '5', '⁄', '16', '″'])
    """
    metrics = metrics or bundled()
    runs = metrics.runs(text, height)
    across, up = anchor.share
    width = runs[-1].across + runs[-1].width
    frame = Quad(at, (math.cos(angle), math.sin(angle)), width, height)
    start = frame.point(-across * width, -up * height)
    return Lettering(start, text, height, angle, runs, metrics.reach(text, height), role, record)


class Paper:
    """Marks in paper mm, with the model's (0, 0) at the paper's until the very end."""

    def __init__(self, metrics: Metrics) -> None:
        """Start empty."""
        self.metrics = metrics
        self.marks: list[Mark] = []
        self.taken = Obstacles()
        self.reached: list[Point] = []

    @property
    def body(self) -> Box:
        """What the shapes and notes cover; dimensions stand outside of it."""
        return Box.around(self.reached)

    def letter(
        self,
        text: str,
        at: Point,
        anchor: Anchor,
        *,
        height: float,
        angle: float = 0.0,
        role: Role = Role.DIMENSION,
        record: str = "",
    ) -> Lettering:
        """Set one line of text so that its anchor lies at `at`; nothing is drawn yet."""
        return letter(
            text,
            at,
            anchor,
            height=height,
            angle=angle,
            role=role,
            record=record,
            metrics=self.metrics,
        )

    def draw_line(self, points: Sequence[Point], role: Role, record: str) -> None:
        """Draw straight lines that later texts avoid."""
        self.marks.append(Stroke(tuple(points), role, record=record))
        self.taken.add_path(points)

    def draw_broken(self, a: Point, b: Point, role: Role, record: str) -> None:
        """Draw a line that is interrupted where texts stand (ISO 129-1)."""
        for start, end in open_parts(a, b, self.taken.covered(a, b)):
            if math.dist(start, end) > 0.3:
                self.draw_line((start, end), role, record)

    def draw_text(self, lettering: Lettering) -> None:
        """Draw a text that later lines and texts avoid."""
        self.marks.append(lettering)
        self.taken.add_quad(lettering.quad().grown(style.CLEARANCE))

    def draw_tick(self, at: Point, along: Point, role: Role, record: str) -> None:
        """Draw the oblique stroke that ends a dimension line, 45 degrees to its reading."""
        half = style.TICK / 2 / math.sqrt(2.0)
        dx, dy = half * (along[0] - along[1]), half * (along[1] + along[0])
        self.draw_line(((at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)), role, record)

    def draw_arrow(self, tip: Point, towards: Point, role: Role, record: str) -> None:
        """Draw a filled arrow head at `tip` that points in the direction `towards`."""
        length, width = style.ARROW
        size = math.hypot(*towards)
        ux, uy = towards[0] / size, towards[1] / size
        back = (tip[0] - length * ux, tip[1] - length * uy)
        left = (back[0] - width / 2 * uy, back[1] + width / 2 * ux)
        right = (back[0] + width / 2 * uy, back[1] - width / 2 * ux)
        self.marks.append(Stroke((tip, left, right), role, closed=True, filled=True, record=record))
        self.taken.add_path((left, tip, right, left))

    def draw_origin(self, at: Point, role: Role, record: str) -> None:
        """Draw the small circle that marks where ordinates start (ISO 129-1)."""
        r = style.ORIGIN_RADIUS
        self.marks.append(Round(at, r, role, record))
        self.taken.add_path([*Box(*at, *at).grown(r).corners(), (at[0] - r, at[1] - r)])

    def is_free(self, lettering: Lettering) -> bool:
        """Say whether a text can stand there, with a little room around it."""
        return self.is_free_quad(lettering.quad())

    def is_free_quad(self, quad: Quad) -> bool:
        """Say the same for a block of texts."""
        return self.taken.is_free(quad.grown(style.LINE_CLEARANCE))

    def is_open(self, points: Sequence[Point]) -> bool:
        """Say whether a line can be drawn without crossing a text."""
        pairs = itertools.pairwise(points)
        return not any(self.taken.covered(a, b) for a, b in pairs)

    def support(self, direction: Point) -> float:
        """Return how far the body reaches in a direction (unit vector), paper mm."""
        return max(x * direction[0] + y * direction[1] for x, y in self.reached)


def no_room(text: str) -> DrawingError:
    """Return the refusal of a text for which no free place was found."""
    return DrawingError(f"No free place was found for {text!r}: use a larger area or divide the picture.")


def nearest(point: Point, block: Quad) -> Point:
    """Return where a leader from `point` ends: just clear of a text's nearest side."""
    grown = block.grown(style.CLEARANCE + 0.2)
    x, y = grown.local(point)
    return grown.point(min(max(x, 0.0), grown.width), min(max(y, 0.0), grown.height))


@cache
def spiral(reach: float) -> tuple[Point, ...]:
    """Return shifts of growing length in all directions, first none at all; the farther, the coarser.

    >>> [round(math.hypot(*s)) for s in spiral(400)][:3], len(spiral(20.0))
    ([0, 1, 1], 233)
    """
    shifts = [(0.0, 0.0)]
    radius = 1.0
    while radius <= reach:
        turns = 8 if radius < 3.0 else 12 if radius < 5.0 else 24
        for turn in range(turns):
            angle = turn * math.tau / turns
            shifts.append((radius * math.cos(angle), radius * math.sin(angle)))
        radius = max(radius + 1.0, radius * 1.2)
    return tuple(shifts)

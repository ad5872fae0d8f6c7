"""A laid-out picture on the screen, the same that is printed; panned, pinched and tapped."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Line, Mesh, PopMatrix, PushMatrix, Rectangle, Rotate, Scale, Translate
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.stencilview import StencilView

from survey.app.look import look
from survey.drawing import LaidOut, Lettering, Point, Round, Stroke
from survey.drawing.geometry import arc_of, segments
from survey.drawing.metrics import FONT_FILE, bundled
from survey.drawing.style import PENS
from survey.ink import ALERT, CHALK, INK, PAPER, PENCIL, Ink

ROLES: Final = {INK: "ink", PENCIL: "pencil", CHALK: "chalk", ALERT: "alert", PAPER: "paper"}
CHORD: Final = 0.05
"""mm that an arc's chord may be off it."""
NEAR: Final = 24.0
"""dp from a mark at which a tap still means it."""
MOST: Final = 8.0
"""Times as large as the whole picture."""


class Picture(StencilView):
    """Shows `laid_out`, as large as it fits; `on_pick(record)` comes with the record id under a tap.

    With neither `can_zoom` nor `can_pick` it leaves touches to what it lies on.
    """

    laid_out = ObjectProperty(None, allownone=True)
    can_zoom = BooleanProperty(False)
    can_pick = BooleanProperty(True)
    zoom = NumericProperty(1.0)

    __events__ = ("on_pick",)

    def __init__(self, **given: Any) -> None:
        """Draw whenever the picture, the place for it or the look changes."""
        super().__init__(**given)
        self._shift = (0.0, 0.0)
        self._touches: list[Any] = []
        self._again = Clock.create_trigger(self._draw)
        self.bind(pos=self._again, size=self._again, laid_out=self._anew, zoom=self._again)
        look.bind(ink=self._worn, chalk=self._worn)

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def on_pick(self, record: str) -> None:
        """Nothing; pages bind it."""

    def whole(self) -> None:
        """Show the whole picture again."""
        self._shift = (0.0, 0.0)
        self.zoom = 1.0
        self._again()

    @property
    def per_mm(self) -> float:
        """Pixels per paper mm, as it is shown."""
        return self._fit() * self.zoom

    def to_paper(self, x: float, y: float) -> Point:
        """Return the place on the paper (mm) under a place of the window."""
        left, bottom = self._corner()
        return (x - left) / self.per_mm, (y - bottom) / self.per_mm

    def _fit(self) -> float:
        if self.laid_out is None or self.laid_out.width <= 0 or self.laid_out.height <= 0:
            return 1.0
        return max(min(self.width / self.laid_out.width, self.height / self.laid_out.height), 1e-6)

    def _corner(self) -> Point:
        picture: LaidOut = self.laid_out
        return (
            self.center_x - picture.width * self.per_mm / 2 + self._shift[0],
            self.center_y - picture.height * self.per_mm / 2 + self._shift[1],
        )

    def _anew(self, *_: object) -> None:
        self._shift = (0.0, 0.0)
        self.zoom = 1.0
        self._again()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if self.laid_out is None:
            return
        left, bottom = self._corner()
        with self.canvas:
            for mark in self.laid_out.marks:
                Color(*_ink(mark.role))
                if isinstance(mark, Lettering):
                    self._letter(mark, left, bottom)
                elif isinstance(mark, Round):
                    x, y = left + mark.centre[0] * self.per_mm, bottom + mark.centre[1] * self.per_mm
                    Line(circle=(x, y, mark.radius * self.per_mm), width=self._weight(mark))
                elif mark.filled:
                    self._fill(mark, left, bottom)
                else:
                    self._stroke(mark, left, bottom)

    def _weight(self, mark: Stroke | Round) -> float:
        """Half a line's width in pixels; a thin line stays one that can be seen."""
        return max(PENS[mark.role].weight * self.per_mm / 2, dp(0.55))

    def _stroke(self, mark: Stroke, left: float, bottom: float) -> None:
        points = [(left + x * self.per_mm, bottom + y * self.per_mm) for x, y in _flat(mark)]
        dash = [length * self.per_mm for length in PENS[mark.role].dash]
        for part in _dashed(points, dash) if dash else [points]:
            Line(
                points=[each for point in part for each in point],
                width=self._weight(mark),
                cap="none",
                # A mitre shoots far off where a line is nearly straight.
                joint="none" if dash else "round",
            )

    def _fill(self, mark: Stroke, left: float, bottom: float) -> None:
        corners = [(left + x * self.per_mm, bottom + y * self.per_mm) for x, y in mark.points]
        vertices = [number for x, y in corners for number in (x, y, 0.0, 0.0)]
        Mesh(vertices=vertices, indices=list(range(len(corners))), mode="triangle_fan")

    def _letter(self, mark: Lettering, left: float, bottom: float) -> None:
        PushMatrix()
        Translate(left + mark.at[0] * self.per_mm, bottom + mark.at[1] * self.per_mm)
        Rotate(angle=math.degrees(mark.angle), axis=(0, 0, 1))
        for run in mark.runs:
            size = run.height * self.per_mm * bundled().em
            texture, descent = _texture(run.text, max(round(size), 1))
            if texture is None:
                continue
            width = run.width * self.per_mm
            PushMatrix()
            Translate(run.across * self.per_mm, run.up * self.per_mm - descent)
            Scale(width / texture.width, 1.0, 1.0)
            Rectangle(texture=texture, size=texture.size)
            PopMatrix()
        PopMatrix()

    # Fingers

    def on_touch_down(self, touch: Any) -> bool:
        """Begin to pan or pinch; a tap is known when the finger leaves."""
        is_for_it = self.can_zoom or self.can_pick
        if self.laid_out is None or not is_for_it or not self.collide_point(*touch.pos):
            return False
        if touch.is_mouse_scrolling and self.can_zoom:
            self._zoom_at(touch.pos, 1.15 if touch.button == "scrolldown" else 1 / 1.15)
            return True
        touch.grab(self)
        self._touches.append(touch)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        """Pan with one finger, zoom with two."""
        if touch.grab_current is not self or not self.can_zoom:
            return False
        if len(self._touches) == 1 and self.zoom > 1.0:
            self._shift = (self._shift[0] + touch.dx, self._shift[1] + touch.dy)
            self._again()
        elif len(self._touches) == 2:
            other = next(one for one in self._touches if one is not touch)
            before = math.dist((touch.px, touch.py), other.pos)
            if before > 0:
                self._zoom_at(other.pos, math.dist(touch.pos, other.pos) / before)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """Pick what is under a finger that did not move."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        self._touches = [one for one in self._touches if one is not touch]
        if math.dist(touch.opos, touch.pos) < dp(10) and not self._touches:
            record = self._nearest(*touch.pos)
            if record:
                self.dispatch("on_pick", record)
        return True

    def _zoom_at(self, at: tuple[float, float], by: float) -> None:
        """Zoom so that what is under a finger stays there."""
        zoom = min(max(self.zoom * by, 1.0), MOST)
        by = zoom / self.zoom
        x, y = at[0] - self.center_x, at[1] - self.center_y
        self._shift = (
            (x - (x - self._shift[0]) * by, y - (y - self._shift[1]) * by) if zoom > 1.0 else (0.0, 0.0)
        )
        self.zoom = zoom

    def _nearest(self, x: float, y: float) -> str:
        at, reach = self.to_paper(x, y), dp(NEAR) / self.per_mm
        found = [
            (distance, mark.record)
            for mark in self.laid_out.marks
            if mark.record and (distance := _distance(mark, at)) <= reach
        ]
        return min(found)[1] if found else ""


def _ink(role: Any) -> Any:
    ink: Ink = PENS[role].ink
    return getattr(look, ROLES.get(ink, "ink"))


def _flat(mark: Stroke) -> list[Point]:
    """Return a stroke's points, its arcs as chords."""
    points = [mark.points[0]]
    for start, end, bulge in segments(mark.points, mark.bulges, mark.closed):
        if bulge and start != end:
            arc = arc_of(start, end, bulge)
            turn = 4 * math.atan(abs(bulge))
            step = 2 * math.acos(max(1.0 - CHORD / arc.radius, 0.0)) if arc.radius > CHORD else math.pi / 4
            count = max(2, math.ceil(turn / step))
            points += [arc.at(k / count) for k in range(1, count)]
        points.append(end)
    return points


def _dashed(points: list[Point], dash: list[float]) -> Iterator[list[Point]]:
    """Give the dashes of a path; `dash` is line, gap, line, gap ..., in the points' unit."""
    at, left, part = 0, dash[0], [points[0]]
    for a, b in pairwise(points):
        length = math.dist(a, b)
        gone = 0.0
        while length - gone > left:
            gone += left
            point = (a[0] + (b[0] - a[0]) * gone / length, a[1] + (b[1] - a[1]) * gone / length)
            if at % 2 == 0:
                yield [*part, point]
            part = [point]
            at = (at + 1) % len(dash)
            left = dash[at]
        left -= length - gone
        part.append(b)
    if at % 2 == 0 and len(part) > 1:
        yield part


def _distance(mark: Stroke | Round | Lettering, at: Point) -> float:
    if isinstance(mark, Round):
        return abs(math.dist(mark.centre, at) - mark.radius)
    if isinstance(mark, Lettering):
        box = mark.extents()
        inside = box.left <= at[0] <= box.right and box.bottom <= at[1] <= box.top
        return 0.0 if inside else min(math.dist(corner, at) for corner in box.corners())
    flat = _flat(mark)
    return min(_from_segment(at, a, b) for a, b in pairwise(flat))


def _from_segment(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    share = 0.0 if square == 0 else min(max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square, 0.0), 1.0)
    return math.dist(p, (a[0] + share * dx, a[1] + share * dy))


@lru_cache(maxsize=512)
def _texture(text: str, size: int) -> tuple[Any, float]:
    """Return letters as a texture, white, and how far its bottom lies below the baseline (pixels)."""
    if not text.strip():
        return None, 0.0
    label = CoreLabel(text=text, font_size=size, font_name=str(FONT_FILE), color=(1, 1, 1, 1))
    label.refresh()
    return label.texture, -label.get_descent() if hasattr(label, "get_descent") else 0.24 * size

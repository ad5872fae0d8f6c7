"""A piece on its way past walls and doors: what it must pass, where it was, and where it is now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, InstructionGroup, Line
from kivy.metrics import dp
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.stencilview import StencilView

from survey.app.look import look
from survey.app.motion import Motion, clipped
from survey.drawing.geometry import Box, Point, hatch

TRACES = 8
"""Places on the way where the shape is drawn faintly."""
HATCH = 10.0
"""dp between the lines that fill what is solid."""


class MovingPicture(StencilView):
    """Shows `course` at `share` (0 to 1) of its way: solid things hatched, the shape in ink."""

    course = ObjectProperty(None, allownone=True)
    share = NumericProperty(0.0)

    def __init__(self, **given: Any) -> None:
        """Draw whenever something changes."""
        super().__init__(**given)
        self._again = Clock.create_trigger(self._draw)
        self._on = Clock.create_trigger(self._draw_shape)
        self.bind(pos=self._again, size=self._again, course=self._again, share=self._on)
        # The shape is drawn alone while it moves; what it must pass stays.
        self._still, self._moved = InstructionGroup(), InstructionGroup()
        self.canvas.add(self._still)
        self.canvas.add(self._moved)
        look.bind(ink=self._worn)
        self._again()

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def _draw(self, *_: object) -> None:
        self._still.clear()
        motion: Motion | None = self.course
        if motion is not None and self.width > 1 and self.height > 1:
            scale, window = self._fit(motion)
            for ring in filter(None, (clipped(ring, window) for ring in motion.barriers)):
                self._still.add(Color(*look.pencil))
                for chord in hatch([ring], dp(HATCH) / scale):
                    self._still.add(Line(points=self._flat(chord), width=1))
                self._still.add(Color(*look.ink))
                self._still.add(Line(points=self._flat(ring), width=dp(1.2), close=True))
            self._still.add(Color(*look.pencil))
            for trace in range(TRACES + 1):
                corners = self._flat(motion.at(trace / TRACES))
                self._still.add(Line(points=corners, width=1, close=True, dash_length=3, dash_offset=3))
        self._draw_shape()

    def _draw_shape(self, *_: object) -> None:
        self._moved.clear()
        if self.course is not None and self.width > 1 and self.height > 1:
            self._moved.add(Color(*look.ink))
            corners = self._flat(self.course.at(self.share))
            self._moved.add(Line(points=corners, width=dp(2.2), close=True, joint="miter"))

    def _fit(self, motion: Motion) -> tuple[float, Box]:
        """Return px of a mm, and what of the picture the widget shows."""
        shown = motion.shown
        scale = min(self.width / max(shown.width, 1.0), self.height / max(shown.height, 1.0))
        (x, y), half_width, half_height = shown.middle, self.width / scale / 2, self.height / scale / 2
        return scale, Box(x - half_width, y - half_height, x + half_width, y + half_height)

    def _flat(self, ring: Sequence[Point]) -> list[float]:
        """Return points of the picture as a row of px."""
        scale, window = self._fit(self.course)
        across = ((x - window.left, y - window.bottom) for x, y in ring)
        return [each for x, y in across for each in (self.x + scale * x, self.y + scale * y)]

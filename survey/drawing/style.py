"""How each role looks: its ink, one of two line weights and the dashes, named here and nowhere else.

No two roles of outlines differ by ink alone: weight, dash or frame tells them apart, so that a
black-and-white print says the same. Line weights are in the ratio of ISO 128's wide and narrow
lines or above it; dash lengths are paper mm (line, gap, line, gap ...).
"""

from typing import NamedTuple

from survey.drawing.primitives import Role
from survey.ink import ALERT, CHALK, INK, PENCIL, Ink

HEAVY = 0.5
"""Weight of what is cut, paper mm."""
LIGHT = 0.18
"""Weight of everything else, paper mm."""


class Pen(NamedTuple):
    """An ink, a line weight (paper mm) and a dash pattern (paper mm; empty is solid)."""

    ink: Ink
    weight: float
    dash: tuple[float, ...] = ()
    framed: bool = False


PENS: dict[Role, Pen] = {
    Role.FINISHED: Pen(INK, HEAVY),
    Role.BLANK: Pen(INK, LIGHT, (4.0, 1.4)),
    Role.WALL: Pen(INK, LIGHT, (7.0, 1.2, 0.5, 1.2)),
    Role.TRIM: Pen(INK, LIGHT, (2.4, 1.0)),
    Role.ASSUMED: Pen(PENCIL, LIGHT, (1.2, 1.2)),
    Role.EARLIER: Pen(PENCIL, LIGHT, (0.3, 0.7)),
    Role.HIDDEN: Pen(INK, LIGHT, (1.8, 0.9)),
    Role.CENTRE: Pen(INK, LIGHT, (11.0, 1.2, 2.2, 1.2)),
    Role.HATCH: Pen(PENCIL, LIGHT),
    Role.GRAIN: Pen(PENCIL, LIGHT),
    Role.REFERENCE: Pen(INK, LIGHT),
    Role.DIMENSION: Pen(INK, LIGHT),
    Role.NOTE: Pen(INK, LIGHT),
    Role.CAUTION: Pen(INK, LIGHT, framed=True),
    Role.STOP: Pen(ALERT, HEAVY, (3.0, 0.9), framed=True),
    Role.TOUCH: Pen(CHALK, HEAVY, (1.0, 0.8), framed=True),
}

HATCH_SPACING = 1.6
"""Between hatch lines, paper mm."""
FIRST_TIER = 8.0
"""From the outline to the first dimension line, paper mm (ISO 129-1 drawings: about 8 to 10)."""
EXTENSION_GAP = 1.0
"""Free between a feature and its extension line, paper mm."""
OVERSHOOT = 1.4
"""How far an extension line runs past its dimension line, paper mm."""
TEXT_GAP = 0.9
"""Between a dimension line and its text, paper mm."""
CLEARANCE = 0.7
"""Lines that come after a text stop this far from it, paper mm."""
LINE_CLEARANCE = 0.5
"""A text stands this far from the lines before it, half a heavy line included, paper mm."""
TICK = 2.2
"""Length of the oblique stroke at the end of a dimension line, paper mm."""
ARROW = (2.6, 0.8)
"""Length and width of an arrow head, paper mm."""
ORIGIN_RADIUS = 0.9
"""Radius of the circle that marks the 0 of ordinates, paper mm."""
SMALLEST_HEIGHT = 1.8
"""The smallest capital height that is still lettered, paper mm (ISO 3098)."""
LINE_PITCH = 1.7
"""From baseline to baseline, in capital heights."""

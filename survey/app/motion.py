"""A piece on its way, as a picture that moves: a shape, its poses, and what it must pass.

No screen here: where the shape is at any moment, and what part of the plan or elevation shows the motion.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from survey.drawing.geometry import Box, Point
from survey.report.structs import EntryReport, PieceReport, WayPose, WayStepReport

MARGIN = 0.12
"""Of the motion's longer side that is shown around it."""


@dataclass(frozen=True)
class Motion:
    """A shape about its own origin (mm), the poses it goes through, and rings that it must pass."""

    name: str
    shape: tuple[Point, ...]
    poses: tuple[WayPose, ...]
    barriers: tuple[tuple[Point, ...], ...]
    view: Literal["plan", "elevation"] = "plan"

    @property
    def moments(self) -> int:
        """How many poses it can be stepped through."""
        return len(self.poses)

    def at(self, share: float) -> tuple[Point, ...]:
        """Return the shape's corners at a share, 0 to 1, of its way; between two poses, in proportion.

        Examples
        --------
        >>> there = (WayPose(0, 0, 0), WayPose(100, 0, 90))
        >>> motion = Motion("door", ((0, 0), (10, 0), (10, 5)), there, ())
        >>> motion.at(0.0)[1], [round(one, 6) for one in motion.at(1.0)[1]]
        ((10.0, 0.0), [100.0, 10.0])
        """
        place = min(max(share, 0.0), 1.0) * (len(self.poses) - 1)
        before = min(int(place), len(self.poses) - 1)
        after = min(before + 1, len(self.poses) - 1)
        part = place - before
        first, second = self.poses[before], self.poses[after]
        turn = math.radians(first.turn_deg + part * (second.turn_deg - first.turn_deg))
        x, y = first.x + part * (second.x - first.x), first.y + part * (second.y - first.y)
        cos, sin = math.cos(turn), math.sin(turn)
        return tuple((x + cos * a - sin * b, y + sin * a + cos * b) for a, b in self.shape)

    @property
    def shown(self) -> Box:
        """The part of the picture that the motion takes, and a margin."""
        count = max(len(self.poses) - 1, 1)
        corners = [corner for step in range(count + 1) for corner in self.at(step / count)]
        box = Box.around(corners)
        return box.grown(MARGIN * max(box.width, box.height))


def clipped(ring: Sequence[Point], box: Box) -> tuple[Point, ...]:
    """Return what of a ring lies in a box (Sutherland and Hodgman's way); empty where nothing does.

    >>> clipped(((-5, -5), (5, -5), (5, 5), (-5, 5)), Box(0, 0, 9, 9))
    ((5.0, 5.0), (0, 5.0), (0.0, 0), (5.0, 0))
    """
    kept: list[Point] = [(float(x), float(y)) for x, y in ring]
    for axis, limit, sign in ((0, box.left, 1), (0, box.right, -1), (1, box.bottom, 1), (1, box.top, -1)):
        before, kept = kept, []
        for start, end in zip(before, [*before[1:], *before[:1]], strict=True):
            inside = [sign * (point[axis] - limit) >= 0 for point in (start, end)]
            if inside[0] != inside[1]:
                share = (limit - start[axis]) / (end[axis] - start[axis])
                x, y = (a + share * (b - a) for a, b in zip(start, end, strict=True))
                kept.append((limit, y) if axis == 0 else (x, limit))
            if inside[1]:
                kept.append(end)
    return tuple(kept)


def motions(piece: PieceReport) -> tuple[Motion, ...]:
    """Return the motions of a piece that can be shown: each step of its way, then into its place.

    >>> motions(PieceReport("top", "top", "ready"))
    ()
    """
    found = [_step(step) for step in piece.way if len(step.shape) > 2 and step.poses]
    if piece.entry is not None and piece.entry.moves and len(piece.outline) > 2:
        found.append(_entry(piece.outline, piece.entry))
    return tuple(found)


def _step(step: WayStepReport) -> Motion:
    return Motion(step.name, step.shape, step.poses, step.barriers, step.view)


def _entry(outline: Sequence[Point], entry: EntryReport) -> Motion:
    """Begin where the moves begin, so that the last one ends at the piece's place."""
    places = [(0.0, 0.0)]
    for dx, dy in reversed(entry.moves):
        x, y = places[-1]
        places.append((x - dx, y - dy))
    poses = tuple(WayPose(x, y, 0.0) for x, y in reversed(places))
    return Motion("into its place", tuple(outline), poses, entry.barriers)

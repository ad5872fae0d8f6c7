"""What a template shows, its sheets, and what all of its pages say alike."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from survey.drawing import Box, Point, Role, Stroke
from survey.drawing.piece_allowance import Where
from survey.drawing.piece_words import printable
from survey.handover.tiling import OVERLAP, Tiling
from survey.report.structs import FitReport, PieceReport

ARM: Final = 4.0
"""Half the length of a cross's lines, mm."""
LONGEST_WORDS: Final = 44
"""Letters of a name or title in the line at the foot of a sheet."""


@dataclass(frozen=True)
class Template:
    """What all pages need; lengths in the piece's own frame, mm."""

    piece: PieceReport
    report: FitReport
    edge: str
    tiling: Tiling
    marks: tuple[Stroke, ...]
    lines: tuple[tuple[Role, tuple[Point, ...]], ...]
    """What is drawn, arcs drawn out, rings closed."""
    told: Mapping[Where, tuple[str, tuple[Point, ...]]]
    """Of each side, what is said about it, and its part of the finished outline."""
    wood: Any
    """The finished piece, without its cut-outs: a shapely polygon."""

    @property
    def pages(self) -> int:
        """The map and the sheets."""
        return 1 + len(self.tiling.tiles)

    @property
    def face(self) -> str:
        """How the template lies when it is read."""
        upright = any(one.name in ("height", "length") for one in self.piece.finished)
        return "show face towards you" if upright else "show face up"

    @cached_property
    def drawn(self) -> Any:
        """All lines, as shapely takes them."""
        from shapely import LineString, MultiLineString  # type: ignore[import-untyped]

        return MultiLineString([LineString(points) for _, points in self.lines])

    @cached_property
    def far(self) -> tuple[Point, Point]:
        """The two crosses, P and Q, that tell with a tape whether all sheets lie right."""
        from shapely import Point as Spot

        off = OVERLAP + 3 * ARM
        all_spots = [p for tile in self.tiling.tiles for p in tile.window.grown(-off).corners()]
        clear = [p for p in all_spots if self.drawn.distance(Spot(p)) > ARM + 1.0]
        spots = clear if len(clear) > 1 else all_spots
        return max(itertools.combinations(spots, 2), key=lambda pair: round(math.dist(*pair), 6))

    @property
    def far_words(self) -> str:
        """Their distance in both units."""
        apart = math.dist(*self.far)
        return f"P to Q {apart:.1f} mm ({apart / 25.4:.2f} in)"


def page_words(made: Template, number: int) -> str:
    """Say which page this is, of how many."""
    return f"page {number} of {made.pages}"


def short(text: str) -> str:
    """Shorten a name so that it has room on a line."""
    kept = printable(text)
    return kept if len(kept) <= LONGEST_WORDS else f"{kept[: LONGEST_WORDS - 1]}…"


def spots(window: Box) -> Iterator[Point]:
    """Yield places in a window, those in its middle first."""
    places = [
        (window.left + (i + 0.5) / 16 * window.width, window.bottom + (j + 0.5) / 32 * window.height)
        for i in range(16)
        for j in range(32)
    ]
    yield from sorted(places, key=lambda p: (round(math.dist(p, window.middle), 6), p))

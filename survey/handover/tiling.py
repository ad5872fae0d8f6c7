"""How a picture at full size is divided among sheets of paper that are taped together again."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Final, NamedTuple

from survey.drawing import Box
from survey.errors import SurveyError

MARGIN: Final = 12.0
"""Kept free on all sides: what printers cannot reach, mm."""
STRIP: Final = (15.0, 27.0)
"""Width of the strip at the left and height of that at the bottom, for scale bars and words, mm."""
OVERLAP: Final = 15.0
"""What neighbouring sheets show both, mm."""
LONGEST: Final = 5000.0
"""Longest sheet of a roll, mm: a PDF page has at most 14,400 points (ISO 32000-1, annex C.2)."""
ROLLS: Final = (250.0, 2000.0)
"""Narrowest and widest roll, mm."""

PAPERS: Final[dict[str, tuple[float, float]]] = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "A0": (841.0, 1189.0),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
    "Arch C": (457.2, 609.6),
    "Arch D": (609.6, 914.4),
    "Arch E": (914.4, 1219.2),
}
"""Sheets, mm: ISO 216; ANSI/ASME Y14.1 for Letter (A) and Tabloid (B) and its architectural C to E."""

_ROLL = re.compile(r"roll\s*(\d+(?:\.\d+)?)\s*(mm|in)", re.IGNORECASE)


class Paper(NamedTuple):
    """A sheet, upright, mm; of a roll the height is as long as it takes."""

    name: str
    width: float
    height: float
    is_roll: bool = False


def paper_named(text: str) -> Paper:
    """Return a paper by its name, or a roll by its width.

    Raises
    ------
    SurveyError
        There is no such paper, or no printer takes such a roll.

    Examples
    --------
    >>> paper_named("letter").width, round(paper_named("roll 24 in").width, 9)
    (215.9, 609.6)
    """
    plain = "".join(text.split()).casefold()
    for name, size in PAPERS.items():
        if plain == name.replace(" ", "").casefold():
            return Paper(name, *size)
    known = f"{', '.join(PAPERS)}, or a roll by its width, such as `roll 610 mm` or `roll 24 in`"
    match = _ROLL.fullmatch(text.strip())
    if match is None:
        raise SurveyError(f"expected a paper ({known}), got {text!r}")
    width = float(match[1]) * (25.4 if match[2].casefold() == "in" else 1.0)
    if not ROLLS[0] <= width <= ROLLS[1]:
        raise SurveyError(
            f"expected a roll {ROLLS[0]:.0f} to {ROLLS[1]:.0f} mm wide, got {width:.0f} mm ({text!r})"
        )
    return Paper(f"roll {match[1]} {match[2].casefold()}", width, LONGEST, True)


class Tile(NamedTuple):
    """One sheet: its page, its place in the grid, from the lower left, and what it shows, model mm."""

    page: int
    column: int
    row: int
    window: Box


def lettered(number: int) -> str:
    """Return the match mark of a seam, counted from 0.

    >>> lettered(0), lettered(25), lettered(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    while number >= 0:
        letters, number = ascii_uppercase[number % 26] + letters, number // 26 - 1
    return letters


class Seam(NamedTuple):
    """Where two sheets overlap, with its letter: the first is the left or the lower one."""

    name: str
    first: Tile
    second: Tile

    @property
    def shared(self) -> Box:
        """What both show, model mm."""
        a, b = self.first.window, self.second.window
        return Box(max(a.left, b.left), max(a.bottom, b.bottom), min(a.right, b.right), min(a.top, b.top))

    @property
    def is_upright(self) -> bool:
        """Whether the sheets lie side by side."""
        return self.first.row == self.second.row

    def crosses(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return the two places, model mm, that both sheets mark: far apart, clear of other seams."""
        box, (x, y) = self.shared, self.shared.middle
        if self.is_upright:
            low, high = box.bottom + 1.8 * OVERLAP, box.top - 1.8 * OVERLAP
            return (x, low), (x, high)
        low, high = box.left + 1.8 * OVERLAP, box.right - 1.8 * OVERLAP
        return (low, y), (high, y)


@dataclass(frozen=True)
class Tiling:
    """The sheets of a picture: all of one size, in reading order from the top."""

    paper: Paper
    size: tuple[float, float]
    area: Box
    tiles: tuple[Tile, ...]

    @property
    def seams(self) -> tuple[Seam, ...]:
        """Every pair of printed neighbours."""
        at = {(tile.column, tile.row): tile for tile in self.tiles}
        pairs = [
            (tile, at[beside])
            for tile in self.tiles
            for beside in ((tile.column + 1, tile.row), (tile.column, tile.row + 1))
            if beside in at
        ]
        return tuple(Seam(lettered(number), *pair) for number, pair in enumerate(pairs))

    def place(self, tile: Tile, p: tuple[float, float]) -> tuple[float, float]:
        """Return where a model point lies on its sheet, mm from the sheet's lower left."""
        x, y = MARGIN + STRIP[0] - tile.window.left, MARGIN + STRIP[1] - tile.window.bottom
        return p[0] + x, p[1] + y


def tiled(area: Box, paper: Paper, is_wanted: Callable[[Box], bool]) -> Tiling:
    """Divide an area among sheets, upright or across, whichever takes fewer.

    Parameters
    ----------
    area : Box
        What is to be shown, model mm.
    paper : Paper
        The sheets.
    is_wanted : callable
        Whether there is anything to see in a window; a sheet without is not printed.

    Returns
    -------
    Tiling
        n = ceil((L - o) / (p - o)) columns and rows before empty ones are left out, where L is the area's
        size, p what a sheet shows, and o the overlap.

    Examples
    --------
    >>> sheets = tiled(Box(0, 0, 500, 100), paper_named("A4"), lambda window: True)
    >>> [tile.page for tile in sheets.tiles], sheets.size
    ([2, 3], (297.0, 210.0))
    """
    choices = [_laid(area, paper, across=across, is_wanted=is_wanted) for across in (False, True)]
    return min(choices, key=lambda one: (len(one.tiles), one.size[0] * one.size[1]))


def _laid(area: Box, paper: Paper, *, across: bool, is_wanted: Callable[[Box], bool]) -> Tiling:
    width, height = (paper.height, paper.width) if across else (paper.width, paper.height)
    if paper.is_roll:
        # Long enough for what is there, and for the words and scale bars of a sheet.
        least = 200.0
        if across:
            width = min(width, max(least, area.width + 2 * MARGIN + STRIP[0]))
        else:
            height = min(height, max(least, area.height + 2 * MARGIN + STRIP[1]))
    shown = (width - 2 * MARGIN - STRIP[0], height - 2 * MARGIN - STRIP[1])
    columns, rows = (
        max(1, math.ceil((size - OVERLAP) / (each - OVERLAP) - 1e-9))
        for size, each in zip((area.width, area.height), shown, strict=True)
    )
    # What the grid has more than the area is shared between both sides.
    left = area.middle[0] - (columns * (shown[0] - OVERLAP) + OVERLAP) / 2
    bottom = area.middle[1] - (rows * (shown[1] - OVERLAP) + OVERLAP) / 2
    tiles: list[Tile] = []
    for row in reversed(range(rows)):
        for column in range(columns):
            x, y = left + column * (shown[0] - OVERLAP), bottom + row * (shown[1] - OVERLAP)
            window = Box(x, y, x + shown[0], y + shown[1])
            if is_wanted(window):
                tiles.append(Tile(len(tiles) + 2, column, row, window))  # page 1 is the map
    return Tiling(paper, (width, height), area, tuple(tiles))

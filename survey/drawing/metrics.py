"""Widths of the one bundled font, and fractions set as a joiner reads them on a rule.

The font is DejaVu Sans Condensed (free licence beside the file in `assets/fonts`). It is read on
first use. Digits around a fraction slash (U+2044) are set small, the numerator raised, as the
Unicode standard asks of that character (section 6.2, fraction slash); an ordinary `/` stays.
"""

import re
from functools import cache
from pathlib import Path
from typing import NamedTuple, Protocol

FONT_NAME = "DejaVuSansCondensed"
FONT_FAMILY = "DejaVu Sans Condensed"
FONT_FILE = Path(__file__).resolve().parents[2] / "assets" / "fonts" / f"{FONT_NAME}.ttf"

_FRACTION = re.compile(r"(\d+)⁄(\d+)")
_WHOLE = re.compile(r"\d $")
_SMALL = 0.7
"""Height of a fraction's digits, in heights of the others."""
_RAISED = 0.38
"""How far up the numerator stands, in heights."""
_THIN = 0.35
"""What is left of the space between a whole number and its fraction."""


class Run(NamedTuple):
    """Letters of one size: offset from the text's start (paper mm), capital height, width."""

    text: str
    across: float
    up: float
    height: float
    width: float


class Metrics(Protocol):
    """What the layout must know about a font."""

    def runs(self, text: str, height: float) -> tuple[Run, ...]:
        """Set one line of text; `height` of capitals and all results in paper mm."""

    def reach(self, text: str, height: float) -> tuple[float, float]:
        """Return the lowest and the highest ink above the baseline, paper mm."""


class FontMetrics:
    """Metrics read from a TrueType file.

    >>> font = bundled()
    >>> [run.text for run in font.runs("34 5⁄16″", 2.5)]
    ['34 ', '5', '⁄', '16', '″']
    >>> round(font.width("1200", 2.5), 2)
    7.85
    """

    def __init__(self, path: Path) -> None:
        """Read advance widths and glyph heights."""
        from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

        with TTFont(path, lazy=True) as font:
            names, widths, glyphs = font.getBestCmap(), font["hmtx"], font["glyf"]
            self._units = float(font["head"].unitsPerEm)
            self.cap_units = float(glyphs["H"].yMax)
            self._advance = _OfLetters(widths[".notdef"][0])
            self._low = _OfLetters(-0.24 * self._units)
            self._high = _OfLetters(0.93 * self._units)
            for code, name in names.items():
                self._advance[chr(code)] = widths[name][0]
                if code < 0x250 or 0x2000 <= code < 0x2300:
                    self._low[chr(code)] = getattr(glyphs[name], "yMin", 0)
                    self._high[chr(code)] = getattr(glyphs[name], "yMax", 0)

    @property
    def em(self) -> float:
        """Font size (em) per capital height."""
        return self._units / self.cap_units

    def plain_width(self, text: str, height: float) -> float:
        """Return the width of letters of one size, without fractions (mm)."""
        return sum(map(self._advance.__getitem__, text)) * height / self.cap_units

    def width(self, text: str, height: float) -> float:
        """Return the width of a line as it is set, fractions small (mm)."""
        last = self.runs(text, height)[-1]
        return last.across + last.width

    def runs(self, text: str, height: float) -> tuple[Run, ...]:
        """Set one line: its pieces from left to right."""
        runs: list[Run] = []
        across = 0.0
        for piece, size, up in _pieces(text):
            width = self.plain_width(piece, height * size)
            runs.append(Run(piece, across, height * up, height * size, width))
            across += width
            if _WHOLE.search(piece) and piece != text:
                across -= (1.0 - _THIN) * self.plain_width(" ", height)
        return tuple(runs)

    def reach(self, text: str, height: float) -> tuple[float, float]:
        """Return the lowest and the highest ink above the baseline (mm)."""
        low, high = 0.0, height
        for run in self.runs(text, height):
            lowest = min(map(self._low.__getitem__, run.text), default=0.0)
            highest = max(map(self._high.__getitem__, run.text), default=0.0)
            low = min(low, run.up + lowest * run.height / self.cap_units)
            high = max(high, run.up + highest * run.height / self.cap_units)
        return low, high


class _OfLetters(dict[str, float]):
    """A number for each letter; letters that the font lacks have one of their own."""

    def __init__(self, missing: float) -> None:
        super().__init__()
        self._missing = missing

    def __missing__(self, letter: str) -> float:
        return self._missing


def _pieces(text: str) -> list[tuple[str, float, float]]:
    pieces: list[tuple[str, float, float]] = []
    done = 0
    for match in _FRACTION.finditer(text):
        if match.start() > done:
            pieces.append((text[done : match.start()], 1.0, 0.0))
        pieces += [(match[1], _SMALL, _RAISED), ("⁄", 1.0, 0.0), (match[2], _SMALL, 0.0)]
        done = match.end()
    if done < len(text):
        pieces.append((text[done:], 1.0, 0.0))
    return pieces


@cache
def bundled() -> FontMetrics:
    """Return the metrics of the bundled font, read once."""
    return FontMetrics(FONT_FILE)

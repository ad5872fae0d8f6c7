"""How high words will be when they wrap, told without drawing them: lists of thousands need it."""

from __future__ import annotations

import math
from functools import lru_cache

from kivy.core.text import Label as CoreLabel


def wrapped_height(text: str, size: float, width: float, bold: bool = False) -> float:
    """Return the height (pixels) of words of this size in this width, broken as a label breaks them."""
    first, further = _heights(size, bold)
    return first + further * (_lines(text, size, width, bold) - 1) if text else 0.0


def _lines(text: str, size: float, width: float, bold: bool) -> int:
    space = _width(" ", size, bold)
    count = 0
    for part in text.split("\n"):
        count += 1
        reached = 0.0
        for word in part.split():
            wide = _width(word, size, bold)
            if reached and reached + space + wide > width - 1.0:
                count, reached = count + 1, 0.0
            if wide > width:
                count += math.ceil(wide / (width - size)) - 1 if width > size else len(word)
            reached += wide + (space if reached else 0.0)
    return count


@lru_cache(maxsize=8192)
def _width(word: str, size: float, bold: bool) -> float:
    return float(_label(size, bold).get_extents(word)[0])


@lru_cache(maxsize=8)
def _label(size: float, bold: bool) -> CoreLabel:
    label = CoreLabel(text=" ", font_size=size, bold=bold)
    label.refresh()
    return label


@lru_cache(maxsize=8)
def _heights(size: float, bold: bool) -> tuple[float, float]:
    """Return the height of one line, and of each further one."""
    highs = []
    for text in ("Ag", "Ag\nAg"):
        label = CoreLabel(text=text, font_size=size, bold=bold)
        label.refresh()
        highs.append(float(label.texture.height))
    return highs[0], highs[1] - highs[0]

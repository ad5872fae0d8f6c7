"""Faults of a laid-out screen that need no reference picture."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Any

from kivy.core.window import Window
from kivy.metrics import Metrics
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget
from pilot import shown

from survey.app.plain import Field, Pressable

LEAST, LEAST_MEASURING = 48, 64
"""dp that a thing to press, and a key of the number pad, must be high and wide."""


def luminance(rgb: Any) -> float:
    """Return the relative luminance of a colour (WCAG 2.2)."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb[:3])
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(a: Any, b: Any) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.2)."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def faults(root: Widget) -> list[str]:
    """Return what is too small to press, cut off, or over something else."""
    seen = [widget for widget in root.walk() if shown(widget)]
    return [*_small(seen), *_cut(seen), *_outside(seen), *_overlapping(seen)]


def _name(widget: Widget) -> str:
    return (
        f"{type(widget).__name__} {str(getattr(widget, 'text', '') or getattr(widget, 'words', ''))[:30]!r}"
    )


def _small(seen: list[Any]) -> Iterator[str]:
    for widget in seen:
        if isinstance(widget, (Pressable, Field)):
            least = LEAST_MEASURING if getattr(widget, "is_measuring", False) else LEAST
            width, height = widget.width / Metrics.density, widget.height / Metrics.density
            if min(width, height) < (LEAST - 0.5) or height < least - 0.5:
                yield f"{_name(widget)} is {width:.0f} x {height:.0f} dp"


def _cut(seen: list[Any]) -> Iterator[str]:
    for widget in seen:
        if isinstance(widget, Label) and widget.text and not widget.shorten:
            wide, high = widget.texture_size
            if wide > widget.width + 1.5 or high > widget.height + 1.5:
                place = f"{widget.width:.0f} x {widget.height:.0f}"
                yield f"{_name(widget)}: {wide} x {high} of letters in {place}"


def _scrolled(widget: Widget) -> bool:
    parent = widget.parent
    while parent is not None and parent is not parent.parent:
        if isinstance(parent, ScrollView):
            return True
        parent = parent.parent
    return False


def _box(widget: Widget) -> tuple[float, float, float, float]:
    x, y = widget.to_window(widget.x, widget.y)
    return x, y, x + widget.width, y + widget.height


def _outside(seen: list[Any]) -> Iterator[str]:
    for widget in seen:
        left, bottom, right, top = _box(widget)
        beside = left < -1.5 or right > Window.width + 1.5
        if beside or (not _scrolled(widget) and (bottom < -1.5 or top > Window.height + 1.5)):
            yield f"{_name(widget)} leaves the window"


def _overlapping(seen: list[Any]) -> Iterator[str]:
    """Words over words, or keys over keys, that are not in one another."""
    things = [one for one in seen if isinstance(one, Pressable) or (isinstance(one, Label) and one.text)]
    boxes = {one: _box(one) for one in things}
    for one, other in combinations(things, 2):
        if _inside(one, other) or _inside(other, one) or _scrolled(one) != _scrolled(other):
            continue
        a, b = boxes[one], boxes[other]
        wide, high = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
        if wide > 2 and high > 2:
            yield f"{_name(one)} lies over {_name(other)}"


def _inside(widget: Widget, other: Widget) -> bool:
    parent = widget
    while parent is not None and parent is not parent.parent:
        if parent is other:
            return True
        parent = parent.parent
    return False

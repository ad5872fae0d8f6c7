"""A piece drawn as a plain outline whose four edges can be pressed; each says what it meets."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import Color, Line, Mesh
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from survey.app.look import look
from survey.app.page import load_kv
from survey.app.piece_sides import PieceSide
from survey.app.plain import Pressable

Path = list[tuple[float, float]]
Put = Callable[[float, float], tuple[float, float]]

WALL: Final = {"scribed": 0.0, "net": 5.0, "covered": 5.0, "let in": -5.0, "filler": 13.0}
"""dp out of the piece's edge at which the wall is drawn, by how the edge is finished."""
WAVE: Final = 1.8
"""dp that a wall waves, either way: none is straight."""
HATCH: Final = 9.0
"""dp of hatching behind a wall, and twice the room between its lines."""
MARGIN: Final = 28.0
"""dp around the outline, for what its edges meet."""


class SideKey(Pressable, BoxLayout):
    """One edge of the picture: which it is, and what it meets."""

    acts = StringProperty()
    words = StringProperty()
    says = StringProperty()
    halign = StringProperty("center")
    is_open = BooleanProperty(False)


class EdgePicture(BoxLayout):
    """Shows `sides` (of `piece_sides.sides`); `on_edge(acts)` comes with what a tap on one changes."""

    sides = ListProperty()
    middle = NumericProperty(0)
    """dp that the picture's middle is high at the least."""

    __events__ = ("on_edge",)

    def __init__(self, **given: Any) -> None:
        """Draw anew whenever the sides, the place for them or the look change."""
        super().__init__(**given)
        self._again = Clock.create_trigger(self._draw)
        self.bind(pos=self._again, size=self._again, sides=self._tell)
        look.bind(ink=self._worn)

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def on_edge(self, acts: str) -> None:
        """Nothing; pages bind it."""

    def _tell(self, *_: object) -> None:
        for side in self.sides:
            key = self.ids[side.at]
            key.words, key.says, key.acts, key.is_open = side.words, side.says, side.acts, side.is_open
        self._again()

    def _draw(self, *_: object) -> None:
        self.canvas.before.clear()
        margin = dp(MARGIN)
        left, bottom = self.x + margin, self.y + margin
        wide, high = self.width - 2 * margin, self.height - 2 * margin
        if wide <= 0 or high <= 0 or not self.sides:
            return
        # Along each edge, and out of it, seen with the piece in the middle.
        puts: dict[str, tuple[float, Put]] = {
            "top": (wide, lambda along, out: (left + along, bottom + high + out)),
            "bottom": (wide, lambda along, out: (left + along, bottom - out)),
            "left": (high, lambda along, out: (left - out, bottom + along)),
            "right": (high, lambda along, out: (left + wide + out, bottom + along)),
        }
        with self.canvas.before:
            for side in self.sides:
                _draw_met(side, *puts[side.at])
            for side in self.sides:
                _draw_edge(side, *puts[side.at])


def _draw_edge(side: PieceSide, length: float, put: Put) -> None:
    """Draw the piece's own edge: straight, or planed to the wall."""
    Color(*look.ink)
    path = _wall(length, 0.0, put) if side.drawn == "scribed" else [put(0.0, 0.0), put(length, 0.0)]
    Line(points=_flat(path), width=dp(1.3), cap="square", joint="round")


def _draw_met(side: PieceSide, length: float, put: Put) -> None:
    """Draw what an edge meets: the wall with its hatching, the floor, a piece, and what lies between."""
    if side.drawn in WALL:
        away = WALL[side.drawn]
        _hatch(length, away, put, WAVE)
        Color(*look.ink)
        Line(points=_flat(_wall(length, away, put)), width=dp(0.7))
        if side.drawn == "filler":
            _box(length, 2.5, away - 3.5, put)
        elif side.drawn == "covered":
            _fill(length, -6.0, away - WAVE, put)
    elif side.drawn == "floor":
        _hatch(length, 0.0, put, 0.0, past=MARGIN)
        Color(*look.ink)
        Line(points=_flat([put(-dp(MARGIN) * 0.8, 0.0), put(length + dp(MARGIN) * 0.8, 0.0)]), width=dp(0.7))
    elif side.drawn == "piece":
        _box(length, 3.0, 12.0, put, past=6.0)


def _box(length: float, near: float, far: float, put: Put, past: float = 0.0) -> None:
    """Draw another piece's edge as a thin rectangle, dp out of the edge."""
    Color(*look.ink)
    low, high, start, end = dp(near), dp(far), -dp(past), length + dp(past)
    corners = [put(start, low), put(end, low), put(end, high), put(start, high)]
    Line(points=_flat(corners), width=dp(0.7), close=True)


def _fill(length: float, near: float, far: float, put: Put) -> None:
    """Draw what covers an edge: a band that lies over it."""
    corners = [put(0.0, dp(near)), put(length, dp(near)), put(length, dp(far)), put(0.0, dp(far))]
    Color(*look.wash)
    Mesh(
        vertices=[n for x, y in corners for n in (x, y, 0.0, 0.0)],
        indices=[0, 1, 2, 3],
        mode="triangle_fan",
    )
    Color(*look.pencil)
    Line(points=_flat(corners), width=dp(0.7), close=True)


def _hatch(length: float, away: float, put: Put, wave: float, past: float = 0.0) -> None:
    """Hatch the side of a wall or floor that is not the room."""
    Color(*look.pencil)
    step, deep = dp(HATCH) * 0.75, dp(HATCH)
    start, end = -dp(past) * 0.8, length + dp(past) * 0.8
    for number in range(int((end - start - deep) / step) + 1):
        along = start + number * step
        foot = dp(away) + (_wave(along, length) if wave else 0.0)
        Line(points=_flat([put(along, foot), put(along + deep * 0.8, foot + deep)]), width=dp(0.55))


def _wall(length: float, away: float, put: Put) -> Path:
    steps = max(int(length / dp(4)), 8)
    return [put(length * k / steps, dp(away) + _wave(length * k / steps, length)) for k in range(steps + 1)]


def _wave(along: float, length: float) -> float:
    """Return how far a wall stands out of its line at a place; nothing at its ends."""
    share = along / max(length, 1.0)
    return -dp(WAVE) * math.sin(math.pi * share) * math.cos(2.6 * math.pi * share)


def _flat(path: Iterable[tuple[float, float]]) -> list[float]:
    return [number for point in path for number in point]


load_kv(__file__)

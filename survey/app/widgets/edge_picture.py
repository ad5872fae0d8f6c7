"""A piece drawn as a plain outline whose edges and corners can be pressed; each says what it meets."""

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
from survey.app.piece_sides import At, Drawn, PieceSide
from survey.app.plain import Pressable

Path = list[tuple[float, float]]
Put = Callable[[float, float], tuple[float, float]]
NOTHING: Final = PieceSide("top", "", "", "open", "")
"""Where a picture says nothing."""

PLACES: Final[tuple[At, ...]] = ("left", "right", "top", "bottom", "low left", "low right")
WALL: Final = {"scribed": 0.0, "net": 5.0, "covered": 5.0, "let in": -5.0, "filler": 13.0}
"""dp out of the piece's edge at which the wall is drawn, by how the edge is finished."""
WAVE: Final = 1.8
"""dp that a wall waves, either way: none is straight."""
HATCH: Final = 9.0
"""dp of hatching behind a wall, and twice the room between its lines."""
MARGIN: Final = 28.0
"""dp around the outline, for what its edges meet."""
CUT: Final = 18.0
"""dp that a shaped front corner takes of both edges."""
CLEAR: Final = 12.0
"""dp between a box and the floor, where legs or a base stand."""
HINGE: Final = (0.16, 0.84)
"""Shares of a side at which its hinges are drawn."""


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

    def on_kv_post(self, base_widget: Any) -> None:
        """Take the keys, and take the row of the front corners out until there are some."""
        self._low = self.ids.low.__self__  # ids alone do not keep a widget alive
        self._keys = {at: self.ids[at.replace(" ", "_")].__self__ for at in PLACES}
        self.remove_widget(self._low)
        self._tell()

    def _worn(self, *_: object) -> None:
        """Draw in the look that was put on; a method, so that the look does not keep the widget alive."""
        self._again()

    def on_edge(self, acts: str) -> None:
        """Nothing; pages bind it."""

    def _tell(self, *_: object) -> None:
        there = {side.at: side for side in self.sides}
        has_corners = "low left" in there or "low right" in there
        if has_corners and self._low.parent is None:
            self.add_widget(self._low, index=1)  # right above the front
        elif not has_corners and self._low.parent is not None:
            self.remove_widget(self._low)
        for at, key in self._keys.items():
            side = there.get(at, NOTHING)
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
        drawn = {side.at: side.drawn for side in self.sides}
        cut = {
            at: dp(CUT) if drawn.get(at) in ("radius", "clip") else 0.0 for at in ("low left", "low right")
        }
        with self.canvas.before:
            for at, (length, put) in puts.items():
                _draw_met(drawn.get(at, "open"), length, put)
            Color(*look.ink)
            for at, (length, put) in puts.items():
                # Both sides begin at the front, and the front at the left.
                start = cut["low left"] if at == "bottom" else cut.get(f"low {at}", 0.0)
                _draw_edge(
                    drawn.get(at) == "scribed", length, put, start, cut["low right"] * (at == "bottom")
                )
            for at, (x, turn) in {"low left": (left, 1), "low right": (left + wide, -1)}.items():
                if cut[at]:
                    _draw_corner(x, bottom, turn * cut[at], drawn[at] == "radius")


def _draw_edge(is_scribed: bool, length: float, put: Put, start: float, less: float) -> None:
    """Draw the piece's own edge: straight, from its corner to the next, or planed to the wall."""
    path = _wall(length, 0.0, put) if is_scribed else [put(start, 0.0), put(length - less, 0.0)]
    Line(points=_flat(path), width=dp(1.3), cap="square", joint="round")


def _draw_corner(x: float, y: float, across: float, is_round: bool) -> None:
    """Draw a front corner, shaped inward from (x, y); `across` is minus at the right one."""
    turns = [math.pi / 2 * step / 12 for step in range(13)] if is_round else [0.0, math.pi / 2]
    high = abs(across)
    path = [(x + across * (1 - math.cos(turn)), y + high * (1 - math.sin(turn))) for turn in turns]
    Line(points=_flat(path), width=dp(1.3), cap="square", joint="round")


def _draw_met(drawn: Drawn, length: float, put: Put) -> None:
    """Draw what an edge meets: the wall with its hatching, the floor, a piece, and what lies between."""
    if drawn in WALL:
        away = WALL[drawn]
        _hatch(length, away, put, WAVE)
        Color(*look.ink)
        Line(points=_flat(_wall(length, away, put)), width=dp(0.7))
        if drawn == "filler":
            _box(0.0, length, 2.5, away - 3.5, put)
        elif drawn == "covered":
            _fill(length, -6.0, away - WAVE, put)
    elif drawn in ("floor", "toe space", "legs"):
        _floor(drawn, length, put)
    elif drawn == "piece":
        _box(-dp(6), length + dp(6), 3.0, 12.0, put)
    elif drawn == "hinge":
        for share in HINGE:
            _box(share * length - dp(7), share * length + dp(7), 0.0, 5.0, put)


def _floor(drawn: Drawn, length: float, put: Put) -> None:
    """Draw the floor, and what stands on it below the box."""
    away = 0.0 if drawn == "floor" else CLEAR
    _hatch(length, away, put, 0.0, past=MARGIN)
    Color(*look.ink)
    ends = [put(-dp(MARGIN) * 0.8, dp(away)), put(length + dp(MARGIN) * 0.8, dp(away))]
    Line(points=_flat(ends), width=dp(0.7))
    if drawn == "toe space":
        _box(0.0, length, 0.0, CLEAR, put)
    elif drawn == "legs":
        for start in (dp(10), length - dp(16)):
            _box(start, start + dp(6), 0.0, CLEAR, put)


def _box(start: float, end: float, near: float, far: float, put: Put) -> None:
    """Draw a thin rectangle beside an edge: along it from `start` to `end`, dp out of it."""
    Color(*look.ink)
    low, high = dp(near), dp(far)
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

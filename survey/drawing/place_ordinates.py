"""Ordinates: one row of numbers along an edge of the picture, pushed apart, none crossing."""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from survey.drawing import style
from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import Lettering
from survey.drawing.paper import UPRIGHT, Paper, no_room
from survey.drawing.primitives import Anchor, Axis, Ordinate, Role, Side

_SAME = 0.01
"""Two features this near along the axis are one ordinate, paper mm."""
_LEADER_ROOM = 1.2
"""What a leader needs that runs between the texts of the inner row, paper mm."""
_STRAIGHT = 3.0
"""Straight piece of a leader before and after its jog, paper mm."""
_FAR = 16.0
"""A number that would stand this far from its feature is brought nearer by a second row, mm."""
_NEAR = 3.0
"""The same where a single row did not fit the paper."""
_ORIGIN_OUT = 1.7
"""Where the mark of the 0 stands, paper mm from the body."""
_TO_TEXT = 0.8
"""Between a leader's end and its text, paper mm."""
_ROW_GAP = 2.0
"""Between the texts of the inner row and those of the outer, paper mm."""
_SIDES = {Axis.X: (Side.BOTTOM, Side.TOP), Axis.Y: (Side.LEFT, Side.RIGHT)}


@dataclass(frozen=True, slots=True)
class _Entry:
    feature: Point
    text: str
    height: float
    role: Role
    record: str
    is_origin: bool = False


def place_ordinates(
    paper: Paper, ordinates: Sequence[Ordinate], one_to: float, rows: int, shrink: float
) -> None:
    """Draw all ordinates; `rows` 2 staggers the texts sooner, `shrink` makes them smaller."""
    body = paper.body
    for side, group in _by_side(ordinates, body, one_to).items():
        _Row(paper, body, side, rows).place(_entries(group, side, one_to, shrink))


def _by_side(ordinates: Sequence[Ordinate], body: Box, one_to: float) -> dict[Side, list[Ordinate]]:
    """Give every ordinate a side; one side never holds two datums along one axis."""
    sides: dict[Side, list[Ordinate]] = {}
    for ordinate in sorted(ordinates, key=lambda o: o.side is Side.AUTO):
        wanted = (
            _nearest_first(ordinates, ordinate, body, one_to)
            if ordinate.side is Side.AUTO
            else (ordinate.side,)
        )
        for side in wanted:
            others = sides.setdefault(side, [])
            if all(_datum(other) == _datum(ordinate) for other in others):
                others.append(ordinate)
                break
        else:
            raise DrawingError(
                f"The ordinate {ordinate.text!r} along {ordinate.axis} counts from "
                f"{ordinate.datum}, but {' and '.join(wanted)} already count from another datum: "
                "use one datum, another side, or a second picture."
            )
    return {side: group for side, group in sides.items() if group}


def _datum(ordinate: Ordinate) -> float:
    return ordinate.datum[0 if ordinate.axis is Axis.X else 1]


def _nearest_first(
    ordinates: Sequence[Ordinate], ordinate: Ordinate, body: Box, one_to: float
) -> tuple[Side, ...]:
    """Order the two sides by how far the features of the same datum are from them, together."""
    across = 1 if ordinate.axis is Axis.X else 0
    low, high = (body.bottom, body.top) if across else (body.left, body.right)
    mates = [
        other.feature[across] / one_to
        for other in ordinates
        if other.axis is ordinate.axis and _datum(other) == _datum(ordinate)
    ]
    near, far = _SIDES[ordinate.axis]
    is_nearer = sum(mates) - low * len(mates) <= high * len(mates) - sum(mates)
    return (near, far) if is_nearer else (far, near)


def _entries(group: list[Ordinate], side: Side, one_to: float, shrink: float) -> list[_Entry]:
    """Sort along the axis, join equal ones, and add the 0 of the datum."""
    first = group[0]
    at = 0 if first.axis is Axis.X else 1
    entries = [
        _Entry(
            (o.feature[0] / one_to, o.feature[1] / one_to),
            o.text,
            max(o.height * shrink, min(o.height, style.SMALLEST_HEIGHT)),
            o.role,
            o.record,
        )
        for o in group
    ]
    datum = (first.datum[0] / one_to, first.datum[1] / one_to)
    entries = [e for e in entries if abs(e.feature[at] - datum[at]) > _SAME]
    entries.append(_Entry(datum, "0", entries[0].height if entries else 2.5, first.role, "", True))
    outward = -1.0 if side in (Side.BOTTOM, Side.LEFT) else 1.0
    # Of equal ones the feature nearest to the edge is kept: its extension line is the shortest.
    entries.sort(key=lambda e: (e.feature[at], -outward * e.feature[1 - at]))
    kept: list[_Entry] = []
    for entry in entries:
        is_same = kept and abs(entry.feature[at] - kept[-1].feature[at]) <= _SAME
        if not (is_same and entry.text == kept[-1].text):
            kept.append(entry)
    return kept


def push_apart(wanted: Sequence[float], apart: Sequence[float]) -> list[float]:
    """Move rising positions as little as possible so that they keep their distances.

    `apart[i]` is the least distance between i and i + 1. The result has the least sum of squared
    moves: it is the isotonic regression of the positions less their distances, found by pooling
    adjacent violators.

    >>> push_apart([0.0, 1.0, 10.0], [3.0, 3.0])
    [-1.0, 2.0, 10.0]
    """
    offsets = [0.0]
    for gap in apart:
        offsets.append(offsets[-1] + gap)
    pools: list[tuple[float, int]] = []
    for position, offset in zip(wanted, offsets, strict=True):
        mean, count = position - offset, 1
        while pools and pools[-1][0] > mean:
            last, size = pools.pop()
            mean, count = (mean * count + last * size) / (count + size), count + size
        pools.append((mean, count))
    level = [mean for mean, count in pools for _ in range(count)]
    return [mean + offset for mean, offset in zip(level, offsets, strict=True)]


class _Row:
    """The row of numbers along one side."""

    def __init__(self, paper: Paper, body: Box, side: Side, rows: int) -> None:
        self.paper, self.body, self.side, self.rows = paper, body, side, rows
        self.at = 0 if side in (Side.BOTTOM, Side.TOP) else 1

    def point(self, along: float, out: float) -> Point:
        """Return the point at `along` the edge and `out` from the body."""
        return {
            Side.BOTTOM: (along, self.body.bottom - out),
            Side.TOP: (along, self.body.top + out),
            Side.LEFT: (self.body.left - out, along),
            Side.RIGHT: (self.body.right + out, along),
        }[self.side]

    def place(self, entries: list[_Entry]) -> None:
        """Try growing distances from the body until nothing is in the way, then draw."""
        places = self._places(entries)
        most = self._most_moved(entries, places)
        jog = min(14.0, 0.8 * most) if most > 0.05 else 0.0
        for step in range(400):
            out = _STRAIGHT + step
            texts = self._texts(entries, places, out + jog + _STRAIGHT)
            leaders = [
                self._leader(entry, place, out, jog, text)
                for entry, place, text in zip(entries, places, texts, strict=True)
            ]
            if all(map(self.paper.is_free, texts)) and all(map(self.paper.is_open, leaders)):
                self._draw(entries, texts, leaders)
                return
        raise no_room(entries[0].text)

    def _places(self, entries: list[_Entry]) -> list[float]:
        """Push the numbers apart, and stagger them where one row would carry them far."""
        wanted = [entry.feature[self.at] for entry in entries]
        allowed, self.rows = self.rows, 1
        places = push_apart(wanted, self._distances(entries))
        if self._most_moved(entries, places) > (_FAR if allowed == 1 else _NEAR):
            self.rows = 2
            places = push_apart(wanted, self._distances(entries))
        return places

    def _most_moved(self, entries: list[_Entry], places: list[float]) -> float:
        moves = (abs(e.feature[self.at] - p) for e, p in zip(entries, places, strict=True))
        return max(moves)

    def _distances(self, entries: list[_Entry]) -> list[float]:
        """Return the least distance between neighbours (paper mm)."""
        sizes = [1.1 * entry.height + style.CLEARANCE + style.LINE_CLEARANCE for entry in entries]
        if self.rows == 1:
            return [(a + b) / 2 for a, b in itertools.pairwise(sizes)]
        pairs = itertools.pairwise(sizes)
        return [((a, b)[i % 2] + _LEADER_ROOM) / 2 for i, (a, b) in enumerate(pairs)]

    def _texts(self, entries: list[_Entry], places: list[float], out: float) -> list[Lettering]:
        texts = [self._text(e, p, out) for e, p in zip(entries, places, strict=True)]
        if self.rows == 1:
            return texts
        deeper = out + max(text.width for text in texts[::2]) + _ROW_GAP
        return [
            self._text(entry, place, deeper) if i % 2 else texts[i]
            for i, (entry, place) in enumerate(zip(entries, places, strict=True))
        ]

    def _text(self, entry: _Entry, place: float, out: float) -> Lettering:
        starts = self.side in (Side.TOP, Side.RIGHT)
        return self.paper.letter(
            entry.text,
            self.point(place, out + _TO_TEXT),
            Anchor.LEFT if starts else Anchor.RIGHT,
            height=entry.height,
            angle=UPRIGHT if self.at == 0 else 0.0,
            role=entry.role,
            record=entry.record,
        )

    def _leader(self, entry: _Entry, place: float, out: float, jog: float, text: Lettering) -> list[Point]:
        """Return the way from clear of the body to the text: the jog, then straight."""
        along = entry.feature[self.at]
        box = text.extents()
        end = {
            Side.BOTTOM: self.body.bottom - box.top,
            Side.TOP: box.bottom - self.body.top,
            Side.LEFT: self.body.left - box.right,
            Side.RIGHT: box.left - self.body.right,
        }[self.side] - _TO_TEXT
        way = [self.point(along, out), self.point(place, out + jog)]
        return [*way, self.point(place, end)]

    def _draw(self, entries: list[_Entry], texts: list[Lettering], leaders: list[list[Point]]) -> None:
        for entry, leader in zip(entries, leaders, strict=True):
            self._draw_extension(entry, leader[0])
            self.paper.draw_line(leader, entry.role, entry.record)
            if entry.is_origin:
                along = entry.feature[self.at]
                self.paper.draw_origin(self.point(along, _ORIGIN_OUT), entry.role, entry.record)
        for text in texts:
            self.paper.draw_text(text)

    def _draw_extension(self, entry: _Entry, leader_start: Point) -> None:
        """Draw from just off the feature to the leader, interrupted by words on the way."""
        share = style.EXTENSION_GAP / math.dist(entry.feature, leader_start)
        start = (
            entry.feature[0] + share * (leader_start[0] - entry.feature[0]),
            entry.feature[1] + share * (leader_start[1] - entry.feature[1]),
        )
        self.paper.draw_broken(start, leader_start, entry.role, entry.record)

"""A piece drawn over what it was: the new picture, the old finished line dotted under it.

The old line is pencil, thin and dotted, on layer NOTE: no machine follows it, and neither of the two lines
that are cut by is dotted. A number that changed says what it was.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from survey.changes.outlines import farthest, rings_apart, shift
from survey.drawing.geometry import Box, Point, flatten
from survey.drawing.piece_words import across_words, axis_of, edge_words, leave_words, printable, typeset
from survey.drawing.pieces import has_picture, notch_corners, piece_drawing
from survey.drawing.primitives import (
    Anchor,
    Axis,
    Drawable,
    Drawing,
    Layer,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Text,
)
from survey.quantity import Step
from survey.report.structs import PieceReport

CHORD: Final = 0.05
"""How far chords of arcs may be off where lines are only compared, mm."""
SAME: Final = 1e-6
"""mm; points that come from one number."""
AWAY: Final = 7.0
"""From the old line to the words about it, each way, paper mm, where nothing is in their way."""


def changed_drawing(was: PieceReport, now: PieceReport, revision: str, step: Step) -> Drawing | None:
    """Draw a piece over what it was; nothing where no line and no number of its picture changed.

    Parameters
    ----------
    was, now : PieceReport
        The same piece in two revisions. Where its datum changed, the old line is laid with its lower left
        corner on the new one's.
    revision : str
        Which revision the old one is of, in words.
    step : Step
        The job's smallest fraction: what moved by less than half of it did not move.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> def shelf(width):
    ...     ring = ((0.0, 0.0), (width, 0.0), (width, 300.0), (0.0, 300.0))
    ...     return PieceReport("shelf", "top", "ready", outline=ring)
    >>> drawn = changed_drawing(shelf(600.0), shelf(590.0), "revision 38 (2d8c7c46)", read_step("1 mm"))
    >>> drawn.items[0].role.value, drawn.items[0].layer.value, drawn.items[1].text
    ('earlier', 'NOTE', 'as it was in\\nrevision 38 (2d8c7c46)')
    >>> changed_drawing(shelf(600.0), shelf(600.0), "revision 38", read_step("1 mm")) is None
    True
    """
    if not (has_picture(was) and has_picture(now)):
        return None
    drawing = piece_drawing(now)
    new = [_flat(line) for line in _finished(drawing)]
    lines = list(_earlier(was, now, new, float(step.mm) / 2))
    numbers = _numbers(was, now)
    items = [_with_earlier(item, numbers) for item in drawing.items]
    items = [_with_left_on(item, was, now) for item in items]
    if not lines and tuple(items) == drawing.items:
        return None
    legend: list[Drawable] = []
    if lines:
        at = farthest([_flat(line) for line in lines], new)
        legend.append(_legend(at, drawing.extents(), revision))
    # Words that come first keep their place: nothing else may cover the spot that the legend points at.
    return Drawing((*lines, *legend, *items), drawing.title)


def _legend(at: Point, box: Box, revision: str) -> Text:
    """Say what the dotted line is, on the piece beside it, where there is more room than around it."""
    is_left, is_low = at[0] < box.middle[0], at[1] < box.middle[1]
    anchor = {
        (True, True): Anchor.BOTTOM_LEFT,
        (True, False): Anchor.TOP_LEFT,
        (False, True): Anchor.BOTTOM_RIGHT,
        (False, False): Anchor.TOP_RIGHT,
    }[is_left, is_low]
    shift = (AWAY if is_left else -AWAY, AWAY if is_low else -AWAY)
    return Text(at, f"as it was in\n{revision}", anchor=anchor, shift=shift, leader=True)


def _finished(drawing: Drawing) -> list[Polyline]:
    """Return the finished outline and the rings of the cut-outs."""
    lines = (item for item in drawing.items if isinstance(item, Polyline))
    return [line for line in lines if line.closed and line.role is Role.FINISHED]


def _flat(line: Polyline) -> tuple[Point, ...]:
    return tuple(flatten(line.points, line.bulges, True, CHORD))


def _earlier(
    was: PieceReport, now: PieceReport, new: list[tuple[Point, ...]], least: float
) -> Iterator[Polyline]:
    """Give the old lines, in the new picture's frame, that no new line lies on."""
    dx, dy = shift(was, now)
    for line in _finished(piece_drawing(was)):
        points = tuple((x + dx, y + dy) for x, y in line.points)
        old = replace(line, points=points, role=Role.EARLIER, layer=Layer.NOTE)
        if all(rings_apart(_flat(old), ring) > least for ring in new):
            yield old


# Numbers


@dataclass(frozen=True)
class _Number:
    """A number of the new picture that was another: where it stands, and both as a picture writes them."""

    text: str
    was: str
    axis: str
    at: float | None = None
    """Of an ordinate, where its feature lies along the axis (mm); an overall size has none."""
    is_blank: bool = False

    def is_shown_by(self, item: Drawable) -> bool:
        """Say whether it is this number that an item writes."""
        if isinstance(item, Linear):
            along = "x" if abs(item.end[0] - item.start[0]) > abs(item.end[1] - item.start[1]) else "y"
            is_kind = self.at is None and along == self.axis and self.is_blank == ("blank" in item.text)
            return is_kind and item.text.endswith(self.text)
        if isinstance(item, Ordinate) and self.at is not None and item.axis.value == self.axis:
            return item.text == self.text and abs(item.feature[item.axis is Axis.Y] - self.at) < SAME
        return False


def _numbers(was: PieceReport, now: PieceReport) -> list[_Number]:
    return [*_sizes(was, now), *_notch_corners(was, now), *_centres(was, now)]


def _sizes(was: PieceReport, now: PieceReport) -> Iterator[_Number]:
    for old, new, is_blank in ((was.finished, now.finished, False), (was.blank, now.blank, True)):
        before = {one.name: one.size.text for one in old}
        for one in new:
            text = before.get(one.name, one.size.text)
            if text != one.size.text:
                axis = axis_of(one.name, now)
                yield _Number(typeset(one.size.text), typeset(text), axis, is_blank=is_blank)


def _notch_corners(was: PieceReport, now: PieceReport) -> Iterator[_Number]:
    """Pair notches by what they clear, where both have as many corners, counted from the same edges."""
    before = {notch.around: notch for notch in was.notches}
    for notch in now.notches:
        old = before.get(notch.around)
        start = (notch.across_from, notch.deep_from)
        if old is None or len(old.corners) != len(notch.corners) or (old.across_from, old.deep_from) != start:
            continue
        at = notch_corners(now, notch)
        for point, then, one in zip(at, old.corners, notch.corners, strict=True):
            across = (across_words(each.across.text, notch.across_from) for each in (one, then))
            yield from _changed("x", point[0], *across)
            yield from _changed("y", point[1], one.deep.text, then.deep.text)


def _centres(was: PieceReport, now: PieceReport) -> Iterator[_Number]:
    before = {one.name: one for one in was.cut_outs}
    for one in now.cut_outs:
        old = before.get(one.name)
        if old is None or len(one.ring) < 3:
            continue
        middle = Box.around(one.ring).middle
        across = (across_words(each.centre.across.text, each.across_from) for each in (one, old))
        yield from _changed("x", middle[0], *across)
        yield from _changed("y", middle[1], one.centre.deep.text, old.centre.deep.text)


def _changed(axis: str, at: float, now: str, was: str) -> Iterator[_Number]:
    if now != was:
        yield _Number(typeset(now), typeset(was), axis, at)


def _with_earlier(item: Drawable, numbers: list[_Number]) -> Drawable:
    """Say behind a number what it was."""
    if isinstance(item, (Linear, Ordinate)):
        for one in numbers:
            if one.is_shown_by(item):
                return replace(item, text=f"{item.text} (was {one.was})")
    return item


def _with_left_on(item: Drawable, was: PieceReport, now: PieceReport) -> Drawable:
    """Say behind what is left on along an edge, or its gap, what that was."""
    if not isinstance(item, Text):
        return item
    before = {edge.edge: leave_words(edge) for edge in was.edges}
    for edge in now.edges:
        told, old = typeset(leave_words(edge)), typeset(before.get(edge.edge, ""))
        is_named = printable(edge_words(edge)) in item.text
        if told and old and told != old and is_named and told in item.text:
            text = item.text.replace(told, f"{told} (was {old.removeprefix('leave ').removeprefix('gap ')})")
            return replace(item, text=text)
    return item

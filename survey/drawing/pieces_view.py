"""The pieces of one wall where they stand, facing it: small, and without a number.

Heavy ink is what is planned; the wall and what is on it are thin. The frame is that of `elevation`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.drawing.elevation import Elevation, Standing, elevation, standing
from survey.drawing.laid_out import LaidOut
from survey.drawing.layout import layout
from survey.drawing.piece_words import printable
from survey.drawing.primitives import Circle, Drawable, Drawing, Polyline, Role, Text
from survey.drawing.wall_things import drawn, hatched, line, reaches, rectangle
from survey.records import Survey

SHEET: Final = (100.0, 46.0)
"""Paper mm: a phone's width, and a quarter of its height."""
SCALES: Final = (8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200)
LETTERS: Final = 3.2
"""Capital height of names, paper mm."""
NAMED: Final = (420.0, 120.0)
"""mm: a piece less wide or less high than this is too small for its name."""
ABOVE: Final = 150.0
"""mm that the wall goes on above the highest piece."""
MARGIN: Final = 2.5
"""Around all that is drawn, paper mm."""
THICK: Final = 45.0
"""mm of hatching behind floor and walls."""


def pieces_picture(survey: Survey, wall: str) -> LaidOut | None:
    """Lay out the pieces that stand at a wall; nothing where none has a place there.

    Raises
    ------
    DrawingError
        There is no such wall, or the walls make no room yet.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm level line 1000", "room r", "wall back", "wall left"]
    >>> lines += ["corner left and back"]
    >>> lines += ["cabinet v width 900 height 830 depth 530, left meets left filler gap 20, right open"]
    >>> shown = pieces_picture(Survey(dictate(lines, Survey([]))), "back")
    >>> [mark.text for mark in shown.marks if hasattr(mark, "text")]
    ['v']
    """
    found = elevation(survey, wall)
    pieces, _ = standing(found)
    if not pieces:
        return None
    drawing = Drawing(tuple(_items(found, pieces)), f"pieces at wall {wall}")
    return layout(drawing, SHEET, scales=SCALES).trimmed(MARGIN)


def _items(found: Elevation, pieces: list[Standing]) -> Iterator[Drawable]:
    low, high = reaches(found)
    left = low if found.left is not None else min([low, *(one.left - ABOVE for one in pieces)])
    right = high if found.right is not None else max([high, *(one.right + ABOVE for one in pieces)])
    floor, top = found.floor_up, max(one.top for one in pieces) + ABOVE
    yield from _around(found, left, right, floor, top)
    for thing in found.things:
        shown = drawn(thing, found, top)
        if shown is not None and all(_is_low(shape, top) for shape in shown.shapes):
            yield from shown.shapes
    for one in pieces:
        yield rectangle(one.left, one.bottom, one.right, one.top, Role.FINISHED, one.record)
    for one in pieces:
        if one.right - one.left > NAMED[0] and one.top - one.bottom > NAMED[1]:
            at = ((one.left + one.right) / 2, (one.bottom + one.top) / 2)
            yield Text(at, printable(one.name), LETTERS, record=one.record)


def _around(found: Elevation, left: float, right: float, floor: float, top: float) -> Iterator[Drawable]:
    """Draw the floor, and the walls at the ends where there are any."""
    yield hatched(((left, floor), (right, floor), (right, floor - THICK), (left, floor - THICK)))
    yield line(((left, floor), (right, floor)), Role.REFERENCE, "")
    for end, x, turn in (("left", found.left, -THICK), ("right", found.right, THICK)):
        corner = found.plan.corner_at(found.wall, end)
        if x is None or corner is None:
            continue
        if found.ground.corners[corner.name].turn == "inside":
            yield hatched(((x, floor), (x, top), (x + turn, top), (x + turn, floor)))
        yield line(((x, floor), (x, top)), Role.REFERENCE, "")


def _is_low(shape: Drawable, top: float) -> bool:
    """Whether a shape is no higher than the picture: what is above the pieces does not matter to them."""
    return isinstance(shape, Polyline | Circle) and shape.extents().top <= top + 1.0

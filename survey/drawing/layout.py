"""Turn a drawing into plain marks on an area of paper, to scale and free of collisions.

The order decides who gives way: shapes stand where the model says, then words, then angles, then
ordinates outside of those, then linear dimensions in tiers outside of all.
"""

import math
from collections.abc import Iterator, Sequence

from survey.drawing import style
from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box
from survey.drawing.laid_out import LaidOut, Mark
from survey.drawing.metrics import Metrics, bundled
from survey.drawing.paper import Paper
from survey.drawing.place_angular import place_angular
from survey.drawing.place_linear import place_linears
from survey.drawing.place_ordinates import place_ordinates
from survey.drawing.place_shapes import place_shape, place_text
from survey.drawing.primitives import (
    Angular,
    Drawing,
    HatchedRing,
    Linear,
    Ordinate,
    Shape,
    Text,
)

SURE = 0.8
"""Share of what words and dimensions took around a larger picture that they take around a smaller one too: it
is more crowded there. So scales are passed over that cannot do, without being tried."""
METRIC_SCALES = (1, 2, 5, 10, 20, 25, 50, 100)
"""Denominators of ISO 5455, and 25."""
INCH_SCALES = (1, 2, 4, 8, 12, 16, 24, 48, 96)
"""Denominators that an inch rule reads: 1:8 is 1 1/2 in to the foot, 1:12 is 1 in to the foot."""


def layout(
    drawing: Drawing,
    sheet: tuple[float, float],
    scale: float | None = None,
    *,
    scales: Sequence[float] = METRIC_SCALES,
    metrics: Metrics | None = None,
) -> LaidOut:
    """Lay a drawing out on an area of paper.

    Parameters
    ----------
    drawing : Drawing
        What to show; at least one shape.
    sheet : (float, float)
        Width and height of the area, paper mm. The picture is centred in it.
    scale : float, optional
        The scale's denominator (10 for 1:10). Without it, the largest of `scales` that fits.
    scales : sequence of float
        Denominators to choose from.
    metrics : Metrics, optional
        Widths of the font; the bundled one unless given.

    Raises
    ------
    DrawingError
        Nothing to show, an area that is none, or dimensions that fit at no scale.

    Examples
    --------
    >>> from survey.drawing import Layer, Linear, Polyline, Role
    >>> shelf = Polyline(((0, 0), (764, 0), (764, 300), (0, 300)), closed=True,
    ...                  role=Role.FINISHED, layer=Layer.CUT)
    >>> width = Linear((0, 0), (764, 0), "764", outward=-1)
    >>> laid = layout(Drawing((shelf, width), "Shelf"), (180, 120))
    >>> laid.scale_text, [mark.text for mark in laid.marks if hasattr(mark, "text")]
    ('1:5', ['764'])
    """
    if not all(math.isfinite(size) and size > 0.0 for size in sheet):
        raise DrawingError(f"The area of paper needs a width and a height in mm, got {sheet}.")
    size = drawing.extents()
    metrics = metrics or bundled()
    around = (0.0, 0.0)
    for one_to, rows, shrink in _attempts(drawing, (scale,) if scale else sorted(scales)):
        shown = size.width / one_to, size.height / one_to
        if any(a + SURE * b > room for a, b, room in zip(shown, around, sheet, strict=True)):
            continue
        paper = _attempt(drawing, one_to, rows, shrink, metrics)
        box = _extents(paper.marks)
        if box.width <= sheet[0] and box.height <= sheet[1]:
            return _centred(paper.marks, box, sheet, one_to, drawing.title)
        if shrink == 1.0 and rows == 1:
            around = box.width - shown[0], box.height - shown[1]
    raise DrawingError(
        f"The picture {drawing.title!r} of {size.width:.0f} x {size.height:.0f} mm with its "
        f"dimensions does not fit {sheet[0]:.0f} x {sheet[1]:.0f} mm of paper at any scale "
        f"({', '.join(f'1:{one:g}' for one in ((scale,) if scale else scales))}): use a larger "
        "area, a smaller scale, or divide the dimensions over two pictures."
    )


def _attempts(drawing: Drawing, scales: Sequence[float]) -> Iterator[tuple[float, int, float]]:
    """Yield scale, rows of ordinates, and their size: small letters are the last resort."""
    has_ordinates = any(isinstance(item, Ordinate) for item in drawing.items)
    smallest = style.SMALLEST_HEIGHT / max(
        (item.height for item in drawing.items if isinstance(item, Ordinate)),
        default=style.SMALLEST_HEIGHT,
    )
    for shrink in (1.0, smallest) if has_ordinates and smallest < 1.0 else (1.0,):
        for one_to in scales:
            for rows in (1, 2) if has_ordinates else (1,):
                yield one_to, rows, shrink


def _attempt(drawing: Drawing, one_to: float, rows: int, shrink: float, metrics: Metrics) -> Paper:
    paper = Paper(metrics)
    items = drawing.items
    for shape in sorted(drawing.shapes(), key=_depth):
        place_shape(paper, shape, one_to)
    for text in sorted((i for i in items if isinstance(i, Text)), key=lambda text: text.movable):
        place_text(paper, text, one_to)
    for angular in (item for item in items if isinstance(item, Angular)):
        place_angular(paper, angular, one_to)
    ordinates = [item for item in items if isinstance(item, Ordinate)]
    if ordinates:
        place_ordinates(paper, ordinates, one_to, rows, shrink)
    place_linears(paper, [item for item in items if isinstance(item, Linear)], one_to)
    return paper


def _depth(shape: Shape) -> int:
    """Hatching lies under light lines, light lines under heavy ones."""
    if isinstance(shape, HatchedRing):
        return 0
    return 2 if style.PENS[shape.role].weight == style.HEAVY else 1


def _extents(marks: Sequence[Mark]) -> Box:
    corners = [corner for mark in marks for corner in mark.extents().corners()]
    return Box.around(corners).grown(style.HEAVY / 2)


def _centred(
    marks: Sequence[Mark], box: Box, sheet: tuple[float, float], one_to: float, title: str
) -> LaidOut:
    middle = box.middle
    by = (sheet[0] / 2 - middle[0], sheet[1] / 2 - middle[1])
    moved = tuple(mark.moved(by) for mark in marks)
    return LaidOut(moved, sheet[0], sheet[1], one_to, by, title)

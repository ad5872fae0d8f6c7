"""Draw a laid-out picture on a PDF page, true to size, with the bundled font embedded."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from survey.drawing.geometry import Point, arc_of, segments
from survey.drawing.laid_out import LaidOut, Lettering, Round, Stroke
from survey.drawing.metrics import FONT_FILE, FONT_NAME, bundled
from survey.drawing.style import PENS, Pen
from survey.ink import Ink

if TYPE_CHECKING:
    from typing import BinaryIO

MM = 72.0 / 25.4
"""PDF points in a millimetre."""


@cache
def font_name() -> str:
    """Register the bundled font with reportlab once and return its name there."""
    from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
    from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

    pdfmetrics.registerFont(TTFont(FONT_NAME, str(FONT_FILE)))
    return FONT_NAME


def open_pdf(path: str | Path | BinaryIO, size: tuple[float, float], title: str = "") -> Any:
    """Open a canvas of `size` (width, height in mm) whose bytes depend on what is drawn alone.

    Viewers are asked not to scale when printing; a printed scale bar is what proves it. The caller
    ends each page with `showPage()` and the file with `save()`.
    """
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    target = str(path) if isinstance(path, Path) else path
    canvas = Canvas(target, pagesize=(size[0] * MM, size[1] * MM), invariant=1)
    canvas.setViewerPreference("PrintScaling", "None")
    if title:
        canvas.setTitle(title)
    return canvas


def draw(canvas: Any, laid_out: LaidOut, x: float, y: float) -> None:
    """Draw a picture with the lower left of its area at (x, y), mm from the page's lower left.

    Parameters
    ----------
    canvas : reportlab.pdfgen.canvas.Canvas
        The open page; its state is left as it was.
    laid_out : LaidOut
        What to draw.
    x, y : float
        Page position, mm.

    Examples
    --------
    >>> from io import BytesIO
    >>> from survey.drawing import Drawing, Layer, Polyline, Role, layout
    >>> line = Polyline(((0, 0), (50, 0)), role=Role.FINISHED, layer=Layer.NOTE)
    >>> file = BytesIO()
    >>> canvas = open_pdf(file, (210, 297))
    >>> draw(canvas, layout(Drawing((line,)), (100, 60), scale=1), 20, 200)
    >>> canvas.save()
    >>> file.getvalue()[:5]
    b'%PDF-'
    """
    canvas.saveState()
    # From here on every number, also of fonts and lines, is a paper millimetre.
    canvas.transform(MM, 0, 0, MM, x * MM, y * MM)
    canvas.setLineCap(0)
    canvas.setLineJoin(0)
    hand = _Hand(canvas)
    for mark in laid_out.marks:
        if isinstance(mark, Lettering):
            hand.letter(mark)
        else:
            hand.stroke(mark)
    canvas.restoreState()


class _Hand:
    """Draws on a canvas that counts in millimetres; what pen and letters are set to is not set again."""

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        self._em = bundled().em
        self._pen: Pen | None = None
        self._ink: Ink | None = None
        self._size = 0.0

    def letter(self, lettering: Lettering) -> None:
        canvas = self._canvas
        self._fill_with(PENS[lettering.role].ink)
        (x, y), is_level, size = lettering.at, lettering.angle == 0.0, self._size
        if not is_level:
            canvas.saveState()
            cos, sin = math.cos(lettering.angle), math.sin(lettering.angle)
            canvas.transform(cos, sin, -sin, cos, x, y)
            x = y = 0.0
        for run in lettering.runs:
            if run.height != self._size:
                canvas.setFont(font_name(), run.height * self._em)
                self._size = run.height
            canvas.drawString(x + run.across, y + run.up, run.text)
        if not is_level:
            canvas.restoreState()
            self._size = size

    def stroke(self, mark: Stroke | Round) -> None:
        canvas, pen = self._canvas, PENS[mark.role]
        if pen is not self._pen:
            canvas.setStrokeColorRGB(*_rgb(pen.ink))
            canvas.setLineWidth(pen.weight)
            canvas.setDash(list(pen.dash))
            self._pen = pen
        if isinstance(mark, Round):
            canvas.circle(*mark.centre, mark.radius)
        elif mark.filled:
            self._fill_with(pen.ink)
            canvas.drawPath(_path(canvas, mark), stroke=0, fill=1)
        else:
            canvas.drawPath(_path(canvas, mark))

    def _fill_with(self, ink: Ink) -> None:
        if ink != self._ink:
            self._canvas.setFillColorRGB(*_rgb(ink))
            self._ink = ink


def _path(canvas: Any, stroke: Stroke) -> Any:
    path = canvas.beginPath()
    path.moveTo(*stroke.points[0])
    for start, end, bulge in segments(stroke.points, stroke.bulges, stroke.closed):
        if bulge and start != end:
            for curve in curves(start, end, bulge):
                path.curveTo(*curve[0], *curve[1], *curve[2])
        elif end is not stroke.points[0] or not stroke.closed:
            path.lineTo(*end)
    if stroke.closed:
        path.close()
    return path


def curves(start: Point, end: Point, bulge: float) -> list[tuple[Point, Point, Point]]:
    """Return cubic curves (two handles and an end) along an arc, each at most 45 degrees.

    With handles of 4/3 tan(a / 4) radii a piece of 45 degrees leaves its circle by 4e-6 radii.
    """
    arc = arc_of(start, end, bulge)
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 4) - 1e-9))
    step = arc.sweep / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0)
    pieces: list[tuple[Point, Point, Point]] = []
    for i in range(count):
        (x0, y0), (x3, y3) = arc.at(i / count), arc.at((i + 1) / count)
        (cx, cy) = arc.centre
        first = (x0 - handle * (y0 - cy), y0 + handle * (x0 - cx))
        second = (x3 + handle * (y3 - cy), y3 - handle * (x3 - cx))
        pieces.append((first, second, (x3, y3) if i < count - 1 else end))
    return pieces


def _rgb(ink: Ink) -> tuple[float, float, float]:
    return ink.red / 255.0, ink.green / 255.0, ink.blue / 255.0

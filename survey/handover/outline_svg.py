"""Write a drawing's outlines as SVG, true to size, for a machine that takes it or a large printer.

Only geometry is written, on groups by operation; words and dimensions belong to the paper.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final
from xml.sax.saxutils import escape

from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import Stroke
from survey.drawing.primitives import Circle, Drawing, Layer, Polyline
from survey.handover.dxf import check_outlines
from survey.handover.svg import number, path_of

HAIR: Final = 0.1
"""Width of the lines, mm: thin enough to cut along, wide enough to be seen."""
AROUND: Final = 5.0
"""Free around the outermost line, mm."""
INKS: Final = {
    Layer.CUT: "#000000",
    Layer.BLANK: "#808080",
    Layer.DRILL: "#0000ff",
    Layer.REFERENCE: "#008000",
}
"""Apart from each other for what tells operations by colour; ids tell them too."""


def outline_svg(drawing: Drawing) -> str:
    """Return the outlines of one piece as SVG: one user unit is one millimetre.

    Parameters
    ----------
    drawing : Drawing
        As `write_dxf` takes it. Its y points up, SVG's points down: it is flipped once, here, never mirrored.

    Returns
    -------
    str
        Groups with the ids CUT, BLANK, DRILL and REFERENCE, as far as there is something on them; arcs are
        true arcs. The same drawing gives the same text.

    Raises
    ------
    DrawingError
        The outlines are not what a machine could cut.

    Examples
    --------
    >>> from survey.drawing import Role
    >>> shelf = Polyline(((0, 0), (254, 0), (254, 127)), closed=True, role=Role.FINISHED, layer=Layer.CUT)
    >>> print(outline_svg(Drawing((shelf,), "Shelf")))
    <svg xmlns="http://www.w3.org/2000/svg" width="264mm" height="137mm" viewBox="0 0 264 137">
    <title>Shelf</title>
    <g id="CUT" fill="none" stroke="#000000" stroke-width="0.1">
    <path d="M5 132L259 132L259 5Z"/>
    </g>
    </svg>
    """
    check_outlines(drawing)
    shapes = [one for one in drawing.items if isinstance(one, (Polyline, Circle)) and one.layer in INKS]
    box = Box.around([corner for one in shapes for corner in one.extents().corners()]).grown(AROUND)
    width, height = number(box.width), number(box.height)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" {size}>', f"<title>{escape(drawing.title)}</title>"]
    for layer, ink in INKS.items():
        drawn = list(_drawn([one for one in shapes if one.layer is layer], box))
        if drawn:
            look = f'fill="none" stroke="{ink}" stroke-width="{number(HAIR)}"'
            lines += [f'<g id="{layer.value}" {look}>', *drawn, "</g>"]
    return "\n".join([*lines, "</svg>"])


def _drawn(shapes: list[Polyline | Circle], box: Box) -> Iterator[str]:
    def moved(p: Point) -> Point:
        return p[0] - box.left, p[1] - box.bottom

    for one in shapes:
        if isinstance(one, Circle):
            x, y = moved(one.centre)
            centre = f'cx="{number(x)}" cy="{number(box.height - y)}"'
            yield f'<circle {centre} r="{number(one.radius)}"/>'
            continue
        points = tuple(moved(p) for p in one.points)
        yield f'<path d="{path_of(Stroke(points, one.role, one.bulges, one.closed), box.height)}"/>'

"""Write a laid-out picture as SVG, true to size: one user unit is one millimetre.

Each run of letters carries its own width (`textLength`), so the layout holds, and nothing runs
into anything, even where the viewer has another font.
"""

import math
from xml.sax.saxutils import escape, quoteattr

from survey.drawing.geometry import Point, arc_of, segments
from survey.drawing.laid_out import LaidOut, Lettering, Mark, Round, Stroke
from survey.drawing.metrics import FONT_FAMILY, bundled
from survey.drawing.primitives import Role
from survey.drawing.style import PENS
from survey.ink import PAPER


def to_svg(laid_out: LaidOut, *, paper: bool = True) -> str:
    """Return the picture as an SVG document; the same picture gives the same text.

    Parameters
    ----------
    laid_out : LaidOut
        What to draw; its y points up, SVG's points down, and this is the one place that flips it.
    paper : bool
        Whether the area is filled with the colour of paper.

    Examples
    --------
    >>> from survey.drawing import Drawing, Layer, Polyline, Role, layout
    >>> line = Polyline(((0, 0), (50, 0)), role=Role.FINISHED, layer=Layer.NOTE, record="e1")
    >>> print(to_svg(layout(Drawing((line,), "Edge"), (60, 20), scale=1), paper=False))
    <svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">
    <title>Edge</title>
    <g fill="none" font-family="DejaVu Sans Condensed, DejaVu Sans, sans-serif">
    <path d="M5 10L55 10" stroke="#161614" stroke-width="0.5" data-role="finished" data-record="e1"/>
    </g>
    </svg>
    """
    width, height = number(laid_out.width), number(laid_out.height)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" {size}>']
    if laid_out.title:
        lines.append(f"<title>{escape(laid_out.title)}</title>")
    if paper:
        lines.append(f'<rect width="{width}" height="{height}" fill="{PAPER.hex}"/>')
    lines.append(f'<g fill="none" font-family="{FONT_FAMILY}, DejaVu Sans, sans-serif">')
    lines += [_mark(mark, laid_out.height) for mark in laid_out.marks]
    return "\n".join([*lines, "</g>", "</svg>"])


def number(value: float) -> str:
    """Write a length to a tenth of a micrometre, without idle zeros.

    >>> number(12.50000001), number(-0.00001), number(30)
    ('12.5', '0', '30')
    """
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _mark(mark: Mark, height: float) -> str:
    if isinstance(mark, Lettering):
        return _letters(mark, height)
    if isinstance(mark, Round):
        cx, cy = _point(mark.centre, height).split(" ")
        shape = f'<circle cx="{cx}" cy="{cy}" r="{number(mark.radius)}"'
        return f"{shape}{_pen(mark.role)}{_tags(mark.role, mark.record)}/>"
    look = f' fill="{PENS[mark.role].ink.hex}"' if mark.filled else _pen(mark.role)
    return f'<path d="{path_of(mark, height)}"{look}{_tags(mark.role, mark.record)}/>'


def _pen(role: Role) -> str:
    pen = PENS[role]
    dash = f' stroke-dasharray="{" ".join(map(number, pen.dash))}"' if pen.dash else ""
    return f' stroke="{pen.ink.hex}" stroke-width="{number(pen.weight)}"{dash}'


def _tags(role: Role, record: str) -> str:
    return f' data-role="{role}"' + (f" data-record={quoteattr(record)}" if record else "")


def _point(p: Point, height: float) -> str:
    return f"{number(p[0])} {number(height - p[1])}"


def path_of(stroke: Stroke, height: float) -> str:
    """Return a stroke as the commands of a path, its y turned down from `height`."""
    steps = [f"M{_point(stroke.points[0], height)}"]
    for start, end, bulge in segments(stroke.points, stroke.bulges, stroke.closed):
        if bulge and start != end:
            steps.append(_arc(start, end, bulge, height))
        elif end is not stroke.points[0] or not stroke.closed:
            steps.append(f"L{_point(end, height)}")
    return "".join(steps) + ("Z" if stroke.closed else "")


def _arc(start: Point, end: Point, bulge: float, height: float) -> str:
    """Write an arc; a wide one in two halves, for near half a turn the radius alone says little."""
    arc = arc_of(start, end, bulge)
    ends = (arc.at(0.5), end) if abs(bulge) > 0.5 else (end,)
    # Counter-clockwise with y up runs against SVG's positive angles, which count with y down.
    is_positive = int(bulge < 0.0)
    r = number(arc.radius)
    return "".join(f"A{r} {r} 0 0 {is_positive} {_point(p, height)}" for p in ends)


def _letters(lettering: Lettering, height: float) -> str:
    x, y = lettering.at
    turn = number(-math.degrees(lettering.angle))
    place = f"translate({number(x)} {number(height - y)})"
    place += f" rotate({turn})" if turn != "0" else ""
    em = bundled().em
    spans = "".join(
        f'<tspan x="{number(run.across)}" y="{number(-run.up)}" '
        f'font-size="{number(run.height * em)}" textLength="{number(run.width)}" '
        f'lengthAdjust="spacingAndGlyphs">{escape(run.text)}</tspan>'
        for run in lettering.runs
    )
    ink = PENS[lettering.role].ink.hex
    tags = _tags(lettering.role, lettering.record)
    return f'<text transform="{place}" fill="{ink}" xml:space="preserve"{tags}>{spans}</text>'

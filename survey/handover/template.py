"""A paper template of a piece at full size, in sheets that are taped together, show face up."""

from __future__ import annotations

import functools
import io
import math
from collections.abc import Callable, Sequence
from typing import Any, Final, NamedTuple

from survey.drawing import Box, LaidOut, Mark, Point, Polyline, Role, Stroke
from survey.drawing.geometry import flatten
from survey.drawing.piece_allowance import Where
from survey.drawing.piece_words import printable
from survey.drawing.pieces import piece_drawing, sides
from survey.errors import SurveyError
from survey.handover.names import file_names
from survey.handover.pdf import MM, draw, open_pdf
from survey.handover.template_map import map_page
from survey.handover.template_shape import Template
from survey.handover.template_sheet import sheet_marks
from survey.handover.tiling import Paper, tiled
from survey.report.structs import FitReport, PieceReport

AROUND: Final = 5.0
"""Paper beyond the outermost line, mm."""
BAND: Final = 50.0
"""How much of the wood a strip along one edge shows, mm."""
FLAT: Final = 0.02
"""How far the chords that words keep clear of may leave an arc, mm; arcs are drawn as curves."""
SHOWN: Final = (Role.FINISHED, Role.BLANK, Role.CENTRE)


def template(report: FitReport, name: str, paper: Paper, edge: str = "") -> bytes:
    """Write a piece's outline at full size as a PDF.

    The first page shows how the sheets lie. Each sheet shows its part of the outline, seen on the show face
    (nothing is mirrored), the crosses that it shares with its neighbours, and scale bars both ways.

    Parameters
    ----------
    report : FitReport
    name : str
        The piece; it is ready and has an outline.
    paper : Paper
        From `survey.handover.tiling.paper_named`.
    edge : str
        Show a strip along this edge only: `back`, `left`, ...; all of the piece where empty.

    Returns
    -------
    bytes
        The PDF; the same report gives the same bytes.

    Raises
    ------
    SurveyError
        There is no such piece or edge, the piece is not ready, or it has no outline.
    """
    piece = piece_named(report, name)
    made = _template(piece, report, paper, edge)
    file = io.BytesIO()
    first = map_page(made)
    canvas = open_pdf(file, (first.width, first.height), f"Template of {printable(name)}, full size")
    draw(canvas, first, 0.0, 0.0)
    canvas.showPage()
    size = made.tiling.size
    for tile in made.tiling.tiles:
        canvas.setPageSize((size[0] * MM, size[1] * MM))
        x, y = made.tiling.place(tile, (0.0, 0.0))
        _clipped(canvas, tile.window, (x, y), made.marks)
        draw(canvas, LaidOut(tuple(sheet_marks(made, tile)), *size, 1.0, (x, y)), 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return file.getvalue()


class TemplateAsked(NamedTuple):
    """A template that is asked for: of which piece, on which paper, along which edge (empty: all of it)."""

    piece: str
    paper: Paper
    edge: str = ""


def template_files(
    report: FitReport, asked: Sequence[TemplateAsked]
) -> list[tuple[str, Callable[[], bytes]]]:
    """Return templates' names, `template-<piece>` or `template-<piece>-<edge>`, and their makers.

    Raises
    ------
    SurveyError
        As `template`; nothing is drawn yet.
    """
    wanted = list(dict.fromkeys(asked))
    for one in wanted:
        piece = piece_named(report, one.piece)
        if one.edge:
            _side_named(piece, sides(piece), one.edge)
    names = file_names([f"{one.piece}-{one.edge}" if one.edge else one.piece for one in wanted])
    return [
        (f"template-{name}", functools.partial(template, report, *one))
        for name, one in zip(names, wanted, strict=True)
    ]


def piece_named(report: FitReport, name: str) -> PieceReport:
    """Return the piece of this name that a template can be made of.

    Raises
    ------
    SurveyError
        There is none, it is not ready, or it has no outline.
    """
    named = [piece for piece in report.pieces if piece.name == name]
    if not named:
        known = ", ".join(piece.name for piece in report.pieces) or "none"
        raise SurveyError(f"expected a piece of this job for a template ({known}), got {name!r}")
    piece = named[0]
    if piece.status == "not ready":
        numbers = ", ".join(str(number) for number in piece.findings)
        about = f" ({numbers})" if numbers else ""
        raise SurveyError(f"{name!r} is not ready for a template: settle its findings{about} first")
    if not piece.has_outline:
        raise SurveyError(
            f"expected a piece with an outline for a template, but {name!r} is a {piece.kind} that has none: "
            "cut it to the sizes in the cut list"
        )
    return piece


def _template(piece: PieceReport, report: FitReport, paper: Paper, edge: str) -> Template:
    from shapely import LineString, Polygon, box, union_all  # type: ignore[import-untyped]

    shapes = [
        shape
        for shape in piece_drawing(piece, with_ordinates=False).shapes()
        if isinstance(shape, Polyline) and shape.role in SHOWN
    ]
    lines = {role: [_flat(shape) for shape in shapes if shape.role is role] for role in SHOWN}
    # The first ring is the piece; those of its cut-outs follow.
    outer, *holes = lines[Role.FINISHED]
    around = Box.around([p for role in SHOWN for each in lines[role] for p in each]).grown(AROUND)
    told = sides(piece)
    chains = {where: chain(outer, where) for where in told}
    if edge:
        where = _side_named(piece, told, edge)
        area, wanted = _strip(chains[where], around, where), [LineString(chains[where])]
        wanted += [LineString(part) for each in lines[Role.BLANK] for part in [chain(each, where)]]
    else:
        area = around
        wanted = [Polygon(each) for each in (outer, *lines[Role.BLANK])]
    shown = union_all(wanted)
    return Template(
        piece,
        report,
        edge,
        tiled(area, paper, lambda window: bool(shown.intersects(box(*window)))),
        tuple(Stroke(shape.points, shape.role, shape.bulges, shape.closed) for shape in shapes),
        tuple((role, tuple(each)) for role in SHOWN for each in lines[role]),
        {where: (words[1], tuple(chains[where])) for where, words in told.items()},
        Polygon(outer, holes),
    )


def _flat(shape: Polyline) -> list[Point]:
    """Draw a line's arcs out; a ring ends where it starts."""
    points = flatten(shape.points, shape.bulges, shape.closed, FLAT)
    return [*points, points[0]] if shape.closed else points


def _side_named(piece: PieceReport, told: dict[Where, tuple[str, str]], edge: str) -> Where:
    for where, (name, _) in told.items():
        if name == edge:
            return where
    known = ", ".join(name for name, _ in told.values())
    raise SurveyError(f"expected an edge of {piece.name!r} for a strip ({known}), got {edge!r}")


def chain(ring: Sequence[Point], where: Where) -> list[Point]:
    """Return the part of a closed counter-clockwise ring between the two corners of one side.

    A corner is the vertex nearest to that corner of the box around the ring; so a notch in a corner belongs
    to one side or the other, and whole.

    >>> chain([(0, 0), (6, 0), (6, 3), (4, 4), (0, 3), (0, 0)], "top")
    [(6, 3), (4, 4), (0, 3)]
    """
    points = list(ring[:-1])
    corners = Box.around(points).corners()
    start = {"bottom": 0, "right": 1, "top": 2, "left": 3}[where]
    first, last = (
        min(range(len(points)), key=lambda i: math.dist(points[i], corners[which % 4]))
        for which in (start, start + 1)
    )
    count = (last - first) % len(points)
    return [points[(first + i) % len(points)] for i in range(count + 1)]


def _strip(edge: Sequence[Point], around: Box, where: Where) -> Box:
    """Return the area along one side: from some way into the wood to the outermost line."""
    inner = Box.around(edge)
    if where in ("top", "bottom"):
        low, high = (inner.bottom - BAND, around.top) if where == "top" else (around.bottom, inner.top + BAND)
        return Box(around.left, max(low, around.bottom), around.right, min(high, around.top))
    low, high = (inner.left - BAND, around.right) if where == "right" else (around.left, inner.right + BAND)
    return Box(max(low, around.left), around.bottom, min(high, around.right), around.top)


def _clipped(canvas: Any, window: Box, shift: Point, marks: tuple[Mark, ...]) -> None:
    """Draw what a window shows of the outline; the dashes of neighbours agree, for the line is whole."""
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(
        *((a + b) * MM for a, b in zip(window[:2], shift, strict=True)), window.width * MM, window.height * MM
    )
    canvas.clipPath(path, stroke=0, fill=0)
    draw(canvas, LaidOut(marks, 0.0, 0.0, 1.0, (0.0, 0.0)), *shift)
    canvas.restoreState()

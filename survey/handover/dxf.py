"""Write a drawing's outlines as DXF (R2000, or R12 on request) for the machine that cuts them.

Only geometry is written, 1:1, on layers by operation, and words on NOTE. Dimensions and hatching
are left out: they belong to the paper, and importers are known to take them for cuts.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, Literal

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point, flatten
from survey.drawing.primitives import (
    Anchor,
    Circle,
    Drawing,
    Layer,
    Polyline,
    Role,
    Text,
)

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace
    from shapely import Polygon  # type: ignore[import-untyped]

Unit = Literal["mm", "in"]
Release = Literal["R2000", "R12"]
"""Which release of the format: R12 is for older controls; it cannot say its unit in the header."""

_AC1009 = "AC1009"
"""How a file says R12."""
_RELEASES = ("R2000", "R12")
_INSUNITS = {"mm": 4, "in": 1}
_UNIT_WORDS = {"mm": "unit of this file: millimetre", "in": "unit of this file: inch"}
_MEASUREMENT = {"mm": 1, "in": 0}
_MM_PER = {"mm": 1.0, "in": 25.4}
_COLOURS = {Layer.CUT: 7, Layer.BLANK: 8, Layer.DRILL: 5, Layer.REFERENCE: 3, Layer.NOTE: 9}
_TOUCHING = 0.001
"""Outlines nearer than this touch each other, mm: the finest that the file is checked to."""
_CHORD = 0.01
"""Chords of arcs in the checks of outlines, mm; what is written keeps its arcs."""
_CHARACTERS = str.maketrans({"⁄": "/", "″": '"', "′": "'", "–": "-", "−": "-", "×": "x"})
"""What a controller's own font lacks."""


def write_dxf(
    target: str | Path | BinaryIO,
    drawing: Drawing,
    unit: Unit,
    *,
    note_scale: float = 10.0,
    release: Release = "R2000",
) -> None:
    """Write the outlines of one piece.

    Parameters
    ----------
    target : path or binary stream
        Where to write. A file is written only when the drawing has passed every check.
    drawing : Drawing
        Exactly one outline on CUT that encloses all other CUT lines (its cut-outs); every line on
        CUT or BLANK closed. x, y and the sense of bulges go over as they are, never mirrored.
    unit : "mm" or "in"
        Unit of the file; named in its header, and by a 100 mm and a 4 in line on REFERENCE.
    note_scale : float
        How many times its paper height a word is written high (10 where the sheet is 1:10).
    release : "R2000" or "R12"
        R12 has old polylines with the same bulges, no unit in its header (a word on NOTE says it, as the
        reference lines do), and words in plain ASCII.

    Raises
    ------
    DrawingError
        The outlines are not what a machine could cut; the message names the first fault.

    Notes
    -----
    Lines are lines, and arcs are true arcs (bulges): nothing is flattened here. What is no arc, such as an
    oval or a scribed line, was made of chords before, at most 0.02 mm off (`fitting.cut_out.OFF`).
    The same drawing gives the same bytes (for one version of ezdxf). $EXTMIN and $EXTMAX enclose
    lines and circles, the reference lines included, words not.

    Examples
    --------
    >>> shelf = Polyline(((0, 0), (254, 0), (254, 127)), closed=True,
    ...                  role=Role.FINISHED, layer=Layer.CUT)
    >>> file = io.BytesIO()
    >>> write_dxf(file, Drawing((shelf,), "Shelf"), "in")
    >>> file.getvalue().startswith(b"  0\\nSECTION")
    True
    """
    if unit not in _INSUNITS:
        raise DrawingError(f"A DXF is written in 'mm' or 'in', got {unit!r}.")
    if release not in _RELEASES:
        raise DrawingError(f"A DXF is written as {' or '.join(_RELEASES)}, got {release!r}.")
    check_outlines(drawing)
    with _fixed_metadata():
        content = _document(drawing, unit, note_scale, release)
    if isinstance(target, (str, Path)):
        Path(target).write_bytes(content)
    else:
        target.write(content)


def check_outlines(drawing: Drawing) -> None:
    """Refuse outlines that a machine would cut wrongly.

    Raises
    ------
    DrawingError
        No CUT outline, two pieces, an open, self-crossing or doubled outline, a cut-out that
        touches its piece's edge or another cut-out.
    """
    lines = [item for item in drawing.items if isinstance(item, Polyline)]
    for line in lines:
        if line.layer in (Layer.CUT, Layer.BLANK) and not line.closed:
            raise DrawingError(
                f"{_name(drawing, line)} is open on layer {line.layer}: close it, or put it on REFERENCE."
            )
    cuts = [
        item for item in drawing.items if isinstance(item, (Polyline, Circle)) and item.layer is Layer.CUT
    ]
    if not cuts:
        raise DrawingError(f"The drawing {drawing.title!r} has nothing on CUT: give the piece its outline.")
    rings = [_polygon(drawing, cut) for cut in cuts]
    order = sorted(range(len(cuts)), key=lambda i: -rings[i].area)
    outer = order[0]
    for position, i in enumerate(order[1:], start=1):
        if not _is_inside(rings[i], rings[outer]):
            raise DrawingError(
                f"{_name(drawing, cuts[i])} is not inside the outline of the piece (it lies "
                "outside, touches or doubles it): one drawing is one piece, and a cut-out that "
                "reaches the edge is a notch of the outline."
            )
        for j in order[1:position]:
            if rings[i].distance(rings[j]) < _TOUCHING:
                raise DrawingError(
                    f"{_name(drawing, cuts[i])} touches or overlaps another cut-out: join them."
                )


def _name(drawing: Drawing, item: Polyline | Circle) -> str:
    record = f" (record {item.record})" if item.record else ""
    return f"Item {drawing.items.index(item)} of {drawing.title!r}{record}"


def _polygon(drawing: Drawing, item: Polyline | Circle) -> Polygon:
    import shapely

    if isinstance(item, Circle):
        return shapely.Point(item.centre).buffer(item.radius, quad_segs=32)
    polygon = shapely.Polygon(flatten(item.points, item.bulges, True, _CHORD))
    if not polygon.is_valid:
        raise DrawingError(
            f"{_name(drawing, item)} crosses or touches itself: {shapely.is_valid_reason(polygon)}."
        )
    return polygon


def _is_inside(inner: Polygon, outer: Polygon) -> bool:
    """Decide by the signed clearance between the two edges, never by `contains`."""
    clearance = inner.exterior.distance(outer.exterior)
    overlap = float(inner.intersection(outer).area)
    return bool(clearance >= _TOUCHING and overlap > 0.5 * inner.area)


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Keep the clock and random ids out of the file; ezdxf's option is put back afterwards."""
    import ezdxf

    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _document(drawing: Drawing, unit: Unit, note_scale: float, release: Release) -> bytes:
    import ezdxf

    units = 0 if release == "R12" else _INSUNITS[unit]
    document = ezdxf.new(release, units=units)  # type: ignore[attr-defined]
    if units:
        document.header["$MEASUREMENT"] = _MEASUREMENT[unit]
    for layer in Layer:
        document.layers.add(layer.value, color=_COLOURS[layer])
    space = document.modelspace()
    per = _MM_PER[unit]
    written = (*_written(drawing), *_reference_lines(drawing.extents(), note_scale, unit))
    for item in written:
        _write(space, item, per, note_scale)
    _set_extents(document, written, per)
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _written(drawing: Drawing) -> list[Polyline | Circle | Text]:
    return [item for item in drawing.items if isinstance(item, (Polyline, Circle, Text))]


def _reference_lines(box: Box, note_scale: float, unit: Unit) -> Sequence[Polyline | Text]:
    """Put the two lines that prove the scale below the drawing, on whole millimetres, and the unit."""
    left, first = float(ceil(box.left)), float(ceil(box.bottom)) - 6.0 * note_scale
    second = first - 6.0 * note_scale
    kind = {"role": Role.REFERENCE, "layer": Layer.REFERENCE}
    return (
        Polyline(((left, first), (left + 100.0, first)), **kind),  # type: ignore[arg-type]
        Text((left, first + note_scale), "100 mm", anchor=Anchor.BOTTOM_LEFT),
        Polyline(((left, second), (left + 101.6, second)), **kind),  # type: ignore[arg-type]
        Text((left, second + note_scale), "4 in", anchor=Anchor.BOTTOM_LEFT),
        Text((left, second - 6.0 * note_scale), _UNIT_WORDS[unit], anchor=Anchor.BOTTOM_LEFT),
    )


def _write(space: Modelspace, item: Polyline | Circle | Text, per: float, scale: float) -> None:
    if isinstance(item, Text):
        _write_text(space, item, per, scale)
    elif isinstance(item, Circle):
        centre = (item.centre[0] / per, item.centre[1] / per)
        space.add_circle(centre, item.radius / per, dxfattribs={"layer": item.layer.value})
    else:
        bulges = item.bulges or (0.0,) * len(item.points)
        vertices = [(x / per, y / per, bulge) for (x, y), bulge in zip(item.points, bulges, strict=True)]
        add = space.add_polyline2d if space.dxfversion == _AC1009 else space.add_lwpolyline
        add(vertices, format="xyb", close=item.closed, dxfattribs={"layer": item.layer.value})


def _write_text(space: Modelspace, text: Text, per: float, scale: float) -> None:
    from math import cos, degrees, sin

    from ezdxf.enums import TextEntityAlignment

    name = text.anchor.name if "_" in text.anchor.name else _SINGLE[text.anchor]
    alignment = TextEntityAlignment[name]
    lines = text.text.split("\n")
    pitch = 1.7 * text.height * scale
    share = text.anchor.share[1]
    for row, line in enumerate(lines):
        up = (1.0 - share) * pitch * (len(lines) - 1) - row * pitch
        x = text.at[0] + text.shift[0] * scale - up * sin(text.angle)
        y = text.at[1] + text.shift[1] * scale + up * cos(text.angle)
        space.add_text(
            _lettered(line, space.dxfversion),
            height=text.height * scale / per,
            rotation=degrees(text.angle),
            dxfattribs={"layer": Layer.NOTE.value},
        ).set_placement((x / per, y / per), align=alignment)


def _lettered(line: str, version: str) -> str:
    """Write words with what a controller's own font has; R12 knows ASCII only."""
    plain = line.translate(_CHARACTERS)
    if version != _AC1009:
        return plain
    return unicodedata.normalize("NFKD", plain).encode("ascii", "replace").decode()


_SINGLE = {
    Anchor.LEFT: "MIDDLE_LEFT",
    Anchor.RIGHT: "MIDDLE_RIGHT",
    Anchor.MIDDLE: "MIDDLE_CENTER",
    Anchor.TOP: "TOP_CENTER",
    Anchor.BOTTOM: "BOTTOM_CENTER",
}


def _set_extents(document: Document, items: Sequence[Polyline | Circle | Text], per: float) -> None:
    corners: list[Point] = []
    for item in items:
        if not isinstance(item, Text):
            corners += item.extents().corners()
    box = Box.around(corners)
    space = document.modelspace()
    # The header is written from the model space's own values.
    space.dxf.extmin = (box.left / per, box.bottom / per, 0.0)
    space.dxf.extmax = (box.right / per, box.top / per, 0.0)

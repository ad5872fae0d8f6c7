"""A piece's picture, made from its report and nothing else: the same for paper, machine and screen.

The report's frame is the picture's: x to the right, y to the back (an upright piece: up), millimetres,
origin at the piece's datum. Nothing is turned or mirrored, and no number is worked out here: what is
written is what the report printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point, hatch
from survey.drawing.piece_allowance import HEIGHT, Where, line_names, widths
from survey.drawing.piece_words import (
    across_words,
    axis_of,
    edge_words,
    grain_axis,
    leave_words,
    plain,
    printable,
    typeset,
)
from survey.drawing.primitives import (
    Anchor,
    Arrows,
    Axis,
    Circle,
    Drawable,
    Drawing,
    HatchedRing,
    Layer,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Side,
    Text,
)
from survey.report.structs import CutOutReport, NotchReport, PieceReport

NAME_HEIGHT = 3.5
"""Capital height of a piece's name in its picture, paper mm (a nominal size of ISO 3098)."""
NARROW = 0.25
"""A piece whose width is less than this share of its height has no room for words inside."""
SLIM = 0.4
"""The same share for the words at the datum, which need more room."""
OUT = 2.0
"""Between an edge and the words beside it, paper mm."""
PAST_CUT_OUT = 0.12
"""Share of a cut-out's lesser side by which its centre lines go past it."""
HOLE_CENTRE = 12.0
"""mm by which a hole's centre lines go past it."""
ON_VERTEX = 2.0
"""mm by which a notch's corner may miss its corner of the outline: twice the coarsest graduation."""

_UNMET = {
    "flat": {"left": "left end", "right": "right end", "bottom": "front edge", "top": "back edge"},
    "panel": {"left": "front edge", "right": "front edge", "bottom": "bottom end", "top": "top end"},
    "lying": {"left": "left end", "right": "right end", "bottom": "lower edge", "top": "upper edge"},
    "upright": {"left": "long edge", "right": "long edge", "bottom": "bottom end", "top": "top end"},
}


@dataclass(frozen=True)
class _Shape:
    """A piece's outlines, and what follows from how it lies."""

    piece: PieceReport
    finished: Polyline
    blank: Polyline | None
    is_box: bool

    @property
    def box(self) -> Box:
        return self.finished.extents()

    @property
    def around(self) -> Box:
        """The finished outline and the blank together."""
        boxes = [self.box, *([self.blank.extents()] if self.blank else [])]
        return Box.around([corner for box in boxes for corner in box.corners()])

    @property
    def is_upright(self) -> bool:
        return any(one.name in ("height", "length") for one in self.piece.finished)

    @property
    def rings(self) -> list[Sequence[Point]]:
        """The finished outline and the rings of its cut-outs: what lies between is wood."""
        return [self.finished.points, *(one.ring for one in self.piece.cut_outs if len(one.ring) > 2)]

    @property
    def is_narrow(self) -> bool:
        return self.box.width < NARROW * self.box.height

    def side(self, edge: str) -> Where:
        """Return where an edge of this name lies in the picture."""
        if edge in ("left", "right", "bottom", "top"):
            return edge  # type: ignore[return-value]  # the four words are `Where`
        if not self.is_upright:
            return "top" if edge == "back" else "bottom"
        front_is_right = self.box.middle[0] < 0
        return "right" if front_is_right == (edge == "front") else "left"


def piece_drawing(piece: PieceReport, *, with_ordinates: bool = True) -> Drawing:
    """Draw a piece: outlines, allowance, edges, datum, cut-outs, notch corners, sizes, grain.

    Parameters
    ----------
    piece : PieceReport
        A piece that is ready. One without an outline (a box) is drawn as a rectangle of its width and
        height, seen from the front, on layer REFERENCE: it is nothing to cut.
    with_ordinates : bool
        Whether notch corners and the centres of cut-outs are dimensioned; without, notches are named, and
        their corners stand in a table beside the picture.

    Returns
    -------
    Drawing
        What the saw follows is on CUT: of a piece with a scribed edge the blank, with its allowance left
        on, and its finished outline on REFERENCE; of any other the finished outline, and the rough blank
        around it on BLANK. Cut-outs are on CUT, their centre lines on REFERENCE; words and dimensions on
        NOTE.

    Raises
    ------
    DrawingError
        The piece is not ready, or has neither an outline nor two sizes to draw.

    Examples
    --------
    >>> from survey.report.structs import PieceReport
    >>> shelf = PieceReport("shelf", "top", "ready", outline=((0, 0), (600, 0), (600, 300), (0, 300)))
    >>> [item.layer.value for item in piece_drawing(shelf).shapes()]
    ['CUT']
    """
    shape = _shape(piece)
    items: list[Drawable] = []
    if shape.blank is not None:
        items += [HatchedRing(shape.blank, shape.finished), shape.blank]
    items.append(shape.finished)
    items += _cut_outs(shape)
    items += _holes(shape)
    items += _grain(shape)
    # Words that come first keep their place; those that come later give way.
    items += _allowances(shape)
    items += _datum(shape)
    items += _name(shape)
    items += _edges(shape)
    if with_ordinates:
        items += _notches(shape)
        items += [*_centres(shape), *_hole_centres(shape)]
    else:
        items += _notch_names(shape)
    items += _overall(shape)
    return Drawing(tuple(items), printable(piece.name))


def sides(piece: PieceReport) -> dict[Where, tuple[str, str]]:
    """Return of each side of a piece's outline the edge's name, and what is said about it.

    >>> shelf = PieceReport("shelf", "top", "ready", outline=((0, 0), (600, 0), (600, 300), (0, 300)))
    >>> sides(shelf)["bottom"]
    ('front', 'front edge')
    """
    shape = _shape(piece)
    met = {shape.side(edge.edge): edge for edge in piece.edges if edge.finish != "open"}
    told: dict[Where, tuple[str, str]] = {}
    for where in ("top", "left", "right", "bottom"):
        edge = met.get(where)
        if edge is None:
            words = _unmet(shape, where)
            told[where] = (words.split()[0] if words.split()[0] in ("front", "back") else where, words)
            continue
        said = [typeset(printable(one)) for one in (edge_words(edge), leave_words(edge)) if one]
        to_wall = ["this side to the wall"] if edge.meets.startswith("wall") else []
        told[where] = (edge.edge, ", ".join([*to_wall, *said]))
    return told


def has_picture(piece: PieceReport) -> bool:
    """Say whether a piece can be drawn: it is ready and has an outline, or a width and a height."""
    return piece.status != "not ready" and bool(piece.outline or _face(piece))


def _shape(piece: PieceReport) -> _Shape:
    if piece.status == "not ready":
        raise DrawingError(f"The piece {piece.name!r} is not ready: settle its findings, then draw it.")
    if piece.outline:
        # A machine follows CUT: with the finished outline there, nothing would be left to scribe.
        scribed = any(edge.allowance for edge in piece.edges) and bool(piece.blank_outline)
        inner, outer = (Layer.REFERENCE, Layer.CUT) if scribed else (Layer.CUT, Layer.BLANK)
        blank = _ring(piece.blank_outline, Role.BLANK, outer) if piece.blank_outline else None
        bulges = piece.bulges if len(piece.bulges) == len(piece.outline) else ()
        finished = replace(_ring(piece.outline, Role.FINISHED, inner), bulges=bulges)
        return _Shape(piece, finished, blank, False)
    face = _face(piece)
    if face is None:
        raise DrawingError(f"The piece {piece.name!r} has no outline and no width and height to draw.")
    width, height = face
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return _Shape(piece, _ring(corners, Role.FINISHED, Layer.REFERENCE), None, True)


def _face(piece: PieceReport) -> tuple[float, float] | None:
    sizes = {one.name: one.size.cut_mm for one in piece.finished}
    width, height = sizes.get("width", 0.0), sizes.get("height", sizes.get("length", 0.0))
    return (width, height) if width > 0 and height > 0 else None


def _ring(points: Sequence[Point], role: Role, layer: Layer) -> Polyline:
    return Polyline(tuple(points), closed=True, role=role, layer=layer)


def _allowances(shape: _Shape) -> Iterator[Drawable]:
    """Say how much is left along scribed edges at stations, and once which line is which."""
    if shape.blank is None:
        return
    scribed = [edge for edge in shape.piece.edges if edge.allowance and edge.scribe]
    rings = shape.finished.points, shape.blank.points
    for edge in scribed:
        yield from widths(edge, shape.side(edge.edge), *rings)
    if scribed:
        longest = max(scribed, key=lambda edge: edge.scribe[-1].at.mm)
        yield from line_names(shape.side(longest.edge), *rings)


def _grain(shape: _Shape) -> Iterator[Drawable]:
    """Draw an arrow along the grain, clear of the notches' side of the piece."""
    axis = grain_axis(shape.piece)
    if not axis or shape.is_box:
        return
    start, end = _grain_chord(shape, axis)
    ends = (_between(start, end, 0.58), _between(start, end, 0.86))
    yield Polyline(ends, arrows=Arrows.BOTH, role=Role.GRAIN, layer=Layer.NOTE)
    middle = _between(*ends, 0.5)
    if axis == "x":
        yield Text(middle, "grain", anchor=Anchor.BOTTOM, shift=(0.0, 1.2))
    else:
        anchor, step = (Anchor.TOP, 1.2) if shape.is_narrow else (Anchor.BOTTOM, -1.2)
        yield Text(middle, "grain", anchor=anchor, angle=math.pi / 2, shift=(step, 0.0))


def _grain_chord(shape: _Shape, axis: str) -> tuple[Point, Point]:
    """Return a long line through the piece along an axis, off its middle."""
    box, across = shape.box, 1 if axis == "x" else 0
    low, size = (box.bottom, box.height) if axis == "x" else (box.left, box.width)
    chords = hatch(shape.rings, size / 8, 0.0 if axis == "x" else math.pi / 2)
    longest = max(math.dist(*chord) for chord in chords)
    is_notched_high = any(
        y > box.middle[1] for notch in shape.piece.notches for _, y in notch_corners(shape.piece, notch)
    )
    wanted = 0.5 if shape.is_narrow else 0.3 if axis == "y" or is_notched_high else 0.72
    least = 0.35 if shape.piece.cut_outs else 0.8  # cut-outs divide the wood
    long = [chord for chord in chords if math.dist(*chord) > least * longest]
    off = [abs((chord[0][across] - low) / size - wanted) for chord in long]
    nearest = [chord for chord, each in zip(long, off, strict=True) if each <= min(off) + 1e-9]
    return max(nearest, key=lambda chord: math.dist(*chord))


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _name(shape: _Shape) -> Iterator[Drawable]:
    face = "front" if shape.is_box else "show face" if shape.is_upright else "show face up"
    words = f"{printable(shape.piece.name)}\n{face}"
    box = shape.box
    if shape.is_narrow:
        at = (box.right, box.bottom + 0.62 * box.height)
        yield Text(at, words, NAME_HEIGHT, Anchor.LEFT, shift=(9.0, 0.0))
    else:
        yield Text(_free_middle(shape), words, NAME_HEIGHT)


def _free_middle(shape: _Shape) -> Point:
    """Return the middle of the piece, or, where it has cut-outs, of its longest wood about half-way up."""
    if not shape.piece.cut_outs:
        return shape.box.middle
    chords = hatch(shape.rings, shape.box.height / 8, 0.0)
    half = [chord for chord in chords if abs(chord[0][1] - shape.box.middle[1]) < shape.box.height / 6]
    return _between(*max(half or chords, key=lambda chord: math.dist(*chord)), 0.5)


def _edges(shape: _Shape) -> Iterator[Drawable]:
    """Name every side: outside what it meets, inside what is cut straight."""
    met = {shape.side(edge.edge): edge for edge in shape.piece.edges}
    for where in ("top", "left", "right", "bottom"):
        edge = met.get(where)
        if edge is not None and edge.finish != "open":
            told = [typeset(printable(one)) for one in (edge_words(edge), leave_words(edge)) if one]
            is_upright = where in ("left", "right") and not shape.is_narrow
            words = [(":\n" if is_upright else ": ").join(told)]
            if edge.edge == "back" and edge.meets.startswith("wall"):
                words.insert(0, "this side to the wall")
            yield _beside(shape, where, "\n".join(words), outside=True)
        elif not shape.is_box:
            yield _beside(shape, where, _unmet(shape, where), outside=shape.is_narrow)


def _unmet(shape: _Shape, where: Where) -> str:
    kind = "flat" if not shape.is_upright else "panel" if shape.piece.kind == "panel" else "upright"
    if kind == "upright" and "edge at the cabinet" in shape.piece.datum:
        return "long edge at the cabinet" if where in ("left", "right") else _UNMET[kind][where]
    if kind == "upright" and shape.box.width > shape.box.height:
        kind = "lying"
    return _UNMET[kind][where]


def _beside(shape: _Shape, where: Where, words: str, *, outside: bool) -> Text:
    box = shape.around if outside else shape.box
    sign = 1.0 if outside else -1.0
    middle = (box.left + 0.5 * box.width, box.bottom + 0.5 * box.height)
    if where in ("top", "bottom"):
        is_above = (where == "top") == outside
        at = (middle[0], box.top if where == "top" else box.bottom)
        out = OUT * sign * (1.0 if where == "top" else -1.0)
        return Text(at, words, anchor=Anchor.BOTTOM if is_above else Anchor.TOP, shift=(0.0, out))
    is_before = (where == "left") == outside
    at = (box.left if where == "left" else box.right, middle[1])
    out = OUT * sign * (-1.0 if where == "left" else 1.0)
    anchor = Anchor.BOTTOM if is_before else Anchor.TOP
    return Text(at, words, anchor=anchor, angle=math.pi / 2, shift=(out, 0.0))


def _datum(shape: _Shape) -> Iterator[Drawable]:
    """Mark the origin, and the centre line where that is what is measured from."""
    words, box = printable(plain(shape.piece.datum)), shape.box
    if shape.is_box or not shape.piece.datum:
        return
    if "centre line" in words:
        line = ((0.0, box.bottom), (0.0, box.top))
        yield Polyline(line, role=Role.CENTRE, layer=Layer.REFERENCE)
    is_left = box.middle[0] <= 0.0
    is_slim = box.width < SLIM * box.height
    inward = -1.0 if is_left != is_slim else 1.0
    anchor = Anchor.BOTTOM_RIGHT if inward < 0 else Anchor.BOTTOM_LEFT
    yield Text(
        (0.0, 0.0),
        f"datum: {words};\nmeasure from here".replace(" and ", "\nand "),
        anchor=anchor,
        shift=(9.0 * inward, 7.0),
        leader=True,
    )


def _notches(shape: _Shape) -> Iterator[Drawable]:
    """Dimension every notch corner from the datum, at the sides that are nearest to its notch."""
    captions: dict[Side, str] = {}
    told_already: set[tuple[Side, str]] = set()
    box = shape.box
    for notch in shape.piece.notches:
        corners = notch_corners(shape.piece, notch)
        x = sum(p[0] for p in corners) / len(corners)
        y = sum(p[1] for p in corners) / len(corners)
        below = Side.BOTTOM if y <= box.middle[1] else Side.TOP
        beside = Side.LEFT if x <= box.middle[0] else Side.RIGHT
        for corner, told in zip(corners, notch.corners, strict=True):
            across, deep = typeset(across_words(told.across.text, notch.across_from)), typeset(told.deep.text)
            for axis, side, words in ((Axis.X, below, across), (Axis.Y, beside, deep)):
                if (side, words) not in told_already:
                    yield Ordinate((0.0, 0.0), corner, axis, words, side)
                told_already.add((side, words))
        captions.setdefault(below, notch.across_from.partition(",")[0])
        captions.setdefault(beside, notch.deep_from.partition(",")[0])
    for side, words in captions.items():
        yield _caption(shape, side, words)


def _notch_names(shape: _Shape) -> Iterator[Drawable]:
    """Name every notch, where its corners stand in a table."""
    for notch in shape.piece.notches:
        corners = notch_corners(shape.piece, notch)
        middle = Box.around(corners).middle
        inward = 1.0 if middle[1] <= shape.box.middle[1] else -1.0
        anchor = Anchor.BOTTOM if inward > 0 else Anchor.TOP
        at = (middle[0], max(y for _, y in corners) if inward > 0 else min(y for _, y in corners))
        yield Text(at, printable(notch.around), HEIGHT, anchor, shift=(0.0, 1.0 * inward))


def _cut_outs(shape: _Shape) -> Iterator[Drawable]:
    """Draw each cut-out, its centre lines and its name."""
    for one in shape.piece.cut_outs:
        if len(one.ring) < 3:
            continue
        yield cut_out_line(one)
        around = Box.around(one.ring)
        x, y = around.middle
        over = PAST_CUT_OUT * min(around.width, around.height)
        for line in (
            ((around.left - over, y), (around.right + over, y)),
            ((x, around.bottom - over), (x, around.top + over)),
        ):
            yield Polyline(line, role=Role.CENTRE, layer=Layer.REFERENCE)
        yield Text((x, y), printable(one.name), anchor=Anchor.BOTTOM_LEFT, shift=(1.2, 1.2))


def _holes(shape: _Shape) -> Iterator[Drawable]:
    """Draw the holes in a box's back, hidden behind its front, with centres and names."""
    for one in shape.piece.holes if shape.is_box else ():
        x, y = centre = one.across.mm, one.up.mm
        over = HOLE_CENTRE
        if one.diameter is not None:
            radius = one.diameter.mm / 2
            over += radius
            yield Circle(centre, radius, role=Role.HIDDEN, layer=Layer.REFERENCE)
        for line in (((x - over, y), (x + over, y)), ((x, y - over), (x, y + over))):
            yield Polyline(line, role=Role.CENTRE, layer=Layer.REFERENCE)
        yield Text(centre, printable(one.around), anchor=Anchor.BOTTOM_LEFT, shift=(1.2, 1.2), leader=True)


def _hole_centres(shape: _Shape) -> Iterator[Drawable]:
    """Dimension the centre of every hole from the box's side and underside, away from its sizes."""
    beside = Side.RIGHT if shape.is_narrow else Side.LEFT
    for one in shape.piece.holes if shape.is_box else ():
        centre = one.across.mm, one.up.mm
        yield Ordinate((0.0, 0.0), centre, Axis.X, typeset(one.across.text), Side.BOTTOM)
        yield Ordinate((0.0, 0.0), centre, Axis.Y, typeset(one.up.text), beside)
    if shape.is_box and shape.piece.holes:
        first = shape.piece.holes[0]
        yield _caption(shape, Side.BOTTOM, first.across_from)
        yield _caption(shape, beside, first.up_from)


def cut_out_line(cut_out: CutOutReport) -> Polyline:
    """Return a cut-out's ring on CUT, with true arcs where it is made of arcs."""
    points = tuple((x, y) for x, y, _ in cut_out.arcs) or cut_out.ring
    bulges = tuple(bulge for _, _, bulge in cut_out.arcs)
    line = _ring(points, Role.FINISHED, Layer.CUT)
    return replace(line, bulges=bulges) if any(bulges) else line


def _centres(shape: _Shape) -> Iterator[Drawable]:
    """Dimension the centre of every cut-out from the datum, at the front and at the nearer side."""
    captions: dict[Side, str] = {}
    for one in shape.piece.cut_outs:
        if len(one.ring) < 3:
            continue
        centre = Box.around(one.ring).middle
        beside = Side.LEFT if centre[0] <= shape.box.middle[0] else Side.RIGHT
        across = typeset(across_words(one.centre.across.text, one.across_from))
        yield Ordinate((0.0, 0.0), centre, Axis.X, across, Side.BOTTOM)
        yield Ordinate((0.0, 0.0), centre, Axis.Y, typeset(one.centre.deep.text), beside)
        captions.setdefault(Side.BOTTOM, one.across_from.partition(",")[0])
        captions.setdefault(beside, one.deep_from.partition(",")[0])
    told = {notch.across_from for notch in shape.piece.notches}
    told |= {notch.deep_from for notch in shape.piece.notches}
    for side, words in captions.items():
        if not any(one.startswith(words) for one in told):
            yield _caption(shape, side, words)


def _caption(shape: _Shape, side: Side, words: str) -> Text:
    return _beside(shape, side.value, f"sizes {printable(words)}", outside=True)  # type: ignore[arg-type]


def notch_corners(piece: PieceReport, notch: NotchReport) -> tuple[Point, ...]:
    """Return a notch's corners in the frame of the piece's outline, mm.

    A report tells a corner as a distance from the right or left end, or, from a centre line, with a
    sign; which side of the datum it lies on is looked up in the outline.

    Raises
    ------
    DrawingError
        The outline has no such corners.
    """
    best: tuple[float, tuple[Point, ...]] = (math.inf, ())
    for sign in (1.0, -1.0):
        corners = tuple((sign * corner.across.mm, corner.deep.mm) for corner in notch.corners)
        off = max(min(math.dist(corner, p) for p in piece.outline) for corner in corners)
        if off < best[0]:
            best = (off, corners)
    if best[0] > ON_VERTEX:
        raise DrawingError(
            f"The notch around {notch.around!r} of {piece.name!r} is not in its outline: its corners miss "
            f"it by {best[0]:.1f} mm. Make the report again."
        )
    return best[1]


def _overall(shape: _Shape) -> Iterator[Drawable]:
    """Write the overall sizes, finished inside blank, away from the notches' numbers."""
    notches = [notch_corners(shape.piece, notch) for notch in shape.piece.notches]
    corners = [corner for notch in notches for corner in notch]
    box = shape.box
    at_top = sum(y <= box.middle[1] for _, y in corners) >= sum(y > box.middle[1] for _, y in corners)
    at_left = shape.is_narrow or sum(x > box.middle[0] for x, _ in corners) > sum(
        x <= box.middle[0] for x, _ in corners
    )
    blank = {one.name: one.size for one in shape.piece.blank}
    for one in shape.piece.finished:
        axis = axis_of(one.name, shape.piece)
        if not axis or (shape.is_box and one.name == "depth"):
            continue
        larger = blank.get(one.name)
        is_same = larger is None or larger.text == one.size.text
        words = "" if shape.is_box else "cut to " if is_same and larger else "finished "
        side = at_top if axis == "x" else at_left
        yield _size(shape.box, axis, one.size.mm, words + typeset(one.size.text), side)
        if larger is not None and not is_same and not shape.is_box:
            yield _size(shape.around, axis, larger.mm, "blank " + typeset(larger.text), side)


def _size(box: Box, axis: str, size: float, words: str, far: bool) -> Linear:
    """Give an overall size; `far`: at the top or the left, else at the bottom or the right."""
    low, high = (box.left, box.right) if axis == "x" else (box.bottom, box.top)
    if abs(high) < 1e-6:
        low = -size
    elif abs(low) < 1e-6:
        high = size
    else:
        low, high = (low + high - size) / 2, (low + high + size) / 2
    if axis == "x":
        y = box.top if far else box.bottom
        return Linear((low, y), (high, y), words, outward=1 if far else -1)
    x = box.left if far else box.right
    return Linear((x, low), (x, high), words, outward=1 if far else -1)

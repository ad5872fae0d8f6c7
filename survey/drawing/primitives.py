"""What a picture shows, once, for screen and paper alike.

Geometry is in model millimetres, y up. What belongs to the paper (letter heights, arrows, dashes,
shifts of a note) is in paper millimetres. An item carries a role, never a colour; a layer, which
says what a machine does with it; and the id of the record that it shows, so that a tap finds it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point, extents

DIMENSION_HEIGHT = 2.5
"""Capital height of dimensions and notes in paper mm (a nominal size of ISO 3098)."""


class Role(StrEnum):
    """What an item is; `style` alone says how that looks."""

    FINISHED = "finished"
    BLANK = "blank"
    WALL = "wall"
    TRIM = "trim"
    ASSUMED = "assumed"
    EARLIER = "earlier"
    HIDDEN = "hidden"
    CENTRE = "centre"
    HATCH = "hatch"
    GRAIN = "grain"
    REFERENCE = "reference"
    DIMENSION = "dimension"
    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"
    TOUCH = "touch"


class Layer(StrEnum):
    """What a machine does with an item."""

    CUT = "CUT"
    BLANK = "BLANK"
    DRILL = "DRILL"
    REFERENCE = "REFERENCE"
    NOTE = "NOTE"


class Anchor(StrEnum):
    """The spot of a text block that lies on its point; bottom = baseline, top = capital height."""

    BOTTOM_LEFT = "bottom left"
    BOTTOM = "bottom"
    BOTTOM_RIGHT = "bottom right"
    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"
    TOP_LEFT = "top left"
    TOP = "top"
    TOP_RIGHT = "top right"

    @property
    def share(self) -> Point:
        """How far along the width and up the height the anchor lies, each 0, 1/2 or 1."""
        across = 0.0 if "left" in self.value else 1.0 if "right" in self.value else 0.5
        up = 0.0 if "bottom" in self.value else 1.0 if "top" in self.value else 0.5
        return across, up


class Side(StrEnum):
    """Where around the picture a dimension stands."""

    AUTO = "auto"
    BOTTOM = "bottom"
    TOP = "top"
    LEFT = "left"
    RIGHT = "right"


class Arrows(StrEnum):
    """Arrow heads of an open polyline."""

    NONE = "none"
    END = "end"
    BOTH = "both"


class Axis(StrEnum):
    """The direction along which an ordinate is counted."""

    X = "x"
    Y = "y"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """What every item carries."""

    role: Role
    layer: Layer
    record: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Annotation:
    """What every text and dimension carries: it says something and is never cut."""

    role: Role = Role.DIMENSION
    layer: Layer = field(default=Layer.NOTE, init=False)
    record: str = ""


@dataclass(frozen=True, slots=True)
class Polyline(Item):
    """A path of straight segments and arcs (model mm).

    `bulges` is empty (all straight) or has one number per point, for the segment that starts
    there: tan(arc angle / 4), positive counter-clockwise. A closed path does not repeat its first
    point. Arrow heads (paper mm) belong to open paths only.

    >>> Polyline(((0, 0), (600, 0), (600, 400)), closed=True,
    ...          role=Role.FINISHED, layer=Layer.CUT).extents()
    Box(left=0, bottom=0, right=600, top=400)
    """

    points: tuple[Point, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False
    arrows: Arrows = Arrows.NONE

    def __post_init__(self) -> None:
        """Refuse what is no path."""
        _finite(self, *self.points, self.bulges)
        if self.bulges and len(self.bulges) != len(self.points):
            raise DrawingError(
                f"A polyline needs no bulges or one per point: {len(self.points)} points, "
                f"{len(self.bulges)} bulges."
            )
        least = 3 if self.closed and not any(self.bulges) else 2
        if len(self.points) < least:
            raise DrawingError(f"A polyline needs {least} points or more, got {len(self.points)}.")
        if self.closed and self.points[0] == self.points[-1]:
            raise DrawingError(
                f"A closed polyline repeats its first point {self.points[0]} at the end: drop it."
            )
        if self.closed and self.arrows is not Arrows.NONE:
            raise DrawingError("A closed polyline has no ends for arrows: open it or drop them.")

    def extents(self) -> Box:
        """Enclose the path, arcs included (model mm)."""
        return extents(self.points, self.bulges, self.closed)


@dataclass(frozen=True, slots=True)
class Circle(Item):
    """A circle (model mm)."""

    centre: Point
    radius: float

    def __post_init__(self) -> None:
        """Refuse what is no circle."""
        _finite(self, self.centre, (self.radius,))
        if self.radius <= 0.0:
            raise DrawingError(f"A circle needs a radius above 0, got {self.radius} mm.")

    def extents(self) -> Box:
        """Enclose the circle (model mm)."""
        return Box(*self.centre, *self.centre).grown(self.radius)


@dataclass(frozen=True, slots=True)
class HatchedRing:
    """What lies between two closed outlines, for example the blank less the finished piece.

    Only the hatching is drawn; add the outlines as items of their own. Where the outlines
    coincide (an edge without allowance) nothing is hatched.
    """

    outer: Polyline
    inner: Polyline
    role: Role = field(default=Role.HATCH, kw_only=True)
    layer: Layer = field(default=Layer.NOTE, init=False)
    record: str = field(default="", kw_only=True)

    def __post_init__(self) -> None:
        """Refuse open outlines."""
        if not (self.outer.closed and self.inner.closed):
            raise DrawingError("A hatched ring needs two closed polylines; close the open one.")

    def extents(self) -> Box:
        """Enclose both outlines (model mm)."""
        a, b = self.outer.extents(), self.inner.extents()
        return Box.around([*a.corners(), *b.corners()])


@dataclass(frozen=True, slots=True)
class Text(Annotation):
    """Words at a point; lines are separated by newlines.

    `at` in model mm, `height` of capitals in paper mm, `angle` in radians counter-clockwise,
    `shift` from `at` in paper mm (right, up). A `movable` text gives way: the layout puts it at
    the nearest place that is free; one that is not stays, and dimensions avoid it. With `leader`
    an arrow runs from the words to `at`, wherever they stand. The roles caution and stop get a
    frame, so that they are seen in black and white.
    """

    at: Point
    text: str
    height: float = DIMENSION_HEIGHT
    anchor: Anchor = Anchor.MIDDLE
    angle: float = 0.0
    shift: Point = (0.0, 0.0)
    movable: bool = True
    leader: bool = False
    role: Role = field(default=Role.NOTE, kw_only=True)

    def __post_init__(self) -> None:
        """Refuse what cannot be lettered."""
        _finite(self, self.at, self.shift, (self.angle,))
        for line in self.text.split("\n"):
            _letterable(line, self.height)


@dataclass(frozen=True, slots=True)
class Ordinate(Annotation):
    """The distance of `feature` from `datum` along x or y, written out at one side.

    All ordinates along one axis at one side share one datum, whose 0 is drawn once. `text` is the
    distance as it shall be read (the maker of the picture knows unit and rounding).
    """

    datum: Point
    feature: Point
    axis: Axis
    text: str
    side: Side = Side.AUTO
    height: float = DIMENSION_HEIGHT

    def __post_init__(self) -> None:
        """Refuse sides that do not belong to the axis."""
        _finite(self, self.datum, self.feature)
        _letterable(self.text, self.height)
        sides = (Side.BOTTOM, Side.TOP) if self.axis is Axis.X else (Side.LEFT, Side.RIGHT)
        if self.side is not Side.AUTO and self.side not in sides:
            raise DrawingError(
                f"An ordinate along {self.axis} stands at {sides[0]} or {sides[1]}, got {self.side}."
            )


@dataclass(frozen=True, slots=True)
class Linear(Annotation):
    """The distance between two points, drawn parallel to them outside the picture.

    `outward`: +1 on the left of the way from start to end, -1 on its right, 0 wherever is nearer.
    """

    start: Point
    end: Point
    text: str
    outward: int = 0
    height: float = DIMENSION_HEIGHT

    def __post_init__(self) -> None:
        """Refuse a distance without direction."""
        _finite(self, self.start, self.end)
        _letterable(self.text, self.height)
        if self.start == self.end:
            raise DrawingError(f"A linear dimension needs two points, got {self.start} twice.")
        if self.outward not in (-1, 0, 1):
            raise DrawingError(f"`outward` is -1, 0 or +1, got {self.outward}.")


@dataclass(frozen=True, slots=True)
class Angular(Annotation):
    """The angle at `vertex`, from the ray through `start` counter-clockwise to that of `end`."""

    vertex: Point
    start: Point
    end: Point
    text: str
    height: float = DIMENSION_HEIGHT

    def __post_init__(self) -> None:
        """Refuse an angle without two rays."""
        _finite(self, self.vertex, self.start, self.end)
        _letterable(self.text, self.height)
        if self.vertex in (self.start, self.end):
            raise DrawingError(f"An angle's rays must leave its vertex {self.vertex}.")


Shape = Polyline | Circle | HatchedRing
Dimension = Ordinate | Linear | Angular
Drawable = Shape | Text | Dimension


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture: its items in the order in which they are drawn, and its name.

    >>> panel = Polyline(((0, 0), (300, 0), (300, 700), (0, 700)), closed=True,
    ...                  role=Role.FINISHED, layer=Layer.CUT)
    >>> Drawing((panel,), "Left end panel").extents().height
    700
    """

    items: tuple[Drawable, ...]
    title: str = ""

    def shapes(self) -> tuple[Shape, ...]:
        """Return what has a size in the model."""
        return tuple(item for item in self.items if isinstance(item, Shape))

    def extents(self) -> Box:
        """Enclose the shapes (model mm); texts and dimensions belong to the paper and don't count.

        Raises
        ------
        DrawingError
            The drawing holds no shape.
        """
        boxes = [shape.extents() for shape in self.shapes()]
        if not boxes:
            raise DrawingError(f"The drawing {self.title!r} has no shape: add an outline.")
        return Box.around([corner for box in boxes for corner in box.corners()])


def _finite(item: object, *groups: Sequence[float]) -> None:
    if not all(math.isfinite(number) for group in groups for number in group):
        raise DrawingError(
            f"A {type(item).__name__} needs finite numbers, got {groups}: measure or leave it out."
        )


def _letterable(text: str, height: float) -> None:
    if not text.strip() or not text.isprintable():
        raise DrawingError(f"A text needs printable characters, got {text!r}.")
    if not (math.isfinite(height) and height > 0.0):
        raise DrawingError(f"A text needs a height above 0 mm, got {height}.")

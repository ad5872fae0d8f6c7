"""What a picture shows, once, for screen and paper alike; the layout of its dimensions."""

from survey.drawing.errors import DrawingError
from survey.drawing.geometry import Box, Point
from survey.drawing.laid_out import LaidOut, Lettering, Mark, Round, Stroke
from survey.drawing.layout import INCH_SCALES, METRIC_SCALES, layout
from survey.drawing.paper import letter
from survey.drawing.primitives import (
    DIMENSION_HEIGHT,
    Anchor,
    Angular,
    Arrows,
    Axis,
    Circle,
    Dimension,
    Drawable,
    Drawing,
    HatchedRing,
    Layer,
    Linear,
    Ordinate,
    Polyline,
    Role,
    Shape,
    Side,
    Text,
)

__all__ = [
    "DIMENSION_HEIGHT",
    "INCH_SCALES",
    "METRIC_SCALES",
    "Anchor",
    "Angular",
    "Arrows",
    "Axis",
    "Box",
    "Circle",
    "Dimension",
    "Drawable",
    "Drawing",
    "DrawingError",
    "HatchedRing",
    "LaidOut",
    "Layer",
    "Lettering",
    "Linear",
    "Mark",
    "Ordinate",
    "Point",
    "Polyline",
    "Role",
    "Round",
    "Shape",
    "Side",
    "Stroke",
    "Text",
    "layout",
    "letter",
]

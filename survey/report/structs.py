"""The fit report: what the fitting answered, in words and numbers, with the records it came from.

Frames: lengths are millimetres. A piece's outlines are in its own frame, seen on its show face (a top from
above): x to the right, y to the back (a panel, filler or box front: up), origin at its datum, which is
named in words. Outlines are closed rings, counter-clockwise, the first vertex not repeated.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.finding import Finding

Point = tuple[float, float]


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    """Base of the report's parts."""


class Dimension(Part, frozen=True):
    """One size: as computed, as rounded to the job's smallest fraction, and as printed."""

    mm: float
    cut_mm: float
    text: str


class AllowanceReport(Part, frozen=True):
    """What is left over along one edge, and why; the three parts, as printed, add up to the total."""

    range: Dimension
    unknown: Annotated[Dimension, Meta(description="As printed, with what rounding up adds.")]
    saw: Dimension
    total: Dimension


class ScribeStation(Part, frozen=True):
    """How much is planed off at one place along an edge, measured from the named end."""

    at: Dimension
    depth: Dimension


class EdgeReport(Part, frozen=True):
    """One edge of a piece: what it meets, how it is finished, what is left over."""

    edge: str
    meets: str
    finish: str
    gap: Dimension | None = None
    allowance: AllowanceReport | None = None
    stations_from: str = ""
    scribe: tuple[ScribeStation, ...] = ()
    deepest: Dimension | None = None
    shallowest: Dimension | None = None


class NotchCorner(Part, frozen=True):
    """A corner of a notch, from the piece's datum: across (from the left or right end) and from the front."""

    across: Dimension
    deep: Dimension


class NotchReport(Part, frozen=True):
    """A notch: what it clears, and its corners in order along the outline."""

    around: str
    clearance: Dimension
    across_from: Annotated[str, Meta(description="`from the right end`, `from the left end`, ...")]
    deep_from: Annotated[str, Meta(description="`from the front`, `from the bottom`.")]
    corners: tuple[NotchCorner, ...]


class NamedDimension(Part, frozen=True):
    """A dimension with its name, such as `width`, `gap at top front`."""

    name: str
    size: Dimension


class PieceReport(Part, frozen=True):
    """All that the shop needs for one piece."""

    name: str
    kind: str
    status: Annotated[
        Literal["ready", "as typed", "not ready"],
        Meta(description="`as typed`: sizes were typed, not computed. `not ready`: see its findings."),
    ]
    material: str = ""
    grain: str = ""
    quantity: int = 1
    datum: Annotated[str, Meta(description="In words, such as `front edge and right end`.")] = ""
    rule: Annotated[str, Meta(description="How it is taken to sit, in words.")] = ""
    finished: tuple[NamedDimension, ...] = ()
    blank: tuple[NamedDimension, ...] = ()
    outline: tuple[Point, ...] = ()
    blank_outline: tuple[Point, ...] = ()
    edges: tuple[EdgeReport, ...] = ()
    notches: tuple[NotchReport, ...] = ()
    measures: Annotated[
        tuple[NamedDimension, ...], Meta(description="Gaps, positions and the like on site.")
    ] = ()
    cautions: tuple[str, ...] = ()
    findings: Annotated[tuple[int, ...], Meta(description="Numbers of the findings about it.")] = ()
    confidence: float | None = None
    limits: Annotated[str, Meta(description="What the confidence covers.")] = ""
    readings: Annotated[tuple[str, ...], Meta(description="Ids of the readings it rests on.")] = ()


class CornerReport(Part, frozen=True):
    """A corner's angle on the room side, over a stated span."""

    name: str
    angle_deg: float
    sd_deg: float
    span: str


class SurfaceReport(Part, frozen=True):
    """A wall where pieces touch it: points of its surface in the plan frame, and their covariance."""

    wall: str
    up_mm: float
    points: tuple[Point, ...]
    covariance_mm2: Annotated[
        tuple[tuple[float, ...], ...], Meta(description="Of the points' distance out of the wall.")
    ]


class ResidualReport(Part, frozen=True):
    """What the adjustment did to one number that was read."""

    record: str
    what: str
    adjusted_minus_read: float
    unit: Literal["mm", "deg"]
    sd: float
    control: Annotated[float, Meta(description="0: unchecked by others, 1: fully checked.")]
    standardized: float


class RoomReport(Part, frozen=True):
    """The room as the readings make it."""

    corners: tuple[CornerReport, ...] = ()
    surfaces: tuple[SurfaceReport, ...] = ()
    residuals: tuple[ResidualReport, ...] = ()
    suspects: tuple[str, ...] = ()
    next_readings: tuple[str, ...] = ()


class FitReport(Part, frozen=True):
    """The whole answer."""

    format: Literal["scribefit fit report"]
    version: Literal[1]
    title: str
    unit: Literal["in", "mm"]
    step: str
    confidence: float
    survey_hash: Annotated[str, Meta(description="SHA-256 of the survey's canonical text form.")]
    room: RoomReport
    pieces: tuple[PieceReport, ...]
    findings: tuple[Finding, ...]

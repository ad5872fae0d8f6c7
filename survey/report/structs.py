"""The fit report: what the fitting answered, in words and numbers, with the records it came from.

Frames: lengths are millimetres. A piece's outlines are in its own frame, seen on its show face (a top from
above): x to the right, y to the back (a panel, filler or box front: up), origin at its datum, which is
named in words. Outlines are closed rings, counter-clockwise, the first vertex not repeated.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.finding import Finding
from survey.records import InstalledWhat

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
    sd_mm: Annotated[float, Meta(description="How sure the depth is: one standard deviation.")] = 0.0


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
    driver: Annotated[
        str, Meta(description="What leaves most unknown here: a reading, or the wall between the readings.")
    ] = ""


class Likelihood(Part, frozen=True):
    """A chance, 0 to 1, and the standard error of sampling it; 0 where it is exact."""

    chance: float
    error: float


class UnfoundReport(Part, frozen=True):
    """The slip that would do most harm of those that the other readings would not show."""

    record: str
    what: str
    slip: Annotated[Dimension | None, Meta(description="Smallest that would be found; nothing: none would.")]
    effect: Annotated[Dimension | None, Meta(description="What it would do to the worst place of an edge.")]


class ChanceReport(Part, frozen=True):
    """How likely a piece comes out well; what is not asked of it is nothing."""

    all_well: Annotated[Likelihood, Meta(description="All that follows together.")]
    goes_in: Annotated[
        Likelihood | None, Meta(description="Shifted and turned a little, no edge that is cut net binds.")
    ] = None
    close: Annotated[
        Likelihood | None, Meta(description="And no gap stays that is wider than `greatest_gap`.")
    ] = None
    greatest_gap: Dimension | None = None
    covers: Annotated[
        Likelihood | None, Meta(description="The blank reaches the wall along every scribed edge.")
    ] = None
    by_numbers: Annotated[
        Likelihood | None,
        Meta(description="`all_well` of an outline marked out by numbers rounded to the job's step."),
    ] = None
    by_edge: Annotated[dict[str, Likelihood], Meta(description="Of each edge, where it lies best.")] = {}
    lacking: Annotated[
        Dimension | None,
        Meta(description="How much wider its gaps would have to be to go in at the confidence asked."),
    ] = None
    unfound: UnfoundReport | None = None


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


class CutOutReport(Part, frozen=True):
    """What is cut out of a piece, by its centre from the piece's datum, and what is left around it."""

    name: str
    shape: Literal["rectangle", "oval"]
    width: Dimension
    depth: Dimension
    centre: NotchCorner
    across_from: str
    deep_from: str
    radius: Dimension | None = None
    ring: Annotated[tuple[Point, ...], Meta(description="In the piece's frame, its curves drawn out.")] = ()
    item: Annotated[str, Meta(description="The bought item that it is for.")] = ""
    left_over: Annotated[
        tuple[NamedDimension, ...], Meta(description="Material left: front, back, to the ends, to a notch.")
    ] = ()
    support: Annotated[tuple[str, ...], Meta(description="What must carry the top there.")] = ()
    arcs: Annotated[
        tuple[tuple[float, float, float], ...],
        Meta(
            description="The ring in lines and true arcs: x, y, bulge of what starts there; absent: as ring."
        ),
    ] = ()


class HoleReport(Part, frozen=True):
    """A hole to be bored in a box's back, by its centre, the box seen from the front."""

    around: Annotated[str, Meta(description="What comes out of the wall there.")]
    across: Dimension
    across_from: str
    up: Dimension
    up_from: str
    diameter: Annotated[Dimension | None, Meta(description="Absent: of what it is for none was read.")] = None


class PartReport(Part, frozen=True):
    """One part of a piece that is put together, such as a stile: how many, finished and rough."""

    name: str
    quantity: int
    finished: tuple[NamedDimension, ...]
    rough: tuple[NamedDimension, ...] = ()
    material: str = ""
    grain: str = ""
    note: str = ""


class OversizeReport(Part, frozen=True):
    """How much is left over on one dimension for one purpose, and by whose rule."""

    size: Annotated[str, Meta(description="Which dimension, such as `width`.")]
    purpose: str
    amount: Dimension
    by: Annotated[Literal["common practice", "the shop", "the piece"], Meta(description="Whose rule.")]


class StockReport(Part, frozen=True):
    """What a piece is cut from, or why it does not come out of what is on hand."""

    verdict: Literal["comes out", "does not", "not found"]
    says: str
    stock: str = ""


class EntryReport(Part, frozen=True):
    """How a piece goes into its place, one straight motion after the other, in its own frame."""

    says: str
    moves: Annotated[
        tuple[Point, ...], Meta(description="Each motion, mm; the last one ends at the piece's place.")
    ] = ()
    only: Annotated[str, Meta(description="What bars the other ways, where only one is open.")] = ""
    barriers: Annotated[
        tuple[tuple[Point, ...], ...], Meta(description="Rings that it must pass, in the piece's frame.")
    ] = ()


class FixingReport(Part, frozen=True):
    """A place to fasten a piece: a stud behind it, found from the piece's end and from a mark on site."""

    stud: Annotated[str, Meta(description="Its name, or `stud at 14 1/2 in` where it has none.")]
    across: Annotated[Dimension, Meta(description="Its centre, from the piece's end.")]
    across_from: Annotated[str, Meta(description="`from the left end`, ...")]
    off: Annotated[Dimension, Meta(description="Its centre along the wall, from the mark.")]
    mark: Annotated[str, Meta(description="What can be found on site: `corner left-back`, `casing door`.")]
    within: Annotated[
        Dimension, Meta(description="A screw so far off its centre still meets it, at the confidence asked.")
    ]
    how: Annotated[Literal["both edges", "centre", "supposed"], Meta(description="How it was found.")]


class InstalledReport(Part, frozen=True):
    """What came out at one place of an edge against what was foretold; all in mm."""

    edge: str
    what: InstalledWhat
    at: Dimension | None
    foretold: Dimension
    came_out: Dimension
    sd_mm: Annotated[float, Meta(description="How sure what was foretold is: one standard deviation.")]
    record: str = ""


class WayPose(Part, frozen=True):
    """Where a piece is at one moment of a way: its origin, and its turn in degrees, counter-clockwise."""

    x: float
    y: float
    turn_deg: float


class WayStepReport(Part, frozen=True):
    """One thing to get past on the way in; the picture is a plan, or an elevation, of its own, in mm."""

    name: str
    verdict: Literal["goes", "does not go", "too tight to call"]
    says: str
    margin: Annotated[Dimension | None, Meta(description="Room left at the tightest place.")] = None
    how: Annotated[str, Meta(description="How it is carried there, such as `upright`, `on its back`.")] = ""
    view: Literal["plan", "elevation"] = "plan"
    shape: Annotated[tuple[Point, ...], Meta(description="The piece as carried, about its own origin.")] = ()
    poses: Annotated[tuple[WayPose, ...], Meta(description="From the first moment to the last.")] = ()
    barriers: Annotated[tuple[tuple[Point, ...], ...], Meta(description="Rings that it must pass.")] = ()
    helps: Annotated[tuple[str, ...], Meta(description="What would help where it does not go.")] = ()


class LiftReport(Part, frozen=True):
    """What a piece weighs, and who can lift it."""

    kilograms: float
    says: str
    weighed: Annotated[bool, Meta(description="Weighed by somebody, not worked out from its volume.")] = False


class OrderStep(Part, frozen=True):
    """One step of the day of installation."""

    number: int
    says: str
    pieces: tuple[str, ...] = ()
    why: Annotated[str, Meta(description="Why it comes here.")] = ""
    check: Annotated[tuple[str, ...], Meta(description="What to check first.")] = ()


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
    chance: ChanceReport | None = None
    confidence: float | None = None
    limits: Annotated[str, Meta(description="What the confidence covers.")] = ""
    readings: Annotated[tuple[str, ...], Meta(description="Ids of the readings it rests on.")] = ()
    rough: Annotated[
        tuple[NamedDimension, ...], Meta(description="Size to cut first: the blank, and what is left over.")
    ] = ()
    oversize: tuple[OversizeReport, ...] = ()
    parts: tuple[PartReport, ...] = ()
    cut_outs: tuple[CutOutReport, ...] = ()
    holes: tuple[HoleReport, ...] = ()
    seams: Annotated[tuple[NamedDimension, ...], Meta(description="Where seams and joints fall.")] = ()
    bulges: Annotated[
        tuple[float, ...],
        Meta(description="Of the outline's edges: tan of a quarter of the arc; 0: straight."),
    ] = ()
    cut_path: Annotated[
        tuple[tuple[Point, ...], ...],
        Meta(description="Cuts of notches, run past the edge, cutter's radius in."),
    ] = ()
    stock: StockReport | None = None
    waits_for: Annotated[tuple[str, ...], Meta(description="Bought items to be measured first.")] = ()
    entry: EntryReport | None = None
    way: tuple[WayStepReport, ...] = ()
    lift: LiftReport | None = None
    fixings: Annotated[tuple[FixingReport, ...], Meta(description="Studs behind it, from the left.")] = ()
    screws: Annotated[tuple[str, ...], Meta(description="Which screws go into them, in words.")] = ()
    installed: Annotated[
        tuple[InstalledReport, ...], Meta(description="What was put down on the day, against this report.")
    ] = ()

    @property
    def has_outline(self) -> bool:
        """Whether a machine or a template can have it: it is ready, and not cut square by its sizes alone."""
        return self.status == "ready" and bool(self.outline)


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


class GainReport(Part, frozen=True):
    """What one more reading brings a piece: the chance that all is well, before and after it."""

    piece: str
    before: float
    after: float


class NextReading(Part, frozen=True):
    """A reading to take next, where, and what for."""

    name: Annotated[str, Meta(description="In plain words.")]
    says: Annotated[str, Meta(description="What it brings.")]
    minutes: float
    gains: tuple[GainReport, ...] = ()
    tells: Annotated[
        tuple[str, ...], Meta(description="Ids of the readings of which it shows the wrong one.")
    ] = ()
    dictation: Annotated[str, Meta(description="The line that puts it down, its values to be replaced.")] = ""
    line: Annotated[
        tuple[Point, ...], Meta(description="Where it lies in the plan frame, mm: for a picture.")
    ] = ()
    up_mm: float | None = None
    wall: str = ""


class SuspectReport(Part, frozen=True):
    """Readings of which one is wrong, likeliest first: one alone is named; of several nothing tells which."""

    records: tuple[str, ...]
    what: tuple[str, ...]
    too_large_by: Annotated[tuple[float, ...], Meta(description="Of each, were it the one; mm or degrees.")]
    unit: Literal["mm", "deg"]
    asks: Annotated[tuple[str, ...], Meta(description="What slip the first may have been.")] = ()


class RoomReport(Part, frozen=True):
    """The room as the readings make it."""

    corners: tuple[CornerReport, ...] = ()
    surfaces: tuple[SurfaceReport, ...] = ()
    residuals: tuple[ResidualReport, ...] = ()
    suspects: tuple[SuspectReport, ...] = ()
    next_readings: tuple[NextReading, ...] = ()
    enough: Annotated[str, Meta(description="Why no further reading is advised, where none is.")] = ""
    repeat: Annotated[
        tuple[str, ...], Meta(description="Ids of the readings to repeat before cutting, if trades were in.")
    ] = ()
    unevenness: Annotated[
        float | None, Meta(description="How uneven the walls are, against what is usual for their age.")
    ] = None


class FitReport(Part, frozen=True):
    """The whole answer."""

    format: Literal["scribefit fit report"]
    version: Literal[3]
    title: str
    unit: Literal["in", "mm"]
    step: str
    confidence: float
    survey_hash: Annotated[str, Meta(description="SHA-256 of the survey's canonical text form.")]
    room: RoomReport
    pieces: tuple[PieceReport, ...]
    findings: tuple[Finding, ...]
    order: Annotated[tuple[OrderStep, ...], Meta(description="The day of installation, step by step.")] = ()
    revision: Annotated[int, Meta(description="Records put down so far: it grows with each change.")] = 0

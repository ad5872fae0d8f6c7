"""Readings: what was read off an instrument, as it was read."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.errors import RecordError
from survey.records.base import Name, Record, Reference, TypedAngle, TypedLength

Instrument = Literal[
    "tape",
    "steel rule",
    "laser",
    "framing square",
    "angle gauge",
    "spirit level",
    "digital level",
    "phone level",
    "straightedge",
    "string",
    "line laser",
    "plumb bob",
    "stud finder",
    "other side",
    "story stick",
    "template",
    "eye",
]
Start = Literal[
    "hook", "butted", "burned an inch", "bent into the corner", "two sticks", "case added", "mark"
]

Up = Annotated[TypedLength | None, Meta(description="Height above the level plane z = 0.")]
FromEnd = Annotated[
    Reference,
    Meta(description="Corner, mark or feature edge on this wall that `along` is measured from."),
]


class Reading(Record, frozen=True, kw_only=True):
    """What every reading has: the instrument, how it started, and the face it was taken to."""

    instrument: Instrument = "tape"
    start: Annotated[Start | None, Meta(description="How the tape's zero was held.")] = None
    face: Annotated[
        Literal["finished", "now"],
        Meta(
            description="`now`: the face as it stood, layers to come are added; `finished`: the final face."
        ),
    ] = "now"
    sd: Annotated[TypedLength | None, Meta(description="Standard deviation, if better known.")] = None


class Spot(Struct, frozen=True, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A place on a wall's surface: so far along, from a corner or mark of that wall."""

    wall: Name
    along: TypedLength
    from_: FromEnd
    up: Up = None


End = Spot | Reference


class LengthReading(Reading, frozen=True, kw_only=True, tag="length"):
    """A length between two places, tape level unless the ends have heights of their own.

    A corner, named as an end, is where the two finished surfaces meet at that height.
    """

    between: tuple[End, End]
    reads: TypedLength
    up: Up = None


class ThreeSides(Reading, frozen=True, kw_only=True, tag="three-sides"):
    """A corner by three sides: a leg along each wall to a mark, and the marks' diagonal."""

    corner: Name
    left_leg: Annotated[TypedLength, Meta(description="Along the corner's left wall.")]
    right_leg: Annotated[TypedLength, Meta(description="Along the corner's right wall.")]
    diagonal: TypedLength
    up: Up = None


class CornerAngle(Reading, frozen=True, kw_only=True, tag="corner-angle"):
    """A corner by a gauge; an outside corner is read on the solid side (about 90)."""

    corner: Name
    reads: TypedAngle
    reach: Annotated[TypedLength, Meta(description="Length of the gauge's legs on the walls.")]
    up: Up = None
    instrument: Instrument = "angle gauge"


class CornerSquare(Reading, frozen=True, kw_only=True, tag="corner-square"):
    """A corner by a square: one leg lies on a wall, the other gaps at its heel or its tip."""

    corner: Name
    lies_on: Annotated[Name, Meta(description="The wall that the first leg lies on.")]
    lying_leg: TypedLength
    other_leg: TypedLength
    gap: TypedLength
    gap_at: Literal["heel", "tip"]
    flipped: Annotated[bool, Meta(description="The square was proved by a flip test.")] = False
    up: Up = None
    instrument: Instrument = "framing square"


class Station(Struct, frozen=True, forbid_unknown_fields=True):
    """One station of a check: where, and the gap seen there."""

    at: TypedLength
    gap: TypedLength


class StraightedgeCheck(Reading, frozen=True, kw_only=True, tag="straightedge"):
    """Gaps between a wall and a straightedge, a string or a laser line.

    A level run has its height in `up` and stations along the wall from `from`; a plumb run has its
    place in `along` from `from` and stations at heights.
    """

    wall: Name
    run: Literal["level", "plumb"] = "level"
    from_: FromEnd
    along: Annotated[TypedLength | None, Meta(description="Where a plumb run stands.")] = None
    up: Up = None
    stations: Annotated[tuple[Station, ...], Meta(min_length=2, max_length=100_000)]
    edge_length: TypedLength | None = None
    cross: Annotated[
        Name | None,
        Meta(
            description="Of two laser lines that stand square to one another: checks of one cross share them."
        ),
    ] = None
    instrument: Instrument = "straightedge"

    def __post_init__(self) -> None:
        """A level run without a height, or a plumb run without a place, means nothing."""
        if self.run == "level" and self.up is None:
            raise RecordError("a level check needs its height: expected `up`, got nothing")
        if self.run == "plumb" and self.along is None:
            raise RecordError("a plumb check needs its place: expected `along`, got nothing")


class Lean(Reading, frozen=True, kw_only=True, tag="lean"):
    """How far a wall leans between two heights; positive: the top leans into the room."""

    wall: Name
    along: TypedLength
    from_: FromEnd
    low: TypedLength
    high: TypedLength
    offset: Annotated[TypedLength | None, Meta(description="Top against bottom, into the room.")] = None
    angle: TypedAngle | None = None
    instrument: Instrument = "spirit level"

    def __post_init__(self) -> None:
        """Exactly one of offset and angle, over a height that is not nothing."""
        if (self.offset is None) == (self.angle is None):
            raise RecordError("a lean is either an offset or an angle: expected one of the two")
        if self.high.mm <= self.low.mm:
            raise RecordError(
                f"a lean spans from low to high: got low {self.low.text}, high {self.high.text}"
            )


class Drop(Reading, frozen=True, kw_only=True, tag="drop"):
    """From the level line down to the floor (or up to the ceiling) at a point of the plan."""

    to: Literal["floor", "ceiling"] = "floor"
    wall: Annotated[Name, Meta(description="The wall that the point is measured along and out of.")]
    along: TypedLength
    from_: FromEnd
    out: TypedLength
    reads: Annotated[TypedLength, Meta(description="As read; up to a ceiling is positive too.")]


class Position(Reading, frozen=True, kw_only=True, tag="position"):
    """Where a feature is: along its wall from a corner or mark, and up, or below the level line."""

    of: Reference
    along: TypedLength | None = None
    from_: FromEnd | None = None
    up: Up = None
    below: Annotated[TypedLength | None, Meta(description="Down from the level line.")] = None
    out: Annotated[TypedLength | None, Meta(description="Out of the wall's face.")] = None

    def __post_init__(self) -> None:
        """Something must be positioned, from somewhere."""
        if self.along is None and self.up is None and self.below is None and self.out is None:
            raise RecordError("a position needs `along`, `up`, `below` or `out`: got none of them")
        if (self.along is None) != (self.from_ is None):
            raise RecordError("`along` is measured from somewhere: expected `from` beside it")
        if self.up is not None and self.below is not None:
            raise RecordError("a height is either `up` or `below`: got both")


class StickMark(Struct, frozen=True, forbid_unknown_fields=True):
    """One mark on a story stick, and what it was held to."""

    to: End
    reads: TypedLength


class StoryStick(Reading, frozen=True, kw_only=True, tag="story-stick"):
    """A stick held along a wall, with the marks struck on it."""

    wall: Name
    zero: Annotated[End, Meta(description="Where the stick's end was held.")]
    marks: Annotated[tuple[StickMark, ...], Meta(min_length=1)]
    up: Up = None
    instrument: Instrument = "story stick"


class TemplatePoint(Struct, frozen=True, forbid_unknown_fields=True):
    """A point of a template's edge that touches a wall, in the template's own frame."""

    wall: Name
    right: TypedLength
    back: TypedLength


class Template(Reading, frozen=True, kw_only=True, tag="template"):
    """A template cut to the place, lying level: points of its edge that touch the walls."""

    points: Annotated[tuple[TemplatePoint, ...], Meta(min_length=3)]
    up: Up = None
    instrument: Instrument = "template"


class Tool(Reading, frozen=True, kw_only=True, tag="tool"):
    """An instrument of the shop, and what it read over a known length: a reading of the tool itself.

    It says how good all readings with its instrument are; what it read over the known length says how far
    off all of them are that start as it did then. A survey has one tool of an instrument.
    """

    name: Name
    tape_class: Annotated[
        Literal["I", "II", "III"] | None,
        Meta(description="Accuracy class printed on a tape or a steel rule."),
    ] = None
    known: Annotated[TypedLength | None, Meta(description="A length that is known, to calibrate it.")] = None
    reads: Annotated[TypedLength | None, Meta(description="What the tool read over it.")] = None

    def __post_init__(self) -> None:
        """A calibration has two lengths; only tapes and rules have a class."""
        if (self.known is None) != (self.reads is None):
            raise RecordError("a calibration is a known length and what was read over it: got one of them")
        if self.tape_class is not None and self.instrument not in ("tape", "steel rule"):
            raise RecordError(
                f"expected a class of a tape or a steel rule, got one of a {self.instrument}: leave it out"
            )

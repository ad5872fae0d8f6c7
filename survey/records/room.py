"""The job, the room, its walls, corners, areas and marks, and what is assumed about them."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.quantity import read_step
from survey.records.base import Name, Record, Reference, Sentence, TypedAngle, TypedLength


class Job(Record, frozen=True, kw_only=True, tag="job"):
    """What the survey is for, and how its numbers are read and printed."""

    title: Annotated[str, Meta(min_length=1, max_length=200)]
    unit: Annotated[Literal["in", "mm"], Meta(description="What a bare number means.")]
    step: Annotated[str, Meta(description="Smallest fraction printed: `1/16`, `0.5 mm`, `1 mm`.")]
    confidence: Annotated[
        float, Meta(ge=0.5, le=0.9999, description="Chance, joint over all edges of a piece.")
    ] = 0.99
    level_line: Annotated[
        TypedLength | None,
        Meta(description="Height of the marked level line above z = 0; absent: z = 0 is the line."),
    ] = None
    datum_mark: Sentence = ""
    agreed: Annotated[Sentence, Meta(description="Who agreed to heights and hands.")] = ""

    def __post_init__(self) -> None:
        """Refuse a smallest fraction that no rule carries."""
        read_step(self.step)


class Room(Record, frozen=True, kw_only=True, tag="room"):
    """The room; its back wall is the one that the pieces are fixed to."""

    name: Name
    back: Annotated[Name, Meta(description="The wall at the top of the plan.")] = "back"
    age: Annotated[
        Literal["new", "old"],
        Meta(description="Old doubles how far walls are expected out of square and plumb."),
    ] = "old"
    origin: Annotated[
        Name | None,
        Meta(description="Mark on the back wall that is x = 0 where there is no left wall."),
    ] = None


class Wall(Record, frozen=True, kw_only=True, tag="wall"):
    """A wall, named; facing it, right is positive along it."""

    name: Name
    framing: Literal["wood stud", "steel stud", "masonry", "lath", "unknown"] = "unknown"
    spacing: Annotated[TypedLength | None, Meta(description="Nominal stud spacing, not trusted.")] = None


class Corner(Record, frozen=True, kw_only=True, tag="corner"):
    """Where two walls meet; seen from above, walls run clockwise: left_wall ends here."""

    name: Name
    left_wall: Annotated[Name, Meta(description="The wall whose right end, facing it, is here.")]
    right_wall: Annotated[Name, Meta(description="The wall whose left end, facing it, is here.")]
    turn: Literal["inside", "outside"] = "inside"
    nominal: Annotated[
        TypedAngle | None,
        Meta(description="Room-side angle meant; 90 inside and 270 outside if absent."),
    ] = None


class Layer(Struct, frozen=True, forbid_unknown_fields=True):
    """One layer of a build-up, from the framing outward."""

    name: Annotated[str, Meta(min_length=1, max_length=40)]
    thickness: TypedLength
    state: Literal["in place", "to come"] = "in place"


class Area(Record, frozen=True, kw_only=True, tag="area"):
    """A part of a wall or of the floor with its build-up of layers."""

    name: Name
    wall: Annotated[str, Meta(description="A wall's name, or `floor`.")]
    layers: tuple[Layer, ...] = ()
    from_: Annotated[TypedLength | None, Meta(description="Along, from the wall's left end.")] = None
    to: TypedLength | None = None
    bottom: TypedLength | None = None
    top: TypedLength | None = None


class Mark(Record, frozen=True, kw_only=True, tag="mark"):
    """A scratch or pencil mark that survives tile and paint."""

    name: Name
    wall: Name
    described: Sentence = ""


class Assumption(Record, frozen=True, kw_only=True, tag="assumption"):
    """Something taken as given because it was not measured; it is wide, and results say so."""

    what: Literal["corner angle", "flat wall", "plumb wall", "level floor"]
    of: Annotated[Reference, Meta(description="The corner, wall or `floor` it is about.")]
    because: Sentence = ""

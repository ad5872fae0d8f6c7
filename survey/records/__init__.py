"""Records: everything that a survey holds, one frozen struct per kind.

`AnyRecord` is the union of all kinds, told apart by the field `kind`; `KINDS` maps each kind's
name to its struct. Adding a kind is adding a struct and its name here.
"""

from __future__ import annotations

from survey.records.base import Record, TypedAngle, TypedLength
from survey.records.features import (
    AccessPanel,
    BoughtItem,
    Electrical,
    Feature,
    Fixture,
    FloorHeat,
    Obstacle,
    Opening,
    Register,
    RoughIn,
    Stock,
    Stud,
    Trim,
)
from survey.records.pieces import (
    BoxPiece,
    Cabinet,
    Cleat,
    Drawer,
    Edge,
    FaceFrame,
    FalseFront,
    Filler,
    Mirror,
    Panel,
    Piece,
    Shelf,
    SizedPiece,
    Splash,
    Stretcher,
    TallCabinet,
    ToeKick,
    Top,
)
from survey.records.readings import (
    CornerAngle,
    CornerSquare,
    Drop,
    End,
    Lean,
    LengthReading,
    Position,
    Reading,
    Spot,
    Station,
    StickMark,
    StoryStick,
    StraightedgeCheck,
    Template,
    TemplatePoint,
    ThreeSides,
    Tool,
)
from survey.records.remarks import AsInstalled, Decision, Note, Photo, Withdrawal
from survey.records.room import Area, Assumption, Corner, Job, Layer, Mark, Room, Wall
from survey.records.survey import Survey

AnyRecord = (
    Job
    | Room
    | Wall
    | Corner
    | Area
    | Mark
    | Assumption
    | LengthReading
    | ThreeSides
    | CornerAngle
    | CornerSquare
    | StraightedgeCheck
    | Lean
    | Drop
    | Position
    | StoryStick
    | Template
    | Tool
    | Opening
    | Trim
    | RoughIn
    | Electrical
    | Register
    | FloorHeat
    | AccessPanel
    | Fixture
    | Stud
    | Obstacle
    | BoughtItem
    | Stock
    | Cabinet
    | TallCabinet
    | Top
    | Panel
    | Filler
    | Splash
    | Shelf
    | FaceFrame
    | Drawer
    | FalseFront
    | ToeKick
    | Cleat
    | Stretcher
    | Mirror
    | Note
    | Photo
    | Decision
    | AsInstalled
    | Withdrawal
)

KINDS: dict[str, type[Record]] = {kind.__struct_config__.tag: kind for kind in AnyRecord.__args__}


def kind_of(record: Record) -> str:
    """Return the kind's name as files spell it, such as `corner-square`."""
    return str(record.__struct_config__.tag)


__all__ = [
    "KINDS",
    "AccessPanel",
    "AnyRecord",
    "Area",
    "AsInstalled",
    "Assumption",
    "BoughtItem",
    "BoxPiece",
    "Cabinet",
    "Cleat",
    "Corner",
    "CornerAngle",
    "CornerSquare",
    "Decision",
    "Drawer",
    "Drop",
    "Edge",
    "Electrical",
    "End",
    "FaceFrame",
    "FalseFront",
    "Feature",
    "Filler",
    "Fixture",
    "FloorHeat",
    "Job",
    "Layer",
    "Lean",
    "LengthReading",
    "Mark",
    "Mirror",
    "Note",
    "Obstacle",
    "Opening",
    "Panel",
    "Photo",
    "Piece",
    "Position",
    "Reading",
    "Record",
    "Register",
    "Room",
    "RoughIn",
    "Shelf",
    "SizedPiece",
    "Splash",
    "Spot",
    "Station",
    "StickMark",
    "Stock",
    "StoryStick",
    "StraightedgeCheck",
    "Stretcher",
    "Stud",
    "Survey",
    "TallCabinet",
    "Template",
    "TemplatePoint",
    "ThreeSides",
    "ToeKick",
    "Tool",
    "Top",
    "Trim",
    "TypedAngle",
    "TypedLength",
    "Wall",
    "Withdrawal",
    "kind_of",
]

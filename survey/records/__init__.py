"""Records: everything that a survey holds, one frozen struct per kind.

`AnyRecord` is the union of all kinds, told apart by the field `kind`; `KINDS` maps each kind's
name to its struct. Adding a kind is adding a struct and its name here.
"""

from __future__ import annotations

from survey.records.base import Record, TypedAngle, TypedLength
from survey.records.cuts import CutOut, Machine, Oversize, Seam
from survey.records.features import (
    AccessPanel,
    BoughtItem,
    Electrical,
    Feature,
    Fixture,
    FloorHeat,
    Obstacle,
    Opening,
    ProfilePoint,
    Register,
    RoughIn,
    Stock,
    Stud,
    Trim,
)
from survey.records.pieces import (
    Aim,
    BoxPiece,
    Cabinet,
    CabinetDoor,
    CaseBack,
    Cleat,
    CornerShape,
    Drawer,
    Edge,
    FaceFrame,
    FalseFront,
    Filler,
    FrontPiece,
    LightStrip,
    Mirror,
    Panel,
    Piece,
    Pin,
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
from survey.records.remarks import (
    AsInstalled,
    Decision,
    Experience,
    InstalledWhat,
    Note,
    Photo,
    Withdrawal,
)
from survey.records.room import Area, Assumption, Corner, Job, Layer, Mark, Room, Wall
from survey.records.survey import Survey
from survey.records.way import Way

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
    | CabinetDoor
    | LightStrip
    | CaseBack
    | CutOut
    | Seam
    | Oversize
    | Machine
    | Way
    | Note
    | Photo
    | Decision
    | AsInstalled
    | Experience
    | Withdrawal
)

KINDS: dict[str, type[Record]] = {kind.__struct_config__.tag: kind for kind in AnyRecord.__args__}


def kind_of(record: Record) -> str:
    """Return the kind's name as files spell it, such as `corner-square`."""
    return str(record.__struct_config__.tag)


__all__ = [
    "KINDS",
    "AccessPanel",
    "Aim",
    "AnyRecord",
    "Area",
    "AsInstalled",
    "Assumption",
    "BoughtItem",
    "BoxPiece",
    "Cabinet",
    "CabinetDoor",
    "CaseBack",
    "Cleat",
    "Corner",
    "CornerAngle",
    "CornerShape",
    "CornerSquare",
    "CutOut",
    "Decision",
    "Drawer",
    "Drop",
    "Edge",
    "Electrical",
    "End",
    "Experience",
    "FaceFrame",
    "FalseFront",
    "Feature",
    "Filler",
    "Fixture",
    "FloorHeat",
    "FrontPiece",
    "InstalledWhat",
    "Job",
    "Layer",
    "Lean",
    "LengthReading",
    "LightStrip",
    "Machine",
    "Mark",
    "Mirror",
    "Note",
    "Obstacle",
    "Opening",
    "Oversize",
    "Panel",
    "Photo",
    "Piece",
    "Pin",
    "Position",
    "ProfilePoint",
    "Reading",
    "Record",
    "Register",
    "Room",
    "RoughIn",
    "Seam",
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
    "Way",
    "Withdrawal",
    "kind_of",
]

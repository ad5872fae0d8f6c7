"""The pieces to be made, and what each of their edges meets."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.errors import RecordError
from survey.records.base import Kilograms, Name, Record, Reference, TypedAngle, TypedLength
from survey.records.readings import FromEnd

PieceWall = Annotated[
    str,
    Meta(
        pattern=r"^([^\s:,'\"\x00-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069]{1,40})?$(?!\n)",
        description="The wall its back is at; absent: its cabinet's, or the room's back wall.",
    ),
]
Finish = Literal["scribed", "net", "let in", "covered", "filler", "open"]


class Edge(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What an edge meets and how it is finished.

    `scribed`: left over, planed to the wall on site. `net`: cut to size with `gap`, caulked.
    `let in`: into the board. `filler`: a filler strip closes it. `covered`: a splash or trim
    hides it. `open`: it meets nothing.
    """

    meets: Annotated[Name | None, Meta(description="The wall, trim or piece it meets; absent: nothing.")] = (
        None
    )
    finish: Finish = "open"
    gap: Annotated[TypedLength | None, Meta(description="Least gap left: for a net edge or a filler.")] = None
    saw: Annotated[
        TypedLength | None,
        Meta(description="Extra for the saw; 1/16 in if absent (common practice)."),
    ] = None
    cover: Annotated[
        TypedLength | None, Meta(description="Thickness of the splash or trim that hides its gap.")
    ] = None

    def __post_init__(self) -> None:
        """An edge that meets nothing is open, and the other way round."""
        if (self.meets is None) != (self.finish == "open"):
            raise RecordError(
                f"an edge meets something or is open: got meets {self.meets!r}, finish {self.finish!r}"
            )


OPEN = Edge()


class Aim(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What decides where a piece sits, where its pushes leave it free.

    `least scribe`: the least is left to plane off, all edges added. `balanced`: the greatest scribe of all
    edges is least. `even front`: its front runs even with the piece that it lies on or stands beside.
    `even ends`: its gaps, overhangs or reveals at both ends are alike. `in line`: an edge of it, or its
    centre, lines up with something.
    """

    what: Literal["least scribe", "balanced", "even front", "even ends", "in line"]
    edge: Annotated[
        Literal["left", "right", "centre"] | None, Meta(description="In line: which edge of the piece.")
    ] = None
    line: Annotated[
        Reference | None,
        Meta(description="In line: with what, such as a drain, a window's edge or a mark at a tile joint."),
    ] = None
    off: Annotated[TypedLength | None, Meta(description="In line: how far right of it, facing the wall.")] = (
        None
    )

    def __post_init__(self) -> None:
        """Only what is in line has an edge and a line."""
        said = (self.edge is not None, self.line is not None)
        if said != (self.what == "in line",) * 2 or (self.off is not None and self.line is None):
            raise RecordError(
                f"a piece is in line by an edge with a line: got {self.what!r}, edge {self.edge!r}, "
                f"line {self.line!r}"
            )


class Pin(Struct, frozen=True, forbid_unknown_fields=True):
    """What a gap at one side must be at its narrowest place, whatever the aim."""

    side: Literal["left", "right", "back"]
    rule: Literal["at least", "at most", "exactly"]
    gap: TypedLength


class CornerShape(Struct, frozen=True, forbid_unknown_fields=True):
    """How a free front corner is shaped: rounded with a radius, or clipped by as much along both edges."""

    shape: Literal["radius", "clip"]
    size: TypedLength


class Piece(Record, frozen=True, kw_only=True):
    """What every piece has."""

    name: Name
    material: Annotated[str, Meta(max_length=80)] = ""
    grain: Annotated[
        Literal["along width", "along height", "along depth", "none"],
        Meta(description="Grain direction."),
    ] = "none"
    quantity: Annotated[int, Meta(ge=1, le=999)] = 1
    kilograms: Annotated[Kilograms | None, Meta(description="Weight of one, where somebody weighed it.")] = (
        None
    )


class BoxPiece(Piece, frozen=True, kw_only=True):
    """A box set plumb and level, its back against a wall."""

    wall: PieceWall = ""
    width: TypedLength
    height: TypedLength
    depth: TypedLength
    bottom: Annotated[
        TypedLength | None,
        Meta(description="Height of the underside above z = 0; absent: it stands on the floor."),
    ] = None
    back: Annotated[
        Literal["flush", "set in"], Meta(description="Set in: only sides and rails touch the wall.")
    ] = "flush"
    left: Edge = OPEN
    right: Edge = OPEN
    along: Annotated[TypedLength | None, Meta(description="From `from` to its nearer side.")] = None
    from_: Annotated[FromEnd | None, Meta(description="Needed where no side meets a wall.")] = None
    aim: Annotated[Aim | None, Meta(description="What decides where it sits; absent: its pushes do.")] = None
    pins: tuple[Pin, ...] = ()
    base: Annotated[
        Literal["box", "legs", "loose base"],
        Meta(description="What stands on the floor; a loose base is made and levelled first."),
    ] = "box"
    kick_height: Annotated[
        TypedLength | None, Meta(description="Of the toe space, its legs or its loose base.")
    ] = None
    kick_depth: Annotated[TypedLength | None, Meta(description="Of the toe space, from the face.")] = None


class Cabinet(BoxPiece, frozen=True, kw_only=True, tag="cabinet"):
    """A cabinet box: base, vanity or wall-hung."""


class TallCabinet(BoxPiece, frozen=True, kw_only=True, tag="tall-cabinet"):
    """A cabinet from the floor to above eye height."""


class Top(Piece, frozen=True, kw_only=True, tag="top"):
    """A level top, its back edge to a wall."""

    wall: PieceWall = ""
    on: Annotated[Name | None, Meta(description="The cabinet it lies on; its front runs with it.")] = None
    up: Annotated[
        TypedLength | None, Meta(description="Height of its upper face; absent: on the cabinet.")
    ] = None
    thickness: TypedLength
    depth: Annotated[
        TypedLength | None, Meta(description="Front edge to the back wall's foremost point.")
    ] = None
    width: Annotated[TypedLength | None, Meta(description="Needed where an end is open.")] = None
    overhang: Annotated[TypedLength | None, Meta(description="Front overhang past the cabinet.")] = None
    end_overhang: Annotated[TypedLength | None, Meta(description="Past the cabinet at an open end.")] = None
    left: Edge = OPEN
    right: Edge = OPEN
    back: Edge = OPEN
    clearance: Annotated[
        TypedLength | None,
        Meta(description="Around trim in notches; 1/16 in if absent (common practice)."),
    ] = None
    along: TypedLength | None = None
    from_: FromEnd | None = None
    aim: Annotated[Aim | None, Meta(description="What decides where it sits; absent: its pushes do.")] = None
    pins: tuple[Pin, ...] = ()
    rule: Annotated[
        Literal["wood", "sheet", "solid surface", "stone"],
        Meta(description="How it is worked: wood and sheet on site, the others from a template."),
    ] = "wood"
    front_left: Annotated[CornerShape | None, Meta(description="Its front corner at an open left end.")] = (
        None
    )
    front_right: CornerShape | None = None
    profile: Annotated[
        Literal["square", "eased", "round-over", "chamfer", "ogee", "bullnose"],
        Meta(description="Of its free edges."),
    ] = "square"
    profile_depth: Annotated[
        TypedLength | None, Meta(description="How far the profile goes in from the edge, on the flat.")
    ] = None


class Panel(Piece, frozen=True, kw_only=True, tag="panel"):
    """An upright panel that stands out from a wall, its back edge to the wall."""

    wall: PieceWall = ""
    along: Annotated[TypedLength, Meta(description="Where its show face stands.")]
    from_: FromEnd
    show: Annotated[
        Literal["left", "right"],
        Meta(description="Facing the wall, the side its show face looks to."),
    ]
    depth: Annotated[TypedLength, Meta(description="Front edge to the wall's foremost point.")]
    thickness: TypedLength
    bottom: TypedLength | None = None
    height: TypedLength
    back: Edge = OPEN
    clearance: TypedLength | None = None
    upper: Annotated[Edge, Meta(description="Its upper edge: open, or scribed to the ceiling.")] = OPEN


class Filler(Piece, frozen=True, kw_only=True, tag="filler"):
    """A strip that closes the gap between a cabinet's face and a wall or trim."""

    beside: Annotated[Name, Meta(description="The cabinet.")]
    side: Literal["left", "right", "top"]
    thickness: TypedLength
    setback: Annotated[TypedLength | None, Meta(description="Behind the cabinet's face.")] = None
    saw: TypedLength | None = None
    runs_on: Annotated[
        Name | None, Meta(description="The filler whose grain or profile runs on into this one.")
    ] = None


class SizedPiece(Piece, frozen=True, kw_only=True):
    """A part whose size is typed, not computed from the room."""

    width: TypedLength
    height: TypedLength
    thickness: TypedLength
    of: Annotated[Name | None, Meta(description="The piece that it belongs to.")] = None


class Splash(SizedPiece, frozen=True, kw_only=True, tag="splash"):
    """A splash above a top: `of` is the top, and its width is worked out where its side meets a wall."""

    side: Annotated[
        Literal["back", "left", "right"] | None, Meta(description="Along which edge of the top it stands.")
    ] = None


class Shelf(SizedPiece, frozen=True, kw_only=True, tag="shelf"):
    """A shelf; its height is its depth, front to back. Between walls its width is worked out."""

    wall: PieceWall = ""
    up: Annotated[TypedLength | None, Meta(description="Height of its upper face.")] = None
    left: Edge = OPEN
    right: Edge = OPEN
    back: Edge = OPEN


class FaceFrame(SizedPiece, frozen=True, kw_only=True, tag="face-frame"):
    """A face frame of a cabinet; a stile that meets a wall is left wide and scribed to it."""

    stile: Annotated[TypedLength | None, Meta(description="Width of a stile.")] = None
    rail: Annotated[TypedLength | None, Meta(description="Width of a rail.")] = None
    openings: Annotated[
        tuple[TypedLength, ...], Meta(description="Heights of the openings between rails, from the top.")
    ] = ()
    left: Edge = OPEN
    right: Edge = OPEN


class FrontPiece(SizedPiece, frozen=True, kw_only=True):
    """What closes a cabinet's front: how it sits, where, and what sticks out of it."""

    sits: Annotated[
        Literal["overlay", "inset"], Meta(description="Before the box's face, or flush within it.")
    ] = "overlay"
    from_left: Annotated[
        TypedLength | None,
        Meta(description="From its cabinet's left side to its left edge; absent: the cabinet's middle."),
    ] = None
    from_top: Annotated[
        TypedLength | None, Meta(description="From its cabinet's upper edge to its own; absent: flush.")
    ] = None
    pull: Annotated[TypedLength | None, Meta(description="How far its pull stands out of its face.")] = None


class Drawer(FrontPiece, frozen=True, kw_only=True, tag="drawer"):
    """A drawer: the opening's width and height, and for its thickness the depth of the box."""

    slide: Annotated[Name | None, Meta(description="The bought slides it runs on.")] = None
    slide_clearance: Annotated[TypedLength | None, Meta(description="At each side, by the slide.")] = None
    stuff: Annotated[TypedLength | None, Meta(description="Thickness of its sides.")] = None
    front_thickness: TypedLength | None = None


class FalseFront(FrontPiece, frozen=True, kw_only=True, tag="false-front"):
    """A front with nothing behind it."""


class CabinetDoor(FrontPiece, frozen=True, kw_only=True, tag="cabinet-door"):
    """A cabinet's door; its width and height are the door's own."""

    hinge: Literal["left", "right"]
    hinges: Annotated[
        Literal["butt", "knife", "cup"], Meta(description="How it turns: on its edge, or in a cup hinge.")
    ] = "cup"
    opens: Annotated[TypedAngle | None, Meta(description="How far it must open; absent: square, 90.")] = None


class ToeKick(SizedPiece, frozen=True, kw_only=True, tag="toe-kick"):
    """A toe-kick of a cabinet; its lower edge is scribed to the floor, or left open over it."""

    floor: Literal["scribed", "open"] = "scribed"


class Cleat(SizedPiece, frozen=True, kw_only=True, tag="cleat"):
    """A hanging cleat; with an angle a pair, ripped from one board of the height given."""

    angle: Annotated[TypedAngle | None, Meta(description="Of the rip of a hooked pair.")] = None
    up: Annotated[TypedLength | None, Meta(description="Height of the wall half's upper edge.")] = None


class Stretcher(SizedPiece, frozen=True, kw_only=True, tag="stretcher"):
    """A stretcher or hanging rail."""

    side_thickness: Annotated[
        TypedLength | None, Meta(description="Of the box's sides: it goes between them.")
    ] = None


class Mirror(SizedPiece, frozen=True, kw_only=True, tag="mirror"):
    """A mirror on a wall."""

    wall: PieceWall = ""
    along: Annotated[TypedLength | None, Meta(description="From `from` to its nearer side.")] = None
    from_: FromEnd | None = None
    centred: Annotated[
        Reference | None, Meta(description="The thing of that wall, or the cabinet, it hangs centred over.")
    ] = None
    bottom: Annotated[TypedLength | None, Meta(description="Height of its lower edge.")] = None


class LightStrip(SizedPiece, frozen=True, kw_only=True, tag="light-strip"):
    """A light strip of fixed length under a cabinet: its width is its length."""

    may_be_cut: bool = False


class CaseBack(SizedPiece, frozen=True, kw_only=True, tag="case-back"):
    """A cabinet's back."""

    sits: Literal["in a rabbet", "in a groove", "on the back"] = "in a rabbet"
    groove: Annotated[TypedLength | None, Meta(description="Depth of the rabbet or groove.")] = None
    side_thickness: TypedLength | None = None

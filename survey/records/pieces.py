"""The pieces to be made, and what each of their edges meets."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.errors import RecordError
from survey.records.base import Name, Record, TypedLength
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

    def __post_init__(self) -> None:
        """An edge that meets nothing is open, and the other way round."""
        if (self.meets is None) != (self.finish == "open"):
            raise RecordError(
                f"an edge meets something or is open: got meets {self.meets!r}, finish {self.finish!r}"
            )


OPEN = Edge()


class Piece(Record, frozen=True, kw_only=True):
    """What every piece has."""

    name: Name
    material: Annotated[str, Meta(max_length=80)] = ""
    grain: Annotated[
        Literal["along width", "along height", "along depth", "none"],
        Meta(description="Grain direction."),
    ] = "none"
    quantity: Annotated[int, Meta(ge=1, le=999)] = 1


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


class Filler(Piece, frozen=True, kw_only=True, tag="filler"):
    """A strip that closes the gap between a cabinet's face and a wall or trim."""

    beside: Annotated[Name, Meta(description="The cabinet.")]
    side: Literal["left", "right"]
    thickness: TypedLength
    setback: Annotated[TypedLength | None, Meta(description="Behind the cabinet's face.")] = None
    saw: TypedLength | None = None


class SizedPiece(Piece, frozen=True, kw_only=True):
    """A part whose size is typed, not computed from the room."""

    width: TypedLength
    height: TypedLength
    thickness: TypedLength
    of: Annotated[Name | None, Meta(description="The piece that it belongs to.")] = None


class Splash(SizedPiece, frozen=True, kw_only=True, tag="splash"):
    """A splash above a top."""


class Shelf(SizedPiece, frozen=True, kw_only=True, tag="shelf"):
    """A shelf."""


class FaceFrame(SizedPiece, frozen=True, kw_only=True, tag="face-frame"):
    """A face frame."""


class Drawer(SizedPiece, frozen=True, kw_only=True, tag="drawer"):
    """A drawer."""


class FalseFront(SizedPiece, frozen=True, kw_only=True, tag="false-front"):
    """A front with nothing behind it."""


class ToeKick(SizedPiece, frozen=True, kw_only=True, tag="toe-kick"):
    """A toe-kick."""


class Cleat(SizedPiece, frozen=True, kw_only=True, tag="cleat"):
    """A hanging cleat."""


class Stretcher(SizedPiece, frozen=True, kw_only=True, tag="stretcher"):
    """A stretcher or hanging rail."""


class Mirror(SizedPiece, frozen=True, kw_only=True, tag="mirror"):
    """A mirror."""

"""What is cut out of a piece or joined in it, and by how much parts are left over: the bench's own rules."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta

from survey.records.base import Name, Record, Reference, TypedLength

Purpose = Literal[
    "scribing", "trimming", "veneer", "edging", "jointing", "planing", "end trimming", "fitting fronts"
]
"""What wood is left over for: planed to a wall; flushed after assembly; veneer that is trimmed back; an
edging that is glued on; edges jointed; faces planed; ends cut last; fronts fitted after the case is built."""


class CutOut(Record, frozen=True, kw_only=True, tag="cut-out"):
    """A hole in a piece, for a basin, a faucet or a pipe; its place is its centre."""

    name: Name
    of: Annotated[Name, Meta(description="The piece.")]
    item: Annotated[
        Name | None, Meta(description="The bought item that it is for; its size, if none is said.")
    ] = None
    shape: Literal["rectangle", "oval"] = "rectangle"
    width: TypedLength | None = None
    depth: Annotated[TypedLength | None, Meta(description="From front to back.")] = None
    radius: Annotated[TypedLength | None, Meta(description="Of a rectangle's corners.")] = None
    over: Annotated[Reference | None, Meta(description="What its centre lies over, such as the drain.")] = (
        None
    )
    along: Annotated[TypedLength | None, Meta(description="From the end named to its centre.")] = None
    end: Annotated[
        Literal["left", "right"] | None, Meta(description="Of the piece; absent, with none over: its middle.")
    ] = None
    from_front: Annotated[
        TypedLength | None, Meta(description="From the front edge to its centre; absent: midway.")
    ] = None
    least: Annotated[
        TypedLength | None, Meta(description="Material left around it at the least, to every edge.")
    ] = None


class Seam(Record, frozen=True, kw_only=True, tag="seam"):
    """A seam between two lengths, a joint between two boards, or a knot, in a top or shelf."""

    name: Name
    of: Annotated[Name, Meta(description="The piece.")]
    type: Literal["seam", "board joint", "knot"] = "seam"
    along: Annotated[TypedLength | None, Meta(description="Of a seam or knot: from the end named.")] = None
    end: Literal["left", "right"] | None = None
    from_front: Annotated[
        TypedLength | None, Meta(description="Of a board joint or knot: from the front edge.")
    ] = None
    size: Annotated[TypedLength | None, Meta(description="A knot's across.")] = None


class Oversize(Record, frozen=True, kw_only=True, tag="oversize"):
    """How much is left over for a purpose: by this shop, or on one piece."""

    purpose: Purpose
    amount: TypedLength
    of: Annotated[Name | None, Meta(description="The piece; absent: every piece of the shop.")] = None


class Machine(Record, frozen=True, kw_only=True, tag="machine"):
    """A machine's bed: the largest blank that it takes."""

    name: Name
    length: TypedLength
    width: TypedLength
    thickness: TypedLength | None = None

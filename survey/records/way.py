"""The way from the van to the place, a record for each thing to get past."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta

from survey.records.base import Name, Record, TypedAngle, TypedLength


class Way(Record, frozen=True, kw_only=True, tag="way"):
    """One thing to get past on the way in, in the order of `step`.

    A doorway is as wide as it is clear with its door open. A corner goes from a passage of its `width` into
    one of its `next_width`, square. On stairs, `height` is the headroom, plumb above the nosings.
    """

    name: Name
    step: Annotated[int, Meta(ge=1, le=99)]
    type: Literal["doorway", "passage", "corner", "stairs", "ceiling"]
    width: Annotated[TypedLength | None, Meta(description="Clear, at the narrowest.")] = None
    next_width: Annotated[TypedLength | None, Meta(description="Of a corner's second passage.")] = None
    height: Annotated[TypedLength | None, Meta(description="Clear, at the lowest.")] = None
    length: Annotated[
        TypedLength | None, Meta(description="Of a passage that ends at a wall, or a stairs' landing.")
    ] = None
    slope: Annotated[TypedAngle | None, Meta(description="Of stairs, from level.")] = None

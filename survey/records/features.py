"""What is on the walls and floor: trim, openings, rough-ins, studs and the rest.

A feature says what a thing is and how large; *where* it is, is said by `position` readings of it,
so that a place can be read twice and disagree. Facing the wall, a feature's own point is its
centre, but a trim's is its near edge.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from survey.records.base import Kilograms, Name, Record, Sentence, TypedLength

Height = Annotated[TypedLength | None, Meta(description="Above the level plane z = 0.")]


class ProfilePoint(Struct, frozen=True, forbid_unknown_fields=True):
    """A point of a profile: how far across the trim from its near edge, and how far out of the wall."""

    across: TypedLength
    out: TypedLength


class Feature(Record, frozen=True, kw_only=True):
    """What every feature has: a name and the wall that it is on."""

    name: Name
    wall: Annotated[str, Meta(description="A wall's name, or `floor`.")]


class Opening(Feature, frozen=True, kw_only=True, tag="opening"):
    """A door, window or shower door."""

    type: Literal["door", "window", "shower door"]
    clear_width: TypedLength | None = None
    leaf_thickness: TypedLength | None = None
    knob: TypedLength | None = None
    hinge: Literal["left", "right"] | None = None
    swing: Literal["in", "out"] | None = None
    bottom: Height = None
    top: Height = None


class Trim(Feature, frozen=True, kw_only=True, tag="trim"):
    """Casing, baseboard, sill or crown; its point is its near edge, from which it runs `toward`."""

    type: Literal["casing", "baseboard", "sill", "crown"]
    width: Annotated[
        TypedLength | None,
        Meta(description="Across the face: along for a casing, up for a baseboard."),
    ] = None
    projection: Annotated[TypedLength | None, Meta(description="Out of the wall's face.")] = None
    toward: Annotated[
        Literal["left", "right"],
        Meta(description="Facing the wall, where it runs from its near edge."),
    ] = "right"
    bottom: Height = None
    top: Height = None
    profile: Literal["plain", "moulded"] = "plain"
    fate: Literal["stays", "comes off", "comes later"] = "stays"
    points: Annotated[
        tuple[ProfilePoint, ...], Meta(description="A moulded profile, from its near edge on.")
    ] = ()


class RoughIn(Feature, frozen=True, kw_only=True, tag="rough-in"):
    """A drain, supply, valve, vent or gas stub."""

    type: Literal["drain", "hot", "cold", "stop valve", "vent", "gas"]
    diameter: TypedLength | None = None
    stub: Annotated[TypedLength | None, Meta(description="How far it stands out of the wall.")] = None
    handle: TypedLength | None = None


class Electrical(Feature, frozen=True, kw_only=True, tag="electrical"):
    """An outlet, switch, light or junction box with its plate."""

    type: Literal["outlet", "switch", "light", "box"]
    plate_width: TypedLength | None = None
    plate_height: TypedLength | None = None


class Register(Feature, frozen=True, kw_only=True, tag="register"):
    """An air register or grille."""

    width: TypedLength | None = None
    height: TypedLength | None = None


class FloorHeat(Feature, frozen=True, kw_only=True, tag="floor-heat"):
    """Heating in the floor or wall: do not drill."""

    extent: Sentence = ""


class AccessPanel(Feature, frozen=True, kw_only=True, tag="access-panel"):
    """A panel that must stay reachable."""

    width: TypedLength | None = None
    height: TypedLength | None = None


class Fixture(Feature, frozen=True, kw_only=True, tag="fixture"):
    """A toilet, tub, radiator or the like, to be kept clear of."""

    type: Literal["toilet", "tub", "shower", "radiator", "appliance", "other"]
    width: TypedLength | None = None
    projection: TypedLength | None = None


class Stud(Feature, frozen=True, kw_only=True, tag="stud"):
    """A stud; its point is its centre, `name:left` and `name:right` are its edges."""

    width: TypedLength | None = None
    proved: Literal["nail", "probe", "magnet", "meter", "other side", "assumed spacing"] = "magnet"


class Obstacle(Feature, frozen=True, kw_only=True, tag="obstacle"):
    """Anything else that stands out of a wall; from a tile edge on, the whole wall does, to its right."""

    type: Literal["chase", "column", "ledge", "tile edge", "window return", "other"] = "other"
    width: TypedLength | None = None
    height: TypedLength | None = None
    projection: TypedLength | None = None


class BoughtItem(Record, frozen=True, kw_only=True, tag="bought-item"):
    """A sink, faucet, slide, pull, mirror, light or appliance that pieces must suit."""

    name: Name
    what: Annotated[str, Meta(min_length=1, max_length=200)]
    width: TypedLength | None = None
    height: TypedLength | None = None
    depth: TypedLength | None = None
    size: Literal["measured", "promised"] = "promised"
    in_hand: bool = False
    of: Annotated[Name | None, Meta(description="The piece that is made to suit it, and waits for it.")] = (
        None
    )
    radius: Annotated[TypedLength | None, Meta(description="Of the corners of what is cut out for it.")] = (
        None
    )
    kilograms: Kilograms | None = None


class Stock(Record, frozen=True, kw_only=True, tag="stock"):
    """Material on hand: its real size and thickness, measured."""

    name: Name
    material: Annotated[str, Meta(min_length=1, max_length=80)]
    form: Literal["sheet", "board", "slab"] = "sheet"
    length: TypedLength
    width: TypedLength
    thickness: TypedLength
    quantity: Annotated[int, Meta(ge=0)] = 1

"""A survey as somebody would have taken it in the mirror image of the place: left is right."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from msgspec.structs import asdict, fields, replace

from survey.records import (
    Aim,
    BoxPiece,
    CabinetDoor,
    Corner,
    CutOut,
    Edge,
    Filler,
    FrontPiece,
    LengthReading,
    Opening,
    Panel,
    Record,
    Seam,
    Splash,
    Spot,
    Survey,
    Template,
    ThreeSides,
    Top,
    Trim,
    TypedLength,
)

SWAP = {"left": "right", "right": "left"}
WALL_FIELDS = ("wall", "lies_on", "back", "meets")
SIDE_FIELDS = ("side", "show", "toward", "end", "hinge")


def mirrored(survey: Survey) -> Survey:
    """Mirror a survey; walls called `left` and `right` change names, corners keep theirs.

    Everything is measured from corners: along a wall from the corner at its other end is then the same
    number. What is measured rightward from a mark is refused.
    """
    corners = {corner.name for corner in survey.of(Corner)}
    boxes = {box.name: box for box in survey.of(BoxPiece)}
    return Survey([_mirrored(record, corners, boxes) for record in survey.records])


def _mirrored(record: Record, corners: set[str], boxes: dict[str, BoxPiece]) -> Record:
    for name in ("from_", "to"):
        start = getattr(record, name, None)
        assert not isinstance(start, str) or start in {*corners, "floor", "ceiling"}, f"{start} is no corner"
    if isinstance(record, Corner):
        left, right = _wall(record.right_wall), _wall(record.left_wall)
        return replace(record, left_wall=left, right_wall=right)
    if isinstance(record, ThreeSides):
        return replace(record, left_leg=record.right_leg, right_leg=record.left_leg)
    if isinstance(record, LengthReading):
        first, second = (_end(end) for end in record.between)
        return replace(record, between=(first, second))
    if isinstance(record, Template):
        points = (replace(one, wall=_wall(one.wall), right=_negative(one.right)) for one in record.points)
        return replace(record, points=tuple(points))
    if isinstance(record, FrontPiece) and record.from_left is not None:
        record = replace(record, from_left=_from_right(record, boxes[str(record.of)]))
    return replace(record, **_changes(record))


def _negative(length: TypedLength) -> TypedLength:
    if length.mm == 0:
        return length
    return TypedLength(length.text.removeprefix("-") if length.mm < 0 else f"-{length.text}", length.unit)


def _from_right(front: FrontPiece, box: BoxPiece) -> TypedLength:
    """How far a front is from the right side of its cabinet; back in its own words if that is how it was."""
    assert front.from_left is not None
    mm = box.width.mm - front.from_left.mm - front.width.mm
    inches = mm / Fraction("25.4")
    if front.from_left.unit == "in":
        whole, rest = divmod(inches, 1)
        return TypedLength(f"{whole} {rest}" if whole and rest else f"{inches}", "in")
    return TypedLength(f"{float(mm):g}", "mm")


def _changes(record: Record) -> dict[str, Any]:
    values = {field.name: getattr(record, field.name) for field in fields(record)}
    changes = {name: _wall(values[name]) for name in WALL_FIELDS if isinstance(values.get(name), str)}
    if type(record).__name__ == "Wall":
        changes["name"] = _wall(values["name"])
    if isinstance(record, (CabinetDoor, CutOut, Filler, Opening, Panel, Seam, Splash, Trim)):
        changes |= {name: SWAP.get(values[name], values[name]) for name in SIDE_FIELDS if name in values}
    if isinstance(values.get("aim"), Aim):
        aim = values["aim"]
        changes["aim"] = replace(aim, edge=SWAP.get(aim.edge, aim.edge))
        assert aim.off is None, "what is off its line is not mirrored here"
    if isinstance(record, BoxPiece | Top):
        changes["pins"] = tuple(replace(pin, side=SWAP.get(pin.side, pin.side)) for pin in record.pins)
    if isinstance(record, Top):
        changes |= {"front_left": record.front_right, "front_right": record.front_left}
    edges = {name: _edge(value) for name, value in values.items() if isinstance(value, Edge)}
    return {**changes, **{SWAP.get(name, name): edge for name, edge in edges.items()}}


def _wall(name: str) -> str:
    return SWAP.get(name, name)


def _edge(edge: Edge) -> Edge:
    return Edge(**{**asdict(edge), "meets": None if edge.meets is None else _wall(edge.meets)})


def _end(end: Spot | str) -> Spot | str:
    return replace(end, wall=_wall(end.wall)) if isinstance(end, Spot) else end

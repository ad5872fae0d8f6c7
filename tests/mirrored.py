"""A survey as somebody would have taken it in the mirror image of the place: left is right."""

from __future__ import annotations

from typing import Any

from msgspec.structs import asdict, fields, replace

from survey.records import (
    Corner,
    Edge,
    Filler,
    LengthReading,
    Panel,
    Record,
    Splash,
    Spot,
    Survey,
    ThreeSides,
    Trim,
)

SWAP = {"left": "right", "right": "left"}
WALL_FIELDS = ("wall", "lies_on", "back", "meets")
SIDE_FIELDS = ("side", "show", "toward")


def mirrored(survey: Survey) -> Survey:
    """Mirror a survey; walls called `left` and `right` change names, corners keep theirs.

    Everything is measured from corners: along a wall from the corner at its other end is then the same
    number. What is measured rightward from a mark is refused.
    """
    corners = {corner.name for corner in survey.of(Corner)}
    return Survey([_mirrored(record, corners) for record in survey.records])


def _mirrored(record: Record, corners: set[str]) -> Record:
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
    return replace(record, **_changes(record))


def _changes(record: Record) -> dict[str, Any]:
    values = {field.name: getattr(record, field.name) for field in fields(record)}
    changes = {name: _wall(values[name]) for name in WALL_FIELDS if isinstance(values.get(name), str)}
    if type(record).__name__ == "Wall":
        changes["name"] = _wall(values["name"])
    if isinstance(record, (Filler, Panel, Splash, Trim)):
        changes |= {name: SWAP.get(values[name], values[name]) for name in SIDE_FIELDS if name in values}
    edges = {name: _edge(value) for name, value in values.items() if isinstance(value, Edge)}
    return {**changes, **{SWAP.get(name, name): edge for name, edge in edges.items()}}


def _wall(name: str) -> str:
    return SWAP.get(name, name)


def _edge(edge: Edge) -> Edge:
    return Edge(**{**asdict(edge), "meets": None if edge.meets is None else _wall(edge.meets)})


def _end(end: Spot | str) -> Spot | str:
    return replace(end, wall=_wall(end.wall)) if isinstance(end, Spot) else end

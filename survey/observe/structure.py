"""Whether the survey hangs together by its names: missing records, names used twice, names of nothing."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Final, Literal

from survey.finding import Finding, finding
from survey.observe.corners import room_side_meant
from survey.observe.ground import EDGES, Ground, LeftOut
from survey.records import (
    Aim,
    Area,
    Assumption,
    BoughtItem,
    BoxPiece,
    Corner,
    CutOut,
    Drawer,
    Edge,
    Feature,
    Filler,
    Job,
    Mark,
    Mirror,
    Oversize,
    Panel,
    Piece,
    Record,
    Room,
    Seam,
    Shelf,
    SizedPiece,
    Survey,
    Top,
    TypedLength,
    Wall,
    kind_of,
)

Sort = Literal[
    "walls",
    "walls and the floor",
    "things in the room",
    "pieces",
    "bought items",
    "things and pieces",
    "things that an edge can meet",
]

SURFACES: Final = frozenset({"floor", "ceiling"})
"""Names that the room's own surfaces have."""

NO_LINE: Final = TypedLength("0", "mm")

REFERENCES: Final[tuple[tuple[type[Record], str, Sort], ...]] = (
    (Room, "back", "walls"),
    (Room, "origin", "things in the room"),
    (Corner, "left_wall", "walls"),
    (Corner, "right_wall", "walls"),
    (Area, "wall", "walls and the floor"),
    (Mark, "wall", "walls"),
    (Feature, "wall", "walls and the floor"),
    (Assumption, "of", "things in the room"),
    (BoxPiece, "wall", "walls"),
    (BoxPiece, "from_", "things in the room"),
    (Top, "wall", "walls"),
    (Top, "on", "pieces"),
    (Top, "from_", "things in the room"),
    (Panel, "wall", "walls"),
    (Panel, "from_", "things in the room"),
    (Filler, "beside", "pieces"),
    (Filler, "runs_on", "pieces"),
    (SizedPiece, "of", "pieces"),
    (Shelf, "wall", "walls"),
    (Mirror, "wall", "walls"),
    (Mirror, "from_", "things in the room"),
    (Mirror, "centred", "things and pieces"),
    (CutOut, "of", "pieces"),
    (CutOut, "item", "bought items"),
    (CutOut, "over", "things in the room"),
    (Seam, "of", "pieces"),
    (Oversize, "of", "pieces"),
    (BoughtItem, "of", "pieces"),
    (Drawer, "slide", "bought items"),
)
"""Fields of records that name other things; what readings name is refused by their observers."""


def structure(survey: Survey, ground: Ground) -> Iterator[Finding]:
    """Give what is missing, doubled or named without being there, in that order."""
    yield from _missing(survey, ground)
    yield from _doubled(survey)
    yield from _corrected_twice(survey)
    yield from _unknown(survey, ground)
    yield from _corners(survey, ground)


def _missing(survey: Survey, ground: Ground) -> Iterator[Finding]:
    jobs, rooms = survey.of(Job), survey.of(Room)
    if not jobs:
        yield finding(100)
    if not survey.of(Wall):
        yield finding(101)
    if not rooms:
        yield finding(107)
    for records in (jobs, rooms):
        if len(records) > 1:
            ids = (record.id for record in records)
            yield finding(108, ids, count=len(records), what=kind_of(records[0]))
    for job in jobs:
        try:
            ground.height(job.level_line or NO_LINE, "the level line")
        except LeftOut as left_out:
            yield left_out.finding(job.id)


def _doubled(survey: Survey) -> Iterator[Finding]:
    for name, records in survey.named.items():
        targets = [set(record.replaces) for record in records]
        if len(records) > 1 and not set.intersection(*targets):
            pieces = (name,) if any(isinstance(record, Piece) for record in records) else ()
            yield finding(102, (record.id for record in records), pieces, name=name, count=len(records))
        if name in SURFACES:
            yield finding(102, (record.id for record in records), name=name, count=len(records) + 1)


def _corrected_twice(survey: Survey) -> Iterator[Finding]:
    """Give each record that more than one still valid record replaces, a withdrawal among them or not."""
    current = {record.id for record in survey.current}
    for target, ids in survey.replaced.items():
        standing = [one for one in ids if one not in survey.replaced]
        if len(standing) > 1 and any(one in current for one in standing):
            yield finding(105, (target, *standing), count=len(standing))


def _unknown(survey: Survey, ground: Ground) -> Iterator[Finding]:
    names = _names(survey, ground)
    for kind, field, sort in REFERENCES:
        for record in survey.of(kind):
            name = getattr(record, field)
            if name and not _is_there(name, names[sort], ground):
                yield _names_nothing(record, name, sort, names[sort], ground)
    for piece in survey.of(Piece):
        for name in _met_by(piece):
            if name not in names["things that an edge can meet"]:
                sort = "things that an edge can meet"
                yield _names_nothing(piece, name, sort, names[sort], ground)
        aim = getattr(piece, "aim", None)
        if isinstance(aim, Aim) and aim.line and not _is_there(aim.line, names["things in the room"], ground):
            yield _names_nothing(piece, aim.line, "things in the room", names["things in the room"], ground)


def _names(survey: Survey, ground: Ground) -> dict[Sort, Collection[str]]:
    walls = ground.walls.keys()
    things = ground.things.keys() | {corner.name for corner in survey.of(Corner)}
    pieces = {piece.name for piece in survey.of(Piece)}
    return {
        "walls": walls,
        "walls and the floor": walls | {"floor"},
        "things in the room": things | walls | {"floor"},
        "pieces": pieces,
        "bought items": {item.name for item in survey.of(BoughtItem)},
        "things and pieces": things | walls | pieces,
        "things that an edge can meet": walls | pieces | ground.things.keys() | {"ceiling"},
    }


def _is_there(name: str, names: Collection[str], ground: Ground) -> bool:
    thing, _, edge = name.partition(":")
    return name in names or (
        edge in EDGES and thing in names and isinstance(ground.things.get(thing), Feature)
    )


def _names_nothing(record: Record, name: str, sort: Sort, names: Collection[str], ground: Ground) -> Finding:
    own = getattr(record, "name", None)
    what = kind_of(record).replace("-", " ") + (f" `{own}`" if own else "")
    pieces = (own,) if own and isinstance(record, Piece) else ()
    known = ground.known(name, sort, names)
    if sort == "walls" and name == "back" and isinstance(record, Room):
        known += "; it is `back` where the line does not say `back WALL`"
    return finding(103, (record.id,), pieces, what=what, name=name, known=known)


def _met_by(piece: Piece) -> Iterator[str]:
    for field in piece.__struct_fields__:
        edge = getattr(piece, field)
        if isinstance(edge, Edge) and edge.meets is not None:
            yield edge.meets


def _corners(survey: Survey, ground: Ground) -> Iterator[Finding]:
    """Give angles meant that no corner has, and a `left` or `right` wall at the other end of the back."""
    backs = {room.back for room in survey.of(Room)}
    for corner in survey.of(Corner):
        try:
            room_side_meant(corner)
        except LeftOut as left_out:
            yield left_out.finding(corner.id)
        for end, here, beside in (
            ("right", corner.left_wall, corner.right_wall),
            ("left", corner.right_wall, corner.left_wall),
        ):
            if here in backs and beside in {"left", "right"} - {end}:
                walls = (ground.walls[beside].id,) if beside in ground.walls else ()
                yield finding(106, (corner.id, *walls), name=beside, end=end, corner=corner.name)

"""Short ways to put down records, and an alcove to put readings in."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import count
from typing import Any

from survey.records import (
    Corner,
    Job,
    Mark,
    Record,
    Room,
    RoughIn,
    Station,
    StraightedgeCheck,
    Stud,
    Survey,
    Trim,
    TypedAngle,
    TypedLength,
    Wall,
)

MOMENT = datetime(2024, 5, 1, tzinfo=UTC)
INCH = 25.4
_ids = count(1)


def inches(text: str) -> TypedLength:
    return TypedLength(text, "in")


def degrees(text: str) -> TypedAngle:
    return TypedAngle(text)


def put(kind: type[Record], **fields: Any) -> Any:
    """Make a record; its id is its name, or the kind and a number."""
    own = fields.pop("id", fields.get("name") or f"{kind.__name__.lower()}-{next(_ids)}")
    return kind(id=own, taken=MOMENT, **fields)


def job(**fields: Any) -> Job:
    return put(Job, **{"id": "job", "title": "bath", "unit": "in", "step": "1/16", **fields})


def alcove(*records: Record, level_line: str | None = "38") -> Survey:
    """Give a back wall between a left and a right one, with a casing, a drain, a stud and a mark."""
    line = None if level_line is None else inches(level_line)
    return Survey(
        (
            job(level_line=line),
            put(Room, name="bath"),
            *(put(Wall, name=name) for name in ("left", "back", "right")),
            put(Corner, name="left-back", left_wall="left", right_wall="back"),
            put(Corner, name="back-right", left_wall="back", right_wall="right"),
            put(Trim, name="casing", wall="right", type="casing", width=inches("3 1/2"), toward="left"),
            put(RoughIn, name="drain", wall="back", type="drain", diameter=inches("1 1/2")),
            put(Stud, name="s1", wall="back", width=inches("1 1/2")),
            put(Mark, name="m1", wall="back"),
            *records,
        )
    )


def outside(*records: Record) -> Survey:
    """Give a back wall that turns away at an outside corner on its right."""
    return Survey(
        (
            job(),
            put(Room, name="nook"),
            *(put(Wall, name=name) for name in ("left", "back", "return")),
            put(Corner, name="left-back", left_wall="left", right_wall="back"),
            put(Corner, name="nose", left_wall="back", right_wall="return", turn="outside"),
            *records,
        )
    )


def check(at_and_gap: str, **fields: Any) -> StraightedgeCheck:
    """Give a check of the back wall from stations such as `0 0, 12 1/16`."""
    pairs = (pair.strip().split(" ", 1) for pair in at_and_gap.split(","))
    stations = tuple(Station(inches(at), inches(gap)) for at, gap in pairs)
    placed = {"wall": "back", "from_": "left-back", "up": inches("34"), **fields}
    return put(StraightedgeCheck, stations=stations, **placed)


__all__ = ["INCH", "alcove", "check", "degrees", "inches", "job", "outside", "put"]

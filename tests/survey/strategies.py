"""Hypothesis strategies for every kind of record, made from the structs themselves.

A new kind needs nothing here unless its `__post_init__` ties fields together: then add it to `SUITED`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from hashlib import sha256
from typing import Any

import msgspec
from hypothesis import strategies as st
from msgspec import Struct, inspect

from survey.records import KINDS, Record, Survey, TypedAngle, TypedLength

UNITS = st.sampled_from(["in", "ft", "mm", "cm", "m"])
WHOLE = st.integers(0, 2000).map(str)
FRACTION = st.sampled_from(["1/2", "3/4", "5/8", "5/16", "31/32", "1/64"])
INCHES = st.one_of(FRACTION, st.builds("{} {}".format, WHOLE, FRACTION), st.just('34-5/16"'))
METRIC = st.sampled_from(["872 mm", "87.2 cm", "87,2 cm", "0.5 mm", "2.41 m"])
STEPS = st.sampled_from(["1/16", "1/32", "1/64 in", "0.5 mm", "1 mm"])

lengths = st.one_of(
    st.builds(TypedLength, WHOLE | METRIC, UNITS),
    st.builds(TypedLength, INCHES, st.just("in")),
    st.builds(TypedLength, WHOLE.map("-{}".format), UNITS),
)
angles = st.builds(TypedAngle, st.sampled_from(["90", "89.5", "89° 30'", "1/8 in 24", "-0.5", "270°"]))
moments = st.datetimes(
    datetime(1990, 1, 1),
    datetime(2090, 1, 1),
    timezones=st.sampled_from([UTC, timezone(timedelta(hours=-7)), timezone(timedelta(hours=5.5))]),
)
ids = st.from_regex("[0-9a-z][0-9a-z-]{0,31}", fullmatch=True)


def texts(info: inspect.StrType) -> st.SearchStrategy[str]:
    if info.pattern:
        return st.from_regex(info.pattern.removesuffix(r"(?!\n)"), fullmatch=True)
    most = min(info.max_length or 12, 12)
    return st.text(st.characters(codec="utf-8"), min_size=info.min_length or 0, max_size=most)


@cache
def structs(kind: type[Struct]) -> st.SearchStrategy[Struct]:
    if kind in (TypedLength, TypedAngle):
        return lengths if kind is TypedLength else angles
    info = inspect.type_info(kind)
    assert isinstance(info, inspect.StructType)
    fields = {field.name: of(field.type) for field in info.fields}
    suited = SUITED.get(kind.__name__, lambda draw, values: None)

    @st.composite
    def build(draw: Callable[..., Any]) -> Struct:
        values = draw(st.fixed_dictionaries(fields))
        suited(draw, values)
        return kind(**values)

    return build()


def of(info: inspect.Type) -> st.SearchStrategy[Any]:
    """Give a strategy for what msgspec says a field holds."""
    match info:
        case inspect.Metadata():
            return of(info.type)
        case inspect.StrType():
            return texts(info)
        case inspect.LiteralType():
            return st.sampled_from(info.values)
        case inspect.NoneType():
            return st.none()
        case inspect.BoolType():
            return st.booleans()
        case inspect.IntType():
            return st.integers(info.ge or 0, info.le or 2**53)
        case inspect.FloatType():
            least, is_above = (info.ge, False) if info.gt is None else (info.gt, True)
            return st.floats(least, info.le, exclude_min=is_above)
        case inspect.DateTimeType():
            return moments
        case inspect.UnionType():
            return st.one_of([of(each) for each in info.types])
        case inspect.VarTupleType():
            least = info.min_length or 0
            return st.lists(of(info.item_type), min_size=least, max_size=least + 2).map(tuple)
        case inspect.TupleType():
            return st.tuples(*[of(each) for each in info.item_types])
        case inspect.DictType():
            return st.dictionaries(of(info.key_type), of(info.value_type), max_size=2)
        case inspect.StructType():
            return structs(info.cls)
    raise TypeError(f"no strategy for {info}: add one")


def edge(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    if values["meets"] is None or values["finish"] == "open":
        values["meets"], values["finish"] = None, "open"


def check(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    values["up" if values["run"] == "level" else "along"] = draw(lengths)


def lean(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    by_offset = draw(st.booleans())
    values["offset"] = draw(lengths) if by_offset else None
    values["angle"] = None if by_offset else draw(angles)
    values["low"], values["high"] = TypedLength("4", "in"), TypedLength("36", "in")


def position(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    if values["along"] is None or values["from_"] is None:
        values["along"] = values["from_"] = None
        values["out"] = draw(lengths)
    if values["up"] is not None:
        values["below"] = None


def withdrawal(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    values["replaces"] = values["replaces"] or ("elsewhere",)


def tool(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    if values["known"] is None or values["reads"] is None:
        values["known"] = values["reads"] = None
    if values["instrument"] not in ("tape", "steel rule"):
        values["tape_class"] = None


def job(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    values["step"] = draw(STEPS)


def aim(draw: Callable[..., Any], values: dict[str, Any]) -> None:
    if values["what"] != "in line":
        values.update(edge=None, line=None, off=None)
    else:
        values["edge"] = values["edge"] or "centre"
        values["line"] = values["line"] or "drain"


SUITED = {
    "Aim": aim,
    "Edge": edge,
    "StraightedgeCheck": check,
    "Lean": lean,
    "Position": position,
    "Withdrawal": withdrawal,
    "Job": job,
    "Tool": tool,
}


def records(kind: type[Record]) -> st.SearchStrategy[Record]:
    return structs(kind)  # type: ignore[return-value]


any_record = st.sampled_from(sorted(KINDS)).flatmap(lambda name: records(KINDS[name]))


@st.composite
def surveys(draw: Callable[..., Any], most: int = 6) -> Survey:
    """Draw records with ids of their own that replace earlier ones, or some that are elsewhere."""
    drawn = draw(st.lists(any_record, max_size=most, unique_by=lambda record: record.id))
    made: list[Record] = []
    for record in drawn:
        earlier = [one.id for one in made] + ["elsewhere"]
        least = 1 if record.replaces else 0
        targets = draw(st.lists(st.sampled_from(earlier), min_size=least, max_size=2, unique=True))
        made.append(msgspec.structs.replace(record, replaces=tuple(targets)))
    return Survey(one for one in made if one.id != "elsewhere")


photos = st.lists(st.binary(min_size=1, max_size=40), max_size=3).map(
    lambda contents: {sha256(content).hexdigest(): content for content in contents}
)

__all__ = ["any_record", "photos", "records", "surveys"]

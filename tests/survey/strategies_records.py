"""Records of every kind as Hypothesis draws them, made from the types of the structs."""

from datetime import UTC, datetime

import msgspec
from hypothesis import strategies as st
from msgspec import inspect

from survey.records import KINDS, Aim, Edge, Record

TAKEN = datetime(2024, 5, 1, 9, 30, tzinfo=UTC)

names = st.sampled_from(
    ["left", "right", "back", "left-back", "vanity", "drain", "m1", "top", "Left", "to", "in", "2x4", "m"]
)
names |= st.sampled_from(["last", "x(1)", "#3", "note", "1/2", "größe", "a;b"])
references = names | st.sampled_from(["door-casing:left", "s1:right"])
texts = st.sampled_from(
    ["oak", "to", "Top", "12", 'a 6" gap : wide', "first\nsecond", "\\", '"', " x ", "”", "a, b # c"]
)
texts |= st.text(st.characters(codec="utf-8"), min_size=1, max_size=40)
lengths = st.sampled_from(
    [
        "34 5/16",
        '34-5/16"',
        "2' 10 5/16\"",
        "2ft 10-5/16in",
        "34.3125",
        "3 ft",
        "872 mm",
        "87,2 cm",
        "1/8",
        "5'",
        *["7/8 in", "½", "34½", "5″", "6 in", '12 "', "0"],
    ]
)
signed_lengths = lengths | lengths.map("-{}".format) | lengths.map("+{}".format)
SIGNED = {"along", "up", "out", "offset", "bottom", "top", "from", "to", "low"}
angles = st.sampled_from(["89.5", "90°", "1.5 in 24", "44,5 deg", "45° 30'"])
PATTERNS_OF = {
    "^[0-9a-z][0-9a-z-]{0,63}$": st.just("ab" * 16),
    "^[0-9a-f]{64}$": st.text("0123456789abcdef", min_size=64, max_size=64),
    "^image/[a-z0-9.+-]{1,40}$": st.sampled_from(["image/jpeg", "image/svg+xml"]),
}


def _lengths(field: str) -> st.SearchStrategy:
    texts_of = signed_lengths if field in SIGNED else lengths
    return texts_of.map(lambda text: {"text": text, "unit": "in"})


def _text(field: str, pattern: str | None, most: int | None) -> st.SearchStrategy:
    if pattern is None:
        return st.just("1/32") if field == "step" else texts.map(lambda text: text[:most])
    otherwise = references if "(:" in pattern else names
    return PATTERNS_OF.get(pattern.removesuffix(r"(?!\n)"), otherwise)


def _of(field: str, kind: inspect.Type) -> st.SearchStrategy:
    match kind:
        case inspect.Metadata(type=inner):
            return _of(field, inner)
        case inspect.UnionType(types=types):
            return st.one_of([_of(field, each) for each in types])
        case inspect.NoneType():
            return st.none()
        case inspect.StructType(cls=cls) if cls.__name__ == "TypedLength":
            return _lengths(field)
        case inspect.StructType(cls=cls) if cls.__name__ == "TypedAngle":
            return angles.map(lambda text: {"text": text})
        case inspect.StructType(cls=cls) if cls is Edge:
            return st.sampled_from([{}, {"meets": "left", "finish": "scribed"}]) | st.fixed_dictionaries(
                {"meets": names, "finish": st.just("filler"), "gap": _lengths("gap")}
            )
        case inspect.StructType(cls=cls) if cls is Aim:
            return st.sampled_from([{"what": "balanced"}, {"what": "even ends"}]) | st.fixed_dictionaries(
                {"what": st.just("in line"), "edge": st.sampled_from(["left", "centre"]), "line": references},
                optional={"off": _lengths("off")},
            )
        case inspect.StructType(cls=cls):
            return _struct(cls)
        case inspect.LiteralType(values=values):
            return st.sampled_from(values)
        case inspect.VarTupleType(item_type=item, min_length=least):
            return st.lists(_of(field, item), min_size=max(1, least or 0), max_size=4)
        case inspect.TupleType(item_types=types):
            return st.tuples(*[_of(field, each) for each in types])
        case inspect.BoolType():
            return st.booleans()
        case inspect.IntType():
            return st.integers(1, 999)
        case inspect.FloatType():
            return st.floats(0.5, 0.9999)
        case inspect.DictType():
            return st.dictionaries(texts, texts, min_size=1, max_size=3)
        case inspect.StrType(pattern=pattern, max_length=most):
            return _text(field, pattern, most)
    raise TypeError(kind)


def _struct(cls: type) -> st.SearchStrategy:
    fields = [f for f in inspect.type_info(cls).fields if f.name not in KEEPING]
    needed = {f.encode_name: _of(f.encode_name, f.type) for f in fields if f.required}
    others = {f.encode_name: _of(f.encode_name, f.type) for f in fields if not f.required}
    return st.fixed_dictionaries(needed, optional=others)


KEEPING = {"id", "taken", "device", "person", "replaces"}
EXTRA = {
    "straightedge": {"run": "level", "up": {"text": "34", "unit": "in"}},
    "job": {"unit": "in"},
    "withdrawal": {"replaces": ["ab" * 16]},
}


def _made(kind: str, values: dict) -> Record | None:
    keeping = {"kind": kind, "id": "0" * 32, "taken": TAKEN, **EXTRA.get(kind, {})}
    try:
        return msgspec.convert({**values, **keeping}, KINDS[kind])
    except msgspec.ValidationError:
        return None


def records_of(kind: str) -> st.SearchStrategy[Record]:
    """Records of one kind; what breaks its rules is drawn again."""
    drawn = _struct(KINDS[kind]).map(lambda values: _made(kind, values))
    return drawn.filter(lambda record: record is not None)

"""From the notation of the table to patterns that read and say; how a field is read follows from its type."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import msgspec
from msgspec import inspect

from survey.dictation import slots
from survey.dictation.grammar import (
    Clause,
    Clauses,
    Element,
    Field,
    Flag,
    ListSlot,
    OneOf,
    PartSlot,
    Sequence,
    Word,
)
from survey.dictation.patterns import (
    EVERY_CLAUSE,
    INSTRUMENT_CLAUSE,
    PART_PATTERNS,
    PATTERNS,
    PIECE_CLAUSES,
    READING_CLAUSES,
    SAID_FOR,
)
from survey.records import KINDS, Piece, Reading
from survey.records.base import RecordId

_RECORD_ID = getattr(inspect.type_info(RecordId), "pattern", None)
_NAME_PATTERN_START = r"^[^\s:,'"
_BY_HAND: dict[str, slots.Slot] = {
    "name": slots.NameSlot(),
    "part": slots.NameSlot(of_part=True),
    "rest": slots.TextSlot(to_end=True),
    "step": slots.FRACTION,
    "in-or-out": slots.TowardSlot(slots.LENGTH, word_first=True),
    "then-in-or-out": slots.TowardSlot(slots.ANGLE, word_first=False),
}


def _slot_for(kind: inspect.Type) -> slots.Slot:
    """Choose how a field is read by its type."""
    match kind:
        case inspect.Metadata(type=inner):
            return _slot_for(inner)
        case inspect.UnionType(types=types):
            return _slot_for_union(tuple(each for each in types if not isinstance(each, inspect.NoneType)))
        case inspect.StructType(cls=cls):
            by_name = {"TypedLength": slots.LENGTH, "TypedAngle": slots.ANGLE}
            return by_name.get(cls.__name__) or PartSlot(part_pattern(cls))
        case inspect.LiteralType(values=values):
            return slots.ChoiceSlot(tuple(map(str, values)))
        case inspect.VarTupleType(item_type=item):
            of = _slot_for(item)
            return ListSlot(of) if isinstance(of, PartSlot | slots.QuantitySlot) else slots.IdsSlot()
        case inspect.IntType() | inspect.FloatType():
            return slots.NumberSlot(isinstance(kind, inspect.IntType))
        case inspect.DictType():
            return slots.PairsSlot()
        case inspect.StrType(pattern=pattern):
            return _slot_for_text(pattern)
    raise TypeError(f"no way to say a {kind}")


def _slot_for_text(pattern: str | None) -> slots.Slot:
    if pattern is None:
        return slots.TextSlot()
    if pattern == _RECORD_ID:
        return slots.IdsSlot()
    return slots.NameSlot() if pattern.startswith(_NAME_PATTERN_START) else slots.CodeSlot()


def _slot_for_union(types: tuple[inspect.Type, ...]) -> slots.Slot:
    if len(types) == 1:
        return _slot_for(types[0])
    structs = [each for each in types if isinstance(each, inspect.StructType)]
    return PartSlot(part_pattern(structs[0].cls), or_name=True)


_NOTATION = re.compile(r"\{(\w[\w.]*)(?:([:=])([^}]*))?\}|`(.)|([\[\]<>()|])|([^\s\[\]<>()|{}`]+)")


class _Notation:
    """Turns a pattern's text into elements, for one struct."""

    def __init__(self, text: str, struct: type) -> None:
        info = inspect.type_info(struct)
        assert isinstance(info, inspect.StructType)
        self.struct = struct
        self.fields = {field.encode_name: field for field in info.fields}
        self.parts = list(_NOTATION.finditer(text))
        self.at = 0

    def sequence(self, until: str = "the end") -> Element:
        """Read elements up to a closing mark."""
        elements: list[Element] = []
        clauses: list[Clause] = []
        while self.at < len(self.parts) and self.parts[self.at][5] not in (until, "|"):
            opening = self.parts[self.at][5]
            if opening in ("[", "<"):
                self.at += 1
                clauses.append(Clause(self.sequence("]" if opening == "[" else ">"), opening == "<"))
                self.at += 1
                continue
            elements += [Clauses(tuple(clauses))] if clauses else []
            clauses = []
            elements.append(self.element())
        elements += [Clauses(tuple(clauses))] if clauses else []
        return elements[0] if len(elements) == 1 else Sequence(tuple(elements))

    def element(self) -> Element:
        """Read one element."""
        path, how, detail, literal, mark, word = self.parts[self.at].groups()
        self.at += 1
        if mark == "(":
            ways = [self.sequence(")")]
            while self.parts[self.at][5] == "|":
                self.at += 1
                ways.append(self.sequence(")"))
            self.at += 1
            return OneOf(tuple(ways))
        if not path:
            return Word(literal or word)
        if how == "=":
            return Flag(path, tuple(map(Word, detail.split())))
        return self.field(path, detail)

    def field(self, path: str, how: str | None) -> Field:
        """Make the element of a field, or of one of the two of a pair."""
        name, _, index = path.partition(".")
        field = self.fields[name]
        kind = field.type
        if index:
            assert isinstance(kind, inspect.TupleType)
            kind = kind.item_types[int(index)]
        slot = _BY_HAND[how] if how else _slot_for(kind)
        if isinstance(slot, slots.ChoiceSlot):
            slot = replace(slot, said_for=SAID_FOR.get(name, {}))
        default = None if field.default is msgspec.NODEFAULT else field.default
        return Field(path, slot, default)


@cache
def part_pattern(struct: type) -> Element:
    """The pattern of a part."""
    return _Notation(PART_PATTERNS[struct.__name__], struct).sequence()


def _shared(kind: str) -> str:
    """The clauses that a kind shares with others; an instrument that it says itself is not said again."""
    struct, clauses = KINDS[kind], []
    if issubclass(struct, Reading):
        clauses += [INSTRUMENT_CLAUSE] * ("{instrument}" not in PATTERNS[kind].says) + [READING_CLAUSES]
    if issubclass(struct, Piece):
        clauses.append(PIECE_CLAUSES)
    return " ".join([*clauses, EVERY_CLAUSE])


@cache
def pattern_of(kind: str) -> Element:
    """The whole pattern of a kind of record, with the clauses that it shares with others."""
    return _Notation(f"{PATTERNS[kind].says} {_shared(kind)}", KINDS[kind]).sequence()


def field_pattern(kind: str, field: str) -> Element:
    """The pattern of one field of a kind alone."""
    return _Notation(f"{{{field}}}", KINDS[kind]).element()


def shared_clauses(kind: str) -> str:
    """The clauses that a kind shares with others, for help."""
    return _Notation(_shared(kind), KINDS[kind]).sequence().shape()


@cache
def own_pattern_of(kind: str) -> Element:
    """The pattern of a kind without the shared clauses, for help."""
    return _Notation(PATTERNS[kind].says, KINDS[kind]).sequence()


def first_words(element: Element) -> frozenset[str]:
    """The words that a line of a pattern can begin with."""
    match element:
        case Sequence(elements):
            return first_words(elements[0])
        case Word(text):
            return frozenset({text})
        case Field(_, slots.ChoiceSlot() as slot):
            return frozenset(way.split()[0] for way in slot.shape.split("|"))
    raise TypeError(f"a pattern begins with a word or a choice, not with {element}")


@cache
def kinds_by_first_word() -> dict[str, tuple[str, ...]]:
    """For each word that can begin a line, the kinds that it can begin."""
    found: dict[str, tuple[str, ...]] = {}
    for kind in PATTERNS:
        for word in first_words(pattern_of(kind)):
            found[word] = (*found.get(word, ()), kind)
    return found

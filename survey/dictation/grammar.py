"""Patterns as objects that read a line and say a record.

Reading tries every way and keeps what is read in a dictionary spelled as the files spell it, so that
`msgspec` makes the record from it and checks it. Saying walks the same objects the other way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Protocol

from survey.dictation import slots
from survey.dictation.line import Rank, Reader
from survey.records.base import LengthUnit

Found = dict[str, object]
Ways = Iterator[tuple[int, Found]]


class Element(Protocol):
    """A part of a pattern."""

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Give each way to read it from a token on: the next token, and what is known then."""

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Put it into words; None where the record has nothing to say here."""

    def shape(self) -> str:
        """Show it in help."""


@dataclass(frozen=True)
class Word:
    """A word that is said as it stands; a colon is said and need not be read."""

    text: str

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read it, whatever the size of its letters."""
        if self.text == ":":
            yield place, found
            return
        place = reader.skip(place)
        token = reader.tokens[place]
        if token.sort in ("word", "open", "close") and token.text.lower() == self.text:
            yield place + 1, found
        else:
            reader.miss(place, f"`{self.text}`")

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Itself."""
        return self.text

    def shape(self) -> str:
        """Itself."""
        return self.text


@dataclass(frozen=True)
class Field:
    """The value of a field."""

    path: str
    slot: slots.Slot
    default: object

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read a value; the job's unit counts from where it is said."""
        if isinstance(found.get("unit"), str):
            reader = _with_unit(reader, str(found["unit"]))
        for value, end in self.slot.take(reader, reader.skip(place)):
            yield end, {**found, self.path: value}

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Say the value, or the default where a default must be said."""
        value = values.get(self.path, self.default)
        return None if value is None else self.slot.say(value, unit)

    def shape(self) -> str:
        """The slot's own."""
        return self.slot.shape


def _with_unit(reader: Reader, unit: str) -> Reader:
    return replace(reader, unit="in" if unit == "in" else "mm")


@dataclass(frozen=True)
class Flag:
    """A field that is true when its words are said."""

    path: str
    words: tuple[Word, ...]

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read the words."""
        for end, _ in Sequence(self.words).match(reader, place, found):
            yield end, {**found, self.path: True}

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Say the words when it is true."""
        return self.shape() if values.get(self.path) else None

    def shape(self) -> str:
        """The words."""
        return " ".join(word.text for word in self.words)


@dataclass(frozen=True)
class Sequence:
    """One after the other."""

    elements: tuple[Element, ...]

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read all, in order."""
        if not self.elements:
            yield place, found
            return
        for end, so_far in self.elements[0].match(reader, place, found):
            yield from Sequence(self.elements[1:]).match(reader, end, so_far)

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Say all; None as soon as one has nothing to say."""
        said = [element.say(values, unit) for element in self.elements]
        if any(part is None for part in said):
            return None
        return _joined([part for part in said if part])

    def shape(self) -> str:
        """All of them."""
        return _joined([element.shape() for element in self.elements])


def _joined(words: list[str]) -> str:
    """Put spaces between, but none before a colon or a comma, nor inside parentheses."""
    line = ""
    for word in words:
        tight = word in (":", ",", ")") or not line or line.endswith("(")
        line += word if tight or word.startswith(",") else f" {word}"
    return line


def _is_edge(element: object) -> bool:
    """Whether a clause is long enough to want a comma before it."""
    parts = element.elements if isinstance(element, Sequence) else (element,)
    return any(isinstance(part, Field) and isinstance(part.slot, PartSlot) for part in parts)


@dataclass(frozen=True)
class OneOf:
    """One of several ways; the first that has something to say is said."""

    ways: tuple[Element, ...]

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read any."""
        for way in self.ways:
            yield from way.match(reader, place, found)

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Say the first that can be said."""
        said = (way.say(values, unit) for way in self.ways)
        return next((words for words in said if words is not None), None)

    def shape(self) -> str:
        """The first way."""
        return self.ways[0].shape()


@dataclass(frozen=True)
class Clause:
    """A clause that must or may be said."""

    body: Element
    required: bool


@dataclass(frozen=True)
class Clauses:
    """Clauses in any order, each at most once."""

    clauses: tuple[Clause, ...]

    def match(self, reader: Reader, place: int, found: Found) -> Ways:
        """Read them in whatever order they come; done when all that must be said were said."""
        return self._match(reader, place, found, self.clauses)

    def _match(self, reader: Reader, place: int, found: Found, left: tuple[Clause, ...]) -> Ways:
        for clause in left:
            others = tuple(other for other in left if other is not clause)
            for end, so_far in clause.body.match(reader, place, found):
                yield from self._match(reader, end, so_far, others)
        missing = [clause for clause in left if clause.required]
        for clause in missing:
            reader.miss(reader.skip(place), f"`{clause.body.shape()}`", Rank.must_follow)
        if not missing:
            yield place, found

    def say(self, values: Mapping[str, object], unit: LengthUnit) -> str | None:
        """Say what there is, in the order of the pattern."""
        said: list[str] = []
        for clause in self.clauses:
            fields = fields_of(clause.body)
            present = clause.required or any(values.get(each) is not None for each in fields)
            words = clause.body.say(values, unit) if present else None
            if present and words is None:
                return None
            if words and fields:
                said += [",", words] if _is_edge(clause.body) else [words]
        return _joined(said)

    def shape(self) -> str:
        """Brackets around what may be left out."""
        return " ".join(
            clause.body.shape() if clause.required else f"[{clause.body.shape()}]" for clause in self.clauses
        )


def fields_of(element: object) -> frozenset[str]:
    """The fields that an element says."""
    match element:
        case Field(path) | Flag(path):
            return frozenset({path})
        case Sequence(parts) | OneOf(parts):
            return frozenset().union(*map(fields_of, parts))
        case Clauses(clauses):
            return frozenset().union(*(fields_of(clause.body) for clause in clauses))
    return frozenset()


@dataclass(frozen=True)
class PartSlot:
    """A part with a pattern of its own, such as a station or an edge; a name may stand in its place."""

    pattern: Element
    or_name: bool = False

    @property
    def shape(self) -> str:
        """The pattern's own, in short for a place on a wall."""
        return "PLACE" if self.or_name else self.pattern.shape()

    def take(self, reader: Reader, place: int) -> slots.Taken:
        """Read the part as a dictionary."""
        for end, found in self.pattern.match(reader, place, {}):
            yield found, end
        if self.or_name:
            yield from slots.NameSlot().take(reader, place)

    def say(self, value: object, unit: LengthUnit) -> str:
        """Say the part's pattern, or the name."""
        if isinstance(value, str):
            return slots.NameSlot().say(value, unit)
        assert isinstance(value, Mapping)
        return self.pattern.say(value, unit) or ""


@dataclass(frozen=True)
class ListSlot:
    """Parts with commas between them; of each, what reaches furthest."""

    of: slots.Slot

    @property
    def shape(self) -> str:
        """One, and more."""
        return f"{self.of.shape}, ..."

    def take(self, reader: Reader, place: int) -> slots.Taken:
        """Read item by item; one that can be read in two ways is refused."""
        items: list[object] = []
        inside, start = reader.in_list(), place
        while True:
            item = self._item(inside, start)
            if item is None:
                break
            items.append(item[0])
            place = item[1]
            if reader.tokens[place].sort != "comma":
                reader.miss(place, "a comma and the next")
                break
            start = place + 1
        if items:
            yield items, place

    def _item(self, reader: Reader, place: int) -> tuple[object, int] | None:
        ways = list(self.of.take(reader, place))
        if not ways:
            return None
        furthest = max(end for _, end in ways)
        if isinstance(self.of, slots.QuantitySlot):
            return ways[0]  # the longest comes first, and two quantities have a comma between them
        values = [value for value, end in ways if end == furthest]
        words = {token.text.lower() for token in reader.tokens[place:furthest]}
        shorter = [end for _, end in ways if end < furthest]
        if "gap" not in words and any(self._reaches(reader, end, furthest) for end in shorter):
            reader.settle(
                place, "expected one, got what can be one or two: put a comma between two, or `gap` into one"
            )
            return None
        if any(value != values[0] for value in values):
            says = " or ".join(f"`{self.of.say(value, reader.unit or 'in')}`" for value in values)
            reader.settle(place, f"expected one meaning, got two ({says}): say `gap` between the two")
            return None
        return values[0], furthest

    def _reaches(self, reader: Reader, place: int, furthest: int) -> bool:
        """Whether a second item would fill what a shorter reading of the first leaves."""
        return any(end == furthest for _, end in self.of.take(reader, place))

    def say(self, value: object, unit: LengthUnit) -> str:
        """Say them with commas."""
        assert isinstance(value, (list, tuple))
        return ", ".join(self.of.say(item, unit) for item in value)

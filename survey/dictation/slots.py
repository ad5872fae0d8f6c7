"""How a value of each type is read from the line and said again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from survey.dictation.line import Rank, Reader, quoted
from survey.dictation.words import is_plain_name, is_plain_part
from survey.errors import QuantityError, RecordError
from survey.quantity import read_angle, read_length, read_step
from survey.records.base import LengthUnit

Taken = Iterator[tuple[object, int]]

_NUMBER = re.compile(r"[+\-−–]?[\d.,¼½¾⅛⅜⅝⅞]")
_LENGTH_WORDS = frozenset(
    {"in", "in.", "inch", "inches", "ft", "ft.", "foot", "feet", "mm", "cm", "m", '"', "'", "″", "′"}
)
_ANGLE_WORDS = frozenset({"in", "°", "deg", "deg.", "degree", "degrees"})
_METRIC = frozenset({"mm", "cm", "m"})
_LONGEST_RUN = 8


class Slot(Protocol):
    """A kind of value: what it is called, how it is taken from a line, how it is said."""

    @property
    def shape(self) -> str:
        """What stands for it in help and messages."""

    def take(self, reader: Reader, place: int) -> Taken:
        """Give each value that may begin at a token, and the token after it."""

    def say(self, value: object, unit: LengthUnit) -> str:
        """Put the value into words."""


@dataclass(frozen=True)
class QuantitySlot:
    """A length, an angle or a smallest fraction: as many words as belong to it, the longest first."""

    shape: str
    example: str

    def take(self, reader: Reader, place: int) -> Taken:
        """Try the whole run of numbers and units, then shorter ones: `34 in 1/8` may be `34`, `in`, `1/8`."""
        tokens, end = reader.tokens, self._end_of_run(reader, place)
        if end == place:
            article = "an" if self.shape == "ANGLE" else "a"
            expected = f"{article} {self.shape.lower()} such as {self.example}"
            reader.miss(place, expected, Rank.must_follow)
        for last in range(end - 1, place - 1, -1):
            text = reader.text[tokens[place].start : tokens[last].end]
            try:
                yield self._read(text, reader.unit), last + 1
            except QuantityError as error:
                metric = tokens[last].text.lower() in _METRIC  # then the whole run is meant as one length
                at = tokens[last].start if metric else tokens[place].start + min(error.place, len(text))
                reader.misread(at, error.problem)

    def _end_of_run(self, reader: Reader, place: int) -> int:
        words = _ANGLE_WORDS if self.shape == "ANGLE" else _LENGTH_WORDS
        end, tokens = place, reader.tokens
        while tokens[end].sort == "word" and end - place < _LONGEST_RUN:
            word = tokens[end].text
            if not _NUMBER.match(word) and (end == place or word.lower() not in words):
                break
            end += 1
        return end

    def _read(self, text: str, unit: LengthUnit | None) -> object:
        if self.shape == "ANGLE":
            read_angle(text)
            return {"text": text}
        if self.shape == "FRACTION":
            read_step(text)
            return text
        if unit is None:
            raise QuantityError(
                'expected the job first, which says what a bare number means: job "..." in inches to 1/16',
                text,
                0,
            )
        read_length(text, unit)
        return {"text": text, "unit": unit}

    def say(self, value: object, unit: LengthUnit) -> str:
        """The text as typed; with its unit where that is not the job's."""
        if not isinstance(value, Mapping):
            return str(value)
        text = str(value["text"]).strip()
        if self.shape != "LENGTH" or value["unit"] == unit or _says_its_unit(text):
            return text
        return f"{text} {value['unit']}"


def _says_its_unit(text: str) -> bool:
    """Whether a text means the same whatever a bare number means."""
    try:
        return read_length(text, "in").mm == read_length(text, "mm").mm
    except QuantityError:
        return False


LENGTH = QuantitySlot("LENGTH", "34 5/16 or 872 mm")
ANGLE = QuantitySlot("ANGLE", "89.5")
FRACTION = QuantitySlot("FRACTION", "1/16 or 0.5 mm")


@dataclass(frozen=True)
class TowardSlot:
    """A signed length or angle: `in` leans into the room and is positive, `out` is negative."""

    of: QuantitySlot
    word_first: bool

    @property
    def shape(self) -> str:
        """The words and the value, in the order in which they are said."""
        return f"in|out {self.of.shape}" if self.word_first else f"{self.of.shape} in|out"

    def take(self, reader: Reader, place: int) -> Taken:
        """Take the word before or behind the value."""
        if self.word_first:
            if (sign := self._sign(reader, place)) is not None:
                for value, end in self.of.take(reader, place + 1):
                    yield from self._signed(reader, value, sign, place + 1, end)
            return
        for value, end in self.of.take(reader, place):
            if (sign := self._sign(reader, end)) is not None:
                yield from self._signed(reader, value, sign, place, end + 1)

    def _sign(self, reader: Reader, place: int) -> str | None:
        word = reader.tokens[place].text.lower()
        if reader.tokens[place].sort == "word" and word in ("in", "out"):
            return "-" if word == "out" else ""
        reader.miss(place, "`in` or `out` (the top leans into the room, or out of it)", Rank.must_follow)
        return None

    def _signed(self, reader: Reader, value: object, sign: str, place: int, end: int) -> Taken:
        assert isinstance(value, dict)
        if sign and _NUMBER.match(value["text"]) and value["text"][0] in "+-−–":
            reader.misread(reader.tokens[place].start, "expected no sign behind `out`, which is one itself")
            return
        yield {**value, "text": sign + value["text"]}, end

    def say(self, value: object, unit: LengthUnit) -> str:
        """`out` for a minus, else `in`."""
        text = self.of.say(value, unit)
        word = "out" if re.match(r"-[\d.,¼½¾⅛⅜⅝⅞]", text) else "in"
        text = text[1:] if word == "out" else text
        return f"{word} {text}" if self.word_first else f"{text} {word}"


@dataclass(frozen=True)
class NameSlot:
    """A name or a reference: one word, in small letters unless quoted; a part's name is stricter."""

    shape: str = "NAME"
    of_part: bool = False

    def take(self, reader: Reader, place: int) -> Taken:
        """Take one word that is a name, or a quoted one."""
        token = reader.tokens[place]
        if token.sort == "quoted":
            yield token.text, place + 1
        elif token.sort != "word" or not re.match(r"\w", token.text):
            reader.miss(place, f"a {self.shape.lower()}", Rank.must_follow)
        elif self._is_plain(token.text.lower()):
            yield token.text.lower(), place + 1
        else:
            reader.miss(place, self._no_name(token.text), Rank.must_follow)

    def _is_plain(self, text: str) -> bool:
        return is_plain_part(text) if self.of_part else is_plain_name(text)

    def _no_name(self, word: str) -> str:
        if word[0].isdigit():
            return f'a {self.shape.lower()} that begins with a letter (or "{word}" in quotes)'
        return f'a {self.shape.lower()} that is no word of the language (`{word}-1`, or "{word}" in quotes)'

    def say(self, value: object, unit: LengthUnit) -> str:
        """As it is, or in quotes."""
        return str(value) if self._is_plain(str(value)) else quoted(str(value))


@dataclass(frozen=True)
class TextSlot:
    """Free text: in quotes, or one word; at the end of a line, all that is left."""

    to_end: bool = False

    @property
    def shape(self) -> str:
        """A text in quotes."""
        return '"TEXT"'

    def take(self, reader: Reader, place: int) -> Taken:
        """Take a quoted text, or a word, or the rest."""
        token, end = reader.tokens[place], len(reader.tokens) - 1
        if token.sort == "quoted":
            yield token.text, place + 1
        elif token.text.startswith('"'):
            reader.misread(token.start, "expected a text and its closing quote, got no closing quote")
        elif self.to_end and place < end:
            yield reader.text[token.start : reader.tokens[end].end], end
        elif token.sort == "word" and is_plain_part(token.text.lower()):
            following = reader.tokens[place + 1]
            if following.sort == "word" and is_plain_part(following.text.lower()):
                several = quoted(f"{token.text} {following.text}")
                reader.misread(following.start, f"expected quotes around a text of several words: {several}")
            yield token.text, place + 1
        else:
            reader.miss(place, 'a text in quotes: "..."', Rank.must_follow)

    def say(self, value: object, unit: LengthUnit) -> str:
        """In quotes, unless it is one plain word."""
        plain = not self.to_end and is_plain_part(str(value))
        return str(value) if plain else quoted(str(value))


@dataclass(frozen=True)
class CodeSlot:
    """One word that is what it is, such as a checksum."""

    shape: str = "CODE"

    def take(self, reader: Reader, place: int) -> Taken:
        """Take any word."""
        if reader.tokens[place].sort == "word":
            yield reader.tokens[place].text, place + 1
        else:
            reader.miss(place, "one word", Rank.must_follow)

    def say(self, value: object, unit: LengthUnit) -> str:
        """As it is."""
        return str(value)


@dataclass(frozen=True)
class NumberSlot:
    """A count, or a share of one."""

    whole: bool

    @property
    def shape(self) -> str:
        """A number."""
        return "COUNT" if self.whole else "NUMBER"

    def take(self, reader: Reader, place: int) -> Taken:
        """Take digits; what is no count may have a point, as 0.95."""
        text = reader.tokens[place].text
        if re.fullmatch(r"\d{1,9}", text):
            yield int(text) if self.whole else float(text), place + 1
        elif not self.whole and re.fullmatch(r"\d{0,4}\.\d{1,20}(?:e-\d{1,2})?", text):
            yield float(text), place + 1
        else:
            expected = "a whole number" if self.whole else "a number such as 0.95"
            reader.miss(place, expected, Rank.must_follow)

    def say(self, value: object, unit: LengthUnit) -> str:
        """In digits."""
        return repr(value)


@dataclass(frozen=True)
class ChoiceSlot:
    """One of a few values, each with the words that are said for it."""

    values: tuple[str, ...]
    said_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def shape(self) -> str:
        """All values, as they are said."""
        return "|".join(self._words(value)[0] for value in self.values)

    def _words(self, value: str) -> tuple[str, ...]:
        return self.said_for.get(value, (value,))

    def take(self, reader: Reader, place: int) -> Taken:
        """Take the longest words that stand here."""
        ways = [(words.lower().split(), value) for value in self.values for words in self._words(value)]
        for words, value in sorted(ways, key=lambda way: -len(way[0])):
            here = [token.text.lower() for token in reader.tokens[place : place + len(words)]]
            if here == words:
                yield value, place + len(words)
                return
        for value in self.values:
            reader.miss(place, f"`{self._words(value)[0]}`")

    def say(self, value: object, unit: LengthUnit) -> str:
        """The first way of saying it."""
        return self._words(str(value))[0]


@dataclass(frozen=True)
class IdsSlot:
    """Ids of records, whole or abbreviated, or `last`."""

    shape: str = "ID"

    def take(self, reader: Reader, place: int) -> Taken:
        """Take ids with commas between them, as long as they are known."""
        ids: list[str] = []
        while reader.tokens[place].sort == "word":
            token = reader.tokens[place]
            try:
                ids.append(reader.find_id(token.text.lower()))
            except RecordError as error:
                if not ids:
                    reader.misread(token.start, str(error))
                break
            place += 1
            if reader.tokens[place].sort == "comma":
                place += 1
        if ids:
            yield ids, place
        else:
            reader.miss(place, "the id of a record, or `last`", Rank.must_follow)

    def say(self, value: object, unit: LengthUnit) -> str:
        """Whole, with commas."""
        assert isinstance(value, (list, tuple))
        return ", ".join(value)


@dataclass(frozen=True)
class PairsSlot:
    """Texts by name: `"gap at top" "1 3/16 in", ...`."""

    shape: str = '"WHAT" "RESULT", ...'

    def take(self, reader: Reader, place: int) -> Taken:
        """Take quoted pairs for as long as they come."""
        pairs: dict[str, str] = {}
        tokens = reader.tokens
        while tokens[place].sort == "quoted" and tokens[place + 1].sort == "quoted":
            pairs[tokens[place].text] = tokens[place + 1].text
            place += 2
            if tokens[place].sort == "comma" and tokens[place + 1].sort == "quoted":
                place += 1
        if pairs:
            yield pairs, place
        else:
            reader.miss(place, self.shape, Rank.must_follow)

    def say(self, value: object, unit: LengthUnit) -> str:
        """All in quotes."""
        assert isinstance(value, Mapping)
        return ", ".join(f"{quoted(what)} {quoted(result)}" for what, result in value.items())

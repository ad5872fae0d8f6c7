"""A typed line as words with their places, and the reader that remembers how far it got."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from enum import IntEnum
from typing import Literal, NamedTuple

from survey.dictation.errors import Problem
from survey.records.base import LengthUnit

Sort = Literal["word", "quoted", "comma", "colon", "open", "close", "end"]

# A quote that opens a text has its text right behind it, and a quote alone is a mark of inches. A comma
# before a digit belongs to the number, unless it stands right behind a word.
_TOKEN = re.compile(
    r"""\s*(?:
      (?P<comment>\#.*)
    | "(?P<quoted>(?![\s,;:)])(?:[^"\\]|\\.)*)"(?=[\s,;:)]|$)
    | “(?P<curly>[^”]*)”
    | (?P<comma>;|,(?!\d)|(?<=[^\d\s]),)
    | (?P<colon>:(?=\s|$))
    | (?P<open>\()
    | (?P<close>\))
    | (?P<word>(?:[^\s,;:()]|,(?=\d)(?<![^\d\s],)|:(?!\s|$))+)
    | (?P<stray>\S)
    )""",
    re.VERBOSE | re.DOTALL,
)
_ESCAPE = re.compile(r"\\(.)", re.DOTALL)
_ESCAPED = {"n": "\n", "r": "\r"}


class Token(NamedTuple):
    """One word, quoted text or mark, and where it stands."""

    sort: Sort
    text: str
    start: int
    end: int


def tokens_of(text: str) -> tuple[Token, ...]:
    """Split a line; a comment is left out, and the end is a token of its own.

    A comma between two digits belongs to the number; one before a space separates.

    >>> [token.text for token in tokens_of("wall a, 87,2 cm  # done")]
    ['wall', 'a', ',', '87,2', 'cm', '']
    """
    found: list[Token] = []
    place = 0
    while match := _TOKEN.match(text, place):
        sort, start = match.lastgroup, match.start(match.lastgroup or 0)
        if sort == "comment":
            break
        place = match.end()
        found.append(_token(sort, match, start))
    end = found[-1].end if found else 0
    return (*found, Token("end", "", end, end))


def _token(sort: str | None, match: re.Match[str], start: int) -> Token:
    if sort == "quoted":
        body = _ESCAPE.sub(lambda it: _ESCAPED.get(it[1], it[1]), match["quoted"])
        return Token("quoted", body, start - 1, match.end())
    if sort == "curly":
        return Token("quoted", match["curly"], start - 1, match.end())
    if sort == "stray":
        return Token("word", match["stray"], start, match.end())
    assert sort in ("comma", "colon", "open", "close", "word")
    return Token(sort, match[sort], start, match.end())  # type: ignore[arg-type]


def quoted(text: str) -> str:
    """Put a text in quotes so that it is read back as it is.

    >>> print(quoted('6" sill'))
    "6\\" sill"
    """
    for plain, escaped in (("\\", "\\\\"), ('"', '\\"'), ("\n", "\\n"), ("\r", "\\r")):
        text = text.replace(plain, escaped)
    if re.match(r"[\s,;:)]", text):  # a quote before one of these is a mark of inches
        text = f"\\{text}"
    return f'"{text}"'


class Rank(IntEnum):
    """How telling a miss is, where two are equally far along."""

    may_follow = 0
    must_follow = 1
    misread = 2
    settled = 3


@dataclass
class Misses:
    """What was expected at the furthest place that any way of reading came to."""

    place: int = -1
    rank: Rank = Rank.may_follow
    expected: dict[str, None] = field(default_factory=dict)

    def add(self, place: int, rank: Rank, expected: str) -> None:
        """Keep a miss unless a better one is known."""
        new, known = (rank == Rank.settled, place, rank), (self.rank == Rank.settled, self.place, self.rank)
        if new < known:
            return
        if new > known:
            self.place, self.rank, self.expected = place, rank, {}
        self.expected[expected] = None


@dataclass(frozen=True)
class Reader:
    """A line being read: its words, the job's unit, how an id is found, and the misses so far."""

    text: str
    tokens: tuple[Token, ...]
    unit: LengthUnit | None
    find_id: Callable[[str], str]
    misses: Misses = field(default_factory=Misses)
    skipped: frozenset[str] = frozenset({"comma", "colon"})

    def skip(self, place: int) -> int:
        """Pass commas and colons, where they only part words."""
        while self.tokens[place].sort in self.skipped:
            place += 1
        return place

    def in_list(self) -> Reader:
        """The same line, where a comma ends an item."""
        return replace(self, skipped=frozenset({"colon"}))

    def miss(self, place: int, expected: str, rank: Rank = Rank.may_follow) -> None:
        """Remember what was expected at a token."""
        self.misses.add(self.tokens[place].start, rank, expected)

    def misread(self, at: int, problem: str) -> None:
        """Remember a problem at a character."""
        self.misses.add(at, Rank.misread, problem)

    def settle(self, place: int, problem: str) -> None:
        """Remember a problem at a token that nothing further along can outdo."""
        self.misses.add(self.tokens[place].start, Rank.settled, problem)

    def problem(self, number: int) -> Problem:
        """Put the furthest miss into words."""
        misses, expected = self.misses, list(self.misses.expected)
        if misses.rank >= Rank.misread:
            return Problem(number, self.text, misses.place, expected[0])
        got = next((token for token in self.tokens if token.start >= misses.place), self.tokens[-1])
        came = f"`{got.text}`" if got.text else "the end of the line"
        says = f"expected {_any_of(expected)}, got {came}{_did_you_mean(got.text, expected)}"
        return Problem(number, self.text, misses.place, says)


_MOST_EXPECTED = 8


def _any_of(expected: list[str]) -> str:
    if len(expected) > _MOST_EXPECTED:
        expected = [*expected[:_MOST_EXPECTED], "another clause"]
    return " or ".join([", ".join(expected[:-1]), expected[-1]] if len(expected) > 1 else expected)


def _did_you_mean(word: str, expected: list[str]) -> str:
    words = [choice.strip("`").split()[0] for choice in expected if choice.startswith("`")]
    close = get_close_matches(word.lower(), words, 1, 0.6)
    return f": did you mean `{close[0]}`?" if close and word else ""

"""Which words belong to the language, so that a thing's name is never one of them."""

from __future__ import annotations

import re
from functools import cache

from survey.dictation.patterns import (
    EVERY_CLAUSE,
    INSTRUMENT_CLAUSE,
    PART_PATTERNS,
    PATTERNS,
    PIECE_CLAUSES,
    READING_CLAUSES,
)

# Walls and panels are called so everywhere, and the places where they stand are unmistakable.
_USED_AS_NAMES = frozenset({"left", "right", "back", "front", "floor", "ceiling", "end"})
_PLAIN_NAME = re.compile(r"[^\W\d_][\w./+-]*(?::[a-z]{1,12})?")


def _all_patterns() -> str:
    patterns = [pattern.says for pattern in PATTERNS.values()] + list(PART_PATTERNS.values())
    return "\n".join([*patterns, INSTRUMENT_CLAUSE, READING_CLAUSES, PIECE_CLAUSES, EVERY_CLAUSE])


@cache
def all_words() -> frozenset[str]:
    """Every word that stands in a pattern."""
    spoken = re.sub(r"\{\w+=([^}]*)\}|\{[^}]*\}", lambda it: f" {it[1] or ''} ", _all_patterns())
    return frozenset(re.findall(r"[a-z]+", spoken)) | {"last", "correct"}


@cache
def reserved_words() -> frozenset[str]:
    """The words that begin or join clauses: no thing may be named so without quotes."""
    heads = {word for pattern in PATTERNS.values() for word in pattern.says.split()[:1]}
    return frozenset(re.findall(r"(?:[\[<(|}]|^) ?([a-z]+)", _all_patterns())) - heads - _USED_AS_NAMES | {
        "note"
    }


def is_plain_name(text: str) -> bool:
    """Whether a name can be said as it is, without quotes.

    >>> is_plain_name("left-back"), is_plain_name("from"), is_plain_name("2x4")
    (True, False, False)
    """
    return _PLAIN_NAME.fullmatch(text) is not None and text == text.lower() and text not in reserved_words()


def is_plain_part(text: str) -> bool:
    """Whether a layer's name can be said as it is: it follows a comma, so no word of the language."""
    return is_plain_name(text) and text not in all_words()

"""What may be said, from the table, for people."""

from __future__ import annotations

import textwrap

from survey.dictation.notation import own_pattern_of, shared_clauses
from survey.dictation.patterns import PATTERNS

_SHOWN_FIRST = ("wall", "corner", "length", "straightedge", "lean", "drop", "cabinet", "top")
_WIDTH = 96


def some_lines() -> list[str]:
    """One example of each of the commonest kinds.

    >>> some_lines()[1]
    'corner left-back joins left and back inside'
    """
    return [PATTERNS[kind].examples[0] for kind in _SHOWN_FIRST]


def kinds_help() -> str:
    """All kinds: what each is for, how it is said, examples; then what all readings and pieces take."""
    blocks = [_kind_help(kind) for kind in PATTERNS]
    shared = [
        _wrapped(f"{whose} also: {clauses}", "")
        for whose, clauses in (
            ("Readings take", shared_clauses("length")),
            ("Pieces take", shared_clauses("cabinet")),
            ("Every line takes", shared_clauses("wall")),
        )
    ]
    rules = [
        "[ ] may be left out; what follows the first words comes in any order. Commas are needed only",
        "between the items of a list, where `, ...` is shown. A text of several words stands in quotes.",
        "A PLACE is a corner, a mark, a feature (door-casing:left for an edge of it),",
        "or a spot on a wall: (left 22 from left-back up 3), or left at 22 from left-back.",
        "correct ID: LINE puts a line in the place of an older one, withdraw ID takes one back;",
        "`last` is the newest line that still stands, so that `withdraw last` twice takes two lines back.",
        "# begins a remark that is not kept.",
    ]
    return "\n\n".join(["\n".join(rules), *shared, *blocks])


def _kind_help(kind: str) -> str:
    pattern = PATTERNS[kind]
    examples = "\n".join(_wrapped(example, "      e.g. ") for example in pattern.examples)
    return f"{kind}: {pattern.about}\n{_wrapped(own_pattern_of(kind).shape(), '      ')}\n{examples}"


def _wrapped(text: str, indent: str) -> str:
    return textwrap.fill(
        text,
        _WIDTH,
        initial_indent=indent,
        subsequent_indent=" " * (len(indent) + 2),
        break_on_hyphens=False,
        break_long_words=False,
    )

"""What changed between two revisions as lines of text, what harms most first."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from survey.changes.words import MEANT, finding_words, heading, name_words, summary
from survey.cli.print_findings import WIDTH

if TYPE_CHECKING:
    from survey.changes import Changes, FindingChange, PieceChange, RecordChange

LABEL: Final = 13
GROUPS: Final[dict[str, str]] = {
    "cut": "to cut",
    "outline": "outline",
    "edge": "edges",
    "notch": "notches",
    "cut-out": "cut-outs",
    "part": "parts",
    "on site": "on site",
    "fixing": "fixings",
    "chance": "how sure",
    "words": "besides",
}
"""What the groups are called, in the order in which they are printed."""


def changes_lines(changes: Changes) -> list[str]:
    """Whether the old paper still holds, then each piece, then the records and findings."""
    title = changes.title or "A survey without a title"
    head = f"{title}: {heading(changes)}"
    lines = [head, "=" * len(head), *_wrapped("", summary(changes))]
    if changes.job:
        lines += ["", "The job", *(line for one in changes.job for line in _wrapped("  ", one.words))]
    for piece in changes.pieces:
        lines += ["", *piece_lines(piece)]
    if changes.records:
        lines += ["", "Records", *(line for one in changes.records for line in _record(one))]
    if changes.findings:
        lines += ["", "Findings", *(line for one in changes.findings for line in _finding(one))]
    return lines


def piece_lines(piece: PieceChange) -> list[str]:
    """One piece: what to do where it was cut to the old paper, then all that is told otherwise."""
    head = f"{name_words(piece)} ({piece.kind}): {MEANT[piece.verdict]}"
    lines = [head, "-" * len(head)]
    if piece.says and piece.says != MEANT[piece.verdict]:
        lines += _row("if cut", piece.says) if piece.handed_over else _row("", piece.says)
    for group, label in GROUPS.items():
        told = [one.words for one in piece.told if one.group == group]
        for at, words in enumerate(told):
            lines += _row("" if at else label, words)
    return lines


def _record(one: RecordChange) -> list[str]:
    because = f" (because: {one.because})" if one.because else ""
    if one.now and one.before:
        return [*_row(one.kind, one.now), *_row("was", one.before)]
    return _row(one.kind, f"{one.now or one.before}{because}")


def _finding(one: FindingChange) -> list[str]:
    first, *more = finding_words(one)
    return [*_wrapped("  ", first), *(line for words in more for line in _wrapped("      ", words))]


def _row(label: str, text: str) -> list[str]:
    return _wrapped(f"  {label:<{LABEL}}", text, " " * (LABEL + 2))


def _wrapped(first: str, text: str, then: str | None = None) -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if then is None else then,
        break_on_hyphens=False,
        break_long_words=False,
    )

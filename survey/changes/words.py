"""What changed in a sentence or a line, the same words on screen and paper."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from survey.changes.structs import Changes, FindingChange, PieceChange

MEANT: Final[dict[str, str]] = {
    "new blank": "a new blank is needed",
    "build anew": "to be altered or built anew",
    "do not cut": "not ready any more: do not cut",
    "not wanted": "not asked for any more",
    "less left on": "still covers, with less left on",
    "make more": "more of it to make",
    "re-cut": "re-cut possible",
    "make fewer": "fewer of it needed",
    "cut as before": "cut as before, but other things changed",
    "can be cut now": "can be cut now",
    "new piece": "new",
}
"""What each verdict means, for a list."""


def heading(changes: Changes) -> str:
    """Say from when to when.

    >>> from survey.changes.structs import Revision
    >>> heading(Changes("Bath", "mm", Revision(38, "2d8c7c46"), Revision(42, "77aa0b1c")))
    'from revision 38 (2d8c7c46) to revision 42 (77aa0b1c)'
    """
    return f"from {changes.before.words} to {changes.now.words}"


def summary(changes: Changes) -> str:
    """Say in a sentence or two whether the old paper is still right.

    >>> from survey.changes.structs import PieceChange, Revision
    >>> nothing = Changes("Bath", "mm", Revision(38, "2d8c7c46"), Revision(42, "77aa0b1c"))
    >>> summary(nothing)
    'Nothing that counts changed: what was handed over is right.'
    """
    if changes.is_empty:
        return "Nothing that counts changed: what was handed over is right."
    wrong = changes.wrong
    if not wrong:
        return "What was handed over is still right; what is new stands below."
    by: dict[str, list[str]] = {}
    for one in wrong:
        by.setdefault(MEANT[one.verdict], []).append(one.name)
    parts = [f"{meant}: {', '.join(names)}" for meant, names in by.items()]
    many = "1 piece is" if len(wrong) == 1 else f"{len(wrong)} pieces are"
    return f"{many} not right on the old paper. {'; '.join(_capital(part) for part in parts)}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def name_words(piece: PieceChange) -> str:
    """Name a piece, with its old name where it had another.

    >>> name_words(PieceChange("shelf", "top", "cut as before", "", was="ledge"))
    'shelf (was: ledge)'
    """
    return f"{piece.name} (was: {piece.was})" if piece.was else piece.name


def finding_words(one: FindingChange) -> Iterator[str]:
    """Say how a finding changed, and what to do where it is new."""
    about = f"{', '.join(one.pieces)}: " if one.pieces else ""
    if one.kind == "gone":
        yield f"settled: {one.number} {about}{one.before}"
    elif one.kind == "new":
        yield f"new: {one.number} {about}{one.now}"
        yield f"do: {one.do}"
    else:
        yield f"{one.number} {about}{one.now}"
        yield f"was: {one.before}"

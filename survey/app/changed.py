"""What changed since something was handed over, as the app tells it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from survey.drawing.piece_words import plain, typeset
from survey.records import Job

if TYPE_CHECKING:
    from survey.changes import Changes, FindingChange, PieceChange, RecordChange
    from survey.records import Survey
    from survey.report.structs import FitReport

GRAVE: Final = frozenset({"new blank", "build anew", "do not cut", "not wanted"})
"""Verdicts that a cross stands before."""
_REVISION: Final = re.compile(r"_r(\d+)_(\d{4}-\d\d-\d\d(?:_\d+)?)$")
MOST: Final = 8
"""Lines that are told of one piece; the others stand on its own page."""


def since(folder: Path, survey: Survey, report: FitReport) -> Changes:
    """Compare what was handed over with the survey as it is now; takes as long as a fit.

    Raises
    ------
    SurveyError
        The folder is gone, holds no survey, or that of another job.
    """
    from survey.changes import changes, earlier
    from survey.findings import fit

    before = earlier(survey, str(folder.absolute()))
    return changes((before, fit(before)), (survey, report))


def last_folder(above: Path, survey: Survey) -> Path | None:
    """Return the newest folder that was handed over of a job, under whichever title it had; or nothing."""
    from survey.app.giving import handed_over

    titles = {one.title for one in survey.records if isinstance(one, Job)} or {"survey"}
    folders = [folder for title in sorted(titles) for folder in handed_over(above, title)[:1]]
    return max(folders, key=_revision, default=None)


def _revision(folder: Path) -> tuple[int, str]:
    """Return which revision a folder's name tells, and on which day it was written."""
    found = _REVISION.search(folder.name)
    return (int(found[1]), found[2]) if found else (0, "")


def sign_of(piece: PieceChange) -> str:
    """Return the sign before a piece.

    >>> from survey.changes import PieceChange
    >>> sign_of(PieceChange("top", "top", "new blank", "")), sign_of(PieceChange("top", "top", "re-cut", ""))
    ('cross', 'in doubt')
    """
    if not piece.is_wrong_on_paper:
        return "fine"
    return "cross" if piece.verdict in GRAVE else "in doubt"


def verdict_words(piece: PieceChange) -> str:
    """Say what becomes of a piece that is cut, and how it was called."""
    from survey.changes.words import MEANT

    meant = MEANT[piece.verdict]
    more = piece.says.removeprefix(meant).lstrip(":; ")
    return held(f"{meant}: {more}" if more else meant)


def lines_of(piece: PieceChange) -> list[str]:
    """Return what is told otherwise of a piece, the numbers first; of many, the first ones."""
    told = sorted(piece.told, key=lambda one: one.group in ("chance", "words"))
    lines = [held(one.words) for one in told[:MOST]]
    if len(told) > MOST:
        lines.append(f"And {len(told) - MOST} more, on its page.")
    return lines


def record_words(one: RecordChange) -> tuple[str, str, str]:
    """Return what happened to a record, how it reads now, and how it read or why it went."""
    now = one.now or one.before
    was = f"was: {one.before}" if one.now and one.before else ""
    because = f"because: {one.because}" if one.because else ""
    return held(one.kind), typeset(now), typeset(was or because)


def finding_lines(one: FindingChange) -> tuple[str, str, str]:
    """Return how a finding changed, what it says, and what to do or what it said."""
    from survey.changes.words import finding_words

    kinds = {"new": "New", "gone": "Settled", "otherwise": "Says otherwise"}
    more = list(finding_words(one))[1:]
    told = held(one.now or one.before)
    if one.pieces:  # a name keeps its own letter
        told = typeset(plain(f"{', '.join(one.pieces)}: {one.now or one.before}"))
    return kinds[one.kind], told, held(more[0]) if more else ""


def headline(changes: Changes) -> Iterator[str]:
    """Say in two lines whether the papers still hold, and from when to when that is."""
    from survey.changes.words import heading

    wrong = len(changes.wrong)
    many = "1 piece is" if wrong == 1 else f"{wrong} pieces are"
    if changes.is_empty:
        yield "Nothing that counts changed: the papers are right."
    elif wrong:
        yield f"{many} not right on the papers any more."
    else:
        yield "The papers are still right; what is new stands below."
    yield held(heading(changes))


def held(text: str) -> str:
    """Set a text as on paper, with a capital; a name keeps its own letter.

    >>> held("`top`: 3 1/2 in"), held("re-cut possible")
    ('top: 3 1⁄2″', 'Re-cut possible')
    """
    told = typeset(plain(text))
    return told if text.startswith("`") else told[:1].upper() + told[1:]

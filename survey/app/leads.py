"""Where to go to settle a finding: the reading to take, the place, the feature or the piece."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from survey.app.walk_list import Row
from survey.finding import Finding
from survey.records import Feature, Piece, Reading, Survey

PLACE = frozenset({100, 101, 104, 106, 107})
"""Findings that the set-up of the place settles."""
UNREAD = frozenset({300, 301, 302, 303, 304})
"""Findings that a reading settles which is still to be taken."""


@dataclass(frozen=True)
class Lead:
    """A page to open, what it is opened with, and the words on the key that goes there."""

    page: str
    words: str
    given: dict[str, str] = field(default_factory=dict)


def lead(found: Finding, survey: Survey, rows: Iterable[Row], here: str = "") -> Lead | None:
    """Return where a finding is settled; nothing where that is here, or nowhere in the app.

    Parameters
    ----------
    found
        What is the matter.
    survey
        Its records are looked up.
    rows
        The walk as it stands (`walk_list.walk_rows`): what is missing is read there.
    here
        Name of the piece that is open already.

    Examples
    --------
    >>> from survey.finding import finding
    >>> lead(finding(107), Survey([]), ()).page
    'place'
    """
    if found.number in PLACE:
        return Lead("place", "Set up the place")
    if found.number in UNREAD:
        return _unread(found, rows)
    records = [survey.by_id[one] for one in found.records if one in survey.by_id]
    for record in records:
        if isinstance(record, Reading):
            return Lead("entry", "Read it again", {"record": record.id})
        if isinstance(record, Feature):
            return Lead("feature", f"Go to {record.name}", {"record": record.id})
        if isinstance(record, Piece) and record.name != here:
            return Lead("piece", f"Go to {record.name}", {"record": record.id})
    return None


def _unread(found: Finding, rows: Iterable[Row]) -> Lead | None:
    """Return the next reading of the walk that a finding's pieces lack: first what cannot be done without."""
    missing = [row.line for row in rows if row.state == "missing"]
    for_it = [line for line in missing if set(line.needs) & set(found.pieces)] or missing
    if not for_it:
        return None
    line = min(for_it, key=lambda line: line.priority)
    return Lead("entry", f"Read: {line.name}", {"line": line.name})

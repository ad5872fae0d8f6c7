"""How a paper says which survey it was made of: a number that grows, and the start of the survey's hash."""

from __future__ import annotations

from survey.report.structs import FitReport


def revision_words(report: FitReport) -> str:
    """Say the revision in full, for a page.

    >>> from survey.report.structs import RoomReport
    >>> made = FitReport("scribefit fit report", 3, "Bath", "mm", "1 mm", 0.99, "2d8c7c46" * 8, RoomReport(),
    ...                  (), (), revision=42)
    >>> revision_words(made), revision_mark(made)
    ('revision 42 (2d8c7c46)', 'r0042')
    """
    return f"revision {report.revision} ({report.survey_hash[:8]})"


def revision_mark(report: FitReport) -> str:
    """Say it in a file's name, where it sorts."""
    return f"r{report.revision:04d}"

"""The sample jobs that come with the program: invented surveys to try, as they were dictated."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from survey.dictation import dictate
from survey.records import Survey

FOLDER: Final = Path(__file__).parents[1] / "sample_surveys"


def sample_names() -> list[str]:
    """Return the samples that there are, by the names of their folders."""
    return sorted(notes.parent.name for notes in FOLDER.glob("*/notes.txt"))


def sample_survey(name: str) -> Survey:
    """Return a sample as a survey of its own: every record with a new id, taken now.

    Examples
    --------
    >>> sample_survey("corner-vanity").job.title
    'Corner vanity'
    """
    notes = (FOLDER / name / "notes.txt").read_text(encoding="utf-8")
    return Survey(dictate(notes.split("\n"), Survey([])))


def told(name: str) -> str:
    """Return in one sentence what a sample is about: the first of its notes.

    Examples
    --------
    >>> told("tiled-alcove")
    'A vanity and its top between three walls; tile is still to come on two of them.'
    """
    lines = (FOLDER / name / "notes.txt").read_text(encoding="utf-8").split("\n")
    first = lines[: lines.index("#")]
    words = " ".join(line.lstrip("# ") for line in first).partition(": ")[2]
    return words[:1].upper() + words[1:]

"""Handing over: the folder for the shop, whole or not at all, with a copy of the survey file in it."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from survey.errors import FileError, SurveyError
from survey.file import SurveyFile
from survey.handover.names import LONGEST_NAME, file_names, revised

if TYPE_CHECKING:
    from survey.app.desk import Desk
    from survey.handover.wanted import Wanted
    from survey.records import Survey
    from survey.report.structs import FitReport

FOLDER: Final = "handed over"
"""Where folders go unless the person says otherwise, in the app's own folder."""
Progress = Callable[[str, int, int], None]


def give(
    path: Path,
    report: FitReport,
    folder: Path,
    on_progress: Progress | None = None,
    since: Path | None = None,
    wanted: Wanted | None = None,
) -> list[Path]:
    """Write the folder for the shop and return its files.

    Everything is made from one copy of the survey file, which goes into the folder too, so that the papers
    are those of that very file even while somebody goes on measuring.

    Parameters
    ----------
    path
        The survey file.
    report
        What `fit` says of it.
    folder
        Where it goes; does not exist yet. Folders above it are made.
    since
        What was handed over before: the job book tells what changed. Where that cannot be read any more, or
        is of another job, nothing is compared.
    wanted
        Papers and files besides the usual ones; `before` in it is taken from `since`.

    Raises
    ------
    SurveyError
        The survey has changed since the report, the folder is there already, or the disk refuses. Nothing
        of it is left then.
    """
    from survey.handover.contents import Content
    from survey.handover.wanted import Wanted
    from survey.handover.write import hand_over
    from survey.report.revision import revision_mark

    if os.path.lexists(folder):
        raise FileError(f"{folder}: is there already; nothing was written. Choose another folder")
    temporary = folder.with_name(f".{folder.name[:LONGEST_NAME]}.{os.urandom(8).hex()}.part")
    try:
        temporary.mkdir(parents=True)
        copy, files = temporary / path.name, temporary / "files"
        with SurveyFile.open(path) as file:
            file.hand_out(copy)
        with SurveyFile.open(copy) as held:
            survey = held.survey()
        name = revised(path.stem, revision_mark(report), path.suffix)
        held_too = Content(name, "survey file", copy.read_bytes)
        asked = replace(wanted or Wanted(), before=_before(since, survey))
        hand_over(survey, report, files, on_progress, wanted=asked, beside=[held_too])
        files.rename(folder)
    except OSError as error:
        if isinstance(error, SurveyError):
            raise FileError(str(error).replace(str(temporary), str(folder))) from error
        raise FileError(f"{folder}: could not be written: {error.strerror or error}") from error
    finally:
        shutil.rmtree(temporary, ignore_errors=True)
    return sorted(folder.iterdir())


def _before(since: Path | None, survey: Survey) -> tuple[Survey, FitReport] | None:
    """Return the revision that was handed over before and what it came to, where it is another one."""
    from survey.changes import earlier, is_same_job
    from survey.findings import fit

    if since is None:
        return None
    try:
        before = earlier(survey, str(since.absolute()))
    except SurveyError:
        return None
    return (before, fit(before)) if is_same_job(before, survey) and before != survey else None


def folder_above(desk: Desk) -> Path:
    """Return where folders go: where the person chose, else the app's own place for them."""
    return Path(desk.kept.folder) if desk.kept.folder else desk.home / FOLDER


def next_folder(above: Path, title: str, mark: str, today: date) -> Path:
    """Return a new folder for a revision, such as `Vanity_r0042_2025-05-01`; a second one ends in `_2`."""
    (name,) = file_names([title])
    first = f"{name}_{mark}_{today.isoformat()}"
    taken = {one.name for _, one in _handed_over(above, title)}
    ends = ("", *(f"_{number}" for number in range(2, len(taken) + 2)))
    return above / next(f"{first}{end}" for end in ends if f"{first}{end}" not in taken)


def handed_over(above: Path, title: str) -> list[Path]:
    """Return the folders that were handed over for this title, the newest revision first."""
    return [folder for _, folder in sorted(_handed_over(above, title), reverse=True)]


def _handed_over(above: Path, title: str) -> list[tuple[tuple[int, str, int], Path]]:
    (name,) = file_names([title])
    pattern = re.compile(rf"{re.escape(name)}_r(\d{{4,9}})_(\d{{4}}-\d\d-\d\d)(?:_(\d{{1,6}}))?")
    try:
        there = [one for one in above.iterdir() if one.is_dir()]
    except OSError:
        return []
    found = [(pattern.fullmatch(one.name), one) for one in there]
    return [((int(one[1]), one[2], int(one[3] or 1)), folder) for one, folder in found if one]

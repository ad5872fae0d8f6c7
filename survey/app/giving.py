"""Handing over: the folder for the shop, whole or not at all, with a copy of the survey file in it."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from survey.errors import FileError, SurveyError
from survey.file import SurveyFile
from survey.handover.names import LONGEST_NAME, file_names

if TYPE_CHECKING:
    from survey.report.structs import FitReport

Progress = Callable[[str, int, int], None]


def give(path: Path, report: FitReport, folder: Path, on_progress: Progress | None = None) -> list[Path]:
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

    Raises
    ------
    SurveyError
        The survey has changed since the report, the folder is there already, or the disk refuses. Nothing
        of it is left then.
    """
    from survey.handover.write import hand_over

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
        hand_over(survey, report, files, on_progress)
        copy.rename(files / path.name)
        files.rename(folder)
    except OSError as error:
        if isinstance(error, SurveyError):
            raise FileError(str(error).replace(str(temporary), str(folder))) from error
        raise FileError(f"{folder}: could not be written: {error.strerror or error}") from error
    finally:
        shutil.rmtree(temporary, ignore_errors=True)
    return sorted(folder.iterdir())


def next_folder(above: Path, title: str, today: date) -> Path:
    """Return a new folder for this title's next revision, such as `Vanity_2025-05-01_revision_2`."""
    revisions = [revision for revision, _ in _handed_over(above, title)]
    (name,) = file_names([title])
    return above / f"{name}_{today.isoformat()}_revision_{max(revisions, default=0) + 1}"


def handed_over(above: Path, title: str) -> list[Path]:
    """Return the folders that were handed over for this title, the newest first."""
    return [folder for _, folder in sorted(_handed_over(above, title), reverse=True)]


def _handed_over(above: Path, title: str) -> list[tuple[int, Path]]:
    (name,) = file_names([title])
    pattern = re.compile(rf"{re.escape(name)}_\d{{4}}-\d\d-\d\d_revision_(\d{{1,6}})")
    try:
        there = [one for one in above.iterdir() if one.is_dir()]
    except OSError:
        return []
    return [(int(found[1]), one) for one in there if (found := pattern.fullmatch(one.name))]

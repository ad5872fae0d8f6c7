"""Pictures of the readings to take next, one SVG each, in a folder for the phone."""

from __future__ import annotations

import os
from pathlib import Path

from survey.drawing.plan_view import reading_picture
from survey.errors import FileError
from survey.file.publishing import publishing
from survey.handover.svg import to_svg
from survey.report.structs import FitReport


def draw_next(report: FitReport, folder: Path) -> list[Path]:
    """Write `next-1.svg`, `next-2.svg` ... in the order of the advice, and return their paths.

    Parameters
    ----------
    report : FitReport
    folder : Path
        Is made where it does not exist; what else it holds stays. Nothing is made where no reading is
        advised.

    Raises
    ------
    FileError
        One of the files exists already, or the folder cannot be made: then nothing is written.
    DrawingError
        The report knows no walls.
    """
    pictures = {
        folder / f"next-{at}.svg": to_svg(reading_picture(report, reading))
        for at, reading in enumerate(report.room.next_readings, start=1)
    }
    if not pictures:
        return []
    _refuse_taken(folder, pictures)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise FileError(f"{folder}: could not be made: {error}") from error
    for path, svg in pictures.items():
        with publishing(path) as temporary:
            temporary.write_text(svg, encoding="utf-8")
    return list(pictures)


def _refuse_taken(folder: Path, paths: dict[Path, str]) -> None:
    if os.path.lexists(folder) and not folder.is_dir():
        raise FileError(f"{folder}: expected a folder, got something else; choose another name")
    if not folder.parent.is_dir():
        raise FileError(f"{folder.parent}: there is no such folder; make it first")
    taken = [path for path in paths if os.path.lexists(path)]
    if taken:
        raise FileError(
            f"{taken[0]}: exists already; nothing was written. Choose another folder, or move the old "
            "pictures away"
        )

"""The hand-over folder: everything that the shop needs for one job, written whole or not at all."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Final

import msgspec

from survey.dictation import say
from survey.drawing.pieces import piece_drawing
from survey.errors import FileError, SurveyError
from survey.handover.cut_list import cut_list
from survey.handover.dxf import write_dxf
from survey.handover.job_sheet import job_sheet
from survey.handover.names import LONGEST_NAME, file_names
from survey.handover.template import TemplateAsked, template_files
from survey.records import Survey
from survey.report.structs import FitReport, PieceReport
from survey.text import survey_hash, write_text

Progress = Callable[[str, int, int], None]

_NOTES_TO_SIZE: Final = 0.012
"""How high a drawing file's words are, in sizes of the piece, per paper mm: legible when all is in view."""


def hand_over(
    survey: Survey,
    report: FitReport,
    folder: Path,
    on_progress: Progress | None = None,
    *,
    photos: Mapping[str, bytes] | None = None,
    templates: Sequence[TemplateAsked] = (),
) -> list[Path]:
    """Write the hand-over folder.

    It holds `cut-list.csv`, `job-sheet.pdf`, `fit-report.json`, `survey.json`, and for each piece that is
    ready and has an outline `<piece>_in.dxf` or `<piece>_mm.dxf`. All is written beside the folder first
    and renamed at the end.

    Parameters
    ----------
    survey : Survey
    report : FitReport
        What `fit` says of this survey.
    folder : Path
        Does not exist yet, or is empty.
    on_progress : callable, optional
        Called with what is being written, how many files are done, and how many there will be.
    photos : mapping of str to bytes, optional
        Photos by their SHA-256, to go into `survey.json`.
    templates : sequence of TemplateAsked
        Full-size templates on paper to be written too, as `template-<piece>.pdf`.

    Returns
    -------
    list of Path
        The files, in the order of their names.

    Raises
    ------
    FileError
        The folder holds something already, its parent does not exist, or it cannot be written.
    SurveyError
        The report was made of another survey, or holds what is no number; or no template can be made of a
        piece that was asked for.
    DrawingError
        An outline that no machine could cut.
    """
    _refuse_foreign(survey, report)
    target = Path(os.path.abspath(folder))
    _refuse_taken(target)
    temporary = target.with_name(f".{target.name[:LONGEST_NAME]}.{os.urandom(8).hex()}.part")
    try:
        temporary.mkdir()
        names = _write_files(temporary, _files(survey, report, photos, on_progress, templates), on_progress)
        _give_name(temporary, target)
    except OSError as error:
        if isinstance(error, SurveyError):
            raise
        raise FileError(f"{target}: could not be written: {error}") from error
    finally:
        shutil.rmtree(temporary, ignore_errors=True)
    return [target / name for name in sorted(names)]


def _refuse_foreign(survey: Survey, report: FitReport) -> None:
    expected = survey_hash(survey)
    if report.survey_hash != expected:
        raise SurveyError(
            f"expected the fit report of this survey ({expected[:8]}), got one of {report.survey_hash[:8]}: "
            "the survey has changed since; fit again"
        )


def _refuse_taken(target: Path) -> None:
    if not target.parent.is_dir():
        raise FileError(f"{target.parent}: there is no such folder; make it first")
    if not os.path.lexists(target):
        return
    if target.is_symlink() or not target.is_dir():
        raise FileError(f"{target}: expected a new or empty folder, got something else; choose another name")
    held = sorted(one.name for one in target.iterdir())
    if held:
        raise FileError(
            f"{target}: expected a new or empty folder, but it holds {held[0]!r}"
            f"{f' and {len(held) - 1} more' if len(held) > 1 else ''}; nothing was written. Choose another "
            "folder, or move the old hand-over away"
        )


def _files(
    survey: Survey,
    report: FitReport,
    photos: Mapping[str, bytes] | None,
    on_progress: Progress | None,
    templates: Sequence[TemplateAsked],
) -> list[tuple[str, Callable[[], bytes]]]:
    """List every file with what makes its content."""
    outlines = [(name, _outline_maker(piece, report)) for name, piece in outlined(report).items()]
    outlines += template_files(report, templates)

    def tell(_what: str, piece: int, pieces: int) -> None:
        if on_progress is not None:
            on_progress(f"job-sheet.pdf, {piece} of {pieces}", 3, 4 + len(outlines))

    return [
        ("cut-list.csv", lambda: cut_list(report)),
        ("fit-report.json", lambda: report_text(report)),
        ("survey.json", lambda: write_text(survey, photos)),
        ("job-sheet.pdf", lambda: job_sheet(report, tell, again=to_repeat(survey, report))),
        *outlines,
    ]


def to_repeat(survey: Survey, report: FitReport) -> list[str]:
    """Return the readings to repeat before cutting as they were dictated."""
    unit = survey.job.unit if survey.job else "mm"
    records = [survey.by_id[one] for one in report.room.repeat if one in survey.by_id]
    return [say(msgspec.structs.replace(one, replaces=()), unit) for one in records]


def outlined(report: FitReport) -> dict[str, PieceReport]:
    """Return the pieces whose outline is written, by the name of its file."""
    pieces = [piece for piece in report.pieces if piece.outline and piece.status == "ready"]
    names = file_names([piece.name for piece in pieces])
    return {f"{name}_{report.unit}.dxf": piece for piece, name in zip(pieces, names, strict=True)}


def _outline_maker(piece: PieceReport, report: FitReport) -> Callable[[], bytes]:
    def make() -> bytes:
        import io

        drawing, file = piece_drawing(piece), io.BytesIO()
        box = drawing.extents()
        scale = max(1.0, _NOTES_TO_SIZE * min(max(box.width, box.height), 4 * min(box.width, box.height)))
        write_dxf(file, drawing, report.unit, note_scale=round(scale, 2))
        return file.getvalue()

    return make


def _write_files(
    folder: Path, files: Sequence[tuple[str, Callable[[], bytes]]], on_progress: Progress | None
) -> list[str]:
    for done, (name, make) in enumerate(files):
        if on_progress is not None:
            on_progress(name, done, len(files))
        with (folder / name).open("xb") as file:
            file.write(make())
            file.flush()
            os.fsync(file.fileno())
    if on_progress is not None:
        on_progress("hand-over", len(files), len(files))
    return [name for name, _ in files]


def _give_name(temporary: Path, target: Path) -> None:
    """Rename; an empty folder makes room, and one that somebody filled meanwhile is refused."""
    _refuse_taken(target)
    if target.is_dir():
        target.rmdir()
    temporary.rename(target)


def report_text(report: FitReport) -> bytes:
    """Write a fit report as JSON.

    Raises
    ------
    SurveyError
        The report holds NaN or infinity, which JSON cannot say.
    """
    text = msgspec.json.encode(report)
    try:
        is_same = msgspec.json.decode(text, type=FitReport) == report
    except msgspec.ValidationError as error:
        raise SurveyError(f"the fit report holds what is no number: {error}; fit again") from error
    if not is_same:
        raise SurveyError("the fit report cannot be written and read back the same; fit again")
    return msgspec.json.format(text, indent=1) + b"\n"

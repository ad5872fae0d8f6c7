"""The hand-over: everything that the shop needs for one job, in a folder or a zip, whole or not at all."""

from __future__ import annotations

import os
import shutil
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from survey.errors import FileError, SurveyError
from survey.file.publishing import publishing
from survey.handover.contents import Content, Progress, contents
from survey.handover.manifest import NAME, Listed, listed, manifest_text
from survey.handover.names import LONGEST_NAME
from survey.handover.wanted import Wanted
from survey.records import Survey
from survey.report.structs import FitReport
from survey.text import survey_hash

_EARLIEST: Final = (1980, 1, 1, 0, 0, 0)
"""Of files in a zip, which cannot say less: the same hand-over gives the same bytes on any day."""
_READABLE: Final = 0o100644 << 16
"""A plain file that everybody may read, as zips say it."""

Put = Callable[[str, bytes], None]


def hand_over(
    survey: Survey,
    report: FitReport,
    target: Path,
    on_progress: Progress | None = None,
    *,
    photos: Mapping[str, bytes] | None = None,
    wanted: Wanted | None = None,
    beside: Sequence[Content] = (),
) -> list[Path]:
    """Write the hand-over.

    It holds the job book, the lists for saw and spreadsheet, the outline of each piece that is ready and has
    one, the survey and the fit report as text, what else is wanted, and `manifest.json`. All is written
    beside the target first and gets its name at the end.

    Parameters
    ----------
    survey : Survey
    report : FitReport
        What `fit` says of this survey.
    target : Path
        A folder that does not exist yet, or is empty; or a new file whose name ends in `.zip`.
    on_progress : callable, optional
        Called with what is being written, how many files are done, and how many there will be.
    photos : mapping of str to bytes, optional
        Photos by their SHA-256, to go into the survey's text.
    wanted : Wanted, optional
        What it holds beyond the usual.
    beside : sequence of Content
        Further files that go with it, such as the survey file itself.

    Returns
    -------
    list of Path
        The files, in the order of their names; or the one zip.

    Raises
    ------
    FileError
        The target is there already, its parent does not exist, or it cannot be written.
    SurveyError
        The report was made of another survey, or holds what is no number; or no template can be made of a
        piece that was asked for.
    DrawingError
        An outline that no machine could cut.
    """
    _refuse_foreign(survey, report)
    there = Path(os.path.abspath(target))
    is_zip = there.suffix.lower() == ".zip"
    if not is_zip:
        _refuse_taken(there)
    wanted = wanted or Wanted()
    files = [*contents(survey, report, wanted, photos, on_progress), *beside]
    with (_zip if is_zip else _folder)(there) as put:
        names = _put_all(put, files, report, wanted, on_progress)
    return [target] if is_zip else [target / name for name in sorted(names)]


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


def _put_all(
    put: Put, files: Sequence[Content], report: FitReport, wanted: Wanted, on_progress: Progress | None
) -> list[str]:
    """Make and put every file, the manifest last; return their names."""
    total = len(files) + 1
    put_down: list[Listed] = []
    for done, one in enumerate(files):
        if on_progress is not None:
            on_progress(one.name, done, total)
        content = one.make()
        put(one.name, content)
        put_down.append(listed(one.name, one.what, content, one.piece))
    put(NAME, manifest_text(report, wanted, put_down))
    if on_progress is not None:
        on_progress("hand-over", total, total)
    return [*(one.name for one in put_down), NAME]


def pack(folder: Path) -> Path:
    """Pack a folder that was handed over into one zip beside it, and return that.

    Raises
    ------
    FileError
        A zip of this name is there already, a file cannot be read, or the zip cannot be written.
    """
    target = folder.with_name(f"{folder.name}.zip")
    with _zip(target) as put:
        for file in sorted(folder.iterdir()):
            put(file.name, file.read_bytes())
    return target


@contextmanager
def _folder(target: Path) -> Iterator[Put]:
    """Give what puts a file into the folder to be; the folder gets its name when all is in it."""
    temporary = target.with_name(f".{target.name[:LONGEST_NAME]}.{os.urandom(8).hex()}.part")

    def put(name: str, content: bytes) -> None:
        with (temporary / name).open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())

    try:
        temporary.mkdir()
        yield put
        _give_name(temporary, target)
    except OSError as error:
        if isinstance(error, SurveyError):
            raise
        raise FileError(f"{target}: could not be written: {error}") from error
    finally:
        shutil.rmtree(temporary, ignore_errors=True)


def _give_name(temporary: Path, target: Path) -> None:
    """Rename; an empty folder makes room, and one that somebody filled meanwhile is refused."""
    _refuse_taken(target)
    if target.is_dir():
        target.rmdir()
    temporary.rename(target)


@contextmanager
def _zip(target: Path) -> Iterator[Put]:
    """Give what puts a file into the zip to be; all lie in one folder of the zip's name."""
    with (
        publishing(target) as temporary,
        zipfile.ZipFile(temporary, "x", zipfile.ZIP_DEFLATED, strict_timestamps=True) as archive,
    ):

        def put(name: str, content: bytes) -> None:
            entry = zipfile.ZipInfo(f"{target.stem}/{name}", _EARLIEST)
            entry.compress_type, entry.external_attr, entry.create_system = (
                zipfile.ZIP_DEFLATED,
                _READABLE,
                3,
            )
            archive.writestr(entry, content)

        yield put

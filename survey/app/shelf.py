"""The jobs in a folder: what there is at a glance, new ones, copies and samples. Nothing is ever deleted."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from msgspec.structs import replace

from survey.errors import FileError, SurveyError
from survey.file import SurveyFile
from survey.file.opening import explained, open_unproved
from survey.handover.names import file_names
from survey.records import KINDS, Piece, Reading, Survey
from survey.records.canonical import read_record
from survey.records.hand import Hand
from survey.records.survey import MOST_RECORDS

SUFFIX = ".survey"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Shelved:
    """A job at a glance. `problem` says why the file cannot be read; its title is then the file's name."""

    path: Path
    title: str
    changed: datetime
    readings: int = 0
    pieces: int = 0
    problem: str = ""


def shelved(folder: Path) -> tuple[Shelved, ...]:
    """Return the jobs in a folder, those that were changed last first.

    Files are not proved whole, because there may be many: that is done when one is opened.
    """
    found = [glance(path) for path in folder.glob(f"*{SUFFIX}")]
    return tuple(sorted(found, key=lambda one: (one.changed, one.title), reverse=True))


def glance(path: Path) -> Shelved:
    """Look into one file; a file that cannot be read is told as such."""
    try:
        changed = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        survey, kinds = _headings(path)
    except SurveyError as error:
        return Shelved(path, path.stem, changed, problem=why(path, error))
    except OSError as error:
        return Shelved(path, path.stem, datetime.fromtimestamp(0, UTC), problem=error.strerror or str(error))
    gone = survey.taken_back | survey.replaced.keys()
    standing = [KINDS.get(kind) for record, kind in kinds if record not in gone]
    readings, pieces = (
        sum(kind is not None and issubclass(kind, sort) for kind in standing) for sort in (Reading, Piece)
    )
    title = survey.job.title if survey.job is not None else path.stem
    return Shelved(path, title, changed, readings, pieces)


def why(path: Path, error: SurveyError) -> str:
    """Return what an error says of a file, without its path before it and SQLite's own words after it.

    >>> why(Path("a/b.survey"), FileError(f"{Path('a/b.survey')}: there is no such file; make one first"))
    'there is no such file; make one first'
    """
    return str(error).removeprefix(f"{path}: ").partition(" (***")[0]


def when(changed: datetime, today: datetime) -> str:
    """Say when a job was changed, both moments in the same zone.

    >>> noon = datetime(2025, 5, 1, 12, 0)
    >>> [when(noon, datetime(2025, *day)) for day in ((5, 1), (5, 2), (7, 1))]
    ['today at 12:00', 'yesterday', '1 May 2025']
    """
    days = (today.date() - changed.date()).days
    if days in (0, 1):
        return "yesterday" if days else f"today at {changed:%H:%M}"
    return f"{changed.day} {MONTHS[changed.month - 1]} {changed.year}"


def search(jobs: Iterable[Shelved], words: str) -> tuple[Shelved, ...]:
    """Return the jobs with all of these words in their titles, in any case."""
    wanted = words.casefold().split()
    return tuple(one for one in jobs if all(word in one.title.casefold() for word in wanted))


def new_path(folder: Path, title: str) -> Path:
    """Return where a job of this title can stand: a name that every system takes and nothing has yet."""
    (name,) = file_names([title])
    taken = {one.name.casefold() for one in folder.iterdir()}
    number, path = 1, folder / f"{name}{SUFFIX}"
    while path.name.casefold() in taken:
        number += 1
        path = folder / f"{name}-{number}{SUFFIX}"
    return path


def copied(path: Path, folder: Path, title: str, hand: Hand) -> Path:
    """Copy a job under a new title and return the new file; the copy keeps every record and photo.

    Raises
    ------
    SurveyError
        The file cannot be read, the copy cannot be written, or the title cannot be one; nothing is left then.
    """
    from survey.app.visit import Visit

    target = new_path(folder, title)
    with SurveyFile.open(path) as file:
        job = file.survey().job
        if job is None:
            raise FileError(f"{path}: expected a survey with a job in it, got one without; open it first")
        renamed = replace(job, title=title)
        file.hand_out(target)
    try:
        with closing(Visit(target, hand)) as visit:
            visit.correct(job, renamed)
    except SurveyError:
        target.unlink(missing_ok=True)  # ours since a moment, and nobody has seen it
        raise
    return target


def put_on(survey: Survey, folder: Path, photos: dict[str, bytes] | None = None) -> Path:
    """Put a survey into a new file named after its job, and return that.

    Raises
    ------
    FileError
        It cannot be written; nothing is left then.
    """
    path = new_path(folder, survey.job.title if survey.job is not None else "survey")
    SurveyFile.create(path, survey.records, photos).close()
    return path


def _headings(path: Path) -> tuple[Survey, list[tuple[str, str]]]:
    """Return the jobs and whatever replaces something as a survey, and id and kind of every record.

    That is enough to know the title and what still stands, and far less than all.
    """
    with closing(open_unproved(path)) as connection, explained(path):
        rows = connection.execute(
            "SELECT id, kind, CASE WHEN kind = 'job' OR instr(content, '\"replaces\"') THEN content END"
            " FROM record ORDER BY position LIMIT ?",
            (MOST_RECORDS,),
        ).fetchall()
    try:
        survey = Survey(read_record(content) for _, _, content in rows if isinstance(content, bytes))
    except SurveyError as error:
        raise FileError(f"{path}: {error}") from error
    return survey, [(_text(record), _text(kind)) for record, kind, _ in rows]


def _text(value: object) -> str:
    """Return a column's text; what a damaged page holds in its place is none."""
    return value.decode(errors="replace") if isinstance(value, bytes) else ""

"""An earlier revision of a survey: out of the survey itself, or out of what was handed over.

Records are only ever added, so each revision is the records that were there then: the first of them, as many
as its number says. Its hash does not depend on their order. Where two devices' surveys were merged, the
other's revisions are not among the beginnings of this one; then its file, or what was handed over from it, is
needed.
"""

from __future__ import annotations

import bisect
import hashlib
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from survey.changes.errors import ComparisonError
from survey.errors import FileError
from survey.file import SurveyFile
from survey.records import Survey
from survey.records.canonical import canonical
from survey.text import MOST_BYTES, read_text

SHORTEST: Final = 4
"""Characters of a hash that are enough to look for one."""
MOST_HASHED: Final = 4 * 2**30
"""Bytes that are hashed in looking for a revision: seconds, not minutes."""
_NUMBER: Final = re.compile(r"r?0*(\d{1,9})")
_HASH: Final = re.compile(r"[0-9a-f]{4,64}")
_TEXT: Final = re.compile(r"survey(_r\d+)?\.json")
_WAYS: Final = "a revision's number, the start of its hash, a survey file, its text, or what was handed over"


def earlier(survey: Survey, since: str) -> Survey:
    """Return the earlier revision that somebody means.

    Parameters
    ----------
    survey
        The one of today.
    since
        A revision's number (`42`, `r0042`) or the start of its hash; else the path of a survey file, of its
        exported text (`.json`), or of a folder or zip that was handed over. A file with such a name is
        meant by `./42`.

    Raises
    ------
    SurveyError
        There is no such revision or file, or it holds no survey.
    """
    is_revision = _NUMBER.fullmatch(since) or _HASH.fullmatch(since.lower())
    path = Path(since)
    if is_revision:
        try:
            return revision_at(survey, since)
        except ComparisonError:
            if not path.exists():
                raise
    if not path.exists():
        raise ComparisonError(f"{since}: expected {_WAYS}; there is no such file or folder")
    if path.is_dir():
        return _in_folder(path)
    if zipfile.is_zipfile(path):
        return _in_zip(path)
    if path.suffix.lower() == ".json":
        return _text(path)
    with SurveyFile.open(path) as opened:
        return opened.survey()


def revision_at(survey: Survey, which: str) -> Survey:
    """Return an earlier revision out of the survey itself, by its number or by the start of its hash.

    Raises
    ------
    ComparisonError
        There is none such, or several begin so.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from survey.records import Wall
    >>> day = datetime(2025, 5, 1, tzinfo=UTC)
    >>> survey = Survey(Wall(id=f"a{at}", taken=day, name=f"wall-{at}") for at in range(3))
    >>> len(revision_at(survey, "2").records)
    2
    """
    which = which.strip().lower()
    number = _NUMBER.fullmatch(which)
    count = len(survey.records)
    if number is not None and 1 <= int(number[1]) <= count:
        return Survey(survey.records[: int(number[1])])
    if _HASH.fullmatch(which) is None:
        if number is not None:
            raise ComparisonError(
                f"revision {which}: expected one from 1 to {count}, which is the present one"
            )
        raise ComparisonError(
            f"{which!r}: expected a revision's number, or at least {SHORTEST} characters of its hash"
        )
    found = [length for length, full in _hashes(survey) if full.startswith(which)]
    if len(found) == 1:
        return Survey(survey.records[: found[0]])
    if found:
        raise ComparisonError(
            f"{which}: {len(found)} revisions begin so ({', '.join(map(str, sorted(found)[:5]))}); type more "
            "of it, or the number"
        )
    raise ComparisonError(
        f"{which}: no revision of this survey has a number or hash that begins so; it has revisions 1 to "
        f"{count}. Of a survey that was merged with another device's, the other's revisions are not in it: "
        "give that survey's file, or the folder that was handed over"
    )


def _hashes(survey: Survey) -> Iterator[tuple[int, str]]:
    """Give each revision's number and hash, as far as that takes seconds; as `survey_hash` makes it."""
    kept: list[bytes] = []
    hashed = 0
    for number, record in enumerate(survey.records, 1):
        bisect.insort(kept, hashlib.sha256(canonical(record)).digest())
        hashed += 32 * number
        if hashed > MOST_HASHED:
            return
        yield number, hashlib.sha256(b"".join(kept)).hexdigest()


# What was handed over


def _text(path: Path) -> Survey:
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= MOST_BYTES else b""
    except OSError as error:
        raise FileError(f"{path}: cannot be read: {error.strerror or error}") from error
    return _read(content, size, str(path))


def _read(content: bytes, size: int, where: str) -> Survey:
    if size > MOST_BYTES:
        raise ComparisonError(f"{where}: expected at most {MOST_BYTES >> 20} MiB, got {size >> 20} MiB")
    return read_text(content)[0]


def _in_folder(folder: Path) -> Survey:
    """Read the survey of a folder: its text, or else the survey file in it."""
    try:
        files = sorted(one for one in folder.iterdir() if one.is_file())
    except OSError as error:
        raise FileError(f"{folder}: cannot be read: {error.strerror or error}") from error
    texts = [one for one in files if _TEXT.fullmatch(one.name)]
    if len(texts) == 1:
        return _text(texts[0])
    held = [one for one in files if one.suffix == ".survey"]
    if not texts and len(held) == 1:
        with SurveyFile.open(held[0]) as opened:
            return opened.survey()
    raise ComparisonError(_not_one(folder, len(texts) or len(held)))


def _in_zip(path: Path) -> Survey:
    try:
        with zipfile.ZipFile(path) as packed:
            texts = [one for one in packed.infolist() if _TEXT.fullmatch(one.filename.rpartition("/")[2])]
            if len(texts) != 1:
                raise ComparisonError(_not_one(path, len(texts)))
            where = f"{path}: {texts[0].filename}"
            if texts[0].file_size > MOST_BYTES:
                return _read(b"", texts[0].file_size, where)
            with packed.open(texts[0]) as file:
                content = file.read(MOST_BYTES + 1)
    except (OSError, zipfile.BadZipFile, NotImplementedError, RuntimeError) as error:
        raise FileError(f"{path}: cannot be read: {error}; copy it anew") from error
    return _read(content, len(content), where)


def _not_one(path: Path, count: int) -> str:
    many = "got none" if not count else f"got {count}"
    return (
        f"{path}: expected what was handed over, with one `survey_r....json` in it; {many}. Give the "
        "survey's file or text itself"
    )

"""Is a hand-over as it was written? Its files are held against its manifest."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterator, Mapping
from hashlib import sha256
from pathlib import Path

from survey.errors import FileError
from survey.handover.manifest import NAME, Manifest, read_manifest

Reader = Callable[[], bytes]


def verify_words(handed: Path) -> tuple[str, list[str]]:
    """Say of which revision a hand-over is, and what is not as it was written.

    Parameters
    ----------
    handed
        A folder that was handed over, or a zip.

    Returns
    -------
    title, faults
        `Bath, revision 42 (2d8c7c46)`, and a line for each file that is changed, missing or not listed.

    Raises
    ------
    FileError
        There is no such folder or zip, or no manifest in it.
    """
    files = _in_zip(handed) if handed.is_file() else _in_folder(handed)
    if NAME not in files:
        raise FileError(f"{handed}: expected a hand-over with its {NAME}, got none; hand over again")
    manifest = read_manifest(_read(handed, NAME, files[NAME]), f"{handed}/{NAME}")
    title = f"{manifest.title}, revision {manifest.revision} ({manifest.survey_hash[:8]})"
    return title, list(_faults(handed, manifest, files))


def _faults(handed: Path, manifest: Manifest, files: Mapping[str, Reader]) -> Iterator[str]:
    named = {one.name: one for one in manifest.files}
    for name, one in named.items():
        if name not in files:
            yield f"  missing: {name} ({one.what})"
        elif sha256(_read(handed, name, files[name])).hexdigest() != one.sha256:
            yield f"  changed: {name} ({one.what})"
    for name in sorted(set(files) - set(named) - {NAME}):
        yield f"  not of this hand-over: {name}"


def _read(handed: Path, name: str, reader: Reader) -> bytes:
    try:
        return reader()
    except (OSError, zipfile.BadZipFile, RuntimeError, NotImplementedError) as error:
        raise FileError(f"{handed}: {name} cannot be read: {error}") from error


def _in_folder(folder: Path) -> dict[str, Reader]:
    try:
        return {one.name: one.read_bytes for one in folder.iterdir() if one.is_file()}
    except OSError as error:
        raise FileError(f"{folder}: cannot be read: {error.strerror or error}") from error


def _in_zip(path: Path) -> dict[str, Reader]:
    """Return what the entries of a zip hold, by their names without the folder."""
    try:
        archive = zipfile.ZipFile(path)
    except (OSError, zipfile.BadZipFile) as error:
        raise FileError(f"{path}: expected a folder or a zip that was handed over, got neither") from error

    def reader(entry: zipfile.ZipInfo) -> Reader:
        return lambda: archive.read(entry)

    return {Path(one.filename).name: reader(one) for one in archive.infolist() if not one.is_dir()}

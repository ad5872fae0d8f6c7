"""Bringing a finished file under its name: whole or not at all, and never over another file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from survey.errors import FileError


@contextmanager
def publishing(path: Path) -> Iterator[Path]:
    """Give a temporary path beside `path`; what stands there afterwards gets the name `path`.

    After an error nothing of it is left.

    Raises
    ------
    FileError
        If `path` exists already, now or at the end, or its folder does not.
    """
    _refuse_existing(path)
    if not path.parent.is_dir():
        raise FileError(f"{path.parent}: there is no such folder; make it first")
    temporary = path.with_name(f".{path.name[:100]}.{os.urandom(8).hex()}.part")
    try:
        yield temporary
        _sync(temporary, os.O_RDWR)
        _give_name(temporary, path)
    except OSError as error:
        if isinstance(error, FileError):
            raise
        raise FileError(f"{path}: could not be written: {error}") from error
    finally:
        temporary.unlink(missing_ok=True)
        temporary.with_name(f"{temporary.name}-journal").unlink(missing_ok=True)


def _refuse_existing(path: Path) -> None:
    if os.path.lexists(path):
        raise FileError(f"{path}: exists already; choose another name, or move that file away")


def _give_name(temporary: Path, path: Path) -> None:
    """Link instead of renaming, because a link never replaces what another program put there."""
    try:
        os.link(temporary, path)
    except OSError:  # the name is taken, or the disk knows no links (FAT, some cards)
        _refuse_existing(path)
        temporary.rename(path)
    if os.name == "posix":
        _sync(path.parent, os.O_RDONLY)


def _sync(path: Path, flags: int) -> None:
    handle = os.open(path, flags)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)

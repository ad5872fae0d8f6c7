"""The shop's own file: what belongs to no single job, its cut lists' columns and how its jobs came out.

A small JSON file that people can read. It is written whole, under a temporary name first.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Final, Literal

import msgspec
from msgspec import Meta, Struct, field
from msgspec.structs import replace

from survey.errors import FileError
from survey.records import InstalledWhat

VERSION: Final = 1
MOST_BYTES: Final = 16 * 2**20


class EdgeOutcome(Struct, frozen=True, forbid_unknown_fields=True):
    """One place of an edge on the day: what was foretold, how surely, and what came out; mm."""

    piece: str
    edge: str
    what: InstalledWhat
    foretold_mm: float
    sd_mm: Annotated[float, Meta(gt=0.0, description="Of what was foretold, by the usual figures.")]
    came_out_mm: float
    mark_sd_mm: Annotated[float, Meta(ge=0.0, description="Of marking and reading it on the day.")] = 0.0


class JobOutcome(Struct, frozen=True, forbid_unknown_fields=True):
    """How one job came out; a job is known by the id of its job record, so that it counts once."""

    job: str
    title: str
    edges: tuple[EdgeOutcome, ...]


class Shop(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a shop keeps over its jobs."""

    format: Literal["scribefit shop"] = "scribefit shop"
    version: int = VERSION
    columns: Annotated[
        dict[str, str], Meta(description="Of the shop's cut lists: which column is read as what.")
    ] = field(default_factory=dict)
    jobs: tuple[JobOutcome, ...] = ()


def read_shop(path: Path) -> Shop:
    """Read a shop's file; a shop without one has an empty one.

    Raises
    ------
    FileError
        It is no shop's file, of a newer version, too large, or cannot be read.
    """
    try:
        content = path.read_bytes() if path.stat().st_size <= MOST_BYTES else None
    except FileNotFoundError:
        return Shop()
    except OSError as error:
        raise FileError(f"{path}: cannot be read: {error.strerror or error}") from error
    if content is None:
        raise FileError(f"{path}: expected a shop's file of at most {MOST_BYTES >> 20} MB, got more")
    try:
        shop = msgspec.json.decode(content, type=Shop)
    except msgspec.MsgspecError as error:
        raise FileError(
            f"{path}: expected a shop's file, got something else ({error}); choose another, or move it away"
        ) from error
    if shop.version > VERSION:
        raise FileError(
            f"{path}: made by a newer version ({shop.version}); this one reads up to {VERSION}: update"
        )
    return shop


def write_shop(path: Path, shop: Shop) -> None:
    """Write a shop's file, whole or not at all; a newer one takes the older one's place.

    The folder is made where there is none.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_shop(Path(folder, "shop.json"), Shop(columns={"Part": "name"}))
    ...     read_shop(Path(folder, "shop.json")).columns
    {'Part': 'name'}

    Raises
    ------
    FileError
        It cannot be written; the older one stands as it was.
    """
    temporary = path.with_name(f".{path.name[:100]}.{os.urandom(8).hex()}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with temporary.open("xb") as file:
            file.write(msgspec.json.format(msgspec.json.encode(shop), indent=1) + b"\n")
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
    except OSError as error:
        raise FileError(f"{path}: could not be written: {error.strerror or error}") from error
    finally:
        temporary.unlink(missing_ok=True)


def keep_columns(path: Path, columns: Mapping[str, str]) -> None:
    """Keep what columns of the shop's cut lists are read as; what was kept of others stays.

    Raises
    ------
    FileError
        As `read_shop` and `write_shop`.
    """
    known = read_shop(path)
    write_shop(path, replace(known, columns=known.columns | dict(columns)))

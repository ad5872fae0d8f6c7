"""The manifest of a hand-over: of which revision it is, and every file with its size and SHA-256."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from typing import Annotated, Final, Literal

import msgspec
from msgspec import Meta, Struct

from survey.errors import FileError
from survey.handover.book.paper import PaperName, paper_named
from survey.handover.wanted import Wanted
from survey.records.canonical import survey_hash
from survey.report.structs import FitReport

NAME: Final = "manifest.json"
VERSION: Final = 1


class Listed(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A file of the hand-over."""

    name: str
    what: Annotated[str, Meta(description="Such as `job book`, `cut list`, `outline`.")]
    bytes: int
    sha256: str
    piece: str = ""


class Manifest(Struct, frozen=True, forbid_unknown_fields=True):
    """What belongs to one hand-over."""

    format: Literal["scribefit hand-over"]
    version: int
    title: str
    revision: int
    survey_hash: str
    made_by: Annotated[str, Meta(description="The program's version.")]
    paper: Annotated[PaperName, Meta(description="What the job book is set on.")]
    since: Annotated[str, Meta(description="Hash of the earlier revision that the job book compares with.")]
    files: tuple[Listed, ...]


def listed(name: str, what: str, content: bytes, piece: str = "") -> Listed:
    """Describe a file.

    >>> listed("a.csv", "cut list", b"").sha256[:8]
    'e3b0c442'
    """
    return Listed(name, what, len(content), sha256(content).hexdigest(), piece)


def manifest_text(report: FitReport, wanted: Wanted, files: Iterable[Listed]) -> bytes:
    """Write the manifest, its files by name; the same files give the same bytes."""
    manifest = Manifest(
        "scribefit hand-over",
        VERSION,
        report.title,
        report.revision,
        report.survey_hash,
        made_by(),
        paper_named(report.unit, wanted.paper),
        survey_hash(wanted.before[0]) if wanted.before else "",
        tuple(sorted(files, key=lambda one: one.name)),
    )
    return msgspec.json.format(msgspec.json.encode(manifest), indent=1) + b"\n"


def read_manifest(content: bytes, where: str) -> Manifest:
    """Read a manifest.

    Raises
    ------
    FileError
        It is none, or of a newer version.
    """
    try:
        manifest = msgspec.json.decode(content, type=Manifest)
    except msgspec.MsgspecError as error:
        raise FileError(
            f"{where}: expected the manifest of a hand-over, got something else ({error}); hand over again"
        ) from error
    if manifest.version > VERSION:
        raise FileError(
            f"{where}: made by a newer version ({manifest.version}); this one reads up to {VERSION}: update"
        )
    return manifest


def made_by() -> str:
    """Return the program's version; of a checkout that was never installed, none."""
    try:
        return version("scribefit")
    except PackageNotFoundError:
        return ""

"""What lies on the desk between two starts: settings, the open job, the page, and the half-typed value.

It is a small JSON file, written whole after every change, under a temporary name first. A kill at any moment
leaves the old one or the new one. It is not forced to the disk: readings are (`survey.file`), and a key's
echo must not wait for a drive; what a loss of power may cost is the value being typed.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct, field

Theme = Literal["day", "night"]
Hand = Literal["right", "left"]


BookPaper = Literal["as the unit", "A4", "Letter"]
Outlines = Literal["dxf", "dxf r12", "svg", "dxf and svg"]


class Settings(Struct):
    """What a person chose for this device; what belongs to a job is in the job's record."""

    theme: Theme = "day"
    text_size: float = 1.0
    hand: Hand = "right"
    initials: str = ""
    tools: Literal["straightedge", "laser"] = "straightedge"
    instrument: str = "tape"
    laser_unit: Literal["as the job", "in", "ft", "mm", "cm", "m"] = "as the job"
    unit: Literal["in", "mm"] = "in"
    """Of the last new job, and so the usual one of the next."""
    step: str = "1/16"
    """The same for the smallest fraction."""
    book_paper: BookPaper = "as the unit"
    outlines: Outlines = "dxf"
    template_paper: str = ""
    """By its name; empty: as the job book's."""


class Stop(Struct):
    """One page that was come through: its name and what it was opened with."""

    page: str
    given: dict[str, str] = field(default_factory=dict)


class Draft(Struct):
    """What was typed and not saved: of which page it is, and its fields."""

    of: str
    fields: dict[str, str] = field(default_factory=dict)


class Kept(Struct):
    """The file's content."""

    settings: Settings = field(default_factory=Settings)
    job: str = ""
    trail: list[Stop] = field(default_factory=list)
    draft: Draft | None = None
    folder: str = ""
    templates: list[str] = field(default_factory=list)
    """Pieces of the open job that go out as full-size templates."""


class Desk:
    """The desk of one device, kept in a folder.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     desk = Desk(Path(folder))
    ...     desk.draft("reading", {"reads": "34 5"})
    ...     Desk(Path(folder)).kept.draft.fields
    {'reads': '34 5'}
    """

    def __init__(self, home: Path) -> None:
        """Take up what lies there; a desk that cannot be read is cleared, its file set aside."""
        self.home = home
        self.jobs = home / "jobs"
        with suppress(OSError):  # whoever wants to put a job there is told why it cannot be
            self.jobs.mkdir(parents=True, exist_ok=True)
        self._path = home / "desk.json"
        self.kept = self._read()

    @property
    def settings(self) -> Settings:
        """What the person chose."""
        return self.kept.settings

    def draft(self, of: str, fields: dict[str, str]) -> None:
        """Keep what is half typed; empty fields clear it."""
        self.kept.draft = Draft(of, fields) if any(fields.values()) else None
        self.keep()

    def drafted(self, of: str) -> dict[str, str]:
        """Return what was half typed on a page, if anything was."""
        draft = self.kept.draft
        return dict(draft.fields) if draft is not None and draft.of == of else {}

    def keep(self) -> None:
        """Write it down; where the disk refuses, work goes on and the next change tries again."""
        temporary = self._path.with_suffix(".new")
        try:
            temporary.write_bytes(msgspec.json.encode(self.kept))
            os.replace(temporary, self._path)
        except OSError:
            with suppress(OSError):
                temporary.unlink(missing_ok=True)

    def _read(self) -> Kept:
        try:
            return msgspec.json.decode(self._path.read_bytes(), type=Kept)
        except FileNotFoundError:
            return Kept()
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
            with suppress(OSError):
                os.replace(self._path, self._path.with_suffix(".unreadable"))
            return Kept()

"""The one interface to the device; the phone's own way comes in a module of its own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Protocol


class Platform(Protocol):
    """What the app asks of the device it runs on."""

    def home(self) -> Path:
        """Return the folder that is the app's own."""

    def insets(self) -> tuple[float, float, float, float]:
        """Return what the device's bars cover of the window: left, top, right, bottom; pixels."""

    def leave(self) -> None:
        """Go to the background, as the way back does on the first page."""

    def share(self, folder: Path, done: Callable[[str], None]) -> None:
        """Give a finished folder on; `done` gets one sentence on what became of it."""

    def choose_photo(self, chosen: Callable[[Path], None]) -> None:
        """Let the person take or choose a photo; `chosen` gets its file, and is not called without one."""

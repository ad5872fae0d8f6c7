"""A computer with windows: files stay where they are written, photos are chosen from files."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

PHOTOS: Final = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".bmp")


class Desktop:
    """The desktop's way."""

    def home(self) -> Path:
        """Return the user's own folder for it."""
        if sys.platform == "win32":
            base = Path(os.environ.get("APPDATA") or Path.home())
        elif sys.platform == "darwin":
            base = Path.home() / "Library" / "Application Support"
        else:
            base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
        return base / "scribefit"

    def insets(self) -> tuple[float, float, float, float]:
        """Nothing is covered."""
        return 0, 0, 0, 0

    def leave(self) -> None:
        """A window is closed by its own button, not by a key."""

    def share(self, folder: Path, done: Callable[[str], None]) -> None:
        """The files are where the person asked for them."""
        done(f"The files are in {folder}.")

    def choose_photo(self, chosen: Callable[[Path], None]) -> None:
        """Choose a file."""
        from survey.app.widgets.file_choice import choose_file

        choose_file("A photo", PHOTOS, chosen)

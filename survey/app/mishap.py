"""An unexpected error: what is kept of it, for whoever mends it."""

from __future__ import annotations

import platform
import traceback
from datetime import UTC, datetime
from pathlib import Path


def keep_log(home: Path, error: BaseException) -> Path | None:
    """Write what happened beside the desk, without anything of the job; None where the disk refuses."""
    moment = datetime.now(UTC)
    path = home / f"mishap-{moment:%Y%m%d-%H%M%S}.txt"
    told = "".join(traceback.format_exception(error))
    try:
        path.write_text(f"{moment.isoformat()}\n{platform.platform()}\n\n{told}", encoding="utf-8")
    except OSError:
        return None
    return path

"""Who puts records down, on what, when, and where the ids of new ones come from."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime


def new_id() -> str:
    """Make an id that no other record has: 32 random hexadecimal digits."""
    return uuid.uuid4().hex


def now() -> datetime:
    """The time of day, in UTC, to the second: nobody reads a tape faster."""
    return datetime.now(UTC).replace(microsecond=0)


@dataclass(frozen=True)
class Hand:
    """Who writes, on what, when, and where new ids come from."""

    person: str = ""
    device: str = ""
    taken: Callable[[], datetime] = now
    new_id: Callable[[], str] = new_id

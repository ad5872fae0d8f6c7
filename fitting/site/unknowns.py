"""The state: which unknowns a room has, where each stands in the vector, and how wide it starts."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

OPEN_LENGTH_SD = 20_000.0
"""A length that nothing is known of, in mm: a room is not larger. Wide enough to weigh nothing beside a
reading, narrow enough that an unread wall stays a number, which `KnownRoom` then calls unknown."""
OPEN_TURN_SD = 0.2
"""A direction that nothing is known of, in radians: a straightedge held to a wall is not further off."""


@dataclass
class Unknowns:
    """Grows while the room and its readings are gone through; then gives the adjustment's vectors."""

    names: list[str] = field(default_factory=list)
    start: list[float] = field(default_factory=list)
    sd: list[float] = field(default_factory=list)
    index: dict[str, int] = field(default_factory=dict)

    def add(self, name: str, start: float, sd: float) -> int:
        """Add an unknown and return its index; `sd` is the standard deviation of its prior."""
        if name not in self.index:
            self.index[name] = len(self.names)
            self.names.append(name)
            self.start.append(start)
            self.sd.append(sd)
        return self.index[name]

    def copy(self) -> Unknowns:
        """Return a copy that may grow by itself."""
        return Unknowns(list(self.names), list(self.start), list(self.sd), dict(self.index))

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.names)

    def vectors(self) -> tuple[FloatArray, FloatArray]:
        """Return start and standard deviation of each."""
        return np.array(self.start), np.array(self.sd)

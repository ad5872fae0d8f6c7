"""Rooms for the pieces: read so well that what comes out can be worked out by hand, or only sparsely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from rooms import polygon
from true_room import Bump, Mark, Reading, TrueRoom

from fitting.site import (
    OLD_HOUSE,
    Along,
    Corner,
    CornerTurn,
    Covering,
    Distance,
    Gaps,
    KnownRoom,
    Leaning,
    Prior,
    know_room,
)

UP = 850.0  # mm; all tops lie here
NO_WAVES = Prior(waves=(), build_up=None)
WAVES = replace(OLD_HOUSE, build_up=None)
"""Rooms are drawn without build-up in their corners; `test_prior.py` has that."""


def corner(degrees: float, length: float = 1500.0, run: float = 1000.0) -> TrueRoom:
    """A left and a back wall; the corner at the origin opens by so many degrees."""
    off = math.radians(degrees - 90.0)
    return polygon(["left", "back"], [(-math.tan(off) * run, -run), (0.0, 0.0), (length, 0.0)], "back")


def alcove(width: float = 1500.0, left: float = 90.0, right: float = 90.0) -> TrueRoom:
    """Three walls; angles of the two corners in degrees."""
    a, b = (1000.0 * math.tan(math.radians(one - 90.0)) for one in (left, right))
    return polygon(
        ["left", "back", "right"], [(-a, -1000.0), (0.0, 0.0), (width, 0.0), (width + b, -1000.0)], "back"
    )


def with_mark(room: TrueRoom, name: str, wall: str, along: float) -> TrueRoom:
    return replace(room, marks={**room.marks, name: Mark(wall, along)})


def with_tile(room: TrueRoom, *thicknesses: tuple[str, float]) -> TrueRoom:
    return replace(room, coverings=tuple(Covering(wall, mm, 1e-4) for wall, mm in thicknesses))


def every_reading(room: TrueRoom, sd: float = 1e-4) -> list[Reading]:
    """A tape along every wall, every corner's angle, every wall's lean, every mark; sd in mm over 1 m."""
    asked: list[Reading] = []
    plan = room.plan()
    for one in room.corners:
        asked.append(CornerTurn(f"turn {one.name}", 0.0, sd / 1000, one.name, 500.0, 500.0, UP))
    for wall in plan.walls:
        ends = [plan.corner_at(wall, end) for end in ("left", "right")]
        start = next(end for end in ends if end is not None)
        asked.append(Leaning(f"lean {wall}", 0.0, sd, wall, 300.0, start.name, 0.0, UP))
        if ends[0] is not None and ends[1] is not None:
            names = ends[0].name, ends[1].name
            asked.append(Distance(f"tape {wall}", 0.0, sd, *names, UP, UP))
    for name, mark in room.marks.items():
        start = _corner_of(plan.corners, mark.wall)
        asked.append(Along(f"along {name}", 0.0, sd, name, start.name, UP))
    return asked


def check(wall: str, start: str, along: Sequence[float], sd: float, up: float = UP, key: str = "") -> Gaps:
    """A straightedge against a wall at one height."""
    size = len(along)
    return Gaps(f"check {wall} {key}", wall, start, tuple(along), (up,) * size, (0.0,) * size, (sd,) * size)


def known(room: TrueRoom, prior: Prior = NO_WAVES, more: Sequence[Reading] = ()) -> KnownRoom:
    """The room, read without an error worth speaking of."""
    asked = [*every_reading(room), *more]
    return know_room(room.plan(), [room.exact(one) for one in asked], prior)


def noisy(room: TrueRoom, asked: Sequence[Reading], random: np.random.Generator) -> list[Reading]:
    """Read with a hand as unsure as each reading says of itself."""
    found: list[Reading] = []
    for one in asked:
        exact = room.exact(one)
        if isinstance(exact, Gaps):
            off = random.normal(0.0, exact.sd)
            found.append(replace(exact, read=tuple(np.array(exact.read) + off)))
        else:
            found.append(replace(exact, value=float(random.normal(exact.value, exact.deviation))))  # type: ignore[union-attr]
    return found


def bumpy(room: TrueRoom, **bumps: Bump) -> TrueRoom:
    for wall, bump in bumps.items():
        room = room.changed(wall, bump=bump)
    return room


def _corner_of(corners: Sequence[Corner], wall: str) -> Corner:
    return next(one for one in corners if wall in (one.left, one.right))

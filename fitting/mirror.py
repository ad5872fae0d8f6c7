"""A mirror on a wall: centred over something, above the splash, clear of lights and outlets; its weight.

Facing the wall: x right along it, y up from z = 0, mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fitting.errors import BadInput
from fitting.notch import LARGEST
from fitting.piece import refuse_size

GLASS: Final = 2500.0
"""kg / m3, soda lime silicate glass (EN 572-1, from memory): 2.5 kg per m2 and mm."""
REFLECTING_EDGE: Final = 40 * 25.4
"""mm above the finished floor, 40 in: the highest lower edge of the reflecting surface over a lavatory or
counter (2010 ADA Standards 603.3, from memory). A house is not usually bound by it: check if asked."""
TOUCHES: Final = 1e-6
"""mm; what overlaps by less stands beside."""


@dataclass(frozen=True)
class KeptClear:
    """Something on the wall that a mirror must not cover: mm, and `clearance` around it."""

    name: str
    left: float
    right: float
    bottom: float
    top: float
    clearance: float = 0.0


@dataclass(frozen=True)
class MirrorPlan:
    """A mirror; mm.

    `centre` is where its middle hangs along the wall. `lowest` is what its lower edge must be above, such
    as the splash; `highest` what its upper edge must stay below; `wall` from where to where it may hang.
    """

    width: float
    height: float
    thickness: float
    centre: float
    bottom: float
    lowest: float = -math.inf
    highest: float = math.inf
    wall: tuple[float, float] = (-math.inf, math.inf)
    things: tuple[KeptClear, ...] = ()


@dataclass(frozen=True)
class Clash:
    """What a mirror runs into, and by how much it would have to move: up, down, left and right (mm, > 0).

    `move` is the least of them, and `way` the word for it.
    """

    name: str
    up: float
    down: float
    left: float
    right: float

    @property
    def way(self) -> str:
        """The shortest way out."""
        ways = {"up": self.up, "down": self.down, "left": self.left, "right": self.right}
        return min(ways, key=lambda one: ways[one])

    @property
    def move(self) -> float:
        """How far that is (mm)."""
        return min(self.up, self.down, self.left, self.right)


@dataclass(frozen=True)
class HungMirror:
    """A mirror in its place; mm, kg.

    `beside` is what is left of the wall at its left and at its right; below 0 it runs past the wall's end.
    `over_lowest` and `under_highest` are what is left below and above, likewise signed; infinite where
    nothing was asked.
    """

    left: float
    right: float
    bottom: float
    top: float
    beside: tuple[float, float]
    over_lowest: float
    under_highest: float
    clashes: tuple[Clash, ...]
    kilograms: float

    def reflects_from(self, floor: float, frame: float = 0.0) -> float:
        """Return how high above the floor (mm) its reflecting surface begins; `frame` is its lower rail's."""
        return self.bottom + frame - floor


def hang_mirror(plan: MirrorPlan) -> HungMirror:
    """Put a mirror in its place and see what is in the way.

    Examples
    --------
    600 x 800, 4 mm thick, centred on 700, its lower edge at 1000; an outlet at its lower right corner:

    >>> outlet = KeptClear("outlet", 980, 1050, 950, 1065, clearance=5)
    >>> hung = hang_mirror(MirrorPlan(600, 800, 4, 700, 1000, lowest=950, things=(outlet,)))
    >>> hung.left, hung.right, hung.top, hung.over_lowest, round(hung.kilograms, 2)
    (400.0, 1000.0, 1800.0, 50.0, 4.8)
    >>> [(clash.name, clash.way, clash.move) for clash in hung.clashes]
    [('outlet', 'left', 25.0)]
    """
    _refuse(plan)
    left, right = plan.centre - plan.width / 2.0, plan.centre + plan.width / 2.0
    bottom, top = float(plan.bottom), float(plan.bottom) + plan.height
    return HungMirror(
        left,
        right,
        bottom,
        top,
        (left - plan.wall[0], plan.wall[1] - right),
        bottom - plan.lowest,
        plan.highest - top,
        _clashes(plan.things, left, right, bottom, top),
        GLASS * plan.width * plan.height * plan.thickness * 1e-9,
    )


def _clashes(
    things: Sequence[KeptClear], left: float, right: float, bottom: float, top: float
) -> tuple[Clash, ...]:
    found = []
    for one in things:
        clash = Clash(
            one.name,
            up=one.top + one.clearance - bottom,
            down=top - one.bottom + one.clearance,
            left=right - one.left + one.clearance,
            right=one.right + one.clearance - left,
        )
        if clash.move > TOUCHES:
            found.append(clash)
    return tuple(found)


def _refuse(plan: MirrorPlan) -> None:
    sizes = ("width", plan.width), ("height", plan.height), ("thickness", plan.thickness)
    for what, size in sizes:
        refuse_size(what, size)
    for what, place in (("centre", plan.centre), ("bottom", plan.bottom)):
        if not abs(place) <= LARGEST:
            raise BadInput(f"{what}: expected a length within 60 m, got {place} mm")
    if not plan.wall[0] < plan.wall[1]:
        raise BadInput(f"wall: expected a start before its end, got {plan.wall[0]} to {plan.wall[1]} mm")
    for one in plan.things:
        if not (one.left <= one.right and one.bottom <= one.top and 0 <= one.clearance <= LARGEST):
            raise BadInput(f"{one.name}: expected left before right and bottom below top, got {one}")

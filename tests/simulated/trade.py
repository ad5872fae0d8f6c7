"""What fitters do by rule of thumb; sizes in mm, outlines clockwise from the back left corner, y to the back.

All rules here are common practice, without a source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

import numpy as np

from simulated.fitter import read
from simulated.hand import Skill
from simulated.laws import FloatArray
from simulated.site import Site
from survey.records import CornerSquare, LengthReading, Spot, Station, StraightedgeCheck, TypedLength

EIGHTH = 25.4 / 8
SIXTEENTH = 25.4 / 16
HALF_INCH = 12.7
ON_THE_WALL_MM = 20.0
"""The front's width is taken so much behind the piece's front."""


@dataclass(frozen=True)
class Sizes:
    """What a fitter has on the paper.

    `front_out` is how far from the corners the width at the front was taken; `left_turn` and `right_turn` are
    a framing square's gap over its leg, positive where the corner opens wider than square; `worst_gap` is the
    greatest gap seen under the straightedge, on any wall.
    """

    width_back: float
    width_front: float
    front_out: float
    left_turn: float = 0.0
    right_turn: float = 0.0
    worst_gap: float = 0.0

    def __post_init__(self) -> None:
        """A width or a distance that is nothing means nothing."""
        for name in ("width_back", "width_front", "front_out"):
            if not getattr(self, name) > 0.0:
                raise ValueError(f"expected {name} of more than nothing, got {getattr(self, name)}")


def measure(
    site: Site,
    up: float,
    depth: float,
    rng: np.random.Generator,
    skill: str | Skill = "careful",
    unit: str = "in",
) -> Sizes:
    """Take an alcove's sizes as a fitter does: two widths, a square in each corner, each wall's worst gap."""
    plain = widths(site, up, depth, rng, skill, unit)
    nothing, common = _nothing(unit), _common(up)
    turns = []
    for corner in ("left-back", "back-right"):
        square = read(
            CornerSquare(
                id=corner, corner=corner, lies_on="back", lying_leg=_mm(600.0), other_leg=_mm(400.0),
                gap=nothing, gap_at="tip", **common,
            ), site, rng, skill,
        )  # fmt: skip
        turns.append((1.0 if square.gap_at == "tip" else -1.0) * float(square.gap.mm) / 400.0)
    worst = max(
        float(station.gap.mm)
        for wall, corner in (("left", "left-back"), ("back", "left-back"), ("right", "back-right"))
        for station in read(_check(wall, corner, depth, site, nothing, common), site, rng, skill).stations
    )
    return replace(plain, left_turn=turns[0], right_turn=turns[1], worst_gap=worst)


def widths(
    site: Site,
    up: float,
    depth: float,
    rng: np.random.Generator,
    skill: str | Skill = "careful",
    unit: str = "in",
) -> Sizes:
    """Take only an alcove's widths: at the back into the corners, and near the front with two sticks."""
    nothing, out, common = _nothing(unit), depth - ON_THE_WALL_MM, _common(up)
    spots = (Spot("left", _mm(out), "left-back"), Spot("right", _mm(out), "back-right"))
    back, front = (
        read(LengthReading(id=name, between=ends, reads=nothing, start=start, **common), site, rng, skill)  # type: ignore[arg-type]
        for name, ends, start in (
            ("back", ("left-back", "back-right"), "bent into the corner"),
            ("front", spots, "two sticks"),
        )
    )
    return Sizes(float(back.reads.mm), float(front.reads.mm), out)


def _nothing(unit: str) -> TypedLength:
    return TypedLength("0", "in" if unit == "in" else "mm")


def _common(up: float) -> dict[str, Any]:
    return {"taken": datetime(2000, 1, 1, tzinfo=UTC), "up": _mm(up)}


def _mm(length: float) -> TypedLength:
    return TypedLength(f"{length:.0f}", "mm")


def _check(
    wall: str, corner: str, depth: float, site: Site, nothing: TypedLength, common: dict[str, Any]
) -> StraightedgeCheck:
    """A station every hand's breadth or two, on the part of a wall that the piece meets."""
    length = site.walls["back"].length - 40.0 if wall == "back" else depth
    places = np.linspace(40.0, length, max(3, round(length / 150.0)))
    stations = tuple(Station(_mm(place), nothing) for place in places)
    return StraightedgeCheck(id=wall, wall=wall, from_=corner, stations=stations, **common)  # type: ignore[arg-type]


def plain_rectangle(sizes: Sizes, depth: float) -> FloatArray:
    """Cut square to the lesser of two widths, less an eighth of an inch.

    >>> plain_rectangle(Sizes(1003.175, 1010.0, 500.0), 560.0).round(3).tolist()
    [[0.0, 0.0], [1000.0, 0.0], [1000.0, -560.0], [0.0, -560.0]]
    """
    width = min(sizes.width_back, sizes.width_front) - EIGHTH
    return np.array([[0.0, 0.0], [width, 0.0], [width, -depth], [0.0, -depth]])


def trapezoid(sizes: Sizes, depth: float) -> FloatArray:
    """Cut to both widths and both squares, with half the worst gap off each side, a sixteenth at the least.

    The widths say how much it opens to the front in all; what the two squares say otherwise is shared.

    >>> trapezoid(Sizes(1003.175, 1003.175, 500.0, 0.01, -0.01), 500.0).round(3).tolist()
    [[0.0, 0.0], [1000.0, 0.0], [995.0, -500.0], [-5.0, -500.0]]
    """
    opens = (sizes.width_front - sizes.width_back) / sizes.front_out
    share = (opens - sizes.left_turn - sizes.right_turn) / 2
    left, right = sizes.left_turn + share, sizes.right_turn + share
    width = sizes.width_back - 2 * max(SIXTEENTH, sizes.worst_gap / 2)
    return np.array([[0.0, 0.0], [width, 0.0], [width + right * depth, -depth], [-left * depth, -depth]])


def scribed_blank(
    sizes: Sizes, depth: float, walls: Iterable[str] = ("left", "back", "right"), leave: float = HALF_INCH
) -> tuple[FloatArray, dict[str, float]]:
    """Leave half an inch on each edge to be scribed; return the blank and what was left on which edge.

    The blank is square: as wide as the greater width, and what is left.

    >>> blank, left = scribed_blank(Sizes(1000.0, 990.0, 500.0), 560.0, ("left", "back"))
    >>> blank.tolist()
    [[-12.7, 12.7], [1000.0, 12.7], [1000.0, -560.0], [-12.7, -560.0]]
    >>> left
    {'left': 12.7, 'back': 12.7}
    """
    left_over = dict.fromkeys(walls, leave)
    left, right = -left_over.get("left", 0.0), left_over.get("right", 0.0)
    right += max(sizes.width_back, sizes.width_front)
    back = left_over.get("back", 0.0)
    return np.array([[left, back], [right, back], [right, -depth], [left, -depth]]), left_over


def open_ended(sizes: Sizes, length: float) -> Sizes:
    """In a corner, where the piece ends free: its own length stands for both widths."""
    return replace(sizes, width_back=length, width_front=length)

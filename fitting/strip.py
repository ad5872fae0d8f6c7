"""Which widths a filler strip may have, which width of a cabinet leaves it them, and strips cut from one
board."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fitting.errors import BadInput
from fitting.piece import refuse_size

KERF = 25.4 / 8
"""mm; a saw kerf, 1/8 in (common practice, no source): what is narrower goes up in dust."""
NARROWEST = 19.05
"""mm; the narrowest strip worth cutting, 3/4 in; 3/4 to 1 in is common practice (no source)."""
WIDEST = 76.2
"""mm; the widest strip that still looks right, 3 in (common practice, no source)."""

Width = Literal["right", "no strip", "narrow", "wide"]


def judged(least: float, most: float, narrowest: float = NARROWEST, widest: float = WIDEST) -> Width:
    """Say of a strip, by its narrowest and widest place in mm, whether it can be cut and looks right.

    "no strip": somewhere narrower than a saw kerf. Of a strip that is both narrow and wide the first is said.

    >>> judged(3.0, 30.0), judged(12.0, 12.0), judged(25.0, 80.0), judged(25.0, 40.0)
    ('no strip', 'narrow', 'wide', 'right')
    """
    if not (math.isfinite(least) and math.isfinite(most) and least <= most):
        raise BadInput(f"strip: expected its narrowest and then its widest place in mm, got {least}, {most}")
    if least < KERF:
        return "no strip"
    if least < narrowest:
        return "narrow"
    return "wide" if most > widest else "right"


@dataclass(frozen=True)
class StripNeed:
    """What is asked of the strip at one side: its least width, and how much wider it gets by the wall
    (mm)."""

    least: float = NARROWEST
    taper: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a strip of no width, or that gets narrower than its least."""
        if not (
            math.isfinite(self.least) and self.least >= 0 and math.isfinite(self.taper) and self.taper >= 0
        ):
            raise BadInput(f"strip: expected a least width and a taper of 0 mm or more, got {self}")


def widest_box(
    between: float, needs: Sequence[StripNeed], step: float, widest: float = WIDEST
) -> float | None:
    """Return the widest a cabinet may be (mm) for its strips to have the widths that they need.

    Parameters
    ----------
    between : float
        From wall to wall at the narrowest place, less what is left open at a side with no strip, mm.
    needs : sequence of StripNeed
        Of each side that a strip closes: one or two.
    step : float
        The job's smallest fraction, mm; the cabinet's width is a multiple of it.
    widest : float
        The widest that a strip may be anywhere, mm.

    Returns
    -------
    float or None
        Nothing where a strip would have to be wider than `widest`, or no cabinet is left.

    Examples
    --------
    1500 between the walls, a narrow strip on one side, on the other a pull to pass; to the mm:

    >>> widest_box(1500.0, [StripNeed(19.05), StripNeed(38.0, 4.0)], 1.0)
    1442.0
    """
    refuse_size("step", step)
    if not math.isfinite(between):
        raise BadInput(f"between the walls: expected a length in mm, got {between}")
    most = between - sum(need.least for need in needs)
    # A whole number of steps that the binary fraction has just missed is that number.
    width = math.floor(most / step + 1e-9) * step
    spare = most - width
    if width <= 0 or any(need.least + need.taper + spare / len(needs) > widest for need in needs):
        return None
    return width


@dataclass(frozen=True)
class CutFrom:
    """Where a strip lies in the board that it is cut from: from which to which place along it (mm)."""

    name: str
    start: float
    end: float


def in_one_board(strips: Sequence[tuple[str, float]], kerf: float = KERF) -> tuple[CutFrom, ...]:
    """Lay out strips whose grain or profile runs on, one after the other, a saw cut between them.

    Parameters
    ----------
    strips : sequence of (name, length in mm)
        In the order in which they follow one another in place, from the left or from the bottom.
    kerf : float
        mm; what each cut takes.

    Returns
    -------
    tuple of CutFrom
        The last one ends where the board may.

    Examples
    --------
    >>> [(one.name, one.start, one.end) for one in in_one_board([("low", 800.0), ("high", 600.0)], 3.0)]
    [('low', 0.0, 800.0), ('high', 803.0, 1403.0)]
    """
    if not (math.isfinite(kerf) and kerf >= 0):
        raise BadInput(f"kerf: expected 0 mm or more, got {kerf}")
    found, start = [], 0.0
    for name, length in strips:
        refuse_size(f"strip `{name}`: length", length)
        found.append(CutFrom(name, start, start + length))
        start += length + kerf
    return tuple(found)

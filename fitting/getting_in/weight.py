"""What a piece weighs, and how many people it takes to lift it.

Figures for people are for lifts by healthy adults under the conditions given, no promise that a lift is safe.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from fitting.errors import BadInput

CAUTION: Final = (
    "Weights are worked out from tables and are rough, and people who lift together lift less than the sum "
    "of what each lifts alone. Whoever lifts decides; get help, use straps, a dolly or a lift, and keep to "
    "local rules on lifting."
)
"""To be shown with every lift."""

MOISTURE: Final = 1.08
"""Weight of wood at 8 % moisture over oven-dry weight, which the specific gravity below is based on."""
# kg/m3. Wood: NDS Table 12.3.3A specific gravity, oven-dry, times `MOISTURE`. The rest from memory.
DENSITY: Final[dict[str, float]] = {
    "douglas fir": 500 * MOISTURE,
    "hem-fir": 430 * MOISTURE,
    "spruce-pine-fir": 420 * MOISTURE,
    "southern pine": 550 * MOISTURE,
    "white pine": 360 * MOISTURE,
    "cedar": 360 * MOISTURE,
    "yellow poplar": 430 * MOISTURE,
    "red oak": 670 * MOISTURE,
    "white oak": 730 * MOISTURE,
    "soft maple": 580 * MOISTURE,
    # From memory.
    "black walnut": 610.0,
    "black cherry": 560.0,
    "hard maple": 705.0,
    "softwood plywood": 550.0,
    "hardwood plywood": 650.0,
    "birch plywood": 680.0,
    "particleboard": 680.0,
    "mdf": 750.0,
    "melamine": 700.0,
    "glass": 2500.0,
    "granite": 2700.0,
    "marble": 2700.0,
    "quartz": 2400.0,
    "solid surface": 1700.0,
    "porcelain": 2400.0,
}
"""kg/m3 by material."""

ALONE: Final = 23.0
"""kg; the load constant of the revised NIOSH lifting equation, 51 lb, at its best (from memory)."""
MOST_PEOPLE: Final = 3
"""More get in one another's way at a piece of joinery (judgement)."""
AWKWARD: Final = 25.0
"""cm; nearer than this the reach does not count."""


@dataclass(frozen=True)
class Lift:
    """Who can lift a piece.

    Attributes
    ----------
    kilograms : float
    limit : float
        What one person lifts there (kg).
    people : int or None
        How many it takes; None: more than three, so a machine, or in parts.
    ledger : bool
        It hangs on a wall, and one person cannot hold and fix it: a ledger, or a stand, carries it meanwhile.
    """

    kilograms: float
    limit: float
    people: int | None
    ledger: bool


def weigh(parts: Iterable[tuple[str, float]]) -> float:
    """Weigh parts (kg), each a material of `DENSITY` and a volume in mm3.

    Examples
    --------
    A top of birch plywood, 1500 x 600 x 18:

    >>> round(weigh([("birch plywood", 1500 * 600 * 18)]), 2)
    11.02
    """
    total = 0.0
    for material, volume in parts:
        if material not in DENSITY:
            raise BadInput(f"weight: expected one of {', '.join(sorted(DENSITY))}, got `{material}`")
        if not (math.isfinite(volume) and volume >= 0):
            raise BadInput(f"weight: {material}: expected a volume of 0 mm3 or more, got {volume}")
        total += DENSITY[material] * volume * 1e-9
    return total


def limit_alone(reach: float = 250.0, start: float = 750.0, travel: float = 0.0, turn: float = 0.0) -> float:
    """Give what one person lifts now and then with a good grip (kg), by the revised NIOSH equation.

    Parameters
    ----------
    reach : float
        From the ankles out to the hands (mm).
    start : float
        Height of the hands above the floor (mm), at the end of the lift that leaves less.
    travel : float
        How far up it goes (mm).
    turn : float
        Of the body (radians).

    Returns
    -------
    float
        ``23 (25 / H) (1 - 0.003 |V - 75|) (0.82 + 4.5 / D) (1 - 0.0032 A)``, cm and degrees; 0 beyond a
        reach of 63 cm, a height of 175 cm, or a turn of 135 degrees (from memory).

    Examples
    --------
    >>> limit_alone(), round(limit_alone(reach=500, start=0, travel=750), 2)
    (23.0, 7.84)
    """
    numbers = {"reach": reach, "start": start, "travel": travel, "turn": turn}
    for name, number in numbers.items():
        if not (math.isfinite(number) and number >= 0):
            raise BadInput(f"lift: {name}: expected 0 or more, got {number}")
    h, v, d, a = max(reach / 10, AWKWARD), start / 10, max(travel / 10, 25.0), math.degrees(turn)
    if h > 63 or v > 175 or a > 135:
        return 0.0
    return ALONE * (25 / h) * (1 - 0.003 * abs(v - 75)) * (0.82 + 4.5 / d) * (1 - 0.0032 * a)


def lift(kilograms: float, limit: float = ALONE, hung: bool = False) -> Lift:
    """Say who can lift a weight.

    Parameters
    ----------
    kilograms : float
    limit : float
        What one person lifts there, see `limit_alone` (kg).
    hung : bool
        It is held against a wall while it is fixed.

    Examples
    --------
    >>> lift(18, hung=True)
    Lift(kilograms=18, limit=23.0, people=1, ledger=True)
    >>> lift(30).people, lift(60).people, lift(70).people
    (2, 3, None)
    """
    for name, number in (("weight", kilograms), ("limit", limit)):
        if not (math.isfinite(number) and number >= 0):
            raise BadInput(f"lift: {name}: expected 0 kg or more, got {number}")
    people = next((n for n in range(1, MOST_PEOPLE + 1) if kilograms <= n * limit), None)
    return Lift(kilograms, limit, people, hung)

r"""A drawer's box out of its opening: what the slides and the lift need is taken off; and its parts.

Seen from above, the front below::

      |c|<--------- box --------->|c|      opening = box + 2 c, c the slide's clearance
      | |+-+--------------------+-+| |
      | || |        back        | || |     side: the box's whole depth
      | || |                    | || |
      | ||s|                    |s|| |     s: thickness of the stuff
      | || |        front       | || |
      | |+-+--------------------+-+| |

All sizes in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal, get_args

from fitting.errors import BadInput
from fitting.piece import refuse_size

Joint = Literal["butt", "rabbet", "dovetail"]

ABOVE, BELOW = 25.4 * 3 / 4, 25.4 / 4
"""mm kept clear above and below a box in its opening: 3/4 and 1/4 in (common practice, no source)."""
BOTTOM: Final = 25.4 / 4
"""mm; a bottom of 1/4 in nominal (common practice, no source): plough the groove to the real one."""
PLAY: Final = 25.4 / 32
"""mm of room for the bottom at the end of each groove (common practice, no source)."""
LEAST: Final = 1e-6
"""mm; what is less is nothing, left by adding up sizes."""
SLIDE_LENGTHS: Final = tuple(25.4 * inches for inches in range(10, 30, 2))
"""mm; side-mounted slides are sold from 10 to 28 in, every 2 (from memory)."""


@dataclass(frozen=True)
class DrawerPlan:
    """What is asked of a box; `clearance` is the slide's at each side, `stuff` the thickness of its walls.

    `joint`: `butt` has front and back between the sides; `rabbet` lets them into the sides by half
    their thickness; `dovetail` runs them through to the outside. `groove` is how deep the bottom goes in.
    """

    width: float
    height: float
    depth: float
    clearance: float
    stuff: float
    joint: Joint = "butt"
    above: float = ABOVE
    below: float = BELOW
    groove: float | None = None


@dataclass(frozen=True)
class BoxPart:
    """Parts that are alike: how many, and their finished sizes."""

    name: str
    quantity: int
    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class DrawerBox:
    """A box, over its outside, and its parts."""

    width: float
    height: float
    depth: float
    parts: tuple[BoxPart, ...]


def fit_drawer_box(plan: DrawerPlan) -> DrawerBox:
    """Make a box that runs in an opening.

    Raises
    ------
    BadInput
        Clearances that leave no box; how wide or high the opening must be is said.

    Examples
    --------
    >>> box = fit_drawer_box(DrawerPlan(400.0, 150.0, 500.0, 13.0, 12.0))
    >>> round(box.width, 1), round(box.height, 1), box.depth
    (374.0, 124.6, 500.0)
    >>> [(one.name, one.quantity, one.length) for one in box.parts][:2]
    [('side', 2, 500.0), ('front and back', 2, 350.0)]
    """
    _refuse(plan)
    stuff = plan.stuff
    groove = stuff / 2 if plan.groove is None else plan.groove
    width, height = plan.width - 2 * plan.clearance, plan.height - plan.above - plan.below
    inside, deep = width - 2 * stuff, plan.depth - 2 * stuff
    for what, size, need in (
        ("width", inside, 2 * (plan.clearance + stuff)),
        ("height", height, plan.above + plan.below),
        ("depth", deep, 2 * stuff),
    ):
        if size < LEAST:
            had = getattr(plan, what)
            raise BadInput(
                f"opening's {what}: expected more than {need:.1f} mm, got {had:g}: nothing is left"
            )
    let_in = {"butt": 0.0, "rabbet": stuff / 2, "dovetail": stuff}[plan.joint]
    in_grooves = 2 * (groove - PLAY)
    parts = (
        BoxPart("side", 2, plan.depth, height, stuff),
        BoxPart("front and back", 2, inside + 2 * let_in, height, stuff),
        BoxPart("bottom", 1, deep + in_grooves, inside + in_grooves, BOTTOM),
    )
    return DrawerBox(width, height, plan.depth, parts)


def longest_slide(clear_depth: float, lengths: Iterable[float] = SLIDE_LENGTHS, behind: float = 0.0) -> float:
    """Return the longest slide that goes into a case, mm; `behind` is kept free at its back.

    >>> round(longest_slide(550.0) / 25.4)
    20
    """
    refuse_size("clear depth", clear_depth)
    known = sorted(lengths)
    fitting = [one for one in known if one <= clear_depth - behind]
    if not fitting:
        least = f"{known[0]:g}" if known else "none"
        raise BadInput(f"expected room for a slide (shortest {least} mm), got {clear_depth - behind:g} mm")
    return fitting[-1]


def _refuse(plan: DrawerPlan) -> None:
    for what in ("width", "height", "depth", "stuff"):
        refuse_size(what, getattr(plan, what))
    for what in ("clearance", "above", "below"):
        if not (math.isfinite(getattr(plan, what)) and getattr(plan, what) >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {getattr(plan, what)}")
    if plan.joint not in get_args(Joint):
        raise BadInput(f"joint: expected one of {get_args(Joint)}, got {plan.joint!r}")
    if plan.groove is not None and not PLAY <= plan.groove < plan.stuff:
        raise BadInput(
            f"groove: expected {PLAY:.2f} mm or more and less than the stuff ({plan.stuff:g}), "
            f"got {plan.groove:g}"
        )

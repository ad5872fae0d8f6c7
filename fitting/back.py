"""A cabinet's back: in a rabbet, in a groove, or on the back; and the lip that is scribed to the wall.

Seen from above, the wall at the top; t the sides' thickness, d the depth of rabbet or groove::

    in a rabbet          in a groove          on the back
    +-+-------+-+        | |lip    | |        +-----------+   the back
    | +-------+ |        | +-------+ |        +-+-------+-+
    | |       | |        |d|       | |        | |       | |
    |t| inside| |        +-+       +-+        |t| inside| |

The box is as thick all around: sides, bottom and top.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, get_args

from fitting.errors import BadInput
from fitting.piece import refuse_size

Sits = Literal["in a rabbet", "in a groove", "on the back"]

PLAY: Final = 25.4 / 32
"""mm kept free at each edge of a back in a rabbet or groove, 1/32 in, so that it goes in when the box is
glued up and does not push it out of square (common practice, no source)."""
LEAST_BEHIND: Final = 25.4 / 4
"""mm of side that a groove must leave between its bottom and the outside, 1/4 in (judgement)."""


@dataclass(frozen=True)
class BackPlan:
    """A box's back; mm.

    `width` and `height` are the box's outside, `side` its sides' thickness, `groove` the depth of the
    rabbet or groove (of a back that lies on the box: 0), `play` what is kept free at each edge, `set_in`
    how far the back's outer face lies inside the box's back edges: the lip that is scribed to the wall.
    """

    width: float
    height: float
    side: float
    thickness: float
    sits: Sits = "in a rabbet"
    groove: float = 0.0
    play: float = PLAY
    set_in: float = 0.0


@dataclass(frozen=True)
class FittedBack:
    """A back; mm.

    `inside` is the box's width and height between sides, bottom and top. `bearing` is how wide it lies on
    the box, or in it, at each edge. `lip` is what may be planed off the box's back edges before the wall
    touches the back.
    """

    width: float
    height: float
    inside: tuple[float, float]
    bearing: float
    lip: float


def fit_back(plan: BackPlan) -> FittedBack:
    """Size a back for its box.

    Raises
    ------
    BadInput
        A rabbet or groove that cannot be, a back thicker than what it lies in: the least change is said.

    Examples
    --------
    A box 900 x 720 of 18 mm stuff; a groove 9 deep on each side and 1 mm of play:

    >>> back = fit_back(BackPlan(900, 720, 18, 6, "in a groove", groove=9, play=1, set_in=12))
    >>> back.width, back.height, back.inside, back.bearing, back.lip
    (880.0, 700.0, (864.0, 684.0), 8.0, 12.0)
    """
    _refuse(plan)
    inside = plan.width - 2.0 * plan.side, plan.height - 2.0 * plan.side
    if min(inside) <= 0:
        raise BadInput(
            f"sides: expected some that leave something between them, got {plan.side:g} in "
            f"{plan.width:g} x {plan.height:g} mm"
        )
    if plan.sits == "on the back":
        return FittedBack(plan.width, plan.height, inside, plan.side, 0.0)
    width, height = (one + 2.0 * (plan.groove - plan.play) for one in inside)
    return FittedBack(width, height, inside, float(plan.groove - plan.play), float(plan.set_in))


def least_lip(hump: float, kept: float = 0.0) -> float:
    """Return how far (mm) a back must be set in so that it clears a wall that stands out by `hump`.

    `kept` is what stays of the lip where the wall stands out most. That is how far the wall's foremost place
    lies before the line through the places where the box's sides touch it.

    >>> least_lip(6.0, kept=3.0)
    9.0
    """
    for what, size in (("hump", hump), ("kept", kept)):
        if not (math.isfinite(size) and size >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {size}")
    return hump + kept


def _refuse(plan: BackPlan) -> None:
    sizes = ("width", plan.width), ("height", plan.height), ("sides", plan.side), ("back", plan.thickness)
    for what, size in sizes:
        refuse_size(what, size)
    if plan.sits not in get_args(Sits):
        raise BadInput(f"sits: expected one of {get_args(Sits)}, got {plan.sits!r}")
    for what, size in (("groove", plan.groove), ("play", plan.play), ("set in", plan.set_in)):
        if not (math.isfinite(size) and size >= 0):
            raise BadInput(f"{what}: expected 0 mm or more, got {size}")
    if plan.sits == "on the back":
        if plan.groove or plan.set_in:
            raise BadInput("groove: expected none for a back that lies on the box, and no lip")
        return
    if not plan.play < plan.groove:
        raise BadInput(f"groove: expected more than the {plan.play:g} mm of play, got {plan.groove:g}")
    most = plan.side - LEAST_BEHIND if plan.sits == "in a groove" else plan.side
    if plan.groove > most:
        raise BadInput(f"groove: expected {most:g} mm or less in sides of {plan.side:g}, got {plan.groove:g}")

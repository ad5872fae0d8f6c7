"""The room: its unknowns, what readings observe of them, and what is known when all is adjusted."""

from fitting.site.known import KnownRoom, Ray, Residual, know_room
from fitting.site.plan import Corner, Covering, Feature, Plan
from fitting.site.prior import NEW_HOUSE, OLD_HOUSE, Prior, Wave
from fitting.site.readings import (
    Along,
    CornerTurn,
    Distance,
    Gaps,
    Height,
    Known,
    Leaning,
    Level,
    Spot,
    Tool,
    Touch,
)

__all__ = [
    "NEW_HOUSE",
    "OLD_HOUSE",
    "Along",
    "Corner",
    "CornerTurn",
    "Covering",
    "Distance",
    "Feature",
    "Gaps",
    "Height",
    "Known",
    "KnownRoom",
    "Leaning",
    "Level",
    "Plan",
    "Prior",
    "Ray",
    "Residual",
    "Spot",
    "Tool",
    "Touch",
    "Wave",
    "know_room",
]

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
    Leaning,
    Level,
    Spot,
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
    "KnownRoom",
    "Leaning",
    "Level",
    "Plan",
    "Prior",
    "Ray",
    "Residual",
    "Spot",
    "Touch",
    "Wave",
    "know_room",
]

"""The room: its unknowns, what readings observe of them, and what is known when all is adjusted."""

from fitting.site.know import know_room
from fitting.site.known import KnownRoom, Ray, Residual
from fitting.site.learn import learn
from fitting.site.plan import Corner, Covering, Feature, Plan
from fitting.site.prior import NEW_HOUSE, OLD_HOUSE, BuildUp, Prior, Ripple, Wave
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
    "BuildUp",
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
    "Ripple",
    "Spot",
    "Tool",
    "Touch",
    "Wave",
    "know_room",
    "learn",
]

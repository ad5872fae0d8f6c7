"""Pure computation for fitting built-ins: numbers in, numbers out; millimetres and radians.

The public names below load what they need when they are first used. `fitting.adjust`, `fitting.scribe`
and `fitting.allowance` are modules with a function of the same name in each.

Examples
--------
An alcove about 1500 wide, read at two depths, and a cabinet that stands in its middle:

>>> from fitting import CabinetPlan, Corner, Distance, Plan, Spot, fit_cabinet, know_room
>>> plan = Plan("back", ("left", "back", "right"),
...             (Corner("a", "left", "back"), Corner("b", "back", "right")))
>>> behind = Distance("behind", 1500.0, 0.5, "a", "b", 800.0, 800.0)
>>> ends = Spot("left", 500.0, "a"), Spot("right", 500.0, "b")
>>> before = Distance("before", 1494.0, 0.5, *ends, 800.0, 800.0)
>>> room = know_room(plan, [behind, before])
>>> box = fit_cabinet(room, CabinetPlan("back", 1400, 500, 100, 800, "left", "right"))
>>> round(box.sides["left"].least), round(box.sides["right"].least)
(47, 47)
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fitting.aim import Aimed, AimedSide, Clash, SidePin, best_place
    from fitting.back import BackPlan, FittedBack, fit_back
    from fitting.cabinet import CabinetPlan, FittedCabinet, fit_cabinet
    from fitting.chance import Chance, all_above
    from fitting.cleat import CleatPair, cleat_pair
    from fitting.contact import Contact, LeastScribe, least_scribe, straight_edge, vertical_plane
    from fitting.cut_out import CutOutPlan, FittedCutOut, fit_cut_outs
    from fitting.cutter import CutPath, cut_paths
    from fitting.doubt import Doubts, Suspicion, doubts
    from fitting.drawer_box import DrawerBox, DrawerPlan, fit_drawer_box
    from fitting.edge import FittedEdge, MeetingSide, StraightSide
    from fitting.entry import Entry, way_in
    from fitting.errors import BadInput, FittingError, Unsolvable
    from fitting.face_frame import FaceFrame, FaceFramePlan, fit_face_frame
    from fitting.filler import FillerPlan, FittedFiller, fit_filler
    from fitting.floor import LegsNeed, Standing, legs_need, stand
    from fitting.front import Front, even_fronts
    from fitting.getting_in.passage import Box, round_corner, through_doorway, up_stairs
    from fitting.getting_in.passing import Carry, Passing, Pose
    from fitting.getting_in.place_in import down_between, in_from_front, stand_up_in_place, straight_in
    from fitting.getting_in.planner import find_way
    from fitting.getting_in.tilt import cabinet_profile, drop_in, tilt_up
    from fitting.getting_in.weight import Lift, lift, limit_alone, weigh
    from fitting.inset_front import InsetFront, OpeningSizes, fit_inset_front
    from fitting.joint import Joint
    from fitting.light_strip import LaidOut, LightPlan, lay_out, least_dark
    from fitting.mirror import HungMirror, KeptClear, MirrorPlan, hang_mirror
    from fitting.next_reading import Advice, Candidate, advise, telling
    from fitting.notch import Notch, Obstacle
    from fitting.order import Knot, Relation, WorkOrder, order_of_work
    from fitting.outline import FittedOutline, fit_outline
    from fitting.oversize import RoughSize, rough_size
    from fitting.panel import FittedPanel, PanelPlan, fit_panel
    from fitting.piece import EdgePlan, TrimPlan
    from fitting.placement import Against, At, Between, Placed, place
    from fitting.pull_out import Sliding, lacking
    from fitting.shelf import FittedShelf, fit_shelf
    from fitting.site import (
        NEW_HOUSE,
        OLD_HOUSE,
        Along,
        Corner,
        CornerTurn,
        Covering,
        Distance,
        Feature,
        Gaps,
        Height,
        Known,
        KnownRoom,
        Leaning,
        Level,
        Plan,
        Prior,
        Ray,
        Spot,
        Tool,
        Touch,
        know_room,
        learn,
    )
    from fitting.splash import FittedSplash, Outlet, SplashPlan, fit_splash
    from fitting.stake import Outcome, Stake
    from fitting.standing import SideOf, Upright
    from fitting.stock import Blank, CutPlan, Sheet, cut_plan
    from fitting.strip import StripNeed, in_one_board, judged, widest_box
    from fitting.swing import Pin, Pull, Strike, Swing, pin_of, reached, strike
    from fitting.toe_kick import FittedToeKick, ToeKickPlan, fit_toe_kick, kick_runs
    from fitting.top import FittedTop, TopPlan, fit_top

_HOME = {
    "aim": ("Aimed", "AimedSide", "Clash", "SidePin", "best_place"),
    "back": ("BackPlan", "FittedBack", "fit_back"),
    "cabinet": ("CabinetPlan", "FittedCabinet", "fit_cabinet"),
    "chance": ("Chance", "all_above"),
    "cleat": ("CleatPair", "cleat_pair"),
    "contact": ("Contact", "LeastScribe", "least_scribe", "straight_edge", "vertical_plane"),
    "cut_out": ("CutOutPlan", "FittedCutOut", "fit_cut_outs"),
    "cutter": ("CutPath", "cut_paths"),
    "doubt": ("Doubts", "Suspicion", "doubts"),
    "drawer_box": ("DrawerBox", "DrawerPlan", "fit_drawer_box"),
    "edge": ("FittedEdge", "MeetingSide", "StraightSide"),
    "entry": ("Entry", "way_in"),
    "errors": ("BadInput", "FittingError", "Unsolvable"),
    "face_frame": ("FaceFrame", "FaceFramePlan", "fit_face_frame"),
    "filler": ("FillerPlan", "FittedFiller", "fit_filler"),
    "floor": ("LegsNeed", "Standing", "legs_need", "stand"),
    "front": ("Front", "even_fronts"),
    "getting_in.passage": ("Box", "round_corner", "through_doorway", "up_stairs"),
    "getting_in.passing": ("Carry", "Passing", "Pose"),
    "getting_in.place_in": ("down_between", "in_from_front", "stand_up_in_place", "straight_in"),
    "getting_in.planner": ("find_way",),
    "getting_in.tilt": ("cabinet_profile", "drop_in", "tilt_up"),
    "getting_in.weight": ("Lift", "lift", "limit_alone", "weigh"),
    "inset_front": ("InsetFront", "OpeningSizes", "fit_inset_front"),
    "joint": ("Joint",),
    "light_strip": ("LaidOut", "LightPlan", "lay_out", "least_dark"),
    "mirror": ("HungMirror", "KeptClear", "MirrorPlan", "hang_mirror"),
    "next_reading": ("Advice", "Candidate", "advise", "telling"),
    "notch": ("Notch", "Obstacle"),
    "order": ("Knot", "Relation", "WorkOrder", "order_of_work"),
    "outline": ("FittedOutline", "fit_outline"),
    "oversize": ("RoughSize", "rough_size"),
    "panel": ("FittedPanel", "PanelPlan", "fit_panel"),
    "piece": ("EdgePlan", "TrimPlan"),
    "placement": ("Against", "At", "Between", "Placed", "place"),
    "pull_out": ("Sliding", "lacking"),
    "shelf": ("FittedShelf", "fit_shelf"),
    "site": (
        *("NEW_HOUSE", "OLD_HOUSE", "Along", "Corner", "CornerTurn", "Covering", "Distance", "Feature"),
        *("Gaps", "Height", "Known", "KnownRoom", "Leaning", "Level", "Plan", "Prior", "Ray", "Spot", "Tool"),
        *("Touch", "know_room", "learn"),
    ),
    "splash": ("FittedSplash", "Outlet", "SplashPlan", "fit_splash"),
    "stake": ("Outcome", "Stake"),
    "standing": ("SideOf", "Upright"),
    "stock": ("Blank", "CutPlan", "Sheet", "cut_plan"),
    "strip": ("StripNeed", "in_one_board", "judged", "widest_box"),
    "swing": ("Pin", "Pull", "Strike", "Swing", "pin_of", "reached", "strike"),
    "toe_kick": ("FittedToeKick", "ToeKickPlan", "fit_toe_kick", "kick_runs"),
    "top": ("FittedTop", "TopPlan", "fit_top"),
}
_MODULE = {name: module for module, names in _HOME.items() for name in names}

__all__ = [
    "NEW_HOUSE",
    "OLD_HOUSE",
    "Advice",
    "Against",
    "Aimed",
    "AimedSide",
    "Along",
    "At",
    "BackPlan",
    "BadInput",
    "Between",
    "Blank",
    "Box",
    "CabinetPlan",
    "Candidate",
    "Carry",
    "Chance",
    "Clash",
    "CleatPair",
    "Contact",
    "Corner",
    "CornerTurn",
    "Covering",
    "CutOutPlan",
    "CutPath",
    "CutPlan",
    "Distance",
    "Doubts",
    "DrawerBox",
    "DrawerPlan",
    "EdgePlan",
    "Entry",
    "FaceFrame",
    "FaceFramePlan",
    "Feature",
    "FillerPlan",
    "FittedBack",
    "FittedCabinet",
    "FittedCutOut",
    "FittedEdge",
    "FittedFiller",
    "FittedOutline",
    "FittedPanel",
    "FittedShelf",
    "FittedSplash",
    "FittedToeKick",
    "FittedTop",
    "FittingError",
    "Front",
    "Gaps",
    "Height",
    "HungMirror",
    "InsetFront",
    "Joint",
    "KeptClear",
    "Knot",
    "Known",
    "KnownRoom",
    "LaidOut",
    "Leaning",
    "LeastScribe",
    "LegsNeed",
    "Level",
    "Lift",
    "LightPlan",
    "MeetingSide",
    "MirrorPlan",
    "Notch",
    "Obstacle",
    "OpeningSizes",
    "Outcome",
    "Outlet",
    "PanelPlan",
    "Passing",
    "Pin",
    "Placed",
    "Plan",
    "Pose",
    "Prior",
    "Pull",
    "Ray",
    "Relation",
    "RoughSize",
    "Sheet",
    "SideOf",
    "SidePin",
    "Sliding",
    "SplashPlan",
    "Spot",
    "Stake",
    "Standing",
    "StraightSide",
    "Strike",
    "StripNeed",
    "Suspicion",
    "Swing",
    "ToeKickPlan",
    "Tool",
    "TopPlan",
    "Touch",
    "TrimPlan",
    "Unsolvable",
    "Upright",
    "WorkOrder",
    "advise",
    "all_above",
    "best_place",
    "cabinet_profile",
    "cleat_pair",
    "cut_paths",
    "cut_plan",
    "doubts",
    "down_between",
    "drop_in",
    "even_fronts",
    "find_way",
    "fit_back",
    "fit_cabinet",
    "fit_cut_outs",
    "fit_drawer_box",
    "fit_face_frame",
    "fit_filler",
    "fit_inset_front",
    "fit_outline",
    "fit_panel",
    "fit_shelf",
    "fit_splash",
    "fit_toe_kick",
    "fit_top",
    "hang_mirror",
    "in_from_front",
    "in_one_board",
    "judged",
    "kick_runs",
    "know_room",
    "lacking",
    "lay_out",
    "learn",
    "least_dark",
    "least_scribe",
    "legs_need",
    "lift",
    "limit_alone",
    "order_of_work",
    "pin_of",
    "place",
    "reached",
    "rough_size",
    "round_corner",
    "stand",
    "stand_up_in_place",
    "straight_edge",
    "straight_in",
    "strike",
    "telling",
    "through_doorway",
    "tilt_up",
    "up_stairs",
    "vertical_plane",
    "way_in",
    "weigh",
    "widest_box",
]


def __getattr__(name: str) -> object:
    """Load a public name from its module, so that asking for one does not load shapely for all."""
    if name not in _MODULE:
        raise AttributeError(f"module `fitting` has no public name `{name}`")
    return getattr(import_module(f"fitting.{_MODULE[name]}"), name)

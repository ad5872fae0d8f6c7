"""A splash: it stands on a level top, its back to the wall, and hides the gap behind the top's edge.

Seen on its show face, facing the wall: x right, y up from its lower edge, which is straight and level as
the top is. Its datum is the lower edge and a free end, or, between two walls, the lower edge and a centre
line. At a corner one splash runs through to the wall and the other butts on its face; usually the one at
the back runs through (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from fitting.chance import Chance, draws_of
from fitting.edge import MeetingSide, StraightSide, refuse_gap
from fitting.errors import BadInput
from fitting.joint import Joint
from fitting.notch import LARGEST, Obstacle, Side, points_at
from fitting.outline import FittedOutline, fit_outline
from fitting.piece import EdgePlan, meeting, reaches, refuse_size, refuse_wall
from fitting.placement import Against, At, Between, Lateral, Placed, Spotted, place
from fitting.site import KnownRoom
from fitting.stake import Outcome
from fitting.stations import stations
from fitting.top import FittedTop

FloatArray = NDArray[np.float64]
End = Literal["left", "right"]

CAULK: Final = 25.4 / 8
"""mm of a splash's thickness that must stand on the top, to be caulked, 1/8 in: what is left of its thickness
hides a gap (common practice, no source)."""
UNDER_PLATE: Final = 25.4 / 4
"""mm by which an outlet's plate covers the edge of its cut-out all around, 1/4 in (common practice, no
source)."""
DRAWS: Final = 1000
"""Rooms that are drawn for the chance that it goes in."""


@dataclass(frozen=True)
class Outlet:
    """An outlet or switch, by the feature of its name: its plate's size, and its centre's height (mm).

    `up_sd` is how unsure that height is.
    """

    name: str
    width: float
    height: float
    up: float
    up_sd: float = 0.0


@dataclass(frozen=True)
class SplashPlan:
    """A splash; sizes in mm.

    `left` and `right` are the walls at its ends, facing its own; an end with none is free. `length` is
    needed where an end is: from the other wall's foremost place, or where both are free, from end to end,
    starting `out` right of `mark`. `bottom` is the height of the top's upper face.
    """

    wall: str
    bottom: float
    height: float
    thickness: float
    left: EdgePlan | None = None
    right: EdgePlan | None = None
    length: float | None = None
    mark: str | None = None
    out: float = 0.0
    outlets: tuple[Outlet, ...] = ()
    confidence: float = 0.99

    @property
    def ends(self) -> dict[End, EdgePlan]:
        """The ends that are at a wall."""
        named: dict[End, EdgePlan | None] = {"left": self.left, "right": self.right}
        return {name: edge for name, edge in named.items() if edge is not None}

    @property
    def datum(self) -> Literal["left end", "right end", "centre line"]:
        """Where lengths are measured from."""
        if self.right is None:
            return "right end" if self.left is not None else "left end"
        return "left end" if self.left is None else "centre line"


@dataclass(frozen=True, eq=False)
class FittedSplash:
    """A splash in its place; `outline` in its own frame, its origin at `datum_x` of the placed one.

    `behind` (k,) is the gap behind its upper edge at `behind_at` (k,), x of its own frame. `unsure` gives
    for each outlet how far off its place may be (mm), at the confidence asked for; `outcome` how likely it
    goes in between the walls at its ends, nothing where it meets none.
    """

    plan: SplashPlan
    placed: Placed
    outline: FittedOutline
    datum_x: float
    behind_at: FloatArray
    behind: FloatArray
    unsure: Mapping[str, float]
    outcome: Outcome | None

    @property
    def length(self) -> float:
        """Its length along the lower edge, from end to end (mm)."""
        foot = self.outline.outline[:, 0]
        return float(foot.max() - foot.min())

    @property
    def gap_behind(self) -> float:
        """The greatest gap behind its upper edge (mm), which caulk or planing has to close."""
        return float(self.behind.max())

    def bearing(self, top: FittedTop, side: Side) -> float:
        """Return how far a top reaches under it where it does least (mm).

        Below `CAULK` the gap behind the top's edge shows, or cannot be caulked.
        """
        edge = top.outline.edges[side]
        datum_x, front = top.datum
        points = points_at(side, edge.stations, edge.wood)
        mine = [
            self.placed.frame.to_piece(*top.placed.frame.to_room(datum_x + x, front + y)) for x, y in points
        ]
        start, end = self._span
        over = [y for x, y in mine if start <= x <= end]
        if not over:
            raise BadInput(f"the top's {side} edge: expected one under the splash, got one beside it")
        return min(over)

    @property
    def _span(self) -> tuple[float, float]:
        foot = self.outline.outline[:, 0] + self.datum_x
        return float(foot.min()), float(foot.max())


def hidden_gap(thickness: float, caulk: float = CAULK) -> float:
    """Return the widest gap behind a top's edge that a splash hides (mm).

    >>> hidden_gap(19.0, caulk=3.0)
    16.0
    """
    refuse_size("thickness", thickness)
    refuse_gap("caulk", caulk)
    return max(thickness - caulk, 0.0)


def fit_splash(
    room: KnownRoom, plan: SplashPlan, left: FittedSplash | None = None, right: FittedSplash | None = None
) -> FittedSplash:
    """Give a splash its length, its ends and its cut-outs.

    Parameters
    ----------
    room, plan
    left, right : FittedSplash, optional
        A splash that runs through at that end, on whose face this one butts.

    Raises
    ------
    BadInput
        A free end without a length, a wall that does not exist, sizes that no splash has.

    Examples
    --------
    In a square corner the back splash runs through, 900 long, and the left one, 560 from the back wall to
    the top's front edge, is shorter by its thickness of 18:

    >>> from fitting.site import Corner, CornerTurn, Plan, know_room
    >>> room = know_room(
    ...     Plan("back", ("left", "back"), (Corner("c", "left", "back"),)),
    ...     [CornerTurn("square", 0.0, 1e-4, "c", 500.0, 500.0, 850.0)],
    ... )
    >>> back = fit_splash(room, SplashPlan("back", 860, 100, 18, EdgePlan("left", "net"), length=900))
    >>> side = fit_splash(
    ...     room, SplashPlan("left", 860, 100, 18, right=EdgePlan("back", "net"), length=560), right=back
    ... )
    >>> round(back.length, 2), round(side.length, 2), round(back.gap_behind, 2)
    (900.0, 542.0, 0.0)
    """
    _refuse(room, plan)
    placed = _placed(room, plan)
    through: dict[End, FittedSplash | None] = {"left": left, "right": right}
    lines = _lines(placed, plan, through)
    wider = _lacking(lines, plan) / 2
    if wider > 0:
        ends = {name: _widened(edge, wider) for name, edge in plan.ends.items()}
        plan = replace(plan, left=ends.get("left"), right=ends.get("right"))
    return _fit(placed, plan, through, _outcome(lines, plan))


def _widened(edge: EdgePlan, wider: float) -> EdgePlan:
    """Widen the gap of an end for what is unknown, up to half of what may stay, as those of tops."""
    return replace(edge, gap=max(edge.gap, min(edge.gap + wider, edge.greatest / 2)))


def _lines(
    placed: Placed, plan: SplashPlan, through: Mapping[End, FittedSplash | None]
) -> dict[End, FloatArray]:
    """Draw by how much the walls at its ends are farther away than expected, over its height (draws, k).

    It lies on the wall behind and can only be pushed along it. At an end that butts on another splash
    nothing binds: the other end is free.
    """
    ends = [end for end in plan.ends if through[end] is None]
    ups = stations(0.0, plan.height)
    places = [
        reaches(end, plan.ends[end].wall, [_deeper(placed, plan, end, 0.0, float(up)) for up in ups])
        for end in ends
    ]
    if not ends:
        return {}
    joint = placed.measure([one for some in places for one in some])
    drawn = draws_of(joint, DRAWS) - joint.mean
    return {end: drawn[:, k * ups.size : (k + 1) * ups.size] for k, end in enumerate(ends)}


def _lacking(lines: Mapping[End, FloatArray], plan: SplashPlan) -> float:
    """Return how much more gap in all it needs to go in at the confidence asked for (mm)."""
    if len(lines) < 2:
        return 0.0
    room = sum(off.min(axis=1) + plan.ends[end].gap for end, off in lines.items())
    return max(0.0, -float(np.quantile(room, 1 - plan.confidence, method="lower")))


def _outcome(lines: Mapping[End, FloatArray], plan: SplashPlan) -> Outcome | None:
    """Say how likely there is a place along the wall where it goes in, and no gap is wider than may stay."""
    if not lines:
        return None
    # Pushed by s to the left: the gaps at the left are g - s, those at the right g + s.
    low, high = np.full(DRAWS, -np.inf), np.full(DRAWS, np.inf)
    fits_low, fits_high = low.copy(), high.copy()
    for end, off in lines.items():
        gaps, greatest = off + plan.ends[end].gap, plan.ends[end].greatest
        least, most = gaps.min(axis=1), gaps.max(axis=1) - greatest
        if end == "left":
            fits_high = np.minimum(fits_high, least)
            low, high = np.maximum(low, most), np.minimum(high, least)
        else:
            fits_low = np.maximum(fits_low, -least)
            low, high = np.maximum(low, -least), np.minimum(high, -most)
    goes_in, close = Chance.of(fits_low <= fits_high), Chance.of(low <= high)
    return Outcome(goes_in, close, None, close)


def _placed(room: KnownRoom, plan: SplashPlan) -> Placed:
    lateral, extent = _held(plan)
    return place(room, plan.wall, lateral, extent, plan.thickness, plan.bottom, plan.bottom + plan.height)


def _held(plan: SplashPlan) -> tuple[Lateral, tuple[float, float] | None]:
    if plan.left is not None and plan.right is not None:
        return Between(plan.left.wall, plan.right.wall), None
    if plan.length is None:
        raise BadInput("a splash with a free end needs its length")
    if plan.left is not None:
        return Against("left", plan.left.wall), (0.0, plan.length)
    if plan.right is not None:
        return Against("right", plan.right.wall), (-plan.length, 0.0)
    if plan.mark is None:
        raise BadInput("a splash whose ends are both free needs a corner or mark that it is measured from")
    return At(plan.mark, plan.out), (0.0, plan.length)


def _fit(
    placed: Placed,
    plan: SplashPlan,
    through: Mapping[End, FittedSplash | None],
    outcome: Outcome | None,
) -> FittedSplash:
    length = plan.length or 0.0
    at_datum = {"right end": length, "left end": -length if plan.right else 0.0, "centre line": 0.0}
    datum_x = at_datum[plan.datum]
    ups = stations(0.0, plan.height)
    made: dict[End, MeetingSide | StraightSide] = {}
    for name, sign in (("left", -1.0), ("right", 1.0)):
        end: End = "left" if name == "left" else "right"
        edge = plan.ends.get(end)
        if edge is None:
            made[end] = StraightSide(0.0 if plan.datum == f"{end} end" else sign * length)
        else:
            made[end] = _at_wall(placed, plan, end, edge, ups, datum_x, through[end])
    obstacles, unsure = _outlets(placed, plan, datum_x)
    outline = fit_outline(
        made["left"],
        made["right"],
        StraightSide(0.0),
        StraightSide(plan.height),
        obstacles,
        confidence=plan.confidence,
    )
    if not outline.outline.size:
        raise BadInput("nothing of it is left between its ends and beside its cut-outs: expected some wood")
    foot = outline.outline[:, 0]
    at = stations(float(foot.min()), float(foot.max()))
    behind = placed.expect(
        reaches("back", plan.wall, [(datum_x + x, plan.thickness, plan.bottom + plan.height) for x in at])
    )
    return FittedSplash(plan, placed, outline, datum_x, at, behind, unsure, outcome)


def _at_wall(
    placed: Placed,
    plan: SplashPlan,
    end: End,
    edge: EdgePlan,
    ups: FloatArray,
    datum_x: float,
    through: FittedSplash | None,
) -> MeetingSide:
    """Return an end at its wall, or at the face of the splash that runs through before it."""
    places = [_deeper(placed, plan, end, datum_x, float(up)) for up in ups]
    reach = placed.measure(reaches(end, edge.wall, places))
    if through is None:
        return meeting(edge, ups, reach)
    # The other splash moves with its wall, so how unsure that is stays; it is true and plumb, so its face is
    # where it is nearest at each height.
    face = min(_to_face(placed, through, end, datum_x, deep) for deep in (0.0, plan.thickness))
    return MeetingSide(ups, Joint(np.full(ups.size, face), reach.covariance), "net", edge.gap, edge.saw)


def _deeper(
    placed: Placed, plan: SplashPlan, end: End, datum_x: float, up: float
) -> tuple[float, float, float]:
    """Return where across its thickness an end is nearer to its wall, at a height above its lower edge."""
    wall = plan.ends[end].wall
    places = [(datum_x, deep, plan.bottom + up) for deep in (0.0, plan.thickness)]
    return places[int(np.argmin(placed.expect(reaches(end, wall, places))))]


def _to_face(placed: Placed, through: FittedSplash, end: End, datum_x: float, deep: float) -> float:
    """Return how far it is from the datum outward to the face of another splash, `deep` behind one's own."""
    mine, other = placed.frame, through.placed.frame
    # Points of one's own line x = datum + s, y = deep; the face of the other is where its y is 0.
    start = other.to_piece(*mine.to_room(datum_x, deep))[1]
    ahead = other.to_piece(*mine.to_room(datum_x + 1.0, deep))[1]
    if abs(ahead - start) < 0.1:
        raise BadInput(f"the splash at the {end} runs along this one: expected one across its end")
    sign = -1.0 if end == "left" else 1.0
    return sign * start / (start - ahead)


def _outlets(placed: Placed, plan: SplashPlan, datum_x: float) -> tuple[Sequence[Obstacle], dict[str, float]]:
    """Return what is cut out for outlets, which their plates cover, and how unsure each place is."""
    found, unsure = [], {}
    for one in plan.outlets:
        place_of = placed.measure([Spotted(one.name, one.up, "x")])
        x, y = float(place_of.mean[0]) - datum_x, one.up - plan.bottom
        half, tall = one.width / 2.0 - UNDER_PLATE, one.height / 2.0 - UNDER_PLATE
        ring = [(x - half, y - tall), (x + half, y - tall), (x + half, y + tall), (x - half, y + tall)]
        found.append(Obstacle(one.name, np.array(ring), 0.0))
        quantile = NormalDist().inv_cdf((1 + plan.confidence) / 2)
        unsure[one.name] = quantile * max(float(place_of.sd[0]), one.up_sd)
    return found, unsure


def _refuse(room: KnownRoom, plan: SplashPlan) -> None:
    sizes = [("height", plan.height), ("thickness", plan.thickness)]
    sizes += [("length", plan.length)] if plan.length is not None else []
    for what, size in sizes:
        refuse_size(what, size)
    for what, at in (("bottom", plan.bottom), ("out", plan.out)):
        if not abs(at) <= LARGEST:
            raise BadInput(f"{what}: expected a length within 60 m, got {at} mm")
    for wall in (plan.wall, *(edge.wall for edge in plan.ends.values())):
        refuse_wall(room, wall)
    for end, edge in plan.ends.items():
        refuse_gap("gap", edge.gap)
        if edge.finish != "net":
            raise BadInput(f"{end} end: expected one cut net, got {edge.finish!r}")
    for one in plan.outlets:
        for what, size in (("width", one.width), ("height", one.height)):
            refuse_size(f"{one.name}: {what}", size - 2 * UNDER_PLATE)

"""Cut-outs in a flat piece: their rings, the wood left around them, and what must carry the piece there.

Frame of the piece: x right, y to the back, mm, origin at its datum. A cut-out's place is its centre.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon  # type: ignore[import-untyped]

from fitting.errors import BadInput
from fitting.notch import OUTWARD, SIDES, Side

FloatArray = NDArray[np.float64]
Shape = Literal["rectangle", "oval"]

OFF: Final = 0.02
"""mm; a chord of a curve is off it by no more than this: below any saw."""
LEAST: Final = 50.8
"""mm left around a basin's cut-out, 2 in (common practice, no source)."""
LEAST_SMALL: Final = 19.05
"""mm left around a hole for a faucet or a pipe, 3/4 in (common practice, no source)."""
SMALL: Final = 101.6
"""mm; a cut-out no wider than this, 4 in, is a hole, and the piece needs no bearers at it."""
BEARER_OFF: Final = 25.4
"""mm from a cut-out's side to the bearer beside it, 1 in (common practice, no source)."""

OPPOSITE: Final[dict[Side, Side]] = {"left": "right", "right": "left", "front": "back", "back": "front"}


@dataclass(frozen=True)
class CutOutPlan:
    """A cut-out: shape, sizes and centre (mm), a rectangle's corner radius, and what must stay around it."""

    name: str
    shape: Shape
    width: float
    depth: float
    x: float
    y: float
    radius: float = 0.0
    least: float | None = None

    @property
    def kept(self) -> float:
        """The wood that must stay around it (mm): what is asked, or what is usual for its size."""
        if self.least is not None:
            return self.least
        return LEAST if max(self.width, self.depth) > SMALL else LEAST_SMALL


@dataclass(frozen=True, eq=False)
class FittedCutOut:
    """A cut-out in its piece.

    Attributes
    ----------
    plan : CutOutPlan
    ring : array (n, 2)
        Counter-clockwise, the first corner not repeated.
    left_over : mapping of Side to float
        Wood between it and the piece's edge on each side, along that side's direction, at the narrowest
        place (mm); below 0 it breaks through by so much.
    nearest : float
        Least distance to the piece's outline in any direction, notches included; 0 where it breaks through.
    between : mapping of str to float
        Least distance to each other cut-out (mm); 0 where they overlap.
    parts : bool
        Whether it parts the piece in two or leaves nothing of it.
    bearers : tuple[float, ...]
        x where bearers run front to back beside it; none at a hole.
    """

    plan: CutOutPlan
    ring: FloatArray
    left_over: Mapping[Side, float]
    nearest: float
    between: Mapping[str, float]
    parts: bool
    bearers: tuple[float, ...]

    @property
    def breaks(self) -> tuple[Side, ...]:
        """The sides that it breaks through."""
        return tuple(side for side in SIDES if self.left_over[side] <= 0)

    @property
    def thin(self) -> tuple[Side, ...]:
        """The sides where less wood stays than must."""
        return tuple(side for side in SIDES if self.left_over[side] < self.plan.kept)

    def mend(self, side: Side) -> tuple[float, float]:
        """Return how far it must move away from a side, and how much smaller it must become that way (mm).

        One of the two is 0: it moves where the other side has the wood for that, else it is made smaller
        about the middle of what there is.

        >>> ring = [(0, 0), (600, 0), (600, 400), (0, 400)]
        >>> (near,) = fit_cut_outs(ring, [CutOutPlan("bowl", "rectangle", 300, 200, 300, 110)])
        >>> [round(one, 1) for one in near.mend("front")]
        [40.8, 0.0]
        """
        lacking = self.plan.kept - self.left_over[side]
        spare = self.left_over[OPPOSITE[side]] - self.plan.kept
        if lacking <= 0:
            return 0.0, 0.0
        return (lacking, 0.0) if spare >= lacking else (0.0, lacking - spare)


def cut_out_ring(plan: CutOutPlan) -> FloatArray:
    """Return a cut-out's ring (n, 2), counter-clockwise, curves drawn out to 0.02 mm.

    Raises
    ------
    BadInput
        A size that is none, or a corner radius that its sides have no room for.

    Examples
    --------
    >>> ring = cut_out_ring(CutOutPlan("hole", "rectangle", 40, 20, 100, 50))
    >>> ring.tolist()
    [[80.0, 40.0], [120.0, 40.0], [120.0, 60.0], [80.0, 60.0]]
    """
    half_width, half_depth = plan.width / 2, plan.depth / 2
    if not (0 < plan.width < 20_000 and 0 < plan.depth < 20_000):
        raise BadInput(
            f"{plan.name}: expected a width and a depth above 0 and under 20 m, "
            f"got {plan.width:g} by {plan.depth:g} mm"
        )
    if plan.shape == "oval":
        turns = np.linspace(0, 2 * math.pi, _chords(max(half_width, half_depth), 4), endpoint=False)
        ring = np.column_stack([half_width * np.cos(turns), half_depth * np.sin(turns)])
        return np.asarray(ring + np.array([plan.x, plan.y]))
    radius = plan.radius
    if not 0 <= radius <= min(half_width, half_depth):
        raise BadInput(
            f"{plan.name}: expected a corner radius of at most {min(half_width, half_depth):g} mm, half its "
            f"lesser side, got {radius:g} mm"
        )
    return np.asarray(_rounded(half_width, half_depth, radius) + np.array([plan.x, plan.y]))


def cut_out_arcs(plan: CutOutPlan) -> FloatArray:
    """Return a cut-out's ring in lines and true arcs, (n, 3): x, y and the bulge of what starts there.

    A bulge is the tangent of a quarter of the arc, positive counter-clockwise. An oval that is no circle is
    made of no arcs: of it nothing comes back, shape (0, 3), and `cut_out_ring` has its chords.

    Raises
    ------
    BadInput
        As `cut_out_ring`.

    Examples
    --------
    >>> cut_out_arcs(CutOutPlan("hole", "oval", 30, 30, 100, 50)).round(4).tolist()[0]
    [115.0, 50.0, 0.4142]
    >>> len(cut_out_arcs(CutOutPlan("bowl", "rectangle", 400, 300, 0, 0, radius=25)))
    8
    """
    ring = cut_out_ring(plan)
    quarter, centre = math.tan(math.pi / 8), np.array([plan.x, plan.y])
    if plan.shape == "oval":
        if plan.width != plan.depth:
            return np.empty((0, 3))
        cross = np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]) * plan.width / 2
        return np.column_stack([cross + centre, np.full(4, quarter)])
    if not plan.radius:
        return np.column_stack([ring, np.zeros(len(ring))])
    ends = []
    for across, deep in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        corner = np.array([across * plan.width / 2, deep * plan.depth / 2]) + centre
        along, inward = np.array([-across * plan.radius, 0.0]), np.array([0.0, -deep * plan.radius])
        first, last = (inward, along) if across == deep else (along, inward)
        ends += [(*(corner + first), quarter), (*(corner + last), 0.0)]
    # Where a radius takes the whole side, two arcs meet, and their shared end is written once.
    kept = [
        end for end, nxt in zip(ends, [*ends[1:], ends[0]], strict=True) if math.dist(end[:2], nxt[:2]) > 0
    ]
    return np.array(kept)


def _rounded(half_width: float, half_depth: float, radius: float) -> FloatArray:
    corners = ((-1, -1, math.pi), (1, -1, 1.5 * math.pi), (1, 1, 0.0), (-1, 1, 0.5 * math.pi))
    parts = []
    for across, deep, start in corners:
        turns = start + np.linspace(0, math.pi / 2, _chords(radius, 1) + 1) if radius else np.array([start])
        centre = across * (half_width - radius), deep * (half_depth - radius)
        parts.append(np.column_stack([np.cos(turns), np.sin(turns)]) * radius + centre)
    return np.concatenate(parts)


def _chords(radius: float, quarters: int) -> int:
    """Return how many chords keep within `OFF` of an arc of so many quarters."""
    if radius <= OFF:
        return quarters
    each = 2 * math.acos(1 - OFF / radius)
    return quarters * max(2, math.ceil(math.pi / 2 / each))


def fit_cut_outs(
    outline: Sequence[Sequence[float]] | FloatArray, plans: Sequence[CutOutPlan]
) -> tuple[FittedCutOut, ...]:
    """Place cut-outs in a finished outline and look at the wood that stays around each.

    Parameters
    ----------
    outline
        The piece's finished outline (n, 2), in its frame.
    plans
        The cut-outs, in the same frame; names tell them apart.

    Raises
    ------
    BadInput
        As `cut_out_ring`; or an outline that is no polygon.

    Examples
    --------
    >>> ring = [(0, 0), (600, 0), (600, 400), (0, 400)]
    >>> (bowl,) = fit_cut_outs(ring, [CutOutPlan("bowl", "rectangle", 300, 200, 200, 210)])
    >>> {side: round(left) for side, left in bowl.left_over.items()}
    {'left': 50, 'right': 250, 'front': 110, 'back': 90}
    >>> bowl.breaks, bowl.thin, bowl.parts
    ((), ('left',), False)
    """
    wood = Polygon(outline)
    if len(outline) < 3 or not wood.is_valid or wood.area <= 0:
        raise BadInput("expected an outline of 3 corners or more that does not cross itself")
    edges = np.asarray(outline, dtype=np.float64)
    rings = {plan.name: cut_out_ring(plan) for plan in plans}
    shapes = {name: Polygon(ring) for name, ring in rings.items()}
    found = []
    for plan in plans:
        ring, shape = rings[plan.name], shapes[plan.name]
        rest = wood.difference(shape)
        is_inside = wood.contains(shape)
        others = {name: shape.distance(other) for name, other in shapes.items() if name != plan.name}
        is_hole = max(plan.width, plan.depth) <= SMALL
        ends = (float(ring[:, 0].min()) - BEARER_OFF, float(ring[:, 0].max()) + BEARER_OFF)
        found.append(
            FittedCutOut(
                plan,
                ring,
                {side: _wood_left(edges, ring, plan, side) for side in SIDES},
                float(shape.distance(wood.boundary)) if is_inside else 0.0,
                others,
                rest.is_empty or rest.geom_type != "Polygon",
                () if is_hole else ends,
            )
        )
    return tuple(found)


def _wood_left(outline: FloatArray, ring: FloatArray, plan: CutOutPlan, side: Side) -> float:
    """Return the wood between a ring and the outline on one side, along that side's direction.

    Both are straight from corner to corner, so it is least at a corner of either.
    """
    axis, sign = OUTWARD[side]
    # In coordinates of the side: `along` it, and `out` toward it.
    along, out = 1 - axis, axis
    edge, cut = (
        outline * np.where(np.arange(2) == out, sign, 1),
        ring * np.where(np.arange(2) == out, sign, 1),
    )
    centre = sign * (plan.x if out == 0 else plan.y)
    low, high = cut[:, along].min(), cut[:, along].max()
    places = np.unique(np.concatenate([cut[:, along], edge[:, along], [low, high]]))
    places = places[(places >= low) & (places <= high)]
    gaps = []
    for place in places:
        reaches = _crossings(cut, along, out, place).max()
        met = _crossings(edge, along, out, place)
        if not met.size:
            continue  # there it is past the wood on another side, which says so
        beyond = met[met >= centre]
        # Where its middle is past the wood already, all of it breaks through.
        gaps.append((beyond.min() if beyond.size else met.max()) - reaches)
    return float(min(gaps, default=-(cut[:, out].max() - cut[:, out].min())))


def _crossings(ring: FloatArray, along: int, out: int, place: float) -> FloatArray:
    """Return where a ring crosses a line across a side, both ends of edges that lie on it among them."""
    start, end = ring, np.roll(ring, -1, axis=0)
    low, high = np.minimum(start[:, along], end[:, along]), np.maximum(start[:, along], end[:, along])
    hit = (low <= place) & (place <= high)
    start, end = start[hit], end[hit]
    run = end[:, along] - start[:, along]
    level = np.abs(run) < 1e-12
    share = np.where(level, 0.0, (place - start[:, along]) / np.where(level, 1.0, run))
    crossed = start[:, out] + share * (end[:, out] - start[:, out])
    return np.concatenate([crossed, end[level, out]])

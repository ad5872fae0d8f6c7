"""What a person reads on a site that is known exactly.

`read` takes a reading whose numbers are only nominal and returns it as a person would write it down there;
`slip` puts a slip into one.
"""

from __future__ import annotations

import math
from functools import singledispatch
from typing import TypeVar

import numpy as np
from msgspec.structs import replace

from simulated.hand import (
    EYE_SD,
    FLIPPED_SQUARE_SD,
    GAP_SD,
    GAUGE_SD,
    HEIGHT_SD,
    LASER_LINE_SD,
    LASER_PLUMB_SD,
    LEVEL_SD,
    READING_SD,
    SQUARE_SD,
    STATION_SD,
    TOUCH_SD,
    Hand,
    Skill,
    skill_of,
)
from simulated.laws import FloatArray
from simulated.site import Site, Wall
from simulated.slips import slip
from survey.records import (
    CornerAngle,
    CornerSquare,
    Drop,
    End,
    Lean,
    LengthReading,
    Reading,
    Spot,
    StraightedgeCheck,
    Template,
    ThreeSides,
    TypedLength,
)

__all__ = ["read", "rest", "slip"]

R = TypeVar("R", bound=Reading)

PROFILE_MM = 5.0
"""How finely a tool that rests on a wall feels it."""
STANDS_OVER_MM = 25.0
"""How far an edge of no stated length goes beyond its outer stations."""
ASIDE_MM = 1e-3
BLOCK_MM = 20.0
"""A string is stretched over blocks so thick."""


def read(template: R, site: Site, rng: np.random.Generator, skill: str | Skill = "careful") -> R:
    """Return the record with what a person reads there.

    Parameters
    ----------
    template
        A reading of which only the nominal places count: where, with what, how started, in which unit.
    site
        Lengths and stations are from its corners `left-back` and `back-right`.
    rng
        Errors of this reading come from it; the tape's and the laser cross's come from the site's seed.
    skill
        `careful`, `hasty` (1.5 times the errors) or `perfect` (no errors, no rounding).
    """
    return _read(template, Hand(site, rng, skill_of(skill)))  # type: ignore[return-value]


@singledispatch
def _read(record: Reading, hand: Hand) -> Reading:
    raise ValueError(f"expected a reading that the simulated fitter takes, got {type(record).__name__}")


# Lengths


@_read.register
def _(record: LengthReading, hand: Hand) -> LengthReading:
    ups: list[float] = []
    for end in record.between:
        typed = end.up if isinstance(end, Spot) and end.up is not None else record.up
        ups.append(0.0 if typed is None else float(typed.mm))
    offs = [hand.off(HEIGHT_SD)] * 2 if ups[0] == ups[1] else [hand.off(HEIGHT_SD) for _ in ups]
    first, second = (
        _end(end, up + off, hand) for end, up, off in zip(record.between, ups, offs, strict=True)
    )
    return replace(
        record, reads=hand.length(hand.taped(hand.site.between(first, second), record), record.reads)
    )


def _end(end: End, up: float, hand: Hand) -> FloatArray:
    if isinstance(end, Spot):
        return hand.site.point(end.wall, hand.mark(end.wall, end.along, end.from_, up), up)
    if end not in hand.site.corners:
        raise ValueError(f"expected a corner or a spot as a length's end, got {end!r}: name one")
    return hand.site.corner(end, up)


@_read.register
def _(record: ThreeSides, hand: Hand) -> ThreeSides:
    up = hand.height(record.up)
    left, right = hand.site.corners[record.corner]
    tip = hand.site.corner(record.corner, up)
    marks = [
        hand.site.point(wall, hand.place(wall, leg, record.corner, up), up)
        for wall, leg in ((left, record.left_leg), (right, record.right_leg))
    ]
    sides = (hand.site.between(tip, marks[0]), hand.site.between(tip, marks[1]), hand.site.between(*marks))
    typed = (record.left_leg, record.right_leg, record.diagonal)
    a, b, c = (hand.length(hand.taped(mm, record), like) for mm, like in zip(sides, typed, strict=True))
    return replace(record, left_leg=a, right_leg=b, diagonal=c)


@_read.register
def _(record: Drop, hand: Hand) -> Drop:
    it = hand.site.walls[record.wall]
    along = hand.place(record.wall, record.along, record.from_, 0.0)
    out = float(record.out.mm) + hand.off(STATION_SD)
    x, y = hand.site.point(record.wall, along, 0.0)[:2] + out * it.inward
    ground = hand.site.floor if record.to == "floor" else hand.site.ceiling
    true = abs(ground.at(x, y) - hand.site.level_line) + hand.off(LEVEL_SD * 1000.0)
    return replace(record, reads=hand.length(hand.taped(true, record), record.reads))


# What rests on a wall


def rest(places: FloatArray, depths: FloatArray, pushed_at: float) -> tuple[float, float]:
    """Return (a, b) of the line a + b place on which a rigid edge comes to rest, pushed at a place.

    Of all chords between two points of the wall that straddle the push it is the one furthest into the room.
    """
    if np.abs(places - pushed_at).min() < ASIDE_MM:
        pushed_at += 2 * ASIDE_MM  # just on a point all chords to it are alike, also those through the wall
    left, right = places < pushed_at, places >= pushed_at
    x, y, s, t = places[left, None], depths[left, None], places[None, right], depths[None, right]
    there = (y * (s - pushed_at) + t * (pushed_at - x)) / (s - x)
    i, j = np.unravel_index(np.argmax(there), there.shape)
    slope = float((t[0, j] - y[i, 0]) / (s[0, j] - x[i, 0]))
    return float(y[i, 0] - slope * x[i, 0]), slope


@_read.register
def _(record: StraightedgeCheck, hand: Hand) -> StraightedgeCheck:
    at = np.array([float(station.at.mm) for station in record.stations])
    if record.run == "level":
        up = hand.height(record.up)
        start, sign = hand.start(record.wall, record.from_, up)
        nominal, ends = start + sign * at, hand.site.extent(record.wall, up)
    else:
        assert record.along is not None  # a plumb check without a place is refused as a record
        place = hand.place(record.wall, record.along, record.from_, float(at.mean()))
        nominal, ends = at, (-math.inf, math.inf)
    went = nominal + np.array([hand.off(STATION_SD) for _ in at])
    lo, hi = _edge(record, nominal, ends)
    went = np.clip(went, *((lo, hi) if record.instrument == "straightedge" else ends))
    along, ups = (went, np.full(at.shape, up)) if record.run == "level" else (np.full(at.shape, place), went)
    if record.cross is not None:
        gaps = _to_cross(record, along, ups, hand)
    else:
        fixed = up if record.run == "level" else place
        gaps = _to_line(record, went, fixed, (lo, hi), hand) - hand.site.walls[record.wall].depth(along, ups)
    sd = LASER_LINE_SD if record.instrument == "line laser" or record.cross is not None else GAP_SD
    stations = tuple(
        replace(station, gap=hand.gap(float(gap) + hand.off(sd), station.gap))
        for station, gap in zip(record.stations, gaps, strict=True)
    )
    return replace(record, stations=stations)


def _edge(record: StraightedgeCheck, nominal: FloatArray, ends: tuple[float, float]) -> tuple[float, float]:
    """Return from where to where the edge lies: about the middle of its stations, clear of the ends."""
    span = float(np.ptp(nominal))
    length = span + 2 * STANDS_OVER_MM if record.edge_length is None else float(record.edge_length.mm)
    length = min(length, ends[1] - ends[0])
    lo = float(nominal.min() + nominal.max() - length) / 2
    lo = min(max(lo, ends[0]), ends[1] - length)
    return lo, lo + length


def _to_line(
    record: StraightedgeCheck, at: FloatArray, fixed: float, edge: tuple[float, float], hand: Hand
) -> FloatArray:
    """Return how deep the edge, string or laser line stands at places along it."""
    lo, hi = edge
    count = max(3, math.ceil((hi - lo) / PROFILE_MM) + 1)
    level, step = record.run == "level", (hi - lo) / (count - 1)
    where = ((lo, fixed), (step, 0.0)) if level else ((fixed, lo), (0.0, step))
    depths = hand.site.walls[record.wall].depths(*where, count)
    middle = (lo + hi) / 2
    if record.instrument == "line laser":
        turn = hand.off(LASER_PLUMB_SD) if not level else float(hand.rng.normal(0.0, 0.002))
        return np.asarray(depths.max() + hand.rng.uniform(10.0, 40.0) + turn * (at - middle))
    if record.instrument == "string":
        return np.asarray(depths[0] + (depths[-1] - depths[0]) * (at - lo) / (hi - lo) + BLOCK_MM)
    pushed = middle + float(np.clip(hand.off((hi - lo) / 10.0), -0.4 * (hi - lo), 0.4 * (hi - lo)))
    a, b = rest(np.linspace(lo, hi, count), depths, pushed)
    return np.asarray(a + b * at)


def _to_cross(record: StraightedgeCheck, along: FloatArray, ups: FloatArray, hand: Hand) -> FloatArray:
    """Return how far it is from the surface, square to the wall, to the cross's line along it."""
    it, cross = hand.site.walls[record.wall], hand.cross(str(record.cross))
    normal = cross.normal(it.heading)
    away = np.array([cross.x, cross.y]) - hand.site.point(record.wall, along, ups)[:, :2]
    return np.asarray((away @ normal) / float(it.inward @ normal)) * (1.0 + hand.tape[1])


@_read.register
def _(record: Lean, hand: Hand) -> Lean:
    low, high = float(record.low.mm), float(record.high.mm)
    along = hand.place(record.wall, record.along, record.from_, (low + high) / 2)
    off = hand.off(HEIGHT_SD)
    bottom, top = hand.site.walls[record.wall].depth(along, [low + off, high + off])
    leans = float(top - bottom) + hand.off(LEVEL_SD * (high - low))
    if record.offset is not None:
        return replace(record, offset=hand.offset(leans + hand.off(GAP_SD), record.offset))
    return replace(record, angle=hand.angle(math.atan2(leans, high - low), 0.05))


# Corners


def _leg(wall: Wall, start: float, sign: float, reach: float, up: float) -> tuple[FloatArray, FloatArray]:
    """Return places (n,) from a corner along a wall, and the surface's points (n, 2) there."""
    count = max(3, math.ceil(reach / PROFILE_MM) + 1)
    out = np.linspace(0.0, reach, count)
    depth = wall.depths((start, up), (sign * reach / (count - 1), 0.0), count)
    places = start + sign * out
    return out, np.array(wall.foot) + np.outer(places, wall.along) + np.outer(depth, wall.inward)


def _legs(
    corner: str, on: tuple[tuple[str, float], ...], up: float, hand: Hand
) -> list[tuple[FloatArray, ...]]:
    """For legs (wall, reach): directions away from the corner and inward, and the points from the tip on."""
    tip, found = hand.site.corner(corner, up)[:2], []
    for name, reach in on:
        wall = hand.site.walls[name]
        start, sign = hand.start(name, corner, up)
        _, points = _leg(wall, start, sign, reach, up)
        found.append((sign * wall.along, wall.inward, points - tip))
    return found


@_read.register
def _(record: CornerAngle, hand: Hand) -> CornerAngle:
    up, reach = hand.height(record.up), float(record.reach.mm)
    left, right = hand.site.corners[record.corner]
    directions = []
    for away, inward, points in _legs(record.corner, ((left, reach), (right, reach)), up, hand):
        _, slope = rest(points @ away, points @ inward, reach / 2)
        directions.append(away + slope * inward)
    (ax, ay), (bx, by) = directions
    angle = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    sd = EYE_SD if record.instrument == "eye" else GAUGE_SD
    return replace(record, reads=hand.angle(angle + hand.off(sd)))


@_read.register
def _(record: CornerSquare, hand: Hand) -> CornerSquare:
    """Lay one leg on its wall, slide till the other leg touches; the wider of its ends' gaps is read."""
    up = hand.height(record.up)
    other = next(wall for wall in hand.site.corners[record.corner] if wall != record.lies_on)
    lying, standing = float(record.lying_leg.mm), float(record.other_leg.mm)
    (away, inward, points), (_, _, others) = _legs(
        record.corner, ((record.lies_on, lying), (other, standing)), up, hand
    )
    a, slope = rest(points @ away, points @ inward, lying / 2)
    turn = math.atan(slope) + hand.off(FLIPPED_SQUARE_SD if record.flipped else SQUARE_SD)
    # The tool's frame: along its lying leg, and up its other one, both from where the legs' edges meet.
    t, h = others @ away, others @ inward - a
    across, height = t * math.cos(turn) + h * math.sin(turn), h * math.cos(turn) - t * math.sin(turn)
    gaps = across.max() - across
    heel, tip = float(gaps[np.argmin(np.abs(height))]), float(gaps[np.argmin(np.abs(height - standing))])
    gap = hand.gap(max(heel, tip) + hand.off(GAP_SD), record.gap)
    return replace(record, gap=gap, gap_at="tip" if tip >= heel else "heel")


# A template


@_read.register
def _(record: Template, hand: Hand) -> Template:
    """Move each point, square to its wall, till it touches, and read it in the template's own frame.

    The nominal points are of the plan; the template's frame is moved and turned against that at random.
    """
    up = hand.height(record.up)
    x0, y0, turn = (hand.off(sd) for sd in (30.0, 30.0, math.radians(0.5)))
    spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    points = []
    for one in record.points:
        it = hand.site.walls[one.wall]
        along = float(it.flat_place([float(one.right.mm), float(one.back.mm)])[0])
        touching = hand.site.point(one.wall, along, up)[:2] + hand.off(TOUCH_SD) * it.inward
        right, back = (touching - np.array([x0, y0])) @ spin
        points.append(
            replace(
                one,
                right=_signed(float(right), one.right, hand),
                back=_signed(float(back), one.back, hand),
            )
        )
    return replace(record, points=tuple(points))


def _signed(mm: float, like: TypedLength, hand: Hand) -> TypedLength:
    return hand.length(mm * (1.0 + hand.tape[1]) + hand.off(READING_SD), like)

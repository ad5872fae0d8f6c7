"""Trim that is there when a piece goes in: what is notched around, and what a piece runs into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from fitting.piece import ACROSS_OPENING, TrimPlan
from fitting.placement import Placed, Spotted
from survey.finding import Finding, finding
from survey.records import BoxPiece, Feature, Fixture, Obstacle, Piece, RoughIn, Trim
from survey.report.context import Context, NotReady, mm

LOWEST, HIGHEST = -9000.0, 9000.0
"""mm; from the floor, and to the ceiling, wherever they are."""
RUNS = ("baseboard", "crown")
"""Trim that runs along the whole wall; its width is up."""
NARROWEST_OPENING = 500.0
"""mm between a casing's two sides that an opening needs at the least (assumption)."""


def trims_on(
    context: Context, piece: Piece, walls: set[str], kinds: Sequence[str], bottom: float, top: float
) -> tuple[TrimPlan, ...]:
    """Return the trim on these walls between two heights; refuse a piece where a size or place is missing.

    `kinds` are types of trim, `obstacle` for all that is put down as one, and `pipe` for stubs of rough-ins.

    What comes off, and what comes later, is not there.
    """
    around = {plan.name: plan for plan in _obstacles(context, walls)} if "obstacle" in kinds else {}
    context.note(*_not_worked_around(context, piece, walls, bottom, top, {*around, *kinds}))
    plans: list[TrimPlan] = []
    plans += [plan for plan in around.values() if plan.between(bottom, top)]
    if "pipe" in kinds:
        plans += _pipes(context, piece, walls, bottom, top)
    missing: list[Finding] = []
    for trim in context.survey.of(Trim):
        if trim.wall not in walls or trim.type not in kinds or trim.fate != "stays":
            continue
        low, high = heights_of(context, trim)
        if low is None or high is None:
            missing.append(_no_size(piece, trim, "bottom" if low is None else "height of its top edge"))
        elif low < top and high > bottom:
            gone = list(_missing(context, piece, trim))
            missing += gone
            plans += [] if gone else [plan_of(trim, low, high)]
            if not gone:
                context.note(*_no_opening(context, piece, trim))
    if missing:
        raise NotReady(*missing)
    return tuple(plans)


def _not_worked_around(
    context: Context, piece: Piece, walls: set[str], bottom: float, top: float, around: set[str]
) -> Iterator[Finding]:
    """What else stands on these walls: where it is in the way, nothing here sees it, so it is said.

    `around` are the names and kinds that the piece is worked around.
    """
    for one in context.survey.of(Feature):
        if one.wall not in walls or one.name in around:
            continue
        if isinstance(one, Trim) and one.type in around:
            continue
        if isinstance(piece, BoxPiece) and _is_crown_at(context, one, bottom, top):
            yield _into_crown(context, piece, one, top)
            continue
        if isinstance(one, Obstacle) or _is_crown_at(context, one, bottom, top):
            number = 512
        elif isinstance(one, Fixture):
            number = 513
        else:
            continue
        # Without the piece in words and records, it is said once of all that meet the wall.
        yield finding(number, [one.id], [piece.name], obstacle=one.name, wall=one.wall)


def _obstacles(context: Context, walls: set[str]) -> Iterator[TrimPlan]:
    """Give what stands out of these walls and is known in full; the rest is said by finding 512."""
    for one in context.survey.of(Obstacle):
        if one.wall not in walls or one.projection is None or context.room.plan.feature(one.name) is None:
            continue
        heights = _stands(context, one)
        placed = context.room.feature_placed(one.name)
        if heights is None or not placed or (one.width is None and one.type != "tile edge"):
            continue
        low, high = heights
        width, out = mm(one.width, ACROSS_OPENING), mm(one.projection)
        # Tiles go on from their edge to the right; everything else is named by its centre.
        start = 0.0 if one.type == "tile edge" else -width / 2
        width = ACROSS_OPENING if one.type == "tile edge" else width
        yield TrimPlan(one.name, one.wall, width, out, "right", low, high, start=start)


def _pipes(context: Context, piece: Piece, walls: set[str], bottom: float, top: float) -> Iterator[TrimPlan]:
    """Give the stubs that stand out of these walls between two heights; say what of one is not known."""
    for one in context.survey.of(RoughIn):
        middle = None if one.wall not in walls else context.room.feature_height(one.name)
        if middle is None:
            continue  # nobody read how high it is: what pieces at large meet there is not worked out
        up, half = float(middle.mean[0]), mm(one.diameter) / 2
        if up + half <= bottom or up - half >= top:
            continue
        if one.diameter is None or one.stub is None or not context.room.feature_placed(one.name):
            size = (
                "diameter" if one.diameter is None else "stub" if one.stub is None else "place along its wall"
            )
            ids, names = [piece.id, one.id], [piece.name]
            context.note(finding(548, ids, names, piece=piece.name, pipe=one.name, size=size))
            continue
        width, out = mm(one.diameter), mm(one.stub)
        yield TrimPlan(one.name, one.wall, width, out, "right", up - half, up + half, start=-half)


def _into_crown(context: Context, piece: Piece, crown: Feature, top: float) -> Finding:
    """Say by how much a box reaches up past the underside of crown."""
    assert isinstance(crown, Trim)
    low, _ = heights_of(context, crown)
    over = context.printer.up(top - (top if low is None else low)).text
    ids = [piece.id, crown.id]
    return finding(549, ids, [piece.name], piece=piece.name, crown=crown.name, over=over)


def _stands(context: Context, one: Obstacle) -> tuple[float, float] | None:
    """Return from where to where up it reaches (mm): about its centre, or from the floor; else nothing."""
    middle = context.room.feature_height(one.name)
    if one.height is not None and middle is not None:
        up = float(middle.mean[0])
        return up - mm(one.height) / 2, up + mm(one.height) / 2
    if one.type not in ("chase", "column", "tile edge"):
        return None
    if one.height is None:
        return LOWEST, HIGHEST
    floor = context.room.level("floor", [context.room.foot(one.wall)])
    return None if floor is None else (LOWEST, float(floor.mean[0]) + mm(one.height))


def _is_crown_at(context: Context, one: Feature, bottom: float, top: float) -> bool:
    """Whether it is crown that stays and reaches between two heights, as far as its heights are known."""
    if not isinstance(one, Trim) or one.type != "crown" or one.fate != "stays":
        return False
    low, high = heights_of(context, one)
    return low is not None and low < top and (high is None or high > bottom)


def heights_of(context: Context, trim: Trim) -> tuple[float | None, float | None]:
    """Return from where to where up it reaches (mm), nothing where that is not known.

    A casing may run from the floor to the ceiling; a baseboard stands on the floor, and its width is up.
    """
    bottom = None if trim.bottom is None else mm(trim.bottom)
    top = None if trim.top is None else mm(trim.top)
    if trim.type == "casing":
        return LOWEST if bottom is None else bottom, HIGHEST if top is None else top
    if trim.type == "baseboard" and bottom is None:
        return LOWEST, _on_the_floor(context, trim) if top is None else top
    if trim.type == "baseboard" and top is None and bottom is not None and trim.width is not None:
        top = bottom + mm(trim.width)
    if trim.type == "crown" and top is None:
        top = HIGHEST
    return bottom, top


def _on_the_floor(context: Context, trim: Trim) -> float | None:
    """Return how high a baseboard's top edge is where the floor along its wall is highest."""
    if trim.width is None:
        return None
    points = [context.room.foot(trim.wall)]
    for end in ("left", "right"):
        corner = context.room.plan.corner_at(trim.wall, end)
        if corner is not None:
            x, y = context.room.point(corner.name, 0.0).mean
            points.append((float(x), float(y)))
    floor = context.room.level("floor", points)
    return None if floor is None else float(floor.mean.max()) + mm(trim.width)


def _missing(context: Context, piece: Piece, trim: Trim) -> Iterator[Finding]:
    sizes = {} if trim.points else {"projection": trim.projection}
    if trim.type not in RUNS and not trim.points:
        sizes["width"] = trim.width
    for size, typed in sizes.items():
        if typed is None:
            yield _no_size(piece, trim, size)
    if trim.type in RUNS:
        return
    known = context.room.plan.feature(trim.name)
    if known is None or not context.room.feature_placed(trim.name):
        yield finding(304, [trim.id], [piece.name], name=trim.name)


def _no_opening(context: Context, piece: Piece, trim: Trim) -> Iterator[Finding]:
    """A casing with no room for an opening between it and the corner: its side was mistaken, as a rule."""
    corner = context.room.plan.corner_at(trim.wall, trim.toward)
    if trim.type != "casing" or corner is None:
        return
    near, end = (context.along(trim.wall, name, 0.0) for name in (trim.name, corner.name))
    if abs(end - near) < mm(trim.width) + NARROWEST_OPENING:
        room = context.printer.near(abs(end - near)).text
        yield finding(511, [trim.id, piece.id], [piece.name], name=trim.name, corner=corner.name, room=room)


def _no_size(piece: Piece, trim: Trim, size: str) -> Finding:
    return finding(305, [trim.id], [piece.name], name=trim.name, size=size)


def plan_of(trim: Trim, low: float, high: float) -> TrimPlan:
    """Return trim as the pieces ask for it, between two heights (mm)."""
    profile = tuple((mm(one.across), mm(one.out)) for one in trim.points)
    return TrimPlan(
        trim.name,
        trim.wall,
        mm(trim.width, profile[-1][0] if profile and trim.type not in RUNS else high - low),
        mm(trim.projection, max((out for _, out in profile), default=0.0)),
        trim.toward,
        low,
        high,
        trim.type == "casing",
        profile=profile if trim.type not in RUNS else (),
    )


def runs_into(context: Context, piece: Piece, trim: TrimPlan, do: str) -> Finding:
    """Return the finding that a piece and trim want the same place."""
    record = context.record(trim.name, Trim)
    return finding(
        506,
        [piece.id, *([record.id] if record else [])],
        [piece.name],
        piece=piece.name,
        obstacle=trim.name,
        do=do,
    )


def width_of(trim: TrimPlan) -> float:
    """Return how far along its wall nothing can go on, from its near edge: with a casing's opening (mm)."""
    return ACROSS_OPENING if trim.to_opening else trim.width


def span_in(context: Context, placed: Placed, trim: TrimPlan) -> tuple[float, float]:
    """Return from where to where a piece meets trim along its wall, its opening with it, in its own frame.

    That is in x on the wall that its back goes against, and in y, from the front, on one at its side.
    """
    record = context.record(trim.name, Trim)
    if record is not None and record.type in RUNS:
        return -np.inf, np.inf  # it runs along the whole wall
    room = placed.room
    (ux, uy), frame = room.axes(trim.wall)[0], placed.frame
    behind = trim.wall == placed.wall
    sign = 1.0 if trim.toward == "right" else -1.0
    if not behind:
        sign *= 1.0 if -np.sin(frame.heading) * ux + np.cos(frame.heading) * uy > 0 else -1.0
    up = min(max(0.0, trim.bottom), trim.top)
    (near,) = placed.expect([Spotted(trim.name, up, "x" if behind else "y")])
    first = float(near) + sign * trim.start
    far = first + sign * width_of(trim)
    return min(first, far), max(first, far)

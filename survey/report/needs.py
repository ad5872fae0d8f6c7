"""What must have been read before a piece can be worked out: named gaps, never defaults."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from fitting.site import Ray
from survey.finding import Finding, finding
from survey.records import Piece
from survey.report.context import Context, not_made, not_said

CORNER_SPAN = 500.0
"""mm along both walls over which a corner must have been read: about a vanity's depth."""
UNREAD_SHARE = 0.8
"""A surface counts as checked when at most this share of its expected unevenness is still unknown.
A straightedge at the height leaves about a third, one a counter's height below it about two thirds."""
LOOKED_AT = 9
"""Places along an edge where what is known of it is asked."""
LOOKED_FROM = 1000.0
"""mm out of a wall, from where its surface is looked at."""
PAST_CORNER = 25.0
"""mm by which a piece may stand past the corner that it is measured from, such as a top's overhang."""
FLOOR_SD = 2.5
"""mm; a floor known less well than this says nothing about shims (assumption). Judged by usual unevenness, as
walls are: drops near the four corners of a counter's footprint leave about 2.2, two at the back 3.5."""


def need_corner(context: Context, piece: Piece, wall: str, other: str, up: float) -> list[Finding]:
    """The corner between two walls must have been read, or be assumed on the record."""
    for corner in context.room.plan.corners:
        if {corner.left, corner.right} == {wall, other}:
            read = context.unlearned.corner_read(corner.name, CORNER_SPAN, up)
            if read or context.assumed(piece, "corner angle", corner.name):
                return []
            return [finding(301, context.ids(corner.name), [piece.name], corner=corner.name)]
    why = f"`{piece.name}` meets walls `{wall}` and `{other}`, which have no corner"
    return [finding(104, [piece.id], [piece.name], why=why)]


def need_place(context: Context, piece: Piece, walls: Iterable[str]) -> list[Finding]:
    """Something must tie each wall to the others."""
    return [
        finding(300, context.ids(wall), [piece.name], wall=wall)
        for wall in walls
        if not context.room.wall_placed(wall)
    ]


def need_mark(context: Context, piece: Piece, wall: str, name: str, along: float) -> list[Finding]:
    """What a piece is measured from must be on its wall, and its place must have been read.

    From a corner, `along` (mm) counts into the wall; below 0 the piece would stand past the corner.
    """
    plan = context.room.plan
    corner, feature = plan.corner(name), plan.feature(name)
    if corner is not None and wall in (corner.left, corner.right):
        if along >= -PAST_CORNER:
            return []
        why = f"it stands {context.printer.near(-along).text} past corner `{name}`, off wall `{wall}`"
        do = "leave the minus out: from a corner, places count into its wall, from either end"
        return [not_made(piece, why, do)]
    if corner is not None or (feature is not None and feature.wall != wall):
        what, do = f"how far `{piece.name}` is from something on wall `{wall}`", "measure it from there"
        return [not_said(piece, what, f"{do}: `{name}` is not on that wall")]
    if feature is None or not context.room.feature_placed(name):
        return [finding(304, context.ids(name) or [piece.id], [piece.name], name=name)]
    return []


def need_floor(context: Context, piece: Piece, points: Sequence[tuple[float, float]]) -> list[Finding]:
    """The floor under a piece must have been read, and how it runs, unless it is assumed level."""
    floor = context.unlearned.level("floor", points)
    if floor is None:
        return [finding(303, [piece.id], [piece.name])]
    if float(floor.sd.max()) <= FLOOR_SD or context.assumed(piece, "level floor", "floor"):
        return []
    do = "read drops from the level line near its corners, front and back, or assume the floor level"
    return [not_said(piece, f"how the floor runs under `{piece.name}`", do)]


def need_ceiling(context: Context, piece: Piece, points: Sequence[tuple[float, float]]) -> list[Finding]:
    """The ceiling over a piece must have been read, and how it runs."""
    ceiling = context.unlearned.level("ceiling", points)
    if ceiling is not None and float(ceiling.sd.max()) <= FLOOR_SD:
        return []
    what = "where the ceiling is" if ceiling is None else "how the ceiling runs"
    do = "read drops from the level line up to the ceiling, near its corners"
    return [not_said(piece, f"{what} over `{piece.name}`", do)]


def need_level_check(
    context: Context, piece: Piece, wall: str, start: float, end: float, up: float
) -> list[Finding]:
    """A wall must have been checked along a level line, from start to end along it (mm)."""
    if is_checked(context, wall, [(along, up) for along in np.linspace(start, end, LOOKED_AT)], lean=False):
        return []
    if context.assumed(piece, "flat wall", wall):
        return []
    near = context.printer.near
    heights = f"a height of about {near(up).text}"
    return [
        _not_checked(piece, wall, heights, f"the {near(abs(end - start)).text} that `{piece.name}` meets")
    ]


def need_upright_check(
    context: Context, piece: Piece, wall: str, along: float, bottom: float, top: float
) -> list[Finding]:
    """A wall's lean must have been read where an upright edge meets it."""
    places = [(along, float(up)) for up in np.linspace(bottom, top, LOOKED_AT)]
    if is_checked(context, wall, places, lean=True) or context.assumed(piece, "plumb wall", wall):
        return []
    near = context.printer.near
    heights = f"heights from {near(bottom).text} to {near(top).text}"
    return [_not_checked(piece, wall, heights, "an upright line (its lean, or a plumb check)")]


def _not_checked(piece: Piece, wall: str, heights: str, span: str) -> Finding:
    return finding(302, [piece.id], [piece.name], wall=wall, heights=heights, span=span)


def is_checked(context: Context, wall: str, places: Sequence[tuple[float, float]], lean: bool) -> bool:
    """Whether readings say how uneven a wall is at (along, up); with `lean`, a lean is unevenness too."""
    share = context.unlearned.shape_read(list(looking_at(context, wall, places)), lean_too=lean)
    return share <= UNREAD_SHARE


def looking_at(context: Context, wall: str, places: Iterable[tuple[float, float]]) -> Iterator[Ray]:
    """Give a ray square onto a wall at each (along, up) of it, from 1 m out."""
    (ux, uy), (nx, ny) = context.room.axes(wall)
    x, y = context.room.foot(wall)
    for along, up in places:
        start = x + along * ux + LOOKED_FROM * nx, y + along * uy + LOOKED_FROM * ny
        yield Ray(wall, *start, -nx, -ny, float(up))

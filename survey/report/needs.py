"""What must have been read before a piece can be worked out: named gaps, never defaults."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from fitting.site import Ray
from survey.finding import Finding, finding
from survey.records import Piece
from survey.report.context import Context

CORNER_SPAN = 500.0
"""mm along both walls over which a corner must have been read: about a vanity's depth."""
UNREAD_SHARE = 0.8
"""A surface counts as checked when at most this share of its expected unevenness is still unknown.
A straightedge at the height leaves about a third, one a counter's height below it about two thirds."""
LOOKED_AT = 9
"""Places along an edge where what is known of it is asked."""


def need_corner(context: Context, piece: Piece, wall: str, other: str, up: float) -> list[Finding]:
    """The corner between two walls must have been read, or be assumed on the record."""
    for corner in context.room.plan.corners:
        if {corner.left, corner.right} == {wall, other}:
            read = context.room.corner_read(corner.name, CORNER_SPAN, up)
            if read or context.assumed("corner angle", corner.name):
                return []
            return [finding(301, [piece.id], [piece.name], corner=corner.name)]
    return [
        finding(
            104,
            [piece.id],
            [piece.name],
            why=f"`{piece.name}` meets walls `{wall}` and `{other}`, which have no corner",
        )
    ]


def need_place(context: Context, piece: Piece, walls: Iterable[str]) -> list[Finding]:
    """Something must tie each wall to the others."""
    return [
        finding(300, [piece.id], [piece.name], wall=wall)
        for wall in walls
        if not context.room.wall_placed(wall)
    ]


def need_level_check(
    context: Context, piece: Piece, wall: str, start: float, end: float, up: float
) -> list[Finding]:
    """A wall must have been checked along a level line, from start to end along it (mm)."""
    places = [(along, up) for along in np.linspace(start, end, LOOKED_AT)]
    if context.assumed("flat wall", wall) or _unread(context, wall, places, False) <= UNREAD_SHARE:
        return []
    printer = context.printer
    return [
        finding(
            302,
            [piece.id],
            [piece.name],
            wall=wall,
            heights=f"a height of about {printer.near(up).text}",
            span=f"the {printer.near(abs(end - start)).text} that `{piece.name}` meets",
        )
    ]


def need_upright_check(
    context: Context, piece: Piece, wall: str, along: float, bottom: float, top: float
) -> list[Finding]:
    """A wall's lean must have been read where an upright edge meets it."""
    places = [(along, float(up)) for up in np.linspace(bottom, top, LOOKED_AT)]
    if context.assumed("plumb wall", wall) or _unread(context, wall, places, True) <= UNREAD_SHARE:
        return []
    printer = context.printer
    return [
        finding(
            302,
            [piece.id],
            [piece.name],
            wall=wall,
            heights=f"heights from {printer.near(bottom).text} to {printer.near(top).text}",
            span="an upright line (its lean, or a plumb check)",
        )
    ]


def _unread(context: Context, wall: str, places: Sequence[tuple[float, float]], lean: bool) -> float:
    """Return the share still unknown at (along, up) of a wall, looked at from 1 m out."""
    room = context.room
    (ux, uy), (nx, ny) = room.axes(wall)
    foot = room.foot(wall)
    rays = [
        Ray(
            wall,
            foot[0] + along * ux + 1000.0 * nx,
            foot[1] + along * uy + 1000.0 * ny,
            -nx,
            -ny,
            float(up),
        )
        for along, up in places
    ]
    return room.shape_read(rays, lean_too=lean)

"""The room in the report: corners, surfaces where pieces touch, and what became of each reading."""

from __future__ import annotations

import math

import numpy as np

from fitting.site import Ray
from survey.records import Panel, Top
from survey.report.context import Context, mm
from survey.report.needs import CORNER_SPAN
from survey.report.structs import CornerReport, ResidualReport, RoomReport, SurfaceReport

SURFACE_EVERY = 150.0  # mm
LOOKED_FROM = 1000.0  # mm out of the wall


def room_report(context: Context) -> RoomReport:
    """Tell the room as the readings make it."""
    ups = _heights(context)
    return RoomReport(
        tuple(_corners(context, ups)), tuple(_surfaces(context, ups)), tuple(_residuals(context))
    )


def _heights(context: Context) -> list[float]:
    """Return the heights at which pieces meet the walls; z = 0 where there are none."""
    found = {mm(top.up) for top in context.survey.of(Top) if top.up is not None}
    found |= {box.plan.top for box in context.cabinets.values()}
    found |= {mm(one.bottom) + mm(one.height) for one in context.survey.of(Panel) if one.bottom is not None}
    return sorted(found) or [0.0]


def _corners(context: Context, ups: list[float]) -> list[CornerReport]:
    told = []
    for corner in context.room.plan.corners:
        turn = context.room.corner_turn(corner.name, CORNER_SPAN, ups[0])
        told.append(
            CornerReport(
                corner.name,
                round(math.degrees(corner.angle + float(turn.mean[0])), 4),
                round(math.degrees(float(turn.sd[0])), 4),
                f"over {context.printer.near(CORNER_SPAN).text} of both walls, "
                f"at {context.printer.near(ups[0]).text}",
            )
        )
    return told


def _surfaces(context: Context, ups: list[float]) -> list[SurfaceReport]:
    told = []
    room = context.room
    for wall in room.plan.walls:
        ends = [room.plan.corner_at(wall, end) for end in ("left", "right")]
        for up in ups:
            along = [None if one is None else float(room.along(wall, one.name, up).mean[0]) for one in ends]
            start, stop = _span(along[0], along[1])
            count = max(2, round((stop - start) / SURFACE_EVERY) + 1)
            told.append(_surface(context, wall, np.linspace(start, stop, count).tolist(), up))
    return told


def _span(start: float | None, stop: float | None) -> tuple[float, float]:
    """Return where a wall is looked at; a wall without a corner is looked at over 1 m."""
    if start is None:
        start = -1000.0 if stop is None else stop - 1000.0
    return start, start + 1000.0 if stop is None else stop


def _surface(context: Context, wall: str, along: list[float], up: float) -> SurfaceReport:
    room = context.room
    (ux, uy), (nx, ny) = room.axes(wall)
    x, y = room.foot(wall)
    start = [(x + s * ux + LOOKED_FROM * nx, y + s * uy + LOOKED_FROM * ny) for s in along]
    reach = room.rays([Ray(wall, a, b, -nx, -ny, up) for a, b in start])
    points = [
        (round(a - nx * float(r), 3), round(b - ny * float(r), 3))
        for (a, b), r in zip(start, reach.mean, strict=True)
    ]
    covariance = [tuple(round(float(one), 5) for one in row) for row in reach.covariance]
    return SurfaceReport(wall, round(up, 3), tuple(points), tuple(covariance))


def _residuals(context: Context) -> list[ResidualReport]:
    told = []
    for one in context.room.residuals():
        what = context.observed.what[one.key]
        scale = math.degrees(1.0) if what.unit == "deg" else 1.0
        told.append(
            ResidualReport(
                what.record,
                what.words,
                round(one.adjusted_minus_read * scale, 4),
                what.unit,
                round(one.sd * scale, 4),
                round(one.control, 4),
                round(one.standardized, 3),
            )
        )
    return told

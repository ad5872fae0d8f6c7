"""The room in the report: corners, surfaces where pieces touch, and what became of each reading."""

from __future__ import annotations

import math

import numpy as np

from survey.records import Panel, Top
from survey.report.context import Context, mm
from survey.report.needs import CORNER_SPAN, looking_at
from survey.report.repeat import to_repeat
from survey.report.structs import CornerReport, ResidualReport, RoomReport, SurfaceReport

SURFACE_EVERY = 150.0  # mm
WITHOUT_A_CORNER = 1000.0  # mm of a wall that is looked at where nothing says how long it is


def room_report(context: Context) -> RoomReport:
    """Tell the room as the readings make it."""
    ups = _heights(context)
    surfaces = [_surface(context, wall, up) for wall in context.room.plan.walls for up in ups]
    return RoomReport(
        tuple(_corners(context, ups[0])),
        tuple(surfaces),
        tuple(_residuals(context)),
        repeat=to_repeat(context),
        unevenness=_unevenness(context),
    )


def _unevenness(context: Context) -> float | None:
    """Return by what the walls are more uneven than was expected; nothing where nothing was expected."""
    learned, expected = context.room.unevenness.prior.deviation_sd, context.observed.prior.deviation_sd
    return round(learned / expected, 3) if expected > 0.0 else None


def _heights(context: Context) -> list[float]:
    """Return the heights at which pieces meet the walls; z = 0 where there are none."""
    found = {mm(top.up) for top in context.survey.of(Top) if top.up is not None}
    found |= {box.plan.top for box, _ in context.cabinets.values()}
    found |= {mm(one.bottom) + mm(one.height) for one in context.survey.of(Panel) if one.bottom is not None}
    return sorted(found) or [0.0]


def _corners(context: Context, up: float) -> list[CornerReport]:
    near = context.printer.near
    span = f"over {near(CORNER_SPAN).text} of both walls, at {near(up).text}"
    told = []
    for corner in context.room.plan.corners:
        turn = context.room.corner_turn(corner.name, CORNER_SPAN, up)
        angle = math.degrees(corner.angle + float(turn.mean[0]))
        told.append(
            CornerReport(corner.name, round(angle, 4), round(math.degrees(float(turn.sd[0])), 4), span)
        )
    return told


def _span(context: Context, wall: str, up: float) -> tuple[float, float]:
    """Return from where to where along it a wall is looked at."""
    ends = [context.room.plan.corner_at(wall, end) for end in ("left", "right")]
    start, stop = (None if one is None else context.along(wall, one.name, up) for one in ends)
    if start is None:
        start = -WITHOUT_A_CORNER if stop is None else stop - WITHOUT_A_CORNER
    return start, start + WITHOUT_A_CORNER if stop is None else stop


def _surface(context: Context, wall: str, up: float) -> SurfaceReport:
    start, stop = _span(context, wall, up)
    count = max(2, round((stop - start) / SURFACE_EVERY) + 1)
    rays = list(looking_at(context, wall, [(float(one), up) for one in np.linspace(start, stop, count)]))
    reach = context.room.rays(rays)
    points = [
        (round(ray.x + ray.dx * float(r), 3), round(ray.y + ray.dy * float(r), 3))
        for ray, r in zip(rays, reach.mean, strict=True)
    ]
    covariance = [tuple(round(float(one), 5) for one in row) for row in reach.covariance]
    return SurfaceReport(wall, round(up, 3), tuple(points), tuple(covariance))


def _residuals(context: Context) -> list[ResidualReport]:
    told = []
    for one, number in zip(context.room.residuals(), context.numbers, strict=True):
        scale = math.degrees(1.0) if number.unit == "deg" else 1.0
        told.append(
            ResidualReport(
                number.record,
                number.words,
                round(one.adjusted_minus_read * scale, 4),
                number.unit,
                round(one.sd * scale, 4),
                round(one.control, 4),
                round(one.standardized, 3),
            )
        )
    return told

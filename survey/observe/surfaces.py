"""Surfaces: checks with a straightedge, leans, drops, templates."""

from __future__ import annotations

import math
from typing import Final

from fitting.site import Gaps, Leaning, Level, Touch
from survey.observe.accuracy import (
    LEVEL_LINE_SD,
    TOUCH_SD,
    gap_parts,
    gap_sd,
    graduation,
    layer_sd,
    lean_angle_sd,
    length_accuracy,
    offset_sd,
)
from survey.observe.condense import MOST_STATIONS, condensed
from survey.observe.ground import Ground, LeftOut
from survey.observe.lengths import accuracy_of
from survey.observe.observed import Seen
from survey.observe.register import observes, seen
from survey.records import Drop, Lean, StraightedgeCheck, Template

STEEPEST: Final = math.tan(math.radians(10.0))
"""A wall that leans more is no wall to fix to: a slipped digit (assumption of ours)."""
EDGE_SLACK_MM: Final = 5.0
"""How far beyond its ends a straightedge may be read, by the width of a thumb's rule."""


@observes(StraightedgeCheck)
def observe_check(record: StraightedgeCheck, ground: Ground) -> list[Seen]:
    """Return the gaps of a level or plumb line to its wall."""
    what = f"a check of `{record.wall}`"
    wall = ground.wall(record.wall, what)
    start = ground.on_wall(record.from_, wall, what)
    at = tuple(ground.mm(station.at, f"a station of {what}") for station in record.stations)
    gaps = tuple(ground.mm(station.gap, f"a gap of {what}") for station in record.stations)
    _refuse_short_edge(record, at, ground, what)
    _refuse_no_cross(record, what)
    # One rule for all gaps of a check: a sixteenth among thirty-seconds was read to a thirty-second.
    step = min(graduation(station.gap, ground.step_mm) for station in record.stations)
    sds = tuple(ground.sd(record.sd, gap_sd(gap, record.instrument, step)) for gap in gaps)
    if len(at) <= MOST_STATIONS:
        names = tuple(f"at {ground.say(mm)}" for mm in at)
    else:
        taken = condensed(at, gaps, *gap_parts(record.instrument, step))
        at, gaps = tuple(one.at for one in taken), tuple(one.gap for one in taken)
        sds = tuple(ground.sd(record.sd, one.sd) for one in taken)
        names = tuple(f"at {ground.say(one.at)}, the mean of {one.count}" for one in taken)
    if record.run == "level":
        up = ground.height(record.up, what)
        along, ups = at, (up,) * len(at)
        words = f"check of {wall} at {ground.say(up)}"
    else:
        assert record.along is not None  # a plumb check without a place is refused as a record
        place = ground.mm(record.along, what)
        along, ups = (place,) * len(at), at
        words = f"plumb check of {wall}, {ground.say(place)} from {start}"
    reading = Gaps(record.id, wall, start, along, ups, gaps, sds, record.cross)
    return [seen(reading, words, at=names)]


@observes(Lean)
def observe_lean(record: Lean, ground: Ground) -> list[Seen]:
    """Return how far the wall's top leans into the room against its bottom."""
    what = f"a lean of `{record.wall}`"
    wall = ground.wall(record.wall, what)
    start = ground.on_wall(record.from_, wall, what)
    along = ground.mm(record.along, what)
    low, high = (ground.mm(height, f"a height of {what}") for height in (record.low, record.high))
    if record.offset is not None:
        offset = ground.mm(record.offset, f"the offset of {what}")
        own = offset_sd(high - low, record.instrument, graduation(record.offset, ground.step_mm))
    else:
        assert record.angle is not None  # a lean without both is refused as a record
        offset = (high - low) * math.tan(ground.angle(record.angle))
        own = lean_angle_sd(high - low, record.instrument)
    if abs(offset) > STEEPEST * (high - low):
        expected = f"at most {ground.say(STEEPEST * (high - low))} over {ground.say(high - low)}"
        raise LeftOut(200, what=what, value=ground.say(offset), expected=expected)
    sd = ground.sd(record.sd, own)
    reading = Leaning(record.id, offset, sd, wall, along, start, low, high)
    return [seen(reading, f"lean of {wall}, {ground.say(along)} from {start}")]


@observes(Drop)
def observe_drop(record: Drop, ground: Ground) -> list[Seen]:
    """Return how high floor or ceiling is at a point: down, or up, from the level line.

    Layers still to come on the floor are added to what was read to the floor as it stood.
    """
    what = f"a drop to the {record.to}"
    wall = ground.wall(record.wall, what)
    start = ground.on_wall(record.from_, wall, what)
    along = ground.mm(record.along, what)
    out = ground.mm(record.out, f"the distance out of {what}", least=0.0)
    reads = ground.mm(record.reads, what, least=0.0)
    own = math.hypot(accuracy_of(record, record.reads, ground).total(reads), LEVEL_LINE_SD)
    height, sd = ground.level_line + reads, ground.sd(record.sd, own)
    if record.to == "floor":
        thickness, thickness_sd = _floor_to_come(ground, what) if record.face == "now" else (0.0, 0.0)
        height, sd = ground.level_line - reads + thickness, math.hypot(sd, thickness_sd)
    reading = Level(record.id, height, sd, record.to, wall, along, start, out)
    return [
        seen(reading, f"drop to the {record.to}, {ground.say(along)} from {start}, {ground.say(out)} out")
    ]


@observes(Template)
def observe_template(record: Template, ground: Ground) -> list[Seen]:
    """Return the points of a template's edge that touch walls."""
    what = "a template"
    up = ground.height(record.up, what)
    walls = tuple(ground.wall(point.wall, what) for point in record.points)
    points = tuple((ground.mm(point.right, what), ground.mm(point.back, what)) for point in record.points)
    held = length_accuracy(record.instrument, record.start, ground.step_mm)
    own = math.hypot(held.total(0.0), TOUCH_SD)
    sds = (ground.sd(record.sd, own),) * len(points)
    reading = Touch(record.id, walls, points, up, sds, record.face == "finished")
    at = tuple(f"point {number} on {wall}" for number, wall in enumerate(walls, 1))
    return [seen(reading, f"template at {ground.say(up)}", at=at)]


def _refuse_short_edge(record: StraightedgeCheck, at: tuple[float, ...], ground: Ground, what: str) -> None:
    if record.edge_length is None:
        return
    edge, span = ground.size(record.edge_length, f"the edge's length of {what}"), max(at) - min(at)
    if span > edge + EDGE_SLACK_MM:
        why = f"its stations span {ground.say(span)}, the edge is {ground.say(edge)} long"
        raise LeftOut(207, what=what, why=why, do="read the stations again, or make it two checks")


def _refuse_no_cross(record: StraightedgeCheck, what: str) -> None:
    if record.cross is None:
        return
    if record.instrument != "line laser":
        why = f"a cross is two lines of a laser, and it was read with a {record.instrument}"
        raise LeftOut(207, what=what, why=why, do="say `with line laser`, or leave the cross out")
    if record.run != "level":
        why = f"the lines of cross `{record.cross}` run level, and the check is {record.run}"
        raise LeftOut(
            207, what=what, why=why, do="read gaps along the wall at one height, or leave the cross out"
        )


def _floor_to_come(ground: Ground, what: str) -> tuple[float, float]:
    """Return how thick and how sure the layers still to come on the floor are, in mm."""
    if len(ground.floor_areas) > 1:
        why = (
            f"{len(ground.floor_areas)} areas of floor have layers to come, and it does not say which it met"
        )
        raise LeftOut(207, what=what, why=why, do="read it to the finished face, or keep one area")
    layers = [layer for area in ground.floor_areas for layer in area.layers if layer.state == "to come"]
    thickness = sum(ground.mm(layer.thickness, f"layer {layer.name}", least=0.0) for layer in layers)
    return thickness, math.hypot(*map(layer_sd, layers))

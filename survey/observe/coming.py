"""What is assumed, and what is still to come: layers, trim."""

from __future__ import annotations

import math
from collections.abc import Iterator

from fitting.site import Covering
from survey.finding import Finding, finding
from survey.observe.accuracy import layer_sd
from survey.observe.ground import Ground, LeftOut
from survey.records import (
    Area,
    Assumption,
    Layer,
    LengthReading,
    Reading,
    Spot,
    StraightedgeCheck,
    Survey,
    ThreeSides,
    Trim,
)

_MOST_REPEATED = 5


def assumptions(survey: Survey) -> Iterator[Finding]:
    """Give what was taken as given instead of measured."""
    for record in survey.of(Assumption):
        yield finding(600, (record.id,), what=f"{record.what} of `{record.of}`")


def trim_to_come(survey: Survey, ground: Ground) -> Iterator[Finding]:
    """Give the trim that is not there yet."""
    for trim in survey.of(Trim):
        if trim.fate == "comes later":
            size = f", {trim.projection.text} thick" if trim.projection else ""
            do = "fit the piece without it and say who fits it to the piece, or read its place once it is on"
            yield finding(602, (trim.id,), what=f"{trim.type} `{trim.name}` comes later{size}", do=do)


def coverings(survey: Survey, ground: Ground) -> tuple[tuple[Covering, ...], list[Finding]]:
    """Return the layers still to come on walls, and a finding for each area that has some."""
    found: list[Covering] = []
    findings: list[Finding] = []
    for area in survey.of(Area):
        layers = [layer for layer in area.layers if layer.state == "to come"]
        if not layers or (area.wall not in ground.walls and area.wall != "floor"):
            continue
        try:
            covering = _covering(area, layers, ground)
        except LeftOut as left_out:
            findings.append(left_out.finding(area.id))
            continue
        findings.append(_still_to_come(area, layers, covering, survey, ground))
        if area.wall != "floor":
            found.append(covering)
    return tuple(found), findings


def _covering(area: Area, layers: list[Layer], ground: Ground) -> Covering:
    what = f"area `{area.name}`"
    thickness = sum(ground.mm(layer.thickness, f"{layer.name} of {what}", least=0.0) for layer in layers)
    bounds = [
        limit if typed is None else ground.mm(typed, f"a bound of {what}")
        for typed, limit in (
            (area.from_, -math.inf),
            (area.to, math.inf),
            (area.bottom, -math.inf),
            (area.top, math.inf),
        )
    ]
    for (low, high), (typed_low, typed_high) in zip(
        (bounds[:2], bounds[2:]), ((area.from_, area.to), (area.bottom, area.top)), strict=True
    ):
        if low >= high and typed_low and typed_high:
            raise LeftOut(
                200, what=what, value=f"{typed_low.text} to {typed_high.text}", expected="the lower first"
            )
    return Covering(area.wall, thickness, math.hypot(*map(layer_sd, layers)), *bounds)


def _still_to_come(
    area: Area, layers: list[Layer], covering: Covering, survey: Survey, ground: Ground
) -> Finding:
    affected = _readings_on(area.wall, survey, ground)
    repeat = "the drops" if area.wall == "floor" else f"the readings to wall `{area.wall}`"
    return finding(
        601,
        (area.id, *affected),
        what=" and ".join(layer.name for layer in layers),
        name=area.wall,
        thickness=ground.say(covering.thickness),
        sd=ground.say(covering.sd),
        repeat=repeat,
    )


def _readings_on(wall: str, survey: Survey, ground: Ground) -> list[str]:
    """Return ids of the first few readings, taken to the face as it stood, that a covering moves."""
    corners = {
        corner.name for corner in ground.corners.values() if wall in (corner.left_wall, corner.right_wall)
    }
    found = []
    for record in survey.of(Reading):
        if record.face == "now" and _meets(record, wall, corners):
            found.append(record.id)
            if len(found) == _MOST_REPEATED:
                break
    return found


def _meets(record: Reading, wall: str, corners: set[str]) -> bool:
    if isinstance(record, LengthReading):
        return any(
            (end.wall == wall) if isinstance(end, Spot) else (end in corners) for end in record.between
        )
    if isinstance(record, ThreeSides):
        return record.corner in corners
    return isinstance(record, StraightedgeCheck) and record.wall == wall

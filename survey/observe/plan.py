"""The plan of the room: walls, corners, what is still to come, and the feature points that were read."""

from __future__ import annotations

from collections.abc import Iterable, Set
from typing import Final

from fitting.errors import BadInput
from fitting.site import Along, Covering, Feature, Plan
from fitting.site import Corner as SiteCorner
from survey.finding import Finding, finding
from survey.observe.corners import meant_or_usual
from survey.observe.ground import Ground, LeftOut
from survey.observe.observed import Seen
from survey.observe.whereabouts import Whereabouts
from survey.records import Fixture, Mark, Obstacle, Opening, Room, Stud, Survey, Trim

MOST_WALLS: Final = 100
"""More are no room: walking round them takes too long."""
LEANS_APART_MM: Final = 200.0
"""An upright's lean is an unknown where its places were read at heights further apart."""
UPRIGHT: Final = (Opening, Trim, Stud, Fixture, Obstacle)
"""What has an edge that runs up. A mark is a point: at another height it means the place plumb with it."""


def choose_origin(survey: Survey, ground: Ground) -> tuple[str | None, list[Finding]]:
    """Return the mark that is x = 0 where the back wall has no left wall.

    It is the room's own; else, with no right wall either, the first mark on the back wall.
    """
    rooms = survey.of(Room)
    if not rooms or any(corner.right_wall == rooms[-1].back for corner in ground.corners.values()):
        return None, []
    room = rooms[-1]
    if room.origin is not None and room.origin in ground.things:
        try:
            return ground.on_wall(room.origin, room.back, "the room's origin"), []
        except LeftOut as left_out:
            return None, [left_out.finding(room.id)]
    if any(corner.left_wall == room.back for corner in ground.corners.values()):
        return None, []
    marks = (mark.name for mark in survey.of(Mark) if mark.wall == room.back and room.back in ground.walls)
    return next(marks, None), []


def lay_plan(
    survey: Survey,
    ground: Ground,
    points: Set[str],
    readings: Iterable[Seen],
    found: Whereabouts,
    coverings: tuple[Covering, ...],
    origin: str | None,
) -> tuple[Plan | None, list[Finding]]:
    """Return the plan, or nothing and why, where the walls do not hang together."""
    rooms = survey.of(Room)
    if not rooms or rooms[-1].back not in ground.walls:
        return None, []  # a finding of the structure
    if len(ground.walls) > MOST_WALLS:
        why = f"there are {len(ground.walls)} of them, expected at most {MOST_WALLS} in one room"
        return None, [finding(104, why=why)]
    corners = tuple(
        SiteCorner(corner.name, corner.left_wall, corner.right_wall, meant_or_usual(corner))
        for corner in ground.corners.values()
    )
    features = _features(ground, points, readings, found)
    try:
        plan = Plan(rooms[-1].back, tuple(ground.walls), corners, coverings, features, origin, found.starts)
    except BadInput as refused:
        return None, [finding(104, _named_in(str(refused), ground), why=str(refused))]
    return plan, []


def _features(
    ground: Ground, points: Set[str], readings: Iterable[Seen], found: Whereabouts
) -> tuple[Feature, ...]:
    heights: dict[str, list[float]] = {}
    for one in readings:
        if isinstance(one.reading, Along):
            heights.setdefault(one.reading.feature, []).append(one.reading.up)
    features = []
    for point in sorted(points - ground.corners.keys()):
        wall = ground.walls_of(point)[0]
        read_at = heights.get(point, [0.0])
        upright = isinstance(ground.things.get(point.partition(":")[0]), UPRIGHT)
        leans = upright and max(read_at) - min(read_at) > LEANS_APART_MM
        features.append(Feature(point, wall, leans, found.places.get((wall, point))))
    return tuple(features)


def _named_in(why: str, ground: Ground) -> list[str]:
    """Return ids of the corners and walls that a refusal names; of all corners where it names none."""
    named = [corner.id for corner in ground.corners.values() if f"`{corner.name}`" in why]
    named += [wall.id for wall in ground.walls.values() if f"'{wall.name}'" in why]
    return named or [corner.id for corner in ground.corners.values()]

"""Corners: by three sides, by a gauge, by a square."""

from __future__ import annotations

import math
from typing import Final

from fitting.site import Along, CornerTurn, Distance
from survey.observe.accuracy import angle_sd, graduation, square_sd
from survey.observe.ground import Ground, LeftOut
from survey.observe.lengths import taken
from survey.observe.observed import Seen
from survey.observe.register import observes, seen
from survey.records import Corner, CornerAngle, CornerSquare, ThreeSides

MOST_OFF: Final = math.radians(10.0)
"""A corner that reads further from what is meant has a slipped digit (assumption of ours)."""
LEAST_TURN: Final = math.radians(10.0)
"""Walls that turn less are one wall to the eye, and no corner fixes a place on them."""


def room_side_meant(corner: Corner) -> float:
    """Return the room-side angle that a corner is meant to have, in radians.

    Raises
    ------
    LeftOut
        For a typed angle at which two walls make no corner, or one on the wrong side of straight.
    """
    inside = corner.turn == "inside"
    if corner.nominal is None:
        return math.pi / 2 if inside else 3 * math.pi / 2
    meant = corner.nominal.angle.radians
    low, high = (
        (LEAST_TURN, math.pi - LEAST_TURN) if inside else (math.pi + LEAST_TURN, 2 * math.pi - LEAST_TURN)
    )
    if not low <= meant <= high:
        raise LeftOut(
            200,
            what=f"the angle meant of {corner.turn} corner `{corner.name}`",
            value=corner.nominal.text,
            expected=f"{math.degrees(low):.0f} to {math.degrees(high):.0f} degrees, on the room's side",
        )
    return meant


@observes(ThreeSides)
def observe_three_sides(record: ThreeSides, ground: Ground) -> list[Seen]:
    """Return both legs to marks of their own, and the diagonal between the marks.

    It is the same for an outside corner: the marks are on the walls, whichever side the tape is.
    """
    what = f"corner `{record.corner}` by three sides"
    corner = ground.corner(record.corner, what)
    up = ground.height(record.up, what)
    typed = (record.left_leg, record.right_leg, record.diagonal)
    sides = [ground.size(side, what) for side in typed]
    _refuse_no_triangle(record, sides)
    _refuse_far_off(corner, _room_side(corner, _opposite(*sides)), ground)
    left = ground.strike(f"left mark of {record.id}", corner.left_wall)
    right = ground.strike(f"right mark of {record.id}", corner.right_wall)
    finished = record.face == "finished"
    sures = [taken(record, side, ground) for side in typed]
    name = corner.name
    return [
        seen(
            Along(
                (record.id, "left leg"), sides[0], sures[0].sd, left, name, up, finished, tool=sures[0].tool
            ),
            f"leg of corner {name} on {corner.left_wall}",
        ),
        seen(
            Along(
                (record.id, "right leg"), sides[1], sures[1].sd, right, name, up, finished, tool=sures[1].tool
            ),
            f"leg of corner {name} on {corner.right_wall}",
        ),
        seen(
            Distance(
                (record.id, "diagonal"),
                sides[2],
                sures[2].sd,
                left,
                right,
                up,
                up,
                finished,
                tool=sures[2].tool,
            ),
            f"diagonal of corner {name}",
        ),
    ]


@observes(CornerAngle)
def observe_corner_angle(record: CornerAngle, ground: Ground) -> list[Seen]:
    """Return a gauge's angle; at an outside corner it is read on the solid side."""
    what = f"corner `{record.corner}` by a gauge"
    corner = ground.corner(record.corner, what)
    up = ground.height(record.up, what)
    reach = ground.size(record.reach, f"the reach of {what}")
    turn = _refuse_far_off(corner, _room_side(corner, ground.angle(record.reads)), ground)
    own = angle_sd(record.instrument)
    sd = own if record.sd is None else ground.sd(record.sd, 0.0) / reach
    return [
        seen(
            CornerTurn(record.id, turn, sd, corner.name, reach, reach, up),
            f"angle of corner {corner.name}",
            "deg",
        )
    ]


@observes(CornerSquare)
def observe_corner_square(record: CornerSquare, ground: Ground) -> list[Seen]:
    """Return the turn that a square's gap means: more room at the tip, less at the heel.

    Inside, a wall that runs away from the square's leg gaps at its tip, and the room has more than 90
    degrees. Outside, the solid then has less than 90 degrees, so that the room again has more.
    """
    what = f"corner `{record.corner}` by a square"
    corner = ground.corner(record.corner, what)
    up = ground.height(record.up, what)
    if record.lies_on not in (corner.left_wall, corner.right_wall):
        why = f"the square lies on `{record.lies_on}`"
        do = f"say `{corner.left_wall}` or `{corner.right_wall}`"
        raise LeftOut(207, what=what, why=why, do=do)
    lying = ground.size(record.lying_leg, f"the lying leg of {what}")
    other = ground.size(record.other_leg, f"the other leg of {what}")
    gap = ground.mm(record.gap, f"the gap of {what}", least=0.0)
    opens = math.atan2(gap, other) * (1.0 if record.gap_at == "tip" else -1.0)
    square = math.pi / 2 if corner.turn == "inside" else 3 * math.pi / 2
    turn = _refuse_far_off(corner, square + opens, ground)
    own = square_sd(gap, other, record.flipped, graduation(record.gap, ground.step_mm))
    sd = own if record.sd is None else ground.sd(record.sd, 0.0) / other
    reaches = (lying, other) if record.lies_on == corner.left_wall else (other, lying)
    return [
        seen(
            CornerTurn(record.id, turn, sd, corner.name, *reaches, up),
            f"square in corner {corner.name}",
            "deg",
        )
    ]


def _opposite(a: float, b: float, c: float) -> float:
    """Return the angle opposite side c, by the law of cosines."""
    return math.acos((a * a + b * b - c * c) / (2.0 * a * b))


def _room_side(corner: Corner, read: float) -> float:
    """Turn an angle read on the side that a person can reach to the room's side."""
    return read if corner.turn == "inside" else 2 * math.pi - read


def _refuse_no_triangle(record: ThreeSides, sides: list[float]) -> None:
    a, b, c = sides
    if not abs(a - b) < c < a + b:
        raise LeftOut(204, a=record.left_leg.text, b=record.right_leg.text, c=record.diagonal.text)


def _refuse_far_off(corner: Corner, room_side: float, ground: Ground) -> float:
    """Return a corner's angle minus the one meant, refused where it is too far off."""
    meant = meant_or_usual(corner)
    turn = room_side - meant
    if abs(turn) > MOST_OFF:
        value, expected = (ground.say_angle(_room_side(corner, angle)) for angle in (room_side, meant))
        raise LeftOut(202, corner=corner.name, value=value, expected=expected)
    return turn


def meant_or_usual(corner: Corner) -> float:
    """Return the angle meant; the usual one where the typed one is refused, which is a finding elsewhere."""
    try:
        return room_side_meant(corner)
    except LeftOut:
        return math.pi / 2 if corner.turn == "inside" else 3 * math.pi / 2

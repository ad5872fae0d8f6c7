"""Whether the doors and drawers planned on a cabinet open past what stands beside them, and what that
needs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from fitting.cabinet import FittedCabinet, SideName
from fitting.pull_out import lacking, pack_for_roll_out
from fitting.swing import reached, strike
from survey.finding import Finding, finding
from survey.records import BoxPiece, CabinetDoor, Drawer, FalseFront, FrontPiece, Piece
from survey.report.beside import CLEAR, Beside, beside
from survey.report.context import Context
from survey.report.leaves import across, face_of, heights_of, opens_to, sliding_of, swing_of

SIDES: Final[tuple[SideName, SideName]] = ("left", "right")
OUT_BY = 50.0
"""mm; how far out what is beside a front is looked at goes in steps of this."""
UNKNOWN = 25.4 / 8
"""mm; what is not known of a wall is mentioned from 1/8 in on (assumption)."""
ROLLS = 25.4 / 8
"""mm between what rolls out and an open door, 1/8 in (common practice, no source)."""


@dataclass(frozen=True)
class Passing:
    """What a front needs at one side to open: `lacking` mm more than there is now; below 0 so much is to
    spare.

    `obstacle` is what it comes nearest to, and `reached` the angle in radians that a door opens to. Part
    of what is lacking is for what is not known of its place.
    """

    front: FrontPiece
    side: SideName
    lacking: float
    obstacle: Beside
    reached: float | None = None


def least_gap(side: SideName, cabinet: str) -> str:
    """Name the measure of a door or drawer that says which gap its cabinet needs at a side."""
    return f"least gap at the {side} of `{cabinet}` to open"


def fronts_of(context: Context, cabinet: BoxPiece) -> tuple[CabinetDoor | Drawer, ...]:
    """Return the doors and drawers that are planned on a cabinet."""
    return tuple(
        one
        for one in context.survey.of(FrontPiece)
        if one.of == cabinet.name and isinstance(one, CabinetDoor | Drawer)
    )


def passings(
    context: Context, piece: Piece, cabinet: BoxPiece, box: FittedCabinet, fronts: Iterable[FrontPiece]
) -> tuple[Passing, ...]:
    """Return what each of these fronts needs, at each side where anything stands in its way."""
    found = []
    for front in fronts:
        if isinstance(front, CabinetDoor):
            found.append(_door(context, piece, cabinet, box, front))
        elif isinstance(front, Drawer):
            found += [_drawer(context, piece, cabinet, box, front, side) for side in SIDES]
    return tuple(one for one in found if one is not None)


def strikes(
    context: Context, cabinet: BoxPiece, box: FittedCabinet, found: Iterable[Passing]
) -> Iterator[Finding]:
    """Say which fronts do not open, and what would let them."""
    printer = context.printer
    for one in found:
        if one.lacking <= 0:
            continue
        front, more = one.front, printer.up(one.lacking).text
        records, pieces = [front.id, cabinet.id], [front.name, cabinet.name]
        room = f"{_so_wide(context, box, one)}{_unknown(context, one)}"
        do = f"leave {more} more at the {one.side} of `{cabinet.name}`{room}"
        if isinstance(front, CabinetDoor) and one.reached is not None:
            yield finding(
                524,
                records,
                pieces,
                piece=front.name,
                obstacle=one.obstacle.words,
                reached=degrees(one.reached),
                asked=degrees(opens_to(front)),
                do=f"{do}, or let it open less far",
            )
        else:
            yield finding(
                525,
                records,
                pieces,
                piece=front.name,
                obstacle=one.obstacle.words,
                lacking=more,
                side=one.side,
                do=do,
            )


def rolls_out(context: Context, cabinet: BoxPiece, box: FittedCabinet) -> Iterator[Finding]:
    """Say which drawers stand behind a door of their cabinet that, open, is in their way."""
    fronts = fronts_of(context, cabinet)
    for door in fronts:
        for drawer in fronts:
            if (
                not isinstance(door, CabinetDoor)
                or not isinstance(drawer, Drawer)
                or not _behind(box, door, drawer)
            ):
                continue
            start, end = across(box, drawer)
            swing, angle = swing_of(box, door), opens_to(door)
            more = pack_for_roll_out(swing, angle, start if door.hinge == "left" else end, ROLLS)
            if more > 0:
                yield finding(
                    526,
                    [drawer.id, door.id],
                    [drawer.name, door.name, cabinet.name],
                    piece=drawer.name,
                    door=door.name,
                    asked=degrees(angle),
                    lacking=context.printer.up(more).text,
                    side=door.hinge,
                )


def degrees(angle: float) -> str:
    """Say an angle, rounded down to a tenth of a degree.

    >>> degrees(math.pi / 2), degrees(1.52)
    ('90 degrees', '87 degrees')
    """
    tenths = math.floor(math.degrees(angle) * 10 + 1e-6) / 10
    return f"{tenths:g} degrees"


def _so_wide(context: Context, box: FittedCabinet, one: Passing) -> str:
    """Say how wide the gap at the face then is, where it is one to a wall."""
    gap = box.sides.get(one.side)
    if gap is None:
        return ""
    return f": a gap of {context.printer.up(at_face(box, one.side) + one.lacking).text}"


def _unknown(context: Context, one: Passing) -> str:
    """Say what checking the thing farther out might save, where that is much."""
    if one.obstacle.unknown <= UNKNOWN:
        return ""
    much = context.printer.near(min(one.obstacle.unknown, one.lacking)).text
    return (
        f" (up to {much} of that for what is not known of {one.obstacle.words} there: check it farther out)"
    )


def at_face(box: FittedCabinet, side: SideName) -> float:
    """Return the least gap at a side of a cabinet's face (mm)."""
    gap = box.sides[side]
    return float(gap.gap.mean[gap.deep == 0.0].min())


def _door(
    context: Context, piece: Piece, cabinet: BoxPiece, box: FittedCabinet, door: CabinetDoor
) -> Passing | None:
    swing, angle = swing_of(box, door), opens_to(door)
    things = beside(
        context, piece, cabinet, box, door.hinge, heights_of(box, door), _out(swing.radius - face_of(door))
    )
    worst: tuple[float, Beside] | None = None
    for thing in things:
        found = strike(swing, [thing.line], angle, thing.kept_clear)
        if found is not None and (worst is None or found.lacking > worst[0]):
            worst = found.lacking, thing
    if worst is None:
        return None
    angle = min(reached(swing, [thing.line], angle, thing.kept_clear) for thing in things)
    return Passing(door, door.hinge, worst[0], worst[1], angle)


def _drawer(
    context: Context, piece: Piece, cabinet: BoxPiece, box: FittedCabinet, drawer: Drawer, side: SideName
) -> Passing | None:
    fronts = (one for one in context.survey.of(FalseFront) if one.of == cabinet.name)
    parts = sliding_of(box, drawer, side, next((one for one in fronts if _behind(box, one, drawer)), None))
    far = _out(max(part.travel - part.front for part in parts))
    worst: Passing | None = None
    for thing in beside(context, piece, cabinet, box, side, heights_of(box, drawer), far):
        for part in parts:
            found = lacking(part, side, [thing.line], thing.kept_clear)
            if found is not None and (worst is None or found > worst.lacking):
                worst = Passing(drawer, side, found, thing)
    return worst


def _out(reach: float) -> float:
    """Return how far out (mm) to look for what reaches so far: in steps, so that like fronts look alike."""
    return math.ceil((reach + CLEAR) / OUT_BY) * OUT_BY


def _behind(box: FittedCabinet, front: FrontPiece, drawer: Drawer) -> bool:
    """Whether a drawer lies within the face of a door or front: then it stands behind it."""
    (a, b), (c, d) = across(box, front), across(box, drawer)
    (low, high), (bottom, top) = heights_of(box, front), heights_of(box, drawer)
    middle, level = (c + d) / 2, (bottom + top) / 2
    return a < middle < b and low < level < high

"""Cabinets side by side along a wall: which one holds which, and whether there is room for all of them.

A cabinet whose side meets another stands beside it. In a run one cabinet is held by a wall or a mark, and the
others each by their neighbour on that cabinet's side.
"""

from __future__ import annotations

from collections.abc import Iterator

from fitting.cabinet import FittedCabinet, SideName, side_gap
from survey.finding import Finding, finding
from survey.records import BoxPiece, Edge, Wall
from survey.report.context import Context, mm

SIDES: tuple[SideName, ...] = ("left", "right")
OVERLAPS = 0.5
"""mm by which cabinets may be expected to overlap before it is said: what a clamp takes up."""


def edge_at(piece: BoxPiece, side: SideName) -> Edge:
    """Return what a cabinet's side meets."""
    return piece.left if side == "left" else piece.right


def neighbours(context: Context, piece: BoxPiece) -> dict[SideName, BoxPiece]:
    """Return the cabinets that its sides meet."""
    found: dict[SideName, BoxPiece] = {}
    for side in SIDES:
        met = edge_at(piece, side).meets
        other = None if met is None else context.record(met, BoxPiece)
        if other is not None:
            found[side] = other
    return found


def held_by(context: Context, piece: BoxPiece) -> tuple[SideName, BoxPiece] | Finding | None:
    """Return the neighbour that holds a cabinet, and at which side; nothing where a wall or mark does.

    A wall at its side holds it where a gap is asked for there, or a net fit; a filler with no gap there takes
    up what a run leaves over. Where nothing else holds a run, such walls do. Of two neighbours that could
    hold it, the nearer to what is held takes it, and of two as near the left one.
    """
    near = neighbours(context, piece)
    if not near:
        return None
    reached = _members(context, piece)
    firm = {one.name for one in reached.values() if _is_held(context, one, loosely=False)}
    anchors = firm or {one.name for one in reached.values() if _is_held(context, one, loosely=True)}
    if piece.name in anchors:
        return None
    steps = {side: _steps(context, other, anchors, {piece.name}) for side, other in near.items()}
    able = {side: one for side, one in steps.items() if one is not None}
    if not able:
        names = " and ".join(f"`{name}`" for name in sorted(reached))
        why = f"{names} stand only beside one another" if len(reached) > 1 else "it stands beside itself"
        return finding(518, [one.id for one in reached.values()], [piece.name], piece=piece.name, why=why)
    side = min(able, key=lambda one: (able[one], one))
    return side, near[side]


def run_too_wide(context: Context, piece: BoxPiece, box: FittedCabinet, binds: float) -> list[Finding]:
    """Refuse the last of a run that is wider than its place; the total and what is too much are named."""
    if box.beside is None:
        return []
    over = -min((gap.least for gap in box.sides.values()), default=0.0)
    if over <= binds:
        return []
    names, total, one = [piece.name], box.plan.width, box
    current = piece
    while one.beside is not None:
        held = held_by(context, current)
        assert isinstance(held, tuple)
        current, total = held[1], total + one.beside.gap + one.beside.box.plan.width
        one = one.beside.box
        names.append(current.name)
    total += sum(gap.least for gap in one.sides.values()) if len(one.sides) == 1 else 0.0
    near = context.printer.near
    words = {
        "size": near(total).text,
        "room": near(total - over).text,
        "less": context.printer.up(over).text,
        "names": ", ".join(f"`{name}`" for name in names),
    }
    return [finding(517, [piece.id], [piece.name], piece=piece.name, **words)]


def overlaps(
    context: Context, piece: BoxPiece, box: FittedCabinet, others: dict[str, FittedCabinet]
) -> Iterator[Finding]:
    """Say which other cabinets at the same wall and height take the same room; each pair is said once."""
    for name, other in others.items():
        record = context.record(name, BoxPiece)
        if name == piece.name or record is None or other.plan.wall != box.plan.wall:
            continue
        if box.plan.bottom >= other.plan.top or other.plan.bottom >= box.plan.top:
            continue
        by = -max(side_gap(box, "left", other), side_gap(box, "right", other))
        if by > OVERLAPS:
            first, second = sorted((piece, record), key=lambda one: one.name)
            yield finding(
                519,
                [first.id, second.id],
                [first.name, second.name],
                piece=first.name,
                other=second.name,
                by=context.printer.up(by).text,
                wall=box.plan.wall,
            )


def stand_together(context: Context, piece: BoxPiece, box: FittedCabinet) -> list[tuple[float, float]]:
    """Return the corners in plan of all that stands on the floor in one run with a cabinet, its own first.

    The upper edges of a run are one line, so it is levelled from the highest place under all of it.
    """
    points: list[tuple[float, float]] = []
    waiting, passed = [(piece, box.left)], {piece.name}
    while waiting:
        one, left = waiting.pop(0)
        right, back = left + mm(one.width), box.plan.depth
        if one.bottom is None:
            places = [(x, y) for x in (left, right) for y in (back - mm(one.depth), back)]
            points += [box.placed.frame.to_room(x, y) for x, y in places]
        for side, other in neighbours(context, one).items():
            if other.name not in passed and other.wall == piece.wall:
                passed.add(other.name)
                gap = gap_between(one, side, other)
                waiting.append((other, right + gap if side == "right" else left - gap - mm(other.width)))
    return points


def _members(context: Context, piece: BoxPiece) -> dict[str, BoxPiece]:
    """Return all cabinets that it stands beside, and those beside them."""
    found, waiting = {piece.name: piece}, [piece]
    while waiting:
        for other in neighbours(context, waiting.pop()).values():
            if other.name not in found:
                found[other.name] = other
                waiting.append(other)
    return found


def _is_held(context: Context, piece: BoxPiece, loosely: bool) -> bool:
    if piece.from_ is not None or (piece.aim is not None and piece.aim.what == "in line"):
        return True
    near = neighbours(context, piece)
    for side in SIDES:
        edge = edge_at(piece, side)
        if edge.meets is None or context.record(edge.meets, Wall) is None:
            continue
        if loosely or not near or edge.gap is not None or edge.finish == "net":
            return True
    return False


def _steps(context: Context, piece: BoxPiece, anchors: set[str], passed: set[str]) -> int | None:
    """Return over how many neighbours a cabinet is held, never passing one twice; nothing where it is not."""
    if piece.name in anchors:
        return 0
    found = [
        steps
        for other in neighbours(context, piece).values()
        if other.name not in passed
        and (steps := _steps(context, other, anchors, passed | {piece.name})) is not None
    ]
    return min(found) + 1 if found else None


def asked_gap(piece: BoxPiece, side: SideName) -> float:
    """Return the gap (mm) asked for at a side: none where nobody said one."""
    return mm(edge_at(piece, side).gap)


def gap_between(piece: BoxPiece, side: SideName, other: BoxPiece) -> float:
    """Return the gap (mm) between neighbours: each says the least that it wants, so the larger is kept."""
    facing: SideName = "right" if side == "left" else "left"
    theirs = asked_gap(other, facing) if edge_at(other, facing).meets == piece.name else 0.0
    return max(asked_gap(piece, side), theirs)

"""What a piece's record says twice, or says and nothing can follow: refused, never passed over in silence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fitting.cabinet import FittedCabinet, SideName
from survey.finding import Finding, finding
from survey.records import BoxPiece, Piece, Top
from survey.report.context import Context, mm, not_made

AGREES = 1.5
"""mm by which a gap may differ from the one asked for before it is said; what a caulked gap takes up."""


def box_said_twice(piece: BoxPiece, sides: bool) -> Iterator[Finding]:
    """Refuse a box whose place is given by a side at a wall and by `along` as well."""
    if sides and (piece.along is not None or piece.from_ is not None):
        why = "where it stands is said twice, by the wall at its side and by `along` and `from`"
        yield not_made(piece, why, "leave `along` and `from` out, and give that side its gap")


def gaps_not_kept(context: Context, piece: BoxPiece, box: FittedCabinet) -> Iterator[Finding]:
    """Say which gap comes out otherwise than asked: between two walls a box keeps one of them at the most."""
    for side, gap in box.sides.items():
        asked = (piece.left if side == "left" else piece.right).gap
        if asked is not None and abs(gap.least - mm(asked)) > AGREES:
            yield _not_kept(context, piece, side, gap.least, mm(asked))


def joints_not_kept(
    context: Context, piece: BoxPiece, between: Iterable[tuple[SideName, BoxPiece, float]]
) -> Iterator[Finding]:
    """Say which joint of a run comes out otherwise than asked: what both ends hold leaves the rest between.

    `between` are the sides that meet cabinets, which, and the least gap to each (mm). Boxes that stand side
    by side with no gap asked are screwed together.
    """
    for side, _, gap in between:
        asked = mm((piece.left if side == "left" else piece.right).gap)
        if gap > asked + AGREES:
            yield _not_kept(context, piece, side, gap, asked)


def _not_kept(context: Context, piece: BoxPiece, side: SideName, gap: float, asked: float) -> Finding:
    near = context.printer.near
    return finding(
        510,
        [piece.id],
        [piece.name],
        edge=f"the {side}",
        piece=piece.name,
        gap=near(gap).text,
        asked=near(asked).text,
    )


def top_said_twice(piece: Top, box: FittedCabinet | None) -> Iterator[Finding]:
    """Refuse a top with a size or place that something else gives already."""
    walls = [side for side in ("left", "right") if getattr(piece, side).meets is not None]
    placed = "the wall at its end" if walls else "its cabinet"
    rules = (
        (
            (piece.along or piece.from_) and (walls or box),
            "its place",
            placed,
            "leave `along` and `from` out",
        ),
        (piece.width and len(walls) == 2, "its width", "the walls at its ends", "leave `width` out"),
        (
            piece.width and len(walls) == 1 and box,
            "its width",
            "its cabinet and the wall",
            "leave `width` out, and say `end overhang`",
        ),
        (
            piece.depth and box and piece.back.meets is not None,
            "its depth",
            "its cabinet and the wall behind",
            "leave `depth` out, and say `overhang`",
        ),
    )
    for wrong, what, by, do in rules:
        if wrong:
            yield not_made(piece, f"{what} is said twice, by itself and by {by}", do)
    yield from _past_no_cabinet(piece, box)
    yield from _in_the_cabinet(piece, box)


def _past_no_cabinet(piece: Top, box: FittedCabinet | None) -> Iterator[Finding]:
    if box is None and (piece.overhang or piece.end_overhang):
        why = "an overhang counts from a cabinet, and it lies on none"
        yield not_made(piece, why, "say the cabinet that it lies on, or add the overhang to its size")


def _in_the_cabinet(piece: Top, box: FittedCabinet | None) -> Iterator[Finding]:
    if box is None or piece.up is None:
        return
    if mm(piece.up) - mm(piece.thickness) < box.plan.top - AGREES:
        why = f"`up` puts its underside lower than the top of cabinet `{piece.on}`"
        yield not_made(piece, why, "leave `up` out, or correct the cabinet's height")


def wrong_end(context: Context, piece: Piece, side: SideName, wall: str, met: str) -> list[Finding]:
    """Refuse a side that meets the wall at the other end of the wall behind."""
    other: SideName = "right" if side == "left" else "left"
    corner = context.room.plan.corner_at(wall, other)
    if corner is None or met != (corner.left if other == "left" else corner.right):
        return []
    near = context.room.plan.corner_at(wall, side)
    if near is not None and met == (near.left if side == "left" else near.right):
        return []
    why = f"its {side} side is to meet wall `{met}`, which stands at the {other} end of wall `{wall}`"
    return [not_made(piece, why, f"say `{other} meets {met}`, or another wall")]

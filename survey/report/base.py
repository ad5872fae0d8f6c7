"""What stands between a cabinet and the floor: legs, a loose base or its own base, by place."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fitting.cabinet import FittedCabinet
from fitting.floor import Standing, stand
from survey.finding import Finding
from survey.records import BoxPiece
from survey.report.context import Context, mm, not_made, not_said
from survey.report.structs import NamedDimension

PLACES = 5
"""Along each line of a base where it is told what is planed off."""
CORNERS = ("left front", "left back", "right front", "right back")
"""As `survey.report.boxes.footprint` gives them."""
Points = list[tuple[float, float]]


def need_base(piece: BoxPiece) -> list[Finding]:
    """Legs and a loose base have a height, and what hangs has neither."""
    if piece.bottom is not None and (piece.base != "box" or piece.kick_height is not None):
        why = "it hangs at a height of its own, and is to stand on something as well"
        return [not_made(piece, why, "leave `bottom` out, or what it stands on")]
    if piece.base != "box" and piece.kick_height is None:
        what = "its legs are" if piece.base == "legs" else "its loose base is"
        return [
            not_said(
                piece, f"how high {what} (`{piece.name}`)", "say `toe height`, at the floor's high point"
            )
        ]
    if mm(piece.kick_height) >= mm(piece.height) or mm(piece.kick_depth) >= mm(piece.depth):
        why = "its toe space is as high or as deep as the whole"
        return [not_made(piece, why, "correct the toe's height and depth, or the cabinet's")]
    return []


def base_measures(
    context: Context, piece: BoxPiece, box: FittedCabinet, under: Points, feet: Points
) -> Iterator[NamedDimension]:
    """Tell by place what makes up for the floor: shims, legs, or a scribed base.

    `under` are its corners in the plan and those of what it stands level with, its own first; `feet` its own
    with those in front behind the toe space.
    """
    named = context.printer.named
    if piece.base != "box":
        standing = stand(context.room, feet, among=under)
        height = mm(piece.kick_height)
        if piece.base == "legs":
            for name, leg in zip(CORNERS, standing.legs(height)[: len(CORNERS)], strict=True):
                yield named(f"leg at the {name}", float(leg))
            return
        yield named("height of the loose base", height)
        yield from _shims(context, standing, "shim under the loose base at the")
        return
    yield from _shims(context, stand(context.room, under), "shim at the")
    if piece.kick_height is not None:
        yield from _scribed(context, piece, box, under)


def _shims(context: Context, standing: Standing, words: str) -> Iterator[NamedDimension]:
    for name, shim in zip(CORNERS, standing.shims.mean[: len(CORNERS)], strict=True):
        yield context.printer.named(f"{words} {name}", float(shim))


def _scribed(
    context: Context, piece: BoxPiece, box: FittedCabinet, under: Points
) -> Iterator[NamedDimension]:
    """Instead of shims its base may be scribed: how much is left on, and what is planed off by place."""
    named, recess, depth = context.printer.named, mm(piece.kick_depth), box.plan.depth
    lines = {
        "front": [(x, recess) for x in np.linspace(box.left, box.right, PLACES)],
        "left side": [(box.left, y) for y in np.linspace(recess, depth, PLACES)],
        "right side": [(box.right, y) for y in np.linspace(recess, depth, PLACES)],
    }
    places = [box.placed.frame.to_room(float(x), float(y)) for line in lines.values() for x, y in line]
    standing = stand(context.room, places, among=under)
    off = standing.scribed()
    yield named("scribed instead of shimmed: left on its base", standing.range)
    at = 0
    for name, line in lines.items():
        start = "from the left" if name == "front" else "from the face"
        for x, y in line:
            where = context.printer.near(float(x - box.left if name == "front" else y)).text
            yield named(f"planed off its base along the {name}, {where} {start}", float(off[at]))
            at += 1

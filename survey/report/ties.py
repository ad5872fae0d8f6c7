"""What must be there before what, on the day of fitting: read off the records, each tie with its reason.

Which piece comes first is mostly said by what it rests on or meets. The rest is common practice, no source:
upper boxes before the lower ones that one would have to lean over, fronts last, the level line first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from fitting.cabinet import FittedCabinet
from fitting.order import Relation, Why
from survey.records import (
    BoxPiece,
    CaseBack,
    Cleat,
    Edge,
    FaceFrame,
    Filler,
    FrontPiece,
    LightStrip,
    Mirror,
    Panel,
    Piece,
    Shelf,
    Splash,
    Stretcher,
    ToeKick,
    Top,
    Wall,
)
from survey.report.context import Context, mm

LEVEL_LINE: Final = "the level line"
HIGH_POINT: Final = "the floor's high point"
FRAMING: Final = "the framing"
ALL_ELSE: Final = "all else"
BASE: Final = "the base of "
"""Names of what is done that is no piece; a piece's name is one word, so no piece can have them."""

AT_THE_BENCH = (FaceFrame, CaseBack, Stretcher)
"""Kinds that are built into their cabinet before the day."""
MEETS = 3.0
"""mm between a top's underside and what is taken to carry it (assumption)."""
BESIDE = 30.0
"""mm from a panel to the open side of a cabinet that it is taken to close (assumption)."""


@dataclass(frozen=True)
class Tie:
    """A relation, and in words why it holds."""

    relation: Relation
    words: str


def is_done_on_site(piece: Piece) -> bool:
    """Whether a piece is a step of its own: parts of a cabinet that are built in at the bench are none."""
    return not (isinstance(piece, AT_THE_BENCH) and piece.of is not None)


def ties_of(context: Context) -> list[Tie]:
    """Return all that ties pieces, and what else is to be done, to one another."""
    pieces = [one for one in context.survey.of(Piece) if is_done_on_site(one)]
    found: dict[Relation, Tie] = {}
    for piece in pieces:
        for kind, ties in _TIES.items():
            if isinstance(piece, kind):
                for tie in ties(context, piece):
                    if tie.relation.thing != tie.relation.other:  # its own finding says what rests on itself
                        found.setdefault(tie.relation, tie)
    if any(one.other == HIGH_POINT for one in found):
        tie = _tie(HIGH_POINT, "is measured after", LEVEL_LINE, "drops to the floor are read from the line")
        found[tie.relation] = tie
    fronts = [one for one in pieces if isinstance(one, FrontPiece)]
    rest = [one for one in pieces if not isinstance(one, FrontPiece)] if fronts else []
    for piece in rest:
        tie = _tie(piece.name, "must be in before", ALL_ELSE, "")
        found.setdefault(tie.relation, tie)
    return list(found.values())


def _tie(thing: str, why: Why, other: str, words: str) -> Tie:
    return Tie(Relation(thing, why, other), words)


# --- By kind


def _edges(context: Context, piece: Piece) -> Iterator[Tie]:
    """A piece waits for another that an edge of it meets, unless that one waits for it."""
    for edge in _edges_of(piece):
        other = None if edge.meets is None else context.record(edge.meets, Piece)
        if other is None or other.name == piece.name:
            continue
        if edge.finish == "scribed":
            words = f"`{piece.name}` is scribed against `{other.name}`"
            yield _tie(piece.name, "is scribed against", other.name, words)
        elif not _meets(other, piece.name) or _is_before(context, other, piece):
            words = f"`{piece.name}` is set against `{other.name}`"
            yield _tie(piece.name, "closes the gap beside", other.name, words)


def _edges_of(piece: Piece) -> list[Edge]:
    return [edge for name in piece.__struct_fields__ if isinstance(edge := getattr(piece, name), Edge)]


def _meets(piece: Piece, name: str) -> bool:
    return any(edge.meets == name for edge in _edges_of(piece))


def _is_before(context: Context, one: Piece, other: Piece) -> bool:
    """Whether one of two that meet each other comes first: the taller box, else the one put down first."""
    if isinstance(one, BoxPiece) and isinstance(other, BoxPiece) and one.height.mm != other.height.mm:
        return one.height.mm > other.height.mm
    names = [each.name for each in context.survey.of(Piece)]
    return names.index(one.name) < names.index(other.name)


def _box(context: Context, piece: BoxPiece) -> Iterator[Tie]:
    if piece.bottom is not None:
        yield _tie(piece.name, "is measured after", LEVEL_LINE, "its height is measured from the line")
        yield _tie(piece.name, "hangs on", FRAMING, "it hangs on the wall: only proved framing carries it")
        return
    yield from _on_floor(piece)
    for other, above in _hung_above(context, piece):
        if not _is_dropped_in(context, piece, above):
            words = f"`{piece.name}` would be leaned over to hang `{other.name}`"
            yield _tie(piece.name, "blocks the way of", other.name, words)


def _on_floor(piece: BoxPiece) -> Iterator[Tie]:
    words = "it is levelled up from the floor's highest point"
    if piece.base != "loose base":
        yield _tie(piece.name, "is measured after", HIGH_POINT, words)
        return
    base = f"{BASE}{piece.name}"
    yield _tie(base, "is measured after", HIGH_POINT, words)
    yield _tie(piece.name, "stands on", base, f"`{piece.name}` stands on its base, levelled first")


def _top(context: Context, piece: Top) -> Iterator[Tie]:
    for other in _under(context, piece):
        yield _tie(piece.name, "stands on", other, f"`{piece.name}` lies on `{other}`")
    if piece.on is None and piece.up is not None:
        yield _tie(piece.name, "is measured after", LEVEL_LINE, "its height is measured from the line")
    if lets_down(context, piece):
        for box in context.survey.of(BoxPiece):
            if box.bottom is not None and box.wall == piece.wall and _is_above(context, box, piece):
                words = f"`{piece.name}` is let down between its walls, and `{box.name}` hangs over it"
                yield _tie(box.name, "blocks the way of", piece.name, words)


def _filler(context: Context, piece: Filler) -> Iterator[Tie]:
    if context.record(piece.beside, Piece):
        words = f"`{piece.name}` is cut to the gap that stays beside `{piece.beside}`"
        yield _tie(piece.name, "closes the gap beside", piece.beside, words)
    if piece.runs_on and context.record(piece.runs_on, Piece) and piece.runs_on != piece.name:
        words = f"its grain or profile runs on from `{piece.runs_on}`"
        yield _tie(piece.name, "is measured after", piece.runs_on, words)


def _panel(context: Context, piece: Panel) -> Iterator[Tie]:
    """A panel beside a cabinet's open side comes after it: the cabinet says where it stands."""
    if piece.bottom is None:
        words = "its height is measured up from the floor's highest point"
        yield _tie(piece.name, "is measured after", HIGH_POINT, words)
    place = context.along(piece.wall, piece.from_, mm(piece.bottom)) if _has_place(context, piece) else None
    if place is None:
        return
    here = place + context.signed_out(piece.wall, piece.from_, mm(piece.along))
    for box, fitted in _boxes_at(context, piece.wall):
        ends = _span(context, fitted)
        near = min(abs(here - end) for end in ends) <= BESIDE + mm(piece.thickness)
        if near and not _meets(box, piece.name) and not _meets(piece, box.name):
            words = f"`{piece.name}` closes the side of `{box.name}`"
            yield _tie(piece.name, "closes the gap beside", box.name, words)


def _splash(context: Context, piece: Splash) -> Iterator[Tie]:
    if not _is_piece(context, piece, piece.of):
        return
    words = f"the lower edge of `{piece.name}` is scribed to `{piece.of}`"
    yield _tie(piece.name, "is scribed against", piece.of or "", words)
    if piece.side in ("left", "right"):
        for other in context.survey.of(Splash):
            if other.of == piece.of and other.side == "back":
                words = f"`{piece.name}` butts against `{other.name}`"
                yield _tie(piece.name, "is scribed against", other.name, words)


def _shelf(context: Context, piece: Shelf) -> Iterator[Tie]:
    if _is_piece(context, piece, piece.of):
        words = f"`{piece.name}` goes into `{piece.of}`"
        yield _tie(piece.name, "stands on", piece.of or "", words)
    elif piece.up is not None:
        yield _tie(piece.name, "is measured after", LEVEL_LINE, "its height is measured from the line")
        yield _tie(piece.name, "hangs on", FRAMING, "it hangs on the wall: only proved framing carries it")


def _mirror(context: Context, piece: Mirror) -> Iterator[Tie]:
    for splash in context.survey.of(Splash):
        top = None if splash.of is None else context.record(splash.of, Top)
        if splash.side in (None, "back") and top is not None and top.wall == (piece.wall or top.wall):
            words = f"`{piece.name}` hangs above `{splash.name}`, and glass is easily broken"
            yield _tie(piece.name, "is measured after", splash.name, words)
    for name in (piece.centred, piece.of):
        if _is_piece(context, piece, name):
            words = f"`{piece.name}` is centred over `{name}` as it stands"
            yield _tie(piece.name, "is measured after", name or "", words)
    if piece.bottom is not None:
        yield _tie(piece.name, "is measured after", LEVEL_LINE, "its height is measured from the line")
    yield _tie(piece.name, "hangs on", FRAMING, "it hangs on the wall: only proved framing carries it")


def _cleat(context: Context, piece: Cleat) -> Iterator[Tie]:
    if piece.up is not None:
        yield _tie(piece.name, "is measured after", LEVEL_LINE, "its height is measured from the line")
    yield _tie(piece.name, "hangs on", FRAMING, "it carries what hangs: only proved framing holds it")
    if _is_piece(context, piece, piece.of):
        words = f"`{piece.of}` hangs on `{piece.name}`"
        yield _tie(piece.of or "", "hangs on", piece.name, words)


def _toe_kick(context: Context, piece: ToeKick) -> Iterator[Tie]:
    if _is_piece(context, piece, piece.of):
        words = f"`{piece.name}` is scribed to the floor when `{piece.of}` is levelled"
        yield _tie(piece.name, "is measured after", piece.of or "", words)


def _light_strip(context: Context, piece: LightStrip) -> Iterator[Tie]:
    if _is_piece(context, piece, piece.of):
        yield _tie(piece.name, "hangs on", piece.of or "", f"`{piece.name}` sits under `{piece.of}`")


def _front(context: Context, piece: FrontPiece) -> Iterator[Tie]:
    if _is_piece(context, piece, piece.of):
        yield _tie(piece.name, "hangs on", piece.of or "", f"`{piece.name}` belongs to `{piece.of}`")
    words = "fronts are hung and set last, when nothing moves any more and nothing can knock them"
    yield _tie(piece.name, "is measured after", ALL_ELSE, words)


_TIES: Final[dict[type[Piece], Callable[[Context, Any], Iterable[Tie]]]] = {
    Piece: _edges,
    BoxPiece: _box,
    Top: _top,
    Filler: _filler,
    Panel: _panel,
    Splash: _splash,
    Shelf: _shelf,
    Mirror: _mirror,
    Cleat: _cleat,
    ToeKick: _toe_kick,
    LightStrip: _light_strip,
    FrontPiece: _front,
}


# --- Where things are


def _is_piece(context: Context, piece: Piece, name: str | None) -> bool:
    """Whether a name is another piece that is done on site."""
    other = None if name is None or name == piece.name else context.record(name, Piece)
    return other is not None and is_done_on_site(other)


def _boxes_at(context: Context, wall: str) -> Iterator[tuple[BoxPiece, FittedCabinet]]:
    """Give the cabinets that stand or hang at a wall, those whose place is known."""
    for box in context.survey.of(BoxPiece):
        known = context.cabinets.get(box.name)
        if known is not None and known[0].plan.wall == wall:
            yield box, known[0]


def _span(context: Context, box: FittedCabinet) -> tuple[float, float]:
    """Return from where to where along the wall behind it a cabinet stands (mm)."""
    (ux, uy), (x, y) = context.room.axes(box.plan.wall)[0], context.room.foot(box.plan.wall)
    ends = [box.placed.frame.to_room(end, box.plan.depth) for end in (box.left, box.right)]
    start, stop = ((a - x) * ux + (b - y) * uy for a, b in ends)
    return start, stop


def _hung_above(context: Context, piece: BoxPiece) -> Iterator[tuple[BoxPiece, FittedCabinet]]:
    """Give the boxes that hang over a standing one."""
    known = context.cabinets.get(piece.name)
    if known is None:
        return
    (start, stop), top = _span(context, known[0]), known[0].plan.top
    for other, hung in _boxes_at(context, known[0].plan.wall):
        left, right = _span(context, hung)
        if other.bottom is not None and hung.plan.bottom >= top and left < stop and right > start:
            yield other, hung


def _under(context: Context, top: Top) -> Iterator[str]:
    """Give what a top lies on: the cabinet that it names, and what reaches up to its underside."""
    if top.on is not None and _is_piece(context, top, top.on):
        yield top.on
    named = context.cabinets.get(top.on or "")
    if top.up is not None:
        underside = mm(top.up) - mm(top.thickness)
    elif named is not None:
        underside = named[0].plan.top
    else:
        return
    for box, fitted in _boxes_at(context, top.wall):
        if box.name != top.on and abs(fitted.plan.top - underside) <= MEETS:
            yield box.name
    for panel in context.survey.of(Panel):
        upper = mm(panel.bottom) + mm(panel.height)
        if panel.wall == top.wall and panel.bottom is not None and abs(upper - underside) <= MEETS:
            yield panel.name


def lets_down(context: Context, top: Top) -> bool:
    """Whether both ends of a top meet walls, so that it is let down from above or tilted in."""
    ends = (top.left.meets, top.right.meets)
    return all(name is not None and context.record(name, Wall) is not None for name in ends)


def _is_above(context: Context, box: BoxPiece, top: Top) -> bool:
    """Whether a hung box hangs higher than a top, as far as both heights are known."""
    known = context.cabinets.get(top.on or "")
    upper = mm(top.up) if top.up is not None else None if known is None else known[0].plan.top
    return upper is not None and box.bottom is not None and mm(box.bottom) >= upper


def _is_dropped_in(context: Context, piece: BoxPiece, above: FittedCabinet) -> bool:
    """Whether a top that is let down lies between a standing box and one that hangs over it.

    Then the upper box comes after the top, so it cannot come before the box that the top lies on.
    """
    return any(
        lets_down(context, top) and piece.name in _under(context, top)
        for top in context.survey.of(Top)
        if top.wall == above.plan.wall
    )


def _has_place(context: Context, panel: Panel) -> bool:
    """Whether what a panel is measured from is a corner or feature of its wall."""
    plan = context.room.plan
    corner, feature = plan.corner(panel.from_), plan.feature(panel.from_)
    if corner is not None:
        return panel.wall in (corner.left, corner.right)
    return feature is not None and feature.wall == panel.wall

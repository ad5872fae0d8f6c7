"""A piece's sides and corners as its picture shows them, and what a tap on each changes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, Literal

from survey.app.piece_edges import UPPER, edge_says, met_box, typeset_length
from survey.records import (
    BoxPiece,
    CabinetDoor,
    CornerShape,
    Edge,
    FaceFrame,
    Filler,
    FrontPiece,
    Panel,
    Piece,
    Shelf,
    Splash,
    Survey,
    ToeKick,
    Top,
    TypedLength,
)

At = Literal["left", "right", "top", "bottom", "low left", "low right"]
Drawn = Literal[
    "scribed", "net", "let in", "covered", "filler", "open", "floor", "toe space", "legs", "piece", "hinge",
    "square", "radius", "clip",
]  # fmt: skip

FRONT: Final = "seen from the front"
SEEN: Final = {
    "cabinet": FRONT, "tall-cabinet": FRONT, "top": "seen from above", "panel": "seen on its show face",
    "filler": FRONT, "shelf": "seen from above", "face-frame": FRONT, "cabinet-door": FRONT, "drawer": FRONT,
    "false-front": FRONT, "splash": "its top seen from above", "toe-kick": FRONT,
}  # fmt: skip
TAP: Final = {
    "splash": "Tap the edge it stands along.", "cabinet-door": "Tap the side its hinges are to be on.",
}  # fmt: skip
"""What is tapped, where it is not just an edge."""
HINGE_AT: Final = "hinge "
STANDS_AT: Final = "stands at "
"""How an act begins that says a side with it: the hinges' of a door, the one a splash stands along."""


@dataclass(frozen=True)
class PieceSide:
    """One side or front corner of a piece's picture.

    `acts` is what a tap changes: an edge's field, a length's field, `over` what lies on a cabinet, `foot`
    what it stands on, `beside` the cabinet of a strip, or a side after `HINGE_AT` or `STANDS_AT`. `is_open`:
    it meets nothing, or nothing was said.
    """

    at: At
    words: str
    says: str
    drawn: Drawn
    acts: str
    is_open: bool = False


def sides(piece: Piece, survey: Survey) -> tuple[PieceSide, ...]:
    """Return the sides of a piece's picture, a top's front corners too; none where it has no picture.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm", "wall back", "wall left", "corner left and back"]
    >>> lines += ["top t up 860 thickness 30 depth 560 width 900, left meets left scribed, right open"]
    >>> survey = Survey(dictate(lines, Survey([])))
    >>> [(side.at, side.says, side.drawn) for side in sides(survey.current[-1], survey)][:2]
    [('left', 'scribed to wall left', 'scribed'), ('right', 'open', 'open')]
    """
    for kind, drawn in _SIDES.items():
        if isinstance(piece, kind):
            return drawn(piece, survey)
    return ()


def _edge_side(piece: Piece, field: str, at: At, words: str, survey: Survey) -> PieceSide:
    edge: Edge = getattr(piece, field)
    is_piece = any(isinstance(one, Piece) for one in survey.named.get(edge.meets or "", ()))
    drawn: Drawn = "piece" if is_piece and edge.finish == "net" else edge.finish
    return PieceSide(at, words, edge_says(field, edge, survey), drawn, field, edge.finish == "open")


def _length_side(
    at: At, words: str, value: TypedLength | None, acts: str, said: str, unsaid: str
) -> PieceSide:
    """Say a length in `said`, where its place is empty; `unsaid` where there is none."""
    says = unsaid if value is None else said.format(typeset_length(value))
    return PieceSide(at, words, says, "open", acts, value is None)


def _box_foot(piece: BoxPiece) -> PieceSide:
    if piece.bottom is not None:
        return PieceSide("bottom", "bottom", f"hung, {typeset_length(piece.bottom)} up", "open", "foot")
    high, deep = piece.kick_height, piece.kick_depth
    if piece.base != "box":
        on = "legs" if piece.base == "legs" else "a loose base"
        says, drawn = f"stands on {on}", "legs" if piece.base == "legs" else "toe space"
        says += f", {typeset_length(high)} high" if high else ", height not said"
    else:
        says, drawn = "stands on the floor", "toe space" if high else "floor"
        says += f", toe space {typeset_length(high)} high" if high else ""
    says += f", {typeset_length(deep)} deep" if high and deep else ""
    return PieceSide("bottom", "bottom", says, drawn, "foot")  # type: ignore[arg-type]  # both are `Drawn`


def _panel_foot(piece: Panel) -> PieceSide:
    if piece.bottom is None:
        return PieceSide("bottom", "bottom", "stands on the floor", "floor", "bottom")
    return PieceSide("bottom", "bottom", f"hung, {typeset_length(piece.bottom)} up", "open", "bottom")


def _box_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    over = [one.name for one in survey.of(Top) if one.on == piece.name]
    lid = PieceSide("top", "top", f"{', '.join(over)} lies on it", "piece", "over")
    if not over:
        lid = PieceSide("top", "top", "nothing lies on it", "open", "over", is_open=True)
    return (
        _edge_side(piece, "left", "left", "left side", survey),
        _edge_side(piece, "right", "right", "right side", survey),
        lid,
        _box_foot(piece),
    )


def _top_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    if piece.on:
        over = (
            f"{typeset_length(piece.overhang)} past {piece.on}"
            if piece.overhang
            else f"flush with {piece.on}"
        )
        front = PieceSide("bottom", "front", over, "open", "overhang")
    else:
        front = _length_side("bottom", "front", piece.depth, "depth", "{} deep", "depth is not said")
    return (
        _edge_side(piece, "left", "left", "left end", survey),
        _edge_side(piece, "right", "right", "right end", survey),
        _edge_side(piece, "back", "top", "back", survey),
        *_front_corners(piece),
        front,
    )


def _front_corners(piece: Top) -> tuple[PieceSide, ...]:
    """Return the front corners that are free to be shaped, or are shaped although they are not."""
    found: list[PieceSide] = []
    corners: tuple[tuple[At, str, Edge, CornerShape | None], ...] = (
        ("low left", "left", piece.left, piece.front_left),
        ("low right", "right", piece.right, piece.front_right),
    )
    for at, side, end, shape in corners:
        if shape is not None:
            says = f"{'radius' if shape.shape == 'radius' else 'clipped'} {typeset_length(shape.size)}"
            found.append(PieceSide(at, f"{side} front corner", says, shape.shape, f"front_{side}"))
        elif end.meets is None:
            found.append(
                PieceSide(at, f"{side} front corner", "square", "square", f"front_{side}", is_open=True)
            )
    return tuple(found)


def _panel_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    # Someone who looks at a face that looks to the left has the wall on the left hand.
    back, front = ("left", "right") if piece.show == "left" else ("right", "left")
    upper = _edge_side(piece, UPPER, "top", "upper edge", survey)
    if upper.is_open:
        upper = PieceSide(
            "top", "upper edge", f"open, {typeset_length(piece.height)} high", "open", UPPER, True
        )
    return (
        _edge_side(piece, "back", back, "back", survey),  # type: ignore[arg-type]  # both are `At`
        PieceSide(front, "front", f"{typeset_length(piece.depth)} deep", "open", "depth"),  # type: ignore[arg-type]
        upper,
        _panel_foot(piece),
    )


def _filler_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    behind = f"{typeset_length(piece.setback)} behind its face" if piece.setback else "flush with its face"
    front = PieceSide("bottom", "front", behind, "open", "setback")
    if piece.side == "top":
        return (
            PieceSide("top", "at the ceiling", "scribed to the ceiling", "scribed", "beside"),
            PieceSide("left", "at the cabinet", f"top of {piece.beside}", "piece", "beside"),
            front,
        )
    box = met_box(piece.beside, survey)
    met = getattr(box, piece.side).meets if box else None
    far: At = piece.side
    near: At = "right" if far == "left" else "left"
    at_wall = PieceSide(far, "at the wall", f"scribed to wall {met}", "scribed", "beside")
    if met is None:
        at_wall = PieceSide(far, "at the wall", f"{piece.beside} meets nothing here", "open", "beside", True)
    return (
        at_wall,
        PieceSide(near, "at the cabinet", f"{piece.side} of {piece.beside}", "piece", "beside"),
        PieceSide("top", "top", f"as high as {piece.beside}", "open", "beside"),
        front,
    )


# Parts of other pieces


def _shelf_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    return (
        _edge_side(piece, "left", "left", "left end", survey),
        _edge_side(piece, "right", "right", "right end", survey),
        _edge_side(piece, "back", "top", "back", survey),
        PieceSide("bottom", "front", f"{typeset_length(piece.height)} deep", "open", "height"),
    )


def _frame_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    many = len(piece.openings)
    openings = f"{many} opening{'s' if many > 1 else ''}" if many else "openings not said"
    return (
        _edge_side(piece, "left", "left", "left stile", survey),
        _edge_side(piece, "right", "right", "right stile", survey),
        _length_side("top", "rails", piece.rail, "rail", "{} wide", "width not said"),
        PieceSide("bottom", "between its rails", openings, "open", "openings", not many),
    )


def _front_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    """Return the sides of a door, drawer or false front, as it sits before its cabinet."""
    of = piece.of or "no cabinet"
    top = _length_side("top", "upper edge", piece.from_top, "from_top", f"{{}} below that of {of}", "flush")
    belongs = PieceSide("bottom", "belongs to", of, "open", "of", piece.of is None)
    if isinstance(piece, CabinetDoor):
        return (*(_door_side(piece, side) for side in ("left", "right")), top, belongs)
    return (
        _length_side("left", "from the left", piece.from_left, "from_left", "{}", "in the middle"),
        _length_side("right", "its pull", piece.pull, "pull", "{} out", "not said"),
        top,
        belongs,
    )


def _door_side(piece: CabinetDoor, side: Literal["left", "right"]) -> PieceSide:
    if piece.hinge == side:
        return PieceSide(side, f"{side} side", f"{piece.hinges} hinges", "hinge", HINGE_AT + side)
    return PieceSide(side, f"{side} side", "opens here", "open", HINGE_AT + side, is_open=True)


def _splash_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    found: list[PieceSide] = []
    edges: tuple[tuple[At, str, str], ...] = (
        ("left", "left", "left end"),
        ("right", "right", "right end"),
        ("top", "back", "back"),
    )
    for at, side, words in edges:
        if piece.side == side:
            found.append(PieceSide(at, words, "it stands here", "covered", STANDS_AT + side))
        else:
            found.append(PieceSide(at, words, "put it here", "open", STANDS_AT + side, is_open=True))
    of = piece.of or "no top"
    return (*found, PieceSide("bottom", "stands on", of, "open", "of", piece.of is None))


def _kick_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    is_scribed = piece.floor == "scribed"
    floor = "scribed to the floor" if is_scribed else "open over the floor"
    return (
        PieceSide("top", "belongs to", piece.of or "no cabinet", "open", "of", piece.of is None),
        PieceSide("bottom", "lower edge", floor, "scribed" if is_scribed else "net", "floor"),
    )


_SIDES: Final[dict[type[Piece], Callable[[Any, Survey], tuple[PieceSide, ...]]]] = {
    BoxPiece: _box_sides, Top: _top_sides, Panel: _panel_sides, Filler: _filler_sides, Shelf: _shelf_sides,
    FaceFrame: _frame_sides, FrontPiece: _front_sides, Splash: _splash_sides, ToeKick: _kick_sides,
}  # fmt: skip

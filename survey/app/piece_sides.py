"""A piece's four sides as its picture shows them, and what each edge can meet and how it can be finished."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, Literal

from msgspec.structs import replace

from survey.app.new_piece import NET_GAP, Side
from survey.app.typed import typeset
from survey.drawing.piece_words import edge_words
from survey.errors import RecordError
from survey.records import BoxPiece, Edge, Feature, Filler, Panel, Piece, Survey, Top, TypedLength, Wall
from survey.records.base import LengthUnit
from survey.records.pieces import OPEN, Finish
from survey.report.structs import EdgeReport
from survey.walk import place_of

At = Literal["left", "right", "top", "bottom"]
Drawn = Literal["scribed", "net", "let in", "covered", "filler", "open", "floor", "piece"]

FINISH_WORDS: Final[dict[str, str]] = {
    "scribed": "Scribed: left over, planed to the wall on site",
    "net": "Cut net, with a gap for the caulk",
    "covered": "Cut net, covered by a splash or trim",
    "let in": "Let into the board",
    "filler": "A filler strip closes the gap",
}
WITH_GAP: Final = ("net", "filler", "covered")
"""Finishes that leave a gap which can be said."""
SEEN: Final = {
    "cabinet": "seen from the front", "tall-cabinet": "seen from the front", "top": "seen from above",
    "panel": "seen on its show face", "filler": "seen from the front",
}  # fmt: skip


@dataclass(frozen=True)
class PieceSide:
    """One side of a piece's picture.

    `acts` is what a tap changes: an edge's field, a length's field, `over` what lies on a cabinet, or
    `beside` the cabinet of a strip. `is_open`: it meets nothing, or nothing was said.
    """

    at: At
    words: str
    says: str
    drawn: Drawn
    acts: str
    is_open: bool = False


def typeset_length(value: TypedLength) -> str:
    r"""Write a length as it was typed, with its unit, its fraction set as on a rule; no line breaks in it.

    >>> typeset_length(TypedLength("34 5/16", "in")), typeset_length(TypedLength("600", "mm"))
    ('34\xa05⁄16″', '600\xa0mm')
    """
    return typeset(value.text, value.unit).replace(" ", "\N{NO-BREAK SPACE}")


def sides(piece: Piece, survey: Survey) -> tuple[PieceSide, ...]:
    """Return the four sides of a piece's picture; none for a part whose size is typed.

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


def edge_fields(piece: Piece) -> tuple[str, ...]:
    """Return the fields of a piece that are edges."""
    return tuple(field for field in piece.__struct_fields__ if isinstance(getattr(piece, field), Edge))


def edge_says(field: str, edge: Edge, survey: Survey) -> str:
    """Say what an edge meets and how it is finished, with its gap."""
    is_wall = edge.meets is not None and any(
        isinstance(one, Wall) for one in survey.named.get(edge.meets, ())
    )
    meets = f"wall {edge.meets}" if is_wall else edge.meets or ""
    words = edge_words(EdgeReport(field, meets, edge.finish))
    if edge.gap is None:
        return words
    return f"{words}, {'at least ' if edge.finish == 'filler' else 'gap '}{typeset_length(edge.gap)}"


def own_wall(piece: Piece, survey: Survey) -> str | None:
    """Return the wall that a piece's back is at: its own, its cabinet's, or the back wall of the room."""
    wall = getattr(piece, "wall", "")
    if not wall and isinstance(piece, Top) and piece.on:
        boxes = [one for one in survey.named.get(piece.on, ()) if isinstance(one, BoxPiece)]
        wall = boxes[-1].wall if boxes else ""
    if wall:
        return str(wall)
    try:
        return place_of(survey).back
    except RecordError:
        return None


def wall_at(piece: Piece, field: str, survey: Survey) -> str | None:
    """Return the wall that an edge meets by nature: behind the piece, or round the corner at that side."""
    wall = own_wall(piece, survey)
    if field == "back" or wall is None:
        return wall
    side: Side = "left" if field == "left" else "right"
    try:
        place = place_of(survey)
        return place.beside(wall, side) if wall in place.walls else None
    except RecordError:
        return None


def can_meet(piece: Piece, field: str, survey: Survey) -> tuple[str, ...]:
    """Return the names that an edge can meet: walls, the natural one first, then trim and other pieces."""
    natural = wall_at(piece, field, survey)
    walls = [wall.name for wall in survey.of(Wall)]
    if field != "back":
        walls = [name for name in walls if name != own_wall(piece, survey)]
    walls.sort(key=lambda name: name != natural)
    trim = [one.name for one in survey.of(Feature) if type(one).__name__ == "Trim"]
    return (*walls, *trim, *(one.name for one in survey.of(Piece) if one.name != piece.name))


def finishes(piece: Piece) -> tuple[Finish, ...]:
    """Return how the edges of a piece can be finished where they meet something."""
    if isinstance(piece, BoxPiece):  # a box is cut square; what is scribed is a strip or a panel
        return ("filler", "net")
    return ("scribed", "net", "covered", "let in")


@dataclass(frozen=True)
class EdgeChoice:
    """One thing that can be said of an edge: what it meets and how it is finished, or what is asked next."""

    words: str
    asks: Literal["nothing", "gap", "saw", "meets"] = "nothing"
    meets: str | None = None
    finish: Finish = "open"


def edge_choices(piece: Piece, field: str, survey: Survey) -> tuple[EdgeChoice, ...]:
    """Return what can be said of an edge, against what it meets now, or meets by nature where it is open.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm", "room r", "wall back", "wall left", "corner left and back"]
    >>> lines += ["cabinet v width 900 height 830 depth 530, left meets left filler gap 20, right open"]
    >>> survey = Survey(dictate(lines, Survey([])))
    >>> for choice in edge_choices(survey.current[-1], "left", survey): print(choice.words)
    A filler strip closes the gap
    Cut net, with a gap for the caulk
    Gap: 20 mm at the least
    Open: it meets nothing
    It meets something else
    """
    edge: Edge = getattr(piece, field)
    met = edge.meets or wall_at(piece, field, survey)
    choices = [EdgeChoice(FINISH_WORDS[one], "nothing", met, one) for one in finishes(piece) if met]
    if edge.finish in WITH_GAP:
        least = " at the least" if edge.finish == "filler" else ""
        gap = f"{typeset_length(edge.gap)}{least}" if edge.gap else "not said"
        choices.append(EdgeChoice(f"Gap: {gap}", "gap", met, edge.finish))
    if edge.finish == "scribed":
        saw = typeset_length(edge.saw) if edge.saw else "as usual"
        choices.append(EdgeChoice(f"Extra for the saw: {saw}", "saw", met, edge.finish))
    choices.append(EdgeChoice("Open: it meets nothing"))
    if can_meet(piece, field, survey):
        choices.append(EdgeChoice("It meets something else" if met else "It meets ...", "meets"))
    return tuple(choices)


def with_edge(piece: Piece, field: str, meets: str | None, finish: Finish) -> Piece:
    """Return a piece with an edge that meets something else or is finished otherwise.

    A gap goes with the finish: it is kept while that stays, and is the usual one for a net edge.
    """
    old: Edge = getattr(piece, field)
    if meets is None:
        return replace(piece, **{field: OPEN})
    gap = old.gap if finish == old.finish else None
    saw = old.saw if finish == "scribed" else None
    return replace(piece, **{field: Edge(meets=meets, finish=finish, gap=gap, saw=saw)})


def usual_gap(finish: Finish, unit: LengthUnit) -> str:
    """Return the gap to begin with where none was said; empty where the place gives it."""
    return NET_GAP["in" if unit == "in" else "mm"] if finish == "net" else ""


def _edge_side(piece: Piece, field: str, at: At, words: str, survey: Survey) -> PieceSide:
    edge: Edge = getattr(piece, field)
    drawn: Drawn = edge.finish
    return PieceSide(at, words, edge_says(field, edge, survey), drawn, field, edge.finish == "open")


def _foot(piece: BoxPiece | Panel) -> PieceSide:
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
        _foot(piece),
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
        deep = f"{typeset_length(piece.depth)} deep" if piece.depth else "depth is not said"
        front = PieceSide("bottom", "front", deep, "open", "depth", piece.depth is None)
    return (
        _edge_side(piece, "left", "left", "left end", survey),
        _edge_side(piece, "right", "right", "right end", survey),
        _edge_side(piece, "back", "top", "back", survey),
        front,
    )


def _panel_sides(piece: Any, survey: Survey) -> tuple[PieceSide, ...]:
    # Someone who looks at a face that looks to the left has the wall on the left hand.
    back, front = ("left", "right") if piece.show == "left" else ("right", "left")
    return (
        _edge_side(piece, "back", back, "back", survey),  # type: ignore[arg-type]  # both are `At`
        PieceSide(front, "front", f"{typeset_length(piece.depth)} deep", "open", "depth"),  # type: ignore[arg-type]
        PieceSide("top", "top", f"{typeset_length(piece.height)} high", "open", "height"),
        _foot(piece),
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
    boxes = [one for one in survey.named.get(piece.beside, ()) if isinstance(one, BoxPiece)]
    met = getattr(boxes[-1], piece.side).meets if boxes else None
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


_SIDES: Final[dict[type[Piece], Callable[[Any, Survey], tuple[PieceSide, ...]]]] = {
    BoxPiece: _box_sides, Top: _top_sides, Panel: _panel_sides, Filler: _filler_sides
}  # fmt: skip

"""The edges of a piece: what each can meet, how it can be finished, and what is said of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from msgspec.structs import replace

from survey.app.new_piece import NET_GAP, SIDES, Side
from survey.app.typed import typeset
from survey.drawing.piece_words import edge_words
from survey.errors import RecordError
from survey.records import (
    BoxPiece,
    Edge,
    FaceFrame,
    Feature,
    Panel,
    Piece,
    Shelf,
    SizedPiece,
    Survey,
    Top,
    TypedLength,
    Wall,
)
from survey.records.base import LengthUnit
from survey.records.pieces import OPEN, Finish
from survey.report.structs import EdgeReport
from survey.walk import place_of

CEILING: Final = "ceiling"
UPPER: Final = "upper"
"""The edge of a panel that meets the ceiling, or nothing."""
FINISH_WORDS: Final[dict[str, str]] = {
    "scribed": "Scribed: left over, planed to the wall on site",
    "net": "Cut net, with a gap for the caulk",
    "covered": "Cut net, covered by a splash or trim",
    "let in": "Let into the board",
    "filler": "A filler strip closes the gap",
}
WITH_GAP: Final = ("net", "filler", "covered")
"""Finishes that leave a gap which can be said."""


def typeset_length(value: TypedLength) -> str:
    r"""Write a length as it was typed, with its unit, its fraction set as on a rule; no line breaks in it.

    >>> typeset_length(TypedLength("34 5/16", "in")), typeset_length(TypedLength("600", "mm"))
    ('34\xa05⁄16″', '600\xa0mm')
    """
    return typeset(value.text, value.unit).replace(" ", "\N{NO-BREAK SPACE}")


def edge_fields(piece: Piece) -> tuple[str, ...]:
    """Return the fields of a piece that are edges."""
    return tuple(field for field in piece.__struct_fields__ if isinstance(getattr(piece, field), Edge))


def edge_says(field: str, edge: Edge, survey: Survey) -> str:
    """Say what an edge meets and how it is finished, with its gap and what covers it."""
    if edge.meets is not None and edge.finish == "net" and met_box(edge.meets, survey) is not None:
        words = f"against {edge.meets}"
    else:
        words = edge_words(EdgeReport(field, _named(edge.meets, survey), edge.finish))
    if edge.gap is not None:
        words += f", {'at least ' if edge.finish == 'filler' else 'gap '}{typeset_length(edge.gap)}"
    return f"{words}, by {typeset_length(edge.cover)}" if edge.cover is not None else words


def _named(meets: str | None, survey: Survey) -> str:
    """Say what is met as a picture does: a wall as a wall."""
    if meets == CEILING:
        return f"the {CEILING}"
    is_wall = meets is not None and any(isinstance(one, Wall) for one in survey.named.get(meets, ()))
    return f"wall {meets}" if is_wall else meets or ""


def met_box(name: str | None, survey: Survey) -> BoxPiece | None:
    """Return the cabinet of a name; nothing where it is something else."""
    boxes = [one for one in survey.named.get(name or "", ()) if isinstance(one, BoxPiece)]
    return boxes[-1] if boxes else None


def is_worked_out(piece: Piece, name: str, survey: Survey) -> bool:
    """Whether an edge that meets what has this name is worked out: else it is kept, and no more."""
    if name == CEILING or any(isinstance(one, Wall) for one in survey.named.get(name, ())):
        return True
    if isinstance(piece, BoxPiece):
        return met_box(name, survey) is not None
    return isinstance(piece, Shelf) and any(isinstance(one, Panel) for one in survey.named.get(name, ()))


def own_wall(piece: Piece, survey: Survey) -> str | None:
    """Return the wall that a piece's back is at: its own, its cabinet's, or the back wall of the room."""
    wall = getattr(piece, "wall", "")
    under = piece.on if isinstance(piece, Top) else piece.of if isinstance(piece, SizedPiece) else None
    box = met_box(under, survey)
    if not wall and box is not None:
        wall = box.wall
    if wall:
        return str(wall)
    try:
        return place_of(survey).back
    except RecordError:
        return None


def wall_at(piece: Piece, field: str, survey: Survey) -> str | None:
    """Return what an edge meets by nature: the wall behind, or round the corner at its side; the ceiling."""
    if field == UPPER:
        return CEILING
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
    """Return the names that an edge can meet: walls, the natural one first, then trim and other pieces.

    What is worked out comes before what is only kept; a stile is scribed to walls alone.
    """
    if field == UPPER:
        return (CEILING,)
    natural = wall_at(piece, field, survey)
    walls = [wall.name for wall in survey.of(Wall)]
    if field != "back":
        walls = [name for name in walls if name != own_wall(piece, survey)]
    walls.sort(key=lambda name: name != natural)
    trim = [one.name for one in survey.of(Feature) if type(one).__name__ == "Trim"]
    if isinstance(piece, FaceFrame):
        return tuple(walls)
    others = [*trim, *(one.name for one in survey.of(Piece) if one.name != piece.name)]
    others.sort(key=lambda name: not is_worked_out(piece, name, survey))
    return (*walls, *others)


def finishes(piece: Piece, field: str, is_box: bool = False) -> tuple[Finish, ...]:
    """Return how an edge can be finished where it meets something; `is_box`: that is a cabinet."""
    if isinstance(piece, BoxPiece):  # a box is cut square; what is scribed is a strip or a panel
        return ("net",) if is_box else ("filler", "net")
    if isinstance(piece, FaceFrame):
        return ("scribed",)
    return ("scribed", "net", "covered") if field == UPPER else ("scribed", "net", "covered", "let in")


def finish_words(piece: Piece, field: str, finish: Finish, is_box: bool = False) -> str:
    """Say a way to finish an edge, as it is chosen."""
    if is_box and isinstance(piece, BoxPiece):
        return "Side by side, screwed together"
    words = FINISH_WORDS[finish]
    return words.replace("the wall", f"the {CEILING}") if field == UPPER else words


def beside_it(piece: Piece, field: str, survey: Survey) -> tuple[str, ...]:
    """Return the cabinets of its wall whose facing side is free, so that a cabinet can stand against them."""
    if not isinstance(piece, BoxPiece) or field not in SIDES:
        return ()
    facing = "right" if field == "left" else "left"
    wall = own_wall(piece, survey)
    found = []
    for one in survey.of(BoxPiece):
        edge: Edge = getattr(one, facing)
        is_free = edge.meets in (None, piece.name)
        if one.name != piece.name and own_wall(one, survey) == wall and is_free:
            found.append(one.name)
    return tuple(found)


@dataclass(frozen=True)
class EdgeChoice:
    """One thing that can be said of an edge: what it meets and how it is finished, or what is asked next."""

    words: str
    asks: Literal["nothing", "gap", "saw", "cover", "meets"] = "nothing"
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
    is_box = met_box(met, survey) is not None
    choices = [
        EdgeChoice(finish_words(piece, field, one, is_box), "nothing", met, one)
        for one in finishes(piece, field, is_box)
        if met
    ]
    choices += [
        EdgeChoice(f"Against {one}, side by side", "nothing", one, "net")
        for one in beside_it(piece, field, survey)
        if one != met
    ]
    if edge.finish in WITH_GAP:
        least = " at the least" if edge.finish == "filler" else ""
        gap = f"{typeset_length(edge.gap)}{least}" if edge.gap else "not said"
        choices.append(EdgeChoice(f"Gap: {gap}", "gap", met, edge.finish))
    if edge.finish == "scribed":
        saw = typeset_length(edge.saw) if edge.saw else "as usual"
        choices.append(EdgeChoice(f"Extra for the saw: {saw}", "saw", met, edge.finish))
    if edge.finish == "covered":
        cover = typeset_length(edge.cover) if edge.cover else "not said"
        choices.append(EdgeChoice(f"Thickness of what covers it: {cover}", "cover", met, edge.finish))
    choices.append(EdgeChoice("Open: it meets nothing"))
    if can_meet(piece, field, survey):
        choices.append(EdgeChoice("It meets something else" if met else "It meets ...", "meets"))
    return tuple(choices)


def with_edge(piece: Piece, field: str, meets: str | None, finish: Finish) -> Piece:
    """Return a piece with an edge that meets something else or is finished otherwise.

    Gap, saw and cover go with the finish: they are kept while that stays.
    """
    old: Edge = getattr(piece, field)
    if meets is None:
        return replace(piece, **{field: OPEN})
    gap = old.gap if finish == old.finish else None
    saw = old.saw if finish == "scribed" else None
    cover = old.cover if finish == "covered" else None
    return replace(piece, **{field: Edge(meets=meets, finish=finish, gap=gap, saw=saw, cover=cover)})


def usual_gap(finish: Finish, unit: LengthUnit) -> str:
    """Return the gap to begin with where none was said; empty where the place gives it."""
    return NET_GAP["in" if unit == "in" else "mm"] if finish == "net" else ""

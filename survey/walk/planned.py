"""From where to where pieces are planned along a wall, before anything is worked out.

x runs to the right along the wall, facing it, in mm; where the wall's ends are, says whoever asks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from survey.records import Aim, BoxPiece, Edge, Panel, Piece, Survey, Top
from survey.records.pieces import OPEN

Span = tuple[float, float]
Side = Literal["left", "right"]


@dataclass(frozen=True)
class Row:
    """One wall, and where places on it are.

    `left` and `right` are its ends, nothing where it runs on. `at` says where a place is that is so far
    along from a corner, mark or feature, nothing where that is not known; `is_leftward` whether places
    count leftward from there. `back` is the room's back wall.
    """

    survey: Survey
    wall: str
    back: str
    left: float | None
    right: float | None
    at: Callable[[str, float], float | None]
    is_leftward: Callable[[str], bool]


def wall_behind(piece: Piece, survey: Survey, back: str) -> str:
    """Return the wall behind a piece: its own, its cabinet's, or the back wall."""
    wall: str = getattr(piece, "wall", "")
    under = getattr(piece, "on", None) or getattr(piece, "beside", None)
    if not wall and under:
        boxes = [one for one in survey.named.get(under, ()) if isinstance(one, BoxPiece)]
        wall = boxes[0].wall if boxes else ""
    return wall or back


def planned(row: Row, piece: BoxPiece | Top | Panel, asking: frozenset[str] = frozenset()) -> Span | None:
    """Return from where to where a piece goes; nothing where nobody said it.

    A box beside another stands at that one, wherever it is; boxes that only name each other have no place.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> lines = ["job V in mm to 1 mm", "room r", "wall back", "wall left", "corner left and back"]
    >>> lines += ["cabinet a width 450 height 800 depth 500, left meets left filler gap 20, right open"]
    >>> lines += ["cabinet b width 600 height 800 depth 500, left meets a net gap 0, right open"]
    >>> survey = Survey(dictate(lines, Survey([])))
    >>> row = Row(survey, "back", "back", 0.0, None, lambda start, along: along, lambda start: False)
    >>> [planned(row, survey.named[name][0]) for name in ("a", "b")]
    [(20.0, 470.0), (470.0, 1070.0)]
    """
    asking |= {piece.name}
    if isinstance(piece, Panel):
        face, thick = row.at(piece.from_, float(piece.along.mm)), float(piece.thickness.mm)
        if face is None:
            return None
        return (face, face + thick) if piece.show == "left" else (face - thick, face)
    if piece.along is not None and piece.from_ is not None and piece.width is not None:
        at, width = row.at(piece.from_, float(piece.along.mm)), float(piece.width.mm)
        if at is None:
            return None
        return (at - width, at) if row.is_leftward(piece.from_) else (at, at + width)
    if isinstance(piece, Top) and piece.on is not None:
        return _over(row, piece, asking)
    if isinstance(piece, BoxPiece) and piece.aim is not None and piece.aim.line is not None:
        return _in_line(row, piece, piece.aim)
    return _between(row, piece, asking)


def neighbour(row: Row, edge: Edge) -> BoxPiece | Panel | None:
    """Return the box or panel of this wall that an edge meets; nothing where it meets the wall or trim."""
    there = row.survey.named.get(edge.meets or "", ())
    found = next((one for one in there if isinstance(one, BoxPiece | Panel)), None)
    return found if found is not None and wall_behind(found, row.survey, row.back) == row.wall else None


def _in_line(row: Row, box: BoxPiece, aim: Aim) -> Span | None:
    """Return where a box goes that an edge of, or its centre, lines up with something."""
    at, width = row.at(aim.line or "", 0.0), float(box.width.mm)
    if at is None:
        return None
    left = at + (float(aim.off.mm) if aim.off else 0.0)
    left -= {"left": 0.0, "centre": width / 2, "right": width}[aim.edge or "left"]
    return left, left + width


def _over(row: Row, top: Top, asking: frozenset[str]) -> Span | None:
    """Return where a top goes on its cabinet: past its ends, or to what the top meets there."""
    box = next((one for one in row.survey.named.get(top.on or "", ()) if isinstance(one, BoxPiece)), None)
    under = planned(row, box, asking) if box is not None else None
    if under is None:
        return None
    past = float(top.end_overhang.mm) if top.end_overhang else 0.0
    left, right = _met(row, top, "left", asking), _met(row, top, "right", asking)
    return under[0] - past if left is None else left, under[1] + past if right is None else right


def _between(row: Row, piece: BoxPiece | Top, asking: frozenset[str]) -> Span | None:
    """Return where a piece goes by what it meets: beside a neighbour, the left one first; amid two walls."""
    left, right = _met(row, piece, "left", asking), _met(row, piece, "right", asking)
    width = None if piece.width is None else float(piece.width.mm)
    if left is not None and right is not None:
        room = right - left
        width = min(width or room, room)
        if neighbour(row, piece.left) is not None:
            return left, left + width
        if neighbour(row, piece.right) is not None:
            return right - width, right
        return (left + right - width) / 2, (left + right + width) / 2
    if not width:
        return None
    if left is not None:
        return left, left + width
    return None if right is None else (right - width, right)


def _met(row: Row, piece: BoxPiece | Top, side: Side, asking: frozenset[str]) -> float | None:
    """Return where a piece ends on a side: at its neighbour or the wall's end, the gap there left free."""
    edge = _edge(piece, side)
    if edge.meets is None:
        return None
    beside, gap = neighbour(row, edge), _gap(edge)
    if beside is None:
        end = row.left if side == "left" else row.right
    else:
        span = None if beside.name in asking else planned(row, beside, asking)
        end = None if span is None else span[1 if side == "left" else 0]
        facing = OPEN if isinstance(beside, Panel) else _edge(beside, "right" if side == "left" else "left")
        # Each says the least that it wants.
        gap = max(gap, _gap(facing) if facing.meets == piece.name else 0.0)
    return None if end is None else end + (gap if side == "left" else -gap)


def _edge(piece: BoxPiece | Top, side: Side) -> Edge:
    return piece.left if side == "left" else piece.right


def _gap(edge: Edge) -> float:
    return float(edge.gap.mm) if edge.gap else 0.0

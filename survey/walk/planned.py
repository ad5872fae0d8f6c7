"""From where to where pieces are planned along a wall, before anything is worked out.

x runs to the right along the wall, facing it, in mm; where the wall's ends are, says whoever asks.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from survey.records import Aim, BoxPiece, Edge, Panel, Piece, Survey, Top

Span = tuple[float, float]
Side = Literal["left", "right"]
SIDES: Final[tuple[Side, ...]] = ("left", "right")


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


def planned(row: Row, piece: BoxPiece | Top | Panel) -> Span | None:
    """Return from where to where a piece goes; nothing where nobody said it.

    Of boxes beside one another those are held by a wall that ask for a gap or a net fit there, the others by
    their neighbours; where none asks, by the walls that their fillers close. As in `survey.report.run`.

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
    if isinstance(piece, Panel):
        face, thick = row.at(piece.from_, float(piece.along.mm)), float(piece.thickness.mm)
        if face is None:
            return None
        return (face, face + thick) if piece.show == "left" else (face - thick, face)
    if isinstance(piece, Top):
        return _placed(row, piece) or (_over(row, piece) if piece.on is not None else _met_only(row, piece))
    return _stood(row, piece, frozenset(), False) or _stood(row, piece, frozenset(), True)


def neighbour(row: Row, edge: Edge) -> BoxPiece | Panel | None:
    """Return the box or panel of this wall that an edge meets; nothing where it meets the wall or trim."""
    there = row.survey.named.get(edge.meets or "", ())
    found = next((one for one in there if isinstance(one, BoxPiece | Panel)), None)
    return found if found is not None and wall_behind(found, row.survey, row.back) == row.wall else None


def _placed(row: Row, piece: BoxPiece | Top) -> Span | None:
    """Return where a piece goes that is counted from something."""
    if piece.along is None or piece.from_ is None or piece.width is None:
        return None
    at, width = row.at(piece.from_, float(piece.along.mm)), float(piece.width.mm)
    if at is None:
        return None
    return (at - width, at) if row.is_leftward(piece.from_) else (at, at + width)


def _in_line(row: Row, box: BoxPiece, aim: Aim) -> Span | None:
    """Return where a box goes that an edge of, or its centre, lines up with something."""
    at, width = row.at(aim.line or "", 0.0), float(box.width.mm)
    if at is None:
        return None
    left = at + (float(aim.off.mm) if aim.off else 0.0)
    left -= {"left": 0.0, "centre": width / 2, "right": width}[aim.edge or "left"]
    return left, left + width


def _stood(row: Row, box: BoxPiece, asking: frozenset[str], loosely: bool) -> Span | None:
    """Return where a box stands; `loosely`: held by a wall that a filler closes, no gap being asked for."""
    if box.along is not None and box.from_ is not None:
        return _placed(row, box)
    if box.aim is not None and box.aim.line is not None:
        return _in_line(row, box, box.aim)
    asking |= {box.name}
    near = {side: one for side in SIDES if (one := neighbour(row, _edge(box, side))) is not None}
    at_walls = {
        side: end
        for side in SIDES
        if side not in near
        and (loosely or not near or _is_firm(_edge(box, side)))
        and (end := _end(row, box, side)) is not None
    }
    if not at_walls:
        # A run that is too wide is shown so: it goes on over what it should end at.
        found = (_beside(row, box, side, near[side], asking, loosely) for side in near)
        return next((span for span in found if span is not None), None)
    return _amid(at_walls.get("left"), at_walls.get("right"), float(box.width.mm))


def _beside(
    row: Row, box: BoxPiece, side: Side, beside: BoxPiece | Panel, asking: frozenset[str], loosely: bool
) -> Span | None:
    """Return where a box stands beside a neighbour; of the gaps that both ask for the larger is kept."""
    gap, width = _gap(_edge(box, side)), float(box.width.mm)
    if isinstance(beside, Panel):
        span = planned(row, beside)
    else:
        span = None if beside.name in asking else _stood(row, beside, asking, loosely)
        facing = _edge(beside, "right" if side == "left" else "left")
        gap = max(gap, _gap(facing) if facing.meets == box.name else 0.0)
    if span is None:
        return None
    return (
        (span[1] + gap, span[1] + gap + width) if side == "left" else (span[0] - gap - width, span[0] - gap)
    )


def _over(row: Row, top: Top) -> Span | None:
    """Return where a top goes on its cabinet: past its ends, or to what the top meets there."""
    box = next((one for one in row.survey.named.get(top.on or "", ()) if isinstance(one, BoxPiece)), None)
    under = planned(row, box) if box is not None else None
    if under is None:
        return None
    past = float(top.end_overhang.mm) if top.end_overhang else 0.0
    left, right = _end(row, top, "left"), _end(row, top, "right")
    return under[0] - past if left is None else left, under[1] + past if right is None else right


def _met_only(row: Row, top: Top) -> Span | None:
    """Return where a top on no cabinet goes: between what its ends meet, or from one of them."""
    width = None if top.width is None else float(top.width.mm)
    return _amid(_end(row, top, "left"), _end(row, top, "right"), width)


def _amid(left: float | None, right: float | None, width: float | None) -> Span | None:
    """Return where what is so wide goes: in the middle of two ends, as wide as they let it, or at one."""
    if left is not None and right is not None:
        width = min(width or right - left, right - left)
        return ((left + right - width) / 2, (left + right + width) / 2) if width > 0.0 else None
    if not width:
        return None
    if left is not None:
        return left, left + width
    return None if right is None else (right - width, right)


def _end(row: Row, piece: BoxPiece | Top, side: Side) -> float | None:
    """Return where a piece ends on a side: at a neighbour or the wall's end, its gap there left free."""
    edge = _edge(piece, side)
    if edge.meets is None:
        return None
    beside = neighbour(row, edge)
    if beside is None:
        end = row.left if side == "left" else row.right
    else:
        span = planned(row, beside)
        end = None if span is None else span[1 if side == "left" else 0]
    return None if end is None else end + (_gap(edge) if side == "left" else -_gap(edge))


def _is_firm(edge: Edge) -> bool:
    return edge.gap is not None or edge.finish == "net"


def _edge(piece: BoxPiece | Top, side: Side) -> Edge:
    return piece.left if side == "left" else piece.right


def _gap(edge: Edge) -> float:
    return float(edge.gap.mm) if edge.gap else 0.0

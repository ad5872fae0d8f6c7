"""What an end of a top or shelf meets besides a wall: trim's near edge, or the side of another piece."""

from __future__ import annotations

from fitting.placement import Spotted
from fitting.standing import Met, SideOf, Upright
from fitting.top import TopPlan
from survey.finding import finding
from survey.records import BoxPiece, Edge, Panel, Piece, Top, Trim
from survey.report.boxes import fitted_box
from survey.report.context import Context, NotReady, mm, not_made
from survey.report.needs import need_mark
from survey.report.trim import RUNS, heights_of

ENDS = ("left", "right")
AGREES = 1.0
"""mm by which a top may stand above or below what its end meets before it is refused (assumption)."""


def standing_at(
    context: Context, piece: Top, side: str, edge: Edge, heights: tuple[float, float]
) -> tuple[str, Met] | None:
    """Return what an edge meets that is no wall, with the wall at which it stands; nothing for a wall.

    Raises
    ------
    NotReady
        What does not stand where it could be met, or whose place nobody read.
    """
    name = edge.meets or ""
    trim, other = context.record(name, Trim), context.record(name, Piece)
    if trim is None and other is None:
        return None
    if side not in ENDS:
        why = f"its {side} meets `{name}`, and only an end can meet trim or another piece"
        do = "let it meet its wall: it is notched around what stands there"
        raise NotReady(not_made(piece, why, do, *context.ids(name)))
    if trim is not None:
        return piece.wall, _near_edge(context, piece, side, trim, heights)
    assert other is not None
    return piece.wall, _side_of(context, piece, side, other, heights)


def met_by_ends(context: Context, plan: TopPlan) -> set[str]:
    """Return the features that say where what a top's ends meet stands."""
    met = [edge.at for edge in plan.edges.values()]
    found = {one.name for one in met if isinstance(one, Upright)}
    for one in met:
        if isinstance(one, SideOf):
            found |= {held.name for held in one.placed.held if isinstance(held, Spotted)}
    return {name for name in found if context.room.plan.feature(name) is not None}


def panel_face(context: Context, panel: Panel, toward: str) -> float:
    """Return how far right of what it is measured from the face of a panel is that looks to one side."""
    out = context.signed_out(panel.wall, panel.from_, mm(panel.along))
    if panel.show == toward:
        return out
    return out + (mm(panel.thickness) if toward == "right" else -mm(panel.thickness))


def _near_edge(context: Context, piece: Top, side: str, trim: Trim, heights: tuple[float, float]) -> Upright:
    name = trim.name
    if trim.wall != piece.wall:
        why = f"its {side} end meets `{name}`, which is on wall `{trim.wall}`"
        do = f"let that end meet wall `{trim.wall}`: it is notched around `{name}`"
        raise NotReady(not_made(piece, why, do, trim.id))
    if trim.type in RUNS:
        why = f"its {side} end meets `{name}`, and {trim.type} runs along the whole wall"
        raise NotReady(not_made(piece, why, "let that end meet a wall, or leave it open", trim.id))
    if trim.toward != side:
        why = f"its {side} end meets `{name}`, which runs to the {trim.toward} from its near edge"
        do = f"let the {trim.toward} end meet it, or say to which side `{name}` runs"
        raise NotReady(not_made(piece, why, do, trim.id))
    if trim.fate == "comes off":
        why = f"its {side} end meets `{name}`, which comes off"
        do = f"let that end be open or meet a wall, or say that `{name}` stays"
        raise NotReady(not_made(piece, why, do, trim.id))
    if trim.projection is None and not trim.points:
        raise NotReady(finding(305, [trim.id], [piece.name], name=name, size="projection"))
    low, high = heights_of(context, trim)
    for known, size in ((low, "bottom"), (high, "height of its top edge")):
        if known is None:
            raise NotReady(finding(305, [trim.id], [piece.name], name=name, size=size))
    assert low is not None
    assert high is not None
    _refuse_height(context, piece, side, name, (low, high), heights)
    missing = need_mark(context, piece, piece.wall, name, 0.0)
    if missing:
        raise NotReady(*missing)
    if trim.fate == "comes later":
        context.note(finding(546, [piece.id, trim.id], [piece.name], piece=piece.name, trim=name))
    deep = mm(trim.projection, max((mm(one.out) for one in trim.points), default=0.0))
    return Upright(name, 0.0, deep)


def _side_of(context: Context, piece: Top, side: str, other: Piece, heights: tuple[float, float]) -> Met:
    name = other.name
    if name in (piece.name, piece.on):
        which = "it is that piece" if name == piece.name else "it lies on that cabinet"
        why = f"its {side} end meets `{name}`, and {which}: its place would rest on itself"
        raise NotReady(not_made(piece, why, "leave that end open, or say what it really meets"))
    if not isinstance(other, BoxPiece | Panel):
        why = f"its {side} end meets `{name}`, and only sides of cabinets and panels are worked out"
        do = "let it meet a cabinet, a panel or a wall, or leave that end open"
        raise NotReady(not_made(piece, why, do, other.id))
    if other.wall != piece.wall:
        why = f"its {side} end meets `{name}`, which stands at wall `{other.wall}`"
        do = f"let it meet what stands at wall `{piece.wall}`, or say `against {other.wall}`"
        raise NotReady(not_made(piece, why, do, other.id))
    if isinstance(other, BoxPiece):
        box = fitted_box(context, other)
        _refuse_height(context, piece, side, name, (box.plan.bottom, box.plan.top), heights)
        return SideOf(box.placed, box.right if side == "left" else box.left, box.plan.depth)
    missing = need_mark(context, piece, other.wall, other.from_, mm(other.along))
    if missing:
        raise NotReady(*missing)
    low = mm(other.bottom, heights[0])  # one that stands on the floor begins below any top
    _refuse_height(context, piece, side, name, (low, mm(other.bottom) + mm(other.height)), heights)
    out = panel_face(context, other, "right" if side == "left" else "left")
    return Upright(other.from_, out, mm(other.depth))


def _refuse_height(
    context: Context,
    piece: Top,
    side: str,
    name: str,
    stands: tuple[float, float],
    heights: tuple[float, float],
) -> None:
    """Refuse an end at a height at which what it meets does not stand."""
    if stands[0] <= heights[0] + AGREES and stands[1] >= heights[1] - AGREES:
        return
    near = context.printer.near
    low, high, bottom, top = (near(one).text for one in (*stands, *heights))
    why = f"its {side} end, from {bottom} to {top}, meets `{name}`, which reaches from {low} to {high}"
    do = "look at both heights, or leave that end open"
    raise NotReady(not_made(piece, why, do, *context.ids(name)))

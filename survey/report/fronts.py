"""Doors and drawers in the report: a door against the face that it hangs on, and how far each opens."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from msgspec.structs import replace

from fitting.cabinet import FittedCabinet
from fitting.front import REVEAL, Front, even_fronts, reveals
from fitting.swing import PULL_IN, PULL_WIDTH
from survey.finding import Finding, finding
from survey.records import BoxPiece, CabinetDoor, Drawer, FrontPiece, Piece
from survey.report.beside import CLEAR
from survey.report.boxes import cabinet_named, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_said
from survey.report.leaves import heights_of, opens_to, reach_of, swing_of
from survey.report.openings import Passing, at_face, degrees, least_gap, passings, rolls_out, strikes
from survey.report.printing import Printer
from survey.report.structs import NamedDimension, PieceReport

HALF = 0.51
"""Of a reveal between two fronts, the part that each may have at the face's edge; below it they bind
there."""
HINGE_SHEET = (
    "Set the hinge by its own sheet: boring, overlay and how far it opens differ from one to another."
)
SAME = 1e-6
"""mm; gaps that differ by less are alike."""


def door_report(context: Context, piece: CabinetDoor) -> PieceReport:
    """Tell a cabinet's door: its own size as typed, its reveals, how far it opens and what that needs."""
    if piece.of is None:
        what = f"which cabinet `{piece.name}` hangs on"
        raise NotReady(not_said(piece, what, "say `of` and the cabinet's name"))
    cabinet, box = cabinet_named(context, piece, piece.of)
    found = passings(context, piece, cabinet, box, [piece])
    context.note(
        *strikes(context, cabinet, box, found),
        *(one for one in rolls_out(context, cabinet, box) if piece.name in one.pieces),
        *_tight_reveals(context, piece, cabinet, box),
    )
    near = context.printer.near
    sizes = tuple(
        NamedDimension(name, near(mm(getattr(piece, name)))) for name in ("width", "height", "thickness")
    )
    how = "before the face" if piece.sits == "overlay" else "flush in its opening"
    return PieceReport(
        piece.name,
        "cabinet door",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        datum="its own: cut square",
        rule=f"on `{cabinet.name}`, {how}, hinged at the {piece.hinge} with {piece.hinges} hinges; "
        f"to open to {degrees(opens_to(piece))}",
        finished=sizes,
        blank=sizes,
        measures=tuple(_measures(context, piece, cabinet, box, found)),
        cautions=(HINGE_SHEET,),
        limits=_limits(context.printer),
        confidence=context.confidence,
        readings=context.readings_of(walls_of(box), rests_on(cabinet)),
    )


def _limits(printer: Printer) -> str:
    spare, wide, in_ = (printer.near(one).text for one in (CLEAR, PULL_WIDTH, PULL_IN))
    return (
        f"that it opens past what stands at its hinge side, its pull on it, with {spare} to spare; a pull is "
        f"taken as {wide} wide, {in_} from the free edge (common practice); "
        "not what stands farther off in the room"
    )


def with_way_out(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell of a drawer besides whether it slides out past what stands beside it, and what that needs."""
    if not isinstance(piece, Drawer) or piece.of is None or context.record(piece.of, BoxPiece) is None:
        return told
    cabinet, box = cabinet_named(context, piece, piece.of)
    found = passings(context, piece, cabinet, box, [piece])
    context.note(
        *strikes(context, cabinet, box, found),
        *(one for one in rolls_out(context, cabinet, box) if piece.name in one.pieces),
    )
    return replace(told, measures=(*told.measures, *_least_gaps(context, cabinet, box, found)))


def _least_gaps(
    context: Context, cabinet: BoxPiece, box: FittedCabinet, found: tuple[Passing, ...]
) -> Iterator[NamedDimension]:
    for one in found:
        if one.side in box.sides:
            needed = max(0.0, at_face(box, one.side) + one.lacking)
            yield NamedDimension(least_gap(one.side, cabinet.name), context.printer.up(needed))


def _measures(
    context: Context,
    piece: CabinetDoor,
    cabinet: BoxPiece,
    box: FittedCabinet,
    found: tuple[Passing, ...],
) -> Iterator[NamedDimension]:
    printer, swing = context.printer, swing_of(box, piece)
    for gap in _gaps(context, piece, box):
        yield printer.named(gap.words, gap.mm)
    yield printer.named("its corner swings, from the pin", swing.corner_radius)
    if swing.least_reveal > 0:
        yield NamedDimension("least gap at its free edge", printer.up(swing.least_reveal))
    yield from _least_gaps(context, cabinet, box, found)
    own = _up(box, piece)
    beside = [one for one in _others(context, piece, box) if _meet(_up(box, one), own)]
    if piece.sits == "overlay" and all(isinstance(one, CabinetDoor) for one in beside):
        even = even_fronts(box.plan.width, 1 + len(beside), REVEAL, REVEAL / 2)
        yield printer.named(f"width for even gaps, {printer.near(REVEAL).text} by a card", even[0].size)


def _others(context: Context, piece: CabinetDoor, box: FittedCabinet) -> list[FrontPiece]:
    """Return the other fronts of its cabinet whose size is known and that do not stand behind it."""
    (start, end), (low, high) = reach_of(box, piece), heights_of(box, piece)
    found = []
    for one in context.survey.of(FrontPiece):
        if one.of != piece.of or one.name == piece.name:
            continue
        if isinstance(one, Drawer) and one.sits == "overlay":
            continue  # only its opening is typed
        (left, right), (bottom, top) = reach_of(box, one), heights_of(box, one)
        in_one_plane = isinstance(one, CabinetDoor) and one.sits == piece.sits
        if in_one_plane or not (start < (left + right) / 2 < end and low < (bottom + top) / 2 < high):
            found.append(one)
    return found


@dataclass(frozen=True)
class _Gap:
    """What is beside a door at one side: the next front, or the cabinet's own edge, and how far off (mm)."""

    side: Literal["left", "right", "top", "bottom"]
    mm: float
    to_edge: bool

    @property
    def words(self) -> str:
        edge = "side" if self.side in ("left", "right") else "edge"
        return f"from its {self.side} to " + (f"the cabinet's {edge}" if self.to_edge else "the next front")


def _gaps(context: Context, piece: CabinetDoor, box: FittedCabinet) -> tuple[_Gap, ...]:
    """Return the gaps around a door: to what hangs at its height, and to what hangs over or under it."""
    own_across, own_up = _across(box, piece), _up(box, piece)
    others = _others(context, piece, box)
    row = [_across(box, one) for one in others if _meet(_up(box, one), own_up)]
    column = [_up(box, one) for one in others if _meet(_across(box, one), own_across)]
    width, height = box.plan.width, box.plan.top - box.plan.bottom
    left, right = reveals(own_across, row, width)
    bottom, top = reveals(own_up, column, height)
    return (
        _Gap("left", left, left == own_across.start),
        _Gap("right", right, right == width - own_across.end),
        _Gap("top", top, top == height - own_up.end),
        _Gap("bottom", bottom, bottom == own_up.start),
    )


def _across(box: FittedCabinet, front: FrontPiece) -> Front:
    start, end = reach_of(box, front)
    return Front(start - box.left, end - box.left)


def _up(box: FittedCabinet, front: FrontPiece) -> Front:
    low, high = heights_of(box, front)
    return Front(low - box.plan.bottom, high - box.plan.bottom)


def _meet(one: Front, other: Front) -> bool:
    return one.start < other.end and one.end > other.start


def _tight_reveals(
    context: Context, piece: CabinetDoor, cabinet: BoxPiece, box: FittedCabinet
) -> Iterator[Finding]:
    """Gaps of a door that are too small to swing in, or where it overlaps what is beside it.

    At the edge of a face nothing is beside an overlay door; there it may lie flush, and only not stand over.
    """
    printer, swing = context.printer, swing_of(box, piece)
    for gap in _gaps(context, piece, box):
        flush = gap.to_edge and piece.sits == "overlay"
        is_free = gap.side in ("left", "right") and gap.side != piece.hinge
        needs = swing.least_reveal if is_free and not flush else 0.0
        if gap.mm >= needs - SAME:
            continue
        wanted = printer.up(0.0 if flush else max(needs, REVEAL))
        is_placeless = _is_placeless(piece, gap)
        yield finding(
            530,
            [piece.id, cabinet.id],
            [piece.name, cabinet.name],
            where=gap.words,
            piece=piece.name,
            gap=printer.near(gap.mm).text,
            needs=wanted.text,
            do=f"say where it hangs, `from left`: without that `{piece.name}` hangs in the middle"
            if is_placeless
            else f"make it {printer.up(wanted.cut_mm - gap.mm).text} {_less(gap)}, or move it by that",
        )
        if is_placeless:
            return


def _is_placeless(piece: CabinetDoor, gap: _Gap) -> bool:
    """Whether a door hangs on another one, since nobody said where it hangs."""
    return piece.from_left is None and not gap.to_edge and gap.mm < -mm(piece.width) / 2


def _less(gap: _Gap) -> str:
    return "narrower" if gap.side in ("left", "right") else "lower"

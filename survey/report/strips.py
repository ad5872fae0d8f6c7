"""What is asked of a filler strip, and strips whose grain or profile runs on: cut from one board, in
order."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from fitting.allowance import SAW
from fitting.cabinet import FittedCabinet
from fitting.filler import FillerPlan, fit_filler
from fitting.piece import CLEARANCE
from fitting.strip import in_one_board
from survey.finding import finding
from survey.records import BoxPiece, Filler
from survey.report.boxes import cabinet_named, footprint
from survey.report.context import Context, NotReady, mm
from survey.report.openings import SIDES
from survey.report.trim import trims_on


@dataclass(frozen=True)
class Run:
    """Where a strip lies in the board of its run: mm from the end where the first begins."""

    words: str
    start: float
    end: float


def in_a_run(context: Context, piece: Filler) -> Run | None:
    """Return a strip's place in the board that it shares, or nothing where it shares none.

    Refuses strips that cannot follow one another: in a ring, two after the same, or of different stuff.
    """
    strips = {one.name: one for one in context.survey.of(Filler)}
    after: dict[str, Filler] = {}
    for one in strips.values():
        if one.runs_on is None:
            continue
        before = strips.get(one.runs_on)
        if before is None:
            if one.name == piece.name:
                known = "it must be a filler strip of this survey"
                raise NotReady(
                    finding(
                        103, [one.id], [one.name], what=f"piece `{one.name}`", name=one.runs_on, known=known
                    )
                )
            continue
        if before.name in after:
            _refuse(
                one, before, f"`{after[before.name].name}` runs on from it already", "let it run on from that"
            )
        after[before.name] = one
    order = _order(piece, strips, after)
    if len(order) == 1:
        return None
    for one, next_one in pairwise(order):
        if (one.material, mm(one.thickness)) != (next_one.material, mm(next_one.thickness)):
            _refuse(next_one, one, "they are of different material or thickness", "make both of one board")
    laid = in_one_board([(one.name, _length(context, one)) for one in order])
    at = next(one for one in laid if one.name == piece.name)
    names = ", ".join(f"`{one.name}`" for one in order)
    return Run(f"cut from one board, in this order, so that its grain runs on: {names}", at.start, at.end)


def _order(piece: Filler, strips: dict[str, Filler], after: dict[str, Filler]) -> list[Filler]:
    """Return the run that a strip is in, from its first strip on."""
    first, seen = piece, {piece.name}
    while first.runs_on in strips:
        first = strips[first.runs_on]
        if first.name in seen:
            _refuse(
                piece, first, "the strips run on from one another in a ring", "say which of them is first"
            )
        seen.add(first.name)
    order = [first]
    while order[-1].name in after:
        order.append(after[order[-1].name])
    return order


def _length(context: Context, piece: Filler) -> float:
    """Return how long a strip's blank is (mm)."""
    cabinet, box = cabinet_named(context, piece, piece.beside)
    if piece.side != "top":
        return box.plan.top - box.plan.bottom
    blank = fit_filler(box, filler_plan(context, piece, cabinet, box)).outline.blank
    return float(blank[:, 0].max() - blank[:, 0].min())


def _refuse(piece: Filler, other: Filler, why: str, do: str) -> None:
    raise NotReady(
        finding(
            531,
            [piece.id, other.id],
            [piece.name, other.name],
            piece=piece.name,
            other=other.name,
            why=why,
            do=do,
        )
    )


def filler_plan(context: Context, piece: Filler, cabinet: BoxPiece, box: FittedCabinet) -> FillerPlan:
    """Return what is asked of a strip whose cabinet stands in its place."""
    setback, saw = mm(piece.setback), mm(piece.saw, SAW)
    if piece.side != "top":
        walls = {box.sides[piece.side].wall}
        trims = trims_on(context, piece, walls, ("baseboard",), box.plan.bottom, box.plan.top)
        return FillerPlan(piece.side, setback, saw, trims, CLEARANCE, context.confidence)
    strips = {one.side for one in context.survey.of(Filler) if one.beside == cabinet.name}
    over = tuple(side for side in SIDES if side in strips and side in box.sides)
    floor = context.room.level("floor", footprint(box)) if cabinet.bottom is None else None
    height_sd = 0.0 if floor is None else float(floor.sd.max())
    return FillerPlan("top", setback, saw, (), CLEARANCE, context.confidence, over, height_sd)

"""Filler strips in the report: what they close, how wide they are, what must open beside them."""

from __future__ import annotations

from collections.abc import Iterator

from fitting.cabinet import FittedCabinet, SideName
from fitting.filler import FittedFiller, fit_filler
from fitting.notch import Side
from fitting.stake import Outcome
from fitting.strip import KERF, NARROWEST, WIDEST, judged
from survey.finding import Finding, finding
from survey.records import BoxPiece, Filler
from survey.report.boxes import cabinet_named, face_along, footprint, rests_on, walls_of
from survey.report.context import Context, NotReady, mm, not_said
from survey.report.flat import Words, flat_report
from survey.report.needs import need_ceiling, need_upright_check
from survey.report.openings import at_face, fronts_of, passings, strikes
from survey.report.strips import Run, filler_plan, in_a_run
from survey.report.structs import NamedDimension, PieceReport
from survey.report.trim import runs_into, span_in, trims_on
from survey.report.uprights import AT_FACE, LIMITS

LIMITS_ON_TOP = (
    "joint over its edges at ceiling and walls, these taken as if nothing tied them: the blank covers them; "
    "not whether it can be brought in"
)
LEAST_FOR = "least width, to open"
"""How the measure begins that says how wide a strip must be for a door or drawer; its name follows."""


def filler_report(context: Context, piece: Filler) -> PieceReport:
    """Tell a filler strip, at a side of its cabinet or on top of it."""
    cabinet, box = cabinet_named(context, piece, piece.beside)
    _refuse_unknown(context, piece, cabinet, box)
    strip = fit_filler(box, filler_plan(context, piece, cabinet, box))
    context.note(*_widths(context, piece, strip))
    if strip.stake is not None:
        context.at_stake(piece, strip.stake)
    elif strip.covers is not None:
        context.outcomes[piece.name] = Outcome(None, None, strip.covers, strip.covers)
    flat = flat_report(context, piece, strip.outline, _words(piece, box, strip), mm(piece.thickness))
    named = context.printer.named
    on_top = piece.side == "top"
    first, last = ("left", "right") if on_top else ("bottom", "top")
    measures = [
        named(f"gap at the face, {first}", strip.at_bottom),
        named(f"gap at the face, {last}", strip.at_top),
        named(f"taper, {first} to {last}", strip.taper),
    ]
    if piece.side != "top":
        context.note(*_at_the_face(context, piece, box, piece.side, mm(piece.setback)))
        measures += _room_to_open(context, piece, cabinet, box, piece.side)
    run = in_a_run(context, piece)
    if run is not None:
        measures += [named("along its board, from", run.start), named("along its board, to", run.end)]
    return PieceReport(
        piece.name,
        "filler",
        "ready",
        piece.material,
        piece.grain,
        piece.quantity,
        "lower edge, and the cabinet's left side" if on_top else "long edge at the cabinet and bottom end",
        _sits(piece, cabinet, run),
        flat.finished,
        flat.blank,
        flat.outline,
        flat.blank_outline,
        flat.edges,
        flat.notches,
        tuple(measures),
        confidence=context.confidence,
        limits=LIMITS_ON_TOP if on_top else LIMITS,
        readings=context.readings_of(
            walls_of(box) | ({"ceiling"} if on_top else set()),
            rests_on(cabinet) | {one.name for one in strip.plan.trims},
        ),
    )


def _refuse_unknown(context: Context, piece: Filler, cabinet: BoxPiece, box: FittedCabinet) -> None:
    """Refuse a strip at a side with no wall, at a wall whose lean nobody read, under a ceiling not read."""
    if piece.side == "top":
        left_front, _, right_front, _ = footprint(box)
        missing = need_ceiling(context, piece, (left_front, right_front))
        if missing:
            raise NotReady(*missing)
        return
    gap = box.sides.get(piece.side)
    if gap is None:
        what = f"which wall the {piece.side} side of `{cabinet.name}` meets"
        raise NotReady(not_said(piece, what, f"say what its {piece.side} edge meets", cabinet.id))
    setback = mm(piece.setback)
    inward = setback if piece.side == "left" else -setback
    face = face_along(context, box, piece.side) + inward
    context.note(*need_upright_check(context, piece, gap.wall, face, box.plan.bottom, box.plan.top))


def _words(piece: Filler, box: FittedCabinet, strip: FittedFiller) -> Words:
    sides: dict[Side, str] = {"left": "left", "right": "right", "front": "bottom", "back": "top"}
    if piece.side != "top":
        return Words(
            sides,
            {piece.side: f"wall {box.sides[piece.side].wall}"},
            "from the long edge at the cabinet",
            "from the bottom",
            "width",
            "length",
            piece.side == "left",
        )
    meets: dict[Side, str] = {side: f"wall {box.sides[side].wall}" for side in strip.plan.over}
    return Words(
        sides,
        {**meets, "back": "the ceiling"},
        "from the cabinet's left side",
        "from the lower edge",
        "length",
        "width",
    )


def _sits(piece: Filler, cabinet: BoxPiece, run: Run | None) -> str:
    if piece.side == "top":
        told = f"its lower edge on `{cabinet.name}`, at the face; the upper one is scribed to the ceiling"
    else:
        told = (
            f"its long edge on the {piece.side} side of `{cabinet.name}`, at the face; the other is scribed"
        )
    return told if run is None else f"{told}; {run.words}"


def _widths(context: Context, piece: Filler, strip: FittedFiller) -> Iterator[Finding]:
    """Say of a strip that it is too narrow to cut or to hold, or too wide to look right."""
    printer = context.printer
    least, most = strip.narrowest, strip.widest
    said = {"piece": piece.name}
    word = judged(least, most)
    if word == "no strip":
        more = printer.up(KERF - least).text
        said |= {"size": printer.near(least).text, "kerf": printer.near(KERF).text, "more": more}
        yield finding(527, [piece.id], [piece.name], **said)
    elif word == "narrow":
        more = printer.up(NARROWEST - least).text
        said |= {"size": printer.near(least).text, "narrowest": printer.near(NARROWEST).text, "more": more}
        yield finding(528, [piece.id], [piece.name], **said)
    elif word == "wide":
        more = printer.up(most - WIDEST).text
        do = "make the cabinet higher, or close the rest with a frieze" if piece.side == "top" else ""
        do = do or f"make the cabinet {more} wider, or share the gap with a strip at its other side"
        said |= {"size": printer.near(most).text, "widest": printer.near(WIDEST).text, "do": do}
        yield finding(529, [piece.id], [piece.name], **said)


def _room_to_open(
    context: Context, piece: Filler, cabinet: BoxPiece, box: FittedCabinet, side: SideName
) -> Iterator[NamedDimension]:
    """Give the least width of a strip for what opens beside it; say what does not open."""
    fronts = fronts_of(context, cabinet)
    found = [one for one in passings(context, piece, cabinet, box, fronts) if one.side == side]
    context.note(*strikes(context, cabinet, box, found))
    for one in found:
        needed = max(0.0, at_face(box, side) + one.lacking)
        yield NamedDimension(f"{LEAST_FOR} `{one.front.name}`", context.printer.up(needed))


def _at_the_face(
    context: Context, piece: Filler, box: FittedCabinet, side: SideName, setback: float
) -> Iterator[Finding]:
    """Trim that a strip meets instead of the wall."""
    wall = box.sides[side].wall
    for trim in trims_on(context, piece, {wall}, AT_FACE, box.plan.bottom, box.plan.top):
        near, far = span_in(context, box.placed, trim)
        if near < setback + mm(piece.thickness) and far > setback:
            do = f"scribe it to `{trim.name}` on site, or make the cabinet shallower"
            yield runs_into(context, piece, trim, do)

"""Studs behind what hangs on a wall or could tip: where each is, which screw, and what is lacking."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from msgspec.structs import replace

from fitting.cabinet import FittedCabinet
from fitting.fixing import (
    MOST_IN_WOOD,
    STUD_WIDTH,
    Catch,
    Fixing,
    ScrewChoice,
    StudAt,
    choose_screw,
    meet_studs,
)
from fitting.placement import Spotted
from survey.finding import Finding, finding
from survey.records import (
    Area,
    BoxPiece,
    Cleat,
    Piece,
    Position,
    Stretcher,
    Stud,
    TallCabinet,
    Wall,
)
from survey.report.context import Context, mm
from survey.report.structs import FixingReport, PieceReport

WOOD: Final = ("wood stud", "unknown")
"""Framings in which studs are looked for; in others the wall's own fastener holds."""
ENOUGH: Final = 2
"""Studs that a piece wants at least (common practice: two screws up and down into framing, no source)."""
SCREWED: Final = (
    "What a fastening carries is for its own table and the local code. No screw where a pipe or cable may "
    "run: prove the stud and look behind it first."
)


def with_fixings(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell where a box that hangs, or that could tip, meets studs; other pieces are told as they are."""
    if told.status == "not ready" or not _wants_studs(piece) or piece.name not in context.cabinets:
        return told
    assert isinstance(piece, BoxPiece)
    box, _ = context.cabinets[piece.name]
    wall = context.record(box.plan.wall, Wall)
    if wall is None or wall.framing not in WOOD:
        return told
    studs = [one for one in context.survey.of(Stud) if one.wall == wall.name and _is_placed(context, one)]
    up = box.plan.top
    found = meet_studs(box.plan.width, [_seen(context, box, one, up) for one in studs], context.confidence)
    context.note(*_findings(context, piece, studs, found))
    named = {one.name: one for one in studs}
    return replace(
        told,
        fixings=tuple(_told(context, wall.name, named[one.stud.name], one, up) for one in found.catches),
        screws=tuple(_screws(context, piece, wall.name)) if found.catches else (),
        cautions=(*told.cautions, SCREWED) if found.catches else told.cautions,
    )


def _wants_studs(piece: Piece) -> bool:
    return isinstance(piece, TallCabinet) or (isinstance(piece, BoxPiece) and piece.bottom is not None)


def _is_placed(context: Context, stud: Stud) -> bool:
    return context.room.plan.feature(stud.name) is not None and context.room.feature_placed(stud.name)


def _seen(context: Context, box: FittedCabinet, stud: Stud, up: float) -> StudAt:
    """Return a stud from the box's left side, and how sure that is with the box pushed to its place."""
    joint = box.placed.measure([Spotted(stud.name, up, "x")])
    return StudAt(stud.name, float(joint.mean[0]) - box.left, float(joint.sd[0]), mm(stud.width, STUD_WIDTH))


def _told(context: Context, wall: str, stud: Stud, catch: Catch, up: float) -> FixingReport:
    printer = context.printer
    off, mark = _from_mark(context, wall, stud.name, up)
    return FixingReport(
        stud.name,
        printer.near(catch.stud.at),
        "from the left side",
        printer.near(off),
        mark,
        printer.down(max(0.0, catch.within)),
        _how(context, stud),
    )


def _from_mark(context: Context, wall: str, name: str, up: float) -> tuple[float, str]:
    """Return how far a stud is from the nearer corner of its wall, and which that is."""
    at = context.along(wall, name, up)
    corners = [context.room.plan.corner_at(wall, end) for end in ("left", "right")]
    offs = [(abs(at - context.along(wall, one.name, up)), one.name) for one in corners if one is not None]
    off, corner = min(offs, default=(at, ""))
    return off, f"corner {corner}" if corner else "where the wall is measured from"


def _how(context: Context, stud: Stud) -> Literal["both edges", "centre", "supposed"]:
    if stud.proved == "assumed spacing":
        return "supposed"
    edges = {one.of for one in context.survey.of(Position)} & {f"{stud.name}:left", f"{stud.name}:right"}
    return "both edges" if len(edges) == 2 else "centre"


def _findings(context: Context, piece: Piece, studs: list[Stud], found: Fixing) -> Iterator[Finding]:
    """Say where studs are lacking, only supposed, or not surely under a screw."""
    caught = {one.stud.name: one for one in found.catches}
    ids = [piece.id, *(one.id for one in studs)]
    mend = _mend(context, studs, found)
    if not caught:
        yield finding(589, ids, [piece.name], piece=piece.name, do=mend)
    elif len(caught) < ENOUGH:
        yield finding(586, ids, [piece.name], piece=piece.name, stud=next(iter(caught)), do=mend)
    supposed = [one for one in studs if one.name in caught and one.proved == "assumed spacing"]
    if supposed:
        names = " and ".join(f"`{one.name}`" for one in supposed)
        yield finding(
            587, [piece.id, *(one.id for one in supposed)], [piece.name], piece=piece.name, studs=names
        )
    unsure = [one for one in studs if one.name in caught and caught[one.name].within <= 0.0]
    for one in unsure:
        yield finding(588, [piece.id, one.id], [piece.name], piece=piece.name, stud=one.name)


def _mend(context: Context, studs: list[Stud], found: Fixing) -> str:
    if not studs:
        return "find the studs and put them down, or set blocking before the board goes on"
    ways = []
    if found.shift is not None:
        side = "right" if found.shift > 0 else "left"
        ways.append(f"move it {context.printer.up(abs(found.shift)).text} to the {side}")
    ways += ["set blocking behind it before the board goes on", "hang it on a rail that reaches more studs"]
    return ", or ".join(ways)


def _screws(context: Context, piece: Piece, wall: str) -> Iterator[str]:
    """Say which screw goes through the hanging rail and the wall's build-up into the stud."""
    layers = [one for area in context.survey.of(Area) if area.wall == wall for one in area.layers]
    build_up = sum(mm(one.thickness) for one in layers)
    rails = [one for kind in (Cleat, Stretcher) for one in context.survey.of(kind) if one.of == piece.name]
    over = " and ".join(one.name for one in layers) or "what is on the studs"
    deepest = context.printer.near(MOST_IN_WOOD).text
    if not rails or not layers:
        yield (
            f"Screws: as long as the rail, {over} and 1 in of stud together, the point no deeper in the stud "
            f"than {deepest} unless it is known to be clear."
        )
        return
    for rail in rails:
        yield _screw_words(context, rail.name, choose_screw(mm(rail.thickness) + build_up), over)


def _screw_words(context: Context, rail: str, choice: ScrewChoice, over: str) -> str:
    printer = context.printer
    if not choice.length:
        return f"Through `{rail}` and {over} no common wood screw reaches the stud: fasten it another way."
    told = (
        f"Through `{rail}` and {over}: {printer.near(choice.length).text} screws, "
        f"{printer.near(choice.in_wood).text} in the stud"
    )
    return (
        f"{told}: deeper than a pipe or cable may lie, so prove that the stud is clear."
        if choice.too_deep
        else f"{told}."
    )

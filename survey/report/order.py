"""The day of installation, step by step: what is set when, why then, and what to look at first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from fitting.order import Knot, Relation, WorkOrder, order_of_work
from survey.finding import Finding, finding
from survey.records import (
    BoughtItem,
    BoxPiece,
    CabinetDoor,
    Cleat,
    Drawer,
    Edge,
    Electrical,
    FalseFront,
    Filler,
    LightStrip,
    Mirror,
    Panel,
    Piece,
    RoughIn,
    Shelf,
    Splash,
    ToeKick,
    Top,
    Trim,
    Wall,
)
from survey.report.context import Context
from survey.report.structs import OrderStep, PieceReport
from survey.report.ties import (
    ALL_ELSE,
    BASE,
    FRAMING,
    HIGH_POINT,
    LEVEL_LINE,
    Tie,
    is_done_on_site,
    lets_down,
    ties_of,
)

Step = tuple[str, tuple[str, ...], str, tuple[str, ...]]
"""What is done, with which pieces, why then, and what is looked at first."""
FLOOR_CORNERS: Final = ("left front", "left back", "right front", "right back")


def day_order(
    context: Context, told: Sequence[PieceReport]
) -> tuple[tuple[OrderStep, ...], tuple[Finding, ...]]:
    """Return the steps of the day, and what contradicts itself among them; no steps where nothing is set."""
    pieces = {one.name: one for one in context.survey.of(Piece) if is_done_on_site(one)}
    if not pieces:
        return (), ()
    ties = ties_of(context)
    relations = [tie.relation for tie in ties]
    order = order_of_work(_things(pieces, relations), relations)
    words = {tie.relation: tie for tie in ties}
    reports = {one.name: one for one in told}
    before = tuple(_before_all(context, told))
    steps: list[Step] = [("Look before anything is carried in.", (), "", before)] if before else []
    for thing in (one for level in order.levels for one in level if one != ALL_ELSE):
        names = (thing,) if thing in pieces else ()
        check = _checks(context, thing, pieces, reports)
        steps.append((_says(context, thing, pieces), names, _why(order, thing, words), check))
    steps += [(says, (), why, check) for says, why, check in _trades(context)]
    numbered = tuple(OrderStep(number, *step) for number, step in enumerate(steps, 1))
    return numbered, tuple(_knotted(knot, words, pieces) for knot in order.knots)


def _things(pieces: Mapping[str, Piece], relations: Iterable[Relation]) -> list[str]:
    """Return all that is to be done: first what is marked out, then what hangs, then all else as put down."""
    named = dict.fromkeys(name for one in relations for name in (one.first, one.then) if name not in pieces)
    first = [LEVEL_LINE, *(one for one in (HIGH_POINT, FRAMING) if one in named)]
    bases = [one for one in named if one.startswith(BASE)]
    hung = [one.name for one in pieces.values() if isinstance(one, BoxPiece) and one.bottom is not None]
    rest = [name for name in pieces if name not in hung]
    return [*first, *bases, *hung, *rest, *([ALL_ELSE] if ALL_ELSE in named else [])]


def _why(order: WorkOrder, thing: str, words: Mapping[Relation, Tie]) -> str:
    """Say what a thing waits for; what is common to many is said once."""
    reasons = dict.fromkeys(words[one].words for one in order.waits_for(thing))
    return "; ".join(one for one in reasons if one)


def _knotted(knot: Knot, words: Mapping[Relation, Tie], pieces: Mapping[str, Piece]) -> Finding:
    things = [one for one in knot.things if one in pieces]
    given_up = [words[one].words or f"{one.thing} {one.why} {one.other}" for one in knot.untied_by]
    ids = [pieces[name].id for name in things]
    return finding(585, ids, things, which=_listed(f"`{one}`" for one in things), ties=_listed(given_up))


def _listed(names: Iterable[str]) -> str:
    """Return words as people say several: `a`, `a and b`, `a, b and c`."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


# --- What is done


def _says(context: Context, thing: str, pieces: Mapping[str, Piece]) -> str:
    piece = pieces.get(thing)
    if piece is not None:
        told = next((say for kind, say in _SAYS.items() if isinstance(piece, kind)), _sized)
        return told(context, piece)
    if thing.startswith(BASE):
        return f"Level {BASE}`{thing.removeprefix(BASE)}` and fasten it."
    return {
        LEVEL_LINE: _level_line(context),
        HIGH_POINT: "Find the floor's highest point under what stands on it, and work up from there.",
        FRAMING: "Find and prove the framing where something hangs.",
    }[thing]


def _level_line(context: Context) -> str:
    job = context.survey.job
    where = f", {job.datum_mark}" if job and job.datum_mark else ""
    return f"Strike or check the level line{where}: every height is measured from it."


def _box(context: Context, piece: BoxPiece) -> str:
    bench = [
        one.name
        for one in context.survey.of(Piece)
        if not is_done_on_site(one) and getattr(one, "of", None) == piece.name
    ]
    built_in = f", with {_listed(f'`{one}`' for one in bench)} built in" if bench else ""
    if piece.bottom is not None:
        return f"Hang `{piece.name}`{built_in}: plumb, its upper edge level."
    on = {"box": "", "legs": " on its legs", "loose base": " on its base"}[piece.base]
    return f"Set `{piece.name}`{on}{built_in}: level, plumb, its back to wall `{piece.wall}`."


def _top(context: Context, piece: Top) -> str:
    verb = "Let down" if lets_down(context, piece) else "Lay"
    return f"{verb} `{piece.name}`{_scribed(context, piece)}."


def _filler(context: Context, piece: Filler) -> str:
    side = "above" if piece.side == "top" else f"at the {piece.side} of"
    return f"Scribe `{piece.name}` and fit it {side} `{piece.beside}`."


def _panel(context: Context, piece: Panel) -> str:
    return f"Fit `{piece.name}`{_scribed(context, piece)}."


def _splash(context: Context, piece: Splash) -> str:
    return f"Fit `{piece.name}`" + (f" on `{piece.of}`: scribe its lower edge." if piece.of else ".")


def _shelf(context: Context, piece: Shelf) -> str:
    return f"Put in `{piece.name}`{_scribed(context, piece)}."


def _toe_kick(context: Context, piece: ToeKick) -> str:
    floor = ": scribe its lower edge to the floor" if piece.floor == "scribed" else ""
    return f"Fit `{piece.name}`" + (f" under `{piece.of}`" if piece.of else "") + f"{floor}."


def _cleat(context: Context, piece: Cleat) -> str:
    half = "the wall half of " if piece.angle is not None else ""
    return f"Fasten {half}`{piece.name}`, level."


def _light_strip(context: Context, piece: LightStrip) -> str:
    return f"Fasten `{piece.name}`" + (f" under `{piece.of}`." if piece.of else ".")


def _sized(context: Context, piece: Piece) -> str:
    of = getattr(piece, "of", None)
    return f"Fit `{piece.name}`" + (f" to `{of}`." if of else ".")


def _verb(verb: str) -> Callable[[Context, Any], str]:
    def told(context: Context, piece: Any) -> str:
        return f"{verb} `{piece.name}`" + (f" of `{piece.of}`." if piece.of else ".")

    return told


_SAYS: Final[dict[type[Piece], Callable[[Context, Any], str]]] = {
    BoxPiece: _box,
    Top: _top,
    Filler: _filler,
    Panel: _panel,
    Splash: _splash,
    Shelf: _shelf,
    ToeKick: _toe_kick,
    Cleat: _cleat,
    LightStrip: _light_strip,
    Mirror: _verb("Hang"),
    CabinetDoor: _verb("Hang"),
    Drawer: _verb("Put in"),
    FalseFront: _verb("Set"),
}


def _scribed(context: Context, piece: Piece) -> str:
    """Say which edges are scribed against what, in the order in which they are: back first, then ends."""
    scribed = []
    for side in ("back", "left", "right", "upper"):
        edge = getattr(piece, side, None)
        if isinstance(edge, Edge) and edge.finish == "scribed" and edge.meets is not None:
            wall = "wall " if context.record(edge.meets, Wall) is not None else ""
            scribed.append(f"its {side} edge to {wall}`{edge.meets}`")
    return f": scribe {', then '.join(scribed)}" if scribed else ""


# --- What to look at first


def _before_all(context: Context, told: Sequence[PieceReport]) -> Iterator[str]:
    """Say what must be so before the first piece is carried in."""
    for covering in dict.fromkeys(covering.wall for covering in context.room.plan.coverings):
        yield f"wall `{covering}`: the layers still to come when it was read are on; read it again"
    for trim in context.survey.of(Trim):
        if trim.fate == "comes off":
            yield f"`{trim.name}` is off wall `{trim.wall}`"
    for item in context.survey.of(BoughtItem):
        if not item.in_hand:
            yield f"`{item.name}` is here"
    for one in told:
        if one.status == "not ready":
            yield f"`{one.name}` is not ready: its findings say why"


def _checks(
    context: Context, thing: str, pieces: Mapping[str, Piece], told: Mapping[str, PieceReport]
) -> tuple[str, ...]:
    piece = pieces.get(thing)
    if thing == HIGH_POINT:
        return tuple(_high_points(context))
    if thing == FRAMING:
        return (
            "where pipes and cables run: nothing is drilled before that is known",
            "fasteners and what they may carry go by the local code and the fastener's own table",
        )
    if piece is None:
        return ()
    return tuple(_first_looks(context, piece, told.get(thing)))


def _first_looks(context: Context, piece: Piece, told: PieceReport | None) -> Iterator[str]:
    for item in context.survey.of(BoughtItem):
        if item.of == piece.name and item.size == "promised":
            yield f"`{item.name}` itself: its size was promised, not measured"
    if isinstance(piece, Top) and lets_down(context, piece):
        yield "its length against the width between the walls, in front, halfway and behind"
    if isinstance(piece, Filler):
        yield "the gap, at the top and at the bottom, against the strip"
    if isinstance(piece, CabinetDoor | Drawer):
        yield "that it opens freely before its last screws go in"
    if told is not None:
        yield from (f"the way in, at `{step.name}`" for step in told.way if step.verdict != "goes")


def _high_points(context: Context) -> Iterator[str]:
    for name, (box, _) in context.cabinets.items():
        piece = context.record(name, BoxPiece)
        if piece is None or piece.bottom is not None:
            continue
        corners = [box.placed.frame.to_room(x, y) for x in (box.left, box.right) for y in (0, box.plan.depth)]
        floor = context.room.level("floor", corners)
        if floor is None:
            continue
        fall = float(floor.mean.max() - floor.mean.min())
        near = context.printer.near(fall)
        if near.cut_mm > 0.0:
            where = FLOOR_CORNERS[int(floor.mean.argmax())]
            yield f"under `{name}` it is expected at the {where}, {near.text} above its lowest corner"


# --- Trades


def _trades(context: Context) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Say what licensed trades do when all is set."""
    pipes = context.survey.of(RoughIn)
    wires = [one.name for one in context.survey.of(Electrical)]
    wires += [one.name for one in context.survey.of(LightStrip)]
    gas = [one for one in pipes if one.type == "gas"]
    trades = []
    if len(pipes) > len(gas):
        trades.append("water and drains")
    trades += ["gas"] if gas else []
    trades += ["electricity"] if wires else []
    if trades:
        names = tuple(f"`{name}` can be reached" for name in (*(one.name for one in pipes), *wires))
        why = "licensed trades connect, and the local code has the last word"
        yield f"Have {_listed(trades)} connected.", why, names

"""How a flat piece goes into its place: from where it can be moved in, and what bars the other ways."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace
from shapely import Polygon  # type: ignore[import-untyped]

from fitting.cutter import BIT, PAST, CutPath, cut_paths
from fitting.entry import AXES, Entry, name_of, way_in
from fitting.errors import BadInput
from fitting.notch import Obstacle, Side, points_at
from fitting.outline import FittedOutline
from survey.finding import finding
from survey.records import Panel, Piece, Top, Trim
from survey.report.above import above, let_down, no_way_down
from survey.report.context import Context
from survey.report.flat import Words
from survey.report.structs import EntryReport, NamedDimension, PieceReport, Point

SIDES: tuple[Side, ...] = ("front", "right", "left", "back")
"""The side of the outline that each of `AXES` is."""
WALL_BEYOND = 3000.0
"""mm by which a wall is taken to go on past the piece (assumption): farther than a piece is carried askew."""
WALL_DEEP = 300.0
"""mm; deep enough that nothing passes behind it."""
PIPES = (
    "It is notched around what comes out of the wall: shut the water or the power off, and never force it "
    "over that; pipes, gas and cables are for a licensed trade, and local codes say what must stay reachable."
)


def with_entry(context: Context, piece: Piece, told: PieceReport) -> PieceReport:
    """Tell of a top or panel how it goes in, and the cutter's path in its notches."""
    if not isinstance(piece, Top | Panel) or piece.name not in context.outlines:
        return told
    fitted, words = context.outlines[piece.name]
    if not fitted.outline.size:
        return told
    walls = tuple(_walls(fitted, words, isinstance(piece, Panel) and piece.bottom is None))
    entry = way_in(fitted.outline, [*walls, *fitted.obstacles])
    _note(context, piece, entry)
    square, barred = _square(context, piece, entry)
    report = EntryReport(
        _says(piece, entry, words, square, barred),
        tuple((round(float(x), 3), round(float(y), 3)) for x, y in entry.moves),
        _only(entry, words),
        tuple(_ring(one.ring) for one in (*walls, *fitted.obstacles)),
    )
    paths = _cuts(context, piece, fitted)
    cautions = (*told.cautions, *((PIPES,) if _is_notched_at_a_wall_fitting(context, fitted) else ()))
    return replace(
        told,
        entry=report,
        cut_path=tuple(_ring(cut.path) for cut in paths),
        cautions=cautions,
        measures=(*told.measures, *_opened(context, paths)),
    )


def _walls(fitted: FittedOutline, words: Words, on_floor: bool) -> Iterator[Obstacle]:
    """Give the walls that its edges meet as solids, as they are expected to run, and its floor."""
    for side, edge in fitted.edges.items():
        stands = on_floor and side == "front"
        if edge.finish == "straight" and not stands:
            continue
        along, reach = edge.stations, edge.reach
        if edge.finish == "let in":
            reach = np.maximum(reach, edge.final)  # the wall is opened for it
        if stands:
            along, reach = np.array([0.0]), np.array([edge.final])
        behind = WALL_DEEP + max(float(reach.max()), 0.0)
        first, last = float(along.min()) - WALL_BEYOND, float(along.max()) + WALL_BEYOND
        if side in words.stands:  # before it nothing is met
            first = float(fitted.outline[:, 1].max()) - words.stands[side]
            reach = np.interp([first, *along[along > first]], along, reach)
            along = np.array([first, *along[along > first]])
        places = np.concatenate([[first], along, [last, last, first]])
        out = np.concatenate([reach[:1], reach, reach[-1:], [behind, behind]])
        name = "the floor" if stands else words.meets.get(side, f"the {words.sides[side]}").strip("`")
        yield Obstacle(name, np.array(Polygon(points_at(side, places, out)).exterior.coords)[:-1], 0.0)


def _note(context: Context, piece: Piece, entry: Entry) -> None:
    """Note what only goes in one way, and what does not go in without being turned."""
    if entry.overlaps:
        return
    bars = entry.bars(AXES[0]) or entry.bars(AXES[1]) or entry.bars(AXES[2])
    names = _named(name for name in bars) or "what stands there"
    if not entry.moves and isinstance(piece, Panel) and entry.square_to_face:
        return  # as panels do: from its side
    if not entry.moves:
        context.note(finding(543, [piece.id], [piece.name], piece=piece.name, obstacle=names))
    elif len(entry.moves) > 1:
        context.note(finding(542, [piece.id], [piece.name], piece=piece.name, obstacle=names))


def _square(context: Context, piece: Piece, entry: Entry) -> tuple[str, bool]:
    """Say how it goes in square to its face, and whether that is barred; note where nothing else is left."""
    top = context.tops.get(piece.name)
    if not isinstance(piece, Top) or top is None:
        return "from its side, square to its face, if nothing bars that", not entry.square_to_face
    found = above(context, piece, top)
    if found.barred and not entry.moves:
        context.note(no_way_down(context, piece, found))
    return let_down(context, found), found.barred


def _says(piece: Piece, entry: Entry, words: Words, square: str, barred: bool) -> str:
    if entry.overlaps:
        only = "" if barred else "only "
        return f"{only}{square}, over {_named(entry.overlaps)}; whatever stands there must let it by"
    ways = [words.sides[side] for side, axis in zip(SIDES, AXES, strict=True) if entry.comes_from(axis)]
    if not entry.moves and isinstance(piece, Panel) and entry.square_to_face:
        return f"only {square}"
    if not entry.moves:
        or_so = "; turned in" if barred else ", or turned in"
        return f"not by one or two straight motions: {square}{or_so}"
    besides = f"; {square}" if barred else f"; or {square}"
    if len(entry.moves) > 1:
        first, second = (_from(move, words) for move in entry.moves)
        return f"in two motions: {first}, then {second}{besides}"
    only = "only " if len(ways) < 2 else ""
    straight = " or ".join(f"from the {way}" for way in ways) or _from(entry.moves[0], words)
    return f"{only}straight in {straight}{besides}"


def _only(entry: Entry, words: Words) -> str:
    """Say what bars each of the four ways that is barred."""
    told = []
    for side, axis in zip(SIDES, AXES, strict=True):
        bars = entry.bars(axis)
        if bars:
            told.append(f"from the {words.sides[side]} {_named(bars)} bars it")
    return "; ".join(told)


def _from(move: Point, words: Words) -> str:
    """Say where a motion comes from."""
    angle = float(np.arctan2(-move[1], -move[0]))
    near = name_of(angle)
    if near is not None:
        return f"from the {words.sides[SIDES[near]]}"
    across = "right" if move[0] < 0 else "left"
    deep: Side = "back" if move[1] < 0 else "front"
    return f"aslant, from between the {words.sides[deep]} and the {words.sides[across]}"  # type: ignore[index]


def _named(names: object) -> str:
    """Join names, those of records in code marks."""
    told = [name if " " in name else f"`{name}`" for name in dict.fromkeys(map(str, names))]  # type: ignore[call-overload]
    return " and ".join(told)


def _cuts(context: Context, piece: Piece, fitted: FittedOutline) -> tuple[CutPath, ...]:
    """Return the cutter's paths; where its bit does not get through, a saw's, and that is said."""
    if not fitted.notches or fitted.cut_off:
        return ()
    try:
        paths = cut_paths(fitted, BIT, PAST)
    except BadInput as problem:
        context.note(finding(544, [piece.id], [piece.name], piece=piece.name, why=str(problem)))
        return cut_paths(fitted, 0.0, PAST)
    return paths


def _opened(context: Context, paths: tuple[CutPath, ...]) -> Iterator[NamedDimension]:
    """Tell by how much a router's bit leaves each notch wider all round; a saw's corners need not be so."""
    bit = context.printer.near(BIT).text
    for cut in paths:
        if cut.opened > 0:
            yield context.printer.named(
                f"notch around {cut.around}, wider for a bit of {bit} radius", cut.opened
            )


def _is_notched_at_a_wall_fitting(context: Context, fitted: FittedOutline) -> bool:
    """Whether it is notched or cut out around more than trim: pipes and cables may be behind that."""
    trims = {one.name for one in context.survey.of(Trim)}
    notched = {name for one in fitted.notches for name in one.obstacles}
    pierced = {name for one in fitted.holes for name in one.obstacles}
    return bool((notched | pierced) - trims)


def _ring(points: np.ndarray) -> tuple[Point, ...]:
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in points)

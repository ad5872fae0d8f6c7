"""What the pieces at one wall need: at which heights, how far along, against which walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from survey.records import BoxPiece, Edge, Filler, Panel, Survey, TallCabinet, Top
from survey.walk.place import Place, bottom_of, depth_of, top_of
from survey.walk.planned import Row, Span, neighbour, planned, wall_behind
from survey.walk.same import NEAR

TALL_STEP: Final = 1200.0
"""mm: heights further apart than this get one between them."""
COUNTER: Final = "counter height"

Standing = BoxPiece | Top | Panel
"""Pieces that stand at a wall, and whose size there is worked out."""


@dataclass(frozen=True)
class Height:
    """A height at which walls are read; at a `counter`, along the side walls too.

    `span` is how far along its wall the pieces there go, in mm from the stand's start, `depth` how far out;
    `met` are the walls that they meet at its ends.
    """

    up: float
    words: str
    span: tuple[float, float]
    depth: float
    met: tuple[str, ...]
    pieces: tuple[str, ...] = ()
    counter: bool = False


@dataclass(frozen=True)
class Upright:
    """A line up a wall, for an edge or a back that follows it."""

    wall: str
    start: str
    along: float
    low: float
    high: float
    words: str
    pieces: tuple[str, ...]
    plumb: bool = False


@dataclass(frozen=True)
class Stand:
    """A wall that pieces stand at, and what they need there.

    `left` and `right` are the walls that they meet at its ends; `main` is the height that matters most: a
    counter's before a box's. `footprint` is at the floor, where pieces stand on it.
    """

    wall: str
    start: str
    left: str | None
    right: str | None
    main: Height
    heights: tuple[Height, ...]
    pieces: tuple[str, ...] = ()
    uprights: tuple[Upright, ...] = ()
    footprint: Height | None = None
    to_ceiling: tuple[str, ...] = ()

    @property
    def sides(self) -> tuple[str, ...]:
        """The walls met at its ends."""
        return tuple(wall for wall in (self.left, self.right) if wall is not None)

    def across(self) -> tuple[Height, ...]:
        """Return the heights at which pieces go from wall to wall."""
        return tuple(height for height in self.heights if len(height.met) == 2)

    def first_at(self, side: str) -> Height:
        """Return the height that matters most where a side wall is met."""
        return next((height for height in self.heights if side in height.met), self.main)


def stands(place: Place, survey: Survey, heights: Sequence[float] = ()) -> tuple[Stand, ...]:
    """Return what the pieces need, wall by wall; without pieces, what a top at counter height needs.

    Walls with neither corner nor mark to count from are left out.

    Parameters
    ----------
    heights
        mm above z = 0 at which to read the walls, in place of those that the pieces have.
    """
    at: dict[str, list[Standing]] = {}
    for piece in standing(survey):
        wall = wall_behind(piece, survey, place.back)
        if wall in place.walls and depth_of(piece, survey) is not None:
            at.setdefault(wall, []).append(piece)
    order = sorted(at, key=lambda wall: (wall != place.back, place.walls.index(wall)))
    found = [_stand(place, survey, wall, at[wall], heights) for wall in order]
    if not at:
        found = [_bare(place, heights)]
    return tuple(one for one in found if one is not None)


def standing(survey: Survey) -> tuple[Standing, ...]:
    """Return the pieces that stand at walls."""
    return (*survey.of(BoxPiece), *survey.of(Top), *survey.of(Panel))


def without_start(place: Place, survey: Survey) -> tuple[str, ...]:
    """Return walls that pieces stand at and on which nothing can be counted from."""
    walls = {piece.wall or place.back for piece in standing(survey)} | {place.back}
    return tuple(wall for wall in place.walls if wall in walls and place.start(wall) is None)


def _bare(place: Place, heights: Sequence[float]) -> Stand | None:
    """Return what a top over the whole back wall needs, in a place without pieces."""
    start = place.start(place.back)
    if start is None:
        return None
    left, right = place.beside(place.back, "left"), place.beside(place.back, "right")
    met = tuple(wall for wall in (left, right) if wall is not None)
    span = 0.0, place.length(place.back)
    named = [(up, _at(place, up)) for up in heights] or [(place.height, COUNTER)]
    ups = tuple(
        Height(up, words, span, _depth(place, met, place.depth), met, (), True) for up, words in named
    )
    return Stand(place.back, start, left, right, ups[0], ups)


def _stand(
    place: Place, survey: Survey, wall: str, pieces: Sequence[Standing], heights: Sequence[float]
) -> Stand | None:
    start = place.start(wall)
    if start is None:
        return None
    whole = _height(place, survey, wall, start, pieces, _middle(place, survey, pieces), "")
    left, right = (
        side if side in whole.met else None
        for side in (place.beside(wall, "left"), place.beside(wall, "right"))
    )
    on_floor = [piece for piece in pieces if not isinstance(piece, Top) and piece.bottom is None]
    ups = [replace(whole, up=up, words=_at(place, up), counter=True) for up in heights]
    ups = ups or _heights(place, survey, wall, start, pieces)
    return Stand(
        wall,
        start,
        left,
        right,
        ups[0] if ups else whole,
        tuple(ups),
        whole.pieces,
        tuple(_uprights(place, survey, wall, start, pieces)),
        _height(place, survey, wall, start, on_floor, place.floor, "") if on_floor else None,
        tuple(_to_ceiling(survey, pieces)),
    )


def _to_ceiling(survey: Survey, pieces: Sequence[Standing]) -> Iterator[str]:
    """Name what the ceiling counts for: what is tall, and strips on top with their cabinets."""
    on_top = {one.beside: one.name for one in survey.of(Filler) if one.side == "top"}
    for piece in pieces:
        if isinstance(piece, TallCabinet) or piece.name in on_top:
            yield piece.name
        if piece.name in on_top:
            yield on_top[piece.name]


def _middle(place: Place, survey: Survey, pieces: Sequence[Standing]) -> float:
    """Return a height half way up what is planned, on a handy mark."""
    tops = [top_of(piece, survey) for piece in pieces]
    return place.handy((place.floor + max((up for up in tops if up is not None), default=place.height)) / 2)


def _height(
    place: Place,
    survey: Survey,
    wall: str,
    start: str,
    pieces: Sequence[Standing],
    up: float,
    words: str,
) -> Height:
    """Return a height at which these pieces are, with how far they go and which walls they meet."""
    spans = [span_of(place, survey, wall, start, piece) for piece in pieces]
    low, high = min(low for low, _ in spans), max(high for _, high in spans)
    named = {name for piece in pieces for name in _met(piece)}
    beside = (place.beside(wall, "left"), place.beside(wall, "right"))
    met = tuple(side for side in beside if side is not None and side in named)
    if len(met) == 2:
        low, high = 0.0, place.length(wall)
    if place.known(wall) is not None:
        low, high = max(low, 0.0), min(high, place.length(wall))
    return Height(
        up,
        words or _at(place, up),
        (low, high),
        _depth(place, met, max(depth_of(piece, survey) or 0.0 for piece in pieces)),
        met,
        tuple(piece.name for piece in pieces),
        any(isinstance(piece, Top) for piece in pieces),
    )


def _met(piece: Standing) -> Iterator[str]:
    for side in ("left", "right"):
        edge = getattr(piece, side, None)
        if isinstance(edge, Edge) and edge.meets is not None:
            yield edge.meets


def _at(place: Place, up: float) -> str:
    return f"at {place.say(up)}"


def _depth(place: Place, met: tuple[str, ...], depth: float) -> float:
    """Return how far out to read: as deep as the pieces, but not past side walls of known length."""
    return min(depth, *(known for side in met if (known := place.known(side)) is not None), depth)


def _heights(place: Place, survey: Survey, wall: str, start: str, pieces: Sequence[Standing]) -> list[Height]:
    """Return the heights of tops, then of boxes' tops and undersides; those nearly alike once."""
    at: list[tuple[float, str, list[Standing]]] = []
    for up, words, piece in _levels(place, survey, pieces):
        same = next((there for other, _, there in at if abs(other - up) <= NEAR), None)
        if same is None:
            at.append((up, words, [piece]))
        elif piece not in same:
            same.append(piece)
    return [_height(place, survey, wall, start, there, up, words) for up, words, there in at]


def _levels(
    place: Place, survey: Survey, pieces: Sequence[Standing]
) -> Iterator[tuple[float, str, Standing]]:
    """Give each height at which a piece meets walls level, tops' first."""
    for piece in pieces:
        if isinstance(piece, Top):
            up = top_of(piece, survey)
            yield place.height if up is None else up, COUNTER, piece
    for piece in pieces:
        if isinstance(piece, BoxPiece):
            low, high = _reach(place, piece)
            yield high, f"top of {piece.name}", piece
            yield (
                low,
                f"foot of {piece.name}" if piece.bottom is None else f"underside of {piece.name}",
                piece,
            )
            if high - low > TALL_STEP:
                yield place.handy((low + high) / 2), f"half way up {piece.name}", piece


def _reach(place: Place, piece: BoxPiece | Panel) -> tuple[float, float]:
    """Return the heights between which a piece meets its walls."""
    bottom = bottom_of(piece)
    foot = place.floor if bottom is None else bottom
    return (place.low if bottom is None else foot), foot + float(piece.height.mm)


def _uprights(
    place: Place, survey: Survey, wall: str, start: str, pieces: Sequence[Standing]
) -> Iterator[Upright]:
    """Give where walls lean matters: behind a box's ends and middle, at its face beside it, behind panels."""
    for piece in pieces:
        if isinstance(piece, Top):
            continue
        low, high = _reach(place, piece)
        if high - low < NEAR:
            continue
        first, last = span_of(place, survey, wall, start, piece)
        if isinstance(piece, Panel):
            yield Upright(wall, start, first, low, high, f"behind {piece.name}", (piece.name,), plumb=True)
            continue
        inset = min(NEAR, (last - first) / 4)
        for along, words in (
            (first + inset, "near one end of"),
            ((first + last) / 2, "behind the middle of"),
            (last - inset, "near the other end of"),
        ):
            yield Upright(wall, start, place.handy(along), low, high, f"{words} {piece.name}", (piece.name,))
        yield from _faces(place, survey, wall, piece, low, high)


def _faces(
    place: Place, survey: Survey, wall: str, piece: BoxPiece, low: float, high: float
) -> Iterator[Upright]:
    """Give the upright lines on the side walls, at a box's face, where fillers are fitted."""
    strips = [one.name for one in survey.of(Filler) if one.beside == piece.name and one.side != "top"]
    for end, edge in (("left", piece.left), ("right", piece.right)):
        corner = place.corner_at(wall, "left" if end == "left" else "right")
        side = place.beside(wall, "left" if end == "left" else "right")
        if corner is not None and side is not None and edge.meets == side:
            words = f"at the face of {piece.name}"
            yield Upright(side, corner.name, float(piece.depth.mm), low, high, words, (piece.name, *strips))


def span_of(place: Place, survey: Survey, wall: str, start: str, piece: Standing) -> Span:
    """Return from where to where a wall is read for a piece, mm from `start`; all of it if nobody said.

    Where the piece meets the wall at an end, up to there; for a panel, where its show face stands.
    """
    length = place.length(wall)
    if isinstance(piece, Panel):
        face = _from_start(place, wall, start, piece.from_, float(piece.along.mm))
        return (0.0, length) if face is None else (face, face)
    row = _row(place, survey, wall, start)
    span = planned(row, piece)
    if span is None:
        return 0.0, length
    low, high = span
    if high - low >= length:
        return 0.0, high - low
    if row.left is not None and piece.left.meets is not None and neighbour(row, piece.left) is None:
        low = row.left
    if row.right is not None and piece.right.meets is not None and neighbour(row, piece.right) is None:
        high = row.right
    ends = (place.from_left(wall, start, x) for x in (low, high))  # the same turn both ways
    low, high = sorted(ends)
    return low, high


def _row(place: Place, survey: Survey, wall: str, start: str) -> Row:
    """Return a wall from its left end, or from its mark."""

    def at(from_: str, along: float) -> float | None:
        counted = _from_start(place, wall, start, from_, along)
        return None if counted is None else place.from_left(wall, start, counted)

    left = 0.0 if place.corner_at(wall, "left") is not None else None
    right = place.length(wall) if place.corner_at(wall, "right") is not None else None
    return Row(survey, wall, place.back, left, right, at, lambda from_: place.leftward(wall, from_))


def _from_start(place: Place, wall: str, start: str, from_: str, along: float) -> float | None:
    """Count a place on a wall from its `start` instead; nothing where a mark's place is not known."""
    if from_ == start:
        return along
    if from_ not in {corner.name for corner in place.corners}:
        return None
    right = place.from_left(wall, from_, along)
    return place.length(wall) - right if place.leftward(wall, start) else right

"""What of a piece is carried in, and in which states: as a whole, its fronts out, its base or legs off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from survey.records import BoxPiece, Drawer, FrontPiece, Panel, Piece, SizedPiece, Top
from survey.report.context import Context, mm
from survey.report.structs import NamedDimension, PieceReport

LARGE: Final = 1200.0
"""mm; of parts whose size is typed, only those that are longer are looked at (assumption)."""


@dataclass(frozen=True)
class Carried:
    """A piece as it is carried, by what it is in its place: sizes in mm.

    `without` says in words what was taken off first. Of a flat piece, `height` is its thickness where it
    lies (a top), and `depth` is where it stands against a wall; it has no toe space.
    """

    width: float
    depth: float
    height: float
    without: str = ""
    kick_height: float = 0.0
    kick_depth: float = 0.0

    @property
    def sizes(self) -> tuple[float, float, float]:
        """Width, depth and height."""
        return self.width, self.depth, self.height

    @property
    def is_flat(self) -> bool:
        """Whether it is a board, more or less: one of its sizes is much less than the others."""
        least, middle, _ = sorted(self.sizes)
        return 4.0 * least < middle


def carried_states(context: Context, piece: Piece, told: PieceReport) -> tuple[Carried, ...]:
    """Return the states in which a piece may be carried, the whole one first; none for what is small."""
    if isinstance(piece, BoxPiece):
        return tuple(_box_states(context, piece))
    if isinstance(piece, Top):
        width, depth = _blank_size(told)
        return (Carried(width, depth, mm(piece.thickness)),)
    if isinstance(piece, Panel):
        depth, height = _blank_size(told)
        return (Carried(mm(piece.thickness), depth, height),)
    if isinstance(piece, SizedPiece) and not isinstance(piece, FrontPiece):
        sizes = {one.name: one.size.cut_mm for one in told.blank}
        width, height = (sizes.get(name, mm(getattr(piece, name))) for name in ("width", "height"))
        if max(width, height) >= LARGE:
            return (Carried(width, mm(piece.thickness), height),)
    return ()


def _box_states(context: Context, piece: BoxPiece) -> Iterator[Carried]:
    bare = Carried(mm(piece.width), mm(piece.depth), mm(piece.height))
    if piece.base == "box":
        bare = replace(bare, kick_height=mm(piece.kick_height), kick_depth=mm(piece.kick_depth))
    before = max((_stands_out(one) for one in fronts_of(context, piece)), default=0.0)
    states = [bare]
    if before > 0.0:
        states = [replace(bare, depth=bare.depth + before), replace(bare, without="doors and drawers out")]
    yield from states
    if piece.base != "box" and piece.kick_height is not None:
        last = states[-1]
        off = "its legs off" if piece.base == "legs" else "its base loose"
        words = f"{last.without} and {off}" if last.without else off
        yield replace(last, height=last.height - mm(piece.kick_height), without=words)


def fronts_of(context: Context, piece: BoxPiece) -> list[FrontPiece]:
    """Return the doors, drawers and false fronts of a cabinet."""
    return [one for one in context.survey.of(FrontPiece) if one.of == piece.name]


def _stands_out(front: FrontPiece) -> float:
    """Return how far a front and its pull stand out before its cabinet's face, as far as that is said."""
    thickness = mm(front.front_thickness) if isinstance(front, Drawer) else mm(front.thickness)
    before = thickness if front.sits == "overlay" else 0.0
    return before + mm(front.pull)


def _blank_size(told: PieceReport) -> tuple[float, float]:
    """Return how large the blank is across and along its outline; without one, as its blank is listed."""
    ring = told.blank_outline or told.outline
    if ring:
        across, along = zip(*ring, strict=True)
        return max(across) - min(across), max(along) - min(along)
    return _listed(told.blank)


def _listed(named: tuple[NamedDimension, ...]) -> tuple[float, float]:
    first, second = (one.size.cut_mm for one in named[:2])
    return first, second

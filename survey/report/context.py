"""What the answers are worked out from: survey, adjusted room, and how to print."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal, TypeVar

import numpy as np
from numpy.typing import NDArray

from fitting.allowance import SAW
from fitting.cabinet import FittedCabinet
from fitting.outline import FittedOutline
from fitting.piece import NET_GAP, EdgePlan
from fitting.site import Gaps, KnownRoom, Leaning, Level
from fitting.site.readings import Observed as SiteObserved
from fitting.stake import Outcome, Stake
from fitting.standing import Met
from fitting.top import FittedTop
from survey.finding import Finding, finding
from survey.observe import Observed
from survey.records import Assumption, Edge, Piece, Record, Survey, TypedLength, Wall
from survey.report.printing import Printer

if TYPE_CHECKING:
    from survey.report.flat import Words

FloatArray = NDArray[np.float64]
Kind = TypeVar("Kind", bound=Record)


class NotReady(Exception):
    """A piece cannot be worked out; carries the findings that say why."""

    def __init__(self, *findings: Finding) -> None:
        """Take the findings, at least one."""
        super().__init__(*findings)
        self.findings = findings


@dataclass(frozen=True)
class NumberRead:
    """One number that was read: its record, what it is in words, and the unit of its residual."""

    record: str
    words: str
    unit: Literal["mm", "deg"]


@dataclass
class Context:
    """One survey, while its pieces are worked out."""

    survey: Survey
    observed: Observed
    room: KnownRoom
    unlearned: KnownRoom
    """The room with its walls as uneven as is usual: what was read is judged by that, as one even wall says
    nothing of another that nobody looked at."""
    printer: Printer
    confidence: float
    cabinets: dict[str, tuple[FittedCabinet, tuple[Finding, ...]]] = field(default_factory=dict)
    tops: dict[str, FittedTop] = field(default_factory=dict)
    """Tops that were worked out, for what stands on them."""
    outlines: dict[str, tuple[FittedOutline, Words]] = field(default_factory=dict)
    """Flat pieces that were told, for how they go in."""
    walls_beside: dict[tuple[Hashable, ...], tuple[FloatArray, float]] = field(default_factory=dict)
    """Lines of walls beside cabinets, with what of them is for the unknown: see `survey.report.beside`."""
    findings: list[Finding] = field(default_factory=list)
    stakes: dict[str, Stake] = field(default_factory=dict)
    """By piece: what hangs on the walls; `survey.report.likely` works out the chances."""
    outcomes: dict[str, Outcome] = field(default_factory=dict)
    """Of pieces whose chance comes with them."""

    def at_stake(self, piece: Piece, stake: Stake | None) -> None:
        """Keep what of a piece hangs on the walls."""
        if stake is not None:
            self.stakes[piece.name] = stake

    @cached_property
    def keys(self) -> tuple[tuple[Hashable, int], ...]:
        """Of every number that was read: the key of its reading, and which of its numbers it is."""
        return tuple((one.key, at) for one in self.room.readings for at in range(len(one.read)))

    @cached_property
    def numbers(self) -> tuple[NumberRead, ...]:
        """Every number that was read, in the order in which the room knows them."""
        found = []
        for reading in self.room.readings:
            what = self.observed.what[reading.key]
            words = [f"{what.words}, {at}" for at in what.at] or [what.words]
            found += [NumberRead(what.record, one, what.unit) for one in words]
        return tuple(found)

    def note(self, *findings: Finding) -> None:
        """Keep findings about a piece; refuse the piece where one of them stops it."""
        if any(one.severity == "stops" for one in findings):
            raise NotReady(*findings)
        self.findings += findings

    def readings_of(self, walls: set[str], others: set[str] | None = None) -> tuple[str, ...]:
        """Return the ids of the records that these walls, their corners, and other names rest on."""
        corners = {one.name for one in self.room.plan.corners if {one.left, one.right} <= walls}
        names = {*walls, *corners, *(others or ())}
        seen = set(self.room.readings_of(*names))
        keys = [one.key for one in self.room.readings if one.key in seen and _is_of(one, names)]
        return tuple(dict.fromkeys(self.observed.what[key].record for key in keys))

    def along(self, wall: str, name: str, up: float) -> float:
        """Return how far along a wall (mm) a corner or feature of it is expected."""
        return float(self.room.expect(lambda scene: [scene.wall_place(wall, name, up)])[0])

    def signed_out(self, wall: str, start: str | None, along: float, width: float = 0.0) -> float:
        """Return how far right of a corner or mark a piece begins; from a right-hand corner it ends there."""
        corner = self.room.plan.corner(start) if start is not None else None
        leftward = corner is not None and corner.left == wall
        return -along - width if leftward else along

    def edge(
        self,
        piece: Piece,
        side: str,
        edge: Edge,
        standing: Callable[[], tuple[str, Met] | None] = lambda: None,
    ) -> EdgePlan | None:
        """Return what is asked of an edge, or nothing for an open one.

        `standing` says what it meets besides a wall and at which wall that stands, if it meets any.
        """
        if edge.meets is None or edge.finish == "open":
            return None
        if edge.finish == "filler":
            raise NotReady(
                not_made(
                    piece,
                    f"its {side} edge asks for a filler, which only a cabinet's side takes",
                    "say scribed, net, covered or let in",
                )
            )
        if edge.finish == "scribed" and mm(edge.gap) > 0.0:
            why = f"its {side} edge is to be scribed to the wall, and to leave a gap there"
            raise NotReady(not_made(piece, why, "leave the gap out, or say net"))
        wall, at = standing() or (self.met_wall(piece, side, edge), None)
        return EdgePlan(wall, edge.finish, gap_of(edge), mm(edge.saw, SAW), at)

    def met_wall(self, piece: Piece, side: str, edge: Edge) -> str:
        """Return the wall that an edge meets; refuse one that meets something else."""
        name = edge.meets or ""
        if self.record(name, Wall) is None:
            met = self.survey.named.get(name.partition(":")[0], ())
            raise NotReady(
                not_made(
                    piece,
                    f"its {side} edge meets `{name}`, and what it meets there must be a wall",
                    "let it meet the wall behind, or work this edge out by hand",
                    *(one.id for one in met),
                )
            )
        return name

    def assumed(self, piece: Piece, what: str, of: str) -> bool:
        """Whether somebody put down that this is taken as given; then it is said of the piece."""
        for one in self.survey.of(Assumption):
            if one.what == what and one.of == of:
                self.note(finding(600, [one.id], [piece.name], what=f"{what} of `{of}`"))
                return True
        return False

    def ids(self, name: str) -> list[str]:
        """Return the ids of the current records of a name."""
        return [one.id for one in self.survey.named.get(name, ())]

    def record(self, name: str, kind: type[Kind]) -> Kind | None:
        """Return the current record of a name and kind, if there is one."""
        return next((one for one in self.survey.named.get(name, ()) if isinstance(one, kind)), None)


def _is_of(reading: SiteObserved, names: set[str]) -> bool:
    """Whether a reading says something of these names, and does not only start from one of them."""
    if isinstance(reading, Gaps | Leaning):
        return reading.wall in names
    return not isinstance(reading, Level) or reading.surface in names


def mm(length: TypedLength | None, otherwise: float = 0.0) -> float:
    """Return a typed length in millimetres for the fitting."""
    return otherwise if length is None else float(length.mm)


def gap_of(edge: Edge) -> float:
    """Return the gap (mm) asked for at an edge; where nobody said one, a net edge has the usual one."""
    return mm(edge.gap, NET_GAP if edge.finish == "net" else 0.0)


def not_made(piece: Piece, why: str, do: str, *records: str) -> Finding:
    """Return the finding that a piece cannot be made."""
    return finding(502, [piece.id, *records], [piece.name], piece=piece.name, why=why, do=do)


def not_said(piece: Piece, what: str, do: str, *records: str) -> Finding:
    """Return the finding that something about a piece is not said."""
    return finding(306, [piece.id, *records], [piece.name], what=what, do=do)

"""What the answers are worked out from: survey, adjusted room, and how to print."""

from __future__ import annotations

from dataclasses import dataclass, field

from fitting.allowance import SAW
from fitting.cabinet import FittedCabinet
from fitting.piece import EdgePlan, TrimPlan
from fitting.site import KnownRoom
from survey.finding import Finding, finding
from survey.observe import Observed
from survey.records import (
    Assumption,
    Edge,
    Piece,
    Record,
    Survey,
    Trim,
    TypedLength,
    Wall,
)
from survey.report.printing import Printer


class NotReady(Exception):
    """A piece cannot be worked out; carries the findings that say why."""

    def __init__(self, *findings: Finding) -> None:
        """Take the findings, at least one."""
        super().__init__(*findings)
        self.findings = findings


@dataclass
class Context:
    """One survey, while its pieces are worked out."""

    survey: Survey
    observed: Observed
    room: KnownRoom
    printer: Printer
    confidence: float
    cabinets: dict[str, FittedCabinet] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def note(self, *findings: Finding) -> None:
        """Keep findings about a piece that is worked out all the same."""
        self.findings += findings

    def readings_of(self, names: set[str]) -> tuple[str, ...]:
        """Return the ids of the records whose readings saw these walls, corners or features."""
        keys = self.room.readings_of(*names)
        return tuple(dict.fromkeys(self.observed.what[key].record for key in keys))

    def signed_out(self, wall: str, start: str | None, along: float, width: float = 0.0) -> float:
        """Return how far right of a corner or mark a piece begins; from a right-hand corner it ends there."""
        corner = self.room.plan.corner(start) if start is not None else None
        leftward = corner is not None and corner.left == wall
        return -along - width if leftward else along

    def wall(self, name: str, piece: Piece) -> str:
        """Return a wall's name, or refuse the piece that names a wall that does not exist."""
        if name not in self.room.plan.walls:
            raise NotReady(
                finding(
                    103,
                    [piece.id],
                    [piece.name],
                    what=f"piece `{piece.name}`",
                    name=name,
                    known=f"walls are {', '.join(self.room.plan.walls)}",
                )
            )
        return name

    def edge(self, piece: Piece, side: str, edge: Edge) -> EdgePlan | None:
        """Return what is asked of an edge, or nothing for an open one."""
        if edge.meets is None or edge.finish == "open":
            return None
        if edge.finish == "filler":
            raise NotReady(
                finding(
                    502,
                    [piece.id],
                    [piece.name],
                    piece=piece.name,
                    why=f"its {side} edge asks for a filler, which only a cabinet's side takes",
                    do="say scribed, net, covered or let in",
                )
            )
        self.refuse_trim(piece, side, edge)
        return EdgePlan(self.wall(edge.meets, piece), edge.finish, mm(edge.gap, 0.0), mm(edge.saw, SAW))

    def refuse_trim(self, piece: Piece, side: str, edge: Edge) -> None:
        """Refuse an edge that meets something else than a wall: that is not worked out yet."""
        met = self.survey.named.get(edge.meets or "", ())
        if met and not any(isinstance(one, Wall) for one in met):
            raise NotReady(
                finding(
                    502,
                    [piece.id, *(one.id for one in met)],
                    [piece.name],
                    piece=piece.name,
                    why=f"its {side} edge meets `{edge.meets}`, and only edges at walls are worked out",
                    do="let it meet the wall behind, or work this edge out by hand",
                )
            )

    def trims(self, piece: Piece, walls: set[str], kinds: tuple[str, ...]) -> tuple[TrimPlan, ...]:
        """Return the trim on these walls that is there when the piece goes in; refuse what has no size."""
        plans, missing = [], []
        for trim in self.survey.of(Trim):
            if trim.wall not in walls or trim.type not in kinds or trim.fate == "comes off":
                continue
            missing += self._missing_of(piece, trim)
            if trim.width is not None and trim.projection is not None:
                plans.append(_trim_plan(trim, mm(trim.width), mm(trim.projection)))
        if missing:
            raise NotReady(*missing)
        return tuple(plans)

    def _missing_of(self, piece: Piece, trim: Trim) -> list[Finding]:
        records, pieces = [trim.id, piece.id], [piece.name]
        sizes = {"width": trim.width, "projection": trim.projection}
        missing = [
            finding(305, records, pieces, name=trim.name, size=size)
            for size, typed in sizes.items()
            if typed is None
        ]
        known = self.room.plan.feature(trim.name)
        if trim.type == "casing" and (known is None or not self.room.feature_placed(trim.name)):
            missing.append(finding(304, records, pieces, name=trim.name))
        return missing

    def assumed(self, what: str, of: str) -> bool:
        """Whether somebody put down that this is taken as given."""
        return any(one.what == what and one.of == of for one in self.survey.of(Assumption))

    def record(self, name: str, kind: type[Record]) -> Record | None:
        """Return the current record of a name and kind, if there is one."""
        return next((one for one in self.survey.named.get(name, ()) if isinstance(one, kind)), None)


def mm(length: TypedLength | None, otherwise: float = 0.0) -> float:
    """Return a typed length in millimetres for the fitting."""
    return otherwise if length is None else float(length.mm)


def _trim_plan(trim: Trim, width: float, projection: float) -> TrimPlan:
    bottom = mm(trim.bottom, -1e4)
    if trim.type == "casing":
        top = mm(trim.top, 1e4)
        return TrimPlan(trim.name, trim.wall, width, projection, trim.toward, bottom, top, to_opening=True)
    top = mm(trim.top) if trim.top is not None else mm(trim.bottom) + width
    return TrimPlan(trim.name, trim.wall, width, projection, trim.toward, bottom, top)

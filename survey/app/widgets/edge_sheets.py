"""What is asked about an edge, sheet by sheet: what it meets, how it is finished, the gap."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from survey.app.piece_form import as_typed
from survey.app.piece_sides import (
    FINISH_WORDS,
    EdgeChoice,
    can_meet,
    edge_choices,
    finishes,
    usual_gap,
    with_edge,
)
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import choose
from survey.records import Edge, Piece, Survey, TypedLength, Wall
from survey.records.base import LengthUnit
from survey.records.pieces import Finish

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

Put = Callable[[Piece], None]

FILLER_HINT = "The least width of the strip. Clear it between two walls, and the box stands in the middle."


class EdgeSheets:
    """Asks about one edge of a piece; `put` gets the piece with what was said.

    Nothing is put before the last sheet: a sheet that is let go changes nothing.
    """

    def __init__(self, app: ScribefitApp, piece: Piece, field: str, put: Put) -> None:
        """Take the piece as it stands, and the field of its edge."""
        assert app.visit is not None
        self._app = app
        self._survey: Survey = app.visit.survey
        self._unit: LengthUnit = app.visit.unit
        self._piece, self._field, self._put = piece, field, put
        self._title = field[:1].upper() + field[1:]

    def ask(self) -> None:
        """Ask what can be said of the edge as it is."""
        choices = edge_choices(self._piece, self._field, self._survey)
        met = next((one.meets for one in choices if one.meets), None)
        finish = self._edge.finish
        now = next((one for one in choices if one.asks == "nothing" and one.finish == finish), None)
        choose(self._heading(met), [(one, one.words) for one in choices], self._said, now)

    @property
    def _edge(self) -> Edge:
        edge: Edge = getattr(self._piece, self._field)
        return edge

    def _said(self, said: EdgeChoice) -> None:
        if said.asks == "meets":
            self._ask_meets()
        elif said.asks == "nothing":
            self._finish(said.meets, said.finish)
        else:
            self._ask_length(said.asks)

    def _ask_meets(self) -> None:
        options = [(name, self._named(name)) for name in can_meet(self._piece, self._field, self._survey)]
        choose(f"{self._title} meets", options, self._ask_finish)

    def _ask_finish(self, meets: str) -> None:
        options = [(one, FINISH_WORDS[one]) for one in finishes(self._piece)]
        choose(self._heading(meets), options, lambda finish: self._finish(meets, finish))

    def _finish(self, meets: str | None, finish: Finish) -> None:
        """Put the edge; one that is to leave a gap, and has none yet, is asked for it."""
        self._piece = with_edge(self._piece, self._field, meets, finish)
        if finish in ("net", "filler") and self._edge.gap is None:
            self._ask_length("gap", usual_gap(finish, self._unit))
        else:
            self._put(self._piece)

    def _ask_length(self, part: str, usual: str = "") -> None:
        said = {"gap": "gap", "saw": "extra for the saw"}[part]
        hint = FILLER_HINT if self._edge.finish == "filler" else "Cleared, it is as usual."

        def done(text: str) -> None:
            value = TypedLength(text, self._unit) if text else None
            self._put(replace(self._piece, **{self._field: replace(self._edge, **{part: value})}))

        text = as_typed(getattr(self._edge, part), self._unit) or usual
        ask_length(self._app, f"{self._title}: {said}", done, text, hint=hint)

    def _heading(self, met: str | None) -> str:
        return f"{self._title}, at {self._named(met)}" if met else self._title

    def _named(self, name: str) -> str:
        """Say a name with what it is: only edges at walls are worked out, all else is kept."""
        is_wall = any(isinstance(one, Wall) for one in self._survey.named.get(name, ()))
        return f"wall {name}" if is_wall else f"{name} (kept, not worked out)"

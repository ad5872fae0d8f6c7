"""What is asked about an edge, sheet by sheet: what it meets, how it is finished, the gap."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from survey.app.piece_edges import (
    CEILING,
    UPPER,
    EdgeChoice,
    can_meet,
    edge_choices,
    finish_words,
    finishes,
    is_worked_out,
    met_box,
    usual_gap,
    with_edge,
)
from survey.app.piece_form import as_typed
from survey.app.widgets.number_sheet import ask_length
from survey.app.widgets.sheet import choose
from survey.records import BoxPiece, Edge, Piece, Survey, TypedLength, Wall
from survey.records.base import LengthUnit
from survey.records.pieces import Finish

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

Put = Callable[[Piece], None]

PARTS = {"gap": "gap", "saw": "extra for the saw", "cover": "thickness of what covers it"}
"""Lengths of an edge, as they are asked for."""
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
        self._title = "Upper edge" if field == UPPER else field[:1].upper() + field[1:]

    def ask(self) -> None:
        """Ask what can be said of the edge as it is."""
        choices = edge_choices(self._piece, self._field, self._survey)
        met = next((one.meets for one in choices if one.meets), None)
        finish = self._edge.finish
        meets = self._edge.meets
        now = next(
            (one for one in choices if (one.asks, one.finish, one.meets) == ("nothing", finish, meets)), None
        )
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
        is_box = met_box(meets, self._survey) is not None
        options = [
            (one, finish_words(self._piece, self._field, one, is_box))
            for one in finishes(self._piece, self._field, is_box)
        ]
        if len(options) == 1:
            self._finish(meets, options[0][0])
            return
        choose(self._heading(meets), options, lambda finish: self._finish(meets, finish))

    def _finish(self, meets: str | None, finish: Finish) -> None:
        """Put the edge; one that is to leave a gap, and has none yet, is asked for it.

        Two cabinets side by side are drawn together: no gap.
        """
        self._piece = with_edge(self._piece, self._field, meets, finish)
        is_run = isinstance(self._piece, BoxPiece) and met_box(meets, self._survey) is not None
        if finish in ("net", "filler") and self._edge.gap is None and not is_run:
            self._ask_length("gap", usual_gap(finish, self._unit))
        else:
            self._put(self._piece)

    def _ask_length(self, part: str, usual: str = "") -> None:
        hint = FILLER_HINT if self._edge.finish == "filler" else "Cleared, it is as usual."

        def done(text: str) -> None:
            value = TypedLength(text, self._unit) if text else None
            self._put(replace(self._piece, **{self._field: replace(self._edge, **{part: value})}))

        text = as_typed(getattr(self._edge, part), self._unit) or usual
        ask_length(self._app, f"{self._title}: {PARTS[part]}", done, text, hint=hint)

    def _heading(self, met: str | None) -> str:
        return f"{self._title}, at {self._named(met)}" if met else self._title

    def _named(self, name: str) -> str:
        """Say a name with what it is, and whether an edge at it is only kept."""
        if any(isinstance(one, Wall) for one in self._survey.named.get(name, ())):
            return f"wall {name}"
        if name == CEILING:
            return f"the {CEILING}"
        return name if is_worked_out(self._piece, name, self._survey) else f"{name} (kept, not worked out)"

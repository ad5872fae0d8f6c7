"""A piece as installed: how deep its edges were to be planed, place by place; a tap puts down what was."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT
from survey.app.plain import Heading, Key, Quiet, Row, Words
from survey.app.widgets import fit_parts as _fit_parts  # noqa: F401  the rules name them
from survey.errors import SurveyError

if TYPE_CHECKING:
    from survey.records import AsInstalled
    from survey.report.structs import EdgeReport, FitReport, PieceReport, ScribeStation

NOTHING = "Nothing of this piece is planed off on site, so there is nothing to put down here."
TOLD = (
    "Put down what was really planed off, where you measured it. It changes no number of this job; over many "
    "jobs it tells how sure your readings are."
)


class StationRow(Row):
    """A place along an edge: what was foretold there, and what came out."""

    at = StringProperty()
    foretold = StringProperty()
    came_out = StringProperty()
    is_there = BooleanProperty(False)


class InstalledPage(Page):
    """Given the `piece`, lists the places of its scribed edges."""

    title = StringProperty("As installed")
    place = "fit"

    def __init__(self, app: Any, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None

    def refresh(self) -> None:
        """Tell the places anew once the report is there."""
        report = self.app.report
        if report is None or not self.app.is_fresh:
            if self._told is None:
                self._pour([Words(text=BEING_WORKED_OUT)])
            return
        if report is self._told:
            return
        self._told = report
        piece = next((one for one in report.pieces if one.name == self.given.get("piece")), None)
        if piece is None:
            self._pour([Words(text="This piece is not there any more.")])
            return
        self.title = f"{piece.name}, as installed"
        self._pour(list(self._rows(piece)))

    def _rows(self, piece: PieceReport) -> Iterator[Widget]:
        scribed = [edge for edge in piece.edges if edge.scribe]
        if not scribed:
            yield Words(text=NOTHING)
        else:
            yield Quiet(text=TOLD)
        for edge in scribed:
            yield Heading(text=f"{edge.edge[:1].upper()}{edge.edge[1:]} edge, {edge.stations_from}")
            for station in edge.scribe:
                yield self._row(piece, edge, station)
        photo = Key(text="Photos and notes of it")
        photo.bind(on_release=lambda _: self.app.go("remarks", about=piece.name))
        yield photo

    def _row(self, piece: PieceReport, edge: EdgeReport, station: ScribeStation) -> StationRow:
        from survey.drawing.piece_words import typeset

        record = self._put_down(piece.name, edge.edge, station)
        came_out = typeset(self._text(record)) if record is not None else "not put down"
        row = StationRow(
            at=typeset(station.at.text),
            foretold=f"foretold {typeset(station.depth.text)}",
            came_out=came_out,
            is_there=record is not None,
        )
        row.bind(on_release=lambda _: self._ask(piece.name, edge.edge, station))
        return row

    def _put_down(self, piece: str, edge: str, station: ScribeStation) -> AsInstalled | None:
        """Return what was put down of a place, the last of it."""
        from survey.records import AsInstalled

        here = [
            one
            for one in self._visit.survey.of(AsInstalled)
            if (one.piece, one.edge) == (piece, edge)
            and one.planed_off is not None
            and one.at is not None
            and abs(float(one.at.mm) - station.at.cut_mm) < 0.01
        ]
        return here[-1] if here else None

    def _text(self, record: AsInstalled) -> str:
        planed = record.planed_off
        assert planed is not None
        return f"{planed.text} {planed.unit}"

    def _ask(self, piece: str, edge: str, station: ScribeStation) -> None:
        from survey.app.widgets.number_sheet import ask_length
        from survey.drawing.piece_words import typeset

        record = self._put_down(piece, edge, station)
        now = record.planed_off.text if record is not None and record.planed_off is not None else ""
        title = f"Planed off the {edge} edge at {typeset(station.at.text)}"
        hint = "Cleared: nothing is put down here." if record is not None else ""
        ask_length(self.app, title, lambda text: self._keep(piece, edge, station, text), now, hint=hint)

    def _keep(self, piece: str, edge: str, station: ScribeStation, text: str) -> None:
        """Put down what came out, correct it, or take it back where it was cleared."""
        from survey.records import AsInstalled, TypedLength

        record, unit = self._put_down(piece, edge, station), self._visit.unit
        try:
            if not text:
                if record is not None:
                    self._visit.withdraw(record)
                    self.app.tell("Taken back.", undoes=True)
                return
            at = TypedLength(station.at.text.removesuffix(f" {unit}"), unit)
            replaces = (record.id,) if record is not None else ()
            planed_off = TypedLength(text, unit)
            put = AsInstalled(
                **self._visit.stamp(),
                piece=piece,
                edge=edge,
                at=at,
                planed_off=planed_off,
                replaces=replaces,
            )
            self._visit.put(put)
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell("Put down.", undoes=True)

    @property
    def _visit(self) -> Any:
        assert self.app.visit is not None
        return self.app.visit

    def _pour(self, rows: list[Widget]) -> None:
        self.ids.rows.clear_widgets()
        for row in rows:
            self.ids.rows.add_widget(row)


load_kv(__file__)

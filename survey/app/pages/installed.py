"""A piece as installed: what was foretold of its edges and shims; a tap puts down what came out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any, Final

from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget
from msgspec.structs import replace

from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT
from survey.app.plain import Heading, Key, Quiet, Row, Words
from survey.app.widgets import fit_parts as _fit_parts  # noqa: F401  the rules name them
from survey.errors import SurveyError

if TYPE_CHECKING:
    from survey.installed import Place
    from survey.records import AsInstalled, InstalledWhat, TypedLength
    from survey.report.structs import Dimension, FitReport, PieceReport

SAME: Final = 0.01
"""mm: places along an edge that are no farther apart are one."""

NOTHING = "Nothing is foretold of how this piece is fitted, so there is nothing to put down here."
TOLD = (
    "Put down what really came out, where you measured it. It changes no number of this job; over many jobs, "
    "what was planed off tells how sure your readings are."
)
SHIMS: Final = "Shims under the piece"
ASKED: Final[dict[InstalledWhat, str]] = {
    "planed off": "Planed off the {} edge",
    "gap": "Gap that stays at the {} edge",
    "shim": "Shim at the {}",
    "cut off again": "Cut off the {} edge again",
}
"""What the pad's title says of each, before the place along the edge."""
NAMED: Final[dict[InstalledWhat, str]] = {
    "planed off": "at its deepest",
    "gap": "gap that stays",
    "shim": "shim",
    "cut off again": "cut off again",
}
"""What a row is called that is of no one place along its edge."""


class StationRow(Row):
    """A place along an edge: what was foretold there, and what came out."""

    at = StringProperty()
    foretold = StringProperty()
    came_out = StringProperty()
    is_there = BooleanProperty(False)


class InstalledPage(Page):
    """Given the `piece`, lists the places of its edges and shims."""

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
        from survey.installed import places

        foretold = list(places(piece))
        yield Quiet(text=TOLD) if foretold else Words(text=NOTHING)
        for heading, group in itertools.groupby(foretold, lambda one: _heading(piece, one)):
            yield Heading(text=heading, padding=(0, dp(14), 0, dp(2)))
            is_of_shims = heading == SHIMS
            for place in _with_others(list(group), self._records(piece.name), self._size):
                yield self._row(piece.name, place, place.edge if is_of_shims else NAMED[place.what])
        photo = Key(text="Photos and notes of it")
        photo.bind(on_release=lambda _: self.app.go("remarks", about=piece.name))
        yield photo

    def _row(self, piece: str, place: Place, name: str) -> StationRow:
        from survey.drawing.piece_words import typeset

        record = self._put_down(piece, place)
        if place.at is not None:
            at = typeset(place.at.text) + ("" if place.what == "planed off" else f", {name}")
        else:
            at = name
        row = StationRow(
            at=at,
            foretold=f"foretold {typeset(place.foretold.text)}" if place.foretold is not None else "",
            came_out=_shown(record, place.what) if record is not None else "not put down",
            is_there=record is not None,
        )
        row.bind(on_release=lambda _: self._ask(piece, place))
        return row

    def _records(self, piece: str) -> list[AsInstalled]:
        from survey.records import AsInstalled

        return [one for one in self._visit.survey.of(AsInstalled) if one.piece == piece]

    def _put_down(self, piece: str, place: Place) -> AsInstalled | None:
        """Return what was put down of a place, the last of it."""
        here = [one for one in self._records(piece) if _is_of(one, place)]
        return here[-1] if here else None

    def _size(self, mm: float) -> Dimension:
        from survey.installed import size

        assert self._told is not None
        return size(self._told, mm)

    def _ask(self, piece: str, place: Place) -> None:
        from survey.app.widgets.number_sheet import ask_length
        from survey.drawing.piece_words import typeset

        record = self._put_down(piece, place)
        value = _value(record, place.what) if record is not None else None
        at = f" at {typeset(place.at.text)}" if place.at is not None else ""
        hint = "Cleared: nothing is put down here." if record is not None else ""
        title = ASKED[place.what].format(place.edge) + at
        now = value.text if value is not None else ""
        ask_length(self.app, title, lambda text: self._keep(piece, place, text), now, hint=hint)

    def _keep(self, piece: str, place: Place, text: str) -> None:
        """Put down what came out, correct it, or take it back where it was cleared."""
        from survey.installed import FIELDS
        from survey.records import AsInstalled, TypedLength

        record, unit, field = self._put_down(piece, place), self._visit.unit, FIELDS[place.what]
        visit = self._visit
        try:
            value = TypedLength(text, unit) if text else None
            if record is None:
                at = TypedLength(place.at.text.removesuffix(f" {unit}"), unit) if place.at else None
                put = AsInstalled(**visit.stamp(), piece=piece, edge=place.edge, at=at)
            else:
                put = replace(record, **visit.stamp(), replaces=(record.id,))
            put = replace(put, **{field: value})
            if any(getattr(put, one) is not None for one in FIELDS.values()):
                visit.put(put)
            elif record is not None:
                visit.withdraw(record)
            else:
                return
        except SurveyError as error:
            self.app.tell(str(error))
        else:
            self.app.tell("Put down." if text else "Taken back.", undoes=True)

    @property
    def _visit(self) -> Any:
        assert self.app.visit is not None
        return self.app.visit

    def _pour(self, rows: list[Widget]) -> None:
        self.ids.rows.clear_widgets()
        for row in rows:
            self.ids.rows.add_widget(row)


def _heading(piece: PieceReport, place: Place) -> str:
    if place.what == "shim":
        return SHIMS
    start = next((one.stations_from for one in piece.edges if one.edge == place.edge and one.scribe), "")
    return f"{place.edge[:1].upper()}{place.edge[1:]} edge{f', {start}' if start else ''}"


def _with_others(
    group: list[Place], records: list[AsInstalled], size: Callable[[float], Dimension]
) -> list[Place]:
    """Return an edge's places with those that somebody put down besides, in order along it."""
    from survey.installed import FIELDS, Place

    others = [
        Place(one.edge, what, size(float(one.at.mm)) if one.at is not None else None)
        for one in records
        for what, field in FIELDS.items()
        if one.edge == group[0].edge
        and getattr(one, field) is not None
        and not any(_is_of(one, place) for place in group if place.what == what)
    ]
    order = list(FIELDS)
    return sorted(
        [*group, *dict.fromkeys(others)],
        key=lambda one: (order.index(one.what), one.at.mm if one.at is not None else math.inf),
    )


def _is_of(record: AsInstalled, place: Place) -> bool:
    """Whether a record puts something down of a place."""
    if record.edge != place.edge or _value(record, place.what) is None:
        return False
    if record.at is None or place.at is None:
        return record.at is None and place.at is None
    return abs(float(record.at.mm) - place.at.cut_mm) < SAME


def _value(record: AsInstalled, what: InstalledWhat) -> TypedLength | None:
    from survey.installed import FIELDS

    value: TypedLength | None = getattr(record, FIELDS[what])
    return value


def _shown(record: AsInstalled, what: InstalledWhat) -> str:
    from survey.app.typed import typeset

    value = _value(record, what)
    return typeset(value.text, value.unit) if value is not None else ""


load_kv(__file__)

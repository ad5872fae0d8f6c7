"""One piece as it was fitted: its picture, what to cut, each edge, and what all that rests on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT, Decided, put_decision
from survey.app.plain import Key, Quiet, Words
from survey.app.widgets.bench_parts import bench_parts, way_parts
from survey.app.widgets.fit_parts import (
    Fold,
    Gathering,
    Pair,
    PictureKey,
    RecordRow,
    Section,
    Signed,
    Station,
    Stations,
    figure,
    section,
)
from survey.records import Reading, Survey

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.drawing import LaidOut
    from survey.report.structs import EdgeReport, FitReport, NotchReport, PieceReport

ANEW = "Being worked out anew. What stands here is from before your last change."
MOST_HIGH = 0.62
"""Of the page's height that a picture takes."""
MOST_ZOOM = 8.0
MOST_ON_SITE = 4
"""Sizes on site that are told at first sight; more fold out."""


class WholePicture(BoxLayout):
    """A picture as large as the page, to be pinched and moved."""

    laid_out = ObjectProperty(None, allownone=True)

    def enlarge(self, by: float) -> None:
        """Show it larger or smaller."""
        picture = self.ids.picture
        picture.zoom = min(max(picture.zoom * by, 1.0), MOST_ZOOM)
        if picture.zoom == 1.0:
            picture.whole()


class FittedPage(Page):
    """Tells the piece of name `piece`; with `whole`, its picture alone."""

    title = StringProperty("Fit")
    place = "fit"

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None
        self._status: Quiet | None = None
        self._picture: PictureKey | WholePicture | None = None
        self.gathering = Gathering()

    def refresh(self) -> None:
        """Tell the piece anew once its report is there."""
        visit, report = self.app.visit, self.app.report
        if visit is None:
            return
        name = self.given.get("piece", "")
        self.title = name
        if report is not None and self.app.is_fresh and report is not self._told:
            self._told = report
            piece = next((one for one in report.pieces if one.name == name), None)
            if self.given.get("whole"):
                self._show_whole()
                self._draw(visit.survey, report, piece)
            else:
                self._tell(visit.survey, report, piece)
        self._say_how_it_stands()

    def left(self) -> None:
        """Draw nothing more."""
        self._picture = None
        self.gathering.stop()

    def _say_how_it_stands(self) -> None:
        if self.app.is_fresh or self.given.get("whole"):
            if self._status is not None and self._status.parent is not None:
                self._status.parent.remove_widget(self._status)
            self._status = None
        elif self._status is None:
            self._status = Quiet(text=BEING_WORKED_OUT if self._told is None else ANEW)
            self.ids.body.add_widget(self._status, index=len(self.ids.body.children))

    def _show_whole(self) -> None:
        if not isinstance(self._picture, WholePicture):
            self.clear_widgets()
            self._picture = WholePicture()
            self.add_widget(self._picture)

    def _draw(self, survey: Survey, report: FitReport, piece: PieceReport | None) -> None:
        from survey.app.fit_pictures import album

        if piece is None:
            return
        name = piece.name

        def drawn(picture: LaidOut | None) -> None:
            if self._picture is not None and report is self._told:
                self._picture.laid_out = picture

        beside(self.app, lambda: album.large(survey, report, name), drawn)

    def _tell(self, survey: Survey, report: FitReport, piece: PieceReport | None) -> None:
        def lay_out(parts: list[Widget]) -> None:
            body = self.ids.body
            body.clear_widgets()
            self._status = None
            for part in parts:
                body.add_widget(part)
            self._say_how_it_stands()
            self._draw(survey, report, piece)

        gone = Words(text=f"There is no piece {self.given.get('piece', '')} any more.")
        parts = iter([gone]) if piece is None else self._parts(survey, report, piece)
        self.gathering.begin(parts, lay_out)

    def _parts(self, survey: Survey, report: FitReport, piece: PieceReport) -> Iterator[Widget]:
        from survey.app.fit_words import facts, sentence, verdict_words

        yield Quiet(text=facts(piece))
        if piece.status == "not ready":
            yield from self._not_ready(report, piece)
        else:
            yield self._picture_key(piece)
            sign, words = verdict_words(piece, report.confidence)
            yield Signed(sign=sign, words=words, ink=look.alert if sign == "cross" else look.ink)
            yield from _doubts(report, piece)
        yield from self._decision(survey, report, piece)
        yield from _sizes(piece)
        yield from (_edge(edge) for edge in piece.edges)
        yield from (_notch(notch) for notch in piece.notches)
        yield from bench_parts(piece)
        yield from _on_site(piece)
        if piece.rule:
            yield section("How it sits", Words(text=sentence(piece.rule)))
        if piece.cautions:
            yield section("Mind", *(Signed(sign="in doubt", words=sentence(one)) for one in piece.cautions))
        yield from self._way_in(piece)
        yield from self._behind(survey, report, piece)
        yield from self._ways_on(survey, piece)

    def _picture_key(self, piece: PieceReport) -> PictureKey:
        key = PictureKey(words="Tap to enlarge", most=self.height * MOST_HIGH)
        self.bind(height=lambda _, height: setattr(key, "most", height * MOST_HIGH))
        key.bind(on_release=lambda _: self.app.go("fitted", piece=piece.name, whole="yes"))
        self._picture = key
        return key

    def _not_ready(self, report: FitReport, piece: PieceReport) -> Iterator[Widget]:
        from survey.app.fit_words import sentence

        yield Signed(sign="missing", words="Not ready: it cannot be worked out yet.")
        for found in report.findings:
            if found.severity == "stops" and (piece.name in found.pieces or not found.pieces):
                yield Words(text=f"{sentence(found.says)} {sentence(found.do)}")
        key = Key(text="See what to settle", is_main=True)
        key.bind(on_release=lambda _: self.app.go_to_place("fit"))
        yield key

    def _decision(self, survey: Survey, report: FitReport, piece: PieceReport) -> Iterator[Widget]:
        """Tell what was decided, and offer to decide: between filler options, or for the size worked out."""
        from survey.app.fit_words import has_options
        from survey.decisions import standings

        told = [one for one in standings(survey, report) if one.decision.about == piece.name]
        for standing in told:
            part = Decided(self.app, standing)
            part.padding = 0
            yield part
        if has_options(survey, piece.name):
            options = Key(text="Compare filler options", is_main=not told)
            options.bind(on_release=lambda _: self.app.go("options", piece=piece.name))
            yield options
        elif not told and piece.status != "not ready":
            yield self._go_with_it(report, piece)

    def _go_with_it(self, report: FitReport, piece: PieceReport) -> Key:
        from survey.decisions import AS_FITTED, decide, typed, width_of

        size = width_of(piece)

        def go_with_it(_: Widget) -> None:
            visit = self.app.visit
            if visit is None or not self.app.is_fresh:
                self.app.tell(BEING_WORKED_OUT)
                return
            value = None if size is None else typed(size.text)
            put_decision(self.app, decide(visit.survey, report, piece.name, AS_FITTED, value, visit.hand))

        key = Key(text="Go with this size", is_main=True)
        key.bind(on_release=go_with_it)
        return key

    def _behind(self, survey: Survey, report: FitReport, piece: PieceReport) -> Iterator[Widget]:
        """What stands behind the numbers, folded in."""
        if piece.chance is not None:
            yield Fold("How likely, and what would make it surer", lambda: _likely(report, piece))
        readings = [one for name in piece.readings if isinstance(one := survey.by_id.get(name), Reading)]
        if readings:
            count = f"{len(readings)} reading{'s' if len(readings) > 1 else ''}"
            yield Fold(f"It rests on {count}", lambda: self._readings(survey, report, readings))

    def _readings(self, survey: Survey, report: FitReport, readings: list[Reading]) -> Iterator[Widget]:
        from survey.app.fit_words import held, names_of_readings, sentence
        from survey.app.walk_list import value_of
        from survey.records import kind_of

        names = names_of_readings(report)
        for reading in readings:
            words = sentence(names.get(reading.id, kind_of(reading))).rstrip(".")
            row = RecordRow(words=words, value=held(value_of(reading)))
            row.bind(on_release=lambda _, record=reading.id: self.app.go("entry", record=record))
            yield row

    def _way_in(self, piece: PieceReport) -> Iterator[Widget]:
        """Say how it gets in, and lead to the picture that moves."""
        if not piece.way and piece.entry is None and piece.lift is None:
            return
        told = section("Getting it in", *way_parts(piece))
        if piece.way or piece.entry is not None:
            key = Key(text="See how it gets in")
            key.bind(on_release=lambda _: self.app.go("way_in", piece=piece.name))
            told.add_widget(key)
        yield told

    def _ways_on(self, survey: Survey, piece: PieceReport) -> Iterator[Widget]:
        from survey.installed import places

        if any(True for _ in places(piece)):
            installed = Key(text="As installed: what came out")
            installed.bind(on_release=lambda _: self.app.go("installed", piece=piece.name))
            yield installed
        records = survey.named.get(piece.name, ())
        if records:
            change = Key(text="Change the piece")
            change.bind(on_release=lambda _: self.app.go("piece", record=records[-1].id))
            yield change


def _doubts(report: FitReport, piece: PieceReport) -> Iterator[Widget]:
    from survey.app.fit_words import sentence

    for found in report.findings:
        if found.severity == "doubt" and piece.name in found.pieces:
            yield Signed(sign="in doubt", words=sentence(found.says))


def _sizes(piece: PieceReport) -> Iterator[Widget]:
    from survey.app.fit_words import has_blank_of_its_own, sentence

    if not piece.finished:
        return
    finished = [figure(one.name, one.size, look.large) for one in piece.finished]
    yield section(
        "Finished", *finished, says=sentence(f"measured from {piece.datum}") if piece.outline else ""
    )
    if has_blank_of_its_own(piece):
        yield section("Blank to cut", *(figure(one.name, one.size, look.large) for one in piece.blank))


def _edge(edge: EdgeReport) -> Section:
    from survey.app.fit_words import held, parts_words, sentence
    from survey.drawing.piece_words import edge_words

    told = section(f"{edge.edge.capitalize()} edge", says=sentence(edge_words(edge)))
    if edge.gap is not None:
        told.add_widget(figure("least gap", edge.gap))
    if edge.allowance is not None:
        told.add_widget(figure("leave on", edge.allowance.total))
        told.add_widget(Quiet(text=parts_words(edge.allowance)))
    if edge.deepest is not None and edge.shallowest is not None:
        told.add_widget(figure("plane off, deepest", edge.deepest))
        told.add_widget(figure("shallowest", edge.shallowest))
    if edge.scribe:
        stations = Stations()
        for one in edge.scribe:
            stations.add_widget(Station(at=f"at {held(one.at.text)}", depth=held(one.depth.text)))
        told.add_widget(Quiet(text=f"To plane off, {edge.stations_from}:"))
        told.add_widget(stations)
    return told


def _notch(notch: NotchReport) -> Section:
    from survey.app.fit_words import held, sentence
    from survey.drawing.piece_words import across_words, printable

    rows = [Pair(left=sentence(notch.across_from), right=sentence(notch.deep_from), is_head=True)]
    rows += [
        Pair(left=held(across_words(one.across.text, notch.across_from)), right=held(one.deep.text))
        for one in notch.corners
    ]
    says = sentence(f"clear of it by {notch.clearance.text}; its corners in order")
    return section(f"Notch around {printable(notch.around)}", *rows, says=says)


def _on_site(piece: PieceReport) -> Iterator[Widget]:
    """Gaps and the like; the options of fillers are compared on a page of their own."""
    told = [one for one in piece.measures if not one.name.startswith("filler option")]
    if len(told) > MOST_ON_SITE:
        yield Fold(f"On site: {len(told)} sizes", lambda: [figure(one.name, one.size) for one in told])
    elif told:
        yield section("On site", *(figure(one.name, one.size) for one in told))


def _likely(report: FitReport, piece: PieceReport) -> Iterator[Widget]:
    """How likely it comes out well, what leaves most unknown, and what would raise it."""
    from survey.app.fit_words import raises, sentence
    from survey.report.chance_words import chance_words, driver_words, slip_words, step_words
    from survey.report.next_words import reading_words

    assert piece.chance is not None
    yield Words(text=sentence(chance_words(piece.chance, step_words(report.step, report.unit))))
    driven, slip = driver_words(piece), slip_words(piece.chance)
    if driven:
        yield Words(text=sentence(f"most unknown: {driven}"))
    if slip:
        yield Words(text=sentence(slip))
    best = raises(report, piece.name)
    for one in best:
        yield Words(text=sentence(f"to raise it, read {reading_words(one)}: {one.says}"))
    if not best and report.room.enough:
        yield Words(text=sentence(report.room.enough))
    if piece.confidence is not None:
        yield Quiet(text=sentence(f"worked out for {100 * piece.confidence:.4g} %: {piece.limits}"))


load_kv(__file__)

"""Fit: what is missing or in doubt, and each piece with its sizes and whether it goes in."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.look import look
from survey.app.page import PLACES, Page, load_kv
from survey.app.plain import Key, Quiet, Row, Words
from survey.app.widgets.fit_parts import Figure, FindingRow, Fold, Gathering, Part
from survey.errors import SurveyError
from survey.records import Decision, Piece, Survey

if TYPE_CHECKING:
    from survey.app.leads import Lead
    from survey.app.main import ScribefitApp
    from survey.decisions import Standing
    from survey.finding import Finding
    from survey.report.structs import FitReport, PieceReport

AT_FIRST = 3
"""Findings that are told at first sight; the others fold out."""
TOLD = 2
"""Changes since a decision that are told; the others are counted."""
SEE_NEXT = frozenset({400, 402, 514})
"""Findings that a further reading settles: which one is told with the doubts."""
BEING_WORKED_OUT = "Being worked out…"
ANEW = "Being worked out anew. What stands here in pencil is from before your last change."


class Titled(Part):
    """The heading of a part of the page, and what it is about."""

    words = StringProperty()
    says = StringProperty()


class Inset(Part):
    """A column with the page's margins."""


class PieceCard(Row):
    """A piece: its name, its sizes large, a small picture, and whether it goes in."""

    name = StringProperty()
    facts = StringProperty()
    blank = StringProperty()
    sign = StringProperty("fine")
    verdict = StringProperty()
    laid_out = ObjectProperty(None, allownone=True)
    is_wide = BooleanProperty(False)
    """Whether its picture needs the whole width."""
    is_old = BooleanProperty(False)
    is_side_by_side = BooleanProperty(False)
    picture_width = NumericProperty(0)
    picture_height = NumericProperty(0)

    def __init__(self, piece: PieceReport, confidence: float) -> None:
        """Tell a piece."""
        from survey.app.fit_words import facts, has_blank_of_its_own, held, size_line, verdict_words

        sign, words = verdict_words(piece, confidence)
        blank = f"Cut the blank {size_line(piece.blank)}" if has_blank_of_its_own(piece) else ""
        super().__init__(name=piece.name, facts=facts(piece), sign=sign, verdict=words, blank=blank)
        if not piece.finished:
            self.remove_widget(self.ids.row)
        for one in piece.finished:
            if one.name != "thickness":
                figure = Figure(words=one.name, number=held(one.size.text), size_of=look.large)
                self.ids.sizes.add_widget(figure)
        self.bind(width=self._arrange, laid_out=self._arrange, is_old=self._age)
        self._arrange()

    def _arrange(self, *_: object) -> None:
        self.is_side_by_side = self.width > look.large * (18 if self.is_wide else 11)
        share = 0.56 if self.is_wide else 0.36
        self.picture_width = self.width * share if self.is_side_by_side else self.width - self.padding[0] * 2
        picture = self.laid_out
        most = look.large * (5 if self.is_side_by_side else 8)
        self.picture_height = (
            0 if picture is None else min(self.picture_width * picture.height / picture.width, most)
        )

    def _age(self, *_: object) -> None:
        for figure in self.ids.sizes.children:
            figure.is_old = self.is_old


class Decided(Part):
    """A decision that stands; with what changed since, and keys to keep it or decide again."""

    said = StringProperty()
    since = StringProperty()

    def __init__(self, app: ScribefitApp, standing: Standing) -> None:
        """Tell a decision."""
        from survey.app.fit_words import sentence

        self._app, self._decision = app, standing.decision
        since = f"since then {standing.since(TOLD)}" if standing.is_stale else ""
        super().__init__(said=sentence(f"decided: {standing.said}"), since=sentence(since))

    def keep(self) -> None:
        """Decide the same again, on what is worked out now."""
        from survey.decisions import kept

        visit, report = self._app.visit, self._app.report
        if visit is None or report is None or not self._app.is_fresh:
            self._app.tell(BEING_WORKED_OUT)
            return
        put_decision(self._app, kept(visit.survey, report, self._decision, visit.hand))

    def again(self) -> None:
        """Go where it is decided."""
        from survey.app.fit_words import has_options

        visit, about = self._app.visit, self._decision.about
        compares = visit is not None and has_options(visit.survey, about)
        self._app.go("options" if compares else "fitted", piece=about)


def put_decision(app: ScribefitApp, decision: Decision) -> None:
    """Put a decision down and say so, or why not."""
    assert app.visit is not None
    try:
        app.visit.put(decision)
    except SurveyError as error:
        app.tell(str(error))
        return
    app.tell(f"Decided for {decision.about}: {decision.choice}.", undoes=True)


class FitPage(Page):
    """Findings, gravest first, each with the way to settle it; then the pieces."""

    title = "Fit"
    place = "fit"

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None
        self._state: tuple[bool, bool] | None = None
        self._cards: dict[str, PieceCard] = {}
        self._rows: list[tuple[Finding, FindingRow]] = []
        self._leads: dict[Finding, Lead] = {}
        self.gathering = Gathering()

    def left(self) -> None:
        """Make no more."""
        self.gathering.stop()

    def refresh(self) -> None:
        """Tell a new report; while one is worked out, leave the old one in pencil."""
        visit, report = self.app.visit, self.app.report
        if visit is None:
            return
        self._say_how_it_stands(bool(visit.survey.of(Piece)))
        if report is not None and report is not self._told and (self.app.is_fresh or self._told is None):
            self._told = report
            self._tell(visit.survey, report)
        for card in self._cards.values():
            card.is_old = not self.app.is_fresh

    def _say_how_it_stands(self, has_pieces: bool) -> None:
        state = (has_pieces, self.app.is_fresh)
        if state == self._state:
            return
        self._state = state
        status = self.ids.status
        status.clear_widgets()
        if not has_pieces:
            status.add_widget(Words(text="There is nothing to fit yet.", font_size=look.lead))
            says = "Add the cabinet, top or filler that you will build. What to cut then stands here."
            status.add_widget(Words(text=says))
            key = Key(text="Add a piece", is_main=True)
            key.bind(on_release=lambda _: self.app.go_to_place("pieces"))
            status.add_widget(key)
        elif not self.app.is_fresh:
            status.add_widget(Quiet(text=BEING_WORKED_OUT if self.app.report is None else ANEW))

    def _tell(self, survey: Survey, report: FitReport) -> None:
        cards: dict[str, PieceCard] = {}
        self._rows, self._leads = [], {}
        parts = self._parts(survey, report, cards) if report.pieces else iter(())
        self.gathering.begin(parts, partial(self._lay_out, survey, report, cards))

    def _lay_out(
        self, survey: Survey, report: FitReport, cards: dict[str, PieceCard], parts: list[Widget]
    ) -> None:
        """Put the parts up where the old ones stood, scrolled as far as those were."""
        scroll, body = self.ids.scroll, self.ids.body
        from_top = (1 - scroll.scroll_y) * max(scroll.children[0].height - scroll.height, 0)
        body.clear_widgets()
        for part in parts:
            body.add_widget(part)
        self._cards = cards
        for card in cards.values():
            card.is_old = not self.app.is_fresh
        self._draw(survey, report)
        self._lead(survey, report)
        Clock.schedule_once(partial(self._scroll_back, from_top))

    def _scroll_back(self, from_top: float, *_: object) -> None:
        scroll, content = self.ids.scroll, self.ids.scroll.children[0]
        room = content.height - scroll.height
        scroll.scroll_y = 1 - min(from_top / room, 1) if room > 0 else 1

    def _parts(self, survey: Survey, report: FitReport, cards: dict[str, PieceCard]) -> Iterator[Widget]:
        from survey.decisions import standings

        yield from self._findings(report)
        by_piece: dict[str, list[Standing]] = {}
        # What an older report says of a newer survey is no reason to call a decision stale.
        for standing in standings(survey, report) if self.app.is_fresh else ():
            by_piece.setdefault(standing.decision.about, []).append(standing)
        names = {piece.name for piece in report.pieces}
        for standing in (one for about, group in by_piece.items() if about not in names for one in group):
            yield Decided(self.app, standing)
        if report.order:
            day = Key(text="The day of installation")
            day.bind(on_release=lambda _: self.app.go("day"))
            yield _inset(day)
        if self._was_handed_over(survey):
            key = Key(text="What changed since the hand-over")
            key.bind(on_release=lambda _: self.app.go("changes"))
            yield _inset(key)
        yield Titled(words="Pieces")
        for piece in report.pieces:
            cards[piece.name] = card = self._card(report, piece)
            yield card
            yield from self._below(survey, piece, by_piece.get(piece.name, []))

    def _was_handed_over(self, survey: Survey) -> bool:
        from survey.app.changed import last_folder
        from survey.app.giving import folder_above

        return last_folder(folder_above(self.app.desk), survey) is not None

    # What is the matter

    def _findings(self, report: FitReport) -> Iterator[Widget]:
        grave = [one for one in report.findings if one.severity != "hint"]
        hints = [one for one in report.findings if one.severity == "hint"]
        if grave:
            stops = sum(one.severity == "stops" for one in grave)
            yield Titled(words="Settle before cutting", says=_count(stops, len(grave) - stops))
            yield from (self._row(one) for one in grave[:AT_FIRST])
            if len(grave) > AT_FIRST:
                more = grave[AT_FIRST:]
                yield _inset(Fold(f"{len(more)} more", lambda: [self._row(one) for one in more]))
        if hints:
            words = f"{len(hints)} to know" if grave else f"{len(hints)} to know, none to settle"
            yield _inset(Fold(words, lambda: [self._row(one) for one in hints]))

    def _row(self, found: Finding) -> FindingRow:
        from survey.app.fit_words import GRAVITY, concerns, sentence

        sign, gravity = GRAVITY[found.severity]
        does = " ".join(part for part in (sentence(found.do), concerns(found)) if part)
        row = FindingRow(sign=sign, gravity=gravity, says=sentence(found.says), does=does)
        row.bind(on_release=lambda _: self._follow(found))
        self._rows.append((found, row))
        self._say_lead(found, row)
        return row

    def _say_lead(self, found: Finding, row: FindingRow) -> None:
        from survey.app.fit_words import held

        if found in self._leads:
            row.leads_to = held(self._leads[found].words)

    def _lead(self, survey: Survey, report: FitReport) -> None:
        """Find beside the screen where each is settled: the walk takes its time."""
        from survey.app.leads import Lead, lead
        from survey.app.walk_list import walk_rows

        tools, findings = self.app.desk.settings.tools, report.findings

        def work() -> dict[Finding, Lead | None]:
            walk = walk_rows(survey, tools)
            see_next = Lead("doubts", "See what to read next")
            return {one: see_next if one.number in SEE_NEXT else lead(one, survey, walk) for one in findings}

        def done(leads: dict[Finding, Lead | None]) -> None:
            if report is self._told:
                self._leads = {one: found for one, found in leads.items() if found is not None}
                for found, row in self._rows:
                    self._say_lead(found, row)

        if findings:
            beside(self.app, work, done)

    def _follow(self, found: Finding) -> None:
        to = self._leads.get(found)
        if to is None:
            return
        if to.page in PLACES:
            self.app.go_to_place(to.page)
        else:
            self.app.go(to.page, **to.given)

    # Pieces

    def _card(self, report: FitReport, piece: PieceReport) -> PieceCard:
        from survey.app.fit_words import why_not_ready

        card = PieceCard(piece, report.confidence)
        if piece.status == "not ready":
            card.verdict = why_not_ready(report, piece.name)
        card.bind(on_release=lambda _: self.app.go("fitted", piece=piece.name))
        return card

    def _below(self, survey: Survey, piece: PieceReport, standings: list[Standing]) -> Iterator[Widget]:
        from survey.app.fit_words import has_options

        for standing in standings:
            yield Decided(self.app, standing)
        if has_options(survey, piece.name):
            key = Key(text="Compare filler options")
            key.bind(on_release=lambda _: self.app.go("options", piece=piece.name))
            yield _inset(key)

    def _draw(self, survey: Survey, report: FitReport) -> None:
        """Draw the pieces one after the other, beside the screen."""
        from survey.app.fit_pictures import album

        waiting = list(self._cards.items())

        def next_one() -> None:
            if waiting and report is self._told and self.get_root_window() is not None:
                name, card = waiting.pop(0)
                beside(self.app, lambda: album.card(survey, report, name), partial(drawn, card))

        def drawn(card: PieceCard, told: tuple[object, bool]) -> None:
            card.laid_out, card.is_wide = told
            card._arrange()
            next_one()

        next_one()


def _inset(*widgets: Widget) -> Inset:
    inset = Inset()
    for one in widgets:
        inset.add_widget(one)
    return inset


def _count(stops: int, doubts: int) -> str:
    told = []
    if stops:
        told.append(f"{stops} stop{'s' if stops == 1 else ''} the work")
    if doubts:
        told.append(f"{doubts} {'is' if doubts == 1 else 'are'} in doubt")
    return ", ".join(told)


load_kv(__file__)

"""Filler options side by side, fitted one after the other; one tap decides."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from survey.app.beside import beside
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT
from survey.app.plain import Quiet, Words
from survey.app.widgets.fit_parts import Figure, Gathering, Part, Signed
from survey.errors import SurveyError
from survey.records import Survey

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.drawing import LaidOut
    from survey.options import Option, Table, Trial
    from survey.report.structs import FitReport

COLUMN, NARROW = 17.0, 10.5
"""Letters' heights that a card needs to stand beside others, and beside one other at the least: two to
compare are worth more than room in them."""
LEAST = 10.0
"""Letters' heights in which a name and a number stand side by side: here names are long."""
NARROW_LETTERS = 5.0
"""Paper mm that sizes are high in the picture of a narrow card."""
PICTURES = "Seen from the front. Gaps are drawn larger than the cabinet, and its middle is left out."


class OptionCard(Part):
    """One way to close the gaps: picture, numbers, what speaks against it, and the key that decides."""

    choice = StringProperty()
    tag = StringProperty()
    sign = StringProperty("fine")
    verdict = StringProperty()
    key_words = StringProperty()
    is_best = BooleanProperty(False)
    is_possible = BooleanProperty(True)
    laid_out = ObjectProperty(None, allownone=True)

    __events__ = ("on_decide",)

    def __init__(self, option: Option, is_best: bool, laid_out: LaidOut | None) -> None:
        """Tell an option."""
        from survey.app.fit_words import held, sentence, verdict_words

        sign, verdict = verdict_words(option.cabinet, option.report.confidence)
        tags = ["Recommended"] * is_best + ["As it is planned now"] * option.trial.is_now
        super().__init__(
            choice=sentence(option.trial.choice).rstrip("."), tag=" · ".join(tags),
            sign=sign, verdict=verdict, laid_out=laid_out,
            is_best=is_best, is_possible=option.is_possible,
            key_words="Decide for this" if option.is_possible else "Cannot be made",
        )  # fmt: skip
        for name, size in option.numbers:
            self.ids.numbers.add_widget(Figure(words=name, number=held(size), least=LEAST))
        for fault in option.faults:
            sign = "in doubt" if option.is_possible else "cross"
            self.ids.faults.add_widget(Signed(sign=sign, words=sentence(fault.words)))

    def on_decide(self) -> None:
        """Nothing; the page binds it."""


class OptionColumn(Part):
    """Cards below one another."""


class OptionsPage(Page):
    """Compares the options of the cabinet named `piece`."""

    title = "Filler options"
    place = "fit"

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing compared."""
        super().__init__(app, **given)
        self._compared: Survey | None = None
        self._cards: list[OptionCard] = []
        self._is_left = False
        self.gathering = Gathering()
        self.ids.columns.bind(width=lambda *_: self._deal())

    def refresh(self) -> None:
        """Compare anew once the report of a changed survey is there."""
        visit, report = self.app.visit, self.app.report
        if visit is None or visit.survey is self._compared:
            return
        self._say(BEING_WORKED_OUT)
        self._cards = []
        self._deal()
        self.ids.below.clear_widgets()
        if report is not None and self.app.is_fresh:
            self._compared = visit.survey
            self._begin(visit.survey, report)

    def left(self) -> None:
        """Compare no further."""
        self._is_left = True
        self.gathering.stop()

    def _begin(self, survey: Survey, report: FitReport) -> None:
        name = self.given.get("piece", "")

        def work() -> tuple[Trial, ...]:
            from survey.options import trials

            return trials(survey, report, name)

        def refused(error: SurveyError) -> None:
            self._say(str(error))

        beside(self.app, work, lambda ways: self._weigh(survey, ways, ()), refused)

    def _weigh(self, survey: Survey, ways: tuple[Trial, ...], done: tuple[Option, ...]) -> None:
        """Fit the next way beside the screen; tell all when it was the last."""
        from survey.options import weighed

        if self._is_left or survey is not self._compared:
            return
        if len(done) < len(ways):
            self._say(f"Fitting {len(ways)} ways to do it: {ways[len(done)].choice}…")
            way = ways[len(done)]
            beside(
                self.app, lambda: weighed(survey, way), lambda one: self._weigh(survey, ways, (*done, one))
            )
            return
        from survey.options import compared

        letters = NARROW_LETTERS if self._room() > 1 and not self._is_roomy() else None
        beside(self.app, partial(_drawn, compared(done), letters), partial(self._tell, survey))

    def _tell(self, survey: Survey, drawn: tuple[Table, tuple[LaidOut | None, ...]]) -> None:
        from survey.app.fit_words import sentence
        from survey.options import RULES

        if self._is_left or survey is not self._compared:
            return
        table, pictures = drawn
        self._say("")
        advice, best = self.ids.advice, table.recommended
        if best is not None:
            advice.add_widget(Words(text=f"Recommended: {sentence(best.trial.choice)}", bold=True))
        advice.add_widget(Words(text=sentence(table.why)))
        advice.add_widget(Quiet(text=PICTURES))
        self.ids.below.add_widget(Quiet(text=sentence(RULES[table.options[0].report.unit])))
        both = list(zip(table.options, pictures, strict=True))
        in_order = sorted(both, key=lambda one: one[0] is not best)
        self.gathering.begin((self._card(survey, *one, best) for one in in_order), self._lay_out)

    def _card(
        self, survey: Survey, option: Option, picture: LaidOut | None, best: Option | None
    ) -> OptionCard:
        card = OptionCard(option, option is best, picture)
        card.bind(on_decide=lambda _: self._decide(survey, option))
        return card

    def _lay_out(self, cards: list[OptionCard]) -> None:
        self._cards = cards
        self._deal()

    def _deal(self) -> None:
        """Deal the cards over as many columns as have room, the first at the top left."""
        columns = self.ids.columns
        count = min(self._room(), max(len(self._cards), 1))
        for column in columns.children:
            column.clear_widgets()
        columns.clear_widgets()
        for number in range(count):
            column = OptionColumn()
            for card in self._cards[number::count]:
                column.add_widget(card)
            columns.add_widget(column)

    def _room(self) -> int:
        """Return how many cards have room side by side."""
        wide = self.ids.columns.width / look.body
        return max(int(wide // COLUMN), min(int(wide // NARROW), 2), 1)

    def _is_roomy(self) -> bool:
        """Whether more than one card has all the room that it should have."""
        return bool(self.ids.columns.width / look.body >= 2 * COLUMN)

    def _decide(self, survey: Survey, option: Option) -> None:
        """Put the decision and the pieces down as one act, and go back."""
        from survey.app.fit_words import sentence
        from survey.options import to_put_down

        visit = self.app.visit
        if visit is None or visit.survey is not survey:
            self.app.tell(BEING_WORKED_OUT)
            return
        try:
            visit.put(*to_put_down(survey, option, visit.hand))
        except SurveyError as error:
            self.app.tell(str(error))
            return
        self.app.back()
        self.app.tell(sentence(f"decided: {option.trial.choice}"), undoes=True)

    def _say(self, words: str) -> None:
        advice = self.ids.advice
        advice.clear_widgets()
        if words:
            advice.add_widget(Quiet(text=words))


def _drawn(table: Table, letters: float | None) -> tuple[Table, tuple[LaidOut | None, ...]]:
    """Draw the options to one scale."""
    from survey.app.fit_pictures import LETTERS, Beside, front_picture, widest
    from survey.app.fit_pictures import beside as what_is_beside
    from survey.options import SIDES

    def sides(option: Option) -> tuple[Beside | None, Beside | None]:
        left, right = (what_is_beside(option.cabinet, side, option.strip(side) is not None) for side in SIDES)
        return left, right

    most = widest(side for option in table.options for side in sides(option))
    return table, tuple(
        front_picture(option.cabinet.finished[0].size, *sides(option), most, letters or LETTERS)
        if option.is_possible
        else None
        for option in table.options
    )


load_kv(__file__)

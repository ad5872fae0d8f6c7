"""The day of installation: what is done first, what is scribed against what, and what to check before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.properties import NumericProperty, StringProperty

from survey.app.page import Page, load_kv
from survey.app.pages.fit import BEING_WORKED_OUT
from survey.app.plain import Row, Words
from survey.app.widgets import fit_parts as _fit_parts  # noqa: F401  the rules name them

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp
    from survey.report.structs import FitReport, OrderStep

NOTHING = "There is nothing to install yet: add the pieces first."


class DayStep(Row):
    """One step of the day; a tap opens its first piece."""

    number = NumericProperty()
    says = StringProperty()
    why = StringProperty()
    check = StringProperty()


class DayPage(Page):
    """Lists the steps in working order."""

    title = "The day"
    place = "fit"

    def __init__(self, app: ScribefitApp, **given: str) -> None:
        """Begin with nothing told."""
        super().__init__(app, **given)
        self._told: FitReport | None = None

    def refresh(self) -> None:
        """Tell the day anew once the report is there."""
        report = self.app.report
        steps = self.ids.steps
        if report is None or not self.app.is_fresh:
            if self._told is None:
                steps.clear_widgets()
                steps.add_widget(Words(text=BEING_WORKED_OUT))
            return
        if report is self._told:
            return
        self._told = report
        steps.clear_widgets()
        for step in report.order:
            steps.add_widget(self._row(step))
        if not report.order:
            steps.add_widget(Words(text=NOTHING))

    def _row(self, step: OrderStep) -> DayStep:
        from survey.app.fit_words import sentence

        check = sentence(f"check first: {'; '.join(step.check)}") if step.check else ""
        row = DayStep(
            number=step.number,
            says=sentence(step.says),
            why=sentence(step.why) if step.why else "",
            check=check,
        )
        if step.pieces:
            row.bind(on_release=lambda _: self.app.go("fitted", piece=step.pieces[0]))
        return row


load_kv(__file__)

"""A new job: its title, what a number means, and how fine; then straight to the place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.properties import StringProperty

from survey.app.job_words import STEPS, UNITS, step_words
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.plain import Key
from survey.app.typed import typeset
from survey.app.widgets import form as _form  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.app.job_words import Unit
    from survey.records import TypedLength

DRAFT = "new_job"


class NewJobPage(Page):
    """Makes a job; what is typed is kept on the desk until then."""

    title = "New job"
    unit = StringProperty("in")
    step = StringProperty("1/16")
    level = StringProperty()
    level_unit = StringProperty("in")
    refusal = StringProperty()

    def shown(self) -> None:
        """Take up what was typed before."""
        settings, typed = self.app.desk.settings, self.app.desk.drafted(DRAFT)
        self.unit, self.step = typed.get("unit", settings.unit), typed.get("step", settings.step)
        self.level, self.level_unit = typed.get("level", ""), typed.get("level_unit", self.unit)
        self.ids.name.text = typed.get("title", "")
        for unit, words in UNITS.items():
            self._key(self.ids.units, words, lambda unit=unit: self._take_unit(unit))
        self._show()
        self.bind(unit=self._keep, step=self._keep, level=self._keep)
        self.ids.name.bind(text=self._keep)

    def ask_level(self) -> None:
        """Let the height of the level line be typed."""
        from survey.app.widgets.number_sheet import ask_length

        hint = "How high the line marked on the walls is above the level that heights count from."
        ask_length(
            self.app, "Level line's height", self._take_level, text=self.level, hint=hint, step=self.step
        )

    def begin(self) -> None:
        """Make the job and go to its place."""
        from survey.app.shelf import new_path
        from survey.app.visit import Visit
        from survey.errors import SurveyError

        title = self.ids.name.text.strip()
        if not title:
            self.refusal = "Give it a title first, so that you find it again."
            self.ids.name.focus = True
            return
        desk = self.app.desk
        path = new_path(desk.jobs, title)
        try:
            Visit.begin(path, title, self.unit, self.step, self._level_line(), self.app.hand).close()
        except SurveyError as error:
            self.refusal = str(error)
            return
        desk.settings.unit, desk.settings.step = self._unit, self.step
        desk.draft(DRAFT, {})
        if self.app.open_job(path):
            self.app.go("place")

    @property
    def _unit(self) -> Unit:
        return "in" if self.unit == "in" else "mm"

    def _level_line(self) -> TypedLength | None:
        from survey.records import TypedLength

        return TypedLength(self.level, "in" if self.level_unit == "in" else "mm") if self.level else None

    def _take_unit(self, unit: Unit) -> None:
        self.unit, self.step = unit, STEPS[unit][0]
        self._show()

    def _take_step(self, step: str) -> None:
        self.step = step
        self._show()

    def _take_level(self, text: str) -> None:
        self.level_unit = self.unit
        self.level = text

    def _show(self) -> None:
        for key, unit in zip(reversed(self.ids.units.children), UNITS, strict=True):
            key.is_chosen = unit == self.unit
        self.ids.steps.clear_widgets()
        for step in STEPS[self._unit]:
            key = self._key(self.ids.steps, step_words(step), lambda step=step: self._take_step(step))
            key.is_chosen, key.font_size = step == self.step, look.lead

    def _key(self, row: Any, words: str, act: Any) -> Key:
        key = Key(text=words, size_hint_y=None)
        key.bind(on_release=lambda _: act())
        row.add_widget(key)
        return key

    def _keep(self, *_: object) -> None:
        self.refusal = ""
        fields = {"title": self.ids.name.text, "level": self.level}
        if any(fields.values()):
            fields |= {"unit": self.unit, "step": self.step, "level_unit": self.level_unit}
        self.app.desk.draft(DRAFT, fields)

    def level_words(self, level: str, unit: str) -> str:
        """Say the level line's height as it is shown."""
        return typeset(level, unit)


load_kv(__file__)

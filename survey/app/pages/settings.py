"""Settings: of the open job, which go into its record, and of this device. All of it counts at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Final

from msgspec.structs import replace

from survey.app.job_words import STEPS, SURE, UNITS, step_words, sure_words
from survey.app.page import Page, load_kv
from survey.app.typed import typeset
from survey.app.widgets.form import FormRow
from survey.app.widgets.sheet import ask_words, choose
from survey.errors import SurveyError
from survey.records import Job, TypedLength

Options = Sequence[tuple[Any, str]]


@dataclass(frozen=True)
class Choice:
    """One setting of the device: its name on the desk, what is asked, and the answers."""

    name: str
    words: str
    options: Options


LASER_UNITS: Final = (
    ("as the job", "The job's unit"),
    ("in", "Inches"),
    ("ft", "Feet"),
    ("mm", "Millimetres"),
    ("cm", "Centimetres"),
    ("m", "Metres"),
)
LETTERS: Final = (
    (1.0, "As they are"),
    *((size, f"{size:g} times as large") for size in (1.15, 1.3, 1.6, 2.0)),
)
DEVICE: Final = (
    Choice(
        "tools", "Walls are checked with", (("straightedge", "A straightedge"), ("laser", "A line laser"))
    ),
    Choice(
        "instrument",
        "Lengths are read with",
        (("tape", "Tape"), ("steel rule", "Steel rule"), ("laser", "Laser")),
    ),
    Choice("laser_unit", "A bare number from the laser means", LASER_UNITS),
    Choice("hand", "The thumb that types", (("right", "Right"), ("left", "Left"))),
    Choice("theme", "Light", (("day", "Day: dark on paper"), ("night", "Night: light on dark"))),
    Choice("text_size", "Letters", LETTERS),
)


class SettingsPage(Page):
    """Asks what is usual here."""

    title = "Settings"

    def shown(self) -> None:
        """Put the rows, by what they ask."""
        self._put: dict[str, FormRow] = {}
        self.refresh()

    def refresh(self) -> None:
        """Say what is chosen; rows stay where they are."""
        self._job_rows()
        self._device_rows()

    # The job

    def _job_rows(self) -> None:
        rows, job = self.ids.job, self._job
        self.ids.job_heading.text = "This job" if job is not None else ""
        if job is None:  # its record was taken back
            rows.clear_widgets()
            return
        level = typeset(job.level_line.text, job.level_line.unit) if job.level_line is not None else ""
        for words, answer, hint, act in (
            ("Title", job.title, "", self._ask_title),
            ("A bare number means", UNITS[job.unit], "", self._ask_unit),
            ("Smallest fraction", step_words(job.step), "", self._ask_step),
            ("So sure before cutting", sure_words(job.confidence), "", self._ask_sure),
            ("Height of the marked level line", level, "not said: heights count from the line",
             self._ask_level),
            ("How the line is marked", job.datum_mark, "not said", self._ask_mark),
            ("Heights and hands agreed with", job.agreed, "nobody yet", self._ask_agreed),
        ):  # fmt: skip
            self._row(rows, words, answer, act, hint)

    @property
    def _job(self) -> Job | None:
        visit = self.app.visit
        return visit.survey.job if visit is not None else None

    def _correct(self, **changed: Any) -> None:
        """Put a corrected job down; what is the same already is left alone."""
        visit, job = self.app.visit, self._job
        if visit is None or job is None or replace(job, **changed) == job:
            return
        try:
            visit.correct(job, replace(job, **changed))
        except SurveyError as error:
            self.app.tell(str(error))
            return
        self.app.tell("Changed for this job.", undoes=True)

    def _ask_title(self) -> None:
        job = self._here
        ask_words("Title", lambda title: self._correct(title=title) if title else None, text=job.title)

    def _ask_unit(self) -> None:
        # What was typed keeps the unit that it was typed in; only the fraction has to be one of the unit.
        def chosen(unit: Any) -> None:
            if unit != self._here.unit:
                self._correct(unit=unit, step=STEPS[unit][0])

        choose("A bare number means", list(UNITS.items()), chosen, self._here.unit)

    def _ask_step(self) -> None:
        job = self._here
        steps = [(one, step_words(one)) for one in dict.fromkeys((*STEPS[job.unit], job.step))]
        choose("Smallest fraction", steps, lambda step: self._correct(step=step), job.step)

    def _ask_sure(self) -> None:
        job = self._here
        options = [(one, sure_words(one)) for one in sorted({*SURE, job.confidence})]
        choose("So sure before cutting", options, lambda sure: self._correct(confidence=sure), job.confidence)

    def _ask_level(self) -> None:
        from survey.app.widgets.number_sheet import ask_length

        job = self._here

        def done(text: str) -> None:
            self._correct(level_line=TypedLength(text, job.unit) if text else None)

        told = job.level_line.text if job.level_line is not None and job.level_line.unit == job.unit else ""
        ask_length(self.app, "Level line's height", done, text=told)

    def _ask_mark(self) -> None:
        ask_words(
            "How the line is marked",
            lambda words: self._correct(datum_mark=words),
            text=self._here.datum_mark,
            hint="Laser line, one metre up",
        )

    def _ask_agreed(self) -> None:
        ask_words(
            "Heights and hands agreed with",
            lambda words: self._correct(agreed=words),
            text=self._here.agreed,
            hint="Client: top at 34 1/2",
        )

    @property
    def _here(self) -> Job:
        job = self._job
        assert job is not None
        return job

    # The device

    def _device_rows(self) -> None:
        rows, settings = self.ids.device, self.app.desk.settings
        for one in DEVICE:
            answer = dict(one.options).get(getattr(settings, one.name), "")
            self._row(rows, one.words, answer, partial(self._ask, one))
        self._row(
            rows, "Your initials, put beside what you read", settings.initials, self._ask_initials, "none"
        )

    def _ask(self, one: Choice) -> None:
        now = getattr(self.app.desk.settings, one.name)
        choose(one.words, one.options, lambda value: self._set(one.name, value), now)

    def _ask_initials(self) -> None:
        ask_words(
            "Your initials",
            lambda words: self._set("initials", words[:80]),
            text=self.app.desk.settings.initials,
        )

    def _set(self, name: str, value: Any) -> None:
        """Keep it, and let it count at once."""
        setattr(self.app.desk.settings, name, value)
        self.app.desk.keep()
        self.app.dress()
        if self.app.visit is not None:
            self.app.visit.hand = self.app.hand
        self.refresh()

    def _row(self, rows: Any, words: str, answer: str, act: Callable[[], None], hint: str = "") -> None:
        row = self._put.get(words)
        if row is None or row.parent is not rows:
            row = self._put[words] = FormRow(words=words, hint=hint)
            row.bind(on_release=lambda _: act())
            rows.add_widget(row)
        row.answer = answer


load_kv(__file__)

"""The jobs on this device: the newest first, a new one, samples to try, and a file from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from survey.app.beside import beside
from survey.app.look import look
from survey.app.page import Page, load_kv
from survey.app.plain import Key, Pressable, Quiet, Row, Words
from survey.app.widgets import column as _column  # noqa: F401  the rules name it

if TYPE_CHECKING:
    from survey.app.shelf import Shelved

MANY: Final = 6
"""Jobs from which on there is something to search."""
MOST: Final = 60
"""Jobs that are listed; more are found by their titles."""


class JobRow(Row):
    """A job: its title, what is in it and when it was changed, and a key to copy it."""

    title = StringProperty()
    told = StringProperty()
    problem = StringProperty()
    copy = ObjectProperty(None)
    """What its key does."""

    def __init__(self, **given: Any) -> None:
        """Put the key where the thumb is; a file that cannot be read has none."""
        super().__init__(**given)
        key = self.ids.copy_key
        if self.problem or look.is_left_handed:
            self.remove_widget(key)
        if look.is_left_handed and not self.problem:
            self.add_widget(key, len(self.children))


class SampleRow(Row):
    """A sample job and what it is about."""

    title = StringProperty()
    told = StringProperty()


class WordKey(Pressable, Label):
    """A word that can be pressed, for what a row offers besides itself."""


class JobsKey(Key):
    """A key with small words, for what is not the page's main business."""


class JobsPage(Page):
    """Lists the jobs."""

    title = "Jobs"
    is_wide = BooleanProperty(False)
    is_many = BooleanProperty(False)

    def shown(self) -> None:
        """Read the folder beside the screen."""
        self._jobs: tuple[Shelved, ...] = ()
        self._arrange_soon = Clock.create_trigger(self._arrange)
        self.bind(size=self._arrange_soon)
        look.fbind("small", self._arrange_soon)
        look.fbind("is_left_handed", self._arrange_soon)
        self._arrange()
        self._load()

    def left(self) -> None:
        """Follow the look no longer."""
        for name in ("small", "is_left_handed"):
            look.funbind(name, self._arrange_soon)

    def find(self) -> None:
        """List the jobs whose titles have the words that are typed."""
        from survey.app.shelf import search

        self.ids.rows.pour(self._job_rows(search(self._jobs, self.ids.search.text)))

    def new_job(self) -> None:
        """Go and name a new job."""
        self.app.go("new_job")

    # Lists

    def _load(self) -> None:
        folder = self.app.desk.jobs

        def work() -> tuple[Shelved, ...]:
            from survey.app.shelf import shelved

            return shelved(folder)

        beside(self.app, work, self._loaded)

    def _loaded(self, jobs: tuple[Shelved, ...]) -> None:
        self._jobs = jobs
        self.is_many = len(jobs) > MANY
        if jobs:
            self.find()
        else:
            self.ids.rows.pour(self._first_steps())

    def _job_rows(self, jobs: tuple[Shelved, ...]) -> Iterator[Widget]:
        from survey.app.shelf import when

        today = datetime.now().astimezone()
        for job in jobs[:MOST]:
            changed = when(job.changed.astimezone(), today)
            told, copy = f"{_in_it(job)}, {changed}", partial(self._copy, job)
            row = JobRow(title=job.title, told=told, problem=job.problem, copy=copy)
            row.bind(on_release=lambda _, path=job.path: self.app.open_job(path))
            yield row
        if len(jobs) > MOST:
            yield Quiet(text=f"And {len(jobs) - MOST} more: search for a word of the title.", padding=dp(16))
        elif not jobs:
            yield Words(text="No title has these words.", padding=dp(16))

    def _first_steps(self) -> Iterator[Widget]:
        """Say what to do first where there is no job yet."""
        from survey.samples import sample_names, told

        yield Words(text="No jobs yet. Begin with “New job”: one job is one room.", padding=dp(16))
        yield Quiet(text="Or try one that is measured already:", padding=[dp(16), dp(8)])
        for name in sample_names():
            row = SampleRow(title=_titled(name), told=told(name))
            row.bind(on_release=lambda _, name=name: self._try(name))
            yield row

    # What the keys do

    def _arrange(self, *_: object) -> None:
        """Lay the keys under the thumb: beside the list where it is wide, three abreast where they fit."""
        self.is_wide = self.width > self.height * 1.1 and self.width > dp(520)
        keys = self.ids.others
        keys.clear_widgets()
        acts = {"Sample jobs": self._samples, "Open a file": self._open_file, "Settings": self._settings}
        room = self.width / 3 if not self.is_wide else self.ids.foot.width
        high = self.height if self.is_wide else look.small * 20
        if room < look.small * 4.6 + dp(24) or high < look.small * 16:
            acts = {"More": self._more}
        keys.orientation = "vertical" if self.is_wide else "horizontal"
        for words, act in acts.items():
            key = JobsKey(text=words)
            key.bind(on_release=lambda _, act=act: act())
            keys.add_widget(key)
        self.ids.sides.clear_widgets()
        parts = [self.ids.list, self.ids.foot]
        for part in reversed(parts) if self.is_wide and look.is_left_handed else parts:
            self.ids.sides.add_widget(part)

    def _more(self) -> None:
        from survey.app.widgets.sheet import choose

        acts = (
            ("Sample jobs", self._samples),
            ("Open a file", self._open_file),
            ("Settings", self._settings),
        )
        choose("Jobs", [(act, words) for words, act in acts], lambda act: act())

    def _settings(self) -> None:
        self.app.go("settings")

    def _samples(self) -> None:
        from survey.app.widgets.sheet import choose
        from survey.samples import sample_names, told

        options = [(name, f"{_titled(name)}: {told(name)}") for name in sample_names()]
        choose("Sample jobs: a copy to try", options, self._try)

    def _try(self, name: str) -> None:
        folder = self.app.desk.jobs

        def work() -> Path:
            from survey.app.shelf import put_on
            from survey.samples import sample_survey

            return put_on(sample_survey(name), folder)

        beside(self.app, work, lambda path: self.app.open_job(path))

    def _open_file(self) -> None:
        from survey.app.widgets.file_choice import choose_file

        choose_file("Open a survey file", [".survey"], lambda path: self.app.open_job(path))

    def _copy(self, job: Shelved) -> None:
        from survey.app.widgets.sheet import ask_words

        def work(title: str) -> Path:
            from survey.app.shelf import copied

            return copied(job.path, self.app.desk.jobs, title, self.app.hand)

        def asked(title: str) -> None:
            if title:
                beside(self.app, partial(work, title), lambda _: self._copied(title))

        ask_words("The copy's title", asked, text=f"{job.title}, copy")

    def _copied(self, title: str) -> None:
        self.app.tell(f"Copied: {title}.")
        self._load()


def _in_it(job: Shelved) -> str:
    readings = "1 reading" if job.readings == 1 else f"{job.readings} readings"
    return f"{readings}, 1 piece" if job.pieces == 1 else f"{readings}, {job.pieces} pieces"


def _titled(name: str) -> str:
    return name.replace("-", " ").capitalize()


load_kv(__file__)

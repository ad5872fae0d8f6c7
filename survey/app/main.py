"""The app: it holds the desk, the open job and its latest report, and goes from page to page."""

from __future__ import annotations

import platform as machine
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.app import App
from kivy.base import ExceptionHandler, ExceptionManager
from kivy.clock import Clock, mainthread
from kivy.core.window import Window

from survey.app.desk import Desk, Stop
from survey.app.keyboard import ENTER, ESCAPE, PAD_ENTER, SPACE, TAB, Ring
from survey.app.look import look
from survey.app.page import WITHOUT_JOB, page_class
from survey.app.platform import Platform, this_platform
from survey.app.shell import Shell
from survey.errors import SurveyError

if TYPE_CHECKING:
    from survey.app.answers import Answer, Answers
    from survey.app.visit import Visit
    from survey.records.hand import Hand
    from survey.report.structs import FitReport

CALM_AFTER = 0.3
"""Seconds without a further change until the report is worked out."""


class ScribefitApp(App):
    """The app.

    Parameters
    ----------
    home
        The folder of the desk and of the jobs that are kept on this device.
    file
        A survey file to open at once.
    platform
        What only the device can do; by default that of this one.
    """

    title = "Scribefit"

    def __init__(
        self, home: Path | None = None, file: Path | None = None, platform: Platform | None = None
    ) -> None:
        """Take up the desk."""
        super().__init__()
        self.platform = platform or this_platform()
        self.desk = Desk(home or self.platform.home())
        self.visit: Visit | None = None
        self.report: FitReport | None = None
        self.is_fresh = False
        """Whether the report is that of the survey as it is now."""
        self._first_file = file
        self._answers: Answers | None = None
        self._ask_soon = Clock.create_trigger(self._ask, CALM_AFTER)
        self.shell: Shell | None = None
        self._ring: Ring | None = None
        self._calm = _Calm(self)

    # Life

    def build(self) -> Shell:
        """Put the frame up; once it is drawn, go where the person was, so that no file delays the window."""
        self.dress()
        self.shell = Shell(self)
        self._ring = Ring(self.shell)
        self.shell.insets = self.platform.insets()
        Clock.schedule_once(lambda _: Clock.schedule_once(self._begin))
        return self.shell

    def on_start(self) -> None:
        """Listen to keys, to the way back and to what goes wrong."""
        Window.bind(on_key_down=self._on_key, on_keyboard=self._on_back, on_request_close=self._on_close)
        ExceptionManager.add_handler(self._calm)

    def on_pause(self) -> bool:
        """Everything is saved already; come back to where it was."""
        return True

    def on_resume(self) -> None:
        """Draw anew: a phone may have dropped the window's pictures."""
        Window.canvas.ask_update()

    def on_stop(self) -> None:
        """Let go; readings are on the disk since they were saved."""
        Window.unbind(on_key_down=self._on_key, on_keyboard=self._on_back, on_request_close=self._on_close)
        ExceptionManager.remove_handler(self._calm)
        if self.shell is not None and self.shell.page is not None:
            self.shell.page.left()  # what it was still to do a moment later finds no job any more
        if self._answers is not None:
            self._answers.end()
            self._answers = None
        if self.visit is not None:
            self.visit.close()
            self.visit = None

    def dress(self) -> None:
        """Put the chosen look on."""
        settings = self.desk.settings
        look.wear(settings.theme, settings.text_size, settings.hand)
        Window.clearcolor = look.paper

    @property
    def hand(self) -> Hand:
        """Who puts records down, and on what."""
        from survey.records.hand import Hand

        return Hand(self.desk.settings.initials, f"app on {machine.system() or 'a phone'}")

    # Jobs

    def open_job(self, path: Path, page: str = "measure") -> bool:
        """Open a survey file and show a page of it; where it cannot be, its own page says why."""
        from survey.app.visit import Visit

        try:
            visit = Visit(path, self.hand)
        except SurveyError:
            self.desk.kept.trail = [Stop("jobs")]
            self.go("unreadable", path=str(path))
            return False
        self._hold(visit)
        self.desk.kept.trail = [Stop("jobs")]
        self.go(page)
        return True

    def close_job(self) -> None:
        """Leave the open job."""
        if self.visit is not None:
            self.visit.close()
        self.visit, self.report, self.is_fresh = None, None, False
        self.desk.kept.job = ""
        self._name_job()

    def _hold(self, visit: Visit) -> None:
        if self.desk.kept.job != str(visit.path):
            self.desk.kept.templates = []
        self.close_job()
        self.visit = visit
        visit.on_change.append(self._changed)
        self.desk.kept.job = str(visit.path)
        self._name_job()
        self._ask_soon()

    def _begin(self, *_: object) -> None:
        if self._first_file is not None:
            self.open_job(self._first_file)
        else:
            self._take_up()

    def _take_up(self) -> None:
        """Go where the person was before the app was left or killed."""
        from survey.app.visit import Visit

        trail, job = self.desk.kept.trail, self.desk.kept.job
        if job:
            try:
                self._hold(Visit(Path(job), self.hand))
            except SurveyError:
                self.desk.kept.trail = [Stop("jobs")]
                self.go("unreadable", path=job)
                return
        if not trail or (self.visit is None and any(stop.page not in WITHOUT_JOB for stop in trail)):
            self.desk.kept.trail = [Stop("jobs")]
        self._show()

    # Going

    def go(self, page: str, **given: str) -> None:
        """Go on to a page."""
        self.desk.kept.trail.append(Stop(page, given))
        self._show()

    def swap(self, page: str, **given: str) -> None:
        """Go on to a page in place of this one: the way back leads to the one before."""
        assert self.shell is not None
        self.desk.kept.trail[-1:] = [Stop(page, given)]
        here = self.shell.page
        if isinstance(here, page_class(page)) and here.turn(**given):
            self.desk.keep()
            return
        self._show()

    def go_to_place(self, name: str) -> None:
        """Go to one of the four places."""
        self.desk.kept.trail = [Stop("jobs"), Stop(name)]
        self._show()

    def back(self) -> bool:
        """Go a step back: within the page, then to the page before; False at the very first."""
        assert self.shell is not None
        if self.shell.page is not None and self.shell.page.back():
            return True
        trail = self.desk.kept.trail
        if len(trail) < 2:
            return False
        trail.pop()
        if trail[-1].page == "jobs":
            self.close_job()
        self._show()
        return True

    def _show(self) -> None:
        assert self.shell is not None
        assert self._ring is not None
        stop = self.desk.kept.trail[-1]
        self._ring.clear()
        self.shell.has_back = len(self.desk.kept.trail) > 1
        self.desk.keep()
        self.shell.show(page_class(stop.page)(self, **stop.given))

    # Changes

    def tell(self, words: str, undoes: bool = False) -> None:
        """Say something in a line at the bottom."""
        assert self.shell is not None
        self.shell.tell(words, undoes)

    def undo(self) -> None:
        """Take back the last act of the open job."""
        if self.visit is None:
            return
        try:
            self.tell("Taken back." if self.visit.undo() else "Nothing to undo.")
        except SurveyError as error:
            self.tell(str(error))

    def _changed(self) -> None:
        self.is_fresh = False
        self._name_job()
        self._refresh()
        self._ask_soon()

    def _refresh(self) -> None:
        if self.shell is not None and self.shell.page is not None:
            self.shell.page.refresh()

    def _name_job(self) -> None:
        if self.shell is None:
            return
        job = self.visit.survey.job if self.visit is not None else None
        self.shell.job = job.title if job is not None else ""
        self.shell.can_undo = self.visit is not None and self.visit.can_undo

    def _ask(self, *_: object) -> None:
        if self.visit is None:
            return
        if self._answers is None:
            from survey.app.answers import Answers

            self._answers = Answers(self._answered)
        self._answers.ask(self.visit.survey)

    @mainthread
    def _answered(self, answer: Answer) -> None:
        if self.visit is None or answer.survey is not self.visit.survey:
            return
        if answer.error is not None:
            self.broke(answer.error)
            return
        self.report, self.is_fresh = answer.report, True
        self._refresh()

    # What goes wrong

    def broke(self, error: BaseException) -> None:
        """Keep what happened in a log, and show the calm page."""
        from survey.app.mishap import keep_log

        log = keep_log(self.desk.home, error)
        if self.shell is not None and not (self.shell.page is not None and self.shell.page.given.get("log")):
            self.go("mishap", log=str(log or ""))

    # Keys

    def _on_key(self, _window: Any, code: int, _scan: int, text: str | None, mods: list[str]) -> bool:
        assert self.shell is not None
        assert self._ring is not None
        if code == ESCAPE:
            return False
        if _is_typing(self.shell):
            return False
        if code == TAB:
            if not self._page_takes(code, text, mods):
                self._ring.go(-1 if "shift" in mods else 1)
            return True
        if code in (ENTER, PAD_ENTER, SPACE) and self._ring.press():
            return True
        if "ctrl" in mods and code == ord("z"):
            self.undo()
            return True
        is_taken = self._page_takes(code, text, mods)
        if is_taken:
            self._ring.clear()  # what is typed now is no answer to what was ringed
        return is_taken

    def _page_takes(self, code: int, text: str | None, mods: list[str]) -> bool:
        assert self.shell is not None
        page = self.shell.page
        return page is not None and page.key(code, text or "", list(mods))

    def _on_back(self, _window: Any, code: int, *_: object) -> bool:
        if code != ESCAPE:
            return False
        if not self.back():
            self.platform.leave()
        return True

    def _on_close(self, *_: object, **given: object) -> bool:
        return given.get("source") == "keyboard"


def _is_typing(shell: Shell) -> bool:
    from survey.app.plain import Field

    return any(isinstance(each, Field) and each.focus for each in shell.walk())


class _Calm(ExceptionHandler):
    """Shows the calm page in place of a traceback; what was saved stays saved."""

    def __init__(self, app: ScribefitApp) -> None:
        self.app = app

    def handle_exception(self, inst: BaseException) -> Any:
        """Keep a log and go on; a person's wish to stop is granted."""
        if isinstance(inst, (KeyboardInterrupt, SystemExit)) or self.app.shell is None:
            return ExceptionManager.RAISE
        self.app.broke(inst)
        return ExceptionManager.PASS

"""The fit report of the open job, worked out beside the screen.

One thread works; while it does, only the latest survey waits. Python lets threads take turns every
`TURN` seconds, so that the screen never waits longer than that for its own.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from survey.records import Survey
    from survey.report.structs import FitReport

TURN = 0.001


@dataclass(frozen=True)
class Answer:
    """The report of a survey as it was then, or why there is none."""

    survey: Survey
    report: FitReport | None
    error: BaseException | None = None


class Answers:
    """Works out the report of the latest survey that was asked about.

    `on_answer` is called from the working thread; the app passes it on to its own.
    """

    def __init__(self, on_answer: Callable[[Answer], None]) -> None:
        """Begin to wait for surveys."""
        self._on_answer = on_answer
        self._waiting: Survey | None = None
        self._wake = threading.Condition()
        self._is_ended = False
        sys.setswitchinterval(TURN)
        self._thread = threading.Thread(target=self._work, name="answers", daemon=True)
        self._thread.start()

    def ask(self, survey: Survey) -> None:
        """Ask about a survey; one that still waits is forgotten."""
        with self._wake:
            self._waiting = survey
            self._wake.notify()

    def end(self) -> None:
        """Ask nothing more; what is being worked out is told to nobody."""
        with self._wake:
            self._is_ended = True
            self._waiting = None
            self._wake.notify()

    def _work(self) -> None:
        while True:
            with self._wake:
                while self._waiting is None and not self._is_ended:
                    self._wake.wait()
                if self._is_ended:
                    return
                survey, self._waiting = self._waiting, None
            assert survey is not None
            answer = _answer(survey)
            with self._wake:
                if self._is_ended:
                    return
            self._on_answer(answer)


def _answer(survey: Survey) -> Answer:
    from survey.findings import fit

    try:
        return Answer(survey, fit(survey))
    except Exception as error:  # told on the calm page, kept in the log
        return Answer(survey, None, error)

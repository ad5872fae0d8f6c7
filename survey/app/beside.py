"""Work beside the screen: done in a thread, its answer brought back to the app's own."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from kivy.clock import mainthread

from survey.errors import SurveyError

if TYPE_CHECKING:
    from survey.app.main import ScribefitApp

Answer = TypeVar("Answer")


def beside(
    app: ScribefitApp,
    work: Callable[[], Answer],
    done: Callable[[Answer], object],
    failed: Callable[[SurveyError], object] | None = None,
) -> None:
    """Work without holding up the screen; `done` gets what came of it, on the app's thread.

    A refusal goes to `failed`, or is said in a line; anything unexpected leads to the calm page. After the
    app has ended nobody is told. The thread keeps the program alive until it is done, so that closing the
    window leaves no file half-written.
    """

    @mainthread
    def tell(then: Callable[[], object]) -> None:
        if app.shell is not None and app.shell.get_root_window() is not None:
            then()

    def run() -> None:
        try:
            answer = work()
        except SurveyError as error:
            refused = error
            tell(lambda: (failed or _said(app))(refused))
        except Exception as error:  # told on the calm page, kept in the log
            unexpected = error
            tell(lambda: app.broke(unexpected))
        else:
            tell(lambda: done(answer))

    threading.Thread(target=run, name="beside").start()


def _said(app: ScribefitApp) -> Callable[[SurveyError], None]:
    return lambda error: app.tell(str(error))

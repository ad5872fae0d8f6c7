"""The calm page: something unexpected happened, nothing is lost, and here is what to do."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class MishapPage(Page):
    """Shown in place of a traceback; `log` is where the details were kept, empty where they could not be."""

    title = "Something went wrong"

    def shown(self) -> None:
        """Say where the details are."""
        log = self.given.get("log", "")
        self.ids.details.text = f"The details are in\n{log}" if log else "The details could not be kept."

    def go_on(self) -> None:
        """Go back to what was there before."""
        self.app.back()


load_kv(__file__)

"""Hand over."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class HandoverPage(Page):
    """Hand over."""

    title = "Hand over"
    place = "handover"


load_kv(__file__)

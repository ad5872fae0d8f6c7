"""Reading."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class EntryPage(Page):
    """Reading."""

    title = "Reading"
    place = "measure"


load_kv(__file__)

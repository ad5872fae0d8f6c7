"""A survey file that cannot be opened: why, and what can still be read of it."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class UnreadablePage(Page):
    """Says why the file at `path` cannot be opened."""

    title = "This file cannot be opened"


load_kv(__file__)

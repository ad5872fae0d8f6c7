"""Settings."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class SettingsPage(Page):
    """Settings."""

    title = "Settings"


load_kv(__file__)

"""Fit."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class FitPage(Page):
    """Fit."""

    title = "Fit"
    place = "fit"


load_kv(__file__)

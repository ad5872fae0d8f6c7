"""Measure."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class MeasurePage(Page):
    """Measure."""

    title = "Measure"
    place = "measure"


load_kv(__file__)

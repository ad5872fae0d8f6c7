"""The jobs on this device."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class JobsPage(Page):
    """Lists the jobs."""

    title = "Jobs"


load_kv(__file__)

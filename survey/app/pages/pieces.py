"""Pieces."""

from __future__ import annotations

from survey.app.page import Page, load_kv


class PiecesPage(Page):
    """Pieces."""

    title = "Pieces"
    place = "pieces"


load_kv(__file__)

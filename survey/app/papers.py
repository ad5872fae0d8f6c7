"""Which papers and files go into a hand-over, as a person chose them on this device."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from survey.app.desk import BookPaper, Outlines, Settings

if TYPE_CHECKING:
    from survey.handover.book.paper import PaperName
    from survey.handover.wanted import Form, Wanted
    from survey.report.structs import FitReport

BOOK_PAPERS: Final[dict[BookPaper, str]] = {
    "as the unit": "Letter for inches, A4 for millimetres",
    "A4": "A4",
    "Letter": "Letter",
}
OUTLINES: Final[dict[Outlines, tuple[str, tuple[Form, ...]]]] = {
    "dxf": ("DXF", ("r2000",)),
    "dxf r12": ("DXF for older programs (R12)", ("r12",)),
    "svg": ("SVG", ("svg",)),
    "dxf and svg": ("DXF and SVG", ("r2000", "svg")),
}
"""What is chosen: its words, and the forms that are written."""


def with_outline(report: FitReport) -> list[str]:
    """Name the pieces of which a machine or a template can have the outline."""
    return [one.name for one in report.pieces if one.has_outline]


def template_paper(settings: Settings, unit: str) -> str:
    """Return the paper that templates are printed on.

    >>> template_paper(Settings(book_paper="A4"), "in"), template_paper(Settings(), "in")
    ('A4', 'Letter')
    """
    from survey.handover.book.paper import paper_named

    return settings.template_paper or paper_named(unit, _book_paper(settings))


def wanted(settings: Settings, templates: Sequence[str], report: FitReport) -> Wanted:
    """Return what is asked for; a template of a piece that has no outline now is left out."""
    from survey.handover.template import TemplateAsked
    from survey.handover.tiling import paper_named
    from survey.handover.wanted import Wanted

    paper = paper_named(template_paper(settings, report.unit))
    return Wanted(
        templates=tuple(TemplateAsked(one, paper) for one in with_outline(report) if one in templates),
        outlines=OUTLINES[settings.outlines][1],
        paper=_book_paper(settings),
    )


def _book_paper(settings: Settings) -> PaperName | None:
    return None if settings.book_paper == "as the unit" else settings.book_paper

"""What a hand-over shall hold beyond what it always holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from survey.handover.book.paper import PaperName
from survey.handover.sizes import Sizes
from survey.handover.template import TemplateAsked
from survey.records import Survey
from survey.report.structs import FitReport

Form = Literal["r2000", "r12", "svg"]
"""How an outline is written for a machine: DXF of either version, or SVG true to size."""
FORMS: Final[tuple[Form, ...]] = ("r2000", "r12", "svg")


@dataclass(frozen=True)
class Wanted:
    """What is asked for.

    Attributes
    ----------
    templates : tuple of TemplateAsked
        Full-size templates on paper.
    outlines : tuple of Form
        How outlines are written; each in its own file.
    sizes : Sizes
        In the cut list and the saw list.
    paper : PaperName or None
        Of the job book; absent: Letter for inches, A4 for millimetres.
    pages : bool
        The job book's pages as PNG pictures too.
    before : tuple of Survey and FitReport, or None
        An earlier revision: the job book shows what changed since then.
    """

    templates: tuple[TemplateAsked, ...] = ()
    outlines: tuple[Form, ...] = ("r2000",)
    sizes: Sizes = "as printed"
    paper: PaperName | None = None
    pages: bool = False
    before: tuple[Survey, FitReport] | None = None

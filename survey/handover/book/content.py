"""What a job book is made of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import msgspec

from survey.dictation import say
from survey.handover.book.paper import Sheet
from survey.quantity import read_step, round_length, write_length
from survey.records import Survey
from survey.report.chance_words import step_words
from survey.report.structs import FitReport


@dataclass(frozen=True)
class Book:
    """A survey, what `fit` says of it, and the paper.

    Attributes
    ----------
    before : tuple of Survey and FitReport, or None
        An earlier revision: what changed since then is shown.
    """

    survey: Survey
    report: FitReport
    sheet: Sheet
    before: tuple[Survey, FitReport] | None = None

    @property
    def width(self) -> float:
        """Between the margins, mm."""
        return self.sheet.width

    @property
    def unit(self) -> str:
        """The job's unit."""
        return self.report.unit

    @cached_property
    def step(self) -> str:
        """The job's smallest fraction, in words."""
        return step_words(self.report.step, self.report.unit)

    def length(self, mm: float) -> str:
        """Write a length to the job's smallest fraction, its unit with it."""
        step = read_step(self.report.step)
        return write_length(round_length(mm, step, "nearest"), step)

    @cached_property
    def again(self) -> tuple[str, ...]:
        """The readings to repeat before cutting, as they were dictated."""
        records = [self.survey.by_id[one] for one in self.report.room.repeat if one in self.survey.by_id]
        return tuple(say(msgspec.structs.replace(one, replaces=()), self.report.unit) for one in records)

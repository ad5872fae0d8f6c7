"""What observing a survey gives: the plan, the readings of the fitting, and words for each."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Literal

from fitting.site import (
    Along,
    CornerTurn,
    Distance,
    Gaps,
    Height,
    Known,
    Leaning,
    Level,
    Plan,
    Prior,
    Touch,
)
from survey.finding import Finding

SiteReading = Distance | Along | CornerTurn | Gaps | Leaning | Level | Height | Touch | Known


@dataclass(frozen=True)
class What:
    """What a reading of the fitting is, for a person.

    `words` as in `diagonal of corner left-back`; residuals are said in `unit` (the fitting's are mm or
    radians); `record` is the id of the record that was put down; `at` names each number of a reading
    that has several.
    """

    words: str
    unit: Literal["mm", "deg"]
    record: str
    at: tuple[str, ...] = ()


@dataclass(frozen=True)
class Seen:
    """One reading of the fitting and what it is."""

    reading: SiteReading
    what: What


@dataclass(frozen=True)
class Observed:
    """The inputs of the fitting that a survey gives.

    `plan` is nothing where the walls make none; the findings say why. `what` has an entry for the key of
    every reading; a key is the record's id, or `(id, part)` where one record gives several.
    """

    plan: Plan | None
    readings: tuple[SiteReading, ...]
    prior: Prior
    findings: tuple[Finding, ...]
    what: dict[Hashable, What]

"""The way in, what is lifted and the day of installation as lines of text."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from survey.cli.print_findings import WIDTH

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from survey.report.structs import FitReport, OrderStep, PieceReport

_INDENT: Final = 6


def order_lines(report: FitReport) -> list[str]:
    """The day, step by step: what is done, why then, what is looked at first."""
    lines = [line for step in report.order for line in _step(step)]
    return ["", "The day of installation, in this order", *lines] if lines else []


def way_words(piece: PieceReport) -> Iterator[str]:
    """Give what is said of each thing that a piece must get past, and what would help where it does not."""
    for step in piece.way:
        yield step.says
        yield from (f"would help: {one}" for one in step.helps)


def _step(step: OrderStep) -> list[str]:
    lines = _wrapped(f"{step.number:>4}  ", step.says)
    if step.why:
        lines += _wrapped(" " * _INDENT, f"why now: {step.why}")
    return lines + _checked(step.check)


def _checked(checks: Iterable[str]) -> list[str]:
    return [line for one in checks for line in _wrapped(" " * _INDENT, f"look first: {one}")]


def _wrapped(first: str, text: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=" " * _INDENT, break_on_hyphens=False
    )

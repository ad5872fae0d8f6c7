"""Sizes as they are printed: rounded once, in the direction that is safe, to the job's smallest fraction.

Wood that must cover rounds up, wood that must pass rounds down, notches round larger; everything that a
report prints goes through here, so that finished + allowance = blank still holds on paper.
"""

from __future__ import annotations

from dataclasses import dataclass

from survey.quantity import Direction, Step, round_length, write_length
from survey.report.structs import Dimension, NamedDimension


@dataclass(frozen=True)
class Printer:
    """Rounds and prints lengths for one job.

    >>> from survey.quantity import read_step
    >>> Printer(read_step("1/16")).near(100.0).text
    '3 15/16 in'
    """

    step: Step

    def near(self, mm: float) -> Dimension:
        """Print the nearest graduation: what is only looked at or compared."""
        return self._to(mm, "nearest")

    def up(self, mm: float) -> Dimension:
        """Print the next graduation up: wood that must cover."""
        return self._to(mm, "up")

    def down(self, mm: float) -> Dimension:
        """Print the next graduation down: wood that must pass."""
        return self._to(mm, "down")

    def named(self, name: str, mm: float) -> NamedDimension:
        """Print something measured on site, nearest, with its name."""
        return NamedDimension(name, self.near(mm))

    def _to(self, mm: float, direction: Direction) -> Dimension:
        cut = round_length(mm, self.step, direction)
        return Dimension(round(float(mm), 4), float(cut), write_length(cut, self.step))

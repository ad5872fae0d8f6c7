"""What dictation refuses: every line that could not be understood, each with its place."""

from __future__ import annotations

from dataclasses import dataclass

from survey.errors import SurveyError

_MOST_SHOWN = 20


@dataclass(frozen=True)
class Problem:
    """What is the matter with one line; `place` is an index into `line`, or None for all of it."""

    number: int
    line: str
    place: int | None
    says: str

    def __str__(self) -> str:
        """The sentence, then the line with a caret under the place."""
        shown, place = _around(self.line, self.place or 0)
        caret = "" if self.place is None else f"\n    {' ' * place}^"
        return f"line {self.number}: {self.says}\n    {shown}{caret}"


class DictationError(SurveyError, ValueError):
    """Lines that could not be understood; none of them, nor of their neighbours, was taken."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        """Keep the problems; the message shows the first of them."""
        super().__init__(problems)
        self.problems = problems

    def __str__(self) -> str:
        """All problems, or the first twenty and how many more there are."""
        shown = [str(problem) for problem in self.problems[:_MOST_SHOWN]]
        more = len(self.problems) - _MOST_SHOWN
        return "\n".join([*shown, f"and {more} more lines"] if more > 0 else shown)


def _around(line: str, place: int, width: int = 96) -> tuple[str, int]:
    """Give the part of a long line around a place, and the place in that part."""
    start = max(0, place - width // 2) if len(line) > width else 0
    part = line[start : start + width].replace("\t", " ")
    return part, place - start

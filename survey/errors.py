"""Errors of the survey.

SurveyError
 ├── QuantityError   (ValueError)  a length or angle that cannot be read; knows the place in the text
 ├── RecordError     (ValueError)  a record that breaks the rules of its kind
 ├── FileError       (OSError)     a survey file that cannot be opened or written
 ├── TextError       (ValueError)  a text form that is not a survey
 ├── DictationError  (ValueError)  lines that cannot be understood (in `survey.dictation.errors`)
 └── DrawingError    (ValueError)  a picture that cannot be laid out (in `survey.drawing.errors`)
"""


class SurveyError(Exception):
    """Base of every refusal of the survey."""


class QuantityError(SurveyError, ValueError):
    """A length or angle that cannot be read.

    `text` is what was typed and `place` the index of the character where reading stopped.
    """

    def __init__(self, problem: str, text: str, place: int) -> None:
        """Keep the parts; the message shows the text with a caret under the place."""
        super().__init__(problem, text, place)
        self.problem = problem
        self.text = text
        self.place = place

    def __str__(self) -> str:
        """Say the problem, then point at it."""
        return f"{self.problem}\n  {self.text}\n  {' ' * self.place}^"


class RecordError(SurveyError, ValueError):
    """A record that breaks the rules of its kind."""


class FileError(SurveyError, OSError):
    """A survey file that cannot be opened or written."""


class TextError(SurveyError, ValueError):
    """A text form that is not a survey."""

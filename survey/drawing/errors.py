"""Errors of the drawings.

SurveyError
 └── DrawingError   (ValueError)   a picture that cannot be described, laid out or written
"""

from survey.errors import SurveyError


class DrawingError(SurveyError, ValueError):
    """A picture that cannot be described, laid out or written; the message says what to do."""

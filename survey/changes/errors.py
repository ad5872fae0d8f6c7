"""Errors of comparing revisions."""

from __future__ import annotations

from survey.errors import SurveyError


class ComparisonError(SurveyError, ValueError):
    """Two surveys that are not compared, or a revision that is not found."""

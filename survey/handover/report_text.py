"""A fit report as JSON."""

from __future__ import annotations

import msgspec

from survey.errors import SurveyError
from survey.report.structs import FitReport


def report_text(report: FitReport) -> bytes:
    """Write a fit report as JSON.

    Raises
    ------
    SurveyError
        The report holds NaN or infinity, which JSON cannot say.
    """
    text = msgspec.json.encode(report)
    try:
        is_same = msgspec.json.decode(text, type=FitReport) == report
    except msgspec.ValidationError as error:
        raise SurveyError(f"the fit report holds what is no number: {error}; fit again") from error
    if not is_same:
        raise SurveyError("the fit report cannot be written and read back the same; fit again")
    return msgspec.json.format(text, indent=1) + b"\n"

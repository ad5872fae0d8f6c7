"""The samples' surveys and reports, each worked out once for all tests of a run."""

from functools import cache

from survey.findings import fit
from survey.records import Survey
from survey.report.structs import FitReport
from survey.samples import sample_survey


@cache
def sample_report(name: str) -> FitReport:
    return fit(survey_of(name))


@cache
def survey_of(name: str) -> Survey:
    return sample_survey(name)

"""The survey file: one SQLite file per job, records and photos, only ever added to.

Only the standard library's `sqlite3` is used, because a phone's first frame waits for this.
"""

from survey.file.layout import APPLICATION_ID, VERSION
from survey.file.surveyfile import SurveyFile

__all__ = ["APPLICATION_ID", "VERSION", "SurveyFile"]

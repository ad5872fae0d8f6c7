"""What changed between two revisions of a survey, and how an earlier revision is found again."""

from survey.changes.compare import Fitted, changes, is_same_job
from survey.changes.errors import ComparisonError
from survey.changes.revisions import earlier, revision_at
from survey.changes.structs import Changes, FindingChange, PieceChange, RecordChange, Revision, Told

__all__ = [
    "Changes",
    "ComparisonError",
    "FindingChange",
    "Fitted",
    "PieceChange",
    "RecordChange",
    "Revision",
    "Told",
    "changes",
    "earlier",
    "is_same_job",
    "revision_at",
]

"""What changed between two revisions of a survey: records, pieces, findings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from survey.changes.compared import told
from survey.changes.errors import ComparisonError
from survey.changes.finding_changes import finding_changes
from survey.changes.outlines import moved_by
from survey.changes.record_changes import corrected_pairs, record_changes
from survey.changes.structs import HARM, Changes, FindingChange, PieceChange, Revision, Told
from survey.changes.verdicts import meaning
from survey.quantity import Step, read_step
from survey.records import Job, Piece, Survey
from survey.report.structs import FitReport, PieceReport

Fitted = tuple[Survey, FitReport]
"""A survey and what `fit` says of it."""


def changes(before: Fitted, after: Fitted, *, anyway: bool = False) -> Changes:
    """Tell what changed from one revision to another; what did not is not told.

    Pieces are compared by name, and by their records where a name was corrected. They come in order of harm:
    first those that were cut to the old paper and cannot be saved.

    Parameters
    ----------
    before, after : Survey and FitReport
        Each report is that of its survey.
    anyway : bool
        Compare surveys of different jobs all the same.

    Raises
    ------
    ComparisonError
        The two are surveys of different jobs: they share no job record.

    Examples
    --------
    >>> from survey.report.structs import RoomReport
    >>> empty = FitReport("scribefit fit report", 3, "", "mm", "1 mm", 0.99, "ab" * 32, RoomReport(), (), ())
    >>> changes((Survey([]), empty), (Survey([]), empty)).is_empty
    True
    """
    (old, old_report), (new, new_report) = before, after
    if not anyway and not is_same_job(old, new):
        raise ComparisonError(
            f"these are surveys of different jobs, {_title(old_report)} and {_title(new_report)}: expected "
            "two revisions of one. Give an earlier revision of this survey, or ask to compare them anyway"
        )
    found = finding_changes(old_report.findings, new_report.findings)
    pieces = sorted(_pieces(before, after, found), key=lambda one: HARM[one.verdict])
    return Changes(
        new_report.title,
        new_report.unit,
        Revision(old_report.revision, old_report.survey_hash),
        Revision(new_report.revision, new_report.survey_hash),
        tuple(_job(old_report, new_report)),
        record_changes(old, new, new_report.unit),
        tuple(pieces),
        found,
    )


def is_same_job(one: Survey, other: Survey) -> bool:
    """Say whether two surveys are of one job: a job record is in both; without any, some other record is.

    An empty survey may be the beginning of any.
    """
    if not one.records or not other.records:
        return True
    jobs = [{record.id for record in each.records if isinstance(record, Job)} for each in (one, other)]
    if all(jobs):
        return bool(jobs[0] & jobs[1])
    return bool(one.by_id.keys() & other.by_id.keys())


def _title(report: FitReport) -> str:
    return f"`{report.title}`" if report.title else "one without a title"


def _job(old: FitReport, new: FitReport) -> Iterator[Told]:
    """Tell what holds for all pieces: how sizes are written, and how sure they are."""
    for what, was, now in (
        ("title", old.title, new.title),
        ("unit", old.unit, new.unit),
        ("smallest fraction", old.step, new.step),
        ("chance of fitting", f"{100 * old.confidence:.4g} %", f"{100 * new.confidence:.4g} %"),
    ):
        if was != now:
            yield Told(what, was, now)
    steps = {one.says for one in old.order}
    other = [str(one.number) for one in new.order if one.says not in steps]
    gone = len(steps - {one.says for one in new.order})
    if other or gone:
        now = f"{'step' if len(other) == 1 else 'steps'} {', '.join(other)} changed" if other else ""
        less = f"{gone} of the earlier ones changed or dropped" if not other else ""
        yield Told("the day of installation:", difference=now or less)


def _pieces(before: Fitted, after: Fitted, found: Sequence[FindingChange]) -> Iterator[PieceChange]:
    reports = (before[1], after[1])
    steps = (_step(reports[0]), _step(reports[1]))
    olds, news = ({piece.name: piece for piece in report.pieces} for report in reports)
    renamed = _renamed(before, after, olds, news)
    for name, now in news.items():
        was_name = name if name in olds and name not in renamed else renamed.get(name, "")
        doubts = tuple(
            one.number for one in found if one.kind == "new" and one.severity != "hint" and name in one.pieces
        )
        if not was_name:
            says = "not on the old paper"
            yield PieceChange(name, now.kind, "new piece", says, doubts=doubts, handed_over=False)
            continue
        was = olds[was_name]
        lines = told(was, now, steps)
        verdict, says = meaning(was, now, max(steps, key=lambda step: step.mm))
        other = was_name if was_name != name else ""
        called = f"it was called {other}" if other else ""
        says = "; ".join(filter(None, (called, says, _doubt(doubts))))
        if lines or other or doubts or verdict != "cut as before":
            handed_over = was.status != "not ready"
            yield PieceChange(name, now.kind, verdict, says, other, lines, doubts, handed_over)
    for name, was in olds.items():
        if name not in renamed.values() and (name not in news or name in renamed):
            says = "do not cut or set it"
            yield PieceChange(name, was.kind, "not wanted", says, handed_over=was.status != "not ready")


def _doubt(numbers: Sequence[int]) -> str:
    """Say that a piece rests on what is in doubt now."""
    if not numbers:
        return ""
    many = "finding" if len(numbers) == 1 else "findings"
    return f"look before you cut or set it: new {many} {', '.join(map(str, numbers))}"


def _step(report: FitReport) -> Step:
    return read_step(report.step)


def _renamed(
    before: Fitted,
    after: Fitted,
    olds: Mapping[str, PieceReport],
    news: Mapping[str, PieceReport],
) -> dict[str, str]:
    """Return of pieces under a new name the old one: by their corrected records, else by their likeness."""
    found: dict[str, str] = {}
    for new_id, old_id in corrected_pairs(before[0], after[0]).items():
        new, old = after[0].by_id[new_id], before[0].by_id[old_id]
        if not (isinstance(new, Piece) and isinstance(old, Piece)) or new.name == old.name:
            continue
        if new.name in news and old.name in olds:
            found[new.name] = old.name
    lost = [piece for name, piece in olds.items() if name not in news and name not in found.values()]
    come = [piece for name, piece in news.items() if name not in olds and name not in found]
    alike = [(was.name, now.name) for was in lost for now in come if _is_alike(was, now)]
    for was_name, name in alike:
        # Of two that are alike nobody knows which is which.
        if sum(was_name == one for one, _ in alike) == 1 and sum(name == one for _, one in alike) == 1:
            found[name] = was_name
    return found


def _is_alike(was: PieceReport, now: PieceReport) -> bool:
    """Say whether two pieces are one and the same but for the name, as far as the saw can tell."""
    if not was.finished or (was.kind, was.material, was.finished) != (now.kind, now.material, now.finished):
        return False
    return moved_by(was, now) < 1.0 and len(was.outline) == len(now.outline)

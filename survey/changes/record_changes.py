"""Which records count now that did not, and which no longer do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from msgspec.structs import replace

from survey.changes.structs import RecordChange
from survey.dictation import say
from survey.errors import RecordError
from survey.records import Record, Survey, Withdrawal, kind_of

ORDER = {"corrected": 0, "withdrawn": 1, "stands again": 2, "added": 3, "not there": 4}
Unit = Literal["in", "mm"]


def corrected_pairs(before: Survey, after: Survey) -> dict[str, str]:
    """Return, by the id of what counts only now, the id of what counted before in its place.

    Either was corrected into the other: taking a correction back is the same way backwards.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> from survey.records import Wall
    >>> day = datetime(2025, 5, 1, tzinfo=UTC)
    >>> old = Wall(id="a1", taken=day, name="bak")
    >>> new = Wall(id="a2", taken=day, name="back", replaces=("a1",))
    >>> corrected_pairs(Survey([old]), Survey([old, new]))
    {'a2': 'a1'}
    >>> corrected_pairs(Survey([old, new]), Survey([old]))
    {'a1': 'a2'}
    """
    counted, counts = ({one.id for one in survey.current} for survey in (before, after))
    gone, come = counted - counts, counts - counted
    pairs: dict[str, str] = {}
    for record in after.current:
        if record.id in come:
            old = next((one for one in _back_from(record.id, after) if one in gone), None)
            if old is not None:
                pairs[record.id] = old
    for record in before.current:
        if record.id in gone:
            pairs |= {
                new: record.id for new in _back_from(record.id, before) if new in come and new not in pairs
            }
    return pairs


def _back_from(record_id: str, survey: Survey) -> Iterator[str]:
    """Give what a record was corrected from, and that again, the newest first."""
    waiting, met = [record_id], {record_id}
    while waiting:
        record = survey.by_id.get(waiting.pop(0))
        for each in record.replaces if record is not None else ():
            if each not in met:
                met.add(each)
                waiting.append(each)
                yield each


def record_changes(before: Survey, after: Survey, unit: Unit) -> tuple[RecordChange, ...]:
    """Tell what was corrected, withdrawn, brought back and put down, each in the words of dictation.

    What was put down and taken back again in between is not told: it never counted on either paper.
    """
    pairs = corrected_pairs(before, after)
    counted, counts = ({one.id for one in survey.current} for survey in (before, after))
    told = [_come(record, before, pairs, unit) for record in after.current if record.id not in counted]
    paired = set(pairs.values())
    told += [
        _gone(record, after, unit)
        for record in before.current
        if record.id not in counts and record.id not in paired
    ]
    return tuple(sorted(told, key=lambda one: ORDER[one.kind]))


def _come(record: Record, before: Survey, pairs: dict[str, str], unit: Unit) -> RecordChange:
    old = before.by_id.get(pairs.get(record.id, ""))
    was = said(old, unit) if old is not None else ""
    if record.id in before.by_id:
        return RecordChange("stands again", record.id, was, said(record, unit))
    return RecordChange("corrected" if old is not None else "added", record.id, was, said(record, unit))


def _gone(record: Record, after: Survey, unit: Unit) -> RecordChange:
    if record.id not in after.by_id:
        return RecordChange("not there", record.id, said(record, unit))
    # One record may stand in place of several.
    instead = [after.by_id[one] for one in after.replaced.get(record.id, ())]
    for each in instead:
        if not isinstance(each, Withdrawal):
            return RecordChange("corrected", each.id, said(record, unit), said(each, unit))
    because = next(
        (
            one.because
            for one in after.records
            if isinstance(one, Withdrawal) and record.id in one.replaces and one.id not in after.taken_back
        ),
        "",
    )
    return RecordChange("withdrawn", record.id, said(record, unit), because=because)


def said(record: Record, unit: Unit) -> str:
    """Say a record as it would be dictated; its kind alone where the language has no words for it."""
    alone = record if isinstance(record, Withdrawal) else replace(record, replaces=())
    try:
        return say(alone, unit)
    except RecordError:
        return f"a {kind_of(record).replace('-', ' ')}"

"""The survey that records make: which of them are current, and what is called what."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from graphlib import TopologicalSorter
from typing import Final, TypeVar

from survey.errors import RecordError
from survey.records.base import Record
from survey.records.remarks import Withdrawal
from survey.records.room import Job

# More than one job has; readers of files and texts refuse to go on for ever.
MOST_RECORDS: Final = 200_000

Kind = TypeVar("Kind", bound=Record)


def find_circle(starts: Iterable[str], replaces: Callable[[str], Sequence[str]]) -> tuple[str, ...]:
    """Find corrections that run in a circle.

    Parameters
    ----------
    starts
        Ids to start from; only what they lead to is looked at.
    replaces
        Gives the ids that a record replaces; nothing for an id that is not here.

    Returns
    -------
    tuple of str
        The ids once around, the first again at the end; empty when there is no circle.

    Examples
    --------
    >>> find_circle("abc", {"a": "b", "b": "c", "c": "b"}.__getitem__)
    ('b', 'c', 'b')
    >>> find_circle("ab", {"a": "b", "b": ""}.__getitem__)
    ()
    """
    settled: set[str] = set()
    for start in starts:
        path: dict[str, None] = {}
        branches = [(start, False)]
        while branches:
            record_id, leaving = branches.pop()
            if leaving:
                del path[record_id]
                settled.add(record_id)
            elif record_id in path:
                around = list(path)
                return (*around[around.index(record_id) :], record_id)
            elif record_id not in settled:
                path[record_id] = None
                branches.append((record_id, True))
                branches += [(target, False) for target in replaces(record_id)]
    return ()


class Survey:
    """An append-only set of records.

    Parameters
    ----------
    records
        In any order; a record that comes twice with the same content counts once.

    Raises
    ------
    RecordError
        One id with two contents, or `replaces` that run in a circle.

    Examples
    --------
    >>> Survey([]).current
    ()
    """

    def __init__(self, records: Iterable[Record]) -> None:
        """Take the records, in the order in which they were put down."""
        self.by_id: dict[str, Record] = {}
        for record in records:
            known = self.by_id.setdefault(record.id, record)
            if known != record:
                raise RecordError(
                    f"record {record.id}: this id came with two contents; expected one. "
                    "Keep one of them and give the other an id of its own"
                )
        self.records: tuple[Record, ...] = tuple(self.by_id.values())
        circle = find_circle(self.by_id, self._replaces)
        if circle:
            raise RecordError(
                f"record {circle[0]} replaces itself through {' -> '.join(circle)}: expected "
                "corrections that end somewhere; take one of these `replaces` out"
            )

    def _replaces(self, record_id: str) -> Sequence[str]:
        record = self.by_id.get(record_id)
        return record.replaces if record else ()

    def plus(self, *records: Record) -> Survey:
        """Return the survey with more records; this one stays as it is."""
        return Survey((*self.records, *records))

    @cached_property
    def taken_back(self) -> frozenset[str]:
        """The ids that a withdrawal takes back, unless that withdrawal is taken back itself."""
        withdrawals = [record for record in self.records if isinstance(record, Withdrawal)]
        by: dict[str, list[str]] = {}
        for record in withdrawals:
            for target in record.replaces:
                by.setdefault(target, []).append(record.id)
        stands: dict[str, bool] = {}
        for one in TopologicalSorter(
            {record.id: by.get(record.id, ()) for record in withdrawals}
        ).static_order():
            stands[one] = not any(stands[other] for other in by.get(one, ()))
        return frozenset(target for record in withdrawals if stands[record.id] for target in record.replaces)

    @cached_property
    def replaced(self) -> dict[str, tuple[str, ...]]:
        """For each replaced record's id, the ids of the records that replace it.

        A correction that was taken back replaces nothing any more: what it had corrected stands again.
        """
        by: dict[str, list[str]] = {}
        for record in self.records:
            if record.id in self.taken_back:
                continue
            for target in record.replaces:
                by.setdefault(target, []).append(record.id)
        return {target: tuple(ids) for target, ids in by.items()}

    @cached_property
    def current(self) -> tuple[Record, ...]:
        """The records that nothing replaces, withdrawals left out."""
        return tuple(
            record
            for record in self.records
            if record.id not in self.replaced and record.__struct_config__.tag != "withdrawal"
        )

    def of(self, *kinds: type[Kind]) -> tuple[Kind, ...]:
        """Return the current records of these kinds, in the order in which they were put down."""
        return tuple(record for record in self.current if isinstance(record, kinds))

    @cached_property
    def named(self) -> dict[str, tuple[Record, ...]]:
        """The current records by name; more than one under a name is for a person to settle."""
        found: dict[str, list[Record]] = {}
        for record in self.current:
            name = getattr(record, "name", None)
            if name is not None:
                found.setdefault(name, []).append(record)
        return {name: tuple(records) for name, records in found.items()}

    @property
    def job(self) -> Job | None:
        """The job, or nothing when the survey has none yet."""
        jobs = self.of(Job)
        return jobs[-1] if jobs else None

    def __eq__(self, other: object) -> bool:
        """Two surveys are the same when they hold the same records, whatever their order."""
        return isinstance(other, Survey) and self.by_id == other.by_id

    __hash__ = None  # type: ignore[assignment]

"""The open job: what is put down, corrected and taken back, and who wants to know of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from msgspec.structs import replace

from survey.errors import FileError
from survey.file import SurveyFile
from survey.records import Job, Record, Survey, Withdrawal
from survey.records.base import TypedLength
from survey.records.hand import Hand, new_id, now
from survey.records.limits import refuse_impossible

REMEMBERED = 100
"""So many acts can be undone after a new start."""


class Visit:
    """A survey file, open for writing. `put`, `correct` and `withdraw` return when it is on the disk.

    `on_change` is called after every change. Undo takes back whole acts, by a withdrawal; redo takes that
    withdrawal back.

    Raises
    ------
    FileError
        From all that reads or writes: the file is gone, damaged, full or read-only. Nothing changed then.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from survey.records import Wall
    >>> folder = TemporaryDirectory()
    >>> visit = Visit.begin(Path(folder.name) / "v.survey", "Vanity", "in", "1/16")
    >>> visit.put(Wall(**visit.stamp(), name="back"))
    >>> visit.undo(), visit.survey.named
    (True, {})
    >>> visit.redo(), list(visit.survey.named)
    (True, ['back'])
    >>> visit.close(); folder.cleanup()
    """

    def __init__(self, path: Path, hand: Hand | None = None) -> None:
        """Open a survey file that exists."""
        self.path = path
        self.hand = hand or Hand()
        self.on_change: list[Callable[[], None]] = []
        self._file = SurveyFile.open(path, write=True)
        self.survey: Survey = self._file.survey()
        """All that was put down."""
        done = (one for one in self.survey.records[-REMEMBERED:] if one.replaces or not isinstance(one, Job))
        self._acts: list[tuple[str, ...]] = [(one.id,) for one in done]
        self._undone: list[str] = []

    @classmethod
    def begin(
        cls,
        path: Path,
        title: str,
        unit: str,
        step: str,
        level_line: TypedLength | None = None,
        hand: Hand | None = None,
    ) -> Visit:
        """Make a new file with its job and open it."""
        hand = hand or Hand()
        job = Job(
            id=new_id(), taken=now(), person=hand.person, device=hand.device, title=title,
            unit="in" if unit == "in" else "mm", step=step, level_line=level_line,
        )  # fmt: skip
        SurveyFile.create(path, [job]).close()
        return cls(path, hand)

    @property
    def unit(self) -> Literal["in", "mm"]:
        """What a bare number means: `in` or `mm`."""
        job = self.survey.job
        return job.unit if job is not None else "in"

    def stamp(self) -> dict[str, object]:
        """Return what a new record begins with: its id, when, by whom and on what."""
        return {
            "id": new_id(), "taken": now(), "person": self.hand.person, "device": self.hand.device
        }  # fmt: skip

    def put(self, *records: Record) -> None:
        """Put records down, as one act.

        Raises
        ------
        RecordError
            A record that cannot be, such as a length of a mile.
        """
        for record in records:
            refuse_impossible(record)
        self._append(*records)
        self._acts.append(tuple(record.id for record in records))
        self._undone.clear()
        self._tell()

    def correct(self, old: Record, new: Record) -> Record:
        """Put down what stands in place of an older record; the older one is kept."""
        corrected = replace(new, **self.stamp(), replaces=(old.id,))
        self.put(corrected)
        return corrected

    def withdraw(self, *records: Record, because: str = "") -> None:
        """Take records back, with what they were corrected from, which would stand again otherwise.

        All are kept, and count no more.
        """
        ids: dict[str, None] = {}
        waiting = [one.id for one in records]
        while waiting:
            record = self.survey.by_id.get(waiting.pop())
            if record is not None and record.id not in ids:
                ids[record.id] = None
                waiting += record.replaces
        self.put(Withdrawal(**self.stamp(), replaces=tuple(ids), because=because))  # type: ignore[arg-type]

    def undo(self) -> bool:
        """Take back the last act; False where there is none."""
        if not self._acts:
            return False
        taken_back = self._withdrawal(self._acts[-1])
        self._append(taken_back)
        self._acts.pop()
        self._undone.append(taken_back.id)
        self._tell()
        return True

    def redo(self) -> bool:
        """Bring back what was undone last; False where nothing was."""
        if not self._undone:
            return False
        again = self._withdrawal((self._undone[-1],))
        self._append(again)
        self._undone.pop()
        self._acts.append((again.id,))
        self._tell()
        return True

    def standing(self, record_id: str) -> Record | None:
        """Return what stands now in place of a record, whether corrected since or its correction undone.

        Nothing where all of it was taken back. A page that keeps the id it was opened with finds its record
        by this after every change.
        """
        survey = self.survey
        record = survey.by_id.get(record_id)
        while record is not None and record.id in survey.taken_back:
            record = survey.by_id.get(record.replaces[0]) if record.replaces else None
        while record is not None and record.id in survey.replaced:
            record = survey.by_id[survey.replaced[record.id][-1]]
        return record

    @property
    def can_undo(self) -> bool:
        """Whether there is an act to take back."""
        return bool(self._acts)

    @property
    def can_redo(self) -> bool:
        """Whether something was undone."""
        return bool(self._undone)

    def add_photo(self, content: bytes) -> str:
        """Keep a photo and return its name for a `photo` record."""
        with self._plainly():
            return self._file.add_photo(content)

    def photo(self, name: str) -> bytes:
        """Return a photo by its name."""
        with self._plainly():
            return self._file.photo(name)

    def copy_to(self, path: Path) -> None:
        """Hand out a complete, checked copy of the file."""
        self._file.hand_out(path)

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    def _append(self, *records: Record) -> None:
        with self._plainly():
            self._file.append(*records)

    @contextmanager
    def _plainly(self) -> Iterator[None]:
        """Say what is wrong with the open file, not where it lies: there is no other one it could be."""
        try:
            yield
        except FileError as error:
            raise FileError(str(error).removeprefix(f"{self.path}: ")) from error

    def _withdrawal(self, ids: Iterable[str]) -> Withdrawal:
        return Withdrawal(**self.stamp(), replaces=tuple(ids))  # type: ignore[arg-type]

    def _tell(self) -> None:
        self.survey = self._file.survey()
        for listener in list(self.on_change):
            listener()

"""From the lines of a notebook to records, and from a record back to a line."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import msgspec

from survey.dictation.errors import DictationError, Problem
from survey.dictation.line import Reader, tokens_of
from survey.dictation.notation import kinds_by_first_word, pattern_of
from survey.dictation.patterns import PATTERNS
from survey.errors import RecordError, SurveyError
from survey.records import KINDS, Job, Record, Survey, Withdrawal, kind_of
from survey.records.base import LengthUnit
from survey.records.hand import Hand
from survey.records.limits import refuse_impossible

SHORTEST_ID = 4
_TOO_LONG: Final = re.compile(r"Expected `str` of length <= (\d+) - at `\$\.(\w+)`")
_WRONG_NAME: Final = re.compile(r"Expected `str` matching regex .* - at `\$\.(\w+)`")
"""What the types of the records say of a text that is too long, and of a name with a mark that none has."""
_TAKING_BACK = frozenset({"cancel", "delete", "erase", "remove", "undo"})
_LINE_KEEPING = frozenset({"id", "taken", "device", "person", "replaces", "kind"})


def full_id(typed: str, survey: Survey) -> str:
    """Find the record that a person means by an abbreviated id, or by `last`: the newest that stands.

    Raises
    ------
    RecordError
        No record begins so, several do, or it is shorter than four characters.
    """
    return _full_id(typed, survey.by_id, [record.id for record in survey.current])


def _full_id(typed: str, ids: Iterable[str], standing: Sequence[str]) -> str:
    known = list(ids)
    if typed in known:
        return typed
    if typed == "last":
        if not standing:
            raise RecordError("expected a record to go back to, got `last` where none stands")
        return standing[-1]
    if len(typed) < SHORTEST_ID:
        raise RecordError(f"expected at least {SHORTEST_ID} characters of a record's id, got `{typed}`")
    begins_so = [each for each in known if each.startswith(typed)]
    if len(begins_so) == 1:
        return begins_so[0]
    if not begins_so:
        raise RecordError(f"expected the id of a record in this survey, got `{typed}`: `show` lists them")
    raise RecordError(
        f"expected an id that one record has, got `{typed}`: {len(begins_so)} begin so; type more"
    )


def dictate(lines: Iterable[str], survey: Survey, hand: Hand | None = None) -> tuple[Record, ...]:
    """Understand lines as a person dictates them; one line is one record.

    Blank lines and what follows a `#` are passed over. A bare number is in the job's unit; the job may be
    the first of the lines.

    Parameters
    ----------
    lines
        One record each.
    survey
        What is there already: its job gives the unit, its records can be corrected and withdrawn.
    hand
        Who writes, on what, and when; nobody in particular, now, if absent.

    Raises
    ------
    DictationError
        With every line that could not be understood; then none of them was taken.

    Examples
    --------
    >>> job, corner = dictate(["job Vanity in inches to 1/16", "corner left and back"], Survey([]))
    >>> corner.name, corner.turn
    ('left-back', 'inside')
    >>> dictate(["corner left und back"], Survey([job]))
    Traceback (most recent call last):
    survey.dictation.errors.DictationError: line 1: expected `joins` or `and`, got `und`: did you mean `and`?
        corner left und back
                    ^
    """
    notebook = _Notebook(survey, hand or Hand())
    for number, line in enumerate(lines, 1):
        notebook.take(number, line.rstrip("\r\n"))
    if notebook.problems:
        raise DictationError(tuple(notebook.problems))
    return tuple(notebook.records)


class _Notebook:
    """The lines understood so far."""

    def __init__(self, survey: Survey, hand: Hand) -> None:
        self.hand = hand
        self.known: dict[str, Record] = dict(survey.by_id)
        self.standing: list[str] = [record.id for record in survey.current]
        self.jobs = {job.id for job in survey.of(Job)}
        self.unit: LengthUnit | None = survey.job.unit if survey.job else None
        self.records: list[Record] = []
        self.problems: list[Problem] = []

    def take(self, number: int, line: str) -> None:
        """Understand one line, or keep what is the matter with it."""
        reader = Reader(line, tokens_of(line), self.unit, self._find_id)
        if reader.tokens[0].sort == "end":
            return
        outcome = self._understand(reader, number)
        if isinstance(outcome, Job) and (others := self.jobs.difference(outcome.replaces)):
            outcome = Problem(number, line, None, _one_job(others))
        elif not isinstance(outcome, Problem) and (amiss := self._wrongly_replaces(outcome)):
            outcome = Problem(number, line, None, amiss)
        if isinstance(outcome, Problem):
            self.problems.append(outcome)
            return
        self.records.append(outcome)
        self.known[outcome.id] = outcome
        gone = set(outcome.replaces)
        self.standing = [each for each in self.standing if each not in gone]
        if not isinstance(outcome, Withdrawal):
            self.standing.append(outcome.id)
        self.jobs.difference_update(outcome.replaces)
        if isinstance(outcome, Job):
            self.jobs.add(outcome.id)
            self.unit = outcome.unit

    def _find_id(self, typed: str) -> str:
        return _full_id(typed, self.known, self.standing)

    def _wrongly_replaces(self, record: Record) -> str:
        """Say what is wrong with a correction by something else, or with taking back a withdrawal."""
        for replaced in (self.known[each] for each in record.replaces):
            line, kind = f"`{_line_of(replaced, self.unit)}`", kind_of(record)
            if isinstance(replaced, Withdrawal):
                return f"expected a line that can be taken back, got {line}: say again what it took back"
            if not isinstance(record, Withdrawal) and not _alike(record, replaced):
                return (
                    f"expected a {kind_of(replaced)} in the place of {line}, got a {kind}: "
                    "give the id of the line that is wrong, or withdraw that line and add this one"
                )
        return ""

    def _understand(self, reader: Reader, number: int) -> Record | Problem:
        place, replaces = _corrected(reader)
        if place is None:
            return reader.problem(number)
        word = reader.tokens[place].text.lower()
        kinds = kinds_by_first_word().get(word)
        if kinds is None:
            return Problem(number, reader.text, reader.tokens[place].start, _no_kind(word))
        ways = [(kind, found) for kind in kinds for found in _ways(reader, place, kind)]
        if not ways:
            return reader.problem(number)
        if any(way != ways[0] for way in ways):
            return Problem(number, reader.text, reader.tokens[place].start, _two_meanings(ways, reader.unit))
        return self._record(reader, number, *ways[0], replaces)

    def _record(
        self, reader: Reader, number: int, kind: str, found: Mapping[str, object], replaces: list[str]
    ) -> Record | Problem:
        keeping = {
            "kind": kind,
            "id": self.hand.new_id(),
            "taken": self.hand.taken(),
            "person": self.hand.person,
            "device": self.hand.device,
            "replaces": replaces,
        }
        try:
            record: Record = msgspec.convert({**keeping, **found}, KINDS[kind])
            refuse_impossible(record)
        except (msgspec.ValidationError, SurveyError) as error:
            return Problem(number, reader.text, None, _plainly(str(error)))
        return record


def _plainly(error: str) -> str:
    """Say in words what a field's type says of it; a person who types knows no pattern of characters.

    >>> _plainly("Expected `str` of length <= 80 - at `$.material`")
    'material: expected at most 80 characters: shorten it'
    """
    limit = _TOO_LONG.fullmatch(error)
    if limit:
        return f"{_spoken(limit[2])}: expected at most {limit[1]} characters: shorten it"
    pattern = _WRONG_NAME.fullmatch(error)
    if pattern:
        name = _spoken(pattern[1])
        return f"{name}: expected 1 to 40 letters, digits, - or _ with no space, comma, colon or quote in it"
    return error


def _spoken(field: str) -> str:
    return field.replace("_", " ")


def _corrected(reader: Reader) -> tuple[int | None, list[str]]:
    """Read `correct ID:` at the beginning of a line: where the line goes on, and what is replaced."""
    from survey.dictation.slots import IdsSlot

    if reader.tokens[0].text.lower() != "correct":
        return 0, []
    for ids, end in IdsSlot().take(reader, 1):
        assert isinstance(ids, list)
        if reader.tokens[end].sort == "colon":
            return end + 1, ids
        reader.miss(end, "a colon and the right line")
    return None, []


def _ways(reader: Reader, place: int, kind: str) -> Iterable[dict[str, object]]:
    """Every way to read the line, up to its end, as one kind."""
    for end, found in pattern_of(kind).match(reader, place, {}):
        end = reader.skip(end)
        if reader.tokens[end].sort == "end":
            pairs = _pairs_joined(found)
            yield dict(PATTERNS[kind].complete(pairs))
        else:
            reader.miss(end, "the end of the line")


def _pairs_joined(found: Mapping[str, object]) -> dict[str, object]:
    """Put the two of a pair together: `between.0` and `between.1` are `between`."""
    joined: dict[str, object] = {}
    for path in sorted(found):
        name, _, index = path.partition(".")
        if index:
            ends = joined.setdefault(name, [])
            assert isinstance(ends, list)
            ends.append(found[path])
        else:
            joined[name] = found[path]
    return joined


def _alike(record: Record, replaced: Record) -> bool:
    """Whether one can be the other put right: it is of its kind, or has its name."""
    name = getattr(record, "name", None)
    return kind_of(record) == kind_of(replaced) or (
        name is not None and name == getattr(replaced, "name", None)
    )


def _line_of(record: Record, unit: LengthUnit | None) -> str:
    """The line without the ids that it corrects."""
    alone = record if isinstance(record, Withdrawal) else msgspec.structs.replace(record, replaces=())
    return say(alone, unit or "in")


def _one_job(others: set[str]) -> str:
    job_id = min(others)[:8]
    return (
        "expected one job in a survey, got a second: leave this line out, "
        f"or put it in the place of the other with `correct {job_id}: job ...`"
    )


def _no_kind(word: str) -> str:
    heads = sorted(kinds_by_first_word())
    if word in _TAKING_BACK:
        return (
            f"expected a line to begin with what it is, got `{word}`: `withdraw last` takes back the newest"
        )
    close = difflib.get_close_matches(word, heads, 1, 0.6)
    if close:
        return f"expected a line to begin with what it is, got `{word}`: did you mean `{close[0]}`?"
    return (
        f"expected a line to begin with what it is, got `{word}`: use one of {', '.join(heads)} "
        "(`scribefit add --kinds` shows each with an example)"
    )


def _two_meanings(ways: list[tuple[str, dict[str, object]]], unit: LengthUnit | None) -> str:
    said = dict.fromkeys(_say(kind, found, unit or "in") for kind, found in ways)
    meant = " or ".join(f"`{line}`" for line in said)
    return f"expected one meaning, got {len(said)}: {meant}; write it like one of these"


def say(record: Record, unit: LengthUnit) -> str:
    """Put a record into the line that a person would dictate for it.

    Dictating the line gives a record of the same content. `unit` is the job's.

    >>> job, drop = dictate(
    ...     ["job Vanity in mm to 1 mm", "Drop floor, back, along 300 from lb, out 250, reads 91,2 cm"],
    ...     Survey([]),
    ... )
    >>> say(drop, "mm")
    'drop floor back along 300 from lb out 250 reads 91,2 cm'
    """
    values = {name: value for name, value in msgspec.to_builtins(record).items() if name not in _LINE_KEEPING}
    kind = kind_of(record)
    if kind == "withdrawal":
        values["replaces"] = list(record.replaces)
    line = _say(kind, values, record.unit if isinstance(record, Job) else unit)
    if record.replaces and kind != "withdrawal":
        return f"correct {', '.join(record.replaces)}: {line}"
    return line


def _say(kind: str, values: Mapping[str, object], unit: LengthUnit) -> str:
    parted: dict[str, object] = {}
    for name, value in values.items():
        if name == "between" and isinstance(value, (list, tuple)):
            parted |= {f"between.{index}": end for index, end in enumerate(value)}
        else:
            parted[name] = value
    line = pattern_of(kind).say(parted, unit)
    if line is None:
        raise RecordError(f"a {kind} that the language has no words for: {values}")
    return line

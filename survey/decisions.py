"""Decisions: what each was taken on, and what has changed since.

A decision keeps the printed results that were looked at. It is stale once the present report prints one of
them otherwise; then a person keeps it (a new decision, on the new results) or decides again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from survey.records import Decision, Filler, Piece, Survey
from survey.records.base import TypedLength
from survey.records.hand import Hand
from survey.report.chance_words import verdict
from survey.report.structs import Dimension, FitReport, PieceReport

AS_FITTED = "go with this size"
"""The choice of a piece as it was worked out."""
OUTCOME = "how it comes out"


@dataclass(frozen=True)
class Change:
    """A printed result that changed; `now` is empty where there is none any more."""

    name: str
    before: str
    now: str

    @property
    def words(self) -> str:
        """Say the change.

        >>> Change("finished width", "42 in", "").words
        'finished width not worked out, was 42 in'
        """
        return f"{self.name} {self.now or 'not worked out'}, was {self.before}"


@dataclass(frozen=True)
class Standing:
    """A decision that stands, and which of the results that it was taken on have changed."""

    decision: Decision
    changes: tuple[Change, ...]

    @property
    def is_stale(self) -> bool:
        """Whether anything changed."""
        return bool(self.changes)

    @property
    def said(self) -> str:
        """Say what was decided.

        >>> from datetime import UTC, datetime
        >>> day, width = datetime(2025, 5, 1, tzinfo=UTC), TypedLength("1 1/4", "in")
        >>> chosen = Decision(id="d1", taken=day, about="vanity", choice="filler right", value=width)
        >>> Standing(chosen, ()).said
        'filler right, 1 1/4 in'
        """
        value = self.decision.value
        return f"{self.decision.choice}{f', {_with_unit(value)}' if value else ''}"

    def since(self, most: int = 1000) -> str:
        """Say what changed since, what the decision's value says first; empty where nothing did.

        Of more changes than `most`, the others are counted.
        """
        told = sorted(self.changes, key=lambda change: change.before != self._value)
        more = f"; and {len(told) - most} more" if len(told) > most else ""
        return "; ".join(change.words for change in told[:most]) + more

    @property
    def _value(self) -> str:
        value = self.decision.value
        return _with_unit(value) if value else ""


def results(survey: Survey, report: FitReport, about: str) -> dict[str, str]:
    """Return the printed results of a piece by name, as a decision keeps them.

    For a cabinet those of the strips beside it too; empty for a piece that is not worked out.
    """
    told = {piece.name: piece for piece in report.pieces}
    piece = told.get(about)
    if piece is None or piece.status == "not ready":
        return {}
    found = dict(_printed(piece))
    found[OUTCOME] = verdict(piece, report.confidence)
    for strip in strips_of(survey, about):
        if strip.name in told:
            found |= {f"{strip.name}, {name}": text for name, text in _printed(told[strip.name])}
    return found


def strips_of(survey: Survey, cabinet: str) -> tuple[Filler, ...]:
    """Return the filler strips beside a cabinet, the left one first."""
    strips = [one for one in survey.of(Filler) if one.beside == cabinet]
    return tuple(sorted(strips, key=lambda one: one.side))


def decide(
    survey: Survey,
    report: FitReport,
    about: str,
    choice: str,
    value: TypedLength | None = None,
    hand: Hand | None = None,
) -> Decision:
    """Make the record of a choice about a piece, on the results of a report.

    It stands in place of earlier decisions about that piece. `report` is that of the survey as it will be
    once the choice is put down.
    """
    hand = hand or Hand()
    piece = next((one for one in report.pieces if one.name == about), None)
    return Decision(
        id=hand.new_id(),
        taken=hand.taken(),
        person=hand.person,
        device=hand.device,
        replaces=tuple(one.id for one in decided(survey, about)),
        about=about,
        choice=choice,
        value=value,
        taken_on=piece.readings if piece is not None else (),
        result=results(survey, report, about),
    )


def decided(survey: Survey, about: str) -> tuple[Decision, ...]:
    """Return the decisions about a piece that stand; more than one where two devices decided apart."""
    return tuple(one for one in survey.of(Decision) if one.about == about)


def standings(survey: Survey, report: FitReport) -> tuple[Standing, ...]:
    """Return every decision that stands, with what changed since it was taken.

    `report` is that of this survey.
    """
    return tuple(Standing(one, _changes(survey, report, one)) for one in survey.of(Decision))


def kept(survey: Survey, report: FitReport, decision: Decision, hand: Hand | None = None) -> Decision:
    """Make the record of the same choice again, on the present results.

    Where its value was a width, it is that width as it is now.
    """
    return decide(survey, report, decision.about, decision.choice, _value_now(survey, report, decision), hand)


def width_of(piece: PieceReport) -> Dimension | None:
    """Return the finished width of a piece, or else its first finished size."""
    named = {one.name: one for one in piece.finished}
    found = named.get("width", next(iter(piece.finished), None))
    return None if found is None else found.size


def typed(text: str) -> TypedLength:
    """Return a printed length as it would be typed.

    >>> typed("1 1/4 in"), typed("32 mm").text
    (TypedLength(text='1 1/4', unit='in'), '32')
    """
    number, _, unit = text.rpartition(" ")
    return TypedLength(number, "in" if unit == "in" else "mm")


def _printed(piece: PieceReport) -> Iterator[tuple[str, str]]:
    for kind, sizes in (("finished", piece.finished), ("blank", piece.blank)):
        for one in sizes:
            yield f"{kind} {one.name}", one.size.text
    for edge in piece.edges:
        if edge.allowance is not None:
            yield f"left on at the {edge.edge} edge", edge.allowance.total.text
        elif edge.gap is not None:
            yield f"gap at the {edge.edge} edge", edge.gap.text


def _changes(survey: Survey, report: FitReport, decision: Decision) -> tuple[Change, ...]:
    now = results(survey, report, decision.about)
    if not now and decision.result:
        return (Change(decision.about, "ready", _why_gone(survey, decision.about)),)
    return tuple(_gone_otherwise(decision.result.items(), now))


def _gone_otherwise(before: Iterable[tuple[str, str]], now: dict[str, str]) -> Iterator[Change]:
    for name, text in before:
        if now.get(name, "") != text:
            yield Change(name, text, now.get(name, ""))


def _why_gone(survey: Survey, about: str) -> str:
    is_planned = any(isinstance(one, Piece) for one in survey.named.get(about, ()))
    return "not ready" if is_planned else "no piece any more"


def _value_now(survey: Survey, report: FitReport, decision: Decision) -> TypedLength | None:
    """Return what the value says at present: the width that printed it, as it is printed now."""
    now, value = results(survey, report, decision.about), decision.value
    for name, text in decision.result.items():
        if (
            value is not None
            and text == _with_unit(value)
            and name.endswith("finished width")
            and name in now
        ):
            return typed(now[name])
    return value


def _with_unit(value: TypedLength) -> str:
    return f"{value.text} {value.unit}"

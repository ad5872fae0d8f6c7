"""Filler options: the ways to close the gaps between a cabinet and the walls beside it, each fitted.

An option is the survey with other piece records, run through `survey.findings.fit`. Which widths a strip
should have is common practice, no source; it is said as such where options are shown. What a door or drawer
needs beside it is worked out where one is planned; where none is, common practice stands in for it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from msgspec.structs import replace

from fitting.strip import NARROWEST, WIDEST, StripNeed, widest_box
from survey.decisions import decide, strips_of, typed, width_of
from survey.errors import RecordError
from survey.findings import fit
from survey.quantity import read_step, round_length, write_length
from survey.records import (
    BoxPiece,
    CabinetDoor,
    Drawer,
    Edge,
    Filler,
    Piece,
    Record,
    SizedPiece,
    Survey,
    Top,
    Withdrawal,
)
from survey.records.base import LengthUnit, TypedLength
from survey.records.hand import Hand
from survey.report.chance_words import chance_words, step_words, verdict
from survey.report.fillers import LEAST_FOR
from survey.report.openings import least_gap
from survey.report.structs import Dimension, FitReport, PieceReport

Side = Literal["left", "right"]
SIDES: Final[tuple[Side, Side]] = ("left", "right")

DOOR_ROOM = 31.75
"""mm; 1 1/4 in, what a door's pull needs beside it to open past square, where no door or drawer is planned
whose own way could be worked out (from memory, no source)."""
OPEN_SEEN = 3.2
"""mm; 1/8 in, the widest gap beside a cabinet without a strip that nobody sees (common practice)."""
RULES: Final = {
    "in": "Strips from 3/4 in to 3 in, and 1 1/4 in beside a door for its pull: common practice, no more. "
    "What a planned door or drawer needs is worked out.",
    "mm": "Strips from 19 mm to 76 mm, and 32 mm beside a door for its pull: common practice, no more. "
    "What a planned door or drawer needs is worked out.",
}
ALIKE = "fillers left and right, alike"

USUAL: Final[dict[str, dict[str, TypedLength]]] = {
    "in": {
        name: TypedLength(text, "in")
        for name, text in (("narrow", "3/4"), ("door", "1 1/2"), ("close", "1/16"), ("strip", "1 1/4"))
    },
    "mm": {
        name: TypedLength(text, "mm")
        for name, text in (("narrow", "20"), ("door", "40"), ("close", "2"), ("strip", "32"))
    },
}
"""By the job's unit: the least width of a narrow strip, of one with room for a door, what a side close to a
wall is off it, and the strip that another width of the cabinet is chosen for."""
THICK: Final[dict[str, TypedLength]] = {"in": TypedLength("3/4", "in"), "mm": TypedLength("18", "mm")}
"""A new strip's thickness where no other strip says one."""


@dataclass(frozen=True)
class Trial:
    """A way to do it: the cabinet and its strips as they would be."""

    choice: str
    cabinet: BoxPiece
    strips: tuple[Filler, ...]
    is_now: bool


@dataclass(frozen=True)
class Fault:
    """What speaks against an option, in words, and how much."""

    words: str
    weight: float


STOPS, BINDS, STRIKES, LOOKS, ODD, HINDERS, CHANGES = 1000.0, 100.0, 50.0, 10.0, 5.0, 1.0, 3.0
"""It cannot be made; it may not go in; what is planned on it does not open; strip or gap are wrong to look
at; a doubt; a door that may be planned; a new width."""
STRUCK = (524, 525, 526)
"""Findings of doors and drawers that do not open."""


@dataclass(frozen=True)
class Option:
    """A way to do it, fitted; `report` is of the cabinet and what goes with it alone."""

    trial: Trial
    report: FitReport
    cabinet: PieceReport
    strips: tuple[PieceReport, ...]
    faults: tuple[Fault, ...]

    @property
    def is_possible(self) -> bool:
        """Whether nothing stops it."""
        return all(fault.weight < STOPS for fault in self.faults)

    @property
    def chance(self) -> str:
        """How likely it goes in, in words; empty where that is not known."""
        told, report = self.cabinet.chance, self.report
        return "" if told is None else chance_words(told, step_words(report.step, report.unit))

    @property
    def numbers(self) -> tuple[tuple[str, str], ...]:
        """Return what there is to compare, with names: the cabinet, each strip at least and at most."""
        found = [("cabinet", one.size.text) for one in self.cabinet.finished if one.name == "width"]
        for side in SIDES:
            bottom, top = (self.gap(side, f"{level} front") for level in ("bottom", "top"))
            if bottom is not None and top is not None:
                what = f"{side} strip" if self.strip(side) is not None else f"{side} gap, open"
                least, most = sorted((bottom, top), key=lambda size: size.mm)
                found.append((what, _from_to(least.text, most.text)))
        return tuple(found)

    def gap(self, side: Side, place: str) -> Dimension | None:
        """Return what the cabinet is off the wall at a side; `place` as in `top front`."""
        name = f"gap at the {side}, {place}"
        return next((one.size for one in self.cabinet.measures if one.name == name), None)

    @property
    def at_sides(self) -> tuple[PieceReport, ...]:
        """The strips at its sides, the left one first: those that the options are about."""
        return tuple(strip for side in SIDES if (strip := self.strip(side)) is not None)

    def strip(self, side: Side) -> PieceReport | None:
        """Return the strip at a side, where there is one."""
        names = {one.name for one in self.trial.strips if one.side == side}
        return next((one for one in self.strips if one.name in names), None)


@dataclass(frozen=True)
class Table:
    """The options side by side; `recommended` is one of them, or nothing where none can be made."""

    options: tuple[Option, ...]
    recommended: Option | None
    why: str


def filler_options(survey: Survey, report: FitReport, name: str) -> Table:
    """Fit every way to close the gaps beside a cabinet.

    Parameters
    ----------
    survey
    report
        The fit report of this survey.
    name
        The cabinet's.

    Raises
    ------
    RecordError
        There is no such cabinet, or no wall at its sides.
    """
    return compared(tuple(weighed(survey, trial) for trial in trials(survey, report, name)))


def trials(survey: Survey, report: FitReport, name: str) -> tuple[Trial, ...]:
    """Return the ways there are, none of them fitted yet; one of them is what is planned now.

    Between two walls: a strip at both sides, or at one and the other side close to its wall; and where
    nothing else was sized for the cabinet's width, another width with two usual strips. At one wall: a
    narrow strip, one with room for a door, none.
    """
    cabinet = _cabinet(survey, name)
    sides = [side for side in SIDES if _edge(cabinet, side).meets is not None]
    if not sides:
        raise RecordError(f"`{name}` meets no wall at its sides: expected one, for a filler to close the gap")
    ways = (
        _between(survey, report, cabinet)
        if len(sides) == 2
        else _beside_one(survey, report, cabinet, sides[0])
    )
    found = [_trial(survey, cabinet, choice, wanted) for choice, wanted in ways]
    if not any(trial.is_now for trial in found):
        found.insert(0, Trial("as it is now", cabinet, strips_of(survey, name), True))
    return tuple(found)


def weighed(survey: Survey, trial: Trial) -> Option:
    """Fit a way, alone with what lies on the cabinet, and say what speaks against it."""
    report = fit(_with(survey, trial))
    told = {piece.name: piece for piece in report.pieces}
    strips = tuple(told[strip.name] for strip in trial.strips)
    option = Option(trial, report, told[trial.cabinet.name], strips, ())
    faults = sorted(_faults(survey, option), key=lambda fault: -fault.weight)
    return Option(trial, report, option.cabinet, strips, tuple(faults))


def compared(options: tuple[Option, ...]) -> Table:
    """Recommend the option that least speaks against; of those alike, the first."""
    possible = [option for option in options if option.is_possible]
    if not possible:
        return Table(options, None, "None of these can be made yet: see what stops each.")
    best = min(possible, key=lambda option: sum(fault.weight for fault in option.faults))
    return Table(options, best, _why(best))


def to_put_down(survey: Survey, option: Option, hand: Hand | None = None) -> tuple[Record, ...]:
    """Return the records that decide for an option, to be put down as one act.

    The decision, the cabinet and strips as they become, and a withdrawal of strips that go.
    """
    hand = hand or Hand()
    trial = option.trial
    cabinet = _cabinet(survey, trial.cabinet.name)
    pieces: list[Record] = [_corrected(cabinet, trial.cabinet, hand)] if cabinet != trial.cabinet else []
    before = {strip.name: strip for strip in strips_of(survey, cabinet.name)}
    for strip in trial.strips:
        if strip.name not in before:
            pieces.append(replace(strip, id=hand.new_id(), taken=hand.taken(), **_by(hand)))
        elif strip != before[strip.name]:
            pieces.append(_corrected(before[strip.name], strip, hand))
    kept = {strip.name for strip in trial.strips}
    gone = tuple(strip.id for name, strip in before.items() if name not in kept)
    if gone:
        pieces.append(Withdrawal(id=hand.new_id(), taken=hand.taken(), replaces=gone, **_by(hand)))
    width = None if not option.at_sides else width_of(option.at_sides[0])
    value = None if width is None else typed(width.text)
    # The decision rests on the survey as it becomes, which knows the strips.
    return decide(_with(survey, trial), option.report, cabinet.name, trial.choice, value, hand), *pieces


# The ways


@dataclass(frozen=True)
class _Wanted:
    """What a way asks of a cabinet."""

    left: Edge
    right: Edge
    width: TypedLength


def _between(survey: Survey, report: FitReport, cabinet: BoxPiece) -> Iterator[tuple[str, _Wanted]]:
    close = USUAL[_unit(survey)]["close"]
    left, right = (Edge(meets=_edge(cabinet, side).meets, finish="filler") for side in SIDES)
    tight_left, tight_right = (replace(edge, finish="net", gap=close) for edge in (left, right))
    yield ALIKE, _Wanted(left, right, cabinet.width)
    yield "filler left", _Wanted(left, tight_right, cabinet.width)
    yield "filler right", _Wanted(tight_left, right, cabinet.width)
    width = _other_width(survey, report, cabinet)
    if width is not None:
        printed = f"{width.text} {width.unit}"
        yield f"cabinet {printed} wide, fillers alike", _Wanted(left, right, width)


def _beside_one(
    survey: Survey, report: FitReport, cabinet: BoxPiece, side: Side
) -> Iterator[tuple[str, _Wanted]]:
    usual, wall = USUAL[_unit(survey)], _edge(cabinet, side).meets
    needed = _needed(survey, report, cabinet, side)
    gaps = usual["narrow"], usual["door"] if needed is None else needed
    narrow, door = (Edge(meets=wall, finish="filler", gap=gap) for gap in gaps)
    close = Edge(meets=wall, finish="net", gap=usual["close"])
    for choice, edge in (
        (f"narrow filler {side}", narrow),
        (f"filler {side} with room for {'a door' if needed is None else 'what opens'}", door),
        (f"close to the wall at the {side}, no filler", close),
    ):
        yield (
            choice,
            _Wanted(
                edge if side == "left" else cabinet.left,
                edge if side == "right" else cabinet.right,
                cabinet.width,
            ),
        )


def _other_width(survey: Survey, report: FitReport, cabinet: BoxPiece) -> TypedLength | None:
    """Return the widest that leaves usual strips at both sides; nothing where the width is bound or right."""
    if any(piece.of == cabinet.name for piece in survey.of(SizedPiece)):
        return None
    told = next((piece for piece in report.pieces if piece.name == cabinet.name), None)
    gaps = [edge.gap.mm for edge in told.edges if edge.gap is not None] if told is not None else []
    if told is None or len(gaps) != 2:
        return None
    step = read_step(survey.job.step if survey.job else "1/16")
    usual = float(USUAL[_unit(survey)]["strip"].mm)
    needs = [StripNeed(usual, _taper(told, side)) for side in SIDES]
    wide = widest_box(float(cabinet.width.mm) + sum(gaps), needs, float(step.mm), WIDEST)
    if wide is None or abs(wide - float(cabinet.width.mm)) <= 2 * float(step.mm):
        return None
    return typed(write_length(round_length(wide, step, "nearest"), step))


def _taper(cabinet: PieceReport, side: Side) -> float:
    """Return how much wider the gap at a side of a cabinet's face gets, top or bottom (mm)."""
    names = [f"gap at the {side}, {level} front" for level in ("top", "bottom")]
    ends = [one.size.mm for one in cabinet.measures if one.name in names]
    return max(ends) - min(ends) if ends else 0.0


def _needed(survey: Survey, report: FitReport, cabinet: BoxPiece, side: Side) -> TypedLength | None:
    """Return the least gap at a side for all that is planned to open there; nothing where nothing is.

    It is never under the narrowest strip.
    """
    strips = {one.name for one in strips_of(survey, cabinet.name) if one.side == side}
    fronts = {one.name for one in _opening(survey, cabinet)}
    found = [
        one.size
        for piece in report.pieces
        for one in piece.measures
        if (piece.name in strips and one.name.startswith(LEAST_FOR))
        or (piece.name in fronts and one.name == least_gap(side, cabinet.name))
    ]
    if not found:
        return None
    least, narrow = max(found, key=lambda size: size.mm), USUAL[_unit(survey)]["narrow"]
    return typed(least.text) if least.cut_mm > narrow.mm else narrow


def _opening(survey: Survey, cabinet: BoxPiece) -> tuple[CabinetDoor | Drawer, ...]:
    """Return the doors and drawers that are planned on a cabinet."""
    found = survey.of(CabinetDoor), survey.of(Drawer)
    return tuple(one for kind in found for one in kind if one.of == cabinet.name)


def _trial(survey: Survey, cabinet: BoxPiece, choice: str, wanted: _Wanted) -> Trial:
    changed = replace(cabinet, left=wanted.left, right=wanted.right, width=wanted.width)
    strips = tuple(_strips(survey, changed))
    is_now = changed == cabinet and strips == strips_of(survey, cabinet.name)
    return Trial(choice, changed, strips, is_now)


def _strips(survey: Survey, cabinet: BoxPiece) -> Iterator[Filler]:
    """Give a strip for every side that a filler closes, as it is planned or new and like others; and any on
    top."""
    planned = strips_of(survey, cabinet.name)
    for side in SIDES:
        if _edge(cabinet, side).finish != "filler":
            continue
        there = [strip for strip in planned if strip.side == side]
        yield from there or [_new_strip(survey, cabinet, side, planned)]
    yield from (strip for strip in planned if strip.side not in SIDES)


def _new_strip(survey: Survey, cabinet: BoxPiece, side: Side, planned: tuple[Filler, ...]) -> Filler:
    name = next(
        one
        for number in range(1, len(survey.named) + 3)
        if (one := f"{cabinet.name}-{side}{number if number > 1 else ''}"[-40:]) not in survey.named
    )
    if planned:
        return replace(planned[0], id=f"new-{side}", name=name, side=side, runs_on=None, replaces=(), note="")
    return Filler(
        id=f"new-{side}", taken=cabinet.taken, name=name, beside=cabinet.name, side=side,
        thickness=THICK[_unit(survey)], material=cabinet.material,
    )  # fmt: skip


def _with(survey: Survey, trial: Trial) -> Survey:
    """Return the survey with a way in place of what is planned, and without pieces that it does not touch."""
    name = trial.cabinet.name
    kept = (
        one
        for one in survey.current
        if not isinstance(one, Piece) or (isinstance(one, Top | SizedPiece) and _goes_with(one, name))
    )
    named = {strip.name for strip in trial.strips}
    # What a strip runs on from may be beside another cabinet, which is left out here: its width is the same.
    strips = (one if one.runs_on in named else replace(one, runs_on=None) for one in trial.strips)
    return Survey((*kept, trial.cabinet, *strips))


def _goes_with(piece: Top | SizedPiece, cabinet: str) -> bool:
    return (piece.on if isinstance(piece, Top) else piece.of) == cabinet


def _corrected(old: Piece, new: Piece, hand: Hand) -> Piece:
    return replace(new, id=hand.new_id(), taken=hand.taken(), replaces=(old.id,), **_by(hand))


def _by(hand: Hand) -> dict[str, str]:
    return {"person": hand.person, "device": hand.device}


def _cabinet(survey: Survey, name: str) -> BoxPiece:
    found = [one for one in survey.named.get(name, ()) if isinstance(one, BoxPiece)]
    if len(found) != 1:
        raise RecordError(
            f"expected one cabinet named `{name}`, got {len(found)}: add it, or withdraw others"
        )
    return found[0]


def _edge(cabinet: BoxPiece, side: Side) -> Edge:
    return cabinet.left if side == "left" else cabinet.right


def _unit(survey: Survey) -> LengthUnit:
    return survey.job.unit if survey.job else "in"


# What speaks against them


def _faults(survey: Survey, option: Option) -> Iterator[Fault]:
    about = {option.cabinet.name, *(strip.name for strip in option.strips)}
    for found in option.report.findings:
        if found.severity == "stops" and (about & set(found.pieces)):
            yield Fault(found.says.replace("`", ""), STOPS)
        elif found.number in STRUCK and option.cabinet.name in found.pieces:
            yield Fault(found.says.replace("`", ""), STRIKES)
        elif found.number == 506 and about & set(found.pieces):
            yield Fault(found.says.replace("`", ""), ODD)
    if option.cabinet.status == "not ready":
        yield Fault("it is not ready: see what stops the work", STOPS)
        return
    word = verdict(option.cabinet, option.report.confidence)
    if word in ("tight", "won't go in"):
        yield Fault(f"the cabinet {'is tight' if word == 'tight' else word}: {option.chance}", BINDS)
    for side in SIDES:
        edge = _edge(option.trial.cabinet, side)
        if edge.meets is not None:
            yield from _beside(survey, option, side)
    if option.trial.cabinet.width.mm != _cabinet(survey, option.cabinet.name).width.mm:
        yield Fault("the cabinet is made another width than planned", CHANGES)


def _beside(survey: Survey, option: Option, side: Side) -> Iterator[Fault]:
    places = (option.gap(side, f"{level} front") for level in ("top", "bottom"))
    seen = sorted((size for size in places if size is not None), key=lambda size: size.mm)
    if not seen:
        return
    least, most = seen[0], seen[-1]
    if option.strip(side) is None:
        if most.mm > OPEN_SEEN:
            yield Fault(f"{most.text} stays open at the {side}, where no strip hides it", LOOKS)
    elif least.mm < NARROWEST:
        yield Fault(f"the strip at the {side} is only {least.text} at its narrowest: it splits", LOOKS)
    elif most.mm > WIDEST:
        yield Fault(f"the strip at the {side} is {most.text} wide: it looks like a patch", LOOKS)
    if least.mm < DOOR_ROOM and not _opening(survey, option.trial.cabinet):
        yield Fault(f"a door hinged at the {side} has {least.text} beside it for its pull", HINDERS)


def _from_to(first: str, last: str) -> str:
    """Say two sizes, the unit once where it is a word that is read so.

    >>> _from_to("44 mm", "46 mm"), _from_to("3/4 in", "1 in"), _from_to("1 in", "1 in")
    ('44 to 46 mm', '3/4 in to 1 in', '1 in')
    """
    return last if first == last else f"{first.removesuffix(' mm')} to {last}"


def _opens(best: Option) -> str:
    """Say what has room to open: what is planned and was worked out, or doors as they usually are."""
    planned = [one.name for one in best.report.pieces if one.kind in ("cabinet door", "drawer")]
    return " and ".join(planned) if planned else "doors"


def _why(best: Option) -> str:
    """Say what speaks for the best."""
    widths = [width.text for strip in best.at_sides if (width := width_of(strip)) is not None]
    if best.faults and best.faults[0].weight >= LOOKS:
        return f"None is without fault; here {best.faults[0].words}."
    if not widths:
        return "The wall runs so near to the side that no strip is needed."
    sizes = " and ".join(dict.fromkeys(widths))
    strips = f"A strip of {sizes} is" if len(widths) == 1 else f"Two strips of {sizes} are"
    hinders = any(fault.weight == HINDERS for fault in best.faults)
    doors = "" if hinders else f", and leave{'s' if len(widths) == 1 else ''} room for {_opens(best)}"
    return f"{strips} wide enough to scribe, narrow enough to look right{doors}."

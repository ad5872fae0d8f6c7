"""A reading being taken: its blanks, what was typed so far, and what it becomes; no screen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import msgspec
from msgspec.structs import replace

from survey.app.blanks import Blank, blanks, filled
from survey.app.desk import Settings
from survey.app.typed import Asked, refusal
from survey.quantity import Step
from survey.records import LengthReading, Reading, Station, StraightedgeCheck, Survey, TypedLength
from survey.records.limits import SIGNED

BY_DEVICE: Final = frozenset({"line laser", "template", "story stick"})
"""Instruments that a reading was planned for: no other one takes it."""
_TYPED: Final = "typed "


class Taking:
    """A reading with blanks, filled one after another.

    Examples
    --------
    >>> from survey.dictation import dictate
    >>> from survey.quantity import read_step
    >>> place = ["job V in mm to 1 mm", "wall back", "wall left", "corner left and back"]
    >>> place += ["straightedge back up 850 from left-back: 0 0, 300 0, 600 0"]
    >>> *_, check = dictate(place, Survey([]))
    >>> taking = Taking(check, read_step("1 mm"))
    >>> for gap in ("0", "4"):
    ...     taking.type(gap); taking.open_next()
    >>> taking.open.label, taking.missing()
    ('Gap at 600', ['gap 2'])
    """

    def __init__(self, reading: Reading, step: Step) -> None:
        """Begin with nothing typed."""
        self.planned = reading
        self.reading = reading
        self.step = step
        self.values: dict[str, str] = {}
        self.in_place_of = ""
        """Id of the reading that this one corrects; empty for a further one."""
        self.open = self.blanks[0]

    @property
    def blanks(self) -> tuple[Blank, ...]:
        """The numbers to be typed, in their order."""
        return blanks(self.reading)

    @property
    def text(self) -> str:
        """What was typed into the open blank."""
        return self.values.get(self.open.field, "")

    @property
    def asked(self) -> Asked:
        """What the open blank takes."""
        return self.asked_for(self.open)

    def asked_for(self, blank: Blank) -> Asked:
        """Return what a blank takes."""
        name = blank.field.split()[0]
        return Asked(self.step.unit, self.step, blank.sort, name in SIGNED or name == "angle")

    def type(self, text: str) -> None:
        """Have this text in the open blank."""
        self.values[self.open.field] = text

    def go_to(self, field: str) -> None:
        """Open a blank."""
        self.open = next(blank for blank in self.blanks if blank.field == field)

    def missing(self) -> list[str]:
        """Return the blanks with nothing in them."""
        return [blank.field for blank in self.blanks if not self.values.get(blank.field, "").strip()]

    def open_next(self) -> None:
        """Open the next blank with nothing in it, going round; stay where there is none."""
        order = [blank.field for blank in self.blanks]
        here = order.index(self.open.field)
        missing = self.missing()
        for field in (*order[here + 1 :], *order[: here + 1]):
            if field in missing:
                self.go_to(field)
                return

    def is_last(self) -> bool:
        """Whether the reading is whole once the open blank is filled."""
        return set(self.missing()) <= {self.open.field}

    def refused(self) -> str:
        """Return in short why what stands in the open blank cannot be; empty where it can, or none is."""
        return refusal(self.text, self.asked)

    def finished(self) -> Reading:
        """Return the reading with what was typed; all blanks must be.

        Raises
        ------
        QuantityError, RecordError
            A value that is none, or that the reading's kind refuses.
        """
        values = {blank.field: self.values[blank.field].strip() for blank in self.blanks}
        return filled(self.reading, values, self.step.unit)

    # Stations of a check

    def move_station(self, number: int, at: str) -> None:
        """Say that a station is somewhere else; what was read there stays with it."""
        assert isinstance(self.reading, StraightedgeCheck)
        stations = list(self.reading.stations)
        stations[number] = Station(TypedLength(at, self.step.unit), stations[number].gap)
        self._order(list(enumerate(stations)), number)

    def add_station(self, at: str) -> None:
        """Add a station, and open it."""
        assert isinstance(self.reading, StraightedgeCheck)
        added = Station(TypedLength(at, self.step.unit), TypedLength("0", self.step.unit))
        stations = [*enumerate(self.reading.stations), (len(self.reading.stations), added)]
        self._order(stations, len(stations) - 1)

    def leave_out(self, number: int) -> None:
        """Leave a station out: nothing can be read there. Two are the least of a check."""
        assert isinstance(self.reading, StraightedgeCheck)
        stations = [pair for pair in enumerate(self.reading.stations) if pair[0] != number]
        self._order(stations, stations[min(number, len(stations) - 1)][0])

    def _order(self, stations: list[tuple[int, Station]], opened: int) -> None:
        """Take stations with the numbers that they had, in the order of their places."""
        stations.sort(key=lambda pair: pair[1].at.mm)
        gaps = {new: self.values.get(f"gap {old}", "") for new, (old, _) in enumerate(stations)}
        self.reading = replace(self.reading, stations=tuple(station for _, station in stations))
        self.values = {f"gap {number}": text for number, text in gaps.items() if text}
        self.go_to(f"gap {[old for old, _ in stations].index(opened)}")

    # Drafts

    def kept(self) -> dict[str, str]:
        """Return all of it as a draft's fields; nothing where nothing was typed or changed."""
        fields = {_TYPED + field: text for field, text in self.values.items() if text}
        if self.reading != self.planned:
            fields["reading"] = msgspec.json.encode(self.reading).decode()
        if fields:
            fields["open"] = self.open.field
        if self.in_place_of:
            fields["in place of"] = self.in_place_of
        return fields

    def take_up(self, fields: Mapping[str, str]) -> None:
        """Go on from a draft; one that does not belong to this reading is left alone."""
        if "reading" in fields:
            try:
                self.reading = msgspec.json.decode(fields["reading"], type=type(self.planned))
            except (msgspec.MsgspecError, ValueError):
                return
        names = {blank.field for blank in self.blanks}
        self.values = {
            name.removeprefix(_TYPED): text
            for name, text in fields.items()
            if name.startswith(_TYPED) and name.removeprefix(_TYPED) in names
        }
        self.in_place_of = fields.get("in place of", "")
        self.go_to(fields["open"] if fields.get("open") in names else self.blanks[0].field)

    def correct(self, old: Reading) -> None:
        """Correct an older reading: begin with what it says."""
        self.in_place_of = old.id
        self.reading = old
        self.values = {blank.field: blank.usual for blank in self.blanks}
        self.open = self.blanks[0]

    def read_again(self) -> None:
        """Take a further reading: none is corrected, nothing is typed."""
        self.in_place_of = ""
        self.reading = self.planned
        self.values = {}
        self.open = self.blanks[0]


def as_last_time(reading: Reading, survey: Survey, settings: Settings) -> Reading:
    """Return a reading to be taken with the instrument, the start and the face of the last one of its kind.

    Where none was taken it is as planned; a length is then read with the device's usual instrument.
    """
    last = next(iter(survey.of(type(reading))[::-1]), None)
    if last is not None:
        reading = replace(reading, face=last.face)
    if reading.instrument in BY_DEVICE:
        return reading
    if last is not None and last.instrument not in BY_DEVICE:
        # What was planned to be held otherwise says so by its line; a laser is held one way only.
        start = last.start if last.start is None or reading.start is None else reading.start
        return replace(reading, instrument=last.instrument, start=_start(last.instrument, start))
    if isinstance(reading, LengthReading):
        return replace(
            reading, instrument=settings.instrument, start=_start(settings.instrument, reading.start)
        )
    return reading


def _start(instrument: str, start: str | None) -> str | None:
    return start if instrument in ("tape", "steel rule") else None

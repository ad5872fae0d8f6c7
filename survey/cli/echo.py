"""What was understood, for the person who said it: the line, and its values in both units."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from survey.quantity import Step, write_both, write_length

if TYPE_CHECKING:
    from survey.records import Record, Station, Survey, TypedLength

SHORT: Final = 8

# Finer than any tape, so that an echo never rounds what was read.
_EXACT: Final = {"in": Step(Fraction(127, 5 * 128), "in"), "mm": Step(Fraction(1, 10), "mm")}
_INCH: Final = Fraction(127, 5)
_NO_VALUES: Final = frozenset({"sd"})


def short(record_id: str) -> str:
    """The beginning of an id, enough to type.

    >>> short("3f2a9c1d77e04a5c9b1d2e3f4a5b6c7d")
    '3f2a9c1d'
    """
    return record_id[:SHORT]


def echo_of(record: Record, unit: Literal["in", "mm"], survey: Survey | None = None) -> str:
    """The record's short id and its line; under it its lengths in both units, and each line that it ends."""
    from survey.cli.print_survey import line_of

    lines = [f"{short(record.id):{SHORT}}  {said(record, unit)}"]
    if values := values_in_both(record, unit):
        lines.append(f"= {values}")
    if survey is not None:
        ended = (survey.by_id[each] for each in record.replaces if each in survey.by_id)
        lines += [f"no longer: {line_of(each, unit)}" for each in ended]
    return f"\n{' ' * (SHORT + 2)}".join(lines)


def said(record: Record, unit: Literal["in", "mm"]) -> str:
    """The line as it would be dictated, with the ids in it as short as a person types them."""
    from survey.dictation import say

    line = say(record, unit)
    for each in record.replaces:
        line = line.replace(each, short(each), 1)
    return line


def values_in_both(record: Record, unit: Literal["in", "mm"]) -> str:
    """All lengths of a record by their names, and what the stations of a check span."""
    from survey.records import StraightedgeCheck, TypedLength

    said = [
        f"{spelled.replace('_', ' ')} {_both(getattr(record, name), unit)}"
        for name, spelled in zip(record.__struct_fields__, record.__struct_encode_fields__, strict=True)
        if isinstance(getattr(record, name), TypedLength) and name not in _NO_VALUES
    ]
    if isinstance(record, StraightedgeCheck):
        said.append(_stations(record.stations, unit))
    return ", ".join(said)


def _both(length: TypedLength, unit: Literal["in", "mm"]) -> str:
    if unit == "in" and length.unit == "in" and (length.mm / _EXACT[unit].mm).denominator > 1:  # by a caliper
        return f"{float(length.mm / _INCH):.6g} in ({write_length(length.mm, _EXACT['mm'])})"
    return write_both(length.mm, _EXACT[unit])


def _stations(stations: tuple[Station, ...], unit: Literal["in", "mm"]) -> str:
    first, last = (each(stations, key=lambda station: station.at.mm) for each in (min, max))
    least, most = (each(stations, key=lambda station: station.gap.mm) for each in (min, max))
    return (
        f"{len(stations)} stations from {_both(first.at, unit)} to {_both(last.at, unit)}, "
        f"gaps {_both(least.gap, unit)} to {_both(most.gap, unit)}"
    )

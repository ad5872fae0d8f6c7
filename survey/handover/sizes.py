"""How sizes are written in lists: as the report printed them, as decimals, or as fractions."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any, Final, Literal

import msgspec

from survey.quantity import read_step, round_length, write_length
from survey.report.structs import Dimension, FitReport

Sizes = Literal["as printed", "decimal", "fraction"]
FINEST: Final = read_step("1/64")
"""Fractions that are asked for where the job has none that fits; finer ones are on no rule."""
PLACES: Final = {"in": 4, "mm": 1}


def written_as(report: FitReport, sizes: Sizes) -> FitReport:
    """Return the report with every size written anew; its numbers stay as they are.

    >>> from survey.report.structs import NamedDimension, PieceReport, RoomReport
    >>> wide = NamedDimension("width", Dimension(871.5375, 871.5375, "34 5/16 in"))
    >>> shelf = PieceReport("shelf", "shelf", "ready", finished=(wide,))
    >>> made = FitReport("scribefit fit report", 3, "Bath", "in", "1/16", 0.99, "0" * 64, RoomReport(),
    ...                  (shelf,), ())
    >>> [written_as(made, how).pieces[0].finished[0].size.text for how in ("decimal", "fraction")]
    ['34.3125 in', '34 5/16 in']
    """
    if sizes == "as printed" or (sizes == "fraction" and report.unit == "mm"):
        return report
    write = _decimal if sizes == "decimal" else _fraction
    return msgspec.structs.replace(
        report, pieces=tuple(_rewritten(piece, report.unit, write) for piece in report.pieces)
    )


def _decimal(size: Dimension, unit: str) -> str:
    value = size.cut_mm / 25.4 if unit == "in" else size.cut_mm
    return f"{value:z.{PLACES[unit]}f}".rstrip("0").rstrip(".") + f" {unit}"


def _fraction(size: Dimension, _unit: str) -> str:
    """Write the size that was printed; a decimal of an inch as the nearest fraction over 64."""
    if "." not in size.text:
        return size.text
    return write_length(round_length(size.cut_mm, FINEST, "nearest"), FINEST)


def _rewritten(value: Any, unit: str, write: Callable[[Dimension, str], str]) -> Any:
    """Write every size anew that a part of a report holds."""
    if isinstance(value, Dimension):
        return msgspec.structs.replace(value, text=write(value, unit))
    if isinstance(value, msgspec.Struct):
        changed = {
            name: _rewritten(getattr(value, name), unit, write)
            for name in value.__struct_fields__
            if isinstance(getattr(value, name), msgspec.Struct | tuple)
        }
        return msgspec.structs.replace(value, **changed)
    if isinstance(value, tuple) and any(isinstance(one, msgspec.Struct) for one in value):
        return tuple(_rewritten(one, unit, write) for one in value)
    return value


def in_unit(mm: float, unit: str, sizes: Sizes) -> str:
    """Write a bare size in the job's unit: a decimal, or a fraction where that is asked for in inches.

    >>> [in_unit(871.5375, "in", how) for how in ("decimal", "fraction")], in_unit(872.0, "mm", "decimal")
    (['34.3125', '34 5/16'], '872')
    """
    if unit == "in" and sizes == "fraction":
        sixty_fourths = Fraction(round(mm / 25.4 * 64), 64)
        whole, rest = divmod(sixty_fourths, 1)
        return " ".join(filter(None, (str(whole) if whole or not rest else "", str(rest) if rest else "")))
    value = mm / 25.4 if unit == "in" else mm
    return f"{value:z.{PLACES[unit]}f}".rstrip("0").rstrip(".")

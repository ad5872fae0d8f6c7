"""The saw list as CSV: one lean row for each board to saw, for a program that divides sheets into parts.

Its columns are those that such programs commonly ask for (common practice, no source): what to print on the
label, how many, the size to cut first, the material, and whether the board may be turned on the sheet. RFC
4180, UTF-8 with a byte order mark, numbers with a point; the unit stands in the columns' names.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from survey.cells import harmless
from survey.handover.cut_list import flat_axes
from survey.handover.sizes import Sizes, in_unit
from survey.report.structs import FitReport, NamedDimension, PieceReport

AXES = ("length", "width", "thickness")


def columns_of(unit: str) -> tuple[str, ...]:
    """Return the names of the columns, in order; new ones will only ever be added at the end.

    >>> columns_of("in")[:4]
    ('number', 'label', 'quantity', 'length_in')
    """
    sizes = tuple(f"{axis}_{unit}" for axis in AXES)
    return (
        "number",
        "label",
        "quantity",
        *sizes,
        "material",
        "grain_locked",
        "edges",
        "piece",
        "part",
        "revision",
    )


def saw_list(report: FitReport, sizes: Sizes = "as printed") -> bytes:
    """Write the saw list of a report.

    A board is a piece, or a part of one that is put together; boxes, and pieces that are not ready, have no
    row. `length` lies along the grain, or is the longer side where there is none; sizes are what is cut
    first (the rough size, else the blank, else the finished size). `grain_locked` is `yes` where the grain
    has a direction. `edges` names those that are scribed later.

    Parameters
    ----------
    report : FitReport
    sizes : "as printed", "decimal" or "fraction"
        In inches `fraction` writes 34 5/16, all else decimals: programs read those.

    Examples
    --------
    >>> from survey.report.structs import Dimension, RoomReport
    >>> three = (("width", 600.0), ("height", 300.0), ("thickness", 18.0))
    >>> named = tuple(NamedDimension(name, Dimension(mm, mm, f"{mm:g} mm")) for name, mm in three)
    >>> shelf = PieceReport("shelf", "shelf", "ready", "oak", "along width", finished=named)
    >>> report = FitReport("scribefit fit report", 3, "Bath", "mm", "1 mm", 0.99, "0" * 64,
    ...                    RoomReport(), (shelf,), (), revision=7)
    >>> saw_list(report).decode("utf-8-sig").splitlines()[1]
    '1,shelf,1,600,300,18,oak,yes,,shelf,,7 00000000'
    """
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, columns_of(report.unit), restval="", lineterminator="\r\n")
    writer.writeheader()
    for number, row in enumerate(_boards(report, sizes), start=1):
        cells = row | {"number": str(number), "revision": f"{report.revision} {report.survey_hash[:8]}"}
        writer.writerow({column: harmless(cell) for column, cell in cells.items()})
    return text.getvalue().encode("utf-8-sig", errors="replace")


def _boards(report: FitReport, sizes: Sizes) -> Iterator[dict[str, str]]:
    for piece in report.pieces:
        if piece.status == "not ready":
            continue
        if not piece.parts:
            first = piece.rough or piece.blank or piece.finished
            row = _board(report, first, piece.grain, sizes)
            if row:
                yield row | _named(piece, "", piece.quantity, piece.material) | {"edges": _scribed(piece)}
        for part in piece.parts:
            row = _board(report, part.rough or part.finished, part.grain, sizes)
            if row:
                count = part.quantity * piece.quantity
                yield row | _named(piece, part.name, count, part.material or piece.material)


def _board(report: FitReport, first: Sequence[NamedDimension], grain: str, sizes: Sizes) -> dict[str, str]:
    """Give a board's three sizes; nothing of what is no board."""
    axes = flat_axes(first, "" if grain == "none" else grain)
    if not any(one.name == "thickness" for one in first) or not axes:
        return {}
    cells = {
        f"{axes[one.name]}_{report.unit}": in_unit(one.size.cut_mm, report.unit, sizes)
        for one in first
        if one.name in axes
    }
    return cells | {"grain_locked": "yes" if grain and grain != "none" else "no"}


def _named(piece: PieceReport, part: str, quantity: int, material: str) -> dict[str, str]:
    label = f"{piece.name} / {part}" if part else piece.name
    cells = {"label": label, "quantity": str(quantity), "material": material, "piece": piece.name}
    return cells | {"part": part}


def _scribed(piece: PieceReport) -> str:
    return "; ".join(f"{edge.edge} scribed" for edge in piece.edges if edge.allowance is not None)

r"""The cut list as CSV, for a spreadsheet or a program that divides sheets into parts.

One row is one piece, or one part of a piece that is put together; every column is always there, in the same
order. RFC 4180: comma, CR LF, quotes where
needed. UTF-8 with a byte order mark: without it a common spreadsheet reads accents and fractions in its
own code page, and programs that want none can be told `utf-8-sig`; pure ASCII stays readable to all.
Numbers have a point and no unit; the unit is in the column's name, so no locale is needed to read them.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec.structs import replace

from survey.cells import harmless
from survey.dictation import say
from survey.drawing.piece_words import axis_of, edge_words, grain_axis, leave_words
from survey.handover.sizes import Sizes, written_as
from survey.records import Piece, Survey
from survey.report.structs import (
    CutOutReport,
    Dimension,
    EdgeReport,
    FitReport,
    HoleReport,
    NamedDimension,
    PieceReport,
)

MM_PER_INCH = 25.4
AXES = ("length", "width", "thickness")
SIDES = ("left", "right", "front", "back", "bottom", "top")


def _size_columns(state: str) -> tuple[str, ...]:
    return tuple(f"{state}_{axis}{form}" for axis in AXES for form in ("", "_mm", "_in"))


COLUMNS: tuple[str, ...] = (
    "piece",
    "kind",
    "quantity",
    "material",
    "grain",
    "status",
    *_size_columns("finished"),
    *_size_columns("blank"),
    "length_is",
    "width_is",
    "finished_sizes",
    "blank_sizes",
    *(f"{side}_{what}" for side in SIDES for what in ("edge", "allowance", "allowance_mm", "allowance_in")),
    "datum",
    "notches",
    "note",
    "part",
    *_size_columns("rough"),
    "rough_sizes",
    "left_over_for",
    "cut_outs",
    "seams",
    "stock",
    "waits_for",
    "kilograms",
    "revision",
    "dictation",
)
"""Names of the columns, in order; new ones will only ever be added at the end."""


def cut_list(report: FitReport, survey: Survey | None = None, sizes: Sizes = "as printed") -> bytes:
    """Write the cut list of a report.

    Parameters
    ----------
    report : FitReport
    survey : Survey, optional
        With it the column `dictation` says each piece as it was put down, so that the list can be read back
        without a loss (`survey.intake`).
    sizes : "as printed", "decimal" or "fraction"
        How sizes stand in words and in the columns without a unit; those with `_mm` and `_in` are decimals
        always. A fraction of an inch is one over 64 at the finest, and of a millimetre there is none.

    `length` lies along the grain, or is the longer side where there is none; `length_is` says which size
    of the piece that is. A box, and what is put together of parts, has sizes in words only: it is no board
    to saw. Its parts follow it, a row each, named in `part`. A piece that is not ready has a reason in
    `note` and no size at all. `rough` is what is cut first, `left_over_for` says what the difference is for.
    `revision` is the survey's, with the start of its hash.

    Returns
    -------
    bytes
        The same report gives the same bytes.

    Examples
    --------
    >>> from survey.report.structs import RoomReport
    >>> shelf = PieceReport("shelf", "shelf", "not ready")
    >>> report = FitReport("scribefit fit report", 3, "Bath", "mm", "1 mm", 0.99, "0" * 64,
    ...                    RoomReport(), (shelf,), ())
    >>> cut_list(report).decode("utf-8-sig").splitlines()[1][:29]
    'shelf,shelf,1,,,not ready,,,,'
    """
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    said = _said(survey) if survey is not None else {}
    revision = f"{report.revision} {report.survey_hash[:8]}"
    for piece in written_as(report, sizes).pieces:
        for row in (_row(report, piece) | {"dictation": said.get(piece.name, "")}, *_part_rows(piece)):
            writer.writerow(
                {column: harmless(cell) for column, cell in (row | {"revision": revision}).items()}
            )
    return text.getvalue().encode("utf-8-sig", errors="replace")


def _said(survey: Survey) -> dict[str, str]:
    """Say each piece as it would be dictated."""
    unit = survey.job.unit if survey.job else "mm"
    return {piece.name: say(replace(piece, replaces=()), unit) for piece in survey.of(Piece)}


def _row(report: FitReport, piece: PieceReport) -> dict[str, str]:
    row = {
        "piece": piece.name,
        "kind": piece.kind,
        "quantity": str(piece.quantity),
        "material": piece.material,
        "grain": "" if piece.grain == "none" else piece.grain,
        "status": piece.status,
        "note": _note(report, piece),
    }
    if piece.status == "not ready":
        return row
    row |= {"datum": piece.datum, "notches": str(len(piece.notches))}
    axes = {} if piece.parts else _axes(piece)
    for state, sizes in (("finished", piece.finished), ("blank", piece.blank), ("rough", piece.rough)):
        row |= _sizes(state, sizes, axes)
        row[f"{state}_sizes"] = _named(sizes)
    row |= {f"{axis}_is": name for name, axis in axes.items() if axis != "thickness"}
    for edge in piece.edges:
        row |= {f"{edge.edge}_{what}": cell for what, cell in _edge_cells(edge).items()}
    row |= {
        "left_over_for": "; ".join(f"{one.size} {one.amount.text} {one.purpose}" for one in piece.oversize),
        "cut_outs": "; ".join([*map(cut_out_words, piece.cut_outs), *map(hole_words, piece.holes)]),
        "seams": _named(piece.seams),
        "stock": piece.stock.stock or piece.stock.says if piece.stock else "",
        "waits_for": "; ".join(piece.waits_for),
        "kilograms": _decimal(piece.lift.kilograms, 1) if piece.lift else "",
    }
    return {column: cell for column, cell in row.items() if column in COLUMNS}


def _part_rows(piece: PieceReport) -> Iterator[dict[str, str]]:
    """Give a row for each part of a piece that is put together; it counts for all pieces of the name."""
    for part in piece.parts:
        axes = flat_axes(part.finished, "" if part.grain == "none" else part.grain)
        row = {
            "piece": piece.name,
            "part": part.name,
            "kind": "part",
            "quantity": str(part.quantity * piece.quantity),
            "material": part.material or piece.material,
            "grain": "" if part.grain == "none" else part.grain,
            "status": piece.status,
            "note": part.note,
        }
        for state, sizes in (("finished", part.finished), ("rough", part.rough)):
            row |= _sizes(state, sizes, axes)
            row[f"{state}_sizes"] = _named(sizes)
        yield row | {f"{axis}_is": name for name, axis in axes.items() if axis != "thickness"}


def cut_out_words(cut_out: CutOutReport) -> str:
    """Say what is cut out, how large, and where its centre is."""
    size = f"{cut_out.width.text} x {cut_out.depth.text}"
    across = f"{cut_out.centre.across.text} {cut_out.across_from}"
    deep = f"{cut_out.centre.deep.text} {cut_out.deep_from}"
    return f"{cut_out.name}: {cut_out.shape} {size}, centre {across}, {deep}"


def hole_words(hole: HoleReport) -> str:
    """Say where a hole is bored in a box's back, and how large."""
    size = f" {hole.diameter.text}" if hole.diameter else ""
    centre = f"{hole.across.text} {hole.across_from}, {hole.up.text} {hole.up_from}"
    return f"hole for {hole.around}:{size} centre {centre}"


def _named(sizes: Iterable[NamedDimension]) -> str:
    return "; ".join(f"{one.name} {one.size.text}" for one in sizes)


def _edge_cells(edge: EdgeReport) -> dict[str, str]:
    told = edge_words(edge)
    if edge.allowance is None:
        return {"edge": ", ".join(filter(None, (told, leave_words(edge))))}
    total = edge.allowance.total
    return {
        "edge": told,
        "allowance": total.text,
        "allowance_mm": _decimal(total.cut_mm, 3),
        "allowance_in": _decimal(total.cut_mm / MM_PER_INCH, 4),
    }


def _axes(piece: PieceReport) -> Mapping[str, str]:
    """Say which named size is the length, the width and the thickness of a flat piece; none of a box."""
    grain = grain_axis(piece)
    along = next((one.name for one in piece.finished if grain and axis_of(one.name, piece) == grain), "")
    return flat_axes(piece.finished, f"along {along}" if along else "")


def flat_axes(sizes: Sequence[NamedDimension], grain: str) -> Mapping[str, str]:
    """Say which of three named sizes is length, width, thickness; `grain` as in `along width`, or nothing."""
    flat = [one for one in sizes if one.name != "thickness"]
    if len(flat) != 2:
        return {}
    along = [one for one in flat if one.name == grain.removeprefix("along ")]
    first = along[0] if along else max(flat, key=lambda one: one.size.cut_mm)
    second = flat[1] if first is flat[0] else flat[0]
    return {first.name: "length", second.name: "width", "thickness": "thickness"}


def _sizes(state: str, sizes: Iterable[NamedDimension], axes: Mapping[str, str]) -> dict[str, str]:
    cells: dict[str, str] = {}
    for one in sizes:
        axis = axes.get(one.name)
        if axis:
            cells |= {f"{state}_{axis}{form}": cell for form, cell in _forms(one.size).items()}
    return cells


def _forms(size: Dimension) -> dict[str, str]:
    """Give a size as the report printed it, and the same in both units as decimals."""
    return {
        "": size.text,
        "_mm": _decimal(size.cut_mm, 3),
        "_in": _decimal(size.cut_mm / MM_PER_INCH, 4),
    }


def _decimal(number: float, places: int) -> str:
    """Write a decimal without idle zeros.

    >>> _decimal(871.5375, 3), _decimal(34.3125, 4), _decimal(20.0, 3)
    ('871.538', '34.3125', '20')
    """
    return f"{number:z.{places}f}".rstrip("0").rstrip(".")


def _note(report: FitReport, piece: PieceReport) -> str:
    """Say in words what was found about a piece, by its number and name."""
    found = [
        f"{one.number} {one.says}; {one.do}"
        for one in report.findings
        if piece.name in one.pieces or (one.number in piece.findings and not one.pieces)
    ]
    if piece.status == "not ready":
        found.insert(0, "do not cut")
    return " | ".join(found)

"""The fit report as lines of text for a screen of 80 to 100 columns."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Final

from survey.cli.print_day import order_lines, way_words
from survey.cli.print_findings import WIDTH, findings_lines
from survey.cli.print_next import next_lines
from survey.handover.cut_list import cut_out_words, hole_words
from survey.report.chance_words import chance_words, matters, slip_words, step_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from survey.records import Survey
    from survey.report.structs import (
        AllowanceReport,
        EdgeReport,
        FitReport,
        NamedDimension,
        NotchReport,
        PieceReport,
        ScribeStation,
    )

LABEL: Final = 13
_STATIONS_A_ROW: Final = 6
_UNIT_NAMES: Final = {"in": "inches", "mm": "millimetres"}


def report_lines(report: FitReport, survey: Survey | None = None) -> list[str]:
    """Everything that a person cuts by: a paragraph for each piece, the order of work, the room's corners,
    the findings.

    Then what to read next. With the survey, readings to repeat are shown as they were dictated.
    """
    step = step_words(report.step, report.unit)
    head = f"{report.title}: {_UNIT_NAMES[report.unit]}, to {report.step}"
    lines = [head, "=" * len(head)]
    for piece in report.pieces:
        lines += ["", *piece_lines(piece, step, doubted=_is_doubted(piece, report))]
    if not report.pieces:
        lines += ["", "No piece is planned yet: add one, such as a cabinet or a top."]
    lines += order_lines(report)
    if report.room.corners:
        lines += ["", "Corners, on the room side"]
        lines += [
            f"  {corner.name}: {corner.angle_deg:.2f}° ± {corner.sd_deg:.2f}° {corner.span}".rstrip()
            for corner in report.room.corners
        ]
    if report.findings:
        lines += ["", "Findings", *findings_lines(report.findings, survey)]
    return lines + next_lines(report, survey)


def _is_doubted(piece: PieceReport, report: FitReport) -> bool:
    return any(one.severity == "doubt" and piece.name in one.pieces for one in report.findings)


def piece_lines(piece: PieceReport, step: str, doubted: bool = False) -> list[str]:
    """One piece: sizes, edges, notches, how it sits, how sure it is; `step` is the job's, in words."""
    count = f"{piece.quantity} x " if piece.quantity > 1 else ""
    head = f"{count}{piece.name} ({piece.kind}): {piece.status}{', but in doubt' if doubted else ''}"
    lines = [head, "-" * len(head)]
    material = ", ".join(part for part in (piece.material, _grain(piece.grain)) if part)
    lines += _row("material", material)
    lines += _row("finished", _dimensions(piece.finished))
    lines += _row("blank", _dimensions(piece.blank))
    lines += _row("datum", piece.datum)
    lines += _row("sits", piece.rule)
    for edge in piece.edges:
        lines += _edge(edge, matters(edge, piece))
    for notch in piece.notches:
        lines += _notch(notch)
    for cut_out in piece.cut_outs:
        lines += _row("cut out", cut_out_words(cut_out))
    for hole in piece.holes:
        lines += _row("bore", hole_words(hole))
    lines += _measures(piece.measures)
    for fixing in piece.fixings:
        where = f"{fixing.across.text} {fixing.across_from}, {fixing.off.text} from {fixing.mark}"
        lines += _row("stud", f"{fixing.stud} ({fixing.how}): {where}; within {fixing.within.text}")
    for words in piece.screws:
        lines += _row("screws", words)
    for words in way_words(piece):
        lines += _row("way in", words)
    if piece.lift:
        lines += _row("lift", piece.lift.says)
    for caution in piece.cautions:
        lines += _row("caution", caution)
    if piece.chance:
        lines += _row("chance", chance_words(piece.chance, step))
        lines += _row("slips", slip_words(piece.chance))
    lines += _row("confidence", _confidence(piece))
    return lines + _row("findings", ", ".join(map(str, piece.findings)))


def _grain(grain: str) -> str:
    return f"grain {grain}" if grain and grain != "none" else ""


def _confidence(piece: PieceReport) -> str:
    share = "" if piece.confidence is None else f"{100 * piece.confidence:.4g} %"
    return ": ".join(part for part in (share, piece.limits) if part)


def _dimensions(named: Iterable[NamedDimension]) -> str:
    return ", ".join(f"{each.name} {each.size.text}" for each in named)


def _measures(measures: Sequence[NamedDimension]) -> list[str]:
    """One under the other: they are looked up on site, one at a time."""
    width = max((len(each.name) for each in measures), default=0)
    lines = [line for each in measures for line in _row("", f"{each.name:<{width}}  {each.size.text}")]
    return [f"  {'on site':<{LABEL}}{lines[0].strip()}", *lines[1:]] if lines else []


def _edge(edge: EdgeReport, matters: bool) -> list[str]:
    meets = f"{edge.finish} to {edge.meets}" if edge.meets else edge.finish
    gap = f", gap {edge.gap.text}" if edge.gap else ""
    lines = _row(f"{edge.edge} edge", f"{meets}{gap}")
    if edge.allowance:
        lines += _row("", _allowance(edge.allowance))
    if edge.driver and matters:
        lines += _row("", f"most unknown: {edge.driver}")
    if edge.deepest and edge.shallowest:
        lines += _row("", f"scribe: deepest {edge.deepest.text}, shallowest {edge.shallowest.text}")
    return lines + _stations(edge.scribe, edge.stations_from)


def _allowance(allowance: AllowanceReport) -> str:
    return (
        f"leave {allowance.total.text}: {allowance.range.text} for the wall, "
        f"{allowance.unknown.text} for what is not known, {allowance.saw.text} for the saw"
    )


def _stations(stations: Sequence[ScribeStation], measured_from: str) -> list[str]:
    """Depths under their places, so many to a row."""
    if not stations:
        return []
    lines = _row("", f"depth of scribe, {measured_from}:" if measured_from else "depth of scribe:")
    for start in range(0, len(stations), _STATIONS_A_ROW):
        row = stations[start : start + _STATIONS_A_ROW]
        widths = [max(len(each.at.text), len(each.depth.text)) for each in row]
        places = [each.at.text.rjust(width) for each, width in zip(row, widths, strict=True)]
        depths = [each.depth.text.rjust(width) for each, width in zip(row, widths, strict=True)]
        lines += [f"{'':{LABEL + 2}}at    {'  '.join(places)}", f"{'':{LABEL + 2}}depth {'  '.join(depths)}"]
    return lines


def _notch(notch: NotchReport) -> list[str]:
    lines = _row("notch", f"around {notch.around}, clear of it by {notch.clearance.text}")
    rows = [(notch.across_from, notch.deep_from)]
    rows += [(corner.across.text, corner.deep.text) for corner in notch.corners]
    width = max(len(across) for across, _ in rows)
    return lines + [f"{'':{LABEL + 2}}{across:>{width}}   {deep}" for across, deep in rows]


def _row(label: str, text: str) -> list[str]:
    if not text:
        return []
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=f"  {label:<{LABEL}}" if len(label) <= LABEL else f"  {label} ",
        subsequent_indent=" " * (LABEL + 2),
        break_on_hyphens=False,
    )

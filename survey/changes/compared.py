"""What one piece's paper says otherwise now, in lines; what did not change is not told."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from survey.changes.entries import Entry, entries
from survey.changes.outlines import moved_by
from survey.changes.structs import Told
from survey.quantity import Step, write_length
from survey.report.structs import EdgeReport, PieceReport

ERRORS = 2.0
"""Chances are sampled: two that lie within so many errors of one another are the same."""


def signed(mm: float, step: Step) -> str:
    """Write a difference with its sign; empty where it prints as nothing.

    >>> from survey.quantity import read_step
    >>> signed(6.35, read_step("1/16")), signed(-3.2, read_step("1 mm")), signed(0.2, read_step("1 mm"))
    ('+1/4 in', '-3 mm', '')
    """
    text = write_length(mm, step)
    if text in (write_length(0.0, step), "-" + write_length(0.0, step)):
        return ""
    return text if text.startswith("-") else f"+{text}"


def shows(mm: float, step: Step) -> bool:
    """Say whether a move prints as a graduation or more.

    >>> from survey.quantity import read_step
    >>> shows(0.4, read_step("1 mm")), shows(0.6, read_step("1 mm"))
    (False, True)
    """
    return mm > float(step.mm) / 2


def told(was: PieceReport, now: PieceReport, steps: tuple[Step, Step]) -> tuple[Told, ...]:
    """Tell what changed from one report of a piece to another.

    Of a piece that is not ready on one side only that is told: its paper has no numbers there.

    Parameters
    ----------
    was, now : PieceReport
    steps : Step and Step
        The smallest fractions of the two jobs.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> oak, ash = (PieceReport("shelf", "top", "ready", material=wood) for wood in ("oak", "ash"))
    >>> [one.words for one in told(oak, ash, (read_step("1 mm"),) * 2)]
    ['material ash, was oak']
    """
    status = [Told("status", was.status, now.status, group="cut")] if was.status != now.status else []
    if "not ready" in (was.status, now.status) and status:
        return tuple(status)
    step = steps[1]
    moved = moved_by(was, now)
    lines = status
    if shows(moved, step):
        lines.append(
            Told("outline", difference=f"moved by at most {write_length(moved, step)}", group="outline")
        )
    old, new = entries(was), entries(now)
    for key in [*new, *(key for key in old if key not in new)]:
        line = _otherwise(old.get(key), new.get(key), steps)
        if line is not None:
            lines.append(line)
    return (*lines, *_planed(was, now, step))


def _otherwise(old: Entry | None, new: Entry | None, steps: tuple[Step, Step]) -> Told | None:
    if old is None or new is None:
        one = old or new
        assert one is not None  # the name comes from one of the two
        sides = (one.text, "") if new is None else ("", one.text)
        return Told(one.what, *sides, group=one.group)
    difference = ""
    if old.mm is not None and new.mm is not None:
        is_same = (
            old.text == new.text
            if steps[0] == steps[1]
            else abs(new.mm - old.mm) < float(max(one.mm for one in steps))
        )
        difference = signed(new.mm - old.mm, steps[1])
    elif old.likely is not None and new.likely is not None:
        error = ERRORS * math.hypot(old.likely.error, new.likely.error)
        is_same = old.text == new.text or abs(old.likely.chance - new.likely.chance) <= error
    else:
        is_same = old.text == new.text
    return None if is_same else Told(new.what, old.text, new.text, difference, new.group)


def _planed(was: PieceReport, now: PieceReport, step: Step) -> Iterator[Told]:
    """Tell of each scribed edge by how much the depths to plane off changed, place by place."""
    before = {edge.edge: edge for edge in was.edges if edge.scribe}
    for edge in now.edges:
        old = before.get(edge.edge)
        if old is None or not edge.scribe or old.stations_from != edge.stations_from:
            continue
        most = _deeper(old, edge)
        if shows(most, step):
            difference = f"changed by at most {write_length(most, step)}"
            yield Told(f"depths to plane off at the {edge.edge} edge", difference=difference, group="edge")


def _deeper(old: EdgeReport, new: EdgeReport) -> float:
    """Return by how much the depths differ at most, where both are known (mm)."""
    (a, x), (b, y) = (
        np.array(sorted((one.at.mm, one.depth.mm) for one in edge.scribe)).T for edge in (old, new)
    )
    places = np.array([at for at in {*a, *b} if max(a[0], b[0]) <= at <= min(a[-1], b[-1])])
    if not places.size:
        return 0.0
    return float(np.abs(np.interp(places, a, x) - np.interp(places, b, y)).max())

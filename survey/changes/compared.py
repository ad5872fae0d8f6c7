"""What one piece's paper says otherwise now, in lines; what did not change is not told."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from survey.changes.entries import Entry, entries
from survey.changes.outlines import moved_by
from survey.changes.structs import Group, Told
from survey.quantity import Step, write_length
from survey.report.structs import Dimension, EdgeReport, PieceReport

AS_PRINTED = frozenset({"cut", "notch", "cut-out", "part"})
"""Groups whose numbers are cut by."""
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
    if shows(moved, max(steps, key=lambda one: one.mm)):
        lines.append(
            Told("outline", difference=f"moved by at most {write_length(moved, step)}", group="outline")
        )
    old, new = entries(was), entries(now)
    for key in [*new, *(key for key in old if key not in new)]:
        line = _otherwise(old.get(key), new.get(key), steps)
        if line is not None:
            lines.append(line)
    return (*_without_twins(lines), *_planed(was, now, step))


def _without_twins(lines: list[Told]) -> Iterator[Told]:
    """Leave out a blank's size that is told as the finished one's, and a rough one's told as the blank's."""
    met = {(one.what, one.before, one.now) for one in lines}
    for one in lines:
        state, _, size = one.what.partition(" ")
        finer = {"blank": "finished", "rough": "blank"}.get(state, "")
        if one.group != "cut" or (f"{finer} {size}", one.before, one.now) not in met:
            yield one


def _otherwise(old: Entry | None, new: Entry | None, steps: tuple[Step, Step]) -> Told | None:
    if old is None or new is None:
        one = old or new
        assert one is not None  # the name comes from one of the two
        sides = (one.text, "") if new is None else ("", one.text)
        return Told(one.what, *sides, group=one.group)
    difference = ""
    if old.size is not None and new.size is not None:
        is_same = _is_same(new.group, old.size, new.size, steps)
        difference = signed(new.size.cut_mm - old.size.cut_mm, steps[1])
    elif old.likely is not None and new.likely is not None:
        error = ERRORS * math.hypot(old.likely.error, new.likely.error)
        is_same = old.text == new.text or abs(old.likely.chance - new.likely.chance) <= error
    else:
        is_same = old.text == new.text
    return None if is_same else Told(new.what, old.text, new.text, difference, new.group)


def _is_same(group: Group, old: Dimension, new: Dimension, steps: tuple[Step, Step]) -> bool:
    """Say whether a length is the same on both papers, as far as it matters.

    What is cut by counts as printed. What is only set or looked at may print otherwise for a hair that made
    it round the other way: that is no change. Where two jobs print differently, neither counts as printed.
    """
    if steps[0] != steps[1]:
        return abs(new.mm - old.mm) < float(max(one.mm for one in steps))
    return old.text == new.text or (group not in AS_PRINTED and not shows(abs(new.mm - old.mm), steps[1]))


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

"""What a change means for a piece that was cut to the old paper already.

The old paper's cut line is the blank where an edge is scribed, else the finished outline. Where the old piece
covers the new one it is re-cut; where not, no saw helps. Half a graduation is nothing: nobody sees it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

from survey.changes.outlines import covers, shift, short_by, wood
from survey.changes.structs import HARM, Verdict
from survey.quantity import Step, write_length
from survey.report.back_holes import AROUND
from survey.report.structs import NamedDimension, PieceReport


class Meaning(NamedTuple):
    """What to do with a piece that is cut, and in words."""

    verdict: Verdict
    says: str = ""


def meaning(was: PieceReport, now: PieceReport, step: Step) -> Meaning:
    """Say what becomes of a piece that was cut to the old paper; of several things the worst comes first.

    Examples
    --------
    >>> from survey.quantity import read_step
    >>> def top(width):
    ...     ring = ((0.0, 0.0), (width, 0.0), (width, 300.0), (0.0, 300.0))
    ...     return PieceReport("top", "top", "ready", outline=ring)
    >>> meaning(top(600.0), top(590.0), read_step("1 mm")).verdict
    're-cut'
    >>> meaning(top(600.0), top(610.0), read_step("1 mm")).says
    'a new blank is needed: it is short by up to 10 mm'
    """
    if now.status == "not ready":
        if was.status == "not ready":
            return Meaning("cut as before")
        return Meaning("do not cut", "it is not ready any more: settle its findings before it is cut or set")
    if was.status == "not ready":
        return Meaning("can be cut now", "it was not ready before")
    found = sorted(_all(was, now, step), key=lambda one: HARM[one.verdict])
    if not found:
        return Meaning("cut as before")
    return Meaning(found[0].verdict, "; ".join(dict.fromkeys(one.says for one in found if one.says)))


def _all(was: PieceReport, now: PieceReport, step: Step) -> Iterator[Meaning]:
    for what, old, new in (
        ("kind", was.kind, now.kind),
        ("material", was.material, now.material),
        ("grain", was.grain, now.grain),
    ):
        if old != new:
            yield Meaning("new blank", f"a new blank is needed: its {what} is another")
    yield from _quantity(was.quantity, now.quantity)
    yield from _parts(was, now)
    if wood(was) is not None and wood(now) is not None:
        yield _outlined(was, now, step)
        yield from _thickness(was, now)
    else:
        yield from _square(was, now)
        yield from _bored(was, now)


def _quantity(old: int, new: int) -> Iterator[Meaning]:
    if new > old:
        yield Meaning("make more", f"make {new - old} more")
    elif new < old:
        yield Meaning("make fewer", f"{old - new} fewer are needed")


def is_scribed(piece: PieceReport) -> bool:
    """Whether its blank is what the shop cuts: something is left on it to plane off."""
    return bool(piece.blank_outline) and any(edge.allowance for edge in piece.edges)


def _outlined(was: PieceReport, now: PieceReport, step: Step) -> Meaning:
    """Lay the old cut piece over the new one."""
    old, new = wood(was, is_scribed(was)), wood(now, is_scribed(now))
    start, slack = shift(was, now), float(step.mm) / 2
    if covers(old, new, start, slack):
        back = (-start[0], -start[1])
        if covers(new, old, back, slack):
            return Meaning("cut as before", _still(was, now, step))
        return Meaning("re-cut", "re-cut possible: the old one covers the new one")
    short = short_by(old, new, start)
    by = f" by up to {write_length(short, step)}" if short > slack else ""
    if is_scribed(was) and is_scribed(now) and covers(old, wood(now), start, slack):
        less = f"it is short of the new blank{by}"
        return Meaning("less left on", f"the old blank still covers the finished line, but {less}")
    says = f"a new blank is needed: it is short{by}"
    if not is_scribed(was) and _is_in_blank(was, new, start, slack):
        says += "; one of which only the blank was cut still does"
    return Meaning("new blank", says)


def _is_in_blank(was: PieceReport, new: Any, start: tuple[float, float], slack: float) -> bool:
    blank = wood(was, True)
    return blank is not None and covers(blank, new, start, slack)


def _still(was: PieceReport, now: PieceReport, step: Step) -> str:
    """Say why a size that prints otherwise makes no matter."""
    old, new = ({name: mm for name, mm in _sizes(one).items() if name != "thickness"} for one in (was, now))
    if old == new:
        return ""
    half = write_length(float(step.mm), step)
    return f"its line moved by less than half of {half}: what is cut still does"


def _thickness(was: PieceReport, now: PieceReport) -> Iterator[Meaning]:
    old, new = (_sizes(piece).get("thickness") for piece in (was, now))
    if old is not None and new is not None and old != new:
        yield Meaning("new blank", "a new blank is needed: its thickness is another")


def _square(was: PieceReport, now: PieceReport) -> Iterator[Meaning]:
    """Compare by sizes what has no outline: a board that is cut square, or a box."""
    old, new = _sizes(was), _sizes(now)
    if old == new:
        return
    if "thickness" not in new:
        yield Meaning("build anew", "its size is another")
        return
    yield from _thickness(was, now)
    if any(new[name] > old.get(name, 0.0) for name in new if name != "thickness"):
        yield Meaning("new blank", "a new blank is needed: it got larger")
    elif any(new[name] < old[name] for name in new if name != "thickness"):
        yield Meaning("re-cut", "re-cut possible: it only got smaller")


def _bored(was: PieceReport, now: PieceReport) -> Iterator[Meaning]:
    """Compare the holes in a box's back: what is bored stays, and serves while the pipe has some play."""
    before = {one.around: one for one in was.holes}
    for one in now.holes:
        old = before.get(one.around)
        if old is None:
            yield Meaning("re-cut", f"bore its back for {one.around}, too")
        elif math.dist((old.across.mm, old.up.mm), (one.across.mm, one.up.mm)) > AROUND / 2:
            moved = f"a new back is needed where it is bored: the hole for {one.around} is elsewhere"
            yield Meaning("new blank", moved)
        elif one.diameter and (old.diameter is None or old.diameter.mm < one.diameter.mm):
            yield Meaning("re-cut", f"bore the hole for {one.around} larger")


def _sizes(piece: PieceReport) -> dict[str, float]:
    """Return what the shop cuts to: the blank where an edge is scribed, else the finished size (mm)."""
    return _by_name(piece.blank if is_scribed(piece) else piece.finished)


def _by_name(sizes: tuple[NamedDimension, ...]) -> dict[str, float]:
    return {one.name: one.size.cut_mm for one in sizes}


def _parts(was: PieceReport, now: PieceReport) -> Iterator[Meaning]:
    """Compare parts by name: each is a board of its own."""
    before = {part.name: part for part in was.parts}
    for part in now.parts:
        old = before.get(part.name)
        if old is None:
            yield Meaning("make more", f"make {part.name}, too")
            continue
        if part.quantity > old.quantity:
            yield Meaning("make more", f"make {part.quantity - old.quantity} more of {part.name}")
        sizes = [_by_name(one.finished) for one in (old, part)]
        thick = [each.get("thickness") for each in sizes]
        grew = any(size > sizes[0].get(name, 0.0) for name, size in sizes[1].items())
        if old.material != part.material or thick[0] != thick[1] or grew:
            yield Meaning("new blank", f"a new blank is needed for {part.name}")
        elif sizes[0] != sizes[1]:
            yield Meaning("re-cut", f"re-cut possible of {part.name}")

"""Whether blanks come out of the stock on hand, and go onto a machine's bed; what real thickness changes.

An answer is never a false yes: "comes out" carries a layout, and a false no neither: "does not" carries
a reason that holds for every layout. What is between them is "not found". For one blank there is nothing
between.

Sizes are mm; a sheet's or board's grain runs along its length, a blank's along its length too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from fitting.errors import BadInput
from fitting.piece import refuse_size

Verdict = Literal["comes out", "does not", "not found"]

SAME_THICKNESS: Final = 25.4 / 16
"""mm by which a sheet may miss the thickness asked for and still be the one that is meant, 1/16 (judgement:
23/32 sheets pass for 3/4; what it changes is said)."""
TOUCHES: Final = 1e-6
"""mm; blanks and edges nearer than this touch: what is left of adding up sizes."""
MOST_BLANKS: Final = 400
"""Blanks that are laid out at once; more are a slip in a quantity."""
SQUARE_FOOT: Final = 304.8**2
"""mm²"""


@dataclass(frozen=True)
class Blank:
    """A rectangular blank; `free` may be turned, its grain does not matter.

    `out_of` names the stock that will do, such as what is thick enough; empty: any.
    """

    name: str
    length: float
    width: float
    free: bool = False
    out_of: frozenset[str] = frozenset()

    def may_be_from(self, sheet: Sheet) -> bool:
        """Whether a stock will do, whatever its size."""
        return not self.out_of or sheet.name in self.out_of


@dataclass(frozen=True)
class Sheet:
    """Sheets, boards or slabs that are alike, by their real size."""

    name: str
    length: float
    width: float
    quantity: int = 1


@dataclass(frozen=True)
class Laid:
    """Where a blank is laid: on which sheet of its kind (from 0), its corner, and its size there."""

    blank: str
    sheet: str
    number: int
    x: float
    y: float
    length: float
    width: float


@dataclass(frozen=True)
class CutPlan:
    """The answer; `laid` where it comes out, `why` where it does not or nothing was found.

    `short` is by how much (mm) the one blank is too long or too wide that no sheet takes; 0 otherwise.
    `slanted` blanks come out of a sheet only when they are laid askew on it; each has one to itself.
    """

    verdict: Verdict
    laid: tuple[Laid, ...] = ()
    why: str = ""
    short: float = 0.0
    slanted: tuple[str, ...] = ()


def fits_in(length: float, width: float, room_length: float, room_width: float) -> bool:
    """Whether a rectangle lies in another, turned as it likes.

    Exact: Carver 1957, Wetzel 2000, "Rectangles in rectangles". Whether it gets there is another question.

    >>> fits_in(12.0, 1.0, 10.0, 8.28), fits_in(12.0, 1.0, 10.0, 8.27)
    (True, False)
    """
    p, q = max(length, width), min(length, width)
    a, b = max(room_length, room_width), min(room_length, room_width)
    if p <= a + TOUCHES:
        return q <= b + TOUCHES
    if q > b:
        return False
    root = math.sqrt(max(p * p + q * q - a * a, 0.0))
    return b >= (2 * p * q * a + (p * p - q * q) * root) / (p * p + q * q)


def cut_plan(blanks: Sequence[Blank], stock: Sequence[Sheet], kerf: float) -> CutPlan:
    """Say whether all blanks come out of the stock, with straight cuts from edge to edge.

    Parameters
    ----------
    blanks : sequence of Blank
        Each as often as it is needed.
    stock : sequence of Sheet
        Of the right material and thickness.
    kerf : float
        What each cut takes (mm, >= 0); at a sheet's edge nothing is taken.

    Returns
    -------
    CutPlan
        For one blank exact. For several a layout that was found by trying orders and ways to divide what
        is left, and that was checked; or a proof that there is none; or "not found".

    Raises
    ------
    BadInput
        A size or kerf that can't be, or more than 400 blanks.

    Examples
    --------
    >>> ply = Sheet("ply", 2440.0, 1220.0)
    >>> cut_plan([Blank("side", 800.0, 600.0)] * 6, [ply], kerf=3.0).verdict
    'comes out'
    >>> no = cut_plan([Blank("rail", 2500.0, 60.0)], [ply], kerf=3.0)
    >>> no.verdict, round(no.short, 1)
    ('does not', 60.0)
    """
    _refuse(blanks, stock, kerf)
    sheets = [one for one in stock if one.quantity]
    for blank in blanks:
        if not any(_fits_one(blank, sheet) for sheet in sheets):
            return CutPlan("does not", (), *_too_large(blank, sheets))
    why = _proof(blanks, sheets, kerf)
    if why:
        return CutPlan("does not", (), why)
    best: list[Laid] | None = None
    straight, askew = _parted(blanks, sheets)
    for order in _orders(straight):
        for rule in ("short", "long"):
            best = _laid_out(order, askew, sheets, kerf, rule)
            if best is not None:
                slanted = tuple(one.name for one in askew)
                refuse_overlap(best, sheets, kerf, slanted)
                return CutPlan("comes out", tuple(best), slanted=slanted)
    return CutPlan("not found", (), "no layout was found, and none was proved impossible")


def excess_on_bed(
    length: float, width: float, thickness: float, bed: tuple[float, float, float | None]
) -> dict[str, float]:
    """Return by how much (mm) a blank is too large for a bed (length, width, thickness); nothing: it goes.

    It may lie either way, not askew: a fence and a gantry are square. Of the two ways the better one.

    >>> excess_on_bed(1000.0, 700.0, 20.0, (900.0, 1200.0, None))
    {}
    >>> excess_on_bed(1300.0, 700.0, 20.0, (1200.0, 900.0, 18.0))
    {'length': 100.0, 'thickness': 2.0}
    """
    for what, size in (("length", length), ("width", width), ("thickness", thickness)):
        refuse_size(what, size)
    ways = []
    for long, wide in ((bed[0], bed[1]), (bed[1], bed[0])):
        over = {"length": length - long, "width": width - wide}
        ways.append({what: by for what, by in over.items() if by > TOUCHES})
    excess = min(ways, key=lambda way: (sum(way.values()), len(way)))
    if bed[2] is not None and thickness - bed[2] > TOUCHES:
        excess["thickness"] = thickness - bed[2]
    return excess


def refuse_overlap(
    laid: Sequence[Laid], stock: Sequence[Sheet], kerf: float, slanted: Sequence[str] = ()
) -> None:
    """Refuse a layout in which blanks overlap, lie nearer than a kerf, or leave their sheet.

    A slanted one is only taken alone on its sheet.

    Raises
    ------
    BadInput
        Names the blanks.
    """
    sizes = {sheet.name: sheet for sheet in stock}
    for one in laid:
        sheet = sizes[one.sheet]
        if one.blank in slanted:
            inside = fits_in(one.length, one.width, sheet.length, sheet.width)
        else:
            right, upper = one.x + one.length - sheet.length, one.y + one.width - sheet.width
            inside = max(-one.x, -one.y, right, upper) <= TOUCHES
        if not (inside and 0 <= one.number < sheet.quantity):
            raise BadInput(
                f"{one.blank}: expected it on sheet {one.number + 1} of {one.sheet}, it reaches over"
            )
    for one, other in combinations(laid, 2):
        if (one.sheet, one.number) != (other.sheet, other.number):
            continue
        across = max(one.x - other.x - other.length, other.x - one.x - one.length)
        up = max(one.y - other.y - other.width, other.y - one.y - one.width)
        if max(across, up) < kerf - TOUCHES or {one.blank, other.blank} & set(slanted):
            raise BadInput(
                f"{one.blank} and {other.blank}: expected a kerf of {kerf:g} mm between them "
                f"on sheet {one.number + 1} of {one.sheet}"
            )


def _refuse(blanks: Sequence[Blank], stock: Sequence[Sheet], kerf: float) -> None:
    if not blanks:
        raise BadInput("expected one blank or more, got none")
    if len(blanks) > MOST_BLANKS:
        raise BadInput(
            f"expected at most {MOST_BLANKS} blanks at once, got {len(blanks)}: look at the quantities"
        )
    sizes = [(one.name, one.length, one.width) for one in blanks]
    for name, length, width in [*sizes, *((one.name, one.length, one.width) for one in stock)]:
        refuse_size(f"{name}: length", length)
        refuse_size(f"{name}: width", width)
    names = [one.name for one in stock]
    if len(set(names)) < len(names):
        raise BadInput(f"expected stock of different names, got {names}")
    if not (math.isfinite(kerf) and kerf >= 0):
        raise BadInput(f"kerf: expected 0 mm or more, got {kerf}")
    for sheet in stock:
        if sheet.quantity < 0:
            raise BadInput(f"{sheet.name}: expected a quantity of 0 or more, got {sheet.quantity}")


def _ways(blank: Blank) -> Iterator[tuple[float, float]]:
    yield blank.length, blank.width
    if blank.free and blank.length != blank.width:
        yield blank.width, blank.length


def _lies_square(blank: Blank, sheet: Sheet) -> bool:
    return blank.may_be_from(sheet) and any(
        long <= sheet.length + TOUCHES and wide <= sheet.width + TOUCHES for long, wide in _ways(blank)
    )


def _fits_one(blank: Blank, sheet: Sheet) -> bool:
    if _lies_square(blank, sheet):
        return True
    fits = blank.free and fits_in(blank.length, blank.width, sheet.length, sheet.width)
    return fits and blank.may_be_from(sheet)


def _too_large(blank: Blank, sheets: Sequence[Sheet]) -> tuple[str, float]:
    """Say what of a blank is larger than the sheet that comes nearest, and by how much."""
    will_do = [sheet for sheet in sheets if blank.may_be_from(sheet)]
    if not will_do:
        return "there is none on hand", 0.0
    lacking = []
    for sheet in will_do:
        for long, wide in _ways(blank):
            by, what = max((long - sheet.length, "long"), (wide - sheet.width, "wide"))
            lacking.append((by, what, sheet.name))
    by, what, name = min(lacking)
    return f"`{blank.name}` is too {what} for `{name}`", by


def _proof(blanks: Sequence[Blank], sheets: Sequence[Sheet], kerf: float) -> str:
    """Say why no layout at all can hold these blanks; nothing where that is not proved.

    Blanks that lie square to the sheet and a kerf apart do not overlap when each is grown by a kerf to the
    right and up, and then lie in the sheet grown likewise. Those over half a sheet both ways never share one.
    """
    grow = 0.0 if any(one.free for one in blanks) else kerf
    need = math.fsum((one.length + grow) * (one.width + grow) for one in blanks)
    have = math.fsum(one.quantity * (one.length + grow) * (one.width + grow) for one in sheets)
    if need > have * (1 + 1e-12):
        feet = f"{need / SQUARE_FOOT:.1f} and {have / SQUARE_FOOT:.1f} sq ft"
        return f"all that is cut from it needs {need / 1e6:.2f} m², and there are {have / 1e6:.2f} ({feet})"
    long, wide = max(one.length for one in sheets), max(one.width for one in sheets)
    large = [
        one for one in blanks if not one.free and 2 * one.length + kerf > long and 2 * one.width + kerf > wide
    ]
    count = sum(one.quantity for one in sheets)
    if len(large) > count:
        return f"{len(large)} of them take a sheet each and there are {count}"
    return ""


def _parted(blanks: Sequence[Blank], sheets: Sequence[Sheet]) -> tuple[list[Blank], list[Blank]]:
    """Part blanks that lie square on some sheet from those that only lie askew on one."""
    askew = [one for one in blanks if not any(_lies_square(one, sheet) for sheet in sheets)]
    return [one for one in blanks if one not in askew], askew


def _orders(blanks: Sequence[Blank]) -> Iterator[list[Blank]]:
    """Give the orders in which blanks are tried: the most awkward first, by different lights."""
    keys: tuple[Callable[[Blank], float], ...] = (
        lambda one: one.length * one.width,
        lambda one: max(one.length, one.width),
        lambda one: one.width,
        lambda one: one.length,
        lambda one: min(one.length, one.width),
    )
    for key in keys:
        yield sorted(blanks, key=key, reverse=True)


@dataclass(frozen=True)
class _Free:
    """What is still left of a sheet: a rectangle."""

    sheet: Sheet
    number: int
    x: float
    y: float
    length: float
    width: float


def _laid_out(
    order: Iterable[Blank], askew: Iterable[Blank], sheets: Sequence[Sheet], kerf: float, rule: str
) -> list[Laid] | None:
    """Lay blanks one after the other where least is left over; nothing where one finds no place."""
    laid: list[Laid] = []
    free = [_Free(one, at, 0.0, 0.0, one.length, one.width) for one in sheets for at in range(one.quantity)]
    for blank in askew:
        place = next((at for at in free if _fits_one(blank, at.sheet)), None)
        if place is None:
            return None
        free.remove(place)
        laid.append(Laid(blank.name, place.sheet.name, place.number, 0.0, 0.0, blank.length, blank.width))
    for blank in order:
        choices = [
            (min(place.length - long, place.width - wide), at, long, wide)
            for at, place in enumerate(free)
            for long, wide in _ways(blank)
            if blank.may_be_from(place.sheet)
            and long <= place.length + TOUCHES
            and wide <= place.width + TOUCHES
        ]
        if not choices:
            return None
        _, at, long, wide = min(choices)
        place = free.pop(at)
        laid.append(Laid(blank.name, place.sheet.name, place.number, place.x, place.y, long, wide))
        free += _divided(place, long, wide, kerf, rule)
    return laid


def _divided(place: _Free, long: float, wide: float, kerf: float, rule: str) -> Iterator[_Free]:
    """Divide what is left beside and above a blank with one cut from edge to edge and one up to it."""
    right, above = place.length - long - kerf, place.width - wide - kerf
    beside_first = (right < above) == (rule == "short")
    height = wide if beside_first else place.width
    across = place.length if beside_first else long
    sheet, number = place.sheet, place.number
    if right > TOUCHES:
        yield _Free(sheet, number, place.x + long + kerf, place.y, right, height)
    if above > TOUCHES:
        yield _Free(sheet, number, place.x, place.y + wide + kerf, across, above)

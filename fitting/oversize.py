"""How much larger than finished a part is cut first, by what the wood is left over for.

Every amount of the table is for one edge, end or face, and common practice without a source; a shop
has its own, and a piece may have its own again. Amounts for several purposes add up, because each of
them takes its wood away for itself: a rail is jointed, and later trimmed flush.

Sizes are mm: length along the grain (or the longer way), width across it, thickness.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal, get_args

from fitting.errors import BadInput
from fitting.piece import refuse_size

Purpose = Literal[
    "scribing", "trimming", "veneer", "edging", "jointing", "planing", "end trimming", "fitting fronts"
]
By = Literal["common practice", "the shop", "the piece"]
Axis = Literal["length", "width", "thickness"]

MOST: Final = 300.0
"""mm; an amount above this is a slipped digit: no purpose takes a foot of wood at an edge."""


@dataclass(frozen=True)
class Places:
    """At how many ends, edges and faces wood is left: 0, 1 or 2 of each."""

    length: int = 0
    width: int = 0
    thickness: int = 0

    def __post_init__(self) -> None:
        """Refuse what no rectangular part has."""
        for axis in get_args(Axis):
            count = getattr(self, axis)
            if count not in (0, 1, 2):
                raise BadInput(f"{axis}: expected wood left at 0, 1 or 2 places, got {count}")


@dataclass(frozen=True)
class Usual:
    """What is usually left at each place (mm), and at which places of a part."""

    each: float
    places: Places


USUAL: Final[Mapping[Purpose, Usual]] = {
    "scribing": Usual(25.4 / 2, Places(width=1)),
    "trimming": Usual(25.4 / 16, Places(length=2, width=2)),
    "veneer": Usual(25.4 / 2, Places(length=2, width=2)),
    "edging": Usual(25.4 / 16, Places(length=2, width=2)),
    "jointing": Usual(25.4 / 8, Places(width=2)),
    "planing": Usual(25.4 / 16, Places(thickness=2)),
    "end trimming": Usual(25.4 / 2, Places(length=2)),
    "fitting fronts": Usual(25.4 / 16, Places(length=2, width=2)),
}
"""Common practice, no source: 1/2 in for scribing where nothing is computed (from memory: stiles and fillers
1/2 to 3/4), 1/16 for trimming flush and for an edging that is planed flush, a leaf of veneer 1/2 in over each
edge of its core, 1/8 for jointing an edge, 1/16 for planing a face, 1/2 for squaring an end, and 1/16 at each
edge of a front that is fitted to its opening last."""


@dataclass(frozen=True)
class Added:
    """What one purpose adds to one size: `each` at `places` of them, mm."""

    axis: Axis
    purpose: Purpose
    each: float
    places: int
    by: By

    @property
    def amount(self) -> float:
        """What the size grows by, mm."""
        return self.each * self.places


@dataclass(frozen=True)
class RoughSize:
    """A part as it is cut first; sizes in mm, `added` in the order of the table."""

    length: float
    width: float
    thickness: float
    added: tuple[Added, ...]


def amount_for(
    purpose: Purpose,
    shop: Mapping[Purpose, float] | None = None,
    piece: Mapping[Purpose, float] | None = None,
) -> tuple[float, By]:
    """Return what is left at each place for a purpose (mm), and by whose rule: the nearest one counts.

    >>> amount_for("planing", shop={"planing": 3.0})
    (3.0, 'the shop')
    >>> amount_for("planing", {"planing": 3.0}, {"planing": 0.0})
    (0.0, 'the piece')
    """
    if purpose not in USUAL:
        raise BadInput(f"purpose: expected one of {list(USUAL)}, got {purpose!r}")
    rules: tuple[tuple[By, Mapping[Purpose, float] | None], ...] = (("the piece", piece), ("the shop", shop))
    for by, rule in rules:
        if rule is not None and purpose in rule:
            amount = rule[purpose]
            if not (math.isfinite(amount) and 0 <= amount <= MOST):
                raise BadInput(f"{purpose}: expected 0 to {MOST:g} mm at an edge by {by}, got {amount}")
            return float(amount), by
    return USUAL[purpose].each, "common practice"


def rough_size(
    length: float,
    width: float,
    thickness: float,
    left_for: Mapping[Purpose, Places],
    shop: Mapping[Purpose, float] | None = None,
    piece: Mapping[Purpose, float] | None = None,
) -> RoughSize:
    """Say how large a part is cut first.

    Parameters
    ----------
    length, width, thickness : float
        What it must still have after the last tool, mm.
    left_for : mapping
        The purposes that wood is left for, and where; `USUAL` tells the places that are usual.
    shop, piece : mapping, optional
        Amounts at each place (mm) by this shop's rule, and for this piece alone.

    Returns
    -------
    RoughSize
        Never less than finished.

    Raises
    ------
    BadInput
        A size that no part has, an amount below zero or of more than a foot.

    Examples
    --------
    A rail of 600 by 50 out of a board, where the shop leaves 3 mm on each jointed edge:

    >>> usual = {name: USUAL[name].places for name in ("jointing", "planing", "end trimming")}
    >>> rail = rough_size(600, 50, 20, usual, shop={"jointing": 3.0})
    >>> round(rail.length, 3), rail.width, round(rail.thickness, 3)
    (625.4, 56.0, 23.175)
    >>> [(one.axis, one.by) for one in rail.added]
    [('width', 'the shop'), ('thickness', 'common practice'), ('length', 'common practice')]

    Nothing is left for anything: it is cut to size.

    >>> rough_size(600, 50, 20, {})
    RoughSize(length=600.0, width=50.0, thickness=20.0, added=())
    """
    sizes: dict[Axis, float] = {"length": float(length), "width": float(width), "thickness": float(thickness)}
    for axis, size in sizes.items():
        refuse_size(axis, size)
    unknown = next((name for name in left_for if name not in USUAL), None)
    if unknown is not None:
        amount_for(unknown)
    added = tuple(_added(left_for, shop, piece))
    for one in added:
        sizes[one.axis] += one.amount
    return RoughSize(sizes["length"], sizes["width"], sizes["thickness"], added)


def _added(
    left_for: Mapping[Purpose, Places],
    shop: Mapping[Purpose, float] | None,
    piece: Mapping[Purpose, float] | None,
) -> Iterator[Added]:
    for purpose in USUAL:
        if purpose not in left_for:
            continue
        each, by = amount_for(purpose, shop, piece)
        for axis in get_args(Axis):
            count = getattr(left_for[purpose], axis)
            if count and each:
                yield Added(axis, purpose, each, count, by)

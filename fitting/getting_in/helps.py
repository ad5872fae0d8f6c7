"""What would help where a piece does not go: the least change of each kind that surely makes it go.

Each help is found by itself, the others left as they are. The amounts are those of the closed forms, so exact
for the numbers given. Whether a change can be made is for the maker to say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

from fitting.errors import BadInput
from fitting.getting_in.passage import Box
from fitting.getting_in.passing import Axis, Passing, checked_length
from fitting.getting_in.spare import MOST, spare
from fitting.getting_in.tilt import cabinet_profile, drop_in, longest_drop_in, tallest_tilt_up, tilt_up

Kind = Literal["width off", "height off", "depth off", "length off", "base loose", "let in", "in parts"]
EXACT: Final = 1e-9
"""mm; how near the least change of a closed form is found."""


@dataclass(frozen=True)
class Help:
    """One change that makes it go.

    Attributes
    ----------
    kind : Kind
        "base loose": kick, base or legs taken off, of this height, and put under it at its place. "let in":
        one end goes into a pocket in the board, this deep. "in parts": a top in this many parts.
    amount : float
        mm; of "in parts" their number.
    longest : float or None
        Of "in parts": the longest part that goes in (mm).
    """

    kind: Kind
    amount: float
    longest: float | None = None


def smaller_box(box: Box, goes: Callable[[Box], Passing], most: float = MOST) -> tuple[Help, ...]:
    """Say how much must come off each dimension of a box, alone, so that it goes.

    Parameters
    ----------
    box : Box
    goes : callable
        A closed form of `fitting.getting_in.passage`, or several in a row (the worst of them).
    most : float
        No more than this is looked for (mm).

    Returns
    -------
    tuple[Help, ...]
        The least first; empty where no dimension helps alone, or where it goes already.

    Examples
    --------
    >>> from fitting.getting_in.passage import through_doorway
    >>> smaller_box(Box(900, 2100, 780), lambda box: through_doorway(box, 760, 2000))
    (Help(kind='depth off', amount=20.0, longest=None), Help(kind='width off', amount=140.0, longest=None))
    """
    if goes(box).verdict == "goes":
        return ()
    kinds: tuple[tuple[Axis, Kind], ...] = (
        ("width", "width off"),
        ("height", "height off"),
        ("depth", "depth off"),
    )
    found = []
    for axis, kind in kinds:
        size: float = getattr(box, axis)

        def answer(more: float, axis: Axis = axis, size: float = size) -> Passing:
            return goes(replace(box, **{axis: size + more}))

        least = spare(answer, min(most, 0.999 * size), EXACT)
        if least is not None:
            found.append(Help(kind, round(-least, 6)))
    return tuple(sorted(found, key=lambda one: one.amount))


def under_ceiling(
    height: float, depth: float, ceiling: float, kick: tuple[float, float] = (0.0, 0.0), base: float = 0.0
) -> tuple[Help, ...]:
    """Say what lets a cabinet that cannot be stood up from its back stand up under a ceiling.

    Parameters
    ----------
    height, depth : float
        Of the whole cabinet (mm).
    ceiling : float
        Above the floor (mm).
    kick : tuple of float
        Height and depth of a toe-kick that is part of its sides; (0, 0) for none.
    base : float
        Height of a base, or legs, that can be left loose; 0 for none (mm).

    Returns
    -------
    tuple[Help, ...]
        Empty where it goes already. A loose base helps only where the whole cabinet has room to stand on it.

    Examples
    --------
    >>> [(one.kind, round(one.amount, 1)) for one in under_ceiling(2440, 600, 2500, base=100)]
    [('base loose', 100), ('height off', 13.1), ('depth off', 55.6)]
    """
    if tilt_up(cabinet_profile(height, depth, kick), ceiling).verdict == "goes":
        return ()
    helps = []
    stands = 0 < base < height <= ceiling
    if stands and tilt_up(cabinet_profile(height - base, depth), ceiling).verdict == "goes":
        helps.append(Help("base loose", base))
    if depth < ceiling:
        helps.append(Help("height off", height - tallest_tilt_up(ceiling, depth)))
    if height < ceiling:
        # From its back, the corners farthest apart are the lower back and the upper front.
        helps.append(Help("depth off", depth - math.sqrt((ceiling - height) * (ceiling + height))))
    return tuple(helps)


def between_walls(length: float, thickness: float, gap: float) -> tuple[Help, ...]:
    """Say what lets a top, or a bar, down between walls where it is too long to swing in.

    Returns
    -------
    tuple[Help, ...]
        Length off; let into the board at one end by so much that the diagonal passes (the pocket is as high
        as the end sweeps); in the fewest parts, none longer than goes in.

    Examples
    --------
    >>> [(one.kind, round(one.amount, 2)) for one in between_walls(1500, 38, 1500)]
    [('length off', 0.48), ('let in', 0.48), ('in parts', 2)]
    """
    lacking = drop_in(length, thickness, gap).margin
    if lacking is None or lacking >= 0:
        return ()
    helps = [Help("let in", -lacking)]
    if thickness < gap:
        longest = longest_drop_in(gap, thickness)
        helps = [Help("length off", length - longest), *helps]
        parts = parts_needed(length, (longest,))
        if parts is not None:
            helps.append(parts)
    return tuple(helps)


def parts_needed(length: float, longest: Iterable[float]) -> Help | None:
    """Say into how few parts a top must be divided, from the longest that goes past each thing on the way.

    Nothing where it goes in one.

    Examples
    --------
    >>> parts_needed(3000, (1250, 2200))
    Help(kind='in parts', amount=3, longest=1250)
    """
    checked_length("length", length)
    each = [checked_length("longest part", part) for part in longest]
    if not each:
        raise BadInput("parts: expected the longest part for one thing on the way or more, got none")
    count = math.ceil(length / min(each) - 1e-12)
    return None if count <= 1 else Help("in parts", count, min(each))
